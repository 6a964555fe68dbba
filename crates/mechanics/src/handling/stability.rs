//! Static stability and sloping roads.

use crate::GRAVITY_M_PER_S2;

/// What a rigid van stands on, and how high its weight sits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StaticStability {
    /// Track, mean of both axles, m.
    pub track_m: f64,
    /// Centre of gravity of the whole van, as carried, above the ground, m.
    pub centre_of_gravity_height_m: f64,
}

impl StaticStability {
    /// Static stability factor T / (2 h) (NHTSA, rollover resistance rating): the lateral acceleration in g at which a
    /// rigid van would tip. Roll, tyres and load off the centre line bring the real limit down.
    pub fn factor(&self) -> f64 {
        self.track_m / (2.0 * self.centre_of_gravity_height_m)
    }

    /// Side slope on which a rigid van would tip, rad.
    pub fn tilt_angle_rad(&self) -> f64 {
        self.factor().atan()
    }
}

/// Acceleration that a van feels on a road banked sideways.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoadAcceleration {
    /// Along the road surface, towards the inside of the turn, m/s².
    pub along_m_per_s2: f64,
    /// Square into the road surface, m/s².
    pub into_m_per_s2: f64,
}

impl RoadAcceleration {
    /// In a turn of a horizontal acceleration on a road banked by `bank_rad`, positive with the inside of the turn low.
    /// A van parked across a slope has no horizontal acceleration and feels -g sin(bank) along it.
    ///
    /// Milliken and Milliken, Race Car Vehicle Dynamics, ch. 18: A cos α - g sin α along, g cos α + A sin α into the road.
    pub fn on_bank(horizontal_m_per_s2: f64, bank_rad: f64) -> Self {
        let (sin, cos) = bank_rad.sin_cos();
        Self {
            along_m_per_s2: horizontal_m_per_s2 * cos - GRAVITY_M_PER_S2 * sin,
            into_m_per_s2: GRAVITY_M_PER_S2 * cos + horizontal_m_per_s2 * sin,
        }
    }
}
