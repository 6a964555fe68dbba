//! Rest on four corners against reference balances solved elsewhere, and laws every van keeps.

#![allow(clippy::unwrap_used, clippy::panic)] // test helpers outside #[test] functions

mod common;
#[path = "common/points.rs"]
mod points;
#[path = "common/strut.rs"]
mod reference_strut;

use std::sync::Arc;

use common::*;
use mechanics::elements::*;
use mechanics::linkage::{
    ArmKind, ArmMeasure, AxleTravel, JoinedAxle, LeafFittings, Linkage, MeasuredRatio, TapeMeasure,
    TapeMeasureAxle,
};
use mechanics::spring_design::{frequency_from_static_deflection_hz, rate_n_per_m};
use mechanics::statics::*;
use mechanics::{GRAVITY_M_PER_S2, linkage::Point};
use proptest::prelude::*;

fn assert_near(actual: f64, expected: f64, tolerance: f64, what: &str) {
    assert!((actual - expected).abs() <= tolerance, "{what}: {actual} is not {expected} within {tolerance}");
}

fn assert_all_near(actual: [f64; CORNERS], expected: [f64; CORNERS], tolerance: f64, what: &str) {
    for i in 0..CORNERS {
        assert_near(actual[i], expected[i], tolerance, &format!("{what}, corner {i}"));
    }
}

fn differences(a: [f64; CORNERS], b: [f64; CORNERS]) -> [f64; CORNERS] {
    std::array::from_fn(|i| a[i] - b[i])
}

fn independent_vans() -> [(&'static str, FourCorners); 3] {
    [("linear", linear_van()), ("hardpoints", hardpoint_van()), ("tape measure", tape_measure_van())]
}

fn vans() -> Vec<(&'static str, FourCorners)> {
    independent_vans().into_iter().chain(joined_vans()).collect()
}

fn weight_n(van: &FourCorners) -> f64 {
    let unsprung_kg: f64 = van.corners.iter().map(|corner| corner.unsprung_mass_kg).sum();
    (van.sprung.mass_kg + unsprung_kg) * GRAVITY_M_PER_S2
}

/// Rest positions closer than this are the same: the balance is solved to 1e-7 N, and the softest mode of these vans
/// has some 1e4 N/m, which leaves 1e-11 m.
const SAME_M: f64 = 1e-9;

// --- outside sources ---------------------------------------------------------------------------------------------

/// Rise of the body over each wheel per unit of a parameter, m: at the arch lip, which at an untilted rest rises
/// as the wheel-centre point of the body does but for the 50 mm it stands further out.
fn rise_over_wheels(response: &Response) -> [f64; CORNERS] {
    std::array::from_fn(|i| {
        let outboard_m = side_of(i) * LIP_OUTBOARD_M;
        response.arch_height_m[i] + response.wheel_centre_height_m[i] - response.roll_rad * outboard_m
    })
}

#[test]
fn val_one_raised_perch_loads_the_diagonal() {
    // Recomputed elsewhere (linear solution and energy minimisation agree to 1e-5 mm): left front preload up by
    // 320 N, the 10 mm of its perch times 32 N/mm. How the linear source maps on this model: see `linear_van`.
    let van = linear_van();
    let before = van.rest().unwrap();
    assert_all_near(before.travel_m, [0.0; CORNERS], SAME_M, "reference rest");
    let response = Sensitivities::at(&van, &before).response_to(Parameter::SeatShift(0));
    let load_kg = response.wheel_load_n.map(|per_m| per_m * 10.0 * MM / GRAVITY_M_PER_S2);
    assert_all_near(load_kg, [7.2461, -7.2461, -7.3304, 7.3304], 1e-3, "load change, kg");
    assert_near(load_kg.iter().sum(), 0.0, 1e-9, "sum of load changes, kg");
    let rise_mm = rise_over_wheels(&response).map(|per_m| per_m * 10.0);
    assert_all_near(rise_mm, [6.7422, 3.2578, 1.7221, -1.7221], 1e-3, "body rise, mm");
    // The full solution differs by the second order: the body stands some 2.5 mm higher on its wheels while it rolls
    // by 2 mrad, which moves 2200 kg × 2.5 mm × 2 mrad / 1.7 m = 0.006 kg across.
    let after = van.with(Parameter::SeatShift(0), 10.0 * MM).rest().unwrap();
    let full_kg = differences(after.wheel_load_n, before.wheel_load_n).map(|n| n / GRAVITY_M_PER_S2);
    assert_all_near(full_kg, load_kg, 0.01, "full solution, load change, kg");
}

#[test]
fn val_both_front_perches_raised_lift_the_front_alone() {
    // The source's own law for the same vehicle: both front perches up 10 mm lift the front 10 mm and change no load.
    let raised =
        linear_van().with(Parameter::SeatShift(0), 10.0 * MM).with(Parameter::SeatShift(1), 10.0 * MM);
    let (before, after) = (linear_van().rest().unwrap(), raised.rest().unwrap());
    // exact up to the square of the pitch, 8.4e-6, on the lengths and loads involved
    assert_near(after.body.heave_m, 10.0 * MM, 1e-5, "heave");
    assert_all_near(after.wheel_load_n, before.wheel_load_n, 0.2, "wheel load, N");
}

#[test]
fn val_lateral_offset_of_the_centre_of_gravity() {
    // Recomputed elsewhere with the same linear solver: sprung centre of gravity 30 mm left, springs as before.
    // Moving 2200 kg by 30 mm is moving 33 kg from 1 m right to 1 m left.
    let van = linear_van();
    let rest = van.rest().unwrap();
    let sensitivities = Sensitivities::at(&van, &rest);
    let [left, right] =
        [1.0, -1.0].map(|y| sensitivities.response_to(Parameter::MassAt([-1.65, y, WHEEL_HEIGHT_M])));
    let load_change_kg =
        differences(left.wheel_load_n, right.wheel_load_n).map(|n| 33.0 * n / GRAVITY_M_PER_S2);
    let load_kg = std::array::from_fn(|i| rest.wheel_load_n[i] / GRAVITY_M_PER_S2 + load_change_kg[i]);
    assert_all_near(load_kg, [652.040, 615.786, 621.121, 581.053], 1e-3, "wheel load, kg");
    let drop_mm = 33.0 * (rise_over_wheels(&right)[0] - rise_over_wheels(&left)[0]) / MM;
    assert_near(drop_mm, 4.7613, 1e-3, "drop over the left front wheel, mm");
    // The full solution differs by the second order: roll of 5.5 mrad leaves cos(roll) of the load along the guides,
    // 1.5e-5 of 170 mm of spring deflection, and as little of the loads.
    let mut moved = linear_van();
    moved.sprung.centre_of_gravity_m[1] = 0.030;
    let full_kg = moved.rest().unwrap().wheel_load_n.map(|n| n / GRAVITY_M_PER_S2);
    assert_all_near(full_kg, load_kg, 0.01, "full solution, wheel load, kg");
}

/// The linear van with the rear wheels on an axle joined by a beam and springs of one rate, at rest at design.
fn van_on_rear_axle(axle: &JoinedAxle, rate_n_per_m: f64) -> FourCorners {
    let mut van = linear_van();
    for (i, table) in [2, 3].into_iter().zip(axle.tables(0.1, 0.1).unwrap()) {
        let parts = Parts { unsprung_mass_kg: 75.0, tyre_rate_n_per_m: 280e3, ..Parts::plain(rate_n_per_m) };
        van.corners[i] = corner_at_rest(Arc::new(table), i, 2200.0 * 1.65 / 3.45 / 2.0, parts);
    }
    van.bars[REAR] = None;
    van
}

/// Moment with which the rear axle answers a roll, per roll of the body over the axle and over the ground, N m/rad: the
/// van answers to a weight moved from one side to the other.
fn roll_rates_of_rear_axle(van: &FourCorners) -> [f64; 2] {
    let rest = van.rest().unwrap();
    assert_all_near(rest.travel_m, [0.0; CORNERS], SAME_M, "rest at design");
    let sensitivities = Sensitivities::at(van, &rest);
    let [left, right] = [1.0, -1.0].map(|y_m| sensitivities.response_to(Parameter::MassAt([-2.0, y_m, 1.0])));
    let moved = left.plus(&right, -1.0);
    let track_m = 2.0 * van.corners[2].table.wheel_centre_design_m[1];
    let moment_nm = 0.5 * track_m * (moved.wheel_load_n[2] - moved.wheel_load_n[3]);
    let over_axle_rad = (moved.travel_m[2] - moved.travel_m[3]) / track_m;
    [moment_nm / over_axle_rad, -moment_nm / moved.roll_rad]
}

#[test]
fn val_roll_rate_of_a_rigid_axle_goes_by_its_spring_base() {
    // Gillespie, Fundamentals of Vehicle Dynamics, ch. 6, recomputed elsewhere: springs 60 N/mm on a base of 1.00 m,
    // tyres 280 N/mm on a track of 1.72 m: 1/2 k Ts² = 30000, with 1/2 kt T² = 414176 in series 27973.8 N m/rad.
    let points = axles::flat_leaf_points([-3.45, 0.86, WHEEL_HEIGHT_M], 0.50, 0.65);
    let axle = axles::leaf_axle(points, LeafFittings::default());
    let [springs, with_tyres] = roll_rates_of_rear_axle(&van_on_rear_axle(&axle, 60e3));
    assert_near(springs, 30_000.0, 0.1, "springs");
    assert_near(with_tyres, 27_973.8, 0.1, "springs and tyres in series");
}

#[test]
fn law_torsion_of_the_beam_gives_its_roll_rate_by_virtual_work() {
    // With the shear centre on the bush line each arm turns by z / L, so the beam twists by the roll times track over
    // arm: K_roll = K (T / L)². The springs stay as they are.
    let mut points = axles::twist_beam_points();
    points.wheel.wheel_centre_m = [-3.45, 0.86, WHEEL_HEIGHT_M];
    points.wheel.design_camber_rad = 0.0;
    points.wheel.design_toe_rad = 0.0;
    points.bush_m = [-3.00, 0.58, 0.37];
    points.shear_centre_m = [-3.00, 0.37];
    let mut van = van_on_rear_axle(&axles::twist_beam(points), 60e3);
    let [without, _] = roll_rates_of_rear_axle(&van);
    let rate_nm_per_rad = 3_000.0;
    van.bars[REAR] = Some(FittedBar::ThroughLinks(AntiRollBar { rate_nm_per_rad }));
    let [with, _] = roll_rates_of_rear_axle(&van);
    assert_near(with - without, rate_nm_per_rad * (1.72f64 / 0.45).powi(2), 0.1, "torsion of the beam");
}

const WHEELBASE_M: f64 = 3.45;

/// The ledger's lines; the first, the base vehicle, enters by its axle loads on the centre line.
fn ledger() -> Vec<(String, PointMass, [f64; 2])> {
    let mut reader = csv::Reader::from_reader(include_str!("reference/mass_ledger_case.csv").as_bytes());
    let records: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let number = |record: &csv::StringRecord, column: usize| record[column].parse::<f64>();
    let line = |record: &csv::StringRecord| {
        let mass_kg = number(record, 1).unwrap();
        let axles_kg = [4, 5].map(|column| number(record, column).unwrap());
        let x_behind_m = number(record, 2).unwrap_or(axles_kg[1] / mass_kg * WHEELBASE_M);
        let at_m = [-x_behind_m, number(record, 3).unwrap_or(0.0), 0.5];
        (record[0].to_string(), PointMass { mass_kg, at_m }, axles_kg)
    };
    records.iter().filter(|record| &record[0] != "TOTAL").map(line).collect()
}

#[test]
fn val_moment_ledger() {
    // Recomputed elsewhere: eight lines on a wheelbase of 3.45 m, one of them behind the rear axle.
    let lines = ledger();
    assert_eq!(lines.len(), 8);
    for (name, mass, [front_kg, rear_kg]) in &lines {
        let axles = AxleLoads::of(&[*mass], WHEELBASE_M);
        assert_near(axles.front_kg, *front_kg, 1e-3, name);
        assert_near(axles.rear_kg, *rear_kg, 1e-3, name);
    }
    let masses: Vec<PointMass> = lines.iter().map(|line| line.1).collect();
    let axles = AxleLoads::of(&masses, WHEELBASE_M);
    assert_near(axles.front_kg, 1314.8551, 1e-3, "front axle");
    assert_near(axles.rear_kg, 1233.1449, 1e-3, "rear axle");
    assert_near(axles.total_kg(), 2548.0, 1e-9, "total");
    let centre_m = centre_of_gravity_m(&masses).unwrap();
    assert_near(-centre_m[0], 1.669682, 1e-6, "centre of gravity behind the front axle");
    assert_near(centre_m[1] / MM, 2.0604, 1e-3, "lateral offset, mm");
    assert_eq!(centre_of_gravity_m(&[]), None);
}

#[test]
fn val_overhang_multiplies_a_mass_on_the_rear_axle() {
    // Recomputed elsewhere: 1 kg at 0.95 m behind the rear axle.
    let axles =
        AxleLoads::of(&[PointMass { mass_kg: 1.0, at_m: [-WHEELBASE_M - 0.95, 0.3, 0.9] }], WHEELBASE_M);
    assert_near(axles.rear_kg, 1.275362, 1e-6, "rear");
    assert_near(axles.front_kg, -0.275362, 1e-6, "front");
}

#[test]
fn val_height_of_the_centre_of_gravity_by_lifting() {
    // Recomputed elsewhere: 2400 kg, rear axle lifted to a slope of 10 deg.
    let height_m = centre_of_gravity_height_by_lifting_m(
        2400.0,
        1300.0,
        1360.1045,
        WHEELBASE_M,
        0.33,
        10f64.to_radians(),
    );
    assert_near(height_m, 0.8200, 1e-4, "height");
}

#[test]
fn val_frequency_from_static_deflection() {
    // Gillespie, Fundamentals of Vehicle Dynamics, ch. 5; recomputed elsewhere with g = 9.80665 m/s².
    for (deflection_mm, hz) in [(25.4, 3.12726), (100.0, 1.57609), (150.0, 1.28687), (248.5, 0.99981)] {
        let got_hz = frequency_from_static_deflection_hz(deflection_mm * MM);
        assert_near(got_hz, hz, 1e-4, &format!("{deflection_mm} mm"));
    }
}

#[test]
fn val_rate_of_a_van_size_coil() {
    // EN 13906-1 rate formula, recomputed elsewhere: wire 14 mm, coil 130 mm, 6.5 coils; hot-rolled bar (78.5 GPa,
    // EN 10089) and patented cold-drawn wire (81.5 GPa, EN 10270-1).
    for (modulus_pa, n_per_mm) in [(78.5e9, 26.3966), (81.5e9, 27.4054)] {
        assert_near(rate_n_per_m(modulus_pa, 0.014, 0.130, 6.5) * MM, n_per_mm, 1e-3, "rate, N/mm");
    }
}

// --- balance -----------------------------------------------------------------------------------------------------

#[test]
fn law_wheel_loads_carry_the_weight() {
    for (name, van) in vans() {
        let rest = van.rest().unwrap();
        // solved to 1e-7 N
        assert_near(rest.wheel_load_n.iter().sum(), weight_n(&van), 1e-6, name);
    }
}

#[test]
fn law_suspension_and_unsprung_weight_stand_on_the_tyre() {
    // Pitch and roll of a few mrad and the sideways and lengthwise path of the wheel leave the share that is not
    // vertical below one hundredth.
    for (name, van) in vans() {
        let rest = van.rest().unwrap();
        for i in 0..CORNERS {
            let sprung_n = rest.wheel_load_n[i] - van.corners[i].unsprung_mass_kg * GRAVITY_M_PER_S2;
            assert_near(van.suspension_force_n(&rest, i) / sprung_n, 1.0, 0.01, name);
        }
    }
}

/// The van seen in a mirror: left and right corners change places, masses change side.
fn mirrored(van: &FourCorners) -> FourCorners {
    let mut mirror = van.clone();
    mirror.sprung.centre_of_gravity_m[1] *= -1.0;
    for i in 0..CORNERS {
        mirror.corners[i] = Corner { side: side_of(i), ..van.corners[i ^ 1].clone() };
    }
    mirror
}

#[test]
fn law_mirrored_van_rests_mirrored() {
    for (name, van) in vans() {
        let van = van
            .with(Parameter::SeatShift(0), 7.0 * MM)
            .with(Parameter::SpringRate(3), -0.04)
            .with(Parameter::LipHeight(1), 5.0 * MM)
            .with(Parameter::MassAt([-2.0, 0.4, 1.1]), 80.0);
        let (here, there) = (van.rest().unwrap(), mirrored(&van).rest().unwrap());
        let swapped = |values: [f64; CORNERS]| [values[1], values[0], values[3], values[2]];
        assert_all_near(here.arch_height_m, swapped(there.arch_height_m), SAME_M, name);
        assert_all_near(here.wheel_load_n, swapped(there.wheel_load_n), 1e-4, name);
        assert_near(here.body.roll_rad, -there.body.roll_rad, SAME_M, name);
        assert_near(here.body.pitch_rad, there.body.pitch_rad, SAME_M, name);
    }
}

#[test]
fn law_same_rest_from_any_start() {
    let far = |k: f64| (0.08 * (1.7 * k).sin(), 0.06 * (2.3 * k).cos(), 0.05 * (3.1 * k).sin());
    for (name, van) in vans() {
        let rest = van.rest().unwrap();
        for k in 0..24 {
            let (heave_m, pitch_rad, roll_rad) = far(f64::from(k));
            let travel_m = std::array::from_fn(|i| 0.09 * (f64::from(k) + 1.3 * i as f64).sin());
            let again = van.rest_from(BodyPose { heave_m, pitch_rad, roll_rad }, travel_m).unwrap();
            assert_all_near(again.arch_height_m, rest.arch_height_m, SAME_M, name);
            assert_all_near(again.wheel_load_n, rest.wheel_load_n, 1e-4, name);
        }
    }
}

#[test]
fn law_vans_side_by_side_rest_as_each_alone() {
    // Vans of every kind beside each other, one that is no number, one that finds no rest, and starts near and far.
    let (_, sound) = vans().remove(0);
    let unknown = sound.with(Parameter::MassAt([-1.0, 0.0, 0.5]), f64::NAN);
    let loose = (0..CORNERS).fold(sound, |van, i| van.with(Parameter::FreeLength(i), -50.0));
    let kinds: Vec<FourCorners> =
        vans().into_iter().map(|(_, van)| van).chain([unknown, loose]).cycle().take(21).collect();
    for count in [1, 2, 3, 4, 7, kinds.len()] {
        let together = &kinds[kinds.len() - count..];
        let place = |k: usize| {
            let far = 0.08 * (1.7 * k as f64).sin();
            (BodyPose { heave_m: far, pitch_rad: 0.5 * far, roll_rad: -0.3 * far }, [far; CORNERS])
        };
        let places: Vec<_> = (0..count).map(place).collect();
        let rests = FourCorners::rests_from(together, &places);
        assert_eq!(rests.len(), count);
        for ((van, (body, travel_m)), rest) in together.iter().zip(places).zip(rests) {
            assert_eq!(rest, van.rest_from(body, travel_m));
        }
    }
}

#[test]
fn law_samples_of_a_van_rest_as_vans_that_were_changed() {
    for (name, van) in vans() {
        let sample = |k: usize| {
            let off = |i: usize| (1.3 * (CORNERS * k + i) as f64).sin();
            let mut sample = van.as_stated();
            let mut changed = van.clone();
            for i in 0..CORNERS {
                let by = [0.05 * off(i), 4.0 * MM * off(i + 1), 150.0 * off(i + 2)];
                let parameters =
                    [Parameter::SpringRate(i), Parameter::FreeLength(i), Parameter::WheelForce(i)];
                for (parameter, by) in parameters.into_iter().zip(by) {
                    changed.change(parameter, by);
                }
                sample.spring_factor[i] += by[0];
                sample.longer_m[i] = by[1];
                sample.wheel_force_n[i] = by[2];
            }
            sample.sprung.mass_kg *= 1.0 + 0.1 * off(1);
            sample.sprung.centre_of_gravity_m[k % 3] += 0.02;
            changed.sprung = sample.sprung;
            (sample, changed)
        };
        for count in [0, 1, 5] {
            let (samples, changed): (Vec<Sample>, Vec<FourCorners>) = (0..count).map(sample).unzip();
            let rests = van.rests_of(&samples, &vec![(BodyPose::default(), [0.0; CORNERS]); count]);
            assert_eq!(rests.len(), count);
            for (rest, changed) in rests.into_iter().zip(&changed) {
                let (got, wanted) = (rest.unwrap().arch_height_m, changed.rest().unwrap().arch_height_m);
                assert_all_near(got, wanted, SAME_M, name);
            }
        }
    }
}

#[test]
fn law_rest_band_holds_its_middle_and_grows_with_friction() {
    for (name, mut van) in vans() {
        let middle = van.rest().unwrap();
        let band = van.rest_band(&middle);
        for i in 0..CORNERS {
            assert!(band.lowest_arch_height_m[i] < middle.arch_height_m[i], "{name}, corner {i}");
            assert!(middle.arch_height_m[i] < band.highest_arch_height_m[i], "{name}, corner {i}");
        }
        for corner in &mut van.corners {
            corner.friction.base_n *= 2.0;
        }
        let wider = van.rest_band(&middle);
        for i in 0..CORNERS {
            assert!(wider.lowest_arch_height_m[i] < band.lowest_arch_height_m[i], "{name}, corner {i}");
            assert!(wider.highest_arch_height_m[i] > band.highest_arch_height_m[i], "{name}, corner {i}");
        }
        for corner in &mut van.corners {
            corner.friction = Friction::default();
        }
        let none = van.rest_band(&middle);
        assert_all_near(none.lowest_arch_height_m, none.highest_arch_height_m, SAME_M, name);
    }
}

#[test]
fn law_no_set_of_friction_directions_leaves_the_band() {
    for (name, van) in vans() {
        let middle = van.rest().unwrap();
        let band = van.rest_band(&middle);
        for signs in 0..16u8 {
            let mut held = van.clone();
            for (j, corner) in held.corners.iter_mut().enumerate() {
                let direction = if signs & (1 << j) == 0 { -1.0 } else { 1.0 };
                corner.wheel_force_n += direction * corner.friction_at_wheel_n(middle.axle_travel(j));
            }
            let rest = held.rest_from(middle.body, middle.travel_m).unwrap();
            for (i, arch_m) in rest.arch_height_m.into_iter().enumerate() {
                assert!(
                    arch_m > band.lowest_arch_height_m[i] - SAME_M,
                    "{name}, corner {i}, signs {signs:b}"
                );
                assert!(
                    arch_m < band.highest_arch_height_m[i] + SAME_M,
                    "{name}, corner {i}, signs {signs:b}"
                );
            }
        }
    }
}

// --- forces ------------------------------------------------------------------------------------------------------

/// Simpson's rule in 20 000 steps. At a kink of the integrand (a stop touched, a helper closed) it errs by less than
/// the jump of the slope times the square of the step: 1e6 N/m × (0.1 m / 20 000)² = 2.5e-5 J.
fn integral(f: impl Fn(f64) -> f64, from: f64, to: f64) -> f64 {
    const STEPS: usize = 20_000;
    let h = (to - from) / STEPS as f64;
    let weight = |k: usize| if k.is_multiple_of(2) { 2.0 } else { 4.0 };
    let inner: f64 = (1..STEPS).map(|k| weight(k) * f(from + h * k as f64)).sum();
    h / 3.0 * (f(from) + inner + f(to))
}

/// Energy stored between two travels in each part of a corner, J, integrated over the part's own length or angle.
fn stored_energy_j(corner: &Corner, from: AxleTravel, to: AxleTravel) -> f64 {
    let table = &corner.table;
    let design_m = table.spring_length_m.at(0.0).value;
    let space_m = |travel: AxleTravel| {
        design_m + corner.spring_travel_factor * (table.spring_length_m.at_both(travel).value - design_m)
            - table.seat_shift_ratio * (corner.seat_shift_m + corner.body_shift_m)
            - corner.seat_packing_m
    };
    let damper_m = |travel: AxleTravel| table.damper_length_m.at_both(travel).value - corner.body_shift_m;
    let spring_j = -integral(|l| corner.spring.at_space(l).force_n, space_m(from), space_m(to));
    let gas_j = -integral(|l| corner.damper.gas_at_length(l).force_n, damper_m(from), damper_m(to));
    let stop_j = corner.stop.as_ref().map_or(0.0, |fitted| {
        let trimmed_m = fitted.stop.whole_height_m() - fitted.stop.height_m;
        let compression_m = |travel: AxleTravel| match fitted.place {
            StopPlace::Damper => fitted.whole_contact_m - trimmed_m - damper_m(travel),
            StopPlace::Spring => fitted.whole_contact_m - trimmed_m - space_m(travel),
            StopPlace::Wheel { ratio, other_share } => {
                let at_stop_m = (1.0 - other_share) * travel.own_m + other_share * travel.other_m;
                ratio * (at_stop_m - fitted.whole_contact_m) - trimmed_m
            }
        };
        integral(|c| fitted.stop.at_compression(c).force_n, compression_m(from), compression_m(to))
    });
    let bush_j = match (corner.bush, &table.arm_angle_rad) {
        (Some(bush), Some(angle)) => {
            let clamped_rad = angle.at(bush.clamped_at_travel_m).value;
            let twist_rad = |travel: AxleTravel| angle.at_both(travel).value - clamped_rad;
            0.5 * bush.rate_nm_per_rad * (twist_rad(to).powi(2) - twist_rad(from).powi(2))
        }
        _ => 0.0,
    };
    // leaves of constant rate below their touch; gas at constant temperature: p₀ V₀ ln(V₀/V) less the work on the air
    let bend_m = |touch_m: f64, travel: AxleTravel| (touch_m - space_m(travel)).max(0.0);
    let leaves_j: f64 = corner
        .added_leaves
        .iter()
        .map(|leaf| {
            let at = |travel| 0.5 * leaf.rate_n_per_m * bend_m(leaf.touched_at_m, travel).powi(2);
            at(to) - at(from)
        })
        .sum();
    let air_j = corner.air.as_ref().map_or(0.0, |air| {
        let height_m = |travel: AxleTravel| {
            let from_design_m = table.spring_length_m.at_both(travel).value - design_m;
            air.height_at_design_m + air.height_per_spring_length * from_design_m
        };
        let volume_m3 = |travel| air.spring.volume_m3(height_m(travel));
        let absolute_pa = air.gauge_pressure_pa(height_m(from)) + STANDARD_ATMOSPHERE_PA;
        let (first_m3, last_m3) = (volume_m3(from), volume_m3(to));
        absolute_pa * first_m3 * (first_m3 / last_m3).ln() - STANDARD_ATMOSPHERE_PA * (first_m3 - last_m3)
    });
    spring_j + gas_j + stop_j + bush_j + leaves_j + air_j
}

#[test]
fn law_forces_are_the_slope_of_the_stored_energy() {
    for (name, van) in independent_vans() {
        for mut corner in van.corners {
            corner.seat_shift_m = 9.0 * MM;
            corner.seat_packing_m = 4.0 * MM;
            corner.body_shift_m = -6.0 * MM;
            corner.spring_travel_factor = 1.03;
            for (from_m, to_m) in [(-0.09, -0.03), (-0.03, 0.02), (0.02, 0.07)] {
                let work_j = integral(|t| corner.forces_at(AxleTravel::together(t)).total_n, from_m, to_m);
                let [from, to] = [from_m, to_m].map(AxleTravel::together);
                assert_near(work_j, stored_energy_j(&corner, from, to), 1e-4, name);
            }
        }
    }
}

/// Energy stored in the suspension of the rear axle, its bar included, between two pairs of travels, J.
fn stored_in_rear_axle_j(van: &FourCorners, from_m: [f64; 2], to_m: [f64; 2]) -> f64 {
    let travels = |[left_m, right_m]: [f64; 2]| {
        [AxleTravel { own_m: left_m, other_m: right_m }, AxleTravel { own_m: right_m, other_m: left_m }]
    };
    let (from, to) = (travels(from_m), travels(to_m));
    let corners_j: f64 =
        (0..2).map(|side| stored_energy_j(&van.corners[2 + side], from[side], to[side])).sum();
    let bar_j = |[left, right]: [AxleTravel; 2]| match van.bars[REAR] {
        Some(FittedBar::ThroughLinks(bar)) => {
            let angle_rad = |side: usize, travel| {
                van.corners[2 + side].table.bar_angle_rad.as_ref().unwrap().at_both(travel).value
            };
            0.5 * bar.rate_nm_per_rad * (angle_rad(0, left) - angle_rad(1, right)).powi(2)
        }
        _ => panic!("the bars of these vans hang on links"),
    };
    corners_j + bar_j(to) - bar_j(from)
}

#[test]
fn law_both_wheels_of_a_joined_axle_do_the_work_stored_in_its_parts_by_any_path() {
    for (name, van) in joined_vans() {
        let at_rest = van.rest().unwrap();
        let force_n = |side: usize, [left_m, right_m]: [f64; 2]| {
            let mut rest = at_rest;
            (rest.travel_m[2], rest.travel_m[3]) = (left_m, right_m);
            van.suspension_force_n(&rest, 2 + side)
        };
        let (from, to) = ([-0.05, 0.02], [0.04, -0.03]);
        let stored_j = stored_in_rear_axle_j(&van, from, to);
        // first one wheel, then the other, in 400 steps each: a kink of a stop errs by 1e6 N/m × (0.09 m / 400)²
        let steps = |f: &dyn Fn(f64) -> f64, from: f64, to: f64| coarse_integral(f, from, to);
        let left_first_j = steps(&|t| force_n(0, [t, from[1]]), from[0], to[0])
            + steps(&|t| force_n(1, [to[0], t]), from[1], to[1]);
        let right_first_j = steps(&|t| force_n(1, [from[0], t]), from[1], to[1])
            + steps(&|t| force_n(0, [t, to[1]]), from[0], to[0]);
        assert!(stored_j.abs() > 10.0);
        assert_near(left_first_j, stored_j, 0.05, name);
        assert_near(right_first_j, stored_j, 0.05, name);
    }
}

/// Simpson's rule in 400 steps.
fn coarse_integral(f: &dyn Fn(f64) -> f64, from: f64, to: f64) -> f64 {
    let h = (to - from) / 400.0;
    let weight = |k: u32| if k.is_multiple_of(2) { 2.0 } else { 4.0 };
    let inner: f64 = (1..400).map(|k| weight(k) * f(from + h * f64::from(k))).sum();
    h / 3.0 * (f(from) + inner + f(to))
}

#[test]
fn law_rest_is_the_least_energy_of_a_joined_axle() {
    // The body held where it rests, the wheels of the rear axle moved by a millimetre, alone, together, against each
    // other. A step costs at least half the wheel rate times its square, 0.01 J; the energy is flat there: what it
    // rises to one side and to the other differs by third order, 1e7 N/m² × 1e-9 m³.
    for (name, van) in joined_vans() {
        let rest = van.rest().unwrap();
        let at_rest = [rest.travel_m[2], rest.travel_m[3]];
        let on_tyres_j = |travel_m: [f64; 2]| -> f64 {
            let carried = |side: usize| {
                let corner = &van.corners[2 + side];
                let travel = AxleTravel { own_m: travel_m[side], other_m: travel_m[1 - side] };
                let [x_m, y_m] = [&corner.table.wheel_centre_x_m, &corner.table.wheel_centre_y_m]
                    .map(|curve| curve.at_both(travel).value);
                let z_m = corner.table.wheel_centre_design_m[2] + travel.own_m;
                let height_m = rest.body.height_of_m([x_m, corner.side * y_m, z_m]);
                let weight_j = corner.unsprung_mass_kg * GRAVITY_M_PER_S2 * height_m;
                let deflection_m = corner.tyre.unloaded_radius_m - height_m;
                weight_j + integral(|d| corner.tyre.at_deflection(d).force_n, 0.0, deflection_m)
            };
            carried(0) + carried(1)
        };
        for direction in [[1.0, 0.0], [0.0, 1.0], [1.0, 1.0], [1.0, -1.0]] {
            let rise_j = |step_m: f64| {
                let moved = [0, 1].map(|side| at_rest[side] + step_m * direction[side]);
                stored_in_rear_axle_j(&van, at_rest, moved) + on_tyres_j(moved) - on_tyres_j(at_rest)
            };
            let (up_j, down_j) = (rise_j(MM), rise_j(-MM));
            assert!(up_j > 0.01 && down_j > 0.01, "{name}, {direction:?}: {up_j}, {down_j}");
            assert_near(up_j, down_j, 0.01, &format!("{name}, {direction:?}"));
        }
    }
}

#[test]
fn law_wheel_rate_is_the_slope_of_the_wheel_force() {
    // Central differences at 1 µm: rounding 1e-12 of 1e4 N over 2e-6 m is 5e-3 N/m, against 2e4 N/m and more.
    // Travels avoid the points where a stop is touched or a measured curve has its knots.
    for (name, van) in vans() {
        for corner in &van.corners {
            for travel_m in [-0.0713, -0.0337, -0.0021, 0.0183, 0.0464] {
                let at = |t: f64| corner.forces_at(AxleTravel::together(t)).total_n;
                let slope = (at(travel_m + 1e-6) - at(travel_m - 1e-6)) / 2e-6;
                let rate = corner.forces_at(AxleTravel::together(travel_m)).rate_n_per_m;
                assert_near(slope / rate, 1.0, 1e-5, &format!("{name} at {travel_m}"));
            }
        }
    }
}

// --- what a change does --------------------------------------------------------------------------------------------

#[test]
fn law_mass_over_a_corner_never_raises_its_arch() {
    for (name, van) in vans() {
        let before = van.rest().unwrap();
        for i in 0..CORNERS {
            let [x, y, z] = van.corners[i].table.wheel_centre_design_m;
            for mass_kg in [1.0, 30.0, 120.0] {
                let at_m: Point = [x, side_of(i) * y, z + 0.5];
                let after = van.with(Parameter::MassAt(at_m), mass_kg).rest().unwrap();
                assert!(after.arch_height_m[i] < before.arch_height_m[i], "{name}, corner {i}, {mass_kg} kg");
            }
        }
    }
}

/// Front pair of collars raised by 30 mm: change of the rear arches, pitch.
fn front_pair_raised(van: &FourCorners) -> ([f64; 2], f64) {
    let raised = van.with(Parameter::SeatShift(0), 30.0 * MM).with(Parameter::SeatShift(1), 30.0 * MM);
    let (before, after) = (van.rest().unwrap(), raised.rest().unwrap());
    let change_m = differences(after.arch_height_m, before.arch_height_m);
    assert!(change_m[0] > 29.0 * MM && change_m[1] > 29.0 * MM);
    ([change_m[2], change_m[3]], after.body.pitch_rad - before.body.pitch_rad)
}

/// Lengths that the square of the pitch acts on (lip over wheel 0.46 m, spring deflection 0.12 m, rise over the
/// wheelbase 0.01 of it) stay below 1 m together.
const SECOND_ORDER_LENGTH_M: f64 = 1.0;

#[test]
fn law_raising_a_pair_of_collars_leaves_the_other_axle() {
    let (rear_m, pitch_rad) = front_pair_raised(&linear_van());
    let second_order_m = SECOND_ORDER_LENGTH_M * pitch_rad.powi(2);
    assert!(second_order_m < 0.1 * MM);
    for change_m in rear_m {
        assert!(change_m.abs() < second_order_m, "{change_m}");
    }
    // With the centre of gravity 0.5 m above the wheel centres, tilting takes m g h θ / L off the front axle and puts
    // it on the rear one.
    let height_m = 0.5;
    let mut van = linear_van();
    van.sprung.centre_of_gravity_m[2] += height_m;
    let (rear_m, pitch_rad) = front_pair_raised(&van);
    let transfer_n = van.sprung.mass_kg * GRAVITY_M_PER_S2 * height_m * pitch_rad.abs() / WHEELBASE_M;
    let drop_m = transfer_n / 2.0 / 45e3;
    for change_m in rear_m {
        assert!((change_m + drop_m).abs() < second_order_m + 0.02 * drop_m, "{change_m} is not -{drop_m}");
    }
}

#[test]
fn law_bushes_clamped_at_full_rebound_raise_the_van() {
    for (name, van) in [("hardpoints", hardpoint_van()), ("tape measure", tape_measure_van())] {
        let heights = |clamped_m: f64| {
            let mut van = van.clone();
            for corner in &mut van.corners {
                if let Some(bush) = &mut corner.bush {
                    bush.clamped_at_travel_m = clamped_m;
                }
            }
            van.rest().unwrap().arch_height_m
        };
        let (at_rebound, at_design) = (heights(-0.09), heights(0.0));
        for i in 0..CORNERS {
            if van.corners[i].bush.is_some() {
                assert!(at_rebound[i] < at_design[i] + 0.1 && at_rebound[i] > at_design[i], "{name}, {i}");
            }
        }
    }
}

#[test]
fn law_larger_tyres_leave_the_arch_and_lift_the_lip() {
    for (name, van) in vans() {
        let before = van.rest().unwrap();
        let mut van = van;
        for i in 0..CORNERS {
            van = van.with(Parameter::TyreRadius(i), 12.0 * MM);
        }
        let after = van.rest().unwrap();
        assert_all_near(after.arch_height_m, before.arch_height_m, SAME_M, name);
        for i in 0..CORNERS {
            let lip_m = |rest: &Rest| rest.arch_height_m[i] + rest.wheel_centre_height_m[i];
            assert_near(lip_m(&after) - lip_m(&before), 12.0 * MM, SAME_M, name);
        }
    }
}

/// Arch rise per millimetre of both front collars at a motion ratio of 0.7, with the parts given.
fn arch_per_collar(arm: Option<ArmMeasure>, change: impl Fn(&mut Parts)) -> f64 {
    let mut van = linear_van();
    let wheel_m = [0.0, 0.87, WHEEL_HEIGHT_M];
    let (spring, damper) = (MeasuredRatio::Constant(0.7), MeasuredRatio::Constant(1.0));
    let table = tape_measured(wheel_m, arm, spring, damper);
    let mut parts = Parts::plain(65e3);
    change(&mut parts);
    for i in 0..2 {
        van.corners[i] = corner_at_rest(table.clone(), i, 2200.0 * 1.80 / 3.45 / 2.0, parts.clone());
    }
    let rest = van.rest().unwrap();
    let sensitivities = Sensitivities::at(&van, &rest);
    (0..2).map(|i| sensitivities.response_to(Parameter::SeatShift(i)).arch_height_m[0]).sum()
}

#[test]
fn law_a_collar_millimetre_is_not_an_arch_millimetre() {
    // An inboard spring multiplies: 1/MR. A stop or bush beside it takes a share: k_s MR² / (k_s MR² + k) of that.
    let spring_at_wheel_n_per_m = 65e3 * 0.7 * 0.7;
    let alone = arch_per_collar(None, |_| {});
    assert_near(alone, 1.0 / 0.7, 1e-6, "spring alone");
    let stop = bump_stop();
    let compressed_m = 0.015;
    let touched = arch_per_collar(None, |parts| {
        parts.stop = Some(FittedStop {
            stop: stop.clone(),
            place: StopPlace::Wheel { ratio: 1.0, other_share: 0.0 },
            whole_contact_m: -compressed_m,
        });
    });
    let stop_n_per_m = stop.at_compression(compressed_m).rate_n_per_m;
    let share = spring_at_wheel_n_per_m / (spring_at_wheel_n_per_m + stop_n_per_m);
    assert_near(touched, share / 0.7, 1e-6, "with a stop touched");
    let arm = ArmMeasure { length_m: 0.40, angle_at_design_rad: 0.0, kind: ArmKind::Transverse };
    let twisted = arch_per_collar(Some(arm), |parts| {
        parts.bush = Some(RubberBush { rate_nm_per_rad: 900.0, clamped_at_travel_m: 0.0 });
    });
    let bush_n_per_m = 900.0 / 0.40f64.powi(2);
    let share = spring_at_wheel_n_per_m / (spring_at_wheel_n_per_m + bush_n_per_m);
    assert_near(twisted, share / 0.7, 1e-6, "with a bush twisted");
}

#[test]
fn law_spring_force_times_change_of_motion_ratio_is_part_of_the_wheel_rate() {
    // One front corner's wheel rate, part by part; on this strut the second term is a tenth of the first.
    let corner = &hardpoint_van().corners[0];
    let length = corner.table.spring_length_m.at(0.0);
    let spring = corner.spring_at(AxleTravel::together(0.0));
    let plain = Corner {
        stop: None,
        bush: None,
        damper: Damper::new(0.58, 0.30, 0.0, 0.0).unwrap(),
        ..corner.clone()
    };
    let first = spring.rate_n_per_m * length.slope.powi(2);
    let second = -spring.force_n * length.curvature;
    assert_near(plain.forces_at(AxleTravel::together(0.0)).rate_n_per_m, first + second, 1e-6, "wheel rate");
    assert!(second > 0.03 * first, "{second} of {first}");
}

fn every_parameter() -> Vec<(Parameter, f64)> {
    let mut parameters = vec![
        (Parameter::BarRate(FRONT), 1e-3),
        (Parameter::BarRate(REAR), 1e-3),
        (Parameter::MassAt([-2.4, 0.5, 1.3]), 0.5),
        (Parameter::MassAt([0.6, -0.3, 0.8]), 0.5),
        (Parameter::CentreOfGravityHeight, 1e-3),
    ];
    parameters.extend((0..CORNERS).flat_map(parameters_of_corner));
    parameters
}

fn parameters_of_corner(i: usize) -> [(Parameter, f64); 18] {
    [
        (Parameter::SeatShift(i), STEP_M),
        (Parameter::BodyShift(i), STEP_M),
        (Parameter::FreeLength(i), STEP_M),
        (Parameter::SpringRate(i), 1e-4),
        (Parameter::SpringTravel(i), 1e-3),
        (Parameter::StopStiffness(i), 1e-3),
        (Parameter::StopHeight(i), STEP_M),
        (Parameter::GasForce(i), 1.0),
        (Parameter::AirPressure(i), 200.0),
        (Parameter::AddedLeafRate(i), 1e-3),
        (Parameter::AddedLeafTouch(i), STEP_M),
        (Parameter::BushRate(i), 1e-3),
        (Parameter::BushClamp(i), 10.0 * STEP_M),
        (Parameter::WheelForce(i), 1.0),
        (Parameter::TyreRate(i), 1e-3),
        (Parameter::TyreRadius(i), STEP_M),
        (Parameter::UnsprungMass(i), 0.5),
        (Parameter::LipHeight(i), STEP_M),
    ]
}

const STEP_M: f64 = 3e-5;

fn components(response: &Response) -> [f64; 19] {
    let Response {
        arch_height_m,
        wheel_load_n,
        travel_m,
        wheel_centre_height_m,
        heave_m,
        pitch_rad,
        roll_rad,
    } = response;
    let mut all = [0.0; 19];
    for (k, values) in [arch_height_m, wheel_load_n, travel_m, wheel_centre_height_m].into_iter().enumerate()
    {
        all[4 * k..4 * k + 4].copy_from_slice(values);
    }
    all[16] = *pitch_rad;
    all[17] = *roll_rad;
    all[18] = *heave_m;
    all
}

/// What a rest position answers, as the same components as a response.
fn state_of(rest: &Rest) -> [f64; 19] {
    components(&Response {
        arch_height_m: rest.arch_height_m,
        wheel_load_n: rest.wheel_load_n,
        travel_m: rest.travel_m,
        wheel_centre_height_m: rest.wheel_centre_height_m,
        heave_m: rest.body.heave_m,
        pitch_rad: rest.body.pitch_rad,
        roll_rad: rest.body.roll_rad,
    })
}

#[test]
fn law_responses_are_the_differences_of_full_solutions() {
    // Central differences over steps that move the van by some hundredths of a millimetre. The balance is solved to
    // 1e-7 N: 1e-11 m in position and, through 2.5e5 N/m of tyre, 3e-6 N in load, over twice the step. The second
    // derivative jumps where measured curves have their knots, so the truncation is of first order there: the change
    // of the slope over the step, below 1e-5 of the largest response of the same kind.
    for (name, van) in vans() {
        let rest = van.rest().unwrap();
        let sensitivities = Sensitivities::at(&van, &rest);
        for (parameter, step) in every_parameter() {
            let solved = |amount: f64| {
                let moved = van.with(parameter, amount);
                state_of(&moved.rest_from(rest.body, rest.travel_m).unwrap())
            };
            let (up, down) = (solved(step), solved(-step));
            let exact = components(&sensitivities.response_to(parameter));
            let largest =
                |range: std::ops::Range<usize>| exact[range].iter().fold(0.0f64, |a, b| a.max(b.abs()));
            let lengths = largest(0..4).max(largest(8..16));
            let loads = largest(4..8);
            for k in 0..19 {
                let by_difference = (up[k] - down[k]) / (2.0 * step);
                let (scale, noise) = if (4..8).contains(&k) { (loads, 3e-6) } else { (lengths, 1e-11) };
                let tolerance = 1e-5 * scale + noise / step;
                assert_near(exact[k], by_difference, tolerance, &format!("{name}, {parameter:?}, {k}"));
            }
        }
    }
}

#[test]
fn law_parameters_of_absent_parts_do_nothing() {
    let van = linear_van();
    let rest = van.rest().unwrap();
    let sensitivities = Sensitivities::at(&van, &rest);
    for parameter in [
        Parameter::StopStiffness(0),
        Parameter::StopHeight(1),
        Parameter::BushRate(2),
        Parameter::BushClamp(3),
        Parameter::AirPressure(2),
        Parameter::AddedLeafRate(3),
        Parameter::AddedLeafTouch(0),
    ] {
        let changed = van.with(parameter, 0.01).rest().unwrap();
        assert_all_near(changed.arch_height_m, rest.arch_height_m, 0.0, "arch");
        assert!(components(&sensitivities.response_to(parameter)).iter().all(|c| c.abs() < 1e-300));
    }
}

// --- anything may come in ------------------------------------------------------------------------------------------

/// A van from 16 numbers between 0 and 1, within what light vans and campers span.
fn random_van(u: [f64; 16]) -> FourCorners {
    let between = |k: usize, low: f64, high: f64| low + u[k] * (high - low);
    let arm = |kind: ArmKind, k: usize| ArmMeasure {
        length_m: between(k, 0.30, 0.60),
        angle_at_design_rad: between(k + 1, -0.3, 0.3),
        kind,
    };
    let front_ratio = MeasuredRatio::Table(vec![
        (-0.08, between(0, 0.5, 1.0)),
        (0.0, between(1, 0.5, 1.0)),
        (0.08, between(2, 0.5, 1.0)),
    ]);
    let rear_ratio = MeasuredRatio::SpringOnArm {
        distance_from_pivot_m: between(3, 0.2, 0.4),
        lean_from_perpendicular_rad: between(4, -0.4, 0.4),
    };
    let (front_arm, rear_arm) = (arm(ArmKind::Transverse, 5), arm(ArmKind::Trailing, 7));
    let damper = MeasuredRatio::Constant(between(9, 0.6, 1.0));
    let front = tape_measured([0.0, 0.8, 0.33], Some(front_arm), front_ratio, damper.clone());
    let rear = tape_measured([-3.2, 0.8, 0.33], Some(rear_arm), rear_ratio, damper);
    let corner = |i: usize| {
        let axle = axle_of(i);
        let rate_n_per_m = between(10 + axle, 40e3, 160e3);
        let parts = Parts {
            gas_force_n: between(12, 0.0, 400.0),
            stop: Some(FittedStop {
                stop: bump_stop(),
                place: [StopPlace::Spring, StopPlace::Wheel { ratio: 0.9, other_share: 0.0 }][axle],
                whole_contact_m: [0.27, 0.03][axle],
            }),
            bush: Some(RubberBush {
                rate_nm_per_rad: between(13, 0.0, 2_000.0),
                clamped_at_travel_m: between(14, -0.1, 0.05),
            }),
            ..Parts::plain(rate_n_per_m)
        };
        corner_at_rest([&front, &rear][axle].clone(), i, 550.0, parts)
    };
    let bar = FittedBar::AtTheAxle { bar: AntiRollBar { rate_nm_per_rad: 12_000.0 }, track_m: 1.6 };
    FourCorners {
        corners: std::array::from_fn(corner),
        bars: [Some(bar), None],
        sprung: SprungMass { mass_kg: between(15, 1_300.0, 3_000.0), centre_of_gravity_m: [-1.6, 0.02, 0.8] },
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn law_plausible_vans_rest_in_finite_numbers(
        u in prop::array::uniform16(0.0..=1.0f64),
        collars_m in prop::array::uniform4(-0.05..=0.05f64),
        at_m in prop::array::uniform3(-3.5..=1.5f64),
        mass_kg in 0.0..=300.0f64,
    ) {
        let mut van = random_van(u).with(Parameter::MassAt(at_m), mass_kg);
        for (i, shift_m) in collars_m.into_iter().enumerate() {
            van = van.with(Parameter::SeatShift(i), shift_m);
        }
        let rest = van.rest().unwrap();
        prop_assert!(state_of(&rest).iter().all(|x| x.is_finite()));
        prop_assert!((rest.wheel_load_n.iter().sum::<f64>() - weight_n(&van)).abs() < 1e-3);
        let sensitivities = Sensitivities::at(&van, &rest);
        for (parameter, _) in every_parameter() {
            let response = sensitivities.response_to(parameter);
            prop_assert!(components(&response).iter().all(|x| x.is_finite()), "{parameter:?}");
        }
        for i in 0..CORNERS {
            let limits = van.travel_limits(&rest, i);
            prop_assert!(limits.to_metal_m.is_finite() && limits.rebound_m.is_finite());
            prop_assert!(limits.captive_in_hand_m.is_finite());
        }
    }
}

#[test]
fn law_wild_vans_end_in_a_rest_or_a_named_error() {
    for (name, van) in independent_vans() {
        let parameters = every_parameter().into_iter().map(|(parameter, _)| parameter);
        let wild = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 0.0, -1.0, 1e-300, 1e12, -1e12, f64::MAX];
        end_in_a_rest_or_a_named_error(name, &van, parameters, &wild);
    }
    // the joined axle with a bush, a stop and a bar: the parameters of one of its corners and of the bar
    let [_, (name, van), _] = joined_vans();
    let parameters = parameters_of_corner(2).into_iter().map(|(parameter, _)| parameter);
    end_in_a_rest_or_a_named_error(
        name,
        &van,
        parameters.chain([Parameter::BarRate(REAR)]),
        &[f64::NAN, 1e12],
    );
}

fn end_in_a_rest_or_a_named_error(
    name: &str,
    van: &FourCorners,
    parameters: impl Iterator<Item = Parameter>,
    amounts: &[f64],
) {
    let rest = van.rest().unwrap();
    // the lip is no part of the balance: whoever reads it in sees to it that it is a number
    for parameter in parameters.filter(|parameter| !matches!(parameter, Parameter::LipHeight(_))) {
        for &amount in amounts {
            let spoiled = van.with(parameter, amount);
            let starts = [spoiled.rest(), spoiled.rest_from(rest.body, rest.travel_m)];
            for found in starts.into_iter().flatten() {
                let _ = Sensitivities::at(&spoiled, &found).response_to(parameter);
                for i in 0..CORNERS {
                    let limits = spoiled.travel_limits(&found, i);
                    let _ = spoiled.travel_to_twice_static_m(&found, limits.to_metal_m, i);
                }
                let band = spoiled.rest_band(&found);
                for i in 0..CORNERS {
                    let [low_m, high_m] = [band.lowest_arch_height_m[i], band.highest_arch_height_m[i]];
                    let is_finite = low_m.is_finite() && high_m.is_finite();
                    let holds = low_m <= found.arch_height_m[i] && found.arch_height_m[i] <= high_m;
                    assert!(is_finite && holds, "{name}: {parameter:?} by {amount}: {low_m} to {high_m}");
                }
                let all_finite = state_of(&found).iter().all(|x| x.is_finite());
                assert!(all_finite, "{name}: {parameter:?} changed by {amount} gives {found:?}");
            }
        }
    }
}

#[test]
fn law_not_a_number_is_named() {
    let van = linear_van();
    let spoiled = van.with(Parameter::MassAt([-1.0, 0.0, 0.5]), f64::NAN);
    assert_eq!(spoiled.rest(), Err(NoRest::NotFinite));
    let start = BodyPose { pitch_rad: f64::NAN, ..BodyPose::default() };
    assert_eq!(van.rest_from(start, [0.0; CORNERS]), Err(NoRest::NotFinite));
}

#[test]
fn law_loose_springs_find_no_rest() {
    // With springs too short to reach their seats nothing holds the body up against its wheels.
    let mut van = linear_van();
    for i in 0..CORNERS {
        van = van.with(Parameter::FreeLength(i), -50.0);
    }
    assert!(matches!(van.rest(), Err(NoRest::NotBalanced { .. })), "{:?}", van.rest());
}

#[test]
fn law_weightless_vans_end() {
    for (name, mut van) in vans() {
        van.sprung.mass_kg = 0.0;
        for corner in &mut van.corners {
            corner.unsprung_mass_kg = 0.0;
        }
        if let Ok(rest) = van.rest() {
            assert!(state_of(&rest).iter().all(|x| x.is_finite()), "{name}");
            assert_near(rest.wheel_load_n.iter().sum(), 0.0, 1e-3, name);
        }
    }
}

#[test]
fn val_travel_ends_of_a_corner_computed_by_hand() {
    // Own hand computation. Ratios 0.7 (spring) and 0.9 (damper); at design the spring seats are 220 mm apart and the
    // damper is 480 mm long. Droop: the damper is open at 560 mm, (480 - 560) / 0.9 = -88.889 mm of wheel travel; there the
    // seats are 220 + 0.7 * 88.889 = 282.222 mm apart, 17.778 mm below the free length of 300 mm. The whole stop is met
    // at 450 mm, 30 / 0.9 = 33.333 mm; solid after 45 mm more, 75 / 0.9 = 83.333 mm. Damper closed (380 mm) at 111.1 mm,
    // coils at 185.7 mm: the stop ends the travel.
    let axle = TapeMeasureAxle {
        wheel_centre_m: [0.0, 0.8, 0.33],
        tyre_radius_m: 0.33,
        arm: None,
        spring_ratio: MeasuredRatio::Constant(0.7),
        damper_ratio: MeasuredRatio::Constant(0.9),
        spring_length_at_design_m: 0.220,
        damper_length_at_design_m: 0.480,
    };
    let linkage = Linkage::TapeMeasure(Box::new(TapeMeasure::new(axle).unwrap()));
    let stop = BumpStop::measured(&[(0.02, 500.0), (0.045, 9_000.0)], 0.060).unwrap();
    let corner = Corner {
        table: Arc::new(linkage.table(0.2, 0.2).unwrap()),
        side: 1.0,
        spring: SpringStack::single(Spring::linear(60_000.0, 0.300, Some(0.090)).unwrap()),
        seat_shift_m: 0.0,
        added_leaves: Vec::new(),
        air: None,
        seat_packing_m: 0.0,
        spring_travel_factor: 1.0,
        body_shift_m: 0.0,
        damper: Damper::new(0.560, 0.380, 0.0, 0.0).unwrap(),
        stop: Some(FittedStop { stop, place: StopPlace::Damper, whole_contact_m: 0.450 }),
        bush: None,
        friction: Friction::default(),
        wheel_force_n: 0.0,
        tyre: Tyre::linear(0.33, 250_000.0).unwrap(),
        unsprung_mass_kg: 50.0,
        lip_m: [0.0, 0.85, 0.75],
    };
    let rest_m = 0.010;
    let limits = corner.travel_limits(AxleTravel::together(rest_m));
    let near =
        |got: f64, expected_mm: f64| assert!((1e3 * got - expected_mm).abs() < 1e-3, "{got} {expected_mm}");
    near(limits.rebound_m, 88.889 + 10.0);
    near(limits.captive_in_hand_m, 17.778);
    near(limits.free_bump_m.unwrap(), 33.333 - 10.0);
    near(limits.to_metal_m, 83.333 - 10.0);
    assert_eq!((limits.bump_end, limits.rebound_end), (BumpEnd::StopSolid, ReboundEnd::DamperOpen));
    near(limits.coil_bind_margin_m.unwrap(), 220.0 - 0.7 * 83.333 - 90.0);
    // trimmed to 40 mm the stop is met 20 mm of damper travel later and is solid after 45 * 40 / 60 = 30 mm
    let mut trimmed = corner.clone();
    let fitted = trimmed.stop.as_mut().unwrap();
    fitted.stop = fitted.stop.trimmed_to(0.040).unwrap();
    near(trimmed.travel_limits(AxleTravel::together(rest_m)).free_bump_m.unwrap(), 50.0 / 0.9 - 10.0);
    near(trimmed.travel_limits(AxleTravel::together(rest_m)).to_metal_m, 80.0 / 0.9 - 10.0);
}
