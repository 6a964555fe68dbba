//! The loop over time, compiled for the vector instructions that the machine has.

use std::ops::Range;

use pulp::NullaryFnOnce;

use super::motion::{Equations, Seen, State};
use super::recorder::Recorder;
use super::{ClosedFormLaw, LaneLaw, Rule, TabulatedLaw, WheelHeights};

/// One stretch of a drive under way.
#[derive(Debug)]
pub struct Stretch<'a, L, const N: usize> {
    pub(super) equations: &'a Equations<'a, L, N>,
    pub(super) road: &'a WheelHeights,
    pub(super) steps: Range<usize>,
    pub(super) state: &'a mut State<N>,
    pub(super) seen: &'a mut Seen<N>,
    pub(super) recorder: &'a mut Recorder<N>,
}

/// A law whose simulation is compiled within this crate, at its level of optimisation, and for several sets of vector
/// instructions. Nothing is fused or reordered, so every machine gives the same figures.
pub trait SteppedLaw<const N: usize>: LaneLaw<N> + Sized {
    /// Drives over the stretch.
    fn drive_over(stretch: Stretch<'_, Self, N>, rule: Rule);
}

struct ByRule<'a, L, const N: usize, const KUTTA_3: bool>(Stretch<'a, L, N>);

impl<L: LaneLaw<N>, const N: usize, const KUTTA_3: bool> NullaryFnOnce for ByRule<'_, L, N, KUTTA_3> {
    type Output = ();

    #[inline(always)]
    fn call(self) {
        let Stretch { equations, road, steps, state, seen, recorder } = self.0;
        let half_steps = road.heights_m.windows(3).step_by(2);
        for heights in half_steps.skip(steps.start).take(steps.len()) {
            let heights = [heights[0], heights[1], heights[2]];
            equations.step::<KUTTA_3>(state, &heights, road.step_s, seen);
            recorder.note(seen);
        }
    }
}

macro_rules! compiled {
    ($($law:ident of $lanes:literal),+) => { $(
        impl SteppedLaw<$lanes> for $law<$lanes> {
            fn drive_over(stretch: Stretch<'_, Self, $lanes>, rule: Rule) {
                let machine = pulp::Arch::new();
                match rule {
                    Rule::RungeKutta4 => machine.dispatch(ByRule::<_, $lanes, false>(stretch)),
                    Rule::Kutta3 => machine.dispatch(ByRule::<_, $lanes, true>(stretch)),
                }
            }
        }
    )+ };
}

compiled!(ClosedFormLaw of 1, ClosedFormLaw of 8, TabulatedLaw of 1, TabulatedLaw of 8);
