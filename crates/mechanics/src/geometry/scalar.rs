//! Real numbers, with or without their exact derivatives.

use std::ops::{Add, Div, Mul, Neg, Sub};

use crate::curve::Local;

/// A real number: `f64`, or [`Local`] with the first two derivatives over one variable.
///
/// A line written for any scalar gives a value in `f64` and its exact derivatives in [`Local`], by the rules of
/// differentiation (A. Griewank and A. Walther, Evaluating Derivatives, ch. 3 and 13).
pub trait Scalar:
    Copy
    + From<f64>
    + Neg<Output = Self>
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Add<f64, Output = Self>
    + Sub<f64, Output = Self>
    + Mul<f64, Output = Self>
{
    /// The number without its derivatives.
    fn value(self) -> f64;
    /// 1/x.
    fn recip(self) -> Self;
    /// √x.
    fn sqrt(self) -> Self;
    /// arcsin x.
    fn asin(self) -> Self;
    /// arccos x.
    fn acos(self) -> Self;
    /// sin x and cos x.
    fn sin_cos(self) -> (Self, Self);
}

impl Scalar for f64 {
    #[inline]
    fn value(self) -> f64 {
        self
    }
    #[inline]
    fn recip(self) -> Self {
        f64::recip(self)
    }
    #[inline]
    fn sqrt(self) -> Self {
        f64::sqrt(self)
    }
    #[inline]
    fn asin(self) -> Self {
        f64::asin(self)
    }
    #[inline]
    fn acos(self) -> Self {
        f64::acos(self)
    }
    #[inline]
    fn sin_cos(self) -> (Self, Self) {
        f64::sin_cos(self)
    }
}

impl Local {
    /// The variable itself, at `value`.
    #[inline]
    pub fn variable(value: f64) -> Self {
        Self { value, slope: 1.0, curvature: 0.0 }
    }

    /// f(x) from f, f' and f'' at the value of x.
    #[inline]
    fn through(self, value: f64, first: f64, second: f64) -> Self {
        Self {
            value,
            slope: first * self.slope,
            curvature: first * self.curvature + second * self.slope * self.slope,
        }
    }
}

impl Scalar for Local {
    #[inline]
    fn value(self) -> f64 {
        self.value
    }
    #[inline]
    fn recip(self) -> Self {
        let recip = 1.0 / self.value;
        let first = -recip * recip;
        self.through(recip, first, -2.0 * first * recip)
    }
    #[inline]
    fn sqrt(self) -> Self {
        let root = self.value.sqrt();
        let first = 0.5 / root;
        self.through(root, first, -0.5 * first / self.value)
    }
    #[inline]
    fn asin(self) -> Self {
        let per_cos = 1.0 / (1.0 - self.value * self.value).sqrt();
        self.through(self.value.asin(), per_cos, self.value * per_cos * per_cos * per_cos)
    }
    #[inline]
    fn acos(self) -> Self {
        let per_sin = 1.0 / (1.0 - self.value * self.value).sqrt();
        self.through(self.value.acos(), -per_sin, -self.value * per_sin * per_sin * per_sin)
    }
    #[inline]
    fn sin_cos(self) -> (Self, Self) {
        let (sin, cos) = self.value.sin_cos();
        (self.through(sin, cos, -sin), self.through(cos, -sin, -cos))
    }
}

impl From<f64> for Local {
    #[inline]
    fn from(value: f64) -> Self {
        Self { value, slope: 0.0, curvature: 0.0 }
    }
}

impl Neg for Local {
    type Output = Self;
    #[inline]
    fn neg(self) -> Self {
        Self { value: -self.value, slope: -self.slope, curvature: -self.curvature }
    }
}

impl Add for Local {
    type Output = Self;
    #[inline]
    fn add(self, other: Self) -> Self {
        Self {
            value: self.value + other.value,
            slope: self.slope + other.slope,
            curvature: self.curvature + other.curvature,
        }
    }
}

impl Sub for Local {
    type Output = Self;
    #[inline]
    fn sub(self, other: Self) -> Self {
        self + -other
    }
}

impl Mul for Local {
    type Output = Self;
    #[inline]
    fn mul(self, other: Self) -> Self {
        Self {
            value: self.value * other.value,
            slope: self.slope * other.value + self.value * other.slope,
            curvature: self.curvature * other.value
                + 2.0 * self.slope * other.slope
                + self.value * other.curvature,
        }
    }
}

impl Div for Local {
    type Output = Self;
    #[inline]
    fn div(self, other: Self) -> Self {
        // from (quotient × other) and its derivatives
        let per_other = 1.0 / other.value;
        let value = self.value * per_other;
        let slope = (self.slope - value * other.slope) * per_other;
        let curvature = (self.curvature - 2.0 * slope * other.slope - value * other.curvature) * per_other;
        Self { value, slope, curvature }
    }
}

impl Add<f64> for Local {
    type Output = Self;
    #[inline]
    fn add(self, constant: f64) -> Self {
        Self { value: self.value + constant, ..self }
    }
}

impl Sub<f64> for Local {
    type Output = Self;
    #[inline]
    fn sub(self, constant: f64) -> Self {
        self + -constant
    }
}

impl Mul<f64> for Local {
    type Output = Self;
    #[inline]
    fn mul(self, factor: f64) -> Self {
        Self { value: self.value * factor, slope: self.slope * factor, curvature: self.curvature * factor }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn assert_near(got: Local, value: f64, slope: f64, curvature: f64) {
        let apart = got - Local { value, slope, curvature };
        assert!(apart.value.abs() < 1e-14 && apart.slope.abs() < 1e-14, "{got:?}");
        assert!(apart.curvature.abs() < 1e-13, "{got:?}");
    }

    #[test]
    fn law_derivatives_are_those_of_the_functions() {
        for at in [0.2f64, 0.5, 0.9] {
            let x = Local::variable(at);
            let (sin, cos) = at.sin_cos();
            assert_near(x * x * x, at.powi(3), 3.0 * at * at, 6.0 * at);
            assert_near((x * x * 4.0).sqrt(), 2.0 * at, 2.0, 0.0);
            assert_near((x + 1.0).recip(), 1.0 / (at + 1.0), -(at + 1.0).powi(-2), 2.0 * (at + 1.0).powi(-3));
            let tan = x.sin_cos().0 / x.sin_cos().1;
            assert_near(tan, sin / cos, cos.powi(-2), 2.0 * sin * cos.powi(-3));
            assert_near(x.sin_cos().0.asin(), at, 1.0, 0.0);
            assert_near(x.sin_cos().1.acos(), at, 1.0, 0.0);
            assert_near(-x - 2.0, -at - 2.0, -1.0, 0.0);
        }
    }
}
