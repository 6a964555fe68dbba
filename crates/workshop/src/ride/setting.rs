//! Damping that can be set: the setting that suits the load states.

use mechanics::ride::RideDeviation;
use mechanics::statics::{FRONT, REAR};

use super::figures::RideMode;
use super::quantities::{Quantity, Settled};
use super::{RIDDEN_STATES, RideBench};
use crate::answer::KnownVan;
use crate::damping::Damping;
use crate::fitment::{Fitment, Solved};
use crate::kit::{CountedFrom, Kit};
use crate::load_list::LoadState;

/// Body movements damped by less than this share of the critical one swing on (common practice, no source).
pub(super) const LEAST_BODY_DAMPING: f64 = 0.2;
/// Steps from fully soft to fully hard that are tried.
const TRIED: usize = 12;

/// The setting that suits.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct DampingSetting {
    /// For all load states together.
    pub for_all: [Option<Clicks>; 2],
    /// For each load state alone.
    pub by_state: Vec<StateSetting>,
    /// Least damping of the body's movements that is asked for, as a share of the critical one.
    pub least_body_damping: f64,
    /// Whether it is reached; if not, the hardest setting comes nearest.
    pub reached: bool,
}

/// The setting that suits one load state.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct StateSetting {
    /// Load state.
    pub state: LoadState,
    /// Front and rear axle; absent where it cannot be set.
    pub clicks: [Option<Clicks>; 2],
    /// Least damping of heave and pitch there, as a share of the critical one.
    pub body_damping: f64,
    /// Weighted acceleration on the driver's seat there, m/s².
    pub weighted_acceleration_m_per_s2: f64,
}

/// A number of clicks from an end.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct Clicks {
    /// Number.
    pub clicks: i64,
    /// From which end.
    pub counted_from: CountedFrom,
}

/// One load state at one setting.
#[derive(Clone, Copy)]
struct Tried {
    body_damping: f64,
    acceleration: f64,
}

/// The setting with which the driver is shaken least while heave and pitch stay damped by [`LEAST_BODY_DAMPING`]; where no
/// setting does that, the one with most damping. `None` where nothing can be set.
pub(super) fn suited(
    bench: &RideBench,
    known: &KnownVan,
    kit: &Kit,
    fitment: &Fitment,
    solved: &[Solved],
) -> Option<DampingSetting> {
    let is_adjustable = |axle: usize| matches!(fitment.parts[axle].damping, Damping::Adjustable(_));
    if !is_adjustable(FRONT) && !is_adjustable(REAR) {
        return None;
    }
    let tried: Vec<(LoadState, Vec<Tried>)> = RIDDEN_STATES
        .iter()
        .filter_map(|&state| {
            let each = (0..=TRIED).map(|step| tried(bench, known, fitment, solved, state, step));
            Some((state, each.collect::<Option<Vec<_>>>()?))
        })
        .collect();
    if tried.is_empty() {
        return None;
    }
    let steps = |states: &[&Vec<Tried>]| -> (usize, bool) {
        let least =
            |step: usize| states.iter().map(|tried| tried[step].body_damping).fold(f64::MAX, f64::min);
        let shaken = |step: usize| states.iter().map(|tried| tried[step].acceleration).sum::<f64>();
        let enough = (0..=TRIED).filter(|&step| least(step) >= LEAST_BODY_DAMPING);
        match enough.min_by(|&a, &b| shaken(a).total_cmp(&shaken(b))) {
            Some(step) => (step, true),
            None => ((0..=TRIED).max_by(|&a, &b| least(a).total_cmp(&least(b))).unwrap_or(TRIED), false),
        }
    };
    let clicks = |step: usize| [FRONT, REAR].map(|axle| clicks(kit, axle, step));
    let (for_all, reached) = steps(&tried.iter().map(|(_, tried)| tried).collect::<Vec<_>>());
    Some(DampingSetting {
        for_all: clicks(for_all),
        by_state: tried
            .iter()
            .map(|(state, tried)| {
                let (step, _) = steps(&[tried]);
                StateSetting {
                    state: *state,
                    clicks: clicks(step),
                    body_damping: tried[step].body_damping,
                    weighted_acceleration_m_per_s2: tried[step].acceleration,
                }
            })
            .collect(),
        least_body_damping: LEAST_BODY_DAMPING,
        reached,
    })
}

/// A load state with every adjustable damper at a step of the way from soft to hard.
fn tried(
    bench: &RideBench,
    known: &KnownVan,
    fitment: &Fitment,
    solved: &[Solved],
    state: LoadState,
    step: usize,
) -> Option<Tried> {
    let mut set = fitment.clone();
    for axle in [FRONT, REAR] {
        if let Damping::Adjustable(adjustable) = &mut set.parts[axle].damping {
            adjustable.set_at = step as f64 / TRIED as f64;
        }
    }
    let ride = bench.on_the_road(known, &set, &solved[state as usize], state)?;
    let values = Settled::at(&ride, &RideDeviation::default())?.values(&ride);
    let damping = |mode| values[Quantity::Damping(mode).index()].exp();
    Some(Tried {
        body_damping: damping(RideMode::Heave).min(damping(RideMode::Pitch)),
        acceleration: values[Quantity::Seat(0).index()].exp(),
    })
}

fn clicks(kit: &Kit, axle: usize, step: usize) -> Option<Clicks> {
    let sheet = kit.axle(axle)?.clicks.as_ref()?;
    sheet.ends.as_ref()?;
    let clicks = sheet.clicks_at(step as f64 / TRIED as f64);
    Some(Clicks { clicks, counted_from: sheet.counted_from })
}
