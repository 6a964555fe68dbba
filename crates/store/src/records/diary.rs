//! Ramps and opening hours.

use jiff::civil::Date;
use jiff::tz::TimeZone;
use serde::{Deserialize, Serialize};

use super::{Kind, Record};
use crate::by::plain_text;
use crate::error::{Error, Result};
use crate::index::Index;

/// Ramps and opening hours; the one record has the id `diary`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Diary {
    /// Time zone, such as `Europe/Berlin`.
    pub zone: String,
    /// Names of the ramps.
    pub ramps: Vec<String>,
    /// Opening hours Monday to Sunday: from and to, minutes after local midnight, in order.
    pub week: [Vec<[u16; 2]>; 7],
    /// Days on which the workshop is closed, ISO dates.
    pub closed: Vec<String>,
    /// Jobs start on a multiple of this after opening, minutes.
    pub step_minutes: u16,
}

const MINUTES_PER_DAY: u16 = 24 * 60;

impl Record for Diary {
    const KIND: Kind = Kind::Diary;

    fn index(&self, _: &mut Index) {}

    fn check(&self) -> Result<()> {
        TimeZone::get(&self.zone)
            .map_err(|_| Error::invalid("zone", &self.zone, "a time zone such as Europe/Berlin"))?;
        if self.ramps.is_empty() {
            return Err(Error::invalid("ramps", "none", "at least one ramp"));
        }
        self.ramps.iter().try_for_each(|ramp| plain_text("ramps", ramp, 1, 100))?;
        if !(1..=MINUTES_PER_DAY).contains(&self.step_minutes) {
            return Err(Error::invalid("step_minutes", self.step_minutes.to_string(), "1 to 1440 minutes"));
        }
        self.closed.iter().try_for_each(|date| iso_date("closed", date).map(|_| ()))?;
        self.week.iter().try_for_each(|day| check_day(day))
    }
}

fn check_day(hours: &[[u16; 2]]) -> Result<()> {
    let mut earliest = 0;
    for &[from, to] in hours {
        if from < earliest || to <= from || to > MINUTES_PER_DAY {
            return Err(Error::invalid(
                "week",
                format!("{from} to {to}"),
                "hours in order that do not overlap, within a day",
            ));
        }
        earliest = to;
    }
    Ok(())
}

pub(crate) fn iso_date(field: &str, text: &str) -> Result<Date> {
    text.parse().map_err(|_| Error::invalid(field, text, "a date such as 2026-11-30"))
}
