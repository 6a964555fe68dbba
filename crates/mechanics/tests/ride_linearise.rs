//! Statistical linearisation against what must hold of it.

#![allow(clippy::unwrap_used)] // test helpers outside #[test] functions

use mechanics::curve::MonotoneCurve;
use mechanics::elements::DamperCurve;
use mechanics::ride::*;

fn linear_law(spring: f64, damper: f64) -> AxleLaw {
    AxleLaw {
        force_over_travel: MonotoneCurve::through(&[(-0.1, -0.1 * spring), (0.1, 0.1 * spring)]).unwrap(),
        spring_other_share: 0.0,
        damper: DamperCurve::measured(&[(1.0, damper)], &[(1.0, damper)]).unwrap(),
        damper_other_share: 0.0,
        friction_n: 0.0,
        bar_n_per_m: 8_000.0,
        marks: TravelMarks {
            stop_touched_m: Some(0.04),
            twice_static_m: 0.1,
            metal_m: 0.12,
            rebound_end_m: -0.09,
        },
    }
}

/// Digressive in bump and harder in rebound, a stop from 40 mm on, friction, and steep ends.
fn real_law() -> AxleLaw {
    let points: Vec<(f64, f64)> = (0..=30)
        .map(|i| {
            let travel = -0.13 + 0.009 * f64::from(i);
            let stop = (travel - 0.04).max(0.0);
            let end = (travel - 0.12).max(0.0) - (-0.1 - travel).max(0.0);
            (travel, 35_000.0 * travel + 4e5 * stop * stop + 3e7 * stop.powi(3) + 2e6 * end)
        })
        .collect();
    AxleLaw {
        force_over_travel: MonotoneCurve::through(&points).unwrap(),
        damper: DamperCurve::measured(
            &[(0.13, 450.0), (0.52, 900.0), (1.0, 1_300.0)],
            &[(0.13, 800.0), (0.52, 1_900.0), (1.0, 2_900.0)],
        )
        .unwrap(),
        friction_n: 60.0,
        ..linear_law(35_000.0, 3_000.0)
    }
}

fn car<const N: usize>(sprung_mass_kg: Lanes<N>) -> Car<N> {
    let all = |value: f64| Lanes::<N>::splat(value);
    Car {
        sprung_mass_kg,
        pitch_inertia_kg_m2: all(5_200.0),
        roll_inertia_kg_m2: all(1_150.0),
        wheel_x_m: [all(1.55), all(-1.85)],
        wheel_y_m: [all(0.8), all(-0.86), all(0.8), all(-0.86)],
        unsprung_mass_kg: [all(45.0); 2],
        tyre_rate_n_per_m: [all(260e3); 2],
        tipping_nm_per_rad: [all(0.0); 2],
    }
}

fn nodes(class: RoadClass, km_per_h: f64) -> Nodes {
    let run = RoadRun {
        road: RandomRoad::of_class(class),
        speed_m_per_s: km_per_h / 3.6,
        wheelbase_m: 3.4,
        track_m: 1.66,
    };
    Nodes::new(&Frequencies::usual().unwrap(), run, &Weighting::wk()).unwrap()
}

fn seat<const N: usize>() -> BodyPoint<N> {
    BodyPoint { x_m: Lanes::splat(0.7), y_m: Lanes::splat(0.4) }
}

fn alone(law: &AxleLaw, nodes: &Nodes) -> LinearisedRide {
    linearised_ride(&car(Lanes([2_350.0])), [law, law], &[seat()], nodes).unwrap()
}

#[test]
fn law_linear_parts_are_their_own_linearisation() {
    let law = linear_law(40_000.0, 3_000.0);
    let nodes = nodes(RoadClass::C, 80.0);
    let ride = alone(&law, &nodes);
    for axle in &ride.axles {
        assert!((axle.spring_n_per_m / 40_000.0 - 1.0).abs() < 1e-12);
        assert!((axle.damper_n_s_per_m / 3_000.0 - 1.0).abs() < 1e-12);
        assert!(axle.mean_travel_m.abs() < 1e-9);
    }
    let rates = AxleRates::independent(Lanes([40_000.0]), Lanes([3_000.0]), Lanes([8_000.0]));
    let direct = ride_spread(&car(Lanes([2_350.0])), &[rates; 2], &[seat()], &nodes);
    assert!((ride.spread.seat_m_per_s2[0].0[0] / direct.seat_m_per_s2[0].0[0] - 1.0).abs() < 1e-12);
}

#[test]
fn law_movement_and_rates_agree() {
    let law = real_law();
    for (class, km_per_h) in
        [(RoadClass::A, 50.0), (RoadClass::C, 50.0), (RoadClass::C, 110.0), (RoadClass::D, 80.0)]
    {
        let nodes = nodes(class, km_per_h);
        let ride = alone(&law, &nodes);
        assert!(ride.passes <= 10, "{} passes", ride.passes);
        assert!(ride.further.iter().all(|further| further.abs() < 1e-5), "{:?}", ride.further);
        for axle in 0..2 {
            let speed = ride.spread.travel_speed_m2_per_s2[axle].variance_at_share(0.0).0[0].sqrt();
            assert!((speed / ride.axles[axle].damper_speed_rms_m_per_s - 1.0).abs() < 2e-5);
        }
    }
}

#[test]
fn law_dampers_harder_in_rebound_pull_the_van_down() {
    let mut law = linear_law(40_000.0, 3_000.0);
    let symmetric = alone(&law, &nodes(RoadClass::C, 80.0));
    law.damper = DamperCurve::measured(&[(1.0, 2_000.0)], &[(1.0, 4_000.0)]).unwrap();
    let pumped = alone(&law, &nodes(RoadClass::C, 80.0));
    let axle = &pumped.axles[0];
    // bilinear: E[F] = -(c_r - c_b) σ / √(2π), balanced by the spring
    let force = 2_000.0 * axle.damper_speed_rms_m_per_s / (2.0 * std::f64::consts::PI).sqrt();
    assert!((axle.mean_travel_m - force / 40_000.0).abs() < 1e-8, "{axle:?}");
    assert!((axle.damper_n_s_per_m / 3_000.0 - 1.0).abs() < 1e-9);
    assert!(
        (pumped.spread.seat_m_per_s2[0].0[0] / symmetric.spread.seat_m_per_s2[0].0[0] - 1.0).abs() < 1e-6
    );
}

#[test]
fn law_friction_that_holds_the_wheels_is_found_and_said() {
    let mut law = linear_law(40_000.0, 3_000.0);
    let mut before = f64::INFINITY;
    for friction_n in [0.0, 150.0, 300.0, 500.0, 800.0, 1_500.0, 4_000.0, 20_000.0] {
        law.friction_n = friction_n;
        let ride = alone(&law, &nodes(RoadClass::A, 50.0));
        let axle = &ride.axles[0];
        assert!(axle.damper_speed_rms_m_per_s < before, "more friction, less movement");
        assert!(ride.passes <= 30, "{friction_n} N: {} passes", ride.passes);
        assert_eq!(axle.is_held_by_friction(), friction_n > 10_000.0, "{friction_n} N: {axle:?}");
        before = axle.damper_speed_rms_m_per_s;
    }
}

#[test]
fn law_a_rigid_axle_is_softer_in_opposition_by_the_square_of_its_base() {
    let mut law = linear_law(40_000.0, 3_000.0);
    (law.spring_other_share, law.damper_other_share) = (0.2, 0.15);
    let ride = alone(&law, &nodes(RoadClass::C, 80.0));
    let rates = &ride.rates[1];
    assert!((rates.stiffness_n_per_m[OPPOSED].0[0] - (40_000.0 * 0.36 + 16_000.0)).abs() < 1e-6);
    assert!((rates.damping_n_s_per_m[OPPOSED].0[0] - 3_000.0 * 0.49).abs() < 1e-6);
    assert!((rates.stiffness_n_per_m[PARALLEL].0[0] - 40_000.0).abs() < 1e-6);
}

#[test]
fn law_vans_near_a_settled_one_are_seen_in_its_movement_and_lead_to_their_own() {
    let nodes = nodes(RoadClass::C, 80.0);
    let (law, mass) = (real_law(), Lanes([2_350.0]));
    let settled = alone(&law, &nodes);
    // movement assumed a little otherwise, one of four at a time
    const STEP: f64 = 1e-3;
    let moved: [Movement; 4] =
        std::array::from_fn(|k| std::array::from_fn(|i| if i == k { STEP } else { 0.0 }));
    let together =
        linearised_at(&settled, &moved, &car(Lanes([2_350.0; 4])), &[[&law, &law]; 4], &[seat()], &nodes);
    let mut slopes = nalgebra::Matrix4::zeros();
    for (k, ride) in together.into_iter().enumerate() {
        let ride = ride.unwrap();
        let [again] = linearised_at(&settled, &[moved[k]], &car(mass), &[[&law, &law]], &[seat()], &nodes);
        let again = again.unwrap();
        for i in 0..4 {
            assert!((ride.further[i] - again.further[i]).abs() < 1e-9, "side by side as alone");
            slopes[(i, k)] = (ride.further[i] - settled.further[i]) / STEP;
        }
    }
    // a heavier van with firmer dampers: one step from what it does in the movement of the lighter one
    let mut other = law.clone();
    other.damper = law.damper.times(1.05);
    let heavier = car(Lanes([2_400.0]));
    let [seen] = linearised_at(&settled, &[[0.0; 4]], &heavier, &[[&other, &other]], &[seat()], &nodes);
    let further = nalgebra::Vector4::from(seen.unwrap().further);
    let step = slopes.try_inverse().unwrap() * -further;
    let own = linearised_ride(&heavier, [&other, &other], &[seat()], &nodes).unwrap();
    for axle in 0..2 {
        let (was, is) = (&settled.axles[axle], &own.axles[axle]);
        let speed = (is.damper_speed_rms_m_per_s / was.damper_speed_rms_m_per_s).ln();
        let travel = (is.spring_rms.0 / was.spring_rms.0).ln();
        for (got, expected) in [(step[2 * axle], travel), (step[2 * axle + 1], speed)] {
            assert!((got - expected).abs() < 0.05 * expected.abs() + 2e-4, "{got} for {expected}");
        }
    }
}

#[test]
fn law_what_cannot_settle_is_named() {
    let mut law = linear_law(40_000.0, 3_000.0);
    // a curve that carries less than the van wherever it is
    law.force_over_travel = MonotoneCurve::through(&[(-0.1, -500.0), (0.0, -400.0), (0.1, -400.0)]).unwrap();
    let nodes = nodes(RoadClass::C, 80.0);
    let ride = linearised_ride(&car(Lanes([2_350.0])), [&law, &law], &[seat()], &nodes);
    assert_eq!(ride.unwrap_err(), RideFault::NoMeanTravel);
}

#[test]
fn law_passages_fall_with_distance_and_chance_stays_below_one() {
    let movement = TravelMovement { mean_m: 0.002, rms_m: 0.012, speed_rms_m_per_s: 0.2 };
    // at the mean itself: σ_v / (2π σ) per second
    let at_mean = movement.passages_per_km(0.002, 20.0);
    assert!((at_mean - 0.2 / (2.0 * std::f64::consts::PI * 0.012) * 50.0).abs() < 1e-9);
    let mut before = at_mean;
    for mark in [0.01, 0.02, 0.04, 0.08] {
        let passages = movement.passages_per_km(mark, 20.0);
        let chance = movement.chance_per_km(mark, 20.0);
        assert!(passages < before && chance <= 1.0 && chance <= passages);
        before = passages;
    }
    let rare = movement.passages_per_km(0.08, 20.0);
    assert!((movement.chance_per_km(0.08, 20.0) / rare - 1.0).abs() < 1e-6);
}
