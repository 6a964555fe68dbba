//! Means of piecewise laws over a normal distribution, in closed form.

use std::f64::consts::{PI, SQRT_2};

use crate::curve::MonotoneCurve;
use crate::elements::DamperCurve;

/// Mean of a force and of its slope over a normally distributed movement.
///
/// The slope of the linear law nearest in the mean square, E[F(x) x]/σ², is the mean slope E[F'(x)] when x is normal
/// (Stein's identity; Roberts and Spanos, Random Vibration and Statistical Linearization, ch. 5).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct MeanForce {
    pub(super) force_n: f64,
    /// N/m or N s/m.
    pub(super) slope: f64,
}

/// Over travel of a mean and a standard deviation, both m.
pub(super) fn of_curve(curve: &MonotoneCurve, mean_m: f64, deviation_m: f64) -> MeanForce {
    if deviation_m <= 0.0 {
        let local = curve.at(mean_m);
        return MeanForce { force_n: local.value, slope: local.slope };
    }
    let mut sum = MeanForce { force_n: 0.0, slope: 0.0 };
    let (low_m, high_m) = (mean_m - REACH * deviation_m, mean_m + REACH * deviation_m);
    let mut from = End::at(f64::NEG_INFINITY);
    // the pieces at either end of the reach stand for all beyond
    for piece in curve.pieces().filter(|piece| piece.to > low_m && piece.from < high_m) {
        let is_last = piece.to >= high_m;
        let to = End::at(if is_last { f64::INFINITY } else { (piece.to - mean_m) / deviation_m });
        let moments = from.moments_to(&to);
        // powers of (offset + σ ξ), their means over the piece
        let offset = mean_m - piece.origin;
        let powers = [
            moments[0],
            offset * moments[0] + deviation_m * moments[1],
            offset.powi(2) * moments[0]
                + 2.0 * offset * deviation_m * moments[1]
                + deviation_m.powi(2) * moments[2],
            offset.powi(3) * moments[0]
                + 3.0 * offset.powi(2) * deviation_m * moments[1]
                + 3.0 * offset * deviation_m.powi(2) * moments[2]
                + deviation_m.powi(3) * moments[3],
        ];
        let c = piece.coefficients;
        sum.force_n += (0..4).map(|k| c[k] * powers[k]).sum::<f64>();
        sum.slope += (1..4).map(|k| k as f64 * c[k] * powers[k - 1]).sum::<f64>();
        from = to;
    }
    sum
}

/// Standard deviations either way beyond which a curve is taken to go on as it is there: 2e-9 of all movement.
const REACH: f64 = 6.0;

/// Over speed of mean zero and a standard deviation, m/s.
pub(super) fn of_damper(damper: &DamperCurve, deviation_m_per_s: f64) -> MeanForce {
    if deviation_m_per_s <= 0.0 {
        let (force_n, slope) = damper.at_speed(0.0);
        return MeanForce { force_n, slope };
    }
    let points = damper.points();
    let slopes: Vec<f64> =
        points.windows(2).map(|pair| (pair[1].1 - pair[0].1) / (pair[1].0 - pair[0].0)).collect();
    let (first, slope) = (points[0], slopes[0]);
    let mut sum = MeanForce { force_n: first.1 - slope * first.0, slope };
    // every inner point bends the first line by the change of slope: (v - v_k)₊
    for (pair, point) in slopes.windows(2).zip(&points[1..]) {
        let (bend, at) = (pair[1] - pair[0], point.0 / deviation_m_per_s);
        let beyond = upper_tail(at);
        sum.slope += bend * beyond;
        sum.force_n += bend * (deviation_m_per_s * density(at) - point.0 * beyond);
    }
    sum
}

/// Slope of Coulomb friction that creeps below a speed: F v / v₀ up to v₀, F from there; N s/m.
///
/// Well above v₀ it is √(2/π) F/σ; in a wheel that friction holds it stays finite.
pub(super) fn of_friction(friction_n: f64, creep_m_per_s: f64, deviation_m_per_s: f64) -> f64 {
    let within = libm::erf(creep_m_per_s / (SQRT_2 * deviation_m_per_s.max(f64::MIN_POSITIVE)));
    friction_n / creep_m_per_s * within
}

fn density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / (2.0 * PI).sqrt()
}

/// Chance above z standard deviations.
fn upper_tail(z: f64) -> f64 {
    0.5 * libm::erfc(z / SQRT_2)
}

/// Chance above z standard deviations over the density there, z not negative: by rational functions (W. J. Cody, Math. Comp.
/// 23, 1969), to 1e-15 of itself.
fn mills_ratio(z: f64) -> f64 {
    const NEAR: f64 = 0.46875;
    const FAR: f64 = 4.0;
    // √(π/2): the density of z against e^{-z²/2}, twice the tail against erfc
    let per_erfcx = (0.5 * PI).sqrt();
    let x = z / SQRT_2;
    if x <= NEAR {
        let y = x * x;
        let erf = x * quotient(y, &ERF);
        return per_erfcx * y.exp() * (1.0 - erf);
    }
    if x <= FAR {
        return per_erfcx * quotient(x, &ERFCX);
    }
    let y = 1.0 / (x * x);
    per_erfcx * (1.0 / PI.sqrt() - y * quotient(y, &ERFCX_FAR)) / x
}

/// Coefficients above and below the line, highest power first.
type Rational<const N: usize> = [[f64; N]; 2];

fn quotient<const N: usize>(x: f64, [above, below]: &Rational<N>) -> f64 {
    let polynomial = |coefficients: &[f64; N]| coefficients.iter().fold(0.0, |sum, c| sum * x + c);
    polynomial(above) / polynomial(below)
}

#[allow(clippy::excessive_precision)] // digits as published
const ERF: Rational<5> = [
    [
        1.857_777_061_846_031_5e-1,
        3.161_123_743_870_565_6,
        1.138_641_541_510_501_6e2,
        3.774_852_376_853_020_2e2,
        3.209_377_589_138_469_5e3,
    ],
    [
        1.0,
        2.360_129_095_234_412_1e1,
        2.440_246_379_344_441_7e2,
        1.282_616_526_077_372_3e3,
        2.844_236_833_439_170_6e3,
    ],
];
#[allow(clippy::excessive_precision)] // digits as published
const ERFCX: Rational<9> = [
    [
        2.153_115_354_744_038_5e-8,
        5.641_884_969_886_700_9e-1,
        8.883_149_794_388_375_9,
        6.611_919_063_714_163e1,
        2.986_351_381_974_001_3e2,
        8.819_522_212_417_690_9e2,
        1.712_047_612_634_070_6e3,
        2.051_078_377_826_071_5e3,
        1.230_339_354_797_997_2e3,
    ],
    [
        1.0,
        1.574_492_611_070_983_5e1,
        1.176_939_508_913_125e2,
        5.371_811_018_620_098_6e2,
        1.621_389_574_566_690_2e3,
        3.290_799_235_733_459_6e3,
        4.362_619_090_143_247e3,
        3.439_367_674_143_721_6e3,
        1.230_339_354_803_749_4e3,
    ],
];
#[allow(clippy::excessive_precision)] // digits as published
const ERFCX_FAR: Rational<6> = [
    [
        1.631_538_713_730_209_8e-2,
        3.053_266_349_612_323_4e-1,
        3.603_448_999_498_044_4e-1,
        1.257_817_261_112_292_5e-1,
        1.608_378_514_874_228e-2,
        6.587_491_615_298_378e-4,
    ],
    [
        1.0,
        2.568_520_192_289_822,
        1.872_952_849_923_460_5,
        5.279_051_029_514_284e-1,
        6.051_834_131_244_132e-2,
        2.335_204_976_268_691_9e-3,
    ],
];

/// One end of a piece, in standard deviations from the mean.
#[derive(Clone, Copy)]
struct End {
    z: f64,
    /// Chance beyond it, on the side where that is small.
    tail: f64,
    /// Density, times z and times z².
    density: [f64; 3],
}

impl End {
    fn at(z: f64) -> Self {
        if !z.is_finite() {
            return Self { z, tail: 0.0, density: [0.0; 3] };
        }
        let density = density(z);
        Self { z, tail: density * mills_ratio(z.abs()), density: [density, z * density, z * z * density] }
    }

    /// Moments 0 to 3 of the standard normal distribution from here to a place further up.
    fn moments_to(&self, to: &Self) -> [f64; 4] {
        let zeroth = if self.z > 0.0 {
            self.tail - to.tail
        } else if to.z < 0.0 {
            to.tail - self.tail
        } else {
            1.0 - self.tail - to.tail
        };
        let difference = |k: usize| self.density[k] - to.density[k];
        let first = difference(0);
        [zeroth, first, zeroth + difference(1), 2.0 * first + difference(2)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Trapezoidal sum over 8 standard deviations either way: no error but at kinks.
    fn summed(mean: f64, deviation: f64, of: impl Fn(f64) -> f64) -> f64 {
        let steps = 64_000;
        (0..=steps)
            .map(|i| {
                let z = -8.0 + 16.0 * f64::from(i) / f64::from(steps);
                of(mean + deviation * z) * density(z) * 16.0 / f64::from(steps)
            })
            .sum()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(24))]

        #[test]
        fn law_means_of_a_curve_are_sums_over_the_distribution(
            rises in proptest::collection::vec((0.005f64..0.05, 10.0f64..3_000.0), 2..10),
            mean in -0.1f64..0.2,
            deviation in 0.002f64..0.08,
        ) {
            let mut point = (-0.1, -2_000.0);
            let points: Vec<_> =
                rises.iter().map(|(dx, dy)| { point = (point.0 + dx, point.1 + dy); point }).collect();
            let curve = MonotoneCurve::through(&points).unwrap();
            let got = of_curve(&curve, mean, deviation);
            let force = summed(mean, deviation, |x| curve.at(x).value);
            // least-squares slope from the force alone
            let slope = summed(mean, deviation, |x| curve.at(x).value * (x - mean)) / deviation.powi(2);
            prop_assert!((got.force_n - force).abs() < 1e-5 * force.abs().max(1_000.0));
            prop_assert!((got.slope / slope - 1.0).abs() < 1e-5);
        }

        #[test]
        fn law_means_of_a_damper_are_sums_over_the_distribution(
            bump in (0.05f64..0.3, 100.0f64..900.0, 0.2f64..1.0, 50.0f64..900.0),
            rebound in (0.05f64..0.3, 100.0f64..2_000.0, 0.2f64..1.0, 50.0f64..2_000.0),
            deviation in 0.01f64..0.8,
        ) {
            let side = |s: (f64, f64, f64, f64)| [(s.0, s.1), (s.0 + s.2, s.1 + s.3)];
            let damper = DamperCurve::measured(&side(bump), &side(rebound)).unwrap();
            let got = of_damper(&damper, deviation);
            let force = summed(0.0, deviation, |v| damper.at_speed(v).0);
            let slope = summed(0.0, deviation, |v| damper.at_speed(v).0 * v) / deviation.powi(2);
            prop_assert!((got.force_n - force).abs() < 1e-4 * slope * deviation);
            prop_assert!((got.slope / slope - 1.0).abs() < 1e-4);
        }
    }

    #[test]
    fn val_tails_of_the_normal_distribution() {
        // against erfc of the libm crate, itself within a unit of the last place
        for k in 0..=800 {
            let z = 0.01 * f64::from(k);
            let (got, wanted) = (density(z) * mills_ratio(z), upper_tail(z));
            assert!((got / wanted - 1.0).abs() < 1e-13, "{got} for {wanted} at {z}");
        }
    }

    #[test]
    fn law_fast_friction_is_coulombs_and_slow_friction_is_finite() {
        let coulomb = |deviation: f64| (2.0 / PI).sqrt() * 150.0 / deviation;
        assert!((of_friction(150.0, 1e-3, 0.2) / coulomb(0.2) - 1.0).abs() < 1e-5);
        assert!((of_friction(150.0, 1e-3, 0.0) - 150_000.0).abs() < 1e-6);
    }
}
