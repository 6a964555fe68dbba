//! Pose of a rigid beam, and its mirror image.

use super::Point;
use crate::geometry::vector::{Vector, add, cross, norm, scale, sub};

/// A rigid body moved from its design position.
#[derive(Debug, Clone, Copy)]
pub(super) struct RigidPose {
    /// Where the body's x, y and z axes of the design position point now.
    pub(super) axes: [Vector<f64>; 3],
    /// A point of the body at design.
    pub(super) from: Point,
    /// Where it is now.
    pub(super) to: Point,
}

impl RigidPose {
    /// A direction fixed in the body, given at design.
    pub(super) fn turned(&self, design: Vector<f64>) -> Vector<f64> {
        let [x, y, z] = self.axes;
        add(add(scale(x, design[0]), scale(y, design[1])), scale(z, design[2]))
    }

    /// A point fixed in the body, given at design.
    pub(super) fn placed(&self, design_m: Point) -> Point {
        add(self.to, self.turned(sub(design_m, self.from)))
    }

    /// The pose as it looks in a mirror standing in the centre plane: a right beam end described as a left one.
    pub(super) fn mirrored(&self) -> Self {
        let [x, y, z] = self.axes;
        Self {
            axes: [mirrored(x), scale(mirrored(y), -1.0), mirrored(z)],
            from: mirrored(self.from),
            to: mirrored(self.to),
        }
    }

    /// A beam that points along `left` (a unit vector, the direction of its y axis) and is pitched by `pitch_rad` about
    /// it, front up positive.
    pub(super) fn of_beam(left: Vector<f64>, pitch_rad: f64, from: Point, to: Point) -> Self {
        let level = cross(left, [0.0, 0.0, 1.0]);
        let forward = scale(level, 1.0 / norm(level));
        let up = cross(forward, left);
        let (sin, cos) = pitch_rad.sin_cos();
        let x = add(scale(forward, cos), scale(up, sin));
        Self { axes: [x, left, cross(x, left)], from, to }
    }
}

fn mirrored([x, y, z]: Vector<f64>) -> Vector<f64> {
    [x, -y, z]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::vector::dot;

    #[test]
    fn law_mirror_twice_is_the_pose_and_axes_stay_square() {
        let left = scale([0.1, 1.0, -0.2], 1.0 / norm([0.1, 1.0, -0.2]));
        let pose = RigidPose::of_beam(left, 0.1, [0.0, 0.0, 0.3], [0.01, 0.02, 0.35]);
        for (a, b) in [(0, 1), (0, 2), (1, 2)] {
            assert!(dot(pose.axes[a], pose.axes[b]).abs() < 1e-15);
        }
        let back = pose.mirrored().mirrored();
        let point = [0.1, 0.8, 0.2];
        assert!(norm(sub(pose.placed(point), back.placed(point))) < 1e-15);
        // the mirror image of a placed point is the mirrored pose's placing of the mirrored point
        let seen = mirrored(pose.placed(point));
        assert!(norm(sub(seen, pose.mirrored().placed(mirrored(point)))) < 1e-15);
    }
}
