//! Coil, leaf and air springs: rate, concentric pairs, frequency, leaf stress, roll on a solid axle, shut gas.

use mechanics::elements::{AirSpring, AirSpringLimits, FilledAirSpring, Spring, SpringStack, Tyre};
use mechanics::spring_design::{self, frequency_from_static_deflection_hz, rate_n_per_m};

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
    checks.extend(leaf_stack());
    checks.extend(solid_axle_roll()?);
    checks.extend(shut_gas()?);
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
    let outer = SpringStack::single(Spring::linear(outer_n_per_m, 0.200, None)?);
    let inner = SpringStack::single(Spring::linear(inner_n_per_m, 0.185, None)?);
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

fn leaf_stack() -> Vec<Check> {
    let case = Case {
        id: "S10, semi-elliptic leaf spring",
        source: "standard machine-design relations for a stack loaded at its centre",
        mark: "memory inputs+recomputed",
    };
    let rate_n_per_mm = |full_length_m: &[f64], graduated_m: &[f64]| {
        spring_design::leaf::rate_n_per_m(206e9, 1.3, 0.070, full_length_m, graduated_m) * 1e-3
    };
    let stress_mpa = spring_design::leaf::stress_pa(6000.0, 1.3, 0.070, 0.012, 3.0) * 1e-6;
    vec![
        case.check(
            "rate, three graduated leaves, L 1300, b 70, t 12 mm, E 206 GPa",
            "N/mm",
            90.734,
            rate_n_per_mm(&[], &[0.012; 3]),
            0.01,
        ),
        case.check("rate, all of full length", "N/mm", 136.10, rate_n_per_mm(&[0.012; 3], &[]), 0.01),
        case.check("bending stress under 6000 N", "MPa", 386.905, stress_mpa, 0.01),
    ]
}

fn solid_axle_roll() -> Computed {
    let case = Case {
        id: "D12, roll rate of a leaf-sprung solid axle",
        source: "Gillespie, Fundamentals of Vehicle Dynamics, ch. 6: the spring base, not the track",
        mark: "recomputed",
    };
    let spring = Spring::linear(60_000.0, 0.15, None)?;
    let tyre = Tyre::linear(0.35, 280_000.0)?;
    let (spring_base_m, track_m, roll_rad) = (1.00, 1.72, 0.01);
    // moment of the two sides about the middle, each put half base times roll from where it stood
    let springs_nm_per_rad = {
        let force_n = |side: f64| spring.at_compression(0.10 + side * roll_rad * spring_base_m / 2.0).force_n;
        (force_n(1.0) - force_n(-1.0)) * spring_base_m / 2.0 / roll_rad
    };
    let tyres_nm_per_rad = {
        let force_n = |side: f64| tyre.at_deflection(0.03 + side * roll_rad * track_m / 2.0).force_n;
        (force_n(1.0) - force_n(-1.0)) * track_m / 2.0 / roll_rad
    };
    let both_nm_per_rad = 1.0 / (1.0 / springs_nm_per_rad + 1.0 / tyres_nm_per_rad);
    Ok(vec![
        case.check("springs, 60 N/mm a side, base 1.00 m", "N m/rad", 30_000.0, springs_nm_per_rad, 1e-6),
        case.check("tyres, 280 N/mm each, track 1.72 m", "N m/rad", 414_176.0, tyres_nm_per_rad, 1.0),
        case.check("springs on tyres", "N m/rad", 27_973.8, both_nm_per_rad, 0.1),
    ])
}

fn shut_gas() -> Computed {
    let boyle = Case {
        id: "Gas shut in at 3 bar, constant area",
        source: "p Vⁿ = constant over absolute pressure, atmosphere of ISO 2533, worked by hand",
        mark: "recomputed",
    };
    let rate = Case {
        id: "Rate of an air spring of constant area",
        source: "n p A²/V: Harris, Shock and Vibration Handbook, chapter on air suspension",
        mark: "from memory",
    };
    let limits = AirSpringLimits {
        least_height_m: 0.05,
        greatest_height_m: 0.15,
        least_pressure_pa: 50e3,
        greatest_pressure_pa: 700e3,
    };
    // area 100 cm², 1 l at 100 mm: 0.5 l at 50 mm
    let shut = |exponent: f64| {
        AirSpring::of_constant_area(0.01, (0.10, 1.0e-3), exponent, limits)?.filled(300e3, 0.10)
    };
    let (standing, riding) = (shut(1.0)?, shut(1.3)?);
    let rate_n_per_mm = |spring: &FilledAirSpring| spring.at_height(0.10).rate_n_per_m * 1e-3;
    Ok(vec![
        // 2 (300 + 101.325) - 101.325 kPa
        boyle.check(
            "gauge pressure in half the volume, n 1",
            "kPa",
            701.325,
            standing.gauge_pressure_pa(0.05) * 1e-3,
            1e-6,
        ),
        boyle.check("force there on 100 cm²", "N", 7013.25, standing.at_height(0.05).force_n, 1e-5),
        // 2^1.3 = 2.462289: 401.325 · 2.462289 - 101.325 kPa
        boyle.check("force there, n 1.3", "N", 8868.531, riding.at_height(0.05).force_n, 1e-3),
        // 401 325 Pa · 1e-4 m⁴ / 1e-3 m³
        rate.check("3 bar, 100 cm², 1 l, n 1", "N/mm", 40.1325, rate_n_per_mm(&standing), 1e-7),
        rate.check("the same, n 1.3", "N/mm", 52.17225, rate_n_per_mm(&riding), 1e-7),
    ])
}
