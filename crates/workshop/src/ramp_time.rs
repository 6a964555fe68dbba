//! Ramp time: how long a job takes, typically and nine times out of ten.
//!
//! Every labour operation is a three-point estimate: the least, the likely and the most minutes it takes. Between
//! them its time follows the beta distribution that PERT assumes (D. G. Malcolm, J. H. Roseboom, C. E. Clark,
//! W. Fazar, *Application of a Technique for Research and Development Program Evaluation*, Operations Research 7,
//! 1959): with least `o`, likely `m` and most `p`,
//!
//! `alpha = 1 + 4 (m - o) / (p - o)`, `beta = 1 + 4 (p - m) / (p - o)`, mean `(o + 4 m + p) / 6`,
//! variance `(mean - o)(p - mean) / 7`.
//!
//! A job is a sum of operations, taken as independent. They are not quite (a rusty van is slow throughout), so what
//! can go wrong as a whole belongs in an operation of its own, such as seized bolts.

use std::collections::HashMap;
use std::fmt;
use std::sync::{Mutex, PoisonError};

use rand::SeedableRng;
use rand::rngs::StdRng;
use rand_distr::{Beta, Distribution};

use crate::document::{Fields, Range, range};
use crate::facts::Words;
use crate::figure::Evidence;

/// Draws of each operation. The standard error of a job's median is then 1.3 % of the job's standard deviation, that
/// of its nine in ten 1.7 % (normal sum): about half a minute where the job is uncertain by half an hour.
pub const DRAWS: usize = 10_000;

/// Draws by which every repetition of an operation is turned against the one before; prime, so that no two of the
/// first [`DRAWS`] repetitions meet in the same place.
const TURN: usize = 7919;

const MINUTES: Range = range(0.0, 6000.0);

/// A labour operation.
#[derive(Debug, Clone, PartialEq)]
pub struct Operation {
    /// Identifier that rules and jobs refer to.
    pub id: String,
    /// Name for people.
    pub name: Words,
    /// Time when everything goes well, min.
    pub least_minutes: f64,
    /// Time it takes most often, min.
    pub likely_minutes: f64,
    /// Time when little goes well, min.
    pub most_minutes: f64,
    /// Where the times come from.
    pub source: String,
}

/// An operation of a job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Task {
    /// Operation, by its identifier.
    pub operation: String,
    /// How many times it is done.
    pub times: u8,
}

/// How long a job takes.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct RampTime {
    /// Half of such jobs take no longer (median), min.
    pub typical_minutes: f64,
    /// Nine in ten of such jobs take no longer (90 % quantile), min.
    pub nine_in_ten_minutes: f64,
    /// Mean, min.
    pub mean_minutes: f64,
    /// Standard deviation, min.
    pub sd_minutes: f64,
    /// Estimated, as the operations are.
    pub evidence: Evidence,
    /// The operations of the job, each once, the one that spreads its time most first.
    pub operations: Vec<OperationTime>,
}

/// An operation's part in the time of a job.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct OperationTime {
    /// Identifier.
    pub operation: String,
    /// Name for people.
    pub name: Words,
    /// How many times it is done.
    pub times: u32,
    /// Mean time of all of them together, min.
    pub mean_minutes: f64,
    /// Share of the variance of the job's time, 0 to 1.
    pub share: f64,
}

/// A job asks for an operation that the workshop's list does not have.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnknownOperation {
    /// Its identifier.
    pub id: String,
}

impl fmt::Display for UnknownOperation {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "there is no operation \"{}\" in the list of operations", self.id)
    }
}

impl std::error::Error for UnknownOperation {}

/// Reads the workshop's list of labour operations.
pub fn read_operations(f: &mut Fields) -> Vec<Operation> {
    let operations = f.list("operations", "Labour operations", Operation::read);
    for (place, operation) in operations.iter().enumerate() {
        if f.is_sound() && operations[..place].iter().any(|other| other.id == operation.id) {
            let found = format!("\"{}\" a second time", operation.id);
            f.fault_at(&format!("operations[{place}].id"), &found, "an identifier of its own");
        }
    }
    operations
}

impl Operation {
    fn read(f: &mut Fields) -> Self {
        let operation = Self {
            id: f.id("id", "Identifier that rules and jobs refer to"),
            name: f.table("name", "Name for people", Words::read),
            least_minutes: f.number("least_minutes", MINUTES, "Time when everything goes well"),
            likely_minutes: f.number("likely_minutes", MINUTES, "Time it takes most often"),
            most_minutes: f.number("most_minutes", MINUTES, "Time when little goes well"),
            source: f.text("source", "Where the times come from"),
        };
        let [least, likely, most] =
            [operation.least_minutes, operation.likely_minutes, operation.most_minutes];
        if f.is_sound() && !(least <= likely && likely <= most) {
            let found = format!("least {least}, likely {likely}, most {most} min");
            f.fault_at("likely_minutes", &found, "least_minutes at most likely, likely at most most_minutes");
        }
        operation
    }

    /// `alpha` and `beta` of its distribution, each from 1 to 5; none where it always takes the same time.
    pub fn beta_shape(&self) -> Option<[f64; 2]> {
        let span = self.most_minutes - self.least_minutes;
        let [alpha, beta] =
            [self.likely_minutes - self.least_minutes, self.most_minutes - self.likely_minutes]
                .map(|part| 1.0 + 4.0 * part / span);
        (span > 0.0).then_some([alpha, beta])
    }

    /// Mean, min.
    pub fn mean_minutes(&self) -> f64 {
        (self.least_minutes + 4.0 * self.likely_minutes + self.most_minutes) / 6.0
    }

    /// Variance, min². `alpha + beta` is 6 whatever the estimate, hence the 7.
    pub fn variance_minutes2(&self) -> f64 {
        let mean = self.mean_minutes();
        (mean - self.least_minutes) * (self.most_minutes - mean) / 7.0
    }

    /// Draws of its time, min; the same for the same operation whatever else the list holds.
    fn draws(&self) -> Vec<f64> {
        let distribution = self.beta_shape().and_then(|[alpha, beta]| Beta::new(alpha, beta).ok());
        let Some(distribution) = distribution else { return vec![self.likely_minutes; DRAWS] };
        let span = self.most_minutes - self.least_minutes;
        let random = StdRng::seed_from_u64(fnv_1a(&self.id));
        distribution.sample_iter(random).take(DRAWS).map(|share| self.least_minutes + span * share).collect()
    }
}

/// Hash of an identifier (Fowler, Noll, Vo: FNV-1a, 64 bit), to seed its draws with.
fn fnv_1a(id: &str) -> u64 {
    id.bytes()
        .fold(0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3))
}

/// The workshop's operations, each with its draws. Drawn once, they serve every job: two jobs differ by what is
/// done, not by the luck of the draw.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Operations {
    drawn: Vec<(Operation, Vec<f64>)>,
    reckoned: Reckoned,
}

/// Jobs that were reckoned, by how often each operation is done: a workshop has few kinds of them.
#[derive(Debug, Default)]
struct Reckoned(Mutex<HashMap<Vec<u32>, RampTime>>);

/// Jobs that are kept at most.
const RECKONED: usize = 256;

impl Clone for Reckoned {
    fn clone(&self) -> Self {
        Self::default()
    }
}

impl PartialEq for Reckoned {
    /// What was reckoned follows from the operations.
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl Operations {
    /// Draws the times of all operations.
    pub fn new(operations: Vec<Operation>) -> Self {
        let drawn = operations.into_iter().map(|operation| {
            let draws = operation.draws();
            (operation, draws)
        });
        Self { drawn: drawn.collect(), reckoned: Reckoned::default() }
    }

    /// Identifiers of all operations.
    pub fn ids(&self) -> impl Iterator<Item = &str> {
        self.drawn.iter().map(|(operation, _)| operation.id.as_str())
    }

    /// An operation by its identifier.
    pub fn operation(&self, id: &str) -> Option<&Operation> {
        self.drawn.iter().map(|(operation, _)| operation).find(|operation| operation.id == id)
    }

    /// How long a job takes. An operation asked for in several places is done as often as they say together.
    ///
    /// # Errors
    /// When the list does not have an operation of the job.
    pub fn ramp_time(&self, job: &[Task]) -> Result<RampTime, UnknownOperation> {
        // how often each operation is done
        let mut times = vec![0_u32; self.drawn.len()];
        for task in job {
            let place = self.drawn.iter().position(|(operation, _)| operation.id == task.operation);
            let place = place.ok_or_else(|| UnknownOperation { id: task.operation.clone() })?;
            times[place] += u32::from(task.times);
        }
        let reckoned = || self.reckoned.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = reckoned().get(&times) {
            return Ok(known.clone());
        }
        let time = self.time_of(&times);
        let mut reckoned = reckoned();
        if reckoned.len() >= RECKONED {
            reckoned.clear();
        }
        reckoned.insert(times, time.clone());
        Ok(time)
    }

    /// How long a job takes in which each operation is done so many times.
    fn time_of(&self, times: &[u32]) -> RampTime {
        let done = || self.drawn.iter().zip(times).filter(|(_, times)| **times > 0);

        // mean and variance in closed form, quantiles from the draws
        let total = |of: fn(&Operation) -> f64| -> f64 {
            done().map(|((operation, _), times)| f64::from(*times) * of(operation)).sum()
        };
        let variance = total(Operation::variance_minutes2);
        let mut sums = vec![0.0; DRAWS];
        for ((_, draws), times) in done() {
            for repetition in 0..*times as usize {
                add_turned(&mut sums, draws, repetition * TURN % DRAWS);
            }
        }

        let mut operations: Vec<OperationTime> = done()
            .map(|((operation, _), times)| OperationTime {
                operation: operation.id.clone(),
                name: operation.name.clone(),
                times: *times,
                mean_minutes: f64::from(*times) * operation.mean_minutes(),
                share: share(f64::from(*times) * operation.variance_minutes2(), variance),
            })
            .collect();
        operations.sort_by(|a, b| b.share.total_cmp(&a.share));
        RampTime {
            typical_minutes: quantile(&mut sums, 0.5),
            nine_in_ten_minutes: quantile(&mut sums, 0.9),
            mean_minutes: total(Operation::mean_minutes),
            sd_minutes: variance.sqrt(),
            evidence: Evidence::Estimated,
            operations,
        }
    }
}

/// Adds to each sum the draw that lies `turn` places further on, the first following the last.
fn add_turned(sums: &mut [f64], draws: &[f64], turn: usize) {
    let (first, last) = draws.split_at(turn);
    let (before, after) = sums.split_at_mut(last.len());
    // two plain loops, several times as fast as one over a chain
    for (sums, draws) in [(before, last), (after, first)] {
        for (sum, minutes) in sums.iter_mut().zip(draws) {
            *sum += minutes;
        }
    }
}

fn share(part: f64, whole: f64) -> f64 {
    if whole > 0.0 { part / whole } else { 0.0 }
}

/// The least of the `values` that a `share` of them does not exceed; their order is lost.
fn quantile(values: &mut [f64], share: f64) -> f64 {
    let place = (share * values.len() as f64).ceil() as usize;
    *values.select_nth_unstable_by(place.saturating_sub(1), f64::total_cmp).1
}
