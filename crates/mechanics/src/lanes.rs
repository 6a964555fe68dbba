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

    /// A quantity of each of `N` things.
    #[inline(always)]
    pub(crate) fn of<T: Copy>(things: [T; N], quantity: impl Fn(T) -> f64) -> Self {
        let mut lanes = [0.0; N];
        for i in 0..N {
            lanes[i] = quantity(things[i]);
        }
        Self(lanes)
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

    /// This where `keep` holds, the other elsewhere.
    #[inline(always)]
    pub(crate) fn or_else(mut self, keep: [bool; N], other: Self) -> Self {
        for i in 0..N {
            self.0[i] = if keep[i] { self.0[i] } else { other.0[i] };
        }
        self
    }

    /// `yes` where this is less than the other, `no` elsewhere.
    #[inline(always)]
    pub(crate) fn if_less(self, other: Self, yes: Self, mut no: Self) -> Self {
        for i in 0..N {
            no.0[i] = if self.0[i] < other.0[i] { yes.0[i] } else { no.0[i] };
        }
        no
    }

    /// Whether each is less than the other; not where either is not a number.
    #[inline(always)]
    pub(crate) fn is_less_everywhere(self, other: Self) -> bool {
        let mut everywhere = true;
        for i in 0..N {
            everywhere &= self.0[i] < other.0[i];
        }
        everywhere
    }

    /// Sine and cosine: by polynomials up to 45° (W. J. Cody and W. Waite, Software Manual for the Elementary Functions,
    /// 1980; coefficients of the minimax fits of fdlibm), to the last bit or the one before.
    #[inline(always)]
    pub(crate) fn sin_cos(self) -> (Self, Self) {
        const SINE: [f64; 6] = [
            1.589_690_995_211_55e-10,
            -2.505_076_025_340_686_3e-8,
            2.755_731_370_707_007e-6,
            -1.984_126_982_985_795e-4,
            8.333_333_333_322_49e-3,
            -1.666_666_666_666_663_2e-1,
        ];
        const COSINE: [f64; 6] = [
            -1.135_964_755_778_819_5e-11,
            2.087_572_321_298_175e-9,
            -2.755_731_435_139_066_3e-7,
            2.480_158_728_947_673e-5,
            -1.388_888_888_887_411e-3,
            4.166_666_666_666_66e-2,
        ];
        let squared = self * self;
        let along = |coefficients: [f64; 6]| {
            let mut sum = Self::splat(coefficients[0]);
            for coefficient in &coefficients[1..] {
                sum = sum * squared + Self::splat(*coefficient);
            }
            sum
        };
        let sine = self * squared * along(SINE) + self;
        let cosine = squared * squared * along(COSINE) + (Self::splat(1.0) - squared * 0.5);
        let largest = Self::splat(std::f64::consts::FRAC_PI_4);
        if self.map(f64::abs).is_less_everywhere(largest) {
            (sine, cosine)
        } else {
            self.any_sin_cos([sine, cosine])
        }
    }

    /// The same where angles are larger.
    #[cold]
    #[inline(never)]
    fn any_sin_cos(self, [mut sine, mut cosine]: [Self; 2]) -> (Self, Self) {
        for i in 0..N {
            let angle = self.0[i];
            if angle.abs() > std::f64::consts::FRAC_PI_4 {
                (sine.0[i], cosine.0[i]) = angle.sin_cos();
            }
        }
        (sine, cosine)
    }

    /// The larger of each pair; the second one where either is not a number.
    #[inline(always)]
    pub fn max(self, other: Self) -> Self {
        self.zip(other, |a, b| if a > b { a } else { b })
    }

    /// The smaller of each pair; the second one where either is not a number.
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

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn law_sine_and_cosine_are_those_of_the_standard_library(angles in proptest::array::uniform4(-2.0f64..2.0)) {
            let (sine, cosine) = Lanes(angles).sin_cos();
            for (i, angle) in angles.into_iter().enumerate() {
                prop_assert!((sine.0[i] - angle.sin()).abs() <= f64::EPSILON * angle.sin().abs());
                prop_assert!((cosine.0[i] - angle.cos()).abs() <= f64::EPSILON);
            }
        }
    }
}
