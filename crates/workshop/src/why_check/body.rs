//! The chains behind checks of points of the body, ramp angles and handling.

use mechanics::handling::Handling;
use mechanics::statics::{FRONT, REAR};

use super::{Chain, quantity};
use crate::answer::KnownVan;
use crate::body_sheet::BodyPoint;
use crate::checks::Check;
use crate::checks::ground::tangent_rad;
use crate::checks::handling::UPRATED_BAR;
use crate::fitment::Solved;
use crate::load_list::LoadState;
use crate::units::{m_from_mm, mm_from_m};
use crate::wording::why_check::{CheckEquation, CheckInput, CheckStep};
use crate::wording::why_quantity::{NumberFrom, name};

const COMPUTED: NumberFrom = NumberFrom::Computed;

/// A point and the angle under which a ramp touches it.
type Touched<'a> = (&'a BodyPoint, f64);

impl KnownVan<'_> {
    /// Height of the point that a check looks at: the lowest of several.
    pub(super) fn height_chain(&self, check: &'static str, here: &Solved, state: LoadState) -> Option<Chain> {
        let body = &here.rest.body;
        let height_mm =
            |solved: &Solved, at_mm: [f64; 3]| mm_from_m(solved.rest.body.height_of_m(at_mm.map(m_from_mm)));
        let sheet = &self.van.sheet.body;
        let unnamed = |at_mm: [f64; 3]| BodyPoint { name: String::new(), at_mm };
        let points = match check {
            "lamp_height" => vec![unnamed(sheet.lamp.as_ref()?.centre_mm)],
            "tow_ball_height" => vec![unnamed(sheet.tow_ball.as_ref()?.centre_mm)],
            "lift_arm_clearance" => sheet.lifting_points.clone(),
            _ => sheet.underbody.clone(),
        };
        let lowest = points
            .into_iter()
            .min_by(|a, b| height_mm(here, a.at_mm).total_cmp(&height_mm(here, b.at_mm)))?;
        let now_mm = height_mm(here, lowest.at_mm);
        let today_mm = height_mm(self.solved_today(state), lowest.at_mm);
        let point = match check {
            "lamp_height" | "tow_ball_height" => CheckInput::PointOf { check, at_mm: lowest.at_mm },
            _ => CheckInput::Point { name: lowest.name, at_mm: lowest.at_mm },
        };
        Some(Chain::of(
            &[point],
            &[
                CheckStep::Body {
                    heave_mm: mm_from_m(body.heave_m),
                    pitch_deg: body.pitch_rad.to_degrees(),
                    roll_deg: body.roll_rad.to_degrees(),
                },
                CheckStep::PointHeight([now_mm, today_mm]),
            ],
            CheckEquation::Height,
        ))
    }

    /// The point that decides a ramp angle.
    pub(super) fn ramp_chain(&self, check: &'static str, here: &Solved) -> Option<Chain> {
        let rest = &here.rest;
        let radius_m = [rest.wheel_centre_height_m[0], rest.wheel_centre_height_m[2]];
        let axle_x_m = [FRONT, REAR].map(|axle| self.van.table(axle).wheel_centre_design_m[0]);
        let angle_rad = |point: &BodyPoint| -> Option<f64> {
            let at_m = point.at_mm.map(m_from_mm);
            let height_m = rest.body.height_of_m(at_m);
            let [before_front_m, before_rear_m] = axle_x_m.map(|x| at_m[0] - x);
            match check {
                "approach_angle" if before_front_m > 0.0 => {
                    tangent_rad(before_front_m, height_m, radius_m[FRONT])
                }
                "departure_angle" if before_rear_m < 0.0 => {
                    tangent_rad(-before_rear_m, height_m, radius_m[REAR])
                }
                "breakover_angle" if (axle_x_m[REAR]..axle_x_m[FRONT]).contains(&at_m[0]) => {
                    let front = tangent_rad(-before_front_m, height_m, radius_m[FRONT])?;
                    Some(front + tangent_rad(before_rear_m, height_m, radius_m[REAR])?)
                }
                _ => None,
            }
        };
        let touched =
            self.van.sheet.body.underbody.iter().filter_map(|point| Some((point, angle_rad(point)?)));
        let (point, _): Touched = touched.min_by(|a, b| a.1.total_cmp(&b.1))?;
        let height_mm = |solved: &Solved| mm_from_m(solved.rest.body.height_of_m(point.at_mm.map(m_from_mm)));
        let [front_mm, rear_mm] = radius_m.map(mm_from_m);
        Some(Chain::of(
            &[CheckInput::Point { name: point.name.clone(), at_mm: point.at_mm }],
            &[
                CheckStep::PointHeight([height_mm(here), height_mm(self.solved_today(LoadState::DayToDay))]),
                CheckStep::Number(quantity(name::FRONT_WHEEL_RADIUS, front_mm, "mm", COMPUTED)),
                CheckStep::Number(quantity(name::REAR_WHEEL_RADIUS, rear_mm, "mm", COMPUTED)),
            ],
            CheckEquation::RampAngle,
        ))
    }

    /// Roll stiffness, roll centres, roll gradient and load transfer.
    pub(super) fn handling_chain(&self, check: &Check, here: &Solved) -> Option<Chain> {
        let handling = Handling::of(&here.van, &here.rest);
        let stiffness = handling.roll_stiffness;
        let per_deg = stiffness.map(|axle| axle.on_rigid_wheels_nm_per_rad().to_radians());
        let tyres = stiffness.map(|axle| axle.tyres_nm_per_rad.to_radians());
        let springs = CheckInput::RollStiffness { springs: per_deg, tyres };
        let axle = check.axle.map_or(FRONT, |axle| axle as usize);
        if check.check.ends_with("roll_stiffness") {
            let [track, bar] = [
                quantity(
                    [name::TRACK_FRONT, name::TRACK_REAR][axle],
                    mm_from_m(handling.track_m[axle]),
                    "mm",
                    COMPUTED,
                ),
                quantity(
                    name::BAR_STIFFNESS,
                    stiffness[axle].bar_nm_per_rad.to_radians(),
                    "nm_per_deg",
                    COMPUTED,
                ),
            ];
            let numbers = [CheckInput::Number(track), CheckInput::Number(bar)];
            return Some(Chain::of(&numbers, &[], CheckEquation::RollStiffness));
        }
        if check.check.ends_with("roll_centre_height") {
            let today = self.solved_today(check.state?);
            let today_m = Handling::of(&today.van, &today.rest).roll_centre_height_m[axle]?;
            let travel_mm = mm_from_m(here.rest.travel_m[2 * axle]);
            let steps = [
                quantity(name::TRAVEL_AT_REST, travel_mm, "mm", COMPUTED),
                quantity(name::ROLL_CENTRE_TODAY, mm_from_m(today_m), "mm", COMPUTED),
            ];
            return Some(Chain::of_numbers([], steps, CheckEquation::RollCentre).with_input(check));
        }
        let balance = handling.balance.as_ref().ok()?;
        let body = CheckInput::SprungMass {
            kg: balance.sprung_mass_kg,
            height_mm: mm_from_m(balance.sprung_cg_height_m),
        };
        let mut steps = vec![CheckStep::RollArm(mm_from_m(balance.roll_arm_m))];
        let told = check.figure.as_ref()?.value;
        match check.check {
            "front_transfer_share" => {
                steps.push(CheckStep::Number(quantity(name::FRONT_SHARE, told, "percent", COMPUTED)));
            }
            "roll_gradient" => steps.push(CheckStep::RollGradient(told)),
            _ => {
                let stronger = quantity(name::STIFFER_BAR, UPRATED_BAR, "", NumberFrom::Practice);
                steps.push(CheckStep::Number(stronger));
                steps.push(CheckStep::RollGradient(told));
            }
        }
        Some(Chain::of(&[body, springs], &steps, CheckEquation::Roll))
    }
}
