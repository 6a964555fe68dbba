//! What the size of wheel and tyre changes: rim width, speedometer, gearing, body height, scrub radius.

use mechanics::statics::FRONT;

use super::super::carry::AXLES;
use super::super::checked::{unknown, words};
use super::super::{Area, Check, Finding, Limit};
use super::{Pair, between, held, makers_figure, told};
use crate::figure::{Evidence, Figure};
use crate::load_list::LoadState;
use crate::tyre::{least_true_speed_km_per_h, true_speed_km_per_h};
use crate::units::mm_from_m;

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

pub(super) fn checks(pair: &Pair) -> Vec<Check> {
    let mut checks = vec![rim_for_tyre(pair), rim_for_van(pair), speedometer(pair), gearing(pair)];
    checks.extend(AXLES.into_iter().map(|(axle, name)| body_height(pair, axle, name).on(axle)));
    checks.push(scrub_radius(pair));
    checks
}

fn rim_for_tyre(pair: &Pair) -> Check {
    const CHECK: &str = "rim_width_for_tyre";
    let (rim_inch, measuring_inch) = (pair.rim.width_inch, pair.tyre.marking.measuring_rim_inch());
    let figure = Figure::exact(rim_inch, Evidence::MakersFigure);
    let said = |[least, most]: [f64; 2]| {
        words(
            format!("rim {rim_inch} inch wide, the tyre takes {least} to {most} inch"),
            format!("Felge {rim_inch} Zoll breit, der Reifen passt auf {least} bis {most} Zoll"),
        )
    };
    if let Some(allowed) = pair.tyre.rim_width_inch {
        return held(CHECK, Area::Wheels, (figure, "inch"), between(allowed, makers_figure()), said(allowed));
    }
    let usual = USUAL_RIMS_INCH.map(|inch| measuring_inch + inch);
    let source = words(
        "ETRTO measuring rim and range, from memory",
        "ETRTO-Messfelge und Bereich, aus dem Gedächtnis",
    );
    let mut check = held(CHECK, Area::Wheels, (figure, "inch"), between(usual, source), said(usual));
    let near = (usual[0] - LOOK_UP_INCH..=usual[1] + LOOK_UP_INCH).contains(&rim_inch);
    if check.finding == Finding::DoNot && near {
        check.finding = Finding::LookAtIt;
        check.words.en += ": look in the tyre maker's table";
        check.words.de += ": in der Tabelle des Reifenherstellers nachsehen";
    }
    check
}

fn rim_for_van(pair: &Pair) -> Check {
    const CHECK: &str = "rim_width_for_van";
    let rim_inch = pair.rim.width_inch;
    let Some(allowed) = pair.sheet.allowed_rim_width_inch else {
        let said = words(
            format!("look in the van's papers whether rims {rim_inch} inch wide are allowed"),
            format!("in den Fahrzeugpapieren nachsehen, ob Felgen mit {rim_inch} Zoll Breite zulässig sind"),
        );
        return unknown(CHECK, Area::Wheels, said);
    };
    let [least, most] = allowed;
    let said = words(
        format!("rim {rim_inch} inch wide, the van's maker allows {least} to {most} inch"),
        format!("Felge {rim_inch} Zoll breit, der Fahrzeughersteller lässt {least} bis {most} Zoll zu"),
    );
    let figure = Figure::exact(rim_inch, Evidence::MakersFigure);
    held(CHECK, Area::Wheels, (figure, "inch"), between(allowed, makers_figure()), said)
}

/// Rolling circumference against the original tyre's; the front one stands for both.
fn circumference_ratio(pair: &Pair) -> f64 {
    let [before_mm, after_mm] = pair.diameters_mm(FRONT);
    after_mm / before_mm
}

/// True speed at an indicated 100 km/h against the band of UN R39. A lead that nobody measured may be anything that the
/// regulation allowed the van when it was new.
fn speedometer(pair: &Pair) -> Check {
    let ratio = circumference_ratio(pair);
    let at = |lead_percent: f64| true_speed_km_per_h(INDICATED_KM_PER_H, ratio, lead_percent);
    let least = least_true_speed_km_per_h(INDICATED_KM_PER_H);
    let (figure, measure) = match pair.sheet.speedometer_lead_percent {
        Some(lead) => (Figure::exact(at(lead), Evidence::Computed), false),
        None => {
            let estimated = Figure::exact(at(USUAL_LEAD_PERCENT), Evidence::Estimated);
            (Figure { low: least * ratio, high: at(0.0), ..estimated }, true)
        }
    };
    let source = words("UN R39, 5.3: 0 ≤ V1 - V2 ≤ 0.1 V2 + 4", "UN R39, 5.3: 0 ≤ V1 - V2 ≤ 0,1 V2 + 4");
    let limit: Limit = between([least, INDICATED_KM_PER_H], source);
    let mut said = words(
        format!("at 100 km/h on the speedometer the van runs {:.1} km/h", figure.value),
        format!("bei 100 km/h auf dem Tacho fährt der Wagen {:.1} km/h", figure.value),
    );
    if measure {
        said.en += "; its lead on the original tyres is not known: compare with a satellite navigator";
        said.de +=
            "; seine Voreilung mit Originalreifen ist nicht bekannt: mit einem Navigationsgerät vergleichen";
    }
    let mut check = held("speedometer", Area::Speedometer, (figure, "km_per_h"), limit, said);
    if check.finding == Finding::DoNot {
        check.words.en += "; only where the speedometer can be set for the tyre";
        check.words.de += "; nur wo der Tacho auf den Reifen angeglichen werden kann";
    }
    check
}

fn gearing(pair: &Pair) -> Check {
    let longer_percent = 100.0 * (circumference_ratio(pair) - 1.0);
    let said = words(
        format!("gearing {longer_percent:+.1} %, longer positive"),
        format!("Übersetzung {longer_percent:+.1} %, länger positiv"),
    );
    let figure = Figure::exact(longer_percent, Evidence::Computed);
    told("gearing_change", Area::Speedometer, (figure, "percent"), said)
}

fn body_height(pair: &Pair, axle: usize, [en, de]: [&str; 2]) -> Check {
    let [before_mm, after_mm] = pair.diameters_mm(axle);
    let rise_mm = 0.5 * (after_mm - before_mm);
    let said = words(
        format!("{en}: the body stands {rise_mm:+.1} mm over the ground, the arch height stays"),
        format!("{de}: die Karosserie steht {rise_mm:+.1} mm über dem Boden, die Kotflügelhöhe bleibt"),
    );
    told("body_height_change", Area::Wheels, (Figure::exact(rise_mm, Evidence::Computed), "mm"), said)
}

/// Change of the front scrub radius by offset, spacer and radius.
fn scrub_radius(pair: &Pair) -> Check {
    const CHECK: &str = "scrub_radius_change";
    let Some(original_mm) = pair.sheet.offset_mm else {
        let said = words(
            "offset of the original rim not known: read ET on it; it decides scrub radius, track and clearance",
            "Einpresstiefe der Originalfelge nicht bekannt: ET ablesen; sie bestimmt Lenkrollradius, Spur und Freigang",
        );
        return unknown(CHECK, Area::Wheels, said);
    };
    let outboard_mm = original_mm - pair.rim.offset_mm + pair.rim.spacer_mm;
    let rest_m = pair.checked.at(LoadState::DayToDay).band.middle.travel_m[2 * FRONT];
    let pose = pair.checked.known.van.table(FRONT).pose_at(rest_m);
    let [before_mm, after_mm] = pair.diameters_mm(FRONT);
    // a larger tyre meets the ground where the inclined axis is further out
    let by_radius_mm =
        pose.kingpin_inclination_rad.map_or(0.0, |lean| -0.5 * (after_mm - before_mm) * lean.tan());
    let change_mm = outboard_mm + by_radius_mm;
    let track_mm = 2.0 * outboard_mm;
    let mut said = words(
        format!("scrub radius {change_mm:+.0} mm, track {track_mm:+.0} mm"),
        format!("Lenkrollradius {change_mm:+.0} mm, Spurweite {track_mm:+.0} mm"),
    );
    let mut turned = false;
    if let Some(scrub_m) = pose.scrub_radius_m {
        let scrub_mm = mm_from_m(scrub_m);
        turned = scrub_mm * (scrub_mm + change_mm) < 0.0;
        said.en += &format!(", from {scrub_mm:.0} to {:.0} mm", scrub_mm + change_mm);
        said.de += &format!(", von {scrub_mm:.0} auf {:.0} mm", scrub_mm + change_mm);
    }
    if turned {
        said.en += ": its sign turns, and with it how the van pulls when one wheel brakes alone";
        said.de += ": das Vorzeichen kehrt sich um, und damit das Ziehen beim einseitigen Bremsen";
    }
    let check = told(CHECK, Area::Wheels, (Figure::exact(change_mm, Evidence::Computed), "mm"), said);
    Check { finding: if turned { Finding::LookAtIt } else { Finding::Holds }, ..check }
}
