//! Times every workload, or those whose names contain a word that is given, and prints a table.

use anyhow::Result;
use benches::machine::{REFERENCE_FLOP_PER_S, peak_flop_per_s};
use benches::timing::timed;
use benches::workloads;

/// As in the program.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> Result<()> {
    let wanted = std::env::args().nth(1).unwrap_or_default();
    show_machine();
    println!("CPU time of all threads, one warm-up, then five runs; wall time beside it, ms\n");
    println!("{:<56} {:>9} {:>20} {:>10} {:>9}", "workload", "median", "min - max", "must reach", "wall");
    for workload in workloads()?.into_iter().filter(|workload| workload.name.contains(&wanted)) {
        let timing = timed(workload.run)?;
        let [median, least, most] = timing.cpu_s.map(|s| 1e3 * s);
        let range = format!("[{least:.2} - {most:.2}]");
        let must = workload.must_reach_s.map_or_else(|| "-".to_owned(), |s| format!("{:.0}", 1e3 * s));
        let wall = 1e3 * timing.wall_s;
        println!("{:<56} {median:>9.2} {range:>20} {must:>10} {wall:>9.2}", workload.name);
    }
    show_machine();
    Ok(())
}

fn show_machine() {
    let (flop_per_s, share) = peak_flop_per_s();
    println!(
        "this machine, one thread: {:.1} GFLOP/s of CPU time, running {:.0} % of the time; must reach was set at {:.1}",
        1e-9 * flop_per_s,
        100.0 * share,
        1e-9 * REFERENCE_FLOP_PER_S
    );
}
