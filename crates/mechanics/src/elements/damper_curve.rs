//! Force of a damper over its speed.

use super::ElementFault;

/// Force over speed of a damper at one setting, piecewise linear through measured points and through the origin.
///
/// Compression (bump) speed and force are positive, rebound negative; beyond the last points the last slopes go on.
#[derive(Debug, Clone, PartialEq)]
pub struct DamperCurve {
    /// Speed in m/s and force in N, rising, with the origin among them.
    points: Vec<(f64, f64)>,
}

impl DamperCurve {
    /// A curve from pairs (speed in m/s, force in N) of magnitudes, for bump and for rebound, each without the origin.
    ///
    /// # Errors
    /// When a side is empty, or speeds or forces do not rise from zero.
    pub fn measured(bump: &[(f64, f64)], rebound: &[(f64, f64)]) -> Result<Self, ElementFault> {
        let fault = || ElementFault::TableNotRising { table: "damper force over speed" };
        let rises = |side: &[(f64, f64)]| {
            !side.is_empty()
                && std::iter::once((0.0, 0.0))
                    .chain(side.iter().copied())
                    .zip(side)
                    .all(|(before, after)| after.0 > before.0 && after.1 > before.1 && after.1.is_finite())
        };
        if !rises(bump) || !rises(rebound) {
            return Err(fault());
        }
        let points = rebound
            .iter()
            .rev()
            .map(|(speed, force)| (-speed, -force))
            .chain(std::iter::once((0.0, 0.0)))
            .chain(bump.iter().copied())
            .collect();
        Ok(Self { points })
    }

    /// Speed and force of every point, rising; the first and last slope go on beyond the ends.
    pub fn points(&self) -> &[(f64, f64)] {
        &self.points
    }

    /// Force, N, and its growth with speed, N s/m, at a speed, m/s.
    pub fn at_speed(&self, speed_m_per_s: f64) -> (f64, f64) {
        let last = self.points.len() - 2;
        let segment =
            self.points.partition_point(|point| point.0 <= speed_m_per_s).saturating_sub(1).min(last);
        let (from, to) = (self.points[segment], self.points[segment + 1]);
        let slope = (to.1 - from.1) / (to.0 - from.0);
        (from.1 + slope * (speed_m_per_s - from.0), slope)
    }

    /// The same curve with every force multiplied: a setting, a sample of a series, wear.
    #[must_use]
    pub fn times(&self, factor: f64) -> Self {
        Self { points: self.points.iter().map(|(speed, force)| (*speed, force * factor)).collect() }
    }
}
