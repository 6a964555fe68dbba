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
    /// At each knot the cubic from there to the next one: coefficients of the powers 0 to 3 of the distance from the knot.
    knots: Vec<[f64; 4]>,
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
        let mut knots: Vec<_> = values.into_iter().zip(slopes).map(|(v, s)| [v, s, 0.0, 0.0]).collect();
        let per_spacing = 1.0 / spacing;
        for k in 1..knot_count {
            let [[v0, s0, square, cube], [v1, s1, ..]] = &mut knots[k - 1..=k] else { continue };
            let chord = (*v1 - *v0) * per_spacing;
            *square = (3.0 * chord - 2.0 * *s0 - *s1) * per_spacing;
            *cube = (*s0 + *s1 - 2.0 * chord) * per_spacing * per_spacing;
        }
        Self { first_knot, spacing, knots }
    }

    /// First and last knot.
    pub fn domain(&self) -> (f64, f64) {
        (self.first_knot, self.first_knot + self.spacing * self.knots.len().saturating_sub(1) as f64)
    }

    /// The value that a spline of fewer than two knots has everywhere.
    pub(crate) fn constant(&self) -> Option<f64> {
        match self.knots.as_slice() {
            [] => Some(0.0),
            [[value, ..]] => Some(*value),
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
    length: Lanes<N>,
    /// Number of the last cell between knots.
    last_cell: Lanes<N>,
    knots: [&'a [[f64; 4]]; N],
}

impl<'a, const N: usize> Splines<'a, N> {
    #[inline(always)]
    pub(crate) fn of(splines: [&'a Spline; N]) -> Self {
        let spacing = Lanes::of(splines, |spline| spline.spacing);
        let mut knots: [&[[f64; 4]]; N] = [&[]; N];
        for i in 0..N {
            knots[i] = &splines[i].knots;
        }
        Self {
            first_knot: Lanes::of(splines, |spline| spline.first_knot),
            spacing,
            per_spacing: Lanes::splat(1.0) / spacing,
            length: Lanes::of(splines, |spline| spline.spacing * (spline.knots.len() as f64 - 1.0)),
            last_cell: Lanes::of(splines, |spline| spline.knots.len() as f64 - 2.0),
            knots,
        }
    }

    /// Value, slope and curvature of each at its own abscissa.
    #[inline(always)]
    pub(crate) fn at(&self, x: Lanes<N>) -> [Lanes<N>; 3] {
        let from_first = x - self.first_knot;
        let nought = Lanes::splat(0.0);
        // not a number goes to knot 0 here and comes back with what is beyond the knots
        let inside = from_first.max(nought).min(self.length);
        // at a knot either cell will do; a number this large has its whole part in its last bits
        let position = inside * self.per_spacing - Lanes::splat(0.5);
        let shifted = position.min(self.last_cell) + Lanes::splat(LARGE);
        let d = inside - (shifted - Lanes::splat(LARGE)) * self.spacing;
        let beyond = from_first - inside;
        // 1 between the knots, 0 where it goes on straight
        let bends =
            from_first.if_less(nought, nought, self.length.if_less(from_first, nought, Lanes::splat(1.0)));
        let mut cubics = [[0.0; 4]; N];
        for i in 0..N {
            let k = shifted.0[i].to_bits() as u32 as usize;
            // always there; leaving here keeps what follows free of branches, and with it in vectors
            let Some(cubic) = self.knots[i].get(k) else { return [Lanes::splat(f64::NAN); 3] };
            cubics[i] = *cubic;
        }
        let [mut value, mut slope, mut square, mut cube] = [nought; 4];
        for i in 0..N {
            [value.0[i], slope.0[i], square.0[i], cube.0[i]] = cubics[i];
        }
        let last = cube * d;
        let value = value + d * (slope + d * (square + last));
        let slope = slope + d * (square * 2.0 + last * 3.0);
        let curvature = square * 2.0 + last * 6.0;
        [value + beyond * slope, slope, curvature * bends]
    }
}

/// Continuity of the second derivative at inner knots: s[k-1] + 4 s[k] + s[k+1] = 3 (v[k+1] - v[k-1]) / h,
/// solved by elimination of the tridiagonal system.
fn solve_inner_slopes(values: &[f64], spacing: f64, slopes: &mut [f64]) {
    let last = values.len() - 1;
    let per_spacing = 3.0 / spacing;
    let mut upper = vec![0.0; values.len()];
    let mut rhs = vec![slopes[0]; values.len()];
    for k in 1..last {
        // 1 over the pivot, which stands to the last digit after so many knots
        upper[k] = if k > 20 { upper[k - 1] } else { 1.0 / (4.0 - upper[k - 1]) };
        rhs[k] = ((values[k + 1] - values[k - 1]) * per_spacing - rhs[k - 1]) * upper[k];
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
