//! `archgap why ENQUIRY.toml --kit ID FIGURE`, the same of a check, and of a kit its `verdict`, `price` or `time`

use server::why::{Question, default_corner, why};
use workshop::answer::KnownVan;
use workshop::facts::{Language, Words};
use workshop::why::Why;

use super::json_of;
use crate::data::{DataSource, Trouble};
use crate::tables::folded;

pub(crate) fn run(
    source: &DataSource,
    named: &str,
    question: &Question,
    language: Language,
    json: bool,
) -> Result<String, Trouble> {
    let catalogue = source.catalogue()?;
    let enquiry = source.enquiry(&catalogue, named)?;
    let why = why(&KnownVan::of(&catalogue, &enquiry)?, question)?;
    if json {
        return json_of(&why);
    }
    let said = language
        .pick("Front left, as no --corner is given.\n", "Vorn links, weil kein --corner angegeben ist.\n");
    Ok(shown(&why, if default_corner(question) { said } else { "" }, language))
}

fn shown(why: &Why, said: &str, language: Language) -> String {
    let block = |head: &str, lines: &[Words]| {
        if lines.is_empty() {
            return String::new();
        }
        let lines: Vec<String> =
            lines.iter().map(|words| folded(&format!("  - {}", words.in_language(language)), 4)).collect();
        format!("\n{head}\n{}\n", lines.join("\n"))
    };
    let (asked, answer) = (why.asked.in_language(language), why.answer.in_language(language));
    let mut text = format!("{}\n{said}", folded(&format!("{asked}: {answer}"), 2));
    text += &block(language.pick("Inputs", "Eingaben"), &why.inputs);
    text += &block(language.pick("Steps", "Schritte"), &why.steps);
    text += &block(language.pick("Equations and sources", "Gleichungen und Quellen"), &why.equations);
    text
}
