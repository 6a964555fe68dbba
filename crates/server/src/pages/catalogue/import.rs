//! Import of a plain file: a document of the catalogue, or a table of kits. All or nothing, looked at first.

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use store::{CatalogueAt, DocumentChange};
use workshop::catalogue::{Catalogue, Kind};
use workshop::document::Fault;
use workshop::facts::Language;
use workshop::kit::KitWorld;
use workshop::kit_table::{csv_rows, read_kit_table};

use super::super::form::Posted;
use super::super::{Frame, page, to};
use super::effect::{Effect, effect};
use super::with_changes;
use crate::app::{App, read_catalogue};
use crate::caller::Writer;
use crate::problem::Handled;

/// What an import would do.
struct Preview {
    added: Vec<String>,
    changed: Vec<String>,
    unchanged: Vec<String>,
    effect: Effect,
}

#[derive(Template)]
#[template(path = "import.html")]
struct ImportPage {
    f: Frame,
    path: String,
    text: String,
    saw: i64,
    faults: Vec<Fault>,
    preview: Option<Preview>,
    wrong_name: bool,
    others_changed: bool,
}

/// `GET /import`
pub(crate) async fn form(State(app): State<App>, f: Frame) -> Handled<Response> {
    let saw = app.store.catalogue_revision().await?;
    Ok(page(StatusCode::OK, &ImportPage::empty(f, saw)))
}

impl ImportPage {
    fn empty(f: Frame, saw: i64) -> Self {
        Self {
            f,
            path: String::new(),
            text: String::new(),
            saw,
            faults: Vec::new(),
            preview: None,
            wrong_name: false,
            others_changed: false,
        }
    }
}

/// `POST /import`: looks at what a file would change, or imports what was looked at.
pub(crate) async fn send(
    State(app): State<App>,
    f: Frame,
    Writer(by): Writer,
    posted: Posted,
) -> Handled<Response> {
    let language = f.language();
    let at = app.store.catalogue(None).await?;
    let mut shown = ImportPage {
        path: posted.get("path").to_owned(),
        text: posted.get("text").replace("\r\n", "\n") + "\n",
        ..ImportPage::empty(f, at.revision)
    };
    let is_table = shown.path.ends_with(".csv");
    let outside = [Kind::Enquiry, Kind::RampRecord, Kind::SpringBench, Kind::Jacking];
    shown.wrong_name = !is_table && Kind::of_path(&shown.path).is_none_or(|kind| outside.contains(&kind));
    if shown.wrong_name {
        return Ok(page(StatusCode::UNPROCESSABLE_ENTITY, &shown));
    }
    let changes = if is_table {
        let read = app.catalogue().await?;
        let (path, text) = (shown.path.clone(), shown.text.clone());
        app.compute(move || of_table(&path, &text, &read.catalogue)).await?
    } else {
        Ok(vec![DocumentChange { path: shown.path.clone(), text: Some(shown.text.clone()) }])
    };
    let looked_at = match changes {
        Ok(changes) => looked_at(&app, &at, &changes, language).await?.map(|preview| (changes, preview)),
        Err(faults) => Err(faults),
    };
    let (changes, preview) = match looked_at {
        Ok(found) => found,
        Err(faults) => {
            shown.faults = faults;
            return Ok(page(StatusCode::UNPROCESSABLE_ENTITY, &shown));
        }
    };
    let new = preview.added.len() + preview.changed.len();
    if posted.get("do") == "import" && new > 0 {
        // what was looked at was looked at against another catalogue: look again
        shown.others_changed = posted.get("saw") != at.revision.to_string();
        if !shown.others_changed {
            app.store.revise_catalogue(&by, at.revision, &changes).await?;
            return Ok(to("/catalogue"));
        }
    }
    shown.preview = Some(preview);
    let status = if shown.others_changed { StatusCode::UNPROCESSABLE_ENTITY } else { StatusCode::OK };
    Ok(page(status, &shown))
}

async fn looked_at(
    app: &App,
    at: &CatalogueAt,
    changes: &[DocumentChange],
    language: Language,
) -> Handled<Result<Preview, Vec<Fault>>> {
    let new = with_changes(at, changes);
    let (mut added, mut changed, mut unchanged) = (Vec::new(), Vec::new(), Vec::new());
    for change in changes {
        match at.documents.get(&change.path) {
            None => added.push(change.path.clone()),
            Some(text) if change.text.as_ref().is_some_and(|new| new.trim_end() == text.trim_end()) => {
                unchanged.push(change.path.clone());
            }
            Some(_) => changed.push(change.path.clone()),
        }
    }
    if let Err(faults) = app
        .compute({
            let new = new.clone();
            move || read_catalogue(&new).map(drop)
        })
        .await?
    {
        return Ok(Err(faults));
    }
    let effect = effect(app, at.clone(), new, language).await?;
    Ok(effect.map(|effect| Preview { added, changed, unchanged, effect }))
}

/// The documents of a table of kits.
fn of_table(path: &str, text: &str, catalogue: &Catalogue) -> Result<Vec<DocumentChange>, Vec<Fault>> {
    let rows = csv_rows(path, text)?;
    let vehicles: Vec<String> = catalogue.vehicles.iter().map(|sheet| sheet.id.clone()).collect();
    let kits = read_kit_table(path, &rows, KitWorld { vehicles: &vehicles, facts: &catalogue.facts })?;
    let change = |row: workshop::kit_table::KitRow| DocumentChange {
        path: format!("kits/{}.toml", row.kit.id),
        text: Some(row.toml),
    };
    Ok(kits.into_iter().map(change).collect())
}
