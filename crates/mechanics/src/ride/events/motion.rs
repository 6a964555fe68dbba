//! The equations of motion and the rule that carries them over one step.

use pulp::Simd;

use super::vector::{Chunk, Vector};
use super::{AxleForce, EventFault, LaneLaw, fault::positive};
use crate::ride::{BodyPoint, Car, Lanes};
use crate::statics::{CORNERS, FRONT, REAR, axle_of};

/// Heave, pitch, roll and the height of each wheel.
pub(super) const FREEDOMS: usize = 3 + CORNERS;

/// `N` vans side by side, ready to be driven.
#[derive(Debug, Clone, Copy)]
pub struct DrivenVan<'a, L, const N: usize> {
    /// Masses, places and tyres.
    pub car: &'a Car<N>,
    /// What stands between body and wheels, front and rear.
    pub laws: &'a [L; 2],
    /// Load of each wheel on the road at rest, N: a wheel leaves the road when it is used up.
    pub wheel_load_n: [Lanes<N>; CORNERS],
    /// Where people sit.
    pub seats: &'a [BodyPoint<N>],
}

impl<L, const N: usize> DrivenVan<'_, L, N> {
    /// Distance of the axles, m, which all lanes share.
    pub(super) fn wheelbase_m(&self) -> Result<f64, EventFault> {
        let bases = self.car.wheel_x_m[FRONT] - self.car.wheel_x_m[REAR];
        let first = positive("wheelbase", bases.0.first().copied().unwrap_or_default())?;
        // a micrometre: the lanes differ by rounding where centres of gravity differ
        let alike = bases.0.iter().all(|base| (base - first).abs() < 1e-6);
        if alike { Ok(first) } else { Err(EventFault::WheelbasesDiffer) }
    }

    /// Masses, inertias and tyre rates must be positive, everything else finite.
    pub(super) fn checked(&self) -> Result<(), EventFault> {
        let car = self.car;
        let all_positive = |quantity, lanes: Lanes<N>| {
            lanes.0.into_iter().try_for_each(|value| positive(quantity, value).map(|_| ()))
        };
        all_positive("sprung mass", car.sprung_mass_kg)?;
        all_positive("pitch inertia", car.pitch_inertia_kg_m2)?;
        all_positive("roll inertia", car.roll_inertia_kg_m2)?;
        for axle in [FRONT, REAR] {
            all_positive("unsprung mass", car.unsprung_mass_kg[axle])?;
            all_positive("tyre rate", car.tyre_rate_n_per_m[axle])?;
        }
        self.wheel_load_n.into_iter().try_for_each(|load| all_positive("wheel load", load))
    }
}

/// How often the motion is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seeing {
    /// At the start of each step.
    EachStep = 1,
    /// In the middle of each step too, between both ends: steps of 2 ms, seen every millisecond, are good for a thousandth of
    /// every figure.
    TwiceAStep = 2,
}

/// Heights and speeds.
#[derive(Debug, Clone, Copy)]
pub(super) struct State<S: Simd> {
    place: [Vector<S>; FREEDOMS],
    speed: [Vector<S>; FREEDOMS],
}

/// What is to be seen of the motion at one moment.
#[derive(Debug, Clone, Copy)]
pub(super) struct Seen<S: Simd> {
    /// Accelerations of heave, pitch and roll.
    pub(super) body: [Vector<S>; 3],
    pub(super) travel_m: [Vector<S>; CORNERS],
    /// Springs, stops, damper and friction, above rest.
    pub(super) parts_n: [Vector<S>; CORNERS],
    /// Load on the road above rest.
    pub(super) tyre_n: [Vector<S>; CORNERS],
}

impl<S: Simd> State<S> {
    #[inline(always)]
    pub(super) fn rest(chunk: Chunk<S>) -> Self {
        Self { place: [chunk.splat(0.0); FREEDOMS], speed: [chunk.splat(0.0); FREEDOMS] }
    }

    #[inline(always)]
    pub(super) fn is_finite(&self) -> bool {
        self.place.iter().chain(&self.speed).all(|value| value.spread().iter().all(|lane| lane.is_finite()))
    }
}

/// The vans of one register's lanes, brought to what the equations multiply with.
#[derive(Debug)]
pub(super) struct Equations<S: Simd, A> {
    laws: [A; 2],
    per_inertia: [Vector<S>; 3],
    tipping: [Vector<S>; 2],
    x_m: [Vector<S>; 2],
    y_m: [Vector<S>; CORNERS],
    minus_y_m: [Vector<S>; CORNERS],
    per_unsprung_kg: [Vector<S>; 2],
    tyre_n_per_m: [Vector<S>; 2],
    least_tyre_n: [Vector<S>; CORNERS],
    /// Step, half of it, a sixth of it, s, and 2.
    step: [Vector<S>; 3],
    two: Vector<S>,
    /// Factors of what is seen in the middle of a step: a half, an eighth of the step, s, 3/2 by the step, 1/s, and -1/4.
    between: [Vector<S>; 4],
}

pub(super) type Freedoms<S> = [Vector<S>; FREEDOMS];
type Road<S> = [Vector<S>; CORNERS];

/// Equations of the vans' lanes that a chunk holds.
#[inline(always)]
pub(super) fn equations<S: Simd, L: LaneLaw<N>, const N: usize>(
    van: &DrivenVan<'_, L, N>,
    chunk: Chunk<S>,
    step_s: f64,
) -> Equations<S, impl AxleForce<S>> {
    let car = van.car;
    let load = |lanes: &Lanes<N>| chunk.load(lanes);
    let inverse = |lanes: Lanes<N>| load(&lanes.map(|value| 1.0 / value));
    Equations {
        laws: [van.laws[0].chunk(chunk), van.laws[1].chunk(chunk)],
        per_inertia: [car.sprung_mass_kg, car.pitch_inertia_kg_m2, car.roll_inertia_kg_m2].map(inverse),
        tipping: car.tipping_nm_per_rad.each_ref().map(load),
        x_m: car.wheel_x_m.each_ref().map(load),
        y_m: car.wheel_y_m.each_ref().map(load),
        minus_y_m: car.wheel_y_m.map(|y| load(&-y)),
        per_unsprung_kg: car.unsprung_mass_kg.map(inverse),
        tyre_n_per_m: car.tyre_rate_n_per_m.each_ref().map(load),
        least_tyre_n: van.wheel_load_n.map(|lanes| -load(&lanes)),
        step: [step_s, 0.5 * step_s, step_s / 6.0].map(|part| chunk.splat(part)),
        two: chunk.splat(2.0),
        between: [0.5, step_s / 8.0, 1.5 / step_s, -0.25].map(|factor| chunk.splat(factor)),
    }
}

impl<S: Simd, A: AxleForce<S>> Equations<S, A> {
    /// Accelerations, and what is to be seen: `m z̈ = Σ F`, `I_y θ̈ = -Σ x F + k_θ θ`, `I_x φ̈ = Σ y F + k_φ φ`,
    /// `μ z̈_i = T_i - F_i`, with the tyre `T_i = max(k_t (road - z_i), -load at rest)`.
    #[inline(always)]
    fn at(&self, place: &Freedoms<S>, speed: &Freedoms<S>, road_m: &Road<S>) -> (Freedoms<S>, Seen<S>) {
        let (front, front_up) = self.axle::<FRONT>(place, speed, road_m);
        let (rear, rear_up) = self.axle::<REAR>(place, speed, road_m);
        let up = front_up[0] + rear_up[0];
        let moment = self.x_m[FRONT].times_plus(front_up[0], self.x_m[REAR] * rear_up[0]);
        let body = [
            up * self.per_inertia[0],
            self.tipping[0].times_plus(place[1], -moment) * self.per_inertia[1],
            self.tipping[1].times_plus(place[2], front_up[1] + rear_up[1]) * self.per_inertia[2],
        ];
        let [[a0, a1], [a2, a3]] = [front.acceleration, rear.acceleration];
        let seen = Seen {
            body,
            travel_m: four(front.travel_m, rear.travel_m),
            parts_n: four(front.parts_n, rear.parts_n),
            tyre_n: four(front.tyre_n, rear.tyre_n),
        };
        ([body[0], body[1], body[2], a0, a1, a2, a3], seen)
    }

    /// The wheels of one axle; the force of both on the body, and its moment that lifts the left side.
    #[inline(always)]
    fn axle<const AXLE: usize>(
        &self,
        place: &Freedoms<S>,
        speed: &Freedoms<S>,
        road_m: &Road<S>,
    ) -> (AxleMoment<S>, [Vector<S>; 2]) {
        let (left, right) = (2 * AXLE, 2 * AXLE + 1);
        let [y_left, y_right] = [self.y_m[left], self.y_m[right]];
        let travel_m = self.travel::<AXLE>(place);
        let forces = self.laws[AXLE].forces(travel_m, self.travel::<AXLE>(speed));
        let on_body = [forces.parts_n[0] + forces.bar_n, forces.parts_n[1] - forces.bar_n];
        let tyre = |wheel: usize| self.tyre_n(wheel, place[3 + wheel], road_m[wheel]);
        let tyre_n = [tyre(left), tyre(right)];
        let acceleration = [
            (tyre_n[0] - on_body[0]) * self.per_unsprung_kg[AXLE],
            (tyre_n[1] - on_body[1]) * self.per_unsprung_kg[AXLE],
        ];
        let up = on_body[0] + on_body[1];
        let left_up = y_left.times_plus(on_body[0], y_right * on_body[1]);
        (AxleMoment { acceleration, travel_m, parts_n: forces.parts_n, tyre_n }, [up, left_up])
    }

    /// How far the wheels of an axle have come up to the body, or how fast.
    #[inline(always)]
    fn travel<const AXLE: usize>(&self, of: &Freedoms<S>) -> [Vector<S>; 2] {
        let (left, right) = (2 * AXLE, 2 * AXLE + 1);
        let pitched = self.x_m[AXLE].times_plus(of[1], -of[0]);
        [
            self.minus_y_m[left].times_plus(of[2], of[3 + left] + pitched),
            self.minus_y_m[right].times_plus(of[2], of[3 + right] + pitched),
        ]
    }

    /// Accelerations, and what is to be seen.
    #[inline(always)]
    pub(super) fn now(&self, state: &State<S>, road_m: &Road<S>) -> (Freedoms<S>, Seen<S>) {
        self.at(&state.place, &state.speed, road_m)
    }

    /// Carries the vans over one step by the classical rule of Runge and Kutta (E. Hairer, S. P. Nørsett and G. Wanner,
    /// Solving Ordinary Differential Equations I, II.1), the stages of q written out for `q̈ = a(q, q̇)`, from the
    /// accelerations at its start. The road is given in the middle and at the end.
    #[inline(always)]
    pub(super) fn runge_kutta_4(&self, state: &mut State<S>, a1: &Freedoms<S>, road_m: &[Road<S>; 2]) {
        let [h, half, sixth] = self.step;
        let State { place: q, speed: v } = *state;
        let v2 = each(|i| half.times_plus(a1[i], v[i]));
        let (a2, _) = self.at(&each(|i| half.times_plus(v[i], q[i])), &v2, &road_m[0]);
        let v3 = each(|i| half.times_plus(a2[i], v[i]));
        let (a3, _) = self.at(&each(|i| half.times_plus(v2[i], q[i])), &v3, &road_m[0]);
        let v4 = each(|i| h.times_plus(a3[i], v[i]));
        let (a4, _) = self.at(&each(|i| h.times_plus(v3[i], q[i])), &v4, &road_m[1]);
        let middle = each(|i| a2[i] + a3[i]);
        state.place = each(|i| h.times_plus(sixth.times_plus(a1[i] + middle[i], v[i]), q[i]));
        state.speed = each(|i| sixth.times_plus(self.two.times_plus(middle[i], a1[i] + a4[i]), v[i]));
    }

    /// What is to be seen in the middle of a step, from states and accelerations at both ends: heights lie on the cubic
    /// through both, accelerations on the second derivative of the quintic. The forces of parts are those at the end.
    #[inline(always)]
    pub(super) fn between(
        &self,
        (from, before): (&State<S>, &Freedoms<S>),
        (to, after): (&State<S>, &Freedoms<S>),
        parts_n: [Vector<S>; CORNERS],
        road_m: &Road<S>,
    ) -> Seen<S> {
        let [half, eighth, per_step, quarter] = self.between;
        let place = each(|i| {
            let middle = half * (from.place[i] + to.place[i]);
            eighth.times_plus(from.speed[i] - to.speed[i], middle)
        });
        let acceleration = |i: usize| {
            let sum = before[i] + after[i];
            per_step.times_plus(to.speed[i] - from.speed[i], quarter * sum)
        };
        let tyre = |wheel: usize| self.tyre_n(wheel, place[3 + wheel], road_m[wheel]);
        Seen {
            body: [acceleration(0), acceleration(1), acceleration(2)],
            travel_m: four(self.travel::<FRONT>(&place), self.travel::<REAR>(&place)),
            parts_n,
            tyre_n: [tyre(0), tyre(1), tyre(2), tyre(3)],
        }
    }

    /// Load of a wheel on the road above that at rest.
    #[inline(always)]
    fn tyre_n(&self, wheel: usize, height_m: Vector<S>, road_m: Vector<S>) -> Vector<S> {
        (self.tyre_n_per_m[axle_of(wheel)] * (road_m - height_m)).max(self.least_tyre_n[wheel])
    }
}

/// One axle at one moment, left and right.
struct AxleMoment<S: Simd> {
    acceleration: [Vector<S>; 2],
    travel_m: [Vector<S>; 2],
    parts_n: [Vector<S>; 2],
    tyre_n: [Vector<S>; 2],
}

#[inline(always)]
fn four<T: Copy>([a, b]: [T; 2], [c, d]: [T; 2]) -> [T; 4] {
    [a, b, c, d]
}

#[inline(always)]
fn each<S: Simd>(value: impl Fn(usize) -> Vector<S>) -> Freedoms<S> {
    [value(0), value(1), value(2), value(3), value(4), value(5), value(6)]
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use pulp::Scalar;

    use super::*;
    use crate::ride::events::{AxleMarks, ClosedFormLaw, KneeDamper, StopPolynomial};

    const RATE: f64 = 30_000.0;
    const BAR: f64 = 8_000.0;
    const STOP: [f64; 3] = [0.04, 5e5, 6e7];
    const TYRE: f64 = 220_000.0;
    const LOAD: f64 = 5_000.0;
    const MASSES: [f64; FREEDOMS] = [1800.0, 3300.0, 800.0, 45.0, 45.0, 45.0, 45.0];

    fn law() -> ClosedFormLaw<1> {
        let whole = Lanes::splat;
        let stop = StopPolynomial {
            gap_m: whole(STOP[0]),
            square_n_per_m2: whole(STOP[1]),
            cube_n_per_m3: whole(STOP[2]),
        };
        let damper = KneeDamper {
            knee_m_per_s: whole(0.13),
            bump_n_s_per_m: [whole(2500.0), whole(900.0)],
            rebound_n_s_per_m: [whole(5000.0), whole(1800.0)],
        };
        let never = whole(f64::INFINITY);
        let marks =
            AxleMarks { stop_touched_m: never, twice_static_m: never, metal_m: never, rebound_end_m: -never };
        ClosedFormLaw {
            rate_n_per_m: whole(RATE),
            bump_stop: stop,
            rebound_stop: stop,
            damper,
            bar_n_per_m: whole(BAR),
            marks,
        }
    }

    fn car() -> Car<1> {
        let whole = Lanes::splat;
        Car {
            sprung_mass_kg: whole(MASSES[0]),
            pitch_inertia_kg_m2: whole(MASSES[1]),
            roll_inertia_kg_m2: whole(MASSES[2]),
            wheel_x_m: [whole(1.4), whole(-1.6)],
            wheel_y_m: [0.8, -0.84, 0.8, -0.84].map(whole),
            unsprung_mass_kg: [whole(MASSES[3]); 2],
            tyre_rate_n_per_m: [whole(TYRE); 2],
            tipping_nm_per_rad: [whole(0.0); 2],
        }
    }

    /// Kinetic energy, and that stored in springs, stops, bars and tyres over a level road.
    fn energy(state: &State<Scalar>) -> f64 {
        let [place, speed] = [state.place, state.speed].map(|all| all.map(|value| value.spread()[0]));
        let moving: f64 = MASSES.iter().zip(speed).map(|(mass, speed)| 0.5 * mass * speed * speed).sum();
        let (x, y) = ([1.4, 1.4, -1.6, -1.6], [0.8, -0.84, 0.8, -0.84]);
        let travel: [f64; CORNERS] =
            std::array::from_fn(|i| place[3 + i] - (place[0] - x[i] * place[1] + y[i] * place[2]));
        let part = |w: f64| {
            let e = (w.abs() - STOP[0]).max(0.0);
            0.5 * RATE * w * w + STOP[1] * e.powi(3) / 3.0 + STOP[2] * e.powi(4) / 4.0
        };
        let tyre = |height: f64| {
            let off = (height - LOAD / TYRE).max(0.0);
            0.5 * TYRE * (height - off).powi(2) + LOAD * off
        };
        let bars = 0.5 * BAR * ((travel[0] - travel[1]).powi(2) + (travel[2] - travel[3]).powi(2));
        moving
            + bars
            + travel.map(part).iter().sum::<f64>()
            + place[3..].iter().map(|z| tyre(*z)).sum::<f64>()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(24))]
        #[test]
        fn law_energy_never_grows_on_a_level_road(
            place in proptest::array::uniform7(-0.06f64..0.06),
            speed in proptest::array::uniform7(-1.0f64..1.0),
        ) {
            let (car, laws) = (car(), [law(); 2]);
            let van = DrivenVan { car: &car, laws: &laws, wheel_load_n: [Lanes::splat(LOAD); CORNERS], seats: &[] };
            let chunk = Chunk::all(Scalar::new(), 1).next().unwrap();
            let equations = equations(&van, chunk, 5e-5);
            let mut state = State { place: place.map(|q| chunk.splat(q)), speed: speed.map(|v| chunk.splat(v)) };
            let road = [[chunk.splat(0.0); CORNERS]; 2];
            let first = energy(&state);
            let mut before = first;
            for _ in 0..2000 {
                let (acceleration, _) = equations.now(&state, &road[0]);
                equations.runge_kutta_4(&mut state, &acceleration, &road);
                let now = energy(&state);
                // the rule itself errs by the third power of a step at a kink of a damper or a tyre that leaves the road
                prop_assert!(now <= before + 1e-7 * first, "{before} grew to {now} of {first}");
                before = now;
            }
            prop_assert!(before < 0.9 * first);
        }
    }
}
