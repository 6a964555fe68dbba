//! The list of enquiries, newest first.

use askama::Template;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use serde::Deserialize;
use store::records::Enquiry;
use store::{EnquiryStage, Id, Stored};
use workshop::enquiry_text::EnquiryText;

use super::diary::{diary_if_any, local, zone_of};
use super::words::PageWords;
use super::{Frame, id_of, page};
use crate::app::App;
use crate::problem::Handled;

const ON_A_PAGE: u32 = 30;
struct EnquiryRow {
    id: Id,
    question: String,
    caller: String,
    van: String,
    state: &'static str,
    /// Day of its last change.
    changed: String,
}

#[derive(Template)]
#[template(path = "enquiries.html")]
struct EnquiriesPage {
    f: Frame,
    /// Name in the address, words, how many, whether it is shown.
    states: Vec<(&'static str, &'static str, u64, bool)>,
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

pub(super) fn stage_name(w: &PageWords, stage: EnquiryStage) -> &'static str {
    match stage {
        EnquiryStage::Open => w.open,
        EnquiryStage::Answered => w.answered,
        EnquiryStage::Accepted => w.accepted,
        EnquiryStage::Closed => w.closed,
    }
}

/// `GET /enquiries?state=&before=`
pub(crate) async fn list(State(app): State<App>, f: Frame, Query(asked): Query<Asked>) -> Handled<Response> {
    let before = asked.before.as_deref().map(id_of).transpose()?;
    let wanted = EnquiryStage::ALL.into_iter().find(|stage| stage.name() == asked.state);
    let counts = app.store.enquiries_by_stage().await?;
    let all = std::iter::once(("", f.w.all_states, counts.iter().sum(), wanted.is_none()));
    let each = EnquiryStage::ALL.into_iter().zip(counts);
    let each =
        each.map(|(stage, count)| (stage.name(), stage_name(f.w, stage), count, wanted == Some(stage)));
    let states = all.chain(each).collect();
    let part = app.store.enquiries(wanted, before.as_ref(), ON_A_PAGE).await?;
    let catalogue = app.catalogue().await?;
    let zone = zone_of(&diary_if_any(&app).await?)?;
    let row = |(stage, kept): (EnquiryStage, Stored<Enquiry>)| {
        let text = EnquiryText::read(&kept.body.document).ok();
        let vehicle = text.as_ref().and_then(|text| text.text(&["vehicle"])).unwrap_or_default();
        let sheet = catalogue.catalogue.vehicle(vehicle);
        EnquiryRow {
            van: sheet.map_or_else(|| vehicle.to_owned(), |sheet| sheet.name.clone()),
            state: stage_name(f.w, stage),
            changed: local(&zone, kept.updated_ms).date().to_string(),
            id: kept.id,
            question: kept.body.question,
            caller: kept.body.caller,
        }
    };
    let rows = part.enquiries.into_iter().map(row).collect();
    let state = wanted.map_or("", EnquiryStage::name);
    Ok(page(StatusCode::OK, &EnquiriesPage { states, state, rows, older: part.next, f }))
}
