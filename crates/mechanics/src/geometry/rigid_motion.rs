//! A rigid body moving with one variable.
//!
//! Where a body stands costs square roots; how it moves does not: every point of it follows from one turn and one
//! point, `p' = o' + ω × r`, `p'' = o'' + ω' × r + ω × (ω × r)` (any text on kinematics; K. Magnus and H. H. Müller,
//! Grundlagen der Technischen Mechanik).

use super::vector::{Vector, add, combine, cross};
use crate::curve::Local;

/// Place of a rigid body with its first and second derivative by the variable it moves with.
#[derive(Debug, Clone, Copy)]
pub struct RigidMotion {
    /// A point of the body, m.
    pub origin_m: Vector<f64>,
    /// First derivative of that point.
    pub velocity: Vector<f64>,
    /// Second derivative of that point.
    pub acceleration: Vector<f64>,
    /// Directions fixed in the body.
    pub frame: [Vector<f64>; 3],
    /// Turn ω of the body per unit of the variable.
    pub spin: Vector<f64>,
    /// Derivative of the turn.
    pub spin_growth: Vector<f64>,
}

impl RigidMotion {
    /// A direction fixed in the body, given by its components in the frame.
    #[inline]
    pub fn direction(&self, components: [f64; 3]) -> Vector<Local> {
        let at = combine(&self.frame, components);
        let first = cross(self.spin, at);
        let second = add(cross(self.spin_growth, at), cross(self.spin, first));
        [0, 1, 2].map(|k| Local { value: at[k], slope: first[k], curvature: second[k] })
    }

    /// A point of the body, given by its components in the frame from the origin.
    #[inline]
    pub fn point(&self, components_m: [f64; 3]) -> Vector<Local> {
        add(self.origin(), self.direction(components_m))
    }

    /// The origin.
    #[inline]
    pub fn origin(&self) -> Vector<Local> {
        [0, 1, 2].map(|k| Local {
            value: self.origin_m[k],
            slope: self.velocity[k],
            curvature: self.acceleration[k],
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::vector::rotate;
    use super::*;

    #[test]
    fn law_points_of_a_turning_body_move_as_the_dual_numbers_of_the_rotation_say() {
        let axis = [0.6, 0.0, 0.8];
        // turned by x², at x = 0.7: spin 2x, its growth 2
        let angle = Local::variable(0.7) * Local::variable(0.7);
        let point = [0.3, -0.2, 0.5];
        let expected = rotate(point, axis, angle);
        let frame = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]].map(|e| rotate(e, axis, 0.49));
        let still = [0.0; 3];
        let body = RigidMotion {
            origin_m: still,
            velocity: still,
            acceleration: still,
            frame,
            spin: axis.map(|a| 1.4 * a),
            spin_growth: axis.map(|a| 2.0 * a),
        };
        for (got, want) in body.point(point).into_iter().zip(expected) {
            assert!((got.value - want.value).abs() < 1e-15);
            assert!((got.slope - want.slope).abs() < 1e-15);
            assert!((got.curvature - want.curvature).abs() < 4e-15);
        }
    }
}
