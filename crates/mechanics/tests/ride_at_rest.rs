//! What ride takes from statics agrees with statics.

#![allow(clippy::unwrap_used, clippy::panic)] // test helpers outside #[test] functions

#[allow(dead_code)] // shared with the tests of statics
mod common;
#[path = "common/points.rs"]
mod points;
#[path = "common/strut.rs"]
mod reference_strut;

use common::*;
use mechanics::elements::DamperCurve;
use mechanics::handling::Handling;
use mechanics::ride::*;
use mechanics::statics::*;
use proptest::prelude::*;

fn assert_near(actual: f64, expected: f64, tolerance: f64, what: &str) {
    assert!((actual - expected).abs() <= tolerance, "{what}: {actual} is not {expected} within {tolerance}");
}

fn vans() -> Vec<(&'static str, FourCorners)> {
    let mut vans =
        vec![("struts, semi-trailing arms", hardpoint_van()), ("tape measure", tape_measure_van())];
    vans.extend(joined_vans());
    vans
}

fn damper() -> DamperCurve {
    DamperCurve::measured(&[(0.13, 200.0), (1.0, 700.0)], &[(0.13, 480.0), (1.0, 1500.0)]).unwrap()
}

fn at_rest(van: &FourCorners) -> (Rest, VanAtRest) {
    let rest = van.rest().unwrap();
    let limits = std::array::from_fn(|i| van.travel_limits(&rest, i));
    let parts = RideParts {
        damper_along_rod: [damper(), damper()],
        pitch_inertia_kg_m2: 4_000.0,
        roll_inertia_kg_m2: 900.0,
    };
    (rest, VanAtRest::of(van, &rest, &limits, &parts).unwrap())
}

#[test]
fn law_forces_about_rest_are_those_of_statics() {
    for (name, van) in vans() {
        let (rest, ride) = at_rest(&van);
        let (_, laws) = ride.as_solved();
        for axle in [FRONT, REAR] {
            let law = &laws[axle].force_over_travel;
            assert_near(law.at(0.0).value, 0.0, 1e-9, name);
            let marks = laws[axle].marks;
            for share in [-0.7, -0.3, 0.2, 0.6, 0.9] {
                let w = share * if share > 0.0 { marks.metal_m } else { -marks.rebound_end_m };
                let total = |w: f64| {
                    // air springs ride with their gas shut in
                    let wheel = |i: usize| {
                        let (corner, travel) = (van.corners[i].clone(), rest.axle_travel(i));
                        corner.with_air_shut_at(travel, 1.3).forces_at(travel.moved(w)).total_n
                    };
                    0.5 * (wheel(2 * axle) + wheel(2 * axle + 1))
                };
                let expected = total(w) - total(0.0);
                // a bend of the curve within a cell of 2.5 mm is rounded off by at most bend x cell / 4
                let rate = |w: f64| {
                    van.corners[2 * axle].forces_at(rest.axle_travel(2 * axle).moved(w)).rate_n_per_m
                };
                let bend = |w: f64| (rate(w + 0.0025) - rate(w - 0.0025)).abs();
                let rounded_n = 0.25 * 0.0025 * (bend(w) + bend(0.0));
                assert_near(law.at(w).value, expected, 1.0 + rounded_n, name);
            }
        }
    }
}

#[test]
fn law_springs_and_bar_in_opposition_are_the_roll_stiffness_of_handling() {
    for (name, van) in vans() {
        let (rest, ride) = at_rest(&van);
        let (_, laws) = ride.as_solved();
        let handling = Handling::of(&van, &rest);
        for axle in [FRONT, REAR] {
            let law = &laws[axle];
            let rate = law.force_over_travel.at(0.0).slope;
            let opposition = rate * (1.0 - 2.0 * law.spring_other_share).powi(2) + 2.0 * law.bar_n_per_m;
            let track_m = handling.track_m[axle];
            let expected = handling.roll_stiffness[axle].on_rigid_wheels_nm_per_rad();
            let rate_here =
                |w: f64| van.corners[2 * axle].forces_at(rest.axle_travel(2 * axle).moved(w)).rate_n_per_m;
            let bend = (rate_here(0.0025) - rate_here(-0.0025)).abs() / rate_here(0.0);
            assert_near(0.5 * opposition * track_m * track_m / expected, 1.0, 0.002 + bend, name);
        }
    }
}

#[test]
fn law_masses_carry_the_wheels() {
    for (name, van) in vans() {
        let (rest, ride) = at_rest(&van);
        let (car, _) = ride.as_solved();
        let [front_m, rear_m] = car.wheel_x_m.map(|x| x.0[0]);
        let sprung_kg = car.sprung_mass_kg.0[0];
        let front_n = sprung_kg * mechanics::GRAVITY_M_PER_S2 * -rear_m / (front_m - rear_m);
        let unsprung_n = car.unsprung_mass_kg[FRONT].0[0] * mechanics::GRAVITY_M_PER_S2;
        let expected_n = rest.wheel_load_n[0] + rest.wheel_load_n[1];
        // a pitched body moves its centre of gravity a little against the wheels
        assert_near((front_n + 2.0 * unsprung_n) / expected_n, 1.0, 0.02, name);
    }
}

proptest! {
    #[test]
    fn law_a_varied_rest_is_the_same_curve_from_elsewhere(moved_m in -0.01..0.01f64, w in -0.02..0.02f64) {
        let (_, ride) = at_rest(&hardpoint_van());
        let (_, plain) = ride.as_solved();
        let mut deviation = RideDeviation::default();
        deviation.travel_m[FRONT] = moved_m;
        let (_, moved) = ride.varied(&deviation);
        let (plain, moved) = (&plain[FRONT], &moved[FRONT]);
        let expected = plain.force_over_travel.at(moved_m + w).value - plain.force_over_travel.at(moved_m).value;
        assert_near(moved.force_over_travel.at(w).value, expected, 1e-6, "force");
        assert_near(moved.marks.metal_m, plain.marks.metal_m - moved_m, 1e-12, "metal");
    }

    #[test]
    fn law_load_added_over_an_axle_goes_to_that_axle(front_kg in -100.0..100.0f64, rear_kg in -100.0..100.0f64) {
        let (_, ride) = at_rest(&hardpoint_van());
        let (plain, _) = ride.as_solved();
        let (car, _) = ride.varied(&RideDeviation { axle_load_kg: [front_kg, rear_kg], ..RideDeviation::default() });
        let over_front = |car: &Car<1>| {
            let [front_m, rear_m] = car.wheel_x_m.map(|x| x.0[0]);
            car.sprung_mass_kg.0[0] * -rear_m / (front_m - rear_m)
        };
        assert_near(over_front(&car) - over_front(&plain), front_kg, 1e-9, "front");
        assert_near(car.sprung_mass_kg.0[0] - plain.sprung_mass_kg.0[0], front_kg + rear_kg, 1e-9, "all");
    }
}
