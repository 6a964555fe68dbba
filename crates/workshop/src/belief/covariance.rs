//! Covariance of unknowns, and what is gained by knowing some of them exactly.

use std::sync::Arc;

use nalgebra::DMatrix;

/// Covariance of a list of unknowns that were independent before anything was read: their variances, less what each
/// number that was read has told. Readings are few and unknowns are many.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Covariance {
    /// Variance of each before any reading.
    before: Vec<f64>,
    /// Σ = diag(before) - Σ t tᵀ, each t over the unknowns that there were when the number was read.
    told: Vec<Arc<[f64]>>,
}

impl Covariance {
    /// Puts independent unknowns behind.
    pub(super) fn join(&mut self, variances: impl Iterator<Item = f64>) {
        self.before.extend(variances);
    }

    /// The covariance Σ - W S⁻¹ Wᵀ that is left after numbers were read that have the covariance `with` = W with the
    /// unknowns and S, of Cholesky's factor `factor`, among each other.
    #[must_use]
    pub(super) fn after(&self, with: &DMatrix<f64>, factor: &DMatrix<f64>) -> Option<Self> {
        let told = factor.solve_lower_triangular(&with.transpose())?;
        let mut after = self.clone();
        after.told.extend(told.row_iter().map(|row| row.iter().copied().collect::<Arc<[f64]>>()));
        Some(after)
    }

    /// Covariance of two unknowns.
    pub(super) fn between(&self, i: usize, j: usize) -> f64 {
        let before = if i == j { self.before[i] } else { 0.0 };
        let told = self.told.iter().filter(|told| i.max(j) < told.len()).map(|told| told[i] * told[j]);
        before - told.sum::<f64>()
    }

    pub(super) fn dense(&self) -> DMatrix<f64> {
        let size = self.before.len();
        DMatrix::from_fn(size, size, |i, j| self.between(i, j))
    }

    /// Product with a row: covariance of `row` · x with every unknown. In the widest vectors the machine has.
    pub(super) fn along(&self, row: &[f64]) -> Vec<f64> {
        pulp::Arch::new().dispatch(Along { covariance: self, row })
    }
}

struct Along<'a> {
    covariance: &'a Covariance,
    row: &'a [f64],
}

impl pulp::WithSimd for Along<'_> {
    type Output = Vec<f64>;

    #[inline(always)]
    fn with_simd<S: pulp::Simd>(self, simd: S) -> Vec<f64> {
        let Self { covariance: Covariance { before, told }, row } = self;
        let mut spread = vec![0.0; row.len()];
        for ((spread, row), before) in spread.iter_mut().zip(row).zip(before) {
            *spread = row * before;
        }
        for told in told {
            let known = inner(simd, row, told);
            let length = told.len().min(spread.len());
            let (spread, spread_left) = S::as_mut_simd_f64s(&mut spread[..length]);
            let (told, told_left) = S::as_simd_f64s(&told[..length]);
            let all = simd.splat_f64s(-known);
            for (spread, told) in spread.iter_mut().zip(told) {
                *spread = simd.mul_add_f64s(all, *told, *spread);
            }
            for (spread, told) in spread_left.iter_mut().zip(told_left) {
                *spread -= known * told;
            }
        }
        spread
    }
}

/// Σ a b over as many as both have.
#[inline(always)]
fn inner<S: pulp::Simd>(simd: S, a: &[f64], b: &[f64]) -> f64 {
    let length = a.len().min(b.len());
    let ((a, a_left), (b, b_left)) = (S::as_simd_f64s(&a[..length]), S::as_simd_f64s(&b[..length]));
    let mut sums = simd.splat_f64s(0.0);
    for (a, b) in a.iter().zip(b) {
        sums = simd.mul_add_f64s(*a, *b, sums);
    }
    let mut sum = simd.reduce_sum_f64s(sums);
    for (a, b) in a_left.iter().zip(b_left) {
        sum += a * b;
    }
    sum
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
    pub(super) fn of(members: Vec<usize>, covariance: &Covariance) -> Self {
        let per_sd = |i: usize| 1.0 / covariance.between(i, i).sqrt();
        let open: Vec<(usize, f64)> = members
            .iter()
            .map(|&i| (i, per_sd(i)))
            .filter(|(_, per_sd)| *per_sd > 0.0 && per_sd.is_finite())
            .collect();
        let lower = correlation_factor(&open, covariance);
        Self { members, open, lower }
    }

    /// These and another unknown.
    pub(super) fn with(&self, i: usize, covariance: &Covariance) -> Self {
        let mut members = self.members.clone();
        members.push(i);
        Self::of(members, covariance)
    }

    pub(super) fn members(&self) -> &[usize] {
        &self.members
    }

    pub(super) fn first(&self) -> usize {
        self.members[0]
    }

    /// Variance of a figure that would go if these were known exactly: cᵀ Σ⁻¹ c, with the covariance c of the figure with
    /// them and their own covariance Σ (conditional normal distribution).
    #[inline]
    pub(super) fn explained(&self, spread: &[f64], solved: &mut Vec<f64>) -> f64 {
        match self.open[..] {
            [(i, per_sd)] => (spread[i] * per_sd).powi(2),
            _ => self.explained_together(spread, solved),
        }
    }

    fn explained_together(&self, spread: &[f64], solved: &mut Vec<f64>) -> f64 {
        let Some(lower) = &self.lower else { return 0.0 };
        solved.clear();
        let (mut at, mut sum) = (0, 0.0);
        for (k, &(i, per_sd)) in self.open.iter().enumerate() {
            let row = &lower[at..=at + k];
            let mut left = spread[i] * per_sd;
            for l in 0..k {
                left -= row[l] * solved[l];
            }
            let value = left / row[k];
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
