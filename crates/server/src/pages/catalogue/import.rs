//! Import of plain files, sent or pasted: documents of the catalogue and tables of kits. All or nothing, looked at first.

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use store::{CatalogueAt, DocumentChange};
use workshop::catalogue::{Catalogue, Kind};
use workshop::document::Fault;
use workshop::facts::Language;
use workshop::kit::KitWorld;
use workshop::kit_table::read_kit_table;
use workshop::plain_figures::PlainFigures;
use workshop::table_file::{is_table, table_rows, text_of};
use workshop::wording::fault;

use super::super::form::{Posted, PostedFiles, SentFile};
use super::super::{Frame, page, to};
use super::effect::{Effect, effect};
use super::{digest_of, with_changes};
use crate::answers::Unanswered;
use crate::app::{App, read_catalogue};
use crate::caller::Writer;
use crate::problem::Handled;

/// Most files at once.
const MOST_FILES: usize = 50;

/// What an import would do.
struct Preview {
    added: Vec<String>,
    changed: Vec<String>,
    unchanged: Vec<String>,
    effect: Effect,
    /// Documents that would be written: names of the boxes, path, text.
    documents: Vec<([String; 2], String, String)>,
    digest: String,
}

#[derive(Template)]
#[template(path = "import.html")]
struct ImportPage {
    f: Frame,
    path: String,
    text: String,
    faults: Vec<Fault>,
    preview: Option<Preview>,
    nothing_sent: bool,
    /// What was to be imported is not what was looked at.
    differs: bool,
}

/// `GET /import`
pub(crate) async fn form(f: Frame) -> Response {
    page(StatusCode::OK, &ImportPage::empty(f))
}

impl ImportPage {
    fn empty(f: Frame) -> Self {
        let (path, text) = (String::new(), String::new());
        Self { f, path, text, faults: Vec::new(), preview: None, nothing_sent: false, differs: false }
    }
}

/// `POST /import`: looks at what files would change, or imports what was looked at.
pub(crate) async fn send(
    State(app): State<App>,
    f: Frame,
    Writer(by): Writer,
    PostedFiles { posted, files }: PostedFiles,
) -> Handled<Response> {
    let language = f.language();
    let at = app.store.catalogue(None).await?;
    let mut shown = ImportPage {
        path: posted.get("path").to_owned(),
        text: posted.get("text").replace("\r\n", "\n"),
        ..ImportPage::empty(f)
    };
    let looked_at = looked_at_before(&posted);
    let is_import = posted.get("do") == "import" && !looked_at.is_empty();
    let changes = if is_import {
        Ok(looked_at)
    } else {
        let mut files = files;
        if !shown.text.is_empty() || !shown.path.is_empty() {
            let bytes = format!("{}\n", shown.text).into_bytes();
            files.push(SentFile { name: shown.path.clone(), bytes });
        }
        if files.is_empty() {
            shown.nothing_sent = true;
            return Ok(page(StatusCode::UNPROCESSABLE_ENTITY, &shown));
        }
        let (read, at) = (app.catalogue().await?, at.clone());
        app.compute(move || of_files(&files, &read.catalogue, &at)).await?
    };
    let is_looked_at = |changes: &[DocumentChange]| posted.get("digest") == digest_of(at.revision, changes);
    let is_sound =
        |changes: &[DocumentChange]| changes.iter().all(|change| misplaced(&change.path).is_none());
    let previewed = match changes {
        Ok(changes) if is_import && is_sound(&changes) && is_looked_at(&changes) => {
            let new = with_changes(&at, &changes);
            app.compute(move || read_catalogue(&new).map(drop)).await?.map_err(Unanswered::from)?;
            app.store.revise_catalogue(&by, at.revision, &changes).await?;
            return Ok(to("/catalogue"));
        }
        Ok(changes) => previewed(&app, &at, &changes, language).await?,
        Err(faults) => Err(faults),
    };
    let preview = match previewed {
        Ok(preview) => preview,
        Err(faults) => {
            shown.faults = faults.iter().map(|found| fault(language, found)).collect();
            return Ok(page(StatusCode::UNPROCESSABLE_ENTITY, &shown));
        }
    };
    shown.differs = is_import;
    shown.preview = Some(preview);
    let status = if shown.differs { StatusCode::UNPROCESSABLE_ENTITY } else { StatusCode::OK };
    Ok(page(status, &shown))
}

/// Names of the boxes of a document that was looked at.
fn boxes(n: usize) -> [String; 2] {
    [format!("path-{n}"), format!("text-{n}")]
}

/// The documents that a form brings back from its preview.
fn looked_at_before(posted: &Posted) -> Vec<DocumentChange> {
    let document = |n: usize| {
        let [path, text] = boxes(n).map(|name| posted.get(&name).replace("\r\n", "\n"));
        (!path.is_empty()).then(|| DocumentChange { path, text: Some(text + "\n") })
    };
    (0..).map_while(document).collect()
}

async fn previewed(
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
    let misplaced: Vec<Fault> = changes.iter().filter_map(|change| misplaced(&change.path)).collect();
    if !misplaced.is_empty() {
        return Ok(Err(misplaced));
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
    let effect = if added.is_empty() && changed.is_empty() {
        Ok(Effect { computed: 0, changes: Vec::new() })
    } else {
        effect(app, at.clone(), new, language).await?
    };
    let documents = changes.iter().enumerate();
    let documents =
        documents.map(|(n, change)| (boxes(n), change.path.clone(), change.text.clone().unwrap_or_default()));
    let (documents, digest) = (documents.collect(), digest_of(at.revision, changes));
    Ok(effect.map(|effect| Preview { added, changed, unchanged, effect, documents, digest }))
}

/// The documents of all files, or every fault of all of them.
fn of_files(
    files: &[SentFile],
    catalogue: &Catalogue,
    at: &CatalogueAt,
) -> Result<Vec<DocumentChange>, Vec<Fault>> {
    if files.len() > MOST_FILES {
        let found = format!("{} files", files.len());
        return Err(vec![Fault::at_line(
            &files[MOST_FILES].name,
            1,
            "",
            found,
            format!("at most {MOST_FILES} files"),
        )]);
    }
    let (mut changes, mut faults): (Vec<DocumentChange>, Vec<Fault>) = (Vec::new(), Vec::new());
    for file in files {
        let read = if is_table(&file.name) { of_table(file, catalogue, at) } else { of_document(file, at) };
        match read {
            Ok(read) => {
                for change in read {
                    if changes.iter().any(|other| other.path == change.path) {
                        let found = format!("{} a second time", change.path);
                        faults.push(Fault::at_line(&file.name, 1, "", found, "each document once"));
                    }
                    changes.push(change);
                }
            }
            Err(found) => faults.extend(found),
        }
    }
    if faults.is_empty() { Ok(changes) } else { Err(faults) }
}

/// The documents of a table of kits.
fn of_table(
    file: &SentFile,
    catalogue: &Catalogue,
    at: &CatalogueAt,
) -> Result<Vec<DocumentChange>, Vec<Fault>> {
    let rows = table_rows(&file.name, &file.bytes)?;
    let vehicles: Vec<String> = catalogue.vehicles.iter().map(|sheet| sheet.id.clone()).collect();
    let world = KitWorld { vehicles: &vehicles, facts: &catalogue.facts };
    let kits = read_kit_table(&file.name, &rows, world)?;
    let id_of =
        |text: &str| PlainFigures::read(text).ok().and_then(|read| read.text("id").map(str::to_owned));
    let standing: Vec<(&String, &String, String)> = at
        .documents
        .iter()
        .filter(|(path, _)| path.starts_with("kits/"))
        .filter_map(|(path, text)| Some((path, text, id_of(text)?)))
        .collect();
    let change = |row: workshop::kit_table::KitRow| {
        let stands = standing.iter().find(|(_, _, id)| *id == row.kit.id);
        let path = stands.map_or_else(|| format!("kits/{}.toml", row.kit.id), |(path, ..)| (*path).clone());
        // a kit that says the same keeps its text, remarks and all
        let is_same = catalogue.kit(&row.kit.id) == Some(&row.kit);
        let kept = stands.filter(|_| is_same).map(|(_, text, _)| (*text).clone());
        DocumentChange { path, text: Some(kept.unwrap_or(row.toml)) }
    };
    Ok(kits.into_iter().map(change).collect())
}

/// A document by its name, or where its name has no folder by what stands in it.
fn of_document(file: &SentFile, at: &CatalogueAt) -> Result<Vec<DocumentChange>, Vec<Fault>> {
    let text = text_of(&file.name, &file.bytes)?.replace("\r\n", "\n");
    let path = if file.name.contains('/') || Kind::of_path(&file.name).is_some() {
        file.name.clone()
    } else {
        placed(&file.name, &text, at)
    };
    match misplaced(&path) {
        Some(fault) => Err(vec![fault]),
        None => Ok(vec![DocumentChange { path, text: Some(text) }]),
    }
}

/// The place of a document that was sent without its folder: that of the one of this name, or by its own words.
fn placed(name: &str, text: &str, at: &CatalogueAt) -> String {
    let known = at.documents.keys().find(|path| path.ends_with(&format!("/{name}")));
    let has = |field: &str| PlainFigures::read(text).is_ok_and(|read| read.text(field).is_some());
    match known {
        Some(path) => path.clone(),
        None if !name.ends_with(".toml") => name.to_owned(),
        None if has("family") => format!("kits/{name}"),
        None if has("built") => format!("vehicles/{name}"),
        None => name.to_owned(),
    }
}

/// The fault of a path at which the catalogue has no document.
fn misplaced(path: &str) -> Option<Fault> {
    let outside = [Kind::Enquiry, Kind::RampRecord, Kind::SpringBench, Kind::Jacking];
    let is_sound = Kind::of_path(path).is_some_and(|kind| !outside.contains(&kind));
    let allowed =
        "a name of the catalogue, such as kits/low.toml or rules.toml, or a table of kits (.csv, .xlsx)";
    (!is_sound).then(|| Fault::at_line(path, 1, "", "a name of no document", allowed))
}
