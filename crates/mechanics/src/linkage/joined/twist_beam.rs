//! Twist-beam axle: two trailing arms joined by a cross-beam that is stiff in bending and soft in torsion.
//!
//! Together the arms turn about the line through their body bushes. Against each other they turn the way the beam
//! lets them: its shear centre in the centre plane is the one point they keep in common, so each arm turns about the
//! line from its own bush to the shear centre (J. Reimpell, H. Stoll and J. W. Betzler, The Automotive Chassis, ch.
//! 1.6 and 3.5; J. C. Dixon, Suspension Geometry and Computation, ch. on rigid-arm and twist axles, both from memory).
//! With the shear centre on the bush line that is two trailing arms; with it between the wheels they roll like those of
//! a rigid axle.

use super::beam::RigidPose;
use super::{BeamHangers, JoinedWheel};
use crate::geometry::newton::root;
use crate::geometry::vector::{circle_angle, cross, rotate, sub, unit};
use crate::linkage::hardpoints::{HardpointError, Point, WheelHardpoints, check_apart, check_points};
use crate::linkage::pose::distance;
use crate::linkage::reach::LockReason;

/// The points of a twist-beam axle in the design position, left side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwistBeamHardpoints {
    /// Body bush of the arm; the line through both bushes is parallel to y.
    pub bush_m: Point,
    /// Shear centre of the cross-beam, x and z: it lies in the centre plane. Of an open section it lies outside the
    /// section, on the side of its back.
    pub shear_centre_m: [f64; 2],
    /// Lower spring seat, on the arm.
    pub spring_seat_lower_m: Point,
    /// Upper spring seat, fixed in the body.
    pub spring_seat_upper_m: Point,
    /// The wheel, carried by the arm.
    pub wheel: WheelHardpoints,
    /// Damper. A bar lies inside the beam and adds its rate to the beam's: one with drop links is refused.
    pub hangers: BeamHangers,
}

/// A twist-beam axle.
///
/// The arm angle of its tables is the turn of the arm about the bush line, positive in bump: what is left of the arm's
/// rotation when the tilt of its bush out of the line is taken away (the twist of a swing-twist decomposition). The bar
/// angle is the same turn, since left less right is the torsion of the beam: its torsional rate, fitted as a bar through
/// links, gives the roll stiffness.
#[derive(Debug, Clone, PartialEq)]
pub struct TwistBeam {
    hardpoints: TwistBeamHardpoints,
}

/// Bushes stand at least this far from the centre plane, m.
const LEAST_HALF_BASE_M: f64 = 0.1;
/// Least rise of the wheel per turn of its arm, m/rad.
const LEAST_LIFT_M: f64 = 1e-3;
/// Bush line: a positive turn lifts a wheel behind it.
const LEFT: Point = [0.0, 1.0, 0.0];

/// Turn of both arms about the bush line, and of the left arm against the beam, of the right one opposite, rad.
type Turns = [f64; 2];

impl TwistBeam {
    /// Checks the hardpoints.
    ///
    /// # Errors
    /// When points are missing or coincide, a bar with drop links hangs on the beam, or turning the arms does not lift
    /// the wheels.
    pub fn new(hardpoints: TwistBeamHardpoints) -> Result<Self, HardpointError> {
        hardpoints.wheel.check()?;
        if hardpoints.hangers.check()?.is_some() {
            return Err(HardpointError::BarBesideTwistBeam);
        }
        let bush = ("bush", hardpoints.bush_m);
        let [x_m, z_m] = hardpoints.shear_centre_m;
        let (lower, upper) = (
            ("spring_seat_lower", hardpoints.spring_seat_lower_m),
            ("spring_seat_upper", hardpoints.spring_seat_upper_m),
        );
        check_points(&[bush, ("shear_centre", [x_m, 0.0, z_m]), lower, upper])?;
        check_apart(lower, upper)?;
        if hardpoints.bush_m[1] < LEAST_HALF_BASE_M {
            return Err(HardpointError::Length { name: "distance of the bush from the centre plane" });
        }
        let beam = Self { hardpoints };
        if beam.design_lifts_m().into_iter().any(|lift_m| lift_m < LEAST_LIFT_M) {
            return Err(HardpointError::ArmDoesNotLiftWheel);
        }
        Ok(beam)
    }

    /// The points it was built from.
    pub fn hardpoints(&self) -> &TwistBeamHardpoints {
        &self.hardpoints
    }

    /// Left and right wheel at a travel of each.
    pub(super) fn wheels(&self, left_m: f64, right_m: f64) -> Result<[JoinedWheel; 2], LockReason> {
        const WITHIN_M: f64 = 1e-12;
        let centre_m = self.hardpoints.wheel.wheel_centre_m;
        let rise_m = |turns: Turns| self.arm(turns).placed(centre_m)[2] - centre_m[2];
        let miss = |&[together, against]: &Turns| {
            Some([rise_m([together, against]) - left_m, rise_m([together, -against]) - right_m])
        };
        let start = [
            self.turn_in_heave(0.5 * (left_m + right_m)).ok_or(LockReason::ArmOverTop)?,
            0.5 * (left_m - right_m) / self.design_lifts_m()[1],
        ];
        let [together, against] = root(start, WITHIN_M, miss).ok_or(LockReason::ArmOverTop)?;
        Ok([self.wheel([together, against])?, self.wheel([together, -against])?])
    }

    /// Rise of the left wheel per turn of both arms together and of the arms against each other, at design, m/rad.
    fn design_lifts_m(&self) -> [f64; 2] {
        let radius = sub(self.hardpoints.wheel.wheel_centre_m, self.hardpoints.bush_m);
        [cross(LEFT, radius)[2], cross(self.roll_axis(0.0), radius)[2]]
    }

    /// Turn of both arms together that lifts both wheels by one travel.
    fn turn_in_heave(&self, travel_m: f64) -> Option<f64> {
        let [x, _, z] = sub(self.hardpoints.wheel.wheel_centre_m, self.hardpoints.bush_m);
        let (cos, sin) = circle_angle(z, -x, z + travel_m, 1.0)?;
        Some(sin.atan2(cos))
    }

    /// Unit vector from the shear centre, turned with the arms, to the left bush.
    fn roll_axis(&self, together_rad: f64) -> Point {
        let bush = self.hardpoints.bush_m;
        let [x_m, z_m] = self.hardpoints.shear_centre_m;
        unit(rotate(sub(bush, [x_m, 0.0, z_m]), LEFT, together_rad))
    }

    /// The left arm.
    fn arm(&self, [together_rad, against_rad]: Turns) -> RigidPose {
        let roll_axis = self.roll_axis(together_rad);
        let turned = |axis: Point| rotate(rotate(axis, LEFT, together_rad), roll_axis, against_rad);
        let axes = [[1.0, 0.0, 0.0], LEFT, [0.0, 0.0, 1.0]].map(turned);
        RigidPose { axes, from: self.hardpoints.bush_m, to: self.hardpoints.bush_m }
    }

    /// The wheel on the left arm; the right one is that of opposite turns against each other.
    fn wheel(&self, turns: Turns) -> Result<JoinedWheel, LockReason> {
        let points = &self.hardpoints;
        let arm = self.arm(turns);
        let spring_m = distance(points.spring_seat_upper_m, arm.placed(points.spring_seat_lower_m));
        let wheel = JoinedWheel::on_beam(&arm, &points.wheel, &points.hangers, None, spring_m)?;
        if wheel.wheel_centre[0] >= points.bush_m[0] {
            return Err(LockReason::ArmOverTop);
        }
        let turn_rad = Some(self.turn_about_bush_line(turns));
        Ok(JoinedWheel { arm_angle_rad: turn_rad, bar_angle_rad: turn_rad, ..wheel })
    }

    /// Twist about y of the rotation by θ about y followed by φ about the axis a: θ + 2 atan(a_y tan(φ/2)), twice the
    /// angle whose tangent is the ratio of the y and the real part of the rotation's quaternion.
    fn turn_about_bush_line(&self, [together_rad, against_rad]: Turns) -> f64 {
        let along = self.roll_axis(together_rad)[1];
        together_rad + 2.0 * (along * (0.5 * against_rad).tan()).atan()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::vector::{dot, norm};

    fn beam() -> TwistBeam {
        TwistBeam::new(TwistBeamHardpoints {
            bush_m: [-2.60, 0.58, 0.36],
            shear_centre_m: [-2.75, 0.40],
            spring_seat_lower_m: [-3.02, 0.50, 0.28],
            spring_seat_upper_m: [-3.00, 0.49, 0.60],
            wheel: WheelHardpoints {
                wheel_centre_m: [-3.05, 0.80, 0.32],
                design_camber_rad: -0.02,
                design_toe_rad: 0.003,
                tyre_radius_m: 0.32,
            },
            hangers: BeamHangers {
                damper_lower_m: [-3.15, 0.60, 0.27],
                damper_upper_m: [-3.05, 0.57, 0.70],
                bar: None,
            },
        })
        .unwrap()
    }

    #[test]
    fn law_arms_share_the_shear_centre_and_twist_the_beam_about_its_own_line() {
        let beam = beam();
        let [x, z] = beam.hardpoints.shear_centre_m;
        for (together, against) in [(0.1, 0.08), (-0.15, 0.12), (0.0, -0.1)] {
            let (left, right) = (beam.arm([together, against]), beam.arm([together, -against]).mirrored());
            let shared = sub(left.placed([x, 0.0, z]), right.placed([x, 0.0, z]));
            assert!(norm(shared) < 1e-15);
            // the rotation between the arms as a vector, from the antisymmetric part of L Rᵀ: to the first order y alone
            let turn =
                |i: usize, j: usize| -> f64 { (0..3).map(|k| left.axes[k][i] * right.axes[k][j]).sum() };
            assert!((turn(2, 1) - turn(1, 2)).abs() < against.powi(2));
            let about_y = 0.5 * (turn(0, 2) - turn(2, 0));
            let [l, r] = [against, -against].map(|a| beam.turn_about_bush_line([together, a]));
            // what the tilt of the roll axis out of the bush line adds is of third order
            assert!((about_y.asin() - (l - r)).abs() < 0.1 * against.abs().powi(3), "{about_y} {}", l - r);
        }
    }

    #[test]
    fn law_turn_about_the_bush_line_is_the_twist_of_the_arm() {
        // Removing the turn leaves a rotation about an axis square to the bush line: its matrix is symmetric in x and z.
        let beam = beam();
        for turns in [[0.1, 0.08], [-0.15, 0.12], [0.2, -0.1]] {
            let arm = beam.arm(turns);
            let back = |v: Point| rotate(v, LEFT, -beam.turn_about_bush_line(turns));
            let [x, z] = [[1.0, 0.0, 0.0], [0.0, 0.0, 1.0]];
            let swing = |v: Point| arm.turned(back(v));
            assert!((dot(swing(x), z) - dot(swing(z), x)).abs() < 1e-15);
        }
    }
}
