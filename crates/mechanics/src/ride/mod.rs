//! How a van rides about its place of rest: on random roads by spectra, over single events by time simulation.
//!
//! Kernels take `N` cases side by side ([`Lanes`]), so that many kits share one pass.

mod at_rest;
mod axle_law;
mod car;
mod comfort;
mod complex_lanes;
mod crossings;
pub mod events;
mod fault;
mod gaussian;
mod linearise;
mod modes;
mod nodes;
mod response;
mod road;
mod spread;
mod weighting;

pub use crate::lanes::Lanes;
pub use at_rest::{RideDeviation, RideParts, VanAtRest};
pub use axle_law::{AxleLaw, TravelMarks};
pub use car::{BodyPoint, Car};
pub use comfort::{
    COMFORT_ON_SEAT, DailyExposure, EXPOSURE_ACTION, EXPOSURE_LIMIT, HEALTH_ON_SEAT, Reaction,
    vibration_total_m_per_s2,
};
pub use complex_lanes::ComplexLanes;
pub use crossings::TravelMovement;
pub use fault::RideFault;
pub use linearise::{
    CREEP_SPEED_M_PER_S, LinearisedAxle, LinearisedRide, Movement, linearised_at, linearised_ride,
};
pub use modes::{Mode, ModeKind, modes, modes_nearby, single_axle_damping_ratio, single_axle_frequency_hz};
pub use nodes::{Frequencies, Nodes, RoadRun};
pub use response::{AxleRates, Motion, OPPOSED, PARALLEL, frequency_response};
pub use road::{
    ClassFigure, REFERENCE_SPATIAL_FREQUENCY_PER_M, RandomRoad, RoadClass, RoughnessFrom,
    USUAL_COHERENCE_DECAY,
};
pub use spread::{AxleSpread, RideSpread, SideBySide, ride_spread};
pub use weighting::{Biquad, Section, Weighting};
