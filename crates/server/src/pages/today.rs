//! The first page: the day of the office, or what stands on the ramps.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::Response;
use jiff::ToSpan;
use store::records::{CallBack, CallBackReason, Customer, Enquiry, EnquiryState, Job, JobState, Quote, Van};
use store::{Id, Stored};

use super::diary::{day_words, diary_if_any, local, moment, zone_of};
use super::enquiries::newest;
use super::form::Posted;
use super::jobs::state_words;
use super::next_step::{Step, of_job};
use super::words::PageWords;
use super::{Frame, id_of, or_refusal, page, to};
use crate::app::App;
use crate::caller::{Caller, Writer};
use crate::problem::{Handled, Problem};

/// Enquiries on the page; the rest is a link away.
const MOST_ENQUIRIES: usize = 8;
/// Calls on the page that are seen at once.
const MOST_CALLS: usize = 8;

/// A job that stands or will stand on a ramp today.
struct JobToday {
    id: Id,
    plate: String,
    title: String,
    state: &'static str,
    ramp: String,
    from: String,
    until: String,
    step: Step,
}

/// A call that is due.
struct CallDue {
    id: Id,
    version: i64,
    name: String,
    phones: Vec<String>,
    why: &'static str,
    href: String,
    notes: String,
}

/// An enquiry that waits for an answer.
struct OpenEnquiry {
    caller: String,
    question: String,
    id: Id,
}

impl OpenEnquiry {
    fn of(kept: Stored<Enquiry>) -> Self {
        Self { caller: kept.body.caller, question: kept.body.question, id: kept.id }
    }
}

#[derive(Template)]
#[template(path = "today.html")]
struct TodayPage {
    f: Frame,
    day: String,
    no_diary: bool,
    jobs: Vec<JobToday>,
    calls: Vec<CallDue>,
    /// The same beyond the first few.
    later_calls: Vec<CallDue>,
    enquiries: Vec<OpenEnquiry>,
    /// Open enquiries that are not on the page.
    more: usize,
    fault: String,
}

/// `GET /`: by role.
pub(crate) async fn first(State(app): State<App>, caller: Caller, headers: HeaderMap) -> Response {
    let f = Frame::of(&app, &headers, Some(&caller));
    let language = f.language();
    or_refusal(shown(&app, f, StatusCode::OK, String::new()).await, language)
}

async fn shown(app: &App, f: Frame, status: StatusCode, fault: String) -> Handled<Response> {
    let (w, language) = (f.w, f.language());
    let diary = diary_if_any(app).await?;
    let no_diary = diary.ramps.is_empty();
    let zone = zone_of(&diary)?;
    let today = local(&zone, app.now_ms()).date();
    let end = today.checked_add(1.day()).ok().and_then(|next| zone.to_timestamp(next.at(0, 0, 0, 0)).ok());
    let end_ms = end.map_or(i64::MAX, |end| end.as_millisecond());
    let mut jobs = Vec::new();
    // what was held before today is still there or was never begun; some began before their day
    for held in app.store.occupied(0, i64::MAX).await? {
        let job = app.store.get::<Job>(&held.job).await?;
        if held.from_ms >= end_ms && job.body.state != JobState::OnTheRamp {
            continue;
        }
        let (from, until) = (moment(&zone, held.from_ms, language), moment(&zone, held.to_ms, language));
        jobs.push(job_today(app, job, held.ramp, (from, until), w).await?);
    }
    jobs.sort_by_key(|(state, _)| *state != JobState::OnTheRamp);
    let (mut calls, mut enquiries, mut more) = (Vec::new(), Vec::new(), 0);
    if f.office {
        for call in app.store.call_backs(app.now_ms()).await? {
            calls.push(call_due(app, call, w).await?);
        }
        let mut open = newest(app).await?;
        open.retain(|kept| kept.body.state == EnquiryState::Open);
        more = open.len().saturating_sub(MOST_ENQUIRIES);
        enquiries = open.into_iter().take(MOST_ENQUIRIES).map(OpenEnquiry::of).collect();
    }
    let shown = TodayPage {
        day: day_words(today, language),
        no_diary,
        jobs: jobs.into_iter().map(|(_, job)| job).collect(),
        later_calls: calls.split_off(MOST_CALLS.min(calls.len())),
        calls,
        enquiries,
        more,
        fault,
        f,
    };
    Ok(page(status, &shown))
}

async fn job_today(
    app: &App,
    job: Stored<Job>,
    ramp: String,
    (from, until): (String, String),
    w: &PageWords,
) -> Handled<(JobState, JobToday)> {
    let step = of_job(app, &job, w).await?;
    let plate = app.store.get::<Van>(&job.body.van).await?.body.plate;
    let state = state_words(w, job.body.state);
    Ok((
        job.body.state,
        JobToday { id: job.id, plate, title: job.body.title, state, ramp, from, until, step },
    ))
}

async fn call_due(app: &App, call: Stored<CallBack>, w: &PageWords) -> Handled<CallDue> {
    let whom = app.store.get::<Customer>(&call.body.customer).await?.body;
    let of_job = |job: &Id| format!("/jobs/{job}");
    let (why, href) = match &call.body.reason {
        CallBackReason::UnansweredQuote { quote } => {
            let enquiry = app.store.get::<Quote>(quote).await?.body.enquiry;
            (w.call_quote, format!("/enquiries/{enquiry}"))
        }
        CallBackReason::PartsArrived { job } => (w.call_parts, of_job(job)),
        CallBackReason::RetorqueDue { job } => (w.call_retorque, of_job(job)),
        CallBackReason::RecheckDue { job } => (w.call_recheck, of_job(job)),
        CallBackReason::WaitingForCancellation { job } => (w.call_sooner, of_job(job)),
        CallBackReason::Asked => (w.call_asked, String::new()),
    };
    let (name, phones) = (whom.name, whom.phones);
    Ok(CallDue { id: call.id, version: call.version, name, phones, why, href, notes: call.body.notes })
}

/// `POST /call-backs/{id}/made`: rung, and what came of it.
pub(crate) async fn call_made(
    State(app): State<App>,
    caller: Caller,
    headers: HeaderMap,
    Path(id): Path<String>,
    Writer(by): Writer,
    posted: Posted,
) -> Response {
    let f = Frame::of(&app, &headers, Some(&caller));
    let language = f.language();
    let made = async {
        let saw: i64 = posted.get("saw").parse().unwrap_or(0);
        match app.store.call_made(&by, &id_of(&id)?, saw, posted.get("outcome")).await {
            Ok(_) => Ok(to("/")),
            Err(e) => {
                let problem = Problem::from(e);
                let fault = problem.detail(language).to_owned();
                shown(&app, f, problem.status(), fault).await
            }
        }
    };
    or_refusal(made.await, language)
}
