//! A few lanes in one vector register, with the operators of a number.

use std::ops::{Add, Mul, Neg, Sub};

use pulp::Simd;

use crate::ride::Lanes;

/// Most lanes that a vector register of any machine holds.
pub(super) const MOST_LANES: usize = 8;

/// One number of each lane in a register.
#[derive(Debug, Clone, Copy)]
pub struct Vector<S: Simd> {
    simd: S,
    value: S::f64s,
}

/// Which lanes are under way: as many as a register holds, from a first one on.
#[derive(Debug, Clone, Copy)]
pub struct Chunk<S: Simd> {
    simd: S,
    first: usize,
}

impl<S: Simd> Chunk<S> {
    /// The chunks that `lanes` lanes are taken in; the last may not be full.
    #[inline(always)]
    pub(super) fn all(simd: S, lanes: usize) -> impl Iterator<Item = Self> {
        (0..lanes).step_by(S::F64_LANES).map(move |first| Self { simd, first })
    }

    /// Lanes of this chunk among `lanes`.
    #[inline(always)]
    pub(super) fn range(self, lanes: usize) -> std::ops::Range<usize> {
        self.first..lanes.min(self.first + S::F64_LANES)
    }

    /// A quantity of these lanes; 0 beyond the last lane.
    #[inline(always)]
    pub(super) fn load<const N: usize>(self, lanes: &Lanes<N>) -> Vector<S> {
        let Self { simd, .. } = self;
        Vector { simd, value: simd.partial_load_f64s(&lanes.0[self.range(N)]) }
    }

    /// Puts a quantity back into its lanes.
    #[inline(always)]
    pub(super) fn store<const N: usize>(self, value: Vector<S>, lanes: &mut Lanes<N>) {
        self.simd.partial_store_f64s(&mut lanes.0[self.range(N)], value.value);
    }

    /// The same number in every lane.
    #[inline(always)]
    pub(super) fn splat(self, value: f64) -> Vector<S> {
        Vector { simd: self.simd, value: self.simd.splat_f64s(value) }
    }

    /// A number for each lane, looked up one by one.
    #[inline(always)]
    pub(super) fn gather(self, values: &[f64; MOST_LANES]) -> Vector<S> {
        let (registers, _) = S::as_simd_f64s(values);
        Vector { simd: self.simd, value: registers[0] }
    }
}

impl<S: Simd> Vector<S> {
    /// `self * factor + addend`, rounded once: the same on every machine.
    #[inline(always)]
    pub(super) fn times_plus(self, factor: Self, addend: Self) -> Self {
        Self { value: self.simd.mul_add_f64s(self.value, factor.value, addend.value), ..self }
    }

    #[inline(always)]
    pub(super) fn max(self, other: Self) -> Self {
        Self { value: self.simd.max_f64s(self.value, other.value), ..self }
    }

    #[inline(always)]
    pub(super) fn min(self, other: Self) -> Self {
        Self { value: self.simd.min_f64s(self.value, other.value), ..self }
    }

    /// Whether it is below zero in any lane.
    #[inline(always)]
    pub(super) fn is_negative_anywhere(self) -> bool {
        self.simd.reduce_min_f64s(self.value) < 0.0
    }

    #[inline(always)]
    pub(super) fn abs(self) -> Self {
        Self { value: self.simd.abs_f64s(self.value), ..self }
    }

    /// `yes` in the lanes where it is less than the other, `no` elsewhere.
    #[inline(always)]
    pub(super) fn if_less(self, other: Self, yes: Self, no: Self) -> Self {
        let less = self.simd.less_than_f64s(self.value, other.value);
        Self { value: self.simd.select_f64s(less, yes.value, no.value), ..self }
    }

    /// The number of each lane.
    #[inline(always)]
    pub(super) fn spread(self) -> [f64; MOST_LANES] {
        let mut values = [0.0; MOST_LANES];
        let (registers, _) = S::as_mut_simd_f64s(&mut values);
        registers[0] = self.value;
        values
    }
}

impl<S: Simd> Add for Vector<S> {
    type Output = Self;
    #[inline(always)]
    fn add(self, other: Self) -> Self {
        Self { value: self.simd.add_f64s(self.value, other.value), ..self }
    }
}

impl<S: Simd> Sub for Vector<S> {
    type Output = Self;
    #[inline(always)]
    fn sub(self, other: Self) -> Self {
        Self { value: self.simd.sub_f64s(self.value, other.value), ..self }
    }
}

impl<S: Simd> Mul for Vector<S> {
    type Output = Self;
    #[inline(always)]
    fn mul(self, other: Self) -> Self {
        Self { value: self.simd.mul_f64s(self.value, other.value), ..self }
    }
}

impl<S: Simd> Neg for Vector<S> {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        Self { value: self.simd.neg_f64s(self.value), ..self }
    }
}
