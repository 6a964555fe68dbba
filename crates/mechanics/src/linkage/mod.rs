//! Suspension linkages: from wheel travel to wheel pose, spring length and damper length.
//!
//! A linkage is built once from its hardpoints, which checks them and finds how far it can travel, and is then
//! asked for single poses or for a table over travel. All points are those of the left corner; the right corner is
//! its mirror image.
//!
//! Travel is the rise of the wheel centre against the body from the design position, m, positive in bump.

mod arm_angle;
mod axle_suspension;
mod axle_travel;
mod bar;
mod double_wishbone;
mod hardpoints;
mod joined;
mod pose;
mod reach;
mod semi_trailing_arm;
mod steering;
mod strut;
mod table;
mod tape_measure;

pub use axle_suspension::AxleSuspension;
pub use axle_travel::{AxleTravel, OverTravel, TravelMode};
pub use double_wishbone::{
    DoubleWishbone, DoubleWishboneHardpoints, WishboneArm, WishbonePart, WishboneSpring,
};
pub use hardpoints::{BarHardpoints, HardpointError, Point, WheelHardpoints};
pub use joined::{
    BeamHangers, JoinedAxle, LeafAxle, LeafAxleHardpoints, LeafFittings, LinkAxle, LinkAxleHardpoints,
    TwistBeam, TwistBeamHardpoints,
};
pub use pose::{CarrierMotion, CornerPose};
pub use reach::{LinkageLocks, LockReason, Reach, ReachEnd, SEARCHED_TRAVEL_M};
pub use semi_trailing_arm::{SemiTrailingArm, SemiTrailingHardpoints};
pub use steering::{Nearer, TyreEnvelope, WheelStance};
pub use strut::{KnuckleForces, Strut, StrutHardpoints};
pub use table::CornerTable;
pub use tape_measure::{ArmKind, ArmMeasure, MeasuredRatio, TapeMeasure, TapeMeasureAxle};

use pose::Motion;

/// One corner's suspension, ready to be asked for its poses.
#[derive(Debug, Clone, PartialEq)]
pub enum Linkage {
    /// Strut with lower arm and tie rod.
    Strut(Box<Strut>),
    /// Double wishbones with tie rod.
    DoubleWishbone(Box<DoubleWishbone>),
    /// Semi-trailing arm; a pure trailing arm and a swing arm are cases of it.
    SemiTrailingArm(Box<SemiTrailingArm>),
    /// What a shop without hardpoints measures by jacking.
    TapeMeasure(Box<TapeMeasure>),
}

impl Linkage {
    /// The corner at one wheel travel.
    ///
    /// # Errors
    /// When the travel is outside [`Linkage::reach`].
    pub fn pose(&self, travel_m: f64) -> Result<CornerPose, LinkageLocks> {
        Ok(self.motion(travel_m, None)?.pose(self.wheel_centre_design_m()[2], self.driveshaft_inner_m()))
    }

    /// The largest rebound and bump travel, within ±[`SEARCHED_TRAVEL_M`], and what ends each.
    pub fn reach(&self) -> Reach {
        match self {
            Self::Strut(strut) => strut.reach(),
            Self::DoubleWishbone(wishbones) => wishbones.reach(),
            Self::SemiTrailingArm(arm) => arm.reach(),
            Self::TapeMeasure(axle) => axle.reach(),
        }
    }

    /// The corner tabulated from `rebound_m` below to `bump_m` above design height (distances; their signs are
    /// ignored), clipped to the reach.
    ///
    /// # Errors
    /// When the linkage locks so close to design height that nothing is left to tabulate.
    pub fn table(&self, rebound_m: f64, bump_m: f64) -> Result<CornerTable, LinkageLocks> {
        CornerTable::of(self, rebound_m, bump_m)
    }

    /// All quantities with their derivatives over travel, starting the search near the arm angle of `near`.
    fn motion(&self, travel_m: f64, near: Option<&Motion>) -> Result<Motion, LinkageLocks> {
        let start_rad = near.map_or(0.0, |motion| motion.arm_angle_at_rad(travel_m));
        let carrier = match self {
            Self::Strut(strut) => strut.carrier_at(travel_m, start_rad)?,
            Self::DoubleWishbone(wishbones) => wishbones.carrier_at(travel_m, start_rad)?,
            Self::SemiTrailingArm(arm) => arm.carrier_at(travel_m)?,
            Self::TapeMeasure(axle) => return axle.motion(travel_m),
        };
        carrier.motion().map_err(|reason| LinkageLocks { travel_m, reason })
    }

    fn wheel_centre_design_m(&self) -> Point {
        match self {
            Self::Strut(strut) => strut.hardpoints().wheel.wheel_centre_m,
            Self::DoubleWishbone(wishbones) => wishbones.hardpoints().wheel.wheel_centre_m,
            Self::SemiTrailingArm(arm) => arm.hardpoints().wheel.wheel_centre_m,
            Self::TapeMeasure(axle) => axle.measures().wheel_centre_m,
        }
    }

    fn driveshaft_inner_m(&self) -> Option<Point> {
        match self {
            Self::Strut(strut) => strut.hardpoints().driveshaft_inner_m,
            Self::DoubleWishbone(wishbones) => wishbones.hardpoints().driveshaft_inner_m,
            Self::SemiTrailingArm(arm) => arm.hardpoints().driveshaft_inner_m,
            Self::TapeMeasure(_) => None,
        }
    }

    fn seat_shift_ratio(&self) -> f64 {
        match self {
            Self::Strut(strut) => strut.seat_shift_ratio(),
            Self::DoubleWishbone(_) | Self::SemiTrailingArm(_) | Self::TapeMeasure(_) => 1.0,
        }
    }
}
