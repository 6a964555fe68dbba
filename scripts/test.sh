#!/usr/bin/env bash
# The one test command: formatting, lints, documentation, every test. Fails when any of it fails.
#
# As root on a Debian-like machine a missing C compiler, PostgreSQL server, strace, Python 3, curl, Chromium with its driver
# or npm is installed; whatever else is missing is named. The API's testers come from the Python Package Index, the
# accessibility engine by npm. Beyond these it needs the Rust toolchain, bash and the standard text tools.
# CARGO_TARGET_DIR is honoured.
set -euo pipefail
cd "$(dirname "$0")/.."

# A program of PostgreSQL, on the path or where Debian keeps it.
has_postgres() {
    command -v postgres >/dev/null || ls /usr/lib/postgresql/*/bin/postgres >/dev/null 2>&1
}

# Python that can make an environment of its own; Debian keeps that apart.
has_venv() {
    python3 -c 'import ensurepip, venv' 2>/dev/null
}

# The browser and its driver.
has_chromium() {
    command -v chromium >/dev/null && command -v chromedriver >/dev/null
}

require_tools() {
    local install=()
    command -v cc >/dev/null || install+=(gcc libc6-dev)
    has_postgres || install+=(postgresql)
    command -v strace >/dev/null || install+=(strace)
    has_venv || install+=(python3 python3-venv)
    command -v curl >/dev/null || install+=(curl)
    has_chromium || install+=(chromium chromium-driver)
    command -v npm >/dev/null || install+=(npm)
    if [ "${#install[@]}" -gt 0 ] && [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; then
        echo "== Installing ${install[*]}"
        apt-get update && DEBIAN_FRONTEND=noninteractive apt-get install -y "${install[@]}"
    fi
    local missing=""
    command -v cc >/dev/null || missing="$missing\n  cc: a C compiler, to link with (Debian: apt-get install gcc libc6-dev)"
    has_postgres || missing="$missing\n  postgres: a PostgreSQL server, which the store is tested with (Debian: apt-get install postgresql)"
    command -v strace >/dev/null || missing="$missing\n  strace: records a program for the power-cut test (Debian: apt-get install strace)"
    has_venv || missing="$missing\n  python3 with venv: runs the API's testers (Debian: apt-get install python3 python3-venv)"
    command -v curl >/dev/null || missing="$missing\n  curl: signs in for the API's testers (Debian: apt-get install curl)"
    has_chromium || missing="$missing\n  chromium with chromedriver: the browser the pages are tested in (Debian: apt-get install chromium chromium-driver)"
    command -v npm >/dev/null || missing="$missing\n  npm: brings the accessibility engine (Debian: apt-get install npm)"
    command -v rustc >/dev/null || missing="$missing\n  rustc: the Rust compiler"
    if command -v cargo >/dev/null; then
        cargo fmt --version >/dev/null 2>&1 || missing="$missing\n  cargo fmt (rustup component add rustfmt)"
        cargo clippy --version >/dev/null 2>&1 || missing="$missing\n  cargo clippy (rustup component add clippy)"
    else
        missing="$missing\n  cargo: the Rust package manager"
    fi
    if [ -n "$missing" ]; then
        printf 'Missing:%b\n' "$missing" >&2
        exit 1
    fi
}

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
log="$work/log" # output of all test runs
broken=()       # steps that failed other than by a failing test

step() {
    local name="$1"
    shift
    echo "== $name"
    "$@" || broken+=("$name")
}

# Runs a command that prints test results, shows its output and keeps it for the sums.
run_tests() {
    local name="$1" output="$work/output" status=0
    shift
    echo "== $name"
    "$@" </dev/null 2>&1 | tee "$output" || status=1
    sed "s|^test \(.*<[0-9.]*s>\)\$|test $name \1|" "$output" >>"$log"
    if [ "$status" != 0 ] && ! grep -q '^test result: FAILED' "$output"; then
        broken+=("$name") # it crashed, or was never built
    fi
}

# Per-test times are still an unstable option of test binaries; only the built binaries are told to allow it.
run_test_binary() {
    local package_dir="$1" executable="$2"
    cd "$package_dir" || return
    CARGO="${CARGO:-$(command -v cargo)}" CARGO_MANIFEST_DIR="$package_dir" RUSTC_BOOTSTRAP=1 \
        "$executable" -Zunstable-options --report-time
}

# What drives the browser switches a feature of serde_json on that the program must not be tested with: it stands apart.
all_but_browser=(--workspace --exclude browser_tests --locked)

each_apart() {
    local command="$1"
    shift
    cargo "$command" "${all_but_browser[@]}" "$@" && cargo "$command" -p browser_tests --locked "$@"
}

build_tests() {
    each_apart test --release --no-run --message-format=json-render-diagnostics >"$work/messages"
}

# The program that was built for its tests.
program() {
    grep '"reason":"compiler-artifact"' "$work/messages" | grep '"kind":\["bin"\]' | grep '"test":false}' |
        sed -n 's|.*"executable":"\([^"]*/archgap\)".*|\1|p'
}

# Two lines for each test binary: the directory of its package, its path.
test_binaries() {
    grep '"reason":"compiler-artifact"' "$work/messages" | grep '"profile":{[^}]*"test":true}' |
        sed -n 's|.*"manifest_path":"\([^"]*\)/Cargo.toml".*"executable":"\([^"]*\)".*|\1\
\2|p'
}

# The accessibility engine that pages are held against.
fetch_axe() {
    local version=4.14.1
    npm pack --silent --pack-destination "$work" "axe-core@$version" >/dev/null &&
        tar -xzf "$work/axe-core-$version.tgz" -C "$work" package/axe.min.js
}

require_tools
touch "$log"
step "Fetching the accessibility engine" fetch_axe
export AXE_SCRIPT="$work/package/axe.min.js"
step "Formatting" cargo fmt --all --check
step "Lints" each_apart clippy --release --all-targets -- -D warnings
RUSTDOCFLAGS="-D warnings" step "Documentation" each_apart doc --release --no-deps
step "Building the tests" build_tests
test_binaries >"$work/binaries" || broken+=("Listing the tests")
while read -r package_dir && read -r executable; do
    target=$(basename "$executable")
    run_tests "$(basename "$package_dir")/${target%-*}" run_test_binary "$package_dir" "$executable"
done <"$work/binaries"
run_tests "Examples in the documentation" cargo test --release "${all_but_browser[@]}" --doc
step "The API against its description" scripts/api_test.sh "$(program)"

echo
echo "Slowest tests:"
sed -n 's/^test \(.*\) \.\.\. .* <\([0-9.]*\)s>$/\2 s  \1/p' "$log" | LC_ALL=C sort -rn | sed -n 1,10p
sed -n 's/^test \(.*\) \.\.\. ignored.*/Not run: \1/p' "$log"
for name in ${broken[@]+"${broken[@]}"}; do echo "FAILED: $name"; done
# a failed step counts as one failure
awk -v failed="${#broken[@]}" '
    /^test result:/ { passed += $4; failed += $6 }
    END { printf "%d passed, %d failed\n", passed, failed; exit failed > 0 || passed == 0 }' "$log"
