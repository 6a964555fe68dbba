//! A lean: what explains it, and the collars of an axle set apart that take it out.

use mechanics::statics::{FRONT, FourCorners, Parameter, REAR, Rest, Sensitivities, axle_of};

use crate::answer::KnownVan;
use crate::assembly::{CannotStand, changes_for};
use crate::belief::Belief;
use crate::fitment::Fitment;
use crate::kit::Kit;
use crate::load_list::LoadState;
use crate::sit::Sit;
use crate::units::{kg_from_n, mm_from_m, n_from_kg};
use crate::wording::{LeanSays, Side, all_spelt};

use super::turning::{collar_of, quarter_turn_m};

/// A lean below this is not worth an unequal setting, mm (common practice, no source).
pub const LEAST_LEAN_MM: f64 = 4.0;
/// Diagonal load that an unequal setting may add, per cent of the gross load (common practice, no source).
pub const MOST_DIAGONAL_PERCENT: f64 = 1.5;

/// A lean and what may be done about it.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct LeanOffer {
    /// Lean of front and rear axle in the aimed state, left less right, mm.
    pub lean_mm: [f64; 2],
    /// Load on the left wheels less load on the right, kg.
    pub side_load_kg: f64,
    /// What explains it.
    #[serde(serialize_with = "all_spelt")]
    pub explanation: Vec<LeanSays>,
    /// Further turns of each collar against the equal setting, in quarters, up positive; empty without four collars.
    pub unequal_turns: Vec<f64>,
    /// Lean that the unequal setting leaves, mm.
    pub lean_left_mm: [f64; 2],
    /// Change of the diagonal load (front left and rear right less the other two), kg.
    pub diagonal_load_kg: f64,
    /// Bound on that change, kg.
    pub diagonal_bound_kg: f64,
}

/// Collars of an axle set apart.
pub(crate) struct Split {
    /// The fitment so set.
    pub(crate) fitment: Fitment,
    /// Further turns of each collar, up positive.
    pub(crate) turns: [f64; 4],
    /// Change of the diagonal load, kg.
    pub(crate) diagonal_load_kg: f64,
    /// Lean that remains, mm.
    pub(crate) lean_left_mm: [f64; 2],
}

impl KnownVan<'_> {
    /// Explains a lean in the aimed state and offers the unequal setting that takes it out, within its bound.
    pub(super) fn lean_offer(
        &self,
        kit: &Kit,
        fitment: &Fitment,
        belief: &Belief,
        sit: &Sit,
    ) -> Result<Option<LeanOffer>, CannotStand> {
        let lean_mm = [FRONT, REAR].map(|axle| sit.lean_mm[axle].value);
        if lean_mm.iter().all(|lean| lean.abs() < LEAST_LEAN_MM) {
            return Ok(None);
        }
        let (_, rest) = self.at_rest(fitment, belief, sit.state)?;
        let load_kg = rest.wheel_load_n.map(kg_from_n);
        let gross_kg: f64 = load_kg.iter().sum();
        let side_load_kg = load_kg[0] + load_kg[2] - load_kg[1] - load_kg[3];
        let mut offer = LeanOffer {
            lean_mm,
            side_load_kg,
            explanation: lean_explanation(side_load_kg, lean_mm),
            unequal_turns: Vec::new(),
            lean_left_mm: lean_mm,
            diagonal_load_kg: 0.0,
            diagonal_bound_kg: 0.01 * MOST_DIAGONAL_PERCENT * gross_kg,
        };
        if fitment.collars != [false; 2]
            && let Some(split) = self.split(kit, fitment, belief, sit.state)?
        {
            offer.unequal_turns = split.turns.to_vec();
            offer.diagonal_load_kg = split.diagonal_load_kg;
            offer.lean_left_mm = split.lean_left_mm;
        }
        Ok(Some(offer))
    }

    /// Quarter turns of each collar that take the lean out as far as the bound on the diagonal load allows.
    pub(crate) fn split(
        &self,
        kit: &Kit,
        fitment: &Fitment,
        belief: &Belief,
        state: LoadState,
    ) -> Result<Option<Split>, CannotStand> {
        let (van, rest) = self.at_rest(fitment, belief, state)?;
        let gross_kg: f64 = rest.wheel_load_n.iter().map(|&n| kg_from_n(n)).sum();
        let bound_kg = 0.01 * MOST_DIAGONAL_PERCENT * gross_kg;
        let before_n = diagonal_n(&rest);
        let wanted_m = opposed_turns(&van, &rest, fitment.collars, n_from_kg(bound_kg));
        let mut was_low = [false; 2];
        for axle in [FRONT, REAR] {
            was_low[axle] = self.too_low(fitment, belief, axle, state)?;
        }
        let mut best: Option<(f64, Split)> = None;
        for quarters in quarters_around(kit, wanted_m) {
            let mut unequal = fitment.clone();
            let mut turns = [0.0; 4];
            for i in 0..4 {
                if let Some(collar) = collar_of(kit, axle_of(i)) {
                    let own = mechanics::statics::side_of(i) * quarters[axle_of(i)];
                    unequal.collar_turned_m[i] += own * quarter_turn_m(collar);
                    turns[i] = 0.25 * own;
                }
            }
            let within_thread = (0..4).all(|i| {
                collar_of(kit, axle_of(i)).is_none_or(|collar| {
                    let mm = collar.delivered_mm + mm_from_m(unequal.collar_turned_m[i]);
                    (collar.lowest_mm..=collar.highest_mm).contains(&mm)
                })
            });
            let (_, rest) = self.at_rest(&unequal, belief, state)?;
            let diagonal_load_kg = kg_from_n(diagonal_n(&rest) - before_n);
            let arch = rest.arch_height_m;
            let lean_left_mm = [mm_from_m(arch[0] - arch[1]), mm_from_m(arch[2] - arch[3])];
            let left = lean_left_mm[0].hypot(lean_left_mm[1]);
            let better = best.as_ref().is_none_or(|(least, _)| left < *least);
            let mut kept = true;
            for axle in [FRONT, REAR] {
                let stays = !self.too_low(&unequal, belief, axle, state)?;
                kept &= !fitment.collars[axle] || was_low[axle] || stays;
            }
            if within_thread && kept && diagonal_load_kg.abs() <= bound_kg && better {
                best = Some((left, Split { fitment: unequal, turns, diagonal_load_kg, lean_left_mm }));
            }
        }
        Ok(best.map(|(_, split)| split))
    }
}

/// Opposed turns (left up, right down), m per axle, that take the lean out to first order, or as much of it as a bound
/// on the change of the diagonal load allows.
///
/// With both axles' collars, roll (both axles alike) loads no diagonal, warp does. Beyond the bound the turns s are those
/// with the least lean |L (s - s*)| on d·s = ±bound: s = s* - M⁻¹d (d·s* ∓ bound) / (d·M⁻¹d), M = LᵀL.
fn opposed_turns(van: &FourCorners, rest: &Rest, collars: [bool; 2], bound_n: f64) -> [f64; 2] {
    let sensitivities = Sensitivities::at(van, rest);
    let opposed = [FRONT, REAR].map(|turned| {
        let right = sensitivities.response_to(Parameter::SeatShift(2 * turned + 1));
        sensitivities.response_to(Parameter::SeatShift(2 * turned)).plus(&right, -1.0)
    });
    let lean = |arch: &[f64; 4], axle: usize| arch[2 * axle] - arch[2 * axle + 1];
    let slopes = opposed.map(|response| [FRONT, REAR].map(|read| lean(&response.arch_height_m, read)));
    let d = opposed.map(|response| {
        let n = response.wheel_load_n;
        n[0] + n[3] - n[1] - n[2]
    });
    let wanted = [FRONT, REAR].map(|axle| -lean(&rest.arch_height_m, axle));
    match collars {
        [true, true] => {
            let Some(full) = changes_for(slopes, wanted) else { return [0.0; 2] };
            let diagonal_n = d[0] * full[0] + d[1] * full[1];
            let over_n = diagonal_n - diagonal_n.clamp(-bound_n, bound_n);
            let m = |a: usize, b: usize| slopes[a][0] * slopes[b][0] + slopes[a][1] * slopes[b][1];
            let Some(q) = changes_for([[m(0, 0), m(0, 1)], [m(1, 0), m(1, 1)]], d) else { return full };
            let share = over_n / (d[0] * q[0] + d[1] * q[1]);
            if share.is_finite() { [full[0] - share * q[0], full[1] - share * q[1]] } else { full }
        }
        [true, false] => {
            [(wanted[0] / slopes[0][0]).clamp(-(bound_n / d[0]).abs(), (bound_n / d[0]).abs()), 0.0]
        }
        [false, true] => {
            [0.0, (wanted[1] / slopes[1][1]).clamp(-(bound_n / d[1]).abs(), (bound_n / d[1]).abs())]
        }
        [false, false] => [0.0; 2],
    }
}

/// Whole quarter turns of each axle's collars around what is wanted, nearest first.
fn quarters_around(kit: &Kit, wanted_m: [f64; 2]) -> Vec<[f64; 2]> {
    let of = |axle: usize| {
        let exact = collar_of(kit, axle).map_or(0.0, |collar| wanted_m[axle] / quarter_turn_m(collar));
        [exact.round(), exact.trunc(), exact.trunc() - exact.signum()]
    };
    let (front, rear) = (of(FRONT), of(REAR));
    front.iter().flat_map(|&f| rear.iter().map(move |&r| [f, r])).collect()
}

/// Load on the front-left to rear-right diagonal less the other, N.
fn diagonal_n(rest: &Rest) -> f64 {
    let n = rest.wheel_load_n;
    n[0] + n[3] - n[1] - n[2]
}

fn lean_explanation(side_load_kg: f64, lean_mm: [f64; 2]) -> Vec<LeanSays> {
    let heavier = if side_load_kg > 0.0 { Side::Left } else { Side::Right };
    let leans_to = if lean_mm[0] + lean_mm[1] < 0.0 { Side::Left } else { Side::Right };
    let advice = if heavier == leans_to { LeanSays::MoveLoad } else { LeanSays::LookAtSprings };
    vec![LeanSays::Sides { heavier, by_kg: side_load_kg.abs(), leans_to }, advice]
}
