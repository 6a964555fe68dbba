//! Whether bump stops must be trimmed for a fitment, to what height, and what travel that leaves.
//!
//! A trimmed stop is rebuilt from its remaining height: it is touched later, is stiffer and solid sooner after. It may be
//! trimmed as long as it still ends the travel before metal or the arch do.

use mechanics::statics::{BumpEnd, FRONT, FourCorners, REAR, Rest};

use super::{Area, Check, Finding, Limit};
use crate::facts::Words;
use crate::figure::Figure;
use crate::fitment::Fitment;
use crate::linkage_sheet::LinkageSheet;
use crate::load_list::LoadState;
use crate::sit::Sitting;
use crate::sit::TravelEnd;
use crate::standing::Standing;
use crate::units::{m_from_mm, mm_from_m};
use crate::wording::Axle;
use crate::wording::check_says::common_practice;
use crate::wording::check_says::travel::{
    self as says, StandsTrimmed, StopTrim, TravelThen, TrimHeldBy, TrimVerdict,
};

const CHECK: &str = "stop_trim";
/// Free bump travel that is wanted, mm of wheel travel (common practice, no source).
const WANTED_FREE_MM: f64 = 20.0;
/// Where a van's own stops work early, that is left alone: it is enough that they are touched no more than so much sooner
/// than on new original parts, mm (common practice, no source).
const SOONER_THAN_NEW_MM: f64 = 10.0;
/// Share of a whole stop that must remain (common practice, no source).
const LEAST_SHARE: f64 = 1.0 / 3.0;
/// Less is not worth cutting, mm (common practice, no source).
const WORTH_CUTTING_MM: f64 = 3.0;
/// Room between tyre and arch that must be left where the stop is solid, mm (common practice, no source).
const LEAST_TO_ARCH_MM: f64 = 10.0;
/// Load states in which a van is driven.
const DRIVEN_IN: [LoadState; 3] = [LoadState::AsFittedOut, LoadState::DayToDay, LoadState::FullyLaden];

/// The stops of both axles.
pub(super) fn checks(standing: &Standing) -> Vec<Check> {
    [FRONT, REAR].into_iter().map(|axle| of_axle(standing, axle)).collect()
}

fn of_axle(standing: &Standing, axle: usize) -> Check {
    let asks = DRIVEN_IN.into_iter().filter_map(|state| Asks::of(standing, axle, state));
    let worst = asks.min_by(|a, b| (a.free.value - a.wanted_mm).total_cmp(&(b.free.value - b.wanted_mm)));
    let Some(asks) = worst else {
        let said = Words::of(|language| says::stop_not_known(language, Axle::of(axle)));
        return Check::unknown(CHECK, Area::Travel, said).on(axle);
    };
    let limit = Limit { at_least: Some(asks.wanted_mm), at_most: None, source: common_practice() };
    let verdict = if asks.free.value < asks.wanted_mm {
        verdict(standing, axle, &asks)
    } else {
        TrimVerdict::NotNeeded
    };
    let trim = StopTrim { axle: Axle::of(axle), stands: stands_trimmed(standing, axle), verdict };
    let said = Words::of(|language| says::stop_trim(language, &trim));
    let check =
        Check::held(CHECK, Area::Travel, (asks.free, "mm"), limit, said).in_state(asks.state).on(axle);
    // a stop is cut or left: nothing here forbids to drive
    Check { finding: check.finding.min(Finding::LookAtIt), ..check }
}

/// Free bump travel of the worse wheel of an axle in a load state, and what is wanted there.
struct Asks {
    state: LoadState,
    free: Figure,
    wanted_mm: f64,
}

impl Asks {
    fn of(standing: &Standing, axle: usize, state: LoadState) -> Option<Self> {
        let sitting = standing.sitting(state);
        let worse = sitting.least_corner([2 * axle, 2 * axle + 1], Sitting::free_bump_m);
        let as_new = standing.known.solved_as_new(state);
        let new_mm = [2 * axle, 2 * axle + 1].map(|i| as_new.limits[i].free_bump_m.map(mm_from_m));
        let left_alone_mm =
            new_mm[0].zip(new_mm[1]).map(|(left, right)| left.min(right) - SOONER_THAN_NEW_MM);
        Some(Self {
            state,
            free: worse?.free_bump_travel_mm()?,
            wanted_mm: left_alone_mm.map_or(WANTED_FREE_MM, |left_alone| left_alone.min(WANTED_FREE_MM)),
        })
    }
}

/// What stands trimmed, and whether the kit asks for it.
fn stands_trimmed(standing: &Standing, axle: usize) -> Option<StandsTrimmed> {
    let height_mm = |fitment: &Fitment| {
        let stop = &fitment.parts[axle].stop.as_ref()?.stop;
        (stop.height_m < stop.whole_height_m()).then(|| mm_from_m(stop.height_m))
    };
    let here_mm = height_mm(standing.fitment)?;
    let whole_mm = mm_from_m(standing.fitment.parts[axle].stop.as_ref()?.stop.whole_height_m());
    let by_kit = height_mm(&standing.known.fitted) != Some(here_mm);
    Some(StandsTrimmed { by_kit, height_mm: here_mm, whole_mm })
}

fn verdict(standing: &Standing, axle: usize, asks: &Asks) -> TrimVerdict {
    let Some(trimming) = Trimming::of(standing, axle, asks.state) else { return TrimVerdict::Perhaps };
    let (least_mm, held_by) = trimming.least_height_mm();
    if least_mm >= trimming.height_mm.floor() {
        return TrimVerdict::Never { held_by };
    }
    let wanted_mm = trimming.height_for_mm(asks.wanted_mm);
    if trimming.height_mm - wanted_mm < WORTH_CUTTING_MM {
        return TrimVerdict::Perhaps;
    }
    let height_mm = wanted_mm.max(least_mm);
    match trimming.travel_at(height_mm) {
        None => TrimVerdict::Never { held_by },
        Some(then) if wanted_mm >= least_mm => TrimVerdict::To { height_mm, then },
        Some(then) => TrimVerdict::NoFurtherThan { height_mm, then, held_by },
    }
}

/// The stops of an axle at other heights, in one load state.
struct Trimming<'a> {
    standing: &'a Standing<'a>,
    axle: usize,
    state: LoadState,
    /// Present height, mm.
    height_mm: f64,
    /// Whole height, mm.
    whole_mm: f64,
    /// Travel from design height at which the tyre has its least room to the arch, m; where that was measured.
    arch_m: Option<f64>,
}

impl<'a> Trimming<'a> {
    fn of(standing: &'a Standing<'a>, axle: usize, state: LoadState) -> Option<Self> {
        let stop = &standing.fitment.parts[axle].stop.as_ref()?.stop;
        Some(Self {
            standing,
            axle,
            state,
            height_mm: mm_from_m(stop.height_m),
            whole_mm: mm_from_m(stop.whole_height_m()),
            arch_m: travel_to_arch_m(standing, axle),
        })
    }

    /// The van with the stops of the axle at a height, and its rest.
    fn at(&self, height_mm: f64) -> Option<(FourCorners, Rest)> {
        let mut fitment = self.standing.fitment.clone();
        let fitted = fitment.parts[self.axle].stop.as_mut()?;
        fitted.stop = fitted.stop.trimmed_to(m_from_mm(height_mm)).ok()?;
        self.standing.known.at_rest(&fitment, self.standing.belief, self.state).ok()
    }

    fn corners(&self) -> [usize; 2] {
        [2 * self.axle, 2 * self.axle + 1]
    }

    /// Free bump travel and travel to metal of the worse wheel with stops of a height, mm.
    fn travel_at(&self, height_mm: f64) -> Option<TravelThen> {
        let (van, rest) = self.at(height_mm)?;
        let ends = self.corners().map(|i| van.corners[i].travel_limits(rest.axle_travel(i)));
        let free_m = ends.iter().filter_map(|ends| ends.free_bump_m).min_by(f64::total_cmp)?;
        let to_metal_m = ends.iter().map(|ends| ends.to_metal_m).min_by(f64::total_cmp)?;
        Some(TravelThen { state: self.state, free_mm: mm_from_m(free_m), to_metal_mm: mm_from_m(to_metal_m) })
    }

    /// Greatest whole height that leaves a free bump travel; the van, where it stands on its stops, comes down as they are
    /// cut. 0 where none does.
    fn height_for_mm(&self, free_mm: f64) -> f64 {
        let leaves = |height_mm: f64| self.travel_at(height_mm).is_some_and(|then| then.free_mm >= free_mm);
        greatest_whole(self.height_mm.floor(), leaves)
    }

    /// Least whole height at which the stop still ends the travel, and what forbids less.
    fn least_height_mm(&self) -> (f64, TrimHeldBy) {
        let share_mm = (LEAST_SHARE * self.whole_mm).ceil();
        let solved = self.standing.at(self.state);
        let met_by = |i: usize, height_mm: f64| {
            let (mut trimmed, rest) = (solved.van.corners[i].clone(), solved.rest.axle_travel(i));
            let fitted = trimmed.stop.as_mut()?;
            fitted.stop = fitted.stop.trimmed_to(m_from_mm(height_mm)).ok()?;
            let ends = trimmed.travel_limits(rest);
            let by_tyre = self.arch_m.is_some_and(|arch_m| rest.own_m + ends.to_metal_m > arch_m);
            match ends.bump_end {
                BumpEnd::StopSolid if by_tyre => Some(TrimHeldBy::TyreInArch),
                BumpEnd::StopSolid => None,
                BumpEnd::DamperClosed => Some(TrimHeldBy::Metal(TravelEnd::DamperClosed)),
                BumpEnd::CoilBind => Some(TrimHeldBy::Metal(TravelEnd::CoilBind)),
                BumpEnd::Linkage => Some(TrimHeldBy::Metal(TravelEnd::EndOfLinkage)),
            }
        };
        let met_first = |height_mm: f64| self.corners().into_iter().find_map(|i| met_by(i, height_mm));
        // the greatest height that metal forbids; one more is the least allowed
        let forbidden_mm = greatest_whole(self.height_mm.floor(), |height_mm| met_first(height_mm).is_some());
        match met_first(forbidden_mm.max(1.0)) {
            Some(held_by) if forbidden_mm + 1.0 > share_mm => (forbidden_mm + 1.0, held_by),
            _ => (share_mm, TrimHeldBy::LeastHeight),
        }
    }
}

/// Greatest whole number up to `most`, from 1, of which something is true that is true of all below it; 0 where of none.
fn greatest_whole(most: f64, is_true: impl Fn(f64) -> bool) -> f64 {
    if most < 1.0 || !is_true(1.0) {
        return 0.0;
    }
    if is_true(most) {
        return most;
    }
    let (mut low, mut high) = (1.0, most);
    while high - low > 1.0 {
        let middle = (0.5 * (low + high)).floor();
        if is_true(middle) { low = middle } else { high = middle }
    }
    low
}

/// Travel from design height that the tyre has up to the wheel house, m, where the sheet knows the room above it and the arch
/// does not move with the wheel.
fn travel_to_arch_m(standing: &Standing, axle: usize) -> Option<f64> {
    let van = &standing.known.van;
    if matches!(van.axle_sheet(axle).linkage, LinkageSheet::Strut(_)) {
        return None;
    }
    let taller_mm = van.tyres[axle].unloaded_radius_mm - van.axle_sheet(axle).tyre.unloaded_radius_mm;
    let free_mm = van.sheet.wheels.room[axle].above_mm?;
    Some(m_from_mm(free_mm - taller_mm - LEAST_TO_ARCH_MM))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_the_greatest_whole_number_is_found() {
        for of in 0..40 {
            let found = greatest_whole(30.0, |n| n <= f64::from(of));
            assert!((found - f64::from(of).min(30.0)).abs() < 1e-12, "{of}");
        }
        assert!(greatest_whole(0.5, |_| true).abs() < 1e-12);
    }
}
