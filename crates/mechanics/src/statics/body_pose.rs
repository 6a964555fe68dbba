//! Pose of the body over level ground.

use std::ops::{Add, Mul};

use crate::lanes::Lanes;
use crate::linkage::Point;

/// Heave, pitch and roll of the body against its design position on level ground (ISO 8855).
///
/// The height of a body-fixed point p above the ground is `heave + r·p` with r the third row of
/// R_y(pitch) R_x(roll): r = (-sin θ, cos θ sin φ, cos θ cos φ).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct BodyPose {
    /// Rise of the body origin above its design height, m.
    pub heave_m: f64,
    /// Pitch θ, positive nose-down, rad.
    pub pitch_rad: f64,
    /// Roll φ, positive with the left side raised, rad.
    pub roll_rad: f64,
}

/// The third row of the body's rotation with its derivatives with respect to pitch and roll, as numbers or of several
/// vans side by side.
#[derive(Debug, Clone, Copy)]
pub(super) struct HeightRow<T = f64> {
    pub(super) r: [T; 3],
    pub(super) r_pitch: [T; 3],
    pub(super) r_roll: [T; 3],
    pub(super) r_pitch_pitch: [T; 3],
    pub(super) r_pitch_roll: [T; 3],
    pub(super) r_roll_roll: [T; 3],
}

impl<const N: usize> HeightRow<Lanes<N>> {
    #[inline(always)]
    pub(super) fn at(pitch_rad: Lanes<N>, roll_rad: Lanes<N>) -> Self {
        let (sin_p, cos_p) = pitch_rad.sin_cos();
        let (sin_r, cos_r) = roll_rad.sin_cos();
        let zero = Lanes::splat(0.0);
        Self {
            r: [-sin_p, cos_p * sin_r, cos_p * cos_r],
            r_pitch: [-cos_p, -sin_p * sin_r, -sin_p * cos_r],
            r_roll: [zero, cos_p * cos_r, -cos_p * sin_r],
            r_pitch_pitch: [sin_p, -cos_p * sin_r, -cos_p * cos_r],
            r_pitch_roll: [zero, -sin_p * cos_r, sin_p * sin_r],
            r_roll_roll: [zero, -cos_p * sin_r, -cos_p * cos_r],
        }
    }
}

impl BodyPose {
    /// Height of a body-fixed point above the ground, m.
    pub fn height_of_m(&self, point_m: Point) -> f64 {
        self.heave_m + dot(self.height_row().r, point_m)
    }

    /// Heights of several body-fixed points above the ground, m.
    pub fn heights_of_m<const N: usize>(&self, points_m: [Point; N]) -> [f64; N] {
        let row = self.height_row();
        points_m.map(|point_m| self.heave_m + dot(row.r, point_m))
    }

    /// Change of the height of a body-fixed point with the pose: by heave, by pitch, by roll, m per m and m per rad.
    pub fn height_slopes(&self, point_m: Point) -> [f64; 3] {
        let row = self.height_row();
        [1.0, dot(row.r_pitch, point_m), dot(row.r_roll, point_m)]
    }

    pub(super) fn height_row(&self) -> HeightRow {
        let row = HeightRow::at(Lanes([self.pitch_rad]), Lanes([self.roll_rad]));
        let only = |row: [Lanes<1>; 3]| row.map(|entry| entry.0[0]);
        HeightRow {
            r: only(row.r),
            r_pitch: only(row.r_pitch),
            r_roll: only(row.r_roll),
            r_pitch_pitch: only(row.r_pitch_pitch),
            r_pitch_roll: only(row.r_pitch_roll),
            r_roll_roll: only(row.r_roll_roll),
        }
    }
}

#[inline(always)]
pub(super) fn dot<T: Copy + Mul<Output = T> + Add<Output = T>>(a: [T; 3], b: [T; 3]) -> T {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// Product of the parts across and up: a derivative by roll has no part along.
#[inline(always)]
pub(super) fn dot_across<const N: usize>(a: [Lanes<N>; 3], b: [Lanes<N>; 3]) -> Lanes<N> {
    a[1] * b[1] + a[2] * b[2]
}
