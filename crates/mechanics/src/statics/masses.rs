//! Masses and their moments: axle loads, corner loads, centre of gravity.

use super::{CORNERS, SprungMass};
use crate::linkage::Point;

/// A mass at a point in body axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PointMass {
    /// Mass, kg.
    pub mass_kg: f64,
    /// Position in body axes, m: x forward from the front axle line, y left, z up from the design ground.
    pub at_m: Point,
}

/// Load on each axle, kg.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct AxleLoads {
    /// Front axle, kg.
    pub front_kg: f64,
    /// Rear axle, kg.
    pub rear_kg: f64,
}

impl AxleLoads {
    /// Axle loads of a set of masses on level ground, by moments about the axles.
    ///
    /// A mass at x (forward of the front axle line) puts -x/L of itself on the rear axle.
    pub fn of(masses: &[PointMass], wheelbase_m: f64) -> Self {
        masses.iter().fold(Self::default(), |sum, mass| {
            let rear_kg = mass.mass_kg * -mass.at_m[0] / wheelbase_m;
            Self { front_kg: sum.front_kg + mass.mass_kg - rear_kg, rear_kg: sum.rear_kg + rear_kg }
        })
    }

    /// Sum of both axles, kg.
    pub fn total_kg(&self) -> f64 {
        self.front_kg + self.rear_kg
    }
}

/// Load on each wheel, kg, in corner order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CornerLoads(
    /// Front left, front right, rear left, rear right, kg.
    pub [f64; CORNERS],
);

impl CornerLoads {
    /// The sprung mass that, with the unsprung masses, puts these loads on the ground, with its centre of gravity
    /// at a given height.
    ///
    /// `wheels_m` are the wheel centres at design height. Lateral position follows from the left-right loads
    /// of each axle; the diagonal difference has no part in it.
    pub fn sprung_mass(
        &self,
        unsprung_kg: [f64; CORNERS],
        wheels_m: [Point; CORNERS],
        centre_of_gravity_height_m: f64,
    ) -> SprungMass {
        let sprung: [f64; CORNERS] = std::array::from_fn(|i| self.0[i] - unsprung_kg[i]);
        let mass_kg: f64 = sprung.iter().sum();
        let moment = |axis: usize| (0..CORNERS).map(|i| sprung[i] * wheels_m[i][axis]).sum::<f64>() / mass_kg;
        SprungMass { mass_kg, centre_of_gravity_m: [moment(0), moment(1), centre_of_gravity_height_m] }
    }
}

/// Centre of gravity of a set of masses, m; `None` when their sum is not positive.
pub fn centre_of_gravity_m(masses: &[PointMass]) -> Option<Point> {
    let total_kg: f64 = masses.iter().map(|m| m.mass_kg).sum();
    (total_kg > 0.0).then(|| {
        std::array::from_fn(|axis| masses.iter().map(|m| m.mass_kg * m.at_m[axis]).sum::<f64>() / total_kg)
    })
}

/// Height of the centre of gravity from weighing the front axle level and with the rear axle lifted, suspension
/// locked: h = r + (W_f' - W_f) L / (W tan θ).
///
/// `slope_rad` is the slope of the line through the wheel centres. A reading error of 5 kg moves the result by
/// centimetres: show an interval.
pub fn centre_of_gravity_height_by_lifting_m(
    total_kg: f64,
    front_level_kg: f64,
    front_lifted_kg: f64,
    wheelbase_m: f64,
    wheel_radius_m: f64,
    slope_rad: f64,
) -> f64 {
    wheel_radius_m + (front_lifted_kg - front_level_kg) * wheelbase_m / (total_kg * slope_rad.tan())
}
