//! Smooth curves and surfaces through tabulated points.

mod monotone;
mod resampling;
mod spline;
mod surface;

pub use monotone::MonotoneCurve;
pub use resampling::{Resampling, Samples};
pub use spline::Spline;
pub(crate) use spline::Splines;
pub use surface::{Local2, Surface};

/// A curve's value with its first and second derivative at one abscissa.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Local {
    /// The ordinate.
    pub value: f64,
    /// First derivative with respect to the abscissa.
    pub slope: f64,
    /// Second derivative with respect to the abscissa.
    pub curvature: f64,
}

impl Local {
    /// Value `ahead` of here by Taylor's series up to the second derivative.
    #[inline]
    pub fn extrapolated(&self, ahead: f64) -> f64 {
        self.value + ahead * (self.slope + 0.5 * ahead * self.curvature)
    }
}
