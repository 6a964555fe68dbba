//! A leaf that joins in on the way: second stage, helper leaf, or leaf put in to raise a van.

use super::{ElementFault, ForceAndRate, positive, within};

/// A leaf in parallel with the main leaves below the camber at which it is touched: F = R (c_touch - c).
///
/// The rate follows from its dimensions ([`crate::spring_design::leaf`]) or from bench readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AddedLeaf {
    /// Rate, N/m.
    pub rate_n_per_m: f64,
    /// Camber of the main leaves at which it is touched, m.
    pub touched_at_m: f64,
}

impl AddedLeaf {
    /// # Errors
    /// When the rate is not positive or the camber not within a metre of flat.
    pub fn new(rate_n_per_m: f64, touched_at_m: f64) -> Result<Self, ElementFault> {
        positive("rate of the added leaf", rate_n_per_m)?;
        within("camber at which the added leaf is touched, m", touched_at_m, -1.0, 1.0)?;
        Ok(Self { rate_n_per_m, touched_at_m })
    }

    /// Load and rate at a camber of the main leaves, m; both zero where it is not touched.
    pub fn at_camber(&self, camber_m: f64) -> ForceAndRate {
        let deflection_m = self.touched_at_m - camber_m;
        if deflection_m <= 0.0 {
            return ForceAndRate::default();
        }
        ForceAndRate { force_n: self.rate_n_per_m * deflection_m, rate_n_per_m: self.rate_n_per_m }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_an_added_leaf_works_only_below_its_touch() {
        let leaf = AddedLeaf::new(60_000.0, 0.05).unwrap();
        assert_eq!(leaf.at_camber(0.05), ForceAndRate::default());
        assert!((leaf.at_camber(-0.02).force_n - 4_200.0).abs() < 1e-9);
        assert!((leaf.at_camber(0.049).rate_n_per_m - 60_000.0).abs() < 1e-9);
        assert!(AddedLeaf::new(0.0, 0.05).is_err() && AddedLeaf::new(1.0, f64::NAN).is_err());
    }
}
