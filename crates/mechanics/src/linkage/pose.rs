//! What a corner looks like at one wheel travel.

use num_dual::Dual2_64;

use super::bar::BarPose;
use super::hardpoints::{Point, WheelHardpoints};
use super::reach::LockReason;
use crate::curve::Local;
use crate::geometry::vector::{Vector, add, constant, norm, scale, sub};
use crate::geometry::{Scalar, angles};

/// The left corner at one wheel travel; the right corner is its mirror image.
///
/// What needs hardpoints, a steering axis, a bar or a driveshaft is `None` where the linkage has none.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CornerPose {
    /// Rise of the wheel centre from design, m.
    pub travel_m: f64,
    /// Wheel centre in body axes.
    pub wheel_centre_m: Point,
    /// Length of the spring between its seats, m.
    pub spring_length_m: f64,
    /// Length of the damper, m.
    pub damper_length_m: f64,
    /// Spring shortening per wheel travel, -dL/dz; positive where bump compresses the spring.
    pub spring_motion_ratio: f64,
    /// Change of the spring motion ratio per wheel travel, 1/m.
    pub spring_motion_ratio_slope_per_m: f64,
    /// Damper shortening per wheel travel, -dL/dz.
    pub damper_motion_ratio: f64,
    /// Change of the damper motion ratio per wheel travel, 1/m.
    pub damper_motion_ratio_slope_per_m: f64,
    /// Turn of the lower or trailing arm from design, positive in bump, rad.
    pub arm_angle_rad: Option<f64>,
    /// Turn of the bar arm from design, positive where its end rises, rad.
    pub bar_angle_rad: Option<f64>,
    /// Angle between drop link and bar arm at their joint, rad; a right angle works best, 0 and π lock.
    pub drop_link_angle_rad: Option<f64>,
    /// Angle of the line from the inner driveshaft joint to the wheel centre against the transverse axis, rad.
    pub driveshaft_angle_rad: Option<f64>,
    /// Camber, positive with the top leaning out, rad.
    pub camber_rad: Option<f64>,
    /// Toe, positive for toe-in, rad.
    pub toe_rad: Option<f64>,
    /// Caster, positive with the steering axis leaning back at its top, rad; on a rear arm the lean of the hub in
    /// side view since design.
    pub caster_rad: Option<f64>,
    /// Kingpin inclination, positive with the steering axis leaning in at its top, rad.
    pub kingpin_inclination_rad: Option<f64>,
    /// Distance of the contact point outboard of the steering axis, in the level of the contact point, m.
    pub scrub_radius_m: Option<f64>,
    /// Distance of the contact point behind the steering axis, in the level of the contact point, m.
    pub mechanical_trail_m: Option<f64>,
    /// Outward movement of the contact point since design, m.
    pub half_track_change_m: Option<f64>,
    /// Height of the roll centre above the contact point for both wheels at this travel, m.
    pub roll_centre_height_m: Option<f64>,
}

/// The carrier of the wheel and what hangs on it, in body axes.
pub(super) struct Carrier<D> {
    pub(super) wheel_centre: Vector<D>,
    /// Unit vector pointing outboard.
    pub(super) spin_axis: Vector<D>,
    /// The axis whose lean in side view is the caster, pointing upwards.
    pub(super) caster_axis: Vector<D>,
    /// A point of the caster axis where that is a steering axis.
    pub(super) steering_axis_point: Option<Vector<D>>,
    pub(super) spring_length: D,
    pub(super) damper_length: D,
    pub(super) bar: Option<BarPose<D>>,
}

/// Every quantity of a corner with its first and second derivative over wheel travel.
#[derive(Debug, Clone, Copy)]
pub(super) struct Motion {
    pub(super) travel_m: f64,
    pub(super) wheel_centre_x_m: Local,
    pub(super) wheel_centre_y_m: Local,
    pub(super) spring_length_m: Local,
    pub(super) damper_length_m: Local,
    pub(super) arm_angle_rad: Option<Local>,
    pub(super) bar_angle_rad: Option<Local>,
    pub(super) drop_link_angle_rad: Option<Local>,
    pub(super) camber_rad: Option<Local>,
    pub(super) toe_rad: Option<Local>,
    pub(super) caster_rad: Option<Local>,
    pub(super) kingpin_inclination_rad: Option<Local>,
    pub(super) scrub_radius_m: Option<Local>,
    pub(super) mechanical_trail_m: Option<Local>,
    pub(super) half_track_change_m: Option<Local>,
    /// Without its second derivative, which would need a third one of the linkage and which nobody asks for.
    pub(super) roll_centre_height_m: Option<Local>,
}

impl Carrier<Dual2_64> {
    /// From derivatives over the arm angle to derivatives over wheel travel.
    pub(super) fn motion(
        self,
        travel_m: f64,
        arm_angle: Dual2_64,
        wheel: &WheelHardpoints,
    ) -> Result<Motion, LockReason> {
        let lift = self.wheel_centre[2];
        let over_travel = |quantity: Dual2_64| over(quantity, lift);
        let contact = contact_point(self.wheel_centre, self.spin_axis, wheel.tyre_radius_m);
        // Where the steering axis meets the level of the contact point, seen from the contact point.
        let from_axis = self.steering_axis_point.map(|point| {
            let rise = (contact[2] - point[2]) / self.caster_axis[2];
            sub(contact, add(point, scale(self.caster_axis, rise)))
        });
        let steering = self.steering_axis_point.map(|_| angles::kingpin_inclination(self.caster_axis));
        let motion = Motion {
            travel_m,
            wheel_centre_x_m: over_travel(self.wheel_centre[0]),
            wheel_centre_y_m: over_travel(self.wheel_centre[1]),
            spring_length_m: over_travel(self.spring_length),
            damper_length_m: over_travel(self.damper_length),
            arm_angle_rad: Some(over_travel(arm_angle)),
            bar_angle_rad: self.bar.as_ref().map(|bar| over_travel(bar.bar_angle_rad)),
            drop_link_angle_rad: self.bar.as_ref().map(|bar| over_travel(bar.drop_link_angle_rad)),
            camber_rad: Some(over_travel(angles::camber(self.spin_axis))),
            toe_rad: Some(over_travel(angles::toe(self.spin_axis))),
            caster_rad: Some(over_travel(angles::caster(self.caster_axis))),
            kingpin_inclination_rad: steering.map(over_travel),
            scrub_radius_m: from_axis.map(|offset| over_travel(offset[1])),
            mechanical_trail_m: from_axis.map(|offset| over_travel(-offset[0])),
            half_track_change_m: Some(over_travel(contact[1] - design_contact_point(wheel)[1])),
            roll_centre_height_m: Some(roll_centre_height(over_travel(contact[1]), over_travel(contact[2]))),
        };
        if motion.is_definite() { Ok(motion) } else { Err(LockReason::Indefinite) }
    }
}

impl Motion {
    /// Every value and derivative is a number.
    pub(super) fn is_definite(&self) -> bool {
        let always =
            [self.wheel_centre_x_m, self.wheel_centre_y_m, self.spring_length_m, self.damper_length_m]
                .map(Some);
        let sometimes = [
            self.arm_angle_rad,
            self.bar_angle_rad,
            self.drop_link_angle_rad,
            self.camber_rad,
            self.toe_rad,
            self.caster_rad,
            self.kingpin_inclination_rad,
            self.scrub_radius_m,
            self.mechanical_trail_m,
            self.half_track_change_m,
            self.roll_centre_height_m,
        ];
        let finite = |q: &Local| q.value.is_finite() && q.slope.is_finite() && q.curvature.is_finite();
        always.iter().chain(&sometimes).flatten().all(finite)
    }

    /// The pose of a corner whose wheel centre is `wheel_centre_z_m` high at design.
    pub(super) fn pose(&self, wheel_centre_z_m: f64, driveshaft_inner_m: Option<Point>) -> CornerPose {
        let value = |quantity: Option<Local>| quantity.map(|local| local.value);
        let (x_m, y_m) = (self.wheel_centre_x_m.value, self.wheel_centre_y_m.value);
        let wheel_centre_m = [x_m, y_m, wheel_centre_z_m + self.travel_m];
        CornerPose {
            travel_m: self.travel_m,
            wheel_centre_m,
            spring_length_m: self.spring_length_m.value,
            damper_length_m: self.damper_length_m.value,
            spring_motion_ratio: -self.spring_length_m.slope,
            spring_motion_ratio_slope_per_m: -self.spring_length_m.curvature,
            damper_motion_ratio: -self.damper_length_m.slope,
            damper_motion_ratio_slope_per_m: -self.damper_length_m.curvature,
            arm_angle_rad: value(self.arm_angle_rad),
            bar_angle_rad: value(self.bar_angle_rad),
            drop_link_angle_rad: value(self.drop_link_angle_rad),
            driveshaft_angle_rad: driveshaft_inner_m.map(|inner_m| shaft_angle_rad(inner_m, wheel_centre_m)),
            camber_rad: value(self.camber_rad),
            toe_rad: value(self.toe_rad),
            caster_rad: value(self.caster_rad),
            kingpin_inclination_rad: value(self.kingpin_inclination_rad),
            scrub_radius_m: value(self.scrub_radius_m),
            mechanical_trail_m: value(self.mechanical_trail_m),
            half_track_change_m: value(self.half_track_change_m),
            roll_centre_height_m: value(self.roll_centre_height_m),
        }
    }
}

/// Angle between the transverse axis and the line from the inner joint to the wheel centre.
fn shaft_angle_rad(inner_m: Point, wheel_centre_m: Point) -> f64 {
    let [x, y, z] = sub(wheel_centre_m, inner_m);
    x.hypot(z).atan2(y)
}

/// Lowest point of a thin disc of the tyre's radius about the wheel centre, in the wheel plane.
pub(super) fn contact_point<D: Scalar>(
    wheel_centre: Vector<D>,
    spin_axis: Vector<D>,
    tyre_radius_m: f64,
) -> Vector<D> {
    add(wheel_centre, scale(angles::towards_contact(spin_axis), D::from(tyre_radius_m)))
}

/// Contact point in the design position.
fn design_contact_point(wheel: &WheelHardpoints) -> Point {
    let spin_axis = angles::spin_axis(wheel.design_camber_rad, wheel.design_toe_rad);
    contact_point(wheel.wheel_centre_m, spin_axis, wheel.tyre_radius_m)
}

/// Derivatives of `quantity` over `lift`, both functions of the same variable.
pub(super) fn over(quantity: Dual2_64, lift: Dual2_64) -> Local {
    let slope = quantity.v1 / lift.v1;
    Local { value: quantity.re, slope, curvature: (quantity.v2 - slope * lift.v2) / (lift.v1 * lift.v1) }
}

/// Height above the contact point at which the normal to the contact point's path meets the centre plane:
/// y dy/dz for equal travel of both wheels (Reimpell, Stoll and Betzler, The Automotive Chassis, ch. 3.4).
fn roll_centre_height(y: Local, z: Local) -> Local {
    let per_rise = y.slope / z.slope;
    let per_rise_slope = (y.curvature - per_rise * z.curvature) / z.slope;
    Local { value: y.value * per_rise, slope: y.slope * per_rise + y.value * per_rise_slope, curvature: 0.0 }
}

/// Distance between a fixed and a moving point.
pub(super) fn distance<D: Scalar>(fixed: Point, moving: Vector<D>) -> D {
    norm(sub(moving, constant(fixed)))
}
