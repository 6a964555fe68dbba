//! One spring: coil, torsion bar or pack of main leaves.

use super::{ElementFault, ForceAndRate, ForceLanes, positive};
use crate::curve::MonotoneCurve;
use crate::lanes::Lanes;

/// A spring: its load over compression, its free length and, for a coil, the length at which its coils touch.
///
/// For a pack of leaves the length is the camber: the height of the eyes above the middle, negative past flat. For a
/// torsion bar it is the turn of the bar times its lever, as the linkage defines it.
///
/// Load is zero at and beyond the free length (the spring is loose). Below the solid length the law is
/// continued; that the coils are bound there is reported by the travel limits, not hidden in the force.
#[derive(Debug, Clone, PartialEq)]
pub struct Spring {
    law: Law,
    /// Length without load, m.
    pub free_length_m: f64,
    /// Length with all coils touching, m, where known.
    pub solid_length_m: Option<f64>,
}

#[derive(Debug, Clone, PartialEq)]
enum Law {
    Linear {
        rate_n_per_m: f64,
    },
    TwoRates {
        first_n_per_m: f64,
        last_n_per_m: f64,
        knee_m: f64,
        blend_m: f64,
    },
    /// Load (N) over compression (m) from (0, 0), multiplied by `factor`.
    Measured {
        load_n: MonotoneCurve,
        factor: f64,
    },
}

impl Spring {
    /// A spring of constant rate: F = R (L₀ - L), EN 13906-1:2013 clause 8.
    ///
    /// # Errors
    /// When rate or free length is not positive, or the solid length is not below the free length.
    pub fn linear(
        rate_n_per_m: f64,
        free_length_m: f64,
        solid_length_m: Option<f64>,
    ) -> Result<Self, ElementFault> {
        let law = Law::Linear { rate_n_per_m: positive("spring rate", rate_n_per_m)? };
        Self::with_lengths(law, free_length_m, solid_length_m)
    }

    /// A spring of two rates, some of its coils closing on the way: the first rate up to a compression of `knee_m`, the
    /// last one from `blend_m` further on, and a rate that grows evenly in between.
    ///
    /// # Errors
    /// When a rate or length is not positive.
    pub fn two_rates(
        first_n_per_m: f64,
        last_n_per_m: f64,
        knee_m: f64,
        blend_m: f64,
        free_length_m: f64,
    ) -> Result<Self, ElementFault> {
        let law = Law::TwoRates {
            first_n_per_m: positive("first spring rate", first_n_per_m)?,
            last_n_per_m: positive("last spring rate", last_n_per_m)?,
            knee_m: positive("compression at the knee", knee_m)?,
            blend_m: positive("compression between the rates", blend_m)?,
        };
        Self::with_lengths(law, free_length_m, None)
    }

    /// A progressive spring from measured pairs (length in m, load in N), in any order, without the unloaded one.
    ///
    /// # Errors
    /// When the pairs do not rise in load as length falls, or a length is out of order.
    pub fn measured(
        length_and_load: &[(f64, f64)],
        free_length_m: f64,
        solid_length_m: Option<f64>,
    ) -> Result<Self, ElementFault> {
        let mut points: Vec<(f64, f64)> = std::iter::once((0.0, 0.0))
            .chain(length_and_load.iter().map(|&(length_m, load_n)| (free_length_m - length_m, load_n)))
            .collect();
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        let loads_rise = points.windows(2).all(|pair| pair[0].1 < pair[1].1);
        let fault = ElementFault::TableNotRising { table: "spring load over length" };
        let load_n = MonotoneCurve::through(&points).filter(|_| loads_rise).ok_or(fault)?;
        Self::with_lengths(Law::Measured { load_n, factor: 1.0 }, free_length_m, solid_length_m)
    }

    fn with_lengths(law: Law, free_length_m: f64, solid_length_m: Option<f64>) -> Result<Self, ElementFault> {
        positive("free length", free_length_m)?;
        if let Some(solid_m) = solid_length_m {
            positive("solid length", solid_m)?;
            if solid_m >= free_length_m {
                return Err(ElementFault::LengthsOutOfOrder {
                    smaller: "solid length",
                    smaller_m: solid_m,
                    larger: "free length",
                    larger_m: free_length_m,
                });
            }
        }
        Ok(Self { law, free_length_m, solid_length_m })
    }

    /// Load and rate at a compression from the free length, m. Both are zero for a loose spring.
    pub fn at_compression(&self, compression_m: f64) -> ForceAndRate {
        match (&self.law, RateLaws::of([self], |spring| spring)) {
            (_, Some(law)) => law.at_compression(Lanes([compression_m])).only(),
            (Law::Measured { load_n, factor }, None) if compression_m > 0.0 => {
                let local = load_n.at(compression_m);
                ForceAndRate { force_n: factor * local.value, rate_n_per_m: factor * local.slope }
            }
            _ => ForceAndRate::default(),
        }
    }

    /// Compression under a load, m; by bisection where the rate is not constant.
    pub fn compression_under_m(&self, load_n: f64) -> f64 {
        if load_n <= 0.0 {
            return 0.0;
        }
        if let Law::Linear { rate_n_per_m } = &self.law {
            return load_n / rate_n_per_m;
        }
        let (mut low_m, mut high_m) = (0.0, self.free_length_m);
        for _ in 0..60 {
            let middle_m = 0.5 * (low_m + high_m);
            if self.at_compression(middle_m).force_n < load_n { low_m = middle_m } else { high_m = middle_m }
        }
        high_m
    }

    /// A sample of another rate that has the same length under one load: stiffer by `factor`, shorter when free.
    #[must_use]
    pub fn with_rate_factor_at_load(&self, factor: f64, load_n: f64) -> Self {
        let mut sample = self.with_rate_factor(factor);
        sample.free_length_m += sample.compression_under_m(load_n) - self.compression_under_m(load_n);
        sample
    }

    /// Rate at first compression, N/m.
    pub fn initial_rate_n_per_m(&self) -> f64 {
        match &self.law {
            Law::Linear { rate_n_per_m } => *rate_n_per_m,
            Law::TwoRates { first_n_per_m, .. } => *first_n_per_m,
            Law::Measured { load_n, factor } => factor * load_n.at(0.0).slope,
        }
    }

    /// The same spring with every load multiplied by `factor` (a stiffer or softer sample of it).
    #[must_use]
    pub fn with_rate_factor(&self, factor: f64) -> Self {
        let law = match &self.law {
            Law::Linear { rate_n_per_m } => Law::Linear { rate_n_per_m: rate_n_per_m * factor },
            &Law::TwoRates { first_n_per_m, last_n_per_m, knee_m, blend_m } => Law::TwoRates {
                first_n_per_m: first_n_per_m * factor,
                last_n_per_m: last_n_per_m * factor,
                knee_m,
                blend_m,
            },
            Law::Measured { load_n, factor: old } => {
                Law::Measured { load_n: load_n.clone(), factor: old * factor }
            }
        };
        Self { law, ..self.clone() }
    }
}

/// The laws of the springs of `N` cases side by side, all of stated rates.
#[derive(Debug, Clone, Copy)]
pub(crate) struct RateLaws<const N: usize> {
    rate_n_per_m: Lanes<N>,
    /// Absent where every spring has one rate.
    knee: Option<Knees<N>>,
}

#[derive(Debug, Clone, Copy)]
struct Knees<const N: usize> {
    growth_n_per_m: Lanes<N>,
    knee_m: Lanes<N>,
    blend_m: Lanes<N>,
    per_blend: Lanes<N>,
}

impl<const N: usize> RateLaws<N> {
    /// `None` where a spring was measured.
    #[inline(always)]
    pub(crate) fn of<'a, T: Copy>(things: [T; N], spring: impl Fn(T) -> &'a Spring) -> Option<Self> {
        let (mut rate, mut growth, mut knee, mut blend) = ([0.0; N], [0.0; N], [0.0; N], [1.0; N]);
        let mut have_knee = false;
        for i in 0..N {
            match spring(things[i]).law {
                Law::Linear { rate_n_per_m } => rate[i] = rate_n_per_m,
                Law::TwoRates { first_n_per_m, last_n_per_m, knee_m, blend_m } => {
                    have_knee = true;
                    rate[i] = first_n_per_m;
                    growth[i] = last_n_per_m - first_n_per_m;
                    (knee[i], blend[i]) = (knee_m, blend_m);
                }
                Law::Measured { .. } => return None,
            }
        }
        let knee = have_knee.then(|| Knees {
            growth_n_per_m: Lanes(growth),
            knee_m: Lanes(knee),
            blend_m: Lanes(blend),
            per_blend: Lanes::splat(1.0) / Lanes(blend),
        });
        Some(Self { rate_n_per_m: Lanes(rate), knee })
    }

    /// Load and rate at a compression from the free length, m. Both are zero for a loose spring.
    #[inline(always)]
    pub(crate) fn at_compression(&self, compression_m: Lanes<N>) -> ForceLanes<N> {
        let none = Lanes::splat(0.0);
        let pressed_m = none.max(compression_m);
        let mut force_n = self.rate_n_per_m * pressed_m;
        let mut rate_n_per_m = self.rate_n_per_m;
        if let Some(Knees { growth_n_per_m, knee_m, blend_m, per_blend }) = self.knee {
            let beyond_m = pressed_m - knee_m;
            let blended_m = beyond_m.max(none).min(blend_m);
            let share = blended_m * per_blend;
            // integral of the share of the last rate
            let at_last_rate_m = share * blended_m * 0.5 + (beyond_m - blend_m).max(none);
            force_n += growth_n_per_m * at_last_rate_m;
            rate_n_per_m += growth_n_per_m * share;
        }
        ForceLanes { force_n, rate_n_per_m: none.if_less(compression_m, rate_n_per_m, none) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_linear_spring_is_loose_at_free_length_and_longer() {
        let spring = Spring::linear(30_000.0, 0.4, Some(0.1)).unwrap();
        assert_eq!(spring.at_compression(0.0), ForceAndRate::default());
        assert_eq!(spring.at_compression(-0.01), ForceAndRate::default());
        assert!((spring.at_compression(0.1).force_n - 3000.0).abs() < 1e-9);
    }

    #[test]
    fn law_measured_pairs_of_a_linear_spring_give_the_linear_spring() {
        let pairs = [(0.3, 3000.0), (0.35, 1500.0), (0.2, 6000.0)];
        let measured = Spring::measured(&pairs, 0.4, None).unwrap();
        for compression_m in [0.02, 0.07, 0.15, 0.22] {
            let got = measured.at_compression(compression_m);
            assert!((got.force_n - 30_000.0 * compression_m).abs() < 1e-6);
            assert!((got.rate_n_per_m - 30_000.0).abs() < 1e-6);
        }
    }

    #[test]
    fn law_two_rates_meet_smoothly_and_are_those_stated() {
        let spring = Spring::two_rates(36_000.0, 47_000.0, 0.165, 0.020, 0.5).unwrap();
        assert!((spring.at_compression(0.1).force_n - 3600.0).abs() < 1e-9);
        assert!((spring.at_compression(0.2).rate_n_per_m - 47_000.0).abs() < 1e-9);
        // half the blend at the mean of both rates, then the last one
        let force_n = 36_000.0 * 0.2 + 11_000.0 * (0.010 + 0.015);
        assert!((spring.at_compression(0.2).force_n - force_n).abs() < 1e-9);
        for knee_m in [0.165, 0.185] {
            let [before, after] = [-1e-9, 1e-9].map(|step_m| spring.at_compression(knee_m + step_m));
            assert!((before.rate_n_per_m - after.rate_n_per_m).abs() < 1e-2);
        }
        assert!(Spring::two_rates(36_000.0, 47_000.0, 0.165, 0.0, 0.5).is_err());
    }

    #[test]
    fn law_bad_springs_are_refused_by_name() {
        let message = |spring: Result<Spring, ElementFault>| spring.unwrap_err().to_string();
        assert_eq!(message(Spring::linear(-1.0, 0.4, None)), "spring rate must be positive, found -1");
        assert!(
            message(Spring::linear(1.0, 0.4, Some(0.5))).starts_with("solid length (0.5 m) must be below")
        );
        assert!(message(Spring::measured(&[(0.3, 10.0), (0.2, 5.0)], 0.4, None)).contains("more load"));
    }
}
