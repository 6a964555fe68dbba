//! Exact first-order answer of a rest position to any parameter.

use super::body_pose::dot;
use super::equilibrium::{Vans, other_of};
use super::stiffness::Eliminated;
use super::{CORNERS, FourCorners, Parameter, Rest};
use crate::lanes::Lanes;

/// How a rest position moves per unit of one parameter.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Response {
    /// Arch height, m per unit.
    pub arch_height_m: [f64; CORNERS],
    /// Wheel load, N per unit.
    pub wheel_load_n: [f64; CORNERS],
    /// Wheel travel, m per unit.
    pub travel_m: [f64; CORNERS],
    /// Height of the wheel centre above ground, m per unit.
    pub wheel_centre_height_m: [f64; CORNERS],
    /// Rise of the body origin, m per unit.
    pub heave_m: f64,
    /// Pitch, nose-down, rad per unit.
    pub pitch_rad: f64,
    /// Roll, left side up, rad per unit.
    pub roll_rad: f64,
}

impl Response {
    /// This response with `share` of another added.
    #[must_use]
    pub fn plus(mut self, other: &Self, share: f64) -> Self {
        for i in 0..CORNERS {
            self.arch_height_m[i] += share * other.arch_height_m[i];
            self.wheel_load_n[i] += share * other.wheel_load_n[i];
            self.travel_m[i] += share * other.travel_m[i];
            self.wheel_centre_height_m[i] += share * other.wheel_centre_height_m[i];
        }
        self.heave_m += share * other.heave_m;
        self.pitch_rad += share * other.pitch_rad;
        self.roll_rad += share * other.roll_rad;
        self
    }
}

/// Sensitivities of one van at one rest position.
///
/// At rest the energy gradient g(u, p) is zero, so du/dp = -(∂g/∂u)⁻¹ ∂g/∂p (implicit function theorem).
#[derive(Debug)]
pub struct Sensitivities<'a> {
    van: &'a FourCorners,
    rest: Rest,
    /// `None` where the rest position is not isolated.
    eliminated: Option<Eliminated<1>>,
}

impl<'a> Sensitivities<'a> {
    /// Prepares the sensitivities of `van` at its rest position.
    pub fn at(van: &'a FourCorners, rest: &Rest) -> Self {
        let here = Vans::of([van]).derivatives_at(&rest.state());
        let eliminated = Some(here.stiffness.eliminated()).filter(|eliminated| eliminated.is_regular()[0]);
        Self { van, rest: *rest, eliminated }
    }

    /// Movement of the rest position per unit of a parameter; zero where the rest position is not isolated.
    pub fn response_to(&self, parameter: Parameter) -> Response {
        let slope = self.van.gradient_slope(parameter, &self.rest);
        let solved = self.eliminated.map(|stiffness| stiffness.solved(&slope.map(|slope| Lanes([-slope]))));
        let d_state = solved.map_or([0.0; 7], |solved| solved.map(|by_one| by_one.0[0]));
        self.response_of(&d_state, parameter)
    }

    fn response_of(&self, d_state: &[f64; 7], parameter: Parameter) -> Response {
        let row = self.rest.body.height_row();
        let mut response = Response {
            heave_m: d_state[0],
            pitch_rad: d_state[1],
            roll_rad: d_state[2],
            ..Response::default()
        };
        for (i, corner) in self.van.corners.iter().enumerate() {
            let centre = corner.wheel_centre(self.rest.axle_travel(i));
            let [by_own, by_other] = centre.first.map(|dp| dot(row.r, dp));
            let lip = corner.lip();
            let rise_of = |point| {
                d_state[0] + d_state[1] * dot(row.r_pitch, point) + d_state[2] * dot(row.r_roll, point)
            };
            let d_centre_m =
                rise_of(centre.at_m) + d_state[3 + i] * by_own + d_state[3 + other_of(i)] * by_other;
            let deflection_m = corner.tyre.unloaded_radius_m - self.rest.wheel_centre_height_m[i];
            let tyre = corner.tyre.at_deflection(deflection_m);
            let (d_radius_m, d_rate) = match parameter {
                Parameter::TyreRadius(k) if k == i => (1.0, 0.0),
                Parameter::TyreRate(k) if k == i => (0.0, 1.0),
                _ => (0.0, 0.0),
            };
            let d_lip_m = if parameter == Parameter::LipHeight(i) { row.r[2] } else { 0.0 };
            response.travel_m[i] = d_state[3 + i];
            response.wheel_centre_height_m[i] = d_centre_m;
            response.wheel_load_n[i] = tyre.rate_n_per_m * (d_radius_m - d_centre_m) + tyre.force_n * d_rate;
            response.arch_height_m[i] = rise_of(lip) + d_lip_m - d_centre_m;
        }
        response
    }
}
