//! Comfort held against a yardstick, and what may be promised of it.

use crate::figure::Figure;

/// What a ride is held against.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Against {
    /// New original parts.
    AsNewOriginal,
    /// The van as it was found, its dampers worn by nobody knows how much.
    AsFound,
}

impl Against {
    /// Names on the command line.
    pub const CHOICES: [(&'static str, Self); 2] =
        [("as_new_original", Self::AsNewOriginal), ("as_found", Self::AsFound)];
}

/// What may be promised.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Promise {
    /// Over the whole range it shakes less.
    Softer,
    /// Over the whole range it shakes more.
    Harder,
    /// The range of the difference holds zero: no difference can be promised.
    NoDifference,
}

/// Weighted acceleration on the driver's seat against the yardstick.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct ComfortChange {
    /// The yardstick.
    pub against: Against,
    /// Change of the weighted acceleration, per cent; negative is softer.
    pub comfort_change_percent: Figure,
    /// What may be promised.
    pub promise: Promise,
}

impl ComfortChange {
    pub(super) fn of(against: Against, comfort_change_percent: Figure) -> Self {
        let promise = if comfort_change_percent.high < 0.0 {
            Promise::Softer
        } else if comfort_change_percent.low > 0.0 {
            Promise::Harder
        } else {
            Promise::NoDifference
        };
        Self { against, comfort_change_percent, promise }
    }
}
