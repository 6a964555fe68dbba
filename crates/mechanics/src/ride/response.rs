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
    Ok(Levers::of(car).motions::<false>(car, axles, &turn, [1.0, 1.0]))
}

/// Levers of the axles on the body.
#[derive(Debug, Clone, Copy)]
pub(super) struct Levers<const N: usize> {
    /// Pitch of the body lowers it over the axle by -x.
    minus_x: [Lanes<N>; 2],
    /// Mean y of the wheels.
    middle_y: [Lanes<N>; 2],
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
    /// Z / (k_t - ω² μ + Z): force on the body held still, over k_t, per height of the road.
    through: ComplexLanes<N>,
    /// k_t - ω² μ.
    below: Lanes<N>,
    /// ω² μ.
    inertia: Lanes<N>,
    tyre: Lanes<N>,
}

impl<const N: usize> WheelAt<N> {
    #[inline(always)]
    fn new<const FUSED: bool>(
        car: &Car<N>,
        axles: &[AxleRates<N>; 2],
        axle: usize,
        mode: usize,
        omega: f64,
    ) -> Self {
        let tyre = car.tyre_rate_n_per_m[axle];
        let inertia = car.unsprung_mass_kg[axle] * (omega * omega);
        let impedance = ComplexLanes {
            re: axles[axle].stiffness_n_per_m[mode],
            im: axles[axle].damping_n_s_per_m[mode] * omega,
        };
        let below = tyre - inertia;
        let yielding = ComplexLanes { re: below + impedance.re, im: impedance.im }.reciprocal::<FUSED>();
        Self { impedance, yielding, through: impedance.times::<FUSED>(yielding), below, inertia, tyre }
    }

    /// Travel and tyre load for a height of the body, on a road at rest or moving.
    ///
    /// Travel is (k_t r - (k_t - ω² μ) b) / (k_t - ω² μ + Z); the tyre carries what the suspension carries and moves
    /// the wheel.
    #[inline(always)]
    fn travel_and_load<const FUSED: bool>(
        &self,
        road: Option<(f64, f64)>,
        body: ComplexLanes<N>,
    ) -> (ComplexLanes<N>, ComplexLanes<N>) {
        let drive = match road {
            Some((re, im)) => {
                let push = ComplexLanes { re: self.tyre * re, im: self.tyre * im };
                body.scaled_plus::<FUSED>(-self.below, push)
            }
            None => body * -self.below,
        };
        let travel = self.yielding.times::<FUSED>(drive);
        let wheel = travel + body;
        (travel, self.impedance.times_plus::<FUSED>(travel, wheel * -self.inertia))
    }
}

impl<const N: usize> Levers<N> {
    #[inline(always)]
    pub(super) fn of(car: &Car<N>) -> Self {
        let (x, y) = (&car.wheel_x_m, &car.wheel_y_m);
        Self {
            minus_x: [-x[0], -x[1]],
            middle_y: [(y[0] + y[1]) * 0.5, (y[2] + y[3]) * 0.5],
            half_track: [(y[0] - y[1]) * 0.5, (y[2] - y[3]) * 0.5],
        }
    }

    /// Movement for the parallel and the opposed input of given amplitudes, m.
    #[inline(always)]
    pub(super) fn motions<const FUSED: bool>(
        &self,
        car: &Car<N>,
        axles: &[AxleRates<N>; 2],
        turn: &Turn,
        amplitude_m: [f64; 2],
    ) -> [Motion<N>; 2] {
        let omega = turn.omega_rad_per_s;
        let wheel = |axle, mode| WheelAt::new::<FUSED>(car, axles, axle, mode, omega);
        let wheels = [[wheel(0, PARALLEL), wheel(0, OPPOSED)], [wheel(1, PARALLEL), wheel(1, OPPOSED)]];
        let road = |a: f64| [(a, 0.0), (a * turn.delay_re, a * turn.delay_im)];
        let roads = [road(amplitude_m[PARALLEL]), road(amplitude_m[OPPOSED])];

        let squared = -(omega * omega);
        let mut body = BodySystem::free(car, squared);
        let mut parallel_push = [ComplexLanes::ZERO; 3];
        let mut opposed_push = ComplexLanes::ZERO;
        for axle in 0..2 {
            body.carry::<FUSED>(self, axle, &wheels[axle]);
            let tyres = wheels[axle][PARALLEL].tyre * 2.0;
            let push = (wheels[axle][PARALLEL].through * tyres).turned::<FUSED>(roads[PARALLEL][axle]);
            parallel_push[0] = parallel_push[0] + push;
            parallel_push[1] = push.scaled_plus::<FUSED>(self.minus_x[axle], parallel_push[1]);
            parallel_push[2] = push.scaled_plus::<FUSED>(self.middle_y[axle], parallel_push[2]);
            let push = (wheels[axle][OPPOSED].through * tyres).turned::<FUSED>(roads[OPPOSED][axle]);
            opposed_push = push.scaled_plus::<FUSED>(self.half_track[axle], opposed_push);
        }
        let (to_parallel, to_opposed) = body.solved::<FUSED>(parallel_push, opposed_push);
        [
            self.motion::<FUSED, PARALLEL>(to_parallel, &wheels, &roads[PARALLEL]),
            self.motion::<FUSED, OPPOSED>(to_opposed, &wheels, &roads[OPPOSED]),
        ]
    }

    /// Movement of the wheels under a moving body; the road moves in the mode `INPUT`.
    #[inline(always)]
    fn motion<const FUSED: bool, const INPUT: usize>(
        &self,
        body: [ComplexLanes<N>; 3],
        wheels: &[[WheelAt<N>; 2]; 2],
        road: &[(f64, f64); 2],
    ) -> Motion<N> {
        let mut travel = [[ComplexLanes::ZERO; 2]; 2];
        let mut tyre_load = travel;
        for axle in 0..2 {
            let pitched = body[1].scaled_plus::<FUSED>(self.minus_x[axle], body[0]);
            let above =
                [body[2].scaled_plus::<FUSED>(self.middle_y[axle], pitched), body[2] * self.half_track[axle]];
            for mode in 0..2 {
                let road = (mode == INPUT).then_some(road[axle]);
                (travel[axle][mode], tyre_load[axle][mode]) =
                    wheels[axle][mode].travel_and_load::<FUSED>(road, above[mode]);
            }
        }
        Motion { body, travel, tyre_load }
    }
}

/// Dynamic stiffness of the body on its wheels: the upper triangle of a complex symmetric matrix, heave, pitch, roll.
struct BodySystem<const N: usize> {
    zz: ComplexLanes<N>,
    zp: ComplexLanes<N>,
    zr: ComplexLanes<N>,
    pp: ComplexLanes<N>,
    pr: ComplexLanes<N>,
    rr: ComplexLanes<N>,
}

impl<const N: usize> BodySystem<N> {
    /// The body alone: inertia, and gravity that tips it further.
    #[inline(always)]
    fn free(car: &Car<N>, minus_omega_squared: f64) -> Self {
        let real = |re| ComplexLanes { re, im: Lanes::splat(0.0) };
        Self {
            zz: real(car.sprung_mass_kg * minus_omega_squared),
            zp: ComplexLanes::ZERO,
            zr: ComplexLanes::ZERO,
            pp: real(car.pitch_inertia_kg_m2 * minus_omega_squared - car.tipping_nm_per_rad[0]),
            pr: ComplexLanes::ZERO,
            rr: real(car.roll_inertia_kg_m2 * minus_omega_squared - car.tipping_nm_per_rad[1]),
        }
    }

    /// Sets the body on an axle, whose wheels are eliminated: `Z (k_t - ω² μ) / (k_t - ω² μ + Z)` at each wheel.
    #[inline(always)]
    fn carry<const FUSED: bool>(&mut self, levers: &Levers<N>, axle: usize, wheels: &[WheelAt<N>; 2]) {
        let (x, y, half_track) = (levers.minus_x[axle], levers.middle_y[axle], levers.half_track[axle]);
        let doubled = wheels[PARALLEL].below * 2.0;
        let both = wheels[PARALLEL].through * doubled;
        let (by_x, by_y) = (both * x, both * y);
        self.zz = self.zz + both;
        self.zp = self.zp + by_x;
        self.zr = self.zr + by_y;
        self.pp = by_x.scaled_plus::<FUSED>(x, self.pp);
        self.pr = by_x.scaled_plus::<FUSED>(y, self.pr);
        let opposed = wheels[OPPOSED].through * (doubled * half_track);
        self.rr = opposed.scaled_plus::<FUSED>(half_track, by_y.scaled_plus::<FUSED>(y, self.rr));
    }

    /// Movement under a push on all three, and under a moment in roll alone; by the adjugate.
    #[inline(always)]
    fn solved<const FUSED: bool>(
        &self,
        push: [ComplexLanes<N>; 3],
        moment: ComplexLanes<N>,
    ) -> ([ComplexLanes<N>; 3], [ComplexLanes<N>; 3]) {
        let Self { zz, zp, zr, pp, pr, rr } = *self;
        // a b - c d
        let minor =
            |a: ComplexLanes<N>, b, c: ComplexLanes<N>, d| (-c).times_plus::<FUSED>(d, a.times::<FUSED>(b));
        let rows = [
            [minor(pp, rr, pr, pr), minor(zr, pr, zp, rr), minor(zp, pr, zr, pp)],
            [minor(zr, pr, zp, rr), minor(zz, rr, zr, zr), minor(zp, zr, zz, pr)],
            [minor(zp, pr, zr, pp), minor(zp, zr, zz, pr), minor(zz, pp, zp, zp)],
        ];
        let along = |row: &[ComplexLanes<N>; 3], v: &[ComplexLanes<N>; 3]| {
            row[0].times_plus::<FUSED>(v[0], row[1].times_plus::<FUSED>(v[1], row[2].times::<FUSED>(v[2])))
        };
        let scale = along(&rows[0], &[zz, zp, zr]).reciprocal::<FUSED>();
        let push =
            [push[0].times::<FUSED>(scale), push[1].times::<FUSED>(scale), push[2].times::<FUSED>(scale)];
        let moment = moment.times::<FUSED>(scale);
        (
            [along(&rows[0], &push), along(&rows[1], &push), along(&rows[2], &push)],
            [
                rows[0][2].times::<FUSED>(moment),
                rows[1][2].times::<FUSED>(moment),
                rows[2][2].times::<FUSED>(moment),
            ],
        )
    }
}
