//! The loop over time, compiled for the vector instructions that the machine has.

use pulp::{Simd, WithSimd};

use super::motion::{State, equations};
use super::recorder::Recorder;
use super::vector::{Chunk, Vector};
use super::{
    ClosedFormLaw, DrivenVan, EventOutcome, LaneLaw, Rule, TabulatedLaw, WeightingFilter, WheelHeights,
};
use crate::statics::CORNERS;

/// A drive that is ready to go.
#[derive(Debug)]
pub struct Ride<'a, L, const N: usize> {
    pub(super) van: &'a DrivenVan<'a, L, N>,
    pub(super) road: &'a WheelHeights,
    /// Step at which each stretch ends.
    pub(super) ends: &'a [usize],
    pub(super) filter: &'a WeightingFilter,
    /// One for each stretch, to be written.
    pub(super) outcomes: &'a mut [EventOutcome<N>],
}

/// A law whose simulation is compiled within this crate, at its level of optimisation, and for several sets of vector
/// instructions. Every sum is rounded as it is written, so every machine gives the same figures.
pub trait SteppedLaw<const N: usize>: LaneLaw<N> + Sized {
    /// Drives all the way; whether the motion stayed finite.
    fn ride(ride: Ride<'_, Self, N>, rule: Rule) -> bool;
}

/// A rule is known by its number of stages.
struct ByRule<'a, L, const N: usize, const STAGES: usize>(Ride<'a, L, N>);

impl<L: LaneLaw<N>, const N: usize, const STAGES: usize> WithSimd for ByRule<'_, L, N, STAGES> {
    type Output = bool;

    #[inline(always)]
    fn with_simd<S: Simd>(self, simd: S) -> bool {
        let Ride { van, road, ends, filter, outcomes } = self.0;
        let mut finite = true;
        for chunk in Chunk::all(simd, N) {
            let equations = equations(van, chunk, road.step_s);
            let mut recorder = Recorder::new(van, chunk, filter, road.step_s);
            let mut state = State::rest(chunk);
            let mut from = 0;
            for (end, outcome) in ends.iter().zip(outcomes.iter_mut()) {
                for step in from..*end {
                    let Some([start, middle, finish]) = road.heights_m.get(2 * step..2 * step + 3) else {
                        break;
                    };
                    let heights = [start, middle, finish].map(|heights| under_wheels(chunk, heights));
                    let seen = match STAGES {
                        2 => equations.midpoint(&mut state, &heights),
                        3 => equations.kutta_3(&mut state, &heights),
                        _ => equations.runge_kutta_4(&mut state, &heights),
                    };
                    if step == from {
                        recorder.clear(&seen);
                    }
                    recorder.note(&seen);
                }
                recorder.write(van, *end - from, outcome);
                from = *end;
            }
            finite &= state.is_finite();
        }
        finite
    }
}

#[inline(always)]
fn under_wheels<S: Simd>(chunk: Chunk<S>, heights: &[f64; CORNERS]) -> [Vector<S>; CORNERS] {
    [chunk.splat(heights[0]), chunk.splat(heights[1]), chunk.splat(heights[2]), chunk.splat(heights[3])]
}

macro_rules! compiled {
    ($($law:ident of $lanes:literal),+) => { $(
        impl SteppedLaw<$lanes> for $law<$lanes> {
            fn ride(ride: Ride<'_, Self, $lanes>, rule: Rule) -> bool {
                let machine = pulp::Arch::new();
                match rule {
                    Rule::RungeKutta4 => machine.dispatch(ByRule::<_, $lanes, 4>(ride)),
                    Rule::Midpoint => machine.dispatch(ByRule::<_, $lanes, 2>(ride)),
                    Rule::Kutta3 => machine.dispatch(ByRule::<_, $lanes, 3>(ride)),
                }
            }
        }
    )+ };
}

compiled!(ClosedFormLaw of 1, ClosedFormLaw of 8, TabulatedLaw of 1, TabulatedLaw of 8);
