//! The workshop's own premises: what a van must fit onto.

use crate::document::{Fields, range};

/// Premises of the workshop.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Premises {
    /// Height of the lift's arms with their pads, fully down, mm.
    pub lift_arm_height_mm: Option<f64>,
}

impl Premises {
    /// Reads the premises.
    pub fn read(f: &mut Fields) -> Self {
        Self {
            lift_arm_height_mm: f.optional_number(
                "lift_arm_height_mm",
                range(20.0, 500.0),
                "Height of the lift's arms with their pads, fully down",
            ),
        }
    }
}
