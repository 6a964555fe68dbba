//! An axle law of a few numbers: constant rate, stops as polynomials, damper with one knee.

use pulp::Simd;

use super::vector::{Chunk, Vector};
use super::{AxleForce, AxleForces, AxleMarks, LaneLaw};
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

/// A stop in one register's lanes.
struct StopChunk<S: Simd> {
    gap_m: Vector<S>,
    square: Vector<S>,
    cube: Vector<S>,
}

/// A law in one register's lanes.
struct ClosedFormChunk<S: Simd> {
    zero: Vector<S>,
    rate: Vector<S>,
    bump_stop: StopChunk<S>,
    rebound_stop: StopChunk<S>,
    knee: Vector<S>,
    /// Slope up to the knee, and what it grows by there.
    bump: [Vector<S>; 2],
    rebound: [Vector<S>; 2],
    bar: Vector<S>,
}

impl<const N: usize> StopPolynomial<N> {
    #[inline(always)]
    fn chunk<S: Simd>(&self, chunk: Chunk<S>) -> StopChunk<S> {
        StopChunk {
            gap_m: chunk.load(&self.gap_m),
            square: chunk.load(&self.square_n_per_m2),
            cube: chunk.load(&self.cube_n_per_m3),
        }
    }
}

impl<const N: usize> LaneLaw<N> for ClosedFormLaw<N> {
    #[inline(always)]
    fn chunk<S: Simd>(&self, chunk: Chunk<S>) -> impl AxleForce<S> {
        let side = |slopes: &[Lanes<N>; 2]| {
            let [below, above] = [chunk.load(&slopes[0]), chunk.load(&slopes[1])];
            [below, above - below]
        };
        ClosedFormChunk {
            zero: chunk.splat(0.0),
            rate: chunk.load(&self.rate_n_per_m),
            bump_stop: self.bump_stop.chunk(chunk),
            rebound_stop: self.rebound_stop.chunk(chunk),
            knee: chunk.load(&self.damper.knee_m_per_s),
            bump: side(&self.damper.bump_n_s_per_m),
            rebound: side(&self.damper.rebound_n_s_per_m),
            bar: chunk.load(&self.bar_n_per_m),
        }
    }

    fn marks(&self) -> &AxleMarks<N> {
        &self.marks
    }
}

impl<S: Simd> StopChunk<S> {
    #[inline(always)]
    fn force_n(&self, zero: Vector<S>, travel_m: Vector<S>) -> Vector<S> {
        let e = (travel_m - self.gap_m).max(zero);
        e * e * self.cube.times_plus(e, self.square)
    }
}

impl<S: Simd> ClosedFormChunk<S> {
    #[inline(always)]
    fn part_n(&self, travel_m: Vector<S>, speed_m_per_s: Vector<S>) -> Vector<S> {
        let zero = self.zero;
        let bump = speed_m_per_s.max(zero);
        let rebound = bump - speed_m_per_s;
        let stops = self.bump_stop.force_n(zero, travel_m) - self.rebound_stop.force_n(zero, -travel_m);
        let damper_bump = self.bump[1].times_plus((bump - self.knee).max(zero), self.bump[0] * bump);
        let damper_rebound =
            self.rebound[1].times_plus((rebound - self.knee).max(zero), self.rebound[0] * rebound);
        self.rate.times_plus(travel_m, stops) + (damper_bump - damper_rebound)
    }
}

impl<S: Simd> AxleForce<S> for ClosedFormChunk<S> {
    #[inline(always)]
    fn forces(&self, travel_m: [Vector<S>; 2], speed_m_per_s: [Vector<S>; 2]) -> AxleForces<S> {
        AxleForces {
            parts_n: [self.part_n(travel_m[0], speed_m_per_s[0]), self.part_n(travel_m[1], speed_m_per_s[1])],
            bar_n: self.bar * (travel_m[0] - travel_m[1]),
        }
    }
}
