//! What goes into a figure and what is done with it: the balance of a wheel, then the steps of the figure alone.

use mechanics::statics::{FRONT, REAR, axle_of};

use super::{Asked, Place};
use crate::answer::KnownVan;
use crate::assembly::SpringKnowledge;
use crate::facts::Words;
use crate::figure::Figure;
use crate::fitment::{Fitment, Solved};
use crate::linkage_sheet::LinkageSheet;
use crate::load_list::LoadState;
use crate::sit::Sit;
use crate::units::{bar_from_pa, kg_from_n, mm_from_m};
use crate::wording::why::{self, SpringFrom, SpringInput, Step};

impl KnownVan<'_> {
    pub(crate) fn inputs(
        &self,
        fitment: &Fitment,
        solved: &Solved,
        asked: Asked,
        corner: usize,
        state: LoadState,
        value: Option<&Figure>,
    ) -> Vec<Words> {
        let order = &self.van.sheet.running_order;
        let mut inputs = vec![Words::of(|language| why::running_order_input(language, order))];
        if asked.is_of_the_sheet() {
            return inputs;
        }
        for carried in self.enquiry.items.iter().filter(|item| item.states.contains(&state)) {
            inputs.push(Words::of(|language| why::item_input(language, &carried.item)));
        }
        inputs.push(self.spring_input(fitment, solved, corner));
        let causes = value.iter().flat_map(|figure| &figure.widened_by);
        inputs.extend(causes.map(|cause| Words::of(|language| why::cause_input(language, cause))));
        inputs
    }

    fn spring_input(&self, fitment: &Fitment, solved: &Solved, i: usize) -> Words {
        let corner = &solved.van.corners[i];
        let from = match fitment.parts[axle_of(i)].spring_knowledge {
            SpringKnowledge::Original => SpringFrom::Sheet,
            SpringKnowledge::Stated => SpringFrom::Maker,
            SpringKnowledge::DropOnly { .. } => SpringFrom::Assumed,
        };
        let free_m = corner.spring.main.free_length_m;
        let rate_n_per_m = corner.spring_at(solved.rest.axle_travel(i)).main_rate_n_per_m;
        let spring = if let Some(lever_m) = self.van.torsion_lever_m(axle_of(i)) {
            SpringInput::TorsionBar {
                untwisted_below_design_deg: (free_m / lever_m - std::f64::consts::TAU).to_degrees(),
                rate_nm_per_deg: (rate_n_per_m * lever_m * lever_m).to_radians(),
            }
        } else if self.is_on_leaves(i) {
            SpringInput::Leaves { free_camber_mm: mm_from_m(free_m), rate_n_per_mm: rate_n_per_m * 1e-3 }
        } else {
            SpringInput::Coil { free_length_mm: mm_from_m(free_m), rate_n_per_mm: rate_n_per_m * 1e-3 }
        };
        Words::of(|language| why::spring_input(language, i, spring, from))
    }

    fn is_on_leaves(&self, i: usize) -> bool {
        matches!(self.van.axle_sheet(axle_of(i)).linkage, LinkageSheet::LeafAxle(_))
    }

    pub(crate) fn steps(
        &self,
        fitment: &Fitment,
        solved: &Solved,
        sit: &Sit,
        i: usize,
        asked: Asked,
    ) -> Vec<Step> {
        let by_moments = matches!(asked, Asked::CentreBehindFrontAxle | Asked::CentreLeftOfCentre);
        let of_van = asked.place() == Place::Van && !asked.is_of_the_sheet() && !by_moments;
        let mut steps: Vec<Step> = of_van.then_some(Step::OneWheel(i)).into_iter().collect();
        steps.extend(match asked {
            Asked::RunningOrder
            | Asked::Payload
            | Asked::CentreBehindFrontAxle
            | Asked::CentreLeftOfCentre => Vec::new(),
            Asked::AxleLoad | Asked::AxleMargin | Asked::Gross | Asked::GrossMargin | Asked::CornerLoad => {
                vec![Step::WheelStands([
                    kg_from_n(solved.rest.wheel_load_n[i]),
                    solved.van.corners[i].unsprung_mass_kg,
                ])]
            }
            _ => self.balance_steps(solved, i),
        });
        steps.extend(self.own_steps(solved, sit, i, asked));
        if fitment.collars[axle_of(i)] && !asked.is_of_the_sheet() {
            let adjuster = fitment.adjusters[axle_of(i)];
            steps.push(Step::Collar(adjuster, mm_from_m(fitment.collar_turned_m[i])));
        }
        steps
    }

    fn balance_steps(&self, solved: &Solved, i: usize) -> Vec<Step> {
        let (corner, rest) = (&solved.van.corners[i], &solved.rest);
        let forces = corner.forces_at(rest.axle_travel(i));
        let space = corner.spring_at(rest.axle_travel(i));
        let ratio = -corner.table.spring_length_m.at(rest.travel_m[i]).slope;
        let design_mm = mm_from_m(corner.lip_m[2] - corner.table.wheel_centre_design_m[2]);
        let air = corner.air.as_ref().zip(corner.air_at(rest.axle_travel(i))).map(|(air, (pa, height_m))| {
            [bar_from_pa(pa), air.at_height(height_m).force_n * air.height_per_spring_length * ratio]
        });
        let at_wheel_n = forces.spring_n - air.map_or(0.0, |[_, air_n]| air_n);
        let spring = if let Some(lever_m) = self.van.torsion_lever_m(axle_of(i)) {
            let twist = (corner.spring.main.free_length_m - space.main_length_m) / lever_m;
            Step::BarIsTwisted([twist.to_degrees(), space.force_n * lever_m, at_wheel_n])
        } else if self.is_on_leaves(i) {
            let added_n: f64 =
                corner.added_leaves.iter().map(|leaf| leaf.at_camber(space.main_length_m).force_n).sum();
            Step::LeavesPush([mm_from_m(space.main_length_m), space.force_n, added_n, ratio, at_wheel_n])
        } else {
            Step::SpringPushes([mm_from_m(space.main_length_m), space.force_n, ratio, at_wheel_n])
        };
        let mut steps =
            vec![Step::WheelStands([kg_from_n(rest.wheel_load_n[i]), corner.unsprung_mass_kg]), spring];
        steps.extend(air.map(Step::AirPushes));
        steps.push(Step::OthersPush([
            forces.stop_n,
            forces.gas_n,
            forces.bush_n,
            solved.van.suspension_force_n(rest, i),
        ]));
        steps.push(Step::ArchHeight([
            mm_from_m(rest.arch_height_m[i]),
            design_mm,
            mm_from_m(rest.travel_m[i]),
        ]));
        steps
    }

    /// Steps of the asked figure alone.
    fn own_steps(&self, solved: &Solved, sit: &Sit, i: usize, asked: Asked) -> Vec<Step> {
        let (rest, limits, axle) = (&solved.rest, &solved.limits[i], axle_of(i));
        let (state, travel) = (sit.state, &sit.corners[i].travel);
        let arch_mm = rest.arch_height_m.map(mm_from_m);
        let load_kg = rest.wheel_load_n.map(kg_from_n);
        let order = &self.van.sheet.running_order;
        let grade = self.van.grade;
        let against = |other: &Solved| {
            let other_mm = mm_from_m(other.rest.arch_height_m[i]);
            [other_mm, other_mm - arch_mm[i]]
        };
        let axle_kg = [FRONT, REAR].map(|axle| load_kg[2 * axle] + load_kg[2 * axle + 1]);
        let gross_kg = axle_kg[0] + axle_kg[1];
        let to_metal = Step::ToMetal(mm_from_m(limits.to_metal_m), travel.bump_ends_at);
        match asked {
            Asked::ArchHeight | Asked::CornerLoad => Vec::new(),
            Asked::FrictionBand => {
                let corner = &sit.corners[i];
                vec![Step::FrictionBand([corner.lowest_rest_mm, corner.highest_rest_mm])]
            }
            Asked::ArchGap => {
                let radius_mm = self.van.tyres[axle].unloaded_radius_mm;
                vec![Step::ArchGap([radius_mm, arch_mm[i] - radius_mm])]
            }
            Asked::LipHeight => {
                let centre_mm = mm_from_m(rest.wheel_centre_height_m[i]);
                vec![Step::LipHeight([centre_mm, centre_mm + arch_mm[i]])]
            }
            Asked::DropAgainstToday => vec![Step::DropAgainstToday(against(self.solved_today(state)))],
            Asked::DropAgainstOriginal => vec![Step::DropAgainstOriginal(against(self.solved_as_new(state)))],
            Asked::MeanDrop => {
                let mean_mm = |arch_m: &[f64; 4]| mm_from_m(arch_m.iter().sum::<f64>() / 4.0);
                let today_mm = mean_mm(&self.solved_today(state).rest.arch_height_m);
                let then_mm = mean_mm(&rest.arch_height_m);
                vec![Step::MeanDrop([today_mm, then_mm, today_mm - then_mm])]
            }
            Asked::FreeBumpTravel => {
                limits.free_bump_m.map(|m| Step::FirstTouch(mm_from_m(m))).into_iter().collect()
            }
            Asked::BumpTravelToTwiceStatic => {
                solved.to_twice_static_m(i).map(|m| Step::TwiceLoad(mm_from_m(m))).into_iter().collect()
            }
            Asked::BumpTravelToMetal => vec![to_metal],
            Asked::LeastBumpTravelToMetal => vec![Step::LeastCorner(i), to_metal],
            Asked::ReboundTravel => {
                vec![Step::Rebound(mm_from_m(limits.rebound_m), travel.rebound_ends_at)]
            }
            Asked::CaptiveInHand => {
                vec![Step::Captive([mm_from_m(limits.rebound_m), mm_from_m(limits.captive_in_hand_m)])]
            }
            Asked::CoilBindMargin => {
                let room = travel.coil_bind_margin_mm.map(Step::CoilBind);
                [Some(to_metal), room].into_iter().flatten().collect()
            }
            Asked::Level => {
                let difference_mm = 0.5 * (arch_mm[2] + arch_mm[3] - arch_mm[0] - arch_mm[1]);
                vec![Step::Level([difference_mm, self.van.sheet.level_floor_difference_mm])]
            }
            Asked::Lean => {
                let (left, right) = (arch_mm[2 * axle], arch_mm[2 * axle + 1]);
                vec![Step::Lean([left, right, left - right])]
            }
            Asked::BodyPitch => vec![Step::Pitch(rest.body.pitch_rad.to_degrees())],
            Asked::AxleLoad => vec![axle_load(&load_kg, axle)],
            Asked::AxleMargin => {
                let plate_kg = [grade.plated_front_axle_kg, grade.plated_rear_axle_kg][axle];
                let margin = Step::Margin([plate_kg, axle_kg[axle], plate_kg - axle_kg[axle]]);
                vec![axle_load(&load_kg, axle), margin]
            }
            Asked::Gross => vec![Step::Gross([axle_kg[0], axle_kg[1], gross_kg])],
            Asked::GrossMargin => {
                let margin =
                    Step::Margin([grade.plated_gross_kg, gross_kg, grade.plated_gross_kg - gross_kg]);
                vec![Step::Gross([axle_kg[0], axle_kg[1], gross_kg]), margin]
            }
            Asked::CentreBehindFrontAxle => {
                let behind_mm = self.wheel_places_mm().map(|[ahead_mm, _]| -ahead_mm);
                vec![Step::StandsOn(load_kg), Step::MomentsAlong([behind_mm[0], behind_mm[2]], axle_kg)]
            }
            Asked::CentreLeftOfCentre => {
                let left_mm = self.wheel_places_mm().map(|[_, left_mm]| left_mm);
                vec![Step::StandsOn(load_kg), Step::MomentsAcross(left_mm, load_kg)]
            }
            Asked::RunningOrder | Asked::Payload => {
                let running_kg = order.front_axle_kg + order.rear_axle_kg;
                let sum = Step::Gross([order.front_axle_kg, order.rear_axle_kg, running_kg]);
                let plate_kg = grade.plated_gross_kg;
                let margin = Step::Margin([plate_kg, running_kg, plate_kg - running_kg]);
                if asked == Asked::Payload { vec![sum, margin] } else { vec![sum] }
            }
        }
    }
}

fn axle_load(load_kg: &[f64; 4], axle: usize) -> Step {
    let (left, right) = (load_kg[2 * axle], load_kg[2 * axle + 1]);
    Step::AxleLoad([left, right, left + right])
}
