//! What stands behind a verdict: facts, conditions, rules.

use crate::catalogue::Catalogue;
use crate::facts::{Language, Words};
use crate::fitting::{AddedOperation, DependsOn, RuleSays, Would};
use crate::rules::{Component, Effect, Rule};
use crate::wording::{self, Because, Said, source};

/// Where the answer to a fact comes from.
#[derive(Debug, Clone, Copy)]
pub(crate) enum FactFrom {
    /// The enquiry.
    Enquiry,
    /// The vehicle sheet.
    Sheet,
    /// Nowhere.
    Nowhere,
}

/// A fact with the answers that are possible.
pub(crate) fn fact(language: Language, question: &Words, answers: &[&Words], from: FactFrom) -> String {
    let question = question.in_language(language);
    let answers: Vec<&str> = answers.iter().map(|words| words.in_language(language)).collect();
    let answers = answers.join(language.pick(" or ", " oder "));
    let from = match from {
        FactFrom::Enquiry => language.pick("said in the enquiry", "laut Anfrage"),
        FactFrom::Sheet => language.pick("vehicle sheet", "Datenblatt"),
        FactFrom::Nowhere => language.pick("not known", "nicht bekannt"),
    };
    format!("{question} {answers} ({from})")
}

/// A condition that the van's class meets.
pub(crate) fn of_vehicle(language: Language, vehicle: &str) -> String {
    format!("{} {vehicle}", language.pick("the van is a", "der Wagen ist ein"))
}

/// A condition that the kit itself meets.
pub(crate) fn of_kit(language: Language, kit: &str) -> String {
    format!("{} {kit}", language.pick("the kit is", "der Satz ist"))
}

/// A condition that the kit's family meets.
pub(crate) fn of_family(language: Language, family: &str) -> String {
    format!("{}: {family}", language.pick("the kit's family", "Art des Satzes"))
}

/// A condition that the kit's parts meet.
pub(crate) fn of_parts(language: Language, parts: &[Component]) -> String {
    let names: Vec<&str> = parts.iter().map(|part| part.words(language)).collect();
    format!("{} {}", language.pick("the kit brings", "der Satz bringt mit:"), names.join(", "))
}

/// A figure that met its bounds, with its evidence.
pub(crate) fn of_figure(language: Language, met: &Because) -> String {
    format!("{} ({})", met.words(language), language.pick("computed", "berechnet"))
}

/// An operation by its identifier.
fn operation_named<'a>(language: Language, catalogue: &'a Catalogue, id: &'a str) -> &'a str {
    catalogue.operations.operation(id).map_or(id, |operation| operation.name.in_language(language))
}

/// What a rule does.
fn does(language: Language, catalogue: &Catalogue, effect: &Effect) -> String {
    match effect {
        Effect::Excludes => language.pick("it puts the kit out", "sie schließt den Satz aus").to_owned(),
        Effect::Warns => language.pick("it warns", "sie warnt").to_owned(),
        Effect::AddsPart { part, quantity } => {
            let priced = catalogue.prices.as_ref().and_then(|prices| prices.part(part));
            let part = priced.map_or(&**part, |part| part.name.in_language(language));
            format!("{} {quantity} × {part}", language.pick("it adds", "sie fügt hinzu:"))
        }
        Effect::Inspects => {
            language.pick("it asks for an inspection", "sie verlangt eine Prüfung").to_owned()
        }
        Effect::AddsOperation { operation } => {
            let operation = operation_named(language, catalogue, operation);
            format!(
                "{} {operation}",
                language.pick("it adds the operation:", "sie fügt den Arbeitsgang hinzu:")
            )
        }
        Effect::AddsCaution => language.pick("it adds a caution", "sie fügt eine Warnung hinzu").to_owned(),
        Effect::AddsStep => language
            .pick("it adds a step of the set-up", "sie fügt einen Schritt der Einstellung hinzu")
            .to_owned(),
    }
}

/// A rule that spoke.
pub(crate) fn rule_spoke(
    language: Language,
    catalogue: &Catalogue,
    rule: &Rule,
    decides: bool,
    conditions: &[Words],
) -> String {
    let head = if decides {
        language.pick("deciding rule", "entscheidende Regel")
    } else {
        language.pick("rule", "Regel")
    };
    let conditions: Vec<&str> = conditions.iter().map(|words| words.in_language(language)).collect();
    let when = if conditions.is_empty() {
        language.pick("always", "immer").to_owned()
    } else {
        conditions.join("; ")
    };
    format!(
        "{head} {}: {when}. {}: {} [{}]",
        rule.id,
        capital(&does(language, catalogue, &rule.effect)),
        rule.reason.in_language(language),
        source(language, &rule.source)
    )
}

/// The same with a capital letter at its beginning.
pub(crate) fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// An operation that a rule asked for.
pub(crate) fn operation_asked(language: Language, catalogue: &Catalogue, added: &AddedOperation) -> String {
    let operation = operation_named(language, catalogue, &added.operation);
    format!("{} → {operation}: {}", added.says.rule, added.says.reason.in_language(language))
}

/// A rule that waits for a fact.
pub(crate) fn rule_waits(language: Language, catalogue: &Catalogue, waits: &DependsOn) -> String {
    let DependsOn { rule, fact, would, reason, .. } = waits;
    let asked = catalogue.facts.iter().find(|asked| asked.id == *fact);
    let question = asked.map_or(&**fact, |asked| asked.question.in_language(language));
    let would = match would {
        Would::PutOut => language.pick("whether the kit is out", "ob der Satz ausscheidet"),
        Would::AddWork => language.pick("work, time and price", "Arbeit, Zeit und Preis"),
        Would::AddParts => language.pick("parts and price", "Teile und Preis"),
        Would::SetLower => language.pick("how low it can be set", "wie tief er sich stellen lässt"),
        Would::Advise => language.pick("advice", "Hinweise"),
    };
    let reason = reason.in_language(language);
    language.pick(
        format!("rule {rule} waits for the answer to “{question}”, on which hangs: {would}. {reason}"),
        format!("Regel {rule} wartet auf die Antwort zu „{question}“, daran hängt: {would}. {reason}"),
    )
}

/// The verdict in a sentence.
pub(crate) fn verdict(language: Language, out: bool, waits: usize) -> String {
    match (out, waits) {
        (true, _) => language.pick("out", "scheidet aus").to_owned(),
        (false, 0) => language.pick("in", "passt").to_owned(),
        (false, n) => language.pick(
            format!("in, {n} rules wait for a fact"),
            format!("passt, {n} Regeln warten auf eine Tatsache"),
        ),
    }
}

/// What puts a kit out without a rule: it is not sold for the van, the van finds no rest with it, nothing of it can be set, or
/// two kits do not work together.
pub(crate) fn not_by_rule(language: Language, says: &RuleSays) -> String {
    format!("{} {}", language.pick("decides:", "entscheidet:"), wording::says(language, says))
}
