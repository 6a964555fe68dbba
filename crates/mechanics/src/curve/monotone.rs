//! Monotone piecewise cubic through measured points.

use std::sync::Arc;

use super::Local;

/// A once continuously differentiable curve through measured points that never overshoots between them:
/// where the points rise, the curve rises.
///
/// Slopes by the weighted harmonic mean of neighbouring chords
/// (F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5, 1984). Outside the points it continues
/// straight with the end chord's slope.
///
/// Copies share the points: vans are copied for every trial, their measured curves never change.
#[derive(Debug, Clone, PartialEq)]
pub struct MonotoneCurve {
    knots: Arc<[Knot]>,
}

/// A point, and the cubic from there to the next one: coefficients of the powers 0 to 3 of the distance from the point.
/// From the last one the curve goes on straight.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Knot {
    abscissa: f64,
    coefficients: [f64; 4],
}

impl MonotoneCurve {
    /// Curve through `points` (abscissa, ordinate).
    ///
    /// `None` unless there are at least two points, all finite, with strictly rising abscissae.
    pub fn through(points: &[(f64, f64)]) -> Option<Self> {
        let rising = points.windows(2).all(|pair| pair[0].0 < pair[1].0);
        if points.len() < 2 || !rising || points.iter().any(|p| !p.0.is_finite() || !p.1.is_finite()) {
            return None;
        }
        let (abscissae, ordinates): (Vec<f64>, Vec<f64>) = points.iter().copied().unzip();
        let last = points.len() - 1;
        let step: Vec<f64> = abscissae.windows(2).map(|x| x[1] - x[0]).collect();
        let chord: Vec<f64> = ordinates.windows(2).zip(&step).map(|(y, h)| (y[1] - y[0]) / h).collect();
        let slope = |k: usize| match k {
            0 => chord[0],
            k if k == last => chord[last - 1],
            k => harmonic_slope(chord[k - 1], chord[k], step[k - 1], step[k]),
        };
        let knot = |k: usize| {
            let from = slope(k);
            let (mut square, mut cube) = (0.0, 0.0);
            if k < last {
                let (to, chord, h) = (slope(k + 1), chord[k], step[k]);
                square = (3.0 * chord - 2.0 * from - to) / h;
                cube = (from + to - 2.0 * chord) / (h * h);
            }
            Knot { abscissa: abscissae[k], coefficients: [ordinates[k], from, square, cube] }
        };
        Some(Self { knots: (0..=last).map(knot).collect() })
    }

    /// Whether one is a copy of the other: surely the same curve.
    pub fn is_copy_of(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.knots, &other.knots)
    }

    /// The same curve with a point of it at (0, 0).
    #[must_use]
    pub(crate) fn about(&self, abscissa: f64) -> Self {
        let ordinate = self.at(abscissa).value;
        let moved = |knot: &Knot| {
            let [at_knot, slope, square, cube] = knot.coefficients;
            Knot {
                abscissa: knot.abscissa - abscissa,
                coefficients: [at_knot - ordinate, slope, square, cube],
            }
        };
        Self { knots: self.knots.iter().map(moved).collect() }
    }

    /// First and last abscissa.
    pub fn domain(&self) -> (f64, f64) {
        (self.knots[0].abscissa, self.knots[self.knots.len() - 1].abscissa)
    }

    /// Its cubics: from, to, and the coefficients of the powers 0 to 3 of the distance from the first; the straight
    /// ends among them, reaching to infinity.
    pub(crate) fn pieces(&self) -> impl Iterator<Item = CubicPiece> + '_ {
        let straight = |end: Knot, from: f64, to: f64| CubicPiece {
            from,
            to,
            origin: end.abscissa,
            coefficients: end.straight(),
        };
        let between = |pair: &[Knot]| CubicPiece {
            from: pair[0].abscissa,
            to: pair[1].abscissa,
            origin: pair[0].abscissa,
            coefficients: pair[0].coefficients,
        };
        let (first, last) = (self.knots[0], self.knots[self.knots.len() - 1]);
        std::iter::once(straight(first, f64::NEG_INFINITY, first.abscissa))
            .chain(self.knots.windows(2).map(between))
            .chain(std::iter::once(straight(last, last.abscissa, f64::INFINITY)))
    }

    /// Value, slope and curvature at `x`.
    pub fn at(&self, x: f64) -> Local {
        let knot = self.knots[self.knot_before(x)];
        let [ordinate, slope, square, cube] =
            if x < self.knots[0].abscissa { knot.straight() } else { knot.coefficients };
        let d = x - knot.abscissa;
        Local {
            value: ordinate + d * (slope + d * (square + d * cube)),
            slope: slope + d * (2.0 * square + 3.0 * cube * d),
            curvature: 2.0 * square + 6.0 * cube * d,
        }
    }

    /// The last point that is not beyond `x`, or the first. Searched from where it would be among evenly spaced points,
    /// as measured ones nearly are.
    fn knot_before(&self, x: f64) -> usize {
        let (first, last) = self.domain();
        let spans = self.knots.len() - 1;
        // what is not a number, or before the first point, becomes 0
        let mut k = (((x - first) / (last - first) * spans as f64) as usize).min(spans);
        while k > 0 && self.knots[k].abscissa > x {
            k -= 1;
        }
        while k < spans && self.knots[k + 1].abscissa <= x {
            k += 1;
        }
        k
    }
}

impl Knot {
    /// Coefficients of the straight line through the point.
    fn straight(&self) -> [f64; 4] {
        let [ordinate, slope, ..] = self.coefficients;
        [ordinate, slope, 0.0, 0.0]
    }
}

/// One cubic of a curve.
#[derive(Debug, Clone, Copy)]
pub(crate) struct CubicPiece {
    pub(crate) from: f64,
    pub(crate) to: f64,
    /// Where the powers count from.
    pub(crate) origin: f64,
    pub(crate) coefficients: [f64; 4],
}

/// Fritsch-Butland slope at a knot between two chords; zero where the data turn.
fn harmonic_slope(left: f64, right: f64, left_step: f64, right_step: f64) -> f64 {
    if left * right <= 0.0 {
        return 0.0;
    }
    let (w_left, w_right) = (2.0 * right_step + left_step, right_step + 2.0 * left_step);
    (w_left + w_right) / (w_left / left + w_right / right)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn law_straight_points_give_a_straight_line() {
        let curve = MonotoneCurve::through(&[(0.0, 1.0), (0.5, 2.0), (3.0, 7.0)]).unwrap();
        for x in [-1.0, 0.0, 0.3, 0.5, 2.2, 3.0, 4.0] {
            let local = curve.at(x);
            assert!((local.value - (1.0 + 2.0 * x)).abs() < 1e-12);
            assert!((local.slope - 2.0).abs() < 1e-12);
        }
    }

    #[test]
    fn law_points_out_of_order_are_refused() {
        assert_eq!(MonotoneCurve::through(&[(0.0, 1.0), (0.0, 2.0)]), None);
        assert_eq!(MonotoneCurve::through(&[(0.0, 1.0)]), None);
        assert_eq!(MonotoneCurve::through(&[(0.0, f64::NAN), (1.0, 2.0)]), None);
    }

    proptest! {
        #[test]
        fn law_rising_points_give_a_rising_curve(
            rises in proptest::collection::vec((0.01f64..2.0, 0.0f64..5.0), 2..12),
            share in 0.0f64..1.0,
        ) {
            let mut point = (0.0, 0.0);
            let points: Vec<_> = rises.iter().map(|(dx, dy)| { point = (point.0 + dx, point.1 + dy); point }).collect();
            let curve = MonotoneCurve::through(&points).unwrap();
            let (first, last) = curve.domain();
            prop_assert!(curve.at(first + share * (last - first)).slope >= -1e-9);
        }
    }
}
