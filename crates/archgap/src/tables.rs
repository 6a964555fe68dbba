//! Plain tables, at most 100 columns wide; with more to show than that, 120.

use comfy_table::{
    Cell, CellAlignment, ColumnConstraint, ContentArrangement, ContentLineStyle, LineStyle, Table, TableStyle,
};
use workshop::facts::Language;
use workshop::figure::Figure;
use workshop::wording::{fixed, ranged};

/// Width that texts and tables keep to.
const COLUMNS: u16 = 100;
/// Width of a table that has more to show.
const WIDE_COLUMNS: u16 = 120;

/// One line under the header and under the table, nothing else.
const STYLE: TableStyle = TableStyle::new()
    .content_lines(ContentLineStyle::none())
    .header_separator(LineStyle::none().fill('─').junction('─'))
    .bottom_border(LineStyle::none().fill('─').junction('─'));

/// A table with a header; the first column is aligned left and never broken, the others right.
pub(crate) fn table(header: &[&str], rows: impl Iterator<Item = Vec<String>>) -> String {
    table_within(COLUMNS, header, rows)
}

/// The same for a table that has more to show.
pub(crate) fn wide_table(header: &[&str], rows: impl Iterator<Item = Vec<String>>) -> String {
    table_within(WIDE_COLUMNS, header, rows)
}

fn table_within(columns: u16, header: &[&str], rows: impl Iterator<Item = Vec<String>>) -> String {
    let mut table = Table::new();
    table.load_style(STYLE);
    table.set_content_arrangement(ContentArrangement::Dynamic);
    table.set_width(columns);
    table.set_header(header.iter().map(|words| Cell::new(words).set_alignment(CellAlignment::Center)));
    for row in rows {
        table.add_row(row.into_iter().enumerate().map(|(k, words)| {
            let side = if k == 0 { CellAlignment::Left } else { CellAlignment::Right };
            Cell::new(words).set_alignment(side)
        }));
    }
    for column in table.column_iter_mut() {
        column.set_padding((1, 0));
    }
    if let Some(first) = table.column_mut(0) {
        first.set_padding((1, 1));
        first.set_constraint(ColumnConstraint::ContentWidth);
    }
    table.to_string()
}

/// A number that may not be available, a dash then; the table says below what a dash means.
pub(crate) fn optional(language: Language, value: Option<f64>, decimals: usize) -> String {
    value.map_or_else(|| "-".to_owned(), |value| fixed(language, value, decimals))
}

/// A figure that may not be available.
pub(crate) fn optional_ranged(language: Language, figure: Option<&Figure>) -> String {
    figure.map_or_else(|| not_available(language), ranged)
}

fn not_available(language: Language) -> String {
    language.pick("not available", "nicht bekannt").to_owned()
}

/// Text folded at the table width, lines after the first indented.
pub(crate) fn folded(text: &str, indent: usize) -> String {
    let leading: String = text.chars().take_while(|c| *c == ' ').collect();
    let mut lines = vec![leading];
    for word in text.split_whitespace() {
        let line = lines.len() - 1;
        let used = lines[line].chars().count();
        if used > indent && used + 1 + word.chars().count() > usize::from(COLUMNS) {
            lines.push(format!("{}{word}", " ".repeat(indent)));
        } else {
            if used > 0 && !lines[line].ends_with(' ') {
                lines[line].push(' ');
            }
            lines[line].push_str(word);
        }
    }
    lines.join("\n")
}
