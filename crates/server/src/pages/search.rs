//! Everything found by a plate, a name, a telephone number or a van.

use askama::Template;
use axum::extract::{Query, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::Response;
use serde::Deserialize;
use store::Kind;
use store::records::{Customer, Enquiry, Job, Van};

use super::{Frame, or_refusal, page};
use crate::app::App;
use crate::caller::Caller;
use crate::problem::{Handled, Problem};

const MOST_FOUND: usize = 50;
const LONGEST: usize = 200;

/// Something found: what it is, its words, and where it leads.
struct Hit {
    what: &'static str,
    words: String,
    href: String,
}

#[derive(Template)]
#[template(path = "search.html")]
struct SearchPage {
    f: Frame,
    q: String,
    hits: Vec<Hit>,
}

#[derive(Deserialize)]
pub(crate) struct Asked {
    #[serde(default)]
    q: String,
}

/// `GET /search?q=`
pub(crate) async fn found(
    State(app): State<App>,
    caller: Caller,
    headers: HeaderMap,
    Query(asked): Query<Asked>,
) -> Response {
    let f = Frame::of(&app, &headers, Some(&caller));
    let language = f.language();
    or_refusal(shown(&app, f, asked.q.trim().to_owned()).await, language)
}

async fn shown(app: &App, f: Frame, q: String) -> Handled<Response> {
    if q.chars().count() > LONGEST || q.contains('\0') {
        return Err(Problem::invalid("q", ("at most 200 letters", "höchstens 200 Buchstaben")));
    }
    let (mut hits, w) = (Vec::<Hit>::new(), f.w);
    let found = if q.is_empty() { Vec::new() } else { app.store.search(&q, MOST_FOUND).await? };
    for hit in found {
        match hit.kind {
            Kind::Enquiry => {
                let body = app.store.get::<Enquiry>(&hit.id).await?.body;
                let words = format!("{} {}", body.caller, body.question);
                hits.push(Hit { what: w.enquiries, words, href: format!("/enquiries/{}", hit.id) });
            }
            Kind::Job => {
                let words = app.store.get::<Job>(&hit.id).await?.body.title;
                hits.push(Hit { what: w.job, words, href: format!("/jobs/{}", hit.id) });
            }
            Kind::Van => {
                let plate = app.store.get::<Van>(&hit.id).await?.body.plate;
                for job in app.store.naming::<Job>(Kind::Van, &hit.id).await? {
                    let words = format!("{plate} · {}", job.body.title);
                    hits.push(Hit { what: w.job, words, href: format!("/jobs/{}", job.id) });
                }
            }
            Kind::Customer => {
                let name = app.store.get::<Customer>(&hit.id).await?.body.name;
                for job in app.store.naming::<Job>(Kind::Customer, &hit.id).await? {
                    let words = format!("{name} · {}", job.body.title);
                    hits.push(Hit { what: w.job, words, href: format!("/jobs/{}", job.id) });
                }
            }
            _ => {}
        }
    }
    let mut seen = std::collections::BTreeSet::new();
    hits.retain(|hit| seen.insert(hit.href.clone()));
    Ok(page(StatusCode::OK, &SearchPage { f, q, hits }))
}
