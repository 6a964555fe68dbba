//! Vertical law of a tyre.

use super::{ElementFault, ForceAndRate, ForceLanes, positive};
use crate::lanes::Lanes;

/// A tyre standing on level ground: N = (k + k₂ δ) δ for a deflection δ > 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tyre {
    /// Radius without load, m.
    pub unloaded_radius_m: f64,
    /// Rate at first contact, N/m.
    pub rate_n_per_m: f64,
    /// Half the growth of the rate with deflection, N/m².
    pub rate_growth_n_per_m2: f64,
}

impl Tyre {
    /// A tyre of constant rate.
    ///
    /// # Errors
    /// When radius or rate is not positive.
    pub fn linear(unloaded_radius_m: f64, rate_n_per_m: f64) -> Result<Self, ElementFault> {
        positive("unloaded tyre radius", unloaded_radius_m)?;
        positive("tyre rate", rate_n_per_m)?;
        Ok(Self { unloaded_radius_m, rate_n_per_m, rate_growth_n_per_m2: 0.0 })
    }

    /// Load and rate at a deflection, m; zero when the tyre is off the ground.
    pub fn at_deflection(&self, deflection_m: f64) -> ForceAndRate {
        TyreLaws::of([*self], |tyre| tyre).at_deflection(Lanes([deflection_m])).only()
    }

    /// Deflection that carries a load, m.
    pub fn deflection_under_m(&self, load_n: f64) -> f64 {
        let load_n = load_n.max(0.0);
        let root = (self.rate_n_per_m.powi(2) + 4.0 * self.rate_growth_n_per_m2 * load_n).max(0.0).sqrt();
        2.0 * load_n / (self.rate_n_per_m + root)
    }
}

/// The laws of the tyres of `N` cases side by side.
#[derive(Debug, Clone, Copy)]
pub(crate) struct TyreLaws<const N: usize> {
    rate_n_per_m: Lanes<N>,
    rate_growth_n_per_m2: Lanes<N>,
}

impl<const N: usize> TyreLaws<N> {
    #[inline(always)]
    pub(crate) fn of<T: Copy>(things: [T; N], tyre: impl Fn(T) -> Tyre) -> Self {
        Self {
            rate_n_per_m: Lanes::of(things, |thing| tyre(thing).rate_n_per_m),
            rate_growth_n_per_m2: Lanes::of(things, |thing| tyre(thing).rate_growth_n_per_m2),
        }
    }

    /// Load and rate at a deflection, m; zero when the tyre is off the ground.
    #[inline(always)]
    pub(crate) fn at_deflection(&self, deflection_m: Lanes<N>) -> ForceLanes<N> {
        let none = Lanes::splat(0.0);
        let pressed_m = none.max(deflection_m);
        let growth = self.rate_growth_n_per_m2 * pressed_m;
        ForceLanes {
            force_n: (self.rate_n_per_m + growth) * pressed_m,
            rate_n_per_m: none.if_less(deflection_m, self.rate_n_per_m + growth * 2.0, none),
        }
    }
}
