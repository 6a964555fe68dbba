//! The diary: one day of every ramp along the clock.

use askama::Template;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan};
use picture::{DayJob, DayStrips, RampStrip, day_strips};
use serde::Deserialize;
use store::Id;
use store::records::{Answer, Diary, Job, Quote, Van};
use workshop::facts::Language;

use super::{Frame, page};
use crate::app::App;
use crate::problem::{Handled, Problem};

/// Hours shown where nothing begins earlier or ends later, minutes.
const USUAL_HOURS: [f64; 2] = [8.0 * 60.0, 17.0 * 60.0];
/// Working time of the free slot that is told, minutes.
const TWO_HOURS: u32 = 120;

/// A row of the table beside the drawing.
struct DayRow {
    id: Id,
    ramp: String,
    from: String,
    until_typical: String,
    until: String,
    title: String,
    plate: String,
}

#[derive(Template)]
#[template(path = "diary.html")]
struct DiaryPage {
    f: Frame,
    day: String,
    shown_day: String,
    before: String,
    after: String,
    strips: String,
    rows: Vec<DayRow>,
    first_free: String,
    no_diary: bool,
    fault: &'static str,
}

#[derive(Deserialize)]
pub(crate) struct Asked {
    day: Option<String>,
}

/// `GET /diary?day=`
pub(crate) async fn day(State(app): State<App>, f: Frame, Query(asked): Query<Asked>) -> Handled<Response> {
    let language = f.language();
    let diary = diary_if_any(&app).await?;
    let zone = zone_of(&diary)?;
    let today = local(&zone, app.now_ms()).date();
    let named = asked.day.as_deref().filter(|day| !day.is_empty());
    let (date, fault) = match named.map(str::parse::<Date>) {
        Some(Ok(date)) => (date, ""),
        Some(Err(_)) => (today, f.w.time_wrong),
        None => (today, ""),
    };
    let next = date.checked_add(1.day()).map_err(|e| Problem::internal(&e))?;
    let before = date.checked_sub(1.day()).map_err(|e| Problem::internal(&e))?;
    let start = |date: Date| Some(zone.to_timestamp(date.at(0, 0, 0, 0)).ok()?.as_millisecond());
    let [from_ms, to_ms] = [start(date), start(next)].map(Option::unwrap_or_default);
    let minute = |ms: i64| {
        let at = local(&zone, ms);
        if at.date() < date {
            0.0
        } else if at.date() > date {
            24.0 * 60.0
        } else {
            f64::from(i32::from(at.hour()) * 60 + i32::from(at.minute()))
        }
    };
    let weekday = usize::try_from(date.weekday().to_monday_zero_offset()).unwrap_or(0);
    let closed = diary.closed.contains(&date.to_string());
    let open: Vec<[f64; 2]> = if closed {
        Vec::new()
    } else {
        diary.week[weekday].iter().map(|hours| hours.map(f64::from)).collect()
    };
    let mut span = open.iter().fold(USUAL_HOURS, |[low, high], [a, b]| [low.min(*a), high.max(*b)]);
    let strip =
        |name: &String| RampStrip { name: name.clone(), open_minutes: open.clone(), jobs: Vec::new() };
    let mut ramps: Vec<RampStrip> = diary.ramps.iter().map(strip).collect();
    let mut rows = Vec::new();
    for held in app.store.occupied(from_ms, to_ms).await? {
        let job = app.store.get::<Job>(&held.job).await?.body;
        let plate = app.store.get::<Van>(&job.van).await?.body.plate;
        let typical_ms = typical_end(&app, &job, held.from_ms).await?.filter(|end| *end <= held.to_ms);
        let (from_minute, to_minute) = (minute(held.from_ms), minute(held.to_ms));
        let [low, high] = span;
        span = [low.min(from_minute), high.max(to_minute)];
        if let Some(ramp) = ramps.iter_mut().find(|ramp| ramp.name == held.ramp) {
            let lacks_parts = job.parts.iter().any(|part| part.arrived_ms.is_none());
            // an end on another day has no place on this one
            let on_the_day = |end: &i64| local(&zone, *end).date() == date;
            let typical_minute = typical_ms.filter(on_the_day).map(minute);
            let (label, href) = (format!("{plate} · {}", job.title), format!("/jobs/{}", held.job));
            ramp.jobs.push(DayJob { from_minute, to_minute, typical_minute, label, href, lacks_parts });
        }
        rows.push(DayRow {
            id: held.job,
            ramp: held.ramp,
            from: moment(&zone, held.from_ms, language),
            until_typical: typical_ms.map_or_else(|| "–".to_owned(), |end| moment(&zone, end, language)),
            until: moment(&zone, held.to_ms, language),
            title: job.title,
            plate,
        });
    }
    let free = app.store.first_free(TWO_HOURS, app.now_ms(), None, false).await;
    let first_free = free.map(|free| format!("{}, {}", moment(&zone, free.from_ms, language), free.ramp));
    let strips = DayStrips { span_minutes: span, ramps };
    let shown = DiaryPage {
        day: date.to_string(),
        shown_day: day_words(date, language),
        before: before.to_string(),
        after: next.to_string(),
        strips: day_strips(
            &strips,
            &picture::Frame { language, units: workshop::units::Units::Metric, name: "day" },
        ),
        rows,
        first_free: first_free.unwrap_or_else(|_| "–".to_owned()),
        no_diary: diary.ramps.is_empty(),
        fault,
        f,
    };
    Ok(page(StatusCode::OK, &shown))
}

/// When a job is done typically, by the ramp time of the answer that its quote was made from, ms.
async fn typical_end(app: &App, job: &Job, from_ms: i64) -> Handled<Option<i64>> {
    let Some(quote) = &job.quote else { return Ok(None) };
    let quote = app.store.get::<Quote>(quote).await?.body;
    let Some(option) = quote.taken.and_then(|taken| quote.options.get(taken)) else { return Ok(None) };
    let answer = app.store.get::<Answer>(&quote.answer).await?.body;
    let options = answer.result["options"].as_array().map(Vec::as_slice).unwrap_or_default();
    let found = options.iter().find(|found| found["kit"] == *option.kit);
    let minutes = found.and_then(|found| found["ramp_time"]["typical_minutes"].as_f64());
    let Some(minutes) = minutes.filter(|minutes| *minutes >= 1.0) else { return Ok(None) };
    // a time of the diary that was changed since may be closed now
    Ok(app.store.would_end(from_ms, minutes.round() as u32).await.ok())
}

/// Ramps and opening hours; none of either, by universal time, where nobody has told them yet.
pub(super) async fn diary_if_any(app: &App) -> Handled<Diary> {
    match app.store.diary().await {
        Ok(kept) => Ok(kept.body),
        Err(store::Error::NoDiary) => Ok(Diary {
            zone: "UTC".to_owned(),
            ramps: Vec::new(),
            week: Default::default(),
            closed: Vec::new(),
            step_minutes: 15,
        }),
        Err(e) => Err(e.into()),
    }
}

/// The time zone of a diary.
pub(super) fn zone_of(diary: &Diary) -> Handled<TimeZone> {
    TimeZone::get(&diary.zone).map_err(|e| Problem::internal(&e))
}

pub(super) fn local(zone: &TimeZone, ms: i64) -> jiff::civil::DateTime {
    zone.to_datetime(Timestamp::from_millisecond(ms).unwrap_or(Timestamp::UNIX_EPOCH))
}

/// A day with its weekday.
pub(super) fn day_words(date: Date, language: Language) -> String {
    const DAYS: [[&str; 7]; 2] = [
        ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"],
        ["Montag", "Dienstag", "Mittwoch", "Donnerstag", "Freitag", "Samstag", "Sonntag"],
    ];
    let weekday = usize::try_from(date.weekday().to_monday_zero_offset()).unwrap_or(0);
    format!("{} {date}", language.pick(DAYS[0][weekday], DAYS[1][weekday]))
}

/// A day and a time on its clock.
pub(super) fn moment(zone: &TimeZone, ms: i64, language: Language) -> String {
    let at = local(zone, ms);
    format!("{} {:02}:{:02}", day_words(at.date(), language), at.hour(), at.minute())
}

/// From one moment to another; the day once where it is the same.
pub(super) fn span(zone: &TimeZone, [from_ms, to_ms]: [i64; 2], language: Language) -> String {
    let (from, until) = (local(zone, from_ms), local(zone, to_ms));
    let start = moment(zone, from_ms, language);
    if from.date() == until.date() {
        format!("{start}–{:02}:{:02}", until.hour(), until.minute())
    } else {
        format!("{start} – {}", moment(zone, to_ms, language))
    }
}
