//! Everything about a van that may be set, or be other than stated.

use super::body_pose::dot;
use super::equilibrium::{State, from_state};
use super::{Corner, FourCorners, StopPlace};
use crate::GRAVITY_M_PER_S2;
use crate::elements::ForceAndRate;
use crate::linkage::Point;

/// One quantity of a van that can be changed by a small amount.
///
/// The amount is in the unit named; relative ones are shares (0.01 is one percent more).
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Parameter {
    /// Collar (spring seat) of a corner, m, up.
    SeatShift(usize),
    /// Damper body of a corner in its carrier, m, up.
    BodyShift(usize),
    /// Free length of a corner's main spring, m.
    FreeLength(usize),
    /// Rate of a corner's main spring, relative.
    SpringRate(usize),
    /// Rate of a corner's main spring, relative, its length under the given load (N) unchanged.
    SpringRateAtLoad(usize, f64),
    /// Spring travel per wheel travel of a corner, relative.
    SpringTravel(usize),
    /// Stiffness of a corner's bump stop, relative.
    StopStiffness(usize),
    /// Remaining height of a corner's bump stop, m.
    StopHeight(usize),
    /// Gas force of a corner's damper, N.
    GasForce(usize),
    /// Open and closed length of a corner's damper together, m.
    DamperLength(usize),
    /// Rate of a corner's rubber bushes, relative.
    BushRate(usize),
    /// Wheel travel at which a corner's bushes were clamped, m.
    BushClamp(usize),
    /// Vertical force at a wheel that lifts the body (friction), N.
    WheelForce(usize),
    /// Rate of a tyre, relative.
    TyreRate(usize),
    /// Unloaded radius of a tyre, m.
    TyreRadius(usize),
    /// Unsprung mass of a corner, kg.
    UnsprungMass(usize),
    /// Height of the wheel-arch lip above where the sheet has it, m.
    LipHeight(usize),
    /// Rate of the anti-roll bar of an axle, relative.
    BarRate(usize),
    /// Mass added to the sprung mass at a point in body axes, kg.
    MassAt(Point),
    /// Height of the sprung mass's centre of gravity, m.
    CentreOfGravityHeight,
}

impl Parameter {
    /// The corner whose own part the parameter changes; `None` for those of the whole van.
    pub fn corner(self) -> Option<usize> {
        match self {
            Self::SeatShift(i)
            | Self::BodyShift(i)
            | Self::FreeLength(i)
            | Self::SpringRate(i)
            | Self::SpringRateAtLoad(i, _)
            | Self::SpringTravel(i)
            | Self::StopStiffness(i)
            | Self::StopHeight(i)
            | Self::GasForce(i)
            | Self::DamperLength(i)
            | Self::BushRate(i)
            | Self::BushClamp(i)
            | Self::WheelForce(i)
            | Self::TyreRate(i)
            | Self::TyreRadius(i)
            | Self::UnsprungMass(i)
            | Self::LipHeight(i) => Some(i),
            Self::BarRate(_) | Self::MassAt(_) | Self::CentreOfGravityHeight => None,
        }
    }
}

impl Corner {
    /// Changes one of the corner's own parameters by `amount`; those of the whole van leave it as it is.
    pub fn change(&mut self, parameter: Parameter, amount: f64) {
        match parameter {
            Parameter::SeatShift(_) => self.seat_shift_m += amount,
            Parameter::BodyShift(_) => self.body_shift_m += amount,
            Parameter::FreeLength(_) => self.spring.main.free_length_m += amount,
            Parameter::SpringRate(_) => {
                let main = &mut self.spring.main;
                *main = main.with_rate_factor(1.0 + amount);
            }
            Parameter::SpringRateAtLoad(_, load_n) => {
                self.spring.main = self.spring.main.with_rate_factor_at_load(1.0 + amount, load_n);
            }
            Parameter::SpringTravel(_) => self.spring_travel_factor += amount,
            Parameter::StopStiffness(_) => {
                if let Some(fitted) = &mut self.stop {
                    fitted.stop.stiffness_factor *= 1.0 + amount;
                }
            }
            Parameter::StopHeight(_) => {
                if let Some(fitted) = &mut self.stop {
                    fitted.stop.height_m += amount;
                }
            }
            Parameter::GasForce(_) => self.damper.gas_force_n += amount,
            Parameter::DamperLength(_) => {
                self.damper.open_length_m += amount;
                self.damper.closed_length_m += amount;
            }
            Parameter::BushRate(_) => {
                if let Some(bush) = &mut self.bush {
                    bush.rate_nm_per_rad *= 1.0 + amount;
                }
            }
            Parameter::BushClamp(_) => {
                if let Some(bush) = &mut self.bush {
                    bush.clamped_at_travel_m += amount;
                }
            }
            Parameter::WheelForce(_) => self.wheel_force_n += amount,
            Parameter::TyreRate(_) => {
                let tyre = &mut self.tyre;
                tyre.rate_n_per_m *= 1.0 + amount;
                tyre.rate_growth_n_per_m2 *= 1.0 + amount;
            }
            Parameter::TyreRadius(_) => self.tyre.unloaded_radius_m += amount,
            Parameter::UnsprungMass(_) => self.unsprung_mass_kg += amount,
            Parameter::LipHeight(_) => self.lip_m[2] += amount,
            Parameter::BarRate(_) | Parameter::MassAt(_) | Parameter::CentreOfGravityHeight => {}
        }
    }
}

impl FourCorners {
    /// The same van with one parameter changed by `amount`.
    #[must_use]
    pub fn with(&self, parameter: Parameter, amount: f64) -> Self {
        let mut van = self.clone();
        van.change(parameter, amount);
        van
    }

    /// Changes one parameter by `amount`.
    pub fn change(&mut self, parameter: Parameter, amount: f64) {
        if let Some(i) = parameter.corner() {
            self.corners[i].change(parameter, amount);
        }
        match parameter {
            Parameter::BarRate(axle) => {
                if let Some(super::FittedBar::ThroughLinks(bar) | super::FittedBar::AtTheAxle { bar, .. }) =
                    &mut self.bars[axle]
                {
                    bar.rate_nm_per_rad *= 1.0 + amount;
                }
            }
            Parameter::MassAt(point_m) => {
                let (old, cg) = (self.sprung.mass_kg, &mut self.sprung.centre_of_gravity_m);
                let mass_kg = old + amount;
                for axis in 0..3 {
                    cg[axis] = (old * cg[axis] + amount * point_m[axis]) / mass_kg;
                }
                self.sprung.mass_kg = mass_kg;
            }
            Parameter::CentreOfGravityHeight => self.sprung.centre_of_gravity_m[2] += amount,
            _ => {}
        }
    }

    /// Derivative of the energy gradient with respect to a parameter, at fixed state.
    pub(super) fn gradient_slope(&self, parameter: Parameter, state: &State) -> State {
        let (body, travel_m) = from_state(state);
        let row = body.height_row();
        let mut slope = State::zeros();
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
            | Parameter::DamperLength(i)
            | Parameter::BushRate(i)
            | Parameter::BushClamp(i)
            | Parameter::WheelForce(i) => slope[3 + i] = self.force_slope(parameter, i, travel_m[i]),
            Parameter::TyreRate(i) | Parameter::TyreRadius(i) | Parameter::UnsprungMass(i) => {
                let corner = &self.corners[i];
                let [p, dp, _] = corner.wheel_centre(travel_m[i]);
                let tyre = corner.tyre.at_deflection(corner.tyre.unloaded_radius_m - body.height_of_m(p));
                let net_slope = match parameter {
                    Parameter::TyreRate(_) => -tyre.force_n,
                    Parameter::TyreRadius(_) => -tyre.rate_n_per_m,
                    _ => GRAVITY_M_PER_S2,
                };
                slope[0] = net_slope;
                slope[1] = net_slope * dot(row.r_pitch, p);
                slope[2] = net_slope * dot(row.r_roll, p);
                slope[3 + i] = net_slope * dot(row.r, dp);
            }
            Parameter::LipHeight(_) => {}
            Parameter::BarRate(axle) => {
                if let Some(fitted) = &self.bars[axle] {
                    let (rate_nm_per_rad, left, right) = self.bar_twist(fitted, 2 * axle, &travel_m);
                    let torque_nm = rate_nm_per_rad * (left.value - right.value);
                    slope[3 + 2 * axle] = torque_nm * left.slope;
                    slope[4 + 2 * axle] = -torque_nm * right.slope;
                }
            }
            Parameter::MassAt(point_m) => {
                slope[0] = GRAVITY_M_PER_S2;
                slope[1] = GRAVITY_M_PER_S2 * dot(row.r_pitch, point_m);
                slope[2] = GRAVITY_M_PER_S2 * dot(row.r_roll, point_m);
            }
            Parameter::CentreOfGravityHeight => {
                let weight_n = self.sprung.mass_kg * GRAVITY_M_PER_S2;
                slope[1] = weight_n * row.r_pitch[2];
                slope[2] = weight_n * row.r_roll[2];
            }
        }
        slope
    }

    /// Derivative of a corner's wheel force with respect to one of its own parameters, at fixed travel.
    fn force_slope(&self, parameter: Parameter, i: usize, travel_m: f64) -> f64 {
        let corner = &self.corners[i];
        let space = corner.spring_space(travel_m);
        let spring = corner.spring.at_space(space.value);
        // force on the wheel per metre by which the spring space shortens
        let per_space = -spring.rate_n_per_m * space.slope;
        let damper = corner.damper_length(travel_m);
        match parameter {
            Parameter::SeatShift(_) => {
                corner.table.seat_shift_ratio * (per_space + self.stop_in_spring_slope(i, travel_m))
            }
            Parameter::BodyShift(_) => {
                corner.table.seat_shift_ratio * (per_space + self.stop_in_spring_slope(i, travel_m))
                    - corner.damper.gas_rate_n_per_m * damper.slope
                    + self.stop_on_damper_slope(i, travel_m)
            }
            Parameter::FreeLength(_) => per_space,
            Parameter::SpringRate(_) if spring.main_rate_n_per_m > 0.0 => {
                // at a fixed space a stiffer main spring is relieved by what is in series with it
                -spring.force_n * spring.rate_n_per_m / spring.main_rate_n_per_m * space.slope
            }
            Parameter::SpringRateAtLoad(_, load_n) if spring.main_rate_n_per_m > 0.0 => {
                // the rate as above, and the free length by -F/R of the main spring at that load
                let at_load = corner.spring.main.compression_under_m(load_n);
                let shorter_m = load_n / corner.spring.main.at_compression(at_load).rate_n_per_m;
                self.force_slope(Parameter::SpringRate(i), i, travel_m) - shorter_m * per_space
            }
            Parameter::SpringTravel(_) => {
                let length = corner.table.spring_length_m.at(travel_m);
                let from_design_m = length.value - corner.table.spring_length_m.at(0.0).value;
                spring.rate_n_per_m * from_design_m * space.slope - spring.force_n * length.slope
                    + self.stop_in_spring_travel_slope(i, travel_m, from_design_m)
            }
            Parameter::StopStiffness(_) => corner.forces_at(travel_m).stop_n,
            Parameter::StopHeight(_) => self.stop_height_slope(i, travel_m),
            Parameter::GasForce(_) => -damper.slope,
            Parameter::DamperLength(_) => -corner.damper.gas_rate_n_per_m * damper.slope,
            Parameter::BushRate(_) => corner.forces_at(travel_m).bush_n,
            Parameter::BushClamp(_) => corner.bush_twist(travel_m).map_or(0.0, |(twist, bush)| {
                let clamp =
                    corner.table.arm_angle_rad.as_ref().map_or(0.0, |a| a.at(bush.clamped_at_travel_m).slope);
                -bush.rate_nm_per_rad * clamp * twist.slope
            }),
            Parameter::WheelForce(_) => 1.0,
            _ => 0.0,
        }
    }

    /// Stop force and rate, compression slope, place; zero where there is no stop.
    fn stop_state(&self, i: usize, travel_m: f64) -> Option<(ForceAndRate, crate::curve::Local, StopPlace)> {
        let fitted = self.corners[i].stop.as_ref()?;
        let compression = self.corners[i].stop_compression(fitted, travel_m);
        Some((fitted.stop.at_compression(compression.value), compression, fitted.place))
    }

    /// Wheel force per metre by which the seats approach, from a stop inside the spring.
    fn stop_in_spring_slope(&self, i: usize, travel_m: f64) -> f64 {
        match self.stop_state(i, travel_m) {
            Some((stop, compression, StopPlace::Spring)) => stop.rate_n_per_m * compression.slope,
            _ => 0.0,
        }
    }

    fn stop_on_damper_slope(&self, i: usize, travel_m: f64) -> f64 {
        match self.stop_state(i, travel_m) {
            Some((stop, compression, StopPlace::Damper)) => stop.rate_n_per_m * compression.slope,
            _ => 0.0,
        }
    }

    fn stop_in_spring_travel_slope(&self, i: usize, travel_m: f64, from_design_m: f64) -> f64 {
        let length_slope = self.corners[i].table.spring_length_m.at(travel_m).slope;
        match self.stop_state(i, travel_m) {
            Some((stop, compression, StopPlace::Spring)) => {
                -stop.rate_n_per_m * from_design_m * compression.slope - stop.force_n * length_slope
            }
            _ => 0.0,
        }
    }

    /// A taller stop is met earlier and is softer: F = f(c H/h), c grows with h.
    fn stop_height_slope(&self, i: usize, travel_m: f64) -> f64 {
        let Some(fitted) = &self.corners[i].stop else { return 0.0 };
        let compression = self.corners[i].stop_compression(fitted, travel_m);
        let stop = fitted.stop.at_compression(compression.value);
        stop.rate_n_per_m * (1.0 - compression.value.max(0.0) / fitted.stop.height_m) * compression.slope
    }
}
