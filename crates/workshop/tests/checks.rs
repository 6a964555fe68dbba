//! Checks of every fitment: geometry by hand, limits from their tables, and what must hold of all of them.

#![allow(clippy::unwrap_used, clippy::panic)] // test helpers outside #[test] functions

mod common;

use std::collections::BTreeSet;

use common::*;
use workshop::alignment_sheet::AlignmentSheet;
use workshop::answer::{FitmentAnswer, KitOutcome, KnownVan};
use workshop::body_sheet::{BodySheet, LampRules, LampSheet, Levelling};
use workshop::catalogue::{Catalogue, DataFile};
use workshop::checks::{AimLimits, Check, Finding, aim_change_percent, grouped};
use workshop::document::unit_of;
use workshop::enquiry::{Enquiry, Wish};
use workshop::facts::{FactIs, Language};
use workshop::kit::Kit;
use workshop::load_list::LoadState;
use workshop::shortlist::shortlist;
use workshop::why_check::CheckAsked;
use workshop::wording::{
    Axle, Because, CHECK_NAMES, Miss, area, check_named, do_not_hold, finding, same_checks,
};

fn check<'a>(answer: &'a FitmentAnswer, name: &str, state: LoadState) -> &'a Check {
    let found = answer.checks.iter().find(|check| check.check == name && check.state == Some(state));
    found.unwrap_or_else(|| panic!("no {name} {}", state.name()))
}

fn value(answer: &FitmentAnswer, name: &str, state: LoadState) -> f64 {
    check(answer, name, state).figure.as_ref().unwrap().value
}

/// Every enquiry of the demo workshop.
fn enquiries(catalogue: &Catalogue) -> Vec<Enquiry> {
    let files = demo_files();
    let of_enquiries = files.iter().filter(|file| file.path.starts_with("enquiries/"));
    of_enquiries.map(|file| catalogue.read_enquiry(file).unwrap()).collect()
}

/// Checks of every fitment of an enquiry: today and each kit.
fn fitments(catalogue: &Catalogue, enquiry: &Enquiry) -> Vec<FitmentAnswer> {
    let answer = answer(catalogue, enquiry).unwrap();
    let kits = answer.kits.into_iter().filter_map(|kit| match kit.outcome {
        KitOutcome::Sits(sits) => Some(sits),
        KitOutcome::CannotBeComputed(_) => None,
    });
    std::iter::once(answer.today).chain(kits).collect()
}

#[test]
fn law_every_check_is_named_says_two_languages_and_has_its_unit() {
    let names: BTreeSet<&str> = CHECK_NAMES.iter().map(|(name, _)| *name).collect();
    assert_eq!(names.len(), CHECK_NAMES.len(), "a name stands twice");
    for (name, [english, german]) in CHECK_NAMES {
        assert!(english != german && !english.is_empty(), "{name}");
        assert_eq!(check_named(Language::German, name), german);
    }
    let catalogue = demo();
    let mut seen = BTreeSet::new();
    for enquiry in enquiries(&catalogue) {
        for check in fitments(&catalogue, &enquiry).iter().flat_map(|fitment| fitment.checks.iter()) {
            seen.insert(check.check);
            assert!(names.contains(check.check), "{} is not in the list", check.check);
            let (english, german) = (&check.words.en, &check.words.de);
            assert!(english != german && !english.is_empty() && !german.is_empty(), "{check:?}");
            assert!(area(Language::English, check.area) != area(Language::German, check.area));
            let ratio = check.check == "static_stability_factor";
            assert!(check.figure.is_none() || ratio || !unit_of(check.unit).is_empty(), "{check:?}");
            for language in [Language::English, Language::German] {
                let line = same_checks(language, &[check]);
                assert!(line.starts_with(finding(language, check.finding)), "{line}");
                assert!(!line.contains("NaN"), "{line}");
            }
            if let (Some(limit), Some(figure)) = (&check.limit, &check.figure) {
                // a check may be milder than its limit, or ask for a look where more than the limit counts; what the
                // limit allows it never forbids
                assert!(check.finding <= limit.finding(figure).max(Finding::LookAtIt), "{check:?}");
            }
        }
    }
    assert!(seen.len() >= 30, "the demo shows only {seen:?}");
}

#[test]
fn law_grouped_checks_lose_none() {
    let catalogue = demo();
    let fitment = &fitments(&catalogue, &enquiry(&catalogue, CAMPER))[0];
    let groups = grouped(fitment.checks.iter(), Check::says_the_same);
    assert_eq!(groups.iter().map(Vec::len).sum::<usize>(), fitment.checks.len());
    assert!(groups.len() < fitment.checks.len());
    for group in groups {
        assert!(group.iter().all(|check| check.finding == group[0].finding && check.words == group[0].words));
    }
}

#[test]
fn val_pitch_to_aim() {
    // Geometry, recomputed: +30 mm in front over 3.45 m are 0.869565 % and 0.498212°, 86.96 mm of beam at 10 m; +40 mm
    // against +20 mm at the rear 0.579710 %; 1 % is 0.572939°.
    let of_rise = |front_mm: f64, rear_mm: f64| {
        let nose_up_rad = ((front_mm - rear_mm) / 3450.0).atan();
        (aim_change_percent(nose_up_rad), nose_up_rad.to_degrees())
    };
    let (percent, deg) = of_rise(30.0, 0.0);
    assert!((percent - 0.869_565).abs() < 1e-6 && (deg - 0.498_212).abs() < 1e-6);
    assert!((percent / 100.0 * 10_000.0 - 86.96).abs() < 0.01);
    assert!((of_rise(40.0, 20.0).0 - 0.579_710).abs() < 1e-6);
    assert!((of_rise(30.0, 30.0).0).abs() < 1e-12);
    assert!((aim_change_percent(0.572_939_f64.to_radians()) - 1.0).abs() < 2e-6);
}

#[test]
fn val_lamp_limits_of_the_table() {
    // tests/reference/headlamp_aim_limits.csv: UN R48 6.2.6.1.2 from memory, GB inspection manual 4.1.2 verified.
    let rows = include_str!("reference/headlamp_aim_limits.csv").lines().skip(1);
    for row in rows {
        let cells: Vec<&str> = row.split(',').collect();
        let number = |k: usize| cells[k].parse::<f64>().unwrap();
        let rules = if cells[0] == "un_r48" { LampRules::UnR48 } else { LampRules::GbInspection };
        let lamp = LampSheet {
            centre_mm: [800.0, 650.0, 1000.0 * number(1)],
            initial_aim_percent: number(2),
            rules,
            levelling: Levelling::ByHand,
        };
        let limits = AimLimits::of(&lamp, number(1));
        assert!((limits.from_percent - number(3)).abs() < 1e-12, "{row}");
        assert!((limits.to_percent - number(4)).abs() < 1e-12, "{row}");
    }
}

/// Height of a point by the pose of the body, mm.
fn height_by_hand_mm(known: &KnownVan, state: LoadState, at_mm: [f64; 3]) -> f64 {
    let body = &known.solved_today(state).rest.body;
    let (pitch, roll) = (body.pitch_rad, body.roll_rad);
    let [x, y, z] = at_mm;
    1e3 * body.heave_m - x * pitch.sin() + pitch.cos() * (y * roll.sin() + z * roll.cos())
}

#[test]
fn val_points_of_the_body_above_the_ground() {
    // ISO 8855, written out by hand: pitch turns about the lateral axis nose-down positive, roll left side up.
    let catalogue = demo();
    let enquiry = enquiry(&catalogue, CAMPER);
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let (today, body) = (known.today(), &known.van.sheet.body);
    let laden = LoadState::FullyLaden;
    let ball_mm = height_by_hand_mm(&known, laden, body.tow_ball.as_ref().unwrap().centre_mm);
    assert!((value(&today, "tow_ball_height", laden) - ball_mm).abs() < 1e-9);
    let lowest = |points: &[workshop::body_sheet::BodyPoint], state| {
        points
            .iter()
            .map(|point| height_by_hand_mm(&known, state, point.at_mm))
            .min_by(f64::total_cmp)
            .unwrap()
    };
    for state in LoadState::ALL {
        let clearance_mm = value(&today, "ground_clearance", state);
        assert!((clearance_mm - lowest(&body.underbody, state)).abs() < 1e-9);
    }
    let ramp = LoadState::OnTheRamp;
    let arms = check(&today, "lift_arm_clearance", ramp);
    assert!((arms.figure.as_ref().unwrap().value - lowest(&body.lifting_points, ramp)).abs() < 1e-9);
    assert_eq!(arms.limit.as_ref().unwrap().at_least, catalogue.premises.lift_arm_height_mm);
    let lamp = body.lamp.as_ref().unwrap().centre_mm;
    let lamp_mm = height_by_hand_mm(&known, LoadState::DayToDay, lamp);
    assert!((value(&today, "lamp_height", LoadState::DayToDay) - lamp_mm).abs() < 1e-9);
}

/// Slope of the ramp that touches a tyre of radius `r` and a point `ahead` of its centre and `z` above the ground, by
/// bisection on the tangent's own equation, degrees.
fn ramp_by_bisection_deg(ahead: f64, z: f64, r: f64) -> f64 {
    // the ramp at slope a touches the tyre at (r sin a, r - r cos a)
    let above = |a: f64| r - r * a.cos() + a.tan() * (ahead - r * a.sin()) - z;
    let (mut low, mut high) = (0.0, 1.4);
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        if above(middle) < 0.0 { low = middle } else { high = middle }
    }
    low.to_degrees()
}

#[test]
fn val_approach_departure_and_breakover() {
    // The tangent from a low point to the tyre, by bisection on its equation; breakover is the sum of both sides.
    let catalogue = demo();
    let enquiry = enquiry(&catalogue, DAY_VAN);
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let (today, sheet) = (known.today(), known.van.sheet);
    for state in LoadState::ALL {
        let radius_mm = known.solved_today(state).rest.wheel_centre_height_m.map(|m| 1e3 * m);
        let [front_mm, rear_mm] = [0, 1].map(|axle| 1e3 * known.van.table(axle).wheel_centre_design_m[0]);
        let (mut approach, mut departure, mut breakover) = (90.0_f64, 90.0_f64, 90.0_f64);
        for point in &sheet.body.underbody {
            let (x, z) = (point.at_mm[0], height_by_hand_mm(&known, state, point.at_mm));
            let to_front = ramp_by_bisection_deg((x - front_mm).abs(), z, radius_mm[0]);
            let to_rear = ramp_by_bisection_deg((x - rear_mm).abs(), z, radius_mm[2]);
            if x > front_mm {
                approach = approach.min(to_front);
            } else if x < rear_mm {
                departure = departure.min(to_rear);
            } else {
                breakover = breakover.min(to_front + to_rear);
            }
        }
        for (name, by_hand) in
            [("approach_angle", approach), ("departure_angle", departure), ("breakover_angle", breakover)]
        {
            let shown = value(&today, name, state);
            assert!((shown - by_hand).abs() < 1e-6, "{name} {}: {shown} is not {by_hand}", state.name());
        }
    }
}

/// The van of today raised by its front seats, the rear ones so that the pitch of day to day stays.
fn raised_level(known: &KnownVan, front_m: f64) -> FitmentAnswer {
    let with_rear = |rear_m: f64| {
        let mut fitment = known.fitted.clone();
        for (i, turned) in fitment.collar_turned_m.iter_mut().enumerate() {
            *turned += if i < 2 { front_m } else { rear_m };
        }
        known.sits_on(&fitment).unwrap()
    };
    let pitch_deg = |answer: &FitmentAnswer| answer.states[LoadState::DayToDay as usize].body_pitch_deg.value;
    let wanted = pitch_deg(&known.today());
    // a higher rear dips the nose
    let (mut low, mut high) = (-0.1, 0.1);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if pitch_deg(&with_rear(middle)) < wanted { low = middle } else { high = middle }
    }
    with_rear(low)
}

#[test]
fn law_heave_alone_moves_no_lamp_and_the_clearance_by_itself() {
    let catalogue = demo();
    let enquiry = enquiry(&catalogue, DAY_VAN);
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let state = LoadState::DayToDay;
    let today = known.today();
    for front_m in [0.015, -0.015] {
        let raised = raised_level(&known, front_m);
        let marked = known.van.sheet.body.lamp.as_ref().unwrap().initial_aim_percent;
        // the pitch is met to what the solver resolves
        assert!((value(&raised, "lamp_aim_before_setting", state) - marked).abs() < 1e-6);
        let mean_mm = |answer: &FitmentAnswer| {
            answer.states[state as usize].corners.iter().map(|c| c.arch_height_mm.value).sum::<f64>() / 4.0
        };
        let rise_mm = mean_mm(&raised) - mean_mm(&today);
        assert!(rise_mm * front_m > 0.0 && rise_mm.abs() > 5.0, "{rise_mm}");
        let gained_mm = value(&raised, "ground_clearance", state) - value(&today, "ground_clearance", state);
        // the tyres carry the same load but for what lean and height move, some tenths of a kilogram
        assert!((gained_mm - rise_mm).abs() < 0.1, "{gained_mm} for {rise_mm}");
    }
}

/// The brake-valve checks of every kit of the day van, with its fact answered or left open.
fn brake_valve(answer: Option<&str>) -> Vec<Check> {
    let mut catalogue = demo();
    for sheet in &mut catalogue.vehicles {
        sheet.facts.retain(|is| is.fact != "brake-valve");
    }
    let mut enquiry = enquiry(&catalogue, DAY_VAN);
    enquiry.facts.retain(|is| is.fact != "brake-valve");
    let is = |id: &str| FactIs { fact: "brake-valve".into(), is: vec![id.into()] };
    enquiry.facts.extend(answer.map(is));
    let fitments = fitments(&catalogue, &enquiry);
    let checks = fitments.into_iter().flat_map(|fitment| fitment.checks.to_vec());
    checks.filter(|check| check.check == "load_sensing_brake_valve").collect()
}

#[test]
fn law_a_brake_valve_that_is_not_known_is_looked_for() {
    let unknown = brake_valve(None);
    assert!(!unknown.is_empty() && unknown.iter().all(|check| check.finding == Finding::LookAtIt));
    let fitted = brake_valve(Some("on-rear-axle"));
    assert_eq!(fitted.len(), unknown.len());
    assert!(fitted.iter().all(|check| check.finding == Finding::DoNot));
    assert!(brake_valve(Some("none")).is_empty());
}

#[test]
fn law_a_sheet_without_body_and_alignment_is_checked_all_the_same() {
    let whole = demo();
    let spoil: [fn(&mut BodySheet); 5] = [
        |body| *body = BodySheet::default(),
        |body| body.lamp = None,
        |body| body.tow_ball = None,
        |body| body.underbody.clear(),
        |body| body.underbody.retain(|point| point.at_mm[0] > 0.0),
    ];
    for spoil in spoil {
        let mut catalogue = whole.clone();
        catalogue.premises.lift_arm_height_mm = None;
        for sheet in &mut catalogue.vehicles {
            spoil(&mut sheet.body);
            for axle in [&mut sheet.front, &mut sheet.rear] {
                axle.alignment = AlignmentSheet::default();
            }
        }
        let enquiry = enquiry(&catalogue, CAMPER);
        for fitment in fitments(&catalogue, &enquiry) {
            assert_finite(&fitment.checks);
            let has = |name: &str| fitment.checks.iter().any(|check| check.check == name);
            assert!(!has("camber") && !has("lift_arm_clearance"));
            let body = &catalogue.vehicles.iter().find(|sheet| sheet.id == enquiry.vehicle).unwrap().body;
            assert_eq!(has("lamp_aim"), body.lamp.is_none(), "a missing lamp is to be measured");
            assert_eq!(has("ground_clearance"), !body.underbody.is_empty());
            assert_eq!(has("tow_ball_height"), body.tow_ball.is_some());
        }
    }
}

/// The demo workshop with its rules replaced.
fn with_rules(text: &str) -> Vec<DataFile> {
    folder_with(DataFile { path: "rules.toml".into(), text: text.into() })
}

const CAMBER_RULE: &str = r#"
[[rules]]
id = "camber-out"
when = [{ of = "check", is = ["camber"], axle = "rear", state = "as_fitted_out" }]
effect = { does = "adds_operation", operation = "alignment-check" }
reason = { en = "It must be measured.", de = "Er muss gemessen werden." }
source = "common practice, no source"
"#;

#[test]
fn law_a_rule_speaks_where_its_check_came_out_so() {
    let catalogue = Catalogue::read(&with_rules(CAMBER_RULE)).unwrap();
    let enquiry = enquiry(&catalogue, DAY_VAN);
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let (mut spoke, mut silent) = (0, 0);
    for kit in catalogue.kits_for(&enquiry.vehicle) {
        let KitOutcome::Sits(sits) = known.kit(kit).outcome else { continue };
        let asks = |check: &Check| {
            check.check == "camber"
                && check.axle == Some(Axle::Rear)
                && check.state == Some(LoadState::AsFittedOut)
                && check.finding != Finding::Holds
        };
        let verdict = known.verdict(kit);
        assert_eq!(verdict.operations.len(), usize::from(sits.checks.iter().any(asks)), "{}", kit.id);
        match verdict.operations.first() {
            Some(added) => {
                spoke += 1;
                assert!(matches!(&added.says.because[..], [Because::Check { check }] if asks(check)));
            }
            None => silent += 1,
        }
    }
    assert!(spoke > 0 && silent > 0, "{spoke} spoke, {silent} did not");
}

#[test]
fn law_a_rule_about_a_check_that_does_not_exist_is_a_fault() {
    let files = with_rules(&CAMBER_RULE.replace("[\"camber\"]", "[\"cambr\"]"));
    let faults = faults_of(&files);
    assert_well_formed(&faults, &files);
    assert!(faults.iter().any(|fault| fault.to_string().contains("did you mean camber")), "{faults:?}");
    let files = with_rules(&CAMBER_RULE.replace("axle = \"rear\"", "finding = [\"fails\"]"));
    assert!(faults_of(&files).iter().any(|fault| fault.allowed.contains("look_at_it")));
}

#[test]
fn law_wishes_for_reserve_and_clearance_are_held_against_their_figures() {
    let catalogue = demo();
    let enquiry = enquiry(&catalogue, CAMPER);
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let plain = shortlist(&known, &enquiry.wish).unwrap();
    let of = |id: &str| plain.options.iter().find(|option| option.kit == id).unwrap();
    let (reserve_kg, clearance_mm) = (40.0, 120.0);
    let wish = Wish {
        load_reserve_at_least_kg: Some(reserve_kg),
        ground_clearance_at_least_mm: Some(clearance_mm),
        ..enquiry.wish
    };
    let listed = shortlist(&known, &wish).unwrap();
    let mut missed = 0;
    for option in &listed.options {
        let (reserve, clearance) =
            (option.load_reserve_kg.as_ref().unwrap(), option.ground_clearance_mm.as_ref().unwrap());
        let misses = |of: &dyn Fn(&Miss) -> bool| option.misses.iter().any(of);
        assert_eq!(misses(&|miss| matches!(miss, Miss::LoadReserve { .. })), reserve.value < reserve_kg);
        let lacks = clearance.value < clearance_mm;
        assert_eq!(misses(&|miss| matches!(miss, Miss::GroundClearance { .. })), lacks, "{}", option.kit);
        missed += usize::from(lacks);
        let near = option.near_misses.iter().find(|near| near.what == "ground clearance");
        assert_eq!(near.map(|near| near.limit), lacks.then_some(clearance_mm));
        // one more thing to be good at beats nobody who was unbeaten
        assert!(option.unbeaten || !of(&option.kit).unbeaten, "{}", option.kit);
    }
    assert!(missed > 0 && missed < listed.options.len());
    let by_hand = {
        let sheet = known.van.grade;
        let load_kg = known.solved_today(LoadState::FullyLaden).rest.wheel_load_n.map(|n| n / 9.806_65);
        let (front, rear) = (load_kg[0] + load_kg[1], load_kg[2] + load_kg[3]);
        let left = [
            sheet.plated_front_axle_kg - front,
            sheet.plated_rear_axle_kg - rear,
            sheet.plated_gross_kg - front - rear,
        ];
        left.into_iter().min_by(f64::total_cmp).unwrap()
    };
    // no kit moves more than some kilograms between the axles
    let shown = listed.options[0].load_reserve_kg.as_ref().unwrap().value;
    assert!((shown - by_hand).abs() < 5.0, "{shown} is not {by_hand}");
    let names: Vec<&str> = listed.best_for.iter().map(|best| best.wish).collect();
    assert_eq!(names, ["drop", "level", "travel", "load_reserve", "clearance"]);
    assert_eq!(plain.best_for.len(), 3);
}

#[test]
fn law_a_clearance_that_is_not_known_misses_the_wish() {
    let mut catalogue = demo();
    catalogue.vehicles.iter_mut().for_each(|sheet| sheet.body.underbody.clear());
    let enquiry = enquiry(&catalogue, DAY_VAN);
    let wish = Wish { ground_clearance_at_least_mm: Some(100.0), ..enquiry.wish };
    let listed = shortlist(&KnownVan::of(&catalogue, &enquiry).unwrap(), &wish).unwrap();
    assert!(!listed.options.is_empty());
    for option in listed.options {
        assert!(option.misses.contains(&Miss::GroundClearanceNotKnown) && !option.within_wishes);
    }
}

#[test]
fn law_what_fails_today_is_told_once() {
    let catalogue = demo();
    for enquiry in enquiries(&catalogue) {
        let known = KnownVan::of(&catalogue, &enquiry).unwrap();
        let listed = shortlist(&known, &enquiry.wish).unwrap();
        for option in &listed.options {
            assert!(option.do_not.iter().all(|check| check.finding == Finding::DoNot));
            for check in &option.do_not {
                let today = |other: &Check| other.is_of_the_same(check) && other.state == check.state;
                assert!(!listed.do_not_today.iter().any(today), "{}: {}", option.kit, check.check);
            }
            let line = do_not_hold(Language::English, &option.do_not);
            let named = |check: &Check| line.contains(check_named(Language::English, check.check));
            assert!(option.do_not.iter().all(named), "{line}");
        }
    }
}

/// Every check has its chain, which ends at its figure and names the source of its limit.
fn assert_chains(known: &KnownVan, kit: Option<&Kit>, answer: &FitmentAnswer) {
    for check in answer.checks.iter() {
        let (name, axle, state) = (check.check, check.axle, check.state);
        let asked = CheckAsked { kit, name, axle, state, wheels: None };
        let why = known.why_check(&asked).unwrap().unwrap();
        // room beside a tyre is checked at rest and at full bump under one name: the worse is told
        let several = |other: &&Check| other.is_of_the_same(check) && other.state == check.state;
        if answer.checks.iter().filter(several).count() == 1 {
            assert_eq!(why.value, check.figure, "{}", check.check);
        }
        assert!(!why.inputs.is_empty() && !why.steps.is_empty() && !why.equations.is_empty(), "{why:?}");
        let all = [&why.inputs, &why.steps, &why.equations].into_iter().flatten();
        assert!(all.into_iter().all(|words| words.en != words.de), "{why:?}");
        if let Some(limit) = &check.limit {
            let last = why.steps.last().unwrap();
            assert!(last.en.contains(&limit.source.en), "{last:?}");
        }
    }
}

#[test]
fn law_the_chain_behind_a_check_ends_at_its_figure() {
    let catalogue = demo();
    for (name, kit) in [
        (CAMPER, "tessavar-four-collars"),
        ("lower-for-the-garage", "tessavar-bar-turn"),
        ("small-camper-with-trailer", ""),
        ("eighteen-inch-wheels", ""),
        ("heavy-camper-on-leaves", ""),
    ] {
        let enquiry = enquiry(&catalogue, name);
        let known = KnownVan::of(&catalogue, &enquiry).unwrap();
        let fits = catalogue.kits_for(&enquiry.vehicle);
        let kit = catalogue.kit(kit).or_else(|| fits.into_iter().next()).unwrap();
        let KitOutcome::Sits(sits) = known.kit(kit).outcome else { panic!("{} sits", kit.id) };
        for (kit, answer) in [(None, &known.today()), (Some(kit), &sits)] {
            assert_chains(&known, kit, answer);
        }
    }
    let enquiry = enquiry(&catalogue, CAMPER);
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let asked = CheckAsked { kit: None, name: "tow_ball_load", axle: None, state: None, wheels: None };
    assert!(known.why_check(&asked).unwrap().is_none());
}
