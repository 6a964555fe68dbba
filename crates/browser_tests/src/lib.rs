//! A workshop served by the built program, and a browser that visits it.
//!
//! Needs Chromium with its driver, and axe-core's script at the path in `AXE_SCRIPT`; `scripts/test.sh` sees to both.

mod browser;
mod workshop;

pub use browser::{Browser, Light, PASSPHRASE};
pub use workshop::Workshop;

use std::io::{BufRead, BufReader, Read};

use anyhow::Context;

/// What follows a mark in the first line that holds it.
fn read_until(from: impl Read, mark: &str) -> anyhow::Result<String> {
    let mut lines = BufReader::new(from).lines();
    loop {
        let line = lines.next().with_context(|| format!("ended before it said \"{mark}\""))??;
        if let Some((_, rest)) = line.split_once(mark) {
            return Ok(rest.trim().to_owned());
        }
    }
}
