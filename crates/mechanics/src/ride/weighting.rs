//! Frequency weightings of whole-body vibration (ISO 2631-1:1997, annex A; ISO 8041-1:2017, table 3).

use std::f64::consts::{PI, SQRT_2};

/// One factor of a weighting: polynomials of at most second order in s, lowest power first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// Coefficients of 1, s, s² above the line.
    pub numerator: [f64; 3],
    /// Coefficients of 1, s, s² below the line.
    pub denominator: [f64; 3],
}

/// A second-order digital filter: `y = b₀ x + b₁ x₁ + b₂ x₂ - a₁ y₁ - a₂ y₂`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Biquad {
    /// b₀, b₁, b₂.
    pub feed_forward: [f64; 3],
    /// a₁, a₂.
    pub feedback: [f64; 2],
}

impl Section {
    /// Square of its magnitude at ω rad/s.
    fn squared_magnitude(&self, omega_rad_per_s: f64) -> f64 {
        let squared = |c: [f64; 3]| {
            let re = c[0] - c[2] * omega_rad_per_s.powi(2);
            let im = c[1] * omega_rad_per_s;
            re * re + im * im
        };
        squared(self.numerator) / squared(self.denominator)
    }

    /// The digital filter by the bilinear rule at a rate of samples, without pre-warping.
    pub fn sampled(&self, rate_hz: f64) -> Biquad {
        let double = 2.0 * rate_hz;
        // s = 2 rate (1 - z⁻¹)/(1 + z⁻¹), both polynomials times (1 + z⁻¹)²
        let in_z = |c: [f64; 3]| {
            let (one, first, second) = (c[0], c[1] * double, c[2] * double * double);
            [one + first + second, 2.0 * (one - second), one - first + second]
        };
        let (above, below) = (in_z(self.numerator), in_z(self.denominator));
        Biquad {
            feed_forward: above.map(|b| b / below[0]),
            feedback: [below[1] / below[0], below[2] / below[0]],
        }
    }
}

/// A chain of sections.
#[derive(Debug, Clone, PartialEq)]
pub struct Weighting {
    sections: Vec<Section>,
}

/// Band of every weighting here: two-pole Butterworth high-pass and low-pass, Hz.
const BAND_HZ: (f64, f64) = (0.4, 100.0);

impl Weighting {
    /// No weighting: 1 at every frequency.
    pub fn none() -> Self {
        Self { sections: Vec::new() }
    }

    /// Vertical on the seat: Wk.
    pub fn wk() -> Self {
        let mut weighting = Self::with_transition(12.5, 12.5);
        weighting.sections.push(upward_step(2.37, 3.35, 0.91));
        weighting
    }

    /// Horizontal on the seat: Wd.
    pub fn wd() -> Self {
        Self::with_transition(2.0, 2.0)
    }

    /// Horizontal at the backrest: Wc.
    pub fn wc() -> Self {
        Self::with_transition(8.0, 8.0)
    }

    /// Rotation on the seat: We.
    pub fn we() -> Self {
        Self::with_transition(1.0, 1.0)
    }

    /// High-pass, low-pass, and the transition from acceleration to velocity with Q₄ 0.63.
    fn with_transition(f3_hz: f64, f4_hz: f64) -> Self {
        let (w1, w2) = (angular(BAND_HZ.0), angular(BAND_HZ.1));
        let (w3, w4) = (angular(f3_hz), angular(f4_hz));
        let high_pass = Section {
            numerator: [0.0, 0.0, (1.0 / w1).powi(2)],
            denominator: [1.0, SQRT_2 / w1, (1.0 / w1).powi(2)],
        };
        let low_pass =
            Section { numerator: [1.0, 0.0, 0.0], denominator: [1.0, SQRT_2 / w2, (1.0 / w2).powi(2)] };
        let transition = Section {
            numerator: [1.0, 1.0 / w3, 0.0],
            denominator: [1.0, 1.0 / (0.63 * w4), (1.0 / w4).powi(2)],
        };
        Self { sections: vec![high_pass, low_pass, transition] }
    }

    /// Its factors: high-pass, low-pass, transition and, for Wk, the upward step.
    pub fn sections(&self) -> &[Section] {
        &self.sections
    }

    /// Magnitude at a frequency, Hz.
    pub fn at(&self, frequency_hz: f64) -> f64 {
        self.squared_at(frequency_hz).sqrt()
    }

    /// Square of the magnitude at a frequency, Hz.
    pub fn squared_at(&self, frequency_hz: f64) -> f64 {
        let omega = angular(frequency_hz);
        self.sections.iter().map(|section| section.squared_magnitude(omega)).product()
    }
}

fn angular(frequency_hz: f64) -> f64 {
    2.0 * PI * frequency_hz
}

fn upward_step(f5_hz: f64, f6_hz: f64, quality: f64) -> Section {
    let (w5, w6) = (angular(f5_hz), angular(f6_hz));
    let polynomial = |w: f64| [1.0, 1.0 / (quality * w), (1.0 / w).powi(2)];
    let gain = (w5 / w6).powi(2);
    Section { numerator: polynomial(w5).map(|c| c * gain), denominator: polynomial(w6) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn val_weightings_at_the_reference_frequency() {
        // ISO 8041-1:2017, table 1: 100 rad/s
        let reference_hz = 100.0 / (2.0 * PI);
        for (weighting, expected) in [
            (Weighting::wk(), 0.7718),
            (Weighting::wd(), 0.1261),
            (Weighting::wc(), 0.5145),
            (Weighting::we(), 0.06287),
        ] {
            assert!((weighting.at(reference_hz) / expected - 1.0).abs() < 5e-4);
        }
    }

    #[test]
    fn val_sampled_sections_of_wk() {
        // bilinear rule by SciPy at 1 kHz; the last section there is printed with its gain (f5/f6)² applied twice
        let sections: Vec<Biquad> =
            Weighting::wk().sections().iter().map(|section| section.sampled(1000.0)).collect();
        let expected = [
            [
                0.9982244259589516,
                -1.9964488519179031,
                0.9982244259589516,
                -1.996445699252243,
                0.9964520045835633,
            ],
            [
                0.063964384855588,
                0.127928769711176,
                0.063964384855588,
                -1.1682606671932643,
                0.4241182066156163,
            ],
            [
                0.03836167015900192,
                0.002899072228579728,
                -0.035462597930422196,
                -1.8770204776231199,
                0.8828186220802792,
            ],
            [
                0.49880229504183293,
                -0.9893992223220984,
                0.4907066311820557,
                -1.9766986122056578,
                0.9771365454537877,
            ],
        ];
        let gain_taken_out = [1.0, 1.0, 1.0, (2.37_f64 / 3.35).powi(2)];
        for ((got, expected), gain) in sections.iter().zip(expected).zip(gain_taken_out) {
            let got = got.feed_forward.map(|b| b * gain).into_iter().chain(got.feedback);
            for (got, expected) in got.zip(expected) {
                assert!((got - expected).abs() < 1e-12, "{got} for {expected}");
            }
        }
    }
}
