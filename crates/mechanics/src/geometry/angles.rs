//! Camber, toe, caster and kingpin inclination of a left wheel, rad.
//!
//! Signs as the workshop reads them off an alignment rig (ISO 8855 for the planes of projection): camber positive
//! with the top leaning out, toe positive for toe-in, caster positive with the steering axis leaning back at its
//! top, kingpin inclination positive with it leaning in at its top.

use super::Scalar;
use super::vector::{Vector, direction_angle};

/// Camber from the unit spin axis pointing outboard.
#[inline]
pub fn camber<D: Scalar>(spin_axis: Vector<D>) -> D {
    -spin_axis[2].asin()
}

/// Toe from the spin axis pointing outboard.
#[inline]
pub fn toe<D: Scalar>(spin_axis: Vector<D>) -> D {
    direction_angle(spin_axis[0], spin_axis[1])
}

/// Caster of an axis pointing upwards: its lean in the xz plane.
#[inline]
pub fn caster<D: Scalar>(axis: Vector<D>) -> D {
    direction_angle(-axis[0], axis[2])
}

/// Kingpin inclination of an axis pointing upwards: its lean in the yz plane.
#[inline]
pub fn kingpin_inclination<D: Scalar>(axis: Vector<D>) -> D {
    direction_angle(-axis[1], axis[2])
}

/// The unit spin axis, pointing outboard, of a wheel with this camber and toe.
pub fn spin_axis(camber_rad: f64, toe_rad: f64) -> Vector<f64> {
    let (sin_camber, cos_camber) = camber_rad.sin_cos();
    let (sin_toe, cos_toe) = toe_rad.sin_cos();
    [cos_camber * sin_toe, cos_camber * cos_toe, -sin_camber]
}

/// Direction in the wheel plane from the wheel centre down to the lowest point of the tyre.
#[inline]
pub fn towards_contact<D: Scalar>(spin_axis: Vector<D>) -> Vector<D> {
    let [x, y, z] = spin_axis;
    let level = (x * x + y * y).sqrt();
    [z * x / level, z * y / level, -level]
}

#[cfg(test)]
mod tests {
    use super::super::vector::{dot, norm};
    use super::*;

    #[test]
    fn law_spin_axis_gives_back_its_camber_and_toe() {
        let axis = spin_axis(-0.03, 0.004);
        assert!((camber(axis) + 0.03).abs() < 1e-15);
        assert!((toe(axis) - 0.004).abs() < 1e-15);
        let down = towards_contact(axis);
        assert!(dot(axis, down).abs() < 1e-15);
        assert!((norm(down) - 1.0).abs() < 1e-15);
    }
}
