//! What weighted vibration means to people: axes together, reactions, exposure.

/// Factors of the axes x, y, z on the seat for comfort (ISO 2631-1:1997, 8.2.2.1).
pub const COMFORT_ON_SEAT: [f64; 3] = [1.0, 1.0, 1.0];

/// Factors of the axes x, y, z on the seat for health (ISO 2631-1:1997, 7.2.3).
pub const HEALTH_ON_SEAT: [f64; 3] = [1.4, 1.4, 1.0];

/// Vibration total value: root of the sum of squares of the weighted accelerations of the axes, each with its factor
/// (ISO 2631-1:1997, equation 10).
pub fn vibration_total_m_per_s2(weighted_m_per_s2: [f64; 3], factors: [f64; 3]) -> f64 {
    weighted_m_per_s2.iter().zip(factors).map(|(a, k)| (k * a).powi(2)).sum::<f64>().sqrt()
}

/// What passengers of public transport say (ISO 2631-1:1997, annex C, C.2.3).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)] // the names are those of the standard
pub enum Reaction {
    NotUncomfortable,
    ALittleUncomfortable,
    FairlyUncomfortable,
    Uncomfortable,
    VeryUncomfortable,
    ExtremelyUncomfortable,
}

impl Reaction {
    /// All of them, the mildest first.
    pub const ALL: [Self; 6] = [
        Self::NotUncomfortable,
        Self::ALittleUncomfortable,
        Self::FairlyUncomfortable,
        Self::Uncomfortable,
        Self::VeryUncomfortable,
        Self::ExtremelyUncomfortable,
    ];

    /// Least and greatest weighted total, m/s², of this reaction; the last has no greatest. Neighbours overlap: people
    /// and journeys differ, and the standard draws no sharp line.
    pub fn band_m_per_s2(self) -> (f64, f64) {
        match self {
            Self::NotUncomfortable => (0.0, 0.315),
            Self::ALittleUncomfortable => (0.315, 0.63),
            Self::FairlyUncomfortable => (0.5, 1.0),
            Self::Uncomfortable => (0.8, 1.6),
            Self::VeryUncomfortable => (1.25, 2.5),
            Self::ExtremelyUncomfortable => (2.0, f64::INFINITY),
        }
    }

    /// Every reaction that a weighted total, m/s², may call forth: one or two.
    pub fn to(total_m_per_s2: f64) -> impl Iterator<Item = Self> {
        Self::ALL.into_iter().filter(move |reaction| {
            let (least, greatest) = reaction.band_m_per_s2();
            (least..=greatest).contains(&total_m_per_s2)
        })
    }
}

/// Daily exposure of drivers at work, eight hours (Directive 2002/44/EC, article 3): a matter of health, not of comfort.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DailyExposure {
    /// Acceleration of the worst axis, m/s².
    pub acceleration_m_per_s2: f64,
    /// The other measure a country may use: vibration dose, m/s^1.75.
    pub dose_m_per_s1_75: f64,
}

/// From here the employer must act.
pub const EXPOSURE_ACTION: DailyExposure =
    DailyExposure { acceleration_m_per_s2: 0.5, dose_m_per_s1_75: 9.1 };

/// Not to be exceeded.
pub const EXPOSURE_LIMIT: DailyExposure =
    DailyExposure { acceleration_m_per_s2: 1.15, dose_m_per_s1_75: 21.0 };
