//! A check from a figure and its limit.

use super::{Area, Check, Finding, Limit};
use crate::facts::Words;
use crate::figure::Figure;
use crate::load_list::LoadState;

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
