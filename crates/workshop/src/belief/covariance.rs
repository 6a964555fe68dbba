//! Covariance of unknowns, and what is gained by knowing some of them exactly.

use nalgebra::{DMatrix, DVector};

/// Covariance of a list of unknowns: first those that readings have tied together, behind them those that are independent
/// of all others. A kit's are, and there are many kits.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Covariance {
    joint: DMatrix<f64>,
    /// Variances of the independent ones.
    alone: Vec<f64>,
}

impl Default for Covariance {
    fn default() -> Self {
        Self::joint(DMatrix::zeros(0, 0))
    }
}

impl Covariance {
    /// Of unknowns that are all tied together.
    pub(super) fn joint(joint: DMatrix<f64>) -> Self {
        Self { joint, alone: Vec::new() }
    }

    /// Puts independent unknowns behind.
    pub(super) fn join(&mut self, variances: impl Iterator<Item = f64>) {
        self.alone.extend(variances);
    }

    /// Covariance of two unknowns.
    pub(super) fn between(&self, i: usize, j: usize) -> f64 {
        let tied = self.joint.nrows();
        if i < tied && j < tied {
            self.joint[(i, j)]
        } else if i == j {
            self.alone[i - tied]
        } else {
            0.0
        }
    }

    pub(super) fn dense(&self) -> DMatrix<f64> {
        let size = self.joint.nrows() + self.alone.len();
        DMatrix::from_fn(size, size, |i, j| self.between(i, j))
    }

    /// Product with a row: covariance of `row` · x with every unknown.
    pub(super) fn along(&self, row: &DVector<f64>) -> DVector<f64> {
        let (row, tied) = (row.as_slice(), self.joint.nrows());
        let mut spread = vec![0.0; row.len()];
        let (joint, alone) = spread.split_at_mut(tied);
        // most unknowns do not move a figure
        for (column, &slope) in self.joint.as_slice().chunks_exact(tied.max(1)).zip(row) {
            if slope != 0.0 {
                joint.iter_mut().zip(column).for_each(|(sum, entry)| *sum += slope * entry);
            }
        }
        for ((sum, slope), variance) in alone.iter_mut().zip(&row[tied..]).zip(&self.alone) {
            *sum = slope * variance;
        }
        DVector::from_vec(spread)
    }
}

/// Unknowns that are looked at together.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Together {
    members: Vec<usize>,
    /// Those that are not known exactly, each with 1 / standard deviation: an unknown that is known exactly explains nothing.
    open: Vec<(usize, f64)>,
    /// Cholesky's factor of the correlation of those, row by row; `None` where one is a mixture of the others.
    lower: Option<Vec<f64>>,
}

impl Together {
    /// Of at least one unknown.
    pub(super) fn of(members: &[usize], covariance: &Covariance) -> Self {
        let per_sd = |i: usize| 1.0 / covariance.between(i, i).sqrt();
        let open: Vec<(usize, f64)> = members
            .iter()
            .map(|&i| (i, per_sd(i)))
            .filter(|(_, per_sd)| *per_sd > 0.0 && per_sd.is_finite())
            .collect();
        let lower = correlation_factor(&open, covariance);
        Self { members: members.to_vec(), open, lower }
    }

    /// Takes in another unknown.
    pub(super) fn put(&mut self, i: usize, covariance: &Covariance) {
        self.members.push(i);
        *self = Self::of(&self.members, covariance);
    }

    pub(super) fn members(&self) -> &[usize] {
        &self.members
    }

    pub(super) fn first(&self) -> usize {
        self.members[0]
    }

    /// Variance of a figure that would go if these were known exactly: cᵀ Σ⁻¹ c, with the covariance c of the figure with
    /// them and their own covariance Σ (conditional normal distribution).
    pub(super) fn explained(&self, spread: &DVector<f64>, solved: &mut Vec<f64>) -> f64 {
        let Some(lower) = &self.lower else { return 0.0 };
        solved.clear();
        let (mut at, mut sum) = (0, 0.0);
        for (k, &(i, per_sd)) in self.open.iter().enumerate() {
            let row = &lower[at..=at + k];
            let known: f64 = row.iter().zip(&*solved).map(|(a, b)| a * b).sum();
            let value = (spread[i] * per_sd - known) / row[k];
            solved.push(value);
            sum += value * value;
            at += k + 1;
        }
        sum
    }
}

/// Cholesky's factor of a correlation, so that it depends on no unit: rows up to the diagonal, one after the other.
fn correlation_factor(open: &[(usize, f64)], covariance: &Covariance) -> Option<Vec<f64>> {
    let mut lower: Vec<f64> = Vec::with_capacity(open.len() * (open.len() + 1) / 2);
    let row_at = |k: usize| k * (k + 1) / 2;
    for (k, &(i, per_sd)) in open.iter().enumerate() {
        let mut pivot = 1.0;
        for (l, &(j, per_other_sd)) in open[..k].iter().enumerate() {
            let (row, other) = (&lower[row_at(k)..], &lower[row_at(l)..=row_at(l) + l]);
            let known: f64 = row.iter().zip(other).map(|(a, b)| a * b).sum();
            let entry = (covariance.between(i, j) * per_sd * per_other_sd - known) / other[l];
            pivot -= entry * entry;
            lower.push(entry);
        }
        if pivot <= 0.0 || pivot.is_nan() {
            return None;
        }
        lower.push(pivot.sqrt());
    }
    Some(lower)
}
