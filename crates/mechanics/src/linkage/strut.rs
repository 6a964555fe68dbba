//! Strut with lower arm and tie rod.
//!
//! The ball joint turns with the arm about its body axis. The strut axis is fixed in the knuckle and always passes
//! through the strut top, along which the knuckle slides; the tie rod has fixed length. For a given arm angle the
//! slide and the turn of the knuckle about the line from ball joint to strut top follow explicitly, one square root
//! each; the arm angle for a given wheel travel is found by Newton's method.

use super::arm_angle::ArmDriven;
use super::bar::Bar;
use super::hardpoints::{
    BarHardpoints, DesignWheel, HardpointError, Point, WheelHardpoints, check_apart, check_points,
};
use super::pose::{Carrier, CarrierMotion, contact_point, distance};
use super::reach::{LinkageLocks, LockReason, Reach, explore};
use crate::curve::Local;
use crate::geometry::rigid_motion::RigidMotion;
use crate::geometry::vector::{
    Vector, add, circle_angle, combine, constant, cross, dot, norm, positive_root, scale, sub, turn, unit,
};
use nalgebra::{Matrix6, Vector6};

/// The points of a strut in the design position, left corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StrutHardpoints {
    /// Front inner pivot of the lower arm.
    pub arm_inner_front_m: Point,
    /// Rear inner pivot of the lower arm.
    pub arm_inner_rear_m: Point,
    /// Lower ball joint, on arm and knuckle.
    pub lower_ball_joint_m: Point,
    /// Strut top mount, fixed in the body.
    pub strut_top_m: Point,
    /// A second point of the strut axis, fixed in the knuckle: the lower bracket.
    pub strut_axis_point_m: Point,
    /// Lower spring seat, fixed in the knuckle, on the line of the spring's force.
    pub spring_seat_lower_m: Point,
    /// Upper spring seat, fixed in the body.
    pub spring_seat_upper_m: Point,
    /// Lower end from which the damper length to the strut top is counted; the strut axis point unless given.
    pub damper_lower_m: Option<Point>,
    /// Inner tie-rod joint, on the rack.
    pub tie_rod_inner_m: Point,
    /// Outer tie-rod joint, fixed in the knuckle.
    pub tie_rod_outer_m: Point,
    /// The wheel.
    pub wheel: WheelHardpoints,
    /// The anti-roll bar, its drop link on the knuckle.
    pub bar: Option<BarHardpoints>,
    /// Inner driveshaft joint.
    pub driveshaft_inner_m: Option<Point>,
}

/// A strut corner.
#[derive(Debug, Clone, PartialEq)]
pub struct Strut {
    hardpoints: StrutHardpoints,
    rack_travel_m: f64,
    /// Direction of the arm axis about which a positive turn lifts the wheel.
    arm_axis: Vector<f64>,
    /// Directions fixed in the knuckle at design: from the strut axis square to the ball joint, the third one, and
    /// up the strut axis.
    frame: [Vector<f64>; 3],
    in_knuckle: InKnuckle,
    /// Distance of the ball joint from the strut axis, m.
    ball_joint_offset_m: f64,
    tie_rod_length_m: f64,
    tie_rod_branch: f64,
    wheel: DesignWheel,
    bar: Option<Bar>,
    reach: Reach,
    /// Arm angles at full rebound and full bump, rad.
    arm_range_rad: (f64, f64),
}

/// The knuckle in body axes: where it is.
#[derive(Clone, Copy)]
struct Knuckle {
    ball_joint: Point,
    frame: [Vector<f64>; 3],
    /// Distance from the ball joint to the strut top along the strut axis, m.
    rise_m: f64,
}

/// Points and direction of the knuckle by their components in its frame, points from the ball joint.
#[derive(Debug, Clone, Copy, PartialEq)]
struct InKnuckle {
    wheel_centre_m: [f64; 3],
    spin_axis: [f64; 3],
    spring_seat_m: [f64; 3],
    damper_lower_m: [f64; 3],
    tie_rod_outer_m: [f64; 3],
}

/// What holds the knuckle in static balance, N.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KnuckleForces {
    /// Force of the top mount on the strut square to the strut axis.
    pub top_mount_side_force_n: f64,
    /// Force along the strut axis that closes the balance, positive where it pushes the knuckle down: zero at rest.
    pub axial_force_n: f64,
    /// Tension of the tie rod.
    pub tie_rod_tension_n: f64,
    /// Force of the arm on the ball joint.
    pub ball_joint_force_n: f64,
}

impl Strut {
    /// Checks the hardpoints and finds how far the linkage can travel with the rack centred.
    ///
    /// # Errors
    /// When points are missing or coincide, or the linkage cannot stand at design height.
    pub fn new(hardpoints: StrutHardpoints) -> Result<Self, HardpointError> {
        check(&hardpoints)?;
        let (ball_joint, top) = (hardpoints.lower_ball_joint_m, hardpoints.strut_top_m);
        let up = unit(sub(top, hardpoints.strut_axis_point_m));
        let (frame, ball_joint_offset_m) = design_frame(up, sub(ball_joint, top));
        let components = |direction: Vector<f64>| frame.map(|axis| dot(axis, direction));
        let from_ball_joint = |point_m: Point| components(sub(point_m, ball_joint));
        let in_knuckle = InKnuckle {
            wheel_centre_m: from_ball_joint(hardpoints.wheel.wheel_centre_m),
            spin_axis: components(hardpoints.wheel.spin_axis()),
            spring_seat_m: from_ball_joint(hardpoints.spring_seat_lower_m),
            damper_lower_m: from_ball_joint(damper_lower_m(&hardpoints)),
            tie_rod_outer_m: from_ball_joint(hardpoints.tie_rod_outer_m),
        };
        let mut strut = Self {
            hardpoints,
            in_knuckle,
            rack_travel_m: 0.0,
            arm_axis: unit(sub(hardpoints.arm_inner_rear_m, hardpoints.arm_inner_front_m)),
            frame,
            ball_joint_offset_m,
            tie_rod_length_m: norm(sub(hardpoints.tie_rod_outer_m, hardpoints.tie_rod_inner_m)),
            tie_rod_branch: 1.0,
            wheel: hardpoints.wheel.at_design(),
            bar: hardpoints.bar.map(Bar::new).transpose()?,
            reach: Reach::SEARCHED,
            arm_range_rad: (0.0, 0.0),
        };
        let leverage_m2 = strut.tie_rod_leverage_m2();
        if leverage_m2.abs() < 1e-6 {
            return Err(HardpointError::NoLeverage { rod: "tie rod" });
        }
        strut.tie_rod_branch = leverage_m2.signum();
        let per_rad_m = strut.rise(0.0).map_err(HardpointError::LocksAtDesign)?.slope;
        if per_rad_m.abs() < 1e-3 {
            return Err(HardpointError::ArmDoesNotLiftWheel);
        }
        strut.arm_axis = scale(strut.arm_axis, per_rad_m.signum());
        strut.explored()
    }

    /// The same strut with the inner tie-rod joint moved outboard by `rack_travel_m` (inboard when negative), tie rod
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
    pub fn hardpoints(&self) -> &StrutHardpoints {
        &self.hardpoints
    }

    /// How far it can travel, and what ends each side.
    pub fn reach(&self) -> Reach {
        self.reach
    }

    /// How much the space between the spring seats shortens per metre that the lower seat moves up the strut: the
    /// cosine between strut axis and spring at design.
    pub fn seat_shift_ratio(&self) -> f64 {
        let spring = sub(self.hardpoints.spring_seat_upper_m, self.hardpoints.spring_seat_lower_m);
        dot(unit(spring), self.frame[2])
    }

    /// Side force of the top mount on the strut, N, under a vertical wheel force and a spring force.
    ///
    /// # Errors
    /// When the travel is outside the reach.
    pub fn top_mount_side_force_n(
        &self,
        travel_m: f64,
        wheel_vertical_force_n: f64,
        spring_force_n: f64,
    ) -> Result<f64, LinkageLocks> {
        let forces = self.knuckle_forces(travel_m, wheel_vertical_force_n, spring_force_n)?;
        Ok(forces.top_mount_side_force_n)
    }

    /// Static balance of the knuckle with wheel under the vertical tyre force at the contact point and the spring
    /// force along the line of its seats.
    ///
    /// The arm carries no moment about its axis, the tie rod only tension, the top mount only forces; the axial
    /// force of the damper is the sixth unknown. Unsprung weight and drop link are left out.
    ///
    /// # Errors
    /// When the travel is outside the reach.
    pub fn knuckle_forces(
        &self,
        travel_m: f64,
        wheel_vertical_force_n: f64,
        spring_force_n: f64,
    ) -> Result<KnuckleForces, LinkageLocks> {
        let points = &self.hardpoints;
        let locks = |reason| LinkageLocks { travel_m, reason };
        let (sin, cos) = self.carrier_at(travel_m, 0.0)?.arm_angle_rad().value.sin_cos();
        let knuckle = self.knuckle([cos, sin]).map_err(locks)?;
        let ball_joint = knuckle.ball_joint;
        let top = points.strut_top_m;
        let [across, ahead, up] = knuckle.frame;
        let arm_radius = sub(ball_joint, points.arm_inner_front_m);
        let outward = unit(cross(cross(self.arm_axis, arm_radius), self.arm_axis));
        let tie_rod_outer = knuckle.place(self.in_knuckle.tie_rod_outer_m);
        let towards_rack = unit(sub(self.tie_rod_inner_m(), tie_rod_outer));
        let carried_by = [
            (ball_joint, self.arm_axis),
            (ball_joint, outward),
            (tie_rod_outer, towards_rack),
            (top, across),
            (top, ahead),
            (top, scale(up, -1.0)),
        ];

        let wheel_centre = knuckle.place(self.in_knuckle.wheel_centre_m);
        let contact = contact_point(
            wheel_centre,
            combine(&knuckle.frame, self.in_knuckle.spin_axis),
            points.wheel.tyre_radius_m,
        );
        let seat = knuckle.place(self.in_knuckle.spring_seat_m);
        let push = unit(sub(seat, points.spring_seat_upper_m));
        let load = wrench(contact, [0.0, 0.0, wheel_vertical_force_n], ball_joint)
            + wrench(seat, scale(push, spring_force_n), ball_joint);
        let columns = carried_by.map(|(point, direction)| wrench(point, direction, ball_joint));
        let balance = Matrix6::from_columns(&columns).lu().solve(&(-load));
        let force =
            balance.filter(|f| f.iter().all(|n| n.is_finite())).ok_or(locks(LockReason::Indefinite))?;
        Ok(KnuckleForces {
            top_mount_side_force_n: force[3].hypot(force[4]),
            axial_force_n: force[5],
            tie_rod_tension_n: force[2],
            ball_joint_force_n: force[0].hypot(force[1]),
        })
    }

    /// The carrier at a travel, sought from an arm angle: that of a neighbouring travel, or 0 at design.
    ///
    /// # Errors
    /// When the travel is outside the reach.
    #[inline]
    pub fn carrier_at(&self, travel_m: f64, start_rad: f64) -> Result<CarrierMotion, LinkageLocks> {
        let driven = ArmDriven { wheel: self.wheel, reach: &self.reach, arm_range_rad: self.arm_range_rad };
        driven.carrier_at(travel_m, start_rad, |arm_angle_rad| self.carrier(arm_angle_rad))
    }

    /// Rise of the wheel at one arm angle; refuses what a part cannot follow, the drop link among them.
    fn rise(&self, arm_angle_rad: f64) -> Result<Local, LockReason> {
        Ok(self.carrier(arm_angle_rad)?.rise(self.wheel))
    }

    #[inline]
    fn carrier(&self, arm_angle_rad: f64) -> Result<Carrier, LockReason> {
        let points = &self.hardpoints;
        let (sin, cos) = arm_angle_rad.sin_cos();
        let moving = self.moving(self.knuckle([cos, sin])?);
        let place = |in_knuckle: [f64; 3]| moving.point(in_knuckle);
        Ok(Carrier {
            arm_turn: [
                Local { value: cos, slope: -sin, curvature: -cos },
                Local { value: sin, slope: cos, curvature: -sin },
            ],
            wheel_centre: place(self.in_knuckle.wheel_centre_m),
            spin_axis: moving.direction(self.in_knuckle.spin_axis),
            caster_axis: sub(constant(points.strut_top_m), moving.origin()),
            steering_axis_point: Some(moving.origin()),
            spring_length: distance(points.spring_seat_upper_m, place(self.in_knuckle.spring_seat_m)),
            damper_length: distance(points.strut_top_m, place(self.in_knuckle.damper_lower_m)),
            bar: match &self.bar {
                Some(bar) => Some(bar.pose(place(self.components_m(bar.link_lower_m())))?),
                None => None,
            },
        })
    }

    /// The knuckle at one turn of the arm (cosine, sine): slide and turn in closed form.
    #[inline]
    fn knuckle(&self, arm_turn: [f64; 2]) -> Result<Knuckle, LockReason> {
        let points = &self.hardpoints;
        let pivot = points.arm_inner_front_m;
        let arm = turn(sub(points.lower_ball_joint_m, pivot), self.arm_axis, arm_turn);
        let ball_joint = add(arm, pivot);

        // Slide: the ball joint keeps its distance from the strut axis, which passes through the strut top.
        let to_top = sub(points.strut_top_m, ball_joint);
        let span_squared = dot(to_top, to_top);
        let offset = self.ball_joint_offset_m;
        let rise_m = positive_root(span_squared - offset * offset).ok_or(LockReason::StrutCannotSpan)?;
        let per_span = 1.0 / span_squared.sqrt();
        let (sin_lean, cos_lean) = (per_span * offset, per_span * rise_m);

        // Turn about the line from ball joint to strut top, until the tie rod has its length.
        let kingpin = scale(to_top, per_span);
        let side = self.frame[1];
        let side = unit(sub(side, scale(kingpin, dot(side, kingpin))));
        let third = cross(kingpin, side);
        let outer = self.in_knuckle.tie_rod_outer_m;
        let [outer_across, outer_side, outer_up] = outer;
        let outer_along = cos_lean * outer_up - sin_lean * outer_across;
        let outer_third = -(cos_lean * outer_across) - sin_lean * outer_up;
        let to_inner = sub(self.tie_rod_inner_m(), ball_joint);
        let (inner_side, inner_third) = (dot(to_inner, side), dot(to_inner, third));
        let fixed = dot(outer, outer) - self.tie_rod_length_m * self.tie_rod_length_m;
        let reached = (dot(to_inner, to_inner) + fixed) * 0.5 - outer_along * dot(to_inner, kingpin);
        let cos_part = inner_side * outer_side + outer_third * inner_third;
        let sin_part = inner_third * outer_side - outer_third * inner_side;
        let (cos, sin) = circle_angle(cos_part, sin_part, reached, self.tie_rod_branch)
            .ok_or(LockReason::TieRodCannotSpan)?;

        let turned_side = add(scale(side, cos), scale(third, sin));
        let turned_third = sub(scale(third, cos), scale(side, sin));
        let across = sub(scale(kingpin, -sin_lean), scale(turned_third, cos_lean));
        let up = sub(scale(kingpin, cos_lean), scale(turned_third, sin_lean));
        Ok(Knuckle { ball_joint, frame: [across, turned_side, up], rise_m })
    }

    /// How the knuckle moves as the arm turns.
    ///
    /// With B the ball joint, s = T - B to the strut top, e₁, e₂ the directions square to the strut axis, q = P - B to
    /// the outer tie-rod joint and n = P - Q along the tie rod, the constraints are `e₁·s = const`, `e₂·s = 0`, `n² = const`.
    /// Their first derivatives give the turn ω, their second ones its growth ω', from the same three equations:
    /// `ω·(e × s) = e·B'` for e₁ and e₂, and `ω·(q × n) = -n·B'`.
    #[inline]
    fn moving(&self, knuckle: Knuckle) -> RigidMotion {
        let Knuckle { ball_joint, frame, rise_m } = knuckle;
        let offset = self.ball_joint_offset_m;
        let velocity = cross(self.arm_axis, sub(ball_joint, self.hardpoints.arm_inner_front_m));
        let acceleration = cross(self.arm_axis, velocity);
        // from here on in components of the frame
        let components = |v: Vector<f64>| frame.map(|axis| dot(axis, v));
        let (b1, b2) = (components(velocity), components(acceleration));
        let s = [-offset, 0.0, rise_m];
        let q = self.in_knuckle.tie_rod_outer_m;
        let n = sub(q, components(sub(self.tie_rod_inner_m(), ball_joint)));
        let lever = cross(q, n);
        let per_rise = 1.0 / rise_m;
        let per_leverage = 1.0 / (lever[2] - lever[0] * offset * per_rise);
        let turned_by = |[first, second, third]: [f64; 3]| {
            let about_second = -first * per_rise;
            let about_up = (third - lever[0] * second * per_rise - lever[1] * about_second) * per_leverage;
            [(second - offset * about_up) * per_rise, about_second, about_up]
        };
        let spin = turned_by([b1[0], b1[1], -dot(n, b1)]);

        // what the second derivatives hold besides ω': ω × (ω × v) = ω (ω·v) - v ω²
        let spin_squared = dot(spin, spin);
        let centripetal = |v: Vector<f64>| sub(scale(spin, dot(spin, v)), scale(v, spin_squared));
        let towards_top = centripetal(s);
        let coriolis = cross(spin, b1);
        let outer_velocity = add(b1, cross(spin, q));
        let tie_rod = dot(outer_velocity, outer_velocity) + dot(n, add(b2, centripetal(q)));
        let spin_growth = turned_by([
            b2[0] - towards_top[0] - 2.0 * coriolis[0],
            b2[1] - towards_top[1] - 2.0 * coriolis[1],
            -tie_rod,
        ]);
        RigidMotion {
            origin_m: ball_joint,
            velocity,
            acceleration,
            frame,
            spin: combine(&frame, spin),
            spin_growth: combine(&frame, spin_growth),
        }
    }

    /// Leverage of the tie rod on the turn of the knuckle at design, m².
    fn tie_rod_leverage_m2(&self) -> f64 {
        let points = &self.hardpoints;
        let kingpin = unit(sub(points.strut_top_m, points.lower_ball_joint_m));
        let outer = sub(points.tie_rod_outer_m, points.lower_ball_joint_m);
        let inner = sub(points.tie_rod_inner_m, points.lower_ball_joint_m);
        dot(cross(kingpin, outer), inner)
    }

    fn tie_rod_inner_m(&self) -> Point {
        add(self.hardpoints.tie_rod_inner_m, [0.0, self.rack_travel_m, 0.0])
    }

    /// Components in the knuckle frame, from the ball joint, of a point given at design.
    fn components_m(&self, design_m: Point) -> [f64; 3] {
        let from_ball_joint = sub(design_m, self.hardpoints.lower_ball_joint_m);
        self.frame.map(|direction| dot(direction, from_ball_joint))
    }
}

impl Knuckle {
    /// Where a point is that is given by its components in the frame, from the ball joint.
    fn place(&self, in_knuckle_m: [f64; 3]) -> Point {
        add(self.ball_joint, combine(&self.frame, in_knuckle_m))
    }
}

/// Force and its moment about `centre`.
fn wrench(point: Point, force: Vector<f64>, centre: Point) -> Vector6<f64> {
    let [mx, my, mz] = cross(sub(point, centre), force);
    Vector6::new(force[0], force[1], force[2], mx, my, mz)
}

/// Directions of the knuckle frame at design and the ball joint's distance from the strut axis. A ball joint on the
/// strut axis leaves the first direction free; any square to the axis serves.
fn design_frame(up: Vector<f64>, ball_joint_from_top: Vector<f64>) -> ([Vector<f64>; 3], f64) {
    const ON_AXIS_M: f64 = 1e-9;
    let square_to_axis = |v: Vector<f64>| sub(v, scale(up, dot(v, up)));
    let offset = square_to_axis(ball_joint_from_top);
    let offset_m = norm(offset);
    if offset_m > ON_AXIS_M {
        let across = unit(offset);
        return ([across, cross(up, across), up], offset_m);
    }
    let least_aligned = if up[1].abs() < 0.7 { [0.0, 1.0, 0.0] } else { [1.0, 0.0, 0.0] };
    let across = unit(square_to_axis(least_aligned));
    ([across, cross(up, across), up], 0.0)
}

fn damper_lower_m(points: &StrutHardpoints) -> Point {
    points.damper_lower_m.unwrap_or(points.strut_axis_point_m)
}

fn check(points: &StrutHardpoints) -> Result<(), HardpointError> {
    let arm_inner_front = ("arm_inner_front", points.arm_inner_front_m);
    let arm_inner_rear = ("arm_inner_rear", points.arm_inner_rear_m);
    let ball_joint = ("lower_ball_joint", points.lower_ball_joint_m);
    let strut_top = ("strut_top", points.strut_top_m);
    let strut_axis_point = ("strut_axis_point", points.strut_axis_point_m);
    let seat_lower = ("spring_seat_lower", points.spring_seat_lower_m);
    let seat_upper = ("spring_seat_upper", points.spring_seat_upper_m);
    let damper_lower = ("damper_lower", damper_lower_m(points));
    let tie_rod_inner = ("tie_rod_inner", points.tie_rod_inner_m);
    let tie_rod_outer = ("tie_rod_outer", points.tie_rod_outer_m);
    check_points(&[arm_inner_front, arm_inner_rear, ball_joint, strut_top, strut_axis_point])?;
    check_points(&[seat_lower, seat_upper, damper_lower, tie_rod_inner, tie_rod_outer])?;
    check_points(&[("driveshaft_inner", points.driveshaft_inner_m.unwrap_or_default())])?;
    points.wheel.check()?;
    check_apart(arm_inner_front, arm_inner_rear)?;
    check_apart(strut_axis_point, strut_top)?;
    check_apart(ball_joint, strut_top)?;
    check_apart(seat_lower, seat_upper)?;
    check_apart(damper_lower, strut_top)?;
    check_apart(tie_rod_inner, tie_rod_outer)?;
    let up = sub(points.strut_top_m, points.strut_axis_point_m);
    if dot(up, sub(points.strut_top_m, points.lower_ball_joint_m)) <= 0.0 {
        return Err(HardpointError::StrutUpsideDown);
    }
    Ok(())
}
