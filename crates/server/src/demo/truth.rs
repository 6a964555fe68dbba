//! Where the demo's ramp readings come from: a hidden truth about each van, by a rule of thumb of its own. Nothing of
//! the prediction is used, so that what is predicted and what was "read" agree only as far as such vans do.
//!
//! For a corner of an axle with spring rate k at the wheel, taken as half of what the plate allows over a usual travel:
//!
//! `found = original + lip - sag - (listed + unlisted) * g / (2 k)`,
//! `after = found - drop * (1 + kit's own error) - settling + gain * collar`,
//! `reading = rest + friction + error`, rounded to whole millimetres.
//!
//! The original heights are those of the vehicle sheet give or take a van's own, and what is listed is shared between
//! the axles by its lever: a heavier van reads lower. Lips, sag, unlisted load, rates and a kit's error are drawn once per
//! van (the kit's part once per kit); friction and reading error anew for each reading.

use rand::rngs::StdRng;
use rand::{RngExt, SeedableRng};
use rand_distr::{Distribution, Normal};

const G_M_PER_S2: f64 = 9.81;

/// Wheel travel from no load to the plated one, front and rear, mm.
const TRAVEL_MM: [f64; 2] = [230.0, 165.0];

/// What is written of a van: by its sheet, on its plate, in the list of what is in it on the ramp. Front and rear.
#[derive(Debug, Clone, Copy)]
pub(super) struct OnPaper {
    /// Arch heights on original springs, mm.
    pub(super) original_mm: [f64; 2],
    /// Plated axle loads, kg.
    pub(super) plated_kg: [f64; 2],
    /// What is listed, kg.
    pub(super) listed_kg: [f64; 2],
}

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
    pub(super) fn draw(random: &mut StdRng, paper: &OnPaper, kit: &str, sold_as_mm: [f64; 2]) -> Self {
        let mut of_the_kit =
            StdRng::seed_from_u64(kit.bytes().fold(7, |sum, byte| sum * 31 + u64::from(byte)));
        let kit_error = [normal(&mut of_the_kit, 0.0, 0.12), normal(&mut of_the_kit, 0.0, 0.12)];
        let original_mm = [0, 1].map(|axle| normal(random, paper.original_mm[axle], 3.5));
        let rate_n_per_mm = [0, 1].map(|axle| {
            let usual = paper.plated_kg[axle] * G_M_PER_S2 / (2.0 * TRAVEL_MM[axle]);
            usual * normal(random, 1.0, 0.05).clamp(0.8, 1.2)
        });
        let sag_mm = [normal(random, 3.0, 2.0).max(0.0), normal(random, 5.0, 3.0).max(0.0)];
        let unlisted_kg = [normal(random, 10.0, 15.0), normal(random, 30.0, 25.0)];
        let mut van = Self {
            found_mm: [0.0; 4],
            drop_mm: [0.0; 4],
            gain: [normal(random, 1.05, 0.03), normal(random, 0.95, 0.05)],
            friction_mm: random.random_range(1.5..3.5),
        };
        for corner in 0..4 {
            let axle = corner / 2;
            let lip_mm = normal(random, 0.0, 2.0);
            let load_kg = paper.listed_kg[axle] + unlisted_kg[axle];
            let sinks_mm = load_kg * G_M_PER_S2 / (2.0 * rate_n_per_mm[axle]);
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

    const PAPER: OnPaper =
        OnPaper { original_mm: [446.0, 442.0], plated_kg: [1500.0, 1600.0], listed_kg: [0.0, 200.0] };

    #[test]
    fn law_a_heavier_van_reads_lower_where_it_is_heavier() {
        let read = |listed_kg| {
            let mut random = StdRng::seed_from_u64(3);
            let van = HiddenVan::draw(&mut random, &OnPaper { listed_kg, ..PAPER }, "any", [30.0; 2]);
            van.read_as_found(&mut random)
        };
        let (light, heavy) = (read([0.0, 100.0]), read([0.0, 400.0]));
        assert_eq!(light[..2], heavy[..2]);
        // 300 kg on springs of 95 N/mm for both wheels, give or take a twentieth, and whole millimetres
        for corner in 2..4 {
            assert!((26.0..36.0).contains(&(light[corner] - heavy[corner])), "{light:?} {heavy:?}");
        }
    }

    #[test]
    fn law_same_seed_reads_alike_and_a_lower_kit_reads_lower() {
        let read = |sold_as_mm| {
            let mut random = StdRng::seed_from_u64(3);
            let van = HiddenVan::draw(&mut random, &PAPER, "any", sold_as_mm);
            (van.read_as_found(&mut random), van.read_fitted(&mut random, [0.0; 2]))
        };
        assert_eq!(read([30.0, 30.0]), read([30.0, 30.0]));
        let (found, fitted) = read([60.0, 60.0]);
        assert!(found.iter().zip(fitted).all(|(found, fitted)| found - fitted > 25.0));
    }
}
