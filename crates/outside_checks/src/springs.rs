//! Coil springs: rate, concentric pairs, frequency.

use mechanics::elements::{CoilSpring, SpringStack};
use mechanics::spring_design::{frequency_from_static_deflection_hz, rate_n_per_m};

use crate::Check;
use crate::check::{Case, Computed, or_failing};

/// Checks of spring rates and loads.
pub fn checks() -> Vec<Check> {
    or_failing(computed())
}

fn computed() -> Computed {
    let mut checks = concentric_pair()?;
    checks.extend(van_size_coil());
    checks.extend(frequency());
    Ok(checks)
}

fn concentric_pair() -> Computed {
    let case = Case {
        id: "S5, concentric pair of unequal free lengths",
        source: "Bhandari, Design of Machine Elements, Example 10.19",
        mark: "verified inputs+recomputed",
    };
    let outer_n_per_m = rate_n_per_m(81.37e9, 0.006, 0.036, 10.0);
    let inner_n_per_m = rate_n_per_m(81.37e9, 0.005, 0.030, 8.0);
    // free lengths are not part of the example; only that the inner spring is 15 mm shorter
    let outer = SpringStack::single(CoilSpring::linear(outer_n_per_m, 0.200, None)?);
    let inner = SpringStack::single(CoilSpring::linear(inner_n_per_m, 0.185, None)?);
    let loads_n = |deflection_m: f64| [&outer, &inner].map(|s| s.at_space(0.200 - deflection_m).force_n);
    let (mut less_m, mut more_m) = (0.0, 0.1);
    for _ in 0..60 {
        let middle_m = 0.5 * (less_m + more_m);
        let [outer_n, inner_n] = loads_n(middle_m);
        if outer_n + inner_n < 1000.0 { less_m = middle_m } else { more_m = middle_m }
    }
    let [outer_n, inner_n] = loads_n(less_m);
    Ok(vec![
        case.check(
            "rate of the outer spring, wire 6, coil 36 mm, n 10",
            "N/mm",
            28.2535,
            outer_n_per_m * 1e-3,
            1e-3,
        ),
        case.check(
            "rate of the inner spring, wire 5, coil 30 mm, n 8",
            "N/mm",
            29.4307,
            inner_n_per_m * 1e-3,
            1e-3,
        ),
        case.check("deflection of the outer spring under 1000 N together", "mm", 24.9888, less_m * 1e3, 1e-3),
        case.check("load of the outer spring", "N", 706.02, outer_n, 0.05),
        case.check("load of the inner spring", "N", 293.98, inner_n, 0.05),
    ])
}

fn van_size_coil() -> Vec<Check> {
    let case = Case {
        id: "S6, van-size coil",
        source: "rate formula of EN 13906-1:2013; shear moduli of EN 10089 and EN 10270-1",
        mark: "recomputed",
    };
    let rate_n_per_mm = |modulus_pa: f64| rate_n_per_m(modulus_pa, 0.014, 0.130, 6.5) * 1e-3;
    vec![
        case.check(
            "rate, wire 14, coil 130 mm, n 6.5, G 78.5 GPa (hot-rolled bar)",
            "N/mm",
            26.3966,
            rate_n_per_mm(78.5e9),
            1e-3,
        ),
        case.check(
            "the same, G 81.5 GPa (patented cold-drawn wire)",
            "N/mm",
            27.4054,
            rate_n_per_mm(81.5e9),
            1e-3,
        ),
    ]
}

fn frequency() -> Vec<Check> {
    let case = Case {
        id: "D1, frequency from static deflection",
        source: "Gillespie, Fundamentals of Vehicle Dynamics, ch. 5, with g = 9.80665 m/s²",
        mark: "recomputed",
    };
    [(25.4, 3.12726), (100.0, 1.57609), (150.0, 1.28687), (248.5, 0.99981)]
        .map(|(deflection_mm, hz)| {
            let got_hz = frequency_from_static_deflection_hz(deflection_mm * 1e-3);
            case.check(format!("frequency at {deflection_mm} mm"), "Hz", hz, got_hz, 1e-4)
        })
        .to_vec()
}
