//! The plain figures of a document of the catalogue: every number by its path, to be shown and changed one by one while
//! all else stays to the letter.

use toml_edit::{DocumentMut, Item, TableLike, Value};

/// A document as text, with its numbers.
#[derive(Debug, Clone)]
pub struct PlainFigures(DocumentMut);

impl PlainFigures {
    /// Reads a document.
    ///
    /// # Errors
    /// What keeps it from being TOML, in the words of the reader.
    pub fn read(text: &str) -> Result<Self, String> {
        text.parse().map(Self).map_err(|e: toml_edit::TomlError| e.message().to_owned())
    }

    /// Every number that stands in a table by its dotted path, such as `rear.spring.rate_n_per_mm`, in the order of the
    /// document. Numbers in lists, such as force tables, are changed in the text.
    pub fn all(&self) -> Vec<(String, f64)> {
        let mut found = Vec::new();
        collect("", self.0.as_table(), &mut found);
        found
    }

    /// Puts a number where one stands already; whether one does.
    pub fn set(&mut self, path: &str, number: f64) -> bool {
        let mut steps = path.split('.').peekable();
        let mut table: &mut dyn TableLike = self.0.as_table_mut();
        while let Some(step) = steps.next() {
            let Some(item) = table.get_mut(step) else { return false };
            if steps.peek().is_none() {
                let Some(value) = item.as_value_mut().filter(|value| number_of(value).is_some()) else {
                    return false;
                };
                let decor = value.decor().clone();
                // whole numbers of this size are exact
                *value = if number.fract() == 0.0 && number.abs() < 1e15 {
                    (number as i64).into()
                } else {
                    number.into()
                };
                *value.decor_mut() = decor;
                return true;
            }
            let Some(inner) = item.as_table_like_mut() else { return false };
            table = inner;
        }
        false
    }

    /// A text that stands at the top of the document, such as its `id`.
    pub fn text(&self, name: &str) -> Option<&str> {
        self.0.get(name)?.as_str()
    }
}

impl std::fmt::Display for PlainFigures {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.0.fmt(f)
    }
}

fn number_of(value: &Value) -> Option<f64> {
    value.as_float().or_else(|| value.as_integer().map(|n| n as f64))
}

fn collect(path: &str, table: &dyn TableLike, found: &mut Vec<(String, f64)>) {
    for (name, item) in table.iter() {
        let path = if path.is_empty() { name.to_owned() } else { format!("{path}.{name}") };
        if let Some(number) = item.as_value().and_then(number_of) {
            found.push((path, number));
        } else if let Some(inner) = Item::as_table_like(item) {
            collect(&path, inner, found);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const WRITTEN: &str = "\
id = \"low\"
[rear.spring] # behind
rate_n_per_mm = 67 # stiff
[rear.stop]
force = [[0, 0], [10, 200]]
load = { from_kg = 1150, to_kg = 1980.5 }
";

    #[test]
    fn law_numbers_of_tables_are_found_and_changed_and_nothing_else_is() {
        let mut figures = PlainFigures::read(WRITTEN).unwrap();
        let found = figures.all();
        let expected = [
            ("rear.spring.rate_n_per_mm", 67.0),
            ("rear.stop.load.from_kg", 1150.0),
            ("rear.stop.load.to_kg", 1980.5),
        ];
        assert_eq!(found, expected.map(|(path, number)| (path.to_owned(), number)));
        for (path, number) in &found {
            assert!(figures.set(path, *number));
        }
        assert_eq!(figures.to_string(), WRITTEN);
        assert!(figures.set("rear.spring.rate_n_per_mm", 70.5));
        assert_eq!(figures.to_string(), WRITTEN.replace("= 67 ", "= 70.5 "));
        for path in ["id", "rear", "rear.stop.force", "nothing.here", ""] {
            assert!(!figures.set(path, 1.0), "{path}");
        }
        assert_eq!(figures.text("id"), Some("low"));
    }
}
