//! Frequency weighting of an acceleration as it happens: a chain of digital second-order sections.

use pulp::Simd;

use super::vector::{Chunk, Vector};
use super::{EventFault, fault::positive};

/// Sections of the weightings of ISO 2631-1: high pass, low pass, transition, step.
const SECTIONS: usize = 4;

/// One digital section `(b0 + b1 z⁻¹ + b2 z⁻²) / (1 + a1 z⁻¹ + a2 z⁻²)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SecondOrderSection {
    /// b0, b1, b2.
    pub numerator: [f64; 3],
    /// a1, a2.
    pub denominator: [f64; 2],
}

impl SecondOrderSection {
    /// The section of `(n0 + n1 s + n2 s²) / (d0 + d1 s + d2 s²)` by the bilinear rule `s = 2/T (1 - z⁻¹)/(1 + z⁻¹)`, without
    /// bending frequencies back (A. V. Oppenheim and R. W. Schafer, Discrete-Time Signal Processing, 7.1.2): at
    /// frequency f the digital section does what the other does at `tan(π f T)/(π T)`.
    fn bilinear([n0, n1, n2]: [f64; 3], [d0, d1, d2]: [f64; 3], step_s: f64) -> Self {
        let k = 2.0 / step_s;
        let scale = 1.0 / (d0 + d1 * k + d2 * k * k);
        Self {
            numerator: [n0 + n1 * k + n2 * k * k, 2.0 * (n0 - n2 * k * k), n0 - n1 * k + n2 * k * k]
                .map(|b| b * scale),
            denominator: [2.0 * (d0 - d2 * k * k), d0 - d1 * k + d2 * k * k].map(|a| a * scale),
        }
    }
}

/// A weighting at one step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeightingFilter {
    /// In the order in which they are passed.
    pub sections: [SecondOrderSection; SECTIONS],
}

impl WeightingFilter {
    /// Wk of ISO 2631-1 for vertical acceleration on the seat, sampled every `step_s`.
    ///
    /// # Errors
    /// When the step is not positive.
    pub fn wk(step_s: f64) -> Result<Self, EventFault> {
        let step_s = positive("step", step_s)?;
        let angular = |hz: f64| 2.0 * std::f64::consts::PI * hz;
        let (w1, w2, w3, w4) = (angular(0.4), angular(100.0), angular(12.5), angular(12.5));
        let (w5, w6) = (angular(2.37), angular(3.35));
        let (q4, q5, q6) = (0.63, 0.91, 0.91);
        let root_2 = std::f64::consts::SQRT_2;
        let section = |n, d| SecondOrderSection::bilinear(n, d, step_s);
        Ok(Self {
            sections: [
                section([0.0, 0.0, 1.0], [w1 * w1, root_2 * w1, 1.0]),
                section([w2 * w2, 0.0, 0.0], [w2 * w2, root_2 * w2, 1.0]),
                section([w4 * w4, w4 * w4 / w3, 0.0], [w4 * w4, w4 / q4, 1.0]),
                section([w5 * w5, w5 / q5, 1.0], [w6 * w6, w6 / q6, 1.0]),
            ],
        })
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
            let ([b0, b1, b2], [a1, a2]) = (section.numerator, section.denominator);
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
