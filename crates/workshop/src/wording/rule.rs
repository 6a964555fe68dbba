//! What a rule says.

use serde::Serialize;
use serde::ser::SerializeMap;

use super::{Meaning, Said, load_state, same_checks, source, whole};
use crate::checks::Check;
use crate::facts::{Language, Words};
use crate::fitting::RuleSays;
use crate::load_list::LoadState;
use crate::rules::RuleFigure;

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

/// A figure within the bounds of a rule.
#[derive(Debug, Clone, PartialEq)]
pub struct MetFigure {
    /// Which figure.
    pub figure: RuleFigure,
    /// Load state.
    pub state: LoadState,
    /// Its value, mm or kg.
    pub value: f64,
    /// The rule speaks from here.
    pub at_least: Option<f64>,
    /// And up to here.
    pub at_most: Option<f64>,
}

/// A value and the bounds that it met.
#[derive(Serialize)]
struct WithinBounds {
    value: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_least: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_most: Option<f64>,
}

impl Serialize for MetFigure {
    /// The value stands under the figure's own name, which has its unit.
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Self { figure, state, value, at_least, at_most } = *self;
        let named = RuleFigure::CHOICES.iter().find(|(_, choice)| *choice == figure);
        let mut map = serializer.serialize_map(Some(2))?;
        map.serialize_entry("state", &state)?;
        let within = WithinBounds { value, at_least, at_most };
        map.serialize_entry(named.map_or("value", |(name, _)| name), &within)?;
        map.end()
    }
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
            Self::Figure(MetFigure { figure, state, value, at_least, at_most }) => {
                let unit = figure.unit();
                let met = figure_is(language, *figure, *state, *value);
                met + &bounds(language, *at_least, *at_most, unit)
            }
        }
    }
}

/// `rear axle load is 1466 kg fully laden`; the load state is left out where it does not matter.
fn figure_is(language: Language, figure: RuleFigure, state: LoadState, value: f64) -> String {
    let (name, unit, value) = (rule_figure(language, figure), figure.unit(), whole(value));
    let state = if figure.is_of_a_state() { load_state(language, state) } else { "" };
    let words =
        language.pick(format!("{name} is {value} {unit} {state}"), format!("{name}: {state} {value} {unit}"));
    words.trim_end().replace("  ", " ")
}

/// A figure beside the limit of a rule.
pub(crate) struct BesideLimit {
    /// Which figure.
    pub(crate) figure: RuleFigure,
    /// Load state.
    pub(crate) state: LoadState,
    /// Its value, mm or kg.
    pub(crate) value: f64,
    /// The limit.
    pub(crate) limit: f64,
    /// Whether it lies beyond the limit, or short of it.
    pub(crate) beyond: bool,
}

impl Said for BesideLimit {
    fn words(&self, language: Language) -> String {
        let unit = self.figure.unit();
        let is = figure_is(language, self.figure, self.state, self.value);
        let (by, limit) = (whole((self.value - self.limit).abs()), whole(self.limit));
        let side =
            if self.beyond { language.pick("beyond", "jenseits") } else { language.pick("short of", "vor") };
        language.pick(
            format!("{is}, {by} {unit} {side} the limit of {limit} {unit}"),
            format!("{is}, {by} {unit} {side} der Grenze von {limit} {unit}"),
        )
    }
}

fn bounds(language: Language, at_least: Option<f64>, at_most: Option<f64>, unit: &str) -> String {
    match (at_least.map(whole), at_most.map(whole)) {
        (Some(least), Some(most)) => language.pick(
            format!(", the rule speaks from {least} to {most} {unit}"),
            format!(", die Regel gilt von {least} bis {most} {unit}"),
        ),
        (Some(least), None) => language.pick(
            format!(", the rule speaks from {least} {unit}"),
            format!(", die Regel gilt ab {least} {unit}"),
        ),
        (None, Some(most)) => language.pick(
            format!(", the rule speaks up to {most} {unit}"),
            format!(", die Regel gilt bis {most} {unit}"),
        ),
        (None, None) => String::new(),
    }
}

/// A figure that rules ask for, without its unit.
pub fn rule_figure(language: Language, figure: RuleFigure) -> &'static str {
    match figure {
        RuleFigure::FrontDrop => {
            language.pick("front drop against original", "Tieferlegung vorn gegenüber Serie")
        }
        RuleFigure::RearDrop => {
            language.pick("rear drop against original", "Tieferlegung hinten gegenüber Serie")
        }
        RuleFigure::FrontAxleLoad => language.pick("front axle load", "Achslast vorn"),
        RuleFigure::RearAxleLoad => language.pick("rear axle load", "Achslast hinten"),
        RuleFigure::FrontOverPlate => {
            language.pick("front axle load over its plate", "Überschreitung der zulässigen Achslast vorn")
        }
        RuleFigure::RearOverPlate => {
            language.pick("rear axle load over its plate", "Überschreitung der zulässigen Achslast hinten")
        }
        RuleFigure::FrontOverBand => language
            .pick("front axle load over the maker's band", "Achslast vorn über dem Bereich des Herstellers"),
        RuleFigure::RearOverBand => language
            .pick("rear axle load over the maker's band", "Achslast hinten über dem Bereich des Herstellers"),
        RuleFigure::FrontUnderBand => language.pick(
            "front axle load below the maker's band",
            "Achslast vorn unter dem Bereich des Herstellers",
        ),
        RuleFigure::RearUnderBand => language.pick(
            "rear axle load below the maker's band",
            "Achslast hinten unter dem Bereich des Herstellers",
        ),
        RuleFigure::FrontPlateOverBand => language.pick(
            "front plated axle load over the maker's band",
            "zulässige Achslast vorn über dem Bereich des Herstellers",
        ),
        RuleFigure::RearPlateOverBand => language.pick(
            "rear plated axle load over the maker's band",
            "zulässige Achslast hinten über dem Bereich des Herstellers",
        ),
        RuleFigure::FrontCaptive => {
            language.pick("front spring left captive", "Restspannung der Feder vorn, ganz ausgefedert")
        }
        RuleFigure::RearCaptive => {
            language.pick("rear spring left captive", "Restspannung der Feder hinten, ganz ausgefedert")
        }
        RuleFigure::FrontToMetal => {
            language.pick("front bump travel to metal", "Einfederweg vorn bis Metall")
        }
        RuleFigure::RearToMetal => {
            language.pick("rear bump travel to metal", "Einfederweg hinten bis Metall")
        }
    }
}

/// A rule's reason with what met it and its source.
pub fn says(language: Language, rule: &RuleSays) -> String {
    let because: Vec<String> = rule.because.iter().map(|met| met.words(language)).collect();
    let because = if because.is_empty() { String::new() } else { format!(" ({})", because.join("; ")) };
    format!("{}{because} [{}]", rule.reason.in_language(language), source(language, &rule.source))
}
