//! The chain behind a figure, a verdict, a price, a time.

mod cost;
mod equation;
mod figure;
mod inputs;
mod step;
mod verdict;

use super::{Axle, axle, corner, load_state};
use crate::facts::Language;
use crate::kit::Kit;
use crate::load_list::LoadState;

pub(crate) use cost::{operation, prices_from, quote_line, quote_sums, time_sum};
pub(crate) use equation::Equation;
pub(crate) use figure::figure_named;
pub(crate) use inputs::{
    SpringFrom, SpringInput, cause_input, item_input, running_order_input, spring_input,
};
pub(crate) use step::Step;
pub(crate) use verdict::{
    FactFrom, capital, fact, not_by_rule, of_family, of_figure, of_kit, of_parts, of_vehicle,
    operation_asked, rule_spoke, rule_waits, verdict,
};

/// What a figure is of.
#[derive(Debug, Clone, Copy)]
pub(crate) enum FigureOf {
    /// The van class, whatever is fitted or carried.
    Sheet,
    Van,
    Axle(Axle),
    Corner(usize),
}

/// What is asked for: name, place, load state and kit.
pub(crate) fn asked_figure(
    language: Language,
    of: FigureOf,
    name: &str,
    state: LoadState,
    kit: Option<&Kit>,
) -> String {
    let name = figure_named(language, name);
    let place = match of {
        FigureOf::Sheet => return name.to_owned(),
        FigureOf::Van => String::new(),
        FigureOf::Axle(of) => format!(" {}", axle(language, of)),
        FigureOf::Corner(i) => format!(" {}", corner(language, i)),
    };
    let kit = kit.map_or(language.pick("today", "heute"), |kit| &kit.name);
    format!("{name}{place}, {}, {kit}", load_state(language, state))
}

/// What is asked of a kit as a whole.
pub(crate) fn asked_of_kit(language: Language, name: &str, kit: &str) -> String {
    format!("{}, {kit}", figure_named(language, name))
}

/// What arch heights as found tell: name, of which axle, load state.
pub(crate) fn asked_as_found(language: Language, of: Axle, name: &str, state: LoadState) -> String {
    let (figure, place) = (figure_named(language, name), axle(language, of));
    let found = language.pick("as found", "im Anlieferzustand");
    format!("{figure} {place}, {}, {found}", load_state(language, state))
}
