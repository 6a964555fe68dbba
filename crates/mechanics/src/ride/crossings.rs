//! How often a moving wheel passes a mark of its travel.

use std::f64::consts::PI;

use super::linearise::LinearisedAxle;

/// Normally distributed travel about a mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TravelMovement {
    /// Mean travel from rest, m.
    pub mean_m: f64,
    /// Standard deviation, m.
    pub rms_m: f64,
    /// Standard deviation of its speed, m/s.
    pub speed_rms_m_per_s: f64,
}

impl TravelMovement {
    /// What springs and stops of an axle see.
    pub fn at_springs(axle: &LinearisedAxle) -> Self {
        Self { mean_m: axle.mean_travel_m, rms_m: axle.spring_rms.0, speed_rms_m_per_s: axle.spring_rms.1 }
    }

    /// Expected passages of a mark outwards per kilometre, m from rest and m/s of the van.
    ///
    /// Rice's rate `σ_v / (2π σ) exp(-(a - m)² / (2 σ²))` per second (S. O. Rice, Bell System Technical Journal 24, 1945).
    /// Rare passages hang on the tails, where travel is least normal: an order of magnitude, for comparing.
    pub fn passages_per_km(&self, mark_m: f64, speed_m_per_s: f64) -> f64 {
        if self.rms_m <= 0.0 {
            return 0.0;
        }
        let distance = (mark_m - self.mean_m) / self.rms_m;
        let per_second =
            self.speed_rms_m_per_s / (2.0 * PI * self.rms_m) * (-0.5 * distance * distance).exp();
        per_second * 1000.0 / speed_m_per_s
    }

    /// Chance of at least one passage in a kilometre, passages coming independently: `1 - exp(-rate)`.
    pub fn chance_per_km(&self, mark_m: f64, speed_m_per_s: f64) -> f64 {
        -(-self.passages_per_km(mark_m, speed_m_per_s)).exp_m1()
    }
}
