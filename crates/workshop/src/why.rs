//! The chain behind a figure: inputs with their evidence, steps with their numbers, the equation and its source.

use mechanics::statics::{Rest, axle_of};

use crate::answer::KnownVan;
use crate::assembly::{AXLE_NAMES, CannotStand, SpringKnowledge};
use crate::belief::CORNER_WORDS;
use crate::figure::Figure;
use crate::fitment::{Fitment, Solved};
use crate::kit::Kit;
use crate::load_list::LoadState;
use crate::sit::Sit;
use crate::units::{kg_from_n, mm_from_m};

/// Figures whose chain can be asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// Arch height of a corner.
    ArchHeight,
    /// Load of a wheel.
    CornerLoad,
    /// Drop of a corner against today.
    DropAgainstToday,
    /// Travel to first touch of the bump stop.
    FreeBumpTravel,
    /// Travel to metal.
    BumpTravelToMetal,
    /// Spring compression left at full rebound.
    CaptiveInHand,
    /// Level of the van.
    Level,
}

impl Asked {
    /// Names on the command line: those of the JSON fields.
    pub const CHOICES: [(&'static str, Self); 7] = [
        ("arch_height_mm", Self::ArchHeight),
        ("corner_load_kg", Self::CornerLoad),
        ("drop_against_today_mm", Self::DropAgainstToday),
        ("free_bump_travel_mm", Self::FreeBumpTravel),
        ("bump_travel_to_metal_mm", Self::BumpTravelToMetal),
        ("captive_in_hand_mm", Self::CaptiveInHand),
        ("level_mm", Self::Level),
    ];
}

/// The chain behind a figure.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Why {
    /// What was asked for, in words.
    pub figure: String,
    /// The figure; absent where it cannot be given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub value: Option<Figure>,
    /// What goes in, each with its evidence.
    pub inputs: Vec<String>,
    /// What is done with it, each with its numbers.
    pub steps: Vec<String>,
    /// Equations with their sources.
    pub equations: Vec<&'static str>,
}

impl KnownVan<'_> {
    /// The chain behind a figure of a corner (0 to 3) in a load state: with a kit set for the aim, or as it stands today.
    ///
    /// # Errors
    /// When the van finds no rest.
    pub fn why(
        &self,
        kit: Option<&Kit>,
        asked: Asked,
        corner: usize,
        state: LoadState,
    ) -> Result<Why, CannotStand> {
        let fitment = match kit {
            Some(kit) => self.set_up_fitment(kit)?,
            None => self.fitted.clone(),
        };
        let belief = self.belief_with(&fitment);
        let solved = fitment.solved(&self.van, &self.carried(state), &belief, state)?;
        let answer = if kit.is_some() { self.sits_on(&fitment)? } else { self.today() };
        let value = figure(&answer.states[state as usize], asked, corner);
        let mut inputs = self.load_inputs(state);
        inputs.extend(self.part_inputs(&fitment, &solved, corner));
        inputs.extend(value.iter().flat_map(|figure| &figure.widened_by).map(|cause| {
            format!(
                "{}: holds {:.0} % of the range ({}); {}",
                cause.cause,
                100.0 * cause.share,
                cause.evidence.words(),
                cause.remedy
            )
        }));
        let place = if asked == Asked::Level { String::new() } else { format!("{} ", CORNER_WORDS[corner]) };
        let name = Asked::CHOICES.iter().find(|(_, choice)| *choice == asked).map_or("", |(name, _)| name);
        Ok(Why {
            figure: format!("{place}{name}, {}, {}", state.name(), kit.map_or("today", |kit| &kit.id)),
            value,
            inputs,
            steps: self.steps(&fitment, &solved, corner, state, asked),
            equations: equations(asked),
        })
    }

    fn load_inputs(&self, state: LoadState) -> Vec<String> {
        let order = &self.van.sheet.running_order;
        let mut inputs = vec![format!(
            "running order {:.0} + {:.0} kg (maker's figure: 90 % fuel, driver of 75 kg)",
            order.front_axle_kg, order.rear_axle_kg
        )];
        for carried in self.enquiry.items.iter().filter(|item| item.states.contains(&state)) {
            let item = &carried.item;
            inputs.push(format!(
                "{}: {:.0} ± {:.0} kg, {:.0} mm behind the front axle ({})",
                item.name,
                item.mass_kg,
                item.plus_minus_kg,
                item.place.behind_front_axle_mm,
                item.evidence.words()
            ));
        }
        inputs
    }

    fn part_inputs(&self, fitment: &Fitment, solved: &Solved, i: usize) -> Vec<String> {
        let (axle, corner) = (axle_of(i), &solved.van.corners[i]);
        let origin = match fitment.parts[axle].spring_knowledge {
            SpringKnowledge::Original => "original, free length computed from the sheet's arch height",
            SpringKnowledge::Stated => "maker's figure",
            SpringKnowledge::DropOnly { .. } => "assumed: only a drop is published",
        };
        vec![format!(
            "{} spring: free length {:.1} mm, {:.1} N/mm at rest ({origin})",
            AXLE_NAMES[axle],
            mm_from_m(corner.spring.main.free_length_m),
            corner.spring_at(solved.band.middle.axle_travel(i)).main_rate_n_per_m * 1e-3
        )]
    }

    fn steps(
        &self,
        fitment: &Fitment,
        solved: &Solved,
        i: usize,
        state: LoadState,
        asked: Asked,
    ) -> Vec<String> {
        let rest = &solved.band.middle;
        let mut steps = balance_steps(solved, rest, i);
        let corner = &solved.van.corners[i];
        let design_mm = mm_from_m(corner.lip_m[2] - corner.table.wheel_centre_design_m[2]);
        steps.push(format!(
            "arch height {:.1} mm: {design_mm:.1} mm at design height less {:.1} mm of bump travel, the tilt of the body included",
            mm_from_m(rest.arch_height_m[i]),
            mm_from_m(rest.travel_m[i])
        ));
        let limits = &solved.limits[i];
        match asked {
            Asked::DropAgainstToday => {
                let today_m = self.solved_today(state).band.middle.arch_height_m[i];
                steps.push(format!(
                    "today, in the same load state, {:.1} mm: the drop is {:.1} mm",
                    mm_from_m(today_m),
                    mm_from_m(today_m - rest.arch_height_m[i])
                ));
            }
            Asked::FreeBumpTravel => steps.extend(limits.free_bump_m.map(|m| {
                format!("the stop is first touched {:.1} mm of wheel travel above rest", mm_from_m(m))
            })),
            Asked::BumpTravelToMetal => steps.push(format!(
                "the first thing that cannot yield ends the travel {:.1} mm above rest",
                mm_from_m(limits.to_metal_m)
            )),
            Asked::CaptiveInHand => steps.push(format!(
                "full rebound is {:.1} mm below rest; there the spring is still {:.1} mm shorter than free",
                mm_from_m(limits.rebound_m),
                mm_from_m(limits.captive_in_hand_m)
            )),
            Asked::Level => steps.push(format!(
                "rear less front {:.1} mm, less {:.0} mm with the load floor horizontal",
                mm_from_m(
                    0.5 * (rest.arch_height_m[2] + rest.arch_height_m[3]
                        - rest.arch_height_m[0]
                        - rest.arch_height_m[1])
                ),
                self.van.sheet.level_floor_difference_mm
            )),
            Asked::ArchHeight | Asked::CornerLoad => {}
        }
        if fitment.collars[axle_of(i)] {
            steps.push(format!(
                "the collar stands {:.2} mm from where it was delivered",
                mm_from_m(fitment.collar_turned_m[i])
            ));
        }
        steps
    }
}

fn balance_steps(solved: &Solved, rest: &Rest, i: usize) -> Vec<String> {
    let corner = &solved.van.corners[i];
    let forces = corner.forces_at(rest.axle_travel(i));
    let space = corner.spring_at(rest.axle_travel(i));
    let ratio = -corner.table.spring_length_m.at(rest.travel_m[i]).slope;
    vec![
        format!(
            "the wheel stands on the ground with {:.1} kg, {:.1} kg of it unsprung",
            kg_from_n(rest.wheel_load_n[i]),
            corner.unsprung_mass_kg
        ),
        format!(
            "the spring is {:.1} mm long and pushes with {:.0} N; times the motion ratio {ratio:.4} that is {:.0} N at the wheel",
            mm_from_m(space.main_length_m),
            space.force_n,
            forces.spring_n
        ),
        format!(
            "bump stop {:.0} N, gas {:.0} N, bushes {:.0} N; with the anti-roll bar the suspension carries {:.0} N",
            forces.stop_n,
            forces.gas_n,
            forces.bush_n,
            solved.van.suspension_force_n(rest, i)
        ),
    ]
}

fn figure(sit: &Sit, asked: Asked, i: usize) -> Option<Figure> {
    let corner = &sit.corners[i];
    match asked {
        Asked::ArchHeight => Some(corner.arch_height_mm.clone()),
        Asked::CornerLoad => Some(corner.corner_load_kg.clone()),
        Asked::DropAgainstToday => corner.drop_against_today_mm.clone(),
        Asked::FreeBumpTravel => corner.travel.free_bump_travel_mm.clone(),
        Asked::BumpTravelToMetal => Some(corner.travel.bump_travel_to_metal_mm.clone()),
        Asked::CaptiveInHand => corner.travel.captive_in_hand_mm.clone(),
        Asked::Level => Some(sit.level_mm.clone()),
    }
}

fn equations(asked: Asked) -> Vec<&'static str> {
    let mut equations = vec![
        "rest: the energy of springs, stops, bushes, bars, tyres, gas and gravity is stationary (virtual work; J. C. Dixon, Suspension Geometry and Computation, ch. 8)",
        "spring force at the wheel = load × motion ratio, -dL/dz from the 3D linkage",
        "range = 1.645 × √(rᵀ P r), r the exact response of the rest to each unknown, P their covariance",
    ];
    equations.push(match asked {
        Asked::ArchHeight | Asked::DropAgainstToday => "arch height = height of the lip less height of the wheel centre",
        Asked::CornerLoad => "tyre: N = k δ",
        Asked::FreeBumpTravel | Asked::BumpTravelToMetal => {
            "travel ends where stop, damper, coils or linkage end; a trimmed stop is rebuilt from its remaining height"
        }
        Asked::CaptiveInHand => "captive in hand = free length of the spring stack less the space at full rebound",
        Asked::Level => "level = (rear less front arch height) less the same with the load floor horizontal",
    });
    equations
}
