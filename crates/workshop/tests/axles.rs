//! Laws of vans on leaf springs and torsion bars, and of auxiliary air, over the demo workshop.

#![allow(clippy::unwrap_used, clippy::panic)] // a test helper may fail the test

mod common;

use mechanics::elements::AirCharge;
use mechanics::statics::{FRONT, FourCorners, Parameter, REAR, Rest, Sensitivities};
use workshop::answer::{KitOutcome, KnownVan};
use workshop::assembly::{AxleParts, PreparedVan, axle_mean};
use workshop::catalogue::{Catalogue, DataFile, Kind};
use workshop::document::Fault;
use workshop::kit::{Kit, KitAxle, KitFamily, KitSpring, LeafWorkSheet, Offer};
use workshop::load_list::LoadState;
use workshop::loads::Carried;
use workshop::spring_sheet::{AddedLeafSheet, SpringLaw};
use workshop::units::mm_from_m;
use workshop::vehicle_sheet::VehicleSheet;
use workshop::why::Asked;

use common::{demo, demo_file, enquiry, faults_of, folder_with};

const VAN: &str = "wendor";

fn sheet(catalogue: &Catalogue) -> &VehicleSheet {
    catalogue.vehicle(VAN).unwrap()
}

/// Every grade of the van, new.
fn grades(catalogue: &Catalogue) -> impl Iterator<Item = PreparedVan<'_>> {
    sheet(catalogue).grades.iter().map(|grade| PreparedVan::new(sheet(catalogue), grade, None).unwrap())
}

fn kit(front: KitAxle, rear: KitAxle) -> Kit {
    Kit {
        id: "k".into(),
        name: "K".into(),
        maker: "M".into(),
        family: KitFamily::LeafWork,
        about: None,
        fits: vec![VAN.into()],
        front: Some(front),
        rear: Some(rear),
        offer: Offer::Kit,
    }
}

fn leaf_kit(work: LeafWorkSheet) -> Kit {
    kit(KitAxle::default(), KitAxle { leaf_work: Some(work), ..KitAxle::default() })
}

fn no_work() -> LeafWorkSheet {
    LeafWorkSheet {
        block_mm: 0.0,
        wedge_deg: 0.0,
        shackle_longer_mm: 0.0,
        re_arched_mm: 0.0,
        added_leaves: Vec::new(),
    }
}

fn with_kit(catalogue: &Catalogue, van: &PreparedVan, kit: &Kit) -> [AxleParts; 2] {
    van.with_kit(&van.original_parts(), kit, &catalogue.tolerances).unwrap()
}

/// The van in running order with more on its rear axle (kg), its bump stops out of the way.
fn at_rest(van: &PreparedVan, parts: &[AxleParts; 2], more_kg: f64) -> (FourCorners, Rest) {
    let order = &van.sheet.running_order;
    let carried = Carried::axle_loads(van.sheet, [order.front_axle_kg, order.rear_axle_kg + more_kg]);
    let mut parts = parts.clone();
    for axle in &mut parts {
        axle.stop = None;
    }
    let assembled = van.assemble(&parts, &carried);
    let rest = assembled.rest().unwrap();
    (assembled, rest)
}

/// Mean arch height of an axle, mm.
fn arch_mm(van: &PreparedVan, parts: &[AxleParts; 2], axle: usize, more_kg: f64) -> f64 {
    mm_from_m(axle_mean(&at_rest(van, parts, more_kg).1.arch_height_m, axle))
}

#[test]
fn law_a_block_lowers_the_rear_by_its_thickness() {
    let catalogue = demo();
    for van in grades(&catalogue) {
        let originals = van.original_parts();
        for block_mm in [20.0, 40.0, 60.0] {
            let parts = with_kit(&catalogue, &van, &leaf_kit(LeafWorkSheet { block_mm, ..no_work() }));
            let fall = |axle| arch_mm(&van, &originals, axle, 0.0) - arch_mm(&van, &parts, axle, 0.0);
            // the leaf stands as before; the damper's gas leans otherwise, and the body pitches by half a degree
            assert!((fall(REAR) - block_mm).abs() < 1.0, "{block_mm} mm: {}", fall(REAR));
            assert!(fall(FRONT).abs() < 0.04 * block_mm, "{block_mm} mm in front: {}", fall(FRONT));
        }
    }
}

#[test]
fn law_re_arching_moves_the_rear_by_its_measure_at_any_load() {
    let catalogue = demo();
    for van in grades(&catalogue) {
        let originals = van.original_parts();
        for re_arched_mm in [-30.0, 30.0] {
            let parts = with_kit(&catalogue, &van, &leaf_kit(LeafWorkSheet { re_arched_mm, ..no_work() }));
            for more_kg in [0.0, 300.0, 700.0] {
                let rise = arch_mm(&van, &parts, REAR, more_kg) - arch_mm(&van, &originals, REAR, more_kg);
                // camber over wheel travel is 1 to 1.1 about rest, and the gas force changes with it
                assert!((rise / re_arched_mm - 1.0).abs() < 0.1, "{re_arched_mm} mm, {more_kg} kg: {rise}");
            }
        }
    }
}

#[test]
fn law_a_longer_shackle_lifts_and_a_shorter_one_lowers_by_about_half() {
    let catalogue = demo();
    for van in grades(&catalogue) {
        let originals = van.original_parts();
        for shackle_longer_mm in [-30.0, 35.0] {
            let work = LeafWorkSheet { shackle_longer_mm, ..no_work() };
            let parts = with_kit(&catalogue, &van, &leaf_kit(work));
            let rise = arch_mm(&van, &parts, REAR, 0.0) - arch_mm(&van, &originals, REAR, 0.0);
            // the seat lies 48 % of the way from the front eye to the shackle, which leans
            assert!((0.35..0.55).contains(&(rise / shackle_longer_mm)), "{shackle_longer_mm} mm: {rise}");
        }
    }
}

#[test]
fn law_an_added_leaf_lifts_and_stiffens() {
    let catalogue = demo();
    let leaf = AddedLeafSheet { rate_n_per_mm: 26.0, touched_at_camber_mm: 66.0 };
    for van in grades(&catalogue) {
        let originals = van.original_parts();
        let work = LeafWorkSheet { added_leaves: vec![leaf.clone()], ..no_work() };
        let parts = with_kit(&catalogue, &van, &leaf_kit(work));
        // between these loads the original second stage is not met yet with either
        let sinks =
            |parts: &[AxleParts; 2]| arch_mm(&van, parts, REAR, 50.0) - arch_mm(&van, parts, REAR, 150.0);
        let lift = |more_kg| arch_mm(&van, &parts, REAR, more_kg) - arch_mm(&van, &originals, REAR, more_kg);
        // the stiffer pack of the heavy grade touches it only just when empty
        assert!(lift(0.0) > 0.0 && lift(500.0) > lift(0.0) + 2.0, "{} {}", lift(0.0), lift(500.0));
        assert!(sinks(&parts) < 0.8 * sinks(&originals), "{} {}", sinks(&parts), sinks(&originals));
    }
}

#[test]
fn law_a_millimetre_at_the_bolt_of_a_torsion_bar_is_what_the_sensitivities_say() {
    let catalogue = demo();
    for van in grades(&catalogue) {
        let turned = |bolt_m: f64| {
            let mut parts = van.original_parts();
            parts[FRONT].seat_shift_m += bolt_m;
            parts
        };
        let (assembled, rest) = at_rest(&van, &turned(0.0), 0.0);
        let sensitivities = Sensitivities::at(&assembled, &rest);
        let both = [0, 1].map(|i| sensitivities.response_to(Parameter::SeatShift(i)).arch_height_m);
        let per_mm = axle_mean(&both[0], FRONT) + axle_mean(&both[1], FRONT);
        let step_m = 1e-4;
        let found = (arch_mm(&van, &turned(step_m), FRONT, 0.0)
            - arch_mm(&van, &turned(-step_m), FRONT, 0.0))
            / mm_from_m(2.0 * step_m);
        // central difference: error of the order of the step squared, relative to a travel of a decimetre
        assert!((found / per_mm - 1.0).abs() < 1e-4, "{found} {per_mm}");
        // the wheel moves 379 mm per radian of its arm, the anchor's arm is 128 mm; bushes and the fall of the
        // motion ratio take or give up to a fifth
        assert!((found / (379.0 / 128.0) - 1.0).abs() < 0.2, "{found}");
    }
}

#[test]
fn law_more_air_pressure_lifts_the_more() {
    let catalogue = demo();
    for id in ["quillmer-bellows-leaf", "quillmer-sleeve-sorvel", "quillmer-sleeve-long"] {
        let kit = catalogue.kit(id).unwrap();
        let sheet = catalogue.vehicle(&kit.fits[0]).unwrap();
        for grade in &sheet.grades {
            let van = PreparedVan::new(sheet, grade, None).unwrap();
            let parts = with_kit(&catalogue, &van, kit);
            let limits = parts[REAR].air.as_ref().unwrap().spring.limits();
            let mut last_mm = arch_mm(&van, &van.original_parts(), REAR, 500.0);
            for k in 0..=8 {
                let share = f64::from(k) / 8.0;
                let pressure_pa =
                    limits.least_pressure_pa * (1.0 - share) + limits.greatest_pressure_pa * share;
                let mut at_pressure = parts.clone();
                at_pressure[REAR].air.as_mut().unwrap().charge = AirCharge::Open(pressure_pa);
                let mm = arch_mm(&van, &at_pressure, REAR, 500.0);
                assert!(mm > last_mm + 0.5, "{id} at {pressure_pa} Pa: {mm} after {last_mm}");
                last_mm = mm;
            }
        }
    }
}

#[test]
fn law_gas_shut_in_reads_less_where_the_rear_axle_carries_less() {
    let catalogue = demo();
    let enquiry = enquiry(&catalogue, "heavy-camper-on-leaves");
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let set_up = known.set_up(catalogue.kit("quillmer-bellows-leaf").unwrap()).unwrap();
    let air = &set_up.air[0];
    let loads = |state: LoadState| set_up.result.states[state as usize].axle_load_kg[REAR].value;
    let mut by_load = air.in_states.clone();
    by_load.sort_by(|a, b| loads(a.state).total_cmp(&loads(b.state)));
    for pair in by_load.windows(2) {
        assert!(pair[0].pressure_bar < pair[1].pressure_bar, "{pair:?}");
    }
    let filled = air.in_states.iter().find(|there| there.state == air.filled_in).unwrap();
    assert!((filled.pressure_bar - air.pressure_bar).abs() < 1e-6, "as filled where it was filled");
}

#[test]
fn law_parts_for_another_kind_of_axle_are_refused_with_the_reason() {
    let catalogue = demo();
    let coil_van = &catalogue.vehicles[0];
    let on_coils = PreparedVan::new(coil_van, &coil_van.grades[0], None).unwrap();
    let on_bars = grades(&catalogue).next().unwrap();
    let spring = |spring| KitAxle { spring: Some(spring), ..KitAxle::default() };
    let bars = KitSpring::TorsionBars { rate_nm_per_deg: 100.0, untwisted_below_design_deg: 16.0 };
    let coil = KitSpring::Known { law: SpringLaw::Rate(30.0), free_length_mm: 400.0, solid_length_mm: None };
    let cases = [
        (&on_coils, leaf_kit(no_work()), "no leaf springs"),
        (&on_coils, kit(spring(bars), KitAxle::default()), "no torsion bars"),
        (&on_bars, kit(spring(coil), KitAxle::default()), "sprung by torsion bars"),
    ];
    for (van, kit, why) in cases {
        let refused = van.with_kit(&van.original_parts(), &kit, &catalogue.tolerances).unwrap_err();
        assert!(refused.to_string().contains(why), "{refused}");
    }
}

#[test]
fn law_heavier_torsion_bars_are_untwisted_where_their_maker_says() {
    let catalogue = demo();
    for van in grades(&catalogue) {
        // bars of the original rate that are free of twist where the original ones are stand where these do
        let original = &van.original_parts()[FRONT];
        let (assembled, rest) = at_rest(&van, &van.original_parts(), 0.0);
        let spring = assembled.corners[0].spring_at(rest.axle_travel(0));
        let SpringLaw::Torsion(rate_nm_per_deg) = van.grade.front_spring.law else { panic!() };
        let lever_m = (rate_nm_per_deg.to_degrees() / spring.main_rate_n_per_m).sqrt();
        let untwisted_below_design_deg =
            (original.spring.main.free_length_m / lever_m - std::f64::consts::TAU).to_degrees();
        let bars = KitSpring::TorsionBars { rate_nm_per_deg, untwisted_below_design_deg };
        let same = kit(KitAxle { spring: Some(bars), ..KitAxle::default() }, KitAxle::default());
        let parts = with_kit(&catalogue, &van, &same);
        let apart = arch_mm(&van, &parts, FRONT, 0.0) - arch_mm(&van, &van.original_parts(), FRONT, 0.0);
        assert!(apart.abs() < 1e-6, "{apart}");
        assert!((15.0..25.0).contains(&untwisted_below_design_deg), "{untwisted_below_design_deg}");
    }
}

#[test]
fn law_captivity_is_asked_of_coils_alone() {
    let catalogue = demo();
    let enquiry = enquiry(&catalogue, "lower-for-the-garage");
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    for kit in catalogue.kits_for(VAN) {
        let KitOutcome::Sits(answer) = known.kit(kit).outcome else { panic!("{} does not stand", kit.id) };
        for corner in answer.states.iter().flat_map(|sit| &sit.corners) {
            assert!(corner.travel.captive_in_hand_mm.is_none(), "{}", kit.id);
        }
    }
}

#[test]
fn law_bushes_are_free_of_twist_at_rest_after_torsion_bars_were_turned() {
    let catalogue = demo();
    let enquiry = enquiry(&catalogue, "lower-for-the-garage");
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let fitment = known.set_up_fitment(catalogue.kit("hasterby-low-deck-leaf-40").unwrap()).unwrap();
    // today's bushes stay where they were clamped; the turned ones follow the van down
    assert!(fitment.bushes_clamped_at_m[0] > 0.02, "{:?}", fitment.bushes_clamped_at_m);
    let untouched = known.set_up_fitment(catalogue.kit("quillmer-even-leaf").unwrap()).unwrap();
    assert!(untouched.bushes_clamped_at_m[0].abs() < 1e-12);
}

#[test]
fn law_the_chain_behind_a_height_names_what_carries() {
    let catalogue = demo();
    let cases = [
        ("lower-for-the-garage", "hasterby-low-deck-leaf-40", 0, "the torsion bar is twisted by"),
        ("heavy-camper-on-leaves", "varnmoor-leaf-plus", 2, "added leaves"),
        ("heavy-camper-on-leaves", "quillmer-bellows-leaf", 2, "the air spring has"),
        ("over-the-rear-limit", "quillmer-sleeve-sorvel", 2, "the air spring has"),
    ];
    for (name, kit, corner, said) in cases {
        let enquiry = enquiry(&catalogue, name);
        let known = KnownVan::of(&catalogue, &enquiry).unwrap();
        let state = enquiry.aim.state;
        let why = known.why(catalogue.kit(kit), Asked::ArchHeight, corner, state).unwrap();
        assert!(why.steps.iter().any(|step| step.en.contains(said)), "{kit}: {:?}", why.steps);
        // no length of the stand-in of a torsion bar, which means nothing to people
        assert!(corner != 0 || why.steps.iter().all(|step| !step.en.contains("mm long")), "{:?}", why.steps);
    }
}

/// Faults of a demo file after one replacement.
fn faults_with(path: &str, old: &str, new: &str) -> Vec<Fault> {
    let file = demo_file(path);
    assert!(file.text.contains(old), "{path} does not hold {old}");
    faults_of(&folder_with(DataFile { text: file.text.replacen(old, new, 1), ..file }))
}

#[test]
fn law_a_rate_of_the_wrong_kind_is_a_named_fault() {
    let cases = [
        (
            "vehicles/sorvel.toml",
            "rate_n_per_mm = 27.5",
            "torsion_rate_nm_per_deg = 80",
            "grades[0].front_spring",
            "there is no torsion bar",
        ),
        (
            "vehicles/wendor.toml",
            "torsion_rate_nm_per_deg = 82",
            "rate_n_per_mm = 30",
            "grades[0].front_spring",
            "torsion_rate_nm_per_deg",
        ),
        (
            "kits/keltrop-short-30.toml",
            "rate_n_per_mm = 30",
            "torsion_rate_nm_per_deg = 80",
            "front.spring.torsion_rate_nm_per_deg",
            "torsion_bars",
        ),
    ];
    for (path, old, new, field, allowed) in cases {
        let faults = faults_with(path, old, new);
        assert!(
            faults.iter().any(|fault| fault.field == field && fault.allowed.contains(allowed)),
            "{path}: {faults:?}"
        );
    }
}

#[test]
fn law_the_schema_knows_the_fields_of_leaves_bars_and_air() {
    let kit = Kind::Kit.schema().to_string();
    for field in ["leaf_work", "block_mm", "re_arched_mm", "air", "area_over_height", "torsion_bars"] {
        assert!(kit.contains(&format!("\"{field}\"")), "{field}");
    }
    let vehicle = Kind::Vehicle.schema().to_string();
    for field in ["leaf_axle", "torsion_bar", "interleaf_friction_percent", "base_mm", "added_leaves"] {
        assert!(vehicle.contains(&format!("\"{field}\"")), "{field}");
    }
    let rules = Kind::Rules.schema().to_string();
    for field in ["rear_leaf_work", "air_springs"] {
        assert!(rules.contains(&format!("\"{field}\"")), "{field}");
    }
}

/// The rear axle of the van on a twist beam, put on links instead: two lower links, one upper, a lateral rod.
const LINK_AXLE: &str = r#"kind = "link_axle"
wheel_centre_mm = [-2755, 760, 312]
lower_link_body_mm = [-2300, 480, 300]
lower_link_axle_mm = [-2740, 500, 280]
upper_link_body_mm = [-2380, 60, 430]
upper_link_axle_mm = [-2720, 40, 440]
lateral_rod_body_mm = [-2860, 480, 330]
lateral_rod_axle_mm = [-2860, -480, 325]
"#;

fn on_links() -> Catalogue {
    let path = "vehicles/ulmar.toml";
    let text = demo_file(path).text;
    let start = text.find("kind = \"twist_beam\"").unwrap();
    let end = start + text[start..].find("spring_seat_lower_mm").unwrap();
    let text = format!("{}{LINK_AXLE}{}", &text[..start], &text[end..]);
    Catalogue::read(&folder_with(DataFile { path: path.to_owned(), text })).unwrap()
}

#[test]
fn law_springs_on_a_twist_beam_and_on_links_lower_both_sides_alike() {
    for catalogue in [demo(), on_links()] {
        let sheet = catalogue.vehicle("ulmar").unwrap();
        for grade in &sheet.grades {
            let van = PreparedVan::new(sheet, grade, None).unwrap();
            let original = van.original_parts();
            let lower = catalogue.kits_for("ulmar").find(|kit| kit.id == "keltrop-box-30").unwrap();
            let lowered = van.with_kit(&original, lower, &catalogue.tolerances).unwrap();
            let drop_mm = arch_mm(&van, &original, REAR, 0.0) - arch_mm(&van, &lowered, REAR, 0.0);
            assert!((5.0..45.0).contains(&drop_mm), "{}: {drop_mm}", grade.id);
            let (_, rest) = at_rest(&van, &lowered, 0.0);
            // the lateral rod moves the axle sideways by a few millimetres, and the load on it by as little
            let lean_mm = mm_from_m(rest.arch_height_m[2] - rest.arch_height_m[3]).abs();
            assert!(lean_mm < 2.0, "{}: {lean_mm}", grade.id);
        }
    }
}

#[test]
fn law_a_bar_beside_a_twist_beam_is_a_named_fault() {
    let faults =
        faults_with("vehicles/ulmar.toml", "[rear.tyre]", "[rear.bar]\nrate_nm_per_deg = 10\n\n[rear.tyre]");
    assert!(faults.iter().any(|fault| fault.to_string().contains("twist beam")), "{faults:?}");
}
