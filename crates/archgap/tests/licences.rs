//! Every dependency comes under a licence that lets the program be given away under its own two.

use std::error::Error;
use std::iter::Peekable;
use std::process::Command;
use std::vec::IntoIter;

const ALLOWED: [&str; 13] = [
    "0BSD",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "CC0-1.0",
    "ISC",
    "MIT",
    "MPL-2.0",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

/// Whether an SPDX licence expression can be met from [`ALLOWED`]; `None` where it cannot be read.
/// The slash that older packages write stands for `OR`.
fn is_allowed(expression: &str) -> Option<bool> {
    let spaced = expression.replace('/', " OR ").replace('(', " ( ").replace(')', " ) ");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let mut words = words.into_iter().peekable();
    let allowed = alternatives(&mut words)?;
    words.next().is_none().then_some(allowed)
}

fn alternatives(words: &mut Peekable<IntoIter<&str>>) -> Option<bool> {
    let mut allowed = requirements(words)?;
    while words.next_if_eq(&"OR").is_some() {
        allowed |= requirements(words)?;
    }
    Some(allowed)
}

fn requirements(words: &mut Peekable<IntoIter<&str>>) -> Option<bool> {
    let mut allowed = licence(words)?;
    while words.next_if_eq(&"AND").is_some() {
        allowed &= licence(words)?;
    }
    Some(allowed)
}

fn licence(words: &mut Peekable<IntoIter<&str>>) -> Option<bool> {
    match words.next()? {
        "(" => {
            let allowed = alternatives(words)?;
            words.next_if_eq(&")").map(|_| allowed)
        }
        ")" | "OR" | "AND" | "WITH" => None,
        name if words.next_if_eq(&"WITH").is_some() => {
            Some(ALLOWED.contains(&format!("{name} WITH {}", words.next()?).as_str()))
        }
        name => Some(ALLOWED.contains(&name)),
    }
}

/// Standard output of a command that must succeed.
fn output_of(command: &mut Command) -> Result<String, Box<dyn Error>> {
    let output = command.output()?;
    if !output.status.success() {
        return Err(String::from_utf8_lossy(&output.stderr).into());
    }
    Ok(String::from_utf8(output.stdout)?)
}

#[test]
fn law_every_dependency_has_an_allowed_licence() -> Result<(), Box<dyn Error>> {
    let rustc = output_of(Command::new("rustc").arg("-vV"))?;
    let host = rustc.lines().find_map(|line| line.strip_prefix("host: ")).ok_or("rustc names no host")?;
    // packages of other platforms need not be on this machine
    let metadata = output_of(
        Command::new(std::env::var("CARGO").unwrap_or("cargo".to_owned()))
            .args(["metadata", "--format-version", "1", "--locked", "--offline", "--filter-platform", host])
            .current_dir(env!("CARGO_MANIFEST_DIR")),
    )?;
    let metadata: serde_json::Value = serde_json::from_str(&metadata)?;
    let packages = metadata["packages"].as_array().ok_or("no packages in the metadata")?;
    assert!(packages.len() > 3, "the metadata lists the workspace's own packages and their dependencies");
    let offenders: Vec<String> = packages
        .iter()
        .filter(|package| package["license"].as_str().and_then(is_allowed) != Some(true))
        .map(|package| format!("{} {}: {}", package["name"], package["version"], package["license"]))
        .collect();
    assert!(offenders.is_empty(), "licences not on the list:\n{}", offenders.join("\n"));
    Ok(())
}

#[test]
fn law_licence_expressions_are_weighed() {
    for (expression, expected) in [
        ("MIT", Some(true)),
        ("GPL-3.0", Some(false)),
        ("GPL-3.0-or-later", Some(false)),
        ("MIT AND GPL-3.0", Some(false)),
        ("MIT OR GPL-3.0", Some(true)),
        ("MIT/Apache-2.0", Some(true)),
        ("GPL-3.0 / MIT", Some(true)),
        ("(MIT OR Apache-2.0) AND Unicode-3.0", Some(true)),
        ("(MIT OR Apache-2.0) AND GPL-3.0", Some(false)),
        ("GPL-3.0 OR MIT AND AGPL-3.0", Some(false)), // AND binds closer
        ("GPL-3.0 OR (MIT AND (ISC OR AGPL-3.0))", Some(true)),
        ("Apache-2.0 WITH LLVM-exception OR Apache-2.0 OR MIT", Some(true)),
        ("GPL-2.0 WITH Classpath-exception-2.0", Some(false)),
        ("MIT WITH LLVM-exception", Some(false)),
        ("", None),
        ("MIT OR", None),
        ("AND MIT", None),
        ("MIT Apache-2.0", None),
        ("(MIT", None),
        ("MIT)", None),
        ("Apache-2.0 WITH", None),
    ] {
        assert_eq!(is_allowed(expression), expected, "{expression}");
    }
}
