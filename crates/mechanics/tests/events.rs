//! Time simulation of events against what was computed elsewhere, and laws that it keeps.

#![allow(clippy::unwrap_used, clippy::panic)] // test helpers outside #[test] functions

#[path = "common/w4.rs"]
mod w4;

use mechanics::curve::MonotoneCurve;
use mechanics::elements::DamperCurve;
use mechanics::ride::events::*;
use mechanics::ride::{AxleLaw, BodyPoint, Car, Lanes, TravelMarks};
use mechanics::statics::CORNERS;
use nalgebra::{Complex, SMatrix, SVector};
use proptest::prelude::*;

type Matrix = SMatrix<Complex<f64>, 7, 7>;
type Vector7 = SVector<Complex<f64>, 7>;

/// The ten published figures of the first kits.
fn w4_figures(seeing: Seeing, step_s: f64) -> Vec<[f64; 10]> {
    let inputs = w4::inputs();
    let road =
        w4::course(&inputs).heights(w4::speed_m_per_s(&inputs), w4::WHEELBASE_M, 12.0, step_s).unwrap();
    let mut figures = Vec::new();
    for first in [0, 8, 16] {
        let vans = w4::vans::<8>(&inputs, first);
        let outcomes = drive(&vans.driven(), &road, &w4::STRETCH_ENDS_S, seeing).unwrap();
        figures.extend((0..8).map(|lane| w4::published(&vans, &outcomes, lane)));
    }
    figures
}

fn w4_expected(table: &str) -> Vec<[f64; 10]> {
    let expected: serde_json::Value =
        serde_json::from_str(include_str!("reference/w4_expected.json")).unwrap();
    let rows = expected[table].as_array().unwrap();
    rows.iter().map(|row| std::array::from_fn(|column| row[column].as_f64().unwrap())).collect()
}

/// The sections published with W4 end in the step of Wk times (f5/f6)² once more: its weighted figures, all of them linear
/// in the weighting, are half of what ISO 2631-1 gives.
const W4_WEIGHTING: f64 = (2.37 / 3.35) * (2.37 / 3.35);
const W4_WEIGHTED: [usize; 3] = [2, 3, 8];

#[test]
fn val_w4_twenty_vans_over_hump_and_rough_road() {
    // Case W4, computed elsewhere by programs in Numba and C++ that agree to 5e-12: RK4 at 1 ms, 1e-9 of each figure.
    let got = w4_figures(Seeing::EachStep, 1e-3);
    for (kit, want) in w4_expected("first_20_kits_at_h").iter().enumerate() {
        for column in 0..10 {
            let factor = if W4_WEIGHTED.contains(&column) { W4_WEIGHTING } else { 1.0 };
            let (got, want) = (factor * got[kit][column], want[column]);
            assert!((got - want).abs() <= 1e-9 * want.abs(), "kit {kit}, column {column}: {got}, {want}");
        }
    }
}

#[test]
fn val_w4_steps_of_2_ms_seen_twice_within_a_thousandth() {
    // Case W4, converged figures computed elsewhere at 25 µs: within 1e-3, clearances 0.1 mm.
    let got = w4_figures(Seeing::TwiceAStep, 2e-3);
    for (kit, want) in w4_expected("first_20_kits_converged_h_25us").iter().enumerate() {
        for column in 0..10 {
            let factor = if W4_WEIGHTED.contains(&column) { W4_WEIGHTING } else { 1.0 };
            let (got, want) = (factor * got[kit][column], want[column]);
            let allowed = if (4..=7).contains(&column) { 1e-4 } else { 1e-3 * want.abs() };
            assert!((got - want).abs() <= allowed, "kit {kit}, column {column}: {got}, {want}");
        }
    }
}

#[test]
fn val_wk_sections() {
    // Case W4, bilinear sections at 1 kHz computed elsewhere; the last one there has (f5/f6)² once too often, see above.
    let inputs = w4::inputs();
    for (row, section) in WeightingFilter::wk(1e-3).unwrap().sections.iter().enumerate() {
        let published: [f64; 5] =
            std::array::from_fn(|k| inputs["wk_biquads_1kHz"][row][k].as_f64().unwrap());
        let factor = if row == 3 { W4_WEIGHTING } else { 1.0 };
        let got = section.feed_forward.map(|b| factor * b).into_iter().chain(section.feedback);
        for (got, want) in got.zip(published) {
            assert!((got - want).abs() < 1e-12, "section {row}: {got}, {want}");
        }
    }
}

fn whole(value: f64) -> Lanes<1> {
    Lanes::splat(value)
}

fn car() -> Car<1> {
    Car {
        sprung_mass_kg: whole(1900.0),
        pitch_inertia_kg_m2: whole(3600.0),
        roll_inertia_kg_m2: whole(900.0),
        wheel_x_m: [whole(1.42), whole(-1.58)],
        wheel_y_m: [0.80, -0.84, 0.80, -0.84].map(whole),
        unsprung_mass_kg: [whole(48.0), whole(52.0)],
        tyre_rate_n_per_m: [whole(230_000.0), whole(240_000.0)],
        tipping_nm_per_rad: [whole(9_000.0), whole(11_000.0)],
    }
}

const SEAT: [BodyPoint<1>; 1] = [BodyPoint { x_m: Lanes([0.55]), y_m: Lanes([0.40]) }];
const FOREVER: f64 = f64::INFINITY;

/// Rate, damping and bar, no stop and no knee.
fn linear_law(rate: f64, damping: f64, bar: f64) -> ClosedFormLaw<1> {
    let none = StopPolynomial { gap_m: whole(1.0), square_n_per_m2: whole(0.0), cube_n_per_m3: whole(0.0) };
    ClosedFormLaw {
        rate_n_per_m: whole(rate),
        bump_stop: none,
        rebound_stop: none,
        damper: KneeDamper {
            knee_m_per_s: whole(1.0),
            bump_n_s_per_m: [whole(damping); 2],
            rebound_n_s_per_m: [whole(damping); 2],
        },
        bar_n_per_m: whole(bar),
        marks: AxleMarks {
            stop_touched_m: whole(FOREVER),
            twice_static_m: whole(FOREVER),
            metal_m: whole(FOREVER),
            rebound_end_m: whole(-FOREVER),
        },
    }
}

fn stiff_law() -> ClosedFormLaw<1> {
    let stop = |gap: f64| StopPolynomial {
        gap_m: whole(gap),
        square_n_per_m2: whole(2e6),
        cube_n_per_m3: whole(9e8),
    };
    let damper = KneeDamper {
        knee_m_per_s: whole(0.13),
        bump_n_s_per_m: [whole(2600.0), whole(900.0)],
        rebound_n_s_per_m: [whole(5200.0), whole(1900.0)],
    };
    let law = linear_law(26_000.0, 0.0, 9_000.0);
    let marks = AxleMarks { stop_touched_m: whole(0.02), ..law.marks };
    ClosedFormLaw { bump_stop: stop(0.02), rebound_stop: stop(0.05), damper, marks, ..law }
}

fn over(
    laws: &[ClosedFormLaw<1>; 2],
    load_n: f64,
    road: &WheelHeights,
    ends_s: &[f64],
) -> Vec<EventOutcome<1>> {
    let car = car();
    let van = DrivenVan { car: &car, laws, wheel_load_n: [whole(load_n); CORNERS], seats: &SEAT };
    drive(&van, road, ends_s, Seeing::EachStep).unwrap()
}

#[test]
fn law_linear_van_on_one_wave_answers_as_its_transfer_function() {
    // both tracks differ in phase: heave, pitch and roll are all stirred
    let (speed, wavelength_m, amplitude) = (15.0, 6.0, 0.004);
    let wave = RoadWave {
        wave_number_per_m: 1.0 / wavelength_m,
        amplitude_m: amplitude,
        phase_rad: [0.3, 1.4],
        coherence: 0.6,
    };
    let course = Course::default().rough(0.0, RoadOfWaves { waves: vec![wave], fade_in_m: 5.0 });
    let road = course.heights(speed, 3.0, 24.0, 1e-3).unwrap();
    let laws = [linear_law(26_000.0, 2_000.0, 9_000.0), linear_law(31_000.0, 2_300.0, 4_000.0)];
    // 20 s to settle, then ten periods of 0.4 s
    let settled = over(&laws, 1e6, &road, &[20.0, 24.0]).pop().unwrap();

    let car = car();
    let omega = 2.0 * std::f64::consts::PI * speed / wavelength_m;
    let j = Complex::new(0.0, 1.0);
    let mut dynamic = Matrix::zeros();
    let mut force = Vector7::zeros();
    let bump = |wheel: usize| {
        let mut row = [0.0; 7];
        row[3 + wheel] = 1.0;
        row[0] = -1.0;
        row[1] = car.wheel_x_m[wheel / 2].0[0];
        row[2] = -car.wheel_y_m[wheel].0[0];
        row
    };
    let masses = [1900.0, 3600.0, 900.0, 48.0, 48.0, 52.0, 52.0];
    for (freedom, mass) in masses.iter().enumerate() {
        dynamic[(freedom, freedom)] -= Complex::from(omega * omega * mass);
    }
    dynamic[(1, 1)] -= Complex::from(9_000.0);
    dynamic[(2, 2)] -= Complex::from(11_000.0);
    let mut add = |a: [f64; 7], stiffness: Complex<f64>| {
        for r in 0..7 {
            for c in 0..7 {
                dynamic[(r, c)] += stiffness * a[r] * a[c];
            }
        }
    };
    for wheel in 0..4 {
        let law = &laws[wheel / 2];
        add(bump(wheel), law.rate_n_per_m.0[0] + j * omega * law.damper.bump_n_s_per_m[0].0[0]);
        let tyre = car.tyre_rate_n_per_m[wheel / 2].0[0];
        let mut own = [0.0; 7];
        own[3 + wheel] = 1.0;
        add(own, Complex::from(tyre));
        let common = Complex::from_polar(amplitude, 0.3);
        let track =
            if wheel % 2 == 0 { common } else { 0.6 * common + 0.8 * Complex::from_polar(amplitude, 1.4) };
        let delay = if wheel < 2 { 0.0 } else { 3.0 / speed };
        force[3 + wheel] = tyre * track * (-j * omega * delay).exp();
    }
    for axle in [0, 1] {
        let (left, right) = (bump(2 * axle), bump(2 * axle + 1));
        add(std::array::from_fn(|k| left[k] - right[k]), Complex::from(laws[axle].bar_n_per_m.0[0]));
    }
    let answer = dynamic.lu().solve(&force).unwrap();

    let seat = -omega * omega * (answer[0] - 0.55 * answer[1] + 0.40 * answer[2]);
    let rms = settled.seats[0].rms_m_per_s2.0[0];
    assert!((rms - seat.norm() / 2f64.sqrt()).abs() < 1e-6 * rms, "{rms}, {}", seat.norm() / 2f64.sqrt());
    for wheel in 0..4 {
        let row = bump(wheel);
        let travel: Complex<f64> = (0..7).map(|k| answer[k] * row[k]).sum();
        let got = settled.wheels[wheel].bump_travel_m.0[0];
        // an extreme between two samples: (ω h)²/8 of it
        assert!((got - travel.norm()).abs() < 1e-4 * got, "wheel {wheel}: {got}, {}", travel.norm());
    }
}

#[test]
fn law_level_road_moves_nothing() {
    let road = Course::default().heights(10.0, 3.0, 0.5, 1e-3).unwrap();
    let outcome = over(&[stiff_law(); 2], 5_000.0, &road, &[0.5]).pop().unwrap();
    assert_eq!(outcome.seats[0].peak_m_per_s2(), whole(0.0));
    for wheel in outcome.wheels {
        assert_eq!((wheel.bump_travel_m, wheel.rebound_travel_m), (whole(0.0), whole(0.0)));
        assert_eq!((wheel.stop_hits, wheel.lift_offs), (whole(0.0), whole(0.0)));
    }
}

fn rough(seed: u64) -> RoadOfWaves {
    let road = RoughRoad {
        roughness_m3: 1024e-6,
        band_per_m: [0.02, 2.0],
        waves: 80,
        track_m: 1.64,
        coherence_decay: 1.5,
        fade_in_m: 2.0,
    };
    RoadOfWaves::generated(&road, seed).unwrap()
}

#[test]
fn law_same_seed_same_road_other_seed_other_road() {
    assert_eq!(rough(3), rough(3));
    assert_ne!(rough(3), rough(4));
    let heights = |seed| Course::default().rough(0.0, rough(seed)).heights(12.0, 3.0, 3.0, 1e-3).unwrap();
    let drive = |seed| over(&[stiff_law(); 2], 5_000.0, &heights(seed), &[3.0]);
    assert_eq!(drive(3), drive(3));
    assert_ne!(drive(3), drive(4));
}

#[test]
fn law_mirrored_van_on_mirrored_road_is_mirrored() {
    let road = Course::default().rough(0.0, rough(5)).heights(12.0, 3.0, 4.0, 1e-3).unwrap();
    let swapped = road.heights_m().iter().map(|[a, b, c, d]| [*b, *a, *d, *c]).collect();
    let mirrored_road = WheelHeights::of_half_steps(swapped, 1e-3, 3.0).unwrap();
    let laws = [stiff_law(); 2];
    let (car, mut other) = (car(), car());
    other.wheel_y_m = [1, 0, 3, 2].map(|wheel: usize| -car.wheel_y_m[wheel]);
    let seat = [BodyPoint { x_m: SEAT[0].x_m, y_m: -SEAT[0].y_m }];
    let loads = [5_100.0, 4_900.0, 5_000.0, 4_800.0].map(whole);
    let van = DrivenVan { car: &car, laws: &laws, wheel_load_n: loads, seats: &SEAT };
    let [a, b, c, d] = loads;
    let mirror = DrivenVan { car: &other, laws: &laws, wheel_load_n: [b, a, d, c], seats: &seat };
    let got = drive(&van, &road, &[4.0], Seeing::TwiceAStep).unwrap().pop().unwrap();
    let mirrored = drive(&mirror, &mirrored_road, &[4.0], Seeing::TwiceAStep).unwrap().pop().unwrap();
    let near = |a: Lanes<1>, b: Lanes<1>| assert!((a.0[0] - b.0[0]).abs() < 1e-9 * (1.0 + a.0[0].abs()));
    near(got.seats[0].vibration_dose_m_per_s175, mirrored.seats[0].vibration_dose_m_per_s175);
    for (wheel, opposite) in [1usize, 0, 3, 2].into_iter().enumerate() {
        near(got.wheels[wheel].bump_travel_m, mirrored.wheels[opposite].bump_travel_m);
        near(got.wheels[wheel].rebound_travel_m, mirrored.wheels[opposite].rebound_travel_m);
        near(got.wheels[wheel].stop_hits, mirrored.wheels[opposite].stop_hits);
    }
    assert!(got.wheels.iter().any(|wheel| wheel.stop_hits.0[0] > 0.0), "the road reaches no stop");
}

#[test]
fn law_vans_side_by_side_go_as_each_alone() {
    let inputs = w4::inputs();
    let road = w4::course(&inputs).heights(w4::speed_m_per_s(&inputs), w4::WHEELBASE_M, 2.0, 1e-3).unwrap();
    let together = w4::vans::<8>(&inputs, 40);
    let many = drive(&together.driven(), &road, &[2.0], Seeing::EachStep).unwrap();
    for lane in 0..8 {
        let alone = w4::vans::<1>(&inputs, 40 + lane);
        let one = drive(&alone.driven(), &road, &[2.0], Seeing::EachStep).unwrap();
        let pair = [many[0].seats[0].rms_m_per_s2.0[lane], one[0].seats[0].rms_m_per_s2.0[0]];
        assert_eq!(pair[0].to_bits(), pair[1].to_bits());
        for wheel in 0..CORNERS {
            let [a, b] =
                [many[0].wheels[wheel].mount_force_n.0[lane], one[0].wheels[wheel].mount_force_n.0[0]];
            assert_eq!(a.to_bits(), b.to_bits());
        }
    }
}

#[test]
fn law_stretches_together_are_the_whole_drive() {
    let road = Course::default().rough(0.0, rough(9)).heights(14.0, 3.0, 4.0, 1e-3).unwrap();
    let laws = [stiff_law(); 2];
    let parts = over(&laws, 5_000.0, &road, &[1.5, 4.0]);
    let whole_drive = over(&laws, 5_000.0, &road, &[4.0]).pop().unwrap();
    let joined = parts[0].with(&parts[1]);
    assert_eq!(joined.wheels, whole_drive.wheels);
    let [a, b] = [joined.seats[0], whole_drive.seats[0]];
    assert!((a.vibration_dose_m_per_s175.0[0] - b.vibration_dose_m_per_s175.0[0]).abs() < 1e-12);
    assert!((a.weighted_rms_m_per_s2.0[0] - b.weighted_rms_m_per_s2.0[0]).abs() < 1e-12);
    assert_eq!(a.peak_m_per_s2(), b.peak_m_per_s2());
}

#[test]
fn law_settled_answer_is_that_of_a_far_shorter_step() {
    let car = car();
    let hump = Hump::flat_top(4.0, 0.1, 0.8).unwrap();
    let laws = [stiff_law(); 2];
    let van = DrivenVan { car: &car, laws: &laws, wheel_load_n: [whole(4_900.0); CORNERS], seats: &SEAT };
    let settled = cross_hump(&van, &hump, 10.0).unwrap();
    let road = Course::default().hump(0.5, hump).heights(10.0, 3.0, settled.duration_s, 2e-5).unwrap();
    let fine = drive(&van, &road, &[settled.duration_s], Seeing::EachStep).unwrap().pop().unwrap();
    let close =
        |a: Lanes<1>, b: Lanes<1>, allowed: f64| assert!((a.0[0] - b.0[0]).abs() <= allowed, "{a:?} {b:?}");
    let [a, b] = [settled.seats[0], fine.seats[0]];
    close(a.peak_m_per_s2(), b.peak_m_per_s2(), 1e-3 * b.peak_m_per_s2().0[0]);
    close(a.vibration_dose_m_per_s175, b.vibration_dose_m_per_s175, 1e-3 * b.vibration_dose_m_per_s175.0[0]);
    for wheel in 0..CORNERS {
        let [a, b] = [settled.wheels[wheel], fine.wheels[wheel]];
        close(a.clearance_to_stop_m, b.clearance_to_stop_m, 1e-4);
        close(a.rebound_travel_m, b.rebound_travel_m, 1e-4);
        assert!(b.clearance_to_stop_m.0[0] < 0.0, "the hump reaches no stop");
    }
    assert!(fine.wheels.iter().any(|wheel| wheel.lift_offs.0[0] > 0.0), "no wheel leaves the road");
}

/// The stiff law as tables: force every quarter of a millimetre, damper by its knees.
fn stiff_tables() -> AxleLaw {
    let force = |w: f64| {
        let stop = |e: f64| if e > 0.0 { e * e * (2e6 + 9e8 * e) } else { 0.0 };
        26_000.0 * w + stop(w - 0.02) - stop(-w - 0.05)
    };
    let points: Vec<_> = (-400..=400).map(|k| f64::from(k) * 2.5e-4).map(|w| (w, force(w))).collect();
    AxleLaw {
        force_over_travel: MonotoneCurve::through(&points).unwrap(),
        spring_other_share: 0.0,
        damper: DamperCurve::measured(
            &[(0.13, 0.13 * 2600.0), (1.13, 0.13 * 2600.0 + 900.0)],
            &[(0.13, 0.13 * 5200.0), (1.13, 0.13 * 5200.0 + 1900.0)],
        )
        .unwrap(),
        damper_other_share: 0.0,
        friction_n: 0.0,
        bar_n_per_m: 9_000.0,
        marks: TravelMarks {
            stop_touched_m: Some(0.02),
            twice_static_m: 0.035,
            metal_m: 0.09,
            rebound_end_m: -0.09,
        },
    }
}

fn over_tables(axle: &AxleLaw, road: &WheelHeights, end_s: f64) -> EventOutcome<1> {
    let car = car();
    let laws = [TabulatedLaw::of([axle]).unwrap(), TabulatedLaw::of([axle]).unwrap()];
    let van = DrivenVan { car: &car, laws: &laws, wheel_load_n: [whole(4_900.0); CORNERS], seats: &SEAT };
    drive(&van, road, &[end_s], Seeing::EachStep).unwrap().pop().unwrap()
}

#[test]
fn law_tables_go_as_the_closed_form() {
    let hump = Hump::circular(3.7, 0.1).unwrap();
    let road = Course::default().hump(0.5, hump).heights(9.0, 3.0, 2.0, 2.5e-4).unwrap();
    let closed = over(&[stiff_law(); 2], 4_900.0, &road, &[2.0]).pop().unwrap();
    let tables = over_tables(&stiff_tables(), &road, 2.0);
    // cells of 0.8 mm on stops that stiffen by 5.4e9 N/m² per m: (h³ 5.4e9) / 100 is some 30 N at the most, for a moment
    let share = |a: Lanes<1>, b: Lanes<1>| (a.0[0] - b.0[0]).abs() / b.0[0].abs();
    assert!(share(tables.seats[0].peak_m_per_s2(), closed.seats[0].peak_m_per_s2()) < 3e-3);
    assert!(share(tables.seats[0].rms_m_per_s2, closed.seats[0].rms_m_per_s2) < 1e-3);
    for wheel in 0..CORNERS {
        let [a, b] = [tables.wheels[wheel], closed.wheels[wheel]];
        assert!((a.bump_travel_m.0[0] - b.bump_travel_m.0[0]).abs() < 1e-4);
        assert_eq!(a.stop_hits, b.stop_hits);
        let metal = a.clearance_to_metal_m.0[0] + a.bump_travel_m.0[0];
        assert!((metal - 0.09).abs() < 1e-12);
        assert!(a.twice_static_passes.0[0] >= 1.0 || a.bump_travel_m.0[0] < 0.035);
    }
}

#[test]
fn law_joined_wheels_in_step_go_as_independent_ones() {
    let hump = Hump::sinusoidal(3.7, 0.1).unwrap();
    let road = Course::default().hump(0.5, hump).heights(9.0, 3.0, 2.0, 5e-4).unwrap();
    let mut car = car();
    car.wheel_y_m = [0.8, -0.8, 0.8, -0.8].map(whole);
    let joined = AxleLaw { spring_other_share: 0.3, damper_other_share: 0.2, ..stiff_tables() };
    let outcome = |axle: &AxleLaw, road: &WheelHeights| {
        let laws = [TabulatedLaw::of([axle]).unwrap(), TabulatedLaw::of([axle]).unwrap()];
        let van = DrivenVan { car: &car, laws: &laws, wheel_load_n: [whole(4_900.0); CORNERS], seats: &SEAT };
        drive(&van, road, &[2.0], Seeing::EachStep).unwrap().pop().unwrap()
    };
    let [a, b] = [outcome(&joined, &road), outcome(&stiff_tables(), &road)]
        .map(|outcome| outcome.seats[0].rms_m_per_s2.0[0]);
    assert!((a - b).abs() < 1e-9 * b);
    // one side alone: springs nearer the middle resist the roll less
    let one_sided =
        road.heights_m().iter().map(|[left, _, rear_left, _]| [*left, 0.0, *rear_left, 0.0]).collect();
    let one_sided = WheelHeights::of_half_steps(one_sided, 5e-4, 3.0).unwrap();
    let [a, b] = [outcome(&joined, &one_sided), outcome(&stiff_tables(), &one_sided)];
    assert!(a.wheels[0].bump_travel_m.0[0] > 1.02 * b.wheels[0].bump_travel_m.0[0]);
}

#[test]
fn law_friction_is_felt() {
    let road = Course::default().rough(0.0, rough(2)).heights(8.0, 3.0, 5.0, 5e-4).unwrap();
    let smooth = over_tables(&stiff_tables(), &road, 5.0);
    let sticky = over_tables(&AxleLaw { friction_n: 250.0, ..stiff_tables() }, &road, 5.0);
    for wheel in 0..CORNERS {
        assert!(sticky.wheels[wheel].bump_travel_m.0[0] < smooth.wheels[wheel].bump_travel_m.0[0]);
    }
}

#[test]
fn law_humps_begin_and_end_on_the_road() {
    let humps = [
        Hump::circular(3.7, 0.1).unwrap(),
        Hump::sinusoidal(3.7, 0.1).unwrap(),
        Hump::flat_top(3.7, 0.1, 0.9).unwrap(),
        Hump::of_points(&[(5.0, 0.0), (6.0, 0.1), (8.7, 0.0)]).unwrap(),
    ];
    for hump in &humps {
        assert!(hump.height_m(0.0).abs() < 1e-12 && hump.height_m(3.7).abs() < 1e-12);
        assert!(hump.height_m(-0.1).abs() < 1e-12 && hump.height_m(3.8).abs() < 1e-12);
        assert!((hump.greatest_height_m() - 0.1).abs() < 1e-12);
        assert!(HumpRules::ENGLAND_AND_WALES_1999.allow(hump));
    }
    let refused = [
        Hump::circular(3.7, 0.12).unwrap(),
        Hump::sinusoidal(0.8, 0.05).unwrap(),
        Hump::sinusoidal(3.0, 0.02).unwrap(),
        Hump::of_points(&[(0.0, 0.01), (1.0, 0.05)]).unwrap(),
    ];
    assert!(refused.iter().all(|hump| !HumpRules::ENGLAND_AND_WALES_1999.allow(hump)));
}

#[test]
fn law_what_cannot_be_driven_is_refused() {
    assert!(Hump::circular(1.0, 0.6).is_err());
    assert!(Hump::flat_top(1.0, 0.1, 0.6).is_err());
    assert_eq!(Hump::of_points(&[(1.0, 0.0), (0.5, 0.1)]), Err(EventFault::Profile));
    let road = |step_s| Course::default().heights(10.0, 3.0, 1.0, step_s);
    assert!(road(f64::NAN).is_err() && road(-1.0).is_err() && road(1e-12).is_err());
    let road = road(1e-3).unwrap();
    let laws = [stiff_law(); 2];
    let mut light = car();
    light.sprung_mass_kg = whole(0.0);
    let refused = |car: &Car<1>, ends: &[f64]| {
        let van = DrivenVan { car, laws: &laws, wheel_load_n: [whole(5_000.0); CORNERS], seats: &SEAT };
        drive(&van, &road, ends, Seeing::TwiceAStep).unwrap_err()
    };
    assert_eq!(refused(&light, &[1.0]), EventFault::NotPositive { quantity: "sprung mass", found: 0.0 });
    assert_eq!(refused(&car(), &[0.5, 0.4]), EventFault::Stretches);
    assert_eq!(refused(&car(), &[2.0]), EventFault::Stretches);
    assert_eq!(refused(&car(), &[f64::NAN]), EventFault::Stretches);
    let mut long = car();
    long.wheel_x_m[0] = whole(2.0);
    assert_eq!(refused(&long, &[1.0]), EventFault::WheelbasesDiffer);
    let fleeing = [linear_law(26_000.0, -1e9, 0.0); 2];
    let hump = Course::default().hump(0.0, Hump::circular(3.7, 0.1).unwrap());
    let heights = hump.heights(10.0, 3.0, 1.0, 1e-3).unwrap();
    let car = car();
    let van = DrivenVan { car: &car, laws: &fleeing, wheel_load_n: [whole(5_000.0); CORNERS], seats: &SEAT };
    assert_eq!(drive(&van, &heights, &[1.0], Seeing::TwiceAStep), Err(EventFault::NotFinite));
}

proptest! {
    #[test]
    fn law_linear_van_answers_in_proportion(factor in 0.1f64..3.0, seed in 0u64..100) {
        let laws = [linear_law(26_000.0, 2_000.0, 9_000.0), linear_law(31_000.0, 2_300.0, 4_000.0)];
        let road = Course::default().rough(0.0, rough(seed)).heights(12.0, 3.0, 1.0, 1e-3).unwrap();
        let taller = road.heights_m().iter().map(|heights| heights.map(|height| factor * height)).collect();
        let taller = WheelHeights::of_half_steps(taller, 1e-3, 3.0).unwrap();
        let [once, more] = [&road, &taller].map(|road| over(&laws, 1e6, road, &[1.0]).pop().unwrap());
        let near = |a: Lanes<1>, b: Lanes<1>| (factor * a.0[0] - b.0[0]).abs() < 1e-10 * (1.0 + b.0[0].abs());
        prop_assert!(near(once.seats[0].vibration_dose_m_per_s175, more.seats[0].vibration_dose_m_per_s175));
        prop_assert!(near(once.seats[0].lowest_m_per_s2, more.seats[0].lowest_m_per_s2));
        for wheel in 0..CORNERS {
            prop_assert!(near(once.wheels[wheel].bump_travel_m, more.wheels[wheel].bump_travel_m));
            prop_assert!(near(once.wheels[wheel].mount_force_n, more.wheels[wheel].mount_force_n));
        }
    }
}
