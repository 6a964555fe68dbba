//! Travel of the two wheels of an axle, and quantities over it.

use crate::curve::{Local, Local2, Spline, Surface};

/// Travel of a wheel and of the other wheel of its axle, bump positive, m.
///
/// On an axle with independent wheels the other one does not matter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxleTravel {
    /// The wheel that is looked at.
    pub own_m: f64,
    /// The other wheel of the axle.
    pub other_m: f64,
}

impl AxleTravel {
    /// Both wheels at one travel.
    pub fn together(travel_m: f64) -> Self {
        Self { own_m: travel_m, other_m: travel_m }
    }

    /// Both wheels moved further by one distance, m.
    #[must_use]
    pub fn moved(self, rise_m: f64) -> Self {
        Self { own_m: self.own_m + rise_m, other_m: self.other_m + rise_m }
    }
}

/// How the two wheels of an axle move against each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TravelMode {
    /// Both alike.
    Heave,
    /// The other as much down as this one goes up.
    Roll,
    /// The other stands still.
    SingleWheel,
}

impl TravelMode {
    /// Movement of this wheel and of the other per movement of this wheel.
    pub fn direction(self) -> [f64; 2] {
        match self {
            Self::Heave => [1.0, 1.0],
            Self::Roll => [1.0, -1.0],
            Self::SingleWheel => [1.0, 0.0],
        }
    }

    /// Travel of both wheels for a travel of this one, m, from design height.
    pub fn travel(self, own_m: f64) -> AxleTravel {
        AxleTravel { own_m, other_m: own_m * self.direction()[1] }
    }
}

/// A quantity of a corner over travel.
#[derive(Debug, Clone, PartialEq)]
pub enum OverTravel {
    /// Of the corner's own wheel: independent suspension.
    Own(Spline),
    /// Of both wheels of the axle: joined by a beam.
    Both(Surface),
}

impl OverTravel {
    /// Value and derivatives with both wheels at one travel and moving together.
    pub fn at(&self, travel_m: f64) -> Local {
        match self {
            Self::Own(spline) => spline.at(travel_m),
            Self::Both(surface) => surface.at(travel_m, travel_m).along(TravelMode::Heave.direction()),
        }
    }

    /// The value alone.
    pub fn value_at_both(&self, travel: AxleTravel) -> f64 {
        match self {
            Self::Own(spline) => spline.at(travel.own_m).value,
            Self::Both(surface) => surface.value_at(travel.own_m, travel.other_m),
        }
    }

    /// Value with derivatives by the travel of this wheel and of the other.
    pub fn at_both(&self, travel: AxleTravel) -> Local2 {
        match self {
            Self::Own(spline) => Local2::of_first(spline.at(travel.own_m)),
            Self::Both(surface) => surface.at(travel.own_m, travel.other_m),
        }
    }
}
