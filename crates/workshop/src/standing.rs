//! A fitment at rest in every load state: what figures, checks and rules are made from.

use mechanics::statics::Response;

use crate::answer::KnownVan;
use crate::belief::Belief;
use crate::figure::Figure;
use crate::fitment::{Fitment, Solved};
use crate::load_list::LoadState;
use crate::sit::{Shared, Sit, Sitting};

/// A fitment at rest in every load state.
#[derive(Clone, Copy)]
pub struct Standing<'a> {
    /// The van.
    pub(crate) known: &'a KnownVan<'a>,
    /// The parts on it.
    pub(crate) fitment: &'a Fitment,
    /// What is not known exactly, the kit's own unknowns among it.
    pub(crate) belief: &'a Belief,
    /// Its rest in each load state, in their order.
    pub(crate) solved: &'a [Solved],
    /// What its figures share.
    pub(crate) shared: &'a Shared,
    /// Whether it is held against the van as it stands today; not where that itself is described.
    pub(crate) against_today: bool,
}

impl<'a> Standing<'a> {
    /// Rest in a load state.
    pub fn at(&self, state: LoadState) -> &'a Solved {
        &self.solved[state as usize]
    }

    /// The figures of how it sits in a load state, each made when it is asked for.
    pub fn sitting(&self, state: LoadState) -> Sitting<'a> {
        Sitting { standing: *self, state, solved: self.at(state) }
    }

    /// Every figure of how it sits, by load state.
    pub fn sits(&self) -> impl Iterator<Item = Sit> {
        LoadState::ALL.into_iter().map(|state| Sit::of(&self.sitting(state)))
    }

    /// A figure in a load state that answers to the unknowns by `slope`.
    pub fn figure(&self, state: LoadState, value: f64, slope: impl Fn(&Response) -> f64) -> Figure {
        self.belief.figure(value, &self.at(state).row(slope))
    }

    /// The difference of a figure between this fitment in a load state and another solution, which may know nothing of
    /// the kit's unknowns.
    pub fn difference(
        &self,
        state: LoadState,
        other: &Solved,
        value: f64,
        slope: impl Fn(&Response) -> f64,
    ) -> Figure {
        let there = self.belief.padded(&other.row(&slope));
        self.belief.figure(value, &(self.at(state).row(&slope) - there))
    }
}
