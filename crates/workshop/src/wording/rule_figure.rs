//! The figures that rules ask for, beside their limits.

use serde::Serialize;
use serde::ser::SerializeMap;

use super::{Said, load_state, whole};
use crate::facts::Language;
use crate::load_list::LoadState;
use crate::rules::RuleFigure;

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

impl Said for MetFigure {
    fn words(&self, language: Language) -> String {
        let Self { figure, state, value, at_least, at_most } = *self;
        figure_is(language, figure, state, value) + &bounds(language, figure, value, [at_least, at_most])
    }
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
}

impl Said for BesideLimit {
    fn words(&self, language: Language) -> String {
        let is = figure_is(language, self.figure, self.state, self.value);
        if at_all(self.limit) || self.limit.is_sign_negative() != self.value.is_sign_negative() {
            return is; // its side says it all
        }
        let over = self.value.abs() - self.limit.abs();
        let (unit, by, limit) = (self.figure.unit(), whole(over.abs()), whole(self.limit.abs()));
        match (language, by == "0", over > 0.0) {
            (Language::English, true, _) => format!("{is}, right at the limit"),
            (Language::German, true, _) => format!("{is}, genau an der Grenze"),
            (Language::English, _, true) => format!("{is}, {by} {unit} over the limit of {limit} {unit}"),
            (Language::German, _, true) => format!("{is}, {by} {unit} über der Grenze von {limit} {unit}"),
            (Language::English, _, false) => format!("{is}, {by} {unit} under the limit of {limit} {unit}"),
            (Language::German, _, false) => format!("{is}, {by} {unit} unter der Grenze von {limit} {unit}"),
        }
    }
}

/// Whether a limit stands for none: what passes it is too much by whatever it is.
fn at_all(limit: f64) -> bool {
    limit.abs() <= 1.0
}

/// `rear axle load, fully laden: 17 kg over its plate`; the load state is left out where it does not matter.
fn figure_is(language: Language, figure: RuleFigure, state: LoadState, value: f64) -> String {
    let subject = subject(language, figure);
    let captive = matches!(figure, RuleFigure::FrontCaptive | RuleFigure::RearCaptive);
    let state = match load_state(language, state) {
        state if figure.is_of_a_state() && !captive => format!(", {state}"),
        _ => String::new(),
    };
    let unit = figure.unit();
    let (size, side) = (whole(value.abs()), side(language, figure, value < 0.0));
    format!("{subject}{state}: {size} {unit} {side}").trim_end().to_owned()
}

/// Between which figures a rule speaks, in the words of the figure's side.
fn bounds(language: Language, figure: RuleFigure, value: f64, ends: [Option<f64>; 2]) -> String {
    let below = value < 0.0;
    let ends = ends.map(|end| end.filter(|end| !at_all(*end)));
    let of_one_side = ends.iter().flatten().all(|end| (*end < 0.0) == below);
    // higher by 25 mm or more is a drop of at most -25 mm
    let ends = if below && of_one_side { [ends[1], ends[0]] } else { ends };
    let [least, most] = ends.map(|end| {
        let end = end?;
        let side = if of_one_side { "" } else { side(language, figure, end < 0.0) };
        Some(format!("{} {} {side}", whole(end.abs()), figure.unit()).trim_end().to_owned())
    });
    match (least, most) {
        (Some(least), Some(most)) => language.pick(
            format!("; the rule speaks from {least} to {most}"),
            format!("; die Regel gilt von {least} bis {most}"),
        ),
        (Some(least), None) => language
            .pick(format!("; the rule speaks from {least} on"), format!("; die Regel gilt ab {least}")),
        (None, Some(most)) => {
            language.pick(format!("; the rule speaks up to {most}"), format!("; die Regel gilt bis {most}"))
        }
        (None, None) => String::new(),
    }
}

/// What a figure is told of.
fn subject(language: Language, figure: RuleFigure) -> &'static str {
    match figure {
        RuleFigure::FrontDrop => language.pick("front", "vorn"),
        RuleFigure::RearDrop => language.pick("rear", "hinten"),
        RuleFigure::FrontAxleLoad
        | RuleFigure::FrontOverPlate
        | RuleFigure::FrontOverBand
        | RuleFigure::FrontUnderBand => language.pick("front axle load", "Achslast vorn"),
        RuleFigure::RearAxleLoad
        | RuleFigure::RearOverPlate
        | RuleFigure::RearOverBand
        | RuleFigure::RearUnderBand => language.pick("rear axle load", "Achslast hinten"),
        RuleFigure::FrontPlateOverBand => language.pick("plated front axle load", "zulässige Achslast vorn"),
        RuleFigure::RearPlateOverBand => language.pick("plated rear axle load", "zulässige Achslast hinten"),
        RuleFigure::FrontCaptive => language.pick("front springs", "Federn vorn"),
        RuleFigure::RearCaptive => language.pick("rear springs", "Federn hinten"),
        RuleFigure::FrontToMetal => language.pick("front bump travel", "Einfederweg vorn"),
        RuleFigure::RearToMetal => language.pick("rear bump travel", "Einfederweg hinten"),
    }
}

/// On which side of nothing a figure lies.
fn side(language: Language, figure: RuleFigure, below: bool) -> &'static str {
    let [above_words, below_words] = match figure {
        RuleFigure::FrontDrop | RuleFigure::RearDrop => {
            [("lower than original", "tiefer als Serie"), ("higher than original", "höher als Serie")]
        }
        RuleFigure::FrontAxleLoad | RuleFigure::RearAxleLoad => [("", ""); 2],
        RuleFigure::FrontOverPlate | RuleFigure::RearOverPlate => [
            ("over its plate", "über der zulässigen Achslast"),
            ("under its plate", "unter der zulässigen Achslast"),
        ],
        RuleFigure::FrontOverBand
        | RuleFigure::RearOverBand
        | RuleFigure::FrontPlateOverBand
        | RuleFigure::RearPlateOverBand => [
            ("above the top of the maker's band", "über der Obergrenze des Herstellers"),
            ("below the top of the maker's band", "unter der Obergrenze des Herstellers"),
        ],
        RuleFigure::FrontUnderBand | RuleFigure::RearUnderBand => [
            ("below the bottom of the maker's band", "unter der Untergrenze des Herstellers"),
            ("above the bottom of the maker's band", "über der Untergrenze des Herstellers"),
        ],
        RuleFigure::FrontCaptive | RuleFigure::RearCaptive => [
            ("compressed with the wheels hanging", "Vorspannung bei hängenden Rädern"),
            ("loose with the wheels hanging", "lose bei hängenden Rädern"),
        ],
        RuleFigure::FrontToMetal | RuleFigure::RearToMetal => {
            [("left to metal", "bis Metall"), ("beyond metal", "über Metall hinaus")]
        }
    };
    let (en, de) = if below { below_words } else { above_words };
    language.pick(en, de)
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

#[cfg(test)]
mod tests {
    use super::*;

    fn beside(figure: RuleFigure, value: f64, limit: f64) -> [String; 2] {
        let beside = BesideLimit { figure, state: LoadState::FullyLaden, value, limit };
        [beside.words(Language::English), beside.words(Language::German)]
    }

    #[test]
    fn regress_a_figure_beside_its_limit_is_told_without_a_sign() {
        let told = [
            (
                (RuleFigure::RearUnderBand, -17.0, 1.0),
                "rear axle load, fully laden: 17 kg above the bottom of the maker's band",
                "Achslast hinten, voll beladen: 17 kg über der Untergrenze des Herstellers",
            ),
            (
                (RuleFigure::RearOverPlate, 60.0, 40.0),
                "rear axle load, fully laden: 60 kg over its plate, 20 kg over the limit of 40 kg",
                "Achslast hinten, voll beladen: 60 kg über der zulässigen Achslast, 20 kg über der Grenze von 40 kg",
            ),
            (
                (RuleFigure::FrontDrop, -28.0, -30.0),
                "front, fully laden: 28 mm higher than original, 2 mm under the limit of 30 mm",
                "vorn, voll beladen: 28 mm höher als Serie, 2 mm unter der Grenze von 30 mm",
            ),
            (
                (RuleFigure::FrontCaptive, -6.0, -0.5),
                "front springs: 6 mm loose with the wheels hanging",
                "Federn vorn: 6 mm lose bei hängenden Rädern",
            ),
            (
                (RuleFigure::RearToMetal, 30.2, 30.0),
                "rear bump travel, fully laden: 30 mm left to metal, right at the limit",
                "Einfederweg hinten, voll beladen: 30 mm bis Metall, genau an der Grenze",
            ),
        ];
        for ((figure, value, limit), en, de) in told {
            assert_eq!(beside(figure, value, limit), [en, de]);
        }
    }

    #[test]
    fn law_bounds_are_told_from_the_side_of_the_figure() {
        let met = |value, at_least, at_most| {
            let (figure, state) = (RuleFigure::FrontDrop, LoadState::DayToDay);
            MetFigure { figure, state, value, at_least, at_most }.words(Language::English)
        };
        let raised = "front, day to day: 30 mm higher than original; the rule speaks from 25 mm on";
        assert_eq!(met(-30.0, None, Some(-25.0)), raised);
        let lowered = "front, day to day: 50 mm lower than original; the rule speaks from 45 mm to 60 mm";
        assert_eq!(met(50.0, Some(45.0), Some(60.0)), lowered);
        let across =
            "front, day to day: 5 mm higher than original; the rule speaks up to 20 mm lower than original";
        assert_eq!(met(-5.0, None, Some(20.0)), across);
    }
}
