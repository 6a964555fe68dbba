//! Samples of a van: the same parts, a few numbers otherwise.

use super::{CORNERS, FourCorners, SprungMass};

/// What differs from van to van where all have the same parts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// Load of each corner's main spring over the stated one at the same compression.
    pub spring_factor: [f64; CORNERS],
    /// Free length of each corner's main spring above the stated one, m.
    pub longer_m: [f64; CORNERS],
    /// Vertical force at each wheel that lifts the body, above the stated one, N.
    pub wheel_force_n: [f64; CORNERS],
    /// What the suspension carries.
    pub sprung: SprungMass,
}

impl FourCorners {
    /// The sample in which everything is as stated.
    pub fn as_stated(&self) -> Sample {
        Sample {
            spring_factor: [1.0; CORNERS],
            longer_m: [0.0; CORNERS],
            wheel_force_n: [0.0; CORNERS],
            sprung: self.sprung,
        }
    }

    /// One sample of the van.
    #[must_use]
    pub fn sampled(&self, sample: &Sample) -> Self {
        let mut van = self.clone();
        for (i, corner) in van.corners.iter_mut().enumerate() {
            let main = &mut corner.spring.main;
            *main = main.with_rate_factor(sample.spring_factor[i]);
            main.free_length_m += sample.longer_m[i];
            corner.wheel_force_n += sample.wheel_force_n[i];
        }
        van.sprung = sample.sprung;
        van
    }
}
