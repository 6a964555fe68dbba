//! Why an event cannot be simulated.

/// Why an event cannot be simulated.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum EventFault {
    /// A quantity that must be positive and finite is not.
    #[error("{quantity} must be positive, found {found}")]
    NotPositive {
        /// Which quantity.
        quantity: &'static str,
        /// Its value.
        found: f64,
    },
    /// A profile of a hump that does not rise along the road, or holds what is not a number.
    #[error("the profile of a hump must have at least two points, one after the other along the road")]
    Profile,
    /// Vans side by side cross one course with one wheelbase.
    #[error("the vans side by side have different wheelbases")]
    WheelbasesDiffer,
    /// A damper curve has more points than the simulation has room for.
    #[error("a damper curve has more than {most} points on one side")]
    TooManyDamperPoints {
        /// Points that there is room for.
        most: usize,
    },
    /// The end of a stretch is not after the one before, or the road is not long enough.
    #[error("the ends of the stretches must follow each other and lie within the course")]
    Stretches,
    /// The motion grew past every number.
    #[error("the motion has no end: a rate, a mass or the step does not fit the others")]
    NotFinite,
    /// Even the shortest step does not settle peak, dose and clearance.
    #[error("peak, dose and clearance do not settle, down to a step of {step_s} s")]
    NotSettled {
        /// The shortest step tried.
        step_s: f64,
    },
}

/// The value, where it is positive and finite.
pub(super) fn positive(quantity: &'static str, found: f64) -> Result<f64, EventFault> {
    if found.is_finite() && found > 0.0 {
        Ok(found)
    } else {
        Err(EventFault::NotPositive { quantity, found })
    }
}
