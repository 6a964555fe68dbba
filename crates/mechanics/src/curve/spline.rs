//! Cubic spline with continuous second derivative on equally spaced knots.

use super::Local;

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
    values: Vec<f64>,
    slopes: Vec<f64>,
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
        Self { first_knot, spacing, values, slopes }
    }

    /// First and last knot.
    pub fn domain(&self) -> (f64, f64) {
        (self.first_knot, self.first_knot + self.spacing * self.values.len().saturating_sub(1) as f64)
    }

    /// Value, slope and curvature at `x`.
    pub fn at(&self, x: f64) -> Local {
        let last = match self.values.len() {
            0 => return Local::default(),
            1 => return Local { value: self.values[0], slope: 0.0, curvature: 0.0 },
            n => n - 1,
        };
        let position = (x - self.first_knot) / self.spacing;
        if position < 0.0 {
            return straight(self.values[0], self.slopes[0], position * self.spacing);
        }
        if position > last as f64 {
            return straight(self.values[last], self.slopes[last], (position - last as f64) * self.spacing);
        }
        let k = (position as usize).min(last - 1);
        let (t, h) = (position - k as f64, self.spacing);
        // Hermite form on [k, k+1]: v = v0 + h (s0 t + b t² + a t³)
        let chord = (self.values[k + 1] - self.values[k]) / h;
        let (s0, s1) = (self.slopes[k], self.slopes[k + 1]);
        let a = s0 + s1 - 2.0 * chord;
        let b = 3.0 * chord - 2.0 * s0 - s1;
        Local {
            value: self.values[k] + h * t * (s0 + t * (b + t * a)),
            slope: s0 + t * (2.0 * b + 3.0 * a * t),
            curvature: (2.0 * b + 6.0 * a * t) / h,
        }
    }
}

fn straight(value: f64, slope: f64, beyond: f64) -> Local {
    Local { value: value + slope * beyond, slope, curvature: 0.0 }
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
