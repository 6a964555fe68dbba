//! What changes from one kit to another.

use serde::Serialize;

use super::{Said, comfort, signed, whole};
use crate::facts::{Language, Words};
use crate::price::Currency;
use crate::ride::ComfortChange;

/// One thing that changes if kit B is chosen instead of kit A.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Change {
    /// The same height.
    SameHeight,
    /// Another height.
    Height {
        /// How much lower, mm; negative where higher.
        lower_mm: f64,
    },
    /// Another level.
    Level {
        /// Level with A, tail-up positive, mm.
        from_mm: f64,
        /// Level with B, mm.
        to_mm: f64,
    },
    /// More or less bump travel to metal, fully laden.
    Travel {
        /// How much more, mm.
        more_mm: f64,
    },
    /// Comfort is otherwise.
    Comfort {
        /// With A.
        from: Box<ComfortChange>,
        /// With B.
        to: Box<ComfortChange>,
    },
    /// More or less certain.
    Certainty {
        /// Half-width of the range of the drop with A, mm.
        from_plus_minus_mm: f64,
        /// The same with B, mm.
        to_plus_minus_mm: f64,
    },
    /// Another total.
    Cost {
        /// How much more, in minor units.
        more_minor: i64,
        /// Currency.
        currency: Currency,
    },
    /// Another time on the ramp.
    Time {
        /// How much longer, min.
        longer_minutes: f64,
    },
    /// Only B needs a part.
    NeedsPart {
        /// Its name.
        name: Words,
    },
    /// Only A needs a part.
    DoesWithoutPart {
        /// Its name.
        name: Words,
    },
    /// A warning that speaks of B alone.
    Warns {
        /// Its reason.
        reason: Words,
    },
}

impl Said for Change {
    fn words(&self, language: Language) -> String {
        match self {
            Self::SameHeight => {
                language.pick("It stands at the same height.", "Er steht gleich hoch.").to_owned()
            }
            Self::Height { lower_mm } => {
                let mm = whole(lower_mm.abs());
                if *lower_mm > 0.0 {
                    language.pick(format!("It stands {mm} mm lower."), format!("Er steht {mm} mm tiefer."))
                } else {
                    language.pick(format!("It stands {mm} mm higher."), format!("Er steht {mm} mm höher."))
                }
            }
            Self::Level { from_mm, to_mm } => {
                let by = whole((to_mm - from_mm).abs());
                let side = if to_mm > from_mm {
                    language.pick("up", "höher")
                } else {
                    language.pick("down", "tiefer")
                };
                let (from, to) = (signed(language, *from_mm, 0), signed(language, *to_mm, 0));
                language.pick(
                    format!("The tail comes {side} by {by} mm: level is {to} mm instead of {from} mm."),
                    format!("Das Heck kommt um {by} mm {side}: Niveau {to} mm statt {from} mm."),
                )
            }
            Self::Travel { more_mm } => {
                let mm = whole(more_mm.abs());
                let more = if *more_mm > 0.0 {
                    language.pick("more", "mehr")
                } else {
                    language.pick("less", "weniger")
                };
                language.pick(
                    format!("Fully laden there are {mm} mm {more} of bump travel before metal."),
                    format!("Voll beladen bleiben {mm} mm {more} Einfederweg bis Metall."),
                )
            }
            Self::Comfort { from, to } => {
                let (from, to) = (comfort(language, from), comfort(language, to));
                language.pick(
                    format!("comfort otherwise: {to}; before: {from}"),
                    format!("anderer Komfort: {to}; vorher: {from}"),
                )
            }
            Self::Certainty { from_plus_minus_mm, to_plus_minus_mm } => {
                let surer = if to_plus_minus_mm > from_plus_minus_mm {
                    language.pick("less", "weniger")
                } else {
                    language.pick("more", "besser")
                };
                let (from, to) = (whole(*from_plus_minus_mm), whole(*to_plus_minus_mm));
                language.pick(
                    format!("Its height is {surer} certain: ± {to} mm instead of ± {from} mm."),
                    format!("Seine Höhe ist {surer} gesichert: ± {to} mm statt ± {from} mm."),
                )
            }
            Self::Cost { more_minor: 0, .. } => {
                language.pick("It costs the same.", "Das kostet dasselbe.").to_owned()
            }
            Self::Cost { more_minor, currency } => {
                let amount = currency.text(more_minor.saturating_abs(), language);
                let more = if *more_minor > 0 {
                    language.pick("more", "mehr")
                } else {
                    language.pick("less", "weniger")
                };
                language.pick(format!("It costs {amount} {more}."), format!("Das kostet {amount} {more}."))
            }
            Self::Time { longer_minutes } => {
                let minutes = whole(longer_minutes.abs());
                let longer = if *longer_minutes > 0.0 {
                    language.pick("longer", "länger")
                } else {
                    language.pick("shorter", "kürzer")
                };
                language.pick(
                    format!("It takes about {minutes} minutes {longer} on the ramp."),
                    format!("Er steht etwa {minutes} Minuten {longer} auf der Bühne."),
                )
            }
            Self::NeedsPart { name } => {
                let name = name.in_language(language);
                language.pick(format!("It needs {name} as well."), format!("Zusätzlich nötig: {name}."))
            }
            Self::DoesWithoutPart { name } => {
                let name = name.in_language(language);
                language.pick(format!("It does without {name}."), format!("Nicht mehr nötig: {name}."))
            }
            Self::Warns { reason } => reason.in_language(language).to_owned(),
        }
    }
}
