//! Set-up and correction held against the prediction they come from.

#![allow(clippy::unwrap_used, clippy::panic)] // a test helper may fail the test

mod common;

use workshop::answer::{KnownVan, Remark};
use workshop::catalogue::{Catalogue, DataFile};
use workshop::correction::{Correction, CorrectionOutcome};
use workshop::enquiry::Enquiry;
use workshop::facts::Language;
use workshop::load_list::LoadState;
use workshop::set_up::SetUp;
use workshop::wording::{Doubt, Meaning, Said, Suspicion, misses_aim};

use common::demo_files;

/// An aim that the adjustable demo kits reach with bump travel to spare.
const REACHABLE_AIM: &str = "\n[aim]\nstate = \"on_the_ramp\"\ndrop_against_today_mm = 34\nlevel_mm = -8\n";

fn catalogue() -> Catalogue {
    Catalogue::read(&demo_files()).unwrap()
}

fn enquiry(catalogue: &Catalogue, name: &str, aim: &str) -> Enquiry {
    let files = demo_files();
    let file = files.iter().find(|file| file.path == format!("enquiries/{name}.toml")).unwrap();
    catalogue.read_enquiry(&DataFile { text: format!("{}{aim}", file.text), ..file.clone() }).unwrap()
}

/// A ramp record of a set-up with readings shifted from those expected, mm per corner.
fn record(set_up: &SetUp, shift_mm: [f64; 4], head: &str) -> DataFile {
    let names = ["front_left", "front_right", "rear_left", "rear_right"];
    let words = ["front left", "front right", "rear left", "rear right"];
    let mut text = format!("enquiry = \"e\"\nkit = \"{}\"\n{head}\n[collars]\n", set_up.kit);
    for (name, word) in names.iter().zip(words) {
        if let Some(collar) = set_up.collars.iter().find(|collar| collar.corner == word) {
            text += &format!("{name}_mm = {:?}\n", collar.position_mm);
        }
    }
    for _ in 0..2 {
        text += "[[readings]]\n";
        for i in 0..4 {
            let mm = set_up.on_the_ramp[i].arch_height_mm.value + shift_mm[i];
            text += &format!("{}_mm = {mm:?}\n", names[i]);
        }
    }
    DataFile { path: "ramp/record.toml".into(), text }
}

const GOOD: &str = "settled = \"rolled_and_bounced\"\nbushes_reclamped = true\nload_as_listed = true";

fn correct(name: &str, kit: &str, shift_mm: [f64; 4], head: &str) -> (SetUp, Correction) {
    let catalogue = catalogue();
    let enquiry = enquiry(&catalogue, name, REACHABLE_AIM);
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let kit = catalogue.kit(kit).unwrap();
    let set_up = known.set_up(kit).unwrap();
    let record = catalogue.read_ramp_record(&record(&set_up, shift_mm, head)).unwrap();
    let correction = known.correct(kit, &record).unwrap();
    (set_up, correction)
}

#[test]
fn law_set_up_then_predict_gives_the_aim_to_half_a_quarter_turn() {
    let catalogue = catalogue();
    let enquiry = enquiry(&catalogue, "camper-low-at-the-back", REACHABLE_AIM);
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let set_up = known.set_up(catalogue.kit("tessavar-four-collars").unwrap()).unwrap();
    let sit = set_up.result.states.iter().find(|sit| sit.state == set_up.aim_state).unwrap();
    for axle in 0..2 {
        let mean = 0.5
            * (sit.corners[2 * axle].arch_height_mm.value + sit.corners[2 * axle + 1].arch_height_mm.value);
        let half_quarter_mm = 0.125 * set_up.collars[2 * axle].arch_mm_per_turn;
        assert!(
            (mean - set_up.aim_arch_height_mm[axle]).abs() <= half_quarter_mm + 0.15,
            "axle {axle}: {mean}"
        );
    }
    for collar in &set_up.collars {
        let quarters = 4.0 * collar.turns_from_delivered;
        assert!((quarters - quarters.round()).abs() < 1e-9, "whole quarter turns");
        assert!((collar.range_mm[0]..=collar.range_mm[1]).contains(&collar.position_mm));
    }
}

#[test]
fn law_a_collar_millimetre_is_not_an_arch_millimetre() {
    let (set_up, _) = correct("camper-low-at-the-back", "tessavar-four-collars", [0.0; 4], GOOD);
    let per_mm = |i: usize| set_up.collars[i].arch_mm_per_turn / set_up.collars[i].thread_pitch_mm;
    assert!(per_mm(0) < 1.0, "front: the change of the motion ratio takes some away");
    assert!(per_mm(2) > 1.15, "rear: an inboard spring multiplies");
}

#[test]
fn law_readings_as_expected_are_left_alone() {
    let (_, correction) = correct("camper-low-at-the-back", "tessavar-four-collars", [0.0; 4], GOOD);
    assert!(matches!(correction.outcome, CorrectionOutcome::LeaveIt(_)), "{:#?}", correction.outcome);
}

#[test]
fn law_one_correction_brings_misses_within_half_a_quarter_turn() {
    let (set_up, correction) =
        correct("camper-low-at-the-back", "tessavar-four-collars", [-4.0, -4.0, 4.0, 4.0], GOOD);
    let CorrectionOutcome::Turn(turning) = correction.outcome else { panic!("{:#?}", correction.outcome) };
    assert_eq!(turning.collars[0].way, "up");
    assert_eq!(turning.collars[2].way, "down");
    for axle in 0..2 {
        let half_quarter_mm = 0.125 * set_up.collars[2 * axle].arch_mm_per_turn;
        let left = turning.miss_after_mm[axle].value.abs();
        assert!(left <= half_quarter_mm + 0.2, "axle {axle} is left {left} mm off");
    }
}

#[test]
fn law_fixed_kits_have_no_collars_but_say_what_will_result() {
    let (set_up, correction) =
        correct("camper-low-at-the-back", "keltrop-line-30", [1.0, 1.0, -1.0, -1.0], GOOD);
    assert!(set_up.collars.is_empty());
    assert_eq!(set_up.misses.len(), 2);
    assert!(set_up.limits.is_empty());
    assert!(matches!(correction.outcome, CorrectionOutcome::LeaveIt(_)));
}

#[test]
fn law_unsettled_unlike_loaded_and_twisted_readings_are_refused_with_the_reason() {
    for (head, reason) in [
        ("settled = \"only_lowered\"\nbushes_reclamped = true\nload_as_listed = true", "only lowered"),
        (
            "settled = \"rolled_and_bounced\"\nbushes_reclamped = true\nload_as_listed = false",
            "does not carry",
        ),
        ("settled = \"rolled_and_bounced\"\nbushes_reclamped = false\nload_as_listed = true", "bushes"),
    ] {
        let (_, correction) = correct("camper-low-at-the-back", "tessavar-four-collars", [3.0; 4], head);
        let CorrectionOutcome::NotCorrectedFrom(reasons) = correction.outcome else { panic!("{reason}") };
        assert_eq!(reasons.len(), 1);
        let words = reasons[0].words(Language::English);
        assert!(words.contains(reason), "{words}");
    }
}

#[test]
fn law_a_floor_out_of_level_is_taken_out() {
    // the front left spot 20 mm high: the van as read there differs, the correction must not
    let catalogue = catalogue();
    let enquiry = enquiry(&catalogue, "camper-low-at-the-back", REACHABLE_AIM);
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let kit = catalogue.kit("tessavar-four-collars").unwrap();
    let set_up = known.set_up(kit).unwrap();
    let plain = catalogue.read_ramp_record(&record(&set_up, [0.0; 4], GOOD)).unwrap();
    let floor = "\n[floor]\nfront_left_mm = 20\nfront_right_mm = 0\nrear_left_mm = 0\nrear_right_mm = 0\n";
    let mut uneven = catalogue
        .read_ramp_record(&DataFile { path: "r".into(), text: record(&set_up, [0.0; 4], GOOD).text + floor })
        .unwrap();
    let on_floor = known.expected_on_the_ramp(kit, &uneven).unwrap();
    let level = known.expected_on_the_ramp(kit, &plain).unwrap();
    assert!((on_floor[0] - level[0]).abs() > 1.0, "a high spot twists the van: {on_floor:?} {level:?}");
    uneven.readings_mm = vec![on_floor; 2];
    let correction = known.correct(kit, &uneven).unwrap();
    assert!(matches!(correction.outcome, CorrectionOutcome::LeaveIt(_)), "{:#?}", correction.outcome);
}

#[test]
fn law_readings_that_do_not_fit_are_doubted_and_explained() {
    let lean = [14.0, -14.0, 0.0, 0.0];
    let (_, correction) = correct("leaning-with-roof-tent", "tessavar-four-collars", lean, GOOD);
    assert!(matches!(correction.outcome, CorrectionOutcome::DoesNotFit(_)), "{:#?}", correction.outcome);
}

#[test]
fn law_readings_that_do_not_fit_are_used_once_all_were_read_twice() {
    let catalogue = catalogue();
    let enquiry = enquiry(&catalogue, "leaning-with-roof-tent", REACHABLE_AIM);
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let kit = catalogue.kit("tessavar-four-collars").unwrap();
    let set_up = known.set_up(kit).unwrap();
    let corrected = |twice: usize| {
        let mut file = record(&set_up, [14.0, -14.0, 0.0, 0.0], GOOD);
        file.text = file.text.replacen("[[readings]]\n", "[[readings]]\nread_twice = true\n", twice);
        known.correct(kit, &catalogue.read_ramp_record(&file).unwrap()).unwrap()
    };
    for once in [0, 1] {
        let correction = corrected(once);
        assert!(matches!(correction.outcome, CorrectionOutcome::DoesNotFit(_)), "{once} read twice");
    }
    let correction = corrected(2);
    assert!(!matches!(correction.outcome, CorrectionOutcome::DoesNotFit(_)), "{:#?}", correction.outcome);
    let [said] = &correction.doubts[..] else { panic!("{:?}", correction.doubts) };
    assert!(matches!(said, Doubt::ReadTwice(_)), "{said:?}");
    assert!(said.words(Language::English).contains("read a second time and found right"), "{said:?}");
    // readings that fit need no such word
    let sound = record(&set_up, [0.0; 4], GOOD);
    let mut sound = catalogue.read_ramp_record(&sound).unwrap();
    sound.read_twice = true;
    assert!(known.correct(kit, &sound).unwrap().doubts.is_empty());
}

/// What is told of an axle that nothing can be turned on, and of one that bolts are turned on.
#[test]
fn law_an_axle_that_cannot_be_adjusted_has_no_aim_to_miss() {
    let catalogue = catalogue();
    for (name, kit, adjustable, turned) in [
        ("camper-low-at-the-back", "tessavar-four-collars", [true, true], "collar"),
        ("camper-low-at-the-back", "tessavar-rear-collar", [false, true], "collar"),
        ("lower-for-the-garage", "tessavar-bar-turn", [true, false], "adjusting bolt"),
    ] {
        let enquiry = enquiry(&catalogue, name, "");
        let known = KnownVan::of(&catalogue, &enquiry).unwrap();
        let set_up = known.set_up(catalogue.kit(kit).unwrap()).unwrap();
        assert_eq!(set_up.adjustable, adjustable, "{kit}");
        let arch_mm = set_up.result.states[set_up.aim_state as usize].corners.iter();
        let arch_mm: Vec<f64> = arch_mm.map(|corner| corner.arch_height_mm.value).collect();
        let misses = misses_aim(Language::English, &set_up).unwrap();
        for axle in [0, 1] {
            let name = ["front", "rear"][axle];
            let reached_mm = 0.5 * (arch_mm[2 * axle] + arch_mm[2 * axle + 1]);
            let aimed_mm = set_up.aim_arch_height_mm[axle];
            let missed_mm = if adjustable[axle] { set_up.miss_mm[axle].value } else { 0.0 };
            assert!((reached_mm - aimed_mm - missed_mm).abs() < 1e-6, "{kit} {name}");
            assert_eq!(misses.contains(name), adjustable[axle], "{misses}");
            let told = |remark: &Remark| {
                let words = remark.words(Language::English);
                words.starts_with(name) && words.contains("not adjustable, will be")
            };
            assert_eq!(set_up.misses.iter().any(told), !adjustable[axle], "{kit}: {:?}", set_up.misses);
        }
        assert!(set_up.collars.iter().all(|collar| collar.adjuster.one(Language::English) == turned));
    }
}

/// What a kit adds to the springs that stay is as uncertain as the same on new springs.
#[test]
fn law_parts_beside_springs_that_stay_have_their_own_unknowns() {
    let catalogue = catalogue();
    let enquiry = enquiry(&catalogue, "lower-for-the-garage", "");
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    for (kit, wanted) in [
        ("tessavar-bar-turn", &["position of the kit's front adjusting bolts"][..]),
        ("pellewick-block-60", &["height of the kit's rear blocks"]),
        (
            "pellewick-rise-leaf",
            &[
                "rate of the kit's rear added leaves",
                "camber at which the kit's rear added leaves are touched",
            ],
        ),
        ("quillmer-bellows-leaf", &["pressure of the kit's rear air springs"]),
    ] {
        let fitment = known.set_up_fitment(catalogue.kit(kit).unwrap()).unwrap();
        let belief = known.belief_with(&fitment);
        let names: Vec<String> = belief
            .unknowns
            .iter()
            .filter(|unknown| unknown.counts(&fitment.origins, LoadState::DayToDay))
            .map(|unknown| unknown.cause.words(Language::English))
            .collect();
        for cause in wanted {
            assert!(names.iter().any(|name| name == cause), "{kit}: no {cause} in {names:?}");
        }
        let sits = known.sits_on(&fitment).unwrap();
        let drop = sits.states[LoadState::DayToDay as usize].mean_drop_against_today_mm.as_ref().unwrap();
        assert!(drop.half_width() > 0.0, "{kit}");
    }
}

#[test]
fn law_a_collar_that_is_not_where_it_is_said_to_be_is_suspected() {
    let catalogue = catalogue();
    let enquiry = enquiry(&catalogue, "camper-low-at-the-back", REACHABLE_AIM);
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let kit = catalogue.kit("tessavar-four-collars").unwrap();
    let set_up = known.set_up(kit).unwrap();
    let mut said = catalogue.read_ramp_record(&record(&set_up, [0.0; 4], GOOD)).unwrap();
    let mut true_record = said.clone();
    true_record.collar_mm[2] = said.collar_mm[2].map(|mm| mm + 14.0);
    said.readings_mm = vec![known.expected_on_the_ramp(kit, &true_record).unwrap(); 2];
    let correction = known.correct(kit, &said).unwrap();
    let CorrectionOutcome::DoesNotFit(misfit) = correction.outcome else {
        panic!("{:#?}", correction.outcome)
    };
    let suspected =
        |said: &Suspicion| matches!(said, Suspicion::Collar { corner: 2, higher_mm, .. } if *higher_mm > 0.0);
    assert!(misfit.may_be.iter().any(suspected), "{:?}", misfit.may_be);
}

#[test]
fn law_readings_as_found_that_do_not_fit_are_kept_and_not_learned_from() {
    let catalogue = catalogue();
    let sound = enquiry(&catalogue, "camper-low-at-the-back", "");
    assert!(KnownVan::of(&catalogue, &sound).unwrap().doubts.is_empty());
    let mut typo = sound.clone();
    typo.as_found.as_mut().unwrap().arch_height_mm[0] += 100.0;
    let known = KnownVan::of(&catalogue, &typo).unwrap();
    assert!(matches!(known.doubts[..], [Meaning::HeightsDoNotFit { .. }]), "{:?}", known.doubts);
    let mut unread = sound.clone();
    unread.as_found = None;
    assert_eq!(known.belief, KnownVan::of(&catalogue, &unread).unwrap().belief);
    let mut heavy = sound;
    let workshop::enquiry::ScaleReading::Axles(axles) = &mut heavy.weighed[0].reading else {
        panic!("axles")
    };
    axles[1] += 1000.0;
    let known = KnownVan::of(&catalogue, &heavy).unwrap();
    let of_weights = |meaning: &Meaning| matches!(meaning, Meaning::WeightsDoNotFit { .. });
    assert!(known.doubts.iter().any(of_weights), "{:?}", known.doubts);
    assert!(known.today().remarks.iter().any(|remark| of_weights(&remark.meaning)));
}

/// The demo with one line of a kit's file changed.
fn catalogue_with(kit: &str, from: &str, to: &str) -> Catalogue {
    let mut files = demo_files();
    let file = files.iter_mut().find(|file| file.path == format!("kits/{kit}.toml")).unwrap();
    assert!(file.text.contains(from));
    file.text = file.text.replace(from, to);
    Catalogue::read(&files).unwrap()
}

fn set_up_of(catalogue: &Catalogue, kit: &str) -> SetUp {
    let enquiry = enquiry(catalogue, "camper-low-at-the-back", REACHABLE_AIM);
    KnownVan::of(catalogue, &enquiry).unwrap().set_up(catalogue.kit(kit).unwrap()).unwrap()
}

#[test]
fn law_collars_are_not_wound_up_against_coil_bind() {
    // coils that touch 20 mm above rest: a collar lifts van and coil bind alike
    let kit = "tessavar-four-collars";
    let wished = set_up_of(&catalogue(), kit);
    assert!(wished.limits.is_empty());
    let bound = set_up_of(&catalogue_with(kit, "solid_length_mm = 90", "solid_length_mm = 130"), kit);
    for i in 2..4 {
        assert!((bound.collars[i].position_mm - wished.collars[i].position_mm).abs() < 1e-9);
    }
    let [limit] = &bound.limits[..] else { panic!("{:?}", bound.limits) };
    assert!(matches!(limit.meaning, Meaning::TurningUpGainsNone { .. }), "{limit:?}");
}

#[test]
fn law_collars_too_low_at_the_end_of_their_thread_say_so() {
    // a damper that closes early: only height helps, and the thread has too little of it
    let kit = "tessavar-four-collars";
    let short = catalogue_with(kit, "closed_length_mm = 340", "closed_length_mm = 395");
    let set_up = set_up_of(&short, kit);
    let rear = &set_up.collars[2];
    assert!(rear.range_mm[1] - rear.position_mm < 0.25 * rear.thread_pitch_mm, "{rear:?}");
    assert!(
        set_up.limits.iter().any(|limit| matches!(limit.meaning, Meaning::CollarsEndTooLow { .. })),
        "{:?}",
        set_up.limits
    );
}

#[test]
fn law_corner_weights_that_do_not_fit_are_doubted_and_not_learned_from() {
    let catalogue = catalogue();
    let enquiry = enquiry(&catalogue, "camper-low-at-the-back", REACHABLE_AIM);
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let kit = catalogue.kit("tessavar-four-collars").unwrap();
    let set_up = known.set_up(kit).unwrap();
    let unweighed = catalogue.read_ramp_record(&record(&set_up, [-4.0, -4.0, 4.0, 4.0], GOOD)).unwrap();
    let expected_kg: [f64; 4] =
        std::array::from_fn(|i| set_up.result.states[3].corners[i].corner_load_kg.value);
    let with_weights = |kg: [f64; 4]| {
        let mut record = unweighed.clone();
        record.corner_kg = Some(kg);
        known.correct(kit, &record).unwrap()
    };
    assert!(with_weights(expected_kg).doubts.is_empty());
    let [fl, fr, rl, rr] = expected_kg;
    let doubted = with_weights([fl + 150.0, fr, rl, rr]);
    let [doubt] = &doubted.doubts[..] else { panic!("{:?}", doubted.doubts) };
    assert!(matches!(doubt, Doubt::CornerWeights { .. }), "{doubt:?}");
    assert_eq!(doubted.outcome, known.correct(kit, &unweighed).unwrap().outcome);
}

#[test]
fn law_perfect_corner_scales_know_the_axles_but_friction_hides_the_diagonal() {
    let mut catalogue = catalogue();
    catalogue.tolerances.corner_scale_kg = 0.01;
    let mut enquiry = enquiry(&catalogue, "camper-low-at-the-back", "");
    let today = KnownVan::of(&catalogue, &enquiry).unwrap().today();
    let state = LoadState::OnTheRamp;
    let kg: [f64; 4] = std::array::from_fn(|i| today.states[state as usize].corners[i].corner_load_kg.value);
    let reading = workshop::enquiry::ScaleReading::Corners(kg);
    enquiry.weighed = vec![workshop::enquiry::Weighing { state, reading }];
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let weighed = &known.today().states[state as usize];
    let half_width = |figure: &workshop::figure::Figure| 0.5 * (figure.high - figure.low);
    let axle_kg = half_width(&weighed.axle_load_kg[1]);
    let corner_kg = half_width(&weighed.corners[2].corner_load_kg);
    assert!(
        axle_kg < 0.1 * corner_kg,
        "an axle feels friction only through the pitch it causes: {axle_kg} kg"
    );
    assert!(corner_kg > 2.0, "friction moves load across the diagonal: {corner_kg} kg");
}

#[test]
fn regress_a_mean_drop_on_a_published_drop_is_as_lopsided_as_each_corners() {
    // the mean's range was left linear while each corner's was stretched to its solved ends
    let catalogue = catalogue();
    let enquiry = enquiry(&catalogue, "day-van-lower", "");
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let kit = catalogue.kit("pellewick-street-35").unwrap();
    let sit = &known.set_up(kit).unwrap().result.states[1];
    let lopsided =
        |figure: &workshop::figure::Figure| (figure.high - figure.value) / (figure.value - figure.low);
    let corners = sit.corners.each_ref().map(|c| lopsided(c.drop_against_today_mm.as_ref().unwrap()));
    let mean = lopsided(sit.mean_drop_against_today_mm.as_ref().unwrap());
    let (least, most) =
        corners.iter().fold((f64::MAX, f64::MIN), |(low, high), &c| (low.min(c), high.max(c)));
    assert!((least - 0.02..=most + 0.02).contains(&mean) && (mean - 1.0).abs() > 0.01, "{mean}: {corners:?}");
}

#[test]
fn law_springs_read_after_weeks_do_not_settle_twice() {
    let catalogue = catalogue();
    let by_day = REACHABLE_AIM.replace("on_the_ramp", "day_to_day");
    let enquiry = enquiry(&catalogue, "camper-low-at-the-back", &by_day);
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let kit = catalogue.kit("tessavar-four-collars").unwrap();
    let set_up = known.set_up(kit).unwrap();
    assert!(set_up.settling_allowance_mm.iter().all(|&mm| mm > 0.5), "{:?}", set_up.settling_allowance_mm);
    let new = catalogue.read_ramp_record(&record(&set_up, [0.0; 4], GOOD)).unwrap();
    let mut after_weeks = new.clone();
    after_weeks.springs_settled = true;
    let (expected_new, expected_settled) = (
        known.expected_on_the_ramp(kit, &new).unwrap(),
        known.expected_on_the_ramp(kit, &after_weeks).unwrap(),
    );
    let miss_mm =
        |record: &workshop::ramp_record::RampRecord| match known.correct(kit, record).unwrap().outcome {
            CorrectionOutcome::Turn(turning) | CorrectionOutcome::LeaveIt(turning) => {
                turning.miss_now_mm.map(|miss| miss.value)
            }
            other => panic!("{other:?}"),
        };
    // read as expected new, or as expected weeks later: the van is where it was meant to be
    after_weeks.readings_mm = vec![expected_settled; 2];
    let (fresh, settled) = (miss_mm(&new), miss_mm(&after_weeks));
    for axle in 0..2 {
        let sunk = expected_new[2 * axle] - expected_settled[2 * axle];
        assert!((sunk - set_up.settling_allowance_mm[axle]).abs() < 0.3, "{sunk}");
        assert!((fresh[axle] - settled[axle]).abs() < 0.1, "{fresh:?} {settled:?}");
    }
    // settled springs that were not said to be: the loss is taken for a shorter spring and counted again
    after_weeks.springs_settled = false;
    let twice = miss_mm(&after_weeks);
    assert!(twice.iter().zip(fresh).all(|(twice, fresh)| twice - fresh < -0.5), "{twice:?} {fresh:?}");
}

#[test]
fn law_an_aim_on_the_ramp_is_met_as_read_and_says_that_settling_is_not_allowed_for() {
    let says = |set_up: &SetUp| {
        let settles = |remark: &Remark| matches!(remark.meaning, Meaning::SettlesBelowTheAim { .. });
        set_up.result.remarks.iter().any(settles)
    };
    let catalogue = catalogue();
    let on_ramp = set_up_of(&catalogue, "tessavar-four-collars");
    assert!(on_ramp.settling_allowance_mm.iter().all(|mm| mm.abs() < 1e-9));
    assert!(says(&on_ramp));
    let by_day = REACHABLE_AIM.replace("on_the_ramp", "day_to_day");
    let enquiry = enquiry(&catalogue, "camper-low-at-the-back", &by_day);
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    assert!(!says(&known.set_up(catalogue.kit("tessavar-four-collars").unwrap()).unwrap()));
}

#[test]
fn law_a_laden_weighing_speaks_of_other_states_only_through_what_is_always_aboard() {
    use workshop::enquiry::{ScaleReading, Weighing};
    let catalogue = catalogue();
    let mut enquiry = enquiry(&catalogue, "camper-low-at-the-back", "");
    (enquiry.items, enquiry.as_found) = (Vec::new(), None);
    enquiry.weighed.clear();
    let axle_kg = |enquiry: &Enquiry| {
        let today = KnownVan::of(&catalogue, enquiry).unwrap().today();
        today.states.iter().map(|sit| sit.axle_load_kg.each_ref().map(|kg| kg.value)).collect::<Vec<_>>()
    };
    let listed = axle_kg(&enquiry);
    let [front_kg, rear_kg] = listed[2];
    let reading = ScaleReading::Axles([front_kg, rear_kg + 40.0]);
    enquiry.weighed = vec![Weighing { state: LoadState::FullyLaden, reading }];
    let weighed = axle_kg(&enquiry);
    let moved = |state: usize| weighed[state][1] - listed[state][1];
    let tolerances = &catalogue.tolerances;
    let (always, loose) =
        (tolerances.unlisted_corner_kg.powi(2), tolerances.unlisted_loose_corner_kg.powi(2));
    assert!(moved(2) > 30.0, "{}", moved(2));
    for other in [0, 1, 3] {
        let share = moved(other) / moved(2);
        assert!((share - always / (always + loose)).abs() < 0.01, "state {other}: {share}");
    }
}

#[test]
fn law_the_one_reading_without_which_the_rest_fits_is_named() {
    // a tape read 30 mm wrong at one corner: no collar or spring moves one arch alone
    let words = ["front left", "front right", "rear left", "rear right"];
    for (i, corner) in words.into_iter().enumerate() {
        let mut shift_mm = [0.0; 4];
        shift_mm[i] = 30.0;
        let (_, correction) = correct("camper-low-at-the-back", "tessavar-four-collars", shift_mm, GOOD);
        let CorrectionOutcome::DoesNotFit(misfit) = correction.outcome else {
            panic!("{corner}: {:#?}", correction.outcome)
        };
        let first = misfit.may_be[0].words(Language::English);
        assert!(first.contains(&format!("the {corner} reading does not fit")), "{corner}: {first}");
        assert!(first.contains("30 mm too high") && first.contains("read it again"), "{first}");
    }
}

#[test]
fn law_a_collar_is_doubted_where_it_alone_explains_readings_that_might_pass() {
    let catalogue = catalogue();
    let enquiry = enquiry(&catalogue, "camper-low-at-the-back", REACHABLE_AIM);
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let kit = catalogue.kit("tessavar-four-collars").unwrap();
    let set_up = known.set_up(kit).unwrap();
    let said = catalogue.read_ramp_record(&record(&set_up, [0.0; 4], GOOD)).unwrap();
    let doubts_with = |corner: usize, off_mm: f64| {
        let (mut truth, mut said) = (said.clone(), said.clone());
        truth.collar_mm[corner] = said.collar_mm[corner].map(|mm| mm + off_mm);
        said.readings_mm = vec![known.expected_on_the_ramp(kit, &truth).unwrap(); 2];
        let correction = known.correct(kit, &said).unwrap();
        assert!(!matches!(correction.outcome, CorrectionOutcome::DoesNotFit(_)), "the readings pass");
        correction.doubts
    };
    assert!(doubts_with(3, 0.0).is_empty());
    assert!(doubts_with(3, 4.0).is_empty(), "four millimetres are within what springs and lips do");
    let doubts = doubts_with(3, -11.5);
    let [doubt] = &doubts[..] else { panic!("{doubts:?}") };
    let doubt = doubt.words(Language::English);
    assert!(doubt.contains("rear right collar may be 1") && doubt.contains("mm lower"), "{doubt}");
    assert!(doubt.contains("measure it before turning"), "{doubt}");
}
