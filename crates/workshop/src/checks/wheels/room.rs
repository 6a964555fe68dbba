//! Room around a tyre: to strut and wheel house inboard, to the arch lip outboard, at full steering lock.

use mechanics::linkage::CornerTable;
use mechanics::statics::FRONT;

use super::super::carry::AXLES;
use super::super::checked::{unknown, words};
use super::super::{Area, Check, Finding};
use super::{Pair, at_least, common_practice, held, stated};
use crate::facts::Words;
use crate::figure::{Evidence, Figure};
use crate::linkage_sheet::LinkageSheet;
use crate::load_list::LoadState;
use crate::tyre::{TyreEdges, tyre_edges};
use crate::tyre_marking::TyreMarking;
use crate::units::{m_from_mm, mm_from_m};
use crate::wheel_sheet::TyreRoom;

/// Room that must be left to what moves with the wheel, mm (common practice, no source).
const LEAST_TO_CARRIER_MM: f64 = 5.0;
/// Room that must be left to the body, mm: bushes and tyre give way (common practice, no source).
const LEAST_TO_BODY_MM: f64 = 10.0;

/// How much further a wheel reaches than the original one, mm.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Outline {
    /// Inner edge, inboard positive.
    pub inboard_mm: f64,
    /// Outer edge, outboard positive.
    pub outboard_mm: f64,
    /// Radius.
    pub radius_mm: f64,
}

/// A wheel's outline against the original one's.
pub fn outline(original: (TyreEdges, f64), wheel: (TyreEdges, f64)) -> Outline {
    Outline {
        inboard_mm: original.0.inner_mm - wheel.0.inner_mm,
        outboard_mm: wheel.0.outer_mm - original.0.outer_mm,
        radius_mm: wheel.1 - original.1,
    }
}

impl Outline {
    fn is_within_original(&self) -> bool {
        self.inboard_mm <= 0.0 && self.outboard_mm <= 0.0 && self.radius_mm <= 0.0
    }
}

pub(super) fn checks(pair: &Pair) -> Vec<Check> {
    let mut checks: Vec<Check> = brakes(pair).into_iter().collect();
    for (axle, name) in AXLES {
        checks.extend(of_axle(pair, axle, name).into_iter().map(|check| check.on(axle)));
    }
    checks
}

/// A rim smaller than the original may not clear the brakes.
fn brakes(pair: &Pair) -> Option<Check> {
    let original_inch = pair.original(FRONT).size.parse::<TyreMarking>().ok()?.rim_diameter_inch;
    let rim_inch = pair.rim.diameter_inch;
    let said = words(
        format!(
            "the rim is {rim_inch} inch, the original {original_inch}: try it over the brakes without a tyre"
        ),
        format!(
            "die Felge hat {rim_inch} Zoll, die originale {original_inch}: ohne Reifen über der Bremse anprobieren"
        ),
    );
    (rim_inch < original_inch).then(|| stated("brake_clearance", Finding::LookAtIt, said))
}

fn of_axle(pair: &Pair, axle: usize, name: [&str; 2]) -> Vec<Check> {
    let Some(grown) = outline_on(pair, axle) else {
        let said = words(
            format!(
                "{}: size, rim width or offset of the original wheel not known: read them off it, and measure the room inboard, outboard and at lock",
                name[0]
            ),
            format!(
                "{}: Größe, Felgenbreite oder Einpresstiefe des Originalrads nicht bekannt: ablesen und Freigang innen, außen und bei vollem Einschlag messen",
                name[1]
            ),
        );
        return vec![unknown("tyre_clearance", Area::Wheels, said)];
    };
    if grown.is_within_original() {
        let said = words(
            format!("{}: the wheel lies within the outline of the original one", name[0]),
            format!("{}: das Rad bleibt innerhalb des Umrisses vom Originalrad", name[1]),
        );
        return vec![stated("tyre_clearance", Finding::Holds, said)];
    }
    let room = pair.sheet.room[axle];
    let mut checks = inboard(pair, axle, name, &grown, &room);
    checks.extend(outboard(pair, axle, name, &grown, &room));
    checks.extend(above(pair, axle, name, &grown, &room));
    if axle == FRONT {
        checks.push(at_lock(&grown, &room));
    }
    checks
}

/// The pair's outline against the original wheel of an axle, where that is known.
fn outline_on(pair: &Pair, axle: usize) -> Option<Outline> {
    let size = pair.original(axle).size.parse::<TyreMarking>().ok()?;
    let (rim_inch, offset_mm) = (pair.sheet.rim_width_inch?, pair.sheet.offset_mm?);
    let before = tyre_edges(size.section_width_mm(rim_inch), offset_mm, 0.0);
    let rim = pair.rim;
    let after = tyre_edges(pair.tyre.marking.section_width_mm(rim.width_inch), rim.offset_mm, rim.spacer_mm);
    let [before_mm, after_mm] = pair.diameters_mm(axle);
    Some(outline((before, 0.5 * before_mm), (after, 0.5 * after_mm)))
}

/// Travels of an axle's wheels at rest in every load state, and the highest that they reach, m.
fn travels_m(pair: &Pair, axle: usize) -> (Vec<f64>, f64) {
    let corners = || {
        let sides = [2 * axle, 2 * axle + 1];
        LoadState::ALL.into_iter().flat_map(move |state| sides.map(|i| (state, i)))
    };
    let rest = |(state, i): (LoadState, usize)| pair.checked.at(state).band.middle.travel_m[i];
    let top = |(state, i): (LoadState, usize)| rest((state, i)) + pair.checked.at(state).limits[i].to_metal_m;
    (corners().map(rest).collect(), corners().map(top).fold(f64::NEG_INFINITY, f64::max))
}

/// How far the top of a tyre stands outboard of where it stood at design height, mm; `None` where the linkage gives no
/// camber.
fn top_outboard_mm(table: &CornerTable, radius_mm: f64, travel_m: f64) -> Option<f64> {
    let (here, design) = (table.pose_at(travel_m), table.pose_at(0.0));
    let lean_rad = here.camber_rad? - design.camber_rad?;
    let moved_m = here.wheel_centre_m[1] - design.wheel_centre_m[1];
    Some(mm_from_m(moved_m + m_from_mm(radius_mm) * lean_rad.sin()))
}

/// Least of a gap at rest in any load state, and at full bump.
fn rest_and_bump(pair: &Pair, axle: usize, gap_mm: impl Fn(f64) -> f64) -> [(f64, [&'static str; 2]); 2] {
    let table = pair.checked.known.van.table(axle);
    let at =
        |travel_m: f64| top_outboard_mm(table, pair.tyre.radius_mm(), travel_m).map_or(f64::NAN, &gap_mm);
    let (rests_m, top_m) = travels_m(pair, axle);
    let rest_mm = rests_m.into_iter().map(at).fold(f64::INFINITY, f64::min);
    [(rest_mm, ["at rest", "in Ruhe"]), (at(top_m), ["at full bump", "voll eingefedert"])]
}

fn inboard(pair: &Pair, axle: usize, [en, de]: [&str; 2], grown: &Outline, room: &TyreRoom) -> Vec<Check> {
    const CHECK: &str = "inboard_clearance";
    let nearer_mm = grown.inboard_mm;
    let Some(free_mm) = room.inboard_mm else {
        let said = words(
            format!(
                "{en}: inner edge {nearer_mm:+.0} mm towards strut and wheel house; measure the free width inboard of the original tyre"
            ),
            format!(
                "{de}: Innenkante {nearer_mm:+.0} mm zu Federbein und Radhaus hin; freie Breite innen am Originalreifen messen"
            ),
        );
        return vec![unknown(CHECK, Area::Wheels, said)];
    };
    let left_mm = free_mm - nearer_mm;
    if is_strut(pair, axle) {
        let said = words(
            format!("{en}: room between tyre and strut, the same over all travel"),
            format!("{de}: Freigang zwischen Reifen und Federbein, über den ganzen Federweg gleich"),
        );
        return vec![gap(CHECK, left_mm, LEAST_TO_CARRIER_MM, said)];
    }
    through_travel(
        pair,
        axle,
        CHECK,
        left_mm,
        |outboard_mm| left_mm + outboard_mm,
        |[when_en, when_de]| {
            words(
                format!("{en}: room inboard of the tyre {when_en}"),
                format!("{de}: Freigang innen am Reifen {when_de}"),
            )
        },
    )
}

/// Whether tube and spring seat move with the wheel, so that the room between them and the tyre is the same over all travel.
fn is_strut(pair: &Pair, axle: usize) -> bool {
    matches!(pair.checked.known.van.axle_sheet(axle).linkage, LinkageSheet::Strut(_))
}

/// Room above the crown of a taller tyre.
fn above(pair: &Pair, axle: usize, [en, de]: [&str; 2], grown: &Outline, room: &TyreRoom) -> Option<Check> {
    const CHECK: &str = "crown_clearance";
    let taller_mm = grown.radius_mm;
    if taller_mm <= 0.0 {
        return None;
    }
    let strut = is_strut(pair, axle);
    let [to_en, to_de] =
        if strut { ["the spring seat", "zum Federteller"] } else { ["the wheel house", "zum Radhaus"] };
    let Some(free_mm) = room.above_mm else {
        let said = words(
            format!(
                "{en}: the tyre is {taller_mm:.1} mm taller; measure from the original tyre's crown to {to_en}"
            ),
            format!(
                "{de}: der Reifen ist {taller_mm:.1} mm höher; von der Lauffläche des Originalreifens bis {to_de} messen"
            ),
        );
        return Some(unknown(CHECK, Area::Wheels, said));
    };
    let said = words(
        format!("{en}: least room from the tyre's crown to {to_en}"),
        format!("{de}: kleinster Freigang von der Lauffläche bis {to_de}"),
    );
    let (_, top_m) = travels_m(pair, axle);
    Some(if strut {
        gap(CHECK, free_mm - taller_mm, LEAST_TO_CARRIER_MM, said)
    } else {
        gap(CHECK, free_mm - taller_mm - mm_from_m(top_m), LEAST_TO_BODY_MM, said)
    })
}

fn outboard(pair: &Pair, axle: usize, [en, de]: [&str; 2], grown: &Outline, room: &TyreRoom) -> Vec<Check> {
    const CHECK: &str = "outboard_clearance";
    let further_mm = grown.outboard_mm;
    let Some(free_mm) = room.outboard_mm else {
        let said = words(
            format!(
                "{en}: outer edge {further_mm:+.0} mm towards the arch; measure from the original tyre's outer edge to the plane of the arch lip"
            ),
            format!(
                "{de}: Außenkante {further_mm:+.0} mm zum Radlauf hin; von der Außenkante des Originalreifens bis zur Ebene der Radlaufkante messen"
            ),
        );
        return vec![unknown(CHECK, Area::Wheels, said)];
    };
    let left_mm = free_mm - further_mm;
    through_travel(
        pair,
        axle,
        CHECK,
        left_mm,
        |outboard_mm| left_mm - outboard_mm,
        |[when_en, when_de]| {
            words(
                format!("{en}: room from the tyre to the arch lip {when_en}"),
                format!("{de}: Freigang vom Reifen zur Radlaufkante {when_de}"),
            )
        },
    )
}

/// A gap at rest and at full bump; where the linkage gives no camber, the gap at design height, to be looked at.
fn through_travel(
    pair: &Pair,
    axle: usize,
    check: &'static str,
    design_mm: f64,
    gap_mm: impl Fn(f64) -> f64,
    said: impl Fn([&str; 2]) -> Words,
) -> Vec<Check> {
    let gaps = rest_and_bump(pair, axle, gap_mm);
    if gaps.iter().any(|(mm, _)| !mm.is_finite()) {
        let said = said(["at design height", "in Konstruktionslage"]);
        let mut held = gap(check, design_mm, LEAST_TO_BODY_MM, said);
        held.finding = held.finding.max(Finding::LookAtIt);
        held.words.en += "; the sheet gives no camber over travel: look at it in full bump";
        held.words.de += "; das Datenblatt kennt keinen Sturz über dem Federweg: voll eingefedert ansehen";
        return vec![held];
    }
    gaps.into_iter().map(|(mm, when)| gap(check, mm, LEAST_TO_BODY_MM, said(when))).collect()
}

fn gap(check: &'static str, left_mm: f64, least_mm: f64, mut said: Words) -> Check {
    said.en += &format!(": {left_mm:.0} mm");
    said.de += &format!(": {left_mm:.0} mm");
    let figure = Figure::exact(left_mm, Evidence::Computed);
    let mut held = held(check, Area::Wheels, (figure, "mm"), at_least(least_mm, common_practice()), said);
    // little room is to be looked at; only what overlaps is out
    if held.finding == Finding::DoNot && left_mm > 0.0 {
        held.finding = Finding::LookAtIt;
    }
    held
}

/// Room at full lock: no point of the tyre comes nearer than its edges and crown have grown, whichever part is nearest.
fn at_lock(grown: &Outline, room: &TyreRoom) -> Check {
    const CHECK: &str = "steering_lock_clearance";
    let sideways_mm = grown.inboard_mm.max(grown.outboard_mm).max(0.0);
    let nearer_mm = sideways_mm.hypot(grown.radius_mm.max(0.0));
    let Some(free_mm) = room.at_lock_mm else {
        let said = words(
            format!(
                "the tyre may come up to {nearer_mm:.0} mm nearer at full lock; measure the least gap of the original wheel at full lock, both ways"
            ),
            format!(
                "der Reifen kann bei vollem Einschlag bis {nearer_mm:.0} mm näher kommen; kleinsten Abstand des Originalrads bei vollem Einschlag messen, beidseitig"
            ),
        );
        return unknown(CHECK, Area::Wheels, said);
    };
    let left_mm = free_mm - nearer_mm;
    let said = words(
        "front: least room at full lock, wherever the nearest part is",
        "vorn: kleinster Freigang bei vollem Einschlag, wo immer das nächste Teil ist",
    );
    let check = gap(CHECK, left_mm, LEAST_TO_BODY_MM, said);
    // it is a bound: the true gap may be larger, so it never forbids
    Check { finding: check.finding.min(Finding::LookAtIt), ..check }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_the_outline_of_the_same_wheel_has_not_grown() {
        let wheel = (tyre_edges(215.0, 60.0, 0.0), 343.0);
        assert_eq!(outline(wheel, wheel), Outline { inboard_mm: 0.0, outboard_mm: 0.0, radius_mm: 0.0 });
        // 20 mm wider and a spacer of 10 mm: all of the width and none of it inboard
        let wider = (tyre_edges(235.0, 60.0, 10.0), 350.0);
        let grown = outline(wheel, wider);
        assert_eq!(grown, Outline { inboard_mm: 0.0, outboard_mm: 20.0, radius_mm: 7.0 });
        assert!(!grown.is_within_original() && outline(wider, wheel).is_within_original());
    }
}
