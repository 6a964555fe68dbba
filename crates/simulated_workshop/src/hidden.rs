//! What is hidden about a van: every way in which it differs from its sheets. See the table in the crate's
//! documentation; the figures here are that table.

use nalgebra::Vector3;

use crate::chance::Chance;
use crate::sheet::{Vehicle, metres};
use crate::truth::Mass;

/// Deviations of one set of springs, stops and dampers; corner and axle order as everywhere.
#[derive(Debug, Clone)]
pub struct PartErrors {
    /// Factor on each spring's rate.
    pub spring_rate: [f64; 4],
    /// Longer free length of each spring, m; sag is negative.
    pub free_length_m: [f64; 4],
    /// Factor on the stops' force.
    pub stop_stiffness: [f64; 2],
    /// Higher stop, m.
    pub stop_height_m: [f64; 2],
    /// More gas force, N.
    pub gas_n: [f64; 2],
}

impl Default for PartErrors {
    fn default() -> Self {
        Self {
            spring_rate: [1.0; 4],
            free_length_m: [0.0; 4],
            stop_stiffness: [1.0; 2],
            stop_height_m: [0.0; 2],
            gas_n: [0.0; 2],
        }
    }
}

/// All deviations of a van.
#[derive(Debug, Clone)]
pub struct Hidden {
    /// Of the parts it came with.
    pub original: PartErrors,
    /// Of the kit's parts.
    pub kit: PartErrors,
    /// Each hardpoint of each corner, m.
    pub hardpoint_m: [[Vector3<f64>; 9]; 4],
    /// Wheel-arch lips, m upward.
    pub lip_m: [f64; 4],
    /// Factor on each tyre's rate.
    pub tyre_rate: [f64; 4],
    /// Each tyre's radius, m.
    pub tyre_radius_m: [f64; 4],
    /// Factor on the bushes of an axle.
    pub bush_rate: [f64; 2],
    /// Factor on a bar.
    pub bar_rate: [f64; 2],
    /// Travel at which the bushes were clamped as found, m.
    pub original_clamp_m: [f64; 2],
    /// Travel off the ride height at which they are clamped anew, m.
    pub reclamp_m: [f64; 2],
    /// Factor on the friction of an axle.
    pub friction: [f64; 2],
    /// Each collar off where it is said to be, m.
    pub collar_m: [f64; 4],
    /// Masses that no list holds.
    pub masses: Vec<Mass>,
    /// Higher centre of gravity, m.
    pub centre_of_gravity_m: f64,
}

impl Default for Hidden {
    fn default() -> Self {
        Self {
            original: PartErrors::default(),
            kit: PartErrors::default(),
            hardpoint_m: [[Vector3::zeros(); 9]; 4],
            lip_m: [0.0; 4],
            tyre_rate: [1.0; 4],
            tyre_radius_m: [0.0; 4],
            bush_rate: [1.0; 2],
            bar_rate: [1.0; 2],
            original_clamp_m: [0.0; 2],
            reclamp_m: [0.0; 2],
            friction: [1.0; 2],
            collar_m: [0.0; 4],
            masses: Vec::new(),
            centre_of_gravity_m: 0.0,
        }
    }
}

impl PartErrors {
    fn drawn(chance: &mut Chance, used: bool) -> Self {
        let mut parts = Self::default();
        for axle in 0..2 {
            let pair = 1.0 + chance.triangular(0.06);
            let sag_m = if used { 1e-3 * chance.lognormal(3.5, 0.6) } else { 0.0 };
            for i in [2 * axle, 2 * axle + 1] {
                parts.spring_rate[i] = pair + chance.uniform(0.015);
                let side_m = if used { chance.uniform(1e-3) } else { 0.0 };
                parts.free_length_m[i] = chance.uniform(2.5e-3) + side_m - sag_m;
            }
            parts.stop_stiffness[axle] = chance.lognormal(1.0, 0.09);
            parts.stop_height_m[axle] = chance.uniform(1.5e-3);
            parts.gas_n[axle] = chance.triangular(60.0);
        }
        parts
    }
}

impl Hidden {
    /// A van drawn from the table.
    pub fn drawn(chance: &mut Chance, vehicle: &Vehicle) -> Self {
        let mut hidden = Self {
            original: PartErrors::drawn(chance, true),
            kit: PartErrors::drawn(chance, false),
            ..Self::default()
        };
        for i in 0..4 {
            for point in &mut hidden.hardpoint_m[i] {
                *point = Vector3::from_fn(|_, _| chance.uniform(2e-3));
            }
            hidden.lip_m[i] = chance.uniform(3e-3);
            hidden.collar_m[i] = chance.uniform(0.5e-3);
        }
        for axle in 0..2 {
            let rate = chance.lognormal(1.0, 0.07);
            let radius_m = chance.triangular(5.5e-3);
            for i in [2 * axle, 2 * axle + 1] {
                hidden.tyre_rate[i] = rate + chance.uniform(0.02);
                hidden.tyre_radius_m[i] = radius_m + chance.uniform(0.7e-3);
            }
            hidden.bush_rate[axle] = chance.lognormal(1.0, 0.15);
            hidden.bar_rate[axle] = chance.lognormal(1.0, 0.06);
            hidden.original_clamp_m[axle] = chance.triangular(18e-3);
            hidden.reclamp_m[axle] = chance.triangular(6e-3);
            hidden.friction[axle] = chance.lognormal(1.0, 0.15);
        }
        hidden.centre_of_gravity_m = chance.uniform(0.05);
        hidden.draw_masses(chance, vehicle);
        hidden
    }

    /// The bare van off its sheet, and up to three things in the load bay that nobody thought of.
    fn draw_masses(&mut self, chance: &mut Chance, vehicle: &Vehicle) {
        let order = &vehicle.running_order;
        let z = order.centre_of_gravity_height_mm;
        let axles = [(0.0, order.front_axle_kg), (-vehicle.wheelbase_mm, order.rear_axle_kg)];
        for (x, kg) in axles {
            let side_mm = chance.uniform(250.0);
            self.masses.push((kg * chance.uniform(0.018), metres([x, side_mm, z])));
        }
        self.masses.extend(things_in_the_load_bay(chance, 3));
    }
}

/// Up to so many things that nobody listed, lighter ones likelier.
pub fn things_in_the_load_bay(chance: &mut Chance, most: usize) -> Vec<Mass> {
    (0..chance.index(most + 1))
        .map(|_| {
            let kg = 1.0 + 24.0 * chance.share() * chance.share();
            let at =
                [-900.0 - 2600.0 * chance.share(), chance.uniform(700.0), 400.0 + 800.0 * chance.share()];
            (kg, metres(at))
        })
        .collect()
}
