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

/// Where mass that scales found and nobody listed acts as one, by balance of moments about both axes.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct ActsAt {
    /// Weighed less listed, kg; negative: less is aboard than was listed.
    pub mass_kg: f64,
    /// Behind the front axle line, mm, and give or take how much, by what the scales can tell, nine in ten.
    pub behind_front_axle_mm: [f64; 2],
    /// Left of the centre plane, mm, and give or take how much; absent where each axle stood on one scale.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub left_of_centre_mm: Option<[f64; 2]>,
}

impl ActsAt {
    /// Smallest mass that is worth asking about, kg: scales and guessed masses differ by less (common practice, no source).
    const WORTH_ASKING_KG: f64 = 15.0;

    /// On level ground, with each wheel's place ahead of the front axle line and left of the centre plane, mm:
    /// `place = (Σ scale × its place - Σ listed mass × its place) / (Σ scale - Σ listed mass)`. How a stiff body shares the
    /// load across its diagonal does not enter: it moves load between wheels without moment about either axis.
    pub(crate) fn of(
        scales: &ScaleReading,
        carried: &Carried,
        wheels_mm: &[[f64; 2]; 4],
        tolerances: &Tolerances,
    ) -> Option<Self> {
        let (loads_kg, places_mm, half_width_kg): (&[f64], Vec<[f64; 2]>, f64) = match scales {
            ScaleReading::Axles(axles) => {
                (axles, vec![[wheels_mm[0][0], 0.0], [wheels_mm[2][0], 0.0]], tolerances.weighbridge_axle_kg)
            }
            ScaleReading::Corners(corners) => (corners, wheels_mm.to_vec(), tolerances.corner_scale_kg),
        };
        let mass_kg = loads_kg.iter().sum::<f64>() - carried.total_kg();
        if mass_kg.abs() < Self::WORTH_ASKING_KG {
            return None;
        }
        let along = |axis: usize| {
            let weighed: f64 =
                loads_kg.iter().zip(&places_mm).map(|(kg, place_mm)| kg * place_mm[axis]).sum();
            let listed: f64 =
                carried.masses.iter().map(|mass| mass.mass_kg * mm_from_m(mass.at_m[axis])).sum();
            let place_mm = (weighed - listed) / mass_kg;
            let levers_mm2: f64 = places_mm.iter().map(|at_mm| (at_mm[axis] - place_mm).powi(2)).sum();
            [place_mm, half_width_kg * levers_mm2.sqrt() / mass_kg.abs()]
        };
        let [ahead_mm, spread_mm] = along(0);
        let is_by_corners = matches!(scales, ScaleReading::Corners(_));
        Some(Self {
            mass_kg,
            behind_front_axle_mm: [-ahead_mm, spread_mm],
            left_of_centre_mm: is_by_corners.then(|| along(1)),
        })
    }
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
        grouped(&solved.rest.wheel_load_n),
        DMatrix::from_fn(groups.len(), columns.len(), |i, j| columns[j][i]),
        scale_kg2 + solved.friction_covariance(|r| grouped(&r.wheel_load_n)),
    )
}

/// Four arch heights read once, the van resting anywhere within its friction band.
fn height_reading(heights: &HeightReading, solved: &Solved, tolerances: &Tolerances) -> Reading {
    let reading_sd_m = m_from_mm(tolerances.arch_reading_mm) / NINE_IN_TEN_SD;
    (
        DVector::from_iterator(4, heights.arch_height_mm.iter().map(|&mm| m_from_mm(mm))),
        DVector::from_row_slice(&solved.rest.arch_height_m),
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
    let nothing_known = Belief::default();
    let as_new = Fitment::as_new(van).solved(van, &carried, &nothing_known, found.state)?;
    let sensitivities = mechanics::statics::Sensitivities::at(&as_new.van, &as_new.rest);
    let axle_of_response = |response: &Response, axle: usize| axle_mean(&response.arch_height_m, axle);
    Ok([FRONT, REAR]
        .into_iter()
        .map(|axle| {
            let found_m = m_from_mm(axle_mean(&found.arch_height_mm, axle));
            let expected_m = axle_mean(&as_new.rest.arch_height_m, axle);
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

#[cfg(test)]
mod tests {
    use mechanics::statics::PointMass;
    use proptest::prelude::*;

    use super::*;

    const WHEELS_MM: [[f64; 2]; 4] = [[0.0, 810.0], [0.0, -810.0], [-3100.0, 780.0], [-3100.0, -780.0]];

    /// What stands on four scales, from the balance of forces and of moments about both axes (statics of a rigid body);
    /// how the front axle shares its load sideways is free, as the body is stiff.
    fn on_scales(masses: &[PointMass], front_left_more_kg: f64) -> [f64; 4] {
        let sum = |of: fn(&PointMass) -> f64| masses.iter().map(of).sum::<f64>();
        let total_kg = sum(|mass| mass.mass_kg);
        let rear_kg = sum(|mass| mass.mass_kg * -mass.at_m[0]) / 3.1;
        let rear_left_more_kg = (sum(|mass| mass.mass_kg * mass.at_m[1]) - 0.81 * front_left_more_kg) / 0.78;
        let front_kg = total_kg - rear_kg;
        [
            0.5 * (front_kg + front_left_more_kg),
            0.5 * (front_kg - front_left_more_kg),
            0.5 * (rear_kg + rear_left_more_kg),
            0.5 * (rear_kg - rear_left_more_kg),
        ]
    }

    fn masses(count: std::ops::Range<usize>) -> impl Strategy<Value = Vec<PointMass>> {
        let mass = (20.0..600.0, -4.0..0.5, -0.9..0.9, 0.3..1.6);
        let point = mass.prop_map(|(mass_kg, x, y, z)| PointMass { mass_kg, at_m: [x, y, z] });
        proptest::collection::vec(point, count)
    }

    proptest! {
        #[test]
        fn law_mass_that_nobody_listed_is_found_where_moments_about_both_axes_balance(
            listed in masses(1..6), hidden in masses(1..2), front_left_more_kg in -200.0..200.0,
        ) {
            let all = [listed.clone(), hidden.clone()].concat();
            let scales = on_scales(&all, front_left_more_kg);
            let carried = Carried { masses: listed };
            let tolerances = Tolerances::default();
            let found = ActsAt::of(&ScaleReading::Corners(scales), &carried, &WHEELS_MM, &tolerances).unwrap();
            let [x, y, _] = hidden[0].at_m.map(|m| m * 1e3);
            let [behind, left] = [found.behind_front_axle_mm, found.left_of_centre_mm.unwrap()];
            // a sum of some thousand kg times mm, rounded in its last digits and divided by some 20 kg
            prop_assert!((found.mass_kg - hidden[0].mass_kg).abs() < 1e-9);
            prop_assert!((behind[0] + x).abs() < 1e-6 && (left[0] - y).abs() < 1e-6, "{found:?}, {x} {y}");
            // one scale for each axle tells the same lengthwise, and nothing sideways
            let axles = [scales[0] + scales[1], scales[2] + scales[3]];
            let by_axle = ActsAt::of(&ScaleReading::Axles(axles), &carried, &WHEELS_MM, &tolerances).unwrap();
            prop_assert!((by_axle.behind_front_axle_mm[0] - behind[0]).abs() < 1e-6);
            prop_assert_eq!(by_axle.left_of_centre_mm, None);
        }

        #[test]
        fn law_a_scale_that_reads_otherwise_moves_the_place_by_no_more_than_all_four_may(
            listed in masses(1..6), hidden in masses(1..2), off in proptest::array::uniform4(-1.0..1.0_f64),
        ) {
            let all = [listed.clone(), hidden].concat();
            let carried = Carried { masses: listed };
            let tolerances = Tolerances::default();
            let place = |scales| {
                ActsAt::of(&ScaleReading::Corners(scales), &carried, &WHEELS_MM, &tolerances).unwrap()
            };
            let scales = on_scales(&all, 0.0);
            let small_kg = 1e-6;
            let length = off.iter().map(|part| part * part).sum::<f64>().sqrt().max(1e-3);
            let moved = std::array::from_fn(|i| scales[i] + small_kg * off[i] / length);
            let (before, after) = (place(scales), place(moved));
            let [before_mm, spread_mm] = before.left_of_centre_mm.unwrap();
            let moved_mm = (after.left_of_centre_mm.unwrap()[0] - before_mm).abs();
            // errors within a sphere move a place by no more than its gradient (Cauchy and Schwarz)
            let most_mm = spread_mm * small_kg / tolerances.corner_scale_kg;
            prop_assert!(moved_mm <= most_mm * 1.01 + 1e-9, "{moved_mm} {most_mm}");
        }
    }
}
