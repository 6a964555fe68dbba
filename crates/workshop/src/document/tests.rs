use proptest::prelude::*;
use serde_json::json;

use super::*;

#[derive(Clone, Copy, Debug, PartialEq)]
enum Mount {
    SlipIn,
    Flange,
}

#[derive(Debug, PartialEq)]
enum Spring {
    Coil { rate_n_per_mm: f64 },
    Leaf { leaves: i64, block_mm: Option<f64> },
}

/// A kind of document that uses every kind of field.
#[derive(Debug, PartialEq)]
struct Sample {
    id: String,
    title: String,
    released: Option<String>,
    adjustable: bool,
    mount: Option<Mount>,
    motion_ratio: f64,
    pivot_mm: Option<[f64; 3]>,
    marks: Vec<String>,
    parts: Vec<String>,
    mounts: Vec<Mount>,
    heights_mm: Vec<f64>,
    stop: Vec<[f64; 2]>,
    spring: Spring,
    items: Vec<f64>,
    grades: Vec<(String, i64)>,
    by: Option<f64>,
}

const MOUNTS: [(&str, Mount); 2] = [("slip-in", Mount::SlipIn), ("flange", Mount::Flange)];
const STOP: [(&str, Range); 2] = [("compression_mm", range(0.0, 100.0)), ("force_n", range(0.0, 30_000.0))];

fn read_coil(f: &mut Fields) -> Spring {
    Spring::Coil { rate_n_per_mm: f.number("rate_n_per_mm", range(1.0, 500.0), "Spring rate") }
}

fn read_leaf(f: &mut Fields) -> Spring {
    Spring::Leaf {
        leaves: f.integer("leaves", 1..=12, "Number of leaves"),
        block_mm: f.optional_number("block_mm", range(0.0, 100.0), "Block under the leaf"),
    }
}

fn read_sample(f: &mut Fields) -> Sample {
    f.exactly_one_of(&["mass_kg", "load_percent"]);
    let mass_kg = f.optional_number("mass_kg", range(0.0, 1000.0), "Mass");
    let load_percent = f.optional_number("load_percent", range(0.0, 100.0), "Part of the load");
    Sample {
        id: f.id("id", "Identifier"),
        title: f.text("title", "Name for people"),
        released: f.optional_date("released", "Day of release"),
        adjustable: f.flag_or("adjustable", true, "Whether the collars turn"),
        mount: f.optional_choice("mount", &MOUNTS, "Strut mount"),
        motion_ratio: f.number_or("motion_ratio", range(0.1, 2.0), 1.0, "Spring travel per wheel travel"),
        pivot_mm: f.optional_point3("pivot_mm", range(-5000.0, 5000.0), "Pivot"),
        marks: f.text_list("marks", 0..=5, "Marks"),
        parts: f.id_list("parts", 0..=5, "Parts"),
        mounts: f.choice_list("mounts", &MOUNTS, 0..=2, "Mounts"),
        heights_mm: f.number_list("heights_mm", range(0.0, 900.0), 2..=4, "Heights"),
        stop: f.pairs("stop", STOP, 2, Order::Rising, "Force of the stop"),
        spring: f.table("spring", "Spring", |f| {
            f.variant("kind", "Kind of spring", &[("coil", &read_coil), ("leaf", &read_leaf)])
        }),
        items: f.list("items", "Load items", |f| f.number("mass_kg", range(0.0, 500.0), "Mass")),
        grades: f
            .map("grades", "Grades", |name, f| {
                (name.to_owned(), f.integer("axle_limit_kg", 100..=5000, "Plated limit"))
            })
            .into_iter()
            .map(|(_, grade)| grade)
            .collect(),
        by: mass_kg.or(load_percent),
    }
}

const VALID: &str = r#"id = "demo-kit"
title = " Demo kit "
released = 2024-02-29
mount = "flange"
pivot_mm = [1, -2.5, 3]
marks = ["left", "right"]
heights_mm = [400, 410.5]
stop = [[0, 0], [10, 0x10], [20, 1e3]]
mass_kg = 12

[spring]
kind = "coil"
rate_n_per_mm = 42

[[items]]
mass_kg = 10

[[items]]
mass_kg = 20.5

[grades.b]
axle_limit_kg = 1800

[grades."a 1"]
axle_limit_kg = 1900
"#;

fn faults_of<T>(text: &str, reader: impl FnOnce(&mut Fields) -> T) -> Vec<String> {
    let faults = read("x.toml", text, reader).map(|_| ()).unwrap_err();
    faults.iter().map(Fault::to_string).collect()
}

/// The faults of the valid document after one replacement in it.
fn faults_with(old: &str, new: &str) -> Vec<String> {
    assert!(VALID.contains(old));
    faults_of(&VALID.replacen(old, new, 1), read_sample)
}

#[test]
fn law_a_valid_document_is_read_in_full() {
    let expected = Sample {
        id: "demo-kit".into(),
        title: "Demo kit".into(),
        released: Some("2024-02-29".into()),
        adjustable: true,
        mount: Some(Mount::Flange),
        motion_ratio: 1.0,
        pivot_mm: Some([1.0, -2.5, 3.0]),
        marks: vec!["left".into(), "right".into()],
        parts: vec![],
        mounts: vec![],
        heights_mm: vec![400.0, 410.5],
        stop: vec![[0.0, 0.0], [10.0, 16.0], [20.0, 1000.0]],
        spring: Spring::Coil { rate_n_per_mm: 42.0 },
        items: vec![10.0, 20.5],
        grades: vec![("b".into(), 1800), ("a 1".into(), 1900)],
        by: Some(12.0),
    };
    assert_eq!(read("x.toml", VALID, read_sample), Ok(expected));
    let with_bom_and_crlf = format!("\u{feff}{}", VALID.replace('\n', "\r\n"));
    assert!(read("x.toml", &with_bom_and_crlf, read_sample).is_ok());
}

#[test]
fn law_each_fault_says_where_what_was_found_and_what_is_allowed() {
    let rate = "rate_n_per_mm = 42";
    let allowed_rate = "allowed a number from 1 to 500 (N/mm)";
    let cases = [
        (rate, "rate_n_per_mm = -3", format!("13: spring.rate_n_per_mm: found -3, {allowed_rate}")),
        (rate, "rate_n_per_mm = nan", format!("13: spring.rate_n_per_mm: found nan, {allowed_rate}")),
        (rate, "rate_n_per_mm = -inf", format!("13: spring.rate_n_per_mm: found -inf, {allowed_rate}")),
        (rate, "rate_n_per_mm = true", format!("13: spring.rate_n_per_mm: found true, {allowed_rate}")),
        (rate, "rate_n_per_mm = \"soft\"", format!("13: spring.rate_n_per_mm: found text \"soft\", {allowed_rate}")),
        (
            rate,
            "rate_n_per_mm = \"4,2\"",
            format!("13: spring.rate_n_per_mm: found text \"4,2\", {allowed_rate}, without quotes and with a decimal point"),
        ),
        (
            rate,
            "rate_n_per_mm = 99999999999999999999",
            format!("13: spring.rate_n_per_mm: found 99999999999999999999, {allowed_rate}"),
        ),
        (rate, "", format!("11: spring.rate_n_per_mm: found nothing, {allowed_rate}")),
        (
            rate,
            "rate_n_per_mm = 42\nrate_n_mm = 42",
            "14: spring.rate_n_mm: found an unknown field, allowed kind, rate_n_per_mm (did you mean rate_n_per_mm?)".into(),
        ),
        (
            rate,
            "rate_n_per_mm = 42\n\"häh\\n\" = 42",
            "14: spring.\"häh\\n\": found an unknown field, allowed kind, rate_n_per_mm".into(),
        ),
        (
            "kind = \"coil\"",
            "kind = \"coill\"",
            "12: spring.kind: found text \"coill\", allowed one of \"coil\", \"leaf\" (did you mean coil?)".into(),
        ),
        ("kind = \"coil\"", "", "11: spring.kind: found nothing, allowed one of \"coil\", \"leaf\"".into()),
        (
            "mount = \"flange\"",
            "mount = 3",
            "4: mount: found 3, allowed one of \"slip-in\", \"flange\"".into(),
        ),
        (
            "id = \"demo-kit\"",
            "id = \"Demo Kit\"",
            "1: id: found text \"Demo Kit\", allowed lower-case letters, digits and hyphens in quotes, at most 64".into(),
        ),
        (
            "\" Demo kit \"",
            "\"  \"",
            "2: title: found text \"  \", allowed one line of text in quotes, 1 to 500 characters".into(),
        ),
        (
            "\" Demo kit \"",
            "\"a\\tb\"",
            "2: title: found text \"a\\tb\", allowed one line of text in quotes, 1 to 500 characters".into(),
        ),
        (
            "2024-02-29",
            "\"2023-02-30\"",
            "3: released: found text \"2023-02-30\", allowed a date as yyyy-mm-dd".into(),
        ),
        (
            "2024-02-29",
            "2024-02-29T10:00:00",
            "3: released: found date 2024-02-29T10:00:00, allowed a date as yyyy-mm-dd".into(),
        ),
        (
            "[1, -2.5, 3]",
            "[1, 2]",
            "5: pivot_mm: found a list of 2, allowed a list [...] of 3, each a number from -5000 to 5000 (mm)".into(),
        ),
        (
            "[1, -2.5, 3]",
            "[1, 2, 9000]",
            "5: pivot_mm[2]: found 9000, allowed a number from -5000 to 5000 (mm)".into(),
        ),
        (
            "[400, 410.5]",
            "400",
            "7: heights_mm: found 400, allowed a list [...] of 2 to 4, each a number from 0 to 900 (mm)".into(),
        ),
        (
            "[10, 0x10]",
            "[10]",
            "8: stop[1]: found a list of 1, allowed a pair [compression_mm, force_n]".into(),
        ),
        (
            "[10, 0x10]",
            "\n[10, -1]",
            "9: stop[1].force_n: found -1, allowed a number from 0 to 30000 (N)".into(),
        ),
        (
            "[10, 0x10]",
            "[20, 900]",
            "8: stop[2].compression_mm: found 20, allowed more than the 20 of the row before".into(),
        ),
        (
            "[[0, 0], [10, 0x10], [20, 1e3]]",
            "[[0, 0]]",
            "8: stop: found a list of 1, allowed a list of 2 or more pairs [compression_mm, force_n]".into(),
        ),
        (
            "mass_kg = 12\n",
            "mass_kg = 12\nload_percent = 20\n",
            "10: load_percent: found mass_kg and load_percent, allowed exactly one of mass_kg, load_percent".into(),
        ),
        ("mass_kg = 12\n", "\n", "1: found none of them, allowed exactly one of mass_kg, load_percent".into()),
        ("mass_kg = 20.5", "mass_kg = 501", "19: items[1].mass_kg: found 501, allowed a number from 0 to 500 (kg)".into()),
        ("mass_kg = 20.5", "", "18: items[1].mass_kg: found nothing, allowed a number from 0 to 500 (kg)".into()),
        (
            "axle_limit_kg = 1900",
            "axle_limit_kg = 1900.5",
            "25: grades.\"a 1\".axle_limit_kg: found 1900.5, allowed a whole number from 100 to 5000 (kg)".into(),
        ),
        (
            "[grades.\"a 1\"]",
            "[grades.\"\"]",
            "24: grades.\"\": found the name \"\", allowed a name of one line that is not blank".into(),
        ),
        ("[1, -2.5, 3]", "[1, 2,5", "6: found what is not TOML (".into()),
        ("mass_kg = 12\n", "mass_kg = 12\nmass_kg = 13\n", "10: found what is not TOML (duplicate key), allowed TOML".into()),
    ];
    for (old, new, expected) in cases {
        let faults = faults_with(old, new);
        let expected = format!("x.toml:{expected}");
        assert!(
            faults.len() == 1 && (faults[0] == expected || expected.ends_with('(')),
            "{faults:#?}\n{expected}"
        );
        assert!(faults[0].starts_with(&expected));
    }
}

#[test]
fn law_tables_lists_and_maps_of_the_wrong_kind_are_refused() {
    let read = |f: &mut Fields| {
        f.table("a", "A", |f| f.number("x_mm", range(0.0, 1.0), "X"));
        f.optional_table("b", "B", |f| f.flag("y", "Y"));
        f.list("c", "C", |f| f.flag("y", "Y"));
        f.map("d", "D", |_, f| f.flag("y", "Y"));
        f.table("e", "E", |f| f.flag("y", "Y"));
        f.list("g", "G", |f| f.flag("y", "Y"));
        f.flag("h", "H");
        assert_eq!(f.non_empty_list("i", "I", |f| f.flag("y", "Y")), [false]);
        assert_eq!(f.non_empty_list("j", "J", |f| f.flag("y", "Y")), [false]);
    };
    let text = "a = 1\nb = \"two\"\nc = 3\nd = [4]\ng = [{ y = true }, 5]\nh = \"true\"\nj = []";
    assert_eq!(
        faults_of(text, read),
        [
            "x.toml:1: e: found nothing, allowed a table",
            "x.toml:1: i: found nothing, allowed a list of 1 or more tables, each under its own line [[i]]",
            "x.toml:1: a: found 1, allowed a table",
            "x.toml:2: b: found text \"two\", allowed a table",
            "x.toml:3: c: found 3, allowed a list of tables, each under its own line [[c]]",
            "x.toml:4: d: found a list of 1, allowed a table",
            "x.toml:5: g[1]: found 5, allowed a table",
            "x.toml:6: h: found text \"true\", allowed true or false, without quotes",
            "x.toml:7: j: found a list of 0, allowed a list of 1 or more tables, each under its own line [[j]]",
        ]
    );
}

#[test]
fn law_all_faults_are_found_in_one_run_by_line() {
    let text = "title = 3\nheights_mm = [\"400\", 1e9]\nstop = [[0, 0], [-1, x]]\n".replace('x', "true");
    let faults = faults_of(&text, read_sample);
    let fields: Vec<&str> = faults.iter().map(|fault| fault.split(": ").nth(1).unwrap_or_default()).collect();
    let expected = [
        "found none of them, allowed exactly one of mass_kg, load_percent",
        "id",
        "spring",
        "title",
        "heights_mm[0]",
        "heights_mm[1]",
        "stop[1].compression_mm",
        "stop[1].force_n",
    ];
    assert_eq!(fields, expected);
}

#[test]
fn law_readers_can_add_faults_across_fields() {
    let read = |f: &mut Fields| {
        f.table("axle", "Axle", |f| {
            let items = f.list("items", "Items", |f| f.number("mass_kg", range(0.0, 100.0), "Mass"));
            if f.is_sound() {
                assert!(f.has("items") && !f.has("other"));
                f.fault_at("items[1].mass_kg", &items[1].to_string(), "less than the first");
                f.fault_at("items[7]", "nothing", "an eighth item");
                f.fault_at("", "two items", "three");
                assert!(!f.is_sound());
            }
        });
    };
    let text = "\n[axle]\n[[axle.items]]\nmass_kg = 1\n[[axle.items]]\nmass_kg = 2\n";
    assert_eq!(
        faults_of(text, read),
        [
            "x.toml:2: axle: found two items, allowed three",
            "x.toml:3: axle.items[7]: found nothing, allowed an eighth item",
            "x.toml:6: axle.items[1].mass_kg: found 2, allowed less than the first",
        ]
    );
}

#[test]
fn law_text_that_is_not_toml_has_one_fault_with_line_and_column() {
    let fault = |text| read("x.toml", text, |_| ()).unwrap_err().remove(0);
    let comma = fault("a = 1\nb = 12,5\n");
    assert_eq!((comma.line, comma.column), (2, 7));
    assert!(comma.to_string().ends_with("allowed TOML, numbers with a decimal point"), "{comma}");
    // The text ends on line 2; what is missing there is not reported on a line that does not exist.
    assert_eq!(fault("a = 1\nb = [\n\n").line, 2);
    // Columns count characters, not bytes.
    assert_eq!(fault("\"äöü\" = = 1").column, 9);
}

#[test]
fn law_hostile_texts_are_refused_in_short() {
    let deep = format!("a = {}", "[".repeat(100_000));
    assert_eq!(read("x.toml", &deep, |_| ()).unwrap_err().len(), 1);
    let many: String = (0..20_000).map(|i| format!("k{i} = {i}\n")).collect();
    let faults = read("x.toml", &many, |_| ()).unwrap_err();
    assert_eq!((faults.len(), faults[19_999].line), (20_000, 20_000));
    assert_eq!(faults[0].allowed, "no fields");
    let long = format!("{} = \"{}\"", "k".repeat(10_000), "v".repeat(10_000));
    assert!(faults_of(&long, |_| ())[0].len() < 200);
    assert!(faults_of(&long.replace('k', "id"), |f| f.id("id", "Id"))[0].len() < 200);
}

#[test]
fn law_values_after_a_fault_are_harmless() {
    let (value, _) = Fields::describe(read_sample);
    assert_eq!(value.stop, [[0.0, 0.0], [50.0, 0.0]]);
    assert_eq!(value.heights_mm, [0.0, 0.0]);
    assert_eq!(value.spring, Spring::Coil { rate_n_per_mm: 1.0 });
}

#[test]
fn law_the_schema_says_what_is_read() {
    let schema = schema("sample", "Sample", read_sample);
    assert_eq!(schema["$id"], "archgap/sample");
    assert_eq!(schema["title"], "Sample");
    assert_eq!(schema["additionalProperties"], false);
    assert_eq!(schema["required"], json!(["id", "title", "heights_mm", "stop", "spring"]));
    let properties = &schema["properties"];
    assert_eq!(
        properties["mass_kg"],
        json!({ "type": "number", "minimum": 0.0, "maximum": 1000.0, "description": "Mass (kg)" })
    );
    assert_eq!(properties["mount"]["enum"], json!(["slip-in", "flange"]));
    assert_eq!(properties["motion_ratio"]["default"], 1.0);
    assert_eq!(properties["pivot_mm"]["maxItems"], 3);
    assert_eq!(properties["stop"]["items"]["prefixItems"][1]["maximum"], 30_000.0);
    assert_eq!(properties["grades"]["additionalProperties"]["required"], json!(["axle_limit_kg"]));
    let spring = &properties["spring"];
    assert_eq!(spring["unevaluatedProperties"], false);
    assert_eq!(spring["properties"]["kind"]["enum"], json!(["coil", "leaf"]));
    let leaf = &spring["allOf"][0]["oneOf"][1];
    assert_eq!(leaf["properties"]["kind"]["const"], "leaf");
    assert_eq!(leaf["required"], json!(["leaves", "kind"]));
    let one = &schema["allOf"][0]["oneOf"];
    assert_eq!(*one, json!([{ "required": ["mass_kg"] }, { "required": ["load_percent"] }]));
}

#[test]
fn law_units_come_from_the_longest_ending() {
    let cases = [
        ("rate_n_per_mm", "N/mm"),
        ("rate_n_per_m", "N/m"),
        ("mass_kg", "kg"),
        ("bar_nm_per_deg", "Nm/°"),
        ("speed_m_per_s", "m/s"),
        ("mm", "mm"),
        ("share_percent", "%"),
        ("motion_ratio", ""),
        ("comm", ""),
        ("", ""),
    ];
    for (name, unit) in cases {
        assert_eq!(unit_of(name), unit, "{name}");
    }
}

/// Every fault of a text lies in it, on one line of message.
fn check_faults<T>(text: &str, result: Result<T, Vec<Fault>>) -> Result<(), TestCaseError> {
    let Err(faults) = result else { return Ok(()) };
    prop_assert!(!faults.is_empty());
    prop_assert!(faults.is_sorted_by_key(|fault| fault.line));
    for fault in faults {
        prop_assert!(fault.line >= 1 && fault.line <= text.lines().count().max(1), "{fault}");
        prop_assert!(fault.column >= 1);
        prop_assert_eq!(fault.to_string().lines().count(), 1);
    }
    Ok(())
}

proptest! {
    #[test]
    fn law_any_text_is_read_or_refused(text in any::<String>()) {
        check_faults(&text, read("x.toml", &text, read_sample))?;
    }

    #[test]
    fn law_text_made_of_toml_pieces_is_read_or_refused(
        pieces in prop::collection::vec(
            prop::sample::select(vec![
                "id", "stop", "spring", "items", "grades", "kind", "\"", "'", " = ", "=", "[", "]", "[[", "]]", "{", "}",
                ",", ".", "\n", "\r\n", "#", "1", "-3", "nan", "1e400", "0x7f", "true", "2024-01-01", "\"coil\"", "ä", "\\u0000",
            ]),
            0..40,
        )
    ) {
        let text = pieces.concat();
        check_faults(&text, read("x.toml", &text, read_sample))?;
    }

    #[test]
    fn law_a_mutated_document_is_read_or_refused(
        at in 0..VALID.len(), length in 0..30_usize, put in "[ -~\n]{0,6}"
    ) {
        let mut text = VALID.to_owned();
        text.replace_range(at..(at + length).min(VALID.len()), &put);
        check_faults(&text, read("x.toml", &text, read_sample))?;
    }

    #[test]
    fn law_values_of_wrong_kinds_are_refused_in_place(
        line in 0..9_usize,
        value in prop::sample::select(vec!["[]", "[[]]", "[[1, 2, 3]]", "{}", "{ a = 1 }", "\"\"", "07:30:00", "-1e300"])
    ) {
        let mut lines: Vec<String> = VALID.lines().map(str::to_owned).collect();
        let name = lines[line].split(' ').next().unwrap_or_default().to_owned();
        lines[line] = format!("{name} = {value}");
        let result = read("x.toml", &lines.join("\n"), read_sample);
        if let Err(faults) = &result {
            prop_assert!(faults.iter().all(|fault| fault.line == line + 1), "{faults:?}");
        }
        // An empty list of marks is the only one of these values that fits.
        prop_assert_eq!(result.is_ok(), name == "marks" && value == "[]");
    }

    #[test]
    fn law_documents_generated_from_the_schema_are_accepted(
        text in arbitrary::documents(&schema("sample", "Sample", read_sample))
    ) {
        let result = read("x.toml", &text, read_sample);
        prop_assert!(result.is_ok(), "{text}\n{result:?}");
    }
}
