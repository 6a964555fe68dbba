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

/// A law in one register's lanes, with as few operations as it can be had in: it is asked several times a step of every van.
struct ClosedFormChunk<S: Simd> {
    zero: Vector<S>,
    rate: Vector<S>,
    bump_gap: Vector<S>,
    bump_stop: [Vector<S>; 2],
    /// Where the rebound stop is touched, which is negative travel, and its factors with the signs that go with that.
    rebound_touch: Vector<S>,
    rebound_stop: [Vector<S>; 2],
    /// Knees in bump and rebound.
    knees: [Vector<S>; 2],
    /// Slope above the knee, and by how much it is steeper below.
    bump: [Vector<S>; 2],
    rebound: [Vector<S>; 2],
    bar: Vector<S>,
}

impl<const N: usize> LaneLaw<N> for ClosedFormLaw<N> {
    #[inline(always)]
    fn chunk<S: Simd>(&self, chunk: Chunk<S>) -> impl AxleForce<S> {
        let load = |lanes: &Lanes<N>| chunk.load(lanes);
        let (bump, rebound) = (&self.bump_stop, &self.rebound_stop);
        let knee = load(&self.damper.knee_m_per_s);
        let side = |slopes: &[Lanes<N>; 2]| {
            let [below, above] = [load(&slopes[0]), load(&slopes[1])];
            [above, below - above]
        };
        ClosedFormChunk {
            zero: chunk.splat(0.0),
            rate: load(&self.rate_n_per_m),
            bump_gap: load(&bump.gap_m),
            bump_stop: [load(&bump.square_n_per_m2), load(&bump.cube_n_per_m3)],
            rebound_touch: -load(&rebound.gap_m),
            rebound_stop: [-load(&rebound.square_n_per_m2), load(&rebound.cube_n_per_m3)],
            knees: [knee, -knee],
            bump: side(&self.damper.bump_n_s_per_m),
            rebound: side(&self.damper.rebound_n_s_per_m),
            bar: load(&self.bar_n_per_m),
        }
    }

    fn marks(&self) -> &AxleMarks<N> {
        &self.marks
    }
}

impl<S: Simd> ClosedFormChunk<S> {
    #[inline(always)]
    fn part_n(&self, travel_m: Vector<S>, speed_m_per_s: Vector<S>) -> Vector<S> {
        let (into_bump, into_rebound) =
            ((travel_m - self.bump_gap).max(self.zero), (travel_m - self.rebound_touch).min(self.zero));
        let [square, cube] = self.bump_stop;
        let sum = self.rate * travel_m;
        let sum = (into_bump * into_bump).times_plus(cube.times_plus(into_bump, square), sum);
        let [square, cube] = self.rebound_stop;
        let stopped = (into_rebound * into_rebound).times_plus(cube.times_plus(into_rebound, square), sum);
        let (bump, rebound) = (speed_m_per_s.max(self.zero), speed_m_per_s.min(self.zero));
        let [bump_knee, rebound_knee] = self.knees;
        let damped = self.bump[0].times_plus(bump, stopped);
        let damped = self.bump[1].times_plus(bump.min(bump_knee), damped);
        let damped = self.rebound[0].times_plus(rebound, damped);
        self.rebound[1].times_plus(rebound.max(rebound_knee), damped)
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
