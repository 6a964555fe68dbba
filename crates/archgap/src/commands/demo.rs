//! `archgap demo`: the main job on the demo workshop's data.

use workshop::facts::Language;

use super::{predict, shortlist};
use crate::data::{DataSource, Trouble};

/// The enquiry that is answered.
const ENQUIRY: &str = "camper-low-at-the-back";

pub(crate) fn run(source: &DataSource, language: Language, json: bool) -> Result<String, Trouble> {
    let predicted = predict::run(source, ENQUIRY, None, json)?;
    if json {
        return Ok(predicted);
    }
    let listed = shortlist::run(source, ENQUIRY, None, language, false)?;
    Ok(format!(
        "{predicted}\n\n{listed}\n\nOne kit in full: archgap predict {ENQUIRY} --kit ID. All commands: archgap --help."
    ))
}
