//! Several cases side by side: `N` numbers that go through the same arithmetic.

use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

/// One quantity of `N` cases. `Lanes<1>` is a plain number; `Lanes<4>` fills a vector register of most
/// machines; eight fill one of the widest, and elsewhere cost a large kernel more than they bring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lanes<const N: usize>(pub [f64; N]);

impl<const N: usize> Lanes<N> {
    /// The same value in every case.
    #[inline(always)]
    pub fn splat(value: f64) -> Self {
        Self([value; N])
    }

    /// One of the cases.
    #[inline(always)]
    pub fn lane(self, lane: usize) -> Lanes<1> {
        Lanes([self.0[lane]])
    }

    /// Applies a function to each case.
    #[inline(always)]
    pub fn map(mut self, apply: impl Fn(f64) -> f64) -> Self {
        for lane in &mut self.0 {
            *lane = apply(*lane);
        }
        self
    }

    /// Combines two quantities case by case.
    #[inline(always)]
    pub fn zip(mut self, other: Self, combine: impl Fn(f64, f64) -> f64) -> Self {
        for i in 0..N {
            self.0[i] = combine(self.0[i], other.0[i]);
        }
        self
    }

    /// `self * factor + addend`; in one rounding where `FUSED`, which only pays where the machine can.
    #[inline(always)]
    pub fn mul_add<const FUSED: bool>(mut self, factor: Self, addend: Self) -> Self {
        for i in 0..N {
            self.0[i] = if FUSED {
                self.0[i].mul_add(factor.0[i], addend.0[i])
            } else {
                self.0[i] * factor.0[i] + addend.0[i]
            };
        }
        self
    }

    /// The larger of each pair.
    #[inline(always)]
    pub fn max(self, other: Self) -> Self {
        self.zip(other, |a, b| if a > b { a } else { b })
    }

    /// The smaller of each pair.
    #[inline(always)]
    pub fn min(self, other: Self) -> Self {
        self.zip(other, |a, b| if a < b { a } else { b })
    }
}

impl<const N: usize> Add for Lanes<N> {
    type Output = Self;
    #[inline(always)]
    fn add(self, other: Self) -> Self {
        self.zip(other, |a, b| a + b)
    }
}

impl<const N: usize> AddAssign for Lanes<N> {
    #[inline(always)]
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl<const N: usize> Sub for Lanes<N> {
    type Output = Self;
    #[inline(always)]
    fn sub(self, other: Self) -> Self {
        self.zip(other, |a, b| a - b)
    }
}

impl<const N: usize> Mul for Lanes<N> {
    type Output = Self;
    #[inline(always)]
    fn mul(self, other: Self) -> Self {
        self.zip(other, |a, b| a * b)
    }
}

impl<const N: usize> Mul<f64> for Lanes<N> {
    type Output = Self;
    #[inline(always)]
    fn mul(self, factor: f64) -> Self {
        self.map(|a| a * factor)
    }
}

impl<const N: usize> Div for Lanes<N> {
    type Output = Self;
    #[inline(always)]
    fn div(self, other: Self) -> Self {
        self.zip(other, |a, b| a / b)
    }
}

impl<const N: usize> Neg for Lanes<N> {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        self.map(|a| -a)
    }
}
