//! What the database itself must search or guard, derived from the body of a record.

use serde::{Deserialize, Serialize};

use crate::records::{Id, Kind, Record};

/// What a search term is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SearchClass {
    /// Number plate.
    Plate,
    /// Word of a name.
    Name,
    /// Digits of a telephone number.
    Phone,
    /// Word that describes a van.
    Van,
}

impl SearchClass {
    /// All classes.
    pub const ALL: [Self; 4] = [Self::Plate, Self::Name, Self::Phone, Self::Van];

    /// Name of the class in the database.
    pub fn name(self) -> &'static str {
        match self {
            Self::Plate => "plate",
            Self::Name => "name",
            Self::Phone => "phone",
            Self::Van => "van",
        }
    }
}

/// A ramp held from one time to another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Held {
    pub(crate) ramp: String,
    pub(crate) from_ms: i64,
    pub(crate) to_ms: i64,
}

/// How far a record is, and when it begins and ends.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct State {
    pub(crate) state: &'static str,
    pub(crate) begins_ms: Option<i64>,
    pub(crate) ends_ms: Option<i64>,
}

/// Everything derived from one body.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Index {
    pub(crate) terms: Vec<(SearchClass, String)>,
    pub(crate) links: Vec<(Kind, Id)>,
    pub(crate) held: Option<Held>,
    pub(crate) state: Option<State>,
}

/// Shortest fragment of a plate or telephone number that is searched for.
const SHORTEST_FRAGMENT: usize = 3;
/// Longer terms are cut: an index entry has a limit in PostgreSQL.
const LONGEST_TERM: usize = 60;

impl Index {
    pub(crate) fn of(record: &impl Record) -> Self {
        let mut index = Self::default();
        record.index(&mut index);
        index
    }

    pub(crate) fn link(&mut self, kind: Kind, id: &Id) {
        self.links.push((kind, id.clone()));
    }

    pub(crate) fn link_if(&mut self, kind: Kind, id: Option<&Id>) {
        self.links.extend(id.map(|id| (kind, id.clone())));
    }

    pub(crate) fn state(&mut self, state: &'static str) {
        self.state = Some(State { state, begins_ms: None, ends_ms: None });
    }

    pub(crate) fn state_from_to(&mut self, state: &'static str, [begins_ms, ends_ms]: [i64; 2]) {
        self.state = Some(State { state, begins_ms: Some(begins_ms), ends_ms: Some(ends_ms) });
    }

    pub(crate) fn plate(&mut self, plate: &str) {
        self.term(SearchClass::Plate, &folded(plate));
    }

    pub(crate) fn phone(&mut self, phone: &str) {
        self.term(SearchClass::Phone, &digits(phone));
    }

    pub(crate) fn name(&mut self, name: &str) {
        words(name).for_each(|word| self.term(SearchClass::Name, &word));
    }

    pub(crate) fn van(&mut self, text: &str) {
        words(text).for_each(|word| self.term(SearchClass::Van, &word));
    }

    fn term(&mut self, class: SearchClass, term: &str) {
        let term: String = term.chars().take(LONGEST_TERM).collect();
        if !term.is_empty() && !self.terms.contains(&(class, term.clone())) {
            self.terms.push((class, term));
        }
    }
}

/// Letters and digits only, small.
fn folded(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

fn digits(text: &str) -> String {
    text.chars().filter(char::is_ascii_digit).collect()
}

fn words(text: &str) -> impl Iterator<Item = String> + '_ {
    text.split(|c: char| !c.is_alphanumeric()).map(folded).filter(|word| !word.is_empty())
}

/// What a search looks for: every one of these must be part of a term of its class, or of any where there are several.
pub(crate) fn wanted(text: &str) -> Vec<Vec<(SearchClass, String)>> {
    let cut = |term: String| term.chars().take(LONGEST_TERM).collect::<String>();
    let mut alternatives: Vec<Vec<(SearchClass, String)>> = Vec::new();
    let (plate, phone) = (cut(folded(text)), cut(digits(text)));
    if plate.chars().count() >= SHORTEST_FRAGMENT {
        alternatives.push(vec![(SearchClass::Plate, plate)]);
    }
    // a national prefix is often written +44 (0) 1234 and remembered as 01234
    let local = phone.trim_start_matches('0').to_owned();
    if local.len() >= SHORTEST_FRAGMENT && !text.chars().any(char::is_alphabetic) {
        alternatives.push(vec![(SearchClass::Phone, local)]);
    }
    let words: Vec<String> = words(text).map(cut).collect();
    for class in [SearchClass::Name, SearchClass::Van] {
        if !words.is_empty() {
            alternatives.push(words.iter().map(|word| (class, word.clone())).collect());
        }
    }
    alternatives
}
