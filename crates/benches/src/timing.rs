//! CPU time of a piece of work.

use anyhow::Result;
use cpu_time::ThreadTime;

const RUNS: usize = 5;

/// CPU times of one thread, s.
#[derive(Debug, Clone, Copy)]
pub struct Timing {
    /// Middle of the runs.
    pub median_s: f64,
    /// Fastest run.
    pub min_s: f64,
    /// Slowest run.
    pub max_s: f64,
}

/// Does the work once to warm up, then five times.
///
/// # Errors
/// Those of the work.
pub fn timed(mut work: impl FnMut() -> Result<()>) -> Result<Timing> {
    work()?;
    let mut times_s = [0.0; RUNS];
    for time_s in &mut times_s {
        let start = ThreadTime::now();
        work()?;
        *time_s = start.elapsed().as_secs_f64();
    }
    times_s.sort_by(f64::total_cmp);
    Ok(Timing { median_s: times_s[RUNS / 2], min_s: times_s[0], max_s: times_s[RUNS - 1] })
}
