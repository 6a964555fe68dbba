//! `archgap why ENQUIRY.toml --kit ID FIGURE`

use workshop::answer::KnownVan;
use workshop::load_list::LoadState;
use workshop::why::{Asked, Why};

use super::json_of;
use super::predict::kit_for;
use crate::data::{DataSource, Trouble};
use crate::tables::folded;

/// Corners on the command line, in corner order.
const CORNERS: [&str; 4] = ["front_left", "front_right", "rear_left", "rear_right"];

pub(crate) struct Question<'a> {
    pub(crate) enquiry: &'a str,
    pub(crate) kit: Option<&'a str>,
    pub(crate) figure: &'a str,
    pub(crate) corner: &'a str,
    pub(crate) state: Option<&'a str>,
}

pub(crate) fn run(source: &DataSource, question: &Question, json: bool) -> Result<String, Trouble> {
    let catalogue = source.catalogue()?;
    let enquiry = source.enquiry(&catalogue, question.enquiry)?;
    let kit = question.kit.map(|id| kit_for(&catalogue, &enquiry.vehicle, id)).transpose()?;
    let asked = one_of(question.figure, "figure", &Asked::CHOICES)?;
    let corners: Vec<(&str, usize)> = CORNERS.iter().copied().zip(0..).collect();
    let corner = one_of(question.corner, "corner", &corners)?;
    let state = match question.state {
        Some(name) => one_of(name, "state", &LoadState::CHOICES)?,
        None => enquiry.wish.state,
    };
    let why = KnownVan::of(&catalogue, &enquiry)?.why(kit.as_ref(), asked, corner, state)?;
    if json { json_of(&why) } else { Ok(shown(&why)) }
}

fn one_of<T: Copy>(found: &str, what: &str, choices: &[(&str, T)]) -> Result<T, Trouble> {
    choices.iter().find(|(name, _)| *name == found).map(|(_, choice)| *choice).ok_or_else(|| {
        let names: Vec<&str> = choices.iter().map(|(name, _)| *name).collect();
        Trouble::NotFound(format!("{what}: found \"{found}\", allowed one of {}", names.join(", ")))
    })
}

fn shown(why: &Why) -> String {
    let value = why.value.as_ref().map_or_else(
        || "not available".to_owned(),
        |figure| {
            format!(
                "{:.1} ({:.1} to {:.1}), {}",
                figure.value,
                figure.low,
                figure.high,
                figure.evidence.words()
            )
        },
    );
    let block = |head: &str, lines: &mut dyn Iterator<Item = &str>| {
        let lines: Vec<String> = lines.map(|line| folded(&format!("  - {line}"), 4)).collect();
        format!("\n{head}\n{}\n", lines.join("\n"))
    };
    let mut text = format!("{}: {value}\n", why.figure);
    text += &block("Inputs", &mut why.inputs.iter().map(String::as_str));
    text += &block("Steps", &mut why.steps.iter().map(String::as_str));
    text += &block("Equations and sources", &mut why.equations.iter().copied());
    text
}
