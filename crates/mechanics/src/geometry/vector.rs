//! Vectors of three components.

use super::Scalar;

/// Three components along x, y and z.
pub type Vector<D> = [D; 3];

/// A constant vector among vectors that carry derivatives.
pub fn constant<D: Scalar>(v: Vector<f64>) -> Vector<D> {
    v.map(D::from)
}

/// a + b.
pub fn add<D: Scalar>(a: Vector<D>, b: Vector<D>) -> Vector<D> {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

/// a - b.
pub fn sub<D: Scalar>(a: Vector<D>, b: Vector<D>) -> Vector<D> {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

/// v times a number.
pub fn scale<D: Scalar>(v: Vector<D>, factor: D) -> Vector<D> {
    v.map(|component| component * factor)
}

/// Scalar product.
pub fn dot<D: Scalar>(a: Vector<D>, b: Vector<D>) -> D {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// Vector product.
pub fn cross<D: Scalar>(a: Vector<D>, b: Vector<D>) -> Vector<D> {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

/// Length.
pub fn norm<D: Scalar>(v: Vector<D>) -> D {
    dot(v, v).sqrt()
}

/// Direction of `v`; not a number in every component when `v` has no length.
pub fn unit<D: Scalar>(v: Vector<D>) -> Vector<D> {
    scale(v, norm(v).recip())
}

/// `v` turned by `angle` about the unit vector `axis`, right-handed (Rodrigues' formula).
pub fn rotate<D: Scalar>(v: Vector<f64>, axis: Vector<f64>, angle: D) -> Vector<D> {
    let (sin, cos) = angle.sin_cos();
    let along = scale(axis, dot(axis, v));
    let across = sub(v, along);
    let ahead = cross(axis, v);
    [0, 1, 2].map(|k| cos * across[k] + sin * ahead[k] + along[k])
}

/// Sum of three directions with these weights.
pub fn combine<D: Scalar>(directions: &[Vector<D>; 3], weights: [f64; 3]) -> Vector<D> {
    let [first, second, third] = directions;
    [0, 1, 2].map(|k| first[k] * weights[0] + second[k] * weights[1] + third[k] * weights[2])
}

/// Square root of a positive number; `None` of anything else.
pub fn positive_root<D: Scalar>(square: D) -> Option<D> {
    if square.re() > 0.0 { Some(square.sqrt()) } else { None }
}

/// Cosine and sine of the angle x that solves `a cos x + b sin x = c`; `None` when there is none.
///
/// Of the two solutions the one on which the left side rises with x is taken for `branch` 1, the one on which
/// it falls for `branch` -1.
pub fn circle_angle<D: Scalar>(a: D, b: D, c: D, branch: f64) -> Option<(D, D)> {
    let radius_squared = a * a + b * b;
    let rise = positive_root(radius_squared - c * c)? * branch;
    Some(((a * c + b * rise) / radius_squared, (b * c - a * rise) / radius_squared))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_rotation_keeps_length_and_turns_right_handed() {
        let quarter = std::f64::consts::FRAC_PI_2;
        let turned = rotate([1.0, 0.0, 2.0], [0.0, 0.0, 1.0], quarter);
        assert!(norm(sub(turned, [0.0, 1.0, 2.0])) < 1e-15);
    }

    #[test]
    fn law_circle_angle_solves_its_equation_on_the_branch_asked_for() {
        for branch in [1.0, -1.0] {
            let (cos, sin) = circle_angle(0.3f64, -0.7, 0.2, branch).unwrap();
            assert!((0.3 * cos - 0.7 * sin - 0.2).abs() < 1e-15);
            assert!((cos * cos + sin * sin - 1.0).abs() < 1e-15);
            assert!((-0.3 * sin - 0.7 * cos) * branch > 0.0);
        }
        assert_eq!(circle_angle(0.3, 0.4, 0.6, 1.0), None);
        assert_eq!(circle_angle(0.3, 0.4, f64::NAN, 1.0), None);
    }
}
