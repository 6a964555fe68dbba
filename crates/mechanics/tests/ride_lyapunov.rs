//! Spectra summed over frequency against covariances from Lyapunov's equation, which knows no frequencies.
//!
//! A road of ISO 8608 has a white vertical speed, so the state of a van on it, with tyre deflections in place of heights, is
//! Markov. The rear wheels' delay τ enters exactly: with inputs b_f now and b_r delayed by τ the covariance is
//! `X_ff + X_rr + e^{Aτ} X_fr + (e^{Aτ} X_fr)ᵀ`, where `A X_ij + X_ij Aᵀ + q b_i b_jᵀ = 0` and q is half the one-sided
//! density (Åström, Introduction to Stochastic Control Theory, ch. 3; cross term: the same integral over shifted responses).
//! That covariance is of all frequencies: the sum is taken over a band so wide that nothing is left outside.

#![allow(clippy::unwrap_used)] // test helpers outside #[test] functions

mod ride_common;

use mechanics::ride::*;
use nalgebra::{DMatrix, DVector};
use proptest::prelude::*;
use ride_common::*;

/// x′ = A x + columns × white speeds of the road under front and rear.
struct Model {
    a: DMatrix<f64>,
    road: [DVector<f64>; 2],
    /// Row that gives the vertical acceleration of a place on the body.
    acceleration: DVector<f64>,
}

// Coordinates of the half car: travel front, rear (wheel less body), deflection of tyres (road less wheel) front, rear,
// speeds of heave, pitch, front wheels, rear wheels. One side of the van, everything doubled.
const TRAVEL: usize = 0;
const TYRE: usize = 2;

fn half_car(van: &Van) -> Model {
    let mut a = DMatrix::zeros(8, 8);
    let mut road = [DVector::zeros(8), DVector::zeros(8)];
    for axle in 0..2 {
        let x = van.car.wheel_x_m[axle].0[0];
        let spring = van.axles[axle].stiffness_n_per_m[PARALLEL].0[0];
        let damper = van.axles[axle].damping_n_s_per_m[PARALLEL].0[0];
        let tyre = van.car.tyre_rate_n_per_m[axle].0[0];
        // travel' = wheel' - (heave' - x pitch')
        let mut speed = DVector::zeros(8);
        (speed[4], speed[5], speed[6 + axle]) = (-1.0, x, 1.0);
        a.set_row(TRAVEL + axle, &speed.transpose());
        a[(TYRE + axle, 6 + axle)] = -1.0;
        road[axle][TYRE + axle] = 1.0;
        let mut force = speed * damper;
        force[TRAVEL + axle] += spring;
        let on_body = [2.0 / van.car.sprung_mass_kg.0[0], -2.0 * x / van.car.pitch_inertia_kg_m2.0[0]];
        for (row, share) in on_body.into_iter().enumerate() {
            for k in 0..8 {
                a[(4 + row, k)] += share * force[k];
            }
        }
        let mass = van.car.unsprung_mass_kg[axle].0[0];
        for k in 0..8 {
            a[(6 + axle, k)] = -force[k] / mass;
        }
        a[(6 + axle, TYRE + axle)] += tyre / mass;
    }
    let acceleration = (a.row(4) - a.row(5) * van.seat.x_m.0[0]).transpose();
    Model { a, road, acceleration }
}

/// The model with the chain of sections behind its acceleration, and the row that gives what comes out of it.
fn with_weighting(model: &Model, weighting: &Weighting) -> (Model, DVector<f64>) {
    let (before, sections) = (model.a.nrows(), weighting.sections().len());
    let states = before + 2 * sections;
    let mut a = DMatrix::zeros(states, states);
    a.view_mut((0, 0), (before, before)).copy_from(&model.a);
    let mut input = DVector::zeros(states);
    input.rows_mut(0, before).copy_from(&model.acceleration);
    for (k, section) in weighting.sections().iter().enumerate() {
        let at = before + 2 * k;
        let [d0, d1, d2] = section.denominator;
        let [n0, n1, n2] = section.numerator;
        // controllable form: y = (n0 p + n1 p' + n2 p''), d2 p'' = u - d0 p - d1 p'
        a[(at, at + 1)] = 1.0;
        a.set_row(at + 1, &(input.transpose() / d2));
        a[(at + 1, at)] -= d0 / d2;
        a[(at + 1, at + 1)] -= d1 / d2;
        let mut output = &input * (n2 / d2);
        output[at] += n0 - n2 * d0 / d2;
        output[at + 1] += n1 - n2 * d1 / d2;
        input = output;
    }
    let road = model.road.clone().map(|column| column.resize_vertically(states, 0.0));
    (Model { a, road, acceleration: DVector::zeros(states) }, input)
}

/// X of `A X + X Aᵀ + b cᵀ = 0`, as one dense system (Kronecker).
fn lyapunov(a: &DMatrix<f64>, b: &DVector<f64>, c: &DVector<f64>) -> DMatrix<f64> {
    let n = a.nrows();
    let one = DMatrix::<f64>::identity(n, n);
    let system = one.kronecker(a) + a.kronecker(&one);
    let right = DVector::from_column_slice((-(b * c.transpose())).as_slice());
    let solution = system.lu().solve(&right).unwrap();
    DMatrix::from_column_slice(n, n, solution.as_slice())
}

/// Covariance of the states on a road whose speed has the one-sided density, rear after front by a delay.
fn covariance(model: &Model, density: f64, delay_s: f64) -> DMatrix<f64> {
    let [front, rear] = &model.road;
    // the state's answer to the front input is older by the delay: E[x_f x_rᵀ] = e^{Aτ} X_fr
    let cross = (&model.a * delay_s).exp() * lyapunov(&model.a, front, rear);
    (lyapunov(&model.a, front, front) + lyapunov(&model.a, rear, rear) + &cross + cross.transpose())
        * (0.5 * density)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(6))]

    #[test]
    fn val_spectra_of_a_half_car_with_delay_and_weighting_are_lyapunov_covariances(van in vans(), speed in 10.0f64..35.0) {
        // centre of gravity on the centre plane and both tracks alike: heave and pitch only
        let half_track = Lanes([0.83]);
        let car = Car { wheel_y_m: [half_track, -half_track, half_track, -half_track], ..van.car };
        let van = Van { car, ..van };
        let road = RandomRoad::of_class(RoadClass::C).with_coherence_decay(0.0).unwrap();
        let run = RoadRun { road, speed_m_per_s: speed, wheelbase_m: car.wheelbase_m(), track_m: 1.66 };
        let frequencies = Frequencies::gauss_legendre(1e-3, 1e4, 1_500).unwrap();
        let nodes = Nodes::new(&frequencies, run, &Weighting::wk()).unwrap();
        let spread = ride_spread(&car, &van.axles, &[van.seat], &nodes);

        let (model, output) = with_weighting(&half_car(&van), &Weighting::wk());
        let density = road.speed_density_m2_per_s2_hz(speed);
        let covariance = covariance(&model, density, car.wheelbase_m() / speed);
        let variance = |row: &DVector<f64>| (row.transpose() * &covariance * row)[(0, 0)];

        let seat = variance(&output).sqrt();
        prop_assert!((spread.seat_m_per_s2[0].0[0] / seat - 1.0).abs() < 1e-5, "{} for {seat}", spread.seat_m_per_s2[0].0[0]);
        for axle in 0..2 {
            let travel = covariance[(TRAVEL + axle, TRAVEL + axle)];
            prop_assert!((spread.travel_m2[axle].parallel.0[0] / travel - 1.0).abs() < 1e-5);
            let tyre = covariance[(TYRE + axle, TYRE + axle)] * car.tyre_rate_n_per_m[axle].0[0].powi(2);
            // the density of tyre load falls with 1/f² only: a thousandth lies above 10 kHz
            prop_assert!((spread.tyre_load_n2[axle].parallel.0[0] / tyre - 1.0).abs() < 3e-3);
        }
    }

    #[test]
    fn law_travel_of_a_quarter_car_depends_on_its_damper_and_masses_only(quarter in quarters(), spring in 10e3f64..90e3, tyre in 120e3f64..350e3) {
        // E[w²] = q (m_s + m_u) / (2 c)
        let run = RoadRun {
            road: RandomRoad::of_class(RoadClass::C).with_coherence_decay(0.0).unwrap(),
            speed_m_per_s: 20.0,
            wheelbase_m: 2.0,
            track_m: 2.0,
        };
        // a stiff spring on a soft tyre leaves the body a tenth of its damping: the peak is narrow
        let nodes = Nodes::new(&Frequencies::gauss_legendre(1e-3, 1e3, 4_000).unwrap(), run, &Weighting::wk()).unwrap();
        let expected = 0.25 * run.road.speed_density_m2_per_s2_hz(20.0) * (quarter.sprung + quarter.unsprung) / quarter.damper;
        for quarter in [quarter, Quarter { spring, tyre, ..quarter }] {
            let (car, axles) = quarter.van();
            let spread = ride_spread(&car, &axles, &[], &nodes);
            let travel = spread.travel_rms_m()[0].0[0].powi(2);
            prop_assert!((travel / expected - 1.0).abs() < 1e-6, "{travel} for {expected}");
        }
    }
}
