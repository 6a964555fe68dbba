//! The chains behind checks of loads and of what ends the travel.

use mechanics::statics::{FRONT, REAR, axle_of};

use super::{Chain, OnWheels, quantity, said};
use crate::answer::KnownVan;
use crate::checks::Check;
use crate::checks::carry::ON_THE_BALL_MM;
use crate::facts::Words;
use crate::fitment::Solved;
use crate::load_list::LoadState;
use crate::sit::Sit;
use crate::standing::Standing;
use crate::units::mm_from_m;
use crate::why::{Asked, equations};
use crate::wording::why::item_input;
use crate::wording::why_check::CheckEquation;
use crate::wording::why_quantity::{NumberFrom, name};

const SHEET: NumberFrom = NumberFrom::Sheet;
const COMPUTED: NumberFrom = NumberFrom::Computed;

impl KnownVan<'_> {
    /// Checks that hold a figure of the prediction against a limit have its chain.
    pub(super) fn figure_chain(&self, check: &Check, on: &OnWheels, state: LoadState) -> Option<Chain> {
        let axle = check.axle.map_or(FRONT, |axle| axle as usize);
        let (asked, axle) = match check.check {
            "gross_mass" => (Asked::Gross, FRONT),
            "front_axle_load" => (Asked::AxleLoad, FRONT),
            "rear_axle_load" => (Asked::AxleLoad, REAR),
            "bump_travel_to_metal" => (Asked::BumpTravelToMetal, axle),
            "captive" => (Asked::CaptiveInHand, axle),
            "coil_bind" => (Asked::CoilBindMargin, axle),
            _ => return None,
        };
        let Standing { fitment, .. } = on.standing;
        let (sit, solved) = (&Sit::of(&on.standing.sitting(state)), on.standing.at(state));
        let of_corner =
            |i: usize| self.asked_figure(sit, asked, i).map_or(f64::INFINITY, |figure| figure.value);
        let sides = [2 * axle, 2 * axle + 1];
        let corner = sides.into_iter().min_by(|&a, &b| of_corner(a).total_cmp(&of_corner(b)))?;
        let steps = self.steps(fitment, solved, sit, corner, asked);
        Some(Chain {
            inputs: self.inputs(fitment, solved, asked, corner, state, check.figure.as_ref()),
            steps: steps.iter().map(|step| said(step)).collect(),
            equations: equations(asked).iter().map(|equation| said(equation)).collect(),
        })
    }

    /// What hangs on the tow ball.
    pub(super) fn ball_chain(&self, state: LoadState) -> Option<Chain> {
        let ball = self.van.sheet.body.tow_ball.as_ref()?;
        let hanging = self
            .enquiry
            .items
            .iter()
            .filter(|carried| carried.states.contains(&state) && ball.carries(carried, ON_THE_BALL_MM));
        let mut chain = Chain::of(&[], &[], CheckEquation::BallLoad);
        chain.inputs = hanging.map(|carried| Words::of(|l| item_input(l, &carried.item))).collect();
        Some(chain)
    }

    /// Damper stroke, shafts, links and axles over the travel.
    pub(super) fn travel_chain(&self, check: &Check, here: &Solved) -> Option<Chain> {
        let axle = check.axle? as usize;
        let left = 2 * axle;
        let (corner, rest) = (&here.van.corners[left], &here.rest);
        let pose = |travel_m: f64| corner.table.pose_at(travel_m);
        let deg = |what, rad: f64| quantity(what, rad.to_degrees(), "deg", COMPUTED);
        let limits = &here.limits[left];
        let [droop_m, metal_m] =
            [rest.travel_m[left] - limits.rebound_m, rest.travel_m[left] + limits.to_metal_m];
        let travels = [
            quantity(name::TRAVEL_AT_DROOP, mm_from_m(droop_m), "mm", COMPUTED),
            quantity(name::TRAVEL_AT_METAL, mm_from_m(metal_m), "mm", COMPUTED),
        ];
        match check.check {
            "damper_stroke" => {
                let lengths_m = [corner.damper.open_length_m, corner.damper.closed_length_m];
                let [open_mm, closed_mm] = lengths_m.map(mm_from_m);
                let at_rest_mm = mm_from_m(corner.damper_length_at_m(rest.axle_travel(left)));
                let inputs = [
                    quantity(name::OPEN_LENGTH, open_mm, "mm", SHEET),
                    quantity(name::CLOSED_LENGTH, closed_mm, "mm", SHEET),
                ];
                let used = check.figure.as_ref()?.value;
                let steps = [
                    quantity(name::LENGTH_AT_REST, at_rest_mm, "mm", COMPUTED),
                    quantity(name::STROKE_USED, used, "percent", COMPUTED),
                ];
                Some(Chain::of_numbers(inputs, steps, CheckEquation::Stroke))
            }
            "driveshaft_angle" => {
                let steps = [
                    deg(name::ANGLE_AT_DROOP, pose(droop_m).driveshaft_angle_rad?),
                    deg(name::ANGLE_AT_METAL, pose(metal_m).driveshaft_angle_rad?),
                ];
                Some(Chain::of_numbers(travels, steps, CheckEquation::SweptAngle))
            }
            "drop_link_angle" => {
                let steps = [
                    deg(name::ANGLE_AT_DROOP, pose(droop_m).drop_link_angle_rad?),
                    deg(name::ANGLE_AT_METAL, pose(metal_m).drop_link_angle_rad?),
                ];
                Some(Chain::of_numbers(travels, steps, CheckEquation::SweptAngle))
            }
            _ => {
                let lean_rad = |solved: &Solved| {
                    let lean = solved.van.corners[left].table.caster_rad.as_ref()?;
                    Some(lean.at_both(solved.rest.axle_travel(left)).value)
                };
                let as_new = self.solved_as_new(check.state?);
                let leans =
                    [deg(name::AXLE_LEAN_NEW, lean_rad(as_new)?), deg(name::AXLE_LEAN_NOW, lean_rad(here)?)];
                Some(Chain::of_numbers(leans, [], CheckEquation::AxlePitch))
            }
        }
    }

    /// How much lower the wheels of an axle hang than on new original parts.
    pub(super) fn droop_chain(&self, check: &Check, here: &Solved) -> Option<Chain> {
        let left = 2 * check.axle? as usize;
        let lowest_mm =
            |solved: &Solved| mm_from_m(solved.rest.travel_m[left] - solved.limits[left].rebound_m);
        let inputs = [
            quantity(name::DROOP_NEW, lowest_mm(self.solved_as_new(check.state?)), "mm", COMPUTED),
            quantity(name::TRAVEL_AT_DROOP, lowest_mm(here), "mm", COMPUTED),
        ];
        Some(Chain::of_numbers(inputs, [], CheckEquation::LowerDroop))
    }

    /// Heights that a valve, a sensor or a camera feels, and whether the van has one.
    pub(super) fn height_change_chain(&self, check: &Check, here: &Solved) -> Chain {
        let as_new = self.solved_as_new(check.state.unwrap_or(LoadState::DayToDay));
        let mean_mm = |solved: &Solved, axle: usize| {
            let arch_m = solved.rest.arch_height_m;
            mm_from_m(0.5 * (0..4).filter(|&i| axle_of(i) == axle).map(|i| arch_m[i]).sum::<f64>())
        };
        let of = |what, solved, axle| quantity(what, mean_mm(solved, axle), "mm", COMPUTED);
        let heights = [
            of(name::FRONT_ARCH_NEW, as_new, FRONT),
            of(name::FRONT_ARCH_NOW, here, FRONT),
            of(name::REAR_ARCH_NEW, as_new, REAR),
            of(name::REAR_ARCH_NOW, here, REAR),
        ];
        let mut chain = Chain::of_numbers(heights, [], CheckEquation::HeightChange);
        let fact = match check.check {
            "load_sensing_brake_valve" => "brake-valve",
            "height_sensor" => "height-sensor",
            _ => "driver-assistance",
        };
        chain.inputs.push(self.fact_words(fact, &self.facts()));
        chain
    }
}
