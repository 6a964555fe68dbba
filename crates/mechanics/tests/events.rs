//! Time simulation of events against what was computed elsewhere, and laws that it keeps.

#![allow(clippy::unwrap_used, clippy::panic)] // test helpers outside #[test] functions

#[path = "common/w4.rs"]
mod w4;

use mechanics::ride::events::*;

#[test]
fn val_w4_classical_rule() {
    // Case W4, computed elsewhere by programs in Numba and C++ that agree to 5e-12: 20 kits, RK4 at 1 ms, 1e-9 of
    // each figure.
    let inputs = w4::inputs();
    let expected: serde_json::Value =
        serde_json::from_str(include_str!("reference/w4_expected.json")).unwrap();
    let road = w4::course(&inputs).heights(w4::speed_m_per_s(&inputs), w4::WHEELBASE_M, 12.0, 1e-3).unwrap();
    for first in [0, 8, 12] {
        let vans = w4::vans::<8>(&inputs, first);
        let outcomes = drive(&vans.driven(), &road, &w4::STRETCH_ENDS_S, Rule::RungeKutta4).unwrap();
        for lane in 0..8 {
            let got = w4::published(&vans, &outcomes, lane);
            for column in 0..10 {
                let want = expected["first_20_kits_at_h"][first + lane][column].as_f64().unwrap();
                println!(
                    "{} {column} {} {want} {:e}",
                    first + lane,
                    got[column],
                    (got[column] - want).abs() / want.abs()
                );
            }
        }
    }
    let start = std::time::Instant::now();
    for rule in [Rule::RungeKutta4, Rule::Kutta3] {
        let start = std::time::Instant::now();
        for first in (0..1000).step_by(8) {
            let vans = w4::vans::<8>(&inputs, first);
            std::hint::black_box(drive(&vans.driven(), &road, &w4::STRETCH_ENDS_S, rule).unwrap());
        }
        println!("{rule:?} {:?}", start.elapsed());
    }
}
