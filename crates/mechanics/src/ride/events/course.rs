//! What lies on the road, and how high it stands under each wheel as the van goes over it.

use super::{EventFault, Hump, RoadOfWaves, fault::positive};
use crate::statics::CORNERS;

/// Humps and rough stretches along a road, each from its own beginning on; where they overlap their heights add.
///
/// The front wheels start at 0.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Course {
    humps: Vec<(f64, Hump)>,
    rough: Vec<(f64, RoadOfWaves)>,
}

/// Height of the road under each wheel at every half step, m: what all vans of one wheelbase share.
#[derive(Debug, Clone, PartialEq)]
pub struct WheelHeights {
    pub(super) heights_m: Vec<[f64; CORNERS]>,
    pub(super) step_s: f64,
    pub(super) wheelbase_m: f64,
}

impl Course {
    /// With a hump that begins at a distance, m.
    #[must_use]
    pub fn hump(mut self, begins_m: f64, hump: Hump) -> Self {
        self.humps.push((begins_m, hump));
        self
    }

    /// With a rough road from a distance on, m.
    #[must_use]
    pub fn rough(mut self, begins_m: f64, road: RoadOfWaves) -> Self {
        self.rough.push((begins_m, road));
        self
    }

    /// Heights under the wheels at a steady speed over at least a time.
    ///
    /// # Errors
    /// When speed, step, time or wheelbase are not positive.
    pub fn heights(
        &self,
        speed_m_per_s: f64,
        wheelbase_m: f64,
        duration_s: f64,
        step_s: f64,
    ) -> Result<WheelHeights, EventFault> {
        let (speed, step_s) = (positive("speed", speed_m_per_s)?, positive("step", step_s)?);
        let wheelbase_m = positive("wheelbase", wheelbase_m)?;
        // rounding must not cost a step
        let steps = (positive("time", duration_s)? / step_s - 1e-6).ceil();
        if steps > MOST_STEPS {
            return Err(EventFault::NotPositive { quantity: "step for so long a time", found: step_s });
        }
        let points = 2 * steps as usize + 1;
        let tracks = [0.0, -wheelbase_m].map(|from| self.track(points, from, 0.5 * speed * step_s));
        let heights_m = tracks[0]
            .iter()
            .zip(&tracks[1])
            .map(|(front, rear)| [front[0], front[1], rear[0], rear[1]])
            .collect();
        Ok(WheelHeights { heights_m, step_s, wheelbase_m })
    }

    fn track(&self, points: usize, from_m: f64, spacing_m: f64) -> Vec<[f64; 2]> {
        let mut heights = vec![[0.0; 2]; points];
        for (begins, road) in &self.rough {
            road.add_to(&mut heights, from_m - begins, spacing_m);
        }
        for (begins, hump) in &self.humps {
            for (k, height) in heights.iter_mut().enumerate() {
                let on_hump = hump.height_m(from_m + k as f64 * spacing_m - begins);
                *height = height.map(|height| height + on_hump);
            }
        }
        heights
    }
}

/// Twenty minutes at a twentieth of a millisecond; more is a slip of the keyboard.
const MOST_STEPS: f64 = 2.4e7;

impl WheelHeights {
    /// From heights of the four wheels (front left, front right, rear left, rear right), m, at every half step.
    ///
    /// # Errors
    /// When step or wheelbase are not positive, or the heights are not those of whole steps.
    pub fn of_half_steps(
        heights_m: Vec<[f64; CORNERS]>,
        step_s: f64,
        wheelbase_m: f64,
    ) -> Result<Self, EventFault> {
        let (step_s, wheelbase_m) = (positive("step", step_s)?, positive("wheelbase", wheelbase_m)?);
        if heights_m.len() < 3 || heights_m.len().is_multiple_of(2) {
            return Err(EventFault::Stretches);
        }
        Ok(Self { heights_m, step_s, wheelbase_m })
    }

    /// Whole steps that the heights last for.
    pub fn steps(&self) -> usize {
        self.heights_m.len() / 2
    }

    /// Heights at every half step, m.
    pub fn heights_m(&self) -> &[[f64; CORNERS]] {
        &self.heights_m
    }
}
