//! What is not known exactly about a van, and how measuring narrows it.
//!
//! Every unknown is a normal quantity that acts on the mechanics through [`Parameter`]s. A belief is their joint
//! distribution; readings change it by Bayes' rule (linear-Gaussian update, re-linearised about the improved middle:
//! the iterated Kalman filter, B. M. Bell and F. W. Cathey, IEEE Trans. Automatic Control 38, 1993).

use mechanics::statics::{FRONT, Parameter, REAR, axle_of, side_of};
use nalgebra::{DMatrix, DVector};

use crate::assembly::{AxleParts, PreparedVan, SpringKnowledge};
use crate::enquiry::Enquiry;
use crate::figure::{Contribution, Evidence, Figure, NINE_IN_TEN_SD};
use crate::load_list::LoadState;
use crate::tolerances::Tolerances;
use crate::units::{m_from_mm, pa_from_bar, share_from_percent};
use crate::wording::{Adjuster, Axle, Cause, Remedy, Springs};

/// Where the parts of a fitment come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// On the van today.
    Fitted,
    /// Out of the kit.
    Kit,
    /// Original and new, as a yardstick.
    AsNew,
}

/// Origin of the parts of one axle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AxleOrigin {
    /// Of springs and their seats.
    pub spring: Origin,
    /// Of bump stops.
    pub stop: Origin,
    /// Of dampers.
    pub damper: Origin,
    /// Of collars or adjusting bolts.
    pub collar: Origin,
    /// Of leaves that join the main ones.
    pub added_leaves: Origin,
    /// Of blocks between axle and leaves.
    pub block: Origin,
    /// Of auxiliary air springs.
    pub air: Origin,
}

impl AxleOrigin {
    /// All parts of one origin.
    pub fn all(origin: Origin) -> Self {
        let [spring, stop, damper, collar, added_leaves, block, air] = [origin; 7];
        Self { spring, stop, damper, collar, added_leaves, block, air }
    }
}

/// What an unknown belongs to: it counts only in fitments that have that part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// The van and its load, whatever is fitted.
    Van,
    /// Springs of an axle.
    Spring(usize, Origin),
    /// Bump stops of an axle.
    Stop(usize, Origin),
    /// Dampers of an axle.
    Damper(usize, Origin),
    /// Collars or adjusting bolts of an axle.
    Collar(usize, Origin),
    /// Leaves of an axle that join the main ones.
    AddedLeaves(usize, Origin),
    /// Blocks of an axle.
    Block(usize, Origin),
    /// Auxiliary air springs of an axle.
    Air(usize, Origin),
}

impl Part {
    /// Whether a fitment with these origins has the part.
    pub fn is_in(self, origins: &[AxleOrigin; 2]) -> bool {
        match self {
            Self::Van => true,
            Self::Spring(axle, origin) => origins[axle].spring == origin,
            Self::Stop(axle, origin) => origins[axle].stop == origin,
            Self::Damper(axle, origin) => origins[axle].damper == origin,
            Self::Collar(axle, origin) => origins[axle].collar == origin,
            Self::AddedLeaves(axle, origin) => origins[axle].added_leaves == origin,
            Self::Block(axle, origin) => origins[axle].block == origin,
            Self::Air(axle, origin) => origins[axle].air == origin,
        }
    }
}

/// One thing that is not known exactly.
#[derive(Debug, Clone, PartialEq)]
pub struct Unknown {
    /// What it is, in words.
    pub cause: Cause,
    /// What it belongs to.
    pub part: Part,
    /// Load states in which it counts; `None` for all.
    pub states: Option<Vec<LoadState>>,
    /// How one unit of it acts on the mechanics.
    pub effects: Vec<(Parameter, f64)>,
    /// Expected value, in units of the effects.
    pub mean: f64,
    /// Standard deviation.
    pub sd: f64,
    /// Evidence behind the stated value it deviates from.
    pub evidence: Evidence,
    /// What would narrow it.
    pub remedy: Remedy,
}

impl Unknown {
    /// Whether it is what new springs lose in their first weeks.
    pub(crate) fn is_settling(&self) -> bool {
        self.cause.is_settling()
    }

    /// Whether it counts in a fitment and load state.
    pub fn counts(&self, origins: &[AxleOrigin; 2], state: LoadState) -> bool {
        self.part.is_in(origins) && self.states.as_ref().is_none_or(|states| states.contains(&state))
    }
}

/// Joint distribution of a list of unknowns.
#[derive(Debug, Clone, PartialEq)]
pub struct Belief {
    /// The unknowns, in the order of mean and covariance.
    pub unknowns: Vec<Unknown>,
    /// Expected values.
    pub mean: DVector<f64>,
    /// Covariance.
    pub covariance: DMatrix<f64>,
    /// The unknowns of each cause, in the order of the first of each: figures name causes, not unknowns.
    of_cause: Vec<Vec<usize>>,
}

impl Belief {
    /// Independent unknowns as stated.
    pub fn of(unknowns: Vec<Unknown>) -> Self {
        let mean = DVector::from_iterator(unknowns.len(), unknowns.iter().map(|u| u.mean));
        let variances = DVector::from_iterator(unknowns.len(), unknowns.iter().map(|u| u.sd * u.sd));
        let covariance = DMatrix::from_diagonal(&variances);
        let mut belief = Self { unknowns, mean, covariance, of_cause: Vec::new() };
        belief.group_by_cause(0);
        belief
    }

    /// The same unknowns expected at other values.
    #[must_use]
    pub fn with_mean(&self, mean: DVector<f64>) -> Self {
        Self { mean, ..self.clone() }
    }

    /// Puts the unknowns from one on to those of the same cause.
    fn group_by_cause(&mut self, from: usize) {
        for i in from..self.unknowns.len() {
            let cause = &self.unknowns[i].cause;
            let same = |members: &&mut Vec<usize>| self.unknowns[members[0]].cause == *cause;
            match self.of_cause.iter_mut().find(same) {
                Some(members) => members.push(i),
                None => self.of_cause.push(vec![i]),
            }
        }
    }

    /// This belief with further, independent unknowns behind it.
    #[must_use]
    pub fn joined(&self, more: Vec<Unknown>) -> Self {
        let other = Self::of(more);
        let (n, m) = (self.mean.len(), other.mean.len());
        let mut joined = self.clone();
        joined.unknowns.extend(other.unknowns);
        joined.group_by_cause(n);
        joined.mean = DVector::from_fn(n + m, |i, _| if i < n { self.mean[i] } else { other.mean[i - n] });
        joined.covariance = DMatrix::zeros(n + m, n + m);
        joined.covariance.view_mut((0, 0), (n, n)).copy_from(&self.covariance);
        joined.covariance.view_mut((n, n), (m, m)).copy_from(&other.covariance);
        joined
    }

    /// This belief for a van whose springs have been driven in: what they lose counts in every load state.
    #[must_use]
    pub(crate) fn with_springs_settled(mut self) -> Self {
        self.unknowns
            .iter_mut()
            .filter(|unknown| unknown.is_settling())
            .for_each(|unknown| unknown.states = None);
        self
    }

    /// Belief after readings y = h(x) + noise, h linearised as `predicted + slopes (x - at)`.
    ///
    /// `None` when readings and noise do not determine an update (a singular innovation).
    #[must_use]
    pub fn updated(&self, reading: &LinearReading) -> Option<Self> {
        let h = &reading.slopes;
        let innovation = &reading.measured - &reading.predicted - h * (&self.mean - &reading.at);
        let ph = &self.covariance * h.transpose();
        let spread = h * &ph + &reading.noise;
        let gain = spread.cholesky()?.solve(&ph.transpose()).transpose();
        let mut updated = self.clone();
        updated.mean += &gain * innovation;
        updated.covariance -= &gain * ph.transpose();
        // rounding must not leave the covariance lopsided
        updated.covariance = 0.5 * (&updated.covariance + updated.covariance.transpose());
        Some(updated)
    }

    /// Variance of `row` · x.
    pub(crate) fn variance_along(&self, row: &DVector<f64>) -> f64 {
        row.dot(&self.spread_along(row)).max(0.0)
    }

    /// Covariance of `row` · x with every unknown.
    fn spread_along(&self, row: &DVector<f64>) -> DVector<f64> {
        let mut spread = DVector::zeros(row.len());
        // most unknowns do not move a figure
        for (j, &slope) in row.iter().enumerate().filter(|(_, slope)| **slope != 0.0) {
            spread.axpy(slope, &self.covariance.column(j), 1.0);
        }
        spread
    }

    /// A figure that changes by `row` · x around `value`.
    pub fn figure(&self, value: f64, row: &DVector<f64>) -> Figure {
        let spread = self.spread_along(row);
        let variance = row.dot(&spread).max(0.0);
        let widened_by = self.contributions(row, &spread, variance);
        Figure::with_sd(value, variance.sqrt(), Evidence::Computed, widened_by)
    }

    fn contributions(&self, row: &DVector<f64>, spread: &DVector<f64>, variance: f64) -> Vec<Contribution> {
        if variance <= 0.0 {
            return Vec::new();
        }
        let mut shares: Vec<(usize, f64)> = self
            .of_cause
            .iter()
            .filter(|members| members.iter().any(|&i| row[i] != 0.0))
            .map(|members| (members[0], (self.explained(members, spread) / variance).clamp(0.0, 1.0)))
            .filter(|(_, share)| *share >= LEAST_SHARE_SHOWN)
            .collect();
        shares.sort_by(|(_, a), (_, b)| b.total_cmp(a));
        shares.truncate(MOST_CAUSES_SHOWN);
        let contribution = |(i, share): (usize, f64)| Contribution {
            cause: self.unknowns[i].cause.clone(),
            share,
            evidence: self.unknowns[i].evidence,
            remedy: self.unknowns[i].remedy,
            half_width_without: NINE_IN_TEN_SD * ((1.0 - share) * variance).sqrt(),
        };
        shares.into_iter().map(contribution).collect()
    }

    /// Variance of a figure that would go if some unknowns were known exactly: cᵀ Σ⁻¹ c, with the covariance c of the
    /// figure with them and their own covariance Σ (conditional normal distribution). Readings leave unknowns
    /// correlated: what each adds to the variance may then be negative or more than all of it, this never.
    fn explained(&self, members: &[usize], spread: &DVector<f64>) -> f64 {
        let variance = |i: usize| self.covariance[(i, i)];
        // an unknown that is known exactly explains nothing, and leaves no variance to divide by
        if let [i] = *members {
            return if variance(i) > 0.0 { spread[i] * spread[i] / variance(i) } else { 0.0 };
        }
        // in units of their standard deviations, so that the factor depends on no unit
        let open: Vec<(usize, f64)> = members
            .iter()
            .map(|&i| (i, 1.0 / variance(i).sqrt()))
            .filter(|(_, per_sd)| *per_sd > 0.0 && per_sd.is_finite())
            .collect();
        // Cholesky's factor row by row, and the forward substitution with it
        let n = open.len();
        let (mut lower, mut solved, mut sum) = (vec![0.0; n * n], vec![0.0; n], 0.0);
        for (k, &(i, per_sd)) in open.iter().enumerate() {
            let (above, row) = lower.split_at_mut(k * n);
            let (mut rest, mut pivot) = (spread[i] * per_sd, 1.0);
            for (l, &(j, per_other_sd)) in open[..k].iter().enumerate() {
                let other = &above[l * n..=l * n + l];
                let known: f64 = row[..l].iter().zip(other).map(|(a, b)| a * b).sum();
                row[l] = (self.covariance[(i, j)] * per_sd * per_other_sd - known) / other[l];
                pivot -= row[l] * row[l];
                rest -= row[l] * solved[l];
            }
            if pivot <= 0.0 || pivot.is_nan() {
                return 0.0;
            }
            row[k] = pivot.sqrt();
            solved[k] = rest / row[k];
            sum += solved[k] * solved[k];
        }
        sum
    }
}

/// Causes that hold less of a variance are not listed.
const LEAST_SHARE_SHOWN: f64 = 0.05;
const MOST_CAUSES_SHOWN: usize = 3;

/// Readings and their linearised prediction.
#[derive(Debug, Clone)]
pub struct LinearReading {
    /// Values read.
    pub measured: DVector<f64>,
    /// Values predicted at `at`.
    pub predicted: DVector<f64>,
    /// Slopes of the prediction, readings by unknowns.
    pub slopes: DMatrix<f64>,
    /// Where the prediction was linearised.
    pub at: DVector<f64>,
    /// Covariance of the readings' own errors.
    pub noise: DMatrix<f64>,
}

fn sd_from_half_width(half_width: f64) -> f64 {
    half_width / NINE_IN_TEN_SD
}

/// Height at which mass nobody listed is taken to sit, m: about bench height.
const UNLISTED_HEIGHT_M: f64 = 0.8;

/// Unknowns of the van and its load.
pub fn van_unknowns(van: &PreparedVan, enquiry: &Enquiry, tolerances: &Tolerances) -> Vec<Unknown> {
    let unlisted_at: [Parameter; 4] = std::array::from_fn(|i| {
        let [x, y, _] = van.table(axle_of(i)).wheel_centre_design_m;
        Parameter::MassAt([x, side_of(i) * y, UNLISTED_HEIGHT_M])
    });
    let mut unknowns = Vec::new();
    let mut add = |cause, effects, half_width: f64, evidence, remedy| {
        let sd = sd_from_half_width(half_width);
        unknowns.push(Unknown {
            cause,
            part: Part::Van,
            states: None,
            effects,
            mean: 0.0,
            sd,
            evidence,
            remedy,
        });
    };
    for (i, at) in unlisted_at.into_iter().enumerate() {
        let cause = Cause::UnlistedMass(Axle::of(axle_of(i)));
        let remedy = Remedy::WeighTheAxles;
        add(cause, vec![(at, 1.0)], tolerances.unlisted_corner_kg, Evidence::Estimated, remedy);
    }
    for i in 0..4 {
        let cause = Cause::ArchLip(i);
        let half_width_m = m_from_mm(tolerances.arch_lip_mm);
        let remedy = Remedy::MeasureAsFound;
        add(cause, vec![(Parameter::LipHeight(i), 1.0)], half_width_m, Evidence::Estimated, remedy);
    }
    add(
        Cause::CentreOfGravityHeight,
        vec![(Parameter::CentreOfGravityHeight, 1.0)],
        m_from_mm(tolerances.centre_of_gravity_height_mm),
        Evidence::Estimated,
        Remedy::NoteHeights,
    );
    for axle in [FRONT, REAR] {
        let of = Axle::of(axle);
        let pair = |of: fn(usize) -> Parameter| vec![(of(2 * axle), 1.0), (of(2 * axle + 1), 1.0)];
        let relative = |percent| share_from_percent(percent);
        add(
            Cause::MotionRatio(of),
            pair(Parameter::SpringTravel),
            relative(tolerances.motion_ratio_percent),
            Evidence::Estimated,
            Remedy::JackTheWheel,
        );
        add(
            Cause::TyreRate(of),
            pair(Parameter::TyreRate),
            relative(van.tyres[axle].rate_within_percent.unwrap_or(tolerances.tyre_rate_percent)),
            Evidence::Estimated,
            Remedy::LoadedRadius,
        );
        add(
            Cause::TyreRadius(of),
            pair(Parameter::TyreRadius),
            m_from_mm(tolerances.tyre_radius_mm),
            Evidence::MakersFigure,
            Remedy::UnloadedRadius,
        );
        if van.axle_sheet(axle).bush_rate_nm_per_deg.is_some() {
            add(
                Cause::BushRate(of),
                pair(Parameter::BushRate),
                relative(tolerances.bush_rate_percent),
                Evidence::Estimated,
                Remedy::ReclampBushes,
            );
        }
        if van.bar(axle).is_some() {
            add(
                Cause::AntiRollBar(of),
                vec![(Parameter::BarRate(axle), 1.0)],
                relative(tolerances.bar_rate_percent),
                Evidence::Estimated,
                Remedy::BarDiameter,
            );
        }
    }
    // what comes and goes is another in every load state: weighing one says nothing of it in the others
    for state in [LoadState::DayToDay, LoadState::FullyLaden, LoadState::OnTheRamp] {
        unknowns.extend(unlisted_at.into_iter().enumerate().map(|(i, at)| Unknown {
            cause: Cause::LooseThings(Axle::of(axle_of(i))),
            part: Part::Van,
            states: Some(vec![state]),
            effects: vec![(at, 1.0)],
            mean: 0.0,
            sd: sd_from_half_width(tolerances.unlisted_loose_corner_kg),
            evidence: Evidence::Estimated,
            remedy: Remedy::WeighInThisState,
        }));
    }
    for carried in &enquiry.items {
        unknowns.push(Unknown {
            cause: Cause::MassOf(carried.item.name.clone()),
            part: Part::Van,
            states: Some(carried.states.clone()),
            effects: vec![(Parameter::MassAt(carried.item.place.point_m()), 1.0)],
            mean: 0.0,
            sd: sd_from_half_width(carried.item.plus_minus_kg),
            evidence: carried.item.evidence,
            remedy: Remedy::WeighIt,
        });
    }
    unknowns
}

/// Words for the corners, in corner order.
pub const CORNER_WORDS: [&str; 4] = ["front left", "front right", "rear left", "rear right"];

/// Collars or adjusting bolts of an axle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Collars {
    /// Which of them.
    pub adjuster: Adjuster,
    /// Both may together be away from where they are said to be by this, m.
    pub within_m: f64,
}

/// Unknowns of the parts of one axle that come from `origin`.
pub fn part_unknowns(
    axle: usize,
    parts: &AxleParts,
    origins: AxleOrigin,
    origin: Origin,
    collars: Option<Collars>,
    tolerances: &Tolerances,
) -> Vec<Unknown> {
    let mut unknowns = Vec::new();
    let whose = Springs { axle: Axle::of(axle), origin };
    if origins.spring == origin {
        spring_unknowns(axle, parts, origin, tolerances, &mut unknowns);
    }
    if let Some(collars) = collars.filter(|_| origins.collar == origin) {
        unknowns.extend(collar_unknowns(axle, whose, collars, tolerances));
    }
    let mut add_pair = |part, cause, of: fn(usize) -> Parameter, half_width: f64, evidence| {
        unknowns.push(Unknown {
            cause,
            part,
            states: None,
            effects: vec![(of(2 * axle), 1.0), (of(2 * axle + 1), 1.0)],
            mean: 0.0,
            sd: sd_from_half_width(half_width),
            evidence,
            remedy: Remedy::PartOnTheBench,
        });
    };
    if origins.stop == origin && parts.stop.is_some() {
        let part = Part::Stop(axle, origin);
        let stiffness = share_from_percent(tolerances.stop_stiffness_percent);
        let height_m = m_from_mm(tolerances.stop_height_mm);
        let cause = Cause::StopStiffness(whose);
        add_pair(part, cause, Parameter::StopStiffness, stiffness, Evidence::Estimated);
        let cause = Cause::StopHeight(whose);
        add_pair(part, cause, Parameter::StopHeight, height_m, Evidence::MakersFigure);
    }
    if origins.added_leaves == origin && !parts.added_leaves.is_empty() {
        let part = Part::AddedLeaves(axle, origin);
        let share = share_from_percent(tolerances.added_leaf_rate_percent);
        let cause = Cause::AddedLeafRate(whose);
        add_pair(part, cause, Parameter::AddedLeafRate, share, Evidence::MakersFigure);
        let camber_m = m_from_mm(tolerances.added_leaf_touch_mm);
        let cause = Cause::AddedLeafTouch(whose);
        add_pair(part, cause, Parameter::AddedLeafTouch, camber_m, Evidence::MakersFigure);
    }
    if origins.block == origin && parts.leaf_fittings.block_m != 0.0 {
        let height_m = m_from_mm(tolerances.block_height_mm);
        // a higher block holds axle and leaves further apart, as a seat does that is moved
        let (part, cause) = (Part::Block(axle, origin), Cause::BlockHeight(whose));
        add_pair(part, cause, Parameter::SeatShift, height_m, Evidence::MakersFigure);
    }
    if origins.air == origin && parts.air.is_some() {
        let (part, cause) = (Part::Air(axle, origin), Cause::AirPressure(whose));
        let pressure_pa = pa_from_bar(tolerances.air_pressure_bar);
        add_pair(part, cause, Parameter::AirPressure, pressure_pa, Evidence::Measured);
    }
    if origins.damper == origin {
        let part = Part::Damper(axle, origin);
        let cause = Cause::GasForce(whose);
        add_pair(part, cause, Parameter::GasForce, tolerances.gas_force_n, Evidence::Estimated);
        let cause = Cause::DamperLength(whose);
        let length_m = m_from_mm(tolerances.damper_length_mm);
        add_pair(part, cause, Parameter::DamperLength, length_m, Evidence::MakersFigure);
    }
    unknowns
}

/// Where collars may be other than said: both together where nobody measured them, and each by itself.
fn collar_unknowns(axle: usize, whose: Springs, collars: Collars, tolerances: &Tolerances) -> Vec<Unknown> {
    let unknown = |corners: &[usize], half_width_m, evidence, remedy| Unknown {
        cause: Cause::CollarPosition(whose, collars.adjuster),
        part: Part::Collar(axle, whose.origin),
        states: None,
        effects: corners.iter().map(|&i| (Parameter::SeatShift(i), 1.0)).collect(),
        mean: 0.0,
        sd: sd_from_half_width(half_width_m),
        evidence,
        remedy,
    };
    let sides = [2 * axle, 2 * axle + 1];
    let mut unknowns = Vec::new();
    if collars.within_m > 0.0 {
        unknowns.push(unknown(&sides, collars.within_m, Evidence::Estimated, Remedy::MeasureFromDatum));
    }
    let each_m = m_from_mm(tolerances.collar_position_mm);
    unknowns.extend(sides.map(|i| unknown(&[i], each_m, Evidence::Measured, Remedy::MeasureCollar)));
    unknowns
}

/// New springs lose a little of their free length in their first weeks: after the ramp, before everything else. A van
/// that is aimed at on the ramp is aimed at as it is read there: no settling is allowed for.
fn settling(part: Part, springs: Springs, corners: [usize; 2], tolerances: &Tolerances) -> Unknown {
    Unknown {
        cause: Cause::Settling(springs),
        part,
        states: Some(vec![LoadState::AsFittedOut, LoadState::DayToDay, LoadState::FullyLaden]),
        effects: corners.map(|i| (Parameter::FreeLength(i), -1.0)).to_vec(),
        mean: m_from_mm(tolerances.settling_expected_mm),
        sd: sd_from_half_width(m_from_mm(tolerances.settling_mm)),
        evidence: Evidence::Estimated,
        remedy: Remedy::ReadAtRecheck,
    }
}

fn spring_unknowns(
    axle: usize,
    parts: &AxleParts,
    origin: Origin,
    tolerances: &Tolerances,
    unknowns: &mut Vec<Unknown>,
) {
    let part = Part::Spring(axle, origin);
    let springs = Springs { axle: Axle::of(axle), origin };
    let (left, right) = (2 * axle, 2 * axle + 1);
    if origin == Origin::Kit && parts.spring_knowledge == SpringKnowledge::Stated {
        unknowns.push(settling(part, springs, [left, right], tolerances));
    }
    let mut add = |cause: Cause, effects: Vec<(Parameter, f64)>, mean, half_width: f64, evidence, remedy| {
        let sd = sd_from_half_width(half_width);
        unknowns.push(Unknown { cause, part, states: None, effects, mean, sd, evidence, remedy });
    };
    let both = |of: fn(usize) -> Parameter, share: f64| vec![(of(left), share), (of(right), share)];
    let bench = Remedy::SpringsOnTheBench;
    match parts.spring_knowledge {
        SpringKnowledge::DropOnly {
            reference_plus_minus_kg,
            load_at_reference_n,
            free_length_m_per_reference_kg,
            free_length_m_per_arch_m,
            ..
        } => {
            let effects =
                [left, right].map(|i| (Parameter::SpringRateAtLoad(i, load_at_reference_n), 1.0)).to_vec();
            let percent = share_from_percent(tolerances.unknown_rate_percent);
            let cause = Cause::UnpublishedRate(springs);
            add(cause, effects, 0.0, percent, Evidence::Estimated, bench);
            let effects = both(Parameter::FreeLength, free_length_m_per_arch_m);
            let drop_m = m_from_mm(tolerances.maker_drop_mm);
            let cause = Cause::PublishedDrop(springs);
            add(cause, effects, 0.0, drop_m, Evidence::MakersFigure, bench);
            if reference_plus_minus_kg > 0.0 {
                let effects = both(Parameter::FreeLength, free_length_m_per_reference_kg);
                let cause = Cause::ReferenceLoad(springs);
                let remedy = Remedy::AskReferenceLoad;
                add(cause, effects, 0.0, reference_plus_minus_kg, Evidence::Estimated, remedy);
            }
        }
        SpringKnowledge::Original | SpringKnowledge::Stated => {
            let used_original =
                parts.spring_knowledge == SpringKnowledge::Original && origin == Origin::Fitted;
            if used_original {
                let (expected_m, half_width_m) =
                    (m_from_mm(tolerances.sag_expected_mm), m_from_mm(tolerances.sag_mm));
                let remedy = Remedy::MeasureAndWeigh;
                let effects = both(Parameter::FreeLength, -1.0);
                add(Cause::Sag(springs), effects, expected_m, half_width_m, Evidence::Estimated, remedy);
            }
            let pair = share_from_percent(tolerances.spring_rate_pair_percent);
            let cause = Cause::SpringRate(springs);
            add(cause.clone(), both(Parameter::SpringRate, 1.0), 0.0, pair, Evidence::MakersFigure, bench);
            for corner in [left, right] {
                let each = share_from_percent(tolerances.spring_rate_each_percent);
                let effects = vec![(Parameter::SpringRate(corner), 1.0)];
                add(cause.clone(), effects, 0.0, each, Evidence::MakersFigure, bench);
                let length_m = m_from_mm(tolerances.free_length_mm);
                let effects = vec![(Parameter::FreeLength(corner), 1.0)];
                add(Cause::FreeLength(springs), effects, 0.0, length_m, Evidence::MakersFigure, bench);
            }
        }
    }
    let clamp_mm = if origin == Origin::Kit { tolerances.bush_reclamp_mm } else { tolerances.bush_clamp_mm };
    let cause = Cause::BushClamp(Axle::of(axle));
    let remedy = Remedy::ReclampBushes;
    add(cause, both(Parameter::BushClamp, 1.0), 0.0, m_from_mm(clamp_mm), Evidence::Estimated, remedy);
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Unknowns of three causes, the first with two of them.
    fn unknowns() -> Vec<Unknown> {
        let of = |cause: Cause, sd: f64| Unknown {
            cause,
            part: Part::Van,
            states: None,
            effects: Vec::new(),
            mean: 0.0,
            sd,
            evidence: Evidence::Estimated,
            remedy: Remedy::WeighIt,
        };
        let mass = |name: &str| Cause::MassOf(name.to_owned());
        vec![of(mass("a"), 1.0), of(mass("a"), 2.0), of(mass("b"), 3.0), of(mass("c"), 0.5)]
    }

    fn read(belief: &Belief, slopes: [f64; 4], sd: f64) -> Belief {
        let n = belief.unknowns.len();
        let reading = LinearReading {
            measured: DVector::zeros(1),
            predicted: DVector::zeros(1),
            slopes: DMatrix::from_row_slice(1, n, &slopes),
            at: DVector::zeros(n),
            noise: DMatrix::from_element(1, 1, sd * sd),
        };
        belief.updated(&reading).unwrap()
    }

    proptest! {
        /// Readings correlate the unknowns; a share stays what is gained by knowing its cause exactly.
        #[test]
        fn law_a_share_is_what_knowing_its_cause_takes_off_the_variance(
            row in prop::array::uniform4(-2.0..2.0f64),
            read_by in prop::array::uniform4(-2.0..2.0f64),
            noise_sd in 0.05..3.0f64,
        ) {
            let belief = read(&Belief::of(unknowns()), read_by, noise_sd);
            let row = DVector::from_row_slice(&row);
            let figure = belief.figure(7.0, &row);
            for contribution in &figure.widened_by {
                prop_assert!((0.0..=1.0).contains(&contribution.share), "{}", contribution.share);
                let mut known = belief.clone();
                for (i, unknown) in unknowns().iter().enumerate() {
                    if unknown.cause == contribution.cause {
                        known = read(&known, std::array::from_fn(|j| f64::from(u8::from(i == j))), 1e-5);
                    }
                }
                let without = known.figure(7.0, &row).half_width();
                prop_assert!((without - contribution.half_width_without).abs() < 1e-3 * (1.0 + without));
                let gained = 1.0 - (without / figure.half_width()).powi(2);
                prop_assert!((gained - contribution.share).abs() < 2e-3, "{gained} {}", contribution.share);
            }
        }

        #[test]
        fn law_shares_of_independent_causes_add_up(row in prop::array::uniform4(0.5..2.0f64)) {
            let belief = Belief::of(unknowns());
            let figure = belief.figure(0.0, &DVector::from_row_slice(&row));
            let shown: f64 = figure.widened_by.iter().map(|contribution| contribution.share).sum();
            prop_assert!(shown > 1.0 - 3.0 * LEAST_SHARE_SHOWN && shown < 1.0 + 1e-12, "{shown}");
        }
    }
}
