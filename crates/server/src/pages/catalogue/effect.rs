//! What a change of the catalogue does to answers that were given: each is computed with the new documents and held
//! against what the old ones say, which is usually known already.

use std::sync::Arc;

use store::{CatalogueAt, EnquiryStage};
use workshop::answer::KnownVan;
use workshop::catalogue::Catalogue;
use workshop::document::Fault;
use workshop::facts::Language;
use workshop::shortlist::{KitOption, Shortlist};
use workshop::wording::{says, signed};

use crate::answers::{self, Unanswered};
use crate::app::{App, ReadCatalogue, read_catalogue};
use crate::problem::{Handled, Problem};

/// Answers that are computed anew.
const ANSWERS: usize = 8;
/// Enquiries among which they are looked for.
const LOOKED_THROUGH: u32 = 200;
/// A height that changes by less is the same, mm.
const SAME_MM: f64 = 0.05;

/// What a change does.
pub(super) struct Effect {
    /// Answers that were computed anew.
    pub(super) computed: usize,
    /// The answers that change: the question, and how.
    pub(super) changes: Vec<Changed>,
}

/// The question of an answer that changes, and how it does.
type Changed = (String, Vec<String>);

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
    let after = match app.compute(move || read_catalogue(&new)).await? {
        Ok(read) => Arc::new(read),
        Err(faults) => return Ok(Err(faults)),
    };
    // documents that do not read today have no answers to compare
    let Some(before) = as_it_stands(app, old).await? else {
        return Ok(Ok(Effect { computed: 0, changes: Vec::new() }));
    };
    let documents = touched(app, &before.catalogue, &after.catalogue).await?;
    let computed = documents.len();
    let compare = |document| {
        let (app, before, after) = (app.clone(), Arc::clone(&before), Arc::clone(&after));
        tokio::spawn(async move { changed(&app, &before, after, document, language).await })
    };
    let comparing: Vec<_> = documents.into_iter().map(compare).collect();
    let mut changes = Vec::new();
    for comparison in comparing {
        changes.extend(comparison.await.map_err(|e| Problem::internal(&e))??);
    }
    Ok(Ok(Effect { computed, changes }))
}

/// The catalogue that a change is held against; none where it does not read.
async fn as_it_stands(app: &App, old: CatalogueAt) -> Handled<Option<Arc<ReadCatalogue>>> {
    match app.catalogue().await {
        Ok(read) if read.revision == old.revision => Ok(Some(read)),
        _ => Ok(app.compute(move || read_catalogue(&old)).await?.ok().map(Arc::new)),
    }
}

/// The documents of the latest answered enquiries in whose answer anything that changes can have a part. Answers
/// themselves are not read: each holds megabytes of figures.
async fn touched(app: &App, before: &Catalogue, after: &Catalogue) -> Handled<Vec<String>> {
    let others =
        |catalogue: &Catalogue| Catalogue { kits: Vec::new(), vehicles: Vec::new(), ..catalogue.clone() };
    let for_all = others(before) != others(after);
    let mut documents: Vec<String> = Vec::new();
    for (stage, enquiry) in app.store.enquiries(None, None, LOOKED_THROUGH).await?.enquiries {
        let document = enquiry.body.document;
        let is_new = stage != EnquiryStage::Open && !documents.contains(&document);
        if is_new && (for_all || its_van_or_kits_change(before, after, &document)) {
            documents.push(document);
        }
        if documents.len() == ANSWERS {
            break;
        }
    }
    Ok(documents)
}

/// A vehicle sheet has a part in the answers for its van, a kit in those for the vans that it is sold for.
fn its_van_or_kits_change(before: &Catalogue, after: &Catalogue, document: &str) -> bool {
    let Ok(enquiry) = answers::enquiry(before, document) else { return true };
    let vehicle = &enquiry.vehicle;
    before.vehicle(vehicle) != after.vehicle(vehicle) || !before.kits_for(vehicle).eq(after.kits_for(vehicle))
}

/// How one answer changes; none where it does not.
async fn changed(
    app: &App,
    before: &Arc<ReadCatalogue>,
    after: Arc<ReadCatalogue>,
    document: String,
    language: Language,
) -> Handled<Option<Changed>> {
    let then = app.shortlist(before, &document, None).await;
    let question = |read: &ReadCatalogue| Some(answers::enquiry(&read.catalogue, &document).ok()?.question);
    let asked = question(before).or_else(|| question(&after)).unwrap_or_default();
    let work = move || {
        let enquiry = answers::enquiry(&after.catalogue, &document)?;
        Ok::<_, Unanswered>(answers::shortlisted(&KnownVan::of(&after.catalogue, &enquiry)?, None)?.0)
    };
    let now = app.compute(work).await?.map_err(Problem::from);
    Ok(match (then, now) {
        (Ok(then), Ok(now)) => {
            let lines = compared(&then.list, &now, language);
            (!lines.is_empty()).then_some((asked, lines))
        }
        (Ok(_), Err(why)) => {
            let words = language.pick("can no longer be answered:", "kann nicht mehr beantwortet werden:");
            Some((asked, vec![format!("{words} {}", why.detail(language))]))
        }
        (Err(why), _) if why.status().is_server_error() => return Err(why),
        (Err(_), Ok(_)) => {
            let words = language.pick("can be answered now", "kann jetzt beantwortet werden");
            Some((asked, vec![words.to_owned()]))
        }
        (Err(_), Err(_)) => None,
    })
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
