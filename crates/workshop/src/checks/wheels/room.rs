//! Room around a tyre: to strut and wheel house inboard, to the arch lip outboard, above its crown.

use mechanics::linkage::{CornerTable, TyreEnvelope};
use mechanics::statics::{FRONT, REAR};

use super::super::{Area, Check, Finding};
use super::{Pair, at_least, lock};
use crate::facts::Words;
use crate::figure::{Evidence, Figure};
use crate::linkage_sheet::LinkageSheet;
use crate::load_list::LoadState;
use crate::tyre::{TyreEdges, tyre_edges};
use crate::tyre_marking::TyreMarking;
use crate::units::{m_from_mm, mm_from_m, point_m_from_mm};
use crate::wheel_sheet::TyreRoom;
use crate::wording::Axle;
use crate::wording::check_says::common_practice;
use crate::wording::check_says::room::{self as says, Beside, When};

/// Room that must be left to what moves with the wheel, mm (common practice, no source).
const LEAST_TO_CARRIER_MM: f64 = 5.0;
/// Room that must be left to the body, mm: bushes and tyre give way (common practice, no source).
pub(super) const LEAST_TO_BODY_MM: f64 = 10.0;

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

    /// The furthest that any point of it lies beyond the original, mm: no wall comes nearer in the same stance.
    pub(super) fn most_mm(&self) -> f64 {
        let sideways_mm = self.inboard_mm.max(self.outboard_mm).max(0.0);
        sideways_mm.hypot(self.radius_mm.max(0.0))
    }
}

/// The original tyre of an axle and another in the same place, and how the second's outline has grown.
pub(super) struct Tyres {
    pub(super) original: TyreEnvelope,
    pub(super) chosen: TyreEnvelope,
    pub(super) grown: Outline,
}

pub(super) fn checks(pair: &Pair) -> Vec<Check> {
    let mut checks: Vec<Check> = brakes(pair).into_iter().collect();
    checks.extend([FRONT, REAR].into_iter().flat_map(|axle| of_axle(pair, axle)));
    checks
}

/// A rim smaller than the original may not clear the brakes.
fn brakes(pair: &Pair) -> Option<Check> {
    let original_inch = pair.original(FRONT).size.parse::<TyreMarking>().ok()?.rim_diameter_inch;
    let rim_inch = pair.rim.diameter_inch;
    let said = Words::of(|language| says::over_the_brakes(language, rim_inch, original_inch));
    (rim_inch < original_inch)
        .then(|| Check::stated("brake_clearance", Area::Wheels, Finding::LookAtIt, said))
}

fn of_axle(pair: &Pair, axle: usize) -> Vec<Check> {
    const CHECK: &str = "tyre_clearance";
    let of = Axle::of(axle);
    let Some(tyres) = tyres_on(pair, axle) else {
        let said = Words::of(|language| says::original_not_known(language, of));
        return vec![Check::unknown(CHECK, Area::Wheels, said).on(axle)];
    };
    let grown = &tyres.grown;
    if grown.is_within_original() {
        let said = Words::of(|language| says::within_original(language, of));
        return vec![Check::stated(CHECK, Area::Wheels, Finding::Holds, said).on(axle)];
    }
    let room = pair.sheet.room[axle];
    let mut checks = inboard(pair, axle, &tyres, &room);
    checks.extend(beside(pair, axle, Beside::Outboard, grown.outboard_mm, room.outboard_mm));
    checks.extend(above(pair, axle, grown, &room));
    if axle == FRONT {
        checks.push(lock::at_lock(pair, &tyres, &room));
    }
    checks.into_iter().map(|check| check.on(axle)).collect()
}

/// Both tyres on the hubs of an axle, where the original wheel is known.
pub(super) fn tyres_on(pair: &Pair, axle: usize) -> Option<Tyres> {
    let size = pair.original(axle).size.parse::<TyreMarking>().ok()?;
    let (rim_inch, offset_mm) = (pair.sheet.rim_width_inch?, pair.sheet.offset_mm?);
    let before = tyre_edges(size.section_width_mm(rim_inch), offset_mm, 0.0);
    let rim = pair.rim;
    let after = tyre_edges(pair.tyre.marking.section_width_mm(rim.width_inch), rim.offset_mm, rim.spacer_mm);
    let [before_mm, after_mm] = pair.diameters_mm(axle).map(|diameter_mm| 0.5 * diameter_mm);
    // the original wheel's centre, from which envelopes count, lies inboard of its mounting face by its offset
    let envelope = |edges: TyreEdges, radius_mm: f64| TyreEnvelope {
        radius_m: m_from_mm(radius_mm),
        inner_m: m_from_mm(edges.inner_mm + offset_mm),
        outer_m: m_from_mm(edges.outer_mm + offset_mm),
    };
    Some(Tyres {
        original: envelope(before, before_mm),
        chosen: envelope(after, after_mm),
        grown: outline((before, before_mm), (after, after_mm)),
    })
}

/// Lowest and highest travel that an axle's wheels reach in any load state, m, and those at rest.
pub(super) fn travels_m(pair: &Pair, axle: usize) -> (Vec<f64>, [f64; 2]) {
    let corners = || {
        let sides = [2 * axle, 2 * axle + 1];
        LoadState::ALL.into_iter().flat_map(move |state| sides.map(|i| (state, i)))
    };
    let rest = |(state, i): (LoadState, usize)| pair.standing.at(state).rest.travel_m[i];
    let limits = |(state, i): (LoadState, usize)| &pair.standing.at(state).limits[i];
    let low = corners().map(|at| rest(at) - limits(at).rebound_m).fold(f64::INFINITY, f64::min);
    let top = corners().map(|at| rest(at) + limits(at).to_metal_m).fold(f64::NEG_INFINITY, f64::max);
    (corners().map(rest).collect(), [low, top])
}

/// How far the top of a tyre stands outboard of where it stood at design height, mm; `None` where the linkage gives no
/// camber.
fn top_outboard_mm(table: &CornerTable, radius_mm: f64, travel_m: f64) -> Option<f64> {
    let (here, design) = (table.pose_at(travel_m), table.pose_at(0.0));
    let lean_rad = here.camber_rad? - design.camber_rad?;
    let moved_m = here.wheel_centre_m[1] - design.wheel_centre_m[1];
    Some(mm_from_m(moved_m + m_from_mm(radius_mm) * lean_rad.sin()))
}

/// Room inboard: to a strut, which moves and steers with the wheel, by the distance of the tyre from its tube; else to the
/// wheel house through the travel.
fn inboard(pair: &Pair, axle: usize, tyres: &Tyres, room: &TyreRoom) -> Vec<Check> {
    let further_mm = tyres.grown.inboard_mm;
    let (Some(free_mm), LinkageSheet::Strut(strut)) =
        (room.inboard_mm, &pair.standing.known.van.axle_sheet(axle).linkage)
    else {
        return beside(pair, axle, Beside::Inboard, further_mm, room.inboard_mm);
    };
    let tube_m = [strut.strut_axis_point_mm, strut.strut_top_mm].map(point_m_from_mm);
    let stance = pair.standing.known.van.drawn_table(axle).pose_at(0.0).wheel_stance();
    let nearer_mm = stance.map_or(further_mm, |stance| {
        let of = |tyre: &TyreEnvelope| tyre.distance_to_member_m(&stance, tube_m);
        mm_from_m(of(&tyres.original) - of(&tyres.chosen)).max(further_mm)
    });
    let left_mm = free_mm - nearer_mm;
    let said = Words::of(|language| says::to_strut(language, Axle::of(axle), left_mm));
    vec![gap("inboard_clearance", left_mm, LEAST_TO_CARRIER_MM, said)]
}

/// Room beside the tyre at rest, the least of all load states, and at full bump; where the linkage gives no camber, the room
/// at design height, to be looked at.
fn beside(pair: &Pair, axle: usize, side: Beside, further_mm: f64, free_mm: Option<f64>) -> Vec<Check> {
    let of = Axle::of(axle);
    let (check, outwards) = match side {
        Beside::Inboard => ("inboard_clearance", 1.0),
        Beside::Outboard => ("outboard_clearance", -1.0),
    };
    let Some(free_mm) = free_mm else {
        let said = Words::of(|language| says::beside_not_known(language, of, side, further_mm));
        return vec![Check::unknown(check, Area::Wheels, said)];
    };
    let design_mm = free_mm - further_mm;
    let table = pair.standing.known.van.drawn_table(axle);
    let at = |travel_m: f64| {
        let outboard_mm = top_outboard_mm(table, pair.tyre.radius_mm(), travel_m)?;
        Some(design_mm + outwards * outboard_mm)
    };
    let (rests_m, [_, top_m]) = travels_m(pair, axle);
    let rests_mm: Option<Vec<f64>> = rests_m.into_iter().map(at).collect();
    let said = |left_mm: f64, when| Words::of(|language| says::beside(language, of, side, when, left_mm));
    let held = |left_mm: f64, when| gap(check, left_mm, LEAST_TO_BODY_MM, said(left_mm, when));
    match (rests_mm, at(top_m)) {
        (Some(rests_mm), Some(top_mm)) => {
            let rest_mm = rests_mm.into_iter().fold(f64::INFINITY, f64::min);
            vec![held(rest_mm, When::Rest), held(top_mm, When::FullBump)]
        }
        _ => {
            let held = held(design_mm, When::Design);
            vec![Check { finding: held.finding.max(Finding::LookAtIt), ..held }]
        }
    }
}

/// Whether tube and spring seat move with the wheel, so that the room between them and the tyre is the same over all travel.
fn is_strut(pair: &Pair, axle: usize) -> bool {
    matches!(pair.standing.known.van.axle_sheet(axle).linkage, LinkageSheet::Strut(_))
}

/// Room above the crown of a taller tyre.
fn above(pair: &Pair, axle: usize, grown: &Outline, room: &TyreRoom) -> Option<Check> {
    const CHECK: &str = "crown_clearance";
    let (of, taller_mm, strut) = (Axle::of(axle), grown.radius_mm, is_strut(pair, axle));
    if taller_mm <= 0.0 {
        return None;
    }
    let Some(free_mm) = room.above_mm else {
        let said = Words::of(|language| says::above_not_known(language, of, strut, taller_mm));
        return Some(Check::unknown(CHECK, Area::Wheels, said));
    };
    let (_, [_, top_m]) = travels_m(pair, axle);
    let (left_mm, least_mm) = if strut {
        (free_mm - taller_mm, LEAST_TO_CARRIER_MM)
    } else {
        (free_mm - taller_mm - mm_from_m(top_m), LEAST_TO_BODY_MM)
    };
    let said = Words::of(|language| says::above(language, of, strut, left_mm));
    Some(gap(CHECK, left_mm, least_mm, said))
}

/// A gap against the least that must be left.
pub(super) fn gap(check: &'static str, left_mm: f64, least_mm: f64, said: Words) -> Check {
    let figure = Figure::exact(left_mm, Evidence::Computed);
    let mut held =
        Check::held(check, Area::Wheels, (figure, "mm"), at_least(least_mm, common_practice()), said);
    // little room is to be looked at; only what overlaps is out
    if held.finding == Finding::DoNot && left_mm > 0.0 {
        held.finding = Finding::LookAtIt;
    }
    held
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
        assert!((grown.most_mm() - 20.0_f64.hypot(7.0)).abs() < 1e-12);
    }
}
