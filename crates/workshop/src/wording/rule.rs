//! What a rule says.

use serde::Serialize;

use super::{Meaning, MetFigure, Said, same_checks, source};
use crate::checks::Check;
use crate::facts::{Language, Words};
use crate::fitting::RuleSays;

/// What met a rule.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Because {
    /// The kit is sold for other vans.
    SoldFor {
        /// Their vehicle sheets.
        vehicles: Vec<String>,
    },
    /// The van cannot be computed with it.
    NotComputed {
        /// What stood in the way.
        why: Words,
    },
    /// Something stops the van with it.
    Stops {
        /// What.
        stop: Box<Meaning>,
    },
    /// The mount that the struts are made for, against the van's.
    StrutMount {
        /// What they are made for.
        made_for: Words,
        /// What the van has.
        on_the_van: Words,
    },
    /// A figure lies within the rule's bounds.
    Figure(MetFigure),
    /// A check came out so.
    Check {
        /// Which, with its figure.
        check: Box<Check>,
    },
}

impl Said for Because {
    fn words(&self, language: Language) -> String {
        match self {
            Self::SoldFor { vehicles } => {
                format!("{} {}", language.pick("sold for", "angeboten für"), vehicles.join(", "))
            }
            Self::NotComputed { why } => why.in_language(language).to_owned(),
            Self::Stops { stop } => stop.words(language),
            Self::StrutMount { made_for, on_the_van } => {
                let (made_for, van) = (made_for.in_language(language), on_the_van.in_language(language));
                language.pick(
                    format!("its struts are made for: {made_for}; on the van: {van}"),
                    format!("seine Federbeine sind gemacht für: {made_for}; am Wagen: {van}"),
                )
            }
            Self::Check { check } => same_checks(language, &[check]),
            Self::Figure(met) => met.words(language),
        }
    }
}

/// A rule's reason with what met it and its source.
pub fn says(language: Language, rule: &RuleSays) -> String {
    let because: Vec<String> = rule.because.iter().map(|met| met.words(language)).collect();
    let because = if because.is_empty() { String::new() } else { format!(" ({})", because.join("; ")) };
    format!("{}{because} [{}]", rule.reason.in_language(language), source(language, &rule.source))
}
