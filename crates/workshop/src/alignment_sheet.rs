//! Wheel alignment that the maker asks for, and what can be adjusted.

use crate::document::{Fields, Range, range};

/// Alignment of an axle.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AlignmentSheet {
    /// Camber of each wheel.
    pub camber: Option<AlignmentTarget>,
    /// Toe of each wheel, toe-in positive.
    pub toe: Option<AlignmentTarget>,
    /// Caster.
    pub caster: Option<AlignmentTarget>,
}

/// What the maker asks for, and how far the van's own adjusters reach.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AlignmentTarget {
    /// Least allowed, degrees.
    pub from_deg: f64,
    /// Greatest allowed, degrees.
    pub to_deg: f64,
    /// Reach of the adjusters to either side, degrees; nothing where there are none.
    pub adjusts_deg: f64,
}

impl AlignmentSheet {
    /// Reads the alignment of an axle.
    pub fn read(f: &mut Fields) -> Self {
        Self {
            camber: f.optional_table("camber", "Camber of each wheel", AlignmentTarget::read),
            toe: f.optional_table("toe", "Toe of each wheel, toe-in positive", AlignmentTarget::read),
            caster: f.optional_table("caster", "Caster", AlignmentTarget::read),
        }
    }
}

impl AlignmentTarget {
    fn read(f: &mut Fields) -> Self {
        const ANGLE: Range = range(-10.0, 15.0);
        let target = Self {
            from_deg: f.number("from_deg", ANGLE, "Least that the maker allows"),
            to_deg: f.number("to_deg", ANGLE, "Greatest that the maker allows"),
            adjusts_deg: f.number_or(
                "adjusts_deg",
                range(0.0, 10.0),
                0.0,
                "Reach of the van's own adjusters to either side",
            ),
        };
        if target.from_deg > target.to_deg && f.is_sound() {
            let found = format!("from {} to {} degrees", target.from_deg, target.to_deg);
            f.fault_at("from_deg", &found, "from_deg at most to_deg");
        }
        target
    }

    /// Middle of what is allowed, degrees.
    pub fn middle_deg(&self) -> f64 {
        0.5 * (self.from_deg + self.to_deg)
    }
}
