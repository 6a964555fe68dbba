//! Laws of roll, load transfer and stability.

#![allow(clippy::unwrap_used, clippy::panic)] // test helpers outside #[test] functions

#[allow(dead_code)] // shared with the tests of statics
mod common;
#[path = "common/points.rs"]
mod points;
#[path = "common/strut.rs"]
mod reference_strut;

use common::*;
use mechanics::GRAVITY_M_PER_S2;
use mechanics::handling::*;
use mechanics::linkage::TravelMode;
use mechanics::statics::*;
use proptest::prelude::*;

fn assert_near(actual: f64, expected: f64, tolerance: f64, what: &str) {
    assert!((actual - expected).abs() <= tolerance, "{what}: {actual} is not {expected} within {tolerance}");
}

/// Every van that has roll centres.
fn vans() -> Vec<(&'static str, FourCorners)> {
    let mut vans = vec![("struts, semi-trailing arms", hardpoint_van())];
    vans.extend(joined_vans());
    vans
}

fn handling(van: &FourCorners) -> Handling {
    Handling::of(van, &van.rest().unwrap())
}

fn balance(van: &FourCorners) -> RollBalance {
    handling(van).balance.unwrap()
}

/// Fourth-order central difference of `f` at 0.
fn slope<const N: usize>(f: impl Fn(f64) -> [f64; N], step: f64) -> [f64; N] {
    let [a, b, d, e] = [-2.0, -1.0, 1.0, 2.0].map(|k| f(k * step));
    std::array::from_fn(|i| (a[i] - 8.0 * b[i] + 8.0 * d[i] - e[i]) / (12.0 * step))
}

fn model() -> impl Strategy<Value = RollModel> {
    let axle = (
        (500.0..2_500.0f64, 60.0..250.0f64, 0.28..0.40f64),
        (1.3..2.0f64, -0.1..0.5f64, 30e3..150e3f64),
        prop_oneof![Just(f64::INFINITY), 200e3..900e3f64],
    );
    let axle = axle.prop_map(
        |(
            (sprung_mass_kg, unsprung_mass_kg, unsprung_height_m),
            (track_m, roll_centre_height_m, k),
            tyres,
        )| {
            AxleInRoll {
                sprung_mass_kg,
                unsprung_mass_kg,
                unsprung_height_m,
                track_m,
                roll_centre_height_m,
                suspension_nm_per_rad: k,
                tyres_nm_per_rad: tyres,
            }
        },
    );
    (0.5..1.1f64, [axle.clone(), axle]).prop_map(|(sprung_cg_height_m, axles)| RollModel {
        sprung_cg_height_m,
        axles,
        gravity_m_per_s2: GRAVITY_M_PER_S2,
    })
}

/// Sum of load transfer times track, and the moment about the ground of what is thrown outwards and of the weight that has
/// moved sideways, both N m per m/s². The roll of an axle on its tyres is taken from the load they carry.
fn moments_about_ground(model: &RollModel, balance: &RollBalance) -> (f64, f64) {
    let g = model.gravity_m_per_s2;
    let roll = balance.roll_gradient_rad_per_m_per_s2;
    let sprung_kg = balance.sprung_mass_kg;
    let mut outwards = sprung_kg * balance.sprung_cg_height_m;
    let mut sideways = sprung_kg * balance.roll_arm_m * roll;
    let mut by_tyres = 0.0;
    for (axle, transfer) in model.axles.iter().zip(&balance.transfer) {
        let moment = transfer.total_n_per_m_per_s2() * axle.track_m;
        let axle_roll = moment / axle.tyres_nm_per_rad;
        outwards += axle.unsprung_mass_kg * axle.unsprung_height_m;
        sideways += axle_roll
            * (axle.sprung_mass_kg * axle.roll_centre_height_m
                + axle.unsprung_mass_kg * axle.unsprung_height_m);
        by_tyres += moment;
    }
    (by_tyres, outwards + g * sideways)
}

proptest! {
    #[test]
    fn law_transfers_balance_the_overturning_moment(model in model()) {
        if let Ok(balance) = model.balance() {
            let (by_tyres, overturning) = moments_about_ground(&model, &balance);
            // near the edge of tipping over the balance is a difference of large moments
            let scale = overturning.abs().max(balance.roll_gradient_rad_per_m_per_s2.abs() * 1e6);
            prop_assert!((by_tyres - overturning).abs() <= 1e-9 * scale);
            for (axle, transfer) in model.axles.iter().zip(&balance.transfer) {
                let axle_roll = transfer.total_n_per_m_per_s2() * axle.track_m / axle.tyres_nm_per_rad;
                let roll = balance.roll_gradient_rad_per_m_per_s2;
                let by_springs = axle.suspension_nm_per_rad * (roll - axle_roll);
                let got = transfer.elastic_n_per_m_per_s2 * axle.track_m;
                prop_assert!((got - by_springs).abs() <= 1e-9 * scale);
            }
        }
    }

    #[test]
    fn law_stiff_tyres_are_rigid_wheels(model in model()) {
        let on_tyres = |nm_per_rad: f64| {
            let mut model = model;
            model.axles.iter_mut().for_each(|axle| axle.tyres_nm_per_rad = nm_per_rad);
            model.balance()
        };
        // the tyres yield by 1e-7 of the suspension; near tipping over that is magnified
        if let (Ok(rigid), Ok(stiff)) = (on_tyres(f64::INFINITY), on_tyres(1e12))
            && rigid.roll_gradient_rad_per_m_per_s2.abs() < 0.1
        {
            let (a, b) = (rigid.roll_gradient_rad_per_m_per_s2, stiff.roll_gradient_rad_per_m_per_s2);
            prop_assert!((a - b).abs() <= 1e-5, "{a} {b}");
        }
    }

    #[test]
    fn law_no_numbers_break_the_balance(
        numbers in prop::array::uniform15(prop_oneof![
            Just(0.0), Just(-1.0), Just(f64::NAN), Just(f64::INFINITY), Just(1e300), -10.0..10.0f64
        ]),
    ) {
        let axle = |n: &[f64]| AxleInRoll {
            sprung_mass_kg: n[0],
            unsprung_mass_kg: n[1],
            unsprung_height_m: n[2],
            track_m: n[3],
            roll_centre_height_m: n[4],
            suspension_nm_per_rad: n[5],
            tyres_nm_per_rad: n[6],
        };
        let axles = [axle(&numbers[0..7]), axle(&numbers[7..14])];
        let model = RollModel { sprung_cg_height_m: numbers[14], axles, gravity_m_per_s2: GRAVITY_M_PER_S2 };
        if let Ok(balance) = model.balance() {
            prop_assert!(balance.roll_gradient_rad_per_m_per_s2.is_finite());
            prop_assert!(balance.transfer.iter().all(|t| t.total_n_per_m_per_s2().is_finite()));
        }
    }
}

#[test]
fn law_transfers_of_vans_balance_the_overturning_moment() {
    for (name, van) in vans() {
        let rest = van.rest().unwrap();
        let handling = Handling::of(&van, &rest);
        let balance = handling.balance.unwrap();
        let mass_kg = van.sprung.mass_kg + van.corners.iter().map(|c| c.unsprung_mass_kg).sum::<f64>();
        let stood_n: f64 = rest.wheel_load_n.iter().sum();
        let (mut by_tyres, mut axle_sideways) = (0.0, 0.0);
        for axle in [FRONT, REAR] {
            let transfer = balance.transfer[axle];
            let moment = transfer.total_n_per_m_per_s2() * handling.track_m[axle];
            let axle_roll = moment / handling.roll_stiffness[axle].tyres_nm_per_rad;
            // what an axle carries besides springs and bars, in proportion to the parts of its transfer
            let carried = (transfer.geometric_n_per_m_per_s2 + transfer.unsprung_n_per_m_per_s2)
                * handling.track_m[axle];
            axle_sideways += carried / (1.0 + GRAVITY_M_PER_S2 * axle_roll) * axle_roll;
            by_tyres += moment;
        }
        let body_sideways =
            balance.sprung_mass_kg * balance.roll_arm_m * balance.roll_gradient_rad_per_m_per_s2;
        let outwards = mass_kg * handling.stability.centre_of_gravity_height_m;
        let overturning = outwards + GRAVITY_M_PER_S2 * (body_sideways + axle_sideways);
        // masses follow from the wheel loads, which rest balances to 1e-7 N in some 25 kN
        assert_near(by_tyres / overturning, 1.0, 1e-9, name);
        assert_near(stood_n / GRAVITY_M_PER_S2, mass_kg, 1e-7, name);
    }
}

#[test]
fn law_roll_stiffness_is_the_moment_that_answers_a_weight_moved_sideways() {
    for (name, mut van) in vans() {
        // a van alike left and right rolls with its wheels in opposition; the lateral rod of the links is one-sided
        van.sprung.centre_of_gravity_m[1] = 0.0;
        if name == "links" {
            continue;
        }
        let rest = van.rest().unwrap();
        let handling = Handling::of(&van, &rest);
        for axle in [FRONT, REAR] {
            let (left, right) = (2 * axle, 2 * axle + 1);
            let track_m = handling.track_m[axle];
            let moved = |aside_m: f64| {
                let mut van = van.clone();
                van.sprung.centre_of_gravity_m[1] = aside_m;
                let rest = van.rest().unwrap();
                let force_n = |corner: usize| van.suspension_force_n(&rest, corner);
                [
                    0.5 * track_m * (force_n(left) - force_n(right)),
                    (rest.travel_m[left] - rest.travel_m[right]) / track_m,
                    0.5 * track_m * (rest.wheel_load_n[left] - rest.wheel_load_n[right]),
                    rest.body.roll_rad,
                ]
            };
            let [moment, over_axle, by_tyres, roll] = slope(moved, 2.0 * MM);
            let stiffness = handling.roll_stiffness[axle].on_rigid_wheels_nm_per_rad();
            // the fourth derivative of tables with knots 1 mm apart jumps: 1e-6 of the moment
            assert_near(moment / over_axle / stiffness, 1.0, 1e-6, &format!("{name}, axle {axle}"));

            // the tyres carry it too, less the side lean of the path on which the carried weight F stands, 2 F y'; a
            // rest pitched by 1e-3 turns paths and lever arms by as much
            let path = van.corners[left].table.wheel_centre_y_m.at_both(rest.axle_travel(left));
            let carried_n = 2.0 * van.suspension_force_n(&rest, left);
            let lean = path.along(TravelMode::Roll.direction()).slope;
            let expected = stiffness * over_axle - 0.5 * track_m * carried_n * lean * roll;
            assert_near(by_tyres / expected, 1.0, 1e-3, &format!("{name}, axle {axle}, tyres"));
        }
    }
}

#[test]
fn law_constant_ratios_give_half_rate_times_track_squared() {
    let van = linear_van();
    let handling = handling(&van);
    for (axle, rate, bar, tyre) in [(FRONT, 32e3, 18e3, 250e3), (REAR, 45e3, 6e3, 280e3)] {
        let (track_m, stiffness) = (handling.track_m[axle], handling.roll_stiffness[axle]);
        assert_near(track_m, [1.74, 1.72][axle], 1e-12, "track");
        // rounding of 5e4 to 4e5
        assert_near(stiffness.springs_nm_per_rad, 0.5 * rate * track_m * track_m, 1e-7, "springs");
        assert_near(stiffness.bar_nm_per_rad, bar, 1e-7, "bar");
        assert_near(stiffness.tyres_nm_per_rad, 0.5 * tyre * track_m * track_m, 1e-7, "tyres");
    }
}

#[test]
fn law_tape_measures_give_no_roll_centre_and_say_so() {
    let handling = handling(&linear_van());
    assert_eq!(handling.roll_centre_height_m, [None, None]);
    assert_eq!(handling.balance, Err(NoRollBalance::RollCentreUnknown { axle: FRONT }));
    assert_eq!(handling.first_lift, None);
    assert!(handling.stability.factor() > 1.0);
}

#[test]
fn law_roll_centre_is_that_of_the_table_where_the_tyre_stands_as_drawn() {
    for (name, van) in vans() {
        let rest = van.rest().unwrap();
        let handling = Handling::of(&van, &rest);
        for axle in [FRONT, REAR] {
            // the same rest with each tyre at the radius of its drawing, which reaches down the wheel plane
            let mut as_drawn = rest;
            as_drawn.wheel_centre_height_m = std::array::from_fn(|i| {
                let table = &van.corners[i].table;
                let camber = table.camber_rad.as_ref().unwrap().at_both(rest.axle_travel(i));
                table.wheel_centre_design_m[2] * camber.value.cos()
            });
            let height = |i: usize| {
                let table = &van.corners[i].table;
                let travel = rest.axle_travel(i);
                table.pose_in(travel, TravelMode::Roll).roll_centre_height_m.unwrap()
            };
            let expected_m = 0.5 * (height(2 * axle) + height(2 * axle + 1));
            let got_m = Handling::of(&van, &as_drawn).roll_centre_height_m[axle].unwrap();
            // what tables promise; toe, left out here, moves it by 1e-7
            assert_near(got_m, expected_m, 1e-6, &format!("{name}, axle {axle}"));
            let on_the_ground_m = handling.roll_centre_height_m[axle].unwrap();
            assert_near(on_the_ground_m, expected_m, 0.03, &format!("{name}, axle {axle}, on the ground"));
        }
    }
}

#[test]
fn law_stiffer_front_bar_takes_load_transfer_to_the_front_and_lowers_roll() {
    for (name, van) in vans() {
        let rest = van.rest().unwrap();
        let before = Handling::of(&van, &rest);
        for (axle, sign) in [(FRONT, 1.0), (REAR, -1.0)] {
            let after = Handling::with_bar_rate_factor(&van, &rest, axle, 1.5).unwrap();
            let same = Handling::with_bar_rate_factor(&van, &rest, axle, 1.0).unwrap();
            let [b, a, s] = [&before, &after, &same].map(|handling| handling.balance.unwrap());
            if before.roll_stiffness[axle].bar_nm_per_rad == 0.0 {
                continue;
            }
            assert!(sign * (a.front_share() - b.front_share()) > 1e-3, "{name}, axle {axle}: share");
            assert!(a.roll_gradient_rad_per_m_per_s2 < b.roll_gradient_rad_per_m_per_s2, "{name}: gradient");
            assert_near(s.front_share(), b.front_share(), 1e-12, name);
        }
    }
}

#[test]
fn law_higher_weight_rolls_more_and_lifts_a_wheel_sooner() {
    for (name, van) in vans() {
        let higher = van.with(Parameter::CentreOfGravityHeight, 0.10);
        assert!(
            balance(&higher).roll_gradient_rad_per_m_per_s2 > balance(&van).roll_gradient_rad_per_m_per_s2,
            "{name}"
        );
        let (low, high) = (handling(&van), handling(&higher));
        assert!(high.stability.factor() < low.stability.factor(), "{name}");
        let at = |handling: &Handling| handling.first_lift.unwrap().lateral_acceleration_m_per_s2;
        assert!(at(&high) < at(&low), "{name}");
        // it lifts sooner than a rigid van tips
        assert!(at(&low) < low.stability.factor() * GRAVITY_M_PER_S2, "{name}");
    }
}

#[test]
fn law_first_wheel_to_lift_has_no_load_left_and_all_others_have() {
    for (name, van) in vans() {
        let rest = van.rest().unwrap();
        let handling = Handling::of(&van, &rest);
        let lift = handling.first_lift.unwrap();
        let towards = side_of(lift.corner) * lift.lateral_acceleration_m_per_s2;
        let loads_n = handling.balance.unwrap().wheel_loads_n(rest.wheel_load_n, towards);
        assert_near(loads_n[lift.corner], 0.0, 1e-8, name);
        assert!(loads_n.iter().all(|&load_n| load_n > -1e-8), "{name}: {loads_n:?}");
        assert_near(loads_n.iter().sum(), rest.wheel_load_n.iter().sum(), 1e-8, name);
    }
}

#[test]
fn law_mirrored_van_handles_alike() {
    for (name, van) in vans() {
        let mut mirror = van.clone();
        mirror.sprung.centre_of_gravity_m[1] *= -1.0;
        for i in 0..CORNERS {
            mirror.corners[i] = Corner { side: side_of(i), ..van.corners[i ^ 1].clone() };
        }
        let (here, there) = (handling(&van), handling(&mirror));
        // rest is balanced to 1e-7 N
        for axle in [FRONT, REAR] {
            let (a, b) = (here.roll_stiffness[axle], there.roll_stiffness[axle]);
            assert_near(a.with_tyres_nm_per_rad() / b.with_tyres_nm_per_rad(), 1.0, 1e-8, name);
            let heights_m = (here.roll_centre_height_m[axle], there.roll_centre_height_m[axle]);
            assert_near(heights_m.0.unwrap(), heights_m.1.unwrap(), 1e-8, name);
        }
        let (a, b) = (here.balance.unwrap(), there.balance.unwrap());
        assert_near(a.roll_gradient_deg_per_g(), b.roll_gradient_deg_per_g(), 1e-7, name);
        assert_near(a.front_share(), b.front_share(), 1e-8, name);
        assert_near(here.stability.factor(), there.stability.factor(), 1e-8, name);
        let (lift, mirrored) = (here.first_lift.unwrap(), there.first_lift.unwrap());
        assert_eq!(lift.corner ^ 1, mirrored.corner, "{name}");
    }
}

#[test]
fn law_a_body_that_is_not_held_is_named() {
    let van = hardpoint_van().with(Parameter::CentreOfGravityHeight, 30.0);
    let rest = hardpoint_van().rest().unwrap();
    assert_eq!(Handling::of(&van, &rest).balance, Err(NoRollBalance::NotHeld));
}
