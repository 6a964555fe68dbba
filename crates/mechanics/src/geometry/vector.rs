//! Vectors of three components.

use super::Scalar;

/// Three components along x, y and z.
pub type Vector<D> = [D; 3];

/// A constant vector among vectors that carry derivatives.
#[inline]
pub fn constant<D: Scalar>(v: Vector<f64>) -> Vector<D> {
    v.map(D::from)
}

/// a + b.
#[inline]
pub fn add<D: Scalar>(a: Vector<D>, b: Vector<D>) -> Vector<D> {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

/// a - b.
#[inline]
pub fn sub<D: Scalar>(a: Vector<D>, b: Vector<D>) -> Vector<D> {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

/// v times a number.
#[inline]
pub fn scale<D: Scalar>(v: Vector<D>, factor: D) -> Vector<D> {
    v.map(|component| component * factor)
}

/// Scalar product.
#[inline]
pub fn dot<D: Scalar>(a: Vector<D>, b: Vector<D>) -> D {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// Vector product.
#[inline]
pub fn cross<D: Scalar>(a: Vector<D>, b: Vector<D>) -> Vector<D> {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

/// Length.
#[inline]
pub fn norm<D: Scalar>(v: Vector<D>) -> D {
    dot(v, v).sqrt()
}

/// Direction of `v`; not a number in every component when `v` has no length.
#[inline]
pub fn unit<D: Scalar>(v: Vector<D>) -> Vector<D> {
    scale(v, norm(v).recip())
}

/// `v` turned by `angle` about the unit vector `axis`, right-handed.
#[inline]
pub fn rotate<D: Scalar>(v: Vector<f64>, axis: Vector<f64>, angle: D) -> Vector<D> {
    let (sin, cos) = angle.sin_cos();
    turn(v, axis, [cos, sin])
}

/// `v` turned about the unit vector `axis`, right-handed, by the angle of this cosine and sine (Rodrigues' formula).
#[inline]
pub fn turn<D: Scalar>(v: Vector<f64>, axis: Vector<f64>, [cos, sin]: [D; 2]) -> Vector<D> {
    let along = scale(axis, dot(axis, v));
    let across = sub(v, along);
    let ahead = cross(axis, v);
    [0, 1, 2].map(|k| cos * across[k] + sin * ahead[k] + along[k])
}

/// Sum of three directions with these weights.
#[inline]
pub fn combine<D: Scalar>(directions: &[Vector<D>; 3], weights: [f64; 3]) -> Vector<D> {
    let [first, second, third] = directions;
    [0, 1, 2].map(|k| first[k] * weights[0] + second[k] * weights[1] + third[k] * weights[2])
}

/// Square root of a positive number; `None` of anything else.
#[inline]
pub fn positive_root<D: Scalar>(square: D) -> Option<D> {
    if square.value() > 0.0 { Some(square.sqrt()) } else { None }
}

/// Cosine and sine of the angle x that solves `a cos x + b sin x = c`; `None` when there is none.
///
/// Of the two solutions the one on which the left side rises with x is taken for `branch` 1, the one on which
/// it falls for `branch` -1.
#[inline]
pub fn circle_angle<D: Scalar>(a: D, b: D, c: D, branch: f64) -> Option<(D, D)> {
    let radius_squared = a * a + b * b;
    let rise = positive_root(radius_squared - c * c)? * branch;
    let per_radius_squared = radius_squared.recip();
    Some(((a * c + b * rise) * per_radius_squared, (b * c - a * rise) * per_radius_squared))
}

/// Angle of the direction (x, y) from the x-axis, with derivatives up to the second.
///
/// With x₀, y₀ the values of x and y, the angle is that of (x₀, y₀) plus arctan t, `t = (y x₀ - x y₀)/(x x₀ + y y₀)`;
/// t vanishes, so that arctan t is t but for terms of third order.
#[inline]
pub fn direction_angle<D: Scalar>(y: D, x: D) -> D {
    let (x0, y0) = (x.value(), y.value());
    (y * x0 - x * y0) / (x * x0 + y * y0) + y0.atan2(x0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curve::Local;

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
    #[test]
    fn law_direction_angle_gives_back_the_angle_and_its_derivatives() {
        for angle_rad in [-3.0f64, -1.0, 0.0, 0.4, 2.0] {
            let x = Local::variable(angle_rad);
            let (sin, cos) = (x * x * 0.1 + x).sin_cos();
            let got = direction_angle(sin * 3.0, cos * 3.0);
            let turns = (got.value - angle_rad - 0.1 * angle_rad * angle_rad) / std::f64::consts::TAU;
            assert!((turns - turns.round()).abs() < 1e-15);
            assert!((got.slope - 1.0 - 0.2 * angle_rad).abs() < 1e-15);
            assert!((got.curvature - 0.2).abs() < 1e-14);
        }
    }
}
