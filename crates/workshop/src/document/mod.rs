//! How the workshop's data files (TOML) are read.
//!
//! Each kind of document is declared once, as a function over [`Fields`]. The declaration serves three purposes:
//! [`read`] runs it over a file and gives the value or *all* faults of the file, each with line, field, what was
//! found and what is allowed; [`schema`] runs it over nothing and gives the JSON Schema of the kind; and random
//! tests generate valid files from that schema.
//!
//! ```
//! use workshop::document::{Fields, range, read, schema};
//!
//! struct Spring {
//!     rate_n_per_mm: f64,
//!     free_length_mm: Option<f64>,
//! }
//!
//! fn read_spring(f: &mut Fields) -> Spring {
//!     Spring {
//!         rate_n_per_mm: f.number("rate_n_per_mm", range(1.0, 500.0), "Spring rate"),
//!         free_length_mm: f.optional_number("free_length_mm", range(50.0, 900.0), "Length without load"),
//!     }
//! }
//!
//! let spring = read("spring.toml", "rate_n_per_mm = 42", read_spring).map_err(|faults| faults[0].to_string());
//! assert_eq!(spring.map(|s| s.rate_n_per_mm), Ok(42.0));
//!
//! let faults = read("spring.toml", "rate_n_per_mm = -3", read_spring).map(|_| ()).unwrap_err();
//! assert_eq!(
//!     faults[0].to_string(),
//!     "spring.toml:1: rate_n_per_mm: found -3, allowed a number from 1 to 500 (N/mm)"
//! );
//!
//! let schema = schema("spring", "Coil spring", read_spring);
//! assert_eq!(schema["properties"]["rate_n_per_mm"]["maximum"], 500.0);
//! ```
//!
//! A reader never stops at a fault: the faulty field gives a harmless value of its kind (the lower bound, empty text,
//! the first choice), reading goes on, and [`read`] throws the whole value away at the end. While [`schema`] runs the
//! reader, or where a required table is missing, every field gives its harmless value and every optional one `None`;
//! checks across fields are therefore made only where [`Fields::is_sound`].

#[cfg(test)]
pub(crate) mod arbitrary;
mod fault;
mod fields;
mod range;
mod rule;
mod schema;
#[cfg(test)]
mod tests;

pub use fault::Fault;
pub use fields::{Fields, Order, Reader};
pub use range::{Range, range, unit_of};

use fault::Source;
use serde_json::Value;
use toml::de::DeTable;

/// Reads the document `text`; `file_name` is only used to name the file in faults.
///
/// # Errors
/// All faults of the file, by line. A file that is not TOML has one fault, where it stops being TOML.
pub fn read<T>(file_name: &str, text: &str, reader: impl FnOnce(&mut Fields) -> T) -> Result<T, Vec<Fault>> {
    let source = Source::new(file_name, text);
    let document = DeTable::parse(text).map_err(|error| vec![source.syntax_fault(&error)])?;
    let (value, mut faults) = Fields::read_root(&source, document.get_ref(), reader);
    if faults.is_empty() {
        return Ok(value);
    }
    faults.sort_by_key(|fault| (fault.line, fault.column));
    Err(faults)
}

/// The JSON Schema (draft 2020-12) of the documents that `reader` reads. `kind` is the word in its `$id`
/// (`archgap/KIND`), `title` its name for people.
///
/// The schema accepts all that [`read`] accepts. It cannot state checks across fields, nor that the first column of
/// a list of pairs rises; the latter is noted in `x-order` for whoever generates documents from the schema.
pub fn schema<T>(kind: &str, title: &str, reader: impl FnOnce(&mut Fields) -> T) -> Value {
    let (_, shape) = Fields::describe(reader);
    let mut schema = shape.into_object();
    schema.insert("$schema".into(), "https://json-schema.org/draft/2020-12/schema".into());
    schema.insert("$id".into(), format!("archgap/{kind}").into());
    schema.insert("title".into(), title.into());
    Value::Object(schema)
}
