//! A spring on the bench.

use serde::Serialize;

use super::{Said, signed, whole};
use crate::facts::Language;

/// What to make of bench readings.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum BenchSays {
    /// They bend away from a straight line.
    ReadingsBend,
    /// They agree with the wire formula.
    AgreesWithWire {
        /// Within so much, per cent.
        within_percent: f64,
    },
    /// They differ from it.
    DiffersFromWire {
        /// Read against wire formula, per cent.
        by_percent: f64,
    },
}

impl Said for BenchSays {
    fn words(&self, language: Language) -> String {
        match self {
            Self::ReadingsBend => language
                .pick(
                    "The readings bend: give them as load_over_length, not as one rate.",
                    "Die Messwerte liegen nicht auf einer Geraden: als load_over_length eintragen, nicht als eine Rate.",
                )
                .to_owned(),
            Self::AgreesWithWire { within_percent } => {
                let percent = whole(*within_percent);
                language.pick(
                    format!("Agrees with the wire formula within {percent} %."),
                    format!("Stimmt mit der Drahtformel auf {percent} % überein."),
                )
            }
            Self::DiffersFromWire { by_percent } => {
                let percent = signed(language, *by_percent, 0);
                language.pick(
                    format!(
                        "Differs from the wire formula by {percent} %: count the active coils and measure the wire again."
                    ),
                    format!(
                        "Weicht von der Drahtformel um {percent} % ab: federnde Windungen zählen und den Draht nachmessen."
                    ),
                )
            }
        }
    }
}
