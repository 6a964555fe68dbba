//! Brakes, hoses, leads and sensors: what a change of height asks for before the van is driven.

use mechanics::statics::REAR;

use super::carry::AXLES;
use super::checked::{Checked, words};
use super::{Area, Check, Finding};
use crate::assembly::axle_mean;
use crate::facts::Words;
use crate::figure::{Evidence, Figure};
use crate::load_list::LoadState;
use crate::units::mm_from_m;

/// A change of height below this moves no valve and no sensor that matters, mm (common practice, no source).
const MATTERS_MM: f64 = 5.0;
/// State in which heights are compared.
const COMPARED_IN: LoadState = LoadState::DayToDay;

/// Valve, sensors, hoses.
pub(super) fn checks(checked: &Checked) -> Vec<Check> {
    let mut checks = Vec::new();
    let rear_mm = change_mm(checked, REAR);
    let any_mm = AXLES.map(|(axle, _)| change_mm(checked, axle).abs()).into_iter().fold(0.0, f64::max);
    if rear_mm.abs() >= MATTERS_MM {
        checks.extend(by_fact(checked, ("brake-valve", "on-rear-axle"), rear_mm, &VALVE));
    }
    if any_mm >= MATTERS_MM {
        checks.extend(by_fact(checked, ("height-sensor", "fitted"), any_mm, &HEIGHT_SENSOR));
        checks.extend(by_fact(checked, ("driver-assistance", "fitted"), any_mm, &ASSISTANCE));
    }
    checks.extend(AXLES.into_iter().filter_map(|(axle, name)| hoses(checked, axle, name)));
    checks
}

/// What follows where something is fitted, and what to ask where that is not known.
struct Consequence {
    check: &'static str,
    finding: Finding,
    fitted: [&'static str; 2],
    unknown: [&'static str; 2],
}

const VALVE: Consequence = Consequence {
    check: "load_sensing_brake_valve",
    finding: Finding::DoNot,
    fitted: [
        "a load-sensing brake valve hangs on the rear axle: do not drive before it is set again as the maker says",
        "ein lastabhängiger Bremsdruckregler hängt an der Hinterachse: vor der Neueinstellung nach Herstellerangabe nicht fahren",
    ],
    unknown: [
        "look for a valve with a rod to the rear axle: a changed height changes the braking",
        "nach einem Regler mit Gestänge zur Hinterachse sehen: eine andere Höhe ändert das Bremsen",
    ],
};

const HEIGHT_SENSOR: Consequence = Consequence {
    check: "height_sensor",
    finding: Finding::LookAtIt,
    fitted: ["height sensors on the axles are calibrated anew", "Höhensensoren an den Achsen neu anlernen"],
    unknown: ["look for height sensors on the axles", "nach Höhensensoren an den Achsen sehen"],
};

const ASSISTANCE: Consequence = Consequence {
    check: "driver_assistance",
    finding: Finding::LookAtIt,
    fitted: [
        "cameras and radars are calibrated where the maker asks for it after a change of height (trade code of practice, 2016)",
        "Kameras und Radare anlernen, wo der Hersteller es nach einer Höhenänderung verlangt (Verhaltenskodex der Branche, 2016)",
    ],
    unknown: ["ask whether the van has cameras or radars", "fragen, ob der Wagen Kameras oder Radare hat"],
};

fn by_fact(
    checked: &Checked,
    (fact, answer): (&str, &str),
    change_mm: f64,
    consequence: &Consequence,
) -> Option<Check> {
    let said = |[en, de]: [&str; 2]| {
        words(
            format!("{en}; change of height against original parts"),
            format!("{de}; Höhenänderung gegenüber Originalteilen"),
        )
    };
    match checked.known.facts().is(fact, answer) {
        Some(false) => None,
        Some(true) => Some(told(consequence.check, consequence.finding, change_mm, said(consequence.fitted))),
        None => Some(told(consequence.check, Finding::LookAtIt, change_mm, said(consequence.unknown))),
    }
}

/// Hoses and leads are looked at, never computed, wherever a wheel hangs lower than it did.
fn hoses(checked: &Checked, axle: usize, [en, de]: [&str; 2]) -> Option<Check> {
    let lowest_m = |solved: &crate::fitment::Solved| {
        solved.band.middle.travel_m[2 * axle] - solved.limits[2 * axle].rebound_m
    };
    let lower_mm =
        mm_from_m(lowest_m(checked.known.solved_as_new(COMPARED_IN)) - lowest_m(checked.at(COMPARED_IN)));
    (lower_mm >= 1.0).then(|| {
        told(
            "hoses_and_leads",
            Finding::LookAtIt,
            lower_mm,
            words(
                format!("{en}: so much lower do the wheels hang than on original parts; look at brake hoses, sensor leads, handbrake cables and shafts at full droop and lock"),
                format!("{de}: so viel tiefer hängen die Räder als mit Originalteilen; Bremsschläuche, Sensorleitungen, Handbremsseile und Wellen bei voller Ausfederung und Einschlag ansehen"),
            ),
        )
        .on(axle)
    })
}

fn told(check: &'static str, finding: Finding, change_mm: f64, said: Words) -> Check {
    Check {
        check,
        area: Area::Brakes,
        axle: None,
        state: Some(COMPARED_IN),
        finding,
        figure: Some(Figure::exact(change_mm, Evidence::Computed)),
        unit: "mm",
        limit: None,
        words: said,
    }
}

/// Rise of the body over an axle against new original parts.
fn change_mm(checked: &Checked, axle: usize) -> f64 {
    let now = &checked.at(COMPARED_IN).band.middle.arch_height_m;
    let new = &checked.known.solved_as_new(COMPARED_IN).band.middle.arch_height_m;
    mm_from_m(axle_mean(now, axle) - axle_mean(new, axle))
}
