//! Jobs: the list, one job with its papers, and what is done with it.

use askama::Template;
use axum::extract::{Path, Query, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::Response;
use jiff::civil::{Date, Time};
use serde::Deserialize;
use serde_json::Value;
use store::records::{HeightsStage, Job, JobState, SetUpSheet, Van};
use store::{By, Id, Kind, Stored};
use workshop::wording::{corner_named, fixed};

use super::diary::{diary_if_any, local, moment, zone_of};
use super::form::Posted;
use super::readings::{Reading, readings};
use super::words::PageWords;
use super::{Frame, id_of, or_refusal, page, to};
use crate::app::App;
use crate::caller::{Caller, Writer};
use crate::problem::{Handled, Problem};

const STATES: [(&str, JobState); 5] = [
    ("booked", JobState::Booked),
    ("on_the_ramp", JobState::OnTheRamp),
    ("waiting_for_parts", JobState::WaitingForParts),
    ("handed_over", JobState::HandedOver),
    ("cancelled", JobState::Cancelled),
];

pub(super) fn state_words(w: &PageWords, state: JobState) -> &'static str {
    match state {
        JobState::Booked => w.booked,
        JobState::OnTheRamp => w.on_the_ramp,
        JobState::WaitingForParts => w.waiting_for_parts,
        JobState::HandedOver => w.handed_over,
        JobState::Cancelled => w.cancelled,
    }
}

struct JobRow {
    id: Id,
    title: String,
    plate: String,
    when: String,
    state: &'static str,
}

#[derive(Template)]
#[template(path = "jobs.html")]
struct JobsPage {
    f: Frame,
    /// Name in the address, words, whether it is shown.
    states: Vec<(&'static str, &'static str, bool)>,
    state: String,
    rows: Vec<JobRow>,
    older: Option<Id>,
}

#[derive(Deserialize)]
pub(crate) struct Asked {
    #[serde(default)]
    state: String,
    before: Option<String>,
}

/// `GET /jobs?state=&before=`
pub(crate) async fn list(
    State(app): State<App>,
    caller: Caller,
    headers: HeaderMap,
    Query(asked): Query<Asked>,
) -> Response {
    let f = Frame::of(&app, &headers, Some(&caller));
    let language = f.language();
    or_refusal(listed(&app, f, asked).await, language)
}

async fn listed(app: &App, f: Frame, asked: Asked) -> Handled<Response> {
    const ON_A_PAGE: usize = 50;
    const AT_ONCE: u32 = 1000;
    let zone = zone_of(&diary_if_any(app).await?)?;
    let wanted = STATES.iter().find(|(name, _)| *name == asked.state);
    let before = asked.before.as_deref().map(id_of).transpose()?;
    let (mut kept, mut after) = (Vec::<Stored<Job>>::new(), None::<Id>);
    loop {
        let part = app.store.list::<Job>(after.as_ref(), AT_ONCE).await?;
        kept.extend(part.records);
        after = part.next;
        if after.is_none() {
            break;
        }
    }
    kept.reverse();
    kept.retain(|job| wanted.is_none_or(|(_, state)| job.body.state == *state));
    kept.retain(|job| before.as_ref().is_none_or(|before| job.id.as_str() < before.as_str()));
    let more = kept.len() > ON_A_PAGE;
    kept.truncate(ON_A_PAGE);
    let older = kept.last().filter(|_| more).map(|job| job.id.clone());
    let mut rows = Vec::new();
    for job in kept {
        let plate = app.store.get::<Van>(&job.body.van).await?.body.plate;
        let when = job.body.booking.map(|held| moment(&zone, held.from_ms, f.language()));
        let (when, state) = (when.unwrap_or_default(), state_words(f.w, job.body.state));
        rows.push(JobRow { id: job.id, title: job.body.title, plate, when, state });
    }
    let shown = wanted.map_or("", |(name, _)| *name);
    let all = std::iter::once(("", f.w.all_states, shown.is_empty()));
    let states =
        all.chain(STATES.map(|(name, state)| (name, state_words(f.w, state), name == shown))).collect();
    Ok(page(StatusCode::OK, &JobsPage { f, states, state: shown.to_owned(), rows, older }))
}

/// A collar or a reading of a set-up sheet as it was issued.
struct SheetRow {
    corner: &'static str,
    position: String,
    turns: String,
    to_be_read: String,
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
    state: &'static str,
    when: String,
    kit: Option<String>,
    revision: i64,
    sheet: Vec<SheetRow>,
    readings: Vec<Reading>,
    ramps: Vec<String>,
    moved: Moved,
    because: String,
    fault: String,
    may_work: bool,
    begun: bool,
    open: bool,
}

/// `GET /jobs/{id}`
pub(crate) async fn show(
    State(app): State<App>,
    caller: Caller,
    headers: HeaderMap,
    Path(id): Path<String>,
) -> Response {
    let f = Frame::of(&app, &headers, Some(&caller));
    let language = f.language();
    let (status, fault) = (StatusCode::OK, String::new());
    or_refusal(shown(&app, &caller, f, &id, status, fault, None).await, language)
}

async fn shown(
    app: &App,
    caller: &Caller,
    f: Frame,
    id: &str,
    status: StatusCode,
    fault: String,
    typed: Option<&Posted>,
) -> Handled<Response> {
    let kept = app.store.get::<Job>(&id_of(id)?).await?;
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
    let when = job.booking.as_ref().map(|held| {
        let [from, until] = [held.from_ms, held.to_ms].map(|ms| moment(&zone, ms, language));
        format!("{} · {from} – {until}", held.ramp)
    });
    let shown = JobPage {
        id: kept.id,
        version: kept.version,
        plate: app.store.get::<Van>(&job.van).await?.body.plate,
        state: state_words(w, job.state),
        when: when.unwrap_or_default(),
        kit: content["kit"].as_str().map(str::to_owned),
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
}

macro_rules! deeds {
    ($($(#[$meta:meta])* $name:ident: $deed:ident;)*) => {$(
        $(#[$meta])*
        pub(crate) async fn $name(
            State(app): State<App>,
            caller: Caller,
            headers: HeaderMap,
            Path(id): Path<String>,
            Writer(by): Writer,
            posted: Posted,
        ) -> Response {
            done(&app, &caller, &headers, &id, &by, &posted, Deed::$deed).await
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
}

/// Does it and shows the job; refused, what was typed stays.
async fn done(
    app: &App,
    caller: &Caller,
    headers: &HeaderMap,
    id: &str,
    by: &By,
    posted: &Posted,
    deed: Deed,
) -> Response {
    let f = Frame::of(app, headers, Some(caller));
    let language = f.language();
    match tried(app, id, by, posted, deed, f.w).await {
        Ok(job) => to(&format!("/jobs/{}", job.id)),
        Err(problem) => {
            let fault = problem.detail(language).to_owned();
            let again = shown(app, caller, f, id, problem.status(), fault, Some(posted)).await;
            or_refusal(again, language)
        }
    }
}

async fn tried(
    app: &App,
    id: &str,
    by: &By,
    posted: &Posted,
    deed: Deed,
    w: &PageWords,
) -> Handled<Stored<Job>> {
    let id = id_of(id)?;
    let saw: i64 = posted.get("saw").parse().unwrap_or(0);
    let because = posted.get("because");
    if because.is_empty() && matches!(deed, Deed::Wait | Deed::Cancel) {
        return Err(amiss(w.because_missing));
    }
    Ok(match deed {
        Deed::Start => app.store.start_job(by, &id, saw).await?,
        Deed::Wait => app.store.wait_for_parts(by, &id, saw, because).await?,
        Deed::Cancel => app.store.cancel_job(by, &id, saw, because).await?,
        Deed::Arrived => app.store.parts_arrived(by, &id, saw, &[posted.get("part").to_owned()]).await?,
        Deed::Move => {
            let zone = zone_of(&app.store.diary().await?.body)?;
            let at = posted.get("day").parse::<Date>().ok().zip(posted.get("time").parse::<Time>().ok());
            let at = at.and_then(|(day, time)| zone.to_timestamp(day.to_datetime(time)).ok());
            let minutes = posted.get("minutes").parse::<u32>().ok();
            let (at, minutes) = at.zip(minutes).ok_or_else(|| amiss(w.time_wrong))?;
            app.store.move_job(by, &id, saw, posted.get("ramp"), at.as_millisecond(), minutes).await?
        }
    })
}

fn amiss(words: &'static str) -> Problem {
    Problem::new(StatusCode::UNPROCESSABLE_ENTITY, "invalid", (words, words))
}
