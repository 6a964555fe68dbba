//! What is not known exactly about a van, and how measuring narrows it.
//!
//! Every unknown is a normal quantity that acts on the mechanics through [`Parameter`]s. A belief is their joint
//! distribution; readings change it by Bayes' rule (linear-Gaussian update, re-linearised about the improved middle:
//! the iterated Kalman filter, B. M. Bell and F. W. Cathey, IEEE Trans. Automatic Control 38, 1993).

mod covariance;
mod stated;

use std::sync::Arc;

use mechanics::statics::Parameter;
use nalgebra::{DMatrix, DVector};

use self::covariance::{Covariance, Together};
use crate::figure::{Contribution, Evidence, Figure, NINE_IN_TEN_SD};
use crate::load_list::LoadState;
use crate::wording::{Cause, Remedy};

pub use stated::{Collars, part_unknowns, van_unknowns};

/// Words for the corners, in corner order.
pub const CORNER_WORDS: [&str; 4] = ["front left", "front right", "rear left", "rear right"];

/// Where the parts of a fitment come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// On the van today.
    Fitted,
    /// Out of the kit.
    Kit,
    /// Original and new, as a yardstick.
    AsNew,
}

/// Origin of the parts of one axle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AxleOrigin {
    /// Of springs and their seats.
    pub spring: Origin,
    /// Of bump stops.
    pub stop: Origin,
    /// Of dampers.
    pub damper: Origin,
    /// Of collars or adjusting bolts.
    pub collar: Origin,
    /// Of leaves that join the main ones.
    pub added_leaves: Origin,
    /// Of blocks between axle and leaves.
    pub block: Origin,
    /// Of auxiliary air springs.
    pub air: Origin,
}

impl AxleOrigin {
    /// All parts of one origin.
    pub fn all(origin: Origin) -> Self {
        let [spring, stop, damper, collar, added_leaves, block, air] = [origin; 7];
        Self { spring, stop, damper, collar, added_leaves, block, air }
    }
}

/// What an unknown belongs to: it counts only in fitments that have that part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// The van and its load, whatever is fitted.
    Van,
    /// Springs of an axle.
    Spring(usize, Origin),
    /// Bump stops of an axle.
    Stop(usize, Origin),
    /// Dampers of an axle.
    Damper(usize, Origin),
    /// Collars or adjusting bolts of an axle.
    Collar(usize, Origin),
    /// Leaves of an axle that join the main ones.
    AddedLeaves(usize, Origin),
    /// Blocks of an axle.
    Block(usize, Origin),
    /// Auxiliary air springs of an axle.
    Air(usize, Origin),
}

impl Part {
    /// Whether a fitment with these origins has the part.
    pub fn is_in(self, origins: &[AxleOrigin; 2]) -> bool {
        match self {
            Self::Van => true,
            Self::Spring(axle, origin) => origins[axle].spring == origin,
            Self::Stop(axle, origin) => origins[axle].stop == origin,
            Self::Damper(axle, origin) => origins[axle].damper == origin,
            Self::Collar(axle, origin) => origins[axle].collar == origin,
            Self::AddedLeaves(axle, origin) => origins[axle].added_leaves == origin,
            Self::Block(axle, origin) => origins[axle].block == origin,
            Self::Air(axle, origin) => origins[axle].air == origin,
        }
    }
}

/// One thing that is not known exactly.
#[derive(Debug, Clone, PartialEq)]
pub struct Unknown {
    /// What it is, in words.
    pub cause: Cause,
    /// What it belongs to.
    pub part: Part,
    /// Load states in which it counts; `None` for all.
    pub states: Option<Vec<LoadState>>,
    /// How one unit of it acts on the mechanics.
    pub effects: Vec<(Parameter, f64)>,
    /// Expected value, in units of the effects.
    pub mean: f64,
    /// Standard deviation.
    pub sd: f64,
    /// Evidence behind the stated value it deviates from.
    pub evidence: Evidence,
    /// What would narrow it.
    pub remedy: Remedy,
}

impl Unknown {
    /// Whether it is what new springs lose in their first weeks.
    pub(crate) fn is_settling(&self) -> bool {
        self.cause.is_settling()
    }

    /// Whether it counts in a fitment and load state.
    pub fn counts(&self, origins: &[AxleOrigin; 2], state: LoadState) -> bool {
        self.part.is_in(origins) && self.states.as_ref().is_none_or(|states| states.contains(&state))
    }
}

/// Joint distribution of a list of unknowns.
#[derive(Debug, Clone, PartialEq)]
pub struct Belief {
    /// The unknowns, in the order of mean and covariance.
    pub unknowns: Vec<Arc<Unknown>>,
    /// Expected values.
    pub mean: DVector<f64>,
    covariance: Covariance,
    /// The unknowns of each cause, in the order of the first of each: figures name causes, not unknowns.
    causes: Vec<Arc<Together>>,
}

impl Default for Belief {
    /// Nothing is unknown.
    fn default() -> Self {
        Self {
            unknowns: Vec::new(),
            mean: DVector::zeros(0),
            covariance: Covariance::default(),
            causes: Vec::new(),
        }
    }
}

impl Belief {
    /// Independent unknowns as stated.
    pub fn of<U: Into<Arc<Unknown>>>(unknowns: Vec<U>) -> Self {
        Self::default().joined(unknowns)
    }

    /// The same unknowns expected at other values.
    #[must_use]
    pub fn with_mean(&self, mean: DVector<f64>) -> Self {
        Self { mean, ..self.clone() }
    }

    /// This belief with further, independent unknowns behind it.
    #[must_use]
    pub fn joined<U: Into<Arc<Unknown>>>(&self, more: Vec<U>) -> Self {
        let more: Vec<Arc<Unknown>> = more.into_iter().map(Into::into).collect();
        let n = self.unknowns.len();
        let mut joined = self.clone();
        joined.covariance.join(more.iter().map(|unknown| unknown.sd * unknown.sd));
        let means = self.mean.iter().copied().chain(more.iter().map(|unknown| unknown.mean));
        joined.mean = DVector::from_iterator(n + more.len(), means);
        joined.unknowns.extend(more);
        joined.group_by_cause(n);
        joined
    }

    /// Puts the unknowns from one on to those of the same cause.
    fn group_by_cause(&mut self, from: usize) {
        for i in from..self.unknowns.len() {
            let cause = &self.unknowns[i].cause;
            let same = |together: &&mut Arc<Together>| self.unknowns[together.first()].cause == *cause;
            match self.causes.iter_mut().find(same) {
                Some(together) => *together = Arc::new(together.with(i, &self.covariance)),
                None => self.causes.push(Arc::new(Together::of(vec![i], &self.covariance))),
            }
        }
    }

    /// This belief for a van whose springs have been driven in: what they lose counts in every load state.
    #[must_use]
    pub(crate) fn with_springs_settled(mut self) -> Self {
        self.unknowns
            .iter_mut()
            .filter(|unknown| unknown.is_settling())
            .for_each(|unknown| Arc::make_mut(unknown).states = None);
        self
    }

    /// Belief after readings y = h(x) + noise, h linearised as `predicted + slopes (x - at)`.
    ///
    /// `None` when readings and noise do not determine an update (a singular innovation).
    #[must_use]
    pub fn updated(&self, reading: &LinearReading) -> Option<Self> {
        let h = &reading.slopes;
        let innovation = &reading.measured - &reading.predicted - h * (&self.mean - &reading.at);
        let with = self.spreads_along(h);
        let spread = (h * &with + &reading.noise).cholesky()?;
        let covariance = self.covariance.after(&with, &spread.l())?;
        let causes = self
            .causes
            .iter()
            .map(|together| Arc::new(Together::of(together.members().to_vec(), &covariance)));
        Some(Self {
            unknowns: self.unknowns.clone(),
            mean: &self.mean + &with * spread.solve(&innovation),
            causes: causes.collect(),
            covariance,
        })
    }

    /// Covariance of the unknowns.
    pub fn covariance(&self) -> DMatrix<f64> {
        self.covariance.dense()
    }

    /// Variance of one unknown.
    pub(crate) fn variance(&self, i: usize) -> f64 {
        self.covariance.between(i, i)
    }

    /// Variance of `row` · x.
    pub(crate) fn variance_along(&self, row: &DVector<f64>) -> f64 {
        row.dot(&self.spread_along(row)).max(0.0)
    }

    /// Covariance of `row` · x with every unknown.
    pub(crate) fn spread_along(&self, row: &DVector<f64>) -> DVector<f64> {
        DVector::from_vec(self.covariance.along(row.as_slice()))
    }

    /// Covariance of every unknown with the product of each of `rows` with x, a column for each row.
    fn spreads_along(&self, rows: &DMatrix<f64>) -> DMatrix<f64> {
        let mut spreads = DMatrix::zeros(self.unknowns.len(), rows.nrows());
        for (row, mut spread) in rows.row_iter().zip(spreads.column_iter_mut()) {
            spread.copy_from(&self.spread_along(&row.transpose()));
        }
        spreads
    }

    /// Covariance of the products of each of `rows` with x.
    pub(crate) fn covariance_along(&self, rows: &DMatrix<f64>) -> DMatrix<f64> {
        rows * self.spreads_along(rows)
    }

    /// A row over a shorter belief, which does not know the kit's own unknowns, brought to the length of this one.
    pub(crate) fn padded(&self, row: &DVector<f64>) -> DVector<f64> {
        DVector::from_fn(self.unknowns.len(), |i, _| row.get(i).copied().unwrap_or(0.0))
    }

    /// A figure that changes by `row` · x around `value`.
    pub fn figure(&self, value: f64, row: &DVector<f64>) -> Figure {
        let spread = self.spread_along(row);
        let variance = row.dot(&spread).max(0.0);
        let widened_by = self.contributions(row.as_slice(), spread.as_slice(), variance);
        Figure::with_sd(value, variance.sqrt(), Evidence::Computed, widened_by)
    }

    /// What widens a figure most. A share is the part of its variance that would go if the unknowns of a cause were known
    /// exactly. Readings leave unknowns correlated: what each adds to the variance may then be negative or more than all
    /// of it, this never.
    fn contributions(&self, row: &[f64], spread: &[f64], variance: f64) -> Vec<Contribution> {
        if variance <= 0.0 {
            return Vec::new();
        }
        let mut scratch = Vec::new();
        let mut shares = Vec::new();
        let least_shown = LEAST_SHARE_SHOWN * variance;
        for together in &self.causes {
            if together.members().iter().any(|&i| row[i] != 0.0) {
                let explained = together.explained(spread, &mut scratch);
                if explained >= least_shown {
                    shares.push((together.first(), (explained / variance).min(1.0)));
                }
            }
        }
        shares.sort_by(|(_, a), (_, b)| b.total_cmp(a));
        shares.truncate(MOST_CAUSES_SHOWN);
        let contribution = |(i, share): (usize, f64)| Contribution {
            cause: self.unknowns[i].cause.clone(),
            share,
            evidence: self.unknowns[i].evidence,
            remedy: self.unknowns[i].remedy,
            half_width_without: NINE_IN_TEN_SD * ((1.0 - share) * variance).sqrt(),
        };
        shares.into_iter().map(contribution).collect()
    }
}

/// Causes that hold less of a variance are not listed.
const LEAST_SHARE_SHOWN: f64 = 0.05;
const MOST_CAUSES_SHOWN: usize = 3;

/// Readings and their linearised prediction.
#[derive(Debug, Clone)]
pub struct LinearReading {
    /// Values read.
    pub measured: DVector<f64>,
    /// Values predicted at `at`.
    pub predicted: DVector<f64>,
    /// Slopes of the prediction, readings by unknowns.
    pub slopes: DMatrix<f64>,
    /// Where the prediction was linearised.
    pub at: DVector<f64>,
    /// Covariance of the readings' own errors.
    pub noise: DMatrix<f64>,
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Unknowns of three causes, the first with two of them.
    fn unknowns() -> Vec<Unknown> {
        let of = |cause: Cause, sd: f64| Unknown {
            cause,
            part: Part::Van,
            states: None,
            effects: Vec::new(),
            mean: 0.0,
            sd,
            evidence: Evidence::Estimated,
            remedy: Remedy::WeighIt,
        };
        let mass = |name: &str| Cause::MassOf(name.to_owned());
        vec![of(mass("a"), 1.0), of(mass("a"), 2.0), of(mass("b"), 3.0), of(mass("c"), 0.5)]
    }

    fn read(belief: &Belief, slopes: [f64; 4], sd: f64) -> Belief {
        let n = belief.unknowns.len();
        let reading = LinearReading {
            measured: DVector::zeros(1),
            predicted: DVector::zeros(1),
            slopes: DMatrix::from_row_slice(1, n, &slopes),
            at: DVector::zeros(n),
            noise: DMatrix::from_element(1, 1, sd * sd),
        };
        belief.updated(&reading).unwrap()
    }

    proptest! {
        /// Readings correlate the unknowns; a share stays what is gained by knowing its cause exactly.
        #[test]
        fn law_a_share_is_what_knowing_its_cause_takes_off_the_variance(
            row in prop::array::uniform4(-2.0..2.0f64),
            read_by in prop::array::uniform4(-2.0..2.0f64),
            noise_sd in 0.05..3.0f64,
        ) {
            let belief = read(&Belief::of(unknowns()), read_by, noise_sd);
            let row = DVector::from_row_slice(&row);
            let figure = belief.figure(7.0, &row);
            for contribution in &figure.widened_by {
                prop_assert!((0.0..=1.0).contains(&contribution.share), "{}", contribution.share);
                let mut known = belief.clone();
                for (i, unknown) in unknowns().iter().enumerate() {
                    if unknown.cause == contribution.cause {
                        known = read(&known, std::array::from_fn(|j| f64::from(u8::from(i == j))), 1e-5);
                    }
                }
                let without = known.figure(7.0, &row).half_width();
                prop_assert!((without - contribution.half_width_without).abs() < 1e-3 * (1.0 + without));
                let gained = 1.0 - (without / figure.half_width()).powi(2);
                prop_assert!((gained - contribution.share).abs() < 2e-3, "{gained} {}", contribution.share);
            }
        }

        #[test]
        fn law_shares_of_independent_causes_add_up(row in prop::array::uniform4(0.5..2.0f64)) {
            let belief = Belief::of(unknowns());
            let figure = belief.figure(0.0, &DVector::from_row_slice(&row));
            let shown: f64 = figure.widened_by.iter().map(|contribution| contribution.share).sum();
            prop_assert!(shown > 1.0 - 3.0 * LEAST_SHARE_SHOWN && shown < 1.0 + 1e-12, "{shown}");
        }
    }
}
