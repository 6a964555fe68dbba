//! Answer of the seven-degree-of-freedom van to a sinusoidal road at one frequency.
//!
//! The wheels of an axle are taken as their mean and half their difference (left less right): with parts alike on
//! both sides the two do not mix at the wheels, each is one complex number, and what is left is the body, a complex
//! symmetric 3 × 3 system solved by its adjugate. Input is the mean of both tracks and half their difference.

use super::nodes::Turn;
use super::{BodyPoint, Car, ComplexLanes, Lanes, RideFault};

/// Index of what both wheels of an axle do alike: half the sum of left and right.
pub const PARALLEL: usize = 0;
/// Index of what they do against each other: half of left less right.
pub const OPPOSED: usize = 1;

/// What stands between the body and one wheel of an axle, with both wheels moving in parallel and in opposition.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxleRates<const N: usize> {
    /// Force at one wheel per its travel, N/m: [`PARALLEL`], [`OPPOSED`].
    pub stiffness_n_per_m: [Lanes<N>; 2],
    /// Force at one wheel per its speed of travel, N s/m: [`PARALLEL`], [`OPPOSED`].
    pub damping_n_s_per_m: [Lanes<N>; 2],
}

impl<const N: usize> AxleRates<N> {
    /// An independent axle: spring and damper rates at the wheel, and a bar whose force at each wheel is its rate times
    /// the difference of both travels.
    #[inline(always)]
    pub fn independent(spring_n_per_m: Lanes<N>, damper_n_s_per_m: Lanes<N>, bar_n_per_m: Lanes<N>) -> Self {
        Self {
            stiffness_n_per_m: [spring_n_per_m, spring_n_per_m + bar_n_per_m * 2.0],
            damping_n_s_per_m: [damper_n_s_per_m; 2],
        }
    }
}

/// Movement of the van for a road of amplitude 1 m under one kind of input.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Motion<const N: usize> {
    /// Heave, m, pitch and roll, rad, of the body at its centre of gravity.
    pub body: [ComplexLanes<N>; 3],
    /// Travel of the wheels, m: by axle, then [`PARALLEL`], [`OPPOSED`].
    pub travel: [[ComplexLanes<N>; 2]; 2],
    /// Load of a tyre beyond that at rest, N: by axle, then [`PARALLEL`], [`OPPOSED`].
    pub tyre_load: [[ComplexLanes<N>; 2]; 2],
}

impl<const N: usize> Motion<N> {
    /// Rise of a point of the body, m.
    #[inline(always)]
    pub fn rise(&self, point: &BodyPoint<N>) -> ComplexLanes<N> {
        self.body[0] - self.body[1] * point.x_m + self.body[2] * point.y_m
    }
}

/// Answer to the tracks moving in parallel with amplitude 1 m, and to the left one rising by 1 m while the right one
/// falls by 1 m, at a frequency and a speed: the rear wheels follow by wheelbase over speed.
///
/// # Errors
/// When frequency or speed are not positive and finite.
pub fn frequency_response<const N: usize>(
    car: &Car<N>,
    axles: &[AxleRates<N>; 2],
    frequency_hz: f64,
    speed_m_per_s: f64,
) -> Result<[Motion<N>; 2], RideFault> {
    for (quantity, found) in [("frequency", frequency_hz), ("speed", speed_m_per_s)] {
        if !(found > 0.0 && found.is_finite()) {
            return Err(RideFault::NotPositive { quantity, found });
        }
    }
    let turn = Turn::at(frequency_hz, car.wheelbase_m() / speed_m_per_s);
    Ok(Geometry::of(car).motions(car, axles, &turn))
}

/// Levers and masses that no frequency changes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Geometry<const N: usize> {
    /// Twice: one for each wheel. Of the axle: 1, -x, mean y.
    lever: [[Lanes<N>; 3]; 2],
    /// Half the track.
    half_track: [Lanes<N>; 2],
}

/// One mode of one axle at one frequency.
#[derive(Clone, Copy)]
struct WheelAt<const N: usize> {
    /// Z = k + i ω c.
    impedance: ComplexLanes<N>,
    /// 1 / (k_t - ω² μ + Z).
    yielding: ComplexLanes<N>,
    /// k_t - ω² μ.
    below: Lanes<N>,
    /// ω² μ.
    inertia: Lanes<N>,
    tyre: Lanes<N>,
}

impl<const N: usize> WheelAt<N> {
    #[inline(always)]
    fn new(car: &Car<N>, axles: &[AxleRates<N>; 2], axle: usize, mode: usize, omega: f64) -> Self {
        let tyre = car.tyre_rate_n_per_m[axle];
        let inertia = car.unsprung_mass_kg[axle] * (omega * omega);
        let impedance = ComplexLanes {
            re: axles[axle].stiffness_n_per_m[mode],
            im: axles[axle].damping_n_s_per_m[mode] * omega,
        };
        let below = tyre - inertia;
        let yielding = ComplexLanes { re: below + impedance.re, im: impedance.im }.reciprocal();
        Self { impedance, yielding, below, inertia, tyre }
    }

    /// Force on the body per road height with the body held, over k_t: Z / (k_t - ω² μ + Z).
    #[inline(always)]
    fn through(&self) -> ComplexLanes<N> {
        self.impedance * self.yielding
    }

    /// Travel and tyre load for heights of road and body.
    #[inline(always)]
    fn travel_and_load(&self, road: (f64, f64), body: ComplexLanes<N>) -> (ComplexLanes<N>, ComplexLanes<N>) {
        let drive = ComplexLanes { re: self.tyre * road.0, im: self.tyre * road.1 } - body * self.below;
        let travel = self.yielding * drive;
        (travel, self.impedance * travel - (travel + body) * self.inertia)
    }
}

impl<const N: usize> Geometry<N> {
    #[inline(always)]
    pub(super) fn of(car: &Car<N>) -> Self {
        let y = &car.wheel_y_m;
        Self {
            lever: [0, 1]
                .map(|axle| [Lanes::splat(1.0), -car.wheel_x_m[axle], (y[2 * axle] + y[2 * axle + 1]) * 0.5]),
            half_track: [0, 1].map(|axle| (y[2 * axle] - y[2 * axle + 1]) * 0.5),
        }
    }

    /// Movement for the parallel and the opposed input.
    #[inline(always)]
    pub(super) fn motions(&self, car: &Car<N>, axles: &[AxleRates<N>; 2], turn: &Turn) -> [Motion<N>; 2] {
        let omega = turn.omega_rad_per_s;
        let wheel = |axle, mode| WheelAt::new(car, axles, axle, mode, omega);
        let wheels = [[wheel(0, 0), wheel(0, 1)], [wheel(1, 0), wheel(1, 1)]];
        let delay = [(1.0, 0.0), (turn.delay_re, turn.delay_im)];
        let squared = -(omega * omega);

        let mut matrix = [[ComplexLanes::ZERO; 3]; 3];
        let inertias = [car.sprung_mass_kg, car.pitch_inertia_kg_m2, car.roll_inertia_kg_m2];
        for i in 0..3 {
            matrix[i][i].re = inertias[i] * squared;
        }
        matrix[1][1].re = matrix[1][1].re - car.tipping_nm_per_rad[0];
        matrix[2][2].re = matrix[2][2].re - car.tipping_nm_per_rad[1];
        let mut parallel_push = [ComplexLanes::ZERO; 3];
        let mut opposed_push = ComplexLanes::ZERO;
        for axle in 0..2 {
            let (re, im) = delay[axle];
            let through = [wheels[axle][PARALLEL].through(), wheels[axle][OPPOSED].through()];
            let doubled = wheels[axle][PARALLEL].below * 2.0;
            let rigid = [through[PARALLEL] * doubled, through[OPPOSED] * doubled];
            for i in 0..3 {
                let moment = rigid[PARALLEL] * self.lever[axle][i];
                for j in i..3 {
                    matrix[i][j] = matrix[i][j] + moment * self.lever[axle][j];
                }
            }
            let half_track = self.half_track[axle];
            matrix[2][2] = matrix[2][2] + rigid[OPPOSED] * (half_track * half_track);
            let tyres = wheels[axle][PARALLEL].tyre * 2.0;
            let push = (through[PARALLEL] * tyres).times(re, im);
            for i in 0..3 {
                parallel_push[i] = parallel_push[i] + push * self.lever[axle][i];
            }
            opposed_push = opposed_push + (through[OPPOSED] * (tyres * half_track)).times(re, im);
        }

        let inverse = inverse_of_symmetric(&matrix);
        let mut to_parallel = [ComplexLanes::ZERO; 3];
        let mut to_opposed = to_parallel;
        for i in 0..3 {
            to_parallel[i] = inverse[i][0] * parallel_push[0]
                + inverse[i][1] * parallel_push[1]
                + inverse[i][2] * parallel_push[2];
            to_opposed[i] = inverse[i][2] * opposed_push;
        }
        [
            self.motion::<PARALLEL>(to_parallel, &wheels, &delay),
            self.motion::<OPPOSED>(to_opposed, &wheels, &delay),
        ]
    }

    /// Movement of the wheels under a moving body; the road moves in the mode `INPUT`.
    #[inline(always)]
    fn motion<const INPUT: usize>(
        &self,
        body: [ComplexLanes<N>; 3],
        wheels: &[[WheelAt<N>; 2]; 2],
        delay: &[(f64, f64); 2],
    ) -> Motion<N> {
        let mut travel = [[ComplexLanes::ZERO; 2]; 2];
        let mut tyre_load = travel;
        for axle in 0..2 {
            let lever = &self.lever[axle];
            let above = [body[0] + body[1] * lever[1] + body[2] * lever[2], body[2] * self.half_track[axle]];
            for mode in 0..2 {
                let road = if mode == INPUT { delay[axle] } else { (0.0, 0.0) };
                (travel[axle][mode], tyre_load[axle][mode]) =
                    wheels[axle][mode].travel_and_load(road, above[mode]);
            }
        }
        Motion { body, travel, tyre_load }
    }
}

/// Inverse of a complex symmetric matrix of which the upper triangle is given.
#[inline(always)]
fn inverse_of_symmetric<const N: usize>(a: &[[ComplexLanes<N>; 3]; 3]) -> [[ComplexLanes<N>; 3]; 3] {
    let c00 = a[1][1] * a[2][2] - a[1][2] * a[1][2];
    let c01 = a[0][2] * a[1][2] - a[0][1] * a[2][2];
    let c02 = a[0][1] * a[1][2] - a[0][2] * a[1][1];
    let c11 = a[0][0] * a[2][2] - a[0][2] * a[0][2];
    let c12 = a[0][1] * a[0][2] - a[0][0] * a[1][2];
    let c22 = a[0][0] * a[1][1] - a[0][1] * a[0][1];
    let scale = (a[0][0] * c00 + a[0][1] * c01 + a[0][2] * c02).reciprocal();
    let (i00, i01, i02) = (c00 * scale, c01 * scale, c02 * scale);
    let (i11, i12, i22) = (c11 * scale, c12 * scale, c22 * scale);
    [[i00, i01, i02], [i01, i11, i12], [i02, i12, i22]]
}
