//! Axles whose wheels are joined by a beam: what one wheel does depends on the travel of both.

mod beam;
mod leaf_axle;
mod link_axle;
mod table;
mod twist_beam;

pub use leaf_axle::{LeafAxle, LeafAxleHardpoints, LeafFittings};
pub use link_axle::{LinkAxle, LinkAxleHardpoints};
pub use twist_beam::{TwistBeam, TwistBeamHardpoints};

use super::bar::Bar;
use super::hardpoints::{BarHardpoints, HardpointError, Point, WheelHardpoints};
use super::reach::{LinkageLocks, LockReason, Reach, ReachEnd, SEARCHED_TRAVEL_M};
use super::table::CornerTable;
use beam::RigidPose;

/// An axle whose two wheels are joined.
#[derive(Debug, Clone, PartialEq)]
pub enum JoinedAxle {
    /// Rigid axle on semi-elliptic leaf springs.
    Leaves(Box<LeafAxle>),
    /// Trailing arms joined by a cross-beam that twists.
    TwistBeam(Box<TwistBeam>),
    /// Rigid axle on trailing links and a lateral rod.
    Links(Box<LinkAxle>),
}

impl JoinedAxle {
    /// How far both wheels together can travel, and what ends it.
    pub fn reach(&self) -> Reach {
        Reach { rebound: self.heave_end(-1.0), bump: self.heave_end(1.0) }
    }

    /// Left and right corner tabulated from `rebound_m` below to `bump_m` above design height for every pair of travels
    /// of the two wheels, clipped to 10 mm before the axle locks, one wheel up and the other down included. The right one
    /// is described as a left corner, in the mirror.
    ///
    /// # Errors
    /// When less than 5 mm of travel are asked for, or left before the axle locks.
    pub fn tables(&self, rebound_m: f64, bump_m: f64) -> Result<[CornerTable; 2], LinkageLocks> {
        table::tabulated(self, rebound_m, bump_m)
    }

    /// Left and right wheel with what hangs on it, each in the axes of a left corner.
    fn wheels(&self, left_m: f64, right_m: f64) -> Result<[JoinedWheel; 2], LockReason> {
        let wheels = match self {
            Self::Leaves(axle) => axle.wheels(left_m, right_m),
            Self::TwistBeam(axle) => axle.wheels(left_m, right_m),
            Self::Links(axle) => axle.wheels(left_m, right_m),
        }?;
        if wheels.iter().all(JoinedWheel::is_definite) { Ok(wheels) } else { Err(LockReason::Indefinite) }
    }

    fn wheel(&self) -> &WheelHardpoints {
        match self {
            Self::Leaves(axle) => &axle.hardpoints().wheel,
            Self::TwistBeam(axle) => &axle.hardpoints().wheel,
            Self::Links(axle) => &axle.hardpoints().wheel,
        }
    }

    /// Walks both wheels from design height until the axle or the examined travel ends.
    fn heave_end(&self, direction: f64) -> ReachEnd {
        const STEP_M: f64 = 0.01;
        const HALVINGS: usize = 24;
        let (mut travel_m, mut step_m) = (0.0, STEP_M);
        let mut reason = LockReason::BeyondSearch;
        let mut halvings = 0;
        while travel_m < SEARCHED_TRAVEL_M && halvings < HALVINGS {
            let next_m = (travel_m + step_m).min(SEARCHED_TRAVEL_M);
            match self.wheels(direction * next_m, direction * next_m) {
                Ok(_) => travel_m = next_m,
                Err(why) => {
                    (reason, step_m) = (why, 0.5 * step_m);
                    halvings += 1;
                }
            }
        }
        ReachEnd { travel_m: direction * travel_m, reason }
    }
}

/// What hangs on the left end of a beam, in the design position.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BeamHangers {
    /// Lower damper joint, on the beam.
    pub damper_lower_m: Point,
    /// Upper damper joint, fixed in the body.
    pub damper_upper_m: Point,
    /// The anti-roll bar, its drop link on the beam.
    pub bar: Option<BarHardpoints>,
}

/// One wheel of a joined axle, in the axes of a left corner (y outboard).
pub(super) struct JoinedWheel {
    wheel_centre: Point,
    /// Unit vector pointing outboard.
    spin_axis: Point,
    /// What stood upright at design.
    upright: Point,
    spring_length_m: f64,
    damper_length_m: f64,
    /// Turn of the arm or lower link about its body bush, positive in bump.
    arm_angle_rad: Option<f64>,
    /// Turn of the bar arm; on a twist beam of the arm itself, which twists the beam.
    bar_angle_rad: Option<f64>,
    drop_link_angle_rad: Option<f64>,
}

impl JoinedWheel {
    /// The wheel and what hangs on a beam end at a pose of that beam.
    fn on_beam(
        pose: &RigidPose,
        wheel: &WheelHardpoints,
        hangers: &BeamHangers,
        bar: Option<&Bar>,
        spring_length_m: f64,
    ) -> Result<Self, LockReason> {
        let spin_axis = crate::geometry::angles::spin_axis(wheel.design_camber_rad, wheel.design_toe_rad);
        let bar = bar.map(|bar| bar.pose(pose.placed(bar.link_lower_m()))).transpose()?;
        Ok(Self {
            wheel_centre: pose.placed(wheel.wheel_centre_m),
            spin_axis: pose.turned(spin_axis),
            upright: pose.turned([0.0, 0.0, 1.0]),
            spring_length_m,
            damper_length_m: super::pose::distance(
                hangers.damper_upper_m,
                pose.placed(hangers.damper_lower_m),
            ),
            arm_angle_rad: None,
            bar_angle_rad: bar.as_ref().map(|bar| bar.bar_angle_rad),
            drop_link_angle_rad: bar.as_ref().map(|bar| bar.drop_link_angle_rad),
        })
    }

    fn is_definite(&self) -> bool {
        let lengths = [self.spring_length_m, self.damper_length_m];
        let angles = [self.arm_angle_rad, self.bar_angle_rad, self.drop_link_angle_rad];
        self.wheel_centre.iter().chain(&self.spin_axis).chain(&lengths).all(|value| value.is_finite())
            && angles.iter().flatten().all(|angle| angle.is_finite())
    }
}

impl BeamHangers {
    fn check(&self) -> Result<Option<Bar>, HardpointError> {
        let (lower, upper) = (("damper_lower", self.damper_lower_m), ("damper_upper", self.damper_upper_m));
        super::hardpoints::check_points(&[lower, upper])?;
        super::hardpoints::check_apart(lower, upper)?;
        self.bar.map(Bar::new).transpose()
    }
}
