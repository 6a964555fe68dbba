//! An axle law of a few numbers: constant rate, stops as polynomials, damper with one knee.

use pulp::Simd;

use super::vector::{Chunk, Vector};
use super::{AxleForce, AxleMarks, LaneLaw};
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
    /// Springs and stops of both wheels. Most of the time no stop is touched in any lane.
    #[inline(always)]
    fn sprung_n(&self, [left, right]: [Vector<S>; 2]) -> [Vector<S>; 2] {
        let springs = [self.rate * left, self.rate * right];
        let room = (self.bump_gap - left.max(right)).min(left.min(right) - self.rebound_touch);
        if room.is_negative_anywhere() {
            [self.stopped_n(left, springs[0]), self.stopped_n(right, springs[1])]
        } else {
            springs
        }
    }

    #[inline(always)]
    fn stopped_n(&self, travel_m: Vector<S>, spring_n: Vector<S>) -> Vector<S> {
        let (into_bump, into_rebound) =
            ((travel_m - self.bump_gap).max(self.zero), (travel_m - self.rebound_touch).min(self.zero));
        let [square, cube] = self.bump_stop;
        let sum = (into_bump * into_bump).times_plus(cube.times_plus(into_bump, square), spring_n);
        let [square, cube] = self.rebound_stop;
        (into_rebound * into_rebound).times_plus(cube.times_plus(into_rebound, square), sum)
    }

    /// A damper, and a summand.
    #[inline(always)]
    fn damper_plus(&self, speed: Vector<S>, summand: Vector<S>) -> Vector<S> {
        let side = |rebound: Vector<S>, bump: Vector<S>| speed.if_less(self.zero, rebound, bump);
        let [bump_knee, rebound_knee] = self.knees;
        let below_knee = speed.min(bump_knee).max(rebound_knee);
        let above = side(self.rebound[0], self.bump[0]).times_plus(speed, summand);
        side(self.rebound[1], self.bump[1]).times_plus(below_knee, above)
    }
}

impl<S: Simd> AxleForce<S> for ClosedFormChunk<S> {
    #[inline(always)]
    fn forces(&self, travel_m: [Vector<S>; 2], speed_m_per_s: [Vector<S>; 2]) -> [Vector<S>; 2] {
        let sprung_n = self.sprung_n(travel_m);
        [self.damper_plus(speed_m_per_s[0], sprung_n[0]), self.damper_plus(speed_m_per_s[1], sprung_n[1])]
    }

    #[inline(always)]
    fn bar_n_per_m(&self) -> Vector<S> {
        self.bar
    }
}
