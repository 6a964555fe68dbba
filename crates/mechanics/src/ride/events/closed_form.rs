//! An axle law of a few numbers: constant rate, stops as polynomials, damper with one knee.

use super::{AxleForces, AxleMarks, LaneLaw};
use crate::ride::Lanes;

/// Force of a stop over its compression e from the touch: `e² (square + cube e)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StopPolynomial<const N: usize> {
    /// Travel from rest to the touch, m, positive on both stops.
    pub gap_m: Lanes<N>,
    /// Factor of the square, N/m².
    pub square_n_per_m2: Lanes<N>,
    /// Factor of the cube, N/m³.
    pub cube_n_per_m3: Lanes<N>,
}

/// Damper at the wheel, piecewise linear, yielding beyond one knee on each side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KneeDamper<const N: usize> {
    /// Speed of both knees, m/s.
    pub knee_m_per_s: Lanes<N>,
    /// Slope below and above the knee in bump, N s/m.
    pub bump_n_s_per_m: [Lanes<N>; 2],
    /// Slope below and above the knee in rebound, N s/m.
    pub rebound_n_s_per_m: [Lanes<N>; 2],
}

/// Constant wheel rate, a stop at either end, a damper with one knee and a bar; both sides alike, wheels independent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClosedFormLaw<const N: usize> {
    /// Wheel rate, N/m.
    pub rate_n_per_m: Lanes<N>,
    /// Stop in bump.
    pub bump_stop: StopPolynomial<N>,
    /// Stop in rebound.
    pub rebound_stop: StopPolynomial<N>,
    /// Damper.
    pub damper: KneeDamper<N>,
    /// Bar: force at each wheel per difference of the travels of both, N/m.
    pub bar_n_per_m: Lanes<N>,
    /// Travel to where something happens.
    pub marks: AxleMarks<N>,
}

impl<const N: usize> StopPolynomial<N> {
    #[inline(always)]
    fn force_n(&self, lane: usize, travel_m: f64) -> f64 {
        let e = positive_part(travel_m - self.gap_m.0[lane]);
        e * e * (self.square_n_per_m2.0[lane] + self.cube_n_per_m3.0[lane] * e)
    }
}

impl<const N: usize> KneeDamper<N> {
    #[inline(always)]
    fn force_n(&self, lane: usize, speed_m_per_s: f64) -> f64 {
        let knee = self.knee_m_per_s.0[lane];
        let side = |slopes: &[Lanes<N>; 2], speed: f64| {
            let beyond = positive_part(speed - knee);
            slopes[0].0[lane] * (speed - beyond) + slopes[1].0[lane] * beyond
        };
        let bump = positive_part(speed_m_per_s);
        side(&self.bump_n_s_per_m, bump) - side(&self.rebound_n_s_per_m, bump - speed_m_per_s)
    }
}

impl<const N: usize> LaneLaw<N> for ClosedFormLaw<N> {
    #[inline(always)]
    fn forces(&self, lane: usize, travel_m: [f64; 2], speed_m_per_s: [f64; 2]) -> AxleForces {
        let part = |side: usize| {
            let travel = travel_m[side];
            self.rate_n_per_m.0[lane] * travel + self.bump_stop.force_n(lane, travel)
                - self.rebound_stop.force_n(lane, -travel)
                + self.damper.force_n(lane, speed_m_per_s[side])
        };
        AxleForces {
            parts_n: [part(0), part(1)],
            bar_n: self.bar_n_per_m.0[lane] * (travel_m[0] - travel_m[1]),
        }
    }

    #[inline(always)]
    fn marks(&self) -> &AxleMarks<N> {
        &self.marks
    }
}

/// The value where it is positive, else zero; not a number stays not a number.
#[inline(always)]
fn positive_part(value: f64) -> f64 {
    if value < 0.0 { 0.0 } else { value }
}
