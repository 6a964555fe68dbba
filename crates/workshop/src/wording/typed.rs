//! What is said of a number as typed.

use super::{Manner, Said, numbers::fixed};
use crate::document::Range;
use crate::facts::Language;
use crate::typed::{Asked, Typed};

/// Why a number as typed was not taken.
#[derive(Debug, Clone, PartialEq)]
pub enum TypedFault {
    /// Nothing was typed.
    Nothing,
    /// It is no number.
    NotANumber {
        /// What was typed.
        found: String,
    },
    /// Its unit is not one of what is asked for.
    UnknownUnit {
        /// The unit as typed.
        found: String,
        /// What is asked for.
        asked: Asked,
    },
    /// A separator may stand for decimals or thousands, and both make sense.
    TwoReadings {
        /// What was typed.
        found: String,
        /// With decimals, in the unit that is kept.
        one: f64,
        /// With thousands, in the unit that is kept.
        other: f64,
        /// What is asked for.
        asked: Asked,
    },
    /// It is a number that cannot be.
    OutOfRange {
        /// Value in the unit that is kept.
        value: f64,
        /// What is allowed.
        range: Range,
        /// What is asked for.
        asked: Asked,
        /// A unit with which it would be within the range.
        meant: Option<&'static str>,
    },
}

/// A number as short as it can be written.
pub fn shortly(language: Language, value: f64) -> String {
    let decimals = (0..3).find(|&decimals| {
        let scaled = value * 10_f64.powi(decimals);
        (scaled - scaled.round()).abs() < 1e-6
    });
    fixed(language, value, decimals.unwrap_or(3).unsigned_abs() as usize)
}

fn with_unit(language: Language, value: f64, asked: Asked) -> String {
    format!("{} {}", shortly(language, value), asked.unit()).trim_end().to_owned()
}

impl Said for TypedFault {
    fn words(&self, language: Language) -> String {
        let number = |value: f64, asked: Asked| with_unit(language, value, asked);
        match self {
            Self::Nothing => language
                .pick("Nothing was entered. Enter a number.", "Es steht nichts da. Geben Sie eine Zahl ein.")
                .to_owned(),
            Self::NotANumber { found } => language.pick(
                format!("\"{found}\" cannot be read as a number. Write it like 12.5 or 12,5."),
                format!("„{found}“ ist nicht als Zahl zu lesen. Schreiben Sie sie wie 12,5 oder 12.5."),
            ),
            Self::UnknownUnit { found, asked } => {
                let names: Vec<&str> = asked.units().iter().map(|(name, _)| *name).collect();
                let names = names.join(", ");
                language.pick(
                    format!("The unit \"{found}\" is not known here. Allowed: {names}."),
                    format!("Die Einheit „{found}“ ist hier unbekannt. Erlaubt: {names}."),
                )
            }
            Self::TwoReadings { found, one, other, asked } => {
                let (one, other) = (number(*one, *asked), number(*other, *asked));
                language.pick(
                    format!("\"{found}\" can be {one} or {other}. Write it without the mark, or with its decimals."),
                    format!("„{found}“ kann {one} oder {other} heißen. Schreiben Sie es ohne das Zeichen oder mit Nachkommastellen."),
                )
            }
            Self::OutOfRange { value, range, asked, meant } => {
                let (low, high) = (shortly(language, range.min), number(range.max, *asked));
                let value = number(*value, *asked);
                let question = meant.map_or_else(String::new, |unit| {
                    language.pick(format!(" Did you mean {unit}?"), format!(" Meinten Sie {unit}?"))
                });
                language.pick(
                    format!("It must be between {low} and {high}. You entered {value}.{question}"),
                    format!("Es muss zwischen {low} und {high} liegen. Eingegeben: {value}.{question}"),
                )
            }
        }
    }
}

/// What was understood of a number that was typed otherwise than it is kept.
pub fn understood(language: Language, typed: Typed, asked: Asked) -> String {
    Manner::from(language).understood(typed, asked)
}
