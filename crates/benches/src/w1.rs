//! W1, kinematics: 1,000 perturbed strut and 1,000 perturbed semi-trailing corners over 201 wheel travels, eight
//! quantities each, written out.

use anyhow::{Result, anyhow, ensure};
use mechanics::curve::Resampling;
use mechanics::linkage::{
    CarrierMotion, LinkageLocks, Point, SemiTrailingArm, SemiTrailingHardpoints, Strut, StrutHardpoints,
    WheelHardpoints,
};
use serde::Deserialize;

use crate::Workload;
use crate::random::uniform;

const INPUTS: &str = include_str!("../workloads/inputs/w1.json");
/// Camber, toe, caster, half-track change, spring length, damper length, roll-centre height, d(spring length)/dz.
pub const COLUMNS: usize = 8;
/// What the last coefficients of a column's series may be, m and rad: a tenth of the tightest tolerance.
const RESOLVED: f64 = 1e-11;
/// One position.
pub type Row = [f64; COLUMNS];

#[derive(Deserialize)]
struct Inputs {
    sweep: Sweep,
    strut_front_left: Front,
    semi_trailing_rear_left: Rear,
    perturbed_batch: Batch,
}

#[derive(Deserialize)]
struct Sweep {
    z_min: f64,
    dz: f64,
    n: usize,
}

#[derive(Deserialize)]
struct Batch {
    count: u64,
    half_range_m: f64,
    seed_front: u64,
    seed_rear: u64,
}

#[derive(Deserialize)]
struct Front {
    arm_pivot_front: Point,
    arm_pivot_rear: Point,
    ball_joint: Point,
    strut_top: Point,
    strut_axis_point: Point,
    spring_seat_lower: Point,
    spring_seat_upper: Point,
    tie_rod_inner: Point,
    tie_rod_outer: Point,
    wheel_centre: Point,
    spin_axis: Point,
    tyre_radius: f64,
}

#[derive(Deserialize)]
struct Rear {
    pivot_inner: Point,
    pivot_outer: Point,
    spring_seat_lower: Point,
    spring_seat_upper: Point,
    damper_lower: Point,
    damper_upper: Point,
    wheel_centre: Point,
    spin_axis: Point,
    tyre_radius: f64,
}

impl Front {
    fn hardpoints(&self) -> StrutHardpoints {
        StrutHardpoints {
            arm_inner_front_m: self.arm_pivot_front,
            arm_inner_rear_m: self.arm_pivot_rear,
            lower_ball_joint_m: self.ball_joint,
            strut_top_m: self.strut_top,
            strut_axis_point_m: self.strut_axis_point,
            spring_seat_lower_m: self.spring_seat_lower,
            spring_seat_upper_m: self.spring_seat_upper,
            damper_lower_m: None,
            tie_rod_inner_m: self.tie_rod_inner,
            tie_rod_outer_m: self.tie_rod_outer,
            wheel: WheelHardpoints::from_spin_axis(self.wheel_centre, self.spin_axis, self.tyre_radius),
            bar: None,
            driveshaft_inner_m: None,
        }
    }
}

impl Rear {
    fn hardpoints(&self) -> SemiTrailingHardpoints {
        SemiTrailingHardpoints {
            pivot_inner_m: self.pivot_inner,
            pivot_outer_m: self.pivot_outer,
            spring_seat_lower_m: self.spring_seat_lower,
            spring_seat_upper_m: self.spring_seat_upper,
            damper_lower_m: self.damper_lower,
            damper_upper_m: self.damper_upper,
            wheel: WheelHardpoints::from_spin_axis(self.wheel_centre, self.spin_axis, self.tyre_radius),
            bar: None,
            driveshaft_inner_m: None,
        }
    }
}

/// How far points may be moved along each axis, m, the seed that moves them, and the item.
pub type Offset = (f64, u64, u64);

/// Moves points, each by its place in their order.
fn move_by<const N: usize>(in_order: [&mut Point; N], offset: Option<Offset>) {
    let Some((half_range_m, seed, i)) = offset else { return };
    for (p, point) in (0..).zip(in_order) {
        for (k, coordinate) in (0..).zip(point) {
            *coordinate += half_range_m * (2.0 * uniform(seed, i, 3 * p + k) - 1.0);
        }
    }
}

/// The nominal corners and how they are perturbed and swept.
pub struct Corners {
    resampling: Resampling,
    positions: usize,
    knots_m: (f64, f64),
    batch: Batch,
    front: StrutHardpoints,
    rear: SemiTrailingHardpoints,
}

impl Corners {
    /// # Errors
    /// When the inputs cannot be read.
    pub fn read() -> Result<Self> {
        let inputs: Inputs = serde_json::from_str(INPUTS)?;
        let last_m = inputs.sweep.z_min + inputs.sweep.dz * (inputs.sweep.n - 1) as f64;
        Ok(Self {
            front: inputs.strut_front_left.hardpoints(),
            rear: inputs.semi_trailing_rear_left.hardpoints(),
            resampling: Resampling::new(inputs.sweep.z_min, last_m, inputs.sweep.n),
            positions: inputs.sweep.n,
            knots_m: (inputs.sweep.z_min, inputs.sweep.dz),
            batch: inputs.perturbed_batch,
        })
    }

    /// Positions of one sweep.
    pub fn positions(&self) -> usize {
        self.positions
    }

    /// Corners of one batch.
    pub fn count(&self) -> u64 {
        self.batch.count
    }

    /// First travel and distance to the next, m.
    pub fn knots_m(&self) -> (f64, f64) {
        self.knots_m
    }

    /// Nominal front corner.
    pub fn front(&self) -> &StrutHardpoints {
        &self.front
    }

    /// Nominal rear corner.
    pub fn rear(&self) -> &SemiTrailingHardpoints {
        &self.rear
    }

    /// Perturbed front corner `i`, or the nominal one, swept into `rows`.
    ///
    /// # Errors
    /// When it cannot stand or reach.
    pub fn sweep_front(&self, perturbed: Option<u64>, rows: &mut [Row]) -> Result<()> {
        let offset = perturbed.map(|i| (self.batch.half_range_m, self.batch.seed_front, i));
        self.sweep_strut(self.front, offset, rows)
    }

    /// Perturbed rear corner `i`, or the nominal one, swept into `rows`.
    ///
    /// # Errors
    /// When it cannot stand or reach.
    pub fn sweep_rear(&self, perturbed: Option<u64>, rows: &mut [Row]) -> Result<()> {
        let offset = perturbed.map(|i| (self.batch.half_range_m, self.batch.seed_rear, i));
        self.sweep_arm(self.rear, offset, rows)
    }

    /// A strut, its points moved by an offset, swept into `rows`.
    ///
    /// # Errors
    /// When it cannot stand or reach.
    pub fn sweep_strut(
        &self,
        mut points: StrutHardpoints,
        offset: Option<Offset>,
        rows: &mut [Row],
    ) -> Result<()> {
        let in_order = [
            &mut points.arm_inner_front_m,
            &mut points.arm_inner_rear_m,
            &mut points.lower_ball_joint_m,
            &mut points.strut_top_m,
            &mut points.strut_axis_point_m,
            &mut points.spring_seat_lower_m,
            &mut points.spring_seat_upper_m,
            &mut points.tie_rod_inner_m,
            &mut points.tie_rod_outer_m,
            &mut points.wheel.wheel_centre_m,
        ];
        move_by(in_order, offset);
        let strut = Strut::new(points)?;
        let mut start_rad = 0.0;
        self.sweep(rows, |travel_m, next_m| {
            let here = strut.carrier_at(travel_m, start_rad)?;
            start_rad = here.arm_angle_at_rad(next_m);
            Ok(here)
        })
    }

    /// A semi-trailing arm, its points moved by an offset, swept into `rows`.
    ///
    /// # Errors
    /// When it cannot stand or reach.
    pub fn sweep_arm(
        &self,
        mut points: SemiTrailingHardpoints,
        offset: Option<Offset>,
        rows: &mut [Row],
    ) -> Result<()> {
        let in_order = [
            &mut points.pivot_inner_m,
            &mut points.pivot_outer_m,
            &mut points.spring_seat_lower_m,
            &mut points.spring_seat_upper_m,
            &mut points.damper_lower_m,
            &mut points.damper_upper_m,
            &mut points.wheel.wheel_centre_m,
        ];
        move_by(in_order, offset);
        let arm = SemiTrailingArm::new(points)?;
        self.sweep(rows, |travel_m, _| arm.carrier_at(travel_m))
    }

    /// Solves a corner at few travels, given with the next one, and fills the sweep from them.
    #[inline]
    fn sweep(
        &self,
        rows: &mut [Row],
        mut carrier_at: impl FnMut(f64, f64) -> Result<CarrierMotion, LinkageLocks>,
    ) -> Result<()> {
        let nodes = self.resampling.nodes();
        let mut samples = [[0.0; COLUMNS]; Resampling::SAMPLES];
        for j in 0..nodes.len() {
            let carrier = carrier_at(nodes[j], nodes[(j + 1).min(nodes.len() - 1)])?;
            let spring = carrier.spring_length_m();
            samples[j] = [
                carrier.camber_rad().value,
                carrier.toe_rad().value,
                carrier.caster_rad().value,
                carrier.half_track_change_m().value,
                spring.value,
                carrier.damper_length_m().value,
                carrier.roll_centre_height_m().value,
                spring.slope,
            ];
        }
        ensure!(self.resampling.resolves(&samples, RESOLVED), "a quantity is not smooth over travel");
        self.resampling.fill(&samples, rows);
        Ok(())
    }
}

/// Front and rear batch.
///
/// # Errors
/// When the inputs cannot be read.
pub fn workloads() -> Result<[Workload; 2]> {
    let front = batch("W1 front (strut), 1,000 sweeps", 0.040, Corners::sweep_front)?;
    let rear = batch("W1 rear (semi-trailing), 1,000 sweeps", 0.005, Corners::sweep_rear)?;
    Ok([front, rear])
}

type SweepOne = fn(&Corners, Option<u64>, &mut [Row]) -> Result<()>;

fn batch(name: &'static str, must_reach_s: f64, sweep_one: SweepOne) -> Result<Workload> {
    let corners = Corners::read()?;
    let count = usize::try_from(corners.count()).map_err(|_| anyhow!("too many corners"))?;
    let mut rows = vec![[0.0; COLUMNS]; count * corners.positions()];
    let run = move || {
        for (i, sweep) in (0..).zip(rows.chunks_exact_mut(corners.positions())) {
            sweep_one(&corners, Some(i), sweep)?;
        }
        Ok(())
    };
    Ok(Workload { name, must_reach_s: Some(must_reach_s), run: Box::new(run) })
}

#[cfg(test)]
mod tests {
    use super::*;

    const EXPECTED: &str = include_str!("../workloads/expected/w1.json");

    #[derive(Deserialize)]
    struct Expected {
        front_left: Vec<Row>,
        rear_left: Vec<Row>,
        batch_checksum: Checksum,
        tolerance: Tolerance,
    }

    #[derive(Deserialize)]
    struct Checksum {
        k: Vec<usize>,
        front: Vec<Row>,
        rear: Vec<Row>,
    }

    #[derive(Deserialize)]
    struct Tolerance {
        angles_rad: f64,
        lengths_m: f64,
        rc_height_m: f64,
        dspring_dz: f64,
    }

    impl Tolerance {
        fn assert_near(&self, got: &Row, wanted: &Row, what: &str) {
            let limits = [
                [self.angles_rad; 3],
                [self.lengths_m; 3],
                [self.rc_height_m, self.dspring_dz, f64::INFINITY],
            ];
            for (c, limit) in limits.into_iter().flatten().take(COLUMNS).enumerate() {
                let apart = (got[c] - wanted[c]).abs();
                assert!(apart <= limit, "{what}, column {c}: {} for {}, {apart:e} apart", got[c], wanted[c]);
            }
        }
    }

    fn expected() -> Expected {
        serde_json::from_str(EXPECTED).unwrap()
    }

    #[test]
    fn val_w1_nominal_sweeps_against_other_programs() {
        // Six programs (general solvers, multibody, automatic and analytic Jacobians) agree to 5e-12; the tolerances are
        // the ones stated with them.
        let (corners, expected) = (Corners::read().unwrap(), expected());
        let mut rows = vec![[0.0; COLUMNS]; corners.positions()];
        for (sweep, wanted, name) in [
            (Corners::sweep_front as SweepOne, &expected.front_left, "front"),
            (Corners::sweep_rear, &expected.rear_left, "rear"),
        ] {
            sweep(&corners, None, &mut rows).unwrap();
            assert_eq!(rows.len(), wanted.len());
            for (k, (got, wanted)) in rows.iter().zip(wanted).enumerate() {
                expected.tolerance.assert_near(got, wanted, &format!("{name}, position {k}"));
            }
        }
    }

    #[test]
    fn val_w1_means_over_the_perturbed_corners_against_other_programs() {
        let (corners, expected) = (Corners::read().unwrap(), expected());
        let mut rows = vec![[0.0; COLUMNS]; corners.positions()];
        for (sweep, wanted, name) in [
            (Corners::sweep_front as SweepOne, &expected.batch_checksum.front, "front"),
            (Corners::sweep_rear, &expected.batch_checksum.rear, "rear"),
        ] {
            let mut sums = vec![[0.0; COLUMNS]; wanted.len()];
            for i in 0..corners.count() {
                sweep(&corners, Some(i), &mut rows).unwrap();
                for (sum, &k) in sums.iter_mut().zip(&expected.batch_checksum.k) {
                    *sum = std::array::from_fn(|c| sum[c] + rows[k][c]);
                }
            }
            for (k, (sum, wanted)) in sums.iter().zip(wanted).enumerate() {
                let mean = sum.map(|s| s / corners.count() as f64);
                expected.tolerance.assert_near(&mean, wanted, &format!("{name}, mean {k}"));
            }
        }
    }
}
