//! The list of enquiries, newest first.

use askama::Template;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use serde::Deserialize;
use store::records::{Enquiry, EnquiryState};
use store::{Id, Stored};
use workshop::enquiry_text::EnquiryText;

use super::words::PageWords;
use super::{Frame, id_of, page};
use crate::app::App;
use crate::problem::Handled;

const ON_A_PAGE: usize = 30;
const STATES: [(&str, EnquiryState); 3] =
    [("open", EnquiryState::Open), ("quoted", EnquiryState::Quoted), ("closed", EnquiryState::Closed)];

struct EnquiryRow {
    id: Id,
    question: String,
    caller: String,
    van: String,
    state: &'static str,
}

#[derive(Template)]
#[template(path = "enquiries.html")]
struct EnquiriesPage {
    f: Frame,
    /// Name in the address, words, how many, whether it is shown.
    states: Vec<(&'static str, &'static str, usize, bool)>,
    state: &'static str,
    rows: Vec<EnquiryRow>,
    older: Option<Id>,
}

#[derive(Deserialize)]
pub(crate) struct Asked {
    #[serde(default)]
    state: String,
    before: Option<String>,
}

pub(super) fn state_name(w: &PageWords, state: EnquiryState) -> &'static str {
    match state {
        EnquiryState::Open => w.open,
        EnquiryState::Quoted => w.quoted,
        EnquiryState::Closed => w.closed,
    }
}

/// All enquiries, newest first.
pub(super) async fn newest(app: &App) -> Handled<Vec<Stored<Enquiry>>> {
    let mut kept = app.store.all::<Enquiry>().await?;
    kept.reverse();
    Ok(kept)
}

/// `GET /enquiries?state=&before=`
pub(crate) async fn list(State(app): State<App>, f: Frame, Query(asked): Query<Asked>) -> Handled<Response> {
    let before = asked.before.as_deref().map(id_of).transpose()?;
    let wanted = STATES.iter().find(|(name, _)| *name == asked.state);
    let mut kept = newest(&app).await?;
    let count = |state: EnquiryState| kept.iter().filter(|kept| kept.body.state == state).count();
    let shown = wanted.map_or("", |(name, _)| *name);
    let all = std::iter::once(("", f.w.all_states, kept.len(), shown.is_empty()));
    let each = STATES.map(|(name, state)| (name, state_name(f.w, state), count(state), name == shown));
    let states = all.chain(each).collect();
    kept.retain(|kept| wanted.is_none_or(|(_, state)| kept.body.state == *state));
    kept.retain(|kept| before.as_ref().is_none_or(|before| kept.id.as_str() < before.as_str()));
    let more = kept.len() > ON_A_PAGE;
    kept.truncate(ON_A_PAGE);
    let older = kept.last().filter(|_| more).map(|last| last.id.clone());
    let catalogue = app.catalogue().await?;
    let row = |kept: Stored<Enquiry>| {
        let text = EnquiryText::read(&kept.body.document).ok();
        let vehicle = text.as_ref().and_then(|text| text.text(&["vehicle"])).unwrap_or_default();
        let sheet = catalogue.catalogue.vehicle(vehicle);
        EnquiryRow {
            van: sheet.map_or_else(|| vehicle.to_owned(), |sheet| sheet.name.clone()),
            state: state_name(f.w, kept.body.state),
            id: kept.id,
            question: kept.body.question,
            caller: kept.body.caller,
        }
    };
    let rows = kept.into_iter().map(row).collect();
    Ok(page(StatusCode::OK, &EnquiriesPage { states, state: shown, rows, older, f }))
}
