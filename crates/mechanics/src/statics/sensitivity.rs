//! Exact first-order answer of a rest position to any parameter.

use super::body_pose::{HeightRow, dot};
use super::equilibrium::{Vans, other_of};
use super::parameter::CornerAtTravel;
use super::stiffness::Eliminated;
use super::{BodyPose, CORNERS, FourCorners, Parameter, Rest};
use crate::GRAVITY_M_PER_S2;
use crate::elements::ForceAndRate;
use crate::lanes::Lanes;
use crate::linkage::Point;

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

impl Response {
    /// Where a van comes to that was at rest and moves by this.
    pub(super) fn from(&self, rest: &Rest) -> (BodyPose, [f64; CORNERS]) {
        let body = BodyPose {
            heave_m: rest.body.heave_m + self.heave_m,
            pitch_rad: rest.body.pitch_rad + self.pitch_rad,
            roll_rad: rest.body.roll_rad + self.roll_rad,
        };
        (body, std::array::from_fn(|i| rest.travel_m[i] + self.travel_m[i]))
    }
}

/// Sensitivities of one van at one rest position.
///
/// At rest the energy gradient g(u, p) is zero, so du/dp = -(∂g/∂u)⁻¹ ∂g/∂p (implicit function theorem).
#[derive(Debug)]
pub struct Sensitivities<'a> {
    van: &'a FourCorners,
    rest: Rest,
    row: HeightRow,
    corners: [CornerAtRest<'a>; CORNERS],
    /// `None` where the rest position is not isolated.
    eliminated: Option<Eliminated<1>>,
}

/// A corner at rest.
#[derive(Debug)]
struct CornerAtRest<'a> {
    parts: CornerAtTravel<'a>,
    tyre: ForceAndRate,
    wheel_centre: Rise,
    lip: Rise,
}

/// Rise of a point above the ground: by heave, pitch and roll, by the travel of its own wheel and of the other one.
#[derive(Debug)]
struct Rise {
    by_body: [f64; 3],
    by_travel: [f64; 2],
}

impl Rise {
    /// Of a body-fixed point.
    fn of(row: &HeightRow, point_m: Point) -> Self {
        Self { by_body: [1.0, dot(row.r_pitch, point_m), dot(row.r_roll, point_m)], by_travel: [0.0; 2] }
    }

    fn with(&self, d_state: &[f64; 7], corner: usize) -> f64 {
        self.by_body[0] * d_state[0]
            + self.by_body[1] * d_state[1]
            + self.by_body[2] * d_state[2]
            + self.by_travel[0] * d_state[3 + corner]
            + self.by_travel[1] * d_state[3 + other_of(corner)]
    }

    /// Slope of the energy under a force down at the point.
    fn pressed_by(&self, force_n: f64, corner: usize) -> [f64; 7] {
        let mut slope = [0.0; 7];
        for k in 0..3 {
            slope[k] = force_n * self.by_body[k];
        }
        slope[3 + corner] = force_n * self.by_travel[0];
        slope[3 + other_of(corner)] = force_n * self.by_travel[1];
        slope
    }
}

impl<'a> Sensitivities<'a> {
    /// Prepares the sensitivities of `van` at its rest position.
    pub fn at(van: &'a FourCorners, rest: &Rest) -> Self {
        let here = Vans::of([van]).derivatives_at(&rest.state());
        let eliminated = Some(here.stiffness.eliminated()).filter(|eliminated| eliminated.is_regular()[0]);
        let row = rest.body.height_row();
        let corners = std::array::from_fn(|i| {
            let (corner, travel) = (&van.corners[i], rest.axle_travel(i));
            let centre = corner.wheel_centre(travel);
            let deflection_m = corner.tyre.unloaded_radius_m - rest.body.height_of_m(centre.at_m);
            CornerAtRest {
                parts: corner.at_travel(travel),
                tyre: corner.tyre.at_deflection(deflection_m),
                wheel_centre: Rise {
                    by_travel: centre.first.map(|moved| dot(row.r, moved)),
                    ..Rise::of(&row, centre.at_m)
                },
                lip: Rise::of(&row, corner.lip()),
            }
        });
        Self { van, rest: *rest, row, corners, eliminated }
    }

    /// Movement of the rest position per unit of a parameter; zero where the rest position is not isolated.
    pub fn response_to(&self, parameter: Parameter) -> Response {
        let slope = self.gradient_slope(parameter);
        let solved = self.eliminated.map(|stiffness| stiffness.solved(&slope.map(|slope| Lanes([-slope]))));
        let d_state = solved.map_or([0.0; 7], |solved| solved.map(|by_one| by_one.0[0]));
        self.response_of(&d_state, parameter)
    }

    fn response_of(&self, d_state: &[f64; 7], parameter: Parameter) -> Response {
        let mut response = Response {
            heave_m: d_state[0],
            pitch_rad: d_state[1],
            roll_rad: d_state[2],
            ..Response::default()
        };
        for (i, corner) in self.corners.iter().enumerate() {
            let (d_radius_m, d_rate, d_lip_m) = match parameter {
                Parameter::TyreRadius(k) if k == i => (1.0, 0.0, 0.0),
                Parameter::TyreRate(k) if k == i => (0.0, 1.0, 0.0),
                Parameter::LipHeight(k) if k == i => (0.0, 0.0, self.row.r[2]),
                _ => (0.0, 0.0, 0.0),
            };
            let (tyre, d_centre_m) = (corner.tyre, corner.wheel_centre.with(d_state, i));
            response.travel_m[i] = d_state[3 + i];
            response.wheel_centre_height_m[i] = d_centre_m;
            response.wheel_load_n[i] = tyre.rate_n_per_m * (d_radius_m - d_centre_m) + tyre.force_n * d_rate;
            response.arch_height_m[i] = corner.lip.with(d_state, i) + d_lip_m - d_centre_m;
        }
        response
    }

    /// Derivative of the energy gradient with respect to a parameter.
    fn gradient_slope(&self, parameter: Parameter) -> [f64; 7] {
        let pressed_by = |i: usize, force_n: f64| self.corners[i].wheel_centre.pressed_by(force_n, i);
        match parameter {
            Parameter::SeatShift(i)
            | Parameter::BodyShift(i)
            | Parameter::FreeLength(i)
            | Parameter::SpringRate(i)
            | Parameter::SpringRateAtLoad(i, _)
            | Parameter::SpringTravel(i)
            | Parameter::StopStiffness(i)
            | Parameter::StopHeight(i)
            | Parameter::GasForce(i)
            | Parameter::AirPressure(i)
            | Parameter::AddedLeafRate(i)
            | Parameter::AddedLeafTouch(i)
            | Parameter::DamperLength(i)
            | Parameter::BushRate(i)
            | Parameter::BushClamp(i)
            | Parameter::WheelForce(i) => {
                let by_parameter = self.corners[i].parts.force_slope(parameter);
                at_wheels(i, by_parameter)
            }
            Parameter::TyreRate(i) => pressed_by(i, -self.corners[i].tyre.force_n),
            Parameter::TyreRadius(i) => pressed_by(i, -self.corners[i].tyre.rate_n_per_m),
            Parameter::UnsprungMass(i) => pressed_by(i, GRAVITY_M_PER_S2),
            Parameter::LipHeight(_) => [0.0; 7],
            // the force is in proportion to the rate
            Parameter::BarRate(axle) => {
                at_wheels(2 * axle, self.van.bar_slopes(axle, &self.rest.travel_m).first_n())
            }
            Parameter::MassAt(point_m) => Rise::of(&self.row, point_m).pressed_by(GRAVITY_M_PER_S2, 0),
            Parameter::CentreOfGravityHeight => {
                let weight_n = self.van.sprung.mass_kg * GRAVITY_M_PER_S2;
                [0.0, weight_n * self.row.r_pitch[2], weight_n * self.row.r_roll[2], 0.0, 0.0, 0.0, 0.0]
            }
        }
    }
}

/// Slopes by the travel of a wheel and of the other one of its axle.
fn at_wheels(corner: usize, [own, other]: [f64; 2]) -> [f64; 7] {
    let mut slope = [0.0; 7];
    slope[3 + corner] = own;
    slope[3 + other_of(corner)] = other;
    slope
}
