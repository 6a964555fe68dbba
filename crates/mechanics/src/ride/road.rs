//! Random roads of ISO 8608, as heights under one track and as two tracks together.

use std::f64::consts::PI;

/// Spatial frequency at which roughness is stated, cycles/m (ISO 8608).
pub const REFERENCE_SPATIAL_FREQUENCY_PER_M: f64 = 0.1;

/// Decay of the coherence of both tracks that is taken where none is known, dimensionless. A plain model, not from the
/// standard: measured roads scatter widely about it.
pub const USUAL_COHERENCE_DECAY: f64 = 1.5;

/// Classes of road roughness (ISO 8608), A the smoothest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)] // the letters say all there is
pub enum RoadClass {
    A,
    B,
    C,
    D,
    E,
    F,
    G,
    H,
}

impl RoadClass {
    /// All classes, smoothest first.
    pub const ALL: [Self; 8] = [Self::A, Self::B, Self::C, Self::D, Self::E, Self::F, Self::G, Self::H];

    /// Roughness of the class, m³: `None` for the lower limit of A and the upper limit of H, which do not exist.
    ///
    /// The geometric means are 16, 64, 256, ... 10⁻⁶ m³; a class reaches from half to twice its mean (ISO 8608, C.1).
    pub fn roughness_m3(self, figure: ClassFigure) -> Option<f64> {
        let mean_m3 = 16e-6 * f64::from(4_u32.pow(self as u32));
        match figure {
            ClassFigure::GeometricMean => Some(mean_m3),
            ClassFigure::LowerLimit => (self != Self::A).then_some(0.5 * mean_m3),
            ClassFigure::UpperLimit => (self != Self::H).then_some(2.0 * mean_m3),
        }
    }
}

/// Which figure of a class is meant. "Class C" alone may be either: the movements differ by √2.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ClassFigure {
    /// Geometric mean of the limits.
    #[default]
    GeometricMean,
    /// Smoothest road of the class.
    LowerLimit,
    /// Roughest road of the class.
    UpperLimit,
}

/// Where the roughness of a road comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RoughnessFrom {
    /// A class of ISO 8608 and which of its figures.
    Class(RoadClass, ClassFigure),
    /// A road of its own.
    Stated,
}

/// A random road: `Gd(n) = Gd(n₀) (n/n₀)⁻²`, n in cycles/m, one-sided (ISO 8608); both tracks alike, with coherence
/// exp(-ρ n t) at a track t (a model, stated, not from the standard).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RandomRoad {
    roughness_m3: f64,
    from: RoughnessFrom,
    coherence_decay: f64,
}

impl RandomRoad {
    /// The road of the geometric mean of a class.
    pub fn of_class(class: RoadClass) -> Self {
        let figure = ClassFigure::GeometricMean;
        Self {
            roughness_m3: class.roughness_m3(figure).unwrap_or(f64::NAN),
            from: RoughnessFrom::Class(class, figure),
            coherence_decay: USUAL_COHERENCE_DECAY,
        }
    }

    /// The road of another figure of a class; `None` where the class has none.
    pub fn of_class_figure(class: RoadClass, figure: ClassFigure) -> Option<Self> {
        let roughness_m3 = class.roughness_m3(figure)?;
        Some(Self { roughness_m3, from: RoughnessFrom::Class(class, figure), ..Self::of_class(class) })
    }

    /// A road of stated roughness Gd(n₀), m³; `None` unless it is finite and not negative.
    pub fn of_roughness(roughness_m3: f64) -> Option<Self> {
        (roughness_m3.is_finite() && roughness_m3 >= 0.0).then_some(Self {
            roughness_m3,
            from: RoughnessFrom::Stated,
            coherence_decay: USUAL_COHERENCE_DECAY,
        })
    }

    /// The same road with another decay ρ of coherence, dimensionless: 0 for two tracks that are the same.
    ///
    /// `None` unless it is finite and not negative.
    pub fn with_coherence_decay(self, coherence_decay: f64) -> Option<Self> {
        (coherence_decay.is_finite() && coherence_decay >= 0.0).then_some(Self { coherence_decay, ..self })
    }

    /// Roughness Gd(n₀), m³.
    pub fn roughness_m3(&self) -> f64 {
        self.roughness_m3
    }

    /// Where its roughness comes from.
    pub fn from(&self) -> RoughnessFrom {
        self.from
    }

    /// Spectral density of height over spatial frequency, m³, at n cycles/m.
    pub fn height_density_m3(&self, spatial_per_m: f64) -> f64 {
        self.roughness_m3 * (REFERENCE_SPATIAL_FREQUENCY_PER_M / spatial_per_m).powi(2)
    }

    /// Spectral density of height over angular spatial frequency, m³/rad, at Ω rad/m.
    pub fn height_density_angular_m3(&self, angular_rad_per_m: f64) -> f64 {
        self.height_density_m3(angular_rad_per_m / (2.0 * PI)) / (2.0 * PI)
    }

    /// Spectral density of slope over spatial frequency, m: the same at every frequency.
    pub fn slope_density_m(&self) -> f64 {
        (2.0 * PI * REFERENCE_SPATIAL_FREQUENCY_PER_M).powi(2) * self.roughness_m3
    }

    /// Spectral density of height over frequency, m²/Hz, at f Hz and a speed: n = f/v, G(f) = G(n)/v.
    pub fn height_density_m2_per_hz(&self, frequency_hz: f64, speed_m_per_s: f64) -> f64 {
        self.height_density_m3(frequency_hz / speed_m_per_s) / speed_m_per_s
    }

    /// One-sided spectral density of the vertical speed of the road, (m/s)²/Hz, white, at a speed.
    pub fn speed_density_m2_per_s2_hz(&self, speed_m_per_s: f64) -> f64 {
        self.slope_density_m() * speed_m_per_s
    }

    /// Root mean square of height within a band of spatial frequencies, m.
    pub fn height_rms_m(&self, from_per_m: f64, to_per_m: f64) -> f64 {
        let area = REFERENCE_SPATIAL_FREQUENCY_PER_M.powi(2) * (1.0 / from_per_m - 1.0 / to_per_m);
        (self.roughness_m3 * area).sqrt()
    }

    /// Coherence of both tracks, 0 to 1, at n cycles/m and a track.
    pub fn coherence(&self, spatial_per_m: f64, track_m: f64) -> f64 {
        (-self.coherence_decay * spatial_per_m * track_m).exp()
    }
}
