//! Force laws of the parts that carry a van: what each gives back for the length or angle it is put at.
//!
//! A force is positive when it pushes the body up (springs, stops, gas) or, for a tyre, the wheel up. Every law
//! returns the force together with its rate, so that equilibrium and sensitivities use exact derivatives.

mod added_leaf;
mod air_spring;
mod anti_roll_bar;
mod bump_stop;
mod damper;
mod damper_curve;
mod friction;
mod rubber_bush;
mod spring;
mod spring_stack;
mod tyre;

pub use added_leaf::AddedLeaf;
pub use air_spring::{
    AirCharge, AirSpring, AirSpringLimits, FilledAirSpring, FittedAirSpring, STANDARD_ATMOSPHERE_PA,
};
pub use anti_roll_bar::AntiRollBar;
pub use bump_stop::BumpStop;
pub use damper::Damper;
pub use damper_curve::DamperCurve;
pub use friction::Friction;
pub use rubber_bush::RubberBush;
pub(crate) use spring::RateLaws;
pub use spring::Spring;
pub use spring_stack::{SpringStack, StackForce};
pub use tyre::Tyre;
pub(crate) use tyre::TyreLaws;

use crate::lanes::Lanes;

/// A force and its rate: how fast the force grows as the element is compressed or deflected.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ForceAndRate {
    /// Force, N.
    pub force_n: f64,
    /// Growth of the force per metre of compression, N/m.
    pub rate_n_per_m: f64,
}

/// The same of `N` cases side by side.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ForceLanes<const N: usize> {
    /// Force, N.
    pub(crate) force_n: Lanes<N>,
    /// Growth of the force per metre of compression, N/m.
    pub(crate) rate_n_per_m: Lanes<N>,
}

impl<const N: usize> ForceLanes<N> {
    pub(crate) fn of_each(load: impl Fn(usize) -> ForceAndRate) -> Self {
        let [mut force_n, mut rate_n_per_m] = [[0.0; N]; 2];
        for i in 0..N {
            ForceAndRate { force_n: force_n[i], rate_n_per_m: rate_n_per_m[i] } = load(i);
        }
        Self { force_n: Lanes(force_n), rate_n_per_m: Lanes(rate_n_per_m) }
    }
}

impl ForceLanes<1> {
    /// The only case.
    pub(crate) fn only(self) -> ForceAndRate {
        ForceAndRate { force_n: self.force_n.0[0], rate_n_per_m: self.rate_n_per_m.0[0] }
    }
}

/// Why an element cannot be what it was described to be.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ElementFault {
    /// A quantity that must be positive (and finite) is not.
    #[error("{quantity} must be positive, found {found}")]
    NotPositive {
        /// Which quantity.
        quantity: &'static str,
        /// Its value.
        found: f64,
    },
    /// A measured table is too short, not in order, or falls where it must rise.
    #[error("{table} must have at least two points, each longer or more compressed one carrying more load")]
    TableNotRising {
        /// Which table.
        table: &'static str,
    },
    /// A measured table is too short, or gives one place twice.
    #[error("{table} must have at least two points, all finite, none at the same place as another")]
    TableUnusable {
        /// Which table.
        table: &'static str,
    },
    /// A quantity is outside the range it may have.
    #[error("{quantity} must be from {low} to {high}, found {found}")]
    OutOfRange {
        /// Which quantity, with its unit.
        quantity: &'static str,
        /// Its value.
        found: f64,
        /// Least value allowed.
        low: f64,
        /// Greatest value allowed.
        high: f64,
    },
    /// A length that must be below another is not.
    #[error("{smaller} ({smaller_m} m) must be below {larger} ({larger_m} m)")]
    LengthsOutOfOrder {
        /// Name of the length that should be smaller.
        smaller: &'static str,
        /// Its value, m.
        smaller_m: f64,
        /// Name of the length that should be larger.
        larger: &'static str,
        /// Its value, m.
        larger_m: f64,
    },
}

fn positive(quantity: &'static str, value: f64) -> Result<f64, ElementFault> {
    if value.is_finite() && value > 0.0 {
        Ok(value)
    } else {
        Err(ElementFault::NotPositive { quantity, found: value })
    }
}

fn within(quantity: &'static str, found: f64, low: f64, high: f64) -> Result<f64, ElementFault> {
    if (low..=high).contains(&found) {
        Ok(found)
    } else {
        Err(ElementFault::OutOfRange { quantity, found, low, high })
    }
}
