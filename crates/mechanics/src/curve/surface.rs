//! Smooth function of two variables on a square, as a double Chebyshev series.

use super::Local;

/// Value of a function of two variables with its first and second partial derivatives.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Local2 {
    /// The value.
    pub value: f64,
    /// Derivatives by the first and the second variable.
    pub first: [f64; 2],
    /// Second derivatives: twice by the first, by both, twice by the second variable.
    pub second: [f64; 3],
}

impl Local2 {
    /// A function of the first variable alone.
    pub fn of_first(local: Local) -> Self {
        Self { value: local.value, first: [local.slope, 0.0], second: [local.curvature, 0.0, 0.0] }
    }

    /// The function multiplied by a constant.
    #[must_use]
    pub fn times(&self, factor: f64) -> Self {
        Self {
            value: factor * self.value,
            first: self.first.map(|slope| factor * slope),
            second: self.second.map(|curvature| factor * curvature),
        }
    }

    /// The function with a constant added.
    #[must_use]
    pub fn plus(&self, constant: f64) -> Self {
        Self { value: self.value + constant, ..*self }
    }

    /// As a function of how far one goes along `direction`, both variables growing by their share.
    pub fn along(&self, [a, b]: [f64; 2]) -> Local {
        let [aa, ab, bb] = self.second;
        Local {
            value: self.value,
            slope: a * self.first[0] + b * self.first[1],
            curvature: a * a * aa + 2.0 * a * b * ab + b * b * bb,
        }
    }
}

/// Σ c_jk T_j(u) T_k(v) on a square, T the Chebyshev polynomials and u, v the variables brought to [-1, 1].
///
/// The coefficients come from the values at the Chebyshev points by the discrete cosine sums; for an analytic
/// function they fall geometrically, so few are needed (L. N. Trefethen, Approximation Theory and Approximation
/// Practice, ch. 3 and 8). Outside the square the function continues straight from its nearest edge point.
#[derive(Debug, Clone, PartialEq)]
pub struct Surface {
    low: f64,
    high: f64,
    /// Row j holds c_j0 ... c_jn.
    coefficients: Vec<Vec<f64>>,
    /// Length of the longest row.
    longest: usize,
}

impl Surface {
    /// Points along each variable.
    pub const POINTS: usize = 18;

    /// Abscissae of the [`Surface::POINTS`] Chebyshev points (of the first kind) on [low, high], falling.
    pub fn nodes(low: f64, high: f64) -> [f64; Self::POINTS] {
        std::array::from_fn(|k| 0.5 * (low + high) + 0.5 * (high - low) * node_angle(k, Self::POINTS).cos())
    }

    /// Surface through `values[j][k]` at the points `(nodes[j], nodes[k])` of [`Surface::nodes`].
    pub fn through(low: f64, high: f64, values: &[Vec<f64>]) -> Self {
        let points = values.len();
        let cosines = cosines();
        let along_second: Vec<Vec<f64>> = values.iter().map(|row| cosine_sums(row, &cosines)).collect();
        let columns: Vec<Vec<f64>> = (0..points)
            .map(|k| cosine_sums(&along_second.iter().map(|row| row[k]).collect::<Vec<f64>>(), &cosines))
            .collect();
        let coefficients =
            (0..points).map(|j| (0..points).map(|k| columns[k][j]).collect()).collect::<Vec<Vec<f64>>>();
        let coefficients = trimmed(coefficients);
        let longest = coefficients.iter().map(Vec::len).max().unwrap_or(0);
        Self { low, high, coefficients, longest }
    }

    /// Value and derivatives at (a, b).
    pub fn at(&self, a: f64, b: f64) -> Local2 {
        let (inside_a, inside_b) = (a.clamp(self.low, self.high), b.clamp(self.low, self.high));
        let inside = self.inside(inside_a, inside_b);
        let (beyond_a, beyond_b) = (a - inside_a, b - inside_b);
        if beyond_a == 0.0 && beyond_b == 0.0 {
            return inside;
        }
        straight(&inside, beyond_a, beyond_b)
    }

    /// The value alone at (a, b).
    pub fn value_at(&self, a: f64, b: f64) -> f64 {
        let is_inside = |x: f64| self.low <= x && x <= self.high;
        if !(is_inside(a) && is_inside(b)) {
            return self.at(a, b).value;
        }
        let over_a = polynomials(self.unit(a), self.coefficients.len());
        let over_b = polynomials(self.unit(b), self.longest);
        let along_b = |row: &Vec<f64>| row.iter().zip(&over_b).map(|(c, t)| c * t).sum::<f64>();
        self.coefficients.iter().zip(&over_a).map(|(row, t)| t * along_b(row)).sum()
    }

    /// A variable brought to [-1, 1].
    fn unit(&self, x: f64) -> f64 {
        (x - self.low) * 2.0 / (self.high - self.low) - 1.0
    }

    fn inside(&self, a: f64, b: f64) -> Local2 {
        let scale = 2.0 / (self.high - self.low);
        let [by_value, by_slope, by_curvature] = pulp::Arch::new().dispatch(Series {
            rows: &self.coefficients,
            longest: self.longest,
            at: [self.unit(a), self.unit(b)],
        });
        Local2 {
            value: by_value[0],
            first: [by_slope[0], by_value[1]].map(|slope| slope * scale),
            second: [by_curvature[0], by_slope[1], by_value[2]].map(|curvature| curvature * scale * scale),
        }
    }
}

/// A double series in the widest vectors the machine has: value, slope and curvature along the second variable side by side.
struct Series<'a> {
    rows: &'a [Vec<f64>],
    longest: usize,
    at: [f64; 2],
}

impl pulp::WithSimd for Series<'_> {
    /// Along the second variable, of the value, the slope and the curvature along the first.
    type Output = [[f64; 3]; 3];

    #[inline(always)]
    fn with_simd<S: pulp::Simd>(self, _simd: S) -> Self::Output {
        let rows = &self.rows[..self.rows.len().min(Surface::POINTS)];
        let (over_a, over_b) = (chebyshev(self.at[0], rows.len()), chebyshev(self.at[1], self.longest));
        let mut sums = [[0.0; 4]; 3];
        for j in 0..rows.len() {
            let row = &rows[j][..rows[j].len().min(Surface::POINTS)];
            let mut along_b = [0.0; 4];
            for k in 0..row.len() {
                for l in 0..4 {
                    along_b[l] += row[k] * over_b[k][l];
                }
            }
            for k in 0..3 {
                for l in 0..4 {
                    sums[k][l] += over_a[j][k] * along_b[l];
                }
            }
        }
        let [[v0, v1, v2, _], [s0, s1, s2, _], [c0, c1, c2, _]] = sums;
        [[v0, v1, v2], [s0, s1, s2], [c0, c1, c2]]
    }
}

/// Continuation by the tangent plane of the nearest edge point; the second derivatives along the edge are kept, those
/// across it are zero (a third derivative is left out, which only a solver's step would feel).
fn straight(edge: &Local2, beyond_a: f64, beyond_b: f64) -> Local2 {
    let [aa, ab, bb] = edge.second;
    let mut local = Local2 {
        value: edge.value + edge.first[0] * beyond_a + edge.first[1] * beyond_b,
        first: edge.first,
        second: [0.0; 3],
    };
    if beyond_b == 0.0 {
        local.first[1] += ab * beyond_a;
        local.second = [0.0, ab, bb];
    } else if beyond_a == 0.0 {
        local.first[0] += ab * beyond_b;
        local.second = [aa, ab, 0.0];
    }
    local
}

fn node_angle(k: usize, points: usize) -> f64 {
    std::f64::consts::PI * (k as f64 + 0.5) / points as f64
}

/// T_j at the Chebyshev points k, scaled so that the sum of values times it is the coefficient c_j.
fn cosines() -> [[f64; Surface::POINTS]; Surface::POINTS] {
    std::array::from_fn(|j| {
        let scale = if j == 0 { 1.0 } else { 2.0 } / Surface::POINTS as f64;
        std::array::from_fn(|k| scale * (j as f64 * node_angle(k, Surface::POINTS)).cos())
    })
}

/// Chebyshev coefficients of the values at the Chebyshev points.
fn cosine_sums(values: &[f64], cosines: &[[f64; Surface::POINTS]; Surface::POINTS]) -> Vec<f64> {
    cosines.iter().map(|row| row.iter().zip(values).map(|(cosine, value)| cosine * value).sum()).collect()
}

/// Coefficients below this share of the largest change no value that anybody could measure and are dropped from the end
/// of a row, and rows that are left empty from the end of all: a hundred of them on a length of a metre are 1e-9 m.
const NEGLIGIBLE: f64 = 1e-11;

fn trimmed(mut coefficients: Vec<Vec<f64>>) -> Vec<Vec<f64>> {
    let largest = coefficients.iter().flatten().fold(0.0, |most: f64, c| most.max(c.abs()));
    for row in &mut coefficients {
        while row.last().is_some_and(|c| c.abs() <= NEGLIGIBLE * largest) {
            row.pop();
        }
    }
    while coefficients.last().is_some_and(Vec::is_empty) {
        coefficients.pop();
    }
    coefficients
}

/// The first `count` of T_k(x).
fn polynomials(x: f64, count: usize) -> [f64; Surface::POINTS] {
    let mut basis = [0.0; Surface::POINTS];
    (basis[0], basis[1]) = (1.0, x);
    for k in 2..count.min(Surface::POINTS) {
        basis[k] = 2.0 * x * basis[k - 1] - basis[k - 2];
    }
    basis
}

/// The first `count` of T_k(x), each with its first and second derivative, by the three-term recurrence.
#[inline(always)]
fn chebyshev(x: f64, count: usize) -> [[f64; 4]; Surface::POINTS] {
    let mut basis = [[0.0; 4]; Surface::POINTS];
    (basis[0], basis[1]) = ([1.0, 0.0, 0.0, 0.0], [x, 1.0, 0.0, 0.0]);
    for k in 2..count.min(Surface::POINTS) {
        let ([t1, d1, c1, _], [t0, d0, c0, _]) = (basis[k - 1], basis[k - 2]);
        basis[k] = [2.0 * x * t1 - t0, 2.0 * (t1 + x * d1) - d0, 2.0 * (2.0 * d1 + x * c1) - c0, 0.0];
    }
    basis
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn sampled(f: impl Fn(f64, f64) -> f64) -> Surface {
        let nodes = Surface::nodes(-0.2, 0.2);
        let values: Vec<Vec<f64>> = nodes.iter().map(|&a| nodes.iter().map(|&b| f(a, b)).collect()).collect();
        Surface::through(-0.2, 0.2, &values)
    }

    proptest! {
        #[test]
        fn law_surface_reproduces_an_arc_and_its_derivatives(a in -0.2f64..0.2, b in -0.2f64..0.2) {
            // height of a point on an arm of 0.45 m turned by both variables
            let f = |a: f64, b: f64| (0.45f64.powi(2) - (0.7 * a + 0.3 * b).powi(2)).sqrt() + 0.1 * a * b;
            let got = sampled(f).at(a, b);
            let s = 0.7 * a + 0.3 * b;
            let root = (0.45f64.powi(2) - s * s).sqrt();
            let (d, dd) = (-s / root, -(0.45f64 / root).powi(2) / root);
            prop_assert!((got.value - f(a, b)).abs() < 1e-10);
            prop_assert!((got.first[0] - (0.7 * d + 0.1 * b)).abs() < 1e-8);
            prop_assert!((got.first[1] - (0.3 * d + 0.1 * a)).abs() < 1e-8);
            prop_assert!((got.second[0] - 0.49 * dd).abs() < 1e-5);
            prop_assert!((got.second[1] - (0.21 * dd + 0.1)).abs() < 1e-5);
            prop_assert!((got.second[2] - 0.09 * dd).abs() < 1e-5);
        }

        #[test]
        fn law_surface_continues_smoothly_and_its_slopes_are_those_of_its_value(
            a in -0.3f64..0.3, b in -0.3f64..0.3,
        ) {
            let edge = |x: f64| (x.abs() - 0.2).abs() < 1e-5;
            prop_assume!(!edge(a) && !edge(b));
            let surface = sampled(|a, b| (3.0 * a).sin() * (2.0 * b).cos() + a * a);
            let h = 1e-6;
            let got = surface.at(a, b);
            let by_a = (surface.at(a + h, b).value - surface.at(a - h, b).value) / (2.0 * h);
            let by_b = (surface.at(a, b + h).value - surface.at(a, b - h).value) / (2.0 * h);
            prop_assert!((got.value - surface.value_at(a, b)).abs() < 1e-14);
            prop_assert!((got.first[0] - by_a).abs() < 1e-7);
            prop_assert!((got.first[1] - by_b).abs() < 1e-7);
        }
    }
}
