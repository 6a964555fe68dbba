//! d
use simulated_workshop::job::*;
fn main() -> anyhow::Result<()> {
    let w = Workshop::open(7)?;
    let t = w.tally(700)?;
    for d in &t.sound {
        let m: Vec<f64> =
            (0..4).map(|i| (10.0 * (d.after.middle_mm[i] - d.after.asked_mm[i])).round() / 10.0).collect();
        let s = if d.kind.four_collars { 0 } else { 2 };
        if d.straight_expected && m[s..].iter().any(|x| x.abs() > 3.0) {
            println!(
                "{:?} {:?} first {:?} limits {:?} after {m:?} aim {:?}",
                d.kind,
                d.came,
                (0..4)
                    .map(|i| (10.0 * (d.first.middle_mm[i] - d.first.asked_mm[i])).round() / 10.0)
                    .collect::<Vec<_>>(),
                d.limits,
                d.aim_mm
            );
        }
    }
    Ok(())
}
