//! What is not known of a van and its parts as they are stated, before anything is measured.

use mechanics::statics::{FRONT, Parameter, REAR, axle_of, side_of};

use super::{AxleOrigin, Origin, Part, Unknown};
use crate::assembly::{AxleParts, PreparedVan, SpringKnowledge};
use crate::enquiry::Enquiry;
use crate::figure::{Evidence, NINE_IN_TEN_SD};
use crate::load_list::LoadState;
use crate::tolerances::Tolerances;
use crate::units::{m_from_mm, pa_from_bar, share_from_percent};
use crate::wording::{Adjuster, Axle, Cause, Remedy, Springs};

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
