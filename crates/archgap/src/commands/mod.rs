//! One module per command: read, call the workshop, show.

pub(crate) mod check;
pub(crate) mod correct;
pub(crate) mod demo;
pub(crate) mod import;
pub(crate) mod kinematics;
pub(crate) mod measure;
pub(crate) mod memory;
pub(crate) mod predict;
pub(crate) mod ride;
pub(crate) mod schema;
pub(crate) mod serve;
pub(crate) mod set_up;
pub(crate) mod shortlist;
pub(crate) mod wheels;
pub(crate) mod why;

use workshop::answer::Remark;
use workshop::facts::{Language, Words};
use workshop::wording::{self, Said};

use crate::data::Trouble;
use crate::tables::folded;

/// An answer as JSON.
fn json_of(answer: &impl serde::Serialize) -> Result<String, Trouble> {
    serde_json::to_string_pretty(answer).map_err(|error| {
        Trouble::NotFound(Words {
            en: format!("the answer cannot be written as JSON: {error}"),
            de: format!("die Antwort lässt sich nicht als JSON schreiben: {error}"),
        })
    })
}

/// Words with their first letter in capitals.
fn capitalised(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A remark with its weight, folded.
fn remark_line(remark: &Remark, language: Language) -> String {
    let weight = wording::weight(language, remark.weight);
    format!("{}\n", folded(&format!("  {weight}: {}", remark.words(language)), 4))
}
