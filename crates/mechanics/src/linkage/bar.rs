//! The anti-roll bar arm and its drop link.

use super::hardpoints::{BarHardpoints, HardpointError, check_apart, check_length, check_points};
use super::reach::LockReason;
use crate::geometry::Scalar;
use crate::geometry::vector::{circle_angle, constant, direction_angle, dot, norm, sub};

/// A bar arm that turns about its transverse axis, held by a drop link of fixed length.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Bar {
    hardpoints: BarHardpoints,
    /// 1 for an arm that points forward from the bar, -1 for one that points back: makes the bar angle positive
    /// where the arm end rises.
    sense: f64,
    /// Arm end from the bar axis in the design position.
    arm_m: [f64; 3],
    link_length_m: f64,
    branch: f64,
}

/// Bar angle from design and the angle between drop link and bar arm, rad.
#[derive(Debug, Clone, Copy)]
pub(super) struct BarPose<D> {
    pub(super) bar_angle_rad: D,
    pub(super) drop_link_angle_rad: D,
}

impl Bar {
    pub(super) fn new(hardpoints: BarHardpoints) -> Result<Self, HardpointError> {
        let BarHardpoints { bar_axis_m, bar_arm_end_m, link_lower_m, drop_link_length_m } = hardpoints;
        check_points(&[
            ("bar_axis", bar_axis_m),
            ("bar_arm_end", bar_arm_end_m),
            ("link_lower", link_lower_m),
        ])?;
        check_apart(("bar_arm_end", bar_arm_end_m), ("link_lower", link_lower_m))?;
        let in_plane_of_arm = [bar_axis_m[0], bar_arm_end_m[1], bar_axis_m[2]];
        check_apart(("bar_axis", in_plane_of_arm), ("bar_arm_end", bar_arm_end_m))?;
        let link_length_m = drop_link_length_m.unwrap_or_else(|| norm(sub(bar_arm_end_m, link_lower_m)));
        check_length("drop_link_length", link_length_m)?;
        let arm_m = sub(bar_arm_end_m, bar_axis_m);
        let sense = if arm_m[0] < 0.0 { -1.0 } else { 1.0 };
        let mut bar = Self { hardpoints, sense, arm_m, link_length_m, branch: 1.0 };
        let [_, leverage_m2, _] = bar.circle(link_lower_m);
        if leverage_m2.abs() < 1e-6 {
            return Err(HardpointError::NoLeverage { rod: "drop link" });
        }
        bar.branch = leverage_m2.signum();
        Ok(bar)
    }

    pub(super) fn link_lower_m(&self) -> [f64; 3] {
        self.hardpoints.link_lower_m
    }

    /// Coefficients a, b, c of `a cos(bar angle) + b sin(bar angle) = c`: the condition that the drop link keeps its
    /// length.
    fn circle<D: Scalar>(&self, link_lower: [D; 3]) -> [D; 3] {
        let lower = sub(link_lower, constant(self.hardpoints.bar_axis_m));
        let [x, y, z] = self.arm_m;
        let along = lower[0] * x + lower[2] * z;
        let ahead = (lower[2] * x - lower[0] * z) * self.sense;
        let fixed = dot(self.arm_m, self.arm_m) - self.link_length_m * self.link_length_m;
        [along, ahead, (dot(lower, lower) + fixed) * 0.5 - lower[1] * y]
    }

    pub(super) fn pose<D: Scalar>(&self, link_lower: [D; 3]) -> Result<BarPose<D>, LockReason> {
        let [a, b, c] = self.circle(link_lower);
        let (cos, sin) = circle_angle(a, b, c, self.branch).ok_or(LockReason::DropLinkCannotSpan)?;
        let [x, y, z] = self.arm_m;
        let rise = sin * self.sense;
        let arm = [cos * x - rise * z, D::from(y), cos * z + rise * x];
        let link = sub(sub(link_lower, constant(self.hardpoints.bar_axis_m)), arm);
        let to_bar = [-arm[0], D::from(0.0), -arm[2]];
        let drop_link_angle_rad = (dot(link, to_bar) / (norm(link) * norm(to_bar))).acos();
        Ok(BarPose { bar_angle_rad: direction_angle(sin, cos), drop_link_angle_rad })
    }
}
