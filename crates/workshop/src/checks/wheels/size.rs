//! What the size of wheel and tyre changes: rim width, speedometer, gearing, body height, track, scrub radius.

use mechanics::statics::{FRONT, REAR};

use super::super::{Area, Check, Finding};
use super::{Pair, between};
use crate::facts::{DRIVEN_AXLES, Words};
use crate::figure::{Evidence, Figure};
use crate::load_list::LoadState;
use crate::tyre::{least_true_speed_km_per_h, true_speed_km_per_h};
use crate::units::mm_from_m;
use crate::wording::Axle;
use crate::wording::check_says::{self, makers_figure, tyres as says};

/// Rims by which a tyre's measuring rim may be missed, inch (ETRTO tables, from memory): usually half an inch narrower to an
/// inch wider.
const USUAL_RIMS_INCH: [f64; 2] = [-0.5, 1.0];
/// Rims at the edge of it are to be looked up, beyond they are out, inch.
const LOOK_UP_INCH: f64 = 0.5;
/// Speed at which the speedometer is held against its limits, km/h.
const INDICATED_KM_PER_H: f64 = 100.0;
/// Lead of a speedometer of which none was measured, per cent (common practice, no source); it may be anything that the
/// regulation allows.
pub(crate) const USUAL_LEAD_PERCENT: f64 = 3.0;
/// Load state in which wheel positions are told.
const TOLD_IN: LoadState = LoadState::DayToDay;

pub(super) fn checks(pair: &Pair) -> Vec<Check> {
    let mut checks = vec![rim_for_tyre(pair), rim_for_van(pair)];
    checks.extend(axles_told_apart(pair, sensed_axles(pair)).into_iter().map(|axle| speedometer(pair, axle)));
    checks.extend(axles_told_apart(pair, driven_axles(pair)).into_iter().map(|axle| gearing(pair, axle)));
    checks.extend([FRONT, REAR].map(|axle| body_height(pair, axle)));
    match pair.outboard_mm() {
        None => {
            checks.push(
                Check::unknown("scrub_radius_change", Area::Wheels, says::offset_not_known()).on(FRONT),
            );
        }
        Some(outboard_mm) => {
            checks.push(scrub_radius(pair, outboard_mm));
            checks.extend([FRONT, REAR].map(|axle| track(pair, axle, outboard_mm)));
        }
    }
    checks
}

fn rim_for_tyre(pair: &Pair) -> Check {
    const CHECK: &str = "rim_width_for_tyre";
    let (rim_inch, measuring_inch) = (pair.rim.width_inch, pair.tyre.marking.measuring_rim_inch());
    let figure = Figure::exact(rim_inch, Evidence::MakersFigure);
    let said =
        |ends: [f64; 2], look_up| Words::of(|language| says::rim_for_tyre(language, rim_inch, ends, look_up));
    if let Some(allowed) = pair.tyre.rim_width_inch {
        let limit = between(allowed, makers_figure());
        return Check::held(CHECK, Area::Wheels, (figure, "inch"), limit, said(allowed, false));
    }
    let usual = USUAL_RIMS_INCH.map(|inch| measuring_inch + inch);
    let near = (usual[0] - LOOK_UP_INCH..=usual[1] + LOOK_UP_INCH).contains(&rim_inch);
    let look_up = near && !(usual[0]..=usual[1]).contains(&rim_inch);
    let limit = between(usual, check_says::measuring_rims());
    let check = Check::held(CHECK, Area::Wheels, (figure, "inch"), limit, said(usual, look_up));
    Check { finding: if look_up { Finding::LookAtIt } else { check.finding }, ..check }
}

fn rim_for_van(pair: &Pair) -> Check {
    const CHECK: &str = "rim_width_for_van";
    let (rim_inch, allowed) = (pair.rim.width_inch, pair.sheet.allowed_rim_width_inch);
    let said = Words::of(|language| says::rim_for_van(language, rim_inch, allowed));
    let Some(allowed) = allowed else { return Check::unknown(CHECK, Area::Wheels, said) };
    let figure = Figure::exact(rim_inch, Evidence::MakersFigure);
    Check::held(CHECK, Area::Wheels, (figure, "inch"), between(allowed, makers_figure()), said)
}

/// Rolling circumference against that of an axle's original tyre.
fn circumference_ratio(pair: &Pair, axle: usize) -> f64 {
    let [before_mm, after_mm] = pair.diameters_mm(axle);
    after_mm / before_mm
}

/// Axles whose wheels the engine may turn.
fn driven_axles(pair: &Pair) -> Vec<usize> {
    let facts = pair.standing.known.facts();
    match facts.possible(DRIVEN_AXLES) {
        ["front"] => vec![FRONT],
        ["rear"] => vec![REAR],
        _ => vec![FRONT, REAR],
    }
}

/// Axles whose turning the speedometer may show: the one that the sheet names, else those that may be driven.
fn sensed_axles(pair: &Pair) -> Vec<usize> {
    pair.sheet.speed_sensed_at.map_or_else(|| driven_axles(pair), |axle| vec![axle as usize])
}

/// One axle where the original tyres of all of them are of one size, as then one stands for all.
fn axles_told_apart(pair: &Pair, mut axles: Vec<usize>) -> Vec<usize> {
    const SAME_SHARE: f64 = 1e-6;
    let first = axles.first().map_or(1.0, |&axle| circumference_ratio(pair, axle));
    if axles.iter().all(|&axle| (circumference_ratio(pair, axle) / first - 1.0).abs() < SAME_SHARE) {
        axles.truncate(1);
    }
    axles
}

/// True speed at an indicated 100 km/h against the band of UN R39. A lead that nobody measured may be anything that the
/// regulation allowed the van when it was new.
fn speedometer(pair: &Pair, axle: usize) -> Check {
    let ratio = circumference_ratio(pair, axle);
    let at = |lead_percent: f64| true_speed_km_per_h(INDICATED_KM_PER_H, ratio, lead_percent);
    let least = least_true_speed_km_per_h(INDICATED_KM_PER_H);
    let lead = pair.sheet.speedometer_lead_percent;
    let figure = match lead {
        Some(lead) => Figure::exact(at(lead), Evidence::Computed),
        None => {
            let estimated = Figure::exact(at(USUAL_LEAD_PERCENT), Evidence::Estimated);
            Figure { low: least * ratio, high: at(0.0), ..estimated }
        }
    };
    let limit = between([least, INDICATED_KM_PER_H], check_says::speedometer_band());
    let must_be_set = limit.finding(&figure) == Finding::DoNot;
    let true_speed = figure.value;
    let said = Words::of(|language| {
        says::speedometer(language, Axle::of(axle), true_speed, lead.is_some(), must_be_set)
    });
    Check::held("speedometer", Area::Speedometer, (figure, "km_per_h"), limit, said).on(axle)
}

fn gearing(pair: &Pair, axle: usize) -> Check {
    let longer_percent = 100.0 * (circumference_ratio(pair, axle) - 1.0);
    let said = Words::of(|language| says::gearing(language, Axle::of(axle), longer_percent));
    let figure = Figure::exact(longer_percent, Evidence::Computed);
    Check::told("gearing_change", Area::Speedometer, (figure, "percent"), said).on(axle)
}

fn body_height(pair: &Pair, axle: usize) -> Check {
    let [before_mm, after_mm] = pair.diameters_mm(axle);
    let rise_mm = 0.5 * (after_mm - before_mm);
    let said = Words::of(|language| says::body_height(language, Axle::of(axle), rise_mm));
    Check::told("body_height_change", Area::Wheels, (Figure::exact(rise_mm, Evidence::Computed), "mm"), said)
        .on(axle)
}

/// Travel of an axle's left wheel as told.
fn told_at_m(pair: &Pair, axle: usize) -> f64 {
    pair.standing.at(TOLD_IN).rest.travel_m[2 * axle]
}

/// Change of the track: both contact points move along with their wheels, and a larger tyre that leans meets the ground
/// further in or out.
fn track(pair: &Pair, axle: usize, outboard_mm: f64) -> Check {
    let pose = pair.standing.known.van.drawn_table(axle).pose_at(told_at_m(pair, axle));
    let camber_rad = pose.camber_rad.unwrap_or(0.0);
    let [before_mm, after_mm] = pair.diameters_mm(axle);
    let change_mm = track_change_mm(outboard_mm, 0.5 * (after_mm - before_mm), camber_rad);
    let said = Words::of(|language| says::track_change(language, Axle::of(axle), change_mm));
    Check::told("track_change", Area::Wheels, (Figure::exact(change_mm, Evidence::Computed), "mm"), said)
        .on(axle)
}

/// Change of the track, mm, for wheels so much further outboard and of so much larger radius, that lean by a camber: each
/// contact point moves by Δ cos γ - Δr sin γ.
pub fn track_change_mm(outboard_mm: f64, larger_radius_mm: f64, camber_rad: f64) -> f64 {
    2.0 * (outboard_mm * camber_rad.cos() - larger_radius_mm * camber_rad.sin())
}

/// Change of the front scrub radius by offset, spacer and radius.
fn scrub_radius(pair: &Pair, outboard_mm: f64) -> Check {
    let pose = pair.standing.known.van.drawn_table(FRONT).pose_at(told_at_m(pair, FRONT));
    let [before_mm, after_mm] = pair.diameters_mm(FRONT);
    // a larger tyre meets the ground where the inclined axis is further out
    let by_radius_mm =
        pose.kingpin_inclination_rad.map_or(0.0, |lean| -0.5 * (after_mm - before_mm) * lean.tan());
    let change_mm = outboard_mm + by_radius_mm;
    let from_to_mm = pose.scrub_radius_m.map(mm_from_m).map(|from_mm| [from_mm, from_mm + change_mm]);
    let turned = from_to_mm.is_some_and(|[from, to]| from * to < 0.0);
    let said = Words::of(|language| says::scrub_radius(language, change_mm, from_to_mm));
    let figure = Figure::exact(change_mm, Evidence::Computed);
    let check = Check::told("scrub_radius_change", Area::Wheels, (figure, "mm"), said).on(FRONT);
    Check { finding: if turned { Finding::LookAtIt } else { Finding::Holds }, ..check }
}
