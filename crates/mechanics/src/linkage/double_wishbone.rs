//! Double wishbones with tie rod.
//!
//! The lower ball joint turns with the lower arm about its body axis. The upper ball joint stays on the circle about
//! the upper arm's axis and keeps its distance from the lower one; the knuckle then turns about the line of the ball
//! joints until the tie rod has its length: for a given angle of the lower arm one square root each. The arm angle
//! for a given wheel travel is found by Newton's method. A toe link of a rear axle is a tie rod.

use std::f64::consts::TAU;

use super::arm_angle::ArmDriven;
use super::bar::Bar;
use super::hardpoints::{
    BarHardpoints, DesignWheel, HardpointError, Point, WheelHardpoints, check_apart, check_length,
    check_points,
};
use super::pose::{Carrier, CarrierMotion, distance};
use super::reach::{LinkageLocks, LockReason, Reach, explore};
use crate::curve::Local;
use crate::geometry::Scalar;
use crate::geometry::vector::{
    Vector, add, circle_angle, combine, constant, cross, direction_angle, dot, norm, rotate, scale, sub, unit,
};

/// One of the two wishbones.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WishboneArm {
    /// The arm of the lower ball joint.
    Lower,
    /// The arm of the upper ball joint.
    Upper,
}

/// A moving part that carries a seat or joint.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WishbonePart {
    /// One of the arms.
    Arm(WishboneArm),
    /// The knuckle, which carries the wheel.
    Knuckle,
}

/// The spring of double wishbones in the design position.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WishboneSpring {
    /// A coil spring between a seat on a moving part and one in the body.
    Coil {
        /// Lower spring seat, on the line of the spring's force.
        seat_lower_m: Point,
        /// The part that carries the lower seat.
        seat_lower_on: WishbonePart,
        /// Upper spring seat, fixed in the body.
        seat_upper_m: Point,
    },
    /// A torsion bar along the inner axis of an arm.
    ///
    /// It has no length; `lever * (2π - arm angle)` stands for it, with the arm angle from design, positive where the
    /// ball joint of that arm rises, and the lever of [`DoubleWishbone::torsion_bar_lever_m`]. A torsional rate K is
    /// then a spring rate K/lever² and a torque T a spring force T/lever, and the virtual work is exact. As no arm
    /// makes a full turn, the length is always positive; only its changes mean anything. Turning the anchor
    /// of the bar by an angle is a seat shift of lever times that angle.
    TorsionBar {
        /// The arm on whose axis the bar lies.
        arm: WishboneArm,
    },
}

/// The points of double wishbones in the design position, left corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DoubleWishboneHardpoints {
    /// Front inner pivot of the lower arm.
    pub lower_inner_front_m: Point,
    /// Rear inner pivot of the lower arm.
    pub lower_inner_rear_m: Point,
    /// Lower ball joint, on lower arm and knuckle.
    pub lower_ball_joint_m: Point,
    /// Front inner pivot of the upper arm.
    pub upper_inner_front_m: Point,
    /// Rear inner pivot of the upper arm.
    pub upper_inner_rear_m: Point,
    /// Upper ball joint, on upper arm and knuckle.
    pub upper_ball_joint_m: Point,
    /// Inner tie-rod joint, on the rack.
    pub tie_rod_inner_m: Point,
    /// Outer tie-rod joint, fixed in the knuckle.
    pub tie_rod_outer_m: Point,
    /// The spring.
    pub spring: WishboneSpring,
    /// Lower damper joint.
    pub damper_lower_m: Point,
    /// The part that carries the lower damper joint.
    pub damper_lower_on: WishbonePart,
    /// Upper damper joint, fixed in the body.
    pub damper_upper_m: Point,
    /// The wheel.
    pub wheel: WheelHardpoints,
    /// The anti-roll bar, its drop link on the lower arm.
    pub bar: Option<BarHardpoints>,
    /// Inner driveshaft joint.
    pub driveshaft_inner_m: Option<Point>,
}

/// A double wishbone corner.
#[derive(Debug, Clone, PartialEq)]
pub struct DoubleWishbone {
    hardpoints: DoubleWishboneHardpoints,
    rack_travel_m: f64,
    lower: Arm,
    upper: Arm,
    upper_branch: f64,
    /// Directions fixed in the knuckle at design: from the line of the ball joints square to the outer tie-rod joint,
    /// the third one, and up the line.
    frame: [Vector<f64>; 3],
    tie_rod_length_m: f64,
    tie_rod_branch: f64,
    wheel: DesignWheel,
    bar: Option<Bar>,
    reach: Reach,
    /// Angles of the lower arm at full rebound and full bump, rad.
    arm_range_rad: (f64, f64),
}

/// An arm in the design position.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Arm {
    pivot_m: Point,
    /// Direction of its inner axis: of the lower arm the one about which a positive turn lifts the wheel, of the upper
    /// arm the one about which it lifts the ball joint.
    axis: Vector<f64>,
    ball_joint_m: Point,
}

/// The moving parts in body axes.
struct Stance<D> {
    lower_angle: D,
    upper_angle: D,
    lower_ball_joint: Vector<D>,
    /// The knuckle's frame.
    frame: [Vector<D>; 3],
}

impl Arm {
    fn new(inner_front_m: Point, inner_rear_m: Point, ball_joint_m: Point) -> Self {
        let axis = unit(sub(inner_rear_m, inner_front_m));
        let mut arm = Self { pivot_m: inner_front_m, axis, ball_joint_m };
        if arm.rise_per_rad_m() < 0.0 {
            arm.axis = scale(axis, -1.0);
        }
        arm
    }

    fn radius_m(&self) -> Vector<f64> {
        sub(self.ball_joint_m, self.pivot_m)
    }

    /// Rise of the ball joint per turn of the arm at design.
    fn rise_per_rad_m(&self) -> f64 {
        cross(self.axis, self.radius_m())[2]
    }

    /// Distance of the ball joint from the axis in plan view.
    fn lever_m(&self) -> f64 {
        self.rise_per_rad_m().abs() / self.axis[0].hypot(self.axis[1])
    }

    /// Where a point of the arm given at design is at this arm angle.
    fn place<D: Scalar>(&self, design_m: Point, angle: D) -> Vector<D> {
        add(rotate(sub(design_m, self.pivot_m), self.axis, angle), constant(self.pivot_m))
    }

    /// Coefficients a, b, c of `a cos(angle) + b sin(angle) = c`: the condition that the ball joint keeps its distance
    /// from `other`, which at design was `other_m`.
    fn circle<D: Scalar>(&self, other: Vector<D>, other_m: Point) -> [D; 3] {
        let radius = self.radius_m();
        let along = scale(self.axis, dot(self.axis, radius));
        let apart = sub(self.ball_joint_m, other_m);
        let to_other = sub(other, constant(self.pivot_m));
        let onto = |direction: Vector<f64>| dot(constant(direction), to_other);
        let fixed = dot(radius, radius) - dot(apart, apart);
        let reached = (dot(to_other, to_other) + fixed) * 0.5 - onto(along);
        [onto(sub(radius, along)), onto(cross(self.axis, radius)), reached]
    }
}

impl DoubleWishbone {
    /// Checks the hardpoints and finds how far the linkage can travel with the rack centred.
    ///
    /// # Errors
    /// When points are missing or coincide, or the linkage cannot stand at design height.
    pub fn new(hardpoints: DoubleWishboneHardpoints) -> Result<Self, HardpointError> {
        const LEAST_LEVERAGE_M2: f64 = 1e-6;
        check(&hardpoints)?;
        let points = &hardpoints;
        let (lower_ball_joint, upper_ball_joint) = (points.lower_ball_joint_m, points.upper_ball_joint_m);
        let lower = Arm::new(points.lower_inner_front_m, points.lower_inner_rear_m, lower_ball_joint);
        let upper = Arm::new(points.upper_inner_front_m, points.upper_inner_rear_m, upper_ball_joint);
        let [_, upper_leverage_m2, _] = upper.circle(lower_ball_joint, lower_ball_joint);
        if upper_leverage_m2.abs() < LEAST_LEVERAGE_M2 {
            return Err(HardpointError::NoLeverage { rod: "line of the ball joints" });
        }
        let kingpin = unit(sub(upper_ball_joint, lower_ball_joint));
        let outer = sub(points.tie_rod_outer_m, lower_ball_joint);
        let inner = sub(points.tie_rod_inner_m, lower_ball_joint);
        let tie_rod_leverage_m2 = dot(cross(kingpin, outer), inner);
        if tie_rod_leverage_m2.abs() < LEAST_LEVERAGE_M2 {
            return Err(HardpointError::NoLeverage { rod: "tie rod" });
        }
        let across = unit(sub(outer, scale(kingpin, dot(outer, kingpin))));
        let mut wishbones = Self {
            hardpoints,
            rack_travel_m: 0.0,
            lower,
            upper,
            upper_branch: upper_leverage_m2.signum(),
            frame: [across, cross(kingpin, across), kingpin],
            tie_rod_length_m: norm(sub(points.tie_rod_outer_m, points.tie_rod_inner_m)),
            tie_rod_branch: tie_rod_leverage_m2.signum(),
            wheel: points.wheel.at_design(),
            bar: points.bar.map(Bar::new).transpose()?,
            reach: Reach::SEARCHED,
            arm_range_rad: (0.0, 0.0),
        };
        if let Some(lever_m) = wishbones.torsion_bar_lever_m() {
            check_length("torsion_bar_lever", lever_m)?;
        }
        let per_rad_m = wishbones.rise(0.0).map_err(HardpointError::LocksAtDesign)?.slope;
        if per_rad_m.abs() < 1e-3 {
            return Err(HardpointError::ArmDoesNotLiftWheel);
        }
        wishbones.lower.axis = scale(lower.axis, per_rad_m.signum());
        wishbones.explored()
    }

    /// The same corner with the inner tie-rod joint moved outboard by `rack_travel_m` (inboard when negative), tie rod
    /// unchanged: the corner at that steering lock. Travel still counts from the design wheel height.
    ///
    /// # Errors
    /// When the linkage cannot stand there.
    pub fn steered(&self, rack_travel_m: f64) -> Result<Self, HardpointError> {
        Self { rack_travel_m, ..self.clone() }.explored()
    }

    fn explored(mut self) -> Result<Self, HardpointError> {
        (self.reach, self.arm_range_rad) = explore(|arm_angle_rad| self.rise(arm_angle_rad))?;
        Ok(self)
    }

    /// The points it was built from.
    pub fn hardpoints(&self) -> &DoubleWishboneHardpoints {
        &self.hardpoints
    }

    /// How far it can travel, and what ends each side.
    pub fn reach(&self) -> Reach {
        self.reach
    }

    /// Lever at which a torsion bar is counted as a spring: the distance in plan view from the axis of its arm to the
    /// ball joint at design, m; `None` with a coil spring.
    pub fn torsion_bar_lever_m(&self) -> Option<f64> {
        match self.hardpoints.spring {
            WishboneSpring::TorsionBar { arm: WishboneArm::Lower } => Some(self.lower.lever_m()),
            WishboneSpring::TorsionBar { arm: WishboneArm::Upper } => Some(self.upper.lever_m()),
            WishboneSpring::Coil { .. } => None,
        }
    }

    /// The carrier at a travel, sought from an arm angle.
    pub(super) fn carrier_at(&self, travel_m: f64, start_rad: f64) -> Result<CarrierMotion, LinkageLocks> {
        let driven = ArmDriven { wheel: self.wheel, reach: &self.reach, arm_range_rad: self.arm_range_rad };
        driven.carrier_at(travel_m, start_rad, |arm_angle_rad| self.carrier(Local::variable(arm_angle_rad)))
    }

    /// Rise of the wheel at one arm angle; refuses what a part cannot follow, the drop link among them.
    fn rise(&self, arm_angle_rad: f64) -> Result<Local, LockReason> {
        Ok(self.carrier(Local::variable(arm_angle_rad))?.rise(self.wheel))
    }

    fn carrier(&self, arm_angle: Local) -> Result<Carrier, LockReason> {
        let points = &self.hardpoints;
        let wheel = &points.wheel;
        let stance = self.stance(arm_angle)?;
        let damper_lower = self.place(&stance, points.damper_lower_on, points.damper_lower_m);
        let link_lower = |bar: &Bar| self.lower.place(bar.link_lower_m(), arm_angle);
        let (sin, cos) = arm_angle.sin_cos();
        Ok(Carrier {
            arm_turn: [cos, sin],
            wheel_centre: self.place(&stance, WishbonePart::Knuckle, wheel.wheel_centre_m),
            spin_axis: combine(&stance.frame, self.in_knuckle(wheel.spin_axis())),
            caster_axis: stance.frame[2],
            steering_axis_point: Some(stance.lower_ball_joint),
            spring_length: self.spring_length(&stance),
            damper_length: distance(points.damper_upper_m, damper_lower),
            bar: self.bar.as_ref().map(|bar| bar.pose(link_lower(bar))).transpose()?,
        })
    }

    fn spring_length<D: Scalar>(&self, stance: &Stance<D>) -> D {
        match self.hardpoints.spring {
            WishboneSpring::Coil { seat_lower_m, seat_lower_on, seat_upper_m } => {
                distance(seat_upper_m, self.place(stance, seat_lower_on, seat_lower_m))
            }
            WishboneSpring::TorsionBar { arm: WishboneArm::Lower } => {
                (-stance.lower_angle + TAU) * self.lower.lever_m()
            }
            WishboneSpring::TorsionBar { arm: WishboneArm::Upper } => {
                (-stance.upper_angle + TAU) * self.upper.lever_m()
            }
        }
    }

    fn stance<D: Scalar>(&self, lower_angle: D) -> Result<Stance<D>, LockReason> {
        let points = &self.hardpoints;
        let lower_ball_joint = self.lower.place(points.lower_ball_joint_m, lower_angle);

        let [a, b, c] = self.upper.circle(lower_ball_joint, points.lower_ball_joint_m);
        let (cos, sin) = circle_angle(a, b, c, self.upper_branch).ok_or(LockReason::UpperArmCannotSpan)?;
        let upper_angle = direction_angle(sin, cos);
        let upper_ball_joint = self.upper.place(points.upper_ball_joint_m, upper_angle);

        // Turn about the line of the ball joints, until the tie rod has its length.
        let kingpin = unit(sub(upper_ball_joint, lower_ball_joint));
        let side = constant(self.frame[0]);
        let side = unit(sub(side, scale(kingpin, dot(side, kingpin))));
        let third = cross(kingpin, side);
        let outer = sub(points.tie_rod_outer_m, points.lower_ball_joint_m);
        let [outer_across, _, outer_up] = self.in_knuckle(outer);
        let inner = add(points.tie_rod_inner_m, [0.0, self.rack_travel_m, 0.0]);
        let to_inner = sub(constant(inner), lower_ball_joint);
        let fixed = dot(outer, outer) - self.tie_rod_length_m * self.tie_rod_length_m;
        let reached = (dot(to_inner, to_inner) + fixed) * 0.5 - dot(to_inner, kingpin) * outer_up;
        let cos_part = dot(to_inner, side) * outer_across;
        let sin_part = dot(to_inner, third) * outer_across;
        let (cos, sin) = circle_angle(cos_part, sin_part, reached, self.tie_rod_branch)
            .ok_or(LockReason::TieRodCannotSpan)?;
        let across = add(scale(side, cos), scale(third, sin));
        Ok(Stance {
            lower_angle,
            upper_angle,
            lower_ball_joint,
            frame: [across, cross(kingpin, across), kingpin],
        })
    }

    /// Where a point of a moving part given at design is now.
    fn place<D: Scalar>(&self, stance: &Stance<D>, part: WishbonePart, design_m: Point) -> Vector<D> {
        match part {
            WishbonePart::Arm(WishboneArm::Lower) => self.lower.place(design_m, stance.lower_angle),
            WishbonePart::Arm(WishboneArm::Upper) => self.upper.place(design_m, stance.upper_angle),
            WishbonePart::Knuckle => {
                let from_ball_joint = sub(design_m, self.hardpoints.lower_ball_joint_m);
                add(stance.lower_ball_joint, combine(&stance.frame, self.in_knuckle(from_ball_joint)))
            }
        }
    }

    /// Components in the knuckle frame of a direction given at design.
    fn in_knuckle(&self, design: Vector<f64>) -> [f64; 3] {
        self.frame.map(|direction| dot(direction, design))
    }
}

fn check(points: &DoubleWishboneHardpoints) -> Result<(), HardpointError> {
    let lower_inner_front = ("lower_inner_front", points.lower_inner_front_m);
    let lower_inner_rear = ("lower_inner_rear", points.lower_inner_rear_m);
    let lower_ball_joint = ("lower_ball_joint", points.lower_ball_joint_m);
    let upper_inner_front = ("upper_inner_front", points.upper_inner_front_m);
    let upper_inner_rear = ("upper_inner_rear", points.upper_inner_rear_m);
    let upper_ball_joint = ("upper_ball_joint", points.upper_ball_joint_m);
    let tie_rod_inner = ("tie_rod_inner", points.tie_rod_inner_m);
    let tie_rod_outer = ("tie_rod_outer", points.tie_rod_outer_m);
    let damper_lower = ("damper_lower", points.damper_lower_m);
    let damper_upper = ("damper_upper", points.damper_upper_m);
    check_points(&[lower_inner_front, lower_inner_rear, lower_ball_joint])?;
    check_points(&[upper_inner_front, upper_inner_rear, upper_ball_joint])?;
    check_points(&[tie_rod_inner, tie_rod_outer, damper_lower, damper_upper])?;
    check_points(&[("driveshaft_inner", points.driveshaft_inner_m.unwrap_or_default())])?;
    points.wheel.check()?;
    check_apart(lower_inner_front, lower_inner_rear)?;
    check_apart(upper_inner_front, upper_inner_rear)?;
    check_apart(lower_ball_joint, upper_ball_joint)?;
    check_apart(tie_rod_inner, tie_rod_outer)?;
    check_apart(damper_lower, damper_upper)?;
    if let WishboneSpring::Coil { seat_lower_m, seat_upper_m, .. } = points.spring {
        let (seat_lower, seat_upper) =
            (("spring_seat_lower", seat_lower_m), ("spring_seat_upper", seat_upper_m));
        check_points(&[seat_lower, seat_upper])?;
        check_apart(seat_lower, seat_upper)?;
    }
    if points.upper_ball_joint_m[2] <= points.lower_ball_joint_m[2] {
        return Err(HardpointError::BallJointsUpsideDown);
    }
    Ok(())
}
