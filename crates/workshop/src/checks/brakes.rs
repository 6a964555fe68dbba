//! Brakes, hoses, leads and sensors: what a change of height asks for before the van is driven.

use mechanics::statics::{FRONT, REAR};

use super::{Area, Check, Finding};
use crate::assembly::axle_mean;
use crate::facts::{self, BRAKE_VALVE, DRIVER_ASSISTANCE, IS_FITTED, ON_REAR_AXLE, Words};
use crate::figure::{Evidence, Figure};
use crate::load_list::LoadState;
use crate::standing::Standing;
use crate::units::mm_from_m;
use crate::wording::Axle;
use crate::wording::check_says::body::{self, SetAnew};

/// A change of height below this moves no valve and no sensor that matters, mm (common practice, no source).
const MATTERS_MM: f64 = 5.0;
/// State in which heights are compared.
const COMPARED_IN: LoadState = LoadState::DayToDay;

/// Valve, sensors, hoses.
pub(super) fn checks(standing: &Standing) -> Vec<Check> {
    let mut checks = Vec::new();
    let rear_mm = change_mm(standing, REAR);
    let any_mm = [FRONT, REAR].map(|axle| change_mm(standing, axle).abs()).into_iter().fold(0.0, f64::max);
    if rear_mm.abs() >= MATTERS_MM {
        checks.extend(by_fact(standing, (BRAKE_VALVE, ON_REAR_AXLE), rear_mm, &VALVE));
    }
    if any_mm >= MATTERS_MM {
        checks.extend(by_fact(standing, (facts::HEIGHT_SENSOR, IS_FITTED), any_mm, &SENSOR));
        checks.extend(by_fact(standing, (DRIVER_ASSISTANCE, IS_FITTED), any_mm, &ASSISTANCE));
    }
    checks.extend([FRONT, REAR].into_iter().filter_map(|axle| hoses(standing, axle)));
    checks
}

/// What follows where something is fitted, and what to ask where that is not known.
struct Consequence {
    check: &'static str,
    finding: Finding,
    what: SetAnew,
}

const VALVE: Consequence =
    Consequence { check: "load_sensing_brake_valve", finding: Finding::DoNot, what: SetAnew::Valve };

const SENSOR: Consequence =
    Consequence { check: "height_sensor", finding: Finding::LookAtIt, what: SetAnew::HeightSensor };

const ASSISTANCE: Consequence =
    Consequence { check: "driver_assistance", finding: Finding::LookAtIt, what: SetAnew::Assistance };

fn by_fact(
    standing: &Standing,
    (fact, answer): (&str, &str),
    change_mm: f64,
    consequence: &Consequence,
) -> Option<Check> {
    let said = |fitted: bool| Words::of(|language| body::set_anew(language, consequence.what, fitted));
    match standing.known.facts().is(fact, answer) {
        Some(false) => None,
        Some(true) => Some(told(consequence.check, consequence.finding, change_mm, said(true))),
        None => Some(told(consequence.check, Finding::LookAtIt, change_mm, said(false))),
    }
}

/// Hoses and leads are looked at, never computed, wherever a wheel hangs lower than it did.
fn hoses(standing: &Standing, axle: usize) -> Option<Check> {
    let lowest_m =
        |solved: &crate::fitment::Solved| solved.rest.travel_m[2 * axle] - solved.limits[2 * axle].rebound_m;
    let lower_mm =
        mm_from_m(lowest_m(standing.known.solved_as_new(COMPARED_IN)) - lowest_m(standing.at(COMPARED_IN)));
    (lower_mm >= 1.0).then(|| {
        let said = Words::of(|language| body::hoses(language, Axle::of(axle)));
        told("hoses_and_leads", Finding::LookAtIt, lower_mm, said).on(axle)
    })
}

fn told(check: &'static str, finding: Finding, change_mm: f64, said: Words) -> Check {
    let figure = Figure::exact(change_mm, Evidence::Computed);
    Check { finding, ..Check::told(check, Area::Brakes, (figure, "mm"), said).in_state(COMPARED_IN) }
}

/// Rise of the body over an axle against new original parts.
fn change_mm(standing: &Standing, axle: usize) -> f64 {
    let now = &standing.at(COMPARED_IN).rest.arch_height_m;
    let new = &standing.known.solved_as_new(COMPARED_IN).rest.arch_height_m;
    mm_from_m(axle_mean(now, axle) - axle_mean(new, axle))
}
