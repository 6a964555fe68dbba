//! What stands between the spring seats: a main spring, perhaps a helper spring, perhaps a rubber mount.

use super::Spring;

/// Springs and rubber in series between the two spring seats.
///
/// All carry the same load; their compressions add up. A helper spring is soft and goes solid (its coils touch)
/// long before the main spring does; from then on the main spring works alone.
#[derive(Debug, Clone, PartialEq)]
pub struct SpringStack {
    /// The spring that carries the van.
    pub main: Spring,
    /// A soft spring in series that keeps the main spring on its seats at full rebound.
    pub helper: Option<Spring>,
    /// Rate of a rubber mount in series with the spring, N/m, where it is not taken as rigid.
    pub mount_rate_n_per_m: Option<f64>,
}

/// Load of a stack and how it shares its compression.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct StackForce {
    /// Load carried, N.
    pub force_n: f64,
    /// Growth of load per metre by which the seats approach, N/m.
    pub rate_n_per_m: f64,
    /// Rate of the main spring alone, N/m.
    pub main_rate_n_per_m: f64,
    /// Length of the main spring, m.
    pub main_length_m: f64,
}

impl SpringStack {
    /// A stack of one spring between rigid seats.
    pub fn single(main: Spring) -> Self {
        Self { main, helper: None, mount_rate_n_per_m: None }
    }

    /// Whether the main spring stands between rigid seats, with nothing in series.
    #[inline]
    pub(crate) fn is_alone(&self) -> bool {
        self.helper.is_none() && self.mount_rate_n_per_m.is_none()
    }

    /// Distance between the seats at which the load just vanishes, m.
    pub fn free_length_m(&self) -> f64 {
        self.main.free_length_m + self.helper.as_ref().map_or(0.0, |helper| helper.free_length_m)
    }

    /// Load when the seats are `space_m` apart.
    ///
    /// Solved for the main spring's compression c: c + c_helper(F(c)) + F(c)/R_mount = L_free - space.
    pub fn at_space(&self, space_m: f64) -> StackForce {
        let total_m = self.free_length_m() - space_m;
        if total_m <= 0.0 {
            let main_length_m = self.main.free_length_m;
            return StackForce { main_length_m, ..StackForce::default() };
        }
        if self.is_alone() {
            let main = self.main.at_compression(total_m);
            return StackForce {
                force_n: main.force_n,
                rate_n_per_m: main.rate_n_per_m,
                main_rate_n_per_m: main.rate_n_per_m,
                main_length_m: space_m,
            };
        }
        let (mut low_m, mut high_m, mut main_m) = (0.0, total_m, total_m);
        for _ in 0..60 {
            let main = self.main.at_compression(main_m);
            let (others_m, others_compliance_m_per_n) = self.others_at_force(main.force_n);
            let excess_m = main_m + others_m - total_m;
            let slope = 1.0 + main.rate_n_per_m * others_compliance_m_per_n;
            if excess_m > 0.0 {
                high_m = main_m;
            } else {
                low_m = main_m;
            }
            let step_m = excess_m / slope;
            if step_m.abs() <= 1e-15 + 1e-14 * total_m {
                break;
            }
            let newton_m = main_m - step_m;
            main_m = if low_m < newton_m && newton_m < high_m { newton_m } else { 0.5 * (low_m + high_m) };
        }
        let main = self.main.at_compression(main_m);
        let (_, others_compliance_m_per_n) = self.others_at_force(main.force_n);
        StackForce {
            force_n: main.force_n,
            rate_n_per_m: main.rate_n_per_m / (1.0 + main.rate_n_per_m * others_compliance_m_per_n),
            main_rate_n_per_m: main.rate_n_per_m,
            main_length_m: self.main.free_length_m - main_m,
        }
    }

    /// Compression of helper and mount under a load, and its growth per newton.
    fn others_at_force(&self, force_n: f64) -> (f64, f64) {
        let mount_m_per_n = self.mount_rate_n_per_m.map_or(0.0, |rate_n_per_m| 1.0 / rate_n_per_m);
        let (helper_m, helper_m_per_n) = self.helper.as_ref().map_or((0.0, 0.0), |helper| {
            let open_m_per_n = 1.0 / helper.initial_rate_n_per_m();
            let stroke_m = helper.free_length_m - helper.solid_length_m.unwrap_or(0.0);
            if force_n * open_m_per_n < stroke_m {
                (force_n * open_m_per_n, open_m_per_n)
            } else {
                (stroke_m, 0.0)
            }
        });
        (helper_m + force_n * mount_m_per_n, helper_m_per_n + mount_m_per_n)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn stack_with_helper() -> SpringStack {
        SpringStack {
            main: Spring::linear(40_000.0, 0.30, Some(0.12)).unwrap(),
            helper: Some(Spring::linear(2_000.0, 0.06, Some(0.02)).unwrap()),
            mount_rate_n_per_m: Some(600_000.0),
        }
    }

    #[test]
    fn law_helper_takes_most_of_the_first_travel_then_the_main_spring_works_alone() {
        let stack = stack_with_helper();
        let open = stack.at_space(stack.free_length_m() - 0.01);
        let expected_n_per_m = 1.0 / (1.0 / 40_000.0 + 1.0 / 2_000.0 + 1.0 / 600_000.0);
        assert!((open.rate_n_per_m - expected_n_per_m).abs() < 1e-6);
        let closed = stack.at_space(0.22);
        assert!((closed.rate_n_per_m - 1.0 / (1.0 / 40_000.0 + 1.0 / 600_000.0)).abs() < 1e-6);
        // compressions add up: main + mount + solid helper stroke
        let main_m = 0.30 - closed.main_length_m;
        assert!((main_m + closed.force_n / 600_000.0 + 0.04 - (0.36 - 0.22)).abs() < 1e-12);
    }

    #[test]
    fn val_concentric_pair_bhandari_10_19() {
        // Bhandari, Design of Machine Elements, Example 10.19 (inputs verified, recomputed): two concentric springs,
        // the inner 15 mm shorter, share 1000 N. Parallel springs are two stacks at the same seat distance.
        let rate = |d_m: f64, coil_m: f64, coils: f64| {
            crate::spring_design::rate_n_per_m(81.37e9, d_m, coil_m, coils)
        };
        let outer = SpringStack::single(Spring::linear(rate(0.006, 0.036, 10.0), 0.200, None).unwrap());
        let inner = SpringStack::single(Spring::linear(rate(0.005, 0.030, 8.0), 0.185, None).unwrap());
        let space_m = 0.200 - 24.9888e-3;
        assert!((outer.at_space(space_m).force_n - 706.02).abs() < 0.05);
        assert!((inner.at_space(space_m).force_n - 293.98).abs() < 0.05);
    }

    proptest! {
        #[test]
        fn law_rate_is_the_slope_of_the_load(space_m in 0.15f64..0.345) {
            let stack = stack_with_helper();
            let h = 1e-6;
            let kink_m = (stack.free_length_m() - space_m - 0.04 - 80.0 / 40_000.0 - 80.0 / 600_000.0).abs();
            prop_assume!(kink_m > 1e-5); // at the point where the helper closes the slope is not defined
            let slope = (stack.at_space(space_m - h).force_n - stack.at_space(space_m + h).force_n) / (2.0 * h);
            prop_assert!((slope / stack.at_space(space_m).rate_n_per_m - 1.0).abs() < 1e-6);
        }
    }
}
