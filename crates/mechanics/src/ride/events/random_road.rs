//! A generated rough road: waves with the spectrum of ISO 8608.

use super::{EventFault, fault::positive};
use crate::ride::REFERENCE_SPATIAL_FREQUENCY_PER_M;

/// Roughness to generate a road from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoughRoad {
    /// Displacement spectrum at 0.1 cycle/m, m³; it falls with the square of the wave number (ISO 8608). Class C, geometric
    /// mean: 256e-6.
    pub roughness_m3: f64,
    /// Least and largest wave number, cycles/m.
    pub band_per_m: [f64; 2],
    /// Number of waves; their wave numbers stand in a geometric series.
    pub waves: usize,
    /// Distance of the tracks, m.
    pub track_m: f64,
    /// Coherence of the tracks is `exp(-decay · wave number · track)`: a stated model, not of the standard.
    pub coherence_decay: f64,
    /// Distance over which the road rises from level, m.
    pub fade_in_m: f64,
}

/// One wave along the road.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoadWave {
    /// Wave number, cycles/m.
    pub wave_number_per_m: f64,
    /// Amplitude, m.
    pub amplitude_m: f64,
    /// Phase of what both tracks share, and of what only the right one has, rad.
    pub phase_rad: [f64; 2],
    /// Share γ of the right track that it has in common with the left: right is `γ common + √(1-γ²) own`.
    pub coherence: f64,
}

/// Heights of both tracks as sums of waves.
#[derive(Debug, Clone, PartialEq)]
pub struct RoadOfWaves {
    /// The waves.
    pub waves: Vec<RoadWave>,
    /// Distance over which the road rises from level, as `(1 - cos(π s/fade))/2`, m.
    pub fade_in_m: f64,
}

/// Rotating a wave from point to point drifts by a rounding error each; after this many the wave is set anew.
const POINTS_BETWEEN_RESETS: usize = 64;

impl RoadOfWaves {
    /// A road of the given roughness with random phases: the same seed gives the same road.
    ///
    /// The band is cut at `n_k` in geometric series; a wave at `√(n_k n_(k+1))` with amplitude `√(2 G_d Δn)` (M. Shinozuka and
    /// C.-M. Jan, J. Sound Vib. 25, 1972) then carries exactly the variance `∫ G_d dn` of its share of the band. Waves in
    /// geometric series have no common period. What only the right track has is a quarter of a wave ahead or behind at
    /// random: so it carries the spectrum wave by wave too, and over neighbouring waves the coherence comes out.
    ///
    /// # Errors
    /// When a quantity is not positive, or the band is empty.
    pub fn generated(road: &RoughRoad, seed: u64) -> Result<Self, EventFault> {
        let roughness = positive("roughness", road.roughness_m3)?;
        let [least, largest] = road.band_per_m;
        let (least, track_m) = (positive("least wave number", least)?, positive("track", road.track_m)?);
        positive("width of the band", largest - least)?;
        positive("number of waves", road.waves as f64)?;
        let decay = positive("decay of coherence", road.coherence_decay)?;
        let ratio = (largest / least).powf(1.0 / road.waves as f64);
        let mut random = Random(seed);
        let mut waves = Vec::with_capacity(road.waves);
        for k in 0..road.waves {
            let from = least * ratio.powf(k as f64);
            let n = from * ratio.sqrt();
            let spectrum = roughness * (REFERENCE_SPATIAL_FREQUENCY_PER_M / n).powi(2);
            let common = random.phase_rad();
            let ahead = if random.phase_rad() < std::f64::consts::PI { 1.0 } else { -1.0 };
            waves.push(RoadWave {
                wave_number_per_m: n,
                amplitude_m: (2.0 * spectrum * from * (ratio - 1.0)).sqrt(),
                phase_rad: [common, common + ahead * std::f64::consts::FRAC_PI_2],
                coherence: (-decay * n * track_m).exp(),
            });
        }
        Ok(Self { waves, fade_in_m: road.fade_in_m.max(0.0) })
    }

    /// Variance of each track away from the beginning, m².
    pub fn variance_m2(&self) -> f64 {
        self.waves.iter().map(|wave| 0.5 * wave.amplitude_m * wave.amplitude_m).sum()
    }

    /// Adds the heights of the left and right track, m, at `first_m + k step_m` from the beginning of the road; nothing before.
    pub fn add_to(&self, heights_m: &mut [[f64; 2]], first_m: f64, step_m: f64) {
        for (block, heights) in heights_m.chunks_mut(POINTS_BETWEEN_RESETS).enumerate() {
            let from = first_m + (block * POINTS_BETWEEN_RESETS) as f64 * step_m;
            if from + POINTS_BETWEEN_RESETS as f64 * step_m <= 0.0 {
                continue;
            }
            let mut sums = [[0.0; 2]; POINTS_BETWEEN_RESETS];
            for wave in &self.waves {
                wave.add_to(&mut sums, from, step_m);
            }
            for (k, (height, sum)) in heights.iter_mut().zip(&sums).enumerate() {
                let share = self.fade(from + k as f64 * step_m);
                height[0] += share * sum[0];
                height[1] += share * sum[1];
            }
        }
    }

    fn fade(&self, s_m: f64) -> f64 {
        if s_m <= 0.0 {
            0.0
        } else if s_m < self.fade_in_m {
            0.5 * (1.0 - (std::f64::consts::PI * s_m / self.fade_in_m).cos())
        } else {
            1.0
        }
    }
}

impl RoadWave {
    fn add_to(&self, sums: &mut [[f64; 2]; POINTS_BETWEEN_RESETS], from_m: f64, step_m: f64) {
        let angular = 2.0 * std::f64::consts::PI * self.wave_number_per_m;
        let (turn_sin, turn_cos) = (angular * step_m).sin_cos();
        let mut pointers = self.phase_rad.map(|phase| {
            let (sin, cos) = (angular * from_m + phase).sin_cos();
            [self.amplitude_m * cos, self.amplitude_m * sin]
        });
        let own_share = (1.0 - self.coherence * self.coherence).max(0.0).sqrt();
        for sum in sums {
            let [common, own] = pointers.map(|pointer| pointer[0]);
            sum[0] += common;
            sum[1] += self.coherence * common + own_share * own;
            pointers =
                pointers.map(|[cos, sin]| [cos * turn_cos - sin * turn_sin, sin * turn_cos + cos * turn_sin]);
        }
    }
}

/// Random numbers: the counter and finaliser of SplitMix64 (G. L. Steele, D. Lea and C. H. Flood, OOPSLA 2014).
struct Random(u64);

impl Random {
    fn phase_rad(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^= z >> 31;
        // the 53 upper bits fill a double exactly
        2.0 * std::f64::consts::PI * ((z >> 11) as f64 / (1u64 << 53) as f64)
    }
}
