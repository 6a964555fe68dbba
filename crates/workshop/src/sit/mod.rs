//! How a van sits: every figure of one fitment in one load state.

mod corner;
mod shared;

use mechanics::statics::{FRONT, REAR, Rest, axle_of};
use nalgebra::DVector;

use crate::assembly::{SpringKnowledge, axle_mean};
use crate::calibration::load_kg;
use crate::figure::{Figure, NINE_IN_TEN_SD};
use crate::fitment::Solved;
use crate::load_list::LoadState;
use crate::standing::Standing;
use crate::units::{kg_from_n, m_from_mm, mm_from_m};

pub use corner::CornerSitting;
pub use shared::Shared;

/// One corner at rest.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct CornerSit {
    /// Which corner.
    pub corner: &'static str,
    /// Wheel centre to arch lip at the middle of the friction band, mm.
    pub arch_height_mm: Figure,
    /// Lowest arch height that friction allows, mm.
    pub lowest_rest_mm: f64,
    /// Highest arch height that friction allows, mm.
    pub highest_rest_mm: f64,
    /// Arch height less the unloaded tyre radius, mm.
    pub arch_gap_mm: Figure,
    /// Arch lip above the ground, mm.
    pub lip_height_above_ground_mm: Figure,
    /// Load of the wheel on the ground, kg.
    pub corner_load_kg: Figure,
    /// Drop against today in the same load state, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub drop_against_today_mm: Option<Figure>,
    /// Drop against new original springs in the same load state, mm.
    pub drop_against_original_mm: Figure,
    /// Travel of the wheel.
    pub travel: CornerTravel,
}

/// Travel that a corner has left at rest.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct CornerTravel {
    /// To first touch of the bump stop; negative where it is engaged at rest, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub free_bump_travel_mm: Option<Figure>,
    /// To twice the static load, mm; absent where metal comes first.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bump_travel_to_twice_static_mm: Option<Figure>,
    /// To metal, mm.
    pub bump_travel_to_metal_mm: Figure,
    /// What ends it.
    pub bump_ends_at: TravelEnd,
    /// Rebound travel, mm.
    pub rebound_travel_mm: Figure,
    /// What ends it.
    pub rebound_ends_at: TravelEnd,
    /// Spring compression left at full rebound, mm: positive, the spring is captive. Absent where only a drop is
    /// published.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub captive_in_hand_mm: Option<Figure>,
    /// Room between the coils at metal, mm; absent where the solid length is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub coil_bind_margin_mm: Option<f64>,
}

/// What ends the travel of a wheel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TravelEnd {
    /// The bump stop is pressed solid.
    BumpStopSolid,
    /// The damper is closed.
    DamperClosed,
    /// The coils touch.
    CoilBind,
    /// The damper is drawn out.
    DamperOpen,
    /// The linkage goes no further.
    EndOfLinkage,
}

/// A van at rest in one load state.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Sit {
    /// Load state.
    pub state: LoadState,
    /// Front left, front right, rear left, rear right.
    pub corners: [CornerSit; 4],
    /// Rear less front arch height, less the same with the load floor horizontal; tail-up positive, mm.
    pub level_mm: Figure,
    /// Mean arch gap of each axle, mm.
    #[serde(skip)]
    pub axle_arch_gap_mm: [Figure; 2],
    /// Left less right arch height of each axle, mm.
    pub lean_mm: [Figure; 2],
    /// Body against the ground, nose-down positive, degrees.
    pub body_pitch_deg: Figure,
    /// Load of each axle on the ground, kg.
    pub axle_load_kg: [Figure; 2],
    /// Gross mass, kg.
    #[serde(skip)]
    pub gross_kg: Figure,
    /// Mean drop of the four arches against today, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mean_drop_against_today_mm: Option<Figure>,
}

/// By how much the two ends of a linear range are to be stretched, because stops and tyres answer a large deviation
/// otherwise than a small one.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    low: f64,
    high: f64,
}

impl Stretch {
    const NONE: Self = Self { low: 1.0, high: 1.0 };

    fn flipped(self) -> Self {
        Self { low: self.high, high: self.low }
    }

    fn of(self, mut figure: Figure) -> Figure {
        figure.low = figure.value - self.low * (figure.value - figure.low);
        figure.high = figure.value + self.high * (figure.high - figure.value);
        figure
    }
}

/// A fitment in one load state, from which each figure of how it sits is made.
#[derive(Clone, Copy)]
pub struct Sitting<'a> {
    /// The fitment.
    pub(crate) standing: Standing<'a>,
    /// Load state.
    pub(crate) state: LoadState,
    /// Its rest.
    pub(crate) solved: &'a Solved,
}

impl<'a> Sitting<'a> {
    fn rest(&self) -> &'a Rest {
        &self.solved.rest
    }

    /// Its rest with all unknowns off their expected values by a deviation.
    fn at_deviation(&self, deviation: &DVector<f64>) -> Option<Rest> {
        let Standing { known, fitment, belief, .. } = self.standing;
        let mean = &belief.mean + deviation;
        let carried = known.carried(self.state);
        let van = fitment.van_at(&known.van, &carried, &belief.unknowns, &mean, self.state);
        van.rest_from(self.rest().body, self.rest().travel_m).ok()
    }

    /// Stretch of a range from exact solves at its two likeliest ends: x = ± 1.645 P r / √(rᵀ P r), the first-order
    /// reliability method (A. M. Hasofer and N. C. Lind, J. Eng. Mech. Div. ASCE 100, 1974).
    ///
    /// Only where a spring is known by its drop alone: everywhere else the linear range is true within its promise.
    fn stretch(&self, row: &DVector<f64>, quantity: impl Fn(&Rest) -> f64) -> Stretch {
        if ![FRONT, REAR].into_iter().any(|axle| self.is_known_by_its_drop(axle)) {
            return Stretch::NONE;
        }
        let towards = self.standing.belief.spread_along(row);
        let sd = row.dot(&towards).max(0.0).sqrt();
        if sd <= 0.0 {
            return Stretch::NONE;
        }
        let half_width = NINE_IN_TEN_SD * sd;
        let here = quantity(self.rest());
        let end = |sign: f64| {
            let moved = self.at_deviation(&(&towards * (sign * NINE_IN_TEN_SD / sd)));
            moved.map_or(1.0, |moved| sign * (quantity(&moved) - here) / half_width).max(0.0)
        };
        Stretch { low: end(-1.0), high: end(1.0) }
    }

    fn is_known_by_its_drop(&self, axle: usize) -> bool {
        matches!(self.standing.fitment.parts[axle].spring_knowledge, SpringKnowledge::DropOnly { .. })
    }

    fn figure(&self, value: f64, row: &DVector<f64>) -> Figure {
        self.standing.belief.figure(value, row)
    }

    fn figure_mm(&self, value_m: f64, row_m: &DVector<f64>) -> Figure {
        self.figure(value_m, row_m).times(1e3)
    }

    /// One corner.
    pub fn corner(&self, i: usize) -> CornerSitting<'a> {
        CornerSitting::of(*self, i)
    }

    /// Rear less front arch height, less the same with the load floor horizontal; tail-up positive, mm.
    pub fn level_mm(&self) -> Figure {
        let level_m = |arch_m: &[f64; 4]| axle_mean(arch_m, REAR) - axle_mean(arch_m, FRONT);
        let level_floor_m = m_from_mm(self.standing.known.van.sheet.level_floor_difference_mm);
        let row = self.solved.row(|r| {
            let [a, b, c, d] = r.arch_height_m;
            0.5 * (c + d - a - b)
        });
        let figure = self.figure_mm(level_m(&self.rest().arch_height_m) - level_floor_m, &row);
        self.stretch(&row, |rest| level_m(&rest.arch_height_m)).of(figure)
    }

    /// Mean arch gap of an axle, mm.
    pub fn axle_arch_gap_mm(&self, axle: usize) -> Figure {
        let [left, right] = [2 * axle, 2 * axle + 1].map(|i| self.corner(i));
        let arch_row = 0.5 * (left.arch_row() + right.arch_row());
        let gap_row = 0.5 * (left.arch_gap_row() + right.arch_gap_row());
        let radius_m = m_from_mm(self.standing.known.van.tyres[axle].unloaded_radius_mm);
        let arch_m = |rest: &Rest| axle_mean(&rest.arch_height_m, axle);
        let figure = self.figure_mm(arch_m(self.rest()) - radius_m, &gap_row);
        self.stretch(&arch_row, arch_m).of(figure)
    }

    /// Left less right arch height of an axle, mm.
    fn lean_mm(&self, axle: usize) -> Figure {
        let lean_m = |arch_m: &[f64; 4]| arch_m[2 * axle] - arch_m[2 * axle + 1];
        self.figure_mm(lean_m(&self.rest().arch_height_m), &self.solved.row(|r| lean_m(&r.arch_height_m)))
    }

    /// Body against the ground, nose-down positive, degrees.
    fn body_pitch_deg(&self) -> Figure {
        let row = self.solved.row(|r| r.pitch_rad.to_degrees());
        self.figure(self.rest().body.pitch_rad.to_degrees(), &row)
    }

    /// Load of an axle on the ground, kg.
    pub fn axle_load_kg(&self, axle: usize) -> &'a Figure {
        let (left, right) = (2 * axle, 2 * axle + 1);
        let found = || {
            let row = self.solved.row(|r| load_kg(r, left) + load_kg(r, right));
            self.figure(self.axle_carries_kg(axle), &row)
        };
        self.shared().axle_load_kg[axle].get_or_init(found)
    }

    /// Gross mass, kg.
    pub fn gross_kg(&self) -> &'a Figure {
        let found = || {
            let total_kg = |wheel_load_n: &[f64; 4]| kg_from_n(wheel_load_n.iter().sum());
            let row = self.solved.row(|r| total_kg(&r.wheel_load_n));
            self.figure(total_kg(&self.rest().wheel_load_n), &row)
        };
        self.shared().gross_kg.get_or_init(found)
    }

    fn shared(&self) -> &'a shared::OfState {
        &self.standing.shared.states[self.state as usize]
    }

    /// The middle of [`Self::axle_load_kg`].
    pub fn axle_carries_kg(&self, axle: usize) -> f64 {
        let load_n = self.rest().wheel_load_n;
        kg_from_n(load_n[2 * axle] + load_n[2 * axle + 1])
    }

    /// Mean drop of the four arches against today, mm.
    pub fn mean_drop_against_today_mm(&self) -> Option<Figure> {
        let belief = self.standing.belief;
        let mean_m = |arch_m: &[f64; 4]| arch_m.iter().sum::<f64>() / 4.0;
        let mean_row = |solved: &Solved| belief.padded(&solved.row(|r| mean_m(&r.arch_height_m)));
        let today = self.today()?;
        let (here, there) = (mean_row(self.solved), mean_row(today));
        let drop_m = mean_m(&today.rest.arch_height_m) - mean_m(&self.rest().arch_height_m);
        let figure = self.figure_mm(drop_m, &(there - &here));
        Some(self.stretch(&here, |rest| mean_m(&rest.arch_height_m)).flipped().of(figure))
    }

    /// As it stands today; `None` while that itself is described.
    fn today(&self) -> Option<&'a Solved> {
        self.standing.against_today.then(|| self.standing.known.solved_today(self.state))
    }

    fn as_new(&self) -> &'a Solved {
        self.standing.known.solved_as_new(self.state)
    }

    /// Mean drop of an axle's arches against new original springs, mm, without its range.
    pub fn axle_drops_against_original_mm(&self, axle: usize) -> f64 {
        let drop_mm =
            |i: usize| mm_from_m(self.as_new().rest.arch_height_m[i] - self.rest().arch_height_m[i]);
        (drop_mm(2 * axle) + drop_mm(2 * axle + 1)) / 2.0
    }

    /// The corner of some at which a length is the least, among those that have it.
    pub fn least_corner(
        &self,
        corners: impl IntoIterator<Item = usize>,
        length_m: impl Fn(&Self, usize) -> Option<f64>,
    ) -> Option<CornerSitting<'a>> {
        let lengths = corners.into_iter().filter_map(|i| Some((i, length_m(self, i)?)));
        let (i, _) = lengths.min_by(|a, b| a.1.total_cmp(&b.1))?;
        Some(self.corner(i))
    }

    /// Least bump travel to metal of the four corners, mm.
    pub fn least_bump_travel_to_metal_mm(&self) -> Figure {
        let least = self.least_corner(0..4, |sitting, i| Some(sitting.to_metal_m(i)));
        least.unwrap_or_else(|| self.corner(0)).bump_travel_to_metal_mm()
    }

    /// Travel of a corner to first touch of the bump stop, m.
    pub fn free_bump_m(&self, i: usize) -> Option<f64> {
        self.solved.limits[i].free_bump_m
    }

    /// Travel of a corner to metal, m.
    pub fn to_metal_m(&self, i: usize) -> f64 {
        self.solved.limits[i].to_metal_m
    }

    /// Spring compression of a corner left at full rebound, m; `None` where only a drop is published, and where the linkage
    /// holds the spring.
    pub fn captive_in_hand_m(&self, i: usize) -> Option<f64> {
        let axle = axle_of(i);
        let held = self.standing.known.van.axle_sheet(axle).linkage.holds_its_spring();
        (!self.is_known_by_its_drop(axle) && !held).then_some(self.solved.limits[i].captive_in_hand_m)
    }

    /// Room between the coils of a corner at metal, m; `None` where it is not known.
    pub fn coil_bind_margin_m(&self, i: usize) -> Option<f64> {
        let margin_m = self.solved.limits[i].coil_bind_margin_m;
        margin_m.filter(|_| !self.is_known_by_its_drop(axle_of(i)))
    }
}

impl Sit {
    /// Every figure of a fitment in a load state.
    pub fn of(sitting: &Sitting) -> Self {
        let band = sitting.solved.van.rest_band(sitting.rest());
        Self {
            state: sitting.state,
            corners: std::array::from_fn(|i| sitting.corner(i).sit(&band)),
            level_mm: sitting.level_mm(),
            axle_arch_gap_mm: [FRONT, REAR].map(|axle| sitting.axle_arch_gap_mm(axle)),
            lean_mm: [FRONT, REAR].map(|axle| sitting.lean_mm(axle)),
            body_pitch_deg: sitting.body_pitch_deg(),
            axle_load_kg: [FRONT, REAR].map(|axle| sitting.axle_load_kg(axle).clone()),
            gross_kg: sitting.gross_kg().clone(),
            mean_drop_against_today_mm: sitting.mean_drop_against_today_mm(),
        }
    }

    /// Least bump travel to metal of the four corners, mm.
    pub fn least_bump_travel_to_metal_mm(&self) -> &Figure {
        let [first, others @ ..] =
            self.corners.each_ref().map(|corner| &corner.travel.bump_travel_to_metal_mm);
        others.into_iter().fold(first, |least, other| if other.value < least.value { other } else { least })
    }
}
