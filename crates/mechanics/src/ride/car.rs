//! The van as ride sees it: a rigid body on four wheels, about its place of rest.

use super::Lanes;
use crate::statics::CORNERS;

/// Masses, places and tyres of `N` vans side by side; what stands between body and wheels is given apart.
///
/// Seven degrees of freedom about rest: heave z of the centre of gravity of the sprung mass (up), pitch θ (nose down),
/// roll φ (left side up), and the height of each wheel. The body over wheel i rises by `z - x_i θ + y_i φ`, small angles
/// (Gillespie, Fundamentals of Vehicle Dynamics, ch. 5; signs of ISO 8855). Wheels and parts of an axle are taken alike
/// left and right; the centre of gravity may stand off the centre plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Car<const N: usize> {
    /// Sprung mass, kg.
    pub sprung_mass_kg: Lanes<N>,
    /// Moment of inertia of the sprung mass about its lateral axis through its centre of gravity, kg m².
    pub pitch_inertia_kg_m2: Lanes<N>,
    /// Moment of inertia of the sprung mass about its longitudinal axis through its centre of gravity, kg m².
    pub roll_inertia_kg_m2: Lanes<N>,
    /// Wheels of the front and the rear axle ahead of the centre of gravity, m.
    pub wheel_x_m: [Lanes<N>; 2],
    /// Wheels to the left of the centre of gravity, m.
    pub wheel_y_m: [Lanes<N>; CORNERS],
    /// Unsprung mass of one wheel of the front and the rear axle, kg.
    pub unsprung_mass_kg: [Lanes<N>; 2],
    /// Rate of one tyre of the front and the rear axle at its static load, N/m.
    pub tyre_rate_n_per_m: [Lanes<N>; 2],
    /// Moment with which gravity tips a pitched and a rolled body further, N m/rad: 0 leaves it out.
    pub tipping_nm_per_rad: [Lanes<N>; 2],
}

/// A place on the body, from the centre of gravity of the sprung mass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BodyPoint<const N: usize> {
    /// Ahead of it, m.
    pub x_m: Lanes<N>,
    /// To the left of it, m.
    pub y_m: Lanes<N>,
}

impl<const N: usize> Car<N> {
    /// Single vans side by side.
    pub fn side_by_side(cars: [Car<1>; N]) -> Self {
        let lanes =
            |of: &dyn Fn(&Car<1>) -> Lanes<1>| Lanes(std::array::from_fn(|lane| of(&cars[lane]).0[0]));
        Self {
            sprung_mass_kg: lanes(&|car| car.sprung_mass_kg),
            pitch_inertia_kg_m2: lanes(&|car| car.pitch_inertia_kg_m2),
            roll_inertia_kg_m2: lanes(&|car| car.roll_inertia_kg_m2),
            wheel_x_m: [0, 1].map(|axle| lanes(&|car| car.wheel_x_m[axle])),
            wheel_y_m: std::array::from_fn(|i| lanes(&|car| car.wheel_y_m[i])),
            unsprung_mass_kg: [0, 1].map(|axle| lanes(&|car| car.unsprung_mass_kg[axle])),
            tyre_rate_n_per_m: [0, 1].map(|axle| lanes(&|car| car.tyre_rate_n_per_m[axle])),
            tipping_nm_per_rad: [0, 1].map(|axis| lanes(&|car| car.tipping_nm_per_rad[axis])),
        }
    }
    /// Wheelbase, m, of the first case: vans side by side have the same.
    pub fn wheelbase_m(&self) -> f64 {
        self.wheel_x_m[0].0.first().zip(self.wheel_x_m[1].0.first()).map_or(0.0, |(front, rear)| front - rear)
    }

    /// Quarter cars: two axles that do not move each other, the body being as two masses over them. On tracks that are
    /// alike each wheel with its quarter of the body moves as a quarter car. [`Car::over_front_axle`] is a place for its
    /// body.
    pub fn of_quarters(
        sprung_mass_kg: Lanes<N>,
        unsprung_mass_kg: Lanes<N>,
        tyre_rate_n_per_m: Lanes<N>,
    ) -> Self {
        let one = Lanes::splat(1.0);
        let all_kg = sprung_mass_kg * 4.0;
        Self {
            sprung_mass_kg: all_kg,
            pitch_inertia_kg_m2: all_kg,
            roll_inertia_kg_m2: all_kg,
            wheel_x_m: [one, -one],
            wheel_y_m: [one, -one, one, -one],
            unsprung_mass_kg: [unsprung_mass_kg; 2],
            tyre_rate_n_per_m: [tyre_rate_n_per_m; 2],
            tipping_nm_per_rad: [Lanes::splat(0.0); 2],
        }
    }

    /// The body over the front axle of [`Car::of_quarters`], on the centre plane.
    pub fn over_front_axle() -> BodyPoint<N> {
        BodyPoint { x_m: Lanes::splat(1.0), y_m: Lanes::splat(0.0) }
    }
}
