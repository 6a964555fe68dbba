//! How a fitment rides: comfort, travel used, bottoming, held against the original or against the van as found.
//!
//! Every figure is computed at the expected values and with each input of ride off by its standard deviation; the slopes
//! carry the joint distribution of all unknowns to the figure. What two fitments share (the road, the load, the tyres,
//! the force of original dampers) moves both alike, so a difference is known better than either.

mod against;
mod answer;
mod figures;
mod hump;
mod model;
mod quantities;
mod setting;
mod slopes;
mod unknowns;
mod why;

use std::sync::{Arc, LazyLock, OnceLock};

use mechanics::ride::{Frequencies, Nodes, RandomRoad, RoadClass, RoadRun, Weighting};
use mechanics::statics::{FRONT, REAR};

use crate::answer::KnownVan;
use crate::belief::{Belief, Origin, Unknown};
use crate::fitment::{Fitment, Solved};
use crate::load_list::LoadState;
use crate::units::m_per_s_from_km_per_h;

pub use against::{Against, ComfortChange, Promise};
pub use answer::{FitmentRide, KitRide, KitRideOutcome, RideAnswer, RideRoad, class_letter};
pub use figures::{AxleRide, ModeRide, RideFigures, RideMode, SeatRide};
pub use hump::{HumpAxle, HumpCrossing, HumpQuestion, HumpShape};
pub use setting::{Clicks, DampingSetting, StateSetting};
pub use why::AskedRide;

use figures::{Ridden, Ride};
use slopes::Unknowing;

/// On what a ride is asked about.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RideQuestion {
    /// Class of the road, its geometric mean.
    pub road: RoadClass,
    /// Speed, km/h.
    pub speed_km_per_h: f64,
    /// What it is held against.
    pub against: Against,
}

impl Default for RideQuestion {
    /// An ordinary main road at 80 km/h, held against new original parts.
    fn default() -> Self {
        Self { road: RoadClass::B, speed_km_per_h: 80.0, against: Against::AsNewOriginal }
    }
}

/// Load states in which a van rides: on the ramp it does not.
pub const RIDDEN_STATES: [LoadState; 3] =
    [LoadState::AsFittedOut, LoadState::DayToDay, LoadState::FullyLaden];

/// All that does not change between the kits of a van: the road, the unknowns, and how the yardstick rides.
#[derive(Debug, Clone)]
pub struct RideBench {
    question: RideQuestion,
    nodes: Option<Nodes>,
    /// Unknowns that ride adds behind those of van and kit.
    unknowns: Vec<Arc<Unknown>>,
    /// Number of unknowns of the van alone.
    van_unknowns: usize,
    /// How the yardstick rides in each load state, found when it is first asked for.
    yardstick: [OnceLock<Option<Ridden>>; RIDDEN_STATES.len()],
}

impl RideBench {
    /// The road, the unknowns and the yardstick of a van.
    pub fn of(known: &KnownVan, question: RideQuestion) -> Self {
        let tolerances = &known.catalogue.tolerances;
        let original = Fitment::as_new(&known.van);
        let mut unknowns = original.unknowns(Origin::AsNew, tolerances);
        unknowns.extend(unknowns::of_the_van(&known.van, tolerances));
        unknowns.extend(unknowns::of_other_dampers(&known.fitted, Origin::Fitted, tolerances));
        if question.against == Against::AsFound {
            unknowns.extend(unknowns::wear(tolerances));
        }
        Self {
            question,
            nodes: nodes(known, question),
            unknowns: unknowns.into_iter().map(Arc::new).collect(),
            van_unknowns: known.belief.unknowns.len(),
            yardstick: Default::default(),
        }
    }

    /// What it is asked about.
    pub fn question(&self) -> RideQuestion {
        self.question
    }

    /// `None` where nothing can be said of its ride in a load state, or where a van does not ride in it.
    fn yardstick(&self, known: &KnownVan, state: LoadState) -> Option<&Ridden> {
        let at = RIDDEN_STATES.iter().position(|&ridden| ridden == state)?;
        let found = || {
            let yardstick = match self.question.against {
                Against::AsNewOriginal => Fitment::as_new(&known.van),
                Against::AsFound => known.fitted.clone(),
            };
            let belief = known.belief.joined(self.unknowns.clone());
            let solved = yardstick.solved(&known.van, &known.carried(state), &belief, state).ok()?;
            self.ridden(known, &yardstick, &belief, &solved, state)
        };
        self.yardstick[at].get_or_init(found).as_ref()
    }

    /// How a fitment that was solved in every load state rides in some of them; those in which it does not are left out.
    pub fn ride(
        &self,
        known: &KnownVan,
        fitment: &Fitment,
        belief: &Belief,
        solved: &[Solved],
        states: &[LoadState],
    ) -> Vec<RideFigures> {
        let kit_unknowns = belief.unknowns.len() - self.van_unknowns;
        let belief = self.belief_riding(known, fitment, belief);
        states
            .iter()
            .filter_map(|&state| {
                let solved = &solved[state as usize];
                let ridden = self.ridden(known, fitment, &belief, solved, state)?;
                let yardstick = self
                    .yardstick(known, state)
                    .map(|yardstick| yardstick.among(self.van_unknowns, kit_unknowns, belief.unknowns.len()));
                Some(RideFigures::of(state, self.question.against, &ridden, yardstick.as_ref(), &belief))
            })
            .collect()
    }

    /// A belief of van and kit with what ride does not know beside.
    fn belief_riding(&self, known: &KnownVan, fitment: &Fitment, belief: &Belief) -> Belief {
        let mut unknowns = self.unknowns.clone();
        let dampers = unknowns::of_other_dampers(fitment, Origin::Kit, &known.catalogue.tolerances);
        unknowns.extend(dampers.into_iter().map(Arc::new));
        belief.joined(unknowns)
    }

    fn ridden(
        &self,
        known: &KnownVan,
        fitment: &Fitment,
        belief: &Belief,
        solved: &Solved,
        state: LoadState,
    ) -> Option<Ridden> {
        let ride = self.on_the_road(known, fitment, solved, state)?;
        let unknown = Unknowing::of(belief, |input| input.row(belief, fitment, solved, state));
        Ridden::of(&ride, &unknown)
    }

    /// A fitment at rest in a load state, on the road; `None` where nothing can be said of its ride.
    fn on_the_road(
        &self,
        known: &KnownVan,
        fitment: &Fitment,
        solved: &Solved,
        state: LoadState,
    ) -> Option<Ride<'_>> {
        let van = model::at_rest(known, fitment, solved, state)?;
        Some(Ride {
            seats: model::seats_m(known).map(|seat_m| van.point(seat_m)),
            van,
            nodes: self.nodes.as_ref()?,
            worn: self.worn(fitment),
            wheel_load_n: solved.rest.wheel_load_n,
        })
    }

    /// Share of their force that the dampers of each axle are expected to have lost.
    fn worn(&self, fitment: &Fitment) -> [f64; 2] {
        let fitted = |axle: usize| fitment.origins[axle].damper == Origin::Fitted;
        [FRONT, REAR]
            .map(|axle| if fitted(axle) { unknowns::expected_wear(&self.unknowns, axle) } else { 0.0 })
    }
}

/// The same for every van.
static FREQUENCIES: LazyLock<Option<Frequencies>> = LazyLock::new(|| Frequencies::usual().ok());

fn nodes(known: &KnownVan, question: RideQuestion) -> Option<Nodes> {
    let centre_m = |axle: usize| known.van.table(axle).wheel_centre_design_m;
    let run = RoadRun {
        road: RandomRoad::of_class(question.road),
        speed_m_per_s: m_per_s_from_km_per_h(question.speed_km_per_h),
        wheelbase_m: centre_m(FRONT)[0] - centre_m(REAR)[0],
        track_m: centre_m(FRONT)[1] + centre_m(REAR)[1],
    };
    Nodes::new(FREQUENCIES.as_ref()?, run, &Weighting::wk()).ok()
}

#[cfg(test)]
mod tests;
