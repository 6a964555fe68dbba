//! Faults and where they are.

use std::fmt;

use serde::Serialize;

/// One thing wrong in a file: where, what was found, what is allowed there.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Fault {
    /// The file, as named by whoever read it.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// Dotted path of the field, list places counted from 0: `loads.items[3].mass_kg`. Empty for the file as a whole.
    pub field: String,
    /// What was found: `-3`, `text "abc"`, `nothing`.
    pub found: String,
    /// What is allowed, with what to do where that is known.
    pub allowed: String,
}

impl Fault {
    /// A fault of a line as a whole, or of a file by its first line.
    pub fn at_line(
        file: &str,
        line: usize,
        field: &str,
        found: impl Into<String>,
        allowed: impl Into<String>,
    ) -> Self {
        Self {
            file: file.to_owned(),
            line,
            column: 1,
            field: field.to_owned(),
            found: found.into(),
            allowed: allowed.into(),
        }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { file, line, field, found, allowed, .. } = self;
        write!(f, "{file}:{line}: ")?;
        if !field.is_empty() {
            write!(f, "{field}: ")?;
        }
        write!(f, "found {found}, allowed {allowed}")
    }
}

impl std::error::Error for Fault {}

/// The text being read and its name.
pub(super) struct Source<'a> {
    file: &'a str,
    text: &'a str,
    /// Byte offset of the start of each line.
    line_starts: Vec<usize>,
}

impl<'a> Source<'a> {
    pub(super) fn new(file: &'a str, text: &'a str) -> Self {
        let after_newlines = text.match_indices('\n').map(|(newline, _)| newline + 1);
        Self { file, text, line_starts: std::iter::once(0).chain(after_newlines).collect() }
    }

    /// A fault at the byte `offset` of the text.
    pub(super) fn fault(&self, offset: usize, field: &str, found: String, allowed: String) -> Fault {
        let (line, column) = self.position(offset);
        Fault { file: self.file.to_owned(), line, column, field: field.to_owned(), found, allowed }
    }

    /// The fault of a text that is not TOML.
    pub(super) fn syntax_fault(&self, error: &toml::de::Error) -> Fault {
        let offset = error.span().map_or(0, |span| span.start);
        let decimal_comma = self.text.get(offset..).is_some_and(|rest| rest.starts_with(','));
        let allowed = if decimal_comma { "TOML, numbers with a decimal point" } else { "TOML" };
        self.fault(offset, "", format!("what is not TOML ({})", error.message()), allowed.to_owned())
    }

    /// Line and column of a byte offset. White space at the end of the text counts as its last visible line, so that
    /// what is missing at the end is reported on a line that exists.
    fn position(&self, offset: usize) -> (usize, usize) {
        let offset = self.text.floor_char_boundary(offset.min(self.text.trim_end().len()));
        let line = self.line_starts.partition_point(|start| *start <= offset);
        let line_start = self.line_starts[line - 1];
        (line, 1 + self.text[line_start..offset].chars().count())
    }
}
