//! How a van sits: every figure of one fitment in one load state.

use mechanics::statics::{BumpEnd, FRONT, Parameter, REAR, ReboundEnd, Rest};
use nalgebra::DVector;

use crate::assembly::{PreparedVan, SpringKnowledge, axle_mean};
use crate::belief::{Belief, CORNER_WORDS};
use crate::calibration::load_kg;
use crate::figure::{Evidence, Figure, NINE_IN_TEN_SD};
use crate::fitment::{Fitment, Solved};
use crate::load_list::LoadState;
use crate::units::{kg_from_n, m_from_mm, mm_from_m};

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

/// Solves the fitment for a deviation of all unknowns from their expected values.
pub type AtDeviation<'a> = &'a dyn Fn(&DVector<f64>) -> Option<Rest>;

/// All that a sit is described from.
#[derive(Clone, Copy)]
pub struct Sitting<'a> {
    /// The van.
    pub van: &'a PreparedVan<'a>,
    /// The parts on it.
    pub fitment: &'a Fitment,
    /// Load state.
    pub state: LoadState,
    /// Its rest.
    pub solved: &'a Solved,
    /// What is not known exactly.
    pub belief: &'a Belief,
    /// How its ends of travel move.
    pub end_slopes: &'a EndSlopes,
    /// What it is compared with.
    pub yardsticks: Yardsticks<'a>,
    /// Solves it for deviations.
    pub at_deviation: AtDeviation<'a>,
}

impl Sitting<'_> {
    /// Stretch of a range from exact solves at its two likeliest ends: x = ± 1.645 P r / √(rᵀ P r), the first-order
    /// reliability method (A. M. Hasofer and N. C. Lind, J. Eng. Mech. Div. ASCE 100, 1974).
    ///
    /// Only where a spring is known by its drop alone: everywhere else the linear range is true within its promise.
    fn stretch(&self, row: &DVector<f64>, quantity: impl Fn(&Rest) -> f64) -> Stretch {
        let drop_only = |knowledge| matches!(knowledge, SpringKnowledge::DropOnly { .. });
        if !self.fitment.parts.iter().any(|parts| drop_only(parts.spring_knowledge)) {
            return Stretch::NONE;
        }
        let towards = self.belief.spread_along(row);
        let sd = row.dot(&towards).max(0.0).sqrt();
        if sd <= 0.0 {
            return Stretch::NONE;
        }
        let half_width = NINE_IN_TEN_SD * sd;
        let here = quantity(&self.solved.band.middle);
        let end = |sign: f64| {
            let moved = (self.at_deviation)(&(&towards * (sign * NINE_IN_TEN_SD / sd)));
            moved.map_or(1.0, |moved| sign * (quantity(&moved) - here) / half_width).max(0.0)
        };
        Stretch { low: end(-1.0), high: end(1.0) }
    }
}

/// What a sit is compared with: the same van in the same load state on other parts.
#[derive(Clone, Copy)]
pub struct Yardsticks<'a> {
    /// As it stands today; `None` while today itself is described.
    pub today: Option<&'a Solved>,
    /// On new original springs.
    pub as_new: &'a Solved,
}

impl Sit {
    /// All figures of a solved fitment.
    pub fn of(sitting: &Sitting) -> Self {
        let Sitting { van, state, solved, belief, yardsticks, .. } = *sitting;
        let corners: [CornerRows; 4] = std::array::from_fn(|i| CornerRows::of(sitting, i));
        let arch = |i: usize| &corners[i].arch;
        let rest = &solved.band.middle;
        let level_m = axle_mean(&rest.arch_height_m, REAR)
            - axle_mean(&rest.arch_height_m, FRONT)
            - m_from_mm(van.sheet.level_floor_difference_mm);
        let level_row = 0.5 * (arch(2) + arch(3) - arch(0) - arch(1));
        let mean_row =
            |solved: &Solved| padded(&(solved.row(|r| r.arch_height_m.iter().sum::<f64>() / 4.0)), belief);
        let mean_m = |solved: &Solved| solved.band.middle.arch_height_m.iter().sum::<f64>() / 4.0;
        Self {
            state,
            corners: std::array::from_fn(|i| corner_sit(sitting, i, &corners[i])),
            level_mm: sitting
                .stretch(&level_row, |rest| {
                    axle_mean(&rest.arch_height_m, REAR) - axle_mean(&rest.arch_height_m, FRONT)
                })
                .of(mm_figure(belief, level_m, &level_row)),
            axle_arch_gap_mm: [FRONT, REAR].map(|axle| {
                let (left, right) = (2 * axle, 2 * axle + 1);
                let arch_row = 0.5 * (arch(left) + arch(right));
                let gap_row = 0.5 * (corners[left].arch_gap() + corners[right].arch_gap());
                let gap_m =
                    axle_mean(&rest.arch_height_m, axle) - m_from_mm(van.tyres[axle].unloaded_radius_mm);
                sitting
                    .stretch(&arch_row, |rest| axle_mean(&rest.arch_height_m, axle))
                    .of(mm_figure(belief, gap_m, &gap_row))
            }),
            lean_mm: [FRONT, REAR].map(|axle| {
                let (left, right) = (2 * axle, 2 * axle + 1);
                let lean_m = rest.arch_height_m[left] - rest.arch_height_m[right];
                mm_figure(belief, lean_m, &(arch(left) - arch(right)))
            }),
            body_pitch_deg: belief
                .figure(rest.body.pitch_rad.to_degrees(), &solved.row(|r| r.pitch_rad.to_degrees())),
            axle_load_kg: [FRONT, REAR].map(|axle| {
                let (left, right) = (2 * axle, 2 * axle + 1);
                let load = kg_from_n(rest.wheel_load_n[left] + rest.wheel_load_n[right]);
                belief.figure(load, &solved.row(|r| load_kg(r, left) + load_kg(r, right)))
            }),
            mean_drop_against_today_mm: yardsticks.today.map(|today| {
                let (here, there) = (mean_row(solved), mean_row(today));
                sitting
                    .stretch(&here, |rest| rest.arch_height_m.iter().sum::<f64>() / 4.0)
                    .flipped()
                    .of(mm_figure(belief, mean_m(today) - mean_m(solved), &(there - here)))
            }),
        }
    }
}

/// How a corner answers to every unknown.
struct CornerRows {
    /// Its arch height, m.
    arch: DVector<f64>,
    /// Its wheel travel, m.
    travel: DVector<f64>,
    /// What of it each unknown changes by how much, where it counts.
    own: Vec<(usize, Parameter, f64)>,
}

impl CornerRows {
    fn of(sitting: &Sitting, i: usize) -> Self {
        let Sitting { fitment, state, solved, belief, .. } = *sitting;
        let counting = belief.unknowns.iter().enumerate().filter(|(_, unknown)| {
            let touches = unknown.effects.iter().any(|(parameter, _)| parameter.corner() == Some(i));
            touches && unknown.counts(&fitment.origins, state)
        });
        let own = counting.flat_map(|(k, unknown)| {
            let own = unknown.effects.iter().filter(|(parameter, _)| parameter.corner() == Some(i));
            own.map(move |&(parameter, share)| (k, parameter, share))
        });
        Self {
            arch: solved.row(|r| r.arch_height_m[i]),
            travel: solved.row(|r| r.travel_m[i]),
            own: own.collect(),
        }
    }

    /// The arch gap also answers to the tyre's own radius.
    fn arch_gap(&self) -> DVector<f64> {
        let radius = |parameter| if matches!(parameter, Parameter::TyreRadius(_)) { -1.0 } else { 0.0 };
        self.with_own(self.arch.clone(), radius)
    }

    /// A row, and what is added to it by the corner's own parts, per unit of each parameter.
    fn with_own(&self, mut row: DVector<f64>, slope: impl Fn(Parameter) -> f64) -> DVector<f64> {
        for &(k, parameter, share) in &self.own {
            row[k] += share * slope(parameter);
        }
        row
    }
}

/// A row over a shorter belief (without the kit's own unknowns) brought to the length of a longer one.
fn padded(row: &DVector<f64>, belief: &Belief) -> DVector<f64> {
    DVector::from_fn(belief.unknowns.len(), |i, _| if i < row.len() { row[i] } else { 0.0 })
}

fn mm_figure(belief: &Belief, value_m: f64, row_m: &DVector<f64>) -> Figure {
    belief.figure(value_m, row_m).times(1e3)
}

fn corner_sit(sitting: &Sitting, i: usize, rows: &CornerRows) -> CornerSit {
    let Sitting { van, solved, belief, yardsticks, .. } = *sitting;
    let rest = &solved.band.middle;
    let arch_row = &rows.arch;
    let stretch = sitting.stretch(arch_row, |rest| rest.arch_height_m[i]);
    let drop_from = |other: &Solved| {
        let drop_m = other.band.middle.arch_height_m[i] - rest.arch_height_m[i];
        let row = padded(&other.row(|r| r.arch_height_m[i]), belief) - arch_row;
        stretch.flipped().of(mm_figure(belief, drop_m, &row))
    };
    let radius_m = m_from_mm(van.tyres[i / 2].unloaded_radius_mm);
    let lip_m = rest.arch_height_m[i] + rest.wheel_centre_height_m[i];
    let lip_row = arch_row + solved.row(|r| r.wheel_centre_height_m[i]);
    CornerSit {
        corner: CORNER_WORDS[i],
        arch_height_mm: stretch.of(mm_figure(belief, rest.arch_height_m[i], arch_row)),
        lowest_rest_mm: mm_from_m(solved.band.lowest_arch_height_m[i]),
        highest_rest_mm: mm_from_m(solved.band.highest_arch_height_m[i]),
        arch_gap_mm: stretch.of(mm_figure(belief, rest.arch_height_m[i] - radius_m, &rows.arch_gap())),
        lip_height_above_ground_mm: stretch.of(mm_figure(belief, lip_m, &lip_row)),
        corner_load_kg: belief.figure(kg_from_n(rest.wheel_load_n[i]), &solved.row(|r| load_kg(r, i))),
        drop_against_today_mm: yardsticks.today.map(drop_from),
        drop_against_original_mm: drop_from(yardsticks.as_new),
        travel: corner_travel(sitting, i, rows, stretch),
    }
}

/// Step with which the ends of travel are differentiated, m or share; they are smooth well beyond it.
const END_STEP: f64 = 1e-4;

/// How the ends of travel of each corner move with lengths of stop, damper and spring at a fixed rest. Where the ends lie
/// does not depend on the load, so one load state serves for all.
pub struct EndSlopes([[(Parameter, EndSlope); 5]; 4]);

/// Movement of the ends of travel per unit of a parameter.
struct EndSlope {
    free_bump: f64,
    to_metal: f64,
    rebound: f64,
    captive_in_hand: f64,
}

impl EndSlopes {
    /// Movement of an end of a corner per unit of a parameter.
    fn by(&self, corner: usize, parameter: Parameter, end: fn(&EndSlope) -> f64) -> f64 {
        self.0[corner].iter().find(|(known, _)| *known == parameter).map_or(0.0, |(_, slope)| end(slope))
    }

    /// At a rest position.
    pub fn at(solved: &Solved) -> Self {
        Self(std::array::from_fn(|i| {
            let (corner, rest) = (&solved.van.corners[i], solved.band.middle.axle_travel(i));
            let here = corner.ends_from(rest);
            let per_unit = |there: f64, here: f64| (there - here) / END_STEP;
            [
                Parameter::StopHeight(i),
                Parameter::DamperLength(i),
                Parameter::FreeLength(i),
                Parameter::SeatShift(i),
                Parameter::SpringTravel(i),
            ]
            .map(|parameter| {
                let mut moved = corner.clone();
                moved.change(parameter, END_STEP);
                let there = moved.ends_from(rest);
                let free_bump = there.free_bump_m.zip(here.free_bump_m);
                let slope = EndSlope {
                    free_bump: free_bump.map_or(0.0, |(there, here)| per_unit(there, here)),
                    to_metal: per_unit(there.to_metal_m, here.to_metal_m),
                    rebound: per_unit(there.rebound_m, here.rebound_m),
                    captive_in_hand: per_unit(there.captive_in_hand_m, here.captive_in_hand_m),
                };
                (parameter, slope)
            })
        }))
    }
}

fn corner_travel(sitting: &Sitting, i: usize, rows: &CornerRows, stretch: Stretch) -> CornerTravel {
    let Sitting { fitment, solved, belief, .. } = *sitting;
    let (limits, rest) = (&solved.limits[i], solved.band.middle.axle_travel(i));
    let corner = &solved.van.corners[i];
    // at a fixed rest an end moves with whatever of this corner is not as stated
    let row = |per_travel: f64, end: fn(&EndSlope) -> f64| {
        rows.with_own(per_travel * &rows.travel, |parameter| sitting.end_slopes.by(i, parameter, end))
    };
    // travel t at twice the static force from rest t₀: F(t, p) = 2 F(t₀, p), so F' dt = (2 F'₀) dt₀ + (2 ∂F₀ - ∂F) dp
    let twice_row = |to_m: f64| {
        let there_m = rest.moved(to_m);
        let (here, there) = (corner.forces_at(rest), corner.forces_at(there_m));
        let (parts_here, parts_there) = (corner.at_travel(rest), corner.at_travel(there_m));
        let per_travel = 2.0 * here.rate_n_per_m / there.rate_n_per_m - 1.0;
        rows.with_own(per_travel * &rows.travel, |parameter| {
            let [here_n, there_n] =
                [&parts_here, &parts_there].map(|parts| parts.force_slope_in_heave(parameter));
            (2.0 * here_n - there_n) / there.rate_n_per_m
        })
    };
    let drop_only = matches!(fitment.parts[i / 2].spring_knowledge, SpringKnowledge::DropOnly { .. });
    let held = sitting.van.axle_sheet(i / 2).linkage.holds_its_spring();
    CornerTravel {
        free_bump_travel_mm: limits
            .free_bump_m
            .map(|m| stretch.of(mm_figure(belief, m, &row(-1.0, |end| end.free_bump)))),
        bump_travel_to_twice_static_mm: limits.to_twice_static_m.map(|m| mm_figure(belief, m, &twice_row(m))),
        bump_travel_to_metal_mm: stretch.of(mm_figure(
            belief,
            limits.to_metal_m,
            &row(-1.0, |end| end.to_metal),
        )),
        bump_ends_at: match limits.bump_end {
            BumpEnd::StopSolid => TravelEnd::BumpStopSolid,
            BumpEnd::DamperClosed => TravelEnd::DamperClosed,
            BumpEnd::CoilBind => TravelEnd::CoilBind,
            BumpEnd::Linkage => TravelEnd::EndOfLinkage,
        },
        rebound_travel_mm: stretch.flipped().of(mm_figure(
            belief,
            limits.rebound_m,
            &row(1.0, |end| end.rebound),
        )),
        rebound_ends_at: match limits.rebound_end {
            ReboundEnd::DamperOpen => TravelEnd::DamperOpen,
            ReboundEnd::Linkage => TravelEnd::EndOfLinkage,
        },
        captive_in_hand_mm: (!drop_only && !held)
            .then(|| mm_figure(belief, limits.captive_in_hand_m, &row(0.0, |end| end.captive_in_hand))),
        coil_bind_margin_mm: limits.coil_bind_margin_m.filter(|_| !drop_only).map(mm_from_m),
    }
}

impl Figure {
    /// Evidence of the weakest input that matters, or the figure's own where none is listed.
    pub fn weakest_evidence(&self) -> Evidence {
        self.widened_by.iter().map(|c| c.evidence).max().unwrap_or(self.evidence)
    }
}
