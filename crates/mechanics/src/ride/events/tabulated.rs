//! An axle law of tables: what the linkage and the parts of a real axle give.

use pulp::Simd;

use super::vector::{Chunk, MOST_LANES, Vector};
use super::{AxleForce, AxleMarks, EventFault, LaneLaw};
use crate::ride::{AxleLaw, Lanes};

/// Below this speed of travel, m/s, friction grows in proportion to it, so that the force has no jump.
///
/// A wheel that friction would hold creeps instead, at this speed at most: travel is off by no more than friction over
/// wheel rate, and where friction holds, the damping is too small rather than endless.
pub const FRICTION_SPEED_M_PER_S: f64 = 0.01;

/// Cells of the table of force over travel.
const CELLS: usize = 256;
/// Places where the slope of a damper changes, without its origin.
const KNEES: usize = 16;

/// [`AxleLaw`]s of `N` vans side by side.
///
/// Force over travel is a cubic Hermite table on one uniform grid of 256 cells over the travel of all lanes, straight
/// beyond it; dampers are kept exactly, as sums of hinges.
#[derive(Debug, Clone)]
pub struct TabulatedLaw<const N: usize> {
    first_m: f64,
    cells_per_m: f64,
    /// For each lane and cell the coefficients of the powers of the place within it, N.
    force: [Vec<[f64; 4]>; N],
    /// Slope before the grid and behind it, N/m.
    end_slope: [Lanes<N>; 2],
    /// Slope of the damper on both sides of the origin: rebound, bump, N s/m.
    damper: [Lanes<N>; 2],
    /// Further out: speed, m/s, and what the slope grows by.
    knees: [(Lanes<N>, Lanes<N>); KNEES],
    used_knees: usize,
    spring_other: Lanes<N>,
    damper_other: Lanes<N>,
    friction_n: Lanes<N>,
    bar_n_per_m: Lanes<N>,
    marks: AxleMarks<N>,
}

impl<const N: usize> TabulatedLaw<N> {
    /// Tables of one axle of `N` vans.
    ///
    /// # Errors
    /// When a damper has more points on one side than there is room for, or a number is not finite.
    pub fn of(laws: [&AxleLaw; N]) -> Result<Self, EventFault> {
        let each = |value: &dyn Fn(&AxleLaw) -> f64| Lanes(laws.map(value));
        let domain = laws.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), law| {
            let (first, last) = law.force_over_travel.domain();
            (low.min(first), high.max(last))
        });
        let (first_m, cell_m) = (domain.0, (domain.1 - domain.0) / CELLS as f64);
        let mut law = Self {
            first_m,
            cells_per_m: 1.0 / cell_m,
            force: laws.map(|law| cells(law, first_m, cell_m)),
            end_slope: [domain.0, domain.1].map(|end| each(&|law| law.force_over_travel.at(end).slope)),
            damper: [Lanes::splat(0.0); 2],
            knees: [(Lanes::splat(0.0), Lanes::splat(0.0)); KNEES],
            used_knees: 0,
            spring_other: each(&|law| law.spring_other_share),
            damper_other: each(&|law| law.damper_other_share),
            friction_n: each(&|law| law.friction_n),
            bar_n_per_m: each(&|law| law.bar_n_per_m),
            marks: AxleMarks {
                stop_touched_m: each(&|law| law.marks.stop_touched_m.unwrap_or(f64::INFINITY)),
                twice_static_m: each(&|law| law.marks.twice_static_m),
                metal_m: each(&|law| law.marks.metal_m),
                rebound_end_m: each(&|law| law.marks.rebound_end_m),
            },
        };
        for (lane, axle) in laws.iter().enumerate() {
            law.set_damper(lane, axle)?;
        }
        Ok(law)
    }

    fn set_damper(&mut self, lane: usize, axle: &AxleLaw) -> Result<(), EventFault> {
        let most = KNEES / 2;
        let points = axle.damper.points();
        let slopes: Vec<f64> =
            points.windows(2).map(|pair| (pair[1].1 - pair[0].1) / (pair[1].0 - pair[0].0)).collect();
        let origin = points.iter().position(|point| point.0 == 0.0).unwrap_or_default();
        // the last point of a side bends nothing: the slope goes on
        if origin > most + 1 || points.len() - origin > most + 2 || origin == 0 || origin + 1 == points.len()
        {
            return Err(EventFault::TooManyDamperPoints { most: most + 1 });
        }
        self.damper[0].0[lane] = slopes[origin - 1];
        self.damper[1].0[lane] = slopes[origin];
        for (knee, point) in (1..origin).chain(origin + 1..points.len() - 1).enumerate() {
            let outward = if point < origin {
                slopes[point - 1] - slopes[point]
            } else {
                slopes[point] - slopes[point - 1]
            };
            self.knees[knee].0.0[lane] = points[point].0;
            self.knees[knee].1.0[lane] = outward;
            self.used_knees = self.used_knees.max(knee + 1);
        }
        Ok(())
    }
}

/// Cells of a Hermite table: the coefficients of 1, t, t², t³, t from 0 to 1 over each cell.
fn cells(law: &AxleLaw, first_m: f64, cell_m: f64) -> Vec<[f64; 4]> {
    let knot = |number: usize| law.force_over_travel.at(first_m + cell_m * number as f64);
    (0..CELLS)
        .map(|cell| {
            let (from, to) = (knot(cell), knot(cell + 1));
            let rise = to.value - from.value;
            let (leaving, arriving) = (from.slope * cell_m, to.slope * cell_m);
            [from.value, leaving, 3.0 * rise - 2.0 * leaving - arriving, leaving + arriving - 2.0 * rise]
        })
        .collect()
}

/// The law of one register's lanes.
struct TabulatedChunk<'a, S: Simd, const N: usize> {
    law: &'a TabulatedLaw<N>,
    chunk: Chunk<S>,
    first_m: Vector<S>,
    cells_per_m: Vector<S>,
    cell_m: Vector<S>,
    cells: Vector<S>,
    zero: Vector<S>,
    end_slope: [Vector<S>; 2],
    damper: [Vector<S>; 2],
    knees: [[Vector<S>; 2]; KNEES],
    used_knees: usize,
    /// Shares of the own and the other wheel at springs, at dampers.
    spring_shares: [Vector<S>; 2],
    damper_shares: [Vector<S>; 2],
    friction_n: Vector<S>,
    /// Friction per speed, N s/m, where it grows.
    friction_n_s_per_m: Vector<S>,
    bar_n_per_m: Vector<S>,
}

impl<const N: usize> LaneLaw<N> for TabulatedLaw<N> {
    #[inline(always)]
    fn chunk<S: Simd>(&self, chunk: Chunk<S>) -> impl AxleForce<S> {
        let shares = |other: &Lanes<N>| {
            let other = chunk.load(other);
            [chunk.splat(1.0) - other, other]
        };
        let friction_n = chunk.load(&self.friction_n);
        TabulatedChunk {
            law: self,
            chunk,
            first_m: chunk.splat(self.first_m),
            cells_per_m: chunk.splat(self.cells_per_m),
            cell_m: chunk.splat(1.0 / self.cells_per_m),
            cells: chunk.splat(CELLS as f64),
            zero: chunk.splat(0.0),
            end_slope: [chunk.load(&self.end_slope[0]), chunk.load(&self.end_slope[1])],
            damper: [chunk.load(&self.damper[0]), chunk.load(&self.damper[1])],
            knees: self.knees.map(|(speed, slope)| [chunk.load(&speed), chunk.load(&slope)]),
            used_knees: self.used_knees,
            spring_shares: shares(&self.spring_other),
            damper_shares: shares(&self.damper_other),
            friction_n,
            friction_n_s_per_m: friction_n * chunk.splat(1.0 / FRICTION_SPEED_M_PER_S),
            bar_n_per_m: chunk.load(&self.bar_n_per_m),
        }
    }

    fn marks(&self) -> &AxleMarks<N> {
        &self.marks
    }
}

impl<S: Simd, const N: usize> TabulatedChunk<'_, S, N> {
    #[inline(always)]
    fn spring_n(&self, travel_m: Vector<S>) -> Vector<S> {
        let place = (travel_m - self.first_m) * self.cells_per_m;
        let inside = place.max(self.zero).min(self.cells);
        let places = inside.spread();
        let mut within = [0.0; MOST_LANES];
        let mut powers = [[0.0; MOST_LANES]; 4];
        for (slot, lane) in self.chunk.range(N).enumerate() {
            let cell = (places[slot] as usize).min(CELLS - 1);
            within[slot] = places[slot] - cell as f64;
            let coefficients = &self.law.force[lane][cell];
            for power in 0..4 {
                powers[power][slot] = coefficients[power];
            }
        }
        let t = self.chunk.gather(&within);
        let [c0, c1, c2, c3] = powers.map(|power| self.chunk.gather(&power));
        let beyond = (place - inside) * self.cell_m;
        let slope = beyond.if_less(self.zero, self.end_slope[0], self.end_slope[1]);
        slope.times_plus(beyond, t.times_plus(t.times_plus(t.times_plus(c3, c2), c1), c0))
    }

    #[inline(always)]
    fn damper_n(&self, speed: Vector<S>) -> Vector<S> {
        let zero = self.zero;
        let mut force = speed.if_less(zero, self.damper[0], self.damper[1]) * speed;
        for [knee, slope] in self.knees.iter().take(self.used_knees) {
            let past = speed - *knee;
            force = slope.times_plus(knee.if_less(zero, past.min(zero), past.max(zero)), force);
        }
        force
    }

    #[inline(always)]
    fn friction(&self, speed: Vector<S>) -> Vector<S> {
        (self.friction_n_s_per_m * speed).max(-self.friction_n).min(self.friction_n)
    }
}

impl<S: Simd, const N: usize> AxleForce<S> for TabulatedChunk<'_, S, N> {
    #[inline(always)]
    fn forces(&self, travel_m: [Vector<S>; 2], speed_m_per_s: [Vector<S>; 2]) -> [Vector<S>; 2] {
        let seats = swapped(self.spring_shares, travel_m);
        let springs = swapped(self.spring_shares, [self.spring_n(seats[0]), self.spring_n(seats[1])]);
        let eyes = swapped(self.damper_shares, speed_m_per_s);
        let dampers = swapped(self.damper_shares, [self.damper_n(eyes[0]), self.damper_n(eyes[1])]);
        let part = |side: usize| springs[side] + dampers[side] + self.friction(speed_m_per_s[side]);
        [part(0), part(1)]
    }

    #[inline(always)]
    fn bar_n_per_m(&self) -> Vector<S> {
        self.bar_n_per_m
    }
}

/// Motion of parts from that of the wheels, and, by virtual work, forces at the wheels from those of the parts.
#[inline(always)]
fn swapped<S: Simd>([own, other]: [Vector<S>; 2], [left, right]: [Vector<S>; 2]) -> [Vector<S>; 2] {
    [own.times_plus(left, other * right), own.times_plus(right, other * left)]
}
