//! From a van at rest to what ride needs: masses about the centre of gravity, and the law of each axle about its rest.

use super::{AxleLaw, BodyPoint, Car, Lanes, TravelMarks};
use crate::GRAVITY_M_PER_S2;
use crate::curve::MonotoneCurve;
use crate::elements::DamperCurve;
use crate::handling::Handling;
use crate::linkage::Point;
use crate::statics::{CORNERS, Corner, FRONT, FourCorners, REAR, Rest, TravelLimits, axle_of};

/// Rate with which metal and full droop are met, N/m: stiff beside every spring, soft enough to be stepped through. Rubber
/// mounts yield about so much (common practice, no source).
const END_RATE_N_PER_M: f64 = 1.0e6;
/// Spacing at which wheel forces are tabulated over travel, m.
const TABULATED_EVERY_M: f64 = 0.0025;

/// What ride needs beyond what statics knows.
#[derive(Debug, Clone, PartialEq)]
pub struct RideParts {
    /// Damper force over rod speed of the front and the rear axle.
    pub damper_along_rod: [DamperCurve; 2],
    /// Moment of inertia of the sprung mass about its lateral axis through its centre of gravity, kg m².
    pub pitch_inertia_kg_m2: f64,
    /// Moment of inertia of the sprung mass about its longitudinal axis through its centre of gravity, kg m².
    pub roll_inertia_kg_m2: f64,
}

/// How a van differs from the one that was solved: what is not known exactly, as far as ride feels it. By axle.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct RideDeviation {
    /// Rest further in bump, m.
    pub travel_m: [f64; 2],
    /// More load on the axle, kg.
    pub axle_load_kg: [f64; 2],
    /// Rate of the springs, relative.
    pub spring_rate: [f64; 2],
    /// Stiffness of the stops, relative.
    pub stop_stiffness: [f64; 2],
    /// Height of the stops, m.
    pub stop_height_m: [f64; 2],
    /// Rate of the tyres, relative.
    pub tyre_rate: [f64; 2],
    /// Force of the dampers, relative.
    pub damping: [f64; 2],
    /// Dry friction, relative.
    pub friction: [f64; 2],
    /// Moments of inertia, relative.
    pub inertia: f64,
}

/// A van about its rest, in parts that can be varied.
#[derive(Debug, Clone)]
pub struct VanAtRest {
    car: Car<1>,
    centre_of_gravity_m: Point,
    axles: [AxleAtRest; 2],
}

/// Forces of an axle's parts over travel from rest, mean of both wheels.
#[derive(Debug, Clone)]
struct AxleAtRest {
    travel_m: Vec<f64>,
    spring_n: Vec<f64>,
    other_n: Vec<f64>,
    stop: Option<StopAtRest>,
    law: AxleLaw,
}

/// Force of the stops over travel from rest, and their compression per travel.
#[derive(Debug, Clone)]
struct StopAtRest {
    /// At the tabulated travels, N.
    force_n: Vec<f64>,
    force_over_travel: MonotoneCurve,
    ratio: f64,
}

impl StopAtRest {
    /// At tabulated travel `k`, the stop taller by what it deviates.
    fn force_n(&self, travel_m: f64, k: usize, deviation: &RideDeviation, axle: usize) -> f64 {
        let taller_m = deviation.stop_height_m[axle];
        let force_n = if taller_m.abs() <= f64::MIN_POSITIVE {
            self.force_n[k]
        } else {
            self.force_over_travel.at(travel_m + taller_m / self.ratio).value
        };
        force_n.max(0.0)
    }
}

impl VanAtRest {
    /// A van at its rest, its travel limits known. `None` where an axle stands at an end of its travel: it does not ride.
    pub fn of(
        van: &FourCorners,
        rest: &Rest,
        limits: &[TravelLimits; CORNERS],
        parts: &RideParts,
    ) -> Option<Self> {
        let handling = Handling::of(van, rest);
        let cg = van.sprung.centre_of_gravity_m;
        let wheel = |i: usize| van.corners[i].wheel_centre(rest.axle_travel(i)).at_m;
        let mean = |axle: usize, of: &dyn Fn(usize) -> f64| 0.5 * (of(2 * axle) + of(2 * axle + 1));
        let tyre_rate = |i: usize| {
            let tyre = van.corners[i].tyre;
            tyre.at_deflection(tyre.unloaded_radius_m - rest.wheel_centre_height_m[i]).rate_n_per_m
        };
        let axles = [FRONT, REAR];
        let cg_height_m = rest.body.height_of_m(cg);
        let over = |height_m: f64| van.sprung.mass_kg * GRAVITY_M_PER_S2 * (cg_height_m - height_m);
        let wheels_m = rest.wheel_centre_height_m.iter().sum::<f64>() / 4.0;
        let roll_arm_m =
            handling.balance.as_ref().map_or(cg_height_m - wheels_m, |balance| balance.roll_arm_m);
        let lane = |value: f64| Lanes([value]);
        let car = Car {
            sprung_mass_kg: lane(van.sprung.mass_kg),
            pitch_inertia_kg_m2: lane(parts.pitch_inertia_kg_m2),
            roll_inertia_kg_m2: lane(parts.roll_inertia_kg_m2),
            wheel_x_m: axles.map(|axle| lane(mean(axle, &|i| wheel(i)[0] - cg[0]))),
            wheel_y_m: std::array::from_fn(|i| lane(wheel(i)[1] - cg[1])),
            unsprung_mass_kg: axles.map(|axle| lane(mean(axle, &|i| van.corners[i].unsprung_mass_kg))),
            tyre_rate_n_per_m: axles.map(|axle| lane(mean(axle, &tyre_rate))),
            tipping_nm_per_rad: [
                lane(over(wheels_m)),
                lane(van.sprung.mass_kg * GRAVITY_M_PER_S2 * roll_arm_m),
            ],
        };
        let axle = |axle: usize| {
            let bar_n_per_m = handling.roll_stiffness[axle].bar_nm_per_rad / handling.track_m[axle].powi(2);
            let springs_n_per_m =
                2.0 * handling.roll_stiffness[axle].springs_nm_per_rad / handling.track_m[axle].powi(2);
            let in_roll = InRoll { springs_n_per_m, bar_n_per_m };
            AxleAtRest::of(van, rest, limits, axle, &parts.damper_along_rod[axle], in_roll)
        };
        Some(Self { car, centre_of_gravity_m: cg, axles: [axle(FRONT)?, axle(REAR)?] })
    }

    /// A place in body axes, from the centre of gravity of the sprung mass.
    pub fn point(&self, at_m: Point) -> BodyPoint<1> {
        let from = |axis: usize| Lanes([at_m[axis] - self.centre_of_gravity_m[axis]]);
        BodyPoint { x_m: from(0), y_m: from(1) }
    }

    /// The van as it differs by `deviation`.
    pub fn varied(&self, deviation: &RideDeviation) -> (Car<1>, [AxleLaw; 2]) {
        let laws = [FRONT, REAR].map(|axle| self.axles[axle].varied(deviation, axle));
        (self.car_varied(deviation), laws)
    }

    /// As solved.
    pub fn as_solved(&self) -> (Car<1>, [AxleLaw; 2]) {
        self.varied(&RideDeviation::default())
    }

    /// Load that an axle carries more sits over that axle, so the centre of gravity moves towards it.
    fn car_varied(&self, deviation: &RideDeviation) -> Car<1> {
        let mut car = self.car;
        let [mass_kg] = car.sprung_mass_kg.0;
        let x_m = car.wheel_x_m.map(|x| x.0[0]);
        let [front_kg, rear_kg] = deviation.axle_load_kg;
        let more_kg = front_kg + rear_kg;
        let ahead_m = (front_kg * x_m[FRONT] + rear_kg * x_m[REAR]) / (mass_kg + more_kg);
        let second_moment = front_kg * x_m[FRONT].powi(2) + rear_kg * x_m[REAR].powi(2);
        let more_inertia = second_moment - (mass_kg + more_kg) * ahead_m.powi(2);
        let factor = 1.0 + deviation.inertia;
        car.sprung_mass_kg = Lanes([mass_kg + more_kg]);
        car.pitch_inertia_kg_m2 = car.pitch_inertia_kg_m2.map(|inertia| factor * inertia + more_inertia);
        car.roll_inertia_kg_m2 = car.roll_inertia_kg_m2.map(|inertia| factor * inertia);
        car.wheel_x_m = car.wheel_x_m.map(|x| x.map(|x| x - ahead_m));
        for axle in [FRONT, REAR] {
            car.tyre_rate_n_per_m[axle] = car.tyre_rate_n_per_m[axle] * (1.0 + deviation.tyre_rate[axle]);
        }
        car
    }
}

/// What resists the roll of an axle at rest, at one wheel per its travel, N/m.
#[derive(Clone, Copy)]
struct InRoll {
    springs_n_per_m: f64,
    bar_n_per_m: f64,
}

impl AxleAtRest {
    fn of(
        van: &FourCorners,
        rest: &Rest,
        limits: &[TravelLimits; CORNERS],
        axle: usize,
        damper_along_rod: &DamperCurve,
        in_roll: InRoll,
    ) -> Option<Self> {
        let wheels = [2 * axle, 2 * axle + 1];
        let mean = |of: &dyn Fn(usize) -> f64| 0.5 * (of(wheels[0]) + of(wheels[1]));
        let marks = TravelMarks {
            stop_touched_m: limits[wheels[0]]
                .free_bump_m
                .zip(limits[wheels[1]].free_bump_m)
                .map(|(left, right)| 0.5 * (left + right)),
            twice_static_m: mean(&|i| {
                van.travel_to_twice_static_m(rest, limits[i].to_metal_m, i).unwrap_or(limits[i].to_metal_m)
            }),
            metal_m: mean(&|i| limits[i].to_metal_m),
            rebound_end_m: -mean(&|i| limits[i].rebound_m),
        };
        let motion_ratio = mean(&|i| van.corners[i].damper_motion_ratio(rest.axle_travel(i)));
        if marks.metal_m <= TABULATED_EVERY_M
            || marks.rebound_end_m >= -TABULATED_EVERY_M
            || motion_ratio <= 0.0
        {
            return None;
        }
        // riding motion is too fast for the line of an air spring
        let corners = wheels.map(|i| van.corners[i].riding_from(rest.axle_travel(i)));
        let travel_m = grid(marks.rebound_end_m, marks.metal_m);
        let forces_at = |w: f64| {
            let at = |k: usize| corners[k].forces_at(rest.axle_travel(wheels[k]).moved(w));
            let (left, right) = (at(0), at(1));
            let half = |a: f64, b: f64| 0.5 * (a + b);
            [
                half(left.spring_n, right.spring_n),
                half(left.stop_n, right.stop_n),
                half(left.gas_n + left.bush_n, right.gas_n + right.bush_n),
            ]
        };
        let forces: Vec<[f64; 3]> = travel_m.iter().map(|&w| forces_at(w)).collect();
        let of_part = |part: usize| forces.iter().map(|force| force[part]).collect::<Vec<_>>();
        let stop = marks.stop_touched_m.and_then(|_| {
            let force_n = of_part(1);
            let points: Vec<(f64, f64)> = travel_m.iter().copied().zip(force_n.iter().copied()).collect();
            let ratio = corners[0].stop_ratio(rest.axle_travel(wheels[0]))?;
            Some(StopAtRest { force_n, force_over_travel: MonotoneCurve::through(&points)?, ratio })
        });
        let in_heave_n_per_m = mean(&|i| van.corners[i].forces_at(rest.axle_travel(i)).rate_n_per_m);
        // a share with which the springs resist roll as they do in the statics, the turning of their forces included
        let spring_other_share = 0.5 * (1.0 - (in_roll.springs_n_per_m / in_heave_n_per_m).max(0.0).sqrt());
        let damper_other_share = corners[0].damper_other_share(rest.axle_travel(wheels[0]));
        let mut axle = Self {
            law: AxleLaw {
                force_over_travel: MonotoneCurve::through(&[(0.0, 0.0), (1.0, 0.0)])?,
                spring_other_share,
                damper: damper_along_rod.at_wheel(motion_ratio),
                damper_other_share,
                friction_n: mean(&|i| van.corners[i].friction_at_wheel_n(rest.axle_travel(i))),
                bar_n_per_m: in_roll.bar_n_per_m,
                marks,
            },
            spring_n: of_part(0),
            other_n: of_part(2),
            travel_m,
            stop,
        };
        axle.law.force_over_travel = axle.force_over_travel(&RideDeviation::default(), axle_of(wheels[0]))?;
        Some(axle)
    }

    /// Force above that at rest over travel from rest.
    fn force_over_travel(&self, deviation: &RideDeviation, axle: usize) -> Option<MonotoneCurve> {
        let [spring, stop] =
            [deviation.spring_rate[axle], deviation.stop_stiffness[axle]].map(|off| 1.0 + off);
        let stop_n =
            |k: usize| self.stop.as_ref().map_or(0.0, |at| at.force_n(self.travel_m[k], k, deviation, axle));
        let point =
            |k: usize| (self.travel_m[k], self.spring_n[k] * spring + stop_n(k) * stop + self.other_n[k]);
        let last = self.travel_m.len().checked_sub(1)?;
        let beyond_m = TABULATED_EVERY_M;
        let end = |k: usize, side: f64| {
            let (travel_m, force_n) = point(k);
            (travel_m + side * beyond_m, force_n + side * END_RATE_N_PER_M * beyond_m)
        };
        let mut points = Vec::with_capacity(last + 3);
        points.push(end(0, -1.0));
        points.extend((0..=last).map(point));
        points.push(end(last, 1.0));
        Some(MonotoneCurve::through(&points)?.about(deviation.travel_m[axle]))
    }

    fn varied(&self, deviation: &RideDeviation, axle: usize) -> AxleLaw {
        let rest_m = deviation.travel_m[axle];
        let earlier_m = self.stop.as_ref().map_or(0.0, |stop| deviation.stop_height_m[axle] / stop.ratio);
        let mut law = self.law.clone();
        if is_bent(deviation, axle)
            && let Some(force_over_travel) = self.force_over_travel(deviation, axle)
        {
            law.force_over_travel = force_over_travel;
        }
        law.damper = law.damper.times(1.0 + deviation.damping[axle]);
        law.friction_n *= 1.0 + deviation.friction[axle];
        let marks = &mut law.marks;
        marks.stop_touched_m = marks.stop_touched_m.map(|touched_m| touched_m - earlier_m - rest_m);
        marks.twice_static_m -= rest_m;
        marks.metal_m -= rest_m;
        marks.rebound_end_m -= rest_m;
        law
    }
}

/// Whether the force of an axle's parts over travel is any other than as solved.
fn is_bent(deviation: &RideDeviation, axle: usize) -> bool {
    [&deviation.travel_m, &deviation.spring_rate, &deviation.stop_stiffness, &deviation.stop_height_m]
        .iter()
        .any(|off| off[axle] != 0.0)
}

/// Travels from one end to the other, evenly and closely spaced, both ends among them.
fn grid(from_m: f64, to_m: f64) -> Vec<f64> {
    let steps = ((to_m - from_m) / TABULATED_EVERY_M).ceil().max(1.0);
    (0..=steps as usize).map(|k| from_m + (to_m - from_m) * k as f64 / steps).collect()
}

impl Corner {
    /// The corner as it rides: the gas of its air spring shut in.
    fn riding_from(&self, rest: crate::linkage::AxleTravel) -> Self {
        let polytropic_exponent = crate::statics::RIDING_POLYTROPIC_EXPONENT;
        self.clone().with_air_shut_at(rest, polytropic_exponent)
    }
}
