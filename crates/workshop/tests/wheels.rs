//! Wheels and tyres on the demo's vans.

#![allow(clippy::unwrap_used, clippy::panic)] // test helpers outside #[test] functions

mod common;

use common::*;
use proptest::prelude::*;
use workshop::answer::KnownVan;
use workshop::catalogue::{Catalogue, DataFile, Kind};
use workshop::checks::{Check, Finding};
use workshop::document::read;
use workshop::wheel_list::{WheelList, WheelPair};
use workshop::wheels::read_wheels;

const EIGHTEEN: &str = "eighteen-inch-wheels";

fn listed(catalogue: &Catalogue, name: &str) -> WheelList {
    let enquiry = enquiry(catalogue, name);
    KnownVan::of(catalogue, &enquiry).unwrap().wheel_list(None).unwrap()
}

fn pair<'a>(list: &'a WheelList, rim: &str, tyre: &str) -> &'a WheelPair {
    list.pairs.iter().find(|pair| pair.rim == rim && pair.tyre == tyre).unwrap()
}

fn check<'a>(pair: &'a WheelPair, name: &str) -> &'a Check {
    pair.checks.iter().find(|check| check.check == name).unwrap()
}

/// The Sorvel's sheet with a text of it replaced.
fn sorvel_with(found: &str, replaced: &str) -> Catalogue {
    let file = demo_file("vehicles/sorvel.toml");
    assert!(file.text.contains(found), "{found}");
    let text = file.text.replace(found, replaced);
    Catalogue::read(&folder_with(DataFile { text, ..file })).unwrap()
}

#[test]
fn law_the_original_size_on_an_original_rim_changes_nothing() {
    let list = listed(&demo(), CAMPER);
    let original = pair(&list, "torvelle-steel-16-s", "nordane-cargo-225-60-16");
    assert_eq!((original.finding, original.deciding.is_none()), (Finding::Holds, true));
    let value = |name| check(original, name).figure.as_ref().unwrap().value;
    for unchanged in ["gearing_change", "body_height_change", "scrub_radius_change"] {
        assert!(value(unchanged).abs() < 1e-9, "{unchanged}");
    }
    assert!((value("speedometer") - 100.0 / 1.034).abs() < 1e-9);
    assert_eq!(check(original, "tyre_clearance").finding, Finding::Holds);
}

#[test]
fn law_what_holds_stands_first_and_what_does_not_says_why() {
    let catalogue = demo();
    for name in ENQUIRIES.iter().chain(&[EIGHTEEN]) {
        let list = listed(&catalogue, name);
        assert!(list.pairs.is_sorted_by_key(|pair| pair.finding), "{name}");
        for pair in &list.pairs {
            assert_finite(&pair.checks);
            let worst = pair.checks.iter().map(|check| check.finding).max().unwrap();
            assert_eq!(pair.finding, worst);
            assert_eq!(
                pair.deciding.as_ref().map(|check| check.finding),
                (worst > Finding::Holds).then_some(worst)
            );
            for check in &pair.checks {
                assert!(!check.words.en.is_empty() && !check.words.de.is_empty(), "{}", check.check);
                if let (Some(figure), Some(limit)) = (&check.figure, &check.limit) {
                    // nothing is said to hold that its own limit refuses
                    assert!(check.finding > Finding::Holds || limit.finding(figure) == Finding::Holds);
                    assert!(!limit.source.en.is_empty() && !limit.source.de.is_empty());
                }
            }
        }
    }
}

#[test]
fn law_no_tyre_of_a_size_that_carries_the_plate_is_told() {
    let list = listed(&demo(), EIGHTEEN);
    // 1590 kg on the front axle: 795 kg a wheel lie between load index 99 (775 kg) and 100 (800 kg)
    assert_eq!(list.needed_load_index, [Some(100), Some(100)]);
    let sizes: Vec<f64> = list.not_carried.iter().map(|size| size.rim_diameter_inch).collect();
    assert_eq!(sizes, [18.0, 19.0]);
    let wished = pair(&list, "sallentine-alloy-18-t", "pelvarro-road-235-50-18");
    let deciding = wished.deciding.as_ref().unwrap();
    assert_eq!((wished.finding, deciding.check), (Finding::DoNot, "tyre_load_index"));
    assert!(deciding.words.en.contains("load index 100 is needed"), "{}", deciding.words.en);
    assert!((deciding.figure.as_ref().unwrap().value - 1460.0).abs() < 1e-9);
}

#[test]
fn law_chosen_wheels_are_the_tyre_that_the_van_stands_on() {
    let catalogue = demo();
    let enquiry = enquiry(&catalogue, EIGHTEEN);
    let tyre = enquiry.tyre.as_ref().unwrap();
    assert_eq!((tyre.unloaded_radius_mm, tyre.rate_n_per_mm, tyre.rate_within_percent), (346.0, 276.0, None));
    let file = demo_file(&format!("enquiries/{EIGHTEEN}.toml"));
    // a tyre of which the maker gives neither radius nor rate gets them from its size, within 15 %
    let text = file
        .text
        .replace("sallentine-alloy-18-t", "torvelle-steel-16-t")
        .replace("pelvarro-road-235-50-18", "pelvarro-track-235-65-16");
    let other = catalogue.read_enquiry(&DataFile { text, ..file.clone() }).unwrap();
    let tyre = other.tyre.unwrap();
    assert!((tyre.unloaded_radius_mm - 0.5 * (16.0 * 25.4 + 2.0 * 0.65 * 235.0)).abs() < 1e-9);
    assert!((200.0..500.0).contains(&tyre.rate_n_per_mm));
    assert_eq!(tyre.rate_within_percent, Some(15.0));

    let faulty = |found: &str, replaced: &str| {
        let text = file.text.replace(found, replaced);
        let faults = catalogue.read_enquiry(&DataFile { text, ..file.clone() }).unwrap_err();
        faults.iter().map(|fault| fault.field.clone()).collect::<Vec<_>>()
    };
    assert_eq!(faulty("pelvarro-road-235-50-18", "no-such-tyre"), ["wheels.tyre"]);
    assert_eq!(faulty("pelvarro-road-235-50-18", "pelvarro-show-245-40-19"), ["wheels.tyre"]);
    assert_eq!(faulty("sallentine-alloy-18-t", "no-such-rim"), ["wheels.rim"]);
    let beside = "[tyre]\nsize = \"x\"\nunloaded_radius_mm = 340\nrate_n_per_mm = 270\n\n[wheels]";
    assert_eq!(faulty("[wheels]", beside), ["tyre"]);
}

#[test]
fn law_what_the_sheet_does_not_know_is_to_be_looked_at() {
    let file = demo_file("vehicles/sorvel.toml");
    let (start, end) = (file.text.find("[wheels]").unwrap(), file.text.find("[[grades]]").unwrap());
    let catalogue = sorvel_with(&file.text[start..end], "");
    let list = listed(&catalogue, CAMPER);
    let original = pair(&list, "torvelle-steel-16-s", "nordane-cargo-225-60-16");
    assert_eq!(original.finding, Finding::LookAtIt);
    let asked: Vec<&str> = original
        .checks
        .iter()
        .filter(|check| check.finding == Finding::LookAtIt)
        .map(|check| check.check)
        .collect();
    let all = [
        "wheel_bolts",
        "bolt_circle",
        "centre_bore",
        "wheel_fixing",
        "tyre_speed_symbol",
        "rim_width_for_van",
        "scrub_radius_change",
        "tyre_clearance",
        "tyre_clearance",
    ];
    assert_eq!(asked, all);
}

#[test]
fn law_each_check_follows_the_figure_that_it_is_about() {
    let finding = |found: &str, replaced: &str, rim: &str, tyre: &str, name: &str| {
        let list = listed(&sorvel_with(found, replaced), CAMPER);
        check(pair(&list, rim, tyre), name).finding
    };
    let original = |found: &str, replaced: &str, name: &str| {
        finding(found, replaced, "torvelle-steel-16-s", "nordane-cargo-225-60-16", name)
    };
    // one after the other is taken from what holds to what does not
    assert_eq!(original("bolt_circle_mm = 117", "bolt_circle_mm = 118", "bolt_circle"), Finding::DoNot);
    assert_eq!(original("centre_bore_mm = 69.4", "centre_bore_mm = 69.9", "centre_bore"), Finding::DoNot);
    assert_eq!(original("centre_bore_mm = 69.4", "centre_bore_mm = 66", "centre_bore"), Finding::LookAtIt);
    assert_eq!(original("seat = \"ball\"", "seat = \"cone\"", "wheel_seat"), Finding::DoNot);
    assert_eq!(
        original("least_engagement_mm = 12", "least_engagement_mm = 21", "thread_engagement"),
        Finding::DoNot
    );
    assert_eq!(
        original("top_speed_km_per_h = 176", "top_speed_km_per_h = 191", "tyre_speed_symbol"),
        Finding::DoNot
    );
    assert_eq!(
        original("plated_rear_axle_kg = 1510", "plated_rear_axle_kg = 1510.5", "tyre_load_index"),
        Finding::Holds
    );
    let many = |found: &str, replaced: &str, name: &str| {
        finding(found, replaced, "sallentine-many-17", "nordane-cargo-215-60-17", name)
    };
    let wide = "inboard_mm = 17, outboard_mm = 34, above_mm = 22, at_lock_mm = 26";
    assert_eq!(many(wide, wide, "outboard_clearance"), Finding::Holds);
    assert_eq!(many("outboard_mm = 34", "outboard_mm = 2", "outboard_clearance"), Finding::DoNot);
    assert_eq!(many("at_lock_mm = 26", "at_lock_mm = 12", "steering_lock_clearance"), Finding::LookAtIt);
    assert_eq!(many("above_mm = 22", "above_mm = 3", "crown_clearance"), Finding::DoNot);
}

#[test]
fn law_what_a_leaning_tyre_takes_inboard_it_gives_outboard() {
    let list = listed(&demo(), CAMPER);
    let pair = pair(&list, "sallentine-many-17", "nordane-cargo-215-60-17");
    let of_rear = |name: &str, when: &str| {
        let said = |check: &&Check| {
            check.check == name && check.words.en.starts_with("rear") && check.words.en.contains(when)
        };
        pair.checks.iter().find(said).and_then(|check| check.figure.as_ref()).unwrap().value
    };
    let both = |when| of_rear("inboard_clearance", when) + of_rear("outboard_clearance", when);
    // 215 mm on its measuring rim of 6.5 inch, here on 7.5; the original's 225 mm on 6.5, its measuring rim too
    let wider_mm = (215.0 + 0.4 * 25.4) - 225.0;
    let free_mm = 41.0 + 38.0 - wider_mm;
    assert!((both("at full bump") - free_mm).abs() < 1e-9);
    // at rest each is the least of all load states
    assert!(both("at rest") <= free_mm + 1e-9);
    // a trailing arm that leans its wheel in over travel
    assert!(of_rear("inboard_clearance", "at full bump") < of_rear("inboard_clearance", "at rest"));
}

#[test]
fn law_pressures_grow_with_the_load_and_end_at_the_load_index() {
    for tyre in &demo().wheels.tyres {
        let mut before_bar = 0.0;
        for kg in (100..=1500).step_by(10).map(f64::from) {
            let Some(bar) = tyre.pressure_bar(kg) else {
                assert!(kg > tyre.load_kg(), "{} at {kg} kg", tyre.id);
                continue;
            };
            assert!(bar >= before_bar && bar <= tyre.reference_pressure_bar + 1e-9, "{} at {kg} kg", tyre.id);
            before_bar = bar;
        }
    }
}

#[test]
fn law_a_marking_without_a_load_index_is_refused_by_line_and_field() {
    let file = demo_file("wheels.toml");
    let text = file.text.replace("235/50 R18 97 V", "235/50 R18");
    let line = 1 + text.lines().position(|line| line.contains("\"235/50 R18\"")).unwrap();
    let faults = read("wheels.toml", &text, read_wheels).unwrap_err();
    assert_eq!(faults.len(), 1);
    assert_eq!(
        faults[0].to_string(),
        format!(
            "wheels.toml:{line}: tyres[12].marking: found a size alone, allowed load index and speed symbol as well, as in 109/107 T"
        )
    );
    let text = file.text.replace("id = \"dremmor-fine-17\"", "id = \"dremmor-show-19\"");
    assert_eq!(read("wheels.toml", &text, read_wheels).unwrap_err()[0].field, "rims[6].id");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn law_any_wheels_are_read_or_refused(file in documents(Kind::Wheels)) {
        if let Err(faults) = read(&file.path, &file.text, read_wheels) {
            prop_assert!(!faults.is_empty());
        }
    }
}
