//! Elastomer bump stop.

use super::{ElementFault, ForceAndRate, positive};
use crate::curve::MonotoneCurve;

/// A bump stop: its measured force over compression when whole, and the height that remains after trimming.
///
/// A trimmed stop is rebuilt from its remaining height: under one force every slice of the column is strained
/// alike, so a stop of height h under force F is compressed by h/H of what the whole stop of height H is
/// (elements in series). It becomes stiffer as it gets shorter; its curve is never merely shifted.
#[derive(Debug, Clone, PartialEq)]
pub struct BumpStop {
    force_over_compression: MonotoneCurve,
    whole_height_m: f64,
    /// Height that remains, m; `0 < height_m`.
    pub height_m: f64,
    /// Multiplies every force: a stiffer or softer sample, 1 for the measured one.
    pub stiffness_factor: f64,
}

impl BumpStop {
    /// A whole stop from measured pairs (compression in m, force in N), without the unloaded one.
    ///
    /// # Errors
    /// When the pairs do not rise, or the height is not above the largest measured compression.
    pub fn measured(compression_and_force: &[(f64, f64)], whole_height_m: f64) -> Result<Self, ElementFault> {
        let points: Vec<(f64, f64)> =
            std::iter::once((0.0, 0.0)).chain(compression_and_force.iter().copied()).collect();
        let forces_rise = points.windows(2).all(|pair| pair[0].1 < pair[1].1);
        let fault = ElementFault::TableNotRising { table: "bump stop force over compression" };
        let force_over_compression = MonotoneCurve::through(&points).filter(|_| forces_rise).ok_or(fault)?;
        let (_, largest_m) = force_over_compression.domain();
        if largest_m >= whole_height_m {
            return Err(ElementFault::LengthsOutOfOrder {
                smaller: "largest measured compression of the bump stop",
                smaller_m: largest_m,
                larger: "its height",
                larger_m: whole_height_m,
            });
        }
        Ok(Self { force_over_compression, whole_height_m, height_m: whole_height_m, stiffness_factor: 1.0 })
    }

    /// The same stop trimmed to a remaining height, m.
    ///
    /// # Errors
    /// When the height is not positive or exceeds the whole stop.
    pub fn trimmed_to(&self, height_m: f64) -> Result<Self, ElementFault> {
        positive("remaining bump-stop height", height_m)?;
        if height_m > self.whole_height_m {
            return Err(ElementFault::LengthsOutOfOrder {
                smaller: "remaining bump-stop height",
                smaller_m: height_m,
                larger: "whole height",
                larger_m: self.whole_height_m,
            });
        }
        Ok(Self { height_m, ..self.clone() })
    }

    /// Height of the untrimmed stop, m.
    pub fn whole_height_m(&self) -> f64 {
        self.whole_height_m
    }

    /// Compression at which the measured curve ends: from there on the stop is treated as solid, m.
    pub fn solid_compression_m(&self) -> f64 {
        self.force_over_compression.domain().1 * self.height_m / self.whole_height_m
    }

    /// Force and rate at a compression, m; both zero while the stop is not touched.
    pub fn at_compression(&self, compression_m: f64) -> ForceAndRate {
        if compression_m <= 0.0 {
            return ForceAndRate::default();
        }
        let stretch = self.whole_height_m / self.height_m;
        let whole = self.force_over_compression.at(compression_m * stretch);
        ForceAndRate {
            force_n: self.stiffness_factor * whole.value,
            rate_n_per_m: self.stiffness_factor * whole.slope * stretch,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stop() -> BumpStop {
        BumpStop::measured(&[(0.02, 500.0), (0.04, 2_000.0), (0.05, 6_000.0)], 0.07).unwrap()
    }

    #[test]
    fn law_trimmed_stop_and_its_offcut_in_series_make_the_whole_stop() {
        let (kept, offcut) = (stop().trimmed_to(0.045).unwrap(), stop().trimmed_to(0.025).unwrap());
        for whole_m in [0.01, 0.03, 0.045] {
            let force_n = stop().at_compression(whole_m).force_n;
            let (kept_m, offcut_m) = (whole_m * 0.045 / 0.07, whole_m * 0.025 / 0.07);
            assert!((kept.at_compression(kept_m).force_n - force_n).abs() < 1e-9);
            assert!((offcut.at_compression(offcut_m).force_n - force_n).abs() < 1e-9);
            let in_series = 1.0
                / (1.0 / kept.at_compression(kept_m).rate_n_per_m
                    + 1.0 / offcut.at_compression(offcut_m).rate_n_per_m);
            assert!((in_series / stop().at_compression(whole_m).rate_n_per_m - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn law_untouched_stop_carries_nothing_and_bad_stops_are_refused() {
        assert_eq!(stop().at_compression(-0.001), ForceAndRate::default());
        assert!(stop().trimmed_to(0.08).is_err());
        assert!(stop().trimmed_to(0.0).is_err());
        assert!(BumpStop::measured(&[(0.02, 500.0), (0.03, 400.0)], 0.07).is_err());
    }
}
