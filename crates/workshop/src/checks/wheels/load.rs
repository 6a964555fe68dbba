//! What a rim and tyre carry, how fast, and at which pressure.

use mechanics::statics::{FRONT, REAR};

use super::super::{Area, Check, Finding};
use super::{Pair, at_least, at_most, between};
use crate::facts::Words;
use crate::figure::{Evidence, Figure};
use crate::load_list::LoadState;
use crate::tyre::pressure_for_load;
use crate::tyre_marking::LoadIndex;
use crate::units::kg_from_n;
use crate::wording::Axle;
use crate::wording::check_says::tyres::{self as says, Decides};
use crate::wording::check_says::{self};

/// Load states in which a van is driven.
const DRIVEN_IN: [LoadState; 3] = [LoadState::AsFittedOut, LoadState::DayToDay, LoadState::FullyLaden];

pub(super) fn checks(pair: &Pair) -> Vec<Check> {
    let grade = pair.standing.known.van.grade;
    let plated_kg = [grade.plated_front_axle_kg, grade.plated_rear_axle_kg];
    let axles = || [FRONT, REAR].into_iter();
    let mut checks: Vec<Check> = axles().map(|axle| tyres_on_plate(pair, plated_kg[axle], axle)).collect();
    checks.extend(axles().map(|axle| rims_on_plate(pair, plated_kg[axle], axle)));
    checks.push(speed_symbol(pair));
    checks.extend(
        LoadState::ALL
            .into_iter()
            .flat_map(|state| axles().map(move |axle| (state, axle)))
            .map(|(state, axle)| tyres_on_load(pair, state, axle)),
    );
    checks.extend(axles().flat_map(|axle| pressures(pair, axle)));
    checks
}

/// Two tyres against the plated axle load.
fn tyres_on_plate(pair: &Pair, plated_kg: f64, axle: usize) -> Check {
    let (index, two_kg) = (pair.tyre.service.single.index(), 2.0 * pair.tyre.load_kg());
    let figure = Figure::exact(two_kg, Evidence::MakersFigure);
    let needed = LoadIndex::least_for(0.5 * plated_kg).filter(|_| two_kg < plated_kg).map(LoadIndex::index);
    let said = Words::of(|language| {
        says::tyres_on_plate(language, Axle::of(axle), index, [two_kg, plated_kg], needed)
    });
    let limit = at_least(plated_kg, check_says::index_on_plate());
    Check::held("tyre_load_index", Area::Wheels, (figure, "kg"), limit, said).on(axle)
}

/// Two rims against the plated axle load.
fn rims_on_plate(pair: &Pair, plated_kg: f64, axle: usize) -> Check {
    let two_kg = 2.0 * pair.rim.load_rating_kg;
    let figure = Figure::exact(two_kg, Evidence::MakersFigure);
    let said = Words::of(|language| says::rims_on_plate(language, Axle::of(axle), two_kg, plated_kg));
    let limit = at_least(plated_kg, check_says::rating_on_plate());
    Check::held("rim_load_rating", Area::Wheels, (figure, "kg"), limit, said).on(axle)
}

/// Two tyres against the axle load of a load state.
fn tyres_on_load(pair: &Pair, state: LoadState, axle: usize) -> Check {
    let two_kg = 2.0 * pair.tyre.load_kg();
    let figure = load_figure(pair, state, &[2 * axle, 2 * axle + 1]);
    let load_kg = figure.value;
    let said = Words::of(|language| says::tyres_on_load(language, Axle::of(axle), load_kg, two_kg));
    let limit = at_most(two_kg, check_says::load_index());
    Check::held("tyre_load", Area::Wheels, (figure, "kg"), limit, said).in_state(state).on(axle)
}

fn load_figure(pair: &Pair, state: LoadState, corners: &[usize]) -> Figure {
    let loads_n = pair.standing.at(state).rest.wheel_load_n;
    let value_kg = kg_from_n(corners.iter().map(|&i| loads_n[i]).sum());
    pair.standing.figure(state, value_kg, |r| corners.iter().map(|&i| kg_from_n(r.wheel_load_n[i])).sum())
}

/// Pressure for the heavier wheel of an axle in every load state, both wheels filled alike. The tyres are filled once: the
/// state that asks for most decides.
fn pressures(pair: &Pair, axle: usize) -> Vec<Check> {
    let heavier = |state: LoadState| {
        let loads_n = pair.standing.at(state).rest.wheel_load_n;
        if loads_n[2 * axle + 1] > loads_n[2 * axle] { 2 * axle + 1 } else { 2 * axle }
    };
    let loads_kg = |state: LoadState| pair.standing.at(state).rest.wheel_load_n.map(kg_from_n);
    let decides = DRIVEN_IN
        .map(|state| {
            let wheel = heavier(state);
            let load_kg = loads_kg(state)[wheel];
            Decides { wheel, state, load_kg, bar: needed_bar(pair, load_kg) }
        })
        .into_iter()
        .max_by(|a, b| a.load_kg.total_cmp(&b.load_kg));
    let Some(decides) = decides else { return Vec::new() };
    let said = Words::of(|language| says::pressure(language, Axle::of(axle), &decides));
    LoadState::ALL
        .into_iter()
        .map(|state| {
            let load = load_figure(pair, state, &[heavier(state)]);
            let [value, low, high] = [load.value, load.low, load.high].map(|kg| needed_bar(pair, kg));
            let figure = Figure { value, low, high, ..load };
            let tyre = pair.tyre;
            let limit =
                between([tyre.least_pressure_bar, tyre.reference_pressure_bar], pressure_source(pair));
            Check::held("tyre_pressure", Area::Wheels, (figure, "bar"), limit, said.clone())
                .in_state(state)
                .on(axle)
        })
        .collect()
}

/// Pressure that carries a wheel load, bar; beyond what the tyre carries by the formula, which is then more than it bears.
fn needed_bar(pair: &Pair, kg: f64) -> f64 {
    let tyre = pair.tyre;
    let beyond =
        || pressure_for_load(kg, tyre.load_kg(), tyre.reference_pressure_bar, tyre.least_pressure_bar);
    tyre.pressure_bar(kg).unwrap_or_else(beyond)
}

fn pressure_source(pair: &Pair) -> Words {
    if pair.tyre.load_over_pressure.is_some() {
        check_says::pressure_table()
    } else {
        check_says::pressure_formula()
    }
}

fn speed_symbol(pair: &Pair) -> Check {
    const CHECK: &str = "tyre_speed_symbol";
    let symbol = pair.tyre.service.speed;
    let good_for = symbol.top_speed_km_per_h;
    let Some(top_km_per_h) = pair.sheet.top_speed_km_per_h else {
        let said = Words::of(|language| says::top_speed_not_known(language, good_for));
        return Check::unknown(CHECK, Area::Wheels, said);
    };
    let figure = Figure::exact(f64::from(good_for), Evidence::MakersFigure);
    let limit = at_least(top_km_per_h, check_says::speed_symbols());
    let winter = f64::from(good_for) < top_km_per_h && pair.tyre.marking.mud_and_snow;
    let said = Words::of(|language| {
        says::speed_symbol(language, &symbol.letter.to_string(), good_for, top_km_per_h, winter)
    });
    let check = Check::held(CHECK, Area::Wheels, (figure, "km_per_h"), limit, said);
    Check { finding: if winter { Finding::LookAtIt } else { check.finding }, ..check }
}
