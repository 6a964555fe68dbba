//! W2, static equilibrium: 100,000 vans with eleven tolerances each, and the 10th, 50th and 90th percentile of the four
//! arch heights.
//!
//! The workload is stated with small angles; the project rotates the body exactly. In plan the van is therefore drawn out
//! [`DRAWN_OUT`] times, which makes the angles that much smaller and leaves everything else as it is: what exact rotation
//! adds falls with the square. Centre of gravity, wheel centres and lips stand at height 0, where the workload has them.
//! Gas, bushes and friction are zero.

use std::sync::Arc;

use anyhow::{Result, anyhow, ensure};
use mechanics::curve::Spline;
use mechanics::elements::{AntiRollBar, BumpStop, Damper, Friction, Spring, SpringStack, Tyre};
use mechanics::linkage::{CornerTable, LockReason, OverTravel, Point, Reach, ReachEnd};
use mechanics::statics::{
    CORNERS, Corner, FittedBar, FittedStop, FourCorners, Parameter, Response, Rest, Sensitivities,
    SprungMass, StopPlace, axle_of, side_of,
};
use serde::Deserialize;

use crate::Workload;
use crate::random::triangular;

const INPUTS: &str = include_str!("../workloads/inputs/w2.json");
/// How many times the van is drawn out in plan. Exact rotation leaves `cos θ cos φ` of each suspension force to carry the
/// body, which at 5 mrad moves the arches by 2e-5 m; a thousandth of the angles leaves 2e-11 m.
const DRAWN_OUT: f64 = 1000.0;
const TOLERANCES: usize = 11;

#[derive(Deserialize)]
struct Inputs {
    van: VanInputs,
    tyre: TyreInputs,
    spring_front: SpringInputs,
    spring_rear: SpringInputs,
    bump_front: StopInputs,
    bump_rear: StopInputs,
    rebound_front: ReboundInputs,
    rebound_rear: ReboundInputs,
    arb_front: f64,
    arb_rear: f64,
    arch: ArchInputs,
    mc: MonteCarlo,
    tables: Tables,
}

#[derive(Deserialize)]
struct VanInputs {
    m: f64,
    x_cg: f64,
    y_cg: f64,
    x: [f64; CORNERS],
    y: [f64; CORNERS],
    x_ref: f64,
    mu: [f64; CORNERS],
}

#[derive(Deserialize)]
struct TyreInputs {
    kt: f64,
    kt2: f64,
    delta0: [f64; CORNERS],
}

#[derive(Deserialize)]
struct SpringInputs {
    k1: f64,
    k2: f64,
    c1: f64,
    d: f64,
    #[serde(rename = "L0")]
    free_length: f64,
}

#[derive(Deserialize)]
struct StopInputs {
    gap: f64,
    a2: f64,
    a3: f64,
}

#[derive(Deserialize)]
struct ReboundInputs {
    gap: f64,
}

#[derive(Deserialize)]
struct ArchInputs {
    design_height: [f64; CORNERS],
    x: [f64; CORNERS],
    y: [f64; CORNERS],
}

#[derive(Deserialize)]
struct MonteCarlo {
    n: u64,
    seed: u64,
    tol: Tolerances,
}

#[derive(Deserialize)]
struct Tolerances {
    rate_rel: f64,
    free_length: f64,
    mass: f64,
    x_cg: f64,
    y_cg: f64,
}

#[derive(Deserialize)]
struct Tables {
    w_min: f64,
    dw: f64,
    #[serde(rename = "front_L")]
    front_length: Vec<f64>,
    #[serde(rename = "front_dL")]
    front_slope: Vec<f64>,
    #[serde(rename = "rear_L")]
    rear_length: Vec<f64>,
    #[serde(rename = "rear_dL")]
    rear_slope: Vec<f64>,
}

/// The nominal van at rest, and how its rest answers to the tolerances.
pub struct Van {
    nominal: FourCorners,
    rest: Rest,
    /// Per unit of each draw.
    responses: [Response; TOLERANCES],
    monte_carlo: MonteCarlo,
    arch_design_m: [f64; CORNERS],
    rebound_gap_m: [f64; 2],
    bump_gap_m: [f64; 2],
}

impl Van {
    /// # Errors
    /// When the inputs cannot be read or the nominal van finds no rest.
    pub fn read() -> Result<Self> {
        let inputs: Inputs = serde_json::from_str(INPUTS)?;
        let nominal = four_corners(&inputs)?;
        let rest = nominal.rest()?;
        let responses = responses(&nominal, &rest, &inputs.mc.tol);
        Ok(Self {
            nominal,
            rest,
            responses,
            monte_carlo: inputs.mc,
            arch_design_m: inputs.arch.design_height,
            rebound_gap_m: [inputs.rebound_front.gap, inputs.rebound_rear.gap],
            bump_gap_m: [inputs.bump_front.gap, inputs.bump_rear.gap],
        })
    }

    /// Number of samples.
    pub fn count(&self) -> u64 {
        self.monte_carlo.n
    }

    /// Arch heights at each corner of the first `count` samples, m.
    ///
    /// # Errors
    /// When a sample finds no rest, or goes beyond the travel for which the stops are stated.
    pub fn arch_heights_m(&self, count: usize) -> Result<[Vec<f64>; CORNERS]> {
        let mut heights_m = [(); CORNERS].map(|()| Vec::with_capacity(count));
        let mut van = self.nominal.clone();
        for i in 0..count as u64 {
            let draws = std::array::from_fn(|j| triangular(self.monte_carlo.seed, i, j as u64));
            self.change(&mut van, &draws);
            let rest = self.rest_near(&van, &draws)?;
            for (c, height_m) in self.arches_m(&van, &rest).into_iter().enumerate() {
                heights_m[c].push(height_m);
            }
            for c in 0..CORNERS {
                let (least_m, most_m) = (-self.rebound_gap_m[axle_of(c)], self.bump_gap_m[axle_of(c)]);
                ensure!(least_m < rest.travel_m[c] && rest.travel_m[c] < most_m, "a stop is touched");
            }
        }
        Ok(heights_m)
    }

    /// Sets the van to one sample.
    fn change(&self, van: &mut FourCorners, draws: &[f64; TOLERANCES]) {
        let tolerances = &self.monte_carlo.tol;
        for c in 0..CORNERS {
            let spring = &self.nominal.corners[c].spring.main;
            let sample = &mut van.corners[c].spring.main;
            *sample = spring.with_rate_factor(1.0 + tolerances.rate_rel * draws[c]);
            sample.free_length_m += tolerances.free_length * draws[4 + c];
        }
        van.sprung = self.nominal.sprung;
        van.sprung.mass_kg += tolerances.mass * draws[8];
        van.sprung.centre_of_gravity_m[0] += DRAWN_OUT * tolerances.x_cg * draws[9];
        van.sprung.centre_of_gravity_m[1] += DRAWN_OUT * tolerances.y_cg * draws[10];
    }

    /// Rest of a sample, searched from where the sensitivities of the nominal van expect it.
    fn rest_near(&self, van: &FourCorners, draws: &[f64; TOLERANCES]) -> Result<Rest> {
        let (mut body, mut travel_m) = (self.rest.body, self.rest.travel_m);
        for (draw, response) in draws.iter().zip(&self.responses) {
            body.heave_m += draw * response.heave_m;
            body.pitch_rad += draw * response.pitch_rad;
            body.roll_rad += draw * response.roll_rad;
            for c in 0..CORNERS {
                travel_m[c] += draw * response.travel_m[c];
            }
        }
        Ok(van.rest_from(body, travel_m)?)
    }

    /// Height of the lips above where they are at design, without the tyres.
    fn arches_m(&self, van: &FourCorners, rest: &Rest) -> [f64; CORNERS] {
        let lips_m: [Point; CORNERS] = std::array::from_fn(|c| {
            let [x, y, z] = van.corners[c].lip_m;
            [x, side_of(c) * y, z]
        });
        let risen_m = rest.body.heights_of_m(lips_m);
        std::array::from_fn(|c| self.arch_design_m[c] + risen_m[c])
    }
}

/// Percentile of values by linear interpolation between order statistics (type 7 of R. J. Hyndman and Y. Fan, The
/// American Statistician 50, 1996); reorders them.
pub fn percentile(values: &mut [f64], share: f64) -> Option<f64> {
    let position = share * values.len().checked_sub(1)? as f64;
    let below = position as usize;
    let (_, &mut low, above) = values.select_nth_unstable_by(below, f64::total_cmp);
    let high = above.iter().copied().min_by(f64::total_cmp).unwrap_or(low);
    Some(low + (position - below as f64) * (high - low))
}

fn four_corners(inputs: &Inputs) -> Result<FourCorners> {
    let tables = [
        Arc::new(table(inputs, &inputs.tables.front_length, &inputs.tables.front_slope)?),
        Arc::new(table(inputs, &inputs.tables.rear_length, &inputs.tables.rear_slope)?),
    ];
    let corner = |c: usize| -> Result<Corner> {
        let axle = axle_of(c);
        let spring = [&inputs.spring_front, &inputs.spring_rear][axle];
        let stop = [&inputs.bump_front, &inputs.bump_rear][axle];
        let tyre = &inputs.tyre;
        let mut table = CornerTable::clone(&tables[axle]);
        table.wheel_centre_x_m = constant(DRAWN_OUT * (inputs.van.x[c] - inputs.van.x_ref));
        table.wheel_centre_y_m = constant(DRAWN_OUT * inputs.van.y[c].abs());
        Ok(Corner {
            table: Arc::new(table),
            side: side_of(c),
            spring: SpringStack::single(Spring::two_rates(
                spring.k1,
                spring.k2,
                spring.c1,
                spring.d,
                spring.free_length,
            )?),
            added_leaves: Vec::new(),
            air: None,
            seat_shift_m: 0.0,
            seat_packing_m: 0.0,
            spring_travel_factor: 1.0,
            body_shift_m: 0.0,
            damper: Damper::new(0.6, 0.3, 0.0, 0.0)?,
            stop: Some(fitted_stop(stop)?),
            bush: None,
            friction: Friction::default(),
            wheel_force_n: 0.0,
            tyre: Tyre {
                unloaded_radius_m: tyre.delta0[c],
                rate_n_per_m: tyre.kt,
                rate_growth_n_per_m2: tyre.kt2,
            },
            unsprung_mass_kg: inputs.van.mu[c],
            lip_m: [
                DRAWN_OUT * (inputs.arch.x[c] - inputs.van.x_ref),
                DRAWN_OUT * inputs.arch.y[c].abs(),
                0.0,
            ],
        })
    };
    let bar = |rate_n_per_m: f64| {
        let bar = AntiRollBar { rate_nm_per_rad: rate_n_per_m };
        Some(FittedBar::AtTheAxle { bar, track_m: 1.0 })
    };
    let van = &inputs.van;
    Ok(FourCorners {
        corners: [corner(0)?, corner(1)?, corner(2)?, corner(3)?],
        bars: [bar(inputs.arb_front), bar(inputs.arb_rear)],
        sprung: SprungMass {
            mass_kg: van.m,
            centre_of_gravity_m: [DRAWN_OUT * (van.x_cg - van.x_ref), DRAWN_OUT * van.y_cg, 0.0],
        },
    })
}

/// Spring length over travel; the smooth spline through it differs from the stated piecewise cubic by rounding only.
fn table(inputs: &Inputs, length_m: &[f64], slope: &[f64]) -> Result<CornerTable> {
    let (Some(&first), Some(&last)) = (slope.first(), slope.last()) else {
        return Err(anyhow!("an empty table"));
    };
    let (first_m, spacing_m) = (inputs.tables.w_min, inputs.tables.dw);
    let spline = Spline::clamped(first_m, spacing_m, length_m.to_vec(), first, last);
    let end = |travel_m: f64| ReachEnd { travel_m, reason: LockReason::BeyondSearch };
    let (lowest_m, highest_m) = spline.domain();
    Ok(CornerTable {
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
    })
}

fn constant(value: f64) -> OverTravel {
    OverTravel::Own(Spline::clamped(0.0, 1.0, vec![value], 0.0, 0.0))
}

/// The stop at the wheel, through points of its stated law; no sample touches it.
fn fitted_stop(stop: &StopInputs) -> Result<FittedStop> {
    let points = [0.005, 0.010, 0.020, 0.040].map(|e| (e, e * e * (stop.a2 + stop.a3 * e)));
    Ok(FittedStop {
        stop: BumpStop::measured(&points, 0.060)?,
        place: StopPlace::Wheel { ratio: 1.0, other_share: 0.0 },
        whole_contact_m: stop.gap,
    })
}

/// Response of the rest to each draw.
fn responses(van: &FourCorners, rest: &Rest, tolerances: &Tolerances) -> [Response; TOLERANCES] {
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
    std::array::from_fn(|j| match j {
        0..4 => to(Parameter::SpringRate(j), tolerances.rate_rel),
        4..8 => to(Parameter::FreeLength(j - 4), tolerances.free_length),
        8 => to(Parameter::MassAt(centre_m), tolerances.mass),
        9 => to_shift(0, tolerances.x_cg),
        _ => to_shift(1, tolerances.y_cg),
    })
}

/// Samples and percentiles.
///
/// # Errors
/// When the inputs cannot be read.
pub fn workload() -> Result<Workload> {
    let van = Van::read()?;
    let count = usize::try_from(van.count())?;
    let run = move || {
        for mut heights_m in van.arch_heights_m(count)? {
            for share in [0.1, 0.5, 0.9] {
                std::hint::black_box(percentile(&mut heights_m, share));
            }
        }
        Ok(())
    };
    Ok(Workload { name: "W2, 100,000 equilibria and percentiles", must_reach_s: 0.060, run: Box::new(run) })
}

#[cfg(test)]
mod tests {
    use super::*;

    const EXPECTED: &str = include_str!("../workloads/expected/w2.json");

    #[derive(Deserialize)]
    struct Expected {
        nominal: Nominal,
        arch_percentiles_m: Percentiles,
        first_5_samples_arch_m: Vec<[f64; CORNERS]>,
        tolerance_m: f64,
    }

    #[derive(Deserialize)]
    struct Nominal {
        z_theta_phi: [f64; 3],
        wheel_travel: [f64; CORNERS],
    }

    #[derive(Deserialize)]
    struct Percentiles {
        #[serde(rename = "P10")]
        low: [f64; CORNERS],
        #[serde(rename = "P50")]
        middle: [f64; CORNERS],
        #[serde(rename = "P90")]
        high: [f64; CORNERS],
    }

    #[track_caller]
    fn assert_near(got: f64, wanted: f64, tolerance: f64) {
        assert!((got - wanted).abs() <= tolerance, "{got} for {wanted}, {:e} apart", (got - wanted).abs());
    }

    #[test]
    fn val_w2_nominal_van_and_first_samples_against_other_programs() {
        // Computed by five programs that agree to 1e-15 m; the tolerance is the one stated with them.
        let expected: Expected = serde_json::from_str(EXPECTED).unwrap();
        let van = Van::read().unwrap();
        let body = van.rest.body;
        let pose = [body.heave_m, body.pitch_rad * DRAWN_OUT, body.roll_rad * DRAWN_OUT];
        for (got, wanted) in pose.into_iter().zip(expected.nominal.z_theta_phi) {
            assert_near(got, wanted, expected.tolerance_m);
        }
        for (got, wanted) in van.rest.travel_m.into_iter().zip(expected.nominal.wheel_travel) {
            assert_near(got, wanted, expected.tolerance_m);
        }
        let heights_m = van.arch_heights_m(expected.first_5_samples_arch_m.len()).unwrap();
        for (i, wanted) in expected.first_5_samples_arch_m.iter().enumerate() {
            for c in 0..CORNERS {
                assert_near(heights_m[c][i], wanted[c], expected.tolerance_m);
            }
        }
    }

    #[test]
    fn val_w2_percentiles_against_other_programs() {
        let expected: Expected = serde_json::from_str(EXPECTED).unwrap();
        let van = Van::read().unwrap();
        let wanted = &expected.arch_percentiles_m;
        let heights_m = van.arch_heights_m(van.count() as usize).unwrap();
        for (c, mut heights_m) in heights_m.into_iter().enumerate() {
            for (share, wanted) in [(0.1, &wanted.low), (0.5, &wanted.middle), (0.9, &wanted.high)] {
                assert_near(percentile(&mut heights_m, share).unwrap(), wanted[c], expected.tolerance_m);
            }
        }
    }

    #[test]
    fn law_percentile_of_few_values_interpolates_between_them() {
        assert_eq!(percentile(&mut [], 0.5), None);
        assert_eq!(percentile(&mut [4.0], 0.9), Some(4.0));
        assert_eq!(percentile(&mut [3.0, 1.0, 2.0, 5.0], 0.5), Some(2.5));
    }
}
