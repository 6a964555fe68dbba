//! Travel: what is left, what ends it, and the angles of shafts and links on the way.

use mechanics::statics::{FRONT, REAR};

use super::{Area, Check, Finding, Limit};
use crate::facts::{Language, Words};
use crate::figure::{Evidence, Figure};
use crate::load_list::LoadState;
use crate::set_up::{LEAST_BUMP_TO_METAL_MM, LEAST_CAPTIVE_MM};
use crate::sit::Sitting;
use crate::standing::Standing;
use crate::units::mm_from_m;
use crate::wording::Axle;
use crate::wording::check_says::{common_practice, geometry, makers_figure, travel as says};

/// Coils this close touch, mm.
pub(crate) const COILS_TOUCH_MM: f64 = 0.05;

/// Travel checks of both axles in every load state.
pub(super) fn checks(standing: &Standing) -> Vec<Check> {
    let mut checks = Vec::new();
    for state in LoadState::ALL {
        for axle in [FRONT, REAR] {
            checks.extend(ends(standing, state, axle));
        }
    }
    for axle in [FRONT, REAR] {
        checks.extend(damper_stroke(standing, axle));
        checks.extend(driveshaft(standing, axle));
        checks.extend(drop_link(standing, axle));
        checks.extend(axle_pitch(standing, axle));
    }
    checks
}

/// A sentence about an axle.
fn of(axle: usize, says: fn(Language, Axle) -> String) -> Words {
    Words::of(|language| says(language, Axle::of(axle)))
}

/// Bump travel to metal, captive springs and coil bind of the worse wheel.
fn ends(standing: &Standing, state: LoadState, axle: usize) -> Vec<Check> {
    let sitting = standing.sitting(state);
    let worse = |length_m: &dyn Fn(&Sitting, usize) -> Option<f64>| {
        sitting.least_corner([2 * axle, 2 * axle + 1], length_m)
    };
    let mut checks = Vec::new();
    let mut hold = |check, figure: Option<Figure>, at_least, source, said| {
        let limit = Limit { at_least: Some(at_least), at_most: None, source };
        checks.extend(figure.map(|figure| {
            Check::held(check, Area::Travel, (figure, "mm"), limit, said).in_state(state).on(axle)
        }));
    };
    hold(
        "bump_travel_to_metal",
        worse(&|sitting, i| Some(sitting.to_metal_m(i))).map(|corner| corner.bump_travel_to_metal_mm()),
        LEAST_BUMP_TO_METAL_MM,
        common_practice(),
        of(axle, says::to_metal),
    );
    hold(
        "captive",
        worse(&|sitting, i| sitting.captive_in_hand_m(i)).and_then(|corner| corner.captive_in_hand_mm()),
        LEAST_CAPTIVE_MM,
        common_practice(),
        of(axle, says::captive),
    );
    hold(
        "coil_bind",
        [2 * axle, 2 * axle + 1]
            .into_iter()
            .filter_map(|i| sitting.coil_bind_margin_m(i).map(mm_from_m))
            // the solver ends the travel where the coils touch, to some nanometres
            .map(|room_mm| if room_mm.abs() < COILS_TOUCH_MM { 0.0 } else { room_mm })
            .min_by(f64::total_cmp)
            .map(|room_mm| Figure::exact(room_mm, Evidence::Computed)),
        0.0,
        geometry(),
        of(axle, says::coil_bind),
    );
    // little travel is to be looked at; none forbids; coils that end the travel are to be looked at
    for check in &mut checks {
        if check.check == "coil_bind" {
            let touch = check.figure.as_ref().is_some_and(|room| room.value <= 0.0);
            check.finding = if touch { Finding::LookAtIt } else { Finding::Holds };
        }
        if check.check == "bump_travel_to_metal" && check.figure.as_ref().is_some_and(|f| f.value > 0.0) {
            check.finding = check.finding.min(Finding::LookAtIt);
        }
    }
    checks
}

/// Share of the damper's stroke used at rest, told.
fn damper_stroke(standing: &Standing, axle: usize) -> Option<Check> {
    let state = LoadState::DayToDay;
    let corner = &standing.at(state).van.corners[2 * axle];
    let length_m = corner.damper_length_at_m(standing.at(state).rest.axle_travel(2 * axle));
    let stroke_m = corner.damper.open_length_m - corner.damper.closed_length_m;
    let used = 100.0 * (corner.damper.open_length_m - length_m) / stroke_m;
    used.is_finite().then(|| {
        let figure = Figure::exact(used, Evidence::Computed);
        let told =
            Check::told("damper_stroke", Area::Travel, (figure, "percent"), of(axle, says::damper_stroke));
        let finding = if (0.0..=100.0).contains(&used) { Finding::Holds } else { Finding::DoNot };
        Check { finding, ..told.in_state(state).on(axle) }
    })
}

/// Steepest driveshaft from full droop to full bump.
fn driveshaft(standing: &Standing, axle: usize) -> Option<Check> {
    let most_deg = standing.known.van.axle_sheet(axle).driveshaft_angle_most_deg?;
    let state = LoadState::DayToDay;
    let (low_m, high_m) = swept(standing, state, axle);
    let table = &standing.at(state).van.corners[2 * axle].table;
    let angle = |t: f64| table.pose_at(t).driveshaft_angle_rad.map(f64::to_degrees);
    let figure = Figure::exact(angle(low_m)?.abs().max(angle(high_m)?.abs()), Evidence::Computed);
    let limit = Limit { at_least: None, at_most: Some(most_deg), source: makers_figure() };
    let said = of(axle, says::driveshaft);
    Some(Check::held("driveshaft_angle", Area::Travel, (figure, "deg"), limit, said).in_state(state).on(axle))
}

/// Drop link against bar arm: near 0° or 180° the bar locks or turns over.
fn drop_link(standing: &Standing, axle: usize) -> Option<Check> {
    let least_deg = standing.known.van.axle_sheet(axle).drop_link_angle_least_deg?;
    let state = LoadState::DayToDay;
    let (low_m, high_m) = swept(standing, state, axle);
    let table = &standing.at(state).van.corners[2 * axle].table;
    let from_lock = |t: f64| {
        let angle_deg = table.pose_at(t).drop_link_angle_rad?.to_degrees();
        Some(angle_deg.min(180.0 - angle_deg))
    };
    let figure = Figure::exact(from_lock(low_m)?.min(from_lock(high_m)?), Evidence::Computed);
    let limit = Limit { at_least: Some(least_deg), at_most: None, source: makers_figure() };
    let said = of(axle, says::drop_link);
    Some(Check::held("drop_link_angle", Area::Travel, (figure, "deg"), limit, said).in_state(state).on(axle))
}

/// Pitch of a beam axle against original parts: it bends the joints of the propeller shaft.
fn axle_pitch(standing: &Standing, axle: usize) -> Option<Check> {
    let spare_deg = standing.known.van.axle_sheet(axle).axle_pitch_spare_deg?;
    let state = LoadState::DayToDay;
    let lean_deg = |solved: &crate::fitment::Solved| {
        let corner = &solved.van.corners[2 * axle];
        let lean = corner.table.caster_rad.as_ref()?;
        Some(lean.at_both(solved.rest.axle_travel(2 * axle)).value.to_degrees())
    };
    let changed_deg = lean_deg(standing.at(state))? - lean_deg(standing.known.solved_as_new(state))?;
    let figure = Figure::exact(changed_deg, Evidence::Computed);
    let limit = Limit { at_least: Some(-spare_deg), at_most: Some(spare_deg), source: makers_figure() };
    let said = of(axle, says::axle_pitch);
    Some(Check::held("axle_pitch", Area::Travel, (figure, "deg"), limit, said).in_state(state).on(axle))
}

/// Wheel travel at full droop and at metal, m.
fn swept(standing: &Standing, state: LoadState, axle: usize) -> (f64, f64) {
    let (rest_m, limits) = (standing.at(state).rest.travel_m[2 * axle], &standing.at(state).limits[2 * axle]);
    (rest_m - limits.rebound_m, rest_m + limits.to_metal_m)
}
