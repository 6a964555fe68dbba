//! The van of W2 and W5 at rest: four corners with tolerances, and the heights of its arches.
//!
//! The workloads are stated with small angles; the project rotates the body exactly. In plan the van is therefore drawn
//! out [`DRAWN_OUT`] times, which makes the angles that much smaller and leaves everything else as it is: what exact
//! rotation adds falls with the square. Centre of gravity, wheel centres and lips stand at height 0, where the workloads
//! have them. Gas, bushes and friction are zero.

use std::sync::Arc;

use anyhow::{Result, ensure};
use mechanics::curve::Spline;
use mechanics::elements::{AntiRollBar, BumpStop, Damper, Friction, Spring, SpringStack, Tyre};
use mechanics::linkage::{CornerTable, LockReason, OverTravel, Reach, ReachEnd};
use mechanics::statics::{
    BodyPose, CORNERS, Corner, FRONT, FittedBar, FittedStop, FourCorners, Parameter, REAR, Response, Rest,
    Sample, Sensitivities, SprungMass, StopPlace, axle_of, side_of,
};
use serde::Deserialize;

use crate::random::triangular;

/// How many times the van is drawn out in plan. Exact rotation leaves `cos θ cos φ` of each suspension force to carry the
/// body, which at 5 mrad moves the arches by 2e-5 m; a thousandth of the angles leaves 2e-11 m.
pub const DRAWN_OUT: f64 = 1000.0;
/// Quantities drawn: rates and free lengths of the four springs, mass, centre of gravity along and across.
pub const TOLERANCES: usize = 11;
/// Samples solved together.
const TOGETHER: usize = 200;
/// Buckets that values are dealt into to find their percentiles.
const MOST_BUCKETS: usize = 1024;
/// One sample, each from -1 to 1.
pub type Draws = [f64; TOLERANCES];

/// What no kit and no load changes.
#[derive(Debug, Clone)]
pub struct StandingVan {
    van: Plan,
    tyre: TyreInputs,
    arch: ArchInputs,
    monte_carlo: MonteCarlo,
    stops: [BumpStop; 2],
}

#[derive(Deserialize)]
struct Inputs {
    van: Plan,
    tyre: TyreInputs,
    bump_front: StopInputs,
    bump_rear: StopInputs,
    arch: ArchInputs,
    #[serde(rename = "mc")]
    monte_carlo: MonteCarlo,
}

#[derive(Debug, Clone, Deserialize)]
struct Plan {
    x: [f64; CORNERS],
    y: [f64; CORNERS],
    x_ref: f64,
}

#[derive(Debug, Clone, Deserialize)]
struct TyreInputs {
    kt: f64,
    kt2: f64,
    delta0: [f64; CORNERS],
}

#[derive(Debug, Clone, Copy, Deserialize)]
struct StopInputs {
    a2: f64,
    a3: f64,
}

#[derive(Debug, Clone, Deserialize)]
struct ArchInputs {
    design_height: [f64; CORNERS],
    x: [f64; CORNERS],
    y: [f64; CORNERS],
}

#[derive(Debug, Clone, Deserialize)]
struct MonteCarlo {
    tol: Tolerances,
}

#[derive(Debug, Clone, Copy, Deserialize)]
struct Tolerances {
    rate_rel: f64,
    free_length: f64,
    mass: f64,
    x_cg: f64,
    y_cg: f64,
}

/// One axle of a kit.
#[derive(Debug, Clone)]
pub struct StandingAxle {
    /// Spring.
    pub spring: Spring,
    /// Travel from design to the touch of the bump and the rebound stop, m, both positive.
    pub gaps_m: [f64; 2],
    /// Force of the bar at each wheel per difference of travels, N/m.
    pub bar_n_per_m: f64,
    /// Unsprung mass of each wheel, kg.
    pub unsprung_mass_kg: [f64; 2],
}

/// Spring length over travel from equally spaced values, and its slope at both ends.
#[derive(Debug, Clone)]
pub struct SpringLength {
    /// First travel and spacing, m.
    pub knots_m: (f64, f64),
    /// Lengths, m.
    pub lengths_m: Vec<f64>,
    /// First and last slope.
    pub end_slopes: [f64; 2],
}

/// A sprung mass and its centre of gravity.
#[derive(Debug, Clone, Copy, Deserialize)]
pub struct Load {
    m: f64,
    x_cg: f64,
    y_cg: f64,
}

/// A kit on the van in one load state, at rest, and how its rest answers to the tolerances.
pub struct Standing<'a> {
    van: &'a StandingVan,
    nominal: FourCorners,
    gaps_m: [[f64; 2]; 2],
    rest: Rest,
    /// Heave, pitch, roll and travel of the wheels per unit of each draw, and nothing, which makes four pairs.
    responses: [[f64; 8]; TOLERANCES],
}

/// Sample i of the tolerances.
pub fn draws(seed: u64, i: u64) -> Draws {
    std::array::from_fn(|j| triangular(seed, i, j as u64))
}

impl StandingVan {
    /// From the inputs of W2.
    ///
    /// # Errors
    /// When they cannot be read.
    pub fn read(inputs: &str) -> Result<Self> {
        let Inputs { van, tyre, bump_front, bump_rear, arch, monte_carlo } = serde_json::from_str(inputs)?;
        let stops = [bump_stop(bump_front)?, bump_stop(bump_rear)?];
        Ok(Self { van, tyre, arch, monte_carlo, stops })
    }

    /// The van on a kit's parts, to be loaded.
    ///
    /// # Errors
    /// When a part is not one.
    pub fn four_corners(
        &self,
        axles: &[StandingAxle; 2],
        lengths: [SpringLength; CORNERS],
    ) -> Result<FourCorners> {
        let damper = Damper::new(0.6, 0.3, 0.0, 0.0)?;
        let tables = lengths.map(|length| self.table(length));
        let corner = |c: usize| {
            let axle = &axles[axle_of(c)];
            let mut table = tables[c].clone();
            table.wheel_centre_x_m = constant(DRAWN_OUT * (self.van.x[c] - self.van.x_ref));
            table.wheel_centre_y_m = constant(DRAWN_OUT * self.van.y[c].abs());
            Corner {
                table: Arc::new(table),
                side: side_of(c),
                spring: SpringStack::single(axle.spring.clone()),
                added_leaves: Vec::new(),
                air: None,
                seat_shift_m: 0.0,
                seat_packing_m: 0.0,
                spring_travel_factor: 1.0,
                body_shift_m: 0.0,
                damper,
                stop: Some(FittedStop {
                    stop: self.stops[axle_of(c)].clone(),
                    place: StopPlace::Wheel { ratio: 1.0, other_share: 0.0 },
                    whole_contact_m: axle.gaps_m[0],
                }),
                bush: None,
                friction: Friction::default(),
                wheel_force_n: 0.0,
                tyre: Tyre {
                    unloaded_radius_m: self.tyre.delta0[c],
                    rate_n_per_m: self.tyre.kt,
                    rate_growth_n_per_m2: self.tyre.kt2,
                },
                unsprung_mass_kg: axle.unsprung_mass_kg[c % 2],
                lip_m: [DRAWN_OUT * (self.arch.x[c] - self.van.x_ref), DRAWN_OUT * self.arch.y[c].abs(), 0.0],
            }
        };
        let bar = |axle: usize| {
            let bar = AntiRollBar { rate_nm_per_rad: axles[axle].bar_n_per_m };
            Some(FittedBar::AtTheAxle { bar, track_m: 1.0 })
        };
        Ok(FourCorners {
            corners: std::array::from_fn(corner),
            bars: [bar(FRONT), bar(REAR)],
            sprung: SprungMass { mass_kg: 0.0, centre_of_gravity_m: [0.0; 3] },
        })
    }

    /// At rest under a load.
    ///
    /// # Errors
    /// When it finds no rest.
    pub fn standing(
        &self,
        unloaded: &FourCorners,
        axles: &[StandingAxle; 2],
        load: Load,
    ) -> Result<Standing<'_>> {
        let mut nominal = unloaded.clone();
        nominal.sprung = SprungMass {
            mass_kg: load.m,
            centre_of_gravity_m: [DRAWN_OUT * (load.x_cg - self.van.x_ref), DRAWN_OUT * load.y_cg, 0.0],
        };
        let rest = nominal.rest()?;
        let responses = responses(&nominal, &rest, &self.monte_carlo.tol);
        let gaps_m = [axles[FRONT].gaps_m, axles[REAR].gaps_m];
        Ok(Standing { van: self, nominal, gaps_m, rest, responses })
    }

    /// Spring length over travel; the smooth spline through it differs from the stated piecewise cubic by rounding only.
    fn table(&self, length: SpringLength) -> CornerTable {
        let SpringLength { knots_m: (first_m, spacing_m), lengths_m, end_slopes: [first, last] } = length;
        let spline = Spline::clamped(first_m, spacing_m, lengths_m, first, last);
        let end = |travel_m: f64| ReachEnd { travel_m, reason: LockReason::BeyondSearch };
        let (lowest_m, highest_m) = spline.domain();
        CornerTable {
            travel_range_m: (lowest_m, highest_m),
            reach: Reach { rebound: end(lowest_m), bump: end(highest_m) },
            wheel_centre_design_m: [0.0; 3],
            driveshaft_inner_m: None,
            seat_shift_ratio: 1.0,
            wheel_centre_x_m: constant(0.0),
            wheel_centre_y_m: constant(0.0),
            spring_length_design_m: spline.at(0.0).value,
            spring_length_m: OverTravel::Own(spline),
            damper_length_m: constant(0.5),
            arm_angle_rad: None,
            bar_angle_rad: None,
            drop_link_angle_rad: None,
            camber_rad: None,
            toe_rad: None,
            caster_rad: None,
            kingpin_inclination_rad: None,
            scrub_radius_m: None,
            mechanical_trail_m: None,
            half_track_change_m: None,
            roll_centre_height_m: None,
        }
    }
}

impl Standing<'_> {
    /// Without tolerances.
    pub fn rest(&self) -> &Rest {
        &self.rest
    }

    /// Wheel rate at rest without bar, N/m.
    pub fn wheel_rate_n_per_m(&self, corner: usize) -> f64 {
        self.nominal.corners[corner].forces_at(self.rest.axle_travel(corner)).rate_n_per_m
    }

    /// Arch heights at each corner in each sample, m.
    ///
    /// # Errors
    /// When a sample finds no rest, or a wheel comes to its rebound stop, which the project does not have.
    pub fn arch_heights_m(&self, mut samples: impl Iterator<Item = Draws>) -> Result<[Vec<f64>; CORNERS]> {
        let mut heights_m = [(); CORNERS].map(|()| Vec::with_capacity(samples.size_hint().0));
        let (mut vans, mut places) = (Vec::with_capacity(TOGETHER), Vec::with_capacity(TOGETHER));
        loop {
            vans.clear();
            places.clear();
            for draws in samples.by_ref().take(TOGETHER) {
                vans.push(self.sample(&draws));
                places.push(self.expected(&draws));
            }
            if vans.is_empty() {
                return Ok(heights_m);
            }
            for rest in &self.nominal.rests_of(&vans, &places) {
                let rest = rest.as_ref().map_err(Clone::clone)?;
                for (c, height_m) in self.arches_m(rest).into_iter().enumerate() {
                    heights_m[c].push(height_m);
                    ensure!(rest.travel_m[c] > -self.gaps_m[axle_of(c)][1], "a rebound stop is touched");
                }
            }
        }
    }

    /// The van of one sample.
    fn sample(&self, draws: &Draws) -> Sample {
        let tolerances = &self.van.monte_carlo.tol;
        let mut sample = Sample {
            spring_factor: [1.0; CORNERS],
            longer_m: [0.0; CORNERS],
            wheel_force_n: [0.0; CORNERS],
            sprung: self.nominal.sprung,
        };
        for c in 0..CORNERS {
            sample.spring_factor[c] += tolerances.rate_rel * draws[c];
            sample.longer_m[c] = tolerances.free_length * draws[4 + c];
        }
        sample.sprung.mass_kg += tolerances.mass * draws[8];
        sample.sprung.centre_of_gravity_m[0] += DRAWN_OUT * tolerances.x_cg * draws[9];
        sample.sprung.centre_of_gravity_m[1] += DRAWN_OUT * tolerances.y_cg * draws[10];
        sample
    }

    /// Where the sensitivities of the nominal van expect a sample to rest.
    fn expected(&self, draws: &Draws) -> (BodyPose, [f64; CORNERS]) {
        let mut moved = [0.0; 8];
        for (draw, response) in draws.iter().zip(&self.responses) {
            for k in 0..8 {
                moved[k] += draw * response[k];
            }
        }
        let [heave, pitch, roll, travel @ .., _] = moved;
        let Rest { mut body, mut travel_m, .. } = self.rest;
        body.heave_m += heave;
        body.pitch_rad += pitch;
        body.roll_rad += roll;
        for c in 0..CORNERS {
            travel_m[c] += travel[c];
        }
        (body, travel_m)
    }

    /// Height of the lips above where they are at design, without the tyres.
    fn arches_m(&self, rest: &Rest) -> [f64; CORNERS] {
        std::array::from_fn(|c| {
            self.van.arch.design_height[c] + rest.arch_height_m[c] + rest.wheel_centre_height_m[c]
        })
    }
}

/// Percentiles of values, by linear interpolation between order statistics (type 7 of R. J. Hyndman and Y. Fan, The
/// American Statistician 50, 1996). `None` when there are no values, or one of them is not finite.
///
/// The values are dealt into buckets by size, and only buckets that a percentile falls into are sorted.
pub fn percentiles<const K: usize>(values: &[f64], shares: [f64; K]) -> Option<[f64; K]> {
    let last = values.len().checked_sub(1)?;
    let (mut low, mut high) = (values[0], values[0]);
    for &value in values {
        low = if value < low { value } else { low };
        high = if value > high { value } else { high };
    }
    let most = values.len().min(MOST_BUCKETS) - 1;
    let per_value = if high > low { most as f64 / (high - low) } else { 0.0 };
    // a number this large has its whole part in its last bits
    const LARGE: f64 = 4_503_599_627_370_496.0;
    let bucket = |value: f64| (((value - low) * per_value + LARGE).to_bits() as u32 as usize).min(most);
    // where each bucket begins, and after dealing where it ends
    let mut ends = vec![0usize; most + 2];
    let mut sum = 0.0;
    for &value in values {
        ends[bucket(value) + 1] += 1;
        sum += value;
    }
    if !sum.is_finite() {
        return None;
    }
    for k in 1..ends.len() {
        ends[k] += ends[k - 1];
    }
    let mut dealt = vec![0.0; values.len()];
    for &value in values {
        let end = &mut ends[bucket(value)];
        dealt[*end] = value;
        *end += 1;
    }
    let mut ranked = |rank: usize| {
        let k = ends.partition_point(|end| *end <= rank);
        let first = if k == 0 { 0 } else { ends[k - 1] };
        let bucket = &mut dealt[first..ends[k]];
        bucket.sort_unstable_by(f64::total_cmp);
        bucket[rank - first]
    };
    Some(shares.map(|share| {
        let position = share * last as f64;
        let below = position as usize;
        let (low, high) = (ranked(below), ranked((below + 1).min(last)));
        low + (position - below as f64) * (high - low)
    }))
}

fn constant(value: f64) -> OverTravel {
    OverTravel::Own(Spline::clamped(0.0, 1.0, vec![value], 0.0, 0.0))
}

/// A stop through so many points of its stated law, each so far from the next, m, that the curve through them is 1e-8 N
/// near it.
fn bump_stop(stop: StopInputs) -> Result<BumpStop> {
    const POINTS: u32 = 400;
    const SPACING_M: f64 = 1e-4;
    let point = |k: u32| {
        let e = SPACING_M * f64::from(k);
        (e, e * e * (stop.a2 + stop.a3 * e))
    };
    let points: Vec<(f64, f64)> = (1..=POINTS).map(point).collect();
    Ok(BumpStop::measured(&points, SPACING_M * f64::from(POINTS + 100))?)
}

/// Response of the rest to each draw.
fn responses(van: &FourCorners, rest: &Rest, tolerances: &Tolerances) -> [[f64; 8]; TOLERANCES] {
    let sensitivities = Sensitivities::at(van, rest);
    let to = |parameter: Parameter, share: f64| {
        Response::default().plus(&sensitivities.response_to(parameter), share)
    };
    let centre_m = van.sprung.centre_of_gravity_m;
    // the whole mass moved by a distance: put on there, taken off here
    let to_shift = |axis: usize, distance_m: f64| {
        let mut there_m = centre_m;
        there_m[axis] += DRAWN_OUT * distance_m;
        let mass_kg = van.sprung.mass_kg;
        to(Parameter::MassAt(there_m), mass_kg)
            .plus(&sensitivities.response_to(Parameter::MassAt(centre_m)), -mass_kg)
    };
    let response = |j: usize| match j {
        0..4 => to(Parameter::SpringRate(j), tolerances.rate_rel),
        4..8 => to(Parameter::FreeLength(j - 4), tolerances.free_length),
        8 => to(Parameter::MassAt(centre_m), tolerances.mass),
        9 => to_shift(0, tolerances.x_cg),
        _ => to_shift(1, tolerances.y_cg),
    };
    std::array::from_fn(|j| {
        let Response { heave_m, pitch_rad, roll_rad, travel_m: [a, b, c, d], .. } = response(j);
        [heave_m, pitch_rad, roll_rad, a, b, c, d, 0.0]
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_percentile_of_few_values_interpolates_between_them() {
        assert_eq!(percentiles(&[], [0.5]), None);
        assert_eq!(percentiles(&[1.0, f64::NAN, 2.0], [0.5]), None);
        assert_eq!(percentiles(&[1.0; 7], [0.1, 0.9]), Some([1.0; 2]));
        assert_eq!(percentiles(&[4.0], [0.9]), Some([4.0]));
        assert_eq!(percentiles(&[3.0, 1.0, 2.0, 5.0, 4.0], [0.1, 0.625, 1.0]), Some([1.4, 3.5, 5.0]));
        assert_eq!(percentiles(&[0.5, -0.5, -2.0, 0.0, 1.0], [0.0, 0.25, 0.5]), Some([-2.0, -0.5, 0.0]));
    }
}
