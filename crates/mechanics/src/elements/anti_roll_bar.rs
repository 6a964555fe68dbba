//! Anti-roll bar.

/// A bar twisted by the difference of its two arm angles: energy ½ K (β_left - β_right)².
///
/// The arm angle over wheel travel comes from the corner's kinematics, links included. Where an axle has no bar
/// geometry the angle is taken as wheel travel over track, and K is then the bar's roll rate at the axle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AntiRollBar {
    /// Torsional rate between the two arm ends, N m/rad.
    pub rate_nm_per_rad: f64,
}
