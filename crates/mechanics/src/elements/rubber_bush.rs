//! Torsion of the rubber bushes an arm turns in.

/// Rubber bushes that twist as the arm turns and are free of twist where they were clamped.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RubberBush {
    /// Torsional rate of all bushes of the arm about its axis, N m/rad.
    pub rate_nm_per_rad: f64,
    /// Wheel travel at which the bolts were tightened, m.
    pub clamped_at_travel_m: f64,
}
