//! Points shared by the linkages, and what can be wrong with them.

use super::pose::contact_point;
use super::reach::LockReason;
use crate::geometry::angles;
use crate::geometry::vector::{add, norm, scale, sub, unit};

/// A point in body axes, m: x forward from the front axle line, y left from the centre plane, z up from the ground
/// of the design drawing.
pub type Point = [f64; 3];

/// No coordinate of a van's suspension is farther from the origin, m.
const FARTHEST_M: f64 = 20.0;
/// Points closer than this are one point, m.
const COINCIDENT_M: f64 = 1e-3;
/// Design camber and toe stay within this, rad.
const LARGEST_WHEEL_ANGLE_RAD: f64 = 0.5;

/// The wheel in the design position.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WheelHardpoints {
    /// Wheel centre.
    pub wheel_centre_m: Point,
    /// Camber, rad, positive with the top leaning out; within ±0.5.
    pub design_camber_rad: f64,
    /// Toe, rad, positive for toe-in; within ±0.5.
    pub design_toe_rad: f64,
    /// Radius from the wheel centre to the ground, m.
    pub tyre_radius_m: f64,
}

impl WheelHardpoints {
    /// A wheel given by its spin axis (any length, pointing outboard) instead of camber and toe.
    pub fn from_spin_axis(wheel_centre_m: Point, spin_axis: [f64; 3], tyre_radius_m: f64) -> Self {
        let axis = unit(spin_axis);
        let (design_camber_rad, design_toe_rad) = (angles::camber(axis), angles::toe(axis));
        Self { wheel_centre_m, design_camber_rad, design_toe_rad, tyre_radius_m }
    }

    /// The same wheel moved outboard along its spin axis, as a spacer or a rim of less offset moves it; inboard where
    /// negative.
    #[must_use]
    pub fn moved_outboard(self, by_m: f64) -> Self {
        let axis = self.spin_axis();
        Self { wheel_centre_m: add(self.wheel_centre_m, scale(axis, by_m)), ..self }
    }

    /// Unit spin axis in the design position, pointing outboard.
    pub(super) fn spin_axis(&self) -> Point {
        angles::spin_axis(self.design_camber_rad, self.design_toe_rad)
    }

    pub(super) fn at_design(&self) -> DesignWheel {
        let contact_m = contact_point(self.wheel_centre_m, self.spin_axis(), self.tyre_radius_m);
        DesignWheel {
            centre_z_m: self.wheel_centre_m[2],
            contact_y_m: contact_m[1],
            tyre_radius_m: self.tyre_radius_m,
        }
    }

    pub(super) fn check(&self) -> Result<(), HardpointError> {
        check_points(&[("wheel_centre", self.wheel_centre_m)])?;
        if self.wheel_centre_m[1] <= 0.0 {
            return Err(HardpointError::NotLeftCorner);
        }
        let straight = |angle_rad: f64| angle_rad.abs() <= LARGEST_WHEEL_ANGLE_RAD;
        if !straight(self.design_camber_rad) || !straight(self.design_toe_rad) {
            return Err(HardpointError::WheelAngle);
        }
        check_length("tyre_radius", self.tyre_radius_m)
    }
}

/// What travel and track of a wheel are counted from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct DesignWheel {
    /// Height of the wheel centre.
    pub(super) centre_z_m: f64,
    /// Contact point, outboard.
    pub(super) contact_y_m: f64,
    pub(super) tyre_radius_m: f64,
}

/// The anti-roll bar and its drop link in the design position.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BarHardpoints {
    /// A point of the transverse bar axis, which is parallel to y and fixed in the body.
    pub bar_axis_m: Point,
    /// Drop-link joint on the bar arm.
    pub bar_arm_end_m: Point,
    /// Drop-link joint on the carrier: the knuckle of a strut, the arm of a semi-trailing arm, the lower arm of double
    /// wishbones.
    pub link_lower_m: Point,
    /// Length of a fitted drop link other than that of the design position, m.
    pub drop_link_length_m: Option<f64>,
}

/// Why hardpoints or measures do not make a suspension.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum HardpointError {
    /// A coordinate is missing or absurd.
    #[error("{name} is not a point within 20 m of the front axle")]
    PointOutOfRange {
        /// Point as named in the hardpoints.
        name: &'static str,
    },
    /// A length or radius is not positive or absurd.
    #[error("{name} is not a length between 1 mm and 20 m")]
    Length {
        /// Quantity as named in the hardpoints.
        name: &'static str,
    },
    /// An angle is not a number or turns the part over.
    #[error("{name} is not an angle the part can stand at")]
    Angle {
        /// Quantity as named in the measures.
        name: &'static str,
    },
    /// Design camber or toe is not a number or beyond ±0.5 rad.
    #[error("design camber or toe is beyond 0.5 rad")]
    WheelAngle,
    /// Two points that span a line are closer than 1 mm.
    #[error("{first} and {second} coincide")]
    PointsCoincide {
        /// One point.
        first: &'static str,
        /// The other.
        second: &'static str,
    },
    /// The points are those of the right corner.
    #[error("the wheel centre is not left of the centre plane: the points of the left corner are wanted")]
    NotLeftCorner,
    /// The strut top does not lie above the ball joint along the strut axis.
    #[error("the strut top does not lie beyond the ball joint along the strut axis")]
    StrutUpsideDown,
    /// The upper ball joint of double wishbones does not lie above the lower one.
    #[error("the upper ball joint does not lie above the lower one")]
    BallJointsUpsideDown,
    /// A rod whose length does not determine what it should hold.
    #[error("the {rod} points at the axis it should turn")]
    NoLeverage {
        /// The rod.
        rod: &'static str,
    },
    /// Turning the arm does not lift the wheel.
    #[error("turning the arm does not lift the wheel")]
    ArmDoesNotLiftWheel,
    /// The linkage cannot stand at design height.
    #[error("at design height {0}")]
    LocksAtDesign(LockReason),
    /// A leaf does not run from its front eye back over its seat to its rear eye.
    #[error("the leaf does not run from front_eye back over seat to rear_eye")]
    LeafOutOfOrder,
    /// A bar with drop links hangs on a twist beam.
    #[error(
        "a bar with drop links does not go with a twist beam: the rate of a bar inside the beam adds to the beam's"
    )]
    BarBesideTwistBeam,
    /// The links leave the axle a freedom beside its two wheel travels.
    #[error("the links do not locate the axle")]
    LinksDoNotLocate,
    /// A table of measured ratios is not 2 to 8 points of rising travel with ratios above 0 and up to 5.
    #[error("the {name} table needs 2 to 8 points of rising travel with ratios above 0 and up to 5")]
    Ratio {
        /// Quantity as named in the measures.
        name: &'static str,
    },
    /// A spring or damper position on an arm is given but the arm is not.
    #[error("the {name} on the arm needs the arm's length and angle")]
    ArmUnknown {
        /// Quantity as named in the measures.
        name: &'static str,
    },
}

/// Every point is finite and within reach of a van.
pub(super) fn check_points(points: &[(&'static str, Point)]) -> Result<(), HardpointError> {
    let in_range = |point: &Point| point.iter().all(|coordinate| coordinate.abs() <= FARTHEST_M);
    match points.iter().find(|(_, point)| !in_range(point)) {
        Some(&(name, _)) => Err(HardpointError::PointOutOfRange { name }),
        None => Ok(()),
    }
}

/// The two points span a line.
pub(super) fn check_apart(
    (first, first_m): (&'static str, Point),
    (second, second_m): (&'static str, Point),
) -> Result<(), HardpointError> {
    if norm(sub(first_m, second_m)) < COINCIDENT_M {
        return Err(HardpointError::PointsCoincide { first, second });
    }
    Ok(())
}

/// The length is between 1 mm and 20 m.
pub(super) fn check_length(name: &'static str, length_m: f64) -> Result<(), HardpointError> {
    if (COINCIDENT_M..=FARTHEST_M).contains(&length_m) {
        Ok(())
    } else {
        Err(HardpointError::Length { name })
    }
}
