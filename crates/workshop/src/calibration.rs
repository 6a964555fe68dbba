//! What scales and arch heights as found teach about a van before any kit is considered.

use nalgebra::{DMatrix, DVector};
use statrs::distribution::{ChiSquared, ContinuousCDF};

use crate::assembly::{AXLE_NAMES, CannotStand, PreparedVan, axle_mean};
use crate::belief::{Belief, LinearReading, Part};
use crate::enquiry::{Enquiry, HeightReading, ScaleReading};
use crate::figure::{Figure, NINE_IN_TEN_SD};
use crate::fitment::{Fitment, Solved};
use crate::load_list::LoadState;
use crate::loads::Carried;
use crate::tolerances::Tolerances;
use crate::units::{kg_from_n, m_from_mm, mm_from_m};
use crate::wording::{Doing, Meaning, Obstacle};
use mechanics::GRAVITY_M_PER_S2;
use mechanics::statics::{FRONT, Parameter, REAR, Response};

/// The prediction is linearised anew this often about the improved middle.
const LINEARISATIONS: usize = 4;

/// How the arch heights as found differ from what was expected, and what may explain it.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct AsFoundAxle {
    /// Axle.
    pub axle: &'static str,
    /// Mean arch height found, mm.
    pub found_arch_height_mm: f64,
    /// Mean arch height expected on new original springs with the listed load, mm.
    pub expected_as_new_arch_height_mm: f64,
    /// Found less expected, mm; negative: it sits lower.
    pub difference_mm: f64,
    /// Additional load over the axle that would alone explain it, kg.
    pub load_alone_kg: f64,
    /// Loss of free length of both springs that would alone explain it, mm.
    pub sag_alone_mm: f64,
    /// Load beyond the list that is now believed, kg.
    pub unlisted_load_kg: Figure,
    /// Loss of free length that is now believed, mm.
    pub sag_mm: Figure,
    /// Whether weighing has told the two apart.
    pub told_apart: bool,
}

/// Belief about van and fitted parts after every reading of the enquiry, and the readings that do not fit what is known
/// so far: those are kept, but nothing is learned from them.
///
/// # Errors
/// When the van finds no rest.
pub fn calibrated(
    van: &PreparedVan,
    enquiry: &Enquiry,
    fitted: &Fitment,
    prior: &Belief,
    tolerances: &Tolerances,
) -> Result<(Belief, Vec<Meaning>), CannotStand> {
    let mut belief = prior.clone();
    let mut doubts = Vec::new();
    for weighing in &enquiry.weighed {
        let reading = |solved: &Solved| weighing_reading(&weighing.reading, solved, tolerances);
        let solve = |at: &Belief| {
            fitted.solved(van, &Carried::of(van.sheet, enquiry, weighing.state), at, weighing.state)
        };
        match unlikely(&belief, &reading(&solve(&belief)?), 1.0) {
            Some(apart_kg) => doubts.push(Meaning::WeightsDoNotFit { state: weighing.state, apart_kg }),
            None => belief = observed(&belief, &reading, solve)?,
        }
    }
    if let Some(heights) = &enquiry.as_found {
        let reading = |solved: &Solved| height_reading(heights, solved, tolerances);
        let solve = |at: &Belief| {
            fitted.solved(van, &Carried::of(van.sheet, enquiry, heights.state), at, heights.state)
        };
        match unlikely(&belief, &reading(&solve(&belief)?), 1e3) {
            Some(apart_mm) => doubts.push(Meaning::HeightsDoNotFit { apart_mm }),
            None => belief = observed(&belief, &reading, solve)?,
        }
    }
    Ok((belief, doubts))
}

/// Readings less likely than one in this many are not learned from.
pub const UNLIKELY_ONE_IN: f64 = 1000.0;

/// What was measured less what was expected, in shown units, where it is too unlikely: its Mahalanobis distance passes
/// the quantile of the chi-squared distribution.
pub(crate) fn unlikely(
    belief: &Belief,
    (measured, predicted, slopes, noise): &Reading,
    shown_per_unit: f64,
) -> Option<Vec<f64>> {
    let spread = (belief.covariance_along(slopes) + noise).cholesky()?;
    let residual = measured - predicted;
    let distance = residual.dot(&spread.solve(&residual));
    let bound = chi_squared_quantile(residual.len() as f64, 1.0 - 1.0 / UNLIKELY_ONE_IN)?;
    (distance > bound).then(|| residual.iter().map(|difference| difference * shown_per_unit).collect())
}

/// Quantile of the chi-squared distribution; `None` where it has no such freedom.
pub(crate) fn chi_squared_quantile(freedom: f64, probability: f64) -> Option<f64> {
    ChiSquared::new(freedom).ok().map(|distribution| distribution.inverse_cdf(probability))
}

/// Measured values, predicted values, slopes and noise of a reading on a solved van.
pub type Reading = (DVector<f64>, DVector<f64>, DMatrix<f64>, DMatrix<f64>);

/// Updates a belief by one reading, re-linearised about the improved middle.
///
/// # Errors
/// When the van finds no rest at an improved middle.
pub fn observed(
    prior: &Belief,
    reading: &dyn Fn(&Solved) -> Reading,
    solve: impl Fn(&Belief) -> Result<Solved, CannotStand>,
) -> Result<Belief, CannotStand> {
    let mut belief = prior.clone();
    for _ in 0..LINEARISATIONS {
        let solved = solve(&belief)?;
        let (measured, predicted, slopes, noise) = reading(&solved);
        let linear = LinearReading { measured, predicted, slopes, at: belief.mean.clone(), noise };
        belief = prior
            .updated(&linear)
            .ok_or_else(|| CannotStand::of(Doing::Learning, Obstacle::Contradiction))?;
    }
    Ok(belief)
}

/// Scales under a van that rests anywhere within its friction band: friction of a wheel shifts load across the diagonal.
pub(crate) fn weighing_reading(scales: &ScaleReading, solved: &Solved, tolerances: &Tolerances) -> Reading {
    let (measured, groups, half_width_kg): (&[f64], &[&[usize]], f64) = match scales {
        ScaleReading::Axles(axles) => (axles, &[&[0, 1], &[2, 3]], tolerances.weighbridge_axle_kg),
        ScaleReading::Corners(corners) => (corners, &[&[0], &[1], &[2], &[3]], tolerances.corner_scale_kg),
    };
    let grouped = |wheel_load_n: &[f64; 4]| {
        DVector::from_iterator(
            groups.len(),
            groups.iter().map(|group| group.iter().map(|&i| kg_from_n(wheel_load_n[i])).sum()),
        )
    };
    let columns: Vec<DVector<f64>> = solved.responses.iter().map(|r| grouped(&r.wheel_load_n)).collect();
    let scale_kg2 = DMatrix::identity(groups.len(), groups.len()) * (half_width_kg / NINE_IN_TEN_SD).powi(2);
    (
        DVector::from_row_slice(measured),
        grouped(&solved.band.middle.wheel_load_n),
        DMatrix::from_fn(groups.len(), columns.len(), |i, j| columns[j][i]),
        scale_kg2 + solved.friction_covariance(|r| grouped(&r.wheel_load_n)),
    )
}

/// Four arch heights read once, the van resting anywhere within its friction band.
fn height_reading(heights: &HeightReading, solved: &Solved, tolerances: &Tolerances) -> Reading {
    let reading_sd_m = m_from_mm(tolerances.arch_reading_mm) / NINE_IN_TEN_SD;
    (
        DVector::from_iterator(4, heights.arch_height_mm.iter().map(|&mm| m_from_mm(mm))),
        DVector::from_row_slice(&solved.band.middle.arch_height_m),
        DMatrix::from_fn(4, solved.responses.len(), |i, j| solved.responses[j].arch_height_m[i]),
        solved.height_noise_m2(reading_sd_m),
    )
}

/// Explains the arch heights as found, axle by axle; empty when there are none.
///
/// # Errors
/// When the van finds no rest.
pub fn explained(
    van: &PreparedVan,
    enquiry: &Enquiry,
    prior: &Belief,
    belief: &Belief,
) -> Result<Vec<AsFoundAxle>, CannotStand> {
    let Some(found) = &enquiry.as_found else { return Ok(Vec::new()) };
    let carried = Carried::of(van.sheet, enquiry, found.state);
    let nothing_known = Belief::of(Vec::new());
    let as_new = Fitment::as_new(van).solved(van, &carried, &nothing_known, found.state)?;
    let sensitivities = mechanics::statics::Sensitivities::at(&as_new.van, &as_new.band.middle);
    let axle_of_response = |response: &Response, axle: usize| axle_mean(&response.arch_height_m, axle);
    Ok([FRONT, REAR]
        .into_iter()
        .map(|axle| {
            let found_m = m_from_mm(axle_mean(&found.arch_height_mm, axle));
            let expected_m = axle_mean(&as_new.band.middle.arch_height_m, axle);
            let [x, _, z] = van.table(axle).wheel_centre_design_m;
            let per_kg = axle_of_response(&sensitivities.response_to(Parameter::MassAt([x, 0.0, z])), axle);
            let per_free_length: f64 = [2 * axle, 2 * axle + 1]
                .map(|i| axle_of_response(&sensitivities.response_to(Parameter::FreeLength(i)), axle))
                .iter()
                .sum();
            let difference_m = found_m - expected_m;
            let load = axle_mass_row(belief, axle, van, found.state);
            let sag = sag_row(belief, axle);
            let correlation = correlation(belief, &load, &sag);
            let weighed_sd = belief.variance_along(&load).sqrt();
            let guessed_sd = prior.variance_along(&load).sqrt();
            AsFoundAxle {
                axle: AXLE_NAMES[axle],
                found_arch_height_mm: mm_from_m(found_m),
                expected_as_new_arch_height_mm: mm_from_m(expected_m),
                difference_mm: mm_from_m(difference_m),
                load_alone_kg: difference_m / per_kg,
                sag_alone_mm: mm_from_m(-difference_m / per_free_length),
                unlisted_load_kg: belief.figure(load.dot(&belief.mean), &load),
                sag_mm: belief.figure(mm_from_m(sag.dot(&belief.mean)), &(&sag * 1e3)),
                told_apart: correlation.abs() < 0.5 && weighed_sd < 0.5 * guessed_sd,
            }
        })
        .collect())
}

/// Row that adds up what the unknown masses aboard in a load state put on an axle, kg.
fn axle_mass_row(belief: &Belief, axle: usize, van: &PreparedVan, state: LoadState) -> DVector<f64> {
    let wheelbase_m = m_from_mm(van.sheet.wheelbase_mm);
    let mut row = row_of(belief, |effects| {
        effects
            .iter()
            .map(|&(parameter, share)| match parameter {
                Parameter::MassAt(at) if axle == REAR => share * -at[0] / wheelbase_m,
                Parameter::MassAt(at) => share * (1.0 + at[0] / wheelbase_m),
                _ => 0.0,
            })
            .sum()
    });
    for (i, unknown) in belief.unknowns.iter().enumerate() {
        if unknown.states.as_ref().is_some_and(|states| !states.contains(&state)) {
            row[i] = 0.0;
        }
    }
    row
}

/// Row of the loss of free length of an axle's fitted springs, m: sag and the mean of both springs' deviations.
fn sag_row(belief: &Belief, axle: usize) -> DVector<f64> {
    let mut row = row_of(belief, |effects| {
        effects
            .iter()
            .map(|&(parameter, share)| match parameter {
                Parameter::FreeLength(i) if i / 2 == axle => -0.5 * share,
                _ => 0.0,
            })
            .sum()
    });
    for (i, unknown) in belief.unknowns.iter().enumerate() {
        if !matches!(unknown.part, Part::Spring(..)) {
            row[i] = 0.0;
        }
    }
    row
}

fn row_of(belief: &Belief, of: impl Fn(&[(Parameter, f64)]) -> f64) -> DVector<f64> {
    DVector::from_iterator(belief.unknowns.len(), belief.unknowns.iter().map(|unknown| of(&unknown.effects)))
}

fn correlation(belief: &Belief, a: &DVector<f64>, b: &DVector<f64>) -> f64 {
    let product = |p: &DVector<f64>, q: &DVector<f64>| p.dot(&belief.spread_along(q));
    let scale = (product(a, a) * product(b, b)).max(0.0).sqrt();
    if scale > 0.0 { product(a, b) / scale } else { 0.0 }
}

/// Wheel load of a response in kilograms, for rows.
pub fn load_kg(response: &Response, corner: usize) -> f64 {
    response.wheel_load_n[corner] / GRAVITY_M_PER_S2
}
