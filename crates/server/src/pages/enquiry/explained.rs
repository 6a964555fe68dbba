//! What stands behind an answer: the chain of a figure, and what changes from one kit to another.

use askama::Template;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use serde::Deserialize;
use store::Id;
use workshop::answer::KnownVan;
use workshop::shortlist::compared;
use workshop::wording::Said;

use super::super::{Frame, page};
use super::{Seen, seen};
use crate::app::App;
use crate::extract::At;
use crate::problem::{Handled, Problem};
use crate::why::{Question as WhyQuestion, why};

/// What a chain is asked for.
#[derive(Deserialize)]
pub(crate) struct WhyOf {
    figure: String,
    kit: Option<String>,
    corner: Option<String>,
    state: Option<String>,
}

#[derive(Template)]
#[template(path = "why.html")]
struct WhyPage {
    f: Frame,
    id: Id,
    kit: String,
    asked: String,
    answer: String,
    lists: Vec<(&'static str, Vec<String>)>,
}

/// `GET /enquiries/{id}/why`: the chain behind a figure.
pub(crate) async fn why_page(
    State(app): State<App>,
    f: Frame,
    At(id): At,
    Query(asked): Query<WhyOf>,
) -> Handled<Response> {
    let Seen { f, kept, read, .. } = seen(&app, f, &id).await?;
    let (document, kit) = (kept.body.document, asked.kit.clone().filter(|kit| !kit.is_empty()));
    let of_kit = kit.clone();
    let work = move |known: &KnownVan| {
        let question = WhyQuestion {
            kit: of_kit.as_deref(),
            figure: &asked.figure,
            corner: asked.corner.as_deref(),
            state: asked.state.as_deref(),
            rim: None,
            tyre: None,
        };
        why(known, &question)
    };
    let found = app.of_the_van(&read, &document, work).await?;
    let language = f.language();
    let words = |list: &[workshop::facts::Words]| {
        list.iter().map(|words| words.in_language(language).to_owned()).collect()
    };
    let lists = vec![
        (f.w.goes_in, words(&found.inputs)),
        (f.w.done_with_it, words(&found.steps)),
        (f.w.equations, words(&found.equations)),
    ];
    let shown = WhyPage {
        id: kept.id,
        kit: kit.unwrap_or_default(),
        asked: found.asked.in_language(language).to_owned(),
        answer: found.answer.in_language(language).to_owned(),
        lists,
        f,
    };
    Ok(page(StatusCode::OK, &shown))
}

/// Which kits are held against each other.
#[derive(Deserialize)]
pub(crate) struct Held {
    a: String,
    b: String,
}

#[derive(Template)]
#[template(path = "compare.html")]
struct ComparePage {
    f: Frame,
    id: Id,
    a: String,
    b: String,
    a_name: String,
    b_name: String,
    changes: Vec<String>,
    others: Vec<(String, String)>,
}

/// `GET /enquiries/{id}/compare`: what changes with kit B instead of kit A.
pub(crate) async fn compare(
    State(app): State<App>,
    f: Frame,
    At(id): At,
    Query(held): Query<Held>,
) -> Handled<Response> {
    let Seen { f, kept, read, .. } = seen(&app, f, &id).await?;
    let listed = app.shortlist(&read, &kept.body.document, None).await?;
    let options = &listed.list.options;
    let of = |kit: &str| options.iter().find(|option| option.kit == kit);
    let (Some(a), Some(b)) = (of(&held.a), of(&held.b)) else {
        let words =
            ("that kit is not among those that are in", "dieser Satz ist nicht unter denen, die passen");
        return Err(Problem::not_found(words));
    };
    let language = f.language();
    let changes = compared(&read.catalogue, a, b).changes;
    let others = options.iter().filter(|option| option.kit != held.a && option.kit != held.b);
    let shown = ComparePage {
        id: kept.id,
        a_name: a.name.clone(),
        b_name: b.name.clone(),
        changes: changes.iter().map(|change| change.words(language)).collect(),
        others: others.map(|option| (option.kit.clone(), option.name.clone())).collect(),
        a: held.a,
        b: held.b,
        f,
    };
    Ok(page(StatusCode::OK, &shown))
}
