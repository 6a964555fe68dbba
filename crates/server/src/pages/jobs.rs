//! One job with its papers, and what is done with it.

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use jiff::tz::TimeZone;
use serde_json::Value;
use store::records::{Customer, HeightsStage, Job, JobState, PartNeed, Quote, SetUpSheet, Van};
use store::{By, Id, Kind, Stored};
use workshop::catalogue::Catalogue;
use workshop::facts::Language;
use workshop::shortlist::part_name;
use workshop::wording::{corner_named, fixed};

use super::booking::{no_place, typed_time};
use super::diary::{diary_if_any, local, span, zone_of};
use super::form::Posted;
use super::readings::{Reading, readings};
use super::words::PageWords;
use super::{Frame, amiss, page, to};
use crate::app::App;
use crate::caller::{Caller, Writer};
use crate::extract::At;
use crate::problem::Handled;

pub(super) fn state_words(w: &PageWords, state: JobState) -> &'static str {
    match state {
        JobState::Booked => w.booked,
        JobState::OnTheRamp => w.on_the_ramp,
        JobState::WaitingForParts => w.waiting_for_parts,
        JobState::HandedOver => w.handed_over,
        JobState::Cancelled => w.cancelled,
    }
}

/// A collar or a reading of a set-up sheet as it was issued.
struct SheetRow {
    corner: &'static str,
    position: String,
    turns: String,
    to_be_read: String,
}

/// A part by its name.
struct PartRow {
    part: String,
    name: String,
    quantity: String,
    is_there: bool,
    /// Class of the button by which it arrives.
    weight: &'static str,
    expected: String,
}

/// What is to be done next with a job: one thing.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Next {
    PartsArrived,
    Start,
    ReadHeights,
    BookAgain,
    Nothing,
}

impl Next {
    fn of(job: &Job) -> Self {
        let lacks_parts = job.parts.iter().any(|part| part.arrived_ms.is_none());
        match job.state {
            JobState::Booked | JobState::WaitingForParts if lacks_parts => Self::PartsArrived,
            JobState::Booked => Self::Start,
            JobState::OnTheRamp => Self::ReadHeights,
            JobState::WaitingForParts => Self::BookAgain,
            JobState::HandedOver | JobState::Cancelled => Self::Nothing,
        }
    }
}

/// Day, time and minutes of the form that moves a job.
#[derive(Default)]
struct Moved {
    ramp: String,
    day: String,
    time: String,
    minutes: String,
}

#[derive(Template)]
#[template(path = "job.html")]
struct JobPage {
    f: Frame,
    id: Id,
    version: i64,
    job: Job,
    plate: String,
    /// Whose van, for those who may ring.
    customer: Option<Customer>,
    /// The enquiry that a cancelled job came from.
    enquiry: Option<Id>,
    state: &'static str,
    when: String,
    kit: Option<String>,
    revision: i64,
    sheet: Vec<SheetRow>,
    readings: Vec<Reading>,
    operations: Vec<String>,
    parts: Vec<PartRow>,
    /// Parts that are not there.
    lacks: usize,
    next: Next,
    ramps: Vec<String>,
    moved: Moved,
    because: String,
    fault: String,
    may_work: bool,
    begun: bool,
    open: bool,
}

impl JobPage {
    /// Class of a button: only what is next stands out.
    fn weight(&self, is_next: bool) -> &'static str {
        if is_next { "act" } else { "second" }
    }

    fn starts(&self) -> bool {
        self.next == Next::Start
    }

    fn reads(&self) -> bool {
        self.next == Next::ReadHeights
    }

    fn books_again(&self) -> bool {
        self.next == Next::BookAgain
    }

    fn waits(&self) -> bool {
        self.next == Next::PartsArrived
    }

    /// Whether the van can stand on a ramp to be read: not while it waits for parts, nor where it is called off.
    fn has_ramp(&self) -> bool {
        !matches!(self.job.state, JobState::WaitingForParts | JobState::Cancelled)
    }

    fn is_booked(&self) -> bool {
        self.job.state == JobState::Booked
    }
}

/// `GET /jobs/{id}`
pub(crate) async fn show(State(app): State<App>, caller: Caller, f: Frame, At(id): At) -> Handled<Response> {
    let (status, fault) = (StatusCode::OK, String::new());
    shown(&app, &caller, f, &id, status, fault, None).await
}

async fn shown(
    app: &App,
    caller: &Caller,
    f: Frame,
    id: &Id,
    status: StatusCode,
    fault: String,
    typed: Option<&Posted>,
) -> Handled<Response> {
    let kept = app.store.get::<Job>(id).await?;
    let diary = app.store.diary().await?.body;
    let (zone, language, w) = (zone_of(&diary)?, f.language(), f.w);
    let job = kept.body;
    let sheet = last_sheet(app, &kept.id).await?;
    let content = sheet.as_ref().map_or(&Value::Null, |sheet| &sheet.body.content);
    let number = |value: &Value, decimals| value.as_f64().map(|value| fixed(language, value, decimals));
    let rows = workshop::belief::CORNER_WORDS.map(|name| {
        let of = |list: &str| {
            let entries = content[list].as_array();
            entries.and_then(|all| all.iter().find(|entry| entry["corner"] == name)).unwrap_or(&Value::Null)
        };
        let (collar, read) = (of("collars"), &of("on_the_ramp")["arch_height_mm"]);
        let range = || {
            let [value, low, high] = ["value", "low", "high"].map(|part| number(&read[part], 0));
            Some(format!("{} ({}–{})", value?, low?, high?))
        };
        SheetRow {
            corner: corner_named(language, name),
            position: number(&collar["position_mm"], 1).unwrap_or_else(|| "–".into()),
            turns: number(&collar["turns_from_delivered"], 2).unwrap_or_else(|| "–".into()),
            to_be_read: range().unwrap_or_else(|| "–".into()),
        }
    });
    let readings = readings(app, &kept.id, &zone, w, language).await?;
    let typed_in = |name: &str| typed.map_or("", |typed| typed.get(name)).to_owned();
    let moved = match (typed, &job.booking) {
        (Some(_), _) => Moved {
            ramp: typed_in("ramp"),
            day: typed_in("day"),
            time: typed_in("time"),
            minutes: typed_in("minutes"),
        },
        (None, Some(held)) => {
            let at = local(&zone, held.from_ms);
            Moved {
                ramp: held.ramp.clone(),
                day: at.date().to_string(),
                time: format!("{:02}:{:02}", at.hour(), at.minute()),
                minutes: held.minutes_nine_in_ten.to_string(),
            }
        }
        (None, None) => Moved::default(),
    };
    let when = job
        .booking
        .as_ref()
        .map(|held| format!("{} · {}", held.ramp, span(&zone, [held.from_ms, held.to_ms], language)));
    let read = app.catalogue().await?;
    let (operations, parts) = named(&read.catalogue, &job, &zone, language);
    let shown = JobPage {
        operations,
        lacks: parts.iter().filter(|part| !part.is_there).count(),
        parts,
        next: Next::of(&job),
        id: kept.id,
        version: kept.version,
        plate: app.store.get::<Van>(&job.van).await?.body.plate,
        customer: if f.office { Some(app.store.get::<Customer>(&job.customer).await?.body) } else { None },
        enquiry: match &job.quote {
            Some(quote) if job.state == JobState::Cancelled && f.office => {
                Some(app.store.get::<Quote>(quote).await?.body.enquiry)
            }
            _ => None,
        },
        state: state_words(w, job.state),
        when: when.unwrap_or_default(),
        kit: content["kit"].as_str().map(|id| kit_name(&read.catalogue, id)),
        revision: sheet.as_ref().map_or(0, |sheet| sheet.body.revision),
        sheet: rows.into(),
        readings,
        ramps: diary.ramps,
        moved,
        because: typed_in("because"),
        fault,
        may_work: caller.role != store::records::Role::Reader,
        begun: job.state != JobState::Booked,
        open: !matches!(job.state, JobState::HandedOver | JobState::Cancelled),
        job,
        f,
    };
    Ok(page(status, &shown))
}

/// The name of a kit, or of two together; of one that the catalogue does not list its identifier.
pub(super) fn kit_name(catalogue: &Catalogue, id: &str) -> String {
    let one = |id: &str| catalogue.kit(id).map_or_else(|| id.to_owned(), |kit| kit.name.clone());
    id.split('+').map(one).collect::<Vec<_>>().join(" + ")
}

/// Operations and parts of a job by their names; of those that the catalogue does not list the identifiers.
fn named(
    catalogue: &Catalogue,
    job: &Job,
    zone: &TimeZone,
    language: Language,
) -> (Vec<String>, Vec<PartRow>) {
    let operation = |id: &String| {
        let listed = catalogue.operations.operation(id);
        listed.map_or_else(|| id.clone(), |operation| operation.name.in_language(language).to_owned())
    };
    let part = |need: &PartNeed| {
        let name = part_name(catalogue, &need.part);
        let kit = catalogue.kits.iter().find(|kit| kit.id == need.part && name.en == need.part);
        PartRow {
            part: need.part.clone(),
            name: kit.map_or_else(|| name.in_language(language).to_owned(), |kit| kit.name.clone()),
            quantity: fixed(language, need.quantity, if need.quantity.fract() == 0.0 { 0 } else { 2 }),
            is_there: need.arrived_ms.is_some(),
            weight: "second",
            // expected by the end of a day: its last moment names it
            expected: need.expected_ms.map(|ms| local(zone, ms - 1).date().to_string()).unwrap_or_default(),
        }
    };
    let mut parts: Vec<PartRow> = job.parts.iter().map(part).collect();
    // several that are missing have one button together
    let mut missing = parts.iter_mut().filter(|part| !part.is_there);
    if let (Some(only), None) = (missing.next(), missing.next())
        && Next::of(job) == Next::PartsArrived
    {
        only.weight = "act";
    }
    (job.operations.iter().map(operation).collect(), parts)
}

pub(super) async fn last_sheet(app: &App, job: &Id) -> Handled<Option<Stored<SetUpSheet>>> {
    Ok(app
        .store
        .naming::<SetUpSheet>(Kind::Job, job)
        .await?
        .into_iter()
        .max_by_key(|kept| kept.body.revision))
}

pub(super) fn stage_words(w: &PageWords, stage: HeightsStage) -> &'static str {
    match stage {
        HeightsStage::AsFound => w.stage_as_found,
        HeightsStage::AfterFitting => w.stage_after_fitting,
        HeightsStage::AfterCorrection => w.stage_after_correction,
        HeightsStage::ReCheck => w.stage_re_check,
    }
}

/// What is done with a job.
#[derive(Clone, Copy)]
enum Deed {
    Start,
    Wait,
    Arrived,
    Cancel,
    Move,
    Sooner,
}

macro_rules! deeds {
    ($($(#[$meta:meta])* $name:ident: $deed:ident;)*) => {$(
        $(#[$meta])*
        pub(crate) async fn $name(
            State(app): State<App>,
            caller: Caller,
            f: Frame,
            At(id): At,
            Writer(by): Writer,
            posted: Posted,
        ) -> Handled<Response> {
            done(&app, &caller, f, &id, &by, &posted, Deed::$deed).await
        }
    )*};
}

deeds! {
    /// `POST /jobs/{id}/start`
    start: Start;
    /// `POST /jobs/{id}/wait`
    wait: Wait;
    /// `POST /jobs/{id}/arrived`
    arrived: Arrived;
    /// `POST /jobs/{id}/cancel`
    cancel: Cancel;
    /// `POST /jobs/{id}/move`
    move_it: Move;
    /// `POST /jobs/{id}/sooner`
    sooner: Sooner;
}

/// Does it and shows the job; refused, what was typed stays.
async fn done(
    app: &App,
    caller: &Caller,
    f: Frame,
    id: &Id,
    by: &By,
    posted: &Posted,
    deed: Deed,
) -> Handled<Response> {
    let language = f.language();
    match tried(app, id, by, posted, deed, f.w).await {
        Ok(job) => Ok(to(&format!("/jobs/{}", job.id))),
        Err(problem) => {
            let fault = problem.detail(language).to_owned();
            shown(app, caller, f, id, problem.status(), fault, Some(posted)).await
        }
    }
}

async fn tried(
    app: &App,
    id: &Id,
    by: &By,
    posted: &Posted,
    deed: Deed,
    w: &PageWords,
) -> Handled<Stored<Job>> {
    let saw = posted.saw();
    let because = posted.get("because");
    if because.is_empty() && matches!(deed, Deed::Wait | Deed::Cancel) {
        return Err(amiss(w.because_missing));
    }
    Ok(match deed {
        Deed::Start => app.store.start_job(by, id, saw).await?,
        Deed::Wait => app.store.wait_for_parts(by, id, saw, because).await?,
        Deed::Cancel => app.store.cancel_job(by, id, saw, because).await?,
        Deed::Arrived => {
            let parts = match posted.get("part") {
                "" => missing(&app.store.get::<Job>(id).await?.body),
                part => vec![part.to_owned()],
            };
            app.store.parts_arrived(by, id, saw, &parts).await?
        }
        Deed::Sooner => {
            app.store.would_come_sooner(by, id).await?;
            app.store.get::<Job>(id).await?
        }
        Deed::Move => {
            let zone = zone_of(&diary_if_any(app).await?)?;
            let (at, minutes) = (typed_time(&zone, posted), posted.get("minutes").parse::<u32>().ok());
            let (from_ms, minutes) = at.zip(minutes).ok_or_else(|| amiss(w.time_wrong))?;
            let ramp = posted.get("ramp");
            match app.store.move_job(by, id, saw, ramp, from_ms, minutes).await {
                Ok(job) => job,
                Err(e) => return Err(no_place(app, e, (ramp, from_ms, minutes), &zone).await),
            }
        }
    })
}

/// Parts of a job that are not there.
fn missing(job: &Job) -> Vec<String> {
    let missing = job.parts.iter().filter(|need| need.arrived_ms.is_none());
    missing.map(|need| need.part.clone()).collect()
}
