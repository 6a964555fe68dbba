//! The loop over time, compiled for the vector instructions that the machine has.

use pulp::{Simd, WithSimd};

use super::motion::{Seen, State, equations};
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

/// Samples that are taken before they are recorded, so that extremes and filters stay in registers meanwhile, and samples in
/// the nearest cache.
const SAMPLES: usize = 32;

/// Samples, the last of them the first of the next block. At the start of a line of the cache: so the whole frame of the
/// kernel is, and registers put aside do not cross lines, which costs up to a third of the time.
#[repr(align(64))]
struct Block<S: Simd>([Seen<S>; SAMPLES + 1]);

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
            let (mut now, first) = equations.now(&state, &under_wheels(chunk, &road.heights_m[0]));
            let mut seen = Block([first; SAMPLES + 1]);
            let mut from = 0;
            for (end, outcome) in ends.iter().zip(outcomes.iter_mut()) {
                recorder.clear(&seen.0[0]);
                for heights_m in road.heights_m[2 * from + 1..=2 * end].chunks(2 * SAMPLES / SEEN) {
                    let mut sample = 0;
                    for heights_m in heights_m.chunks_exact(2) {
                        let [middle, finish] =
                            [under_wheels(chunk, &heights_m[0]), under_wheels(chunk, &heights_m[1])];
                        let leaving = equations.leaving(&state, &now);
                        equations.runge_kutta_4(&mut state, &now, &[middle, finish]);
                        let at_finish;
                        (now, at_finish) = equations.now(&state, &finish);
                        if SEEN == 2 {
                            seen.0[sample + 1] =
                                equations.between(&leaving, (&state, &now), at_finish.parts_n, &middle);
                        }
                        sample += SEEN;
                        seen.0[sample] = at_finish;
                    }
                    recorder.note(&seen.0[..sample]);
                    seen.0[0] = seen.0[sample];
                }
                recorder.write(van, (end - from) * SEEN, outcome);
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
