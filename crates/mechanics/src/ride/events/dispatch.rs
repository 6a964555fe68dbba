//! The loop over time, compiled for the vector instructions that the machine has.

use pulp::{Simd, WithSimd};

use super::motion::{FREEDOMS, State, equations};
use super::recorder::Recorder;
use super::vector::{Chunk, Vector};
use super::{
    ClosedFormLaw, DrivenVan, EventOutcome, LaneLaw, Seeing, TabulatedLaw, WeightingFilter, WheelHeights,
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
    fn ride(ride: Ride<'_, Self, N>, seeing: Seeing) -> bool;
}

/// A ride whose steps are seen so often: once, or twice.
struct Stepping<'a, L, const N: usize, const SEEN: usize>(Ride<'a, L, N>);

impl<L: LaneLaw<N>, const N: usize, const SEEN: usize> WithSimd for Stepping<'_, L, N, SEEN> {
    type Output = bool;

    #[inline(always)]
    fn with_simd<S: Simd>(self, simd: S) -> bool {
        let Ride { van, road, ends, filter, outcomes } = self.0;
        let mut finite = true;
        for chunk in Chunk::all(simd, N) {
            let equations = equations(van, chunk, road.step_s);
            let mut recorder = Recorder::new(van, chunk, filter, road.step_s / SEEN as f64);
            let mut state = State::rest(chunk);
            let mut before = (state, [chunk.splat(0.0); FREEDOMS]);
            let (mut from, mut stretches) = (0, ends.iter().zip(outcomes.iter_mut()).peekable());
            for step in 0..=road.steps() {
                let at = |half: usize| road.heights_m.get(half).map(|heights| under_wheels(chunk, heights));
                let Some(start) = at(2 * step) else { break };
                let (acceleration, seen) = equations.now(&state, &start);
                if let Some(middle) =
                    step.checked_sub(1).and_then(|before| at(2 * before + 1)).filter(|_| SEEN == 2)
                {
                    let [from, to] = [(&before.0, &before.1), (&state, &acceleration)];
                    recorder.note(&equations.between(from, to, seen.parts_n, &middle));
                }
                if let Some((end, outcome)) = stretches.next_if(|(end, _)| **end == step) {
                    recorder.write(van, (end - from) * SEEN, outcome);
                    from = *end;
                    if stretches.peek().is_none() {
                        break;
                    }
                }
                if step == from {
                    recorder.clear(&seen);
                }
                recorder.note(&seen);
                let (Some(middle), Some(finish)) = (at(2 * step + 1), at(2 * step + 2)) else { break };
                if SEEN == 2 {
                    before = (state, acceleration);
                }
                equations.runge_kutta_4(&mut state, &acceleration, &[middle, finish]);
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
            fn ride(ride: Ride<'_, Self, $lanes>, seeing: Seeing) -> bool {
                let machine = pulp::Arch::new();
                match seeing {
                    Seeing::EachStep => machine.dispatch(Stepping::<_, $lanes, { Seeing::EachStep as usize }>(ride)),
                    Seeing::TwiceAStep => machine.dispatch(Stepping::<_, $lanes, { Seeing::TwiceAStep as usize }>(ride)),
                }
            }
        }
    )+ };
}

compiled!(ClosedFormLaw of 1, ClosedFormLaw of 8, TabulatedLaw of 1, TabulatedLaw of 8);
