//! Roll stiffness of an axle by virtual work.

use crate::statics::{FourCorners, Rest};

/// Moment with which an axle answers the roll of the body over it, N m/rad, split by what gives it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RollStiffness {
    /// Springs, leaves, air, gas, stops and bushes.
    pub springs_nm_per_rad: f64,
    /// Anti-roll bar, or the torsion of a twist beam.
    pub bar_nm_per_rad: f64,
    /// Both tyres on the ground, of the axle as a whole.
    pub tyres_nm_per_rad: f64,
}

impl RollStiffness {
    /// Wheels moved in opposition by ±T/2 φ: the energy U of what stands between body and wheels gives
    /// K = d²U/dφ² = T²/4 (U_ll - 2 U_lr + U_rr), and the tyres T²/4 (k_l + k_r).
    ///
    /// U_ll and U_rr hold the spring's rate times its motion ratio squared and its force times the change of that ratio;
    /// on a joined axle U_lr makes the spring base count instead of the track. For springs that stay at one ratio this
    /// is ½ k T² for independent wheels and ½ k T_s² for a solid axle (Gillespie, Fundamentals of Vehicle Dynamics, ch. 6).
    pub(super) fn of(van: &FourCorners, rest: &Rest, axle: usize, track_m: f64) -> Self {
        let corners = [2 * axle, 2 * axle + 1];
        let per_wheel_rate = 0.25 * track_m * track_m;
        let springs =
            |i: usize| van.corners[i].energy_slopes(rest.axle_travel(i)).curvature_in_roll_n_per_m();
        let tyre = |i: usize| {
            let tyre = van.corners[i].tyre;
            tyre.at_deflection(tyre.unloaded_radius_m - rest.wheel_centre_height_m[i]).rate_n_per_m
        };
        let bar = van.bar_slopes(axle, &rest.travel_m).curvature_in_roll_n_per_m();
        Self {
            springs_nm_per_rad: per_wheel_rate * corners.map(springs).iter().sum::<f64>(),
            bar_nm_per_rad: per_wheel_rate * bar,
            tyres_nm_per_rad: per_wheel_rate * corners.map(tyre).iter().sum::<f64>(),
        }
    }

    /// Springs and bar on wheels that do not yield, N m per rad of the body over the axle.
    pub fn on_rigid_wheels_nm_per_rad(&self) -> f64 {
        self.springs_nm_per_rad + self.bar_nm_per_rad
    }

    /// Springs and bar in series with the tyres, N m per rad of the body over the ground; 0 where nothing holds it.
    pub fn with_tyres_nm_per_rad(&self) -> f64 {
        let suspension = self.on_rigid_wheels_nm_per_rad();
        let sum = suspension + self.tyres_nm_per_rad;
        if sum > 0.0 { suspension * self.tyres_nm_per_rad / sum } else { 0.0 }
    }
}
