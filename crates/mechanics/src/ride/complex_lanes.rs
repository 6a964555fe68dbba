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

    /// Square of the magnitude.
    #[inline(always)]
    pub fn squared(self) -> Lanes<N> {
        self.re * self.re + self.im * self.im
    }

    /// Magnitude.
    #[inline(always)]
    pub fn magnitude(self) -> Lanes<N> {
        self.squared().map(f64::sqrt)
    }

    /// Real part of this times the conjugate of another: twice the mean product of two oscillations.
    #[inline(always)]
    pub fn in_phase_with(self, other: Self) -> Lanes<N> {
        self.re * other.re + self.im * other.im
    }

    /// One over this.
    #[inline(always)]
    pub fn reciprocal(self) -> Self {
        let scale = Lanes::splat(1.0) / self.squared();
        Self { re: self.re * scale, im: -(self.im * scale) }
    }

    /// Multiplied by one complex number that is the same in every case.
    #[inline(always)]
    pub fn times(self, re: f64, im: f64) -> Self {
        Self { re: self.re * re - self.im * im, im: self.re * im + self.im * re }
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

impl<const N: usize> Mul for ComplexLanes<N> {
    type Output = Self;
    #[inline(always)]
    fn mul(self, other: Self) -> Self {
        Self { re: self.re * other.re - self.im * other.im, im: self.re * other.im + self.im * other.re }
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
