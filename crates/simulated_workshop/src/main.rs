//! Runs many simulated jobs and writes what they came to: `simulated_workshop [jobs] [seed]`.

use std::path::Path;
use std::time::{SystemTime, UNIX_EPOCH};

use anyhow::{Context, Result};
use simulated_workshop::job::Workshop;

const REPORT: &str = "../../docs/right-first-time.md";

fn main() -> Result<()> {
    let mut given = std::env::args().skip(1);
    let mut number = |usual: u64| given.next().map_or(Ok(usual), |word| word.parse().context(word));
    let (jobs, seed) = (number(1000)?, number(simulated_workshop::SEED)?);
    let tally = Workshop::open(seed)?.tally(jobs)?;
    let text = format!(
        "# Right first time\n\nWritten by `cargo run --release -p simulated_workshop -- {jobs} {seed}` on {}: {jobs} jobs and {} with a planted fault,\nseed {seed}. {}\n{}",
        today()?,
        jobs / 4,
        simulated_workshop::HOW_TO_READ,
        tally.tables()
    );
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(REPORT);
    std::fs::write(&path, text).with_context(|| path.display().to_string())?;
    println!("{}", tally.tables());
    Ok(())
}

/// Date of the Gregorian calendar, UTC: days since 1970 counted off by years and months.
fn today() -> Result<String> {
    let mut days = SystemTime::now().duration_since(UNIX_EPOCH)?.as_secs() / 86_400;
    let leap = |year: u64| year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    let mut year = 1970;
    while days >= 365 + u64::from(leap(year)) {
        days -= 365 + u64::from(leap(year));
        year += 1;
    }
    let february = 28 + u64::from(leap(year));
    let mut month = 1;
    for length in [31, february, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31] {
        if days < length {
            break;
        }
        days -= length;
        month += 1;
    }
    Ok(format!("{year}-{month:02}-{:02}", days + 1))
}
