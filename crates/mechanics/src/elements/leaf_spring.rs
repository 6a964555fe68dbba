//! One semi-elliptic leaf spring.

use super::{ElementFault, ForceAndRate, positive, within};
use crate::curve::MonotoneCurve;

/// A semi-elliptic leaf spring: its load over camber height, with leaves that join in on the way.
///
/// The *camber height* is the height of the line through the eyes above the spring seat, m; it falls as the load
/// rises, and is negative once the spring has bent past flat. The main leaves are loose at their free camber. An
/// added leaf (a helper, a second stage, a leaf put in to raise a van) acts in parallel below the camber at which
/// it is touched:
///
/// F = F_main(c₀ - c) + Σ R_added (c_touch - c) over the added leaves with c < c_touch, zero where that is not
/// positive.
///
/// A leaf of more camber than the pack it is clipped into is touched above c₀ and lifts the pack's free camber.
#[derive(Debug, Clone, PartialEq)]
pub struct LeafSpring {
    /// Load (N) of the main leaves over deflection from their free camber (m), before `main_factor`.
    main_load_n: MonotoneCurve,
    main_factor: f64,
    main_free_camber_m: f64,
    /// In falling order of the camber at which they are touched.
    added: Vec<AddedLeaf>,
    interleaf_friction_share: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct AddedLeaf {
    rate_n_per_m: f64,
    touched_at_camber_m: f64,
}

impl LeafSpring {
    /// A spring of constant rate: F = R (c₀ - c). The rate may come from [`crate::spring_design::leaf`].
    ///
    /// # Errors
    /// When rate or free camber is not positive.
    pub fn linear(rate_n_per_m: f64, free_camber_m: f64) -> Result<Self, ElementFault> {
        positive("leaf spring rate", rate_n_per_m)?;
        Self::through(&[(0.0, 0.0), (1.0, rate_n_per_m)], free_camber_m)
    }

    /// A spring from measured pairs (camber height in m, load in N), in any order, without the unloaded one.
    ///
    /// # Errors
    /// When the pairs do not rise in load as camber falls, or the free camber is not positive.
    pub fn measured(camber_and_load: &[(f64, f64)], free_camber_m: f64) -> Result<Self, ElementFault> {
        let mut points: Vec<(f64, f64)> = std::iter::once((0.0, 0.0))
            .chain(camber_and_load.iter().map(|&(camber_m, load_n)| (free_camber_m - camber_m, load_n)))
            .collect();
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        Self::through(&points, free_camber_m)
    }

    fn through(deflection_and_load: &[(f64, f64)], free_camber_m: f64) -> Result<Self, ElementFault> {
        positive("free camber", free_camber_m)?;
        let loads_rise = deflection_and_load.windows(2).all(|pair| pair[0].1 < pair[1].1);
        let fault = ElementFault::TableNotRising { table: "leaf spring load over camber" };
        let main_load_n = MonotoneCurve::through(deflection_and_load).filter(|_| loads_rise).ok_or(fault)?;
        Ok(Self {
            main_load_n,
            main_factor: 1.0,
            main_free_camber_m: free_camber_m,
            added: Vec::new(),
            interleaf_friction_share: 0.0,
        })
    }

    /// The same spring with a further leaf or stage in parallel, touched below a camber height, m.
    ///
    /// # Errors
    /// When the rate is not positive or the camber not within a metre of flat.
    pub fn with_added_leaf(&self, rate_n_per_m: f64, touched_at_camber_m: f64) -> Result<Self, ElementFault> {
        positive("rate of the added leaf", rate_n_per_m)?;
        within("camber at which the added leaf is touched, m", touched_at_camber_m, -1.0, 1.0)?;
        let mut spring = self.clone();
        spring.added.push(AddedLeaf { rate_n_per_m, touched_at_camber_m });
        spring.added.sort_by(|a, b| b.touched_at_camber_m.total_cmp(&a.touched_at_camber_m));
        Ok(spring)
    }

    /// The same spring with its main leaves bent anew so that their free camber is higher by `higher_by_m`
    /// (negative: flatter, or settled). Added leaves keep their own shape and are touched where they were.
    ///
    /// # Errors
    /// When the new free camber is not positive.
    pub fn re_arched(&self, higher_by_m: f64) -> Result<Self, ElementFault> {
        let main_free_camber_m = positive("free camber", self.main_free_camber_m + higher_by_m)?;
        Ok(Self { main_free_camber_m, ..self.clone() })
    }

    /// The same spring with every load multiplied by `factor` (a stiffer or softer sample of it).
    #[must_use]
    pub fn with_rate_factor(&self, factor: f64) -> Self {
        let mut spring = self.clone();
        spring.main_factor *= factor;
        for leaf in &mut spring.added {
            leaf.rate_n_per_m *= factor;
        }
        spring
    }

    /// The same spring with friction between its leaves, as a share of its load, from 0 up to 1.
    ///
    /// The share is the caller's to state: it depends on the number of leaves, their lining and their rust.
    ///
    /// # Errors
    /// When the share is not from 0 to 1.
    pub fn with_interleaf_friction(&self, share: f64) -> Result<Self, ElementFault> {
        let interleaf_friction_share = within("share of interleaf friction", share, 0.0, 1.0)?;
        Ok(Self { interleaf_friction_share, ..self.clone() })
    }

    /// Friction between the leaves under a load, N (Coulomb): half the width of the hysteresis, so that the spring
    /// carries its load plus this while it is bent further and its load less this while it comes back.
    pub fn interleaf_friction_n(&self, load_n: f64) -> f64 {
        self.interleaf_friction_share * load_n.abs()
    }

    /// Camber height at which the load of the whole spring just vanishes, m.
    pub fn free_camber_m(&self) -> f64 {
        // above their own free camber the main leaves are held up by added ones, straight on with the first rate
        let mut rate_n_per_m = self.main_factor * self.main_load_n.at(0.0).slope;
        let mut camber_m = self.main_free_camber_m;
        for leaf in &self.added {
            if leaf.touched_at_camber_m <= camber_m {
                break;
            }
            let both_n_per_m = rate_n_per_m + leaf.rate_n_per_m;
            camber_m += (leaf.touched_at_camber_m - camber_m) * leaf.rate_n_per_m / both_n_per_m;
            rate_n_per_m = both_n_per_m;
        }
        camber_m
    }

    /// Load and rate (per metre of falling camber) at a camber height, m. Both are zero for a loose spring.
    pub fn at_camber(&self, camber_m: f64) -> ForceAndRate {
        let main = self.main_load_n.at(self.main_free_camber_m - camber_m);
        let (mut force_n, mut rate_n_per_m) = (self.main_factor * main.value, self.main_factor * main.slope);
        for leaf in self.added.iter().take_while(|leaf| camber_m < leaf.touched_at_camber_m) {
            force_n += leaf.rate_n_per_m * (leaf.touched_at_camber_m - camber_m);
            rate_n_per_m += leaf.rate_n_per_m;
        }
        if force_n <= 0.0 { ForceAndRate::default() } else { ForceAndRate { force_n, rate_n_per_m } }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn progressive() -> LeafSpring {
        LeafSpring::measured(&[(0.12, 1_500.0), (0.06, 5_000.0), (0.0, 11_000.0)], 0.16).unwrap()
    }

    fn two_stage() -> LeafSpring {
        LeafSpring::linear(40_000.0, 0.15).unwrap().with_added_leaf(60_000.0, 0.05).unwrap()
    }

    #[test]
    fn law_one_stage_then_two() {
        let spring = two_stage();
        assert_eq!(spring.at_camber(0.15), ForceAndRate::default());
        assert_eq!(spring.at_camber(0.20), ForceAndRate::default());
        assert!((spring.at_camber(0.10).force_n - 2_000.0).abs() < 1e-9);
        // past flat: 40 N/mm over 170 mm and 60 N/mm over 70 mm
        assert!((spring.at_camber(-0.02).force_n - (6_800.0 + 4_200.0)).abs() < 1e-9);
        assert!((spring.at_camber(-0.02).rate_n_per_m - 100_000.0).abs() < 1e-9);
    }

    #[test]
    fn law_measured_pairs_of_a_linear_spring_give_the_linear_spring() {
        let pairs = [(0.0, 6_000.0), (0.1, 2_000.0), (0.05, 4_000.0)];
        let measured = LeafSpring::measured(&pairs, 0.15).unwrap();
        let linear = LeafSpring::linear(40_000.0, 0.15).unwrap();
        for camber_m in [-0.03, 0.02, 0.07, 0.14, 0.16] {
            let (got, wanted) = (measured.at_camber(camber_m), linear.at_camber(camber_m));
            assert!((got.force_n - wanted.force_n).abs() < 1e-8);
            assert!((got.rate_n_per_m - wanted.rate_n_per_m).abs() < 1e-6);
        }
    }

    #[test]
    fn law_leaf_of_more_camber_lifts_the_pack_to_where_the_two_pull_alike() {
        let spring = LeafSpring::linear(40_000.0, 0.10).unwrap().with_added_leaf(10_000.0, 0.15).unwrap();
        assert!((spring.free_camber_m() - 0.11).abs() < 1e-12);
        assert_eq!(spring.at_camber(0.1101), ForceAndRate::default());
        assert!((spring.at_camber(0.1099).force_n - 5.0).abs() < 1e-9);
        assert!((spring.at_camber(0.1099).rate_n_per_m - 50_000.0).abs() < 1e-9);
    }

    #[test]
    fn law_friction_is_its_share_of_the_load() {
        let spring = two_stage().with_interleaf_friction(0.08).unwrap();
        assert!((spring.interleaf_friction_n(5_000.0) - 400.0).abs() < 1e-12);
        assert_eq!(two_stage().interleaf_friction_n(5_000.0).to_bits(), 0.0f64.to_bits());
    }

    #[test]
    fn law_bad_springs_are_refused_by_name() {
        let message = |spring: Result<LeafSpring, ElementFault>| spring.unwrap_err().to_string();
        assert_eq!(message(LeafSpring::linear(-1.0, 0.1)), "leaf spring rate must be positive, found -1");
        assert_eq!(message(LeafSpring::linear(1.0, 0.0)), "free camber must be positive, found 0");
        assert_eq!(message(LeafSpring::linear(1.0, f64::NAN)), "free camber must be positive, found NaN");
        assert_eq!(
            message(two_stage().re_arched(-0.2)),
            "free camber must be positive, found -0.05000000000000002"
        );
        assert!(message(LeafSpring::measured(&[(0.1, 10.0), (0.0, 5.0)], 0.2)).contains("load over camber"));
        assert!(message(LeafSpring::measured(&[(0.3, 10.0)], 0.2)).contains("load over camber"));
        assert!(message(LeafSpring::measured(&[], 0.2)).contains("load over camber"));
        assert!(message(two_stage().with_added_leaf(0.0, 0.1)).starts_with("rate of the added leaf"));
        assert!(message(two_stage().with_added_leaf(1.0, f64::NAN)).starts_with("camber at which"));
        assert_eq!(
            message(two_stage().with_interleaf_friction(1.5)),
            "share of interleaf friction must be from 0 to 1, found 1.5"
        );
    }

    proptest! {
        #[test]
        fn law_rate_is_the_slope_of_the_load(camber_m in -0.05f64..0.155, stage_m in 0.0f64..0.2) {
            let spring = progressive().with_added_leaf(30_000.0, stage_m).unwrap();
            // at a touch, at the free camber and at a measured point the slope may jump or bend sharply
            let h = 1e-6;
            let kinks_m = [stage_m, spring.free_camber_m(), 0.16, 0.12, 0.06, 0.0];
            prop_assume!(kinks_m.iter().all(|kink_m| (camber_m - kink_m).abs() > 2.0 * h));
            let slope = (spring.at_camber(camber_m - h).force_n - spring.at_camber(camber_m + h).force_n) / (2.0 * h);
            // a cubic leaves h² f'''/6 < 1e-3 N/m, rounding of 1e4 N leaves 1e-6 N/m
            prop_assert!((slope - spring.at_camber(camber_m).rate_n_per_m).abs() < 1e-2);
        }

        #[test]
        fn law_second_leaf_raises_the_rate_by_its_own_and_no_load_jumps(
            rate in 5e3f64..1e5, touch_m in 0.0f64..0.15, below_m in 1e-4f64..0.1,
        ) {
            let (one, both) = (progressive(), progressive().with_added_leaf(rate, touch_m).unwrap());
            let gained = both.at_camber(touch_m - below_m).rate_n_per_m - one.at_camber(touch_m - below_m).rate_n_per_m;
            prop_assert!((gained - rate).abs() < 1e-9 * rate);
            prop_assert_eq!(both.at_camber(touch_m), one.at_camber(touch_m));
            let just_below = both.at_camber(touch_m - 1e-9).force_n - both.at_camber(touch_m).force_n;
            prop_assert!((0.0..1e-3).contains(&just_below)); // at most 3e5 N/m over a nanometre
        }

        #[test]
        fn law_load_vanishes_at_the_free_camber_and_nowhere_below(
            first_m in 0.0f64..0.3, second_m in 0.0f64..0.3, rate in 1e3f64..1e5,
        ) {
            let spring = progressive()
                .with_added_leaf(rate, first_m).unwrap()
                .with_added_leaf(20_000.0, second_m).unwrap();
            let free_m = spring.free_camber_m();
            prop_assert!(free_m >= 0.16);
            prop_assert!(spring.at_camber(free_m).force_n < 1e-9);
            prop_assert!(spring.at_camber(free_m - 1e-6).force_n > 0.0);
        }

        #[test]
        fn law_leaves_may_be_added_in_any_order(a_m in -0.05f64..0.3, b_m in -0.05f64..0.3, camber_m in -0.1f64..0.3) {
            let one_way = progressive().with_added_leaf(1e4, a_m).unwrap().with_added_leaf(1e4, b_m).unwrap();
            let other = progressive().with_added_leaf(1e4, b_m).unwrap().with_added_leaf(1e4, a_m).unwrap();
            prop_assert_eq!(one_way.at_camber(camber_m), other.at_camber(camber_m));
        }

        #[test]
        fn law_re_arching_shifts_the_main_leaves_and_a_factor_scales_all(
            higher_m in -0.1f64..0.1, factor in 0.5f64..2.0, camber_m in -0.05f64..0.2,
        ) {
            let moved = progressive().re_arched(higher_m).unwrap();
            let (got, wanted) = (moved.at_camber(camber_m + higher_m), progressive().at_camber(camber_m));
            prop_assert!((got.force_n - wanted.force_n).abs() < 1e-7);
            let stiff = two_stage().with_rate_factor(factor).at_camber(camber_m);
            let plain = two_stage().at_camber(camber_m);
            prop_assert!((stiff.force_n - factor * plain.force_n).abs() < 1e-8);
            prop_assert!((stiff.rate_n_per_m - factor * plain.rate_n_per_m).abs() < 1e-8);
        }
    }
}
