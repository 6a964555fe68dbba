//! `archgap demo`: the main job on the demo workshop's data.

use workshop::facts::Language;

use super::predict::Extent;
use super::{predict, shortlist};
use crate::data::{DataSource, Trouble};

/// The enquiry that is answered.
const ENQUIRY: &str = "camper-low-at-the-back";

pub(crate) fn run(source: &DataSource, language: Language, json: bool) -> Result<String, Trouble> {
    let predicted = predict::run(source, ENQUIRY, Extent::Short, language, json)?;
    if json {
        return Ok(predicted);
    }
    let listed = shortlist::run(source, ENQUIRY, None, language, false)?;
    let more = language.pick("One kit in full", "Ein Satz vollständig");
    let commands = language.pick("All commands", "Alle Befehle");
    Ok(format!(
        "{predicted}\n\n{listed}\n{more}: archgap predict {ENQUIRY} --kit ID. {commands}: archgap --help."
    ))
}
