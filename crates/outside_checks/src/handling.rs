//! Roll, load transfer and static stability.

use mechanics::GRAVITY_M_PER_S2;
use mechanics::elements::AntiRollBar;
use mechanics::handling::{AxleInRoll, Handling, RoadAcceleration, RollModel, StaticStability};
use mechanics::statics::{CORNERS, CornerLoads, FRONT, FittedBar, REAR};

use crate::Check;
use crate::check::{Case, Computed, or_failing};
use crate::joined_axles::{BEAM_ARM_M, TRACK_M, leaf_van, trailing_beam_van};
use crate::statics::linear_van;

const POUND_KG: f64 = 0.453_592_37;
const FOOT_M: f64 = 0.304_8;
const POUND_FORCE_N: f64 = POUND_KG * GRAVITY_M_PER_S2;

/// Checks of roll, load transfer and stability.
pub fn checks() -> Vec<Check> {
    let computed = || {
        let mut checks = banked_turn()?;
        checks.extend(van()?);
        checks.extend(leaf_axle()?);
        checks.push(twist_beam()?);
        checks.extend(static_stability());
        Ok(checks)
    };
    or_failing(computed())
}

fn banked_turn() -> Computed {
    let case = Case {
        id: "D10, banked turn in US units",
        source: "Milliken and Milliken, Race Car Vehicle Dynamics, ch. 16 and 18, summary example (inputs read in a \
                 public student script, book lines from memory): no moment of the leaning weight, transfers with the \
                 weight of the level car, wheel loads with the effective weight",
        mark: "verified inputs+recomputed",
    };
    let corner_loads_kg = [1020.0, 1020.0, 680.0, 680.0].map(|load_lb| load_lb * POUND_KG);
    let (half_track_m, wheelbase_m) = (2.5 * FOOT_M, 9.5 * FOOT_M);
    let wheels_m = [(0.0, 1.0), (0.0, -1.0), (-wheelbase_m, 1.0), (-wheelbase_m, -1.0)]
        .map(|(x_m, side)| [x_m, side * half_track_m, 0.0]);
    let car = CornerLoads(corner_loads_kg).sprung_mass([0.0; CORNERS], wheels_m, 1.5 * FOOT_M);
    let ahead_of_rear_m = wheelbase_m + car.centre_of_gravity_m[0];
    let axle = |sprung_mass_kg: f64, roll_centre_ft: f64, lb_ft_per_deg: f64| AxleInRoll {
        sprung_mass_kg,
        unsprung_mass_kg: 0.0,
        unsprung_height_m: 0.0,
        track_m: 2.0 * half_track_m,
        roll_centre_height_m: roll_centre_ft * FOOT_M,
        suspension_nm_per_rad: lb_ft_per_deg * POUND_FORCE_N * FOOT_M / 1f64.to_radians(),
        tyres_nm_per_rad: f64::INFINITY,
    };
    let front_kg = car.mass_kg * ahead_of_rear_m / wheelbase_m;
    let model = RollModel {
        sprung_cg_height_m: car.centre_of_gravity_m[2],
        axles: [axle(front_kg, 0.25, 1222.0), axle(car.mass_kg - front_kg, 0.625, 873.0)],
        gravity_m_per_s2: 0.0,
    };
    let balance = model.balance()?;
    // 146.7 ft/s on a radius of 600 ft at 32.2 ft/s² are 1.113918 g
    let road = RoadAcceleration::on_bank(146.7 * 146.7 / 600.0 / 32.2 * GRAVITY_M_PER_S2, 10f64.to_radians());
    let effective = corner_loads_kg.map(|load_kg| load_kg * road.into_m_per_s2);
    // a left turn: the left wheels are the inner ones
    let loads_lb = balance.wheel_loads_n(effective, road.along_m_per_s2).map(|load_n| load_n / POUND_FORCE_N);
    let transfer_lb = balance
        .transfer
        .map(|transfer| transfer.total_n_per_m_per_s2() * road.along_m_per_s2 / POUND_FORCE_N);
    let lb = |what: &str, expected: f64, got: f64| case.check(what, "lb", expected, got, 0.05);
    Ok(vec![
        case.check("centre of gravity ahead of the rear axle", "ft", 5.7, ahead_of_rear_m / FOOT_M, 1e-9),
        case.check("centre of gravity over the roll axis", "ft", 1.1, balance.roll_arm_m / FOOT_M, 1e-9),
        case.check(
            "lateral acceleration along the road",
            "g",
            0.923_347,
            road.along_m_per_s2 / GRAVITY_M_PER_S2,
            1e-5,
        ),
        lb("effective weight", 4006.01, effective.iter().sum::<f64>() / POUND_FORCE_N),
        lb("front transfer", 497.04, transfer_lb[FRONT]),
        lb("rear transfer", 444.77, transfer_lb[REAR]),
        case.check("roll gradient", "deg/g", 1.7852, balance.roll_gradient_deg_per_g(), 1e-4),
        lb("outer front wheel", 1698.84, loads_lb[1]),
        lb("inner front wheel", 704.76, loads_lb[0]),
        lb("outer rear wheel", 1245.97, loads_lb[3]),
        lb("inner rear wheel", 356.43, loads_lb[2]),
    ])
}

fn van() -> Computed {
    let case = Case {
        id: "D11, van, wheel rates 32 and 45 N/mm, front bar, rigid wheels",
        source: "own case, roll and load transfer solved with general-purpose libraries; the overall moments balance \
                 to 1e-9",
        mark: "recomputed",
    };
    // the springs of the linear van are those of the case, and at constant rates the load on them does not matter
    let mut van = linear_van()?;
    let bar = AntiRollBar { rate_nm_per_rad: 28_000.0 };
    van.bars = [Some(FittedBar::AtTheAxle { bar, track_m: 1.74 }), None];
    let stiffness = Handling::of(&van, &van.rest()?)
        .roll_stiffness
        .map(|stiffness| stiffness.on_rigid_wheels_nm_per_rad());
    let sprung_mass_kg = 2500.0;
    let axle = |axle: usize, share: f64| AxleInRoll {
        sprung_mass_kg: sprung_mass_kg * share,
        unsprung_mass_kg: [130.0, 150.0][axle],
        unsprung_height_m: 0.33,
        track_m: [1.74, 1.72][axle],
        roll_centre_height_m: [0.12, 0.35][axle],
        suspension_nm_per_rad: stiffness[axle],
        tyres_nm_per_rad: f64::INFINITY,
    };
    let model = RollModel {
        sprung_cg_height_m: 0.90,
        axles: [axle(FRONT, 1.80 / 3.45), axle(REAR, 1.65 / 3.45)],
        gravity_m_per_s2: GRAVITY_M_PER_S2,
    };
    let balance = model.balance()?;
    let without = RollModel { gravity_m_per_s2: 0.0, ..model }.balance()?;
    let half_g_n = balance.transfer.map(|transfer| 0.5 * GRAVITY_M_PER_S2 * transfer.total_n_per_m_per_s2());
    let gradient = |what: &str, expected: f64, got: f64| case.check(what, "deg/g", expected, got, 1e-5);
    Ok(vec![
        case.check("roll arm", "m", 0.67, balance.roll_arm_m, 1e-9),
        case.check("front roll stiffness ½ k T² and bar", "N m/rad", 76_441.6, stiffness[FRONT], 0.1),
        case.check("rear roll stiffness ½ k T²", "N m/rad", 66_564.0, stiffness[REAR], 0.1),
        gradient("roll gradient", 7.435_238, balance.roll_gradient_deg_per_g()),
        gradient(
            "roll gradient without the moment of the leaning weight",
            6.581_200,
            without.roll_gradient_deg_per_g(),
        ),
        case.check("front transfer at 0.5 g", "N", 3412.48, half_g_n[FRONT], 0.05),
        case.check("rear transfer at 0.5 g", "N", 3845.14, half_g_n[REAR], 0.05),
        case.check("front share of the transfer", "-", 0.470_193, balance.front_share(), 1e-5),
    ])
}

fn leaf_axle() -> Computed {
    let case = Case {
        id: "D12, roll stiffness of a leaf-sprung solid axle by virtual work",
        source: "Gillespie, Fundamentals of Vehicle Dynamics, ch. 6: spring base, not track",
        mark: "recomputed",
    };
    let van = leaf_van()?;
    let stiffness = Handling::of(&van, &van.rest()?).roll_stiffness[REAR];
    let check = |what: &str, expected: f64, got: f64, allowed: f64| {
        case.check(what, "N m/rad", expected, got, allowed)
    };
    Ok(vec![
        // rounding of the tables (1e-15 m) in their second derivatives, with 5 kN on each spring: 1e-5
        check("springs 60 N/mm on a base of 1.00 m", 30_000.0, stiffness.springs_nm_per_rad, 1e-3),
        check("tyres 280 N/mm on a track of 1.72 m", 414_176.0, stiffness.tyres_nm_per_rad, 1.0),
        check("both in series", 27_973.8, stiffness.with_tyres_nm_per_rad(), 0.1),
    ])
}

fn twist_beam() -> Result<Check, Box<dyn std::error::Error>> {
    let case = Case {
        id: "J5, torsion of a twist beam as roll stiffness of its axle",
        source: "virtual work: the beam twists by the roll times track over arm, K (T / L)²",
        mark: "recomputed",
    };
    let mut van = trailing_beam_van()?;
    van.bars[REAR] = Some(FittedBar::ThroughLinks(AntiRollBar { rate_nm_per_rad: 3_000.0 }));
    let got = Handling::of(&van, &van.rest()?).roll_stiffness[REAR].bar_nm_per_rad;
    let expected = 3_000.0 * (TRACK_M / BEAM_ARM_M).powi(2);
    Ok(case.check("beam of 3000 N m/rad, arm 450 mm", "N m/rad", expected, got, 0.1))
}

fn static_stability() -> Vec<Check> {
    let case = Case {
        id: "F1, static stability factor, track 1.73 m",
        source: "NHTSA, rollover resistance rating: half track over height of the centre of gravity (read in the rule text)",
        mark: "verified+recomputed",
    };
    let at = |centre_of_gravity_height_m: f64| StaticStability { track_m: 1.73, centre_of_gravity_height_m };
    let cost_percent = 100.0 * (1.0 - at(0.88).factor() / at(0.85).factor());
    vec![
        case.check("factor at a height of 0.85 m", "-", 1.017_647, at(0.85).factor(), 1e-6),
        case.check("factor at 0.70 m", "-", 1.235_714, at(0.70).factor(), 1e-6),
        case.check("tilt angle at 0.85 m", "deg", 45.501, at(0.85).tilt_angle_rad().to_degrees(), 1e-3),
        case.check("tilt angle at 0.70 m", "deg", 51.019, at(0.70).tilt_angle_rad().to_degrees(), 1e-3),
        case.check("loss by a lift of 30 mm at 0.85 m", "%", 3.4, cost_percent, 0.05),
    ]
}
