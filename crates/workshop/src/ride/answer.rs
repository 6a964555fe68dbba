//! The answer to a question of ride: today and every kit asked for, on one road and over one hump.

use mechanics::ride::RoadClass;

use super::hump::{HumpCrossing, HumpQuestion};
use super::setting::{DampingSetting, suited};
use super::slopes::Unknowing;
use super::{Against, RIDDEN_STATES, RideBench, RideFigures, RideQuestion};
use crate::answer::KnownVan;
use crate::assembly::CannotStand;
use crate::belief::Belief;
use crate::facts::Words;
use crate::fitment::{Fitment, Solved};
use crate::kit::Kit;
use crate::wording::Said;

/// How a van rides, today and on kits.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct RideAnswer {
    /// Identifier of the enquiry.
    pub enquiry: String,
    /// The question in words.
    pub question: String,
    /// Van class and grade.
    pub vehicle: String,
    /// Road, speed and yardstick.
    pub road: RideRoad,
    /// The hump.
    pub hump: HumpQuestion,
    /// Today.
    pub today: FitmentRide,
    /// The kits asked for.
    pub kits: Vec<KitRide>,
}

/// Road, speed and yardstick in words of the documents.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct RideRoad {
    /// Class of ISO 8608; its geometric mean.
    pub class: &'static str,
    /// Speed, km/h.
    pub speed_km_per_h: f64,
    /// What comfort is held against.
    pub against: Against,
}

/// A fitment on road and hump. Where a spring is known by its published drop alone nothing is said of its ride.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct FitmentRide {
    /// Each load state in which it can be computed.
    pub states: Vec<RideFigures>,
    /// The hump in the same load states.
    pub hump: Vec<HumpCrossing>,
    /// Where damping can be set: the setting that suits.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub damping: Option<DampingSetting>,
}

/// A kit on road and hump.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct KitRide {
    /// Identifier.
    pub kit: String,
    /// Name.
    pub name: String,
    /// How it rides, or why nothing can be said.
    #[serde(flatten)]
    pub outcome: KitRideOutcome,
}

/// What came of a kit.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum KitRideOutcome {
    /// It rides.
    Rides(FitmentRide),
    /// It cannot be computed.
    CannotBeComputed(Words),
}

impl KnownVan<'_> {
    /// How the van rides today and on kits, their collars set for the aim of the enquiry.
    pub fn ride_answer(&self, kits: &[&Kit], question: RideQuestion, hump: HumpQuestion) -> RideAnswer {
        let bench = RideBench::of(self, question);
        let today: Vec<Solved> =
            crate::load_list::LoadState::ALL.iter().map(|&state| self.solved_today(state).clone()).collect();
        RideAnswer {
            enquiry: self.enquiry.id.clone(),
            question: self.enquiry.question.clone(),
            vehicle: format!("{}, {}", self.van.sheet.name, self.van.grade.name),
            road: RideRoad {
                class: class_letter(question.road),
                speed_km_per_h: question.speed_km_per_h,
                against: question.against,
            },
            hump,
            today: bench.in_full(self, &self.fitted, &self.belief, &today, None, &hump),
            kits: kits
                .iter()
                .map(|kit| KitRide {
                    kit: kit.id.clone(),
                    name: kit.name.clone(),
                    outcome: match self.kit_ride(&bench, kit, &hump) {
                        Ok(ride) => KitRideOutcome::Rides(ride),
                        Err(why) => {
                            KitRideOutcome::CannotBeComputed(Words::of(|language| why.words(language)))
                        }
                    },
                })
                .collect(),
        }
    }

    fn kit_ride(
        &self,
        bench: &RideBench,
        kit: &Kit,
        hump: &HumpQuestion,
    ) -> Result<FitmentRide, CannotStand> {
        let kit = self.offered(kit);
        let fitment = self.set_up_fitment(&kit)?;
        let belief = self.belief_with(&fitment);
        let solved = self.solved_on(&fitment, &belief)?;
        Ok(bench.in_full(self, &fitment, &belief, &solved, Some(&kit), hump))
    }
}

impl RideBench {
    fn in_full(
        &self,
        known: &KnownVan,
        fitment: &Fitment,
        belief: &Belief,
        solved: &[Solved],
        kit: Option<&Kit>,
        hump: &HumpQuestion,
    ) -> FitmentRide {
        let riding = self.belief_riding(known, fitment, belief);
        let crossing = |&state: &crate::load_list::LoadState| {
            let solved = &solved[state as usize];
            let ride = self.on_the_road(known, fitment, solved, state)?;
            let unknown = Unknowing::of(&riding, |input| input.row(&riding, fitment, solved, state));
            HumpCrossing::of(hump, &ride, &unknown, state)
        };
        FitmentRide {
            states: self.ride(known, fitment, belief, solved, &RIDDEN_STATES),
            hump: RIDDEN_STATES.iter().filter_map(crossing).collect(),
            damping: kit.and_then(|kit| suited(self, known, kit, fitment, solved)),
        }
    }
}

/// Letter of a class.
pub fn class_letter(class: RoadClass) -> &'static str {
    match class {
        RoadClass::A => "A",
        RoadClass::B => "B",
        RoadClass::C => "C",
        RoadClass::D => "D",
        RoadClass::E => "E",
        RoadClass::F => "F",
        RoadClass::G => "G",
        RoadClass::H => "H",
    }
}
