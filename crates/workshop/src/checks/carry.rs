//! Loads against the statutory plate and the tow ball's limit.

use mechanics::statics::{AxleLoads, FRONT, PointMass, REAR};

use super::{Area, Check, Limit};
use crate::facts::Words;
use crate::figure::Figure;
use crate::load_list::{CarriedItem, LoadState};
use crate::standing::Standing;
use crate::units::{m_from_mm, mm_from_m};
use crate::wording::Plate;
use crate::wording::check_says::{self, loads};

/// A load counts as hanging on the tow ball when it lies this close to it, mm.
pub(crate) const ON_THE_BALL_MM: f64 = 30.0;

/// Gross mass, axle loads and the load on the tow ball in every load state.
pub(super) fn checks(standing: &Standing) -> Vec<Check> {
    LoadState::ALL
        .into_iter()
        .flat_map(|state| plated(standing, state).into_iter().chain(ball(standing, state)))
        .collect()
}

fn plated(standing: &Standing, state: LoadState) -> Vec<Check> {
    let grade = standing.known.van.grade;
    let sitting = standing.sitting(state);
    let [front_kg, rear_kg] = [FRONT, REAR].map(|axle| sitting.axle_load_kg(axle));
    let named = [
        ("gross_mass", sitting.gross_kg(), grade.plated_gross_kg, Plate::GrossMass),
        ("front_axle_load", front_kg, grade.plated_front_axle_kg, Plate::FrontAxle),
        ("rear_axle_load", rear_kg, grade.plated_rear_axle_kg, Plate::RearAxle),
    ];
    named
        .into_iter()
        .map(|(check, load_kg, plated_kg, plate)| {
            let limit = at_most(plated_kg, check_says::statutory_plate());
            Check::held(check, Area::Carry, (load_kg.clone(), "kg"), limit, loads::against_plate(plate))
                .in_state(state)
        })
        .collect()
}

fn at_most(kg: f64, source: Words) -> Limit {
    Limit { at_least: None, at_most: Some(kg), source }
}

/// What hangs on the tow ball: the nose load of a trailer, and listed items at the ball.
fn ball(standing: &Standing, state: LoadState) -> Option<Check> {
    let ball = standing.known.van.sheet.body.tow_ball.as_ref()?;
    let hanging: Vec<&CarriedItem> = standing
        .known
        .enquiry
        .items
        .iter()
        .filter(|carried| carried.states.contains(&state))
        .filter(|carried| ball.carries(carried, ON_THE_BALL_MM))
        .collect();
    let evidence = hanging.iter().map(|carried| carried.item.evidence).max()?;
    let load_kg: f64 = hanging.iter().map(|carried| carried.item.mass_kg).sum();
    let spread_kg = hanging.iter().map(|carried| carried.item.plus_minus_kg.powi(2)).sum::<f64>().sqrt();
    let figure =
        Figure { low: load_kg - spread_kg, high: load_kg + spread_kg, ..Figure::exact(load_kg, evidence) };
    let at_m = ball.centre_mm.map(m_from_mm);
    let axle_x_m = [FRONT, REAR].map(|axle| standing.known.van.table(axle).wheel_centre_design_m[0]);
    let on_axles = ball_on_axles(load_kg, at_m, axle_x_m);
    let behind_mm = mm_from_m(axle_x_m[REAR] - at_m[0]);
    let said =
        Words::of(|language| loads::on_the_ball(language, behind_mm, [on_axles.front_kg, on_axles.rear_kg]));
    let limit = at_most(ball.greatest_load_kg, check_says::coupling_plate());
    Some(Check::held("tow_ball_load", Area::Carry, (figure, "kg"), limit, said).in_state(state))
}

/// What a load on the ball makes of the axle loads by its lever, the ball and both axles given along the van, m.
pub fn ball_on_axles(load_kg: f64, ball_m: [f64; 3], axle_x_m: [f64; 2]) -> AxleLoads {
    let [x_m, y_m, z_m] = ball_m;
    let from_front = PointMass { mass_kg: load_kg, at_m: [x_m - axle_x_m[FRONT], y_m, z_m] };
    AxleLoads::of(&[from_front], axle_x_m[FRONT] - axle_x_m[REAR])
}
