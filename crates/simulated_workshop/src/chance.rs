//! Draws. One stream per job, so that a job is the same however many are run.

use rand::rngs::StdRng;
use rand::{RngExt, SeedableRng};

/// A stream of draws.
pub struct Chance(StdRng);

impl Chance {
    /// The stream of one job.
    pub fn of(seed: u64, job: u64) -> Self {
        Self(StdRng::seed_from_u64(seed.wrapping_mul(1_000_003).wrapping_add(job)))
    }

    /// Uniform on 0 to 1.
    pub fn share(&mut self) -> f64 {
        self.0.random::<f64>()
    }

    /// Uniform on ± `half`.
    pub fn uniform(&mut self, half: f64) -> f64 {
        half * (2.0 * self.share() - 1.0)
    }

    /// Triangular on ± `half`, likeliest in the middle.
    pub fn triangular(&mut self, half: f64) -> f64 {
        half * (self.share() - self.share())
    }

    /// Log-normal about a median, `spread` the standard deviation of its logarithm.
    pub fn lognormal(&mut self, median: f64, spread: f64) -> f64 {
        let radius = (-2.0 * self.share().max(1e-300).ln()).sqrt();
        median * (spread * radius * (std::f64::consts::TAU * self.share()).cos()).exp()
    }

    /// True once in so many times.
    pub fn one_in(&mut self, times: f64) -> bool {
        self.share() * times < 1.0
    }

    /// One of `count`.
    pub fn index(&mut self, count: usize) -> usize {
        ((self.share() * count as f64) as usize).min(count.saturating_sub(1))
    }
}
