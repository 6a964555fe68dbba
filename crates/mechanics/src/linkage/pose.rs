//! What a corner looks like at one wheel travel.

use super::bar::BarPose;
use super::hardpoints::{DesignWheel, Point};
use super::reach::LockReason;
use crate::curve::Local;
use crate::geometry::vector::{Vector, add, constant, direction_angle, norm, scale, sub};
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

/// The carrier of the wheel and what hangs on it, in body axes, over the arm angle. Each quantity costs only what it needs itself.
#[derive(Debug, Clone, Copy)]
pub(super) struct Carrier {
    /// Cosine and sine of the arm's turn from design.
    pub(super) arm_turn: [Local; 2],
    pub(super) wheel_centre: Vector<Local>,
    /// Unit vector pointing outboard.
    pub(super) spin_axis: Vector<Local>,
    /// The axis whose lean in side view is the caster, pointing upwards.
    pub(super) caster_axis: Vector<Local>,
    /// A point of the caster axis where that is a steering axis.
    pub(super) steering_axis_point: Option<Vector<Local>>,
    pub(super) spring_length: Local,
    pub(super) damper_length: Local,
    pub(super) bar: Option<BarPose<Local>>,
}

/// The carrier of a corner at one wheel travel as it moves with its arm; quantities are worked out when they are asked
/// for, with their first and second derivative over wheel travel.
///
/// The linkage was solved at an arm angle close to the wanted one. What is missing is added by Taylor's series up to
/// the second derivative.
#[derive(Debug, Clone, Copy)]
pub struct CarrierMotion {
    travel_m: f64,
    /// Derivatives over the arm angle, where the linkage was solved.
    carrier: Carrier,
    /// Arm angle still to go from there, rad.
    missing_rad: f64,
    /// Rise of the wheel centre per arm angle, and its growth, at the wanted angle.
    rise_per_rad_m: f64,
    rise_growth_m: f64,
    wheel: DesignWheel,
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
    /// Without its second derivative.
    pub(super) roll_centre_height_m: Option<Local>,
}

impl Carrier {
    /// Rise of the wheel centre from design over the arm angle, m.
    #[inline]
    pub(super) fn rise(&self, wheel: DesignWheel) -> Local {
        self.wheel_centre[2] - wheel.centre_z_m
    }
}

impl CarrierMotion {
    /// The carrier of `wheel` at a travel, solved `missing_rad` before it.
    #[inline]
    pub(super) fn new(travel_m: f64, carrier: Carrier, missing_rad: f64, wheel: DesignWheel) -> Self {
        let lift = carrier.wheel_centre[2];
        Self {
            travel_m,
            carrier,
            missing_rad,
            rise_per_rad_m: lift.slope + missing_rad * lift.curvature,
            rise_growth_m: lift.curvature,
            wheel,
        }
    }

    /// A quantity known over the arm angle, over wheel travel instead: q' = q_α / z_α,
    /// q'' = (q_αα - q' z_αα) / z_α².
    #[inline]
    fn over_travel(&self, quantity: Local) -> Local {
        let Local { slope, curvature, .. } = quantity;
        let per_rise = 1.0 / self.rise_per_rad_m;
        let slope = (slope + self.missing_rad * curvature) * per_rise;
        Local {
            value: quantity.extrapolated(self.missing_rad),
            slope,
            curvature: (curvature - slope * self.rise_growth_m) * per_rise * per_rise,
        }
    }

    /// Turn of the lower or trailing arm from design, positive in bump, rad.
    #[inline]
    pub fn arm_angle_rad(&self) -> Local {
        let [cos, sin] = self.carrier.arm_turn;
        self.over_travel(direction_angle(sin, cos))
    }

    /// Arm angle at a neighbouring travel, extrapolated to second order, rad.
    #[inline]
    pub fn arm_angle_at_rad(&self, travel_m: f64) -> f64 {
        self.arm_angle_rad().extrapolated(travel_m - self.travel_m)
    }

    /// Camber, positive with the top leaning out, rad.
    #[inline]
    pub fn camber_rad(&self) -> Local {
        self.over_travel(angles::camber(self.carrier.spin_axis))
    }

    /// Toe, positive for toe-in, rad.
    #[inline]
    pub fn toe_rad(&self) -> Local {
        self.over_travel(angles::toe(self.carrier.spin_axis))
    }

    /// Caster, positive with the steering axis leaning back at its top, rad; on a rear arm the lean of the hub in side
    /// view since design.
    #[inline]
    pub fn caster_rad(&self) -> Local {
        self.over_travel(angles::caster(self.carrier.caster_axis))
    }

    /// Length of the spring between its seats, m.
    #[inline]
    pub fn spring_length_m(&self) -> Local {
        self.over_travel(self.carrier.spring_length)
    }

    /// Length of the damper, m.
    #[inline]
    pub fn damper_length_m(&self) -> Local {
        self.over_travel(self.carrier.damper_length)
    }

    #[inline]
    fn contact(&self) -> Vector<Local> {
        contact_point(self.carrier.wheel_centre, self.carrier.spin_axis, self.wheel.tyre_radius_m)
    }

    /// Outward movement of the contact point since design, m.
    #[inline]
    pub fn half_track_change_m(&self) -> Local {
        self.over_travel(self.contact()[1] - self.wheel.contact_y_m)
    }

    /// Height of the roll centre above the contact point for both wheels at this travel, m, without its curvature, which
    /// would need a third derivative of the linkage and which nobody asks for.
    #[inline]
    pub fn roll_centre_height_m(&self) -> Local {
        let [_, y, z] = self.contact();
        roll_centre_height(self.over_travel(y), self.over_travel(z))
    }

    /// Every quantity.
    ///
    /// # Errors
    /// When one of them has no value.
    pub(super) fn motion(&self) -> Result<Motion, LockReason> {
        let carrier = &self.carrier;
        let contact = self.contact();
        // Where the steering axis meets the level of the contact point, seen from the contact point.
        let from_axis = carrier.steering_axis_point.map(|point| {
            let rise = (contact[2] - point[2]) / carrier.caster_axis[2];
            sub(contact, add(point, scale(carrier.caster_axis, rise)))
        });
        let steering = carrier.steering_axis_point.map(|_| angles::kingpin_inclination(carrier.caster_axis));
        let over_travel = |quantity| self.over_travel(quantity);
        let motion = Motion {
            travel_m: self.travel_m,
            wheel_centre_x_m: over_travel(carrier.wheel_centre[0]),
            wheel_centre_y_m: over_travel(carrier.wheel_centre[1]),
            spring_length_m: self.spring_length_m(),
            damper_length_m: self.damper_length_m(),
            arm_angle_rad: Some(self.arm_angle_rad()),
            bar_angle_rad: carrier.bar.as_ref().map(|bar| over_travel(bar.bar_angle_rad)),
            drop_link_angle_rad: carrier.bar.as_ref().map(|bar| over_travel(bar.drop_link_angle_rad)),
            camber_rad: Some(self.camber_rad()),
            toe_rad: Some(self.toe_rad()),
            caster_rad: Some(self.caster_rad()),
            kingpin_inclination_rad: steering.map(over_travel),
            scrub_radius_m: from_axis.map(|offset| over_travel(offset[1])),
            mechanical_trail_m: from_axis.map(|offset| over_travel(-offset[0])),
            half_track_change_m: Some(self.half_track_change_m()),
            roll_centre_height_m: Some(self.roll_centre_height_m()),
        };
        if motion.is_definite() { Ok(motion) } else { Err(LockReason::Indefinite) }
    }
}

impl Motion {
    /// Arm angle at a neighbouring travel, extrapolated to second order; zero where there is no arm.
    pub(super) fn arm_angle_at_rad(&self, travel_m: f64) -> f64 {
        self.arm_angle_rad.map_or(0.0, |arm| arm.extrapolated(travel_m - self.travel_m))
    }

    /// Every quantity.
    pub(super) fn quantities(&self) -> [Option<Local>; 15] {
        [
            Some(self.wheel_centre_x_m),
            Some(self.wheel_centre_y_m),
            Some(self.spring_length_m),
            Some(self.damper_length_m),
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
        ]
    }

    /// Every value and derivative is a number.
    pub(super) fn is_definite(&self) -> bool {
        let finite = |q: &Local| q.value.is_finite() && q.slope.is_finite() && q.curvature.is_finite();
        self.quantities().iter().flatten().all(finite)
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
#[inline]
pub(super) fn contact_point<D: Scalar>(
    wheel_centre: Vector<D>,
    spin_axis: Vector<D>,
    tyre_radius_m: f64,
) -> Vector<D> {
    add(wheel_centre, scale(angles::towards_contact(spin_axis), D::from(tyre_radius_m)))
}

/// Height above the contact point at which the normal to the contact point's path meets the centre plane:
/// y dy/dz for equal travel of both wheels (Reimpell, Stoll and Betzler, The Automotive Chassis, ch. 3.4).
#[inline]
fn roll_centre_height(y: Local, z: Local) -> Local {
    let per_rise = y.slope / z.slope;
    let per_rise_slope = (y.curvature - per_rise * z.curvature) / z.slope;
    Local { value: y.value * per_rise, slope: y.slope * per_rise + y.value * per_rise_slope, curvature: 0.0 }
}

/// Distance between a fixed and a moving point.
#[inline]
pub(super) fn distance<D: Scalar>(fixed: Point, moving: Vector<D>) -> D {
    norm(sub(moving, constant(fixed)))
}
