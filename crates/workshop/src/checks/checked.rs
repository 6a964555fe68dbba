//! A fitment solved in every load state, ready to be checked.

use mechanics::statics::Response;
use nalgebra::DVector;

use super::{Area, Check, Finding, Limit};
use crate::answer::KnownVan;
use crate::belief::Belief;
use crate::facts::Words;
use crate::figure::Figure;
use crate::fitment::{Fitment, Solved};
use crate::load_list::LoadState;
use crate::sit::Sit;

/// What checks look at.
#[derive(Clone, Copy)]
pub struct Checked<'a> {
    /// The van.
    pub known: &'a KnownVan<'a>,
    /// The parts on it.
    pub fitment: &'a Fitment,
    /// What is not known exactly, the kit's own unknowns among it.
    pub belief: &'a Belief,
    /// Its rest in each load state, in their order.
    pub solved: &'a [Solved],
    /// How it sits there.
    pub sits: &'a [Sit],
}

impl Checked<'_> {
    /// Rest in a load state.
    pub fn at(&self, state: LoadState) -> &Solved {
        &self.solved[state as usize]
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
        let there = other.row(&slope);
        let padded =
            DVector::from_fn(self.belief.unknowns.len(), |i, _| there.get(i).copied().unwrap_or(0.0));
        self.belief.figure(value, &(self.at(state).row(&slope) - padded))
    }
}

/// A figure held against a limit.
pub(super) fn held(
    check: &'static str,
    area: Area,
    state: LoadState,
    (figure, unit): (Figure, &'static str),
    limit: Limit,
    said: Words,
) -> Check {
    let finding = limit.finding(&figure);
    Check {
        check,
        area,
        axle: None,
        state: Some(state),
        finding,
        figure: Some(figure),
        unit,
        limit: Some(limit),
        words: said,
    }
}

/// Something that has to be looked at because it is not known.
pub(super) fn unknown(check: &'static str, area: Area, said: Words) -> Check {
    Check {
        check,
        area,
        axle: None,
        state: None,
        finding: Finding::LookAtIt,
        figure: None,
        unit: "",
        limit: None,
        words: said,
    }
}
