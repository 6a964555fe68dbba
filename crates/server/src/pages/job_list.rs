//! The list of jobs, by state and day, page by page.

use askama::Template;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use jiff::civil::Date;
use serde::Deserialize;
use store::records::{JobState, Van};
use store::{Id, JobsWanted};

use super::diary::{diary_if_any, moment, zone_of};
use super::jobs::state_words;
use super::quotes::{begin_of, days_on};
use super::{Frame, id_of, page};
use crate::app::App;
use crate::problem::Handled;

const ON_A_PAGE: u32 = 50;
const STATES: [(&str, JobState); 5] = [
    ("booked", JobState::Booked),
    ("on_the_ramp", JobState::OnTheRamp),
    ("waiting_for_parts", JobState::WaitingForParts),
    ("handed_over", JobState::HandedOver),
    ("cancelled", JobState::Cancelled),
];

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
    from: String,
    until: String,
    rows: Vec<JobRow>,
    older: Option<Id>,
    fault: &'static str,
}

#[derive(Deserialize)]
pub(crate) struct Asked {
    #[serde(default)]
    state: String,
    #[serde(default)]
    from: String,
    #[serde(default)]
    until: String,
    before: Option<String>,
}

/// `GET /jobs?state=&from=&until=&before=`
pub(crate) async fn list(State(app): State<App>, f: Frame, Query(asked): Query<Asked>) -> Handled<Response> {
    let zone = zone_of(&diary_if_any(&app).await?)?;
    let named = STATES.iter().find(|(name, _)| *name == asked.state);
    let before = asked.before.as_deref().map(id_of).transpose()?;
    let [from, until] = [&asked.from, &asked.until].map(|day| day.trim().parse::<Date>().ok());
    let is_amiss = [(&asked.from, from), (&asked.until, until)]
        .iter()
        .any(|(typed, day)| !typed.trim().is_empty() && day.is_none());
    let wanted = JobsWanted {
        state: named.map(|(_, state)| *state),
        from_ms: from.and_then(|day| begin_of(&zone, day)),
        until_ms: until.and_then(|day| begin_of(&zone, days_on(day, 1))),
    };
    let part = app.store.jobs(&wanted, before.as_ref(), ON_A_PAGE).await?;
    let mut rows = Vec::new();
    for job in part.records {
        let plate = app.store.get::<Van>(&job.body.van).await?.body.plate;
        let when = job.body.booking.map(|held| moment(&zone, held.from_ms, f.language()));
        let (when, state) = (when.unwrap_or_default(), state_words(f.w, job.body.state));
        rows.push(JobRow { id: job.id, title: job.body.title, plate, when, state });
    }
    let shown = named.map_or("", |(name, _)| *name);
    let all = std::iter::once(("", f.w.all_states, shown.is_empty()));
    let states =
        all.chain(STATES.map(|(name, state)| (name, state_words(f.w, state), name == shown))).collect();
    let shown = JobsPage {
        fault: if is_amiss { f.w.time_wrong } else { "" },
        state: shown.to_owned(),
        from: from.map(|day| day.to_string()).unwrap_or_default(),
        until: until.map(|day| day.to_string()).unwrap_or_default(),
        states,
        rows,
        older: part.next,
        f,
    };
    Ok(page(StatusCode::OK, &shown))
}
