//! Cubic spline with continuous second derivative on equally spaced knots.

use super::Local;
use crate::lanes::Lanes;

/// A twice continuously differentiable cubic spline through equally spaced knots, its end slopes prescribed.
///
/// Outside its knots it continues as the straight line of its end slope, so that a solver which strays
/// beyond the tabulated travel is led back instead of being thrown out.
///
/// Error between the knots of a smooth function f: at most `5/384 h⁴ max|f⁗|`
/// (C. A. Hall and W. W. Meyer, J. Approx. Theory 16, 1976).
#[derive(Debug, Clone, PartialEq)]
pub struct Spline {
    first_knot: f64,
    spacing: f64,
    /// Value and slope at each knot.
    knots: Vec<[f64; 2]>,
}

impl Spline {
    /// Spline through `values` at `first_knot + k * spacing`, with the given slopes at both ends.
    ///
    /// `values` has at least two entries and `spacing > 0`; with fewer entries the spline is the constant
    /// of its only value (zero when there is none).
    pub fn clamped(
        first_knot: f64,
        spacing: f64,
        values: Vec<f64>,
        first_slope: f64,
        last_slope: f64,
    ) -> Self {
        let knot_count = values.len();
        let mut slopes = vec![0.0; knot_count];
        if knot_count >= 2 {
            slopes[0] = first_slope;
            slopes[knot_count - 1] = last_slope;
            solve_inner_slopes(&values, spacing, &mut slopes);
        }
        Self { first_knot, spacing, knots: values.into_iter().zip(slopes).map(|(v, s)| [v, s]).collect() }
    }

    /// First and last knot.
    pub fn domain(&self) -> (f64, f64) {
        (self.first_knot, self.first_knot + self.spacing * self.knots.len().saturating_sub(1) as f64)
    }

    /// The value that a spline of fewer than two knots has everywhere.
    pub(crate) fn constant(&self) -> Option<f64> {
        match self.knots.as_slice() {
            [] => Some(0.0),
            [[value, _]] => Some(*value),
            _ => None,
        }
    }

    /// Value, slope and curvature at `x`.
    pub fn at(&self, x: f64) -> Local {
        if let Some(value) = self.constant() {
            return Local { value, slope: 0.0, curvature: 0.0 };
        }
        let [Lanes([value]), Lanes([slope]), Lanes([curvature])] = Splines::of([self]).at(Lanes([x]));
        Local { value, slope, curvature }
    }
}

/// 1.5 × 2⁵²: added to a smaller number, it rounds that to a whole one.
const LARGE: f64 = 6_755_399_441_055_744.0;

/// The splines of `N` cases side by side, none of which is constant.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Splines<'a, const N: usize> {
    first_knot: Lanes<N>,
    spacing: Lanes<N>,
    per_spacing: Lanes<N>,
    /// Number of the last cell between knots.
    last_cell: Lanes<N>,
    knots: [&'a [[f64; 2]]; N],
}

impl<'a, const N: usize> Splines<'a, N> {
    #[inline(always)]
    pub(crate) fn of(splines: [&'a Spline; N]) -> Self {
        let spacing = Lanes::of(splines, |spline| spline.spacing);
        let mut knots: [&[[f64; 2]]; N] = [&[]; N];
        for i in 0..N {
            knots[i] = &splines[i].knots;
        }
        Self {
            first_knot: Lanes::of(splines, |spline| spline.first_knot),
            spacing,
            per_spacing: Lanes::splat(1.0) / spacing,
            last_cell: Lanes::of(splines, |spline| spline.knots.len() as f64 - 2.0),
            knots,
        }
    }

    /// Value, slope and curvature of each at its own abscissa.
    #[inline(always)]
    pub(crate) fn at(&self, x: Lanes<N>) -> [Lanes<N>; 3] {
        let from_first = x - self.first_knot;
        let (first, last) = (Lanes::splat(0.0), self.last_cell + Lanes::splat(1.0));
        let unbounded = from_first * self.per_spacing;
        // not a number goes to knot 0 here and comes back with what is beyond the knots
        let position = unbounded.max(first).min(last);
        // at a knot either cell will do; a number this large has its whole part in its last bits
        let shifted = (position - Lanes::splat(0.5)).min(self.last_cell) + Lanes::splat(LARGE);
        let t = position - (shifted - Lanes::splat(LARGE));
        let beyond = from_first - position * self.spacing;
        let mut ends = [[[0.0; 2]; 2]; N];
        for i in 0..N {
            let k = shifted.0[i].to_bits() as u32 as usize;
            // always there; leaving here keeps what follows free of branches, and with it in vectors
            let Some([from, to]) = self.knots[i].get(k..k + 2) else { return [Lanes::splat(f64::NAN); 3] };
            ends[i] = [*from, *to];
        }
        let [mut v0, mut s0, mut v1, mut s1] = [first; 4];
        for i in 0..N {
            [[v0.0[i], s0.0[i]], [v1.0[i], s1.0[i]]] = ends[i];
        }
        // Hermite form in the cell: v = v0 + h (s0 t + b t² + a t³)
        let chord = (v1 - v0) * self.per_spacing;
        let a = s0 + s1 - chord * 2.0;
        let b = chord * 3.0 - s0 * 2.0 - s1;
        let value = v0 + self.spacing * t * (s0 + t * (b + t * a));
        let slope = s0 + t * (b * 2.0 + t * a * 3.0);
        let curvature = (b * 2.0 + t * a * 6.0) * self.per_spacing;
        let bent = unbounded.if_less(first, first, last.if_less(unbounded, first, curvature));
        [value + beyond * slope, slope, bent]
    }
}

/// Continuity of the second derivative at inner knots: s[k-1] + 4 s[k] + s[k+1] = 3 (v[k+1] - v[k-1]) / h,
/// solved by elimination of the tridiagonal system.
fn solve_inner_slopes(values: &[f64], spacing: f64, slopes: &mut [f64]) {
    let last = values.len() - 1;
    let mut upper = vec![0.0; values.len()];
    let mut pivot_rhs = slopes[0];
    let mut rhs = vec![pivot_rhs; values.len()];
    for k in 1..last {
        let pivot = 4.0 - upper[k - 1];
        upper[k] = 1.0 / pivot;
        pivot_rhs = (3.0 * (values[k + 1] - values[k - 1]) / spacing - pivot_rhs) / pivot;
        rhs[k] = pivot_rhs;
    }
    for k in (1..last).rev() {
        slopes[k] = rhs[k] - upper[k] * slopes[k + 1];
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_spline_reproduces_a_cubic_and_its_derivatives() {
        let cubic = |x: f64| 1.0 - 2.0 * x + 0.5 * x * x - 0.25 * x * x * x;
        let slope = |x: f64| -2.0 + x - 0.75 * x * x;
        let curvature = |x: f64| 1.0 - 1.5 * x;
        let values = (0..=20).map(|k| cubic(-1.0 + 0.1 * f64::from(k))).collect();
        let spline = Spline::clamped(-1.0, 0.1, values, slope(-1.0), slope(1.0));
        for k in 0..=100 {
            let x = -1.0 + 0.02 * f64::from(k);
            let local = spline.at(x);
            assert!((local.value - cubic(x)).abs() < 1e-13, "value at {x}");
            assert!((local.slope - slope(x)).abs() < 1e-12, "slope at {x}");
            assert!((local.curvature - curvature(x)).abs() < 1e-10, "curvature at {x}");
        }
    }

    #[test]
    fn law_spline_continues_straight_outside_its_knots() {
        let spline = Spline::clamped(0.0, 1.0, vec![0.0, 1.0, 4.0], 0.0, 4.0);
        assert_eq!(spline.at(3.0), Local { value: 8.0, slope: 4.0, curvature: 0.0 });
        assert_eq!(spline.at(-2.0), Local { value: 0.0, slope: 0.0, curvature: 0.0 });
    }
}
