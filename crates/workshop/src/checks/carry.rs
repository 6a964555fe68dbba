//! Loads against the statutory plate and the tow ball's limit.

use mechanics::statics::{FRONT, REAR};

use super::checked::{Checked, held, words};
use super::{Area, Check, Limit};
use crate::figure::Evidence;
use crate::figure::Figure;
use crate::load_list::LoadState;
use crate::units::kg_from_n;

/// A load counts as hanging on the tow ball when it lies this close to it, mm.
pub(crate) const ON_THE_BALL_MM: f64 = 30.0;

/// Gross mass, axle loads and the load on the tow ball in every load state.
pub(super) fn checks(checked: &Checked) -> Vec<Check> {
    LoadState::ALL
        .into_iter()
        .flat_map(|state| plated(checked, state).into_iter().chain(ball(checked, state)))
        .collect()
}

fn plated(checked: &Checked, state: LoadState) -> Vec<Check> {
    let grade = checked.known.van.grade;
    let loads_n = checked.at(state).band.middle.wheel_load_n;
    let over = |corners: &'static [usize]| {
        let value_kg = kg_from_n(corners.iter().map(|&i| loads_n[i]).sum());
        let slope =
            |r: &mechanics::statics::Response| corners.iter().map(|&i| kg_from_n(r.wheel_load_n[i])).sum();
        checked.figure(state, value_kg, slope)
    };
    let named: [(&'static str, &'static [usize], f64, [&str; 2]); 3] = [
        ("gross_mass", &[0, 1, 2, 3], grade.plated_gross_kg, ["gross mass", "Gesamtmasse"]),
        ("front_axle_load", &[0, 1], grade.plated_front_axle_kg, ["front axle load", "Achslast vorn"]),
        ("rear_axle_load", &[2, 3], grade.plated_rear_axle_kg, ["rear axle load", "Achslast hinten"]),
    ];
    named
        .into_iter()
        .map(|(check, corners, plated_kg, [en, de])| {
            let said = words(
                format!("{en} against its plate; no kit changes the plate"),
                format!("{de} gegen das Typschild; kein Satz ändert das Typschild"),
            );
            let source = words("statutory plate", "Typschild");
            held(check, Area::Carry, state, (over(corners), "kg"), at_most(plated_kg, source), said)
        })
        .collect()
}

fn at_most(kg: f64, source: crate::facts::Words) -> Limit {
    Limit { at_least: None, at_most: Some(kg), source }
}

fn ball(checked: &Checked, state: LoadState) -> Option<Check> {
    let ball = checked.known.van.sheet.body.tow_ball.as_ref()?;
    let hanging: Vec<_> = checked
        .known
        .enquiry
        .items
        .iter()
        .filter(|carried| carried.states.contains(&state))
        .filter(|carried| ball.carries(carried, ON_THE_BALL_MM))
        .collect();
    if hanging.is_empty() {
        return None;
    }
    let load_kg: f64 = hanging.iter().map(|carried| carried.item.mass_kg).sum();
    let spread_kg = hanging.iter().map(|carried| carried.item.plus_minus_kg.powi(2)).sum::<f64>().sqrt();
    let figure = Figure {
        low: load_kg - spread_kg,
        high: load_kg + spread_kg,
        ..Figure::exact(load_kg, Evidence::Estimated)
    };
    let source = words("plate of the coupling", "Schild der Anhängekupplung");
    let said = words("load on the tow ball", "Stützlast");
    Some(held(
        "tow_ball_load",
        Area::Carry,
        state,
        (figure, "kg"),
        at_most(ball.greatest_load_kg, source),
        said,
    ))
}

/// Axles, for the checks that look at each.
pub(super) const AXLES: [(usize, [&str; 2]); 2] = [(FRONT, ["front", "vorn"]), (REAR, ["rear", "hinten"])];
