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

    /// No damping at all.
    pub fn none() -> Self {
        Self { points: vec![(-1.0, 0.0), (0.0, 0.0), (1.0, 0.0)] }
    }

    /// The curve at the wheel of a damper that goes `motion_ratio` metres per metre of travel.
    #[must_use]
    pub fn at_wheel(&self, motion_ratio: f64) -> Self {
        let at_wheel = |(speed, force): &(f64, f64)| (speed / motion_ratio, force * motion_ratio);
        Self { points: self.points.iter().map(at_wheel).collect() }
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

    /// A curve between this one and another: at every speed the same share of the way from one force to the other.
    #[must_use]
    pub fn blended(&self, other: &Self, share: f64) -> Self {
        let mut speeds: Vec<f64> = self.points.iter().chain(&other.points).map(|point| point.0).collect();
        speeds.sort_by(f64::total_cmp);
        speeds.dedup();
        let force = |speed| (1.0 - share) * self.at_speed(speed).0 + share * other.at_speed(speed).0;
        Self { points: speeds.into_iter().map(|speed| (speed, force(speed))).collect() }
    }

    /// The same curve with every force multiplied: a setting, a sample of a series, wear.
    #[must_use]
    pub fn times(&self, factor: f64) -> Self {
        Self { points: self.points.iter().map(|(speed, force)| (*speed, force * factor)).collect() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn curve() -> DamperCurve {
        DamperCurve::measured(&[(0.1, 100.0), (0.5, 250.0)], &[(0.1, 300.0), (0.5, 700.0)]).unwrap()
    }

    #[test]
    fn law_force_is_met_at_the_points_and_slopes_go_on_past_them() {
        for (speed, force) in [(-0.5, -700.0), (-0.1, -300.0), (0.0, 0.0), (0.1, 100.0), (0.5, 250.0)] {
            assert!((curve().at_speed(speed).0 - force).abs() < 1e-12);
        }
        assert!((curve().at_speed(1.0).0 - (250.0 + 0.5 * 375.0)).abs() < 1e-12);
        assert!((curve().at_speed(-1.0).0 + 700.0 + 0.5 * 1000.0).abs() < 1e-12);
    }

    #[test]
    fn law_power_at_the_wheel_is_power_along_the_rod() {
        let ratio = 0.7;
        let at_wheel = curve().at_wheel(ratio);
        for speed in [-0.6, -0.05, 0.02, 0.9] {
            let (rod_n, wheel_n) = (curve().at_speed(speed * ratio).0, at_wheel.at_speed(speed).0);
            assert!((rod_n * speed * ratio - wheel_n * speed).abs() < 1e-9);
        }
    }

    #[test]
    fn law_blend_meets_both_ends_and_lies_between() {
        let firm = DamperCurve::measured(&[(0.2, 500.0)], &[(0.2, 900.0)]).unwrap();
        for speed in [-0.4, -0.15, 0.05, 0.3] {
            let (soft_n, firm_n) = (curve().at_speed(speed).0, firm.at_speed(speed).0);
            assert!((curve().blended(&firm, 0.0).at_speed(speed).0 - soft_n).abs() < 1e-9);
            assert!((curve().blended(&firm, 1.0).at_speed(speed).0 - firm_n).abs() < 1e-9);
            let between = curve().blended(&firm, 0.25).at_speed(speed).0;
            assert!((between - (0.75 * soft_n + 0.25 * firm_n)).abs() < 1e-9);
        }
    }

    #[test]
    fn law_curves_that_do_not_rise_are_refused() {
        assert!(DamperCurve::measured(&[], &[(0.1, 1.0)]).is_err());
        assert!(DamperCurve::measured(&[(0.1, 100.0), (0.2, 90.0)], &[(0.1, 1.0)]).is_err());
        assert!(DamperCurve::measured(&[(0.1, f64::NAN)], &[(0.1, 1.0)]).is_err());
    }
}
