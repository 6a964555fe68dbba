//! The band within which dry friction lets a van rest.

use super::{CORNERS, FourCorners, NoRest, Parameter, Response, Rest, Sensitivities};

/// Lowest, middle and highest rest of each arch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RestBand {
    /// Rest without friction: the middle that a well-settled van approaches.
    pub middle: Rest,
    /// Lowest arch height that friction allows at each corner, m.
    pub lowest_arch_height_m: [f64; CORNERS],
    /// Highest arch height that friction allows at each corner, m.
    pub highest_arch_height_m: [f64; CORNERS],
}

impl FourCorners {
    /// Rest with its friction band.
    ///
    /// For each corner the friction of all four is set against it, each with the sign that moves that corner's
    /// arch furthest, and the balance is solved anew, so stops that open or close within the band count.
    ///
    /// # Errors
    /// [`NoRest`] when one of the balances is not found.
    pub fn rest_band(&self) -> Result<RestBand, NoRest> {
        let middle = self.rest()?;
        let sensitivities = Sensitivities::at(self, &middle);
        let friction_n: [f64; CORNERS] =
            std::array::from_fn(|j| self.corners[j].friction_at_wheel_n(middle.axle_travel(j)));
        let to_wheel_force: [Response; CORNERS] =
            std::array::from_fn(|j| sensitivities.response_to(Parameter::WheelForce(j)));
        let mut band = RestBand {
            middle,
            lowest_arch_height_m: middle.arch_height_m,
            highest_arch_height_m: middle.arch_height_m,
        };
        // each corner down, then up
        let mut held = [self.as_stated(); 2 * CORNERS];
        let mut places = [(middle.body, middle.travel_m); 2 * CORNERS];
        for (k, (held, place)) in held.iter_mut().zip(&mut places).enumerate() {
            let direction = if k % 2 == 0 { -1.0 } else { 1.0 };
            let mut moved = Response::default();
            for j in 0..CORNERS {
                let friction_n = direction * to_wheel_force[j].arch_height_m[k / 2].signum() * friction_n[j];
                held.wheel_force_n[j] = friction_n;
                moved = moved.plus(&to_wheel_force[j], friction_n);
            }
            *place = moved.from(&middle);
        }
        let rests = self.rests_of(&held, &places);
        for (k, rest) in rests.into_iter().enumerate() {
            let (i, rest) = (k / 2, rest?);
            band.lowest_arch_height_m[i] = band.lowest_arch_height_m[i].min(rest.arch_height_m[i]);
            band.highest_arch_height_m[i] = band.highest_arch_height_m[i].max(rest.arch_height_m[i]);
        }
        Ok(band)
    }
}
