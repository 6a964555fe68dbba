//! What must hold of any van on any road, and spectra against covariances from Lyapunov's equation.

#![allow(clippy::unwrap_used)] // test helpers outside #[test] functions

mod ride_common;

use mechanics::ride::*;
use proptest::prelude::*;
use ride_common::*;

fn nodes_of(road: RandomRoad, speed_m_per_s: f64, frequencies: &Frequencies) -> Nodes {
    let run = RoadRun { road, speed_m_per_s, wheelbase_m: 3.4, track_m: 1.66 };
    Nodes::new(frequencies, run, &Weighting::wk()).unwrap()
}

fn usual_nodes(speed_m_per_s: f64) -> Nodes {
    nodes_of(RandomRoad::of_class(RoadClass::C), speed_m_per_s, &Frequencies::usual().unwrap())
}

fn figures(spread: &RideSpread<1>) -> Vec<f64> {
    spread
        .seat_m_per_s2
        .iter()
        .copied()
        .chain(spread.travel_rms_m())
        .chain(spread.travel_speed_rms_m_per_s())
        .chain(spread.tyre_load_rms_n())
        .map(|figure| figure.0[0])
        .collect()
}

fn largest_difference(got: &[f64], expected: &[f64]) -> f64 {
    got.iter().zip(expected).map(|(g, e)| (g / e - 1.0).abs()).fold(0.0, f64::max)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn law_one_class_worse_or_four_times_the_speed_doubles_a_quarter_car(quarter in quarters(), speed in 5.0f64..15.0) {
        // no delay and no band enters when the frequencies are the same: R5 with a single track
        let single = |class| RandomRoad::of_class(class).with_coherence_decay(0.0).unwrap();
        let frequencies = Frequencies::usual().unwrap();
        let spread = |class, speed| {
            let (car, axles) = quarter.van();
            figures(&ride_spread(&car, &axles, &[Car::over_front_axle()], &nodes_of(single(class), speed, &frequencies)))
        };
        let base = spread(RoadClass::B, speed);
        let doubled: Vec<f64> = base.iter().map(|figure| 2.0 * figure).collect();
        prop_assert!(largest_difference(&spread(RoadClass::C, speed), &doubled) < 1e-12);
        // at the front nothing of the rear axle's delay is felt
        let faster = spread(RoadClass::B, 4.0 * speed);
        prop_assert!(largest_difference(&faster[..3], &doubled[..3]) < 1e-9);
    }

    #[test]
    fn law_a_smooth_road_moves_nothing(van in vans()) {
        let road = RandomRoad::of_roughness(0.0).unwrap();
        let spread = ride_spread(&van.car, &van.axles, &[van.seat], &nodes_of(road, 20.0, &Frequencies::usual().unwrap()));
        prop_assert!(figures(&spread).iter().all(|figure| *figure == 0.0));
    }

    #[test]
    fn law_a_van_in_the_mirror_moves_in_the_mirror(van in vans()) {
        let nodes = usual_nodes(20.0);
        let seen = figures(&ride_spread(&van.car, &van.axles, &[van.seat], &nodes));
        let y = van.car.wheel_y_m;
        let car = Car { wheel_y_m: [-y[1], -y[0], -y[3], -y[2]], ..van.car };
        let seat = BodyPoint { y_m: -van.seat.y_m, ..van.seat };
        let mirrored = figures(&ride_spread(&car, &van.axles, &[seat], &nodes));
        // wheels of an axle change places
        let swapped = [0, 2, 1, 4, 3, 6, 5, 8, 7, 10, 9, 12, 11].map(|k| mirrored[k]);
        prop_assert!(largest_difference(&swapped, &seen) < 1e-10);
    }

    #[test]
    fn law_opposed_tracks_neither_heave_nor_pitch_a_symmetric_van(van in vans(), frequency in 0.3f64..40.0) {
        let half = Lanes([0.83]);
        let car = Car { wheel_y_m: [half, -half, half, -half], ..van.car };
        let [parallel, opposed] = frequency_response(&car, &van.axles, frequency, 20.0).unwrap();
        prop_assert!(opposed.body[0].magnitude().0[0] == 0.0 && opposed.body[1].magnitude().0[0] == 0.0);
        prop_assert!(parallel.body[2].magnitude().0[0] == 0.0);
        prop_assert!(opposed.body[2].magnitude().0[0] > 0.0);
    }

    #[test]
    fn law_a_slow_road_carries_the_van_along(van in vans()) {
        let car = Car { tipping_nm_per_rad: [Lanes([0.0]); 2], ..van.car };
        let [parallel, _] = frequency_response(&car, &van.axles, 1e-4, 1000.0).unwrap();
        prop_assert!((parallel.body[0].re.0[0] - 1.0).abs() < 1e-5);
        prop_assert!(parallel.travel.iter().flatten().all(|travel| travel.magnitude().0[0] < 1e-5));
    }

    #[test]
    fn law_gravity_that_tips_the_body_slows_its_roll(van in vans()) {
        let (mut car, axles) = (van.car, van.axles);
        let mut roll_hz = |tipping: f64| {
            car.tipping_nm_per_rad[1] = Lanes([tipping]);
            let modes = modes(&car, &axles).unwrap();
            modes.iter().find(|mode| mode.kind == ModeKind::Roll).unwrap().frequency_hz()
        };
        prop_assert!(roll_hz(15_000.0) < roll_hz(0.0));
    }

    #[test]
    fn law_modes_make_the_trace_of_damping_over_mass(van in vans()) {
        // the eigenvalues of the state matrix sum to its trace: minus the sum of damping over mass
        let sum: f64 = modes(&van.car, &van.axles)
            .unwrap()
            .iter()
            .map(|mode| if mode.swings() { 2.0 * mode.eigenvalue.0 } else { mode.eigenvalue.0 })
            .sum();
        let mut expected = 0.0;
        for axle in 0..2 {
            let c = [0, 1].map(|mode| 2.0 * van.axles[axle].damping_n_s_per_m[mode].0[0]);
            let y = [0, 1].map(|side| van.car.wheel_y_m[2 * axle + side].0[0]);
            expected -= c[0] / van.car.sprung_mass_kg.0[0]
                + c[0] * van.car.wheel_x_m[axle].0[0].powi(2) / van.car.pitch_inertia_kg_m2.0[0]
                + (c[0] * (0.5 * (y[0] + y[1])).powi(2) + c[1] * (0.5 * (y[0] - y[1])).powi(2))
                    / van.car.roll_inertia_kg_m2.0[0]
                + (c[0] + c[1]) / (2.0 * van.car.unsprung_mass_kg[axle].0[0]);
        }
        prop_assert!((sum / expected - 1.0).abs() < 1e-9);
    }

    #[test]
    fn law_nodes_of_the_product_are_within_two_hundred_thousandths(van in vans(), speed in 8.0f64..35.0) {
        // against four times the points; the vans have ordinary damping
        let road = RandomRoad::of_class(RoadClass::C);
        let of = |count| {
            let frequencies = Frequencies::gauss_legendre(0.25, 80.0, count).unwrap();
            figures(&ride_spread(&van.car, &van.axles, &[van.seat], &nodes_of(road, speed, &frequencies)))
        };
        prop_assert!(largest_difference(&of(Frequencies::usual().unwrap().points().len()), &of(480)) < 2e-5);
    }
}

#[test]
fn law_heavy_dampers_creep_and_are_counted() {
    let quarter =
        Quarter { sprung: 400.0, unsprung: 40.0, spring: 20_000.0, damper: 40_000.0, tyre: 200_000.0 };
    let (car, axles) = quarter.van();
    let modes = modes(&car, &axles).unwrap();
    let states: usize = modes.iter().map(|mode| if mode.swings() { 2 } else { 1 }).sum();
    assert_eq!(states, 14);
    assert!(modes.iter().any(|mode| !mode.swings()));
    for creeping in modes.iter().filter(|mode| !mode.swings()) {
        assert!((creeping.damping_ratio() - 1.0).abs() < 1e-12);
    }
}

#[test]
fn law_gauss_points_integrate_polynomials_of_the_logarithm() {
    // of degree 2 n - 1: here (ln f)^9 / f with five points, and the band itself
    let points = Frequencies::gauss_legendre(1.0, std::f64::consts::E, 5).unwrap();
    let sum: f64 = points.points().iter().map(|(f, share)| share * f.ln().powi(9) / f).sum();
    assert!((sum - 0.1).abs() < 1e-14);
    let band: f64 = Frequencies::usual().unwrap().points().iter().map(|(_, share)| share).sum();
    assert!((band - 79.75).abs() < 1e-10);
    let band: f64 = Frequencies::logarithmic_trapezoid(0.25, 80.0, 50)
        .unwrap()
        .points()
        .iter()
        .map(|(_, share)| share)
        .sum();
    assert!((band - 79.75).abs() < 1e-10);
}

#[test]
fn law_bad_bands_and_runs_are_refused() {
    assert!(Frequencies::gauss_legendre(0.0, 80.0, 100).is_err());
    assert!(Frequencies::gauss_legendre(1.0, f64::NAN, 100).is_err());
    assert!(Frequencies::logarithmic_trapezoid(1.0, 2.0, 1).is_err());
    let run = RoadRun {
        road: RandomRoad::of_class(RoadClass::A),
        speed_m_per_s: f64::NAN,
        wheelbase_m: 3.0,
        track_m: 1.6,
    };
    assert!(Nodes::new(&Frequencies::usual().unwrap(), run, &Weighting::none()).is_err());
    assert!(RandomRoad::of_roughness(-1.0).is_none());
}
