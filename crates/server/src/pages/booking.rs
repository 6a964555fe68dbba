//! Booking: the first free times for an accepted quote, and what is said of a time that is taken.

use askama::Template;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use jiff::civil::{Date, Time};
use jiff::tz::TimeZone;
use serde::Deserialize;
use serde_json::Value;
use store::records::{Answer, Enquiry, Job, PartNeed, PartSupply, Quote, QuoteState, Van};
use store::{By, Error, FreeSlot, Id, Kind, NewJob, Stored};
use workshop::facts::Language;
use workshop::shortlist::part_name;
use workshop::wording::{closed_then, fixed, next_free, part_not_there, ramp_taken};

use super::diary::{local, moment, span, zone_of};
use super::form::Posted;
use super::quotes::draft::add_van;
use super::quotes::{LETTERS, begin_of, days_on, job_of, today};
use super::{Frame, amiss, page, to};
use crate::app::App;
use crate::caller::{Caller, Writer, further};
use crate::extract::At;
use crate::problem::{Handled, Problem};
use crate::secrets::secret;

/// Free times that are offered.
const MOST_TIMES: usize = 6;
const DAY_MS: f64 = 86_400_000.0;

/// A part that the job needs, and when it is there.
struct PartRow {
    name: String,
    quantity: String,
    when: String,
}

/// A time that is free.
struct Slot {
    /// As it stands in the form: start, ms, and ramp.
    value: String,
    words: String,
}

/// What was typed or is proposed.
#[derive(Default)]
struct Typed {
    slot: String,
    ramp: String,
    day: String,
    time: String,
    minutes: String,
    plate: String,
    parts_by: String,
    not_before: String,
}

#[derive(Template)]
#[template(path = "book.html")]
struct BookPage {
    f: Frame,
    id: Id,
    key: String,
    quote: Id,
    caller: String,
    option: String,
    plate: Option<String>,
    parts: Vec<PartRow>,
    /// Whether a day is needed on which the parts are there.
    parts_unknown: bool,
    slots: Vec<Slot>,
    ramps: Vec<String>,
    typed: Typed,
    fault: String,
}

/// What is asked for when times are looked for.
#[derive(Deserialize, Default)]
pub(crate) struct Asked {
    #[serde(default)]
    minutes: String,
    #[serde(default)]
    parts_by: String,
    #[serde(default)]
    not_before: String,
}

/// An accepted quote and the option of it that was taken.
struct Taken {
    enquiry: Stored<Enquiry>,
    quote: Stored<Quote>,
    number: usize,
    found: Value,
}

impl Taken {
    fn title(&self) -> &str {
        &self.quote.body.options[self.number].title
    }

    fn van(&self) -> Option<&Id> {
        self.quote.body.van.as_ref().or(self.enquiry.body.van.as_ref())
    }

    fn list<'a>(&'a self, value: &'a Value) -> impl Iterator<Item = &'a Value> {
        value.as_array().map(Vec::as_slice).unwrap_or_default().iter()
    }

    /// Operations of the work, in the order of the answer.
    fn operations(&self) -> Vec<String> {
        let all = self.list(&self.found["ramp_time"]["operations"]);
        all.filter_map(|one| one["operation"].as_str()).map(str::to_owned).collect()
    }

    /// Parts that are sold, with how many.
    fn parts(&self) -> Vec<(String, f64)> {
        let sold = |line: &Value| {
            let part = line["source"]["part"].as_str()?.to_owned();
            Some((part, line["quantity"]["pieces"].as_f64()?))
        };
        self.list(&self.found["quote"]["lines"]).filter_map(sold).collect()
    }
}

/// The accepted quote of an enquiry, the latest where there are several.
async fn taken_of(app: &App, id: &Id, f: &Frame) -> Handled<Taken> {
    let enquiry = app.store.get::<Enquiry>(id).await?;
    let quotes = app.store.naming::<Quote>(Kind::Enquiry, &enquiry.id).await?;
    let accepted = quotes.into_iter().filter(|quote| quote.body.state == QuoteState::Accepted);
    let quote = accepted.max_by_key(|quote| quote.body.revision);
    let (quote, number) = quote
        .and_then(|quote| {
            let number = quote.body.taken.filter(|taken| *taken < quote.body.options.len())?;
            Some((quote, number))
        })
        .ok_or_else(|| {
            let words = f.w.no_accepted_quote;
            Problem::new(StatusCode::CONFLICT, "no_accepted_quote", (words, words))
        })?;
    let answer = app.store.get::<Answer>(&quote.body.answer).await?.body;
    let kit = &quote.body.options[number].kit;
    let options = answer.result["options"].as_array().map(Vec::as_slice).unwrap_or_default();
    let found = options.iter().find(|option| option["kit"] == **kit).cloned().unwrap_or_default();
    Ok(Taken { enquiry, quote, number, found })
}

/// Needs of a job, and what is not known of them.
struct Needs {
    needs: Vec<PartNeed>,
    rows: Vec<PartRow>,
    unknown: bool,
    /// No job may begin before, ms.
    not_before_ms: i64,
}

/// When each part is there: in stock, by its usual time of delivery, or by the day that was said.
async fn needs_of(app: &App, taken: &Taken, zone: &TimeZone, parts_by: &str, f: &Frame) -> Handled<Needs> {
    let (language, w) = (f.language(), f.w);
    let read = app.catalogue().await?;
    let now_ms = app.now_ms();
    let evening = |day: Date| begin_of(zone, days_on(day, 1));
    let said = parts_by.parse::<Date>().ok().filter(|day| *day >= today(app, zone)).and_then(evening);
    let mut found = Needs { needs: Vec::new(), rows: Vec::new(), unknown: false, not_before_ms: now_ms };
    for (part, quantity) in taken.parts() {
        let supply = match part.parse::<Id>() {
            Ok(id) => app.store.get::<PartSupply>(&id).await.ok().map(|kept| kept.body),
            Err(_) => None,
        };
        let is_there = supply.as_ref().is_some_and(|supply| supply.in_stock >= quantity);
        let lead = supply.and_then(|supply| supply.lead_days_nine_in_ten);
        let usual = lead.and_then(|days| evening(local(zone, now_ms + (days * DAY_MS) as i64).date()));
        let expected_ms = if is_there { None } else { said.or(usual) };
        found.unknown |= !is_there && expected_ms.is_none();
        found.not_before_ms = found.not_before_ms.max(expected_ms.unwrap_or(now_ms));
        let when = match expected_ms {
            _ if is_there => w.in_stock.to_owned(),
            Some(ms) => format!("{} {}", w.there_by, local(zone, ms - 1).date()),
            None => w.not_known_when.to_owned(),
        };
        found.rows.push(PartRow {
            name: part_name(&read.catalogue, &part).in_language(language).to_owned(),
            quantity: fixed(language, quantity, 0),
            when,
        });
        found.needs.push(PartNeed { part, quantity, expected_ms, arrived_ms: None });
    }
    Ok(found)
}

/// `GET /enquiries/{id}/book?minutes=&parts_by=&not_before=`
pub(crate) async fn form(
    State(app): State<App>,
    f: Frame,
    At(id): At,
    Query(asked): Query<Asked>,
) -> Handled<Response> {
    let typed = Typed {
        minutes: asked.minutes,
        parts_by: asked.parts_by,
        not_before: asked.not_before,
        ..Typed::default()
    };
    formed(&app, f, &id, typed, None).await
}

async fn formed(
    app: &App,
    f: Frame,
    id: &Id,
    mut typed: Typed,
    refused: Option<&Problem>,
) -> Handled<Response> {
    let taken = taken_of(app, id, &f).await?;
    if let Some(job) = job_of(app, &taken.quote.id).await? {
        return Ok(to(&format!("/jobs/{}", job.id)));
    }
    let diary = app.store.diary().await?.body;
    let (zone, language) = (zone_of(&diary)?, f.language());
    if typed.minutes.is_empty() {
        typed.minutes = taken.quote.body.options[taken.number].ramp_minutes_nine_in_ten.max(1).to_string();
    }
    let needs = needs_of(app, &taken, &zone, &typed.parts_by, &f).await?;
    let minutes = typed.minutes.parse::<u32>().ok().filter(|minutes| *minutes > 0);
    let wished = typed.not_before.parse::<Date>().ok().and_then(|day| begin_of(&zone, day));
    let from_ms = needs.not_before_ms.max(wished.unwrap_or(needs.not_before_ms));
    let slots = match minutes.filter(|_| !needs.unknown) {
        Some(minutes) => free_times(app, &zone, minutes, from_ms, language).await?,
        None => Vec::new(),
    };
    if refused.is_none() {
        typed.slot = slots.first().map(|slot| slot.value.clone()).unwrap_or_default();
    }
    let plate = match taken.van() {
        Some(van) => Some(app.store.get::<Van>(van).await?.body.plate),
        None => None,
    };
    let fault = refused.map(|problem| problem.detail(language).to_owned());
    let status = refused.map_or(StatusCode::OK, Problem::status);
    let shown = BookPage {
        key: secret()?,
        option: format!("{} · {}", LETTERS[taken.number.min(2)], taken.title()),
        quote: taken.quote.id,
        caller: taken.enquiry.body.caller,
        id: taken.enquiry.id,
        plate,
        parts: needs.rows,
        parts_unknown: needs.unknown,
        slots,
        ramps: diary.ramps,
        typed,
        fault: fault.unwrap_or_default(),
        f,
    };
    Ok(page(status, &shown))
}

/// The first free time, and the first of each later day.
async fn free_times(
    app: &App,
    zone: &TimeZone,
    minutes: u32,
    from_ms: i64,
    language: Language,
) -> Handled<Vec<Slot>> {
    let (mut slots, mut from_ms) = (Vec::new(), from_ms);
    while slots.len() < MOST_TIMES {
        let free = match app.store.first_free(minutes, from_ms, None, false).await {
            Ok(free) => free,
            Err(Error::Closed { .. }) => break,
            Err(e) => return Err(e.into()),
        };
        let next = begin_of(zone, days_on(local(zone, free.from_ms).date(), 1));
        slots.push(Slot {
            value: format!("{} {}", free.from_ms, free.ramp),
            words: slot_words(zone, &free, language),
        });
        let Some(next) = next else { break };
        from_ms = next;
    }
    Ok(slots)
}

fn slot_words(zone: &TimeZone, free: &FreeSlot, language: Language) -> String {
    format!("{}, {}", span(zone, [free.from_ms, free.to_ms], language), free.ramp)
}

/// `POST /enquiries/{id}/book`
pub(crate) async fn book(
    State(app): State<App>,
    caller: Caller,
    f: Frame,
    At(id): At,
    Writer(by): Writer,
    posted: Posted,
) -> Handled<Response> {
    match booked(&app, &id, &posted.keyed(by, &caller), &posted, &f).await {
        Ok(job) => Ok(to(&format!("/jobs/{}", job.id))),
        Err(problem) => {
            let own = |name: &str| posted.get(name).to_owned();
            let typed = Typed {
                slot: own("slot"),
                ramp: own("ramp"),
                day: own("day"),
                time: own("time"),
                minutes: own("minutes"),
                plate: own("plate"),
                parts_by: own("parts_by"),
                not_before: own("not_before"),
            };
            formed(&app, f, &id, typed, Some(&problem)).await
        }
    }
}

async fn booked(app: &App, id: &Id, by: &By, posted: &Posted, f: &Frame) -> Handled<Stored<Job>> {
    let w = f.w;
    let taken = taken_of(app, id, f).await?;
    if job_of(app, &taken.quote.id).await?.is_some() {
        return Err(amiss(w.booked_already));
    }
    let zone = zone_of(&app.store.diary().await?.body)?;
    let minutes = posted.get("minutes").parse::<u32>().ok().filter(|minutes| *minutes > 0);
    let minutes = minutes.ok_or_else(|| amiss(w.time_wrong))?;
    let (from_ms, ramp) = match posted.get("slot") {
        "" => return Err(amiss(w.time_missing)),
        "another" => (typed_time(&zone, posted).ok_or_else(|| amiss(w.time_wrong))?, posted.get("ramp")),
        slot => {
            let (from, ramp) = slot.split_once(' ').ok_or_else(|| amiss(w.time_missing))?;
            (from.parse::<i64>().map_err(|_| amiss(w.time_missing))?, ramp)
        }
    };
    if taken.van().is_none() && posted.get("plate").is_empty() {
        return Err(amiss(w.plate_missing));
    }
    let needs = needs_of(app, &taken, &zone, posted.get("parts_by"), f).await?;
    let customer = &taken.quote.body.customer;
    let van = match taken.van() {
        Some(van) => van.clone(),
        None => add_van(app, &further(by, "van"), customer, &taken.enquiry, posted.get("plate")).await?,
    };
    if taken.enquiry.body.van.is_none() {
        let body = Enquiry { van: Some(van.clone()), ..taken.enquiry.body.clone() };
        let (id, version) = (&taken.enquiry.id, taken.enquiry.version);
        app.store.change(&further(by, "enquiry"), id, version, &body).await?;
    }
    let new = NewJob {
        customer: customer.clone(),
        van,
        quote: Some(taken.quote.id.clone()),
        title: taken.title().to_owned(),
        operations: taken.operations(),
        parts: needs.needs,
        ramp: ramp.to_owned(),
        from_ms,
        minutes_nine_in_ten: minutes,
    };
    match app.store.book_job(by, &new).await {
        Ok(job) => Ok(job),
        Err(e) => Err(no_place(app, e, (ramp, from_ms, minutes), &zone).await),
    }
}

/// Day and time of a form, ms.
pub(super) fn typed_time(zone: &TimeZone, posted: &Posted) -> Option<i64> {
    let day = posted.get("day").parse::<Date>().ok()?;
    let time = posted.get("time").parse::<Time>().ok()?;
    Some(zone.to_timestamp(day.to_datetime(time)).ok()?.as_millisecond())
}

/// Why a job has no place at a time, naming the job it meets, and the next time that is free.
pub(super) async fn no_place(
    app: &App,
    error: Error,
    (ramp, from_ms, minutes): (&str, i64, u32),
    zone: &TimeZone,
) -> Problem {
    let code = error.code();
    let mut said: [String; 2] = match &error {
        Error::RampTaken { ramp, job, from_ms, to_ms } => {
            let met = match name_of(app, job).await {
                Ok(name) => name,
                Err(problem) => return problem,
            };
            both(|language| {
                let [from, until] = [*from_ms, *to_ms].map(|ms| moment(zone, ms, language));
                ramp_taken(language, ramp, &met, &from, &until)
            })
        }
        Error::Closed { at_ms } => both(|language| closed_then(language, &moment(zone, *at_ms, language))),
        Error::PartNotThere { part, .. } => match app.catalogue().await {
            Ok(read) => both(|language| {
                part_not_there(language, part_name(&read.catalogue, part).in_language(language))
            }),
            Err(problem) => return problem,
        },
        _ => return error.into(),
    };
    if !matches!(error, Error::PartNotThere { .. }) {
        let not_before = from_ms.max(app.now_ms());
        let on_it = app.store.first_free(minutes, not_before, None, false).await;
        if let Ok(free) = on_it {
            let next =
                both(|language| next_free(language, &free.ramp, &moment(zone, free.from_ms, language)));
            said.iter_mut().zip(next).for_each(|(said, next)| *said = format!("{said} {next}"));
        }
    }
    let [english, german] = said;
    Problem::new(StatusCode::CONFLICT, code, (english, german)).with("ramp", ramp.into())
}

fn both(form: impl Fn(Language) -> String) -> [String; 2] {
    [Language::English, Language::German].map(form)
}

/// Number plate and title of a job.
async fn name_of(app: &App, job: &Id) -> Handled<String> {
    let job = app.store.get::<Job>(job).await?.body;
    let plate = app.store.get::<Van>(&job.van).await?.body.plate;
    Ok(format!("{plate}, {}", job.title))
}
