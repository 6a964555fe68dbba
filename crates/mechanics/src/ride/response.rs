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
    /// How far the wheels rise over the road, m, likewise: times the rate of a tyre its load is less than at rest.
    pub over_road: [[ComplexLanes<N>; 2]; 2],
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
    let van = LinearVan::of(car, axles);
    let moved = van.moved::<false>(&turn, [1.0, 1.0]);
    Ok([moved.motion::<false, PARALLEL>(), moved.motion::<false, OPPOSED>()])
}

/// A van as its linear equations multiply with it. At the start of a line of the cache: so the whole frame of a kernel that
/// keeps it is, and registers put aside do not cross lines.
#[derive(Debug, Clone, Copy)]
#[repr(align(64))]
pub(super) struct LinearVan<const N: usize> {
    /// Halves of the sprung mass and of the moments of inertia in pitch and roll.
    half_inertia: [Lanes<N>; 3],
    half_tipping: [Lanes<N>; 2],
    axles: [LinearAxle<N>; 2],
}

#[derive(Debug, Clone, Copy)]
struct LinearAxle<const N: usize> {
    rates: AxleRates<N>,
    tyre: Lanes<N>,
    unsprung: Lanes<N>,
    /// Pitch of the body lowers it over the axle by -x.
    minus_x: Lanes<N>,
    /// Mean y of the wheels.
    middle_y: Lanes<N>,
    half_track: Lanes<N>,
}

/// Movement of the road under the wheels of an axle.
#[derive(Clone, Copy)]
enum Road {
    /// Under the front wheels, in phase with the input.
    Front(f64),
    /// Under the rear wheels, behind the front ones.
    Rear(f64, f64),
}

/// One mode of one axle at one frequency.
#[derive(Clone, Copy)]
struct WheelAt<const N: usize> {
    /// Z = k + i ω c.
    impedance: ComplexLanes<N>,
    /// 1 / (k_t - ω² μ + Z).
    yielding: ComplexLanes<N>,
    /// Travel per height of the body on a road at rest: -(k_t - ω² μ) / (k_t - ω² μ + Z).
    travel_per_body: ComplexLanes<N>,
    /// Force on the body per height it is lowered: Z (k_t - ω² μ) / (k_t - ω² μ + Z).
    carried: ComplexLanes<N>,
}

impl<const N: usize> LinearAxle<N> {
    #[inline(always)]
    fn of(car: &Car<N>, axles: &[AxleRates<N>; 2], axle: usize) -> Self {
        let [left, right] = [car.wheel_y_m[2 * axle], car.wheel_y_m[2 * axle + 1]];
        Self {
            rates: axles[axle],
            tyre: car.tyre_rate_n_per_m[axle],
            unsprung: car.unsprung_mass_kg[axle],
            minus_x: -car.wheel_x_m[axle],
            middle_y: (left + right) * 0.5,
            half_track: (left - right) * 0.5,
        }
    }

    /// Both modes.
    #[inline(always)]
    fn wheels<const FUSED: bool>(&self, omega: f64) -> [WheelAt<N>; 2] {
        let squared = Lanes::splat(omega * omega);
        let below = (-self.unsprung).mul_add::<FUSED>(squared, self.tyre);
        let minus_below = self.unsprung.mul_add::<FUSED>(squared, -self.tyre);
        let wheel = |mode: usize| {
            let re = self.rates.stiffness_n_per_m[mode];
            let im = self.rates.damping_n_s_per_m[mode] * omega;
            let yielding = ComplexLanes { re: below + re, im }.reciprocal::<FUSED>();
            let travel_per_body = yielding * minus_below;
            let carried = ComplexLanes {
                re: below.mul_add::<FUSED>(travel_per_body.re, below),
                im: below * travel_per_body.im,
            };
            WheelAt { impedance: ComplexLanes { re, im }, yielding, travel_per_body, carried }
        };
        [wheel(PARALLEL), wheel(OPPOSED)]
    }

    /// Travel of a wheel under a body held still.
    #[inline(always)]
    fn driven<const FUSED: bool>(&self, wheel: &WheelAt<N>, road: Road) -> ComplexLanes<N> {
        match road {
            Road::Front(re) => wheel.yielding * (self.tyre * re),
            Road::Rear(re, im) => {
                let push = ComplexLanes { re: self.tyre * re, im: self.tyre * im };
                wheel.yielding.times::<FUSED>(push)
            }
        }
    }
}

impl Road {
    /// A height over the road of a height.
    #[inline(always)]
    fn below<const N: usize>(self, height: ComplexLanes<N>) -> ComplexLanes<N> {
        match self {
            Self::Front(re) => ComplexLanes { re: height.re - Lanes::splat(re), im: height.im },
            Self::Rear(re, im) => {
                ComplexLanes { re: height.re - Lanes::splat(re), im: height.im - Lanes::splat(im) }
            }
        }
    }
}

impl<const N: usize> LinearVan<N> {
    /// Not compiled into the kernels, so that it is kept in memory.
    #[inline(never)]
    pub(super) fn of(car: &Car<N>, axles: &[AxleRates<N>; 2]) -> Self {
        Self {
            half_inertia: [car.sprung_mass_kg, car.pitch_inertia_kg_m2, car.roll_inertia_kg_m2]
                .map(|inertia| inertia * 0.5),
            half_tipping: car.tipping_nm_per_rad.map(|tipping| tipping * 0.5),
            axles: [0, 1].map(|axle| LinearAxle::of(car, axles, axle)),
        }
    }

    /// Movement for the parallel and the opposed input of given amplitudes, m.
    #[inline(always)]
    pub(super) fn moved<const FUSED: bool>(&self, turn: &Turn, amplitude_m: [f64; 2]) -> Moved<'_, N> {
        let omega = turn.omega_rad_per_s;
        let road = |a: f64| [Road::Front(a), Road::Rear(a * turn.delay_re, a * turn.delay_im)];
        let (parallel_road, opposed_road) = (road(amplitude_m[PARALLEL]), road(amplitude_m[OPPOSED]));
        let [front, rear] = &self.axles;
        let [of_front, of_rear] = [front.wheels::<FUSED>(omega), rear.wheels::<FUSED>(omega)];

        let parallel = [
            front.driven::<FUSED>(&of_front[PARALLEL], parallel_road[0]),
            rear.driven::<FUSED>(&of_rear[PARALLEL], parallel_road[1]),
        ];
        let front_push = of_front[PARALLEL].impedance.times::<FUSED>(parallel[0]);
        let rear_push = of_rear[PARALLEL].impedance.times::<FUSED>(parallel[1]);
        let push = [
            front_push + rear_push,
            rear_push.scaled_plus::<FUSED>(rear.minus_x, front_push * front.minus_x),
            rear_push.scaled_plus::<FUSED>(rear.middle_y, front_push * front.middle_y),
        ];
        let opposed = [
            front.driven::<FUSED>(&of_front[OPPOSED], opposed_road[0]),
            rear.driven::<FUSED>(&of_rear[OPPOSED], opposed_road[1]),
        ];
        let front_push = of_front[OPPOSED].impedance.times::<FUSED>(opposed[0]);
        let rear_push = of_rear[OPPOSED].impedance.times::<FUSED>(opposed[1]);
        let moment = rear_push.scaled_plus::<FUSED>(rear.half_track, front_push * front.half_track);

        let body = BodySystem::on_axles::<FUSED>(self, [&of_front, &of_rear], -omega * omega);
        let (to_parallel, to_opposed) = body.solved::<FUSED>(push, moment);
        Moved {
            van: self,
            wheels: [of_front, of_rear],
            inputs: [
                Input { body: to_parallel, driven: parallel, road: parallel_road },
                Input { body: to_opposed, driven: opposed, road: opposed_road },
            ],
        }
    }
}

/// The van moved by both inputs. What an axle does is told apart, so that a kernel can sum it before it comes to the next.
pub(super) struct Moved<'a, const N: usize> {
    van: &'a LinearVan<N>,
    wheels: [[WheelAt<N>; 2]; 2],
    inputs: [Input<N>; 2],
}

/// What one input does to the body, and, were that held still, to the wheels of each axle in the mode of the input.
struct Input<const N: usize> {
    body: [ComplexLanes<N>; 3],
    driven: [ComplexLanes<N>; 2],
    road: [Road; 2],
}

/// Movement of one axle under one input, as in [`Motion`].
pub(super) struct AxleMotion<const N: usize> {
    pub(super) travel: [ComplexLanes<N>; 2],
    pub(super) over_road: [ComplexLanes<N>; 2],
}

impl<const N: usize> Moved<'_, N> {
    /// Movement of the body under an input.
    #[inline(always)]
    pub(super) fn body<const INPUT: usize>(&self) -> &[ComplexLanes<N>; 3] {
        &self.inputs[INPUT].body
    }

    /// Movement of an axle under the moving body; the road moves in the mode `INPUT`.
    #[inline(always)]
    pub(super) fn axle<const FUSED: bool, const INPUT: usize>(&self, axle: usize) -> AxleMotion<N> {
        let Input { body, driven, road } = &self.inputs[INPUT];
        let LinearAxle { minus_x, middle_y, half_track, .. } = self.van.axles[axle];
        let pitched = body[1].scaled_plus::<FUSED>(minus_x, body[0]);
        let above = [body[2].scaled_plus::<FUSED>(middle_y, pitched), body[2] * half_track];
        let mut travel = [ComplexLanes::ZERO; 2];
        let mut over_road = travel;
        for mode in 0..2 {
            let per_body = self.wheels[axle][mode].travel_per_body;
            if mode == INPUT {
                travel[mode] = per_body.times_plus::<FUSED>(above[mode], driven[axle]);
                over_road[mode] = road[axle].below(travel[mode] + above[mode]);
            } else {
                travel[mode] = per_body.times::<FUSED>(above[mode]);
                over_road[mode] = travel[mode] + above[mode];
            }
        }
        AxleMotion { travel, over_road }
    }

    fn motion<const FUSED: bool, const INPUT: usize>(&self) -> Motion<N> {
        let [front, rear] = [self.axle::<FUSED, INPUT>(0), self.axle::<FUSED, INPUT>(1)];
        Motion {
            body: self.inputs[INPUT].body,
            travel: [front.travel, rear.travel],
            over_road: [front.over_road, rear.over_road],
        }
    }
}

/// Half the dynamic stiffness of the body on its wheels: the upper triangle of a complex symmetric matrix, heave, pitch,
/// roll. Half of it, as a push is that of one wheel of two.
struct BodySystem<const N: usize> {
    zz: ComplexLanes<N>,
    zp: ComplexLanes<N>,
    zr: ComplexLanes<N>,
    pp: ComplexLanes<N>,
    pr: ComplexLanes<N>,
    rr: ComplexLanes<N>,
}

impl<const N: usize> BodySystem<N> {
    /// Its inertia, gravity that tips it further, and what the axles carry.
    #[inline(always)]
    fn on_axles<const FUSED: bool>(
        van: &LinearVan<N>,
        wheels: [&[WheelAt<N>; 2]; 2],
        minus_omega_squared: f64,
    ) -> Self {
        let [front, rear] = &van.axles;
        let [of_front, of_rear] = wheels.map(|axle| axle[PARALLEL].carried);
        let (front_by_x, rear_by_x) = (of_front * front.minus_x, of_rear * rear.minus_x);
        let (front_by_y, rear_by_y) = (of_front * front.middle_y, of_rear * rear.middle_y);
        let both = |front: ComplexLanes<N>, front_lever, rear: ComplexLanes<N>, rear_lever| {
            rear.scaled_plus::<FUSED>(rear_lever, front * front_lever)
        };
        let [heave, pitch, roll] = van.half_inertia.map(|inertia| inertia * minus_omega_squared);
        let opposed = wheels.map(|axle| axle[OPPOSED].carried);
        let by_y = both(front_by_y, front.middle_y, rear_by_y, rear.middle_y);
        let rolled = [opposed[0] * front.half_track, opposed[1] * rear.half_track];
        let rolled = both(rolled[0], front.half_track, rolled[1], rear.half_track);
        Self {
            zz: (of_front + of_rear).plus_real(heave),
            zp: front_by_x + rear_by_x,
            zr: front_by_y + rear_by_y,
            pp: both(front_by_x, front.minus_x, rear_by_x, rear.minus_x)
                .plus_real(pitch - van.half_tipping[0]),
            pr: both(front_by_x, front.middle_y, rear_by_x, rear.middle_y),
            rr: (by_y + rolled).plus_real(roll - van.half_tipping[1]),
        }
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
