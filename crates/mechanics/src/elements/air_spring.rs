//! Auxiliary air spring: a bellows or rolling sleeve beside the van's own spring.

use super::{ElementFault, ForceAndRate, positive, within};
use crate::curve::MonotoneCurve;

/// Pressure of the standard atmosphere at sea level, Pa (ISO 2533).
pub const STANDARD_ATMOSPHERE_PA: f64 = 101_325.0;

/// What the maker of an air spring allows. Pressures are above atmosphere (gauge).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirSpringLimits {
    /// Height fully compressed, m.
    pub least_height_m: f64,
    /// Height fully extended, m.
    pub greatest_height_m: f64,
    /// Pressure that keeps the bellows from being pinched, Pa.
    pub least_pressure_pa: f64,
    /// Highest pressure, Pa.
    pub greatest_pressure_pa: f64,
}

/// An air spring as a part: effective area and gas volume over its height, and the maker's limits.
///
/// The effective area A is what the gauge pressure is multiplied by to give the force; by virtual work of the gas it
/// is also the growth of the volume with height, so the volume follows from one stated volume: dV/dh = A.
///
/// With the air line open (levelling, standing at a set pressure) the force is p A(h), whatever the height was
/// before. Once the line is shut the mass of gas is fixed: see [`AirSpring::filled`].
///
/// Beyond the allowed heights area and volume are those of the nearer end.
#[derive(Debug, Clone, PartialEq)]
pub struct AirSpring {
    area_m2: MonotoneCurve,
    /// Height (m) and gas volume (m³) at the points of the area table.
    volume_at_points: Vec<(f64, f64)>,
    limits: AirSpringLimits,
    polytropic_exponent: f64,
}

/// An air spring filled and shut off: its mass of gas is fixed and obeys p Vⁿ = constant, p absolute.
#[derive(Debug, Clone, PartialEq)]
pub struct FilledAirSpring {
    spring: AirSpring,
    filled_absolute_pa: f64,
    filled_volume_m3: f64,
}

impl AirSpring {
    /// An air spring from measured pairs (height in m, effective area in m²), in any order, that cover the allowed
    /// heights, and its gas volume (m³, with that of the fittings and lines) at one of them (m). The area may fall or
    /// rise with height.
    ///
    /// The polytropic exponent is 1 where heat has time to pass (a van standing), about 1.3 in riding motion and
    /// 1.4 where no heat passes at all. Riding about a standing height is a spring of exponent 1.3 filled at that
    /// height to the pressure that the standing one, of exponent 1, has there.
    ///
    /// # Errors
    /// When an area or the volume at the least height is not positive, the table does not cover the limits, a limit
    /// is out of order, or the exponent is not from 1 to 1.4.
    pub fn measured(
        height_and_area: &[(f64, f64)],
        (volume_height_m, volume_m3): (f64, f64),
        polytropic_exponent: f64,
        limits: AirSpringLimits,
    ) -> Result<Self, ElementFault> {
        within("polytropic exponent", polytropic_exponent, 1.0, 1.4)?;
        limits.check()?;
        let mut points = height_and_area.to_vec();
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        let fault = ElementFault::TableUnusable { table: "air spring area over height" };
        let area_m2 = MonotoneCurve::through(&points).ok_or(fault)?;
        for (_, point_m2) in &points {
            positive("effective area", *point_m2)?;
        }
        let (first_m, last_m) = area_m2.domain();
        within("least height of the air spring, m", limits.least_height_m, first_m, last_m)?;
        within("greatest height of the air spring, m", limits.greatest_height_m, first_m, last_m)?;
        let (least_m, greatest_m) = (limits.least_height_m, limits.greatest_height_m);
        within("height of the stated volume, m", volume_height_m, least_m, greatest_m)?;
        let mut above_first_m3 = 0.0;
        let mut volume_at_points = vec![(first_m, above_first_m3)];
        for pair in points.windows(2) {
            above_first_m3 += swept_volume_m3(&area_m2, pair[0].0, pair[1].0);
            volume_at_points.push((pair[1].0, above_first_m3));
        }
        let mut spring = Self { area_m2, volume_at_points, limits, polytropic_exponent };
        let at_first_m3 = volume_m3 - spring.volume_m3(volume_height_m);
        for (_, point_m3) in &mut spring.volume_at_points {
            *point_m3 += at_first_m3;
        }
        positive("gas volume at the least height", spring.volume_m3(limits.least_height_m))?;
        Ok(spring)
    }

    /// An air spring whose effective area is the same at every height, as a piston's; otherwise as
    /// [`AirSpring::measured`].
    ///
    /// # Errors
    /// As [`AirSpring::measured`].
    pub fn of_constant_area(
        area_m2: f64,
        volume_at: (f64, f64),
        polytropic_exponent: f64,
        limits: AirSpringLimits,
    ) -> Result<Self, ElementFault> {
        limits.check()?;
        let ends = [(limits.least_height_m, area_m2), (limits.greatest_height_m, area_m2)];
        Self::measured(&ends, volume_at, polytropic_exponent, limits)
    }

    /// Effective area at a height, m².
    pub fn area_m2(&self, height_m: f64) -> f64 {
        self.area_m2.at(self.limits.nearest_height_m(height_m)).value
    }

    /// Gas volume at a height, m³: the stated volume and the integral of the area from there.
    pub fn volume_m3(&self, height_m: f64) -> f64 {
        let height_m = self.limits.nearest_height_m(height_m);
        let above = self.volume_at_points.partition_point(|&(point_m, _)| point_m <= height_m);
        let (point_m, point_m3) = self.volume_at_points[above.max(1) - 1];
        point_m3 + swept_volume_m3(&self.area_m2, point_m, height_m)
    }

    /// Force with the air line open at a gauge pressure, N: p A(h), zero without pressure.
    pub fn force_at_pressure_n(&self, gauge_pressure_pa: f64, height_m: f64) -> f64 {
        self.at_pressure(gauge_pressure_pa, height_m).force_n
    }

    /// Force and rate with the air line open at a gauge pressure: p A(h) and -p dA/dh.
    fn at_pressure(&self, gauge_pressure_pa: f64, height_m: f64) -> ForceAndRate {
        let pressure_pa = gauge_pressure_pa.max(0.0);
        let end_m = self.limits.nearest_height_m(height_m);
        let area = self.area_m2.at(end_m);
        let slope = if (end_m - height_m).abs() > 0.0 { 0.0 } else { area.slope };
        ForceAndRate { force_n: pressure_pa * area.value, rate_n_per_m: -pressure_pa * slope }
    }

    /// Gas at a gauge pressure at a height, whatever the limits say.
    fn holding(&self, gauge_pressure_pa: f64, height_m: f64) -> FilledAirSpring {
        FilledAirSpring {
            spring: self.clone(),
            filled_absolute_pa: gauge_pressure_pa + STANDARD_ATMOSPHERE_PA,
            filled_volume_m3: self.volume_m3(height_m),
        }
    }

    /// What the maker allows.
    pub fn limits(&self) -> AirSpringLimits {
        self.limits
    }

    /// Gauge pressure that gives a force (N) at a height (m), Pa.
    ///
    /// # Errors
    /// When height or pressure is beyond the maker's limits.
    pub fn pressure_for_force_pa(&self, force_n: f64, height_m: f64) -> Result<f64, ElementFault> {
        self.limits.allow_height(height_m)?;
        self.limits.allow_pressure(force_n / self.area_m2(height_m))
    }

    /// The spring filled to a gauge pressure (Pa) at a height (m), then shut off.
    ///
    /// # Errors
    /// When height or pressure is beyond the maker's limits.
    pub fn filled(&self, gauge_pressure_pa: f64, at_height_m: f64) -> Result<FilledAirSpring, ElementFault> {
        self.limits.allow_height(at_height_m)?;
        self.limits.allow_pressure(gauge_pressure_pa)?;
        Ok(self.holding(gauge_pressure_pa, at_height_m))
    }
}

impl FilledAirSpring {
    /// Gauge pressure at a height, Pa: p₀ (V₀ / V)ⁿ less the atmosphere; negative where the gas draws.
    pub fn gauge_pressure_pa(&self, height_m: f64) -> f64 {
        self.absolute_pressure_pa(height_m) - STANDARD_ATMOSPHERE_PA
    }

    /// Force and rate (per metre of compression) at a height, m; both zero where the gas does not push.
    ///
    /// F = p_gauge A and -dF/dh = n p_abs A² / V - p_gauge dA/dh. Beyond the allowed heights the law is continued
    /// straight; that the bellows is bottomed or stretched there is told by [`FilledAirSpring::check_limits`], not
    /// hidden in the force.
    pub fn at_height(&self, height_m: f64) -> ForceAndRate {
        let end_m = self.spring.limits.nearest_height_m(height_m);
        let area = self.spring.area_m2.at(end_m);
        let gauge_pa = self.gauge_pressure_pa(end_m);
        let gas_n_per_m =
            self.spring.polytropic_exponent * self.absolute_pressure_pa(end_m) * area.value.powi(2)
                / self.spring.volume_m3(end_m);
        let rate_n_per_m = gas_n_per_m - gauge_pa * area.slope;
        let force_n = gauge_pa * area.value + rate_n_per_m * (end_m - height_m);
        if gauge_pa <= 0.0 || force_n <= 0.0 {
            ForceAndRate::default()
        } else {
            ForceAndRate { force_n, rate_n_per_m }
        }
    }

    /// Whether the maker allows the spring at a height (m) and the pressure it has there.
    ///
    /// # Errors
    /// Names the height or the pressure that is beyond its limits.
    pub fn check_limits(&self, height_m: f64) -> Result<(), ElementFault> {
        self.spring.limits.allow_height(height_m)?;
        self.spring.limits.allow_pressure(self.gauge_pressure_pa(height_m))?;
        Ok(())
    }

    fn absolute_pressure_pa(&self, height_m: f64) -> f64 {
        let ratio = self.filled_volume_m3 / self.spring.volume_m3(height_m);
        self.filled_absolute_pa * ratio.powf(self.spring.polytropic_exponent)
    }
}

impl AirSpringLimits {
    fn check(&self) -> Result<(), ElementFault> {
        positive("least height of the air spring", self.least_height_m)?;
        positive("greatest height of the air spring", self.greatest_height_m)?;
        if self.least_height_m >= self.greatest_height_m {
            return Err(ElementFault::LengthsOutOfOrder {
                smaller: "least height of the air spring",
                smaller_m: self.least_height_m,
                larger: "its greatest height",
                larger_m: self.greatest_height_m,
            });
        }
        positive("greatest pressure of the air spring", self.greatest_pressure_pa)?;
        let least = "least pressure of the air spring, Pa";
        within(least, self.least_pressure_pa, 0.0, self.greatest_pressure_pa)?;
        Ok(())
    }

    fn nearest_height_m(&self, height_m: f64) -> f64 {
        height_m.clamp(self.least_height_m, self.greatest_height_m)
    }

    fn allow_height(&self, height_m: f64) -> Result<f64, ElementFault> {
        within("height of the air spring, m", height_m, self.least_height_m, self.greatest_height_m)
    }

    fn allow_pressure(&self, gauge_pa: f64) -> Result<f64, ElementFault> {
        let quantity = "gauge pressure of the air spring, Pa";
        within(quantity, gauge_pa, self.least_pressure_pa, self.greatest_pressure_pa)
    }
}

/// Integral of the area between two heights with no table point between them: Simpson's rule, exact for a cubic.
fn swept_volume_m3(area_m2: &MonotoneCurve, from_m: f64, to_m: f64) -> f64 {
    let area_at_m2 = |height_m: f64| area_m2.at(height_m).value;
    let middle_m2 = area_at_m2(0.5 * (from_m + to_m));
    (to_m - from_m) / 6.0 * (area_at_m2(from_m) + 4.0 * middle_m2 + area_at_m2(to_m))
}

/// An air spring between axle and body, beside the main spring.
#[derive(Debug, Clone, PartialEq)]
pub struct FittedAirSpring {
    /// The part.
    pub spring: AirSpring,
    /// Its height with the main spring as long as at design height, m.
    pub height_at_design_m: f64,
    /// Growth of its height per growth of the main spring's length.
    pub height_per_spring_length: f64,
    /// What is in it.
    pub charge: AirCharge,
}

/// What is in an air spring.
#[derive(Debug, Clone, PartialEq)]
pub enum AirCharge {
    /// The line is open and held at a gauge pressure, Pa.
    Open(f64),
    /// The line is shut.
    Shut(FilledAirSpring),
}

impl FittedAirSpring {
    /// Height with the main spring longer by `spring_from_design_m` than at design height, m.
    pub fn height_m(&self, spring_from_design_m: f64) -> f64 {
        self.height_at_design_m + self.height_per_spring_length * spring_from_design_m
    }

    /// Force and rate at a height, m.
    pub fn at_height(&self, height_m: f64) -> ForceAndRate {
        match &self.charge {
            AirCharge::Open(gauge_pa) => self.spring.at_pressure(*gauge_pa, height_m),
            AirCharge::Shut(filled) => filled.at_height(height_m),
        }
    }

    /// Gauge pressure at a height, Pa.
    pub fn gauge_pressure_pa(&self, height_m: f64) -> f64 {
        match &self.charge {
            AirCharge::Open(gauge_pa) => *gauge_pa,
            AirCharge::Shut(filled) => filled.gauge_pressure_pa(height_m),
        }
    }

    /// The same spring filled to a gauge pressure (Pa) at a height (m) and shut off. That the maker allows both is the
    /// caller's to check.
    #[must_use]
    pub fn filled_at(&self, gauge_pressure_pa: f64, height_m: f64) -> Self {
        let filled = self.spring.holding(gauge_pressure_pa, height_m);
        Self { charge: AirCharge::Shut(filled), ..self.clone() }
    }

    /// Fills the spring to a pressure higher by `amount_pa` than it was filled to.
    pub(crate) fn fill_higher(&mut self, amount_pa: f64) {
        match &mut self.charge {
            AirCharge::Open(gauge_pa) => *gauge_pa += amount_pa,
            AirCharge::Shut(filled) => filled.filled_absolute_pa += amount_pa,
        }
    }

    /// Growth of the force at a height (m) with the pressure it was filled to, N/Pa.
    pub(crate) fn force_per_filling_pressure_n_per_pa(&self, height_m: f64) -> f64 {
        match &self.charge {
            AirCharge::Open(_) => self.spring.area_m2(height_m),
            AirCharge::Shut(filled) if filled.at_height(height_m).force_n > 0.0 => {
                let per_pa = filled.absolute_pressure_pa(height_m) / filled.filled_absolute_pa;
                per_pa * self.spring.area_m2(height_m)
            }
            AirCharge::Shut(_) => 0.0,
        }
    }

    /// The same spring with its gas shut in as it stands at a height (m), obeying a polytropic exponent from there on.
    #[must_use]
    pub fn shut_at(&self, height_m: f64, polytropic_exponent: f64) -> Self {
        let spring = AirSpring { polytropic_exponent, ..self.spring.clone() };
        let filled = spring.holding(self.gauge_pressure_pa(height_m), height_m);
        Self { charge: AirCharge::Shut(filled), ..self.clone() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const LIMITS: AirSpringLimits = AirSpringLimits {
        least_height_m: 0.06,
        greatest_height_m: 0.22,
        least_pressure_pa: 50e3,
        greatest_pressure_pa: 700e3,
    };

    /// A double bellows: broad when squat, narrow when stretched.
    const AREAS: [(f64, f64); 5] =
        [(0.22, 0.006), (0.05, 0.016), (0.09, 0.0145), (0.13, 0.0125), (0.18, 0.0095)];

    fn bellows(exponent: f64) -> AirSpring {
        AirSpring::measured(&AREAS, (0.13, 1.6e-3), exponent, LIMITS).unwrap()
    }

    fn piston(exponent: f64) -> AirSpring {
        AirSpring::of_constant_area(0.01, (0.10, 1.0e-3), exponent, LIMITS).unwrap()
    }

    #[test]
    fn val_shut_piston_by_hand() {
        // p Vⁿ = constant worked by hand: area 0.01 m², 1 l at 100 mm and 0.6 l at 60 mm, filled to 3 bar at 120 mm
        // (1.2 l): half the volume doubles the absolute pressure, 2 · 401 325 Pa, at constant temperature.
        let filled = piston(1.0).filled(300e3, 0.12).unwrap();
        assert!((filled.gauge_pressure_pa(0.06) - 701_325.0).abs() < 1e-6);
        assert!((filled.at_height(0.06).force_n - 7_013.25).abs() < 1e-8);
        assert!((filled.at_height(0.12).force_n - 3_000.0).abs() < 1e-9);
        // n p A² / V = 401 325 · 1e-4 / 1.2e-3
        assert!((filled.at_height(0.12).rate_n_per_m - 33_443.75).abs() < 1e-8);
    }

    #[test]
    fn law_shut_spring_meets_the_open_one_at_its_filling_height() {
        let filled = bellows(1.3).filled(250e3, 0.14).unwrap();
        assert!(
            (filled.at_height(0.14).force_n - bellows(1.3).force_at_pressure_n(250e3, 0.14)).abs() < 1e-9
        );
        let pressure_pa = bellows(1.3).pressure_for_force_pa(2_000.0, 0.14).unwrap();
        assert!((bellows(1.3).force_at_pressure_n(pressure_pa, 0.14) - 2_000.0).abs() < 1e-9);
    }

    #[test]
    fn law_gas_never_draws_the_body_down() {
        let filled = piston(1.0).filled(50e3, 0.06).unwrap();
        // 151 325 Pa in 0.6 l are at atmosphere in 0.896 l, at 89.6 mm
        assert!(filled.at_height(0.0895).force_n > 0.0);
        assert_eq!(filled.at_height(0.0897), ForceAndRate::default());
        assert_eq!(filled.at_height(0.5), ForceAndRate::default());
        assert!(piston(1.0).force_at_pressure_n(-1e3, 0.1).abs() < f64::MIN_POSITIVE);
    }

    #[test]
    fn law_beyond_its_heights_the_law_goes_straight_on_and_the_limit_is_named() {
        let filled = bellows(1.3).filled(250e3, 0.14).unwrap();
        let end = filled.at_height(0.06);
        let beyond = filled.at_height(0.05);
        assert!((beyond.force_n - end.force_n - 0.01 * end.rate_n_per_m).abs() < 1e-9);
        let message = |height_m: f64| filled.check_limits(height_m).unwrap_err().to_string();
        assert_eq!(message(0.05), "height of the air spring, m must be from 0.06 to 0.22, found 0.05");
        let soft = bellows(1.3).filled(120e3, 0.14).unwrap();
        let stretched = soft.check_limits(0.22).unwrap_err().to_string();
        assert!(stretched.starts_with("gauge pressure of the air spring, Pa must be from 50000 to 700000"));
        assert!((filled.gauge_pressure_pa(9.0) - filled.gauge_pressure_pa(0.22)).abs() < 1e-9);
        assert!(filled.gauge_pressure_pa(-9.0).is_finite());
        assert!(bellows(1.3).force_at_pressure_n(250e3, 9.0) > 0.0);
        assert_eq!(filled.check_limits(0.14), Ok(()));
    }

    #[test]
    fn law_bad_air_springs_are_refused_by_name() {
        let refused = |areas: &[(f64, f64)], volume: (f64, f64), exponent: f64, limits: AirSpringLimits| {
            AirSpring::measured(areas, volume, exponent, limits).unwrap_err().to_string()
        };
        let volume = (0.13, 1.6e-3);
        assert!(
            refused(&AREAS, volume, 0.9, LIMITS).starts_with("polytropic exponent must be from 1 to 1.4")
        );
        assert!(refused(&AREAS, (0.30, 1e-3), 1.0, LIMITS).starts_with("height of the stated volume"));
        assert!(refused(&AREAS, (0.13, 0.5e-3), 1.0, LIMITS).starts_with("gas volume at the least height"));
        assert!(refused(&AREAS, (0.13, f64::NAN), 1.0, LIMITS).starts_with("gas volume at the least height"));
        assert!(refused(&AREAS[..1], volume, 1.0, LIMITS).starts_with("air spring area over height"));
        assert!(
            refused(&AREAS[..3], volume, 1.0, AirSpringLimits { least_height_m: 0.04, ..LIMITS })
                .starts_with("least height of the air spring, m must be from 0.05")
        );
        assert!(refused(&[(0.05, 0.01), (0.22, 0.0)], volume, 1.0, LIMITS).starts_with("effective area"));
        let upside_down = AirSpringLimits { least_height_m: 0.3, ..LIMITS };
        assert!(
            refused(&AREAS, volume, 1.0, upside_down).starts_with("least height of the air spring (0.3 m)")
        );
        let no_pressure = AirSpringLimits { least_pressure_pa: 800e3, ..LIMITS };
        assert!(refused(&AREAS, volume, 1.0, no_pressure).starts_with("least pressure of the air spring"));
        let message = |filled: Result<FilledAirSpring, ElementFault>| filled.unwrap_err().to_string();
        assert!(message(piston(1.0).filled(20e3, 0.1)).contains("from 50000 to 700000, found 20000"));
        assert!(message(piston(1.0).filled(f64::NAN, 0.1)).contains("found NaN"));
        assert!(message(piston(1.0).filled(300e3, 0.3)).starts_with("height of the air spring, m"));
        assert!(piston(1.0).pressure_for_force_pa(8_000.0, 0.1).is_err());
        assert!(piston(1.0).pressure_for_force_pa(-100.0, 0.1).is_err());
    }

    proptest! {
        #[test]
        fn law_rate_is_the_slope_of_the_force(
            height_m in 0.04f64..0.24, exponent in 1.0f64..1.4, bar in 0.5f64..7.0,
        ) {
            let filled = bellows(exponent).filled(bar * 1e5, 0.14).unwrap();
            let h = 1e-6;
            let kinks_m = [0.05, 0.06, 0.09, 0.13, 0.18, 0.22];
            prop_assume!(kinks_m.iter().all(|kink_m| (height_m - kink_m).abs() > 2.0 * h));
            let (below, above) = (filled.at_height(height_m - h), filled.at_height(height_m + h));
            prop_assume!(above.force_n > 0.0 || below.force_n <= 0.0); // not where the gas stops pushing
            let slope = (below.force_n - above.force_n) / (2.0 * h);
            let rate = filled.at_height(height_m).rate_n_per_m;
            // rounding of forces up to 5e4 N over 2e-6 m: 1e-5 N/m; h² f'''/6 is of the same order
            prop_assert!((slope - rate).abs() < 1e-3 + 1e-7 * rate.abs(), "{slope} {rate}");
        }

        #[test]
        fn law_volume_grows_by_the_area(height_m in 0.0601f64..0.2199) {
            let h = 1e-5;
            let slope = (bellows(1.0).volume_m3(height_m + h) - bellows(1.0).volume_m3(height_m - h)) / (2.0 * h);
            // at most h²/6 times the second derivative of the area, which stays below 10 m²/m²
            prop_assert!((slope - bellows(1.0).area_m2(height_m)).abs() < 1e-8);
        }

        #[test]
        fn law_work_of_the_gas_is_what_its_state_gives(
            exponent in 1.0f64..1.4, bar in 2.0f64..6.0, low_m in 0.06f64..0.10, high_m in 0.11f64..0.15,
        ) {
            let spring = bellows(exponent);
            let filled = spring.filled(bar * 1e5, 0.14).unwrap();
            let n = 4000;
            let step_m = (high_m - low_m) / f64::from(n);
            let force_n = |k: i32| filled.at_height(low_m + f64::from(k) * step_m).force_n;
            let by_force: f64 = (0..n).map(|k| 0.5 * (force_n(k) + force_n(k + 1)) * step_m).sum();
            // ∫ p dV of p Vⁿ = constant, less the atmosphere's share
            let (v0, v1, v2) = (spring.volume_m3(0.14), spring.volume_m3(low_m), spring.volume_m3(high_m));
            let p0 = bar * 1e5 + STANDARD_ATMOSPHERE_PA;
            let gas = if exponent - 1.0 < 1e-6 {
                p0 * v0 * (v2 / v1).ln()
            } else {
                p0 * v0.powf(exponent) * (v2.powf(1.0 - exponent) - v1.powf(1.0 - exponent)) / (1.0 - exponent)
            };
            let by_state = gas - STANDARD_ATMOSPHERE_PA * (v2 - v1);
            // trapezoidal rule: relative error of the order of (step/length)² = 1e-7
            prop_assert!((by_force / by_state - 1.0).abs() < 1e-6);
        }

        #[test]
        fn law_isothermal_work_is_the_logarithm(bar in 2.0f64..6.0, low_m in 0.06f64..0.10) {
            let filled = piston(1.0).filled(bar * 1e5, 0.10).unwrap();
            let n = 4000;
            let step_m = (0.10 - low_m) / f64::from(n);
            let force_n = |k: i32| filled.at_height(low_m + f64::from(k) * step_m).force_n;
            let by_force: f64 = (0..n).map(|k| 0.5 * (force_n(k) + force_n(k + 1)) * step_m).sum();
            let p0 = bar * 1e5 + STANDARD_ATMOSPHERE_PA;
            let by_state = p0 * 1e-3 * (0.10 / low_m).ln() - STANDARD_ATMOSPHERE_PA * 0.01 * (0.10 - low_m);
            prop_assert!((by_force - by_state).abs() < 1e-6 * by_state.abs() + 1e-9);
        }
    }
}
