//! How a wheel is guided: the knuckle (or arm) as a free body of six coordinates, held by constraints that are met in
//! the sense of least squares (Gauss-Newton, derivatives by differences), for Chebyshev nodes of wheel travel.

use anyhow::{Result, anyhow};
use nalgebra::{DMatrix, DVector, Matrix6, Rotation3, Vector3, Vector6};

use crate::sheet::{ArmPoints, BarLinks, StrutPoints, metres};

type Point = Vector3<f64>;

/// Guide of a left corner at design height, m.
#[derive(Debug, Clone)]
pub enum Guide {
    /// Strut with lower arm and tie rod.
    Strut(Strut),
    /// Semi-trailing arm.
    Arm(Arm),
}

/// Points of a strut; `seat_rise_m` moves the lower seat up along the strut.
#[derive(Debug, Clone)]
#[expect(missing_docs, reason = "the names are those of the sheet")]
pub struct Strut {
    pub wheel: Point,
    pub inner_front: Point,
    pub inner_rear: Point,
    pub ball: Point,
    pub top: Point,
    pub on_axis: Point,
    pub seat_lower: Point,
    pub seat_upper: Point,
    pub rod_inner: Point,
    pub rod_outer: Point,
}

/// Points of an arm.
#[derive(Debug, Clone)]
#[expect(missing_docs, reason = "the names are those of the sheet")]
pub struct Arm {
    pub wheel: Point,
    pub pivot_inner: Point,
    pub pivot_outer: Point,
    pub seat_lower: Point,
    pub seat_upper: Point,
    pub damper_lower: Point,
    pub damper_upper: Point,
}

/// Position of the free body: turned by a rotation vector about its reference point, then moved.
#[derive(Debug, Clone, Copy)]
struct Pose {
    turn: Rotation3<f64>,
    about: Point,
    shift: Point,
}

impl Pose {
    fn of(coordinates: &Vector6<f64>, about: Point) -> Self {
        let (turn, shift) = (coordinates.fixed_rows::<3>(0), coordinates.fixed_rows::<3>(3));
        Self { turn: Rotation3::new(turn.into_owned()), about, shift: shift.into_owned() }
    }

    fn place(&self, point: Point) -> Point {
        self.turn * (point - self.about) + self.about + self.shift
    }
}

impl Guide {
    /// A strut, each point moved by `error`.
    pub fn strut(sheet: &StrutPoints, error: &[Point]) -> Self {
        let at = |k: usize, point| metres(point) + error[k];
        Self::Strut(Strut {
            wheel: metres(sheet.wheel_centre_mm),
            inner_front: at(0, sheet.arm_inner_front_mm),
            inner_rear: at(1, sheet.arm_inner_rear_mm),
            ball: at(2, sheet.lower_ball_joint_mm),
            top: at(3, sheet.strut_top_mm),
            on_axis: at(4, sheet.strut_axis_point_mm),
            seat_lower: at(5, sheet.spring_seat_lower_mm),
            seat_upper: at(6, sheet.spring_seat_upper_mm),
            rod_inner: at(7, sheet.tie_rod_inner_mm),
            rod_outer: at(8, sheet.tie_rod_outer_mm),
        })
    }

    /// An arm, each point moved by `error`.
    pub fn arm(sheet: &ArmPoints, error: &[Point]) -> Self {
        let at = |k: usize, point| metres(point) + error[k];
        Self::Arm(Arm {
            wheel: metres(sheet.wheel_centre_mm),
            pivot_inner: at(0, sheet.pivot_inner_mm),
            pivot_outer: at(1, sheet.pivot_outer_mm),
            seat_lower: at(2, sheet.spring_seat_lower_mm),
            seat_upper: at(3, sheet.spring_seat_upper_mm),
            damper_lower: at(4, sheet.damper_lower_mm),
            damper_upper: at(5, sheet.damper_upper_mm),
        })
    }

    fn about(&self) -> Point {
        match self {
            Self::Strut(strut) => strut.ball,
            Self::Arm(arm) => arm.pivot_inner,
        }
    }

    fn wheel(&self) -> Point {
        match self {
            Self::Strut(strut) => strut.wheel,
            Self::Arm(arm) => arm.wheel,
        }
    }

    /// By how much each constraint is missed, m.
    fn misses(&self, coordinates: &Vector6<f64>) -> Vec<f64> {
        let pose = Pose::of(coordinates, self.about());
        match self {
            Self::Strut(s) => {
                let kept = |body: Point, knuckle: Point| {
                    (pose.place(knuckle) - body).norm() - (knuckle - body).norm()
                };
                let along = pose.turn * (s.top - s.on_axis).normalize();
                let beside = along.cross(&(s.top - pose.place(s.on_axis)));
                vec![
                    kept(s.inner_front, s.ball),
                    kept(s.inner_rear, s.ball),
                    kept(s.rod_inner, s.rod_outer),
                    beside.x,
                    beside.y,
                    beside.z,
                ]
            }
            Self::Arm(a) => [a.pivot_inner, a.pivot_outer]
                .iter()
                .flat_map(|&pivot| {
                    let off = pose.place(pivot) - pivot;
                    [off.x, off.y, off.z]
                })
                .collect(),
        }
    }

    /// Coordinates at a travel by Gauss-Newton from a neighbouring position.
    fn solved(&self, travel_m: f64, from: Vector6<f64>) -> Result<Vector6<f64>> {
        const STEP: f64 = 1e-6;
        let residual = |q: &Vector6<f64>| {
            let mut misses = self.misses(q);
            let raised_m = Pose::of(q, self.about()).place(self.wheel()).z - self.wheel().z;
            misses.push(raised_m - travel_m);
            DVector::from_vec(misses)
        };
        let mut q = from;
        for _ in 0..40 {
            let r = residual(&q);
            if r.amax() < 1e-11 {
                return Ok(q);
            }
            let mut slopes = DMatrix::zeros(r.len(), 6);
            for j in 0..6 {
                let mut step = Vector6::zeros();
                step[j] = STEP;
                let column = (residual(&(q + step)) - residual(&(q - step))) / (2.0 * STEP);
                slopes.set_column(j, &column);
            }
            let normal = slopes.transpose() * &slopes;
            let step = normal
                .cholesky()
                .map(|factor| factor.solve(&(slopes.transpose() * r)))
                .ok_or_else(|| anyhow!("the linkage of the truth is free to move"))?;
            q -= Vector6::from_iterator(step.iter().copied());
        }
        Err(anyhow!("the linkage of the truth does not reach {travel_m} m"))
    }

    /// Curves over travel with the lower spring seat raised by `seat_rise_m`.
    ///
    /// # Errors
    /// When the linkage does not reach its travel.
    pub fn curves(&self, seat_rise_m: f64, bar: &BarLinks) -> Result<Curves> {
        let mut rows = vec![Row::default(); NODES];
        for way in [1.0, -1.0] {
            let (mut q, mut bar_angle) = (Vector6::zeros(), 0.0);
            let mut order: Vec<usize> = (0..NODES).filter(|&k| way * node_m(k) >= 0.0).collect();
            order.sort_by(|&a, &b| node_m(a).abs().total_cmp(&node_m(b).abs()));
            for k in order {
                q = self.solved(node_m(k), q)?;
                let pose = Pose::of(&q, self.about());
                bar_angle = bar_angle_rad(bar, &pose, bar_angle)?;
                rows[k] = self.row(&pose, &q, seat_rise_m, bar_angle);
            }
        }
        let curve = |of: fn(&Row) -> f64| Chebyshev::through(rows.iter().map(of));
        Ok(Curves {
            x: curve(|r| r.wheel.x),
            y: curve(|r| r.wheel.y),
            design_z_m: self.wheel().z,
            spring_m: curve(|r| r.spring_m),
            damper_m: curve(|r| r.damper_m),
            twist_rad: curve(|r| r.twist_rad),
            bar_rad: curve(|r| r.bar_rad),
        })
    }

    fn row(&self, pose: &Pose, q: &Vector6<f64>, seat_rise_m: f64, bar_rad: f64) -> Row {
        let (lower, upper, rise) = match self {
            Self::Strut(s) => (s.seat_lower, s.seat_upper, (s.top - s.on_axis).normalize()),
            Self::Arm(a) => (a.seat_lower, a.seat_upper, (a.seat_upper - a.seat_lower).normalize()),
        };
        let (damper_lower, damper_upper) = match self {
            Self::Strut(s) => (s.on_axis, s.top),
            Self::Arm(a) => (a.damper_lower, a.damper_upper),
        };
        let axis = match self {
            Self::Strut(_) => Point::zeros(),
            Self::Arm(a) => (a.pivot_outer - a.pivot_inner).normalize(),
        };
        Row {
            wheel: pose.place(self.wheel()),
            spring_m: (upper - pose.place(lower + rise * seat_rise_m)).norm(),
            damper_m: (damper_upper - pose.place(damper_lower)).norm(),
            twist_rad: axis.dot(&q.fixed_rows::<3>(0)),
            bar_rad,
        }
    }

    /// Side force on a strut's top mount per newton of wheel load at design height; zero for an arm.
    ///
    /// Virtual work over the six coordinates of the free knuckle: wheel load, spring force and the forces of the five
    /// constraints do no work together.
    pub fn side_force_per_load(&self, tyre_radius_m: f64) -> f64 {
        let Self::Strut(s) = self else { return 0.0 };
        const STEP: f64 = 1e-6;
        let along = (s.top - s.on_axis).normalize();
        let across = along.cross(&Point::x()).normalize();
        let ahead = along.cross(&across);
        let spring = (s.seat_lower - s.seat_upper).normalize();
        let works = |q: &Vector6<f64>| -> [f64; 7] {
            let pose = Pose::of(q, s.ball);
            let turned = pose.turn * along;
            let reach = s.top - pose.place(s.on_axis);
            let beside = reach - turned * reach.dot(&turned);
            [
                (pose.place(s.ball) - s.inner_front).norm(),
                (pose.place(s.ball) - s.inner_rear).norm(),
                (pose.place(s.rod_outer) - s.rod_inner).norm(),
                beside.dot(&across),
                beside.dot(&ahead),
                pose.place(s.seat_lower).dot(&spring),
                pose.place(s.wheel - Point::z() * tyre_radius_m).z,
            ]
        };
        let (mut balance, mut load) = (Matrix6::zeros(), Vector6::zeros());
        for j in 0..6 {
            let mut step = Vector6::zeros();
            step[j] = STEP;
            let (plus, minus) = (works(&step), works(&-step));
            for k in 0..6 {
                balance[(j, k)] = (plus[k] - minus[k]) / (2.0 * STEP);
            }
            load[j] = -(plus[6] - minus[6]) / (2.0 * STEP);
        }
        balance.lu().solve(&load).map_or(0.0, |forces| forces[3].hypot(forces[4]))
    }
}

#[derive(Debug, Clone, Copy, Default)]
struct Row {
    wheel: Point,
    spring_m: f64,
    damper_m: f64,
    twist_rad: f64,
    bar_rad: f64,
}

/// Angle of the bar at which the drop link keeps its length, by the secant method.
fn bar_angle_rad(bar: &BarLinks, pose: &Pose, from: f64) -> Result<f64> {
    let (axis, end, link) = (metres(bar.bar_axis_mm), metres(bar.bar_arm_end_mm), metres(bar.link_lower_mm));
    let held = pose.place(link);
    let miss = |angle: f64| {
        let arm = Rotation3::from_axis_angle(&Vector3::y_axis(), angle) * (end - axis);
        // the axis runs across the van: only the distance across it turns
        (axis + arm - held).norm() - (end - link).norm()
    };
    let (mut a, mut b) = (from - 1e-3, from);
    for _ in 0..50 {
        let (fa, fb) = (miss(a), miss(b));
        if fb.abs() < 1e-12 || (fa - fb).abs() < 1e-16 {
            return Ok(b);
        }
        (a, b) = (b, b - fb * (b - a) / (fb - fa));
    }
    Err(anyhow!("the drop link of the truth does not close"))
}

/// What the energy needs of a corner over travel.
#[derive(Debug, Clone)]
pub struct Curves {
    /// Wheel centre forward, m.
    pub x: Chebyshev,
    /// Wheel centre outward, m.
    pub y: Chebyshev,
    /// Wheel centre up at design height, m.
    pub design_z_m: f64,
    /// Distance between the spring seats, m.
    pub spring_m: Chebyshev,
    /// Damper length, m.
    pub damper_m: Chebyshev,
    /// Turn of the arm about its pivots, rad.
    pub twist_rad: Chebyshev,
    /// Turn of the bar's arm, rad.
    pub bar_rad: Chebyshev,
}

const NODES: usize = 15;
/// Travel covered to either side of design height, m.
const REACH_M: f64 = 0.125;

fn node_m(k: usize) -> f64 {
    REACH_M * (std::f64::consts::PI * (k as f64 + 0.5) / NODES as f64).cos()
}

/// Chebyshev series over the covered travel; straight beyond it.
#[derive(Debug, Clone, Copy)]
pub struct Chebyshev([f64; NODES]);

impl Chebyshev {
    fn through(values: impl Iterator<Item = f64>) -> Self {
        let values: Vec<f64> = values.collect();
        let n = NODES as f64;
        Self(std::array::from_fn(|j| {
            let sum: f64 = values
                .iter()
                .enumerate()
                .map(|(k, v)| v * (std::f64::consts::PI * j as f64 * (k as f64 + 0.5) / n).cos())
                .sum();
            sum * if j == 0 { 1.0 } else { 2.0 } / n
        }))
    }

    /// Value at a travel, m.
    pub fn at(&self, travel_m: f64) -> f64 {
        if travel_m.abs() <= REACH_M {
            return self.series(travel_m / REACH_M);
        }
        let end = REACH_M.copysign(travel_m);
        self.series(end / REACH_M) + (travel_m - end) * self.slope(0.999 * end)
    }

    /// Slope over travel.
    pub fn slope(&self, travel_m: f64) -> f64 {
        const STEP_M: f64 = 1e-5;
        (self.series((travel_m + STEP_M) / REACH_M) - self.series((travel_m - STEP_M) / REACH_M))
            / (2.0 * STEP_M)
    }

    /// Clenshaw's recurrence.
    fn series(&self, u: f64) -> f64 {
        let (mut b1, mut b2) = (0.0, 0.0);
        for &c in self.0[1..].iter().rev() {
            (b1, b2) = (2.0 * u * b1 - b2 + c, b1);
        }
        self.0[0] + u * b1 - b2
    }
}
