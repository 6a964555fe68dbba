//! Clearance of the body above the ground, ramp angles, tow ball height, and the workshop's own lift.

use mechanics::statics::{FRONT, REAR};

use super::{Area, Check, Limit};
use crate::body_sheet::BodyPoint;
use crate::facts::Words;
use crate::figure::{Evidence, Figure};
use crate::fitment::Solved;
use crate::load_list::{CarriedItem, LoadState};
use crate::standing::Standing;
use crate::units::{m_from_mm, mm_from_m};
use crate::wording::check_says::{self, body as says};
use crate::wording::load_state;

/// Least height of the lowest point in every load state, mm (common practice, no source).
const LEAST_CLEARANCE_MM: f64 = 100.0;
/// Height of the tow ball's centre, laden, mm: UN R55 annex 7, ISO 1103, from memory.
const BALL_HEIGHT_MM: [f64; 2] = [350.0, 420.0];

/// Load state in which the clearance is compared with today.
const COMPARED_IN: LoadState = LoadState::DayToDay;
/// A load this close to the ball tells that a tow hitch is fitted, mm.
const HITCH_WITHIN_MM: f64 = 600.0;

/// Everything under the body.
pub(super) fn checks(standing: &Standing) -> Vec<Check> {
    let mut checks = Vec::new();
    for state in LoadState::ALL {
        checks.extend(lowest(standing, state));
        checks.extend(angles(standing, state));
    }
    checks.extend(ball(standing));
    checks.extend(lift_arms(standing));
    checks
}

/// The point that comes lowest.
fn lowest(standing: &Standing, state: LoadState) -> Option<Check> {
    let (point, figure) = lowest_of(standing, state, &standing.known.van.sheet.body.underbody)?;
    let limit =
        Limit { at_least: Some(LEAST_CLEARANCE_MM), at_most: None, source: check_says::common_practice() };
    // one load state stands for the change, so that what is the same under every load is said once
    let height_m = |solved: &Solved| solved.rest.body.height_of_m(point.at_mm.map(m_from_mm));
    let less_mm =
        mm_from_m(height_m(standing.known.solved_today(COMPARED_IN)) - height_m(standing.at(COMPARED_IN)));
    let said = Words::of(|language| {
        says::ground_clearance(language, &point.name, less_mm, load_state(language, COMPARED_IN))
    });
    Some(Check::held("ground_clearance", Area::Ground, (figure, "mm"), limit, said).in_state(state))
}

fn lowest_of<'a>(
    standing: &Standing,
    state: LoadState,
    points: &'a [BodyPoint],
) -> Option<(&'a BodyPoint, Figure)> {
    let solved = standing.at(state);
    let height_m = |point: &BodyPoint| solved.rest.body.height_of_m(point.at_mm.map(m_from_mm));
    let lowest = points.iter().min_by(|a, b| height_m(a).total_cmp(&height_m(b)))?;
    Some((lowest, solved.height_figure_mm(standing.belief, lowest.at_mm.map(m_from_mm))))
}

/// Approach, departure and breakover angle, told without a limit.
fn angles(standing: &Standing, state: LoadState) -> Vec<Check> {
    let rest = &standing.at(state).rest;
    let sheet = standing.known.van.sheet;
    let axle_x_m = [FRONT, REAR].map(|axle| standing.known.van.table(axle).wheel_centre_design_m[0]);
    let place = |point: &BodyPoint| {
        let at_m = point.at_mm.map(m_from_mm);
        (at_m[0], rest.body.height_of_m(at_m))
    };
    let least = |angles: Vec<f64>| angles.into_iter().min_by(f64::total_cmp);
    let points: Vec<(f64, f64)> = sheet.body.underbody.iter().map(place).collect();
    let beyond = |ahead: f64, axle: usize| {
        let contact_m = rest.wheel_centre_height_m[2 * axle];
        points
            .iter()
            .filter(|(x, _)| (x - axle_x_m[axle]) * ahead > 0.0)
            .filter_map(|&(x, z)| tangent_rad((x - axle_x_m[axle]) * ahead, z, contact_m))
            .collect::<Vec<f64>>()
    };
    let between: Vec<f64> = points
        .iter()
        .filter(|(x, _)| (axle_x_m[REAR]..axle_x_m[FRONT]).contains(x))
        .filter_map(|&(x, z)| {
            let front = tangent_rad(axle_x_m[FRONT] - x, z, rest.wheel_centre_height_m[0])?;
            let rear = tangent_rad(x - axle_x_m[REAR], z, rest.wheel_centre_height_m[2])?;
            Some(front + rear)
        })
        .collect();
    let told = [
        ("approach_angle", least(beyond(1.0, FRONT)), says::approach()),
        ("departure_angle", least(beyond(-1.0, REAR)), says::departure()),
        ("breakover_angle", least(between), says::breakover()),
    ];
    told.into_iter()
        .filter_map(|(check, angle_rad, said)| {
            let figure = Figure::exact(angle_rad?.to_degrees(), Evidence::Computed);
            Some(Check::told(check, Area::Ground, (figure, "deg"), said).in_state(state))
        })
        .collect()
}

/// Slope of the ramp that touches a tyre of radius `r` and a point `ahead` of the wheel centre, `z` above the ground: the
/// tangent from the point to the tyre's circle.
pub(crate) fn tangent_rad(ahead_m: f64, z_m: f64, radius_m: f64) -> Option<f64> {
    // seen from the wheel centre the point lies at (ahead, z - r); the ramp stays below both
    let (down_m, apart_m) = (radius_m - z_m, ahead_m.hypot(radius_m - z_m));
    (apart_m > radius_m).then(|| (radius_m / apart_m).asin() - down_m.atan2(ahead_m))
}

fn ball(standing: &Standing) -> Option<Check> {
    let ball = standing.known.van.sheet.body.tow_ball.as_ref()?;
    let aboard = |item: &CarriedItem| ball.carries(item, HITCH_WITHIN_MM);
    if !standing.known.enquiry.items.iter().any(aboard) {
        return None;
    }
    let state = LoadState::FullyLaden;
    let figure = standing.at(state).height_figure_mm(standing.belief, ball.centre_mm.map(m_from_mm));
    let limit = Limit {
        at_least: Some(BALL_HEIGHT_MM[0]),
        at_most: Some(BALL_HEIGHT_MM[1]),
        source: check_says::coupling_height(),
    };
    let said = says::ball_height();
    Some(Check::held("tow_ball_height", Area::Ground, (figure, "mm"), limit, said).in_state(state))
}

/// Whether the workshop's own lift still goes under the van.
fn lift_arms(standing: &Standing) -> Option<Check> {
    let arm_mm = standing.known.catalogue.premises.lift_arm_height_mm?;
    let state = LoadState::OnTheRamp;
    let (point, figure) = lowest_of(standing, state, &standing.known.van.sheet.body.lifting_points)?;
    let limit = Limit { at_least: Some(arm_mm), at_most: None, source: check_says::own_lift() };
    let said = Words::of(|language| says::lift_arms(language, &point.name));
    Some(Check::held("lift_arm_clearance", Area::Ground, (figure, "mm"), limit, said).in_state(state))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_a_ramp_touches_tyre_and_point() {
        // a point level with the wheel centre two radii ahead: the tangent rises by asin(1/2) = 30°
        let angle = tangent_rad(0.70, 0.35, 0.35).unwrap();
        assert!((angle.to_degrees() - 30.0).abs() < 1e-9);
        // a point on the ground: the ramp is the ground
        assert!(tangent_rad(0.70, 0.0, 0.35).unwrap().abs() < 1e-12);
        // inside the tyre there is none
        assert_eq!(tangent_rad(0.1, 0.3, 0.35), None);
    }
}
