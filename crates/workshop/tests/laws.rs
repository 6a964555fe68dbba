//! Laws that every answer keeps, on the demo workshop's data.

#![allow(clippy::unwrap_used, clippy::panic)] // test helpers outside #[test] functions

mod common;

use common::*;
use mechanics::linkage::{LeafFittings, TravelMode};
use mechanics::statics::{FRONT, Parameter, REAR, Sensitivities};
use serde_json::Value;
use workshop::answer::{Answer, FitmentAnswer, KitAnswer, KitOutcome, KnownVan};
use workshop::assembly::{PreparedVan, axle_mean, axle_sheet};
use workshop::catalogue::{Catalogue, DataFile};
use workshop::document::unit_of;
use workshop::enquiry::{Enquiry, ScaleReading, Wish, WishKind};
use workshop::figure::Figure;
use workshop::fitment::Fitment;
use workshop::kinematics::kinematics;
use workshop::kit::{Kit, KitSpring};
use workshop::load_list::LoadState;
use workshop::loads::Carried;
use workshop::ride::Promise;
use workshop::shortlist::{KitOption, shortlist};
use workshop::sit::Sit;
use workshop::spring_sheet::SpringLaw;
use workshop::suspension::suspension;
use workshop::units::mm_from_m;
use workshop::vehicle_sheet::{AxleSheet, TyreSheet, VehicleSheet};

fn assert_near(actual: f64, expected: f64, tolerance: f64, what: &str) {
    assert!((actual - expected).abs() <= tolerance, "{what}: {actual} is not {expected} within {tolerance}");
}

fn answered(catalogue: &Catalogue, enquiry: &Enquiry) -> Answer {
    answer(catalogue, enquiry).unwrap()
}

fn sits(kit: &KitAnswer) -> &FitmentAnswer {
    match &kit.outcome {
        KitOutcome::Sits(fitment) => fitment,
        KitOutcome::CannotBeComputed(why) => panic!("{}: {why:?}", kit.kit),
    }
}

/// Today and every kit.
fn fitments(answer: &Answer) -> Vec<&FitmentAnswer> {
    std::iter::once(&answer.today).chain(answer.kits.iter().map(sits)).collect()
}

fn all_sits(answer: &Answer) -> Vec<&Sit> {
    fitments(answer).into_iter().flat_map(|fitment| fitment.states.iter()).collect()
}

fn arch_mm(sit: &Sit) -> [f64; 4] {
    std::array::from_fn(|i| sit.corners[i].arch_height_mm.value)
}

fn today_arch_mm(catalogue: &Catalogue, enquiry: &Enquiry, state: LoadState) -> [f64; 4] {
    arch_mm(&KnownVan::of(catalogue, enquiry).unwrap().today().states[state as usize])
}

/// A kit for the demo van whose axles bring nothing.
fn bare_kit() -> Kit {
    const TEXT: &str = "id = 'bare'\nname = 'Bare'\nmaker = 'Nobody'\nfamily = 'dampers'\nfits = ['sorvel']\n[front]\n[rear]";
    let kit = DataFile { path: "kits/bare.toml".into(), text: TEXT.into() };
    Catalogue::read(&[demo_file("facts.toml"), demo_file("vehicles/sorvel.toml"), kit])
        .unwrap()
        .kits
        .remove(0)
}

#[test]
fn law_original_springs_stand_in_running_order_as_the_sheet_says() {
    let catalogue = demo();
    for sheet in &catalogue.vehicles {
        for grade in &sheet.grades {
            let van = PreparedVan::new(sheet, grade, None).unwrap();
            let rest = van.assemble(&van.original_parts(), &Carried::running_order(sheet)).rest().unwrap();
            let stated = [grade.front_spring.arch_height_mm, grade.rear_spring.arch_height_mm];
            for i in 0..4 {
                let what = format!("{} {}", grade.id, ["front", "rear"][i / 2]);
                assert_near(mm_from_m(rest.arch_height_m[i]), stated[i / 2], 0.01, &what);
            }
        }
    }
}

#[test]
fn law_a_mirrored_load_mirrors_the_van() {
    let catalogue = demo();
    let mut mirrored = catalogue.clone();
    let order = &mut mirrored.vehicles[0].running_order;
    order.driver_place.left_of_centre_mm *= -1.0;
    order.fuel_place.left_of_centre_mm *= -1.0;
    for name in ENQUIRIES {
        let enquiry = enquiry(&catalogue, name);
        let mut other = enquiry.clone();
        for carried in &mut other.items {
            carried.item.place.left_of_centre_mm *= -1.0;
        }
        for weighing in &mut other.weighed {
            if let ScaleReading::Corners([fl, fr, rl, rr]) = weighing.reading {
                weighing.reading = ScaleReading::Corners([fr, fl, rr, rl]);
            }
        }
        if let Some(heights) = &mut other.as_found {
            let [fl, fr, rl, rr] = heights.arch_height_mm;
            heights.arch_height_mm = [fr, fl, rr, rl];
        }
        let (here, there) = (answered(&catalogue, &enquiry), answered(&mirrored, &other));
        for (here, there) in all_sits(&here).into_iter().zip(all_sits(&there)) {
            for (i, j) in [(0, 1), (1, 0), (2, 3), (3, 2)] {
                let (a, b) = (&here.corners[i], &there.corners[j]);
                let what = format!("{name} {:?} {}", here.state, a.corner);
                assert_same_figure(&a.arch_height_mm, &b.arch_height_mm, 1.0, &what);
                assert_same_figure(&a.corner_load_kg, &b.corner_load_kg, 1.0, &what);
                assert_same_figure(&a.drop_against_original_mm, &b.drop_against_original_mm, 1.0, &what);
                let (a, b) = (&a.travel, &b.travel);
                assert_same_figure(&a.bump_travel_to_metal_mm, &b.bump_travel_to_metal_mm, 1.0, &what);
            }
            for axle in [FRONT, REAR] {
                assert_same_figure(&here.lean_mm[axle], &there.lean_mm[axle], -1.0, name);
            }
            assert_same_figure(&here.level_mm, &there.level_mm, 1.0, name);
        }
    }
}

/// Values to a ten-thousandth (the balance is solved to less), ranges likewise.
fn assert_same_figure(a: &Figure, b: &Figure, sign: f64, what: &str) {
    assert_near(b.value, sign * a.value, 1e-4, what);
    assert_near(b.half_width(), a.half_width(), 1e-4, what);
}

fn twice_as_stiff(axle: &mut AxleSheet) {
    let twice = |value: &mut Option<f64>| *value = value.map(|value| 2.0 * value);
    axle.unsprung_mass_kg *= 2.0;
    axle.tyre.rate_n_per_mm *= 2.0;
    axle.damper.gas_force_n *= 2.0;
    axle.damper.gas_rate_n_per_mm *= 2.0;
    axle.damper.friction_n *= 2.0;
    twice(&mut axle.bush_rate_nm_per_deg);
    twice(&mut axle.spring_mount_rate_n_per_mm);
    for row in axle.stop.iter_mut().flat_map(|stop| &mut stop.force_over_compression) {
        row[1] *= 2.0;
    }
    if let Some(bar) = &mut axle.bar {
        bar.rate_nm_per_deg *= 2.0;
    }
}

/// All forces of the balance are homogeneous: twice the mass on parts of twice the force at every length and the same
/// friction in proportion rests where the original does.
#[test]
fn law_twice_the_mass_on_twice_the_stiffness_stands_the_same() {
    let catalogue = demo();
    let mut heavy = catalogue.clone();
    let sheet: &mut VehicleSheet = &mut heavy.vehicles[0];
    sheet.running_order.front_axle_kg *= 2.0;
    sheet.running_order.rear_axle_kg *= 2.0;
    sheet.running_order.fuel_density_kg_per_l *= 2.0;
    for grade in &mut sheet.grades {
        for spring in [&mut grade.front_spring, &mut grade.rear_spring] {
            match &mut spring.law {
                SpringLaw::Rate(rate) => *rate *= 2.0,
                SpringLaw::LoadOverLength(rows) => rows.iter_mut().for_each(|row| row[1] *= 2.0),
                SpringLaw::Torsion(rate) => *rate *= 2.0,
                SpringLaw::Leaves(leaves) => leaves.width_mm *= 2.0,
            }
        }
    }
    twice_as_stiff(&mut sheet.front);
    twice_as_stiff(&mut sheet.rear);
    for name in ENQUIRIES {
        let mut light = enquiry(&catalogue, name);
        // readings carry errors in kilograms and newtons of their own
        (light.weighed, light.as_found) = (Vec::new(), None);
        let mut enquiry = light.clone();
        for carried in &mut enquiry.items {
            carried.item.mass_kg *= 2.0;
        }
        for aboard in &mut enquiry.aboard {
            // the driver of running order, 75 kg, is doubled with it
            aboard.driver_kg = 75.0 + 2.0 * (aboard.driver_kg - 75.0);
        }
        if let Some(tyre) = &mut enquiry.tyre {
            tyre.rate_n_per_mm *= 2.0;
        }
        let (here, there) =
            (KnownVan::of(&catalogue, &light).unwrap(), KnownVan::of(&heavy, &enquiry).unwrap());
        for (here, there) in here.today().states.iter().zip(there.today().states.iter()) {
            for (a, b) in here.corners.iter().zip(&there.corners) {
                let what = format!("{name} {:?} {}", here.state, a.corner);
                assert_near(b.arch_height_mm.value, a.arch_height_mm.value, 1e-3, &what);
                assert_near(b.lowest_rest_mm, a.lowest_rest_mm, 1e-3, &what);
                assert_near(b.highest_rest_mm, a.highest_rest_mm, 1e-3, &what);
                assert_near(b.corner_load_kg.value, 2.0 * a.corner_load_kg.value, 1e-2, &what);
            }
        }
    }
}

#[test]
fn law_new_original_parts_drop_nothing_against_the_original() {
    let catalogue = demo();
    for name in ENQUIRIES {
        let enquiry = enquiry(&catalogue, name);
        let van = KnownVan::of(&catalogue, &enquiry).unwrap();
        for sit in van.sits_on(&Fitment::as_new(&van.van)).unwrap().states.iter() {
            for corner in &sit.corners {
                assert_near(corner.drop_against_original_mm.value, 0.0, 1e-6, corner.corner);
                assert_near(corner.drop_against_original_mm.half_width(), 0.0, 1e-6, corner.corner);
            }
        }
    }
}

#[test]
fn law_a_kit_that_brings_nothing_drops_nothing() {
    let catalogue = demo();
    let kit = bare_kit();
    for name in ENQUIRIES {
        let enquiry = enquiry(&catalogue, name);
        let van = KnownVan::of(&catalogue, &enquiry).unwrap();
        for sit in sits(&van.kit(&kit)).states.iter() {
            let drop = sit.mean_drop_against_today_mm.as_ref().unwrap();
            assert_near(drop.value, 0.0, 1e-6, name);
            assert_near(drop.half_width(), 0.0, 1e-6, name);
        }
    }
}

#[test]
fn law_dampers_alone_move_the_arch_by_their_gas_force_only() {
    let catalogue = demo();
    let enquiry = enquiry(&catalogue, DAY_VAN);
    let van = KnownVan::of(&catalogue, &enquiry).unwrap();
    let kit_with = |more_gas_n: f64| {
        let mut kit = bare_kit();
        let sheet = &catalogue.vehicles[0];
        for (axle, parts) in [(&sheet.front, &mut kit.front), (&sheet.rear, &mut kit.rear)] {
            let mut damper = axle.damper.clone();
            damper.gas_force_n += more_gas_n;
            // neither of these holds the body up
            damper.friction_n *= 2.0;
            damper.closed_length_mm -= 5.0;
            parts.as_mut().unwrap().damper = Some(damper);
        }
        kit
    };
    let more_gas_n = 20.0;
    let (same, more) = (van.kit(&kit_with(0.0)), van.kit(&kit_with(more_gas_n)));
    for state in LoadState::ALL {
        let [same, more] = [&same, &more].map(|kit| &sits(kit).states[state as usize]);
        let today = van.solved_today(state);
        let sensitivities = Sensitivities::at(&today.van, &today.rest);
        for i in 0..4 {
            let [same, more] =
                [same, more].map(|sit| sit.corners[i].drop_against_today_mm.as_ref().unwrap().value);
            assert_near(same, 0.0, 1e-6, "drop by dampers of the same gas force");
            let rise_m: f64 = (0..4)
                .map(|j| sensitivities.response_to(Parameter::GasForce(j)).arch_height_m[i] * more_gas_n)
                .sum();
            assert!(rise_m > 0.0);
            // the response is that of the balance at today's height: second order over half a millimetre
            assert_near(-more, mm_from_m(rise_m), 0.02 * mm_from_m(rise_m), "rise by gas force");
        }
    }
}

#[test]
fn law_a_published_drop_is_met_at_its_reference_load() {
    let catalogue = demo();
    let grades =
        catalogue.vehicles.iter().flat_map(|sheet| sheet.grades.iter().map(move |grade| (sheet, grade)));
    for (sheet, grade) in grades {
        let van = PreparedVan::new(sheet, grade, None).unwrap();
        for kit in catalogue.kits_for(&sheet.id) {
            for axle in [FRONT, REAR] {
                let Some(KitSpring::DropOnly { maker_drop_mm, reference_axle_load_kg: Some(reference_kg) }) =
                    kit.axle(axle).and_then(|parts| parts.spring.as_ref())
                else {
                    continue;
                };
                let mut load_kg = [sheet.running_order.front_axle_kg, sheet.running_order.rear_axle_kg];
                load_kg[axle] = *reference_kg;
                let carried = Carried::axle_loads(sheet, load_kg);
                let originals = van.original_parts();
                let mut parts = originals.clone();
                let with_kit = van.with_kit(&originals, kit, &catalogue.tolerances).unwrap();
                parts[axle] = with_kit[axle].clone();
                let [before, after] = [&originals, &parts].map(|parts| {
                    axle_mean(&van.assemble(parts, &carried).rest().unwrap().arch_height_m, axle)
                });
                let what = format!("{} on {}, axle {axle}", kit.id, grade.id);
                assert_near(mm_from_m(before - after), *maker_drop_mm, 0.1, &what);
            }
        }
    }
}

fn rear_range_mm(sit: &Sit) -> f64 {
    sit.corners[2].arch_height_mm.half_width()
}

#[test]
fn law_a_worse_reading_widens_and_a_weighing_narrows_the_range() {
    let catalogue = demo();
    let mut careless = catalogue.clone();
    careless.tolerances.arch_reading_mm *= 4.0;
    let full = enquiry(&catalogue, CAMPER);
    let unweighed = Enquiry { weighed: Vec::new(), ..full.clone() };
    let unmeasured = Enquiry { as_found: None, ..full.clone() };
    let unknown = Enquiry { as_found: None, weighed: Vec::new(), ..full.clone() };
    let [full_today, careless_today, unmeasured_today, unknown_today] =
        [(&catalogue, &full), (&careless, &full), (&catalogue, &unmeasured), (&catalogue, &unknown)]
            .map(|(catalogue, enquiry)| answered(catalogue, enquiry).today);
    for state in LoadState::ALL {
        let range = |fitment: &FitmentAnswer| rear_range_mm(&fitment.states[state as usize]);
        assert!(range(&full_today) < range(&careless_today), "{state:?}");
        assert!(range(&careless_today) < range(&unmeasured_today), "{state:?}");
        assert!(range(&unmeasured_today) < range(&unknown_today), "{state:?}");
    }
    // weighing tells load from sag, which matters once other springs carry the load
    let (weighed, unweighed) = (answered(&catalogue, &full), answered(&catalogue, &unweighed));
    for (weighed, unweighed) in weighed.kits.iter().zip(&unweighed.kits) {
        for (here, there) in sits(weighed).states.iter().zip(sits(unweighed).states.iter()) {
            let (here_mm, there_mm) = (rear_range_mm(here), rear_range_mm(there));
            assert!(here_mm < there_mm + 0.05, "{} {:?}: {here_mm} {there_mm}", weighed.kit, here.state);
        }
    }
}

#[test]
fn law_heights_as_found_pull_the_prediction_to_themselves() {
    let catalogue = demo();
    for name in [CAMPER, "leaning-with-roof-tent"] {
        let enquiry = enquiry(&catalogue, name);
        let found = enquiry.as_found.clone().unwrap();
        let blind = Enquiry { as_found: None, ..enquiry.clone() };
        let before = today_arch_mm(&catalogue, &blind, found.state);
        let after = today_arch_mm(&catalogue, &enquiry, found.state);
        let miss = |arch_mm: [f64; 4]| -> f64 {
            (0..4).map(|i| (arch_mm[i] - found.arch_height_mm[i]).powi(2)).sum::<f64>().sqrt()
        };
        assert!(miss(after) < 0.5 * miss(before), "{name}: {before:?} to {after:?}");
        for i in 0..4 {
            // within what one reading is allowed to be wrong
            let tolerance_mm = catalogue.tolerances.arch_reading_mm;
            assert_near(after[i], found.arch_height_mm[i], tolerance_mm, &format!("{name} corner {i}"));
        }
    }
}

#[test]
fn law_only_weighing_tells_load_from_sag() {
    let catalogue = demo();
    let weighed = enquiry(&catalogue, CAMPER);
    let unweighed = Enquiry { weighed: Vec::new(), ..weighed.clone() };
    let blind = Enquiry { as_found: None, ..weighed.clone() };
    let told_apart = |enquiry: &Enquiry| -> Vec<bool> {
        answered(&catalogue, enquiry).as_found.iter().map(|axle| axle.told_apart).collect()
    };
    assert_eq!(told_apart(&weighed), [true, true]);
    assert_eq!(told_apart(&unweighed), [false, false]);
    assert_eq!(told_apart(&blind), [] as [bool; 0]);
}

/// Front and rear axle load of a load list by moments about the rear axle, kg.
fn axle_loads_by_moments(sheet: &VehicleSheet, enquiry: &Enquiry, state: LoadState) -> [f64; 2] {
    let (order, aboard) = (&sheet.running_order, &enquiry.aboard[state as usize]);
    let fuel_kg = order.fuel_tank_l * order.fuel_density_kg_per_l * (aboard.fuel_percent - 90.0) / 100.0;
    let mut masses = vec![
        (aboard.driver_kg - 75.0, order.driver_place.behind_front_axle_mm),
        (fuel_kg, order.fuel_place.behind_front_axle_mm),
    ];
    let aboard = enquiry.items.iter().filter(|carried| carried.states.contains(&state));
    masses.extend(aboard.map(|carried| (carried.item.mass_kg, carried.item.place.behind_front_axle_mm)));
    let rear_kg: f64 = masses.iter().map(|(kg, behind_mm)| kg * behind_mm / sheet.wheelbase_mm).sum();
    let total_kg: f64 = masses.iter().map(|(kg, _)| kg).sum();
    [order.front_axle_kg + total_kg - rear_kg, order.rear_axle_kg + rear_kg]
}

#[test]
fn law_unexplained_mass_is_weighed_less_listed() {
    let catalogue = demo();
    for name in ENQUIRIES {
        let enquiry = enquiry(&catalogue, name);
        let weighed = answered(&catalogue, &enquiry).weight.weighed;
        assert_eq!(weighed.len(), enquiry.weighed.len());
        for (mass, weighing) in weighed.iter().zip(&enquiry.weighed) {
            let on_the_scales = match weighing.reading {
                ScaleReading::Axles(axles) => axles,
                ScaleReading::Corners([fl, fr, rl, rr]) => [fl + fr, rl + rr],
            };
            let listed = axle_loads_by_moments(&catalogue.vehicles[0], &enquiry, weighing.state);
            for axle in [FRONT, REAR] {
                assert_near(mass.weighed_axle_kg[axle], on_the_scales[axle], 1e-9, name);
                assert_near(mass.listed_axle_kg[axle], listed[axle], 1e-9, name);
                assert_near(mass.unexplained_axle_kg[axle], on_the_scales[axle] - listed[axle], 1e-9, name);
            }
            let [front_kg, rear_kg] = mass.unexplained_axle_kg;
            let behind_mm = catalogue.vehicles[0].wheelbase_mm * rear_kg / (front_kg + rear_kg);
            if let Some(acts_at) = mass.acts_at {
                assert_near(acts_at.mass_kg, front_kg + rear_kg, 1e-6, name);
                assert_near(acts_at.behind_front_axle_mm[0], behind_mm, 1e-3, name);
                let by_corners = matches!(weighing.reading, ScaleReading::Corners(_));
                assert_eq!(acts_at.left_of_centre_mm.is_some(), by_corners, "{name}");
            }
        }
    }
}

/// The balance pitches the body and so moves its masses against the axles a little; level ground and design height, by
/// moments, agree with it to that.
#[test]
fn law_axle_loads_of_an_unread_van_are_those_of_its_load_list() {
    let catalogue = demo();
    let enquiry = enquiry(&catalogue, DAY_VAN);
    for state in answered(&catalogue, &enquiry).weight.states {
        let listed = axle_loads_by_moments(&catalogue.vehicles[0], &enquiry, state.state);
        assert_near(state.gross_kg.value, listed[0] + listed[1], 0.1, "gross mass");
        for axle in [FRONT, REAR] {
            assert_near(state.axle_load_kg[axle].value, listed[axle], 10.0, "axle load");
        }
    }
}

#[test]
fn law_loads_and_margins_add_up_to_the_plate() {
    let catalogue = demo();
    for name in ENQUIRIES {
        let enquiry = enquiry(&catalogue, name);
        let grade = catalogue.vehicles[0].grade(&enquiry.grade).unwrap();
        let plated = [grade.plated_front_axle_kg, grade.plated_rear_axle_kg];
        let answer = answered(&catalogue, &enquiry);
        let weight = &answer.weight;
        let running_kg = weight.mass_in_running_order_kg.value;
        assert_near(running_kg + weight.payload_kg.value, grade.plated_gross_kg, 1e-9, name);
        for (state, sit) in weight.states.iter().zip(answer.today.states.iter()) {
            let axles_kg: f64 = state.axle_load_kg.iter().map(|load| load.value).sum();
            let corners_kg: f64 = sit.corners.iter().map(|corner| corner.corner_load_kg.value).sum();
            assert_near(axles_kg, state.gross_kg.value, 1e-6, name);
            assert_near(corners_kg, state.gross_kg.value, 1e-6, name);
            let limits =
                [(&state.gross_kg, &state.gross_margin_kg, grade.plated_gross_kg)].into_iter().chain(
                    [FRONT, REAR]
                        .map(|axle| (&state.axle_load_kg[axle], &state.axle_margin_kg[axle], plated[axle])),
                );
            for (load, margin, plated_kg) in limits {
                assert_near(load.value + margin.value, plated_kg, 1e-6, name);
                assert_near(load.low + margin.high, plated_kg, 1e-6, name);
                assert_near(load.high + margin.low, plated_kg, 1e-6, name);
            }
        }
    }
}

/// No kit changes what the van weighs.
#[test]
fn law_kits_leave_the_gross_mass() {
    let catalogue = demo();
    for name in ENQUIRIES {
        let answer = answered(&catalogue, &enquiry(&catalogue, name));
        for kit in &answer.kits {
            for (sit, state) in sits(kit).states.iter().zip(&answer.weight.states) {
                let gross_kg: f64 = sit.axle_load_kg.iter().map(|load| load.value).sum();
                assert_near(gross_kg, state.gross_kg.value, 1e-6, &kit.kit);
            }
        }
    }
}

#[test]
fn law_a_larger_tyre_lifts_the_lip_and_leaves_the_arch_height() {
    let catalogue = demo();
    let standard = catalogue.vehicles[0].front.tyre.clone();
    let with_radius = |unloaded_radius_mm: f64| {
        let tyre = TyreSheet { unloaded_radius_mm, ..standard.clone() };
        let enquiry = Enquiry { tyre: Some(tyre), ..enquiry(&catalogue, CAMPER) };
        answered(&catalogue, &enquiry)
    };
    let (small, large) = (with_radius(340.0), with_radius(360.0));
    for (small, large) in all_sits(&small).into_iter().zip(all_sits(&large)) {
        for (small, large) in small.corners.iter().zip(&large.corners) {
            let arch = |corner: &workshop::sit::CornerSit| corner.arch_height_mm.value;
            assert_near(arch(large), arch(small), 0.05, "arch height");
            let lift_mm = large.lip_height_above_ground_mm.value - small.lip_height_above_ground_mm.value;
            assert_near(lift_mm, 20.0, 0.1, "lip above ground");
            assert_near(large.arch_gap_mm.value, small.arch_gap_mm.value - 20.0, 0.05, "arch gap");
        }
    }
}

/// A mean of two is known at least as well as they are on average (triangle inequality of standard deviations).
#[test]
fn law_the_arch_gap_of_an_axle_is_the_mean_of_its_wheels() {
    let catalogue = demo();
    for name in ENQUIRIES {
        let answer = answered(&catalogue, &enquiry(&catalogue, name));
        for sit in answer.today.states.iter() {
            for axle in [FRONT, REAR] {
                let [left, right] = [0, 1].map(|side| &sit.corners[2 * axle + side].arch_gap_mm);
                let mean = &sit.axle_arch_gap_mm[axle];
                assert_near(mean.value, 0.5 * (left.value + right.value), 1e-9, name);
                let widest_mm = 0.5 * (left.half_width() + right.half_width());
                assert!(mean.half_width() > 0.0 && mean.half_width() <= widest_mm + 1e-9, "{name}");
            }
        }
    }
}

#[test]
fn law_the_order_of_kits_and_files_does_not_matter() {
    let catalogue = demo();
    let enquiry = enquiry(&catalogue, CAMPER);
    let forwards = answered(&catalogue, &enquiry);
    let reversed = Catalogue::read(&demo_files().into_iter().rev().collect::<Vec<_>>()).unwrap();
    let mut backwards = answered(&reversed, &enquiry);
    backwards.kits.reverse();
    assert!(forwards == backwards);
    let van = KnownVan::of(&catalogue, &enquiry).unwrap();
    for kit in &forwards.kits {
        assert!(*kit == van.kit(catalogue.kit(&kit.kit).unwrap()), "{} alone", kit.kit);
    }
}

#[test]
fn law_the_same_question_twice_has_the_same_answer() {
    for name in ENQUIRIES {
        let [first, second] = [0, 1].map(|_| {
            let catalogue = demo();
            serde_json::to_string(&answered(&catalogue, &enquiry(&catalogue, name))).unwrap()
        });
        assert!(first == second, "{name}");
    }
}

#[test]
fn law_every_figure_lies_in_its_range_and_its_shares_are_shares() {
    let catalogue = demo();
    for name in ENQUIRIES {
        let answer = answered(&catalogue, &enquiry(&catalogue, name));
        each_figure(&serde_json::to_value(&answer).unwrap(), name);
    }
}

fn each_figure(value: &Value, path: &str) {
    if let (Some(low), Some(middle), Some(high)) =
        (value["low"].as_f64(), value["value"].as_f64(), value["high"].as_f64())
    {
        assert!(low <= middle && middle <= high, "{path}: {low} {middle} {high}");
        let shares =
            value["widened_by"].as_array().into_iter().flatten().map(|c| c["share"].as_f64().unwrap());
        let shares: Vec<f64> = shares.collect();
        assert!(shares.iter().all(|share| (0.0..=1.0).contains(share)), "{path}: {shares:?}");
        assert!(shares.windows(2).all(|two| two[0] >= two[1]), "{path}: {shares:?}");
    }
    match value {
        Value::Array(items) => {
            items.iter().enumerate().for_each(|(k, item)| each_figure(item, &format!("{path}[{k}]")));
        }
        Value::Object(fields) => {
            fields.iter().for_each(|(name, field)| each_figure(field, &format!("{path}.{name}")));
        }
        _ => {}
    }
}

/// Numbers that have no unit, and turns, which are their own.
const WITHOUT_UNIT: [&str; 16] = [
    // of a check whose figure is a ratio
    "figure_",
    "start_at",
    "count",
    "kits_in_or_out",
    "kits_otherwise",
    "minor_digits",
    "quantity",
    "pieces",
    "times",
    "share",
    "damping_ratio",
    "spring_motion_ratio",
    "damper_motion_ratio",
    "turns",
    "turns_from_delivered",
    "unequal_turns",
];

/// What a figure, or bounds on it, hold in the unit of the figure's name.
const OF_A_FIGURE: [&str; 7] =
    ["value", "low", "high", "widened_by", "half_width_without", "at_least", "at_most"];

/// Every number carries its unit in its own name; the numbers of a figure and the places of a list in the name of
/// what holds them; those beside a `unit` in that.
fn assert_units(value: &Value, name: &str, path: &str) {
    match value {
        Value::Number(_) => {
            let named = !unit_of(name).is_empty() || WITHOUT_UNIT.contains(&name);
            assert!(named, "{path} has no unit in its name");
        }
        Value::Array(items) => {
            items.iter().enumerate().for_each(|(k, item)| assert_units(item, name, &format!("{path}[{k}]")));
        }
        Value::Object(fields) => {
            for (own, field) in fields {
                let of_figure = OF_A_FIGURE.contains(&own.as_str());
                let beside = fields.get("unit").and_then(Value::as_str).map(|unit| format!("{own}_{unit}"));
                let named = beside.as_deref().unwrap_or(if of_figure { name } else { own });
                assert_units(field, named, &format!("{path}.{own}"));
            }
        }
        _ => {}
    }
}

#[test]
fn law_every_number_of_an_answer_carries_its_unit() {
    let catalogue = demo();
    for name in ENQUIRIES.into_iter().chain(["heavy-camper-on-leaves"]) {
        let enquiry = enquiry(&catalogue, name);
        let answer = answered(&catalogue, &enquiry);
        assert_units(&serde_json::to_value(&answer).unwrap(), "", "answer");
        let van = KnownVan::of(&catalogue, &enquiry).unwrap();
        let listed = shortlist(&van, &enquiry.wish).unwrap();
        assert_units(&serde_json::to_value(listed).unwrap(), "", "shortlist");
        for kit in catalogue.kits_for(&enquiry.vehicle) {
            let set_up = van.set_up(kit).unwrap();
            assert_units(&serde_json::to_value(set_up).unwrap(), "", "set-up");
        }
    }
    for axle in [FRONT, REAR] {
        let sheet = axle_sheet(&catalogue.vehicles[0], axle);
        let axle = suspension(sheet, LeafFittings::default(), 0.0).unwrap();
        let table = kinematics(&axle, TravelMode::Heave, 100.0, 10.0).unwrap();
        let table = serde_json::to_value(table).unwrap();
        assert_units(&table, "", "kinematics");
    }
}

#[test]
fn law_a_shortlist_has_every_kit_once_in_the_order_of_the_wish() {
    let catalogue = demo();
    for name in ENQUIRIES {
        let enquiry = enquiry(&catalogue, name);
        let known = KnownVan::of(&catalogue, &enquiry).unwrap();
        // what is not wished ranks nothing
        let wished =
            |kind: &WishKind| *kind != WishKind::Drop || enquiry.wish.drop_against_today_mm.is_some();
        for kind in WishKind::CHOICES.map(|(_, kind)| kind).into_iter().filter(wished) {
            let wish = Wish { kind, ..enquiry.wish };
            let listed = shortlist(&known, &wish).unwrap();
            let options = listed.options.iter().map(|option| option.kit.as_str());
            let mut ids: Vec<&str> = options.chain(listed.out.iter().map(|out| out.kit.as_str())).collect();
            let together: Vec<&str> = ids.iter().copied().filter(|id| id.contains('+')).collect();
            for id in &together {
                assert!(catalogue.offer(&enquiry.vehicle, id).is_some(), "{name}: {id}");
            }
            ids.retain(|id| !id.contains('+'));
            let mut sold: Vec<&str> = catalogue.kits.iter().map(|kit| kit.id.as_str()).collect();
            ids.sort_unstable();
            sold.sort_unstable();
            assert_eq!(ids, sold, "{name}");
            let key = |option: &KitOption| {
                let distance_mm = match kind {
                    WishKind::Drop => {
                        (option.drop_against_today_mm.value - wish.drop_against_today_mm.unwrap()).abs()
                    }
                    WishKind::Level => option.level_mm.value.abs(),
                    WishKind::Travel => -option.least_bump_travel_to_metal_mm.value,
                    WishKind::LoadReserve => -option.load_reserve_kg.as_ref().unwrap().value,
                    WishKind::Clearance => -option.ground_clearance_mm.as_ref().unwrap().value,
                    // a kit of which no difference can be promised ranks as none
                    WishKind::Comfort => option.comfort().map_or(f64::MAX, |change| {
                        let promised = change.promise != Promise::NoDifference;
                        if promised { change.comfort_change_percent.value } else { 0.0 }
                    }),
                };
                (option.stopped, !option.within_wishes, distance_mm)
            };
            for two in listed.options.windows(2) {
                assert!(
                    key(&two[0]) <= key(&two[1]),
                    "{name} {kind:?}: {} before {}",
                    two[0].kit,
                    two[1].kit
                );
            }
            for out in &listed.out {
                let because = &out.because;
                assert!(!because.reason.en.is_empty() && !because.source.is_empty(), "{} is out", out.kit);
            }
        }
    }
}
