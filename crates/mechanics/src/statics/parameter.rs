//! Everything about a van that may be set, or be other than stated.

use super::{Corner, FourCorners, StopPlace};
use crate::curve::Local2;
use crate::elements::{ForceAndRate, RubberBush, StackForce};
use crate::linkage::{AxleTravel, Point};

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
    /// Gauge pressure that a corner's air spring was filled to, or is held at with its line open, Pa.
    AirPressure(usize),
    /// Rate of a corner's added leaves, relative.
    AddedLeafRate(usize),
    /// Camber of a corner's main leaves at which its added leaves are touched, m.
    AddedLeafTouch(usize),
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
            | Self::AirPressure(i)
            | Self::AddedLeafRate(i)
            | Self::AddedLeafTouch(i)
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
            Parameter::AirPressure(_) => {
                if let Some(air) = &mut self.air {
                    air.fill_higher(amount);
                }
            }
            Parameter::AddedLeafRate(_) => {
                for leaf in &mut self.added_leaves {
                    leaf.rate_n_per_m *= 1.0 + amount;
                }
            }
            Parameter::AddedLeafTouch(_) => {
                for leaf in &mut self.added_leaves {
                    leaf.touched_at_m += amount;
                }
            }
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
}

/// A corner at a travel, and through what its own parameters act there.
#[derive(Debug, Clone, Copy)]
pub struct CornerAtTravel<'a> {
    corner: &'a Corner,
    travel: AxleTravel,
    /// Space between the spring seats.
    space: Local2,
    /// Load of the spring stack, and of all that stands between the seats.
    spring: StackForce,
    seats: ForceAndRate,
    damper_length: Local2,
}

impl Corner {
    /// This corner at a travel.
    pub fn at_travel(&self, travel: AxleTravel) -> CornerAtTravel<'_> {
        let space = self.space_between_seats().at(travel);
        CornerAtTravel {
            corner: self,
            travel,
            space,
            spring: self.spring.at_space(space.value),
            seats: self.between_seats(space.value),
            damper_length: self.length_of_damper().at(travel),
        }
    }
}

impl CornerAtTravel<'_> {
    /// Derivative of the force of [`Corner::forces_at`] with respect to one of the corner's own parameters, at fixed
    /// travel, N per unit.
    pub fn force_slope_in_heave(&self, parameter: Parameter) -> f64 {
        let [own, other] = self.force_slope(parameter);
        own + other
    }

    /// Derivative of the forces on this wheel and on the other one with respect to one of the corner's own parameters,
    /// at fixed travel.
    pub(super) fn force_slope(&self, parameter: Parameter) -> [f64; 2] {
        let Self { corner, travel, ref space, spring, seats, damper_length: ref damper } = *self;
        let along = |force: f64, coordinate: &Local2| coordinate.first.map(|slope| force * slope);
        // forces per metre by which the spring space shortens
        let per_space = along(-spring.rate_n_per_m, space);
        let per_seat = along(-seats.rate_n_per_m, space);
        match parameter {
            Parameter::SeatShift(_) => {
                let seat = sum(per_seat, corner.stop_slope(StopPlace::Spring, travel));
                seat.map(|slope| corner.table.seat_shift_ratio * slope)
            }
            Parameter::BodyShift(_) => {
                let seat = sum(per_seat, corner.stop_slope(StopPlace::Spring, travel));
                let gas = along(-corner.damper.gas_rate_n_per_m, damper);
                let rod = sum(gas, corner.stop_slope(StopPlace::Damper, travel));
                sum(seat.map(|slope| corner.table.seat_shift_ratio * slope), rod)
            }
            Parameter::FreeLength(_) => per_space,
            Parameter::AirPressure(_) => {
                corner.air.as_ref().zip(corner.height_of_air()).map_or([0.0; 2], |(air, height)| {
                    let height = height.at(travel);
                    along(-air.force_per_filling_pressure_n_per_pa(height.value), &height)
                })
            }
            Parameter::AddedLeafRate(_) => along(spring.force_n - seats.force_n, space),
            // touched earlier by a millimetre, each leaf pushes by its rate more
            Parameter::AddedLeafTouch(_) => along(spring.rate_n_per_m - seats.rate_n_per_m, space),
            Parameter::SpringRate(_) if spring.main_rate_n_per_m > 0.0 => {
                // at a fixed space a stiffer main spring is relieved by what is in series with it
                along(-spring.force_n * spring.rate_n_per_m / spring.main_rate_n_per_m, space)
            }
            Parameter::SpringRateAtLoad(i, load_n) if spring.main_rate_n_per_m > 0.0 => {
                // the rate as above, and the free length by -F/R of the main spring at that load
                let at_load = corner.spring.main.compression_under_m(load_n);
                let shorter_m = load_n / corner.spring.main.at_compression(at_load).rate_n_per_m;
                let by_rate = self.force_slope(Parameter::SpringRate(i));
                sum(by_rate, per_space.map(|slope| -shorter_m * slope))
            }
            Parameter::SpringTravel(_) => {
                // the space grows by the travel from design, and so does its slope
                let from_design = corner.spring_from_design().at(travel);
                let by_space = along(seats.rate_n_per_m * from_design.value, space);
                let by_slope = along(-seats.force_n, &from_design);
                sum(sum(by_space, by_slope), corner.stop_in_spring_travel_slope(travel, &from_design))
            }
            Parameter::StopStiffness(_) => {
                corner.stop_state(travel).map_or([0.0; 2], |(stop, c)| along(stop.force_n, &c))
            }
            Parameter::StopHeight(_) => corner.stop_height_slope(travel),
            Parameter::GasForce(_) => along(-1.0, damper),
            Parameter::DamperLength(_) => along(-corner.damper.gas_rate_n_per_m, damper),
            Parameter::BushRate(_) => corner
                .bushes(travel)
                .map_or([0.0; 2], |(bush, twist)| along(bush.rate_nm_per_rad * twist.value, &twist)),
            Parameter::BushClamp(_) => corner.bushes(travel).map_or([0.0; 2], |(bush, twist)| {
                let angle = corner.table.arm_angle_rad.as_ref();
                let clamp = angle.map_or(0.0, |a| a.at(bush.clamped_at_travel_m).slope);
                along(-bush.rate_nm_per_rad * clamp, &twist)
            }),
            Parameter::WheelForce(_) => [1.0, 0.0],
            _ => [0.0; 2],
        }
    }
}

impl Corner {
    /// Bushes and their twist, where there are any and the arm's angle is known.
    fn bushes(&self, travel: AxleTravel) -> Option<(RubberBush, Local2)> {
        Some((self.bush?, self.twist_of_bushes()?.at(travel)))
    }

    /// Stop force with its rate, and the stop's compression, where there is a stop.
    fn stop_state(&self, travel: AxleTravel) -> Option<(ForceAndRate, Local2)> {
        let fitted = self.stop.as_ref()?;
        let compression = self.stop_compression(fitted, travel);
        Some((fitted.stop.at_compression(compression.value), compression))
    }

    /// Forces per metre by which a stop at `place` is squeezed further; zero where it sits elsewhere.
    fn stop_slope(&self, place: StopPlace, travel: AxleTravel) -> [f64; 2] {
        if self.stop.as_ref().is_none_or(|fitted| fitted.place != place) {
            return [0.0; 2];
        }
        self.stop_state(travel)
            .map_or([0.0; 2], |(stop, compression)| compression.first.map(|slope| stop.rate_n_per_m * slope))
    }

    fn stop_in_spring_travel_slope(&self, travel: AxleTravel, from_design: &Local2) -> [f64; 2] {
        let in_spring = self.stop.as_ref().is_some_and(|fitted| fitted.place == StopPlace::Spring);
        let Some((stop, compression)) = self.stop_state(travel).filter(|_| in_spring) else {
            return [0.0; 2];
        };
        std::array::from_fn(|k| {
            -stop.rate_n_per_m * from_design.value * compression.first[k]
                - stop.force_n * from_design.first[k]
        })
    }

    /// A taller stop is met earlier and is softer: F = f(c H/h), c grows with h.
    fn stop_height_slope(&self, travel: AxleTravel) -> [f64; 2] {
        let (Some((stop, compression)), Some(fitted)) = (self.stop_state(travel), &self.stop) else {
            return [0.0; 2];
        };
        let softer = 1.0 - compression.value.max(0.0) / fitted.stop.height_m;
        compression.first.map(|slope| stop.rate_n_per_m * softer * slope)
    }
}

fn sum(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    [a[0] + b[0], a[1] + b[1]]
}
