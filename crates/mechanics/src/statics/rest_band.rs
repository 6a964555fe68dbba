//! The band within which dry friction lets a van rest.

use super::{CORNERS, FourCorners, Parameter, Response, Rest, Sensitivities};

/// Lowest and highest rest of each arch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RestBand {
    /// Lowest arch height that friction allows at each corner, m.
    pub lowest_arch_height_m: [f64; CORNERS],
    /// Highest arch height that friction allows at each corner, m.
    pub highest_arch_height_m: [f64; CORNERS],
}

impl FourCorners {
    /// The friction band about a rest without friction.
    ///
    /// For each corner the friction of all four is set against it, each with the sign that moves that corner's
    /// arch furthest, and the balance is solved anew, so stops that open or close within the band count. Where such a balance
    /// is not found, the band reaches as far as the answer of the rest to the friction is linear.
    pub fn rest_band(&self, middle: &Rest) -> RestBand {
        let sensitivities = Sensitivities::at(self, middle);
        let friction_n: [f64; CORNERS] =
            std::array::from_fn(|j| self.corners[j].friction_at_wheel_n(middle.axle_travel(j)));
        let to_wheel_force: [Response; CORNERS] =
            std::array::from_fn(|j| sensitivities.response_to(Parameter::WheelForce(j)));
        let mut band = RestBand {
            lowest_arch_height_m: middle.arch_height_m,
            highest_arch_height_m: middle.arch_height_m,
        };
        // each corner down, then up
        let mut held = [self.as_stated(); 2 * CORNERS];
        let mut places = [(middle.body, middle.travel_m); 2 * CORNERS];
        let mut linear_m = [0.0; 2 * CORNERS];
        for (k, (held, place)) in held.iter_mut().zip(&mut places).enumerate() {
            let direction = if k % 2 == 0 { -1.0 } else { 1.0 };
            let mut moved = Response::default();
            for j in 0..CORNERS {
                let friction_n = direction * to_wheel_force[j].arch_height_m[k / 2].signum() * friction_n[j];
                held.wheel_force_n[j] = friction_n;
                moved = moved.plus(&to_wheel_force[j], friction_n);
            }
            linear_m[k] = middle.arch_height_m[k / 2] + moved.arch_height_m[k / 2];
            *place = moved.from(middle);
        }
        let rests = self.rests_of(&held, &places);
        for (k, rest) in rests.into_iter().enumerate() {
            let i = k / 2;
            let arch_m = rest.map_or(linear_m[k], |rest| rest.arch_height_m[i]);
            band.lowest_arch_height_m[i] = band.lowest_arch_height_m[i].min(arch_m);
            band.highest_arch_height_m[i] = band.highest_arch_height_m[i].max(arch_m);
        }
        band
    }
}
