//! CPU time and wall time of a piece of work.

use std::time::Instant;

use anyhow::Result;
use cpu_time::ProcessTime;

const RUNS: usize = 5;

/// Times of several runs, s.
#[derive(Debug, Clone, Copy)]
pub struct Timing {
    /// CPU time of all threads: middle, fastest and slowest run.
    pub cpu_s: [f64; 3],
    /// Wall time: middle run.
    pub wall_s: f64,
}

/// Does the work once to warm up, then five times.
///
/// # Errors
/// Those of the work.
pub fn timed(mut work: impl FnMut() -> Result<()>) -> Result<Timing> {
    work()?;
    let (mut cpu_s, mut wall_s) = ([0.0; RUNS], [0.0; RUNS]);
    for (cpu_s, wall_s) in cpu_s.iter_mut().zip(&mut wall_s) {
        let (cpu, wall) = (ProcessTime::now(), Instant::now());
        work()?;
        *cpu_s = cpu.elapsed().as_secs_f64();
        *wall_s = wall.elapsed().as_secs_f64();
    }
    cpu_s.sort_by(f64::total_cmp);
    wall_s.sort_by(f64::total_cmp);
    Ok(Timing { cpu_s: [cpu_s[RUNS / 2], cpu_s[0], cpu_s[RUNS - 1]], wall_s: wall_s[RUNS / 2] })
}
