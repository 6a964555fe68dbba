#!/usr/bin/env bash
# Larger versions of the store's proofs, then a server under steady requests: soak.sh [MINUTES of requests, 5 if absent].
#
# Each part repeats what the test command does once, so many times: more kills, power cuts, backups under load and
# generated deeds. What came out is noted with its date in docs/soak.md. CARGO_TARGET_DIR is honoured.
set -euo pipefail
cd "$(dirname "$0")/.."
minutes="${1:-5}"

# TIMES TEST: a test of the store, so many times over.
prove() {
    echo "== $2, $1 times over"
    ARCHGAP_SOAK="$1" nice cargo test --release --locked -q -p store --test suite -- --exact "$2" |
        grep -v '^$\|^running\|^\.*$' || { echo "FAILED: $2"; exit 1; }
}

date -u +%F
uname -sm
grep -m1 'model name' /proc/cpuinfo
uptime
time prove 2 kills::law_what_was_acknowledged_survives_a_kill::sqlite
time prove 2 kills::law_what_was_acknowledged_survives_a_kill::postgres
time prove 3 kills::law_a_killed_restore_leaves_one_store_or_the_other
time prove 5 kills::law_a_killed_backup_leaves_none_and_the_next_clears_up
time prove 4 kills::law_a_killed_import_leaves_nothing_or_all
time prove 4 kills::law_a_killed_change_of_schema_leaves_the_old_or_the_new
time prove 12 power_cut::law_what_was_acknowledged_survives_a_power_cut
time prove 34 backup::law_a_backup_made_under_load_is_one_state_and_comes_back_in_either_database::sqlite
time prove 17 generated::law_both_databases_do_the_same
echo "== A server under steady requests, $minutes minutes of each kind"
nice cargo run --release --locked -q -p benches --bin serving -- 10000 4 "$((minutes * 60))"
uptime
