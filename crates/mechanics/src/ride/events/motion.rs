//! The equations of motion and the rules that carry them over one step.

use super::{EventFault, LaneLaw, fault::positive};
use crate::ride::{BodyPoint, Car, Lanes};
use crate::statics::{CORNERS, FRONT, REAR};

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

/// How a step is carried out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rule {
    /// The classical fourth-order rule of Runge and Kutta (E. Hairer, S. P. Nørsett and G. Wanner, Solving Ordinary
    /// Differential Equations I, II.1), four times the forces.
    RungeKutta4,
    /// Kutta's third-order rule (same book), three times the forces.
    Kutta3,
}

/// Heights and speeds of `N` vans.
#[derive(Debug, Clone, Copy)]
pub(super) struct State<const N: usize> {
    pub(super) place: [Lanes<N>; FREEDOMS],
    pub(super) speed: [Lanes<N>; FREEDOMS],
}

impl<const N: usize> State<N> {
    pub(super) fn rest() -> Self {
        Self { place: [Lanes::splat(0.0); FREEDOMS], speed: [Lanes::splat(0.0); FREEDOMS] }
    }

    pub(super) fn is_finite(&self) -> bool {
        self.place.iter().chain(&self.speed).all(|lanes| lanes.0.iter().all(|value| value.is_finite()))
    }
}

/// What is to be seen of the motion at one moment, for `N` vans.
#[derive(Debug, Clone, Copy)]
pub(super) struct Seen<const N: usize> {
    /// Accelerations of heave, pitch and roll.
    pub(super) body: [Lanes<N>; 3],
    pub(super) travel_m: [Lanes<N>; CORNERS],
    /// Springs, stops, damper and friction, above rest.
    pub(super) parts_n: [Lanes<N>; CORNERS],
    /// Load on the road above rest.
    pub(super) tyre_n: [Lanes<N>; CORNERS],
}

impl<const N: usize> Seen<N> {
    pub(super) fn rest() -> Self {
        let rest = [Lanes::splat(0.0); CORNERS];
        Self { body: [Lanes::splat(0.0); 3], travel_m: rest, parts_n: rest, tyre_n: rest }
    }
}

/// One lane at one moment.
struct Moment {
    acceleration: [f64; FREEDOMS],
    travel_m: [f64; CORNERS],
    parts_n: [f64; CORNERS],
    tyre_n: [f64; CORNERS],
}

/// What one lane of the car is, brought to what the equations multiply with.
struct Body {
    per_inertia: [f64; 3],
    tipping: [f64; 2],
    x_m: [f64; 2],
    y_m: [f64; CORNERS],
    per_unsprung_kg: [f64; 2],
    tyre_n_per_m: [f64; 2],
    wheel_load_n: [f64; CORNERS],
}

/// Vans with the inverses of their masses.
#[derive(Debug)]
pub(super) struct Equations<'a, L, const N: usize> {
    van: &'a DrivenVan<'a, L, N>,
    per_inertia: [Lanes<N>; 3],
    per_unsprung_kg: [Lanes<N>; 2],
}

impl<'a, L: LaneLaw<N>, const N: usize> Equations<'a, L, N> {
    pub(super) fn new(van: &'a DrivenVan<'a, L, N>) -> Self {
        let inverse = |lanes: Lanes<N>| lanes.map(|value| 1.0 / value);
        let car = van.car;
        Self {
            van,
            per_inertia: [car.sprung_mass_kg, car.pitch_inertia_kg_m2, car.roll_inertia_kg_m2].map(inverse),
            per_unsprung_kg: car.unsprung_mass_kg.map(inverse),
        }
    }

    #[inline(always)]
    fn body(&self, lane: usize) -> Body {
        let car = self.van.car;
        Body {
            per_inertia: self.per_inertia.map(|lanes| lanes.0[lane]),
            tipping: car.tipping_nm_per_rad.map(|lanes| lanes.0[lane]),
            x_m: car.wheel_x_m.map(|lanes| lanes.0[lane]),
            y_m: car.wheel_y_m.map(|lanes| lanes.0[lane]),
            per_unsprung_kg: self.per_unsprung_kg.map(|lanes| lanes.0[lane]),
            tyre_n_per_m: car.tyre_rate_n_per_m.map(|lanes| lanes.0[lane]),
            wheel_load_n: self.van.wheel_load_n.map(|lanes| lanes.0[lane]),
        }
    }

    /// Accelerations of one lane: `m z̈ = Σ F`, `I_y θ̈ = -Σ x F + k_θ θ`, `I_x φ̈ = Σ y F + k_φ φ`, `μ z̈_i = T_i - F_i`, with
    /// the tyre `T_i = max(k_t (road - z_i), -load at rest)`.
    #[inline(always)]
    fn at(
        &self,
        lane: usize,
        body: &Body,
        place: &[f64; FREEDOMS],
        speed: &[f64; FREEDOMS],
        road_m: &[f64; CORNERS],
    ) -> Moment {
        let mut moment = Moment {
            acceleration: [0.0; FREEDOMS],
            travel_m: [0.0; CORNERS],
            parts_n: [0.0; CORNERS],
            tyre_n: [0.0; CORNERS],
        };
        let (mut up, mut nose_up, mut left_up) = (0.0, 0.0, 0.0);
        for axle in [FRONT, REAR] {
            let wheels = [2 * axle, 2 * axle + 1];
            let x = body.x_m[axle];
            let bump = |of: &[f64; FREEDOMS], wheel: usize| {
                of[3 + wheel] - (of[0] - x * of[1] + body.y_m[wheel] * of[2])
            };
            let travel = wheels.map(|wheel| bump(place, wheel));
            let forces = self.van.laws[axle].forces(lane, travel, wheels.map(|wheel| bump(speed, wheel)));
            let on_body = [forces.parts_n[0] + forces.bar_n, forces.parts_n[1] - forces.bar_n];
            up += on_body[0] + on_body[1];
            nose_up += x * (on_body[0] + on_body[1]);
            for side in [0, 1] {
                let wheel = wheels[side];
                left_up += body.y_m[wheel] * on_body[side];
                let tyre = body.tyre_n_per_m[axle] * (road_m[wheel] - place[3 + wheel]);
                let least = -body.wheel_load_n[wheel];
                let tyre = if tyre < least { least } else { tyre };
                moment.acceleration[3 + wheel] = (tyre - on_body[side]) * body.per_unsprung_kg[axle];
                moment.travel_m[wheel] = travel[side];
                moment.parts_n[wheel] = forces.parts_n[side];
                moment.tyre_n[wheel] = tyre;
            }
        }
        moment.acceleration[0] = up * body.per_inertia[0];
        moment.acceleration[1] = (body.tipping[0] * place[1] - nose_up) * body.per_inertia[1];
        moment.acceleration[2] = (body.tipping[1] * place[2] + left_up) * body.per_inertia[2];
        moment
    }

    /// Carries every lane over one step, and notes what is to be seen at its start. The road is given at the start, the
    /// middle and the end of the step.
    #[inline(always)]
    pub(super) fn step<const KUTTA_3: bool>(
        &self,
        state: &mut State<N>,
        road_m: &[[f64; CORNERS]; 3],
        step_s: f64,
        seen: &mut Seen<N>,
    ) {
        for lane in 0..N {
            let body = self.body(lane);
            let place = state.place.map(|lanes| lanes.0[lane]);
            let speed = state.speed.map(|lanes| lanes.0[lane]);
            let start = self.at(lane, &body, &place, &speed, &road_m[0]);
            for freedom in 0..3 {
                seen.body[freedom].0[lane] = start.acceleration[freedom];
            }
            for wheel in 0..CORNERS {
                seen.travel_m[wheel].0[lane] = start.travel_m[wheel];
                seen.parts_n[wheel].0[lane] = start.parts_n[wheel];
                seen.tyre_n[wheel].0[lane] = start.tyre_n[wheel];
            }
            let from = Stage { place, speed, acceleration: start.acceleration };
            let (place, speed) = if KUTTA_3 {
                self.kutta_3(lane, &body, &from, road_m, step_s)
            } else {
                self.runge_kutta_4(lane, &body, &from, road_m, step_s)
            };
            for freedom in 0..FREEDOMS {
                state.place[freedom].0[lane] = place[freedom];
                state.speed[freedom].0[lane] = speed[freedom];
            }
        }
    }

    /// The rule for `q̈ = a(q, q̇)`, the stages of q written out: `q + h v + h²/6 (a₁ + a₂ + a₃)`.
    #[inline(always)]
    fn runge_kutta_4(
        &self,
        lane: usize,
        body: &Body,
        from: &Stage,
        road_m: &[[f64; CORNERS]; 3],
        h: f64,
    ) -> (Freedoms, Freedoms) {
        let Stage { place: q, speed: v, acceleration: a1 } = from;
        let half = 0.5 * h;
        let middle = fill(|i| q[i] + half * v[i]);
        let a2 = self.at(lane, body, &middle, &fill(|i| v[i] + half * a1[i]), &road_m[1]).acceleration;
        let middle = fill(|i| q[i] + half * (v[i] + half * a1[i]));
        let a3 = self.at(lane, body, &middle, &fill(|i| v[i] + half * a2[i]), &road_m[1]).acceleration;
        let end = fill(|i| q[i] + h * (v[i] + half * a2[i]));
        let a4 = self.at(lane, body, &end, &fill(|i| v[i] + h * a3[i]), &road_m[2]).acceleration;
        let sixth = h / 6.0;
        (
            fill(|i| q[i] + h * (v[i] + sixth * (a1[i] + a2[i] + a3[i]))),
            fill(|i| v[i] + sixth * (a1[i] + 2.0 * (a2[i] + a3[i]) + a4[i])),
        )
    }

    /// The rule for `q̈ = a(q, q̇)`: stages at the middle and, leaning on the first two, at the end.
    #[inline(always)]
    fn kutta_3(
        &self,
        lane: usize,
        body: &Body,
        from: &Stage,
        road_m: &[[f64; CORNERS]; 3],
        h: f64,
    ) -> (Freedoms, Freedoms) {
        let Stage { place: q, speed: v, acceleration: a1 } = from;
        let half = 0.5 * h;
        let middle = fill(|i| q[i] + half * v[i]);
        let a2 = self.at(lane, body, &middle, &fill(|i| v[i] + half * a1[i]), &road_m[1]).acceleration;
        let end = fill(|i| q[i] + h * (v[i] + h * a1[i]));
        let a3 =
            self.at(lane, body, &end, &fill(|i| v[i] + h * (2.0 * a2[i] - a1[i])), &road_m[2]).acceleration;
        let sixth = h / 6.0;
        (
            fill(|i| q[i] + h * (v[i] + sixth * (a1[i] + 2.0 * a2[i]))),
            fill(|i| v[i] + sixth * (a1[i] + 4.0 * a2[i] + a3[i])),
        )
    }
}

type Freedoms = [f64; FREEDOMS];

/// One lane where a step starts.
struct Stage {
    place: Freedoms,
    speed: Freedoms,
    acceleration: Freedoms,
}

#[inline(always)]
fn fill(value: impl Fn(usize) -> f64) -> Freedoms {
    let mut filled = [0.0; FREEDOMS];
    for i in 0..FREEDOMS {
        filled[i] = value(i);
    }
    filled
}
