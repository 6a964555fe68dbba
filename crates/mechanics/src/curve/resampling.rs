//! Equally spaced values of a smooth function from few samples of it.

use std::f64::consts::PI;

/// Fills equally spaced knots from [`Resampling::SAMPLES`] samples at Chebyshev points of the second kind, both ends
/// among them, by the polynomial through the samples.
///
/// For an analytic function the error falls geometrically with the number of samples, and so do the coefficients of its
/// Chebyshev series: the last of them say whether the samples suffice (L. N. Trefethen, Approximation Theory and
/// Approximation Practice, ch. 5, 8). The weights depend on the knots alone, so many functions share them.
#[derive(Debug, Clone)]
pub struct Resampling {
    nodes: Samples<f64>,
    count: usize,
    /// For each knot of the first half, the middle one included: weights of half the sum and half the difference of each
    /// sample and its mirror image. Knot and mirror image share them, which halves the work.
    weights: Vec<[[f64; HALF]; 2]>,
    /// Weights of the samples in the last three coefficients of the Chebyshev series.
    in_coefficients: [Samples<f64>; 3],
}

const HALF: usize = Resampling::SAMPLES / 2;

/// One value for each sample.
pub type Samples<T> = [T; Resampling::SAMPLES];

impl Resampling {
    /// Number of samples, even.
    pub const SAMPLES: usize = 18;

    /// `count` equally spaced knots from `first` to `last`, at least two.
    pub fn new(first: f64, last: f64, count: usize) -> Self {
        let spacing = (last - first) / count.saturating_sub(1).max(1) as f64;
        let nodes = std::array::from_fn(|j| {
            let [share, rest] = [j, Self::SAMPLES - 1 - j].map(|k| (0.5 * node_angle(k)).sin().powi(2));
            first * rest + last * share
        });
        let at_knot = |k: usize| {
            let weights = weights_at(first + spacing * k as f64, &nodes);
            [1.0, -1.0]
                .map(|sign| std::array::from_fn(|j| weights[j] + sign * weights[Self::SAMPLES - 1 - j]))
        };
        let weights = (0..count.div_ceil(2)).map(at_knot).collect();
        Self {
            nodes,
            count,
            weights,
            in_coefficients: [3, 2, 1].map(|back| in_coefficient(Self::SAMPLES - back)),
        }
    }

    /// Where to sample, rising from the first to the last knot.
    pub fn nodes(&self) -> &Samples<f64> {
        &self.nodes
    }

    /// Values of K functions at every knot from their samples.
    #[inline]
    pub fn values<const K: usize>(&self, samples: &Samples<[f64; K]>) -> Vec<[f64; K]> {
        let mut values = vec![[0.0; K]; self.count];
        self.fill(samples, &mut values);
        values
    }

    /// The same into a slice with a place for every knot.
    #[inline]
    pub fn fill<const K: usize>(&self, samples: &Samples<[f64; K]>, values: &mut [[f64; K]]) {
        pulp::Arch::new().dispatch(Filling { resampling: self, samples, values });
    }

    /// Whether the last three coefficients of the series of every function stay within `tolerance`.
    #[inline]
    pub fn resolves<const K: usize>(&self, samples: &Samples<[f64; K]>, tolerance: f64) -> bool {
        self.in_coefficients.iter().all(|weights| {
            let coefficients = weighted(weights, samples);
            coefficients.iter().all(|coefficient| coefficient.abs() <= tolerance)
        })
    }
}

/// The knots being filled, in the widest vectors the machine has.
struct Filling<'a, const K: usize> {
    resampling: &'a Resampling,
    samples: &'a Samples<[f64; K]>,
    values: &'a mut [[f64; K]],
}

impl<const K: usize> pulp::WithSimd for Filling<'_, K> {
    type Output = ();

    #[inline(always)]
    fn with_simd<S: pulp::Simd>(self, _simd: S) {
        let Self { resampling, samples, values } = self;
        let (mut even, mut odd) = ([[0.0; K]; HALF], [[0.0; K]; HALF]);
        for j in 0..HALF {
            let (sample, mirrored) = (&samples[j], &samples[Resampling::SAMPLES - 1 - j]);
            for c in 0..K {
                even[j][c] = 0.5 * (sample[c] + mirrored[c]);
                odd[j][c] = 0.5 * (sample[c] - mirrored[c]);
            }
        }
        for (k, [in_even, in_odd]) in resampling.weights.iter().enumerate() {
            let (sum, difference) = (weighted(in_even, &even), weighted(in_odd, &odd));
            for c in 0..K {
                values[k][c] = sum[c] + difference[c];
            }
            for c in 0..K {
                values[resampling.count - 1 - k][c] = sum[c] - difference[c];
            }
        }
    }
}

#[inline(always)]
fn weighted<const K: usize, const N: usize>(weights: &[f64; N], samples: &[[f64; K]; N]) -> [f64; K] {
    let mut sum = [0.0; K];
    for (weight, sample) in weights.iter().zip(samples) {
        for c in 0..K {
            sum[c] += weight * sample[c];
        }
    }
    sum
}

/// Weights of the samples in the coefficient of one order: the discrete cosine sum, samples at both ends halved.
fn in_coefficient(order: usize) -> Samples<f64> {
    let last = Resampling::SAMPLES - 1;
    std::array::from_fn(|j| {
        let share = if j == 0 || j == last { 1.0 } else { 2.0 };
        share * (order as f64 * node_angle(j)).cos() / last as f64
    })
}

fn node_angle(j: usize) -> f64 {
    PI * j as f64 / (Resampling::SAMPLES - 1) as f64
}

/// Second barycentric formula (J.-P. Berrut and L. N. Trefethen, SIAM Review 46, 2004).
fn weights_at(x: f64, nodes: &Samples<f64>) -> Samples<f64> {
    if let Some(hit) = nodes.iter().position(|&node| (x - node).abs() <= f64::EPSILON * x.abs()) {
        return std::array::from_fn(|j| if j == hit { 1.0 } else { 0.0 });
    }
    let last = Resampling::SAMPLES - 1;
    let weights: Samples<f64> = std::array::from_fn(|j| {
        let end = if j == 0 || j == last { 0.5 } else { 1.0 };
        let sign = if j.is_multiple_of(2) { end } else { -end };
        sign / (x - nodes[j])
    });
    let sum: f64 = weights.iter().sum();
    weights.map(|weight| weight / sum)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_knots_of_an_analytic_function_follow_from_its_samples() {
        // singular four half-widths away: 18 samples leave (4 + √15)^-18, 1e-16 of the function's size
        let resampling = Resampling::new(-0.09, 0.09, 201);
        let functions = |x: f64| [1.0 / (0.16 + x * x), (0.36 - x).sqrt(), x.sin()];
        let samples = resampling.nodes().map(functions);
        assert!(resampling.resolves(&samples, 1e-11));
        for (k, got) in resampling.values(&samples).into_iter().enumerate() {
            let wanted = functions(-0.09 + 0.0009 * k as f64);
            for c in 0..3 {
                assert!((got[c] - wanted[c]).abs() < 1e-11, "knot {k}: {got:?} for {wanted:?}");
            }
        }
    }

    #[test]
    fn law_ends_are_sampled_and_kinks_are_not_taken_for_resolved() {
        let resampling = Resampling::new(-0.2, 0.3, 6);
        assert_eq!((resampling.nodes()[0], resampling.nodes()[Resampling::SAMPLES - 1]), (-0.2, 0.3));
        assert!(!resampling.resolves(&resampling.nodes().map(|x| [x.max(0.0)]), 1e-6));
        assert!(!resampling.resolves(&resampling.nodes().map(|_| [f64::NAN]), 1e-6));
    }
}
