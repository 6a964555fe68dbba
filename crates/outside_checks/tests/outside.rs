//! Holds the mechanics to every outside figure, and the written report to what is computed.

use std::path::Path;

#[test]
fn val_every_outside_check_holds() {
    // Sources and marks stand with each check.
    let failing: Vec<String> = outside_checks::subjects()
        .into_iter()
        .flat_map(|(_, checks)| checks)
        .filter(|check| !check.holds())
        .map(|check| {
            let allowed = check.tolerance.allowed(check.expected);
            format!("{}, {}: {} is not {} within {allowed}", check.id, check.what, check.got, check.expected)
        })
        .collect();
    assert!(failing.is_empty(), "\n{}", failing.join("\n"));
}

#[test]
fn docs_outside_checks_are_current() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/outside-checks.md");
    let report = outside_checks::report();
    if std::env::var_os("ARCHGAP_UPDATE_DOCS").is_some_and(|value| value == "1") {
        std::fs::write(&path, &report).unwrap();
    }
    let written = std::fs::read_to_string(&path).unwrap_or_default().replace("\r\n", "\n");
    assert!(
        written == report,
        "docs/outside-checks.md is not current: ARCHGAP_UPDATE_DOCS=1 cargo test --release -p outside_checks"
    );
}
