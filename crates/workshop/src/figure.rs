//! A figure as people are shown it: value, range, evidence, and what widens the range.

use crate::wording::{Cause, Remedy, in_words};

/// Where a figure comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Evidence {
    /// Measured on this very van or part.
    Measured,
    /// From the statutory plate.
    Plate,
    /// As the maker publishes it.
    MakersFigure,
    /// Estimated by somebody.
    Estimated,
    /// Computed from others.
    Computed,
}

/// Standard deviations from the middle to either end of the range in which a normal quantity lies nine times out
/// of ten: the 0.95 quantile of the standard normal distribution.
pub const NINE_IN_TEN_SD: f64 = 1.644_853_626_951_472_7;

/// A figure. Its unit is in the name of the field that holds it.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Figure {
    /// Best value.
    pub value: f64,
    /// Nine times out of ten the true value is not below this by more than 1 in 20.
    pub low: f64,
    /// Likewise above.
    pub high: f64,
    /// Where it comes from.
    pub evidence: Evidence,
    /// What widens the range most, largest first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub widened_by: Vec<Contribution>,
}

/// One cause of a range.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Contribution {
    /// What is uncertain.
    #[serde(serialize_with = "in_words")]
    pub cause: Cause,
    /// Share of the figure's variance that would go if this alone were known exactly, 0 to 1. Shares of causes that
    /// readings have correlated overlap, and need not add to 1.
    pub share: f64,
    /// Evidence behind that input.
    pub evidence: Evidence,
    /// What would narrow it.
    #[serde(serialize_with = "in_words")]
    pub remedy: Remedy,
    /// Half-width of the range if this alone were known exactly.
    pub half_width_without: f64,
}

impl Figure {
    /// A figure with a standard deviation, its range nine times out of ten.
    pub fn with_sd(value: f64, sd: f64, evidence: Evidence, widened_by: Vec<Contribution>) -> Self {
        let half_width = NINE_IN_TEN_SD * sd;
        Self { value, low: value - half_width, high: value + half_width, evidence, widened_by }
    }

    /// A figure without a range of its own.
    pub fn exact(value: f64, evidence: Evidence) -> Self {
        Self { value, low: value, high: value, evidence, widened_by: Vec::new() }
    }

    /// The figure with a number known exactly added.
    #[must_use]
    pub fn plus(mut self, amount: f64) -> Self {
        self.value += amount;
        self.low += amount;
        self.high += amount;
        self
    }

    /// The figure in a unit of which `factor` make one, more than none.
    #[must_use]
    pub fn times(mut self, factor: f64) -> Self {
        self.value *= factor;
        self.low *= factor;
        self.high *= factor;
        for contribution in &mut self.widened_by {
            contribution.half_width_without *= factor;
        }
        self
    }

    /// The figure the other way round.
    #[must_use]
    pub fn negated(self) -> Self {
        Self { value: -self.value, low: -self.high, high: -self.low, ..self }
    }

    /// Evidence of the weakest input that matters, or the figure's own where none is listed.
    pub fn weakest_evidence(&self) -> Evidence {
        self.widened_by.iter().map(|cause| cause.evidence).max().unwrap_or(self.evidence)
    }

    /// Half the width of the range.
    pub fn half_width(&self) -> f64 {
        0.5 * (self.high - self.low)
    }
}
