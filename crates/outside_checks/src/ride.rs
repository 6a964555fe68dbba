//! Ride: modes, frequency response and random roads of quarter cars and of a bouncing and pitching car.

use std::f64::consts::PI;

use mechanics::ride::{
    AxleRates, Car, Frequencies, Lanes, Mode, ModeKind, Motion, Nodes, RandomRoad, RideFault, RoadClass,
    RoadRun, Weighting, frequency_response, modes, ride_spread, single_axle_damping_ratio,
    single_axle_frequency_hz,
};

use crate::Check;
use crate::check::{Case, Computed, known, or_failing};

const RESPONSES: &str = include_str!("../../mechanics/tests/reference/quarter_car_frequency_response.csv");
const SPREADS: &str = include_str!("../../mechanics/tests/reference/quarter_car_random_road.csv");

/// Checks of ride.
pub fn checks() -> Vec<Check> {
    let computed = || {
        let mut checks = bounce_and_pitch()?;
        checks.extend(quarter_modes()?);
        checks.extend(invariants()?);
        checks.extend(random_road()?);
        checks.extend(responses()?);
        checks.extend(roughness_index()?);
        Ok(checks)
    };
    or_failing(computed())
}

/// A quarter car, SI.
#[derive(Clone, Copy)]
struct Quarter {
    sprung: f64,
    unsprung: f64,
    spring: f64,
    damper: f64,
    tyre: f64,
}

/// The textbook car of D4.
const SET_1: Quarter =
    Quarter { sprung: 250.0, unsprung: 45.0, spring: 16_000.0, damper: 1_000.0, tyre: 160_000.0 };

/// Answer of a quarter car to a road of 1 m.
struct Answer {
    body: f64,
    wheel: f64,
    travel: f64,
    tyre_deflection: f64,
    acceleration: f64,
}

impl Quarter {
    fn van(self) -> (Car<1>, [AxleRates<1>; 2]) {
        let [sprung, unsprung, spring, damper, tyre] =
            [self.sprung, self.unsprung, self.spring, self.damper, self.tyre].map(|value| Lanes([value]));
        let axle = AxleRates::independent(spring, damper, Lanes([0.0]));
        (Car::of_quarters(sprung, unsprung, tyre), [axle; 2])
    }

    /// Mode of the body and mode of the wheels; front and rear have the same ones.
    fn modes(self) -> Result<[Mode; 2], Box<dyn std::error::Error>> {
        let (car, axles) = self.van();
        let all = modes(&car, &axles)?;
        let first = |kinds: [ModeKind; 2]| all.iter().find(|mode| kinds.contains(&mode.kind)).copied();
        let body = first([ModeKind::Heave, ModeKind::Pitch]).ok_or("no mode of the body")?;
        let hop = first([ModeKind::FrontHop, ModeKind::RearHop]).ok_or("no mode of the wheels")?;
        Ok([body, hop])
    }

    fn answer(self, frequency_hz: f64) -> Result<Answer, RideFault> {
        let (car, axles) = self.van();
        // at this speed the rear wheels are in step with the front ones, and the body only heaves
        let speed_m_per_s = car.wheelbase_m() * frequency_hz;
        let [Motion { body, travel, over_road }, _] =
            frequency_response(&car, &axles, frequency_hz, speed_m_per_s)?;
        let magnitude = |value: mechanics::ride::ComplexLanes<1>| value.magnitude().0[0];
        let body_m = magnitude(body[0]);
        Ok(Answer {
            body: body_m,
            wheel: magnitude(body[0] + travel[0][0]),
            travel: magnitude(travel[0][0]),
            tyre_deflection: magnitude(over_road[0][0]),
            acceleration: (2.0 * PI * frequency_hz).powi(2) * body_m,
        })
    }
}

fn bounce_and_pitch() -> Computed {
    let case = Case {
        id: "D2, bounce and pitch",
        source: "Gillespie, Fundamentals of Vehicle Dynamics, ch. 5, example: per wheel 957 lb on 127 lb/in and \
                 1005 lb on 92.3 lb/in, wheelbase 100.6 in, dynamic index 1.1, 386 in/s²",
        mark: "memory inputs+recomputed",
    };
    // any consistent units will do: inch, pound force, second; the rates are ride rates, so wheels are light and tyres stiff
    let (front_lb, rear_lb, wheelbase, gravity) = (957.0, 1005.0, 100.6, 386.0);
    let mass = 2.0 * (front_lb + rear_lb) / gravity;
    let ahead = wheelbase * rear_lb / (front_lb + rear_lb);
    let behind = wheelbase - ahead;
    let lanes = |value: f64| Lanes([value]);
    let light = 1e-4 * mass;
    let car = Car {
        sprung_mass_kg: lanes(mass),
        pitch_inertia_kg_m2: lanes(1.1 * mass * ahead * behind),
        roll_inertia_kg_m2: lanes(mass * 400.0),
        wheel_x_m: [lanes(ahead), lanes(-behind)],
        wheel_y_m: [30.0, -30.0, 30.0, -30.0].map(lanes),
        unsprung_mass_kg: [lanes(light); 2],
        tyre_rate_n_per_m: [lanes(1e7); 2],
        tipping_nm_per_rad: [lanes(0.0); 2],
    };
    let axle = |rate: f64| AxleRates::independent(lanes(rate), lanes(0.0), lanes(0.0));
    let found = modes(&car, &[axle(127.0), axle(92.3)])?;
    let of = |kind: ModeKind| found.iter().find(|mode| mode.kind == kind).copied();
    let (heave, pitch) = (of(ModeKind::Heave).ok_or("no heave")?, of(ModeKind::Pitch).ok_or("no pitch")?);
    let alone = |load_lb: f64, rate: f64| single_axle_frequency_hz(load_lb / gravity, rate, f64::INFINITY);
    Ok(vec![
        case.check("centre of gravity behind the front axle", "in", 51.531, ahead, 0.01),
        case.check("faster mode", "Hz", 1.1151, heave.frequency_hz(), 1e-3),
        case.check("slower mode", "Hz", 0.923, pitch.frequency_hz(), 1e-3),
        case.check(
            "node of the faster mode, ahead of the centre of gravity",
            "in",
            -66.73,
            known(heave.node_x_m)?,
            0.05,
        ),
        case.check("node of the slower mode", "in", 41.68, known(pitch.node_x_m)?, 0.05),
        case.check("front by itself", "Hz", 1.1391, alone(front_lb, 127.0), 1e-3),
        case.check("rear by itself", "Hz", 0.9476, alone(rear_lb, 92.3), 1e-3),
    ])
}

fn quarter_modes() -> Computed {
    let case = |id, source, mark| Case { id, source, mark };
    let set_1 = case(
        "D4, quarter car, set 1",
        "Rajamani, Vehicle Dynamics and Control (parameters from memory); numpy, scipy, python-control",
        "memory inputs+recomputed",
    );
    let bus = case(
        "D4b, quarter car, bus corner",
        "public control tutorials, tyre damping left out",
        "verified inputs+recomputed",
    );
    let van = case("D5, quarter car, invented van corner", "numpy", "recomputed");
    let undamped = |quarter: Quarter| Quarter { damper: 0.0, ..quarter }.modes();
    let [body, hop] = SET_1.modes()?;
    let [free_body, free_hop] = undamped(SET_1)?;
    let mut checks = vec![
        set_1.check("body, undamped", "Hz", 1.213_071, free_body.frequency_hz(), 1e-6),
        set_1.check("hop, undamped", "Hz", 9.960_884, free_hop.frequency_hz(), 1e-6),
        set_1.check(
            "body by itself, tyre in series",
            "Hz",
            1.213_986,
            single_axle_frequency_hz(SET_1.sprung, SET_1.spring, SET_1.tyre),
            1e-6,
        ),
        set_1.check("body, |λ|/2π", "Hz", 1.225_305, body.frequency_hz(), 1e-6),
        set_1.check("body, damping ratio", "-", 0.217_656, body.damping_ratio(), 1e-6),
        set_1.check("hop, |λ|/2π", "Hz", 9.861_431, hop.frequency_hz(), 1e-6),
        set_1.check("hop, damping ratio", "-", 0.184_558, hop.damping_ratio(), 1e-6),
        set_1.check(
            "damping ratio on a wheel that stands still",
            "-",
            0.25,
            single_axle_damping_ratio(SET_1.sprung, SET_1.spring, SET_1.damper),
            1e-12,
        ),
    ];
    let parts = [
        ("body", body.eigenvalue, (-1.675_696, 7.514_240)),
        ("hop", hop.eigenvalue, (-11.435_416, 60.896_810)),
    ];
    for (name, got, expected) in parts {
        checks.push(set_1.check(format!("{name}, Re λ"), "1/s", expected.0, got.0, 1e-6));
        checks.push(set_1.check(format!("{name}, Im λ"), "rad/s", expected.1, got.1, 1e-6));
    }
    let bus_corner =
        Quarter { sprung: 2_500.0, unsprung: 320.0, spring: 80_000.0, damper: 350.0, tyre: 500_000.0 };
    let van_corner =
        Quarter { sprung: 600.0, unsprung: 60.0, spring: 40_000.0, damper: 3_200.0, tyre: 250_000.0 };
    for (case, quarter, hz, damping) in [
        (&bus, bus_corner, [0.834_891_1, 6.784_149_7], vec![0.009_843_5]),
        (&van, van_corner, [1.205_391, 11.075_445], vec![0.264_448, 0.401_554]),
    ] {
        let (free, damped) = (undamped(quarter)?, quarter.modes()?);
        for (k, name) in ["body", "hop"].into_iter().enumerate() {
            checks.push(case.check(format!("{name}, undamped"), "Hz", hz[k], free[k].frequency_hz(), 1e-6));
            if let Some(&ratio) = damping.get(k) {
                let got = damped[k].damping_ratio();
                checks.push(case.check(format!("{name}, damping ratio"), "-", ratio, got, 1e-6));
            }
        }
    }
    Ok(checks)
}

fn invariants() -> Computed {
    let case = Case {
        id: "D6, invariants of the quarter car",
        source: "Hedrick and Butsuen, Proc. Inst. Mech. Eng. 204, 1990: set 1 with springs and dampers of every kind",
        mark: "recomputed",
    };
    let hop_hz = (SET_1.tyre / SET_1.unsprung).sqrt() / (2.0 * PI);
    let travel_hz = (SET_1.tyre / (SET_1.sprung + SET_1.unsprung)).sqrt() / (2.0 * PI);
    let at = |quarter: Quarter, hz: f64| quarter.answer(hz);
    let base = at(SET_1, travel_hz)?.travel;
    let (mut acceleration, mut travel) = (0.0_f64, 0.0_f64);
    for spring in [4_000.0, 16_000.0, 90_000.0] {
        for damper in [100.0, 1_000.0, 9_000.0] {
            let changed = Quarter { spring, damper, ..SET_1 };
            acceleration = acceleration.max((at(changed, hop_hz)?.acceleration - 640.0).abs());
            travel = travel.max((at(changed, travel_hz)?.travel / base - 1.0).abs());
        }
    }
    Ok(vec![
        case.check("frequency of the invariant acceleration", "Hz", 9.490_167, hop_hz, 1e-6),
        case.check("acceleration there less 640, largest of 9", "1/s²", 0.0, acceleration, 1e-9),
        case.check("frequency of the invariant travel", "Hz", 3.706_544, travel_hz, 1e-6),
        case.check("change of travel there, largest of 9", "-", 0.0, travel, 1e-12),
    ])
}

/// Acceleration, weighted acceleration, travel and tyre deflection of a quarter car.
fn spread_of(
    quarter: Quarter,
    class: RoadClass,
    km_per_h: f64,
) -> Result<[f64; 4], Box<dyn std::error::Error>> {
    let (car, axles) = quarter.van();
    let run = RoadRun {
        road: RandomRoad::of_class(class).with_coherence_decay(0.0).ok_or("no decay")?,
        speed_m_per_s: km_per_h / 3.6,
        wheelbase_m: car.wheelbase_m(),
        track_m: 2.0,
    };
    // closed forms reach over all frequencies: so wide a band that nothing is left outside
    let frequencies = Frequencies::gauss_legendre(1e-3, 1e9, 1_200)?;
    let over = |weighting: Weighting| -> Result<_, RideFault> {
        let nodes = Nodes::new(&frequencies, run, &weighting)?;
        Ok(ride_spread(&car, &axles, &[Car::over_front_axle()], &nodes))
    };
    let (plain, weighted) = (over(Weighting::none())?, over(Weighting::wk())?);
    Ok([
        plain.seat_m_per_s2[0].0[0],
        weighted.seat_m_per_s2[0].0[0],
        plain.travel_rms_m()[0].0[0],
        plain.tyre_load_rms_n()[0].0[0] / quarter.tyre,
    ])
}

fn random_road() -> Computed {
    let case = Case {
        id: "D7, quarter cars on random roads",
        source: "covariances by Lyapunov's equation (sympy, scipy); after Robson, Chalasani, Türkay and Akçay",
        mark: "recomputed",
    };
    let [acceleration, weighted, travel, tyre] = spread_of(SET_1, RoadClass::C, 80.0)?;
    let mut checks = vec![
        case.check("set 1, class C, 80 km/h: acceleration", "m/s²", 1.454_579_6, acceleration, 1e-6),
        case.check("travel", "mm", 12.869_883, 1e3 * travel, 1e-5),
        case.check("tyre deflection", "mm", 5.147_412, 1e3 * tyre, 1e-5),
        case.check("dynamic tyre load", "N", 823.586, SET_1.tyre * tyre, 1e-3),
        case.check("weighted acceleration", "m/s²", 1.2397, weighted, 1e-3),
    ];
    let mut worst = [0.0_f64; 4];
    let mut rows = 0;
    for record in csv::Reader::from_reader(SPREADS.as_bytes()).records() {
        let record = record?;
        let number = |k: usize| record[k].parse::<f64>();
        let quarter = Quarter {
            sprung: number(1)?,
            unsprung: number(2)?,
            spring: number(3)?,
            damper: number(4)?,
            tyre: number(5)?,
        };
        let class = match &record[6] {
            "A" => RoadClass::A,
            "B" => RoadClass::B,
            "C" => RoadClass::C,
            _ => return Err("class not known".into()),
        };
        let got = spread_of(quarter, class, number(7)?)?;
        let expected = [number(9)?, number(12)?, 1e-3 * number(10)?, 1e-3 * number(11)?];
        for k in 0..4 {
            worst[k] = worst[k].max((got[k] / expected[k] - 1.0).abs());
        }
        rows += 1;
    }
    // half of the last printed digit: 0.26 m/s² to 1e-6, 0.21 m/s² to 1e-5, 2.05 mm and 0.86 mm to 1e-6
    let columns = [
        ("acceleration", 2e-6),
        ("weighted acceleration", 3e-5),
        ("travel", 3e-7),
        ("tyre deflection", 1e-6),
    ];
    for (k, (name, allowed)) in columns.into_iter().enumerate() {
        checks.push(case.check(format!("{name}: largest difference of {rows}"), "-", 0.0, worst[k], allowed));
    }
    Ok(checks)
}

fn responses() -> Computed {
    let case = Case {
        id: "D8, frequency response of set 1",
        source: "transfer functions by numpy and python-control",
        mark: "recomputed",
    };
    let mut checks = Vec::new();
    for (hz, body) in [(1.0, 2.224_725_6), (2.0, 0.730_604_1), (5.0, 0.182_587), (20.0, 0.009_312_666)] {
        checks.push(case.check(
            format!("body over road at {hz} Hz"),
            "-",
            body,
            SET_1.answer(hz)?.body,
            1e-6,
        ));
    }
    let mut worst = [0.0_f64; 5];
    let mut rows = 0;
    for record in csv::Reader::from_reader(RESPONSES.as_bytes()).records() {
        let record = record?;
        let answer = SET_1.answer(record[0].parse()?)?;
        let got = [answer.body, answer.wheel, answer.travel, answer.tyre_deflection, answer.acceleration];
        for k in 0..5 {
            worst[k] = worst[k].max((got[k] / record[k + 1].parse::<f64>()? - 1.0).abs());
        }
        rows += 1;
    }
    let names = ["body", "wheel", "travel", "tyre deflection", "acceleration"];
    for (k, name) in names.into_iter().enumerate() {
        // eight printed figures
        checks.push(case.check(format!("{name}: largest difference of {rows}"), "-", 0.0, worst[k], 5e-8));
    }
    Ok(checks)
}

fn roughness_index() -> Computed {
    let case = Case {
        id: "D9, reference quarter car of the roughness index",
        source: "Sayers, Transportation Research Record 1501, 1995; ASTM E1926; parameters from memory",
        mark: "memory inputs+recomputed",
    };
    let reference = Quarter { sprung: 1.0, unsprung: 0.15, spring: 63.3, damper: 6.0, tyre: 653.0 };
    let free = Quarter { damper: 0.0, ..reference }.modes()?;
    let [body, _] = reference.modes()?;
    let gain = |wavelength_m: f64| reference.answer(80.0 / 3.6 / wavelength_m).map(|answer| answer.travel);
    // mean of a rectified sine of slope amplitude 2π a / wavelength
    let index = |wavelength_m: f64| gain(wavelength_m).map(|gain| 2.0 / PI * gain * 2.0 * PI / wavelength_m);
    Ok(vec![
        case.check("body, undamped", "Hz", 1.208_297, free[0].frequency_hz(), 1e-6),
        case.check("hop, undamped", "Hz", 11.004_728, free[1].frequency_hz(), 1e-6),
        case.check("body, damping ratio", "-", 0.333_432, body.damping_ratio(), 1e-6),
        case.check("gain at 15.4 m and 80 km/h", "-", 1.535_09, gain(15.4)?, 1e-4),
        case.check("gain at 2.4 m", "-", 1.664_00, gain(2.4)?, 1e-4),
        case.check("gain at 10 m", "-", 1.259_68, gain(10.0)?, 1e-4),
        case.check("index of a sine of 1 mm and 10 m", "m/km", 0.503_874, index(10.0)?, 1e-4),
        case.check("index of a sine of 1 mm and 2.4 m", "m/km", 2.773_339, index(2.4)?, 1e-4),
    ])
}
