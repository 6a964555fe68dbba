//! Wheel alignment as the new height leaves it.
//!
//! The van is taken to be aligned to the middle of the maker's target on new original springs, as fitted out; camber, toe
//! and caster then move with travel along the linkage's curves, and with roll and pitch of the body.

use mechanics::linkage::OverTravel;
use mechanics::statics::{Rest, side_of};

use super::carry::AXLES;
use super::checked::{Checked, held, unknown, words};
use super::{Area, Check, Finding, Limit};
use crate::alignment_sheet::AlignmentTarget;
use crate::belief::CORNER_WORDS;
use crate::fitment::Solved;
use crate::load_list::LoadState;

/// Load state in which vans are aligned.
const ALIGNED_IN: LoadState = LoadState::AsFittedOut;

/// Camber, toe and caster of every wheel in every load state.
pub(super) fn checks(checked: &Checked) -> Vec<Check> {
    AXLES
        .into_iter()
        .flat_map(|(axle, [en, de])| {
            let sheet = &checked.known.van.axle_sheet(axle).alignment;
            let table = checked.known.van.table(axle);
            let angles = [
                (Angle::Camber, sheet.camber, &table.camber_rad),
                (Angle::Toe, sheet.toe, &table.toe_rad),
                (Angle::Caster, sheet.caster, &table.caster_rad),
            ];
            angles
                .into_iter()
                .flat_map(move |(angle, target, curve)| match (target, curve) {
                    (Some(target), Some(curve)) => of_axle(checked, axle, angle, target, curve),
                    (Some(_), None) => vec![unknown(
                        angle.check(),
                        Area::Alignment,
                        words(
                            format!(
                                "{en} {}: the sheet has no hardpoints, so it is measured, not computed",
                                angle.words()[0]
                            ),
                            format!(
                                "{} {de}: ohne Aufhängungspunkte wird gemessen, nicht gerechnet",
                                angle.words()[1]
                            ),
                        ),
                    )],
                    (None, _) => Vec::new(),
                })
                .collect::<Vec<Check>>()
        })
        .collect()
}

#[derive(Clone, Copy, PartialEq)]
enum Angle {
    Camber,
    Toe,
    Caster,
}

impl Angle {
    fn check(self) -> &'static str {
        match self {
            Self::Camber => "camber",
            Self::Toe => "toe",
            Self::Caster => "caster",
        }
    }

    fn words(self) -> [&'static str; 2] {
        match self {
            Self::Camber => ["camber", "Sturz"],
            Self::Toe => ["toe", "Spur"],
            Self::Caster => ["caster", "Nachlauf"],
        }
    }

    /// The angle against the ground, degrees: roll to the right (left side up) leans the top of the left wheel in and
    /// that of the right one out; a nose that dips takes caster away.
    fn at(self, curve: &OverTravel, rest: &Rest, corner: usize) -> f64 {
        let in_body_rad = curve.at_both(rest.axle_travel(corner)).value;
        let body_rad = match self {
            Self::Camber => -side_of(corner) * rest.body.roll_rad,
            Self::Toe => 0.0,
            Self::Caster => -rest.body.pitch_rad,
        };
        (in_body_rad + body_rad).to_degrees()
    }
}

/// The worse wheel of an axle in each load state in which vans are driven or aligned.
fn of_axle(
    checked: &Checked,
    axle: usize,
    angle: Angle,
    target: AlignmentTarget,
    curve: &OverTravel,
) -> Vec<Check> {
    let as_new = checked.known.solved_as_new(ALIGNED_IN);
    LoadState::ALL
        .into_iter()
        .filter(|state| *state != LoadState::OnTheRamp)
        .filter_map(|state| {
            let wheels = [2 * axle, 2 * axle + 1];
            let off = |i: &usize| (shift_deg(checked.at(state), as_new, angle, curve, *i)).abs();
            let worse = wheels.into_iter().max_by(|a, b| off(a).total_cmp(&off(b)))?;
            Some(of_wheel(checked, state, angle, target, curve, worse))
        })
        .collect()
}

fn shift_deg(solved: &Solved, as_new: &Solved, angle: Angle, curve: &OverTravel, corner: usize) -> f64 {
    angle.at(curve, &solved.band.middle, corner) - angle.at(curve, &as_new.band.middle, corner)
}

fn of_wheel(
    checked: &Checked,
    state: LoadState,
    angle: Angle,
    target: AlignmentTarget,
    curve: &OverTravel,
    corner: usize,
) -> Check {
    let (solved, as_new) = (checked.at(state), checked.known.solved_as_new(ALIGNED_IN));
    let slopes = curve.at_both(solved.band.middle.axle_travel(corner)).first;
    let shift = shift_deg(solved, as_new, angle, curve, corner);
    let figure = checked
        .figure(state, shift, |r| {
            let in_body = slopes[0] * r.travel_m[corner] + slopes[1] * r.travel_m[corner ^ 1];
            let body = match angle {
                Angle::Camber => -side_of(corner) * r.roll_rad,
                Angle::Toe => 0.0,
                Angle::Caster => -r.pitch_rad,
            };
            (in_body + body).to_degrees()
        })
        .plus(target.middle_deg());
    let limit = Limit {
        at_least: Some(target.from_deg),
        at_most: Some(target.to_deg),
        source: words("maker's alignment data", "Vermessungsdaten des Herstellers"),
    };
    let [en, de] = angle.words();
    let beyond = (figure.value - figure.value.clamp(target.from_deg, target.to_deg)).abs();
    let [advice_en, advice_de] = if state != ALIGNED_IN {
        ["as the load of this state leaves it", "wie die Beladung sie stellt"]
    } else if beyond <= 0.0 {
        ["check it on the bench after fitting", "nach dem Einbau vermessen"]
    } else if beyond <= target.adjusts_deg {
        ["the van's own adjusters reach it", "mit den vorhandenen Einstellern erreichbar"]
    } else {
        [
            "beyond the van's own adjusters: adjustable parts are needed",
            "über die vorhandenen Einsteller hinaus: einstellbare Teile nötig",
        ]
    };
    let said = words(
        format!("{en} {}, moved by {shift:+.2}°; {advice_en}", CORNER_WORDS[corner]),
        format!("{de} ({}), verändert um {shift:+.2}°; {advice_de}", CORNER_WORDS[corner]),
    );
    let mut check = held(angle.check(), Area::Alignment, state, (figure, "deg"), limit, said);
    // wrong angles are set right, by adjusters or by parts; the makers' limits are those of an empty van
    check.finding = check.finding.min(Finding::LookAtIt);
    if state != ALIGNED_IN {
        (check.finding, check.limit) = (Finding::Holds, None);
    }
    check
}
