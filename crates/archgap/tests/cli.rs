//! The program as it is run: what it prints, where, and how it ends.

#![allow(clippy::unwrap_used, clippy::panic)] // test helpers outside #[test] functions

mod common;

use std::collections::BTreeSet;

use common::*;
use serde_json::Value;
use workshop::answer::KnownVan;
use workshop::catalogue::{Catalogue, Kind};
use workshop::enquiry::{Enquiry, Wish, WishKind};
use workshop::kit::Kit;
use workshop::shortlist::shortlist;
use workshop::why::{Asked, Place};
use workshop::wording::CHECK_NAMES;

const ENQUIRIES: [&str; 3] = ["camper-low-at-the-back", "day-van-lower", "leaning-with-roof-tent"];
const CAMPER: &str = ENQUIRIES[0];

fn enquiry_file(name: &str) -> String {
    demo_folder().join(format!("enquiries/{name}.toml")).to_str().unwrap().to_owned()
}

fn json(arguments: &[&str]) -> Value {
    serde_json::from_str(&answered(arguments)).unwrap()
}

fn enquiry(catalogue: &Catalogue, name: &str) -> Enquiry {
    let files = demo_files();
    let file = files.iter().find(|file| file.path == format!("enquiries/{name}.toml")).unwrap();
    catalogue.read_enquiry(file).unwrap()
}

/// The library's own answer with the kits that `wanted` names, all where it is empty.
fn library_answer(name: &str, wanted: &[&str]) -> String {
    let catalogue = demo();
    let enquiry = enquiry(&catalogue, name);
    let kits: Vec<&Kit> = catalogue
        .kits_for(&enquiry.vehicle)
        .filter(|kit| wanted.is_empty() || wanted.contains(&kit.id.as_str()))
        .collect();
    let answer = KnownVan::of(&catalogue, &enquiry).unwrap().answer(&kits).unwrap();
    serde_json::to_string_pretty(&answer).unwrap()
}

#[test]
fn law_without_arguments_the_demo_is_answered_with_every_kit() {
    let shown = answered(&[]);
    for kit in &demo().kits {
        assert!(shown.contains(&kit.id), "{} is not shown", kit.id);
    }
    assert_eq!(shown, answered(&["demo"]));
}

#[test]
fn law_json_is_the_answer_of_the_library() {
    for name in ENQUIRIES {
        let expected = library_answer(name, &[]);
        assert!(answered(&["predict", name, "--json"]).trim_end() == expected, "{name}");
        assert!(
            answered(&["predict", &enquiry_file(name), "--json"]).trim_end() == expected,
            "{name} by file"
        );
    }
    let kit = "ostrivo-steady";
    let expected = library_answer(CAMPER, &[kit]);
    assert!(answered(&["--json", "predict", CAMPER, "--kit", kit]).trim_end() == expected);
}

#[test]
fn law_every_pair_of_the_list_is_shown_with_what_decides_it() {
    let name = "eighteen-inch-wheels";
    let shown = answered(&["wheels", name]);
    let in_one_line = shown.split_whitespace().collect::<Vec<_>>().join(" ");
    let listed = json(&["wheels", name, "--json"]);
    for pair in listed["pairs"].as_array().unwrap() {
        assert!(shown.contains(pair["rim"].as_str().unwrap()));
        let deciding = pair["deciding"]["words"]["en"].as_str().unwrap();
        assert!(in_one_line.contains(deciding), "{deciding}");
    }
    assert!(shown.contains("18 inch: no tyre of the list carries"), "{shown}");
    assert!(answered(&["wheels", name, "--language", "de"]).contains("Nicht:"));
    // a kit changes loads hardly, travels well
    let on_kit = json(&["wheels", CAMPER, "--kit", "tessavar-rear-collar", "--json"]);
    assert_eq!(on_kit["kit"], "tessavar-rear-collar");
    assert_eq!(on_kit["pairs"].as_array().unwrap().len(), listed["pairs"].as_array().unwrap().len());
}

#[test]
fn law_a_folder_on_disk_answers_as_the_same_folder_built_in() {
    let folder = demo_copy("same", &[]);
    for arguments in
        [&["predict", CAMPER][..], &["shortlist", CAMPER], &["kinematics", "sorvel", "--axle", "rear"]]
    {
        assert_eq!(answered(&[arguments, &["--data", &folder]].concat()), answered(arguments));
    }
}

#[test]
fn law_an_unknown_name_is_refused_with_the_known_ones() {
    let said = refused(2, &["predict", CAMPER, "--kit", "nothing-like-it"]);
    let catalogue = demo();
    for kit in catalogue.kits_for(&enquiry(&catalogue, CAMPER).vehicle) {
        assert!(said.contains("nothing-like-it") && said.contains(&kit.id), "{said}");
    }
    for command in ["predict", "shortlist"] {
        let said = refused(2, &[command, "nobody"]);
        assert!(said.contains("nobody") && ENQUIRIES.iter().all(|name| said.contains(name)), "{said}");
    }
    let said = refused(2, &["kinematics", "barge", "--axle", "front"]);
    assert!(said.contains("barge") && said.contains("sorvel"), "{said}");
    let said = refused(2, &["schema", "invoice"]);
    assert!(Kind::CHOICES.iter().all(|(kind, _)| said.contains(kind)), "{said}");
}

/// Line of a text in a file of the demo workshop, from 1.
fn line_of(path: &str, text: &str) -> usize {
    let files = demo_files();
    let file = files.iter().find(|file| file.path == path).unwrap();
    1 + file.text.lines().position(|line| line.contains(text)).unwrap()
}

#[test]
fn law_all_faults_of_a_folder_are_told_and_nothing_is_answered() {
    let broken = [
        ("kits/keltrop-line-30.toml", "rate_n_per_mm = 34", "rate_n_per_mm = \"34\""),
        ("kits/keltrop-line-30.toml", "solid_length_mm = 116", "solid_length_mm = -116"),
        ("kits/tessavar-rear-collar.toml", "lock_ring = true", "locking = true"),
        ("load-items.toml", "mass_kg = 98", "mass_kg = 98000"),
        ("tolerances.toml", "gas_force_n = 40.0", "gas_force_n = inf"),
    ];
    let folder = demo_copy("broken", &broken);
    let commands: [&[&str]; 4] = [
        &["check", &folder],
        &["predict", CAMPER, "--data", &folder],
        &["shortlist", CAMPER, "--data", &folder, "--json"],
        &["--data", &folder],
    ];
    for arguments in commands {
        let said = refused(1, arguments);
        for (path, old, _) in broken {
            let place = format!("{path}:{}: ", line_of(path, old));
            assert!(said.contains(&place), "{arguments:?}: no {place} in\n{said}");
        }
        assert!(said.contains("5 faults"), "{arguments:?}: {said}");
    }
}

#[test]
fn law_a_faulty_enquiry_is_told_by_its_file_and_line() {
    let broken = [
        (&*format!("enquiries/{CAMPER}.toml"), "item = \"bike-rack\"", "item = \"bike-stand\""),
        (&*format!("enquiries/{CAMPER}.toml"), "rear_right_mm = 406", "rear_right_mm = 4060"),
    ];
    let folder = demo_copy("broken-enquiry", &broken);
    for arguments in [&["check", &folder][..], &["predict", CAMPER, "--data", &folder]] {
        let said = refused(1, arguments);
        for (path, old, _) in broken {
            assert!(said.contains(&format!("{path}:{}: ", line_of(path, old))), "{said}");
        }
    }
    // the others are answered all the same
    answered(&["predict", ENQUIRIES[1], "--data", &folder]);
}

#[test]
fn law_text_that_is_not_text_is_refused() {
    let folder = demo_copy("not-text", &[]);
    std::fs::write(format!("{folder}/kits/picture.toml"), [0xff, 0xd8, 0xff, 0x00]).unwrap();
    for arguments in [&["check", &folder][..], &["predict", CAMPER, "--data", &folder]] {
        let said = refused(1, arguments);
        assert!(said.contains("kits/picture.toml") && said.contains("UTF-8"), "{said}");
    }
}

#[test]
fn law_a_missing_folder_is_named() {
    let nowhere = format!("{}/nowhere", env!("CARGO_TARGET_TMPDIR"));
    for arguments in
        [&["check", &nowhere][..], &["predict", CAMPER, "--data", &nowhere], &["--data", &nowhere]]
    {
        let said = refused(1, arguments);
        assert!(said.contains(&nowhere), "{said}");
    }
}

#[test]
fn law_an_empty_folder_has_no_answer() {
    let folder = format!("{}/empty", env!("CARGO_TARGET_TMPDIR"));
    std::fs::create_dir_all(&folder).unwrap();
    let said = refused(2, &["predict", CAMPER, "--data", &folder]);
    assert!(said.contains(CAMPER), "{said}");
}

#[test]
fn law_wrong_usage_ends_with_two() {
    let wrong: [&[&str]; 8] = [
        &["forecast"],
        &["predict"],
        &["predict", CAMPER, "--kit"],
        &["predict", CAMPER, "--colour", "red"],
        &["shortlist", CAMPER, "--by", "price"],
        &["kinematics", "sorvel"],
        &["kinematics", "sorvel", "--axle", "middle"],
        &["kinematics", "sorvel", "--axle", "front", "--step-mm", "nan"],
    ];
    for arguments in wrong {
        assert!(!refused(2, arguments).is_empty());
    }
}

#[test]
fn law_a_sound_sheet_that_cannot_stand_ends_with_three() {
    // an arch so low that no spring would fit below it
    let too_low = ("vehicles/sorvel.toml", "arch_height_mm = 441", "arch_height_mm = 150");
    let folder = demo_copy("too-low", &[too_low]);
    for command in ["predict", "shortlist"] {
        let said = refused(3, &[command, CAMPER, "--data", &folder]);
        assert!(said.contains("sorvel") && said.contains("150 mm"), "{said}");
    }
    // for whoever keeps the data it is a fault of the data
    let said = refused(1, &["check", &folder]);
    assert!(said.contains("vehicles/sorvel.toml:"), "{said}");
}

#[test]
fn law_kinematics_give_every_figure_over_travel() {
    const OF_EVERY_AXLE: [&str; 7] = [
        "travel_mm",
        "camber_deg",
        "toe_deg",
        "half_track_change_mm",
        "spring_motion_ratio",
        "damper_motion_ratio",
        "roll_centre_height_mm",
    ];
    for axle in ["front", "rear"] {
        let arguments =
            ["kinematics", "sorvel", "--axle", axle, "--travel-mm", "50", "--step-mm", "5", "--json"];
        let result = json(&arguments);
        let rows = result["rows"].as_array().unwrap();
        assert_eq!(rows.len(), 21, "{axle}");
        for (k, row) in rows.iter().enumerate() {
            let travel_mm = row["travel_mm"].as_f64().unwrap();
            assert!((travel_mm - (5.0 * k as f64 - 50.0)).abs() < 1e-9, "{axle} row {k}: {travel_mm}");
            for name in OF_EVERY_AXLE {
                assert!(row[name].is_number(), "{axle} {name}: {}", row[name]);
            }
            assert!(row["caster_deg"].is_number() || axle == "rear");
        }
    }
}

#[test]
fn law_every_kind_has_a_schema() {
    for (name, _) in Kind::CHOICES {
        let schema = json(&["schema", name]);
        assert_eq!(schema["type"], "object", "{name}");
        assert_eq!(schema["$id"], format!("archgap/{name}"));
        let properties = schema["properties"].as_object().unwrap();
        assert!(!properties.is_empty(), "{name}");
        for (field, rule) in properties {
            assert!(rule["description"].as_str().is_some_and(|words| !words.is_empty()), "{name} {field}");
        }
    }
}

#[test]
fn law_the_demo_folder_is_sound() {
    let folder = demo_folder();
    let folder = folder.to_str().unwrap();
    let words = answered(&["check", folder]);
    assert!(words.contains("sound") && !words.contains("Not read"), "{words}");
    let catalogue = demo();
    let counts = json(&["check", folder, "--json"]);
    assert_eq!(counts["vehicles"], catalogue.vehicles.len());
    assert_eq!(counts["kits"], catalogue.kits.len());
    let enquiries = std::fs::read_dir(demo_folder().join("enquiries")).unwrap().count();
    assert_eq!(counts["enquiries"], enquiries);
}

#[test]
fn law_a_shortlist_is_sorted_by_what_is_asked() {
    let catalogue = demo();
    for name in ENQUIRIES {
        let enquiry = enquiry(&catalogue, name);
        let known = KnownVan::of(&catalogue, &enquiry).unwrap();
        let wished =
            |kind: &WishKind| *kind != WishKind::Drop || enquiry.wish.drop_against_today_mm.is_some();
        for (by, kind) in WishKind::CHOICES.into_iter().filter(|(_, kind)| wished(kind)) {
            let wish = Wish { kind, ..enquiry.wish };
            let expected = serde_json::to_string_pretty(&shortlist(&known, &wish).unwrap()).unwrap();
            assert_eq!(
                answered(&["shortlist", name, "--by", by, "--json"]).trim_end(),
                expected,
                "{name} by {by}"
            );
            let listed = json(&["shortlist", name, "--by", by, "--json"]);
            let shown = answered(&["shortlist", name, "--by", by]);
            let options = listed["options"].as_array().unwrap();
            // of two kits together only the best are shown
            let id = |kit: &Value| kit["kit"].as_str().unwrap().to_owned();
            let place = |id: String| shown.find(&format!(". {id} ")).unwrap();
            let single = options.iter().map(id).filter(|id| !id.contains('+'));
            assert!(single.map(place).is_sorted(), "{name} by {by}:\n{shown}");
            for out in listed["out"].as_array().unwrap().iter().map(id).filter(|id| !id.contains('+')) {
                assert!(shown.contains(&out), "{name} by {by}:\n{shown}");
            }
        }
        let own_wish = serde_json::to_string_pretty(&shortlist(&known, &enquiry.wish).unwrap()).unwrap();
        assert_eq!(answered(&["shortlist", name, "--json"]).trim_end(), own_wish);
    }
}

#[test]
fn law_a_family_that_cannot_be_posted_is_told() {
    let only_small = [
        ("prices.toml", "up_to_kg = 20\nprice", "up_to_kg = 11\nprice"),
        ("prices.toml", "up_to_kg = 35\nprice = \"28.00\"", "up_to_kg = 12\nprice = \"28.00\""),
    ];
    let folder = demo_copy("no-carriage", &only_small);
    let said = refused(1, &["check", &folder]);
    assert!(said.contains("carriage") && said.contains("family \"fixed springs\""), "{said}");
    assert!(!said.contains("adjustable struts"), "{said}");
}

#[test]
fn law_two_kits_are_asked_for_by_both_identifiers() {
    let both = "ostrivo-flat-45+ostrivo-steady";
    assert_eq!(json(&["set-up", CAMPER, "--kit", both, "--json"])["kit"], both);
    assert_eq!(json(&["predict", CAMPER, "--kit", both, "--json"])["kits"][0]["family"], "combination");
    assert!(answered(&["why", CAMPER, "--kit", both, "level_mm"]).contains("Flat 45 + Steady"));
    let costlier = json(&["compare", CAMPER, "ostrivo-flat-45", both, "--json"]);
    let changes = costlier["changes"].as_array().unwrap();
    assert!(changes.iter().any(|change| change["kind"] == "cost" && change["more_minor"].as_i64() > Some(0)));
    // not two that do not make one kit
    let refused = refused(2, &["set-up", CAMPER, "--kit", "ostrivo-steady+ostrivo-flat-45"]);
    assert!(refused.contains("springs+dampers"), "{refused}");
}

#[test]
fn law_every_line_keeps_to_its_width() {
    let demo_folder = demo_folder();
    let demo_folder = demo_folder.to_str().unwrap();
    let demo = demo();
    let mut runs: Vec<Vec<&str>> = vec![
        vec![],
        vec!["--help"],
        vec!["predict", "--help"],
        vec!["check", demo_folder],
        vec!["kinematics", "sorvel", "--axle", "front"],
        vec!["kinematics", "sorvel", "--axle", "rear", "--travel-mm", "300", "--step-mm", "0.5"],
    ];
    for name in ENQUIRIES {
        for language in ["en", "de"] {
            runs.push(vec!["predict", name, "--language", language]);
            runs.push(vec!["predict", name, "--all", "--language", language]);
            runs.push(vec!["shortlist", name, "--language", language]);
        }
        let vehicle = enquiry(&demo, name).vehicle;
        let fits = |kit: &&Kit| kit.fits.contains(&vehicle);
        let kits: Vec<&str> = demo.kits.iter().filter(fits).map(|kit| kit.id.as_str()).collect();
        runs.extend(kits.iter().map(|kit| vec!["predict", name, "--kit", kit]));
        let wish = enquiry(&demo, name).wish;
        let wished = |kind: &WishKind| *kind != WishKind::Drop || wish.drop_against_today_mm.is_some();
        // with load reserve or clearance the table is wider, which has its own test
        let narrow = [WishKind::Drop, WishKind::Level, WishKind::Travel];
        let by = WishKind::CHOICES.into_iter().filter(|(_, kind)| narrow.contains(kind) && wished(kind));
        runs.extend(by.map(|(by, _)| vec!["shortlist", name, "--by", by]));
        runs.push(vec!["predict", name, "--kit", kits[0], "--all"]);
        runs.extend(kits.iter().map(|kit| vec!["set-up", name, "--kit", kit]));
        runs.extend(kits.iter().take(3).map(|kit| vec!["set-up", name, "--kit", kit, "--language", "de"]));
        runs.extend(kits.iter().take(3).map(|kit| vec!["predict", name, "--kit", kit, "--language", "de"]));
    }
    for language in ["en", "de"] {
        runs.push(vec!["correct", "camper-after-fitting", "--language", language]);
        for of_kit in ["verdict", "price", "time", "captive_in_hand_mm", "camber", "ground_clearance"] {
            runs.push(vec!["why", CAMPER, of_kit, "--kit", "tessavar-four-collars", "--language", language]);
        }
    }
    for language in ["en", "de"] {
        runs.extend(
            ["eighteen-inch-wheels", CAMPER].map(|name| vec!["wheels", name, "--language", language]),
        );
    }
    for (kit, language) in [("tessavar-four-collars", "en"), ("hasterby-track", "de")] {
        runs.push(vec!["ride", CAMPER, "--kit", kit, "--language", language]);
    }
    let mut too_wide = BTreeSet::new();
    for arguments in runs {
        let shown = answered(&arguments);
        // the shortlist and ride have more columns; the demo shows a shortlist
        let wide = arguments.first().is_none_or(|command| ["shortlist", "ride"].contains(command));
        let width = if wide { 120 } else { 100 };
        let lines = shown.lines().filter(|line| line.chars().count() > width);
        too_wide
            .extend(lines.map(|line| format!("{} columns by {arguments:?}:\n{line}", line.chars().count())));
    }
    let words: Vec<String> = too_wide.into_iter().collect();
    assert!(words.is_empty(), "{}", words.join("\n"));
}

/// The text is for people: whoever changes it looks at the difference and accepts it. Figures are rounded to whole
/// millimetres and kilograms, so that another machine prints the same.
#[test]
fn regress_shortlist_as_shown() {
    insta::assert_snapshot!("shortlist", answered(&["shortlist", CAMPER]));
}

/// As above.
#[test]
fn regress_one_kit_in_full_as_shown() {
    let arguments = ["predict", CAMPER, "--kit", "tessavar-rear-collar"];
    insta::assert_snapshot!("one_kit_in_full", answered(&arguments));
}

/// As above, in German.
#[test]
fn regress_shortlist_as_shown_in_german() {
    insta::assert_snapshot!("shortlist_german", answered(&["shortlist", CAMPER, "--language", "de"]));
}

/// As above: the first screen.
#[test]
fn regress_first_screen_as_shown() {
    insta::assert_snapshot!("first_screen", answered(&["predict", CAMPER]));
}

/// The paragraph is read out to customers: a change is looked at before it is accepted.
#[test]
fn regress_spoken_in_both_languages() {
    let mut spoken = String::new();
    for name in ["camper-low-at-the-back", "unknown-strut-mount", "over-the-rear-limit", "postal-customer"] {
        let listed = json(&["shortlist", name, "--json"]);
        let option = &listed["options"][0];
        let of = |language: &str| option["spoken"][language].as_str().unwrap().to_owned();
        spoken += &format!("{name}, {}\n{}\n{}\n\n", option["kit"], of("en"), of("de"));
    }
    insta::assert_snapshot!("spoken", spoken);
}

/// Words that no German sentence of the program holds, whole words only.
const ENGLISH: [&str; 78] = [
    "the",
    "and",
    "with",
    "of",
    "is",
    "are",
    "not",
    "from",
    "for",
    "by",
    "to",
    "be",
    "it",
    "its",
    "than",
    "too",
    "as",
    "measured",
    "computed",
    "maker",
    "maker's",
    "estimated",
    "plate",
    "plated",
    "sheet",
    "drop",
    "level",
    "travel",
    "stop",
    "look",
    "note",
    "notes",
    "lower",
    "higher",
    "today",
    "needs",
    "misses",
    "small",
    "large",
    "rear",
    "front",
    "left",
    "right",
    "hours",
    "tax",
    "included",
    "depends",
    "know",
    "yet",
    "practice",
    "memory",
    "instruction",
    "captive",
    "springs",
    "bump",
    "kit",
    "kits",
    "unbeaten",
    "rule",
    "speaks",
    "caution",
    "inspect",
    "step",
    "best",
    "value",
    "fully",
    "day",
    "ramp",
    "wish",
    "millimetres",
    "load",
    "state",
    "corner",
    "remarks",
    "only",
    "mass",
    "tail",
    "spring",
];

/// English words in a German text, once what documents hold in one language alone (names, questions, datums) is taken
/// out.
fn english_in(text: &str, of_documents: &[String]) -> Vec<String> {
    let unfolded: Vec<&str> = text.split_whitespace().collect();
    let text = of_documents.iter().fold(unfolded.join(" "), |text, own| text.replace(own.as_str(), " "));
    let words = text
        .split(' ')
        .filter(|word| !word.starts_with("--"))
        .map(|word| word.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase());
    words.filter(|word| ENGLISH.contains(&word.as_str())).collect()
}

/// Texts of the documents that stand in one language alone, longest first.
fn one_language_texts(catalogue: &Catalogue) -> Vec<String> {
    // a book keeps its title
    let mut texts: Vec<String> = ["Fundamentals of Vehicle Dynamics", "Suspension Geometry and Computation"]
        .map(str::to_owned)
        .to_vec();
    for kit in &catalogue.kits {
        texts.extend([kit.name.clone(), kit.id.clone()]);
        let collars = [&kit.front, &kit.rear].into_iter().flatten().filter_map(|axle| axle.collar.as_ref());
        texts.extend(collars.map(|collar| collar.datum.clone()));
    }
    for sheet in &catalogue.vehicles {
        texts.push(sheet.name.clone());
        let points = sheet.body.underbody.iter().chain(&sheet.body.lifting_points);
        texts.extend(points.map(|point| point.name.clone()));
        texts.extend(sheet.grades.iter().map(|grade| grade.name.clone()));
    }
    for name in enquiry_names() {
        let enquiry = enquiry(catalogue, &name);
        texts.push(enquiry.question);
        texts.extend(enquiry.items.into_iter().map(|carried| carried.item.name));
    }
    texts.sort_by_key(|text| std::cmp::Reverse(text.len()));
    texts
}

fn enquiry_names() -> Vec<String> {
    let files = demo_files();
    let names = files.iter().filter_map(|file| file.path.strip_prefix("enquiries/")?.strip_suffix(".toml"));
    names.map(str::to_owned).collect()
}

#[test]
fn law_german_output_holds_no_english() {
    let catalogue = demo();
    let of_documents = one_language_texts(&catalogue);
    let german = |arguments: &[&str]| answered(&[arguments, &["--language", "de"]].concat());
    let check = |arguments: &[&str]| {
        let left = english_in(&german(arguments), &of_documents);
        assert!(left.is_empty(), "{arguments:?}: {left:?}");
    };
    for name in enquiry_names() {
        check(&["shortlist", &name]);
        check(&["predict", &name]);
    }
    check(&["predict", CAMPER, "--all"]);
    for kit in ["tessavar-four-collars", "pellewick-street-35", "ostrivo-flat-45"] {
        check(&["set-up", CAMPER, "--kit", kit]);
        check(&["predict", CAMPER, "--kit", kit, "--all"]);
        check(&["compare", CAMPER, "tessavar-rear-collar", kit]);
        check(&["why", CAMPER, "verdict", "--kit", kit]);
        check(&["why", CAMPER, "time", "--kit", kit]);
        for of_check in checks_named(CAMPER, kit) {
            check(&["why", CAMPER, &of_check, "--kit", kit]);
        }
    }
    check(&["correct", "camper-after-fitting"]);
    check(&["ride", CAMPER, "--kit", "hasterby-track", "--kit", "ostrivo-flat-45"]);
    // the scan finds English where there is some
    assert!(!english_in(&answered(&["shortlist", CAMPER]), &of_documents).is_empty());
}

#[test]
fn law_every_figure_that_is_shown_can_be_asked_for() {
    for (name, asked) in Asked::CHOICES {
        for kit in [&[][..], &["--kit", "tessavar-four-collars"]] {
            let arguments = [&["why", CAMPER, name], kit].concat();
            let shown = answered(&arguments);
            let corner_said = shown.contains("no --corner is given");
            assert_eq!(corner_said, asked.place() == Place::Corner, "{arguments:?}: {shown}");
            let why = json(&[&arguments[..], &["--json"]].concat());
            assert!(!why["inputs"].as_array().unwrap().is_empty(), "{arguments:?}");
            assert!(!why["equations"].as_array().unwrap().is_empty(), "{arguments:?}");
        }
    }
    let at = |corner: &[&str]| {
        let arguments = ["why", CAMPER, "arch_height_mm", "--json"];
        json(&[&arguments[..], corner].concat())["value"]["value"].clone()
    };
    let predicted = json(&["predict", CAMPER, "--json"]);
    let day_to_day = &predicted["today"]["states"][1]["corners"];
    assert_eq!(at(&[]), day_to_day[0]["arch_height_mm"]["value"]);
    assert_eq!(at(&["--corner", "rear_right"]), day_to_day[3]["arch_height_mm"]["value"]);
}

#[test]
fn law_checks_that_hold_are_counted_or_listed() {
    let kit = "tessavar-four-collars";
    for (language, head, more) in
        [("en", "Checks", "--all lists them"), ("de", "Prüfungen", "--all zeigt sie")]
    {
        let said = |all: &[&str]| {
            let arguments = ["predict", CAMPER, "--kit", kit, "--language", language];
            let shown = answered(&[&arguments[..], all].concat());
            shown.split_once(&format!("\n{head}\n")).unwrap().1.to_owned()
        };
        let (short, all) = (said(&[]), said(&["--all"]));
        assert!(short.contains(more) && !all.contains(more));
        let lines = |text: &str, start: &str| text.lines().filter(|line| line.starts_with(start)).count();
        let [holds, do_not] =
            if language == "en" { ["  holds ", "  do not "] } else { ["  hält ", "  nicht so "] };
        assert!(lines(&short, holds) == 0 && lines(&all, holds) > 10);
        assert!(lines(&short, do_not) > 0 && lines(&short, do_not) == lines(&all, do_not));
        // what does not hold comes first
        assert!(short.trim_start_matches('\n').starts_with(do_not), "{short}");
    }
}

/// A kit that is in, for some vans of every kind of axle, with a trailer, with wheels of the list, with air.
const WITH_KITS: [(&str, &str); 6] = [
    (CAMPER, "tessavar-four-collars"),
    ("lower-for-the-garage", "tessavar-bar-turn"),
    ("small-camper-with-trailer", ""),
    ("eighteen-inch-wheels", ""),
    ("air-makes-it-legal", ""),
    ("heavy-camper-on-leaves", ""),
];

/// Names of the checks of a kit on the van of an enquiry.
fn checks_named(enquiry: &str, kit: &str) -> BTreeSet<String> {
    let predicted = json(&["predict", enquiry, "--kit", kit, "--all", "--json"]);
    let checks = predicted["kits"][0]["sits"]["checks"].as_array().unwrap();
    checks.iter().map(|check| check["check"].as_str().unwrap().to_owned()).collect()
}

/// Corner of an axle, by its name in JSON.
fn corner_of(axle: &Value) -> &'static str {
    if axle == "rear" { "rear_left" } else { "front_left" }
}

/// Every figure of an answer by the name of its field, and every check with its axle and load state.
fn named_in(value: &Value, field: &str, figures: &mut BTreeSet<String>, checks: &mut Vec<Value>) {
    match value {
        Value::Object(fields) if fields.contains_key("evidence") && fields.contains_key("low") => {
            figures.insert(field.to_owned());
        }
        // the figure of a check goes by the name of the check
        Value::Object(fields) if fields.contains_key("check") => checks.push(value.clone()),
        Value::Object(fields) => {
            fields.iter().for_each(|(name, inner)| named_in(inner, name, figures, checks));
        }
        Value::Array(items) => items.iter().for_each(|item| named_in(item, field, figures, checks)),
        _ => {}
    }
}

#[test]
fn law_every_figure_and_check_that_predict_names_has_its_chain() {
    let refused = refused(2, &["why", CAMPER, "colour"]);
    for (name, _) in CHECK_NAMES {
        assert!(refused.contains(name), "{refused}");
    }
    let has_its_chain = |arguments: &[&str], figure: Option<&Value>| {
        let why = json(&[arguments, &["--json"]].concat());
        for part in ["inputs", "steps", "equations"] {
            // what is of the sheet alone is added up without a step
            assert!(!why[part].as_array().unwrap().is_empty(), "{arguments:?} has no {part}");
        }
        assert_eq!(figure, figure.map(|_| &why["value"]), "{arguments:?}");
        // figure and kit by their names, not by what programs call them
        for language in ["en", "de"] {
            let asked = why["asked"][language].as_str().unwrap();
            assert!(arguments[2..].iter().all(|typed| !asked.contains(typed)), "{arguments:?}: {asked}");
        }
    };
    let mut seen = BTreeSet::new();
    for (enquiry, kit) in WITH_KITS {
        let listed = json(&["shortlist", enquiry, "--json"]);
        let single =
            listed["options"].as_array().unwrap().iter().map(|option| option["kit"].as_str().unwrap());
        let kit = if kit.is_empty() { single.clone().find(|id| !id.contains('+')).unwrap() } else { kit };
        let predicted = json(&["predict", enquiry, "--kit", kit, "--all", "--json"]);
        let (mut figures, mut checks) = (BTreeSet::new(), Vec::new());
        named_in(&predicted["weight"], "", &mut figures, &mut checks);
        named_in(&predicted["as_found"], "", &mut figures, &mut checks);
        named_in(&predicted["kits"], "", &mut figures, &mut checks);
        for figure in figures.iter().filter(|figure| seen.insert(((*figure).clone(), ""))) {
            has_its_chain(&["why", enquiry, figure, "--kit", kit], None);
        }
        for check in &checks {
            let name = check["check"].as_str().unwrap();
            // once for each check and axle: the workshop's own test goes through all load states
            if !seen.insert((name.to_owned(), corner_of(&check["axle"]))) {
                continue;
            }
            let mut arguments =
                vec!["why", enquiry, name, "--kit", kit, "--corner", corner_of(&check["axle"])];
            if let Some(state) = check["state"].as_str() {
                arguments.extend(["--state", state]);
            }
            has_its_chain(&arguments, check.get("figure"));
        }
    }
    assert!(seen.len() > 50, "{seen:?}");
    self::refused(2, &["why", CAMPER, "camber", "--state", "on_the_ramp"]);
}

#[test]
fn regress_a_verdict_names_of_the_parts_that_a_rule_asks_for_those_that_the_kit_brings() {
    let why = json(&["why", CAMPER, "verdict", "--kit", "tessavar-four-collars", "--json"]);
    let brings = why["steps"].to_string();
    assert!(brings.contains("the kit brings front springs, rear springs, front collars."), "{brings}");
    assert!(!brings.contains("leaf springs") && !brings.contains("air springs"), "{brings}");
}

#[test]
fn law_every_check_of_a_pair_of_wheels_has_its_chain() {
    let listed = json(&["wheels", CAMPER, "--json"]);
    let mut seen = BTreeSet::new();
    for pair in listed["pairs"].as_array().unwrap() {
        let [rim, tyre, rim_name] = ["rim", "tyre", "rim_name"].map(|field| pair[field].as_str().unwrap());
        for check in pair["checks"].as_array().unwrap() {
            let name = check["check"].as_str().unwrap();
            // one pair for each check and finding is enough
            if !seen.insert((name.to_owned(), check["finding"].to_string(), check["axle"].to_string())) {
                continue;
            }
            let corner = corner_of(&check["axle"]);
            let mut arguments =
                vec!["why", CAMPER, name, "--rim", rim, "--tyre", tyre, "--corner", corner, "--json"];
            if let Some(state) = check["state"].as_str() {
                arguments.extend(["--state", state]);
            }
            let why = json(&arguments);
            assert!(!why["inputs"].as_array().unwrap().is_empty(), "{why}");
            assert!(why["asked"]["en"].as_str().unwrap().contains(rim_name), "{why}");
        }
    }
    refused(2, &["why", CAMPER, "speedometer", "--rim", "nothing-like-it", "--tyre", "nor-this"]);
    refused(2, &["why", CAMPER, "speedometer", "--rim", "nothing-like-it"]);
}

#[test]
fn law_time_and_total_are_always_shown() {
    let wished = [(
        "enquiries/camper-low-at-the-back.toml",
        "[wish]\n",
        "[wish]\nload_reserve_at_least_kg = 50\nground_clearance_at_least_mm = 140\n",
    )];
    let folder = demo_copy("both-newer-wishes", &wished);
    for (language, heads) in [
        ("en", ["ramp min", "total €", "reserve kg", "ground mm"]),
        ("de", ["Bühne min", "Summe €", "Reserve kg", "Boden mm"]),
    ] {
        let shown = answered(&["shortlist", CAMPER, "--data", &folder, "--language", language]);
        assert!(shown.lines().all(|line| line.chars().count() <= 120), "{shown}");
        // a head may be broken over two lines, its words stay
        for head in heads.iter().flat_map(|head| head.split(' ')) {
            assert!(shown.contains(head), "{head}: {shown}");
        }
    }
}

#[test]
fn law_without_a_wished_drop_nothing_is_ranked_by_it() {
    let files = demo_files();
    let without = |file: &&workshop::catalogue::DataFile| {
        file.path.starts_with("enquiries/") && !file.text.contains("drop_against_today_mm")
    };
    let enquiry = files.iter().find(without).unwrap();
    let name = enquiry.path.trim_start_matches("enquiries/").trim_end_matches(".toml");
    let said = refused(2, &["shortlist", name, "--by", "drop"]);
    assert!(said.contains("level") && said.contains("drop_against_today_mm"), "{said}");
    let listed = json(&["shortlist", name, "--json"]);
    assert!(listed["best_for"].as_array().unwrap().iter().all(|best| best["wish"] != "drop"), "{listed}");
}

#[test]
fn law_what_stands_in_the_way_is_said_in_both_languages() {
    for (arguments, english, german) in [
        (&["predict", "nobody"][..], "allowed a file", "erlaubt eine Datei"),
        (&["why", CAMPER, "price"], "as a price is that of a kit", "zu einem Satz"),
        (&["predict", CAMPER, "--kit", "none-such"], "for this van one of", "für diesen Wagen"),
    ] {
        assert!(refused(2, arguments).contains(english));
        let said = refused(2, &[arguments, &["--language", "de"]].concat());
        assert!(said.contains(german), "{said}");
    }
    let checked = answered(&["check", demo_folder().to_str().unwrap(), "--language", "de"]);
    assert!(checked.contains("Dateien sind in Ordnung"), "{checked}");
    let kinematics = answered(&["kinematics", "sorvel", "--axle", "front", "--language", "de"]);
    assert!(kinematics.contains("Sturz") && kinematics.contains("eingefedert"), "{kinematics}");
}

#[test]
fn law_a_verdict_names_the_deciding_rule_and_what_met_it() {
    let listed = json(&["shortlist", CAMPER, "--json"]);
    for out in listed["out"].as_array().unwrap() {
        let (kit, rule) = (out["kit"].as_str().unwrap(), out["because"]["rule"].as_str().unwrap());
        let why = json(&["why", CAMPER, "verdict", "--kit", kit, "--json"]);
        assert_eq!(why["answer"]["en"], "out", "{kit}");
        let first = why["steps"][0]["en"].as_str().unwrap();
        let reason = out["because"]["reason"]["en"].as_str().unwrap();
        assert!(first.contains(reason), "{kit}: {first}");
        assert!(
            rule == "sold-for" || first.starts_with(&format!("deciding rule {rule}: ")),
            "{kit}: {first}"
        );
    }
    let kit = listed["options"][0]["kit"].as_str().unwrap();
    let why = json(&["why", CAMPER, "verdict", "--kit", kit, "--json"]);
    assert!(why["answer"]["en"].as_str().unwrap().starts_with("in"));
}

#[test]
fn law_price_and_time_are_those_of_the_shortlist() {
    let listed = json(&["shortlist", CAMPER, "--json"]);
    let option = &listed["options"][0];
    let kit = option["kit"].as_str().unwrap();
    let why = |what: &str| json(&["why", CAMPER, what, "--kit", kit, "--json"]);
    let total = option["quote"]["total_minor"].as_i64().unwrap();
    let digits: String =
        why("price")["answer"]["de"].as_str().unwrap().chars().filter(char::is_ascii_digit).collect();
    assert_eq!(digits, total.to_string());
    let lines = option["quote"]["lines"].as_array().unwrap().len();
    assert_eq!(why("price")["steps"].as_array().unwrap().len(), lines + 3);
    let operations = option["ramp_time"]["operations"].as_array().unwrap().len();
    assert_eq!(why("time")["inputs"].as_array().unwrap().len(), operations);
}

#[test]
fn law_the_first_screen_is_short_and_all_is_everything() {
    for name in enquiry_names() {
        let first = answered(&["predict", &name]);
        let all = answered(&["predict", &name, "--all"]);
        let kits = json(&["shortlist", &name, "--json"])["options"].as_array().unwrap().len();
        assert!(first.lines().count() <= 50 + kits, "{name}: {} lines", first.lines().count());
        assert!(all.lines().count() > 2 * first.lines().count(), "{name}");
        let predicted = json(&["predict", &name, "--json"]);
        let out = json(&["shortlist", &name, "--json"]);
        let is_out = |kit: &Value| out["out"].as_array().unwrap().iter().any(|out| out["kit"] == kit["kit"]);
        for kit in predicted["kits"].as_array().unwrap() {
            let shown = first.contains(&format!(" {} ", kit["kit"].as_str().unwrap()));
            assert_eq!(shown, !is_out(kit), "{name}: {}", kit["kit"]);
        }
    }
}

#[test]
fn law_errors_are_json_where_json_is_asked_for() {
    let error = |code: i32, arguments: &[&str]| -> Value {
        let said: Value = serde_json::from_str(&refused(code, arguments)).unwrap();
        assert_eq!(said["error"]["exit_code"], code, "{arguments:?}");
        assert!(!said["error"]["message"].as_str().unwrap().is_empty());
        said["error"].clone()
    };
    let wrong_kit = error(2, &["predict", CAMPER, "--kit", "nothing-like-it", "--json"]);
    assert_eq!(wrong_kit["field"], "kit");
    assert_eq!(error(2, &["set-up", CAMPER, "--kit", "nothing-like-it", "--json"])["field"], "kit");
    assert_eq!(error(2, &["why", CAMPER, "colour", "--json"])["field"], "figure");
    error(2, &["predict", "--json"]);
    error(1, &["predict", CAMPER, "--json", "--data", "/nowhere/at/all"]);
    let (path, old) = ("load-items.toml", "mass_kg = 98");
    let folder = demo_copy("json-fault", &[(path, old, "mass_kg = 98000")]);
    let fault = &error(1, &["predict", CAMPER, "--json", "--data", &folder])["faults"][0];
    assert_eq!((&fault["file"], &fault["line"]), (&Value::from(path), &Value::from(line_of(path, old))));
    assert!(fault["field"].as_str().unwrap().contains("mass_kg"), "{fault}");
}

#[test]
fn law_a_wrong_kit_in_a_ramp_record_is_a_fault_of_the_file() {
    let path = "ramp/camper-after-fitting.toml";
    let old = "kit = \"tessavar-four-collars\"";
    let folder = demo_copy("wrong-kit", &[(path, old, "kit = \"nothing-like-it\"")]);
    let said = refused(1, &["correct", "camper-after-fitting", "--data", &folder]);
    assert!(said.contains(&format!("{path}:{}: kit", line_of(path, old))), "{said}");
}

#[test]
fn law_a_wish_by_drop_names_its_drop() {
    let path = &*format!("enquiries/{CAMPER}.toml");
    let old = "drop_against_today_mm = 40";
    let folder = demo_copy("no-drop", &[(path, old, "")]);
    let said = refused(1, &["predict", CAMPER, "--data", &folder]);
    assert!(said.contains("wish.drop_against_today_mm"), "{said}");
}

#[test]
fn law_ride_gives_the_figures_that_predict_and_shortlist_give() {
    let kit = "tessavar-four-collars";
    let ride = json(&["ride", CAMPER, "--kit", kit, "--json"]);
    let states = &ride["kits"][0]["rides"]["states"];
    let predicted = json(&["predict", CAMPER, "--kit", kit, "--json"]);
    assert_eq!(states, &predicted["kits"][0]["sits"]["ride"]);
    assert_eq!(ride["today"]["states"], predicted["today"]["ride"]);
    let listed = json(&["shortlist", CAMPER, "--json"]);
    let option = listed["options"].as_array().unwrap().iter().find(|option| option["kit"] == kit).unwrap();
    assert_eq!(states[1], option["ride"]);
    let why = json(&["why", CAMPER, "comfort_change_percent", "--kit", kit, "--json"]);
    assert_eq!(why["value"], option["ride"]["comfort"]["comfort_change_percent"]);
    // a rougher road, another yardstick and another hump give other figures
    let other = json(&[
        "ride",
        CAMPER,
        "--kit",
        kit,
        "--road",
        "d",
        "--against",
        "as-found",
        "--hump",
        "sinusoidal",
        "--json",
    ]);
    assert_ne!(other["kits"][0]["rides"]["states"], *states);
    assert_ne!(other["kits"][0]["rides"]["hump"], ride["kits"][0]["rides"]["hump"]);
    refused(2, &["ride", CAMPER, "--speed", "900"]);
    refused(2, &["ride", CAMPER, "--hump-length", "0.4", "--hump-height", "290"]);
    refused(2, &["ride", CAMPER, "--kit", "nothing-like-it"]);
}
