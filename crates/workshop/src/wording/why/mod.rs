//! The chain behind a figure, a verdict, a price, a time.

mod cost;
mod equation;
mod inputs;
mod step;
mod verdict;

use super::{Axle, corner, load_state};
use crate::facts::Language;
use crate::load_list::LoadState;

pub(crate) use cost::{operation, prices_from, quote_line, quote_sums, time_sum};
pub(crate) use equation::Equation;
pub(crate) use inputs::{
    SpringFrom, SpringInput, cause_input, item_input, running_order_input, spring_input,
};
pub(crate) use step::Step;
pub(crate) use verdict::{
    FactFrom, fact, not_by_rule, of_family, of_figure, of_kit, of_parts, of_vehicle, rule_spoke, rule_waits,
    verdict,
};

/// What a figure is of: place, name, load state and kit.
pub(crate) fn asked_figure(
    language: Language,
    place: Option<usize>,
    name: &str,
    state: LoadState,
    kit: Option<&str>,
) -> String {
    let place = place.map_or_else(String::new, |i| format!("{} ", corner(language, i)));
    let kit = kit.unwrap_or(language.pick("today", "heute"));
    format!("{place}{name}, {}, {kit}", load_state(language, state))
}

/// What arch heights as found tell: of which axle, name, load state.
pub(crate) fn asked_as_found(language: Language, of: Axle, name: &str, state: LoadState) -> String {
    let found = language.pick("as found", "im Anlieferzustand");
    format!("{} {name}, {}, {found}", super::axle(language, of), load_state(language, state))
}
