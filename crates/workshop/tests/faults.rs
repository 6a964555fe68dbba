//! Every fault that a reader finds is said in both languages.

#![allow(clippy::unwrap_used, clippy::panic)] // test helpers outside #[test] functions

mod common;

use std::collections::BTreeSet;

use common::demo_files;
use toml::Value;
use workshop::catalogue::{Catalogue, DataFile};
use workshop::document::Fault;
use workshop::facts::Language;
use workshop::wording;

/// Ways to spoil a value.
#[derive(Clone, Copy)]
enum Spoil {
    Text,
    Number,
    Low,
    List,
    Gone,
    Named,
}

/// Spoils every value whose number among all leaves the remainder meets; what is spoilt is no longer gone through.
fn spoil(value: &mut Value, how: Spoil, count: &mut usize, remainder: usize) {
    match value {
        Value::Table(table) => {
            for name in table.keys().cloned().collect::<Vec<_>>() {
                let is_leaf = !table[&name].is_table() && !is_of_tables(&table[&name]);
                *count += usize::from(is_leaf);
                if is_leaf && *count % 7 == remainder {
                    match how {
                        Spoil::Gone => drop(table.remove(&name)),
                        Spoil::Named => drop(table.insert(format!("{name}x"), Value::Integer(1))),
                        _ => table[&name] = spoilt(how),
                    }
                } else {
                    spoil(&mut table[&name], how, count, remainder);
                }
            }
        }
        Value::Array(items) => items.iter_mut().for_each(|item| spoil(item, how, count, remainder)),
        _ => {}
    }
}

fn is_of_tables(value: &Value) -> bool {
    value.as_array().is_some_and(|items| items.iter().any(Value::is_table))
}

fn spoilt(how: Spoil) -> Value {
    match how {
        Spoil::Number => Value::Integer(3),
        Spoil::Low => Value::Float(-1e9),
        Spoil::List => Value::Array(vec![Value::Boolean(true)]),
        _ => Value::String("high and low".to_owned()),
    }
}

/// Words that German sentences do not have; names of fields stand in the text of faults, and are left out.
const ENGLISH: [&str; 17] = [
    "the", "of", "or", "with", "and", "from", "than", "number", "text", "each", "quotes", "nothing", "table",
    "list", "least", "below", "which",
];

fn is_english(sentence: &str) -> bool {
    let unquoted: String = sentence.split('"').step_by(2).collect();
    unquoted.split(|c: char| !(c.is_alphanumeric() || c == '_')).any(|word| ENGLISH.contains(&word))
}

#[test]
fn law_no_fault_of_a_spoilt_document_is_english_in_german() {
    let files = demo_files();
    let ways = [Spoil::Text, Spoil::Number, Spoil::Low, Spoil::List, Spoil::Gone, Spoil::Named];
    let mut faults: Vec<Fault> = Vec::new();
    for how in ways {
        for remainder in 0..7 {
            let spoilt = |file: &DataFile| {
                let mut value: Value = toml::from_str(&file.text).unwrap();
                spoil(&mut value, how, &mut 0, remainder);
                DataFile { path: file.path.clone(), text: toml::to_string(&value).unwrap() }
            };
            let all: Vec<DataFile> = files.iter().map(spoilt).collect();
            faults.extend(Catalogue::read(&all).unwrap_err());
            let sound = Catalogue::read(&files).unwrap();
            faults.extend(all.iter().flat_map(|file| sound.faults_of(file)));
        }
    }
    assert!(faults.len() > 1000, "{}", faults.len());
    let mut left = BTreeSet::new();
    for fault in &faults {
        assert_eq!(&wording::fault(Language::English, fault), fault);
        let german = wording::fault(Language::German, fault);
        let names = fault.found == "an unknown field";
        let sentences = [Some(german.found), Some(german.allowed).filter(|_| !names)];
        left.extend(sentences.into_iter().flatten().filter(|sentence| is_english(sentence)));
    }
    assert!(left.is_empty(), "{left:#?}");
}
