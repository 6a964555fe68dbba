//! Semi-elliptic leaf springs of rectangular leaves: dimensions to rate and stress.
//!
//! Textbook relations (V. B. Bhandari, Design of Machine Elements, ch. "Springs", and other machine-design texts,
//! from memory): a full-length leaf bends like a cantilever of constant width from the seat, the graduated leaves
//! together like one of uniform strength. `length_m` runs from eye to eye; what the U-bolts hold rigid is the
//! caller's to deduct. A parabolic leaf, which changes in thickness along its length, behaves differently.

/// Rate of a pack of leaves loaded at its seat, N/m.
///
/// With the half length l = L/2 and the load P = F/2 at each eye every full-length leaf gives
/// δ = 4 P l³ / (E b t³), every graduated one δ = 6 P l³ / (E b t³), and all deflect alike:
/// R = 4 E b (3 Σ t_full³ + 2 Σ t_graduated³) / (3 L³). For leaves of one thickness that is
/// δ = 12 P l³ / (E b t³ (3 N_full + 2 N_graduated)).
///
/// Young's modulus in Pa; length, width and the thickness of each leaf in m; all positive. The main leaf of a
/// graduated pack counts among the graduated ones.
pub fn rate_n_per_m(
    youngs_modulus_pa: f64,
    length_m: f64,
    width_m: f64,
    full_length_thicknesses_m: &[f64],
    graduated_thicknesses_m: &[f64],
) -> f64 {
    let cubes_m3 = |thicknesses_m: &[f64]| thicknesses_m.iter().map(|t_m| t_m.powi(3)).sum::<f64>();
    let section_m3 = 3.0 * cubes_m3(full_length_thicknesses_m) + 2.0 * cubes_m3(graduated_thicknesses_m);
    4.0 * youngs_modulus_pa * width_m * section_m3 / (3.0 * length_m.powi(3))
}

/// Bending stress at the seat of a pack of `leaves` alike that share the load evenly, Pa: σ = 3 F L / (2 N b t²).
///
/// Load in N; length, width and thickness in m; all positive. Leaves share evenly when all are graduated, all are of
/// full length, or the full-length ones are nipped (given more gap) to make it so.
pub fn stress_pa(load_n: f64, length_m: f64, width_m: f64, thickness_m: f64, leaves: f64) -> f64 {
    3.0 * load_n * length_m / (2.0 * leaves * width_m * thickness_m.powi(2))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const E_PA: f64 = 206e9;

    #[test]
    fn val_graduated_and_full_length_stacks_of_three_leaves() {
        // Textbook relations for a stack loaded at the centre, recomputed: L 1300, b 70, t 12 mm, three leaves.
        let rate_n_per_mm =
            |full: &[f64], graduated: &[f64]| rate_n_per_m(E_PA, 1.3, 0.070, full, graduated) * 1e-3;
        assert!((rate_n_per_mm(&[], &[0.012; 3]) - 90.734).abs() < 0.001);
        assert!((rate_n_per_mm(&[0.012; 3], &[]) - 136.10).abs() < 0.01);
        assert!((stress_pa(6000.0, 1.3, 0.070, 0.012, 3.0) * 1e-6 - 386.905).abs() < 0.001);
    }

    proptest! {
        #[test]
        fn law_mixture_is_the_sum_of_its_leaves(
            full in proptest::collection::vec(0.004f64..0.02, 0..4),
            graduated in proptest::collection::vec(0.004f64..0.02, 1..8),
        ) {
            let pack = rate_n_per_m(E_PA, 1.3, 0.07, &full, &graduated);
            let one_by_one: f64 = full.iter().map(|&t| rate_n_per_m(E_PA, 1.3, 0.07, &[t], &[])).sum::<f64>()
                + graduated.iter().map(|&t| rate_n_per_m(E_PA, 1.3, 0.07, &[], &[t])).sum::<f64>();
            prop_assert!((pack / one_by_one - 1.0).abs() < 1e-12);
        }

        #[test]
        fn law_full_length_leaf_is_a_cantilever_on_each_side(t_m in 0.004f64..0.02, length_m in 0.6f64..1.8) {
            // Half the load bends each half: δ = P l³ / (3 E I).
            let inertia_m4 = 0.07 * t_m.powi(3) / 12.0;
            let per_half = 3.0 * E_PA * inertia_m4 / (length_m / 2.0).powi(3);
            let rate = rate_n_per_m(E_PA, length_m, 0.07, &[t_m], &[]);
            prop_assert!((rate / (2.0 * per_half) - 1.0).abs() < 1e-12);
        }
    }
}
