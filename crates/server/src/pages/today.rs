//! The first page: the day of the office, or what stands on the ramps.

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use jiff::ToSpan;
use store::records::{CallBack, Customer, Enquiry, Job, JobState, Van};
use store::{EnquiryStage, Id, Stored};

use super::calls::{calls_due, reason_name, reason_words};
use super::diary::{day_words, diary_if_any, local, span, zone_of};
use super::enquiries::stage_name;
use super::jobs::state_words;
use super::next_step::{Step, of_job};
use super::words::PageWords;
use super::{Frame, page};
use crate::app::App;
use crate::problem::Handled;

/// Enquiries of each state on the page; the rest is a link away.
const MOST_ENQUIRIES: u32 = 8;
/// Calls on the page; the rest is a link away.
const MOST_CALLS: usize = 8;

/// A job that stands or will stand on a ramp today.
struct JobToday {
    id: Id,
    plate: String,
    title: String,
    state: &'static str,
    ramp: String,
    when: String,
    step: Step,
}

/// A call that is due.
struct CallDue {
    name: String,
    phones: Vec<String>,
    why: &'static str,
}

/// An enquiry that waits for the workshop.
struct OpenEnquiry {
    caller: String,
    question: String,
    id: Id,
    /// Taken, and no job is booked.
    to_book: bool,
}

impl OpenEnquiry {
    fn of((stage, kept): (EnquiryStage, Stored<Enquiry>)) -> Self {
        let to_book = stage == EnquiryStage::Accepted;
        Self { caller: kept.body.caller, question: kept.body.question, id: kept.id, to_book }
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
    /// Calls that are not on the page.
    more_calls: usize,
    enquiries: Vec<OpenEnquiry>,
    /// Enquiries that are not on the page: state in the address, its words, how many.
    more: Vec<(&'static str, &'static str, u64)>,
}

/// `GET /`: by role.
pub(crate) async fn first(State(app): State<App>, f: Frame) -> Handled<Response> {
    let (w, language) = (f.w, f.language());
    let diary = diary_if_any(&app).await?;
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
        let when = span(&zone, [held.from_ms, held.to_ms], language);
        jobs.push(job_today(&app, job, held.ramp, when, w).await?);
    }
    jobs.sort_by_key(|(state, _)| *state != JobState::OnTheRamp);
    let (mut calls, mut more_calls, mut enquiries, mut more) = (Vec::new(), 0, Vec::new(), Vec::new());
    if f.office {
        let due = calls_due(&app).await?;
        more_calls = due.len().saturating_sub(MOST_CALLS);
        for call in due.iter().take(MOST_CALLS) {
            calls.push(call_due(&app, &call.body, w).await?);
        }
        for (stage, count) in EnquiryStage::ALL.into_iter().zip(app.store.enquiries_by_stage().await?) {
            if !matches!(stage, EnquiryStage::Open | EnquiryStage::Accepted) {
                continue;
            }
            let found = app.store.enquiries(Some(stage), None, MOST_ENQUIRIES).await?.enquiries;
            let left = count.saturating_sub(found.len() as u64);
            if left > 0 {
                more.push((stage.name(), stage_name(w, stage), left));
            }
            enquiries.extend(found.into_iter().map(OpenEnquiry::of));
        }
    }
    let shown = TodayPage {
        day: day_words(today, language),
        no_diary,
        jobs: jobs.into_iter().map(|(_, job)| job).collect(),
        calls,
        more_calls,
        enquiries,
        more,
        f,
    };
    Ok(page(StatusCode::OK, &shown))
}

async fn job_today(
    app: &App,
    job: Stored<Job>,
    ramp: String,
    when: String,
    w: &PageWords,
) -> Handled<(JobState, JobToday)> {
    let step = of_job(app, &job, w).await?;
    let plate = app.store.get::<Van>(&job.body.van).await?.body.plate;
    let state = state_words(w, job.body.state);
    Ok((job.body.state, JobToday { id: job.id, plate, title: job.body.title, state, ramp, when, step }))
}

async fn call_due(app: &App, call: &CallBack, w: &PageWords) -> Handled<CallDue> {
    let Customer { name, phones, .. } = app.store.get::<Customer>(&call.customer).await?.body;
    Ok(CallDue { name, phones, why: reason_words(w, reason_name(&call.reason)) })
}
