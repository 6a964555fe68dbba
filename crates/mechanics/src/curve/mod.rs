//! Smooth curves through tabulated points.

mod monotone;
mod spline;

pub use monotone::MonotoneCurve;
pub use spline::Spline;

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
