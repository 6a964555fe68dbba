//! Figures of a ride, each with its range.

use mechanics::ride::{BodyPoint, Nodes, RideDeviation, VanAtRest};
use mechanics::statics::{CORNERS, FRONT, REAR};

use super::Against;
use super::against::ComfortChange;
use super::quantities::{Quantity, quantities};
use super::slopes::{Slopes, Unknowing};
use crate::belief::Belief;
use crate::figure::Figure;
use crate::load_list::LoadState;

/// Ways in which the van moves about its rest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum RideMode {
    /// The body goes up and down.
    Heave,
    /// The body nods.
    Pitch,
    /// The body rolls.
    Roll,
    /// The front wheels hop.
    FrontHop,
    /// The rear wheels hop.
    RearHop,
}

impl RideMode {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Heave, Self::Pitch, Self::Roll, Self::FrontHop, Self::RearHop];
}

/// One way in which the van moves.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct ModeRide {
    /// Which.
    pub mode: RideMode,
    /// Undamped natural frequency, Hz.
    pub frequency_hz: Figure,
    /// Damping as a share of the critical one.
    pub damping_ratio: Figure,
}

/// A seat.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct SeatRide {
    /// `driver` or `passenger`.
    pub seat: &'static str,
    /// Vertical acceleration, weighted as ISO 2631-1 asks for comfort (Wk), root mean square, m/s².
    pub weighted_acceleration_m_per_s2: Figure,
}

/// An axle.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct AxleRide {
    /// Natural frequency of the body over this axle alone, its tyres in series, Hz.
    pub axle_frequency_hz: Figure,
    /// Spread of wheel travel about rest, one standard deviation, mm.
    pub travel_spread_mm: Figure,
    /// Spread of tyre load, one standard deviation, per cent of the load at rest.
    pub tyre_load_spread_percent: Figure,
    /// Chance per kilometre that the bump stop is touched, per cent; absent where there is none, or where it is engaged at
    /// rest.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stop_touched_per_km_percent: Option<Figure>,
    /// Chance per kilometre that the wheel passes twice its static load, per cent.
    pub twice_static_per_km_percent: Figure,
}

/// How a fitment rides in one load state.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct RideFigures {
    /// Load state.
    pub state: LoadState,
    /// How the van moves about its rest.
    pub modes: Vec<ModeRide>,
    /// Driver and front passenger.
    pub seats: [SeatRide; 2],
    /// Front and rear axle.
    pub axles: [AxleRide; 2],
    /// Comfort on the driver's seat against the yardstick; absent where the yardstick cannot be computed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub comfort: Option<ComfortChange>,
}

/// A van on a road.
pub(super) struct Ride<'a> {
    /// The van about its rest.
    pub(super) van: VanAtRest,
    /// Driver and passenger.
    pub(super) seats: [BodyPoint<1>; 2],
    /// The road.
    pub(super) nodes: &'a Nodes,
    /// Share of their force that the dampers of each axle have lost.
    pub(super) worn: [f64; 2],
    /// Load of each tyre at rest, N.
    pub(super) wheel_load_n: [f64; CORNERS],
}

impl Ride<'_> {
    /// The van with its dampers worn as far as expected.
    pub(super) fn expected(&self) -> RideDeviation {
        RideDeviation { damping: self.worn.map(|worn| -worn), ..RideDeviation::default() }
    }
}

/// Logarithms of all quantities of a ride, and how each answers to every unknown.
#[derive(Debug, Clone)]
pub(super) struct Ridden(Slopes);

impl Ridden {
    /// `None` where the ride cannot be computed.
    pub(super) fn of(ride: &Ride, unknown: &Unknowing) -> Option<Self> {
        Slopes::of(unknown, &ride.expected(), |deviations| quantities(ride, deviations)).map(Self)
    }

    /// The same over a belief that has the unknowns of a kit behind those of the van.
    pub(super) fn among(&self, van_unknowns: usize, kit_unknowns: usize, all: usize) -> Self {
        Self(self.0.among(van_unknowns, kit_unknowns, all))
    }

    /// A positive quantity: its range is even in ratio.
    fn figure(&self, quantity: Quantity, factor: f64, belief: &Belief) -> Figure {
        self.0.figure(quantity.index(), belief, |ln| factor * ln.exp())
    }

    /// Chance per kilometre from the rate of what happens, per cent; `None` where it cannot happen.
    fn chance_percent(&self, quantity: Quantity, belief: &Belief) -> Option<Figure> {
        self.is_known(quantity).then(|| {
            self.0.figure(quantity.index(), belief, |ln_per_km| -100.0 * (-ln_per_km.exp()).exp_m1())
        })
    }

    /// Change of a quantity against that of another ride, per cent.
    pub(super) fn change_percent(&self, other: &Self, quantity: Quantity, belief: &Belief) -> Figure {
        self.0.difference(&other.0, quantity.index(), belief, |ln| 100.0 * ln.exp_m1())
    }

    fn is_known(&self, quantity: Quantity) -> bool {
        self.0.values[quantity.index()].is_finite()
    }
}

impl RideFigures {
    pub(super) fn of(
        state: LoadState,
        against: Against,
        ridden: &Ridden,
        yardstick: Option<&Ridden>,
        belief: &Belief,
    ) -> Self {
        let figure = |quantity, factor| ridden.figure(quantity, factor, belief);
        let seat = |seat: &'static str, k: usize| SeatRide {
            seat,
            weighted_acceleration_m_per_s2: figure(Quantity::Seat(k), 1.0),
        };
        let axle = |axle: usize| AxleRide {
            axle_frequency_hz: figure(Quantity::AxleFrequency(axle), 1.0),
            travel_spread_mm: figure(Quantity::Travel(axle), 1e3),
            tyre_load_spread_percent: figure(Quantity::TyreLoad(axle), 100.0),
            stop_touched_per_km_percent: ridden.chance_percent(Quantity::StopTouched(axle), belief),
            twice_static_per_km_percent: ridden
                .chance_percent(Quantity::TwiceStatic(axle), belief)
                .unwrap_or_else(|| figure(Quantity::TwiceStatic(axle), 0.0)),
        };
        let modes = RideMode::ALL.into_iter().filter(|&mode| ridden.is_known(Quantity::Frequency(mode))).map(
            |mode| ModeRide {
                mode,
                frequency_hz: figure(Quantity::Frequency(mode), 1.0),
                damping_ratio: figure(Quantity::Damping(mode), 1.0),
            },
        );
        Self {
            state,
            modes: modes.collect(),
            seats: [seat("driver", 0), seat("passenger", 1)],
            axles: [axle(FRONT), axle(REAR)],
            comfort: yardstick.map(|yardstick| {
                ComfortChange::of(against, ridden.change_percent(yardstick, Quantity::Seat(0), belief))
            }),
        }
    }
}
