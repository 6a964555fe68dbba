//! Opening hours and ramps: when a job would end, and when one could begin.

use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan};
use serde::{Deserialize, Serialize};

use crate::database::Store;
use crate::error::{Error, Result};
use crate::read::{RecordRow, typed};
use crate::records::{Booking, Diary, Id, Job, Stored};

/// A ramp held by a job.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Occupied {
    /// The job.
    pub job: Id,
    /// The ramp.
    pub ramp: String,
    /// From, ms.
    pub from_ms: i64,
    /// To, ms.
    pub to_ms: i64,
}

/// A time at which a job could be booked.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FreeSlot {
    /// The ramp.
    pub ramp: String,
    /// From, ms.
    pub from_ms: i64,
    /// To, ms.
    pub to_ms: i64,
}

const MS_PER_MINUTE: i64 = 60_000;
/// A job that finds no place within this many days finds none.
const HORIZON_DAYS: i32 = 400;

/// A stretch of opening hours, ms.
type Opening = (i64, i64);

/// Opening hours from a time on, in order, up to the horizon.
struct Openings<'a> {
    diary: &'a Diary,
    zone: TimeZone,
    first: Date,
}

impl<'a> Openings<'a> {
    fn from(diary: &'a Diary, at_ms: i64) -> Result<Self> {
        let closed = || Error::Closed { at_ms };
        let zone = TimeZone::get(&diary.zone).map_err(|_| closed())?;
        let first = zone.to_datetime(Timestamp::from_millisecond(at_ms).map_err(|_| closed())?).date();
        Ok(Self { diary, zone, first })
    }

    fn iter(&self) -> impl Iterator<Item = Opening> + '_ {
        (0..HORIZON_DAYS)
            .map_while(|day| self.first.checked_add(day.days()).ok())
            .filter(|date| !self.diary.closed.contains(&date.to_string()))
            .flat_map(move |date| {
                let weekday = usize::try_from(date.weekday().to_monday_zero_offset()).unwrap_or(0);
                self.diary.week[weekday].iter().filter_map(move |&[from, to]| {
                    Some((self.time(date, from)?, self.time(date, to)?)).filter(|(from, to)| from < to)
                })
            })
    }

    /// Wall-clock time of a date; where clocks are put forward, the time an hour later.
    fn time(&self, date: Date, minute: u16) -> Option<i64> {
        let (date, minute) =
            if minute == 24 * 60 { (date.checked_add(1.days()).ok()?, 0) } else { (date, minute) };
        let hour = i8::try_from(minute / 60).ok()?;
        let local = date.at(hour, i8::try_from(minute % 60).ok()?, 0, 0);
        Some(self.zone.to_timestamp(local).ok()?.as_millisecond())
    }
}

/// Where a job begun at `from_ms` would end after so many minutes of opening hours.
///
/// # Errors
/// [`Error::Closed`] where the workshop is closed at `from_ms`, or not open for long enough.
pub(crate) fn end_of(diary: &Diary, from_ms: i64, minutes: u32) -> Result<i64> {
    let closed = Error::Closed { at_ms: from_ms };
    let openings = Openings::from(diary, from_ms)?;
    let mut rest = openings.iter().skip_while(|&(_, to)| to <= from_ms).peekable();
    if rest.peek().is_none_or(|&(from, _)| from > from_ms) {
        return Err(closed);
    }
    let mut left = i64::from(minutes.max(1)) * MS_PER_MINUTE;
    for (from, to) in rest {
        let from = from.max(from_ms);
        if left <= to - from {
            return Ok(from + left);
        }
        left -= to - from;
    }
    Err(closed)
}

/// The first time, not before `not_before_ms`, at which one of the ramps is free for so many minutes of opening hours.
pub(crate) fn first_free(
    diary: &Diary,
    held: &[Occupied],
    ramps: &[String],
    not_before_ms: i64,
    minutes: u32,
    without_a_break: bool,
) -> Result<FreeSlot> {
    let openings = Openings::from(diary, not_before_ms)?;
    for (opens, closes) in openings.iter() {
        // candidates of this stretch: multiples of the step after opening
        let step = i64::from(diary.step_minutes) * MS_PER_MINUTE;
        let late = (not_before_ms - opens).max(0);
        let mut from_ms = opens + (late + step - 1) / step * step;
        while from_ms < closes {
            let Ok(to_ms) = end_of(diary, from_ms, minutes) else { break };
            if without_a_break && to_ms > closes {
                break;
            }
            let free = |ramp: &&String| {
                held.iter().all(|h| h.ramp != **ramp || h.to_ms <= from_ms || h.from_ms >= to_ms)
            };
            if let Some(ramp) = ramps.iter().find(free) {
                return Ok(FreeSlot { ramp: ramp.clone(), from_ms, to_ms });
            }
            from_ms += step;
        }
    }
    Err(Error::Closed { at_ms: not_before_ms })
}

/// The booking of a job that begins at a time on a ramp.
pub(crate) fn booking(diary: &Diary, ramp: &str, from_ms: i64, minutes: u32) -> Result<Booking> {
    if !diary.ramps.iter().any(|known| known == ramp) {
        return Err(Error::invalid("ramp", ramp, format!("one of: {}", diary.ramps.join(", "))));
    }
    let to_ms = end_of(diary, from_ms, minutes)?;
    Ok(Booking { ramp: ramp.to_owned(), from_ms, to_ms, minutes_nine_in_ten: minutes })
}

/// Id of the one diary record.
pub(crate) fn diary_id() -> Result<Id> {
    "diary".parse()
}

impl Store {
    /// Ramps and opening hours.
    ///
    /// # Errors
    /// [`Error::NoDiary`] where none were set.
    pub async fn diary(&self) -> Result<Stored<Diary>> {
        self.get(&diary_id()?).await.map_err(no_diary)
    }

    /// Ramps held within a time, in order.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn occupied(&self, from_ms: i64, to_ms: i64) -> Result<Vec<Occupied>> {
        let rows: Vec<(String, String, i64, i64)> = sqlx::query_as(
            "SELECT job, ramp, from_ms, to_ms FROM bookings WHERE from_ms < $2 AND to_ms > $1 ORDER BY from_ms, ramp",
        )
        .bind(from_ms)
        .bind(to_ms)
        .fetch_all(&self.reader)
        .await?;
        rows.into_iter()
            .map(|(job, ramp, from_ms, to_ms)| Ok(Occupied { job: job.parse()?, ramp, from_ms, to_ms }))
            .collect()
    }

    /// Where a job begun at a time would end after so many minutes of opening hours, ms.
    ///
    /// # Errors
    /// [`Error::NoDiary`]; [`Error::Closed`] where the workshop is closed then, or not open for long enough.
    pub async fn would_end(&self, from_ms: i64, minutes: u32) -> Result<i64> {
        end_of(&self.diary().await?.body, from_ms, minutes)
    }

    /// The first time from `not_before_ms` on at which a ramp (any, or the one named) is free for a job's nine-in-ten
    /// time; `without_a_break`: within one stretch of opening hours.
    ///
    /// # Errors
    /// [`Error::NoDiary`]; [`Error::Closed`] where there is none within a year.
    pub async fn first_free(
        &self,
        minutes_nine_in_ten: u32,
        not_before_ms: i64,
        ramp: Option<&str>,
        without_a_break: bool,
    ) -> Result<FreeSlot> {
        let diary = self.diary().await?.body;
        let ramps: Vec<String> =
            diary.ramps.iter().filter(|known| ramp.is_none_or(|ramp| ramp == *known)).cloned().collect();
        let held = self.occupied(not_before_ms, i64::MAX).await?;
        first_free(&diary, &held, &ramps, not_before_ms, minutes_nine_in_ten, without_a_break)
    }

    /// What a calendar shows: jobs with a time within a range, cancelled ones too, so that a calendar that knew them
    /// learns of it. The id stays the same for ever; the version counts changes.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn calendar(&self, from_ms: i64, to_ms: i64) -> Result<Vec<Stored<Job>>> {
        let rows: Vec<RecordRow> = sqlx::query_as(
            "SELECT r.id, r.version, r.updated_ms, r.body FROM states s
             JOIN records r ON r.kind = s.kind AND r.id = s.id
             WHERE s.kind = 'job' AND s.ends_ms > $1 AND s.begins_ms < $2 ORDER BY s.begins_ms, s.id",
        )
        .bind(from_ms)
        .bind(to_ms)
        .fetch_all(&self.reader)
        .await?;
        rows.into_iter().map(typed).collect()
    }
}

pub(crate) fn no_diary(error: Error) -> Error {
    if matches!(error, Error::NotFound { .. }) { Error::NoDiary } else { error }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn diary() -> Diary {
        let day = vec![[8 * 60, 12 * 60], [13 * 60, 17 * 60]];
        Diary {
            zone: "Europe/Berlin".into(),
            ramps: vec!["left".into(), "right".into()],
            week: [day.clone(), day.clone(), day.clone(), day.clone(), day, vec![], vec![]],
            closed: vec!["2026-03-30".into()],
            step_minutes: 15,
        }
    }

    fn ms(text: &str) -> i64 {
        text.parse::<Timestamp>().unwrap().as_millisecond()
    }

    /// The night of 28 March 2026: clocks in Berlin go from UTC+1 to UTC+2 (European Parliament and Council, Directive
    /// 2000/84/EC, Article 2: last Sunday in March, 01:00 UTC). Monday the 30th is closed here.
    #[test]
    fn val_job_over_lunch_weekend_closed_day_and_change_of_clocks() {
        let friday_ten_utc_plus_1 = ms("2026-03-27T09:00:00Z");
        // 2 h to lunch, 4 h to closing, then Tuesday 08:00 at UTC+2
        assert_eq!(end_of(&diary(), friday_ten_utc_plus_1, 7 * 60).unwrap(), ms("2026-03-31T07:00:00Z"));
        assert_eq!(end_of(&diary(), friday_ten_utc_plus_1, 120).unwrap(), ms("2026-03-27T11:00:00Z"));
    }

    #[test]
    fn law_no_job_begins_while_closed() {
        for closed in ["2026-03-27T11:30:00Z", "2026-03-28T09:00:00Z", "2026-03-30T08:00:00Z"] {
            assert!(matches!(end_of(&diary(), ms(closed), 60), Err(Error::Closed { .. })), "{closed}");
        }
    }

    proptest! {
        #[test]
        fn law_a_free_slot_is_free_open_and_the_first(
            minutes in 1_u32..900,
            late in 0_i64..10_000,
            held in proptest::collection::vec((0_usize..2, 0_i64..10_000, 1_i64..900), 0..12),
            without_a_break: bool,
        ) {
            let diary = diary();
            let start = ms("2026-03-23T00:00:00Z");
            let not_before = start + late * MS_PER_MINUTE;
            let held: Vec<Occupied> = held
                .iter()
                .map(|&(ramp, from, length)| Occupied {
                    job: Id::at(0),
                    ramp: diary.ramps[ramp].clone(),
                    from_ms: start + from * MS_PER_MINUTE,
                    to_ms: start + (from + length) * MS_PER_MINUTE,
                })
                .collect();
            let slot = first_free(&diary, &held, &diary.ramps, not_before, minutes, without_a_break);
            if without_a_break && minutes > 240 {
                prop_assert!(slot.is_err());
                return Ok(());
            }
            let slot = slot.unwrap();
            let clashes = |ramp: &str, from: i64, to: i64| {
                held.iter().any(|h| h.ramp == ramp && h.from_ms < to && h.to_ms > from)
            };
            prop_assert!(slot.from_ms >= not_before);
            prop_assert_eq!(end_of(&diary, slot.from_ms, minutes).unwrap(), slot.to_ms);
            prop_assert!(!clashes(&slot.ramp, slot.from_ms, slot.to_ms));
            // every earlier quarter of an hour would not do
            let mut earlier = not_before + (15 * MS_PER_MINUTE - not_before % (15 * MS_PER_MINUTE)) % (15 * MS_PER_MINUTE);
            while earlier < slot.from_ms {
                if let Ok(to) = end_of(&diary, earlier, minutes) {
                    let broken = without_a_break && to - earlier > i64::from(minutes) * MS_PER_MINUTE;
                    prop_assert!(broken || diary.ramps.iter().all(|ramp| clashes(ramp, earlier, to)));
                }
                earlier += 15 * MS_PER_MINUTE;
            }
        }
    }
}
