//! Damping: force over speed as makers state it, and what is taken where they do not.

use mechanics::elements::{DamperCurve, ElementFault};
use mechanics::statics::{FourCorners, Rest};

use crate::document::{Fields, Order, range};
use crate::kit::{ClickSheet, CountedFrom};

/// Damper force over rod speed at one setting, as stated.
#[derive(Debug, Clone, PartialEq)]
pub struct DampingSheet {
    /// Pairs of rod speed (m/s) and force (N), rod going in.
    pub bump_force_over_speed: Vec<[f64; 2]>,
    /// Pairs of rod speed (m/s) and force (N), rod coming out.
    pub rebound_force_over_speed: Vec<[f64; 2]>,
}

impl DampingSheet {
    /// Reads damping.
    pub fn read(f: &mut Fields) -> Self {
        let columns = [("speed_m_per_s", range(0.005, 5.0)), ("force_n", range(1.0, 30_000.0))];
        let mut side = |name, doc| f.pairs(name, columns, 1, Order::Rising, doc);
        let sheet = Self {
            bump_force_over_speed: side("bump_force_over_speed", "Rod speed and force, rod going in"),
            rebound_force_over_speed: side("rebound_force_over_speed", "Rod speed and force, rod coming out"),
        };
        if f.is_sound()
            && let Err(fault) = sheet.curve()
        {
            f.fault_at("bump_force_over_speed", &fault.to_string(), "forces that rise with speed");
        }
        sheet
    }

    /// The curve.
    ///
    /// # Errors
    /// When forces do not rise with speed.
    pub fn curve(&self) -> Result<DamperCurve, ElementFault> {
        let pairs = |rows: &[[f64; 2]]| rows.iter().map(|row| (row[0], row[1])).collect::<Vec<_>>();
        DamperCurve::measured(&pairs(&self.bump_force_over_speed), &pairs(&self.rebound_force_over_speed))
    }
}

/// What is known of the damping of one axle.
#[derive(Debug, Clone, PartialEq)]
pub enum Damping {
    /// The van's original dampers and their curve, where it is known.
    Original(Option<DamperCurve>),
    /// Dampers of a kit and their curve, where it is published.
    Kit(Option<DamperCurve>),
    /// Dampers of a kit stated at both ends of their adjustment, and where they are set.
    Adjustable(AdjustableDamping),
}

/// Damping that can be set.
#[derive(Debug, Clone, PartialEq)]
pub struct AdjustableDamping {
    /// Fully soft.
    pub softest: DamperCurve,
    /// Fully hard.
    pub hardest: DamperCurve,
    /// Share of the way from soft to hard at which it is set, 0 to 1.
    pub set_at: f64,
}

impl AdjustableDamping {
    /// Damping between its ends: force at every speed in proportion to the clicks, as long as the maker says nothing else.
    pub fn at(&self, share_of_hard: f64) -> DamperCurve {
        self.softest.blended(&self.hardest, share_of_hard)
    }
}

impl ClickSheet {
    /// Share of the way from fully soft to fully hard at a number of clicks.
    pub fn share_of_hard(&self, clicks: i64) -> f64 {
        self.seen_from_soft(clicks as f64 / self.count as f64)
    }

    /// The number of clicks nearest to a share of the way from fully soft to fully hard.
    pub fn clicks_at(&self, share_of_hard: f64) -> i64 {
        (self.seen_from_soft(share_of_hard) * self.count as f64).round() as i64
    }

    /// A share counted from fully soft as one counted from where the clicks are, and back.
    fn seen_from_soft(&self, share: f64) -> f64 {
        match self.counted_from {
            CountedFrom::Soft => share,
            CountedFrom::Hard => 1.0 - share,
        }
    }
}

/// Mean of bump and rebound damping of an original damper at low speed, per critical damping of its corner in running
/// order. Common practice, no source; J. C. Dixon, The Shock Absorber Handbook, puts road cars between 0.2 and 0.4 (from
/// memory).
const CLASS_DAMPING_RATIO: f64 = 0.34;
/// Share of the sum of both that is rebound: usually two to three times bump (common practice, no source).
const CLASS_REBOUND_SHARE: f64 = 0.7;
/// Rod speed at which valves begin to open, m/s, and what is left of the slope beyond (common practice, no source).
const CLASS_KNEE_M_PER_S: f64 = 0.13;
const CLASS_SLOPE_BEYOND_KNEE: f64 = 0.45;
/// How much firmer than the original a kit's damper without a published curve is expected to be (common practice, no
/// source).
const KIT_FIRMER_FACTOR: f64 = 1.2;

/// What a damper of its class does in an axle of this van, along the rod: for dampers of which no curve is known.
///
/// # Errors
/// When the axle has no wheel rate, sprung mass or damper motion to take it from.
pub fn class_damping(van: &FourCorners, rest: &Rest, axle: usize) -> Result<DamperCurve, ElementFault> {
    let corner = &van.corners[2 * axle];
    let travel = rest.axle_travel(2 * axle);
    let rate_n_per_m = corner.forces_at(travel).rate_n_per_m;
    let sprung_kg =
        rest.wheel_load_n[2 * axle] / mechanics::GRAVITY_M_PER_S2 - van.corners[2 * axle].unsprung_mass_kg;
    let at_wheel = 2.0 * CLASS_DAMPING_RATIO * (rate_n_per_m * sprung_kg).max(0.0).sqrt();
    let along_rod = at_wheel / corner.damper_motion_ratio(travel).powi(2);
    let side = |share: f64| {
        let low = 2.0 * share * along_rod;
        let knee_n = low * CLASS_KNEE_M_PER_S;
        [
            (CLASS_KNEE_M_PER_S, knee_n),
            (1.0, knee_n + low * CLASS_SLOPE_BEYOND_KNEE * (1.0 - CLASS_KNEE_M_PER_S)),
        ]
    };
    DamperCurve::measured(&side(1.0 - CLASS_REBOUND_SHARE), &side(CLASS_REBOUND_SHARE))
}

impl Damping {
    /// Force over rod speed, that of its class where no curve is known.
    pub fn curve(&self, class: &DamperCurve) -> DamperCurve {
        match self {
            Self::Original(Some(curve)) | Self::Kit(Some(curve)) => curve.clone(),
            Self::Adjustable(adjustable) => adjustable.at(adjustable.set_at),
            Self::Original(None) => class.clone(),
            Self::Kit(None) => class.times(KIT_FIRMER_FACTOR),
        }
    }

    /// Whether its maker states it.
    pub fn is_stated(&self) -> bool {
        matches!(self, Self::Original(Some(_)) | Self::Kit(Some(_)) | Self::Adjustable(_))
    }

    /// Whether the dampers are the van's original ones.
    pub fn is_original(&self) -> bool {
        matches!(self, Self::Original(_))
    }
}
