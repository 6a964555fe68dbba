//! W2, static equilibrium: 100,000 vans with eleven tolerances each, and the 10th, 50th and 90th percentile of the four
//! arch heights.

use anyhow::{Result, anyhow};
use mechanics::elements::Spring;
use mechanics::statics::CORNERS;
use serde::Deserialize;

use crate::Workload;
use crate::standing::{Load, SpringLength, Standing, StandingAxle, StandingVan, draws, percentiles};

pub(crate) const INPUTS: &str = include_str!("../workloads/inputs/w2.json");
/// Shares of the percentiles.
pub const SHARES: [f64; 3] = [0.1, 0.5, 0.9];

#[derive(Deserialize)]
struct Inputs {
    van: Nominal,
    mc: MonteCarlo,
    spring_front: SpringInputs,
    spring_rear: SpringInputs,
    bump_front: Gap,
    bump_rear: Gap,
    rebound_front: Gap,
    rebound_rear: Gap,
    arb_front: f64,
    arb_rear: f64,
    tables: Tables,
}

#[derive(Deserialize)]
struct Nominal {
    mu: [f64; CORNERS],
    #[serde(flatten)]
    load: Load,
}

#[derive(Deserialize)]
struct MonteCarlo {
    n: u64,
    seed: u64,
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
struct Gap {
    gap: f64,
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

/// The van and its samples.
pub struct Sampled {
    van: StandingVan,
    axles: [StandingAxle; 2],
    lengths: [SpringLength; CORNERS],
    load: Load,
    monte_carlo: MonteCarlo,
}

impl Sampled {
    /// # Errors
    /// When the inputs cannot be read.
    pub fn read() -> Result<Self> {
        let inputs: Inputs = serde_json::from_str(INPUTS)?;
        let Nominal { mu, load } = inputs.van;
        let axle = |spring: &SpringInputs, gaps: [&Gap; 2], bar_n_per_m, unsprung_mass_kg| -> Result<_> {
            let SpringInputs { k1, k2, c1, d, free_length } = *spring;
            Ok(StandingAxle {
                spring: Spring::two_rates(k1, k2, c1, d, free_length)?,
                gaps_m: gaps.map(|stop| stop.gap),
                bar_n_per_m,
                unsprung_mass_kg,
            })
        };
        let [front_gaps, rear_gaps] =
            [[&inputs.bump_front, &inputs.rebound_front], [&inputs.bump_rear, &inputs.rebound_rear]];
        let tables = &inputs.tables;
        let length = |lengths_m: &[f64], slopes: &[f64]| -> Result<SpringLength> {
            let (Some(&first), Some(&last)) = (slopes.first(), slopes.last()) else {
                return Err(anyhow!("an empty table"));
            };
            let (knots_m, lengths_m) = ((tables.w_min, tables.dw), lengths_m.to_vec());
            Ok(SpringLength { knots_m, lengths_m, end_slopes: [first, last] })
        };
        let front = length(&tables.front_length, &tables.front_slope)?;
        let rear = length(&tables.rear_length, &tables.rear_slope)?;
        Ok(Self {
            axles: [
                axle(&inputs.spring_front, front_gaps, inputs.arb_front, [mu[0], mu[1]])?,
                axle(&inputs.spring_rear, rear_gaps, inputs.arb_rear, [mu[2], mu[3]])?,
            ],
            lengths: [front.clone(), front, rear.clone(), rear],
            van: StandingVan::read(INPUTS)?,
            load,
            monte_carlo: inputs.mc,
        })
    }

    /// Number of samples.
    pub fn count(&self) -> u64 {
        self.monte_carlo.n
    }

    /// The van without tolerances.
    ///
    /// # Errors
    /// When it finds no rest.
    pub fn nominal(&self) -> Result<Standing<'_>> {
        let unloaded = self.van.four_corners(&self.axles, self.lengths.clone())?;
        self.van.standing(&unloaded, &self.axles, self.load)
    }

    /// Arch heights at each corner of the first `count` samples, m.
    ///
    /// # Errors
    /// When a sample finds no rest.
    pub fn arch_heights_m(&self, standing: &Standing, count: u64) -> Result<[Vec<f64>; CORNERS]> {
        standing.arch_heights_m((0..count).map(|i| draws(self.monte_carlo.seed, i)))
    }
}

/// Samples and percentiles.
///
/// # Errors
/// When the inputs cannot be read.
pub fn workload() -> Result<Workload> {
    let sampled = Sampled::read()?;
    let run = move || {
        for heights_m in sampled.arch_heights_m(&sampled.nominal()?, sampled.count())? {
            std::hint::black_box(percentiles(&heights_m, SHARES));
        }
        Ok(())
    };
    Ok(Workload {
        name: "W2, 100,000 equilibria and percentiles",
        must_reach_s: Some(0.060),
        run: Box::new(run),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standing::DRAWN_OUT;

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
        wheel_rate_tangent: [f64; CORNERS],
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
        let sampled = Sampled::read().unwrap();
        let standing = sampled.nominal().unwrap();
        let body = standing.rest().body;
        let pose = [body.heave_m, body.pitch_rad * DRAWN_OUT, body.roll_rad * DRAWN_OUT];
        for (got, wanted) in pose.into_iter().zip(expected.nominal.z_theta_phi) {
            assert_near(got, wanted, expected.tolerance_m);
        }
        for (got, wanted) in standing.rest().travel_m.into_iter().zip(expected.nominal.wheel_travel) {
            assert_near(got, wanted, expected.tolerance_m);
        }
        for (c, wanted) in expected.nominal.wheel_rate_tangent.into_iter().enumerate() {
            // the stated lengths, and with them the second derivative, are rounded: 1e-13 m over a square millimetre
            assert_near(standing.wheel_rate_n_per_m(c), wanted, 1e-2);
        }
        let heights_m = sampled.arch_heights_m(&standing, 5).unwrap();
        for (i, wanted) in expected.first_5_samples_arch_m.iter().enumerate() {
            for c in 0..CORNERS {
                assert_near(heights_m[c][i], wanted[c], expected.tolerance_m);
            }
        }
    }

    #[test]
    fn val_w2_percentiles_against_other_programs() {
        let expected: Expected = serde_json::from_str(EXPECTED).unwrap();
        let sampled = Sampled::read().unwrap();
        let wanted = &expected.arch_percentiles_m;
        let heights_m = sampled.arch_heights_m(&sampled.nominal().unwrap(), sampled.count()).unwrap();
        for (c, heights_m) in heights_m.into_iter().enumerate() {
            let got = percentiles(&heights_m, SHARES).unwrap();
            for (got, wanted) in got.into_iter().zip([&wanted.low, &wanted.middle, &wanted.high]) {
                assert_near(got, wanted[c], expected.tolerance_m);
            }
        }
    }
}
