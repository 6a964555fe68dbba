//! Aim of lamps and what limits it.

use workshop::body_sheet::{LampRules, LampSheet, Levelling};
use workshop::checks::{AimLimits, aim_change_percent};

use crate::check::{Case, Check};

/// Wheelbase of the cases, m.
const WHEELBASE_M: f64 = 3.45;

/// Pitch to aim, and the limits by the height of the lamp.
pub fn checks() -> Vec<Check> {
    let mut checks = pitch_to_aim();
    checks.extend(across_the_boundary());
    checks.extend(type_approval());
    checks
}

/// Rise of the nose where the body rises over both axles, rad.
fn nose_up_rad(front_rise_m: f64, rear_rise_m: f64) -> f64 {
    ((front_rise_m - rear_rise_m) / WHEELBASE_M).atan()
}

fn pitch_to_aim() -> Vec<Check> {
    let case = |id| Case { id, source: "geometry", mark: "recomputed" };
    let (h1, h2, h3) = (
        case("H1, front raised by 30 mm over 3.45 m"),
        case("H2, front raised by 40 mm, rear by 20 mm"),
        case("H3, one per cent in degrees"),
    );
    let front = nose_up_rad(0.030, 0.0);
    let change_percent = aim_change_percent(front);
    let both_percent = aim_change_percent(nose_up_rad(0.040, 0.020));
    let one_percent = aim_change_percent(0.572_939_f64.to_radians());
    vec![
        h1.check("change of the aim, up", "%", 0.869_565, change_percent, 1e-6),
        h1.check("the same as an angle", "deg", 0.498_212, front.to_degrees(), 1e-6),
        h1.check("rise of the beam at 10 m", "mm", 86.96, change_percent * 1e-2 * 10_000.0, 0.01),
        h2.check("change of the aim, up", "%", 0.579_710, both_percent, 1e-6),
        // the angle is given to 1e-6 deg, which is 2e-6 % of slope
        h3.check("slope of 0.572939 deg", "%", 1.0, one_percent, 2e-6),
    ]
}

/// Limits of a lamp at a height, per cent.
fn limits(rules: LampRules, initial_aim_percent: f64, height_m: f64) -> AimLimits {
    let lamp = LampSheet {
        centre_mm: [0.0, 0.0, 1e3 * height_m],
        initial_aim_percent,
        rules,
        levelling: Levelling::ByHand,
    };
    AimLimits::of(&lamp, height_m)
}

fn across_the_boundary() -> Vec<Check> {
    let h4 = Case {
        id: "H4, a lift of 35 mm moves a lamp across 850 mm",
        source: "GB inspection manual 4.1.2: centre up to 850 mm 0.5 to 2.75 % below, above it 1.25 to 2.75 % below",
        mark: "verified",
    };
    let [before, after] =
        [0.83, 0.83 + 0.035].map(|height_m| limits(LampRules::GbInspection, -1.2, height_m));
    vec![
        h4.check("upper edge of the band before", "%", -0.5, before.to_percent, 1e-12),
        h4.check("upper edge of the band after", "%", -1.25, after.to_percent, 1e-12),
        h4.check("lower edge of the band after", "%", -2.75, after.from_percent, 1e-12),
    ]
}

fn type_approval() -> Vec<Check> {
    let h5 = Case { id: "H5, bands of type approval", source: "UN R48, 6.2.6.1.2", mark: "from memory" };
    let (low, high) = (limits(LampRules::UnR48, -1.2, 0.7), limits(LampRules::UnR48, -1.8, 1.1));
    vec![
        h5.check("in use, below 0.8 m, lower edge", "%", -2.5, low.from_percent, 1e-12),
        h5.check("in use, below 0.8 m, upper edge", "%", -0.5, low.to_percent, 1e-12),
        h5.check("in use, above 1.0 m, lower edge", "%", -3.0, high.from_percent, 1e-12),
        h5.check("in use, above 1.0 m, upper edge", "%", -1.0, high.to_percent, 1e-12),
    ]
}
