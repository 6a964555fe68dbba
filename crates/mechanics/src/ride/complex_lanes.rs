//! Complex numbers of several cases side by side.

use std::ops::{Add, Mul, Neg, Sub};

use super::Lanes;

/// A complex quantity of `N` cases: amplitude and phase at one frequency, e^{iωt} understood.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ComplexLanes<const N: usize> {
    /// Real parts.
    pub re: Lanes<N>,
    /// Imaginary parts.
    pub im: Lanes<N>,
}

impl<const N: usize> ComplexLanes<N> {
    /// Nought in every case.
    pub const ZERO: Self = Self { re: Lanes([0.0; N]), im: Lanes([0.0; N]) };

    /// Magnitude.
    #[inline(always)]
    pub fn magnitude(self) -> Lanes<N> {
        self.squared_plus::<false>(Lanes::splat(0.0)).map(f64::sqrt)
    }

    /// Square of the magnitude, and a summand.
    #[inline(always)]
    pub(super) fn squared_plus<const FUSED: bool>(self, summand: Lanes<N>) -> Lanes<N> {
        self.re.mul_add::<FUSED>(self.re, self.im.mul_add::<FUSED>(self.im, summand))
    }

    /// Real part of this times the conjugate of another, and a summand.
    #[inline(always)]
    pub(super) fn in_phase_plus<const FUSED: bool>(self, other: Self, summand: Lanes<N>) -> Lanes<N> {
        self.re.mul_add::<FUSED>(other.re, self.im.mul_add::<FUSED>(other.im, summand))
    }

    /// One over this.
    #[inline(always)]
    pub(super) fn reciprocal<const FUSED: bool>(self) -> Self {
        let scale = Lanes::splat(1.0) / self.im.mul_add::<FUSED>(self.im, self.re * self.re);
        Self { re: self.re * scale, im: -(self.im * scale) }
    }

    /// This times another.
    #[inline(always)]
    pub(super) fn times<const FUSED: bool>(self, other: Self) -> Self {
        Self {
            re: self.re.mul_add::<FUSED>(other.re, -(self.im * other.im)),
            im: self.re.mul_add::<FUSED>(other.im, self.im * other.re),
        }
    }

    /// This times another, and a summand.
    #[inline(always)]
    pub(super) fn times_plus<const FUSED: bool>(self, other: Self, summand: Self) -> Self {
        Self {
            re: self.re.mul_add::<FUSED>(other.re, (-self.im).mul_add::<FUSED>(other.im, summand.re)),
            im: self.re.mul_add::<FUSED>(other.im, self.im.mul_add::<FUSED>(other.re, summand.im)),
        }
    }

    /// This times a real factor, and a summand.
    #[inline(always)]
    pub(super) fn scaled_plus<const FUSED: bool>(self, factor: Lanes<N>, summand: Self) -> Self {
        Self {
            re: self.re.mul_add::<FUSED>(factor, summand.re),
            im: self.im.mul_add::<FUSED>(factor, summand.im),
        }
    }

    /// This and a real summand.
    #[inline(always)]
    pub(super) fn plus_real(self, summand: Lanes<N>) -> Self {
        Self { re: self.re + summand, im: self.im }
    }
}

impl<const N: usize> Add for ComplexLanes<N> {
    type Output = Self;
    #[inline(always)]
    fn add(self, other: Self) -> Self {
        Self { re: self.re + other.re, im: self.im + other.im }
    }
}

impl<const N: usize> Sub for ComplexLanes<N> {
    type Output = Self;
    #[inline(always)]
    fn sub(self, other: Self) -> Self {
        Self { re: self.re - other.re, im: self.im - other.im }
    }
}

impl<const N: usize> Mul<Lanes<N>> for ComplexLanes<N> {
    type Output = Self;
    #[inline(always)]
    fn mul(self, factor: Lanes<N>) -> Self {
        Self { re: self.re * factor, im: self.im * factor }
    }
}

impl<const N: usize> Neg for ComplexLanes<N> {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        Self { re: -self.re, im: -self.im }
    }
}
