//! Semi-trailing arm: one rotation about the line through its two pivots.
//!
//! A pure trailing arm (axis along y) and a swing arm (axis along x) are the same linkage. The height of the wheel
//! centre is `a + b cos + c sin` of the arm angle, so the angle for a given travel is explicit.

use super::bar::Bar;
use super::hardpoints::{
    BarHardpoints, DesignWheel, HardpointError, Point, WheelHardpoints, check_apart, check_points,
};
use super::pose::{Carrier, CarrierMotion, distance};
use super::reach::{LinkageLocks, LockReason, Reach, ReachEnd, SEARCHED_TRAVEL_M, explore};
use crate::curve::Local;
use crate::geometry::Scalar;
use crate::geometry::vector::{Vector, add, circle_angle, constant, cross, dot, scale, sub, turn, unit};

/// The points of a semi-trailing arm in the design position, left corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SemiTrailingHardpoints {
    /// Inner pivot of the arm.
    pub pivot_inner_m: Point,
    /// Outer pivot of the arm.
    pub pivot_outer_m: Point,
    /// Lower spring seat, on the arm.
    pub spring_seat_lower_m: Point,
    /// Upper spring seat, fixed in the body.
    pub spring_seat_upper_m: Point,
    /// Lower damper joint, on the arm.
    pub damper_lower_m: Point,
    /// Upper damper joint, fixed in the body.
    pub damper_upper_m: Point,
    /// The wheel, carried by the arm.
    pub wheel: WheelHardpoints,
    /// The anti-roll bar, its drop link on the arm.
    pub bar: Option<BarHardpoints>,
    /// Inner driveshaft joint.
    pub driveshaft_inner_m: Option<Point>,
}

/// A semi-trailing arm corner.
#[derive(Debug, Clone, PartialEq)]
pub struct SemiTrailingArm {
    hardpoints: SemiTrailingHardpoints,
    /// Direction of the pivot axis about which a positive turn lifts the wheel.
    axis: Vector<f64>,
    /// Unit spin axis of the wheel at design.
    spin_axis: Vector<f64>,
    wheel: DesignWheel,
    bar: Option<Bar>,
    reach: Reach,
}

impl SemiTrailingArm {
    /// Checks the hardpoints and finds how far the arm can travel.
    ///
    /// # Errors
    /// When points are missing or coincide, or turning the arm does not lift the wheel.
    pub fn new(hardpoints: SemiTrailingHardpoints) -> Result<Self, HardpointError> {
        check(&hardpoints)?;
        let axis = unit(sub(hardpoints.pivot_outer_m, hardpoints.pivot_inner_m));
        let bar = hardpoints.bar.map(Bar::new).transpose()?;
        let spin_axis = hardpoints.wheel.spin_axis();
        let mut arm = Self {
            hardpoints,
            axis,
            spin_axis,
            wheel: hardpoints.wheel.at_design(),
            bar,
            reach: Reach::SEARCHED,
        };
        let [_, per_rad_m] = arm.height_waves();
        if per_rad_m.abs() < 1e-3 {
            return Err(HardpointError::ArmDoesNotLiftWheel);
        }
        arm.axis = scale(axis, per_rad_m.signum());
        arm.reach = match arm.bar {
            Some(_) => explore(|arm_angle_rad| arm.rise(arm_angle_rad))?.0,
            None => arm.reach_without_bar(),
        };
        Ok(arm)
    }

    /// The points it was built from.
    pub fn hardpoints(&self) -> &SemiTrailingHardpoints {
        &self.hardpoints
    }

    /// How far it can travel, and what ends each side.
    pub fn reach(&self) -> Reach {
        self.reach
    }

    /// The carrier at a travel.
    ///
    /// # Errors
    /// When the travel is outside the reach.
    #[inline]
    pub fn carrier_at(&self, travel_m: f64) -> Result<CarrierMotion, LinkageLocks> {
        let locks = |reason| LinkageLocks { travel_m, reason };
        self.reach.check(travel_m)?;
        let [cos_part, sin_part] = self.height_waves();
        // travel = cos_part (cos - 1) + sin_part sin, on the branch where the wheel rises with the angle
        let (cos, sin) = circle_angle(cos_part, sin_part, travel_m + cos_part, 1.0)
            .ok_or(locks(LockReason::ArmOverTop))?;
        let turn = [
            Local { value: cos, slope: -sin, curvature: -cos },
            Local { value: sin, slope: cos, curvature: -sin },
        ];
        let carrier = self.carrier(turn).map_err(locks)?;
        Ok(CarrierMotion::new(travel_m, carrier, 0.0, self.wheel))
    }

    /// Travel `A (cos - 1) + B sin` ends where the arm is over its top or bottom, at ±√(A² + B²) - A.
    fn reach_without_bar(&self) -> Reach {
        const SHORT_OF_THE_TOP: f64 = 1e-12; // at the top itself the arm angle has no slope over travel
        let [cos_part, sin_part] = self.height_waves();
        let end = |direction: f64, searched: ReachEnd| {
            let travel_m = direction * (1.0 - SHORT_OF_THE_TOP) * cos_part.hypot(sin_part) - cos_part;
            let locks = travel_m.abs() < SEARCHED_TRAVEL_M;
            if locks { ReachEnd { travel_m, reason: LockReason::ArmOverTop } } else { searched }
        };
        Reach { rebound: end(-1.0, Reach::SEARCHED.rebound), bump: end(1.0, Reach::SEARCHED.bump) }
    }

    /// Coefficients of cosine and sine in the height of the wheel centre, m.
    #[inline]
    fn height_waves(&self) -> [f64; 2] {
        let radius = sub(self.hardpoints.wheel.wheel_centre_m, self.hardpoints.pivot_inner_m);
        let along = scale(self.axis, dot(self.axis, radius));
        [sub(radius, along)[2], cross(self.axis, radius)[2]]
    }

    /// Rise of the wheel at one arm angle; refuses what a part cannot follow, the drop link among them.
    fn rise(&self, arm_angle_rad: f64) -> Result<Local, LockReason> {
        let (sin, cos) = Local::variable(arm_angle_rad).sin_cos();
        Ok(self.carrier([cos, sin])?.rise(self.wheel))
    }

    #[inline]
    fn carrier(&self, arm_turn: [Local; 2]) -> Result<Carrier, LockReason> {
        let points = &self.hardpoints;
        let place = |design_m: Point| self.place(design_m, arm_turn);
        Ok(Carrier {
            arm_turn,
            wheel_centre: place(points.wheel.wheel_centre_m),
            spin_axis: turn(self.spin_axis, self.axis, arm_turn),
            caster_axis: turn([0.0, 0.0, 1.0], self.axis, arm_turn),
            steering_axis_point: None,
            spring_length: distance(points.spring_seat_upper_m, place(points.spring_seat_lower_m)),
            damper_length: distance(points.damper_upper_m, place(points.damper_lower_m)),
            bar: self.bar.as_ref().map(|bar| bar.pose(place(bar.link_lower_m()))).transpose()?,
        })
    }

    /// Where a point of the arm given at design is at this turn of the arm.
    #[inline]
    fn place(&self, design_m: Point, arm_turn: [Local; 2]) -> Vector<Local> {
        let pivot = self.hardpoints.pivot_inner_m;
        add(turn(sub(design_m, pivot), self.axis, arm_turn), constant(pivot))
    }
}

fn check(points: &SemiTrailingHardpoints) -> Result<(), HardpointError> {
    let pivot_inner = ("pivot_inner", points.pivot_inner_m);
    let pivot_outer = ("pivot_outer", points.pivot_outer_m);
    let seat_lower = ("spring_seat_lower", points.spring_seat_lower_m);
    let seat_upper = ("spring_seat_upper", points.spring_seat_upper_m);
    let damper_lower = ("damper_lower", points.damper_lower_m);
    let damper_upper = ("damper_upper", points.damper_upper_m);
    check_points(&[pivot_inner, pivot_outer, seat_lower, seat_upper, damper_lower, damper_upper])?;
    check_points(&[("driveshaft_inner", points.driveshaft_inner_m.unwrap_or_default())])?;
    points.wheel.check()?;
    check_apart(pivot_inner, pivot_outer)?;
    check_apart(seat_lower, seat_upper)?;
    check_apart(damper_lower, damper_upper)
}
