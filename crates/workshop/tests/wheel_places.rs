//! Wheels that stand further out, bump stops to be trimmed, what hangs on the tow ball.

#![allow(clippy::unwrap_used, clippy::panic)] // test helpers outside #[test] functions

mod common;

use common::*;
use mechanics::handling::Handling;
use mechanics::statics::{FRONT, REAR};
use workshop::answer::{KitOutcome, KnownVan};
use workshop::assembly::{OtherWheels, PreparedVan};
use workshop::catalogue::{Catalogue, DataFile};
use workshop::checks::{Check, Finding};
use workshop::enquiry::Enquiry;
use workshop::fitment::Fitment;
use workshop::load_list::LoadState;
use workshop::loads::Carried;
use workshop::set_up::SetUp;
use workshop::wording::{Axle, Because, Setting};

const EIGHTEEN: &str = "eighteen-inch-wheels";

/// A van of the demo in running order on original springs, its wheels so much further out.
fn handling_of(catalogue: &Catalogue, vehicle: &str, outboard_m: f64) -> Handling {
    let sheet = catalogue.vehicle(vehicle).unwrap();
    let wheels = OtherWheels { tyre: sheet.front.tyre.clone(), outboard_m };
    let van = PreparedVan::new(sheet, &sheet.grades[0], Some(&wheels)).unwrap();
    let assembled = van.assemble(&van.original_parts(), &Carried::running_order(sheet));
    Handling::of(&assembled, &assembled.rest().unwrap())
}

#[test]
fn val_leaves_carry_roll_on_their_base_wherever_the_wheels_stand() {
    // Gillespie, Fundamentals of Vehicle Dynamics, ch. 6: the roll rate of a solid axle is ½ k T_s², T_s the spring base;
    // that of tyres ½ k T².
    let catalogue = demo();
    let [drawn, moved] = [0.0, 0.020].map(|outboard_m| handling_of(&catalogue, "wendor", outboard_m));
    let springs = |handling: &Handling| handling.roll_stiffness[REAR].springs_nm_per_rad;
    // the axle's tables are within 1e-6; on its track instead of its base the rate would grow by 5 %
    let unchanged = springs(&moved) / springs(&drawn) - 1.0;
    assert!(unchanged.abs() < 1e-5, "{unchanged:e}");
    let tyres = |handling: &Handling| handling.roll_stiffness[REAR].tyres_nm_per_rad;
    let track = |handling: &Handling| handling.track_m[REAR];
    assert!((track(&moved) - track(&drawn) - 0.040).abs() < 1e-4);
    let by_track = (track(&moved) / track(&drawn)).powi(2);
    assert!((tyres(&moved) / tyres(&drawn) / by_track - 1.0).abs() < 1e-3);
}

#[test]
fn law_wheels_further_out_widen_the_track_and_steady_the_van() {
    let catalogue = demo();
    for vehicle in catalogue.vehicles.iter().map(|sheet| sheet.id.as_str()) {
        let [drawn, moved] = [0.0, 0.025].map(|outboard_m| handling_of(&catalogue, vehicle, outboard_m));
        for axle in [FRONT, REAR] {
            let wider_mm = 1e3 * (moved.track_m[axle] - drawn.track_m[axle]);
            // a wheel that leans comes to rest a little elsewhere, as its spring then has another ratio
            assert!((wider_mm - 50.0).abs() < 1.0, "{vehicle}: {wider_mm}");
        }
        assert!(moved.stability.factor() > drawn.stability.factor(), "{vehicle}");
        if let (Ok(was), Ok(is)) = (&drawn.balance, &moved.balance) {
            assert!(is.roll_gradient_deg_per_g() < was.roll_gradient_deg_per_g(), "{vehicle}");
        }
    }
}

#[test]
fn law_a_spacer_stands_a_van_as_so_much_less_offset_does() {
    let file = demo_file("wheels.toml");
    let rim = "offset_mm = 45\n";
    assert!(file.text.contains(rim));
    let with = |replaced: &str| {
        let text = file.text.replacen(rim, replaced, 1);
        Catalogue::read(&folder_with(DataFile { text, ..file.clone() })).unwrap()
    };
    let [less, spaced] = ["offset_mm = 33\n", "offset_mm = 45\nspacer_mm = 12\n"].map(with);
    let enquiry_file = demo_file(&format!("enquiries/{CAMPER}.toml"));
    let chosen = "[wheels]\nrim = \"sallentine-many-17\"\ntyre = \"nordane-cargo-215-60-17\"\n\n[wish]";
    let text = enquiry_file.text.replacen("[wish]", chosen, 1);
    let [less, spaced] = [less, spaced].map(|catalogue| {
        let enquiry =
            catalogue.read_enquiry(&DataFile { text: text.clone(), ..enquiry_file.clone() }).unwrap();
        let outboard_m = enquiry.other_wheels(&catalogue).unwrap().outboard_m;
        // 54 of the original less 33
        assert!((outboard_m - 0.021).abs() < 1e-12);
        serde_json::to_string(&KnownVan::of(&catalogue, &enquiry).unwrap().today().states).unwrap()
    });
    assert_eq!(less, spaced);
}

fn of<'a>(checks: &'a [Check], name: &str) -> Vec<&'a Check> {
    checks.iter().filter(|check| check.check == name).collect()
}

fn value(check: &Check) -> f64 {
    check.figure.as_ref().unwrap().value
}

#[test]
fn law_chosen_wheels_show_their_track() {
    let catalogue = demo();
    let chosen = enquiry(&catalogue, EIGHTEEN);
    let original = Enquiry { wheels: None, tyre: None, ..chosen.clone() };
    let [chosen, original] =
        [chosen, original].map(|enquiry| KnownVan::of(&catalogue, &enquiry).unwrap().today());
    for axle in [Axle::Front, Axle::Rear] {
        let track = |checks: &[Check]| {
            value(of(checks, "track").into_iter().find(|check| check.axle == Some(axle)).unwrap())
        };
        let told =
            of(&chosen.checks, "track_change").into_iter().find(|check| check.axle == Some(axle)).unwrap();
        // the tape-measured front keeps its wheel centres; both wheels stand out by offset alone
        assert!((track(&chosen.checks) - track(&original.checks) - value(told)).abs() < 0.5);
        assert!(value(told).abs() > 5.0);
    }
}

#[test]
fn law_pressure_names_the_wheel_and_the_load_that_decide() {
    let catalogue = demo();
    let enquiry = enquiry(&catalogue, EIGHTEEN);
    let today = KnownVan::of(&catalogue, &enquiry).unwrap().today();
    for axle in [Axle::Front, Axle::Rear] {
        let of_axle: Vec<&Check> =
            of(&today.checks, "tyre_pressure").into_iter().filter(|check| check.axle == Some(axle)).collect();
        assert_eq!(of_axle.len(), LoadState::ALL.len());
        let most = of_axle.iter().map(|check| value(check)).fold(0.0, f64::max);
        for check in &of_axle {
            assert!(check.words.en.contains(&format!("{most:.1} bar decided by")), "{}", check.words.en);
            assert!(check.words.en.contains("fully laden") && check.words.de.contains("voll beladen"));
        }
    }
}

#[test]
fn law_the_speedometer_follows_the_axle_that_it_is_driven_by() {
    // the Sorvel with other tyres at the rear than in front, driven in front, behind, by both, or sensed at the rear
    let mut catalogue = demo();
    for sheet in &mut catalogue.vehicles {
        sheet.rear.tyre.size = "215/65 R16 C".into();
        sheet.facts.retain(|is| is.fact != "driven-axles");
    }
    let mut enquiry = enquiry(&catalogue, CAMPER);
    let rim_and_tyre = |enquiry: &Enquiry, catalogue: &Catalogue| {
        let known = KnownVan::of(catalogue, enquiry).unwrap();
        let list = known.wheel_list(None).unwrap();
        let pair = list.pairs.into_iter().find(|pair| pair.tyre == "nordane-cargo-225-60-16").unwrap();
        let of = |name: &str| -> Vec<(Axle, f64)> {
            of(&pair.checks, name).into_iter().map(|check| (check.axle.unwrap(), value(check))).collect()
        };
        (of("speedometer"), of("gearing_change"))
    };
    let driven = |is: &[&str]| workshop::facts::FactIs {
        fact: "driven-axles".into(),
        is: is.iter().map(|answer| (*answer).to_owned()).collect(),
    };
    enquiry.facts.retain(|is| is.fact != "driven-axles");
    let unknown = rim_and_tyre(&enquiry, &catalogue);
    assert_eq!(unknown.0.iter().map(|(axle, _)| *axle).collect::<Vec<_>>(), [Axle::Front, Axle::Rear]);
    // the original size in front turns no wheel otherwise; that of the rear was taller by 215·1.3 - 225·1.2 mm
    assert!((unknown.0[0].1 - 100.0 / 1.034).abs() < 1e-9 && unknown.1[0].1.abs() < 1e-9);
    let smaller = (16.0 * 25.4 + 2.0 * 0.60 * 225.0) / (16.0 * 25.4 + 2.0 * 0.65 * 215.0);
    assert!((unknown.0[1].1 - smaller * 100.0 / 1.034).abs() < 1e-9);
    for (answer, axle) in [("front", Axle::Front), ("rear", Axle::Rear)] {
        let mut asked = enquiry.clone();
        asked.facts.push(driven(&[answer]));
        let known = rim_and_tyre(&asked, &catalogue);
        assert_eq!((known.0.len(), known.0[0].0, known.1[0].0), (1, axle, axle));
    }
    for sheet in &mut catalogue.vehicles {
        sheet.wheels.speed_sensed_at = Some(Axle::Rear);
    }
    enquiry.facts.push(driven(&["front"]));
    let sensed = rim_and_tyre(&enquiry, &catalogue);
    assert_eq!((sensed.0[0].0, sensed.1[0].0), (Axle::Rear, Axle::Front));
}

#[test]
fn law_room_at_lock_is_computed_where_the_lock_is_known() {
    let file = demo_file("vehicles/sorvel.toml");
    let lock = "lock_inside_deg = 38\n";
    assert!(file.text.contains(lock));
    let at_lock = |replaced: &str, room: &str| {
        let text = file.text.replace(lock, replaced).replace(", at_lock_mm = 26", room);
        let catalogue = Catalogue::read(&folder_with(DataFile { text, ..file.clone() })).unwrap();
        let enquiry = enquiry(&catalogue, CAMPER);
        let list = KnownVan::of(&catalogue, &enquiry).unwrap().wheel_list(None).unwrap();
        let pair = list.pairs.into_iter().find(|pair| pair.tyre == "nordane-cargo-215-60-17").unwrap();
        of(&pair.checks, "steering_lock_clearance")[0].clone()
    };
    let measured = |mm: f64| format!(", at_lock_mm = {mm}");
    let (computed, bound) = (at_lock(lock, &measured(60.0)), at_lock("", &measured(60.0)));
    // where the whole travel is looked at, the tyre comes nearer than by its growth at design height alone
    assert!(value(&computed) < value(&bound));
    assert!(bound.finding == Finding::LookAtIt && bound.words.en.contains("turn plates"));
    assert_eq!(computed.finding, Finding::Holds, "{}", computed.words.en);
    assert!(computed.words.en.contains("the original itself"), "{}", computed.words.en);
    let closer = at_lock(lock, &measured(30.0));
    assert!((value(&computed) - value(&closer) - 30.0).abs() < 1e-9);
    assert_eq!(closer.finding, Finding::LookAtIt);
    let unmeasured = at_lock(lock, "");
    assert!(unmeasured.finding == Finding::LookAtIt && unmeasured.words.en.contains("measure the least gap"));
    // a lock that the tie rod does not reach is not made up
    assert!(at_lock("lock_inside_deg = 60\n", &measured(60.0)).figure.is_some());
}

/// A kit of the demo set up on the van of an enquiry, with its checks.
fn set_up(catalogue: &Catalogue, name: &str, kit: &str) -> (SetUp, Check) {
    let enquiry = enquiry(catalogue, name);
    let known = KnownVan::of(catalogue, &enquiry).unwrap();
    let set_up = known.set_up(&catalogue.offer(&enquiry.vehicle, kit).unwrap()).unwrap();
    let trims = of(&set_up.result.checks, "stop_trim");
    let front = trims.into_iter().find(|check| check.axle == Some(Axle::Front)).unwrap().clone();
    (set_up, front)
}

#[test]
fn law_a_stop_so_trimmed_leaves_what_is_promised() {
    let catalogue = demo();
    let enquiry = enquiry(&catalogue, DAY_VAN);
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let (kit, axle) = ("hasterby-track-heavy", FRONT);
    let (_, before) = set_up(&catalogue, DAY_VAN, kit);
    assert_eq!(before.finding, Finding::LookAtIt);
    let said = &before.words.en;
    let number_after = |text: &str| -> f64 {
        let rest = &said[said.find(text).unwrap() + text.len()..];
        rest.split_whitespace().next().unwrap().parse().unwrap()
    };
    let (height_mm, free_mm) = (number_after("trim the bump stops to "), number_after("it leaves "));
    let trimmed = |height_mm: f64| -> Fitment {
        let mut fitment = known.set_up_fitment(&catalogue.offer(&enquiry.vehicle, kit).unwrap()).unwrap();
        let fitted = fitment.parts[axle].stop.as_mut().unwrap();
        fitted.stop = fitted.stop.trimmed_to(1e-3 * height_mm).unwrap();
        fitment
    };
    let after = |height_mm: f64| {
        let checks = known.sits_on(&trimmed(height_mm)).unwrap().checks;
        let trims = of(&checks, "stop_trim");
        trims.into_iter().find(|check| check.axle == Some(Axle::Front)).unwrap().clone()
    };
    let least_mm = before.limit.as_ref().unwrap().at_least.unwrap();
    // the promised height is the greatest whole one that leaves what is wanted
    assert!(value(&after(height_mm)) >= least_mm && value(&after(height_mm + 1.0)) < least_mm);
    assert!((value(&after(height_mm)) - free_mm).abs() <= 0.51, "{said}");
    // the stop stays what ends the travel: on metal it would be of no use
    let sits = known.sits_on(&trimmed(height_mm)).unwrap();
    let ends = sits.states[0].corners[0].travel.bump_ends_at;
    assert_eq!(ends, workshop::sit::TravelEnd::BumpStopSolid);
}

#[test]
fn law_check_and_set_up_name_the_same_stop() {
    let catalogue = demo();
    let mut trimmed = 0;
    for kit in catalogue
        .kits_for("sorvel")
        .filter(|kit| kit.front.as_ref().is_some_and(|a| a.stop_trimmed_to_mm.is_some()))
    {
        let (set_up, check) = set_up(&catalogue, DAY_VAN, &kit.id);
        let printed = set_up.other_settings.iter().find_map(|setting| match setting {
            Setting::TrimStops { axle: Axle::Front, height_mm } => Some(*height_mm),
            _ => None,
        });
        let counted = format!("the kit's trimming to {:.0} of", printed.unwrap());
        assert!(check.words.en.contains(&counted), "{}", check.words.en);
        trimmed += 1;
    }
    assert!(trimmed > 2);
}

#[test]
fn law_without_a_stop_one_is_looked_for() {
    let mut catalogue = demo();
    catalogue.vehicles.iter_mut().for_each(|sheet| sheet.front.stop = None);
    let enquiry = enquiry(&catalogue, DAY_VAN);
    let today = KnownVan::of(&catalogue, &enquiry).unwrap().today();
    let trims = of(&today.checks, "stop_trim");
    let front = trims.into_iter().find(|check| check.axle == Some(Axle::Front)).unwrap();
    assert!(front.finding == Finding::LookAtIt && front.figure.is_none());
}

const TRAILER: &str = "[trailer]\nname = \"Boat\"\nnose_load_kg = 75\nplus_minus_kg = 5\nevidence = \"measured\"\nin = [\"fully_laden\"]\n\n[wish]";

#[test]
fn law_a_nose_load_acts_through_its_lever() {
    let catalogue = demo();
    let file = demo_file(&format!("enquiries/{CAMPER}.toml"));
    let without = catalogue.read_enquiry(&file).unwrap();
    let text = file.text.replacen("[wish]", TRAILER, 1);
    let with = catalogue.read_enquiry(&DataFile { text, ..file.clone() }).unwrap();
    let axles = |enquiry: &Enquiry, state| {
        let sheet = catalogue.vehicle(&enquiry.vehicle).unwrap();
        Carried::of(sheet, enquiry, state).axle_loads_kg(sheet.wheelbase_mm)
    };
    let (before, after) = (axles(&without, LoadState::FullyLaden), axles(&with, LoadState::FullyLaden));
    // by moments: ball 4120 mm behind the front axle, wheelbase 3180 mm
    assert!((after.rear_kg - before.rear_kg - 75.0 * 4120.0 / 3180.0).abs() < 1e-9);
    assert!((after.front_kg - before.front_kg - 75.0 * (3180.0 - 4120.0) / 3180.0).abs() < 1e-9);
    let day = LoadState::DayToDay;
    assert!((axles(&with, day).rear_kg - axles(&without, day).rear_kg).abs() < 1e-12);
    let today = KnownVan::of(&catalogue, &with).unwrap().today();
    let ball = of(&today.checks, "tow_ball_load");
    let laden = ball.iter().find(|check| check.state == Some(LoadState::FullyLaden)).unwrap();
    assert!((value(laden) - 75.0).abs() < 1e-12 && laden.finding == Finding::Holds);
    assert!(laden.words.en.contains("940 mm behind the rear axle: front axle -22 kg, rear axle +97 kg"));
    // over the limit of the coupling it does not hold; without a ball in the sheet it is a fault
    let heavy = file.text.replacen("[wish]", &TRAILER.replace("= 75", "= 130"), 1);
    let heavy = catalogue.read_enquiry(&DataFile { text: heavy.clone(), ..file.clone() }).unwrap();
    let today = KnownVan::of(&catalogue, &heavy).unwrap().today();
    assert_eq!(of(&today.checks, "tow_ball_load")[0].finding, Finding::DoNot);
    let mut bare = demo();
    bare.vehicles.iter_mut().for_each(|sheet| sheet.body.tow_ball = None);
    let text = file.text.replacen("[wish]", TRAILER, 1);
    let faults = bare.read_enquiry(&DataFile { text, ..file }).unwrap_err();
    assert_eq!(faults[0].field, "trailer");
}

#[test]
fn law_a_check_met_at_both_axles_is_told_of_both() {
    let rules = r#"
[[rules]]
id = "alignment-out"
when = [{ of = "check", is = ["camber", "toe"], finding = ["look_at_it", "do_not"] }]
effect = { does = "warns" }
reason = { en = "It must be measured.", de = "Er muss gemessen werden." }
source = "common practice, no source"
"#;
    let files = folder_with(DataFile { path: "rules.toml".into(), text: rules.into() });
    let catalogue = Catalogue::read(&files).unwrap();
    let enquiry = enquiry(&catalogue, DAY_VAN);
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let mut both = 0;
    for kit in catalogue.kits_for(&enquiry.vehicle) {
        let KitOutcome::Sits(sits) = known.kit(kit).outcome else { continue };
        let mut met: Vec<(&str, Option<Axle>)> = Vec::new();
        for check in sits.checks.iter() {
            let of = (check.check, check.axle);
            let asked = ["camber", "toe"].contains(&check.check) && check.finding != Finding::Holds;
            if asked && !met.contains(&of) {
                met.push(of);
            }
        }
        let verdict = known.verdict(kit);
        let told: Vec<(&str, Option<Axle>)> = verdict
            .warnings
            .iter()
            .flat_map(|says| &says.because)
            .map(|because| match because {
                Because::Check { check } => (check.check, check.axle),
                other => panic!("{other:?}"),
            })
            .collect();
        assert_eq!(told, met, "{}", kit.id);
        both += usize::from(met.iter().filter(|(check, _)| *check == "camber").count() == 2);
    }
    assert!(both > 0);
}

#[test]
fn law_clearance_under_one_point_is_said_once_for_every_load() {
    let catalogue = demo();
    let enquiry = enquiry(&catalogue, DAY_VAN);
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    for kit in catalogue.kits_for(&enquiry.vehicle) {
        let KitOutcome::Sits(sits) = known.kit(kit).outcome else { continue };
        let clearances = of(&sits.checks, "ground_clearance");
        let points: std::collections::BTreeSet<&str> =
            clearances.iter().map(|check| check.words.en.split(',').next().unwrap()).collect();
        let said: std::collections::BTreeSet<&str> =
            clearances.iter().map(|check| check.words.en.as_str()).collect();
        assert_eq!(points.len(), said.len(), "{said:?}");
    }
}
