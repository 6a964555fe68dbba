//! Times every workload and prints a table.

use anyhow::Result;
use benches::timing::timed;
use benches::workloads;

fn main() -> Result<()> {
    println!("CPU time of one thread: one warm-up, then five runs\n");
    println!("{:<46} {:>10} {:>22} {:>11}", "workload", "median ms", "min - max ms", "must reach");
    for workload in workloads()? {
        let timing = timed(workload.run)?;
        let [median, min, max, must] =
            [timing.median_s, timing.min_s, timing.max_s, workload.must_reach_s].map(|s| 1e3 * s);
        let range = format!("[{min:.2} - {max:.2}]");
        println!("{:<46} {median:>10.2} {range:>22} {must:>11.0}", workload.name);
    }
    Ok(())
}
