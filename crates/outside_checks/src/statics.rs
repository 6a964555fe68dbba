//! Rest on four corners.

use std::sync::Arc;

use mechanics::GRAVITY_M_PER_S2;
use mechanics::elements::{AntiRollBar, Damper, Friction, Spring, SpringStack, Tyre};
use mechanics::linkage::{Linkage, MeasuredRatio, TapeMeasure, TapeMeasureAxle};
use mechanics::statics::{
    CORNERS, Corner, FittedBar, FourCorners, Parameter, Response, Sensitivities, SprungMass, axle_of, side_of,
};

use crate::Check;
use crate::check::{Case, Computed, or_failing};

const SOURCE: &str = "independent linear solution in seven unknowns and minimisation of energy with a general-purpose \
                      library (scipy), which agree to 1e-5 mm; compared with the responses at the level rest, since \
                      the full solution here turns the body exactly and differs by the second order";
const WHEELS: [&str; CORNERS] = ["left front", "right front", "left rear", "right rear"];
const WHEEL_HEIGHT_M: f64 = 0.33;

/// Checks of the four-corner balance.
pub fn checks() -> Vec<Check> {
    or_failing(computed())
}

fn computed() -> Computed {
    let van = linear_van()?;
    let rest = van.rest()?;
    let sensitivities = Sensitivities::at(&van, &rest);

    let case = Case { id: "D13, one spring perch raised by 10 mm", source: SOURCE, mark: "recomputed" };
    let raised = sensitivities.response_to(Parameter::SeatShift(0));
    let load_kg = raised.wheel_load_n.map(|per_m| 0.010 * per_m / GRAVITY_M_PER_S2);
    let loads = per_wheel(&case, "load change", "kg", [7.2461, -7.2461, -7.3304, 7.3304], load_kg, 1e-3);
    let rise_mm = rise_over_wheels(&raised).map(|per_m| 10.0 * per_m);
    let rises =
        per_wheel(&case, "body rise over the wheel", "mm", [6.7422, 3.2578, 1.7221, -1.7221], rise_mm, 1e-3);
    let sum = case.check("sum of load changes", "kg", 0.0, load_kg.iter().sum(), 1e-9);

    let case = Case { id: "D14, centre of gravity 30 mm to the left", source: SOURCE, mark: "recomputed" };
    // 2200 kg moved by 30 mm are 33 kg moved from 1 m right to 1 m left
    let [left, right] =
        [1.0, -1.0].map(|y_m| sensitivities.response_to(Parameter::MassAt([-1.65, y_m, WHEEL_HEIGHT_M])));
    let load_kg = std::array::from_fn(|i| {
        (rest.wheel_load_n[i] + 33.0 * (left.wheel_load_n[i] - right.wheel_load_n[i])) / GRAVITY_M_PER_S2
    });
    let offset = per_wheel(&case, "load", "kg", [652.040, 615.786, 621.121, 581.053], load_kg, 1e-3);
    let drop_mm = 33e3 * (rise_over_wheels(&right)[0] - rise_over_wheels(&left)[0]);
    let drop = case.check("body drop over the left front wheel", "mm", 4.7613, drop_mm, 1e-3);

    Ok(loads.into_iter().chain(rises).chain([sum]).chain(offset).chain([drop]).collect())
}

fn per_wheel(
    case: &Case,
    what: &str,
    unit: &'static str,
    expected: [f64; CORNERS],
    got: [f64; CORNERS],
    allowed: f64,
) -> [Check; CORNERS] {
    std::array::from_fn(|i| case.check(format!("{what}, {}", WHEELS[i]), unit, expected[i], got[i], allowed))
}

/// Rise of the body over the wheel centres, m per unit: the lip of this van stands straight above them.
fn rise_over_wheels(response: &Response) -> [f64; CORNERS] {
    std::array::from_fn(|i| response.arch_height_m[i] + response.wheel_centre_height_m[i])
}

/// The linear vehicle of the source: vertical guides of motion ratio 1, springs and tyres of constant rate, bars at
/// the axle, and the centre of gravity at wheel-centre height, so that tilting gives the weight no moment.
/// All travels are zero at rest.
pub(crate) fn linear_van() -> Result<FourCorners, Box<dyn std::error::Error>> {
    let front = [corner(0)?, corner(1)?];
    let rear = [corner(2)?, corner(3)?];
    let [[front_left, front_right], [rear_left, rear_right]] = [front, rear];
    let bar = |rate_nm_per_rad: f64, track_m: f64| {
        Some(FittedBar::AtTheAxle { bar: AntiRollBar { rate_nm_per_rad }, track_m })
    };
    Ok(FourCorners {
        corners: [front_left, front_right, rear_left, rear_right],
        bars: [bar(18_000.0, 1.74), bar(6_000.0, 1.72)],
        sprung: SprungMass { mass_kg: 2200.0, centre_of_gravity_m: [-1.65, 0.0, WHEEL_HEIGHT_M] },
    })
}

fn corner(i: usize) -> Result<Corner, Box<dyn std::error::Error>> {
    let axle = axle_of(i);
    let wheel_centre_m = [[0.0, 0.87, WHEEL_HEIGHT_M], [-3.45, 0.86, WHEEL_HEIGHT_M]][axle];
    let carried_n = 2200.0 * [1.80, 1.65][axle] / 3.45 / 2.0 * GRAVITY_M_PER_S2;
    let unsprung_mass_kg = [60.0, 75.0][axle];
    let wheel_rate_n_per_m = [32e3, 45e3][axle];
    let tyre_rate_n_per_m = [250e3, 280e3][axle];
    let spring_length_m = 0.30;
    let guide = TapeMeasure::new(TapeMeasureAxle {
        wheel_centre_m,
        tyre_radius_m: WHEEL_HEIGHT_M,
        arm: None,
        spring_ratio: MeasuredRatio::Constant(1.0),
        damper_ratio: MeasuredRatio::Constant(1.0),
        spring_length_at_design_m: spring_length_m,
        damper_length_at_design_m: 0.45,
    })?;
    let free_length_m = spring_length_m + carried_n / wheel_rate_n_per_m;
    let deflection_m = (carried_n + unsprung_mass_kg * GRAVITY_M_PER_S2) / tyre_rate_n_per_m;
    let [x_m, y_m, z_m] = wheel_centre_m;
    Ok(Corner {
        table: Arc::new(Linkage::TapeMeasure(Box::new(guide)).table(0.10, 0.10)?),
        side: side_of(i),
        spring: SpringStack::single(Spring::linear(wheel_rate_n_per_m, free_length_m, None)?),
        seat_shift_m: 0.0,
        added_leaves: Vec::new(),
        air: None,
        seat_packing_m: 0.0,
        spring_travel_factor: 1.0,
        body_shift_m: 0.0,
        damper: Damper::new(0.58, 0.30, 0.0, 0.0)?,
        stop: None,
        bush: None,
        friction: Friction::default(),
        wheel_force_n: 0.0,
        tyre: Tyre::linear(WHEEL_HEIGHT_M + deflection_m, tyre_rate_n_per_m)?,
        unsprung_mass_kg,
        lip_m: [x_m, y_m, z_m + 0.45],
    })
}
