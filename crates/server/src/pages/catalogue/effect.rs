//! What a change of the catalogue does to answers that were given: each is computed with the old and the new documents.

use store::CatalogueAt;
use store::records::{Answer, AnswerAbout};
use workshop::answer::KnownVan;
use workshop::catalogue::Catalogue;
use workshop::document::Fault;
use workshop::facts::Language;
use workshop::shortlist::{KitOption, Shortlist, shortlist};
use workshop::wording::{Said, says, signed};

use crate::answers;
use crate::app::{App, read_catalogue};
use crate::problem::Handled;

/// Answers that are computed anew.
const ANSWERS: usize = 8;
/// Answers among which they are looked for.
const LOOKED_THROUGH: u32 = 100;
/// A height that changes by less is the same, mm.
const SAME_MM: f64 = 0.05;

/// What a change does.
pub(super) struct Effect {
    /// Answers that were computed anew.
    pub(super) computed: usize,
    /// The answers that change: the question, and how.
    pub(super) changes: Vec<(String, Vec<String>)>,
}

/// Looks at the effect of a change; nothing is written.
///
/// # Errors
/// The outer one where the store fails; the inner one holds every fault of the documents.
pub(super) async fn effect(
    app: &App,
    old: CatalogueAt,
    new: CatalogueAt,
    language: Language,
) -> Handled<Result<Effect, Vec<Fault>>> {
    let given = app.store.latest::<Answer>(None, LOOKED_THROUGH).await?.records;
    let work = move || {
        let after = read_catalogue(&new)?.catalogue;
        // documents that do not read today have no answers to compare
        let Ok(before) = read_catalogue(&old).map(|read| read.catalogue) else {
            return Ok(Effect { computed: 0, changes: Vec::new() });
        };
        let mut documents: Vec<String> = Vec::new();
        for answer in given {
            let answer = answer.body;
            let about =
                matches!(answer.about, AnswerAbout::Shortlist | AnswerAbout::Prediction | AnswerAbout::SetUp);
            let document = answer.enquiry_document;
            if about
                && documents.len() < ANSWERS
                && !documents.contains(&document)
                && touched(&before, &after, &document)
            {
                documents.push(document);
            }
        }
        let changes = documents.iter().filter_map(|document| changed(&before, &after, document, language));
        Ok(Effect { changes: changes.collect(), computed: documents.len() })
    };
    app.compute(work).await
}

/// Whether anything that changes can have a part in the answer to an enquiry: a kit has where it is sold for the van.
fn touched(before: &Catalogue, after: &Catalogue, document: &str) -> bool {
    let others = |catalogue: &Catalogue| Catalogue { kits: Vec::new(), ..catalogue.clone() };
    if others(before) != others(after) {
        return true;
    }
    let Ok(enquiry) = answers::enquiry(before, document) else { return true };
    !before.kits_for(&enquiry.vehicle).eq(after.kits_for(&enquiry.vehicle))
}

/// How one answer changes; none where it does not.
fn changed(
    before: &Catalogue,
    after: &Catalogue,
    document: &str,
    language: Language,
) -> Option<(String, Vec<String>)> {
    let list = |catalogue: &Catalogue| {
        let enquiry = answers::enquiry(catalogue, document).map_err(|why| why.to_string())?;
        let known = KnownVan::of(catalogue, &enquiry).map_err(|why| why.words(language))?;
        let listed = shortlist(&known, &enquiry.wish).map_err(|why| why.words(language))?;
        Ok::<_, String>((enquiry.question.clone(), listed))
    };
    match (list(before), list(after)) {
        (Ok((question, then)), Ok((_, now))) => {
            let lines = compared(&then, &now, language);
            (!lines.is_empty()).then_some((question, lines))
        }
        (Ok((question, _)), Err(why)) => {
            let words = language.pick("can no longer be answered:", "kann nicht mehr beantwortet werden:");
            Some((question, vec![format!("{words} {why}")]))
        }
        (Err(_), Ok((question, _))) => {
            let words = language.pick("can be answered now", "kann jetzt beantwortet werden");
            Some((question, vec![words.to_owned()]))
        }
        (Err(_), Err(_)) => None,
    }
}

fn compared(then: &Shortlist, now: &Shortlist, language: Language) -> Vec<String> {
    let mut lines = Vec::new();
    for option in &now.options {
        match then.options.iter().find(|known| known.kit == option.kit) {
            Some(before) => lines.extend(option_compared(before, option, language)),
            None => lines.push(format!("{}: {}", option.name, language.pick("is in now", "ist jetzt dabei"))),
        }
    }
    for option in &then.options {
        if now.options.iter().any(|kept| kept.kit == option.kit) {
            continue;
        }
        let out = now.out.iter().find(|out| out.kit == option.kit);
        let why = out.map(|out| says(language, &out.because)).unwrap_or_default();
        lines.push(format!("{}: {} {why}", option.name, language.pick("is out now.", "scheidet jetzt aus.")));
    }
    for out in &now.out {
        let before = then.out.iter().find(|known| known.kit == out.kit);
        let why = says(language, &out.because);
        if before.is_some_and(|before| says(language, &before.because) != why) {
            let words = language
                .pick("is out for another reason now:", "scheidet jetzt aus einem anderen Grund aus:");
            lines.push(format!("{}: {words} {why}", out.name));
        }
    }
    let first = |list: &Shortlist| list.options.first().map(|option| option.kit.clone());
    if first(then) != first(now)
        && let Some(option) = now.options.first()
    {
        lines.push(format!(
            "{}: {}",
            option.name,
            language.pick("stands first now", "steht jetzt an erster Stelle")
        ));
    }
    lines
}

/// How one kit's figures change.
fn option_compared(before: &KitOption, after: &KitOption, language: Language) -> Vec<String> {
    let mut parts = Vec::new();
    let mut moved = |by: f64, what: &str| {
        if by.abs() >= SAME_MM {
            parts.push(format!("{what} {} mm", signed(language, by, 1)));
        }
    };
    moved(
        after.drop_against_today_mm.value - before.drop_against_today_mm.value,
        language.pick("sits lower by", "sitzt tiefer um"),
    );
    moved(
        after.level_mm.value - before.level_mm.value,
        language.pick("level changes by", "Niveau ändert sich um"),
    );
    moved(
        after.least_bump_travel_to_metal_mm.value - before.least_bump_travel_to_metal_mm.value,
        language.pick("travel to metal changes by", "Weg bis Metall ändert sich um"),
    );
    let words = |option: &KitOption| -> Vec<String> {
        option.do_not.iter().map(|check| check.words.in_language(language).to_owned()).collect()
    };
    let (held, fails) = (words(before), words(after));
    if before.stopped != after.stopped {
        let stop = if after.stopped {
            language.pick("must be stopped for now", "jetzt HALT")
        } else {
            language.pick("no longer stopped for", "kein HALT mehr")
        };
        parts.push(stop.to_owned());
    }
    parts.extend(
        fails
            .iter()
            .filter(|check| !held.contains(check))
            .map(|check| format!("{} {check}", language.pick("does not hold now:", "hält jetzt nicht:"))),
    );
    parts.extend(
        held.iter()
            .filter(|check| !fails.contains(check))
            .map(|check| format!("{} {check}", language.pick("no longer said:", "gilt nicht mehr:"))),
    );
    let total = |option: &KitOption| option.quote.as_ref().map(|quote| quote.total_minor);
    if total(before) != total(after) {
        let shown = |option: &KitOption| {
            let quote = option.quote.as_ref();
            quote.map_or_else(
                || "-".to_owned(),
                |quote| {
                    let number = quote.currency.number(quote.total_minor.unsigned_abs(), language);
                    format!("{number} {}", quote.currency.sign())
                },
            )
        };
        let words = language.pick("total from", "Summe von");
        let then = language.pick("to", "auf");
        parts.push(format!("{words} {} {then} {}", shown(before), shown(after)));
    }
    if parts.is_empty() { Vec::new() } else { vec![format!("{}: {}", after.name, parts.join("; "))] }
}
