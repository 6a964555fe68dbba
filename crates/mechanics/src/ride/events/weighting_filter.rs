//! Frequency weighting of an acceleration as it happens: a chain of digital second-order sections.

use pulp::Simd;

use super::vector::{Chunk, Vector};
use super::{EventFault, fault::positive};
use crate::ride::{Biquad, Weighting};

/// Sections of the weightings of ISO 2631-1: high pass, low pass, transition, step.
const SECTIONS: usize = 4;

/// A weighting at one step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeightingFilter {
    /// In the order in which they are passed.
    pub sections: [Biquad; SECTIONS],
}

impl WeightingFilter {
    /// Wk of ISO 2631-1 for vertical acceleration on the seat, sampled every `step_s` by the bilinear rule: at frequency f it
    /// does what the continuous one does at `tan(π f T)/(π T)` (A. V. Oppenheim and R. W. Schafer, Discrete-Time Signal
    /// Processing, 7.1.2).
    ///
    /// # Errors
    /// When the step is not positive.
    pub fn wk(step_s: f64) -> Result<Self, EventFault> {
        let rate_hz = 1.0 / positive("step", step_s)?;
        let wk = Weighting::wk();
        Ok(Self { sections: std::array::from_fn(|k| wk.sections()[k].sampled(rate_hz)) })
    }
}

impl WeightingFilter {
    /// A whole record of samples, weighted.
    pub fn weighted(&self, samples: &[f64]) -> Vec<f64> {
        let Some(chunk) = Chunk::all(pulp::Scalar::new(), 1).next() else { return Vec::new() };
        let mut filter = RunningFilter::new(self, chunk);
        samples.iter().map(|sample| filter.pass(chunk.splat(*sample)).spread()[0]).collect()
    }
}

/// A filter at work in one register's lanes (transposed direct form II).
#[derive(Debug, Clone, Copy)]
pub(super) struct RunningFilter<S: Simd> {
    /// b0, b1, b2, -a1, -a2 of each section.
    coefficients: [[Vector<S>; 5]; SECTIONS],
    memory: [[Vector<S>; 2]; SECTIONS],
}

impl<S: Simd> RunningFilter<S> {
    #[inline(always)]
    pub(super) fn new(filter: &WeightingFilter, chunk: Chunk<S>) -> Self {
        let coefficients = filter.sections.map(|section| {
            let ([b0, b1, b2], [a1, a2]) = (section.feed_forward, section.feedback);
            [b0, b1, b2, -a1, -a2].map(|coefficient| chunk.splat(coefficient))
        });
        Self { coefficients, memory: [[chunk.splat(0.0); 2]; SECTIONS] }
    }

    #[inline(always)]
    pub(super) fn pass(&mut self, sample: Vector<S>) -> Vector<S> {
        let mut value = sample;
        for section in 0..SECTIONS {
            let [b0, b1, b2, a1, a2] = self.coefficients[section];
            let memory = &mut self.memory[section];
            let passed = b0.times_plus(value, memory[0]);
            memory[0] = a1.times_plus(passed, b1.times_plus(value, memory[1]));
            memory[1] = a2.times_plus(passed, b2 * value);
            value = passed;
        }
        value
    }
}
