//! The catalogue: kits by family, rules, and every document with its figures, its text and its history. A change is
//! looked at before it is saved.

mod effect;
pub(crate) mod import;

use std::collections::BTreeMap;

use askama::Template;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use serde::Deserialize;
use store::records::CatalogueRevision;
use store::{CatalogueAt, DocumentChange};
use workshop::document::{Fault, Range, range, unit_of};
use workshop::facts::Language;
use workshop::plain_figures::PlainFigures;
use workshop::typed::{Asked, Typed, read_typed_in};
use workshop::wording::{Manner, Said, family};

use super::form::Posted;
use super::{Frame, page, to};
use crate::answers::Unanswered;
use crate::app::App;
use crate::caller::Writer;
use crate::problem::{Handled, Problem};
use crate::secrets::digest;
use effect::{Effect, effect};

/// Revisions that are looked through for the history of a document.
const REVISIONS: u32 = 60;

#[derive(Deserialize)]
pub(crate) struct Wanted {
    #[serde(default)]
    q: String,
}

/// A kit in the list.
struct KitLine {
    path: String,
    name: String,
    maker: String,
    vans: String,
}

#[derive(Template)]
#[template(path = "catalogue.html")]
struct CataloguePage {
    f: Frame,
    q: String,
    revision: i64,
    families: Vec<(String, Vec<KitLine>)>,
    others: Vec<String>,
}

/// `GET /catalogue`: kits by family.
pub(crate) async fn list(
    State(app): State<App>,
    f: Frame,
    Query(wanted): Query<Wanted>,
) -> Handled<Response> {
    let q = wanted.q.trim().to_owned();
    let (read, at) = (app.catalogue().await?, app.store.catalogue(None).await?);
    let paths: BTreeMap<String, &String> = at
        .documents
        .iter()
        .filter(|(path, _)| path.starts_with("kits/"))
        .filter_map(|(path, text)| Some((PlainFigures::read(text).ok()?.text("id")?.to_owned(), path)))
        .collect();
    let folded = q.to_lowercase();
    let mut families: Vec<(String, Vec<KitLine>)> = Vec::new();
    for kit in &read.catalogue.kits {
        let vans: Vec<&str> = kit
            .fits
            .iter()
            .map(|id| read.catalogue.vehicle(id).map_or(id.as_str(), |sheet| sheet.name.as_str()))
            .collect();
        let vans = vans.join(", ");
        let found = [&kit.name, &kit.maker, &kit.id, &vans]
            .into_iter()
            .any(|text| text.to_lowercase().contains(&folded));
        let Some(path) = paths.get(&kit.id).filter(|_| found) else { continue };
        let name = family(f.language(), kit.family);
        let line = KitLine { path: (*path).clone(), name: kit.name.clone(), maker: kit.maker.clone(), vans };
        match families.iter_mut().find(|(known, _)| *known == name) {
            Some((_, kits)) => kits.push(line),
            None => families.push((name.to_owned(), vec![line])),
        }
    }
    let others = at.documents.keys().filter(|path| !path.starts_with("kits/")).cloned().collect();
    Ok(page(StatusCode::OK, &CataloguePage { f, q, revision: at.revision, families, others }))
}

/// A rule in words.
struct RuleLine {
    id: String,
    reason: String,
    source: String,
}

#[derive(Template)]
#[template(path = "rules.html")]
struct RulesPage {
    f: Frame,
    rules: Vec<RuleLine>,
}

/// `GET /rules`
pub(crate) async fn rules(State(app): State<App>, f: Frame) -> Handled<Response> {
    let language = f.language();
    let read = app.catalogue().await?;
    let line = |rule: &workshop::rules::Rule| RuleLine {
        id: rule.id.clone(),
        reason: rule.reason.in_language(language).to_owned(),
        source: workshop::wording::source(language, &rule.source),
    };
    let rules = read.catalogue.rules.iter().map(line).collect();
    Ok(page(StatusCode::OK, &RulesPage { f, rules }))
}

/// Which document, and as it stood when.
#[derive(Deserialize)]
pub(crate) struct Which {
    path: String,
    revision: Option<i64>,
}

/// A figure with its box.
struct FigureBox {
    name: String,
    path: String,
    unit: String,
    value: String,
    was: String,
    fault: String,
    understood: String,
}

/// An entry of the history of a document.
struct Entry {
    revision: i64,
    at: String,
    who: String,
    stands: bool,
}

/// What would be saved, and what it does.
struct Proposal {
    /// Of what is looked at: a save names it.
    digest: String,
    text: String,
    effect: Effect,
}

#[derive(Template)]
#[template(path = "document.html")]
struct DocumentPage {
    f: Frame,
    /// What the document itself is called, or its path.
    name: String,
    path: String,
    saw: i64,
    text: String,
    figures: Vec<FigureBox>,
    entries: Vec<Entry>,
    proposal: Option<Proposal>,
    /// Box and what is wrong.
    not_saved: Vec<(String, String)>,
    /// What stands now, where someone else changed it meanwhile.
    theirs: String,
}

/// `GET /catalogue/document`
pub(crate) async fn show(State(app): State<App>, f: Frame, Query(which): Query<Which>) -> Handled<Response> {
    let at = app.store.catalogue(None).await?;
    let text = match which.revision.filter(|revision| (0..at.revision).contains(revision)) {
        Some(revision) => app.store.catalogue(Some(revision)).await?.documents.remove(&which.path),
        None => at.documents.get(&which.path).cloned(),
    };
    let text = text.ok_or_else(no_document)?;
    let was = at.documents.get(&which.path).cloned().unwrap_or_default();
    let shown = Shown { path: which.path, saw: at.revision, was, text, ..Shown::default() };
    document_page(&app, f, shown, StatusCode::OK).await
}

fn no_document() -> Problem {
    Problem::not_found(("there is no document at this path", "unter diesem Pfad ist kein Dokument"))
}

/// What a document's page shows.
#[derive(Default)]
struct Shown {
    path: String,
    saw: i64,
    /// Text as it stood when the page was made.
    was: String,
    /// Text in the box.
    text: String,
    typed: BTreeMap<String, String>,
    faults: BTreeMap<String, String>,
    proposal: Option<Proposal>,
    theirs: String,
    /// Units of the form that was sent; those of who reads the page where none was.
    units: String,
}

async fn document_page(app: &App, f: Frame, shown: Shown, status: StatusCode) -> Handled<Response> {
    // what was typed stays in the units of its form
    let f = Frame { reads: f.boxes_in(&shown.units), ..f };
    let entries = history(app, &shown.path).await?;
    let figures = boxes(&shown, f.reads);
    let Shown { path, saw, text, faults, proposal, theirs, .. } = shown;
    let not_saved = faults.into_iter().collect();
    let name = PlainFigures::read(&text).ok().and_then(|read| read.text("name").map(str::to_owned));
    let name = name.unwrap_or_else(|| path.clone());
    Ok(page(
        status,
        &DocumentPage { f, name, path, saw, text, figures, entries, proposal, not_saved, theirs },
    ))
}

/// What a number of a document is asked as, and its unit.
fn asked(path: &str) -> (Asked, &'static str) {
    let unit = unit_of(path.rsplit('.').next().unwrap_or(path));
    let kind = Asked::ALL.into_iter().find(|kind| !unit.is_empty() && kind.unit() == unit);
    (kind.unwrap_or(Asked::Number), unit)
}

/// Any number: the document's own reader knows what is allowed.
const ANY: Range = range(-1e9, 1e9);

fn boxes(shown: &Shown, manner: Manner) -> Vec<FigureBox> {
    let figures = PlainFigures::read(&shown.was).map(|read| read.all()).unwrap_or_default();
    let figure = |(path, number): (String, f64)| {
        let (asked, unit) = asked(&path);
        let (name, was) = (format!("figure-{path}"), manner.boxed(number, asked));
        let value = shown.typed.get(&name).cloned().unwrap_or_else(|| was.clone());
        let told = read_typed_in(&value, asked, ANY, manner.units).ok();
        let told = told.filter(|typed| typed.converted && value != was);
        FigureBox {
            fault: shown.faults.get(&name).cloned().unwrap_or_default(),
            understood: told.map(|typed| manner.understood(typed, asked)).unwrap_or_default(),
            name,
            path,
            unit: manner.units.symbol(unit, manner.language).to_owned(),
            value,
            was,
        }
    };
    figures.into_iter().map(figure).collect()
}

/// When a document changed, newest first.
async fn history(app: &App, path: &str) -> Handled<Vec<Entry>> {
    let revisions = app.store.latest::<CatalogueRevision>(None, REVISIONS).await?.records;
    let mut entries = Vec::new();
    for (n, revision) in revisions.iter().enumerate() {
        let digest = revision.body.documents.get(path);
        let before = revisions.get(n + 1).and_then(|older| older.body.documents.get(path));
        if digest.is_none() || digest == before {
            continue;
        }
        let written = app.store.history_of(store::Kind::CatalogueRevision, &revision.id).await?;
        let who = written.first().map(|entry| entry.who.clone()).unwrap_or_default();
        let at = jiff::Timestamp::from_millisecond(revision.updated_ms).unwrap_or_default();
        let at = at.strftime("%Y-%m-%d %H:%M UTC").to_string();
        entries.push(Entry { revision: revision.body.number, at, who, stands: entries.is_empty() });
    }
    Ok(entries)
}

/// `POST /catalogue/document`: looks at a change, or saves one that was looked at.
pub(crate) async fn change(
    State(app): State<App>,
    f: Frame,
    Query(which): Query<Which>,
    Writer(by): Writer,
    posted: Posted,
) -> Handled<Response> {
    let language = f.language();
    let at = app.store.catalogue(None).await?;
    let stands = at.documents.get(&which.path).cloned().ok_or_else(no_document)?;
    let saw: i64 = posted.get("saw").parse().unwrap_or(-1);
    let seen = match saw {
        saw if saw == at.revision => Some(stands.clone()),
        saw if (1..at.revision).contains(&saw) => {
            app.store.catalogue(Some(saw)).await?.documents.remove(&which.path)
        }
        _ => None,
    };
    let (path, units) = (which.path, posted.get("units").to_owned());
    let mut shown = Shown { path, saw: at.revision, was: stands.clone(), units, ..Shown::default() };
    // figures are written each where it was changed, onto what stands now; text is one piece
    shown.text = if posted.get("do") == "figures" {
        with_figures(&posted, &stands, &mut shown, &f)
    } else {
        posted.get("text").replace("\r\n", "\n") + "\n"
    };
    if posted.get("do") != "figures" && seen.as_ref() != Some(&stands) {
        shown.faults.insert("text".to_owned(), f.w.document_changed.to_owned());
        shown.theirs = stands;
        return document_page(&app, f, shown, StatusCode::UNPROCESSABLE_ENTITY).await;
    }
    if !shown.faults.is_empty() {
        shown.text = shown.was.clone();
        return document_page(&app, f, shown, StatusCode::UNPROCESSABLE_ENTITY).await;
    }
    let change = DocumentChange { path: shown.path.clone(), text: Some(shown.text.clone()) };
    let digest = digest_of(at.revision, std::slice::from_ref(&change));
    if posted.get("do") == "save" && shown.text.trim_end() == shown.was.trim_end() {
        return Ok(to(&place(&shown.path)));
    }
    if posted.get("do") == "save" && posted.get("digest") == digest {
        let new = with_changes(&at, std::slice::from_ref(&change));
        app.compute(move || crate::app::read_catalogue(&new).map(drop)).await?.map_err(Unanswered::from)?;
        app.store.revise_catalogue(&by, at.revision, &[change]).await?;
        return Ok(to(&place(&shown.path)));
    }
    let new = with_changes(&at, &[change]);
    match effect(&app, at, new, language).await? {
        Ok(effect) => {
            shown.proposal = Some(Proposal { digest, text: shown.text.clone(), effect });
            let mut status = StatusCode::OK;
            if posted.get("do") == "save" {
                shown.faults.insert("effect".to_owned(), f.w.preview_differs.to_owned());
                status = StatusCode::UNPROCESSABLE_ENTITY;
            }
            document_page(&app, f, shown, status).await
        }
        Err(faults) => {
            shown.faults.insert("text".to_owned(), faults_in_words(faults, language));
            document_page(&app, f, shown, StatusCode::UNPROCESSABLE_ENTITY).await
        }
    }
}

fn with_figures(posted: &Posted, stands: &str, shown: &mut Shown, f: &Frame) -> String {
    let Ok(mut figures) = PlainFigures::read(stands) else { return stands.to_owned() };
    let (manner, w) = (f.boxes_of(posted), f.w);
    let current: BTreeMap<String, f64> = figures.all().into_iter().collect();
    for change in posted.changed() {
        let Some(path) = change.name.strip_prefix("figure-") else { continue };
        shown.typed.insert(change.name.to_owned(), change.now.to_owned());
        let asked = asked(path).0;
        let now = current.get(path).map(|number| manner.boxed(*number, asked)).unwrap_or_default();
        let fault = if now != change.was && now != change.now {
            Some(format!("{} {now}. {}", w.others_answered, w.answer_again))
        } else {
            match read_typed_in(change.now, asked, ANY, manner.units) {
                Ok(typed) => (!figures.set(path, kept(typed))).then(|| w.answer_again.to_owned()),
                Err(fault) => Some(fault.words(manner.language)),
            }
        };
        if let Some(fault) = fault {
            shown.faults.insert(change.name.to_owned(), fault);
        }
    }
    figures.to_string()
}

/// What is written of a number as typed: one that was converted to a thousandth, which nobody can measure.
fn kept(typed: Typed) -> f64 {
    if typed.converted { (1e3 * typed.value).round() / 1e3 } else { typed.value }
}

fn place(path: &str) -> String {
    let kept = |b: u8| b.is_ascii_alphanumeric() || matches!(b, b'-' | b'_' | b'.' | b'~' | b'/');
    let path: String =
        path.bytes().map(|b| if kept(b) { char::from(b).to_string() } else { format!("%{b:02X}") }).collect();
    format!("/catalogue/document?path={path}")
}

/// Digest of a change and of the revision it was held against: what is saved is what was looked at.
fn digest_of(revision: i64, changes: &[DocumentChange]) -> String {
    let parts = changes.iter().map(|change| {
        let text = change.text.as_deref().unwrap_or_default().trim_end();
        format!("{} {} {}\n{text}", change.path.len(), text.len(), change.path)
    });
    digest(&format!("{revision}\n{}", parts.collect::<String>()))
}

/// The documents as they would stand.
fn with_changes(at: &CatalogueAt, changes: &[DocumentChange]) -> CatalogueAt {
    let mut new = at.clone();
    for change in changes {
        match &change.text {
            Some(text) => drop(new.documents.insert(change.path.clone(), text.clone())),
            None => drop(new.documents.remove(&change.path)),
        }
    }
    new
}

fn faults_in_words(faults: Vec<Fault>, language: Language) -> String {
    Problem::from(Unanswered::from(faults)).detail(language).to_owned()
}
