//! Where the demo's ramp readings come from: a hidden truth about each van, by a rule of thumb of its own. Nothing of
//! the prediction is used, so that what is predicted and what was "read" agree only as far as such vans do.
//!
//! For a corner of an axle with spring rate k at the wheel:
//!
//! `found = original + lip - sag - load * g / (2 k)`,
//! `after = found - drop * (1 + kit's own error) - settling + gain * collar`,
//! `reading = rest + friction + error`, rounded to whole millimetres.
//!
//! Lips, sag, unlisted load, rates and a kit's error are drawn once per van (the kit's part once per kit); friction and
//! reading error anew for each reading.

use rand::rngs::StdRng;
use rand::{RngExt, SeedableRng};
use rand_distr::{Distribution, Normal};

const G_M_PER_S2: f64 = 9.81;

/// One van as it truly is; nobody in the workshop knows it.
pub(super) struct HiddenVan {
    /// Arch heights at rest before work, mm.
    found_mm: [f64; 4],
    /// What the kit truly does at each corner, mm, downwards.
    drop_mm: [f64; 4],
    /// Arch millimetres per collar millimetre, front and rear.
    gain: [f64; 2],
    /// Half the friction band, mm.
    friction_mm: f64,
}

fn normal(random: &mut StdRng, mean: f64, sd: f64) -> f64 {
    Normal::new(mean, sd).map_or(mean, |normal| normal.sample(random))
}

impl HiddenVan {
    /// Draws a van with a kit that is sold as so many millimetres lower in front and at the rear.
    pub(super) fn draw(random: &mut StdRng, kit: &str, sold_as_mm: [f64; 2]) -> Self {
        let mut of_the_kit =
            StdRng::seed_from_u64(kit.bytes().fold(7, |sum, byte| sum * 31 + u64::from(byte)));
        let kit_error = [normal(&mut of_the_kit, 0.0, 0.12), normal(&mut of_the_kit, 0.0, 0.12)];
        let original_mm = [normal(random, 446.0, 3.0), normal(random, 442.0, 4.0)];
        let rate_n_per_mm = [normal(random, 30.0, 1.5), normal(random, 48.0, 3.0)];
        let sag_mm = [normal(random, 3.0, 2.0).max(0.0), normal(random, 5.0, 3.0).max(0.0)];
        let load_kg = [normal(random, 20.0, 25.0), normal(random, 160.0, 80.0)];
        let mut van = Self {
            found_mm: [0.0; 4],
            drop_mm: [0.0; 4],
            gain: [normal(random, 1.05, 0.03), normal(random, 0.95, 0.05)],
            friction_mm: random.random_range(1.5..3.5),
        };
        for corner in 0..4 {
            let axle = corner / 2;
            let lip_mm = normal(random, 0.0, 2.0);
            let sinks_mm = load_kg[axle] * G_M_PER_S2 / (2.0 * rate_n_per_mm[axle]);
            van.found_mm[corner] = original_mm[axle] + lip_mm - sag_mm[axle] - sinks_mm;
            van.drop_mm[corner] = sold_as_mm[axle] * (1.0 + kit_error[axle]) + normal(random, 1.5, 1.5);
        }
        van
    }

    /// Heights as read before work, mm.
    pub(super) fn read_as_found(&self, random: &mut StdRng) -> [f64; 4] {
        self.read(random, self.found_mm)
    }

    /// Heights as read with the kit in and collars turned up by so much from where the sheet had them, mm.
    pub(super) fn read_fitted(&self, random: &mut StdRng, turned_up_mm: [f64; 2]) -> [f64; 4] {
        let at_rest = std::array::from_fn(|corner| {
            let axle = corner / 2;
            self.found_mm[corner] - self.drop_mm[corner] + self.gain[axle] * turned_up_mm[axle]
        });
        self.read(random, at_rest)
    }

    fn read(&self, random: &mut StdRng, at_rest_mm: [f64; 4]) -> [f64; 4] {
        at_rest_mm.map(|rest_mm| {
            let friction_mm = random.random_range(-self.friction_mm..self.friction_mm);
            (rest_mm + friction_mm + normal(random, 0.0, 0.7)).round().clamp(150.0, 900.0)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_same_seed_reads_alike_and_a_lower_kit_reads_lower() {
        let read = |sold_as_mm| {
            let mut random = StdRng::seed_from_u64(3);
            let van = HiddenVan::draw(&mut random, "any", sold_as_mm);
            (van.read_as_found(&mut random), van.read_fitted(&mut random, [0.0; 2]))
        };
        assert_eq!(read([30.0, 30.0]), read([30.0, 30.0]));
        let (found, fitted) = read([60.0, 60.0]);
        assert!(found.iter().zip(fitted).all(|(found, fitted)| found - fitted > 25.0));
    }
}
