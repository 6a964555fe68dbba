//! Correction: from what was read on the ramp to which collar, which way, how many turns, or 'leave it'.

use mechanics::statics::{FRONT, Parameter, REAR, Sensitivities, axle_of};
use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

use crate::answer::{KnownVan, Remark};
use crate::assembly::{CannotStand, axle_mean};
use crate::belief::{Belief, CORNER_WORDS};
use crate::calibration::{
    Reading, UNLIKELY_ONE_IN, chi_squared_quantile, observed, unlikely, weighing_reading,
};
use crate::enquiry::ScaleReading;
use crate::facts::Words;
use crate::figure::{Figure, NINE_IN_TEN_SD};
use crate::fitment::{Fitment, Solved};
use crate::kit::Kit;
use crate::load_list::LoadState;
use crate::ramp_record::{RampRecord, Settled};
use crate::set_up::{axle_misses_mm, cautions, collar_of, pair_turns, quarter_turn_m, way_of};
use crate::units::{m_from_mm, mm_from_m};
use crate::wording::{
    Adjuster, Axle, CollarEnd, Doing, Doubt, Exchange, Learned, Meaning, Obstacle, Refusal, Suspicion,
    all_spelt,
};

/// A turn that brings an axle closer by less than this is not worth making, mm: less than two settled readings can
/// tell apart (common practice, no source).
pub const LEAST_GAIN_MM: f64 = 1.0;

/// Answer to a ramp record.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Correction {
    /// Kit.
    pub kit: String,
    /// Outcome.
    #[serde(flatten)]
    pub outcome: CorrectionOutcome,
    /// What is to be looked at before any collar is turned, corner weights that do not fit (nothing was
    /// learned from them), a collar that may not be where it is said to be.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[serde(serialize_with = "all_spelt")]
    pub doubts: Vec<Doubt>,
    /// Cautions that every paper carries.
    pub cautions: Vec<Words>,
}

/// What is to be done.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum CorrectionOutcome {
    /// The readings are kept but not corrected from.
    NotCorrectedFrom(#[serde(serialize_with = "all_spelt")] Vec<Refusal>),
    /// The readings do not fit the van and parts as recorded.
    DoesNotFit(Misfit),
    /// Turn collars.
    Turn(Turning),
    /// Another turn is not worth making.
    LeaveIt(Turning),
}

/// Readings that do not fit.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Misfit {
    /// Read less expected at each corner, mm.
    pub read_less_expected_mm: [f64; 4],
    /// What would make them fit, likeliest first.
    #[serde(serialize_with = "all_spelt")]
    pub may_be: Vec<Suspicion>,
}

/// Collars and what they give.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Turning {
    /// Each collar; empty for a kit without any.
    pub collars: Vec<CollarTurn>,
    /// Axles that can be adjusted.
    pub adjustable: [bool; 2],
    /// Each corner on the ramp.
    pub corners: Vec<CorrectedCorner>,
    /// Mean arch height of each axle less the aim in the aimed state, now, mm.
    pub miss_now_mm: [Figure; 2],
    /// The same after turning, mm.
    pub miss_after_mm: [Figure; 2],
    /// What holds the collars back.
    pub remarks: Vec<Remark>,
    /// What was learned from the readings and what could not be.
    #[serde(serialize_with = "all_spelt")]
    pub learned: Vec<Learned>,
    /// Change of the diagonal load by unequal collars, kg.
    pub diagonal_load_kg: f64,
}

/// One collar to turn.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct CollarTurn {
    /// Corner.
    pub corner: &'static str,
    /// Collar, or bolt of a torsion bar.
    pub adjuster: Adjuster,
    /// Turns from where it is, in quarters, up positive.
    pub turns: f64,
    /// `up`, `down` or `stay`.
    pub way: &'static str,
    /// Position from the datum after turning, mm.
    pub new_position_mm: f64,
}

/// One corner as read and as expected.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct CorrectedCorner {
    /// Corner.
    pub corner: &'static str,
    /// Mean of the readings, mm.
    pub read_arch_height_mm: f64,
    /// Arch height to be read on the ramp after turning and settling, mm.
    pub expected_arch_height_mm: Figure,
}

impl KnownVan<'_> {
    /// Corrects a set-up from a ramp record.
    ///
    /// # Errors
    /// When the van finds no rest.
    pub fn correct(&self, kit: &Kit, record: &RampRecord) -> Result<Correction, CannotStand> {
        let outcome = match refusals(record) {
            reasons if !reasons.is_empty() => CorrectionOutcome::NotCorrectedFrom(reasons),
            _ => return self.corrected(kit, record),
        };
        Ok(Correction { kit: kit.id.clone(), outcome, doubts: Vec::new(), cautions: cautions() })
    }

    fn corrected(&self, kit: &Kit, record: &RampRecord) -> Result<Correction, CannotStand> {
        let fitment = self.recorded_fitment(kit, record)?;
        let before = self.recorded_belief(&fitment, record);
        let (belief, doubt) = self.weighed_on_the_ramp(record, &fitment, before)?;
        let mut doubts: Vec<Doubt> = doubt.into_iter().collect();
        let solve = |belief: &Belief| self.on_recorded_floor(record, &fitment, belief);
        let reading = |solved: &Solved| self.ramp_reading(record, solved);
        let solved = solve(&belief)?;
        let readings = Unexplained::of(&belief, &solved, fitment.adjusters, reading(&solved))
            .ok_or_else(|| CannotStand::of(Doing::HoldingReadings, Obstacle::NoSpread))?;
        let misfit = readings.misfit(kit, record);
        let outcome = if let Some(misfit) = misfit.clone().filter(|_| !record.read_twice) {
            CorrectionOutcome::DoesNotFit(misfit)
        } else {
            doubts.extend(match misfit {
                Some(misfit) => Some(Doubt::ReadTwice(misfit)),
                None => readings.doubted_collar(kit, record),
            });
            let learned = observed(&belief, &reading, solve)?;
            self.turning(kit, record, &fitment, &belief, &learned)?
        };
        Ok(Correction { kit: kit.id.clone(), outcome, doubts, cautions: cautions() })
    }

    /// Arch heights expected at the recorded collars, on the recorded floor, mm.
    ///
    /// # Errors
    /// When the van finds no rest.
    pub fn expected_on_the_ramp(&self, kit: &Kit, record: &RampRecord) -> Result<[f64; 4], CannotStand> {
        let fitment = self.recorded_fitment(kit, record)?;
        let solved = self.on_recorded_floor(record, &fitment, &self.recorded_belief(&fitment, record))?;
        Ok(solved.rest.arch_height_m.map(mm_from_m))
    }

    /// The kit on the van with collars and bushes as recorded.
    pub(crate) fn recorded_fitment(&self, kit: &Kit, record: &RampRecord) -> Result<Fitment, CannotStand> {
        let mut fitment = if self.is_fitted(kit) {
            self.fitted.clone()
        } else {
            self.fitted.with_kit(&self.van, kit, &self.catalogue.tolerances)?
        };
        for i in 0..4 {
            if let (Some(collar), Some(mm)) = (collar_of(kit, axle_of(i)), record.collar_mm[i]) {
                fitment.collar_turned_m[i] = m_from_mm(mm - collar.delivered_mm);
            }
        }
        fitment.insertion_m = record.insertion_mm.map(m_from_mm);
        if record.bushes_reclamped { self.reclamped(fitment) } else { Ok(fitment) }
    }

    /// Belief before the record's readings: springs that were driven in have settled before they were read, so what
    /// they lost is not counted again after the ramp.
    fn recorded_belief(&self, fitment: &Fitment, record: &RampRecord) -> Belief {
        let belief = self.belief_with(fitment);
        if record.springs_settled { belief.with_springs_settled() } else { belief }
    }

    fn on_recorded_floor(
        &self,
        record: &RampRecord,
        fitment: &Fitment,
        belief: &Belief,
    ) -> Result<Solved, CannotStand> {
        let state = LoadState::OnTheRamp;
        let rise_m = record.floor_rise_mm.map(m_from_mm);
        fitment.solved_on_floor(&self.van, &self.carried(state), belief, state, rise_m)
    }

    /// What corner weights on the ramp teach, and the doubt where they do not fit and nothing is learned from them.
    fn weighed_on_the_ramp(
        &self,
        record: &RampRecord,
        fitment: &Fitment,
        belief: Belief,
    ) -> Result<(Belief, Option<Doubt>), CannotStand> {
        let Some(corner_kg) = record.corner_kg else { return Ok((belief, None)) };
        let scales = ScaleReading::Corners(corner_kg);
        let reading = |solved: &Solved| weighing_reading(&scales, solved, &self.catalogue.tolerances);
        let solve = |at: &Belief| self.on_recorded_floor(record, fitment, at);
        if let Some(apart_kg) = unlikely(&belief, &reading(&solve(&belief)?), 1.0) {
            return Ok((belief, Some(Doubt::CornerWeights { apart_kg })));
        }
        Ok((observed(&belief, &reading, solve)?, None))
    }

    /// Mean of the readings; each was taken after a settling of its own, so friction and reading error both average.
    fn ramp_reading(&self, record: &RampRecord, solved: &Solved) -> Reading {
        let count = record.readings_mm.len() as f64;
        let reading_sd_m = m_from_mm(self.catalogue.tolerances.arch_reading_mm) / NINE_IN_TEN_SD;
        let noise = solved.height_noise_m2(reading_sd_m);
        (
            DVector::from_iterator(4, mean_reading_mm(record).map(m_from_mm)),
            DVector::from_row_slice(&solved.rest.arch_height_m),
            DMatrix::from_fn(4, solved.responses.len(), |i, j| solved.responses[j].arch_height_m[i]),
            noise / count,
        )
    }

    fn turning(
        &self,
        kit: &Kit,
        record: &RampRecord,
        fitment: &Fitment,
        before: &Belief,
        belief: &Belief,
    ) -> Result<CorrectionOutcome, CannotStand> {
        let aim = self.enquiry.aim;
        let aim_m = self.aimed_arch_m(&aim);
        let (mut turned, mut remarks) = self.turned_on_by_quarters(kit, fitment, belief, aim.state, aim_m)?;
        for axle in [FRONT, REAR] {
            if let Some(collar) = collar_of(kit, axle) {
                remarks.extend(self.raised_enough(&mut turned, belief, axle, collar, aim.state)?);
            }
        }
        let (mut split_turns, mut diagonal_load_kg) = ([0.0; 4], 0.0);
        if record.unequal_asked
            && let Some(split) = self.split(kit, &turned, belief, aim.state)?
        {
            (turned, split_turns, diagonal_load_kg) = (split.fitment, split.turns, split.diagonal_load_kg);
        }
        let miss_now_mm = self.misses_mm(fitment, belief, aim.state, aim_m)?;
        let miss_after_mm = self.misses_mm(&turned, belief, aim.state, aim_m)?;
        let gain = |axle: usize| miss_now_mm[axle].value.abs() - miss_after_mm[axle].value.abs();
        let must_rise = self.rises_from_too_low(kit, fitment, &turned, belief, aim.state)?;
        let worth_it = must_rise
            || [FRONT, REAR].into_iter().any(|axle| gain(axle) >= LEAST_GAIN_MM)
            || split_turns.iter().any(|turns| *turns != 0.0);
        let chosen = if worth_it { &turned } else { fitment };
        let solved = self.on_recorded_floor(record, chosen, belief)?;
        let turning = Turning {
            collars: collar_turns(kit, fitment, chosen),
            adjustable: fitment.collars,
            corners: corrected_corners(record, &solved, belief),
            miss_after_mm: if worth_it { miss_after_mm } else { miss_now_mm.clone() },
            miss_now_mm,
            learned: learned(before, belief),
            remarks,
            diagonal_load_kg: if worth_it { diagonal_load_kg } else { 0.0 },
        };
        Ok(if worth_it { CorrectionOutcome::Turn(turning) } else { CorrectionOutcome::LeaveIt(turning) })
    }

    /// Whether an axle that stands lower than captive springs and bump travel allow is turned up.
    fn rises_from_too_low(
        &self,
        kit: &Kit,
        fitment: &Fitment,
        turned: &Fitment,
        belief: &Belief,
        state: LoadState,
    ) -> Result<bool, CannotStand> {
        for axle in [FRONT, REAR] {
            let Some(collar) = collar_of(kit, axle) else { continue };
            let up_m = axle_mean(&turned.collar_turned_m, axle) - axle_mean(&fitment.collar_turned_m, axle);
            if up_m > 0.5 * quarter_turn_m(collar) && self.too_low(fitment, belief, axle, state)? {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// Turns pairs of collars on by the quarter turns that bring both axles closest to the aim, within the threads.
    fn turned_on_by_quarters(
        &self,
        kit: &Kit,
        fitment: &Fitment,
        belief: &Belief,
        state: LoadState,
        aim_m: [f64; 2],
    ) -> Result<(Fitment, Vec<Remark>), CannotStand> {
        let mut turned_m = [0.0; 2];
        let mut turned = fitment.clone();
        for _ in 0..6 {
            let (van, rest) = self.at_rest(&turned, belief, state)?;
            let change =
                pair_turns(&van, &rest, turned.collars, self.axle_misses(&rest, turned.collars, aim_m));
            for axle in [FRONT, REAR] {
                turned_m[axle] += change[axle].clamp(-0.03, 0.03);
            }
            turned = with_pairs_turned(kit, fitment, turned_m, false);
            if change.iter().all(|c| c.abs() < 1e-7) {
                break;
            }
        }
        let within = with_pairs_turned(kit, fitment, turned_m, false);
        let remarks = [FRONT, REAR]
            .into_iter()
            .filter(|&axle| {
                let reached_m = within.collar_turned_m[2 * axle] - fitment.collar_turned_m[2 * axle];
                let short_m = (turned_m[axle] - reached_m).abs();
                collar_of(kit, axle).is_some_and(|collar| short_m > quarter_turn_m(collar))
            })
            .map(|axle| {
                let end = if turned_m[axle] < 0.0 { CollarEnd::Lowest } else { CollarEnd::Highest };
                let adjuster = fitment.adjusters[axle];
                Remark::look_at_it(Meaning::CollarsAtEnd { axle: Axle::of(axle), adjuster, end })
            })
            .collect();
        Ok((with_pairs_turned(kit, fitment, turned_m, true), remarks))
    }

    fn misses_mm(
        &self,
        fitment: &Fitment,
        belief: &Belief,
        state: LoadState,
        aim_m: [f64; 2],
    ) -> Result<[Figure; 2], CannotStand> {
        let solved = fitment.solved(&self.van, &self.carried(state), belief, state)?;
        Ok(axle_misses_mm(belief, &solved, fitment.collars, aim_m))
    }
}

/// Settled readings against what was expected of them.
struct Unexplained<'a> {
    solved: &'a Solved,
    /// What is turned at each axle.
    adjusters: [Adjuster; 2],
    measured: DVector<f64>,
    predicted: DVector<f64>,
    residual: DVector<f64>,
    /// Factor of the readings' predicted covariance.
    spread: Cholesky<f64, Dyn>,
}

/// One thing that would explain readings.
struct SingleCause {
    what: Suspect,
    /// By how much the squared Mahalanobis distance falls once it is allowed for: twice the logarithm of the likelihood
    /// ratio.
    explains: f64,
    /// Twice the fall of the logarithm of the evidence, its amount normal with the usual size as standard deviation.
    weighs: f64,
    suspicion: Suspicion,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Suspect {
    Reading,
    Collar,
    Spring,
}

impl Suspect {
    /// How far such a thing usually is off where it is wrong, m or share of the rate (own estimate): causes that may be of
    /// any size explain more by chance, which their evidence takes off again.
    fn usual_size(self) -> f64 {
        match self {
            Self::Reading => 0.020,
            Self::Collar => 0.010,
            Self::Spring => 0.25,
        }
    }
}

impl<'a> Unexplained<'a> {
    fn of(belief: &Belief, solved: &'a Solved, adjusters: [Adjuster; 2], reading: Reading) -> Option<Self> {
        let (measured, predicted, slopes, noise) = reading;
        let spread = (belief.covariance_along(&slopes) + noise).cholesky()?;
        let residual = &measured - &predicted;
        Some(Self { solved, adjusters, measured, predicted, residual, spread })
    }

    /// Squared Mahalanobis distance.
    fn distance(&self, residual: &DVector<f64>) -> f64 {
        residual.dot(&self.spread.solve(residual))
    }

    /// Holds the readings against their predicted spread (Mahalanobis distance, chi-squared with four degrees of
    /// freedom) and, where they are too unlikely, looks for the single thing that would explain them.
    fn misfit(&self, kit: &Kit, record: &RampRecord) -> Option<Misfit> {
        let bound = chi_squared_quantile(4.0, 1.0 - 1.0 / UNLIKELY_ONE_IN)?;
        let all = self.distance(&self.residual);
        if all <= bound {
            return None;
        }
        let (swap_fits, cause_fits) = (chi_squared_quantile(4.0, 0.99)?, chi_squared_quantile(3.0, 0.99)?);
        // what is left unexplained, in terms of the logarithm of the evidence
        let mut may_be: Vec<(f64, Suspicion)> = Vec::new();
        for (swap, readings) in SWAPS {
            let swapped = DVector::from_iterator(4, swap.iter().map(|&i| self.measured[i]));
            let left = self.distance(&(swapped - &self.predicted));
            if left <= swap_fits {
                may_be.push((left, Suspicion::Exchanged { readings }));
            }
        }
        let causes = self.single_causes(kit, record).into_iter();
        may_be.extend(
            causes
                .filter(|cause| all - cause.explains <= cause_fits)
                .map(|cause| (all - cause.weighs, cause.suspicion)),
        );
        may_be.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut may_be: Vec<Suspicion> = may_be.into_iter().map(|(_, suspicion)| suspicion).collect();
        if may_be.is_empty() {
            may_be.push(Suspicion::NoSingleCause);
        }
        let less_mm = std::array::from_fn(|i| mm_from_m(self.residual[i]));
        Some(Misfit { read_less_expected_mm: less_mm, may_be })
    }

    /// Every reading, recorded collar and spring as the only thing that is not as it should be. A reading that is allowed
    /// for leaves the other three as they are: its distance is theirs alone.
    fn single_causes(&self, kit: &Kit, record: &RampRecord) -> Vec<SingleCause> {
        let sensitivities = Sensitivities::at(&self.solved.van, &self.solved.rest);
        let moved = |parameter| DVector::from_row_slice(&sensitivities.response_to(parameter).arch_height_m);
        let mut causes = Vec::new();
        for i in 0..4 {
            let of_this = DVector::from_fn(4, |k, _| f64::from(u8::from(k == i)));
            causes.extend(self.single(Suspect::Reading, &of_this, |amount_m| {
                Some(Suspicion::Reading { corner: i, too_high_mm: mm_from_m(amount_m) })
            }));
            let adjuster = self.adjusters[axle_of(i)];
            causes.extend(self.single(Suspect::Collar, &moved(Parameter::SeatShift(i)), |amount_m| {
                let (collar, recorded_mm) = (collar_of(kit, axle_of(i))?, record.collar_mm[i]?);
                let higher_mm = mm_from_m(amount_m);
                (collar.lowest_mm..=collar.highest_mm)
                    .contains(&(recorded_mm + higher_mm))
                    .then_some(Suspicion::Collar { corner: i, adjuster, higher_mm })
            }));
            causes.extend(self.single(Suspect::Spring, &moved(Parameter::SpringRate(i)), |share| {
                Some(Suspicion::Spring { corner: i, stiffer_percent: 100.0 * share })
            }));
        }
        causes
    }

    /// The amount of one cause that explains most, by generalised least squares; `None` where it moves no reading or that
    /// amount cannot be.
    fn single(
        &self,
        what: Suspect,
        lever: &DVector<f64>,
        suspicion: impl Fn(f64) -> Option<Suspicion>,
    ) -> Option<SingleCause> {
        let (weight, pull) =
            (lever.dot(&self.spread.solve(lever)), lever.dot(&self.spread.solve(&self.residual)));
        let amount = pull / weight;
        if !amount.is_finite() {
            return None;
        }
        let explains = pull * amount;
        let sharper = weight * what.usual_size().powi(2);
        let weighs = explains * sharper / (1.0 + sharper) - sharper.ln_1p();
        suspicion(amount).map(|suspicion| SingleCause { what, explains, weighs, suspicion })
    }

    /// The collar that is suspected although all readings together pass, because it alone explains them: its likelihood ratio would come by chance
    /// once in [`COLLAR_DOUBTED_ONE_IN`] sound jobs (chi-squared with one degree of freedom, over all collars together).
    fn doubted_collar(&self, kit: &Kit, record: &RampRecord) -> Option<Doubt> {
        let collars = record.collar_mm.iter().flatten().count() as f64;
        if collars < 1.0 {
            return None;
        }
        let bound = chi_squared_quantile(1.0, 1.0 - 1.0 / (COLLAR_DOUBTED_ONE_IN * collars))?;
        let (all, rest_fits) = (self.distance(&self.residual), chi_squared_quantile(3.0, 0.99)?);
        let causes = self.single_causes(kit, record);
        let best = causes
            .into_iter()
            .filter(|cause| cause.what == Suspect::Collar && all - cause.explains <= rest_fits)
            .max_by(|a, b| a.explains.total_cmp(&b.explains))?;
        (best.explains > bound).then_some(Doubt::Collar { suspicion: best.suspicion })
    }
}

/// A collar is doubted by its likelihood ratio alone in one of so many jobs where all is sound: with the readings' own
/// gate well below one job in a hundred.
const COLLAR_DOUBTED_ONE_IN: f64 = 300.0;

/// Order in which corners would have to be read for the record to fit.
const SWAPS: [([usize; 4], Exchange); 4] = [
    ([1, 0, 2, 3], Exchange::FrontLeftAndRight),
    ([0, 1, 3, 2], Exchange::RearLeftAndRight),
    ([1, 0, 3, 2], Exchange::LeftAndRight),
    ([2, 3, 0, 1], Exchange::FrontAndRear),
];

fn refusals(record: &RampRecord) -> Vec<Refusal> {
    let mut reasons = Vec::new();
    if record.settled == Settled::OnlyLowered {
        reasons.push(Refusal::OnlyLowered);
    }
    if !record.load_as_listed {
        reasons.push(Refusal::LoadNotAsListed);
    }
    if !record.bushes_reclamped {
        reasons.push(Refusal::BushesNotReclamped);
    }
    reasons
}

fn mean_reading_mm(record: &RampRecord) -> impl Iterator<Item = f64> {
    let count = record.readings_mm.len() as f64;
    (0..4).map(move |i| record.readings_mm.iter().map(|reading| reading[i]).sum::<f64>() / count)
}

fn with_pairs_turned(kit: &Kit, fitment: &Fitment, turned_m: [f64; 2], in_quarters: bool) -> Fitment {
    let mut turned = fitment.clone();
    for i in 0..4 {
        let Some(collar) = collar_of(kit, axle_of(i)) else { continue };
        let quarter_m = quarter_turn_m(collar);
        let (least_m, most_m) = (
            m_from_mm(collar.lowest_mm - collar.delivered_mm) - fitment.collar_turned_m[i],
            m_from_mm(collar.highest_mm - collar.delivered_mm) - fitment.collar_turned_m[i],
        );
        let by_m = turned_m[axle_of(i)].clamp(least_m, most_m);
        let quarters = by_m / quarter_m;
        let whole = if quarters * quarter_m >= most_m || quarters * quarter_m <= least_m {
            quarters.trunc()
        } else {
            quarters.round()
        };
        turned.collar_turned_m[i] += if in_quarters { whole * quarter_m } else { by_m };
    }
    turned
}

fn collar_turns(kit: &Kit, from: &Fitment, to: &Fitment) -> Vec<CollarTurn> {
    (0..4)
        .filter_map(|i| {
            let collar = collar_of(kit, axle_of(i))?;
            let turns = mm_from_m(to.collar_turned_m[i] - from.collar_turned_m[i]) / collar.thread_pitch_mm;
            // quarters, without the dust of binary fractions
            let turns = 0.25 * (4.0 * turns).round();
            Some(CollarTurn {
                corner: CORNER_WORDS[i],
                adjuster: from.adjusters[axle_of(i)],
                turns,
                way: way_of(turns),
                new_position_mm: collar.delivered_mm + mm_from_m(to.collar_turned_m[i]),
            })
        })
        .collect()
}

fn corrected_corners(record: &RampRecord, solved: &Solved, belief: &Belief) -> Vec<CorrectedCorner> {
    mean_reading_mm(record)
        .enumerate()
        .map(|(i, read_arch_height_mm)| CorrectedCorner {
            corner: CORNER_WORDS[i],
            read_arch_height_mm,
            expected_arch_height_mm: belief
                .figure(mm_from_m(solved.rest.arch_height_m[i]), &solved.row(|r| 1e3 * r.arch_height_m[i])),
        })
        .collect()
}

/// A spread that shrank by less than this share was not learned.
const LEARNED_SHARE: f64 = 0.1;

/// What the readings narrowed, and the rates that four heights at one load cannot tell.
fn learned(before: &Belief, after: &Belief) -> Vec<Learned> {
    let mut learned = Vec::new();
    for axle in [FRONT, REAR] {
        let mut best: Option<(f64, usize)> = None;
        for (j, unknown) in before.unknowns.iter().enumerate() {
            let (was, is) = (before.variance(j), after.variance(j));
            let is_rate = unknown.effects.iter().any(|(p, _)| matches!(p, Parameter::SpringRate(_)));
            let of_axle = unknown.effects.iter().any(|(p, _)| p.corner().is_some_and(|i| i / 2 == axle));
            if was > 0.0 && of_axle && !is_rate {
                let shrink = 1.0 - is / was;
                if shrink > LEARNED_SHARE && best.is_none_or(|(most, _)| shrink > most) {
                    best = Some((shrink, j));
                }
            }
        }
        if let Some((shrink, j)) = best {
            learned.push(Learned::MostOf {
                axle: Axle::of(axle),
                cause: before.unknowns[j].cause.clone(),
                variance_fell_percent: 100.0 * shrink,
            });
        }
    }
    learned.push(Learned::RatesNotIdentifiable);
    learned
}
