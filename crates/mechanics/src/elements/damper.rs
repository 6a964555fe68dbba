//! Damper as the statics sees it: its lengths and its gas force.

use super::{ElementFault, ForceAndRate, positive};

/// A damper's limits and its static push.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Damper {
    /// Length with the rod fully out, m.
    pub open_length_m: f64,
    /// Length with the rod fully in, metal to metal, m.
    pub closed_length_m: f64,
    /// Push of the gas on the rod with the rod fully out, N; zero for a damper without gas.
    pub gas_force_n: f64,
    /// Growth of the gas force per metre the rod is pushed in, N/m.
    pub gas_rate_n_per_m: f64,
}

impl Damper {
    /// A damper from its open and closed length.
    ///
    /// # Errors
    /// When a length is not positive or the closed length is not below the open one.
    pub fn new(
        open_length_m: f64,
        closed_length_m: f64,
        gas_force_n: f64,
        gas_rate_n_per_m: f64,
    ) -> Result<Self, ElementFault> {
        positive("closed damper length", closed_length_m)?;
        positive("open damper length", open_length_m)?;
        if closed_length_m >= open_length_m {
            return Err(ElementFault::LengthsOutOfOrder {
                smaller: "closed damper length",
                smaller_m: closed_length_m,
                larger: "open damper length",
                larger_m: open_length_m,
            });
        }
        Ok(Self { open_length_m, closed_length_m, gas_force_n, gas_rate_n_per_m })
    }

    /// Whether gas pushes at all.
    pub fn has_gas(&self) -> bool {
        self.gas_force_n != 0.0 || self.gas_rate_n_per_m != 0.0
    }

    /// Push of the gas at a length, and its growth per metre of compression.
    pub fn gas_at_length(&self, length_m: f64) -> ForceAndRate {
        ForceAndRate {
            force_n: self.gas_force_n + self.gas_rate_n_per_m * (self.open_length_m - length_m),
            rate_n_per_m: self.gas_rate_n_per_m,
        }
    }
}
