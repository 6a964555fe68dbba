//! The linear axle that moves most like the real one on a given road: statistical linearisation.
//!
//! Springs, stops, dampers and friction are replaced by the rates that fit best in the mean square over the movement they
//! see, taken as normally distributed (Roberts and Spanos, Random Vibration and Statistical Linearization, ch. 5). Rates
//! set the movement and the movement sets the rates, so both are found together. Where dampers hold more in rebound than in
//! bump, or springs harden, the van rides lower or higher than it stands: the mean travel is where the mean forces of
//! springs and dampers balance.

use super::axle_law::AxleLaw;
use super::gaussian::{self, MeanForce};
use super::nodes::Nodes;
use super::response::AxleRates;
use super::spread::{RideSpread, SideBySide, ride_spread};
use super::{BodyPoint, Car, Lanes, RideFault};

/// Speed below which friction is taken to creep, m/s.
pub const CREEP_SPEED_M_PER_S: f64 = 1e-3;

/// Relative change of every standard deviation from pass to pass at which the search has settled.
const TOLERANCE: f64 = 1e-5;
const MOST_PASSES: usize = 60;
/// Movements are not followed below this, m and m/s.
const LEAST_DEVIATION: f64 = 1e-9;
/// Mean travel is looked for this far from rest, m.
const FARTHEST_MEAN_M: f64 = 0.5;

/// An axle in the movement it makes on a road.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LinearisedAxle {
    /// Mean travel from rest, m, bump positive: the van rides that much lower than it stands.
    pub mean_travel_m: f64,
    /// Standard deviation of the travel that springs and stops see, m, and of its speed, m/s.
    pub spring_rms: (f64, f64),
    /// Standard deviation of the speed that dampers see, m/s.
    pub damper_speed_rms_m_per_s: f64,
    /// Rate of springs and stops, N/m.
    pub spring_n_per_m: f64,
    /// Rate of the dampers, N s/m.
    pub damper_n_s_per_m: f64,
    /// What friction adds to it, N s/m.
    pub friction_n_s_per_m: f64,
}

impl LinearisedAxle {
    /// Whether friction holds the wheels: they creep more than they move.
    pub fn is_held_by_friction(&self) -> bool {
        self.friction_n_s_per_m > 0.0 && self.damper_speed_rms_m_per_s < CREEP_SPEED_M_PER_S
    }
}

/// A van on a road and speed, with the rates its parts have there.
#[derive(Debug, Clone, PartialEq)]
pub struct LinearisedRide {
    /// How far it moves.
    pub spread: RideSpread<1>,
    /// Rates of both axles.
    pub rates: [AxleRates<1>; 2],
    /// Movement of the parts of both axles.
    pub axles: [LinearisedAxle; 2],
    /// Sums of spectra until movement and rates agreed.
    pub passes: usize,
    /// Where the search for a van that differs a little goes on from.
    correction: Correction,
}

/// Linearises `N` vans side by side; each starts from its own earlier solution if there is one, and stops on its own.
///
/// # Errors
/// For each van: [`RideFault::NotSettled`] when movement and rates do not come to agree to 10⁻⁵ within 60 passes,
/// [`RideFault::NoMeanTravel`] when no mean travel within half a metre balances springs and dampers.
pub fn linearised_ride<const N: usize>(
    car: &Car<N>,
    laws: &[[&AxleLaw; 2]; N],
    seats: &[BodyPoint<N>],
    nodes: &Nodes,
    start: &[Option<&LinearisedRide>; N],
) -> [Result<LinearisedRide, RideFault>; N]
where
    Lanes<N>: SideBySide<N>,
{
    let mut searches: [Search; N] = std::array::from_fn(|lane| Search::from(start[lane]));
    let mut outcomes: [Option<Result<LinearisedRide, RideFault>>; N] = std::array::from_fn(|_| None);
    let mut axles: [[LinearisedAxle; 2]; N] = std::array::from_fn(|lane| searches[lane].axles());
    for pass in 1..=MOST_PASSES {
        for lane in 0..N {
            if outcomes[lane].is_none() {
                match searches[lane].linearised(laws[lane]) {
                    Ok(found) => axles[lane] = found,
                    Err(fault) => outcomes[lane] = Some(Err(fault)),
                }
            }
        }
        let rates = [0, 1].map(|axle| side_by_side(&axles, laws, axle));
        let spread = ride_spread(car, &rates, seats, nodes);
        for lane in 0..N {
            if outcomes[lane].is_none() && searches[lane].follow(&spread, laws[lane], lane) {
                let rates = [0, 1].map(|axle| rates_of(&axles[lane][axle], laws[lane][axle]));
                let spread = spread.lane(lane);
                let correction = searches[lane].correction;
                let axles = axles[lane];
                outcomes[lane] = Some(Ok(LinearisedRide { spread, rates, axles, passes: pass, correction }));
            }
        }
        if outcomes.iter().all(Option::is_some) {
            break;
        }
    }
    outcomes.map(|outcome| outcome.unwrap_or(Err(RideFault::NotSettled { passes: MOST_PASSES })))
}

/// Rates of one axle with both wheels in parallel and in opposition.
///
/// A part at the share e of the other wheel moves by 1 - 2 e of the opposed travel, and so does its force by virtual work.
fn rates_of(axle: &LinearisedAxle, law: &AxleLaw) -> AxleRates<1> {
    let opposed = |other_share: f64| (1.0 - 2.0 * other_share).powi(2);
    let damping = axle.damper_n_s_per_m + axle.friction_n_s_per_m;
    AxleRates {
        stiffness_n_per_m: [
            Lanes([axle.spring_n_per_m]),
            Lanes([axle.spring_n_per_m * opposed(law.spring_other_share) + 2.0 * law.bar_n_per_m]),
        ],
        damping_n_s_per_m: [Lanes([damping]), Lanes([damping * opposed(law.damper_other_share)])],
    }
}

fn side_by_side<const N: usize>(
    axles: &[[LinearisedAxle; 2]; N],
    laws: &[[&AxleLaw; 2]; N],
    axle: usize,
) -> AxleRates<N> {
    let alone: [AxleRates<1>; N] = std::array::from_fn(|lane| rates_of(&axles[lane][axle], laws[lane][axle]));
    let gathered =
        |of: &dyn Fn(&AxleRates<1>) -> Lanes<1>| Lanes(std::array::from_fn(|lane| of(&alone[lane]).0[0]));
    AxleRates {
        stiffness_n_per_m: [0, 1].map(|mode| gathered(&|rates| rates.stiffness_n_per_m[mode])),
        damping_n_s_per_m: [0, 1].map(|mode| gathered(&|rates| rates.damping_n_s_per_m[mode])),
    }
}

/// The search of one van for movement that agrees with the rates it causes.
///
/// Unknown are the logarithms of four standard deviations; each pass goes on by the difference found, corrected by what the
/// earlier differences have shown (Broyden, Math. Comp. 19, 1965, his first method).
struct Search {
    /// By axle: travel of springs, m, its speed, m/s, speed of dampers, m/s.
    deviations: [[f64; 3]; 2],
    mean_travel_m: [f64; 2],
    correction: Correction,
    /// Difference found in the last pass, and the step that it led to.
    before: Option<(Unknowns, Unknowns)>,
}

/// From a difference found to the step to be made: minus the inverse of the slopes of the difference.
type Correction = [Unknowns; UNKNOWNS];
type Unknowns = [f64; UNKNOWNS];

/// The step is the difference itself.
const UNCORRECTED: Correction =
    [[1.0, 0.0, 0.0, 0.0], [0.0, 1.0, 0.0, 0.0], [0.0, 0.0, 1.0, 0.0], [0.0, 0.0, 0.0, 1.0]];
/// Longest step of a logarithm.
const LONGEST_STEP: f64 = 3.0;

/// Travel of the springs and speed of the dampers of both axles.
const UNKNOWNS: usize = 4;

impl Search {
    fn from(start: Option<&LinearisedRide>) -> Self {
        // a van on a main road at its usual speeds
        let (mut deviations, mut mean_travel_m) = ([[0.01, 0.1, 0.1]; 2], [0.0; 2]);
        let mut correction = UNCORRECTED;
        if let Some(known) = start {
            deviations = [0, 1].map(|axle| {
                let axle = &known.axles[axle];
                [axle.spring_rms.0, axle.spring_rms.1, axle.damper_speed_rms_m_per_s]
                    .map(|deviation| deviation.max(LEAST_DEVIATION))
            });
            mean_travel_m = [0, 1].map(|axle| known.axles[axle].mean_travel_m);
            correction = known.correction;
        }
        Self { deviations, mean_travel_m, correction, before: None }
    }

    /// Movement without rates yet.
    fn axles(&self) -> [LinearisedAxle; 2] {
        [0, 1].map(|axle| LinearisedAxle {
            mean_travel_m: self.mean_travel_m[axle],
            spring_rms: (self.deviations[axle][0], self.deviations[axle][1]),
            damper_speed_rms_m_per_s: self.deviations[axle][2],
            spring_n_per_m: 0.0,
            damper_n_s_per_m: 0.0,
            friction_n_s_per_m: 0.0,
        })
    }

    /// The rates of both axles in the movement found so far.
    fn linearised(&mut self, laws: [&AxleLaw; 2]) -> Result<[LinearisedAxle; 2], RideFault> {
        let mut axles = self.axles();
        for axle in 0..2 {
            let [travel_m, _, speed_m_per_s] = self.deviations[axle];
            let damper = gaussian::of_damper(&laws[axle].damper, speed_m_per_s);
            let (mean_travel_m, spring) =
                balanced(laws[axle], self.mean_travel_m[axle], travel_m, damper.force_n)?;
            self.mean_travel_m[axle] = mean_travel_m;
            axles[axle].mean_travel_m = mean_travel_m;
            axles[axle].spring_n_per_m = spring.slope;
            axles[axle].damper_n_s_per_m = damper.slope;
            axles[axle].friction_n_s_per_m =
                gaussian::of_friction(laws[axle].friction_n, CREEP_SPEED_M_PER_S, speed_m_per_s);
        }
        Ok(axles)
    }

    /// Goes on towards the movement that the rates caused; whether it agrees with the movement they were taken for.
    fn follow<const N: usize>(&mut self, spread: &RideSpread<N>, laws: [&AxleLaw; 2], lane: usize) -> bool {
        let moved = [0, 1].map(|axle| deviations(spread, laws[axle], axle, lane));
        let mut difference = [0.0; UNKNOWNS];
        for axle in 0..2 {
            for (slot, k) in [(2 * axle, 0), (2 * axle + 1, 2)] {
                difference[slot] = (moved[axle][k] / self.deviations[axle][k]).ln();
            }
        }
        if difference.iter().all(|change| change.abs() < TOLERANCE) {
            return true;
        }
        if let Some((difference_before, step)) = self.before {
            self.correction = corrected(&self.correction, &difference_before, &difference, &step);
        }
        let step = product(&self.correction, &difference).map(|step| step.clamp(-LONGEST_STEP, LONGEST_STEP));
        self.before = Some((difference, step));
        for axle in 0..2 {
            for (slot, k) in [(2 * axle, 0), (2 * axle + 1, 2)] {
                self.deviations[axle][k] = (self.deviations[axle][k] * step[slot].exp()).max(LEAST_DEVIATION);
            }
            self.deviations[axle][1] = moved[axle][1];
        }
        false
    }
}

/// The correction that would have foreseen the last change of the difference; starts anew where a step made it larger.
fn corrected(correction: &Correction, before: &Unknowns, now: &Unknowns, step: &Unknowns) -> Correction {
    let change: Unknowns = std::array::from_fn(|k| now[k] - before[k]);
    let foreseen = product(correction, &change);
    let along: Unknowns =
        std::array::from_fn(|column| (0..UNKNOWNS).map(|row| step[row] * correction[row][column]).sum());
    let scale = dot(step, &foreseen);
    let grows = dot(now, now) > dot(before, before);
    let next: Correction = std::array::from_fn(|row| {
        let missed = -(step[row] + foreseen[row]) / scale;
        std::array::from_fn(|column| correction[row][column] + missed * along[column])
    });
    if grows || !next.iter().flatten().all(|entry| entry.is_finite()) { UNCORRECTED } else { next }
}

fn product(correction: &Correction, difference: &Unknowns) -> Unknowns {
    std::array::from_fn(|row| dot(&correction[row], difference))
}

fn dot(a: &Unknowns, b: &Unknowns) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Standard deviations of what the parts of an axle see: travel of springs, its speed, speed of dampers.
fn deviations<const N: usize>(spread: &RideSpread<N>, law: &AxleLaw, axle: usize, lane: usize) -> [f64; 3] {
    let (travel, speed) = (&spread.travel_m2[axle], &spread.travel_speed_m2_per_s2[axle]);
    [
        travel.variance_at_share(law.spring_other_share),
        speed.variance_at_share(law.spring_other_share),
        speed.variance_at_share(law.damper_other_share),
    ]
    .map(|variance| variance.0[lane].sqrt().max(LEAST_DEVIATION))
}

/// Mean travel at which the mean force of springs and stops balances that of the dampers; Newton's method, kept between
/// the nearest travels known to lie on either side.
fn balanced(
    law: &AxleLaw,
    start_m: f64,
    deviation_m: f64,
    damper_n: f64,
) -> Result<(f64, MeanForce), RideFault> {
    let (mut low_m, mut high_m) = (-FARTHEST_MEAN_M, FARTHEST_MEAN_M);
    let mut mean_m = start_m;
    for _ in 0..60 {
        let spring = gaussian::of_curve(&law.force_over_travel, mean_m, deviation_m);
        let excess_n = spring.force_n + damper_n;
        if excess_n > 0.0 {
            high_m = mean_m;
        } else {
            low_m = mean_m;
        }
        let step_m = -excess_n / spring.slope;
        if step_m.abs() < 1e-9 {
            return Ok((mean_m, spring));
        }
        let next_m = mean_m + step_m;
        mean_m = if next_m > low_m && next_m < high_m { next_m } else { 0.5 * (low_m + high_m) };
    }
    Err(RideFault::NoMeanTravel)
}
