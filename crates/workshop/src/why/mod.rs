//! The chain behind what is shown: a figure, a verdict, a price, a time. Inputs with their evidence, steps with their
//! numbers, equations with their sources.

mod kit;
mod steps;

use mechanics::statics::axle_of;

use crate::answer::KnownVan;
use crate::assembly::CannotStand;
use crate::facts::{Language, Words};
use crate::figure::{Evidence, Figure};
use crate::kit::Kit;
use crate::load_list::LoadState;
use crate::sit::Sit;
use crate::standing::Standing;
use crate::wording::why::{self, Equation, FigureOf};
use crate::wording::{Axle, Said, with_range};

/// Figures whose chain can be asked for: all that shortlist and prediction show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// Arch height of a corner.
    ArchHeight,
    /// Band in which friction lets a corner rest.
    FrictionBand,
    /// Arch gap of a corner.
    ArchGap,
    /// Lip of a corner above the ground.
    LipHeight,
    /// Load of a wheel.
    CornerLoad,
    /// Drop of a corner against today.
    DropAgainstToday,
    /// Drop of a corner against new original springs.
    DropAgainstOriginal,
    /// Mean drop of the four arches against today.
    MeanDrop,
    /// Travel to first touch of the bump stop.
    FreeBumpTravel,
    /// Travel to twice the load at rest.
    BumpTravelToTwiceStatic,
    /// Travel to metal.
    BumpTravelToMetal,
    /// Least travel to metal of the four corners.
    LeastBumpTravelToMetal,
    /// Rebound travel.
    ReboundTravel,
    /// Spring compression left at full rebound.
    CaptiveInHand,
    /// Room between the coils at metal.
    CoilBindMargin,
    /// Level of the van.
    Level,
    /// Lean of a corner's axle.
    Lean,
    /// Pitch of the body.
    BodyPitch,
    /// Load of a corner's axle.
    AxleLoad,
    /// What is left to the plate of a corner's axle.
    AxleMargin,
    /// Gross mass.
    Gross,
    /// What is left to the plated gross mass.
    GrossMargin,
    /// Centre of gravity of the whole van behind the front axle line.
    CentreBehindFrontAxle,
    /// Centre of gravity of the whole van left of its centre plane.
    CentreLeftOfCentre,
    /// Mass in running order.
    RunningOrder,
    /// Payload.
    Payload,
}

/// What a figure belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// A corner, or the axle of a corner.
    Corner,
    /// The van.
    Van,
}

impl Asked {
    /// Names on the command line: those of the JSON fields.
    pub const CHOICES: [(&'static str, Self); 26] = [
        ("arch_height_mm", Self::ArchHeight),
        ("friction_band_mm", Self::FrictionBand),
        ("arch_gap_mm", Self::ArchGap),
        ("lip_height_above_ground_mm", Self::LipHeight),
        ("corner_load_kg", Self::CornerLoad),
        ("drop_against_today_mm", Self::DropAgainstToday),
        ("drop_against_original_mm", Self::DropAgainstOriginal),
        ("mean_drop_against_today_mm", Self::MeanDrop),
        ("free_bump_travel_mm", Self::FreeBumpTravel),
        ("bump_travel_to_twice_static_mm", Self::BumpTravelToTwiceStatic),
        ("bump_travel_to_metal_mm", Self::BumpTravelToMetal),
        ("least_bump_travel_to_metal_mm", Self::LeastBumpTravelToMetal),
        ("rebound_travel_mm", Self::ReboundTravel),
        ("captive_in_hand_mm", Self::CaptiveInHand),
        ("coil_bind_margin_mm", Self::CoilBindMargin),
        ("level_mm", Self::Level),
        ("lean_mm", Self::Lean),
        ("body_pitch_deg", Self::BodyPitch),
        ("axle_load_kg", Self::AxleLoad),
        ("axle_margin_kg", Self::AxleMargin),
        ("gross_kg", Self::Gross),
        ("gross_margin_kg", Self::GrossMargin),
        ("centre_of_gravity_behind_front_axle_mm", Self::CentreBehindFrontAxle),
        ("centre_of_gravity_left_of_centre_mm", Self::CentreLeftOfCentre),
        ("mass_in_running_order_kg", Self::RunningOrder),
        ("payload_kg", Self::Payload),
    ];

    /// Name on the command line.
    pub fn name(self) -> &'static str {
        Self::CHOICES.iter().find(|(_, choice)| *choice == self).map_or("", |(name, _)| name)
    }

    /// What it belongs to.
    pub fn place(self) -> Place {
        match self {
            Self::MeanDrop
            | Self::LeastBumpTravelToMetal
            | Self::Level
            | Self::BodyPitch
            | Self::Gross
            | Self::GrossMargin
            | Self::CentreBehindFrontAxle
            | Self::CentreLeftOfCentre
            | Self::RunningOrder
            | Self::Payload => Place::Van,
            _ => Place::Corner,
        }
    }

    /// Whether it is the same at both corners of an axle.
    fn is_of_an_axle(self) -> bool {
        matches!(self, Self::AxleLoad | Self::AxleMargin | Self::Lean)
    }

    /// Whether it is of the van class alone, whatever is fitted or carried.
    fn is_of_the_sheet(self) -> bool {
        matches!(self, Self::RunningOrder | Self::Payload)
    }
}

/// The chain behind something that is shown.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Why {
    /// What was asked for.
    pub asked: Words,
    /// The figure; absent where it cannot be given, and where no figure was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub value: Option<Figure>,
    /// The answer in words.
    pub answer: Words,
    /// What goes in, each with its evidence.
    pub inputs: Vec<Words>,
    /// What is done with it, each with its numbers.
    pub steps: Vec<Words>,
    /// Equations with their sources.
    pub equations: Vec<Words>,
}

/// Something that is said, in both languages.
fn words(said: &impl Said) -> Words {
    Words::of(|language| said.words(language))
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
        let on = kit.map(|kit| self.on_kit(kit)).transpose()?;
        let sitting = self.standing(on.as_deref()).sitting(state);
        let Standing { fitment, belief, .. } = sitting.standing;
        let (solved, sit) = (sitting.solved, &Sit::of(&sitting));
        let corner = if asked == Asked::LeastBumpTravelToMetal { least_corner(sit) } else { corner };
        let [ahead, left] = self.centre_of_gravity_mm(solved, belief);
        let value = match asked {
            Asked::CentreBehindFrontAxle => Some(ahead.negated()),
            Asked::CentreLeftOfCentre => Some(left),
            _ => self.asked_figure(sit, asked, corner),
        };
        let of = match asked.place() {
            _ if asked.is_of_the_sheet() => FigureOf::Sheet,
            Place::Van => FigureOf::Van,
            Place::Corner if asked.is_of_an_axle() => FigureOf::Axle(Axle::of(axle_of(corner))),
            Place::Corner => FigureOf::Corner(corner),
        };
        Ok(Why {
            asked: Words::of(|language| why::asked_figure(language, of, asked.name(), state, kit)),
            answer: Words::of(|language| figure_words(language, value.as_ref(), asked.name())),
            inputs: self.inputs(fitment, solved, asked, corner, state, value.as_ref()),
            value,
            steps: self.steps(fitment, solved, sit, corner, asked).iter().map(words).collect(),
            equations: equations(asked).iter().map(words).collect(),
        })
    }

    pub(crate) fn asked_figure(&self, sit: &Sit, asked: Asked, i: usize) -> Option<Figure> {
        let (corner, axle) = (&sit.corners[i], axle_of(i));
        let weight = || self.state_weight(sit);
        let order = &self.van.sheet.running_order;
        let running_kg = order.front_axle_kg + order.rear_axle_kg;
        let figure = match asked {
            Asked::ArchHeight => &corner.arch_height_mm,
            Asked::ArchGap => &corner.arch_gap_mm,
            Asked::LipHeight => &corner.lip_height_above_ground_mm,
            Asked::CornerLoad => &corner.corner_load_kg,
            Asked::DropAgainstToday => corner.drop_against_today_mm.as_ref()?,
            Asked::DropAgainstOriginal => &corner.drop_against_original_mm,
            Asked::MeanDrop => sit.mean_drop_against_today_mm.as_ref()?,
            Asked::FreeBumpTravel => corner.travel.free_bump_travel_mm.as_ref()?,
            Asked::BumpTravelToTwiceStatic => corner.travel.bump_travel_to_twice_static_mm.as_ref()?,
            Asked::BumpTravelToMetal | Asked::LeastBumpTravelToMetal => {
                &corner.travel.bump_travel_to_metal_mm
            }
            Asked::ReboundTravel => &corner.travel.rebound_travel_mm,
            Asked::CaptiveInHand => corner.travel.captive_in_hand_mm.as_ref()?,
            Asked::Level => &sit.level_mm,
            Asked::Lean => &sit.lean_mm[axle],
            Asked::BodyPitch => &sit.body_pitch_deg,
            Asked::AxleLoad => &sit.axle_load_kg[axle],
            Asked::CoilBindMargin => {
                return corner
                    .travel
                    .coil_bind_margin_mm
                    .map(|margin| Figure::exact(margin, Evidence::Computed));
            }
            Asked::FrictionBand => {
                let band = Figure {
                    low: corner.lowest_rest_mm,
                    high: corner.highest_rest_mm,
                    ..corner.arch_height_mm.clone()
                };
                return Some(band);
            }
            Asked::AxleMargin => return Some(weight().axle_margin_kg[axle].clone()),
            Asked::Gross => return Some(weight().gross_kg),
            Asked::GrossMargin => return Some(weight().gross_margin_kg),
            // of the rest with its belief, not of a sit
            Asked::CentreBehindFrontAxle | Asked::CentreLeftOfCentre => return None,
            Asked::RunningOrder => return Some(Figure::exact(running_kg, Evidence::MakersFigure)),
            Asked::Payload => {
                let payload_kg = self.van.grade.plated_gross_kg - running_kg;
                return Some(Figure::exact(payload_kg, Evidence::Computed));
            }
        };
        Some(figure.clone())
    }
}

fn not_available(language: Language) -> String {
    language.pick("not available", "nicht bekannt").to_owned()
}

pub(crate) fn figure_words(language: Language, value: Option<&Figure>, name: &str) -> String {
    let unit = crate::document::unit_of(name);
    value.map_or_else(
        || not_available(language),
        |figure| {
            let from = crate::wording::evidence(language, figure.evidence);
            let decimals = if ["mm", "kg", "N", "%"].contains(&unit) { 1 } else { 2 };
            format!("{}, {from}", with_range(language, figure, unit, decimals))
        },
    )
}

fn least_corner(sit: &Sit) -> usize {
    let to_metal = |i: usize| sit.corners[i].travel.bump_travel_to_metal_mm.value;
    (0..4).min_by(|&a, &b| to_metal(a).total_cmp(&to_metal(b))).unwrap_or(0)
}

pub(crate) fn equations(asked: Asked) -> Vec<Equation> {
    let own = match asked {
        Asked::RunningOrder => return vec![Equation::Margin],
        Asked::Payload => return vec![Equation::Margin],
        Asked::CornerLoad | Asked::AxleLoad | Asked::Gross => Equation::Tyre,
        Asked::AxleMargin | Asked::GrossMargin => Equation::Margin,
        Asked::CentreBehindFrontAxle | Asked::CentreLeftOfCentre => {
            return vec![Equation::Rest, Equation::Range, Equation::Moments];
        }
        Asked::FreeBumpTravel
        | Asked::BumpTravelToTwiceStatic
        | Asked::BumpTravelToMetal
        | Asked::LeastBumpTravelToMetal
        | Asked::ReboundTravel
        | Asked::CoilBindMargin => Equation::Travel,
        Asked::CaptiveInHand => Equation::Captive,
        Asked::Level => Equation::Level,
        Asked::Lean => Equation::Lean,
        Asked::BodyPitch => Equation::Pitch,
        Asked::ArchHeight
        | Asked::FrictionBand
        | Asked::ArchGap
        | Asked::LipHeight
        | Asked::DropAgainstToday
        | Asked::DropAgainstOriginal
        | Asked::MeanDrop => Equation::ArchHeight,
    };
    vec![Equation::Rest, Equation::SpringAtWheel, Equation::Range, own]
}
