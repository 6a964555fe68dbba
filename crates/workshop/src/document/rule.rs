//! What a single value must be: one rule for reading, for messages and for the schema.

use std::ops::RangeInclusive;

use serde_json::{Value, json};
use toml::de::{DeInteger, DeValue};

use super::range::{Range, unit_of};

/// Longest text, in characters.
const TEXT_MAX: usize = 500;
/// Longest identifier, in characters.
const ID_MAX: usize = 64;

/// The rule for a value that is read as a `T`.
pub(super) struct Rule<'r, T> {
    /// What is allowed, in words.
    pub(super) allowed: String,
    /// The same as JSON Schema.
    pub(super) schema: Value,
    /// A harmless value to go on with after a fault.
    pub(super) harmless: T,
    /// Reads a value, or refuses it with advice (perhaps none) to add to what is allowed.
    accept: Box<Accept<'r, T>>,
}

type Accept<'r, T> = dyn Fn(&DeValue) -> Result<T, String> + 'r;

impl<'r, T> Rule<'r, T> {
    fn new(
        allowed: String,
        schema: Value,
        harmless: T,
        accept: impl Fn(&DeValue) -> Result<T, String> + 'r,
    ) -> Self {
        Self { allowed, schema, harmless, accept: Box::new(accept) }
    }

    /// The value, or what was found and what is allowed.
    pub(super) fn check(&self, value: &DeValue) -> Result<T, (String, String)> {
        (self.accept)(value).map_err(|advice| (found(value), format!("{}{advice}", self.allowed)))
    }
}

/// A finite number within `range`, in the unit of `name`.
pub(super) fn number(name: &str, range: Range) -> Rule<'static, f64> {
    let Range { min, max } = range;
    Rule::new(
        format!("a number from {min} to {max}{}", in_brackets(unit_of(name))),
        json!({ "type": "number", "minimum": min, "maximum": max }),
        min,
        move |value| {
            let number = match value {
                DeValue::Integer(integer) => integer_of(integer).map(|integer| integer as f64),
                DeValue::Float(float) => float.as_str().parse().ok(),
                _ => None,
            };
            number.filter(|number| range.contains(*number)).ok_or_else(|| quoted_number_advice(value))
        },
    )
}

/// A whole number within `range`.
pub(super) fn integer(name: &str, range: RangeInclusive<i64>) -> Rule<'static, i64> {
    let (min, max) = (*range.start(), *range.end());
    Rule::new(
        format!("a whole number from {min} to {max}{}", in_brackets(unit_of(name))),
        json!({ "type": "integer", "minimum": min, "maximum": max }),
        min,
        move |value| match value {
            DeValue::Integer(integer) => {
                integer_of(integer).filter(|integer| range.contains(integer)).ok_or_else(String::new)
            }
            _ => Err(quoted_number_advice(value)),
        },
    )
}

/// `true` or `false`.
pub(super) fn flag() -> Rule<'static, bool> {
    Rule::new("true or false, without quotes".into(), json!({ "type": "boolean" }), false, |value| {
        value.as_bool().ok_or_else(String::new)
    })
}

/// A line of text that is not blank; white space around it is dropped.
pub(super) fn text() -> Rule<'static, String> {
    Rule::new(
        format!("one line of text in quotes, 1 to {TEXT_MAX} characters"),
        json!({
            "type": "string", "minLength": 1, "maxLength": TEXT_MAX,
            "pattern": r"^[^\u0000-\u001f\u007f-\u009f]*$",
        }),
        String::new(),
        |value| {
            let allowed = |text: &&str| is_line(text) && text.chars().count() <= TEXT_MAX;
            value.as_str().filter(allowed).map(|text| text.trim().to_owned()).ok_or_else(String::new)
        },
    )
}

/// An identifier: lower-case letters, digits and hyphens, starting with a letter or digit.
pub(super) fn id() -> Rule<'static, String> {
    Rule::new(
        format!("lower-case letters, digits and hyphens in quotes, at most {ID_MAX}"),
        json!({ "type": "string", "maxLength": ID_MAX, "pattern": "^[a-z0-9][a-z0-9-]*$" }),
        String::new(),
        |value| value.as_str().filter(|text| is_id(text)).map(str::to_owned).ok_or_else(String::new),
    )
}

/// One identifier, or two with a plus between them.
pub(super) fn kit_id() -> Rule<'static, String> {
    let is_kit_id = |text: &&str| text.split('+').count() <= 2 && text.split('+').all(is_id);
    Rule::new(
        format!("an identifier in quotes, or two with + between them, each at most {ID_MAX}"),
        json!({ "type": "string", "pattern": "^[a-z0-9][a-z0-9-]*(\\+[a-z0-9][a-z0-9-]*)?$" }),
        String::new(),
        move |value| value.as_str().filter(is_kit_id).map(str::to_owned).ok_or_else(String::new),
    )
}

/// One of the named options.
pub(super) fn choice<'r, T: Copy>(options: &'r [(&str, T)]) -> Rule<'r, T> {
    let names: Vec<&str> = options.iter().map(|(name, _)| *name).collect();
    let quoted: Vec<String> = names.iter().map(|name| format!("{name:?}")).collect();
    let one_of = if names.len() > 1 { "one of " } else { "" };
    Rule::new(
        format!("{one_of}{}", quoted.join(", ")),
        json!({ "enum": names }),
        options[0].1,
        move |value| {
            let text = value.as_str().unwrap_or_default();
            let option = options.iter().find(|(name, _)| *name == text).map(|(_, option)| *option);
            option.ok_or_else(|| did_you_mean(text, names.iter().copied()))
        },
    )
}

/// A day, as a TOML date or as text; read as `yyyy-mm-dd`.
pub(super) fn date() -> Rule<'static, String> {
    Rule::new(
        "a date as yyyy-mm-dd".into(),
        json!({ "type": "string", "format": "date" }),
        String::new(),
        |value| {
            let date = match value {
                DeValue::Datetime(date) => Some(*date),
                DeValue::String(text) => text.parse::<toml::value::Datetime>().ok(),
                _ => None,
            };
            match date {
                Some(toml::value::Datetime { date: Some(date), time: None, offset: None }) => {
                    Ok(date.to_string())
                }
                _ => Err(String::new()),
            }
        },
    )
}

/// Whether `text` is one line, not blank and without control characters.
pub(super) fn is_line(text: &str) -> bool {
    !text.trim().is_empty() && !text.chars().any(char::is_control)
}

fn is_id(text: &str) -> bool {
    let allowed = |c: u8| c.is_ascii_lowercase() || c.is_ascii_digit() || c == b'-';
    !text.is_empty() && text.len() <= ID_MAX && !text.starts_with('-') && text.bytes().all(allowed)
}

/// A value in words, on one line and short.
pub(super) fn found(value: &DeValue) -> String {
    match value {
        DeValue::String(text) => format!("text {:?}", shortened(text)),
        DeValue::Integer(integer) => shortened(&integer.to_string()),
        DeValue::Float(float) => shortened(float.as_str()),
        DeValue::Boolean(flag) => flag.to_string(),
        DeValue::Datetime(date) => format!("date {date}"),
        DeValue::Array(items) => format!("a list of {}", items.len()),
        DeValue::Table(_) => "a table".into(),
    }
}

/// The start of a long text.
pub(super) fn shortened(text: &str) -> String {
    const LONGEST: usize = 40;
    match text.char_indices().nth(LONGEST) {
        Some((end, _)) => format!("{}…", &text[..end]),
        None => text.to_owned(),
    }
}

fn integer_of(integer: &DeInteger) -> Option<i64> {
    i64::from_str_radix(integer.as_str(), integer.radix()).ok()
}

/// ` (unit)`, or nothing without a unit.
pub(super) fn in_brackets(unit: &str) -> String {
    if unit.is_empty() { String::new() } else { format!(" ({unit})") }
}

fn quoted_number_advice(value: &DeValue) -> String {
    let is_number = |text: &str| text.trim().replace(',', ".").parse::<f64>().is_ok();
    if value.as_str().is_some_and(is_number) { ", without quotes and with a decimal point" } else { "" }
        .into()
}

/// ` (did you mean X?)` for the name nearest to `text`, nothing where none is near.
pub(super) fn did_you_mean<'n>(text: &str, names: impl Iterator<Item = &'n str>) -> String {
    let near = |length: usize| (length / 3).clamp(1, 4);
    names
        .map(|name| (edits(text, name), name))
        .filter(|(edits, name)| *edits <= near(name.chars().count()))
        .min_by_key(|(edits, _)| *edits)
        .map_or(String::new(), |(_, name)| format!(" (did you mean {name}?)"))
}

/// Least number of letters inserted, deleted or replaced to turn `a` into `b` (Levenshtein distance); texts that
/// differ much in length are not compared.
fn edits(a: &str, b: &str) -> usize {
    if a.len().abs_diff(b.len()) > 8 {
        return usize::MAX;
    }
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, from) in a.chars().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, to) in b.iter().enumerate() {
            let replaced = diagonal + usize::from(from != *to);
            diagonal = row[j + 1];
            row[j + 1] = replaced.min(row[j] + 1).min(diagonal + 1);
        }
    }
    row[b.len()]
}
