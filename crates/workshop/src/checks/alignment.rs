//! Wheel alignment as the new height leaves it.
//!
//! The van is taken to be aligned to the middle of the maker's target on new original springs, as fitted out; camber, toe
//! and caster then move with travel along the linkage's curves, and with roll and pitch of the body.

use mechanics::linkage::OverTravel;
use mechanics::statics::{BodyPose, FRONT, REAR, Rest, axle_of, side_of};

use super::{Area, Check, Finding, Limit};
use crate::alignment_sheet::AlignmentTarget;
use crate::answer::KnownVan;
use crate::assembly::PreparedVan;
use crate::belief::Belief;
use crate::facts::Words;
use crate::figure::Figure;
use crate::fitment::Solved;
use crate::load_list::LoadState;
use crate::standing::Standing;
use crate::wording;
use crate::wording::check_says::body::{AngleAdvice, AngleName};
use crate::wording::check_says::{self, body as says};

/// Load state in which vans are aligned.
pub(crate) const ALIGNED_IN: LoadState = LoadState::AsFittedOut;

/// Camber, toe and caster of every wheel in every load state.
pub(super) fn checks(standing: &Standing) -> Vec<Check> {
    [FRONT, REAR]
        .into_iter()
        .flat_map(|axle| [Angle::Camber, Angle::Toe, Angle::Caster].map(|angle| (axle, angle)))
        .flat_map(|(axle, angle)| match angle.target_and_curve(&standing.known.van, axle) {
            (Some(target), Some(curve)) => of_axle(standing, axle, angle, target, curve),
            (Some(_), None) => vec![not_known(axle, angle)],
            (None, _) => Vec::new(),
        })
        .collect()
}

/// An angle that is measured, as nothing gives it.
fn not_known(axle: usize, angle: Angle) -> Check {
    let said = Words::of(|language| says::angle_not_known(language, wording::Axle::of(axle), angle.named()));
    Check::unknown(angle.check(), Area::Alignment, said).on(axle)
}

/// Angle of a wheel.
#[derive(Clone, Copy, PartialEq)]
pub(crate) enum Angle {
    /// Top outboard positive.
    Camber,
    /// Toe-in positive.
    Toe,
    /// Top rearward positive.
    Caster,
}

impl Angle {
    /// The angle of a check.
    pub(crate) fn of_check(name: &str) -> Option<Self> {
        [Self::Camber, Self::Toe, Self::Caster].into_iter().find(|angle| angle.check() == name)
    }

    fn check(self) -> &'static str {
        match self {
            Self::Camber => "camber",
            Self::Toe => "toe",
            Self::Caster => "caster",
        }
    }

    fn named(self) -> AngleName {
        match self {
            Self::Camber => AngleName::Camber,
            Self::Toe => AngleName::Toe,
            Self::Caster => AngleName::Caster,
        }
    }

    /// The angle against the ground, degrees: roll to the right (left side up) leans the top of the left wheel in and
    /// that of the right one out; a nose that dips takes caster away.
    fn at(self, curve: &OverTravel, rest: &Rest, corner: usize) -> f64 {
        let in_body_rad = curve.at_both(rest.axle_travel(corner)).value;
        in_body_rad.to_degrees() + self.by_body_deg(&rest.body, corner)
    }

    /// A value of the angle with the range that its slopes give it, degrees.
    fn figure_deg(
        self,
        solved: &Solved,
        belief: &Belief,
        curve: &OverTravel,
        corner: usize,
        value: f64,
    ) -> Figure {
        let slopes = curve.at_both(solved.rest.axle_travel(corner)).first;
        let row = solved.row(|r| {
            let in_body = slopes[0] * r.travel_m[corner] + slopes[1] * r.travel_m[corner ^ 1];
            let body = BodyPose { heave_m: r.heave_m, pitch_rad: r.pitch_rad, roll_rad: r.roll_rad };
            in_body.to_degrees() + self.by_body_deg(&body, corner)
        });
        belief.figure(value, &row)
    }

    /// What roll and pitch of the body add to the angle against the body, degrees.
    pub(crate) fn by_body_deg(self, body: &BodyPose, corner: usize) -> f64 {
        let by_body_rad = match self {
            Self::Camber => -side_of(corner) * body.roll_rad,
            Self::Toe => 0.0,
            Self::Caster => -body.pitch_rad,
        };
        by_body_rad.to_degrees()
    }

    /// What the maker asks for, and the curve over travel where the linkage is known.
    pub(crate) fn target_and_curve<'v>(
        self,
        van: &'v PreparedVan,
        axle: usize,
    ) -> (Option<AlignmentTarget>, Option<&'v OverTravel>) {
        let (sheet, table) = (&van.axle_sheet(axle).alignment, van.table(axle));
        match self {
            Self::Camber => (sheet.camber, table.camber_rad.as_ref()),
            Self::Toe => (sheet.toe, table.toe_rad.as_ref()),
            Self::Caster => (sheet.caster, table.caster_rad.as_ref()),
        }
    }
}

/// The worse wheel of an axle in each load state in which vans are driven or aligned.
fn of_axle(
    standing: &Standing,
    axle: usize,
    angle: Angle,
    target: AlignmentTarget,
    curve: &OverTravel,
) -> Vec<Check> {
    let as_new = standing.known.solved_as_new(ALIGNED_IN);
    LoadState::ALL
        .into_iter()
        .filter(|state| *state != LoadState::OnTheRamp)
        .map(|state| {
            let worse = worse_wheel(standing.at(state), as_new, angle, curve, axle);
            of_wheel(standing, state, angle, target, curve, worse)
        })
        .collect()
}

/// Camber of a wheel against the ground, degrees: from the middle of the maker's target where there is one, else by the
/// hardpoints alone; none where the sheet has no hardpoints.
pub(crate) fn camber_deg(
    known: &KnownVan,
    solved: &Solved,
    belief: &Belief,
    corner: usize,
) -> Option<Figure> {
    let (angle, as_new) = (Angle::Camber, known.solved_as_new(ALIGNED_IN));
    let (target, curve) = angle.target_and_curve(&known.van, axle_of(corner));
    let curve = curve?;
    let value = target.map_or_else(
        || angle.at(curve, &solved.rest, corner),
        |target| target.middle_deg() + shift_deg(solved, as_new, angle, curve, corner),
    );
    Some(angle.figure_deg(solved, belief, curve, corner, value))
}

/// The wheel of an axle whose angle has moved further.
pub(crate) fn worse_wheel(
    solved: &Solved,
    as_new: &Solved,
    angle: Angle,
    curve: &OverTravel,
    axle: usize,
) -> usize {
    let [left, right] = [2 * axle, 2 * axle + 1].map(|i| shift_deg(solved, as_new, angle, curve, i).abs());
    2 * axle + usize::from(right >= left)
}

pub(crate) fn shift_deg(
    solved: &Solved,
    as_new: &Solved,
    angle: Angle,
    curve: &OverTravel,
    corner: usize,
) -> f64 {
    angle.at(curve, &solved.rest, corner) - angle.at(curve, &as_new.rest, corner)
}

fn of_wheel(
    standing: &Standing,
    state: LoadState,
    angle: Angle,
    target: AlignmentTarget,
    curve: &OverTravel,
    corner: usize,
) -> Check {
    let (solved, as_new) = (standing.at(state), standing.known.solved_as_new(ALIGNED_IN));
    let shift = shift_deg(solved, as_new, angle, curve, corner);
    let figure = angle.figure_deg(solved, standing.belief, curve, corner, target.middle_deg() + shift);
    let limit = Limit {
        at_least: Some(target.from_deg),
        at_most: Some(target.to_deg),
        source: check_says::makers_alignment(),
    };
    let beyond = (figure.value - figure.value.clamp(target.from_deg, target.to_deg)).abs();
    let advice = if state != ALIGNED_IN {
        AngleAdvice::AsLoaded
    } else if beyond <= 0.0 {
        AngleAdvice::Check
    } else if beyond <= target.adjusts_deg {
        AngleAdvice::Adjust
    } else {
        AngleAdvice::Parts
    };
    let moved = (state == ALIGNED_IN).then_some(shift);
    let said = Words::of(|language| {
        let (angle, advice) = (says::angle(language, angle.named()), says::angle_advice(language, advice));
        wording::alignment(language, angle, corner, moved, advice)
    });
    let mut check = Check::held(angle.check(), Area::Alignment, (figure, "deg"), limit, said)
        .in_state(state)
        .on(corner / 2);
    // wrong angles are set right, by adjusters or by parts; the makers' limits are those of an empty van
    check.finding = check.finding.min(Finding::LookAtIt);
    if state != ALIGNED_IN {
        (check.finding, check.limit) = (Finding::Holds, None);
    }
    check
}

#[cfg(test)]
mod tests {
    use super::*;

    fn body(pitch_deg: f64, roll_deg: f64) -> BodyPose {
        BodyPose { heave_m: 0.0, pitch_rad: pitch_deg.to_radians(), roll_rad: roll_deg.to_radians() }
    }

    #[test]
    fn val_a_body_rolled_by_a_degree_leans_both_wheels_by_a_degree() {
        // ISO 8855 and the trade's sign, by hand: left side up leans both tops to the right, which is inwards on the left
        // (negative camber) and outwards on the right (positive camber).
        let by_body = |corner| Angle::Camber.by_body_deg(&body(0.0, 1.0), corner);
        for (corner, expected) in [(0, -1.0), (1, 1.0), (2, -1.0), (3, 1.0)] {
            assert!((by_body(corner) - expected).abs() < 1e-12, "corner {corner}");
        }
        // pitch leaves camber, roll and pitch leave toe
        assert!(Angle::Camber.by_body_deg(&body(1.0, 0.0), 0).abs() < 1e-12);
        assert!(Angle::Toe.by_body_deg(&body(1.0, 1.0), 0).abs() < 1e-12);
    }

    #[test]
    fn val_a_nose_that_dips_by_a_degree_takes_a_degree_of_caster() {
        // By hand: caster is the lean of the steering axis to the rear, and the axis turns with the body.
        for corner in 0..4 {
            assert!((Angle::Caster.by_body_deg(&body(1.0, 0.0), corner) + 1.0).abs() < 1e-12);
        }
        assert!(Angle::Caster.by_body_deg(&body(0.0, 1.0), 0).abs() < 1e-12);
    }
}
