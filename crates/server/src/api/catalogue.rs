//! The catalogue's documents and their revisions; history, undo and search.

use std::collections::BTreeMap;

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::http::header::ETAG;
use axum::response::{IntoResponse, Response};
use serde::{Deserialize, Serialize};
use store::{CatalogueAt, DocumentChange, Found, HistoryEntry, Id, Kind};
use utoipa::{IntoParams, ToSchema};

use crate::answers::Unanswered;
use crate::app::{App, read_catalogue};
use crate::caller::Writer;
use crate::extract::{Ask, Body, Saw};
use crate::problem::{Handled, Problem};

#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub(crate) struct OfRevision {
    /// Revision; the latest where absent.
    revision: Option<i64>,
}

/// Paths and sizes of the documents of a revision.
#[derive(Serialize, ToSchema)]
pub(crate) struct Contents {
    /// Number of the revision; 0 before the first.
    revision: i64,
    /// Bytes of each document by its path.
    documents: BTreeMap<String, usize>,
}

impl From<&CatalogueAt> for Contents {
    fn from(at: &CatalogueAt) -> Self {
        let documents = at.documents.iter().map(|(path, text)| (path.clone(), text.len()));
        Self { revision: at.revision, documents: documents.collect() }
    }
}

fn with_tag(status: StatusCode, contents: &Contents) -> Response {
    (status, [(ETAG, format!("\"{}\"", contents.revision))], axum::Json(contents)).into_response()
}

/// Which documents a revision holds; its number is the ETag.
#[utoipa::path(get, path = "/api/v1/catalogue", tag = "catalogue", params(OfRevision), responses((status = 200, body = Contents)))]
pub(crate) async fn contents(State(app): State<App>, Ask(asked): Ask<OfRevision>) -> Handled<Response> {
    Ok(with_tag(StatusCode::OK, &(&at(&app, asked.revision).await?).into()))
}

async fn at(app: &App, revision: Option<i64>) -> Handled<CatalogueAt> {
    if revision.is_some_and(|number| !(0..=9_999_999_999).contains(&number)) {
        return Err(Problem::not_found(("there is no such revision", "diesen Katalogstand gibt es nicht")));
    }
    Ok(app.store.catalogue(revision).await?)
}

#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub(crate) struct OneDocument {
    /// Path, such as `kits/low.toml`.
    path: String,
    /// Revision; the latest where absent.
    revision: Option<i64>,
}

/// One document.
#[derive(Serialize, ToSchema)]
pub(crate) struct Document {
    path: String,
    revision: i64,
    /// Its text.
    text: String,
}

/// Reads a document as it stood at a revision.
#[utoipa::path(get, path = "/api/v1/catalogue/document", tag = "catalogue", params(OneDocument), responses((status = 200, body = Document)))]
pub(crate) async fn document(
    State(app): State<App>,
    Ask(asked): Ask<OneDocument>,
) -> Handled<axum::Json<Document>> {
    let mut at = at(&app, asked.revision).await?;
    let text = at.documents.remove(&asked.path).ok_or_else(|| {
        Problem::not_found(("there is no document at this path", "unter diesem Pfad ist kein Dokument"))
    })?;
    Ok(axum::Json(Document { path: asked.path, revision: at.revision, text }))
}

/// What becomes of documents.
#[derive(Debug, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Changes {
    /// Documents that are not named stay.
    changes: Vec<OneChange>,
    /// Only look whether the catalogue could be read afterwards.
    #[serde(default)]
    dry_run: bool,
}

/// What becomes of one document.
#[derive(Debug, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct OneChange {
    /// Path, such as `kits/low.toml`.
    #[schema(max_length = 200)]
    path: String,
    /// New text; none: the document goes.
    text: Option<String>,
}

/// Makes a new revision, if the whole catalogue can be read afterwards: all changes or none, every fault named.
#[utoipa::path(post, path = "/api/v1/catalogue/revisions", tag = "catalogue", request_body = Changes,
    responses((status = 201, body = Contents), (status = 200, body = Contents, description = "Dry run")))]
pub(crate) async fn revise(
    State(app): State<App>,
    Saw(saw): Saw,
    Writer(by): Writer,
    Body(new): Body<Changes>,
) -> Handled<Response> {
    let mut at = app.store.catalogue(None).await?;
    for change in &new.changes {
        match &change.text {
            Some(text) => drop(at.documents.insert(change.path.clone(), text.clone())),
            None => drop(at.documents.remove(&change.path)),
        }
    }
    let contents = Contents::from(&at);
    app.compute(move || read_catalogue(&at).map(|_| ())).await?.map_err(Unanswered::from)?;
    if new.dry_run {
        return Ok(with_tag(StatusCode::OK, &contents));
    }
    let changes: Vec<DocumentChange> = new
        .changes
        .into_iter()
        .map(|change| DocumentChange { path: change.path, text: change.text })
        .collect();
    let kept = app.store.revise_catalogue(&by, saw, &changes).await?;
    Ok(with_tag(StatusCode::CREATED, &Contents { revision: kept.body.number, ..contents }))
}

#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub(crate) struct HistoryPart {
    /// Entries before this one; the latest where absent.
    before: Option<i64>,
    /// At most so many entries; 50 where absent.
    #[param(minimum = 1, maximum = 200)]
    limit: Option<u32>,
}

/// The latest changes, newest first.
#[utoipa::path(get, path = "/api/v1/history", tag = "history", params(HistoryPart), responses((status = 200, body = Vec<Object>)))]
pub(crate) async fn history(
    State(app): State<App>,
    Ask(part): Ask<HistoryPart>,
) -> Handled<axum::Json<Vec<HistoryEntry>>> {
    let limit = part.limit.unwrap_or(50);
    if !(1..=200).contains(&limit) {
        return Err(Problem::invalid("limit", ("limit must be 1 to 200", "limit muss 1 bis 200 sein")));
    }
    Ok(axum::Json(app.store.history(part.before, limit).await?))
}

/// Every change of a record, oldest first.
#[utoipa::path(get, path = "/api/v1/history/{kind}/{id}", tag = "history",
    params(("kind" = String, Path), ("id" = String, Path, max_length = 120)), responses((status = 200, body = Vec<Object>)))]
pub(crate) async fn history_of(
    State(app): State<App>,
    Path((kind, id)): Path<(String, String)>,
) -> Handled<axum::Json<Vec<HistoryEntry>>> {
    let nothing = || {
        Problem::not_found((
            "there is no record of this kind with this id",
            "einen Eintrag dieser Art mit dieser Kennung gibt es nicht",
        ))
    };
    let kind: Kind = kind.parse().map_err(|_| nothing())?;
    let id: Id = id.parse().map_err(|_| nothing())?;
    let entries = app.store.history_of(kind, &id).await?;
    if entries.is_empty() { Err(nothing()) } else { Ok(axum::Json(entries)) }
}

/// Whether undoing may overwrite later work.
#[derive(Debug, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct UndoAsked {
    /// Undo even where a record was changed since.
    #[serde(default)]
    confirmed: bool,
}

/// The deed that undid.
#[derive(Serialize, ToSchema)]
pub(crate) struct Undone {
    /// Its number; undoing it does the first deed again.
    deed: i64,
}

/// Undoes a deed by a new one.
#[utoipa::path(post, path = "/api/v1/history/{deed}/undo", tag = "history", params(("deed" = i64, Path)),
    request_body = UndoAsked, responses((status = 200, body = Undone)))]
pub(crate) async fn undo(
    State(app): State<App>,
    Path(deed): Path<i64>,
    Writer(by): Writer,
    Body(asked): Body<UndoAsked>,
) -> Handled<axum::Json<Undone>> {
    Ok(axum::Json(Undone { deed: app.store.undo(&by, deed, asked.confirmed).await? }))
}

#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub(crate) struct SearchFor {
    /// A number plate, words of a name, part of a telephone number, or words about a van.
    #[param(max_length = 200)]
    q: String,
}

/// Finds customers, vans, enquiries and jobs.
#[utoipa::path(get, path = "/api/v1/search", tag = "search", params(SearchFor), responses((status = 200, body = Vec<Object>)))]
pub(crate) async fn search(
    State(app): State<App>,
    Ask(asked): Ask<SearchFor>,
) -> Handled<axum::Json<Vec<Found>>> {
    const MOST: usize = 50;
    if asked.q.chars().count() > 200 {
        return Err(Problem::invalid("q", ("at most 200 characters", "höchstens 200 Zeichen")));
    }
    Ok(axum::Json(app.store.search(&asked.q, MOST).await?))
}
