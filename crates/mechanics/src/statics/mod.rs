//! Where a van comes to rest on its four corners, and how that place answers to every change.
//!
//! The van is a rigid body on four corners; its state is the body's heave, pitch and roll and the travel of each
//! wheel relative to the body. Rest is where the energy of springs, stops, bushes, bars, tyres, gas and gravity is
//! stationary, with the body's rotation exact. So every force acts by virtual work through the linkage: a spring of
//! load F enters with F times its motion ratio, and its wheel rate is the spring's rate times the motion ratio
//! squared plus F times the change of the motion ratio (J. C. Dixon, Suspension Geometry and Computation, ch. 8).

mod body_pose;
mod coordinate;
mod corner;
mod equilibrium;
mod masses;
mod parameter;
mod rest_band;
mod sample;
mod search;
mod sensitivity;
mod side_by_side;
mod stiffness;
mod travel;

pub use body_pose::BodyPose;
pub use corner::{Corner, CornerForces, FittedStop, StopPlace};
pub use equilibrium::Rest;
pub use masses::{
    AxleLoads, CornerLoads, PointMass, centre_of_gravity_height_by_lifting_m, centre_of_gravity_m,
};
pub use parameter::{CornerAtTravel, Parameter};
pub use rest_band::RestBand;
pub use sample::Sample;
pub use search::NoRest;
pub use sensitivity::{Response, Sensitivities};
pub(crate) use travel::RIDING_POLYTROPIC_EXPONENT;
pub use travel::{BumpEnd, ReboundEnd, TravelLimits};

use crate::elements::AntiRollBar;
use crate::linkage::Point;

/// Number of corners; order everywhere: front left, front right, rear left, rear right.
pub const CORNERS: usize = 4;
/// Index of the front axle in per-axle arrays.
pub const FRONT: usize = 0;
/// Index of the rear axle in per-axle arrays.
pub const REAR: usize = 1;

/// Axle of a corner: [`FRONT`] for corners 0 and 1, [`REAR`] for 2 and 3.
#[inline]
pub fn axle_of(corner: usize) -> usize {
    corner / 2
}

/// +1 for left corners, -1 for right ones.
pub fn side_of(corner: usize) -> f64 {
    if corner.is_multiple_of(2) { 1.0 } else { -1.0 }
}

/// Everything the suspension carries: one mass at its centre of gravity, in body axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SprungMass {
    /// Mass, kg.
    pub mass_kg: f64,
    /// Centre of gravity in body axes, m.
    pub centre_of_gravity_m: Point,
}

/// A bar and how its twist follows from the travel of the two wheels of its axle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FittedBar {
    /// Twist from the arm angles that the linkage tables give.
    ThroughLinks(AntiRollBar),
    /// Twist is the difference of wheel travels over this track, m; the rate is the roll rate at the axle.
    AtTheAxle {
        /// The bar.
        bar: AntiRollBar,
        /// Track, m.
        track_m: f64,
    },
}

/// A van as the statics sees it.
#[derive(Debug, Clone)]
pub struct FourCorners {
    /// Front left, front right, rear left, rear right.
    pub corners: [Corner; CORNERS],
    /// Anti-roll bar of each axle.
    pub bars: [Option<FittedBar>; 2],
    /// What the suspension carries.
    pub sprung: SprungMass,
}
