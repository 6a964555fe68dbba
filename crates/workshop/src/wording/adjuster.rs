//! What is turned to set the height of an axle, by its right name.

use serde::Serialize;

use crate::facts::Language;

/// What is turned to set the height of an axle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Adjuster {
    /// Threaded spring seat.
    Collar,
    /// Bolt that turns the anchor arm of a torsion bar.
    AdjustingBolt,
}

impl Adjuster {
    /// One of them.
    pub fn one(self, language: Language) -> &'static str {
        match self {
            Self::Collar => language.pick("collar", "Versteller"),
            Self::AdjustingBolt => language.pick("adjusting bolt", "Stellschraube"),
        }
    }

    /// One of them with its article.
    pub fn the_one(self, language: Language) -> &'static str {
        match self {
            Self::Collar => language.pick("the collar", "der Versteller"),
            Self::AdjustingBolt => language.pick("the adjusting bolt", "die Stellschraube"),
        }
    }

    /// Several of them.
    pub fn many(self, language: Language) -> &'static str {
        match self {
            Self::Collar => language.pick("collars", "Versteller"),
            Self::AdjustingBolt => language.pick("adjusting bolts", "Stellschrauben"),
        }
    }

    /// Several of these kinds: `collars and adjusting bolts` where there are both.
    pub fn all(kinds: impl Iterator<Item = Self>, language: Language) -> String {
        let mut names: Vec<&str> = kinds.map(|kind| kind.many(language)).collect();
        names.dedup();
        names.join(language.pick(" and ", " und "))
    }
}
