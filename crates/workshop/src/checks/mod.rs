//! Checks that keep a van safe and a workshop honest: each a figure held against a limit, with its source, and a finding
//! in words. Local code, the makers and licensed practice decide.

pub(crate) mod alignment;
mod brakes;
pub(crate) mod carry;
pub(crate) mod ground;
pub(crate) mod handling;
pub(crate) mod lamps;
mod stop_trim;
pub(crate) mod travel;
mod wheels;

pub use carry::ball_on_axles;
pub use lamps::{AimLimits, aim_change_percent};
pub(crate) use travel::COILS_TOUCH_MM;
pub(crate) use wheels::USUAL_LEAD_PERCENT;
pub use wheels::{Outline, outline, track_change_mm, wheel_checks};

use crate::facts::{self, Words};
use crate::figure::Figure;
use crate::load_list::LoadState;
use crate::standing::Standing;
use crate::wording::Axle;

/// Facts of a van that checks look at.
pub(crate) const FACTS_LOOKED_AT: [&str; 4] =
    [facts::BRAKE_VALVE, facts::HEIGHT_SENSOR, facts::DRIVER_ASSISTANCE, facts::DRIVEN_AXLES];

/// How a check came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Finding {
    /// The limit is kept over the whole range of the figure.
    Holds,
    /// The range of the figure reaches over the limit, or what the check needs is not known.
    LookAtIt,
    /// The limit is not kept.
    DoNot,
}

/// What a check is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Area {
    /// Travel of the wheels and what ends it.
    Travel,
    /// Axle, gross and ball loads.
    Carry,
    /// Wheels and tyres.
    Wheels,
    /// Speedometer and gearing.
    Speedometer,
    /// Wheel alignment.
    Alignment,
    /// Lamps.
    Lamps,
    /// Brakes, hoses, leads, sensors.
    Brakes,
    /// Clearance of the body above the ground.
    Ground,
    /// Roll, load transfer, stability.
    Handling,
}

/// A limit on a figure.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Limit {
    /// Least allowed value.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at_least: Option<f64>,
    /// Greatest allowed value.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at_most: Option<f64>,
    /// Standard with clause, plate, maker, or common practice.
    pub source: Words,
}

/// One check of one fitment.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Check {
    /// Its name, the same in every answer.
    pub check: &'static str,
    /// What it is about.
    pub area: Area,
    /// Axle, where it is of one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub axle: Option<Axle>,
    /// Load state, where it matters.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub state: Option<LoadState>,
    /// How it came out.
    pub finding: Finding,
    /// What was computed; absent where what it needs is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub figure: Option<Figure>,
    /// Unit of figure and limit, as names of fields end in it; empty for a ratio.
    pub unit: &'static str,
    /// What it is held against; absent where the figure is only told.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<Limit>,
    /// What it is and what follows, in a sentence.
    pub words: Words,
}

impl Finding {
    /// Names in files.
    pub const CHOICES: [(&'static str, Self); 3] =
        [("holds", Self::Holds), ("look_at_it", Self::LookAtIt), ("do_not", Self::DoNot)];
}

impl Check {
    /// Something that was found without a figure.
    fn stated(check: &'static str, area: Area, finding: Finding, words: Words) -> Self {
        Self { check, area, axle: None, state: None, finding, figure: None, unit: "", limit: None, words }
    }

    /// Something that has to be looked at because it is not known.
    fn unknown(check: &'static str, area: Area, words: Words) -> Self {
        Self::stated(check, area, Finding::LookAtIt, words)
    }

    /// A figure that is only told.
    fn told(check: &'static str, area: Area, (figure, unit): (Figure, &'static str), words: Words) -> Self {
        Self { figure: Some(figure), unit, ..Self::stated(check, area, Finding::Holds, words) }
    }

    /// A figure held against a limit.
    fn held(
        check: &'static str,
        area: Area,
        (figure, unit): (Figure, &'static str),
        limit: Limit,
        words: Words,
    ) -> Self {
        let finding = limit.finding(&figure);
        Self { finding, limit: Some(limit), ..Self::told(check, area, (figure, unit), words) }
    }

    /// The check as that of a load state.
    #[must_use]
    fn in_state(self, state: LoadState) -> Self {
        Self { state: Some(state), ..self }
    }

    /// The check as that of an axle.
    #[must_use]
    fn on(self, axle: usize) -> Self {
        Self { axle: Some(Axle::of(axle)), ..self }
    }

    /// Whether both hold the same thing against its limit, in whatever load state.
    pub fn is_of_the_same(&self, other: &Self) -> bool {
        (self.check, self.axle) == (other.check, other.axle)
    }

    /// Whether both say the same, each in its load state.
    pub fn says_the_same(&self, other: &Self) -> bool {
        self.is_of_the_same(other) && self.finding == other.finding && self.words == other.words
    }

    /// How far the figure keeps from the nearer end of its limit, negative beyond it; none where it is only told.
    pub fn margin(&self) -> Option<f64> {
        let (value, limit) = (self.figure.as_ref()?.value, self.limit.as_ref()?);
        let margins = [limit.at_least.map(|least| value - least), limit.at_most.map(|most| most - value)];
        margins.into_iter().flatten().min_by(f64::total_cmp)
    }
}

/// Checks put together where they are alike, in the order of the first of each.
pub fn grouped<'a>(
    checks: impl Iterator<Item = &'a Check>,
    alike: impl Fn(&Check, &Check) -> bool,
) -> Vec<Vec<&'a Check>> {
    let mut groups: Vec<Vec<&Check>> = Vec::new();
    for check in checks {
        match groups.iter_mut().find(|group| alike(group[0], check)) {
            Some(group) => group.push(check),
            None => groups.push(vec![check]),
        }
    }
    groups
}

/// All checks of a fitment, what does not hold first.
pub fn checks(standing: &Standing) -> Vec<Check> {
    let rooms: [fn(&Standing) -> Vec<Check>; 9] = [
        carry::checks,
        travel::checks,
        stop_trim::checks,
        wheels::checks,
        alignment::checks,
        lamps::checks,
        brakes::checks,
        ground::checks,
        handling::checks,
    ];
    let mut all: Vec<Check> = rooms.iter().flat_map(|room| room(standing)).collect();
    all.sort_by_key(|check| std::cmp::Reverse(check.finding));
    all
}

impl Limit {
    /// How a figure stands against the limit: a middle beyond it is out, a range that reaches over it is to be looked at.
    pub fn finding(&self, figure: &Figure) -> Finding {
        let beyond = |value: f64| {
            self.at_least.is_some_and(|least| value < least) || self.at_most.is_some_and(|most| value > most)
        };
        if beyond(figure.value) {
            Finding::DoNot
        } else if beyond(figure.low) || beyond(figure.high) {
            Finding::LookAtIt
        } else {
            Finding::Holds
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figure::Evidence;

    #[test]
    fn law_a_limit_looks_at_middle_and_range() {
        let limit = Limit { at_least: None, at_most: Some(100.0), source: Words::default() };
        let of = |value: f64, sd: f64| limit.finding(&Figure::with_sd(value, sd, Evidence::Computed, vec![]));
        assert_eq!(of(90.0, 1.0), Finding::Holds);
        assert_eq!(of(99.0, 2.0), Finding::LookAtIt);
        assert_eq!(of(101.0, 2.0), Finding::DoNot);
        assert_eq!(of(100.0, 0.0), Finding::Holds);
    }
}
