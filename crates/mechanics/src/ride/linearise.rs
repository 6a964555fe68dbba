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
use crate::curve::MonotoneCurve;

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

/// A van on a road and speed, with the rates its parts have in the movement assumed for them.
#[derive(Debug, Clone, PartialEq)]
pub struct LinearisedRide {
    /// How far it moves at these rates.
    pub spread: RideSpread<1>,
    /// Rates of both axles.
    pub rates: [AxleRates<1>; 2],
    /// Movement of the parts of both axles.
    pub axles: [LinearisedAxle; 2],
    /// By how much it moves further than was assumed for its rates.
    pub further: Movement,
    /// Sums of spectra it took.
    pub passes: usize,
}

/// Logarithms of how many times one movement is another: travel of the springs and speed of the dampers of the front axle,
/// then of the rear axle.
pub type Movement = [f64; UNKNOWNS];

/// Linearises a van: its rates agree with the movement they cause.
///
/// # Errors
/// [`RideFault::NotSettled`] when movement and rates do not come to agree to 10⁻⁵ within 60 passes,
/// [`RideFault::NoMeanTravel`] when no mean travel within half a metre balances springs and dampers.
pub fn linearised_ride(
    car: &Car<1>,
    laws: [&AxleLaw; 2],
    seats: &[BodyPoint<1>],
    nodes: &Nodes,
) -> Result<LinearisedRide, RideFault> {
    let mut search = Search::new();
    for pass in 1..=MOST_PASSES {
        let [ride] = passed(car, &[laws], seats, nodes, std::array::from_mut(&mut search.assumed));
        let ride = ride?;
        if ride.further.iter().all(|further| further.abs() < TOLERANCE) {
            return Ok(LinearisedRide { passes: pass, ..ride });
        }
        search.follow(&ride);
    }
    Err(RideFault::NotSettled { passes: MOST_PASSES })
}

/// Vans side by side that are near to one that has settled, their rates taken for its movement times e to the power of
/// `times`. So it is seen how all that changes with a van changes at the same movement, and how it changes with movement.
///
/// # Errors
/// For each van [`RideFault::NoMeanTravel`], as [`linearised_ride`].
pub fn linearised_at<const N: usize>(
    settled: &LinearisedRide,
    times: &[Movement; N],
    car: &Car<N>,
    laws: &[[&AxleLaw; 2]; N],
    seats: &[BodyPoint<N>],
    nodes: &Nodes,
) -> [Result<LinearisedRide, RideFault>; N]
where
    Lanes<N>: SideBySide<N>,
{
    let mut assumed: [Assumed; N] = std::array::from_fn(|lane| Assumed::near(settled, &times[lane]));
    passed(car, laws, seats, nodes, &mut assumed)
}

/// One sum of spectra, rates taken for the movement assumed.
fn passed<const N: usize>(
    car: &Car<N>,
    laws: &[[&AxleLaw; 2]; N],
    seats: &[BodyPoint<N>],
    nodes: &Nodes,
    assumed: &mut [Assumed; N],
) -> [Result<LinearisedRide, RideFault>; N]
where
    Lanes<N>: SideBySide<N>,
{
    let mut axles = [const { Err(RideFault::NoMeanTravel) }; N];
    let mut known = BalancedAxles::new();
    for lane in 0..N {
        axles[lane] = assumed[lane].linearised(laws[lane], &mut known);
    }
    let alone: [[AxleRates<1>; 2]; N] = std::array::from_fn(|lane| match &axles[lane] {
        Ok(axles) => [0, 1].map(|axle| rates_of(&axles[axle], laws[lane][axle])),
        Err(_) => [AxleRates::independent(Lanes([0.0]), Lanes([0.0]), Lanes([0.0])); 2],
    });
    let rates = [0, 1].map(|axle| side_by_side(&std::array::from_fn::<_, N, _>(|lane| alone[lane][axle])));
    let spread = ride_spread(car, &rates, seats, nodes);
    std::array::from_fn(|lane| {
        let mut axles = axles[lane].clone()?;
        let further = assumed[lane].further(&spread, laws[lane], lane, &mut axles);
        Ok(LinearisedRide { spread: spread.lane(lane), rates: alone[lane], axles, further, passes: 1 })
    })
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

fn side_by_side<const N: usize>(alone: &[AxleRates<1>; N]) -> AxleRates<N> {
    let gathered =
        |of: &dyn Fn(&AxleRates<1>) -> Lanes<1>| Lanes(std::array::from_fn(|lane| of(&alone[lane]).0[0]));
    AxleRates {
        stiffness_n_per_m: [0, 1].map(|mode| gathered(&|rates| rates.stiffness_n_per_m[mode])),
        damping_n_s_per_m: [0, 1].map(|mode| gathered(&|rates| rates.damping_n_s_per_m[mode])),
    }
}

/// The movement for which the rates of a van are taken.
struct Assumed {
    /// Standard deviation of the travel of the springs of each axle, m, and of the speed of its dampers, m/s.
    travel_m: [f64; 2],
    damper_speed_m_per_s: [f64; 2],
    /// Where the mean travel is looked for first.
    mean_travel_m: [f64; 2],
}

impl Assumed {
    /// A van on a main road at its usual speeds.
    fn usual() -> Self {
        Self { travel_m: [0.01; 2], damper_speed_m_per_s: [0.1; 2], mean_travel_m: [0.0; 2] }
    }

    fn near(settled: &LinearisedRide, times: &Movement) -> Self {
        let mut near = Self {
            travel_m: settled.axles.map(|axle| axle.spring_rms.0),
            damper_speed_m_per_s: settled.axles.map(|axle| axle.damper_speed_rms_m_per_s),
            mean_travel_m: settled.axles.map(|axle| axle.mean_travel_m),
        };
        near.go(times);
        near
    }

    fn go(&mut self, times: &Movement) {
        for axle in 0..2 {
            self.travel_m[axle] = (self.travel_m[axle] * times[2 * axle].exp()).max(LEAST_DEVIATION);
            self.damper_speed_m_per_s[axle] =
                (self.damper_speed_m_per_s[axle] * times[2 * axle + 1].exp()).max(LEAST_DEVIATION);
        }
    }

    /// The rates of both axles in this movement.
    fn linearised<'a>(
        &mut self,
        laws: [&'a AxleLaw; 2],
        known: &mut BalancedAxles<'a>,
    ) -> Result<[LinearisedAxle; 2], RideFault> {
        let mut of = |axle: usize, start_m: f64| {
            let (law, speed_m_per_s) = (laws[axle], self.damper_speed_m_per_s[axle]);
            let damper = gaussian::of_damper(&law.damper, speed_m_per_s);
            let (mean_travel_m, spring) = known.of(law, [start_m, self.travel_m[axle], damper.force_n])?;
            Ok(LinearisedAxle {
                mean_travel_m,
                spring_rms: (self.travel_m[axle], 0.0),
                damper_speed_rms_m_per_s: speed_m_per_s,
                spring_n_per_m: spring.slope,
                damper_n_s_per_m: damper.slope,
                friction_n_s_per_m: gaussian::of_friction(law.friction_n, CREEP_SPEED_M_PER_S, speed_m_per_s),
            })
        };
        let axles = [of(0, self.mean_travel_m[0])?, of(1, self.mean_travel_m[1])?];
        self.mean_travel_m = axles.map(|axle| axle.mean_travel_m);
        Ok(axles)
    }

    /// By how much the van moves further than assumed; notes the speed of the springs' travel, on which no rate depends.
    fn further<const N: usize>(
        &self,
        spread: &RideSpread<N>,
        laws: [&AxleLaw; 2],
        lane: usize,
        axles: &mut [LinearisedAxle; 2],
    ) -> Movement {
        let mut further = [0.0; UNKNOWNS];
        for axle in 0..2 {
            let [travel_m, travel_speed_m_per_s, damper_speed_m_per_s] =
                deviations(spread, laws[axle], axle, lane);
            axles[axle].spring_rms.1 = travel_speed_m_per_s;
            further[2 * axle] = (travel_m / self.travel_m[axle]).ln();
            further[2 * axle + 1] = (damper_speed_m_per_s / self.damper_speed_m_per_s[axle]).ln();
        }
        further
    }
}

/// The search of a van for movement that agrees with the rates it causes.
///
/// Unknown are the logarithms of four standard deviations; each pass goes on by the difference found, corrected by what the
/// earlier differences have shown (Broyden, Math. Comp. 19, 1965, his first method).
struct Search {
    assumed: Assumed,
    correction: Correction,
    /// Difference found in the last pass, and the step that it led to.
    before: Option<(Movement, Movement)>,
}

/// From a difference found to the step to be made: minus the inverse of the slopes of the difference.
type Correction = [Movement; UNKNOWNS];

/// The step is the difference itself.
const UNCORRECTED: Correction =
    [[1.0, 0.0, 0.0, 0.0], [0.0, 1.0, 0.0, 0.0], [0.0, 0.0, 1.0, 0.0], [0.0, 0.0, 0.0, 1.0]];
/// Longest step of a logarithm.
const LONGEST_STEP: f64 = 3.0;

/// Travel of the springs and speed of the dampers of both axles.
const UNKNOWNS: usize = 4;

impl Search {
    fn new() -> Self {
        Self { assumed: Assumed::usual(), correction: UNCORRECTED, before: None }
    }

    /// Goes on towards the movement that the rates caused.
    fn follow(&mut self, ride: &LinearisedRide) {
        if let Some((before, step)) = self.before {
            self.correction = corrected(&self.correction, &before, &ride.further, &step);
        }
        let step =
            product(&self.correction, &ride.further).map(|step| step.clamp(-LONGEST_STEP, LONGEST_STEP));
        self.before = Some((ride.further, step));
        self.assumed.go(&step);
    }
}

/// The correction that would have foreseen the last change of the difference; starts anew where a step made it larger.
fn corrected(correction: &Correction, before: &Movement, now: &Movement, step: &Movement) -> Correction {
    let change: Movement = std::array::from_fn(|k| now[k] - before[k]);
    let foreseen = product(correction, &change);
    let along: Movement =
        std::array::from_fn(|column| (0..UNKNOWNS).map(|row| step[row] * correction[row][column]).sum());
    let scale = dot(step, &foreseen);
    let grows = dot(now, now) > dot(before, before);
    let next: Correction = std::array::from_fn(|row| {
        let missed = -(step[row] + foreseen[row]) / scale;
        std::array::from_fn(|column| correction[row][column] + missed * along[column])
    });
    if grows || !next.iter().flatten().all(|entry| entry.is_finite()) { UNCORRECTED } else { next }
}

fn product(correction: &Correction, difference: &Movement) -> Movement {
    std::array::from_fn(|row| dot(&correction[row], difference))
}

fn dot(a: &Movement, b: &Movement) -> f64 {
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

/// Axles of vans side by side that were balanced: most vans share one with another.
struct BalancedAxles<'a> {
    known: Vec<(&'a MonotoneCurve, [u64; 3], (f64, MeanForce))>,
}

impl<'a> BalancedAxles<'a> {
    fn new() -> Self {
        Self { known: Vec::new() }
    }

    /// Of a law, where the mean travel is looked for first, the standard deviation of travel, m, and the mean force of the
    /// dampers, N.
    fn of(&mut self, law: &'a AxleLaw, at: [f64; 3]) -> Result<(f64, MeanForce), RideFault> {
        let (curve, bits) = (&law.force_over_travel, at.map(f64::to_bits));
        let same = self.known.iter().find(|(other, there, _)| other.is_copy_of(curve) && *there == bits);
        if let Some((.., found)) = same {
            return Ok(*found);
        }
        let found = balanced(curve, at)?;
        self.known.push((curve, bits, found));
        Ok(found)
    }
}

/// Mean travel at which the mean force of springs and stops balances that of the dampers; Newton's method, kept between
/// the nearest travels known to lie on either side.
fn balanced(
    curve: &MonotoneCurve,
    [start_m, deviation_m, damper_n]: [f64; 3],
) -> Result<(f64, MeanForce), RideFault> {
    let (mut low_m, mut high_m) = (-FARTHEST_MEAN_M, FARTHEST_MEAN_M);
    let mut mean_m = start_m;
    for _ in 0..60 {
        let spring = gaussian::of_curve(curve, mean_m, deviation_m);
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
