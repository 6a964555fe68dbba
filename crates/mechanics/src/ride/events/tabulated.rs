//! An axle law of tables: what the linkage and the parts of a real axle give.

use super::{AxleForces, AxleMarks, EventFault, LaneLaw};
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
    /// For each cell and power of the place within it, every lane's coefficient, N.
    force: Box<[[Lanes<N>; 4]; CELLS]>,
    /// Slope before the grid and behind it, N/m.
    end_slope: [Lanes<N>; 2],
    /// Slope of the damper on both sides of the origin: rebound, bump, N s/m.
    damper: [Lanes<N>; 2],
    /// Further out: speed, m/s, and what the slope grows by.
    knees: [(Lanes<N>, Lanes<N>); KNEES],
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
        let place = |knot: usize| first_m + cell_m * knot as f64;
        let force = boxed_cells(|cell| {
            let mut powers = [Lanes::splat(0.0); 4];
            for (lane, law) in laws.iter().enumerate() {
                let (from, to) =
                    (law.force_over_travel.at(place(cell)), law.force_over_travel.at(place(cell + 1)));
                let rise = to.value - from.value;
                let (leaving, arriving) = (from.slope * cell_m, to.slope * cell_m);
                let coefficients = [
                    from.value,
                    leaving,
                    3.0 * rise - 2.0 * leaving - arriving,
                    leaving + arriving - 2.0 * rise,
                ];
                for (power, coefficient) in powers.iter_mut().zip(coefficients) {
                    power.0[lane] = coefficient;
                }
            }
            powers
        });
        let mut law = Self {
            first_m,
            cells_per_m: 1.0 / cell_m,
            force,
            end_slope: [0, CELLS].map(|knot| each(&|law| law.force_over_travel.at(place(knot)).slope)),
            damper: [Lanes::splat(0.0); 2],
            knees: [(Lanes::splat(0.0), Lanes::splat(0.0)); KNEES],
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
        }
        Ok(())
    }

    #[inline(always)]
    fn spring_n(&self, lane: usize, travel_m: f64) -> f64 {
        let place = (travel_m - self.first_m) * self.cells_per_m;
        let inside = place.max(0.0).min(CELLS as f64);
        let cell = (inside as usize).min(CELLS - 1);
        let t = inside - cell as f64;
        let powers = &self.force[cell];
        let [c0, c1, c2, c3] = powers.map(|power| power.0[lane]);
        let beyond = place - inside;
        let slope = if beyond < 0.0 { self.end_slope[0].0[lane] } else { self.end_slope[1].0[lane] };
        c0 + t * (c1 + t * (c2 + t * c3)) + slope * (beyond / self.cells_per_m)
    }

    #[inline(always)]
    fn damper_n(&self, lane: usize, speed_m_per_s: f64) -> f64 {
        let side = if speed_m_per_s < 0.0 { self.damper[0].0[lane] } else { self.damper[1].0[lane] };
        let mut force = side * speed_m_per_s;
        for (speed, slope) in &self.knees {
            let speed = speed.0[lane];
            let beyond =
                if speed < 0.0 { (speed_m_per_s - speed).min(0.0) } else { (speed_m_per_s - speed).max(0.0) };
            force += slope.0[lane] * beyond;
        }
        force
    }
}

fn boxed_cells<T: Copy>(cell: impl Fn(usize) -> T) -> Box<[T; CELLS]> {
    let cells: Vec<T> = (0..CELLS).map(&cell).collect();
    // the vector has the length of the array
    cells.into_boxed_slice().try_into().unwrap_or_else(|_| Box::new(std::array::from_fn(cell)))
}

impl<const N: usize> LaneLaw<N> for TabulatedLaw<N> {
    #[inline(always)]
    fn forces(&self, lane: usize, travel_m: [f64; 2], speed_m_per_s: [f64; 2]) -> AxleForces {
        let springs = shared(self.spring_other.0[lane], travel_m, |travel| self.spring_n(lane, travel));
        let dampers = shared(self.damper_other.0[lane], speed_m_per_s, |speed| self.damper_n(lane, speed));
        let friction = speed_m_per_s
            .map(|speed| self.friction_n.0[lane] * (speed / FRICTION_SPEED_M_PER_S).clamp(-1.0, 1.0));
        AxleForces {
            parts_n: [0, 1].map(|side| springs[side] + dampers[side] + friction[side]),
            bar_n: self.bar_n_per_m.0[lane] * (travel_m[0] - travel_m[1]),
        }
    }

    #[inline(always)]
    fn marks(&self) -> &AxleMarks<N> {
        &self.marks
    }
}

/// Forces at both wheels of parts that sit at a share of both motions.
#[inline(always)]
fn shared(other: f64, motion: [f64; 2], force: impl Fn(f64) -> f64) -> [f64; 2] {
    let own = 1.0 - other;
    let [left, right] = [own * motion[0] + other * motion[1], own * motion[1] + other * motion[0]].map(force);
    [own * left + other * right, own * right + other * left]
}
