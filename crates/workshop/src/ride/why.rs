//! The chain behind a figure of ride.

use mechanics::statics::{FRONT, REAR};

use super::RIDDEN_STATES;
use super::figures::{RideFigures, RideMode};
use super::hump::{HumpCrossing, HumpQuestion};
use super::quantities::Settled;
use super::slopes::Unknowing;
use crate::answer::KnownVan;
use crate::assembly::CannotStand;
use crate::facts::Words;
use crate::figure::Figure;
use crate::kit::Kit;
use crate::load_list::LoadState;
use crate::standing::Standing;
use crate::units::{m_from_mm, mm_from_m};
use crate::why::{Why, figure_words};
use crate::wording::why::{FigureOf, asked_figure, cause_input, item_input, running_order_input};
use crate::wording::why_ride::{AxleInRide, BodyInRide, RideEquation, damper_input, road_input};
use crate::wording::{Axle, Said, hump};

/// Figures of ride whose chain can be asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AskedRide {
    /// Natural frequency of a mode; of heave, the others stand beside it.
    Frequency,
    /// Damping ratio of a mode; of heave, the others stand beside it.
    Damping,
    /// Weighted acceleration on the driver's seat.
    Acceleration,
    /// Change of comfort against the yardstick.
    Comfort,
    /// Natural frequency of an axle alone.
    AxleFrequency,
    /// Spread of travel.
    Travel,
    /// Spread of tyre load.
    TyreLoad,
    /// Chance that the stop is touched.
    StopTouched,
    /// Chance that twice the static load is passed.
    TwiceStatic,
    /// Largest acceleration on the hump.
    HumpPeak,
    /// Vibration dose on the hump.
    HumpDose,
    /// Clearance to the stop on the hump.
    HumpToStop,
    /// Clearance to metal on the hump.
    HumpToMetal,
    /// Largest force at the wheel on the hump.
    HumpForce,
}

impl AskedRide {
    /// Names on the command line: those of the JSON fields.
    pub const CHOICES: [(&'static str, Self); 14] = [
        ("frequency_hz", Self::Frequency),
        ("damping_ratio", Self::Damping),
        ("weighted_acceleration_m_per_s2", Self::Acceleration),
        ("comfort_change_percent", Self::Comfort),
        ("axle_frequency_hz", Self::AxleFrequency),
        ("travel_spread_mm", Self::Travel),
        ("tyre_load_spread_percent", Self::TyreLoad),
        ("stop_touched_per_km_percent", Self::StopTouched),
        ("twice_static_per_km_percent", Self::TwiceStatic),
        ("peak_acceleration_m_per_s2", Self::HumpPeak),
        ("vibration_dose_m_per_s175", Self::HumpDose),
        ("clearance_to_stop_mm", Self::HumpToStop),
        ("clearance_to_metal_mm", Self::HumpToMetal),
        ("force_at_wheel_n", Self::HumpForce),
    ];

    fn name(self) -> &'static str {
        Self::CHOICES.iter().find(|(_, choice)| *choice == self).map_or("", |(name, _)| name)
    }

    /// Whether it belongs to the axle of a corner.
    pub fn is_of_an_axle(self) -> bool {
        !matches!(
            self,
            Self::Frequency
                | Self::Damping
                | Self::Acceleration
                | Self::Comfort
                | Self::HumpPeak
                | Self::HumpDose
        )
    }

    fn is_of_the_hump(self) -> bool {
        matches!(
            self,
            Self::HumpPeak | Self::HumpDose | Self::HumpToStop | Self::HumpToMetal | Self::HumpForce
        )
    }

    fn of_road(self, figures: &RideFigures, axle: usize) -> Option<Figure> {
        let heave = || figures.modes.iter().find(|mode| mode.mode == RideMode::Heave);
        let axle = &figures.axles[axle];
        match self {
            Self::Frequency => heave().map(|mode| mode.frequency_hz.clone()),
            Self::Damping => heave().map(|mode| mode.damping_ratio.clone()),
            Self::Acceleration => Some(figures.seats[0].weighted_acceleration_m_per_s2.clone()),
            Self::Comfort => figures.comfort.as_ref().map(|comfort| comfort.comfort_change_percent.clone()),
            Self::AxleFrequency => Some(axle.axle_frequency_hz.clone()),
            Self::Travel => Some(axle.travel_spread_mm.clone()),
            Self::TyreLoad => Some(axle.tyre_load_spread_percent.clone()),
            Self::StopTouched => axle.stop_touched_per_km_percent.clone(),
            Self::TwiceStatic => Some(axle.twice_static_per_km_percent.clone()),
            _ => None,
        }
    }

    fn of_hump(self, crossing: &HumpCrossing, axle: usize) -> Option<Figure> {
        let axle = &crossing.axles[axle];
        match self {
            Self::HumpPeak => Some(crossing.peak_acceleration_m_per_s2.clone()),
            Self::HumpDose => Some(crossing.vibration_dose_m_per_s175.clone()),
            Self::HumpToStop => axle.clearance_to_stop_mm.clone(),
            Self::HumpToMetal => Some(axle.clearance_to_metal_mm.clone()),
            Self::HumpForce => Some(axle.force_at_wheel_n.clone()),
            _ => None,
        }
    }

    fn equations(self) -> Vec<RideEquation> {
        if self.is_of_the_hump() {
            return vec![RideEquation::Motion, RideEquation::Step, RideEquation::Dose];
        }
        let mut equations = vec![RideEquation::Linearised];
        equations.extend(match self {
            Self::Frequency | Self::Damping => vec![RideEquation::Modes],
            Self::AxleFrequency => vec![RideEquation::AxleAlone],
            Self::Acceleration => vec![RideEquation::Road, RideEquation::Weighting],
            Self::Comfort => vec![RideEquation::Road, RideEquation::Weighting, RideEquation::Difference],
            Self::StopTouched | Self::TwiceStatic => vec![RideEquation::Road, RideEquation::Passages],
            _ => vec![RideEquation::Road],
        });
        equations
    }
}

impl KnownVan<'_> {
    /// The chain behind a figure of ride of an axle in a load state, on the usual road or hump: with a kit set for the aim,
    /// or as the van stands today. A load state in which it does not ride gives that of every day.
    ///
    /// # Errors
    /// When the van finds no rest.
    pub fn why_ride(
        &self,
        kit: Option<&Kit>,
        asked: AskedRide,
        corner: usize,
        state: LoadState,
    ) -> Result<Why, CannotStand> {
        let state = if RIDDEN_STATES.contains(&state) { state } else { LoadState::DayToDay };
        let (axle, bench) = (corner / 2, self.ride_bench());
        let on = kit.map(|kit| self.on_kit(kit)).transpose()?;
        let Standing { fitment, belief, solved, .. } = self.standing(on.as_deref());
        let figures = bench.ride(self, fitment, belief, solved, &[state]);
        let riding = bench.belief_riding(self, fitment, belief);
        let at_rest = &solved[state as usize];
        let (mut steps, mut crossing) = (Vec::new(), None);
        if let Some(ride) = bench.on_the_road(self, fitment, at_rest, state) {
            steps = Settled::expected(&ride).map_or_else(Vec::new, |expected| chain(&expected));
            if asked.is_of_the_hump() {
                let unknown = Unknowing::of(&riding, |input| input.row(&riding, fitment, at_rest, state));
                crossing = HumpCrossing::of(&HumpQuestion::default(), &ride, &unknown, state);
            }
        }
        let value = match &crossing {
            Some(crossing) => asked.of_hump(crossing, axle),
            None => figures.first().and_then(|figures| asked.of_road(figures, axle)),
        };
        let of = if asked.is_of_an_axle() { FigureOf::Axle(Axle::of(axle)) } else { FigureOf::Van };
        let order = &self.van.sheet.running_order;
        let mut inputs = vec![Words::of(|language| running_order_input(language, order))];
        let aboard = self.enquiry.items.iter().filter(|item| item.states.contains(&state));
        inputs.extend(aboard.map(|carried| Words::of(|language| item_input(language, &carried.item))));
        for axle in [FRONT, REAR] {
            let damping = &fitment.parts[axle].damping;
            let curve = self.van.damping_curve(axle, damping);
            inputs.push(Words::of(|language| damper_input(language, axle, damping, &curve)));
        }
        inputs.push(if asked.is_of_the_hump() {
            Words::of(|language| hump(language, &HumpQuestion::default()))
        } else {
            Words::of(|language| road_input(language, &bench.question()))
        });
        let causes = value.iter().flat_map(|figure| &figure.widened_by);
        inputs.extend(causes.map(|cause| Words::of(|language| cause_input(language, cause))));
        Ok(Why {
            asked: Words::of(|language| asked_figure(language, of, asked.name(), state, kit)),
            answer: Words::of(|language| figure_words(language, value.as_ref(), asked.name())),
            value,
            inputs,
            steps,
            equations: asked
                .equations()
                .iter()
                .map(|said| Words::of(|language| said.words(language)))
                .collect(),
        })
    }
}

/// What is computed on the way, at the expected values.
fn chain(expected: &Settled) -> Vec<Words> {
    let [front_m, rear_m] = expected.van.0.wheel_x_m.map(|x| x.0[0]);
    let body = BodyInRide {
        sprung_kg: expected.van.0.sprung_mass_kg.0[0],
        behind_front_axle_mm: mm_from_m(front_m),
        pitch_inertia_kg_m2: expected.van.0.pitch_inertia_kg_m2.0[0],
        roll_inertia_kg_m2: expected.van.0.roll_inertia_kg_m2.0[0],
        wheelbase_mm: mm_from_m(front_m - rear_m),
    };
    let mut steps = vec![Words::of(|language| body.words(language))];
    for axle in [FRONT, REAR] {
        let (moving, law) = (&expected.linearised.axles[axle], &expected.van.1[axle]);
        let said = AxleInRide {
            axle,
            spring_n_per_mm: m_from_mm(moving.spring_n_per_m),
            damper_n_s_per_m: moving.damper_n_s_per_m,
            friction_n_s_per_m: moving.friction_n_s_per_m,
            tyre_n_per_mm: m_from_mm(expected.van.0.tyre_rate_n_per_m[axle].0[0]),
            lower_mm: mm_from_m(moving.mean_travel_m),
            travel_mm: mm_from_m(moving.spring_rms.0),
            speed_m_per_s: moving.damper_speed_rms_m_per_s,
            stop_touched_mm: law.marks.stop_touched_m.map(mm_from_m),
            twice_static_mm: mm_from_m(law.marks.twice_static_m),
        };
        steps.push(Words::of(|language| said.words(language)));
    }
    steps.extend(
        expected
            .modes
            .iter()
            .map(|mode| Words::of(|language| crate::wording::why_ride::mode_step(language, mode))),
    );
    steps
}
