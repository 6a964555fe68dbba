//! The demo workshop, and ways to spoil it.

#![allow(clippy::unwrap_used, clippy::panic, dead_code)] // helpers; no test file uses all of them

use std::path::Path;

use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::{Index, select};
use serde_json::Value;
use workshop::answer::{Answer, KnownVan};
use workshop::assembly::CannotStand;
use workshop::catalogue::{Catalogue, DataFile, Kind};
use workshop::document::Fault;
use workshop::enquiry::Enquiry;
use workshop::kit::Kit;

#[path = "../../src/document/arbitrary.rs"]
mod arbitrary;

pub(crate) const CAMPER: &str = "camper-low-at-the-back";
pub(crate) const DAY_VAN: &str = "day-van-lower";
pub(crate) const ENQUIRIES: [&str; 3] = [CAMPER, DAY_VAN, "leaning-with-roof-tent"];

/// All files of the demo workshop, sorted by path.
pub(crate) fn demo_files() -> Vec<DataFile> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/demo");
    let mut files = Vec::new();
    for subfolder in ["", "vehicles", "kits", "enquiries", "ramp", "bench", "jacking"] {
        let Ok(entries) = std::fs::read_dir(root.join(subfolder)) else { continue };
        for entry in entries.map(Result::unwrap).filter(|entry| entry.path().is_file()) {
            let name = entry.file_name().into_string().unwrap();
            let path = if subfolder.is_empty() { name } else { format!("{subfolder}/{name}") };
            files.push(DataFile { path, text: std::fs::read_to_string(entry.path()).unwrap() });
        }
    }
    files.sort_by(|a, b| a.path.cmp(&b.path));
    files
}

pub(crate) fn demo_file(path: &str) -> DataFile {
    demo_files().into_iter().find(|file| file.path == path).unwrap()
}

pub(crate) fn demo() -> Catalogue {
    Catalogue::read(&demo_files()).unwrap()
}

pub(crate) fn enquiry(catalogue: &Catalogue, name: &str) -> Enquiry {
    catalogue.read_enquiry(&demo_file(&format!("enquiries/{name}.toml"))).unwrap()
}

/// The answer with every kit that is sold for the van.
pub(crate) fn answer(catalogue: &Catalogue, enquiry: &Enquiry) -> Result<Answer, CannotStand> {
    let kits: Vec<&Kit> = catalogue.kits_for(&enquiry.vehicle).collect();
    KnownVan::of(catalogue, enquiry)?.answer(&kits)
}

/// The demo workshop's folder with one file put in or replaced.
pub(crate) fn folder_with(file: DataFile) -> Vec<DataFile> {
    let mut files: Vec<DataFile> = demo_files().into_iter().filter(|other| other.path != file.path).collect();
    files.push(file);
    files
}

/// Faults of a folder, the documents outside the catalogue included; empty where all is sound.
pub(crate) fn faults_of(files: &[DataFile]) -> Vec<Fault> {
    match Catalogue::read(files) {
        Err(faults) => {
            assert!(!faults.is_empty());
            faults
        }
        Ok(catalogue) => files.iter().flat_map(|file| catalogue.faults_of(file)).collect(),
    }
}

/// Every fault names a line of one of the files, what was found and what is allowed, in one printed line.
pub(crate) fn assert_well_formed(faults: &[Fault], files: &[DataFile]) {
    for fault in faults {
        let file = files.iter().find(|file| file.path == fault.file);
        let lines = file.unwrap_or_else(|| panic!("no such file: {fault}")).text.lines().count().max(1);
        assert!((1..=lines).contains(&fault.line) && fault.column >= 1, "{fault} of {lines} lines");
        assert!(!fault.found.trim().is_empty() && !fault.allowed.trim().is_empty(), "{fault:?}");
        assert_eq!(fault.to_string().lines().count(), 1, "{fault:?}");
    }
}

/// No figure of an answer is NaN or infinite: JSON would show it as null, and answers leave out what is absent.
pub(crate) fn assert_finite(answer: &impl serde::Serialize) {
    assert_no_null(&serde_json::to_value(answer).unwrap(), "answer");
}

fn assert_no_null(value: &Value, path: &str) {
    match value {
        Value::Null => panic!("{path} is not a finite number"),
        Value::Array(items) => {
            for (k, item) in items.iter().enumerate() {
                assert_no_null(item, &format!("{path}[{k}]"));
            }
        }
        Value::Object(fields) => {
            for (name, field) in fields {
                assert_no_null(field, &format!("{path}.{name}"));
            }
        }
        _ => {}
    }
}

/// Where a kind of document is kept.
fn path_of(kind: Kind) -> String {
    let in_the_demo = demo_files().into_iter().map(|file| file.path);
    let in_folder = in_the_demo.map(|path| match path.split_once('/') {
        Some((folder, _)) => format!("{folder}/made-up.toml"),
        None => path,
    });
    let at_the_top = ["facts.toml", "rules.toml"].map(str::to_owned);
    let mut of_kind = in_folder.chain(at_the_top).filter(|path| Kind::of_path(path) == Some(kind));
    of_kind.next().unwrap_or_else(|| panic!("no folder for {kind:?}"))
}

/// Random documents of a kind, from its schema; what they refer to is in the demo catalogue.
pub(crate) fn documents(kind: Kind) -> BoxedStrategy<DataFile> {
    let catalogue = demo();
    let mut schema = kind.schema();
    let kits: Vec<&str> = catalogue.kits.iter().map(|kit| kit.id.as_str()).collect();
    let items: Vec<&str> = catalogue.load_items.iter().map(|listed| listed.id.as_str()).collect();
    let properties = &mut schema["properties"];
    match kind {
        Kind::Kit => properties["fits"]["items"] = serde_json::json!({ "const": "sorvel" }),
        Kind::Enquiry => {
            properties["vehicle"] = serde_json::json!({ "const": "sorvel" });
            properties["grade"] = serde_json::json!({ "enum": ["light", "heavy"] });
            properties["fitted_kit"] = serde_json::json!({ "enum": kits });
            let wheels = &mut properties["wheels"]["properties"];
            wheels["rim"] = serde_json::json!({ "const": "torvelle-steel-16-s" });
            wheels["tyre"] =
                serde_json::json!({ "enum": ["nordane-cargo-225-60-16", "grethan-camp-225-75-16"] });
            properties["items"]["items"]["properties"]["item"] = serde_json::json!({ "enum": items });
        }
        Kind::RampRecord => properties["kit"] = serde_json::json!({ "enum": kits }),
        _ => {}
    }
    let path = path_of(kind);
    let file = move |text| DataFile { path: path.clone(), text };
    arbitrary::documents(&schema).prop_map(file).boxed()
}

/// One change of a text. Places are fractions of whatever the text has.
#[derive(Debug, Clone)]
pub(crate) enum Edit {
    ScaleNumber(Index, f64),
    ReplaceNumber(Index, &'static str),
    ReplaceValue(Index, &'static str),
    DeleteLine(Index),
    DuplicateLine(Index),
    SwapLines(Index, Index),
    Insert(Index, &'static str),
    CutOff(Index),
}

const OTHER_VALUES: [&str; 20] = [
    "-1",
    "0",
    "-0.0",
    "1e300",
    "-1e-300",
    "9223372036854775807",
    "99999999999999999999",
    "nan",
    "inf",
    "0x1F",
    "\"12,5\"",
    "true",
    "[]",
    "{}",
    "[1, 2]",
    "[[1, 2], [1, 3]]",
    "\"sorvel\"",
    "1979-05-27",
    "\"\"",
    "'ä\u{2028}'",
];
const GARBAGE: [&str; 12] =
    ["\u{0}", "\u{feff}", "=", "]", "[[", "\"", "'''", "\n[front]\n", "\nnonsense = 1\n", "é🚐", "\r", "#"];

/// Changes that keep a document readable for the most part.
pub(crate) fn mild_edits() -> impl Strategy<Value = Vec<Edit>> {
    vec((any::<Index>(), 0.6..1.5f64).prop_map(|(which, factor)| Edit::ScaleNumber(which, factor)), 1..8)
}

/// Changes of every sort.
pub(crate) fn wild_edits() -> impl Strategy<Value = Vec<Edit>> {
    let at = any::<Index>;
    let edit = prop_oneof![
        (at(), -3.0..3.0f64).prop_map(|(which, factor)| Edit::ScaleNumber(which, factor)),
        (at(), select(&OTHER_VALUES[..])).prop_map(|(which, by)| Edit::ReplaceNumber(which, by)),
        (at(), select(&OTHER_VALUES[..])).prop_map(|(which, by)| Edit::ReplaceValue(which, by)),
        at().prop_map(Edit::DeleteLine),
        at().prop_map(Edit::DuplicateLine),
        (at(), at()).prop_map(|(a, b)| Edit::SwapLines(a, b)),
        (at(), select(&GARBAGE[..])).prop_map(|(place, what)| Edit::Insert(place, what)),
        at().prop_map(Edit::CutOff),
    ];
    vec(edit, 1..4)
}

pub(crate) fn edited(text: &str, edits: &[Edit]) -> String {
    edits.iter().fold(text.to_owned(), apply)
}

fn apply(mut text: String, edit: &Edit) -> String {
    let numbers = numbers(&text);
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    if text.is_empty() || lines.is_empty() {
        return text;
    }
    let line = |index: &Index| index.index(lines.len());
    match edit {
        Edit::ScaleNumber(which, factor) if !numbers.is_empty() => {
            let place = which.get(&numbers).clone();
            let scaled = text[place.clone()].parse::<f64>().unwrap_or(1.0) * factor;
            text.replace_range(place, &format!("{scaled:.1}"));
            return text;
        }
        Edit::ReplaceNumber(which, by) if !numbers.is_empty() => {
            text.replace_range(which.get(&numbers).clone(), by);
            return text;
        }
        Edit::ScaleNumber(..) | Edit::ReplaceNumber(..) => return text,
        Edit::ReplaceValue(which, by) => {
            let k = line(which);
            if let Some((name, _)) = lines[k].split_once('=') {
                lines[k] = format!("{name}= {by}");
            }
        }
        Edit::DeleteLine(which) => {
            lines.remove(line(which));
        }
        Edit::DuplicateLine(which) => {
            let k = line(which);
            lines.insert(k, lines[k].clone());
        }
        Edit::SwapLines(a, b) => {
            let (a, b) = (line(a), line(b));
            lines.swap(a, b);
        }
        Edit::Insert(place, what) => {
            let at = text.floor_char_boundary(place.index(text.len()));
            text.insert_str(at, what);
            return text;
        }
        Edit::CutOff(place) => {
            let at = text.floor_char_boundary(place.index(text.len()));
            text.truncate(at);
            return text;
        }
    }
    lines.join("\n") + "\n"
}

/// Places of the numbers of a TOML text, those in comments and quotes apart.
fn numbers(text: &str) -> Vec<std::ops::Range<usize>> {
    let mut places = Vec::new();
    let mut start_of_line = 0;
    for line in text.split_inclusive('\n') {
        let code = line.split(['#', '"']).next().unwrap_or_default();
        let value_at = code.find('=').unwrap_or(code.len());
        let mut start = None;
        for (k, c) in code.char_indices().chain([(code.len(), ' ')]).filter(|(k, _)| *k > value_at) {
            let in_number = c.is_ascii_digit() || c == '.' || (c == '-' && start.is_none());
            match (in_number, start) {
                (true, None) if !code[..k].ends_with(|c: char| c.is_alphanumeric() || c == '_') => {
                    start = Some(k);
                }
                (false, Some(from)) => {
                    places.push(start_of_line + from..start_of_line + k);
                    start = None;
                }
                _ => {}
            }
        }
        start_of_line += line.len();
    }
    places
}
