//! Humps, generated roads, dose of vibration, and the time simulation of a van over a hump.

use mechanics::ride::events::{
    AxleMarks, ClosedFormLaw, Course, DrivenVan, EventOutcome, Hump, HumpRules, KneeDamper, RoadOfWaves,
    RoughRoad, Seeing, StopPolynomial, WeightingFilter, drive,
};
use mechanics::ride::{BodyPoint, Car, Lanes};
use serde_json::Value;

use crate::check::{Case, Computed, or_failing};
use crate::{Check, Tolerance};

const PROFILES: &str = include_str!("../../mechanics/tests/reference/hump_profiles_3700x100.csv");
const CASES: &str = include_str!("../../mechanics/tests/reference/events_cases.json");
const EXPECTED: &str = include_str!("../../mechanics/tests/reference/events_expected.csv");

/// Checks of humps, roads, dose and events.
pub fn checks() -> Vec<Check> {
    let computed = || {
        let mut checks = circular_hump()?;
        checks.extend(sinusoidal_hump()?);
        checks.extend(published_profiles()?);
        checks.extend(legal_envelope());
        checks.extend(generated_road()?);
        checks.extend(dose()?);
        checks.extend(quarter_car_over_hump()?);
        checks.extend(vans_over_humps()?);
        Ok(checks)
    };
    or_failing(computed())
}

fn circular_hump() -> Computed {
    let case = Case {
        id: "B1, circular hump, 3.7 m by 100 mm",
        source: "Watts profile, TRRL LR 597 (1973); length and height read in the abstract of TRL377",
        mark: "verified+recomputed",
    };
    let hump = Hump::circular(3.7, 0.1)?;
    // the circle through three points of the profile
    let [a, b, c] = [0.4, 1.7, 3.1].map(|x| [x, hump.height_m(x)]);
    let side = |p: [f64; 2], q: [f64; 2]| (p[0] - q[0]).hypot(p[1] - q[1]);
    let twice_area = ((b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1])).abs();
    let radius_m = side(a, b) * side(b, c) * side(c, a) / (2.0 * twice_area);
    let near = 1e-4;
    let slope = (4.0 * hump.height_m(near) - hump.height_m(2.0 * near)) / (2.0 * near);
    Ok(vec![
        case.check("radius", "m", 17.1625, radius_m, 1e-6),
        case.check("angle at the edge", "deg", 6.188_116, slope.atan().to_degrees(), 1e-6),
        case.check("slope at the edge", "-", 0.108_425, slope, 1e-6),
    ])
}

fn sinusoidal_hump() -> Computed {
    let case = Case {
        id: "B2, sinusoidal hump, 3.7 m by 100 mm",
        source: "TRL377 (sinusoidal humps trialled); kinematics: what a stiff wheel would feel, no response",
        mark: "verified+recomputed",
    };
    let hump = Hump::sinusoidal(3.7, 0.1)?;
    let (quarter, near) = (0.25 * 3.7, 1e-4);
    let slope = (hump.height_m(quarter + near) - hump.height_m(quarter - near)) / (2.0 * near);
    let bend = |near: f64| {
        let middle = 0.5 * 3.7;
        (2.0 * hump.height_m(middle) - hump.height_m(middle + near) - hump.height_m(middle - near))
            / (near * near)
    };
    // differences at two distances, their error of second order taken out
    let curvature = (4.0 * bend(1e-2) - bend(2e-2)) / 3.0;
    Ok(vec![
        case.check("largest slope", "-", 0.084_907_9, slope, 1e-6),
        case.check("largest curvature", "1/m", 0.144_187_1, curvature, 1e-6),
        case.check("acceleration at 20 mph", "m/s²", 11.526, curvature * 8.9408 * 8.9408, 1e-3),
    ])
}

fn published_profiles() -> Computed {
    let case = Case {
        id: "B1 and B2, profiles point by point",
        source: "profiles computed elsewhere every 185 mm",
        mark: "verified+recomputed",
    };
    let (circular, sinusoidal) = (Hump::circular(3.7, 0.1)?, Hump::sinusoidal(3.7, 0.1)?);
    let mut worst = [0.0f64; 2];
    for row in csv::Reader::from_reader(PROFILES.as_bytes()).deserialize() {
        let (x, circle, sine, _parabola): (f64, f64, f64, f64) = row?;
        worst[0] = worst[0].max((circular.height_m(x) - circle).abs());
        worst[1] = worst[1].max((sinusoidal.height_m(x) - sine).abs());
    }
    // the table is printed to 1e-8 m
    Ok(vec![
        case.check("largest difference, circular", "mm", 0.0, worst[0] * 1e3, 1e-5),
        case.check("largest difference, sinusoidal", "mm", 0.0, worst[1] * 1e3, 1e-5),
    ])
}

fn legal_envelope() -> Vec<Check> {
    let case = Case {
        id: "B3, humps that the law of England and Wales allows",
        source: "Highways (Road Humps) Regulations 1999 (SI 1999/1025), quoted in full on a public page and in Hansard, \
                 9 April 2001",
        mark: "verified",
    };
    let rules = HumpRules::ENGLAND_AND_WALES_1999;
    vec![
        case.check("least height", "mm", 25.0, rules.height_m[0] * 1e3, 1e-9),
        case.check("greatest height", "mm", 100.0, rules.height_m[1] * 1e3, 1e-9),
        case.check("least length", "mm", 900.0, rules.least_length_m * 1e3, 1e-9),
        case.check("highest vertical face", "mm", 6.0, rules.highest_face_m * 1e3, 1e-9),
    ]
}

/// The check with a tolerance that is a share of the outside figure.
fn within(share: f64, check: Check) -> Check {
    Check { tolerance: Tolerance::Relative(share), ..check }
}

fn generated_road() -> Computed {
    let case = Case {
        id: "R4, root mean square height of a generated road, 0.011 to 2.83 cycles/m",
        source: "ISO 8608, geometric means of the classes; ∫ G_d dn = G_d(n0) n0² (1/n1 - 1/n2)",
        mark: "recomputed",
    };
    let classes = [("A", 16e-6, 3.806_43), ("B", 64e-6, 7.612_86), ("C", 256e-6, 15.2257)];
    let mut checks = Vec::new();
    for (class, roughness_m3, expected_mm) in classes {
        let rough = RoughRoad {
            roughness_m3,
            band_per_m: [0.011, 2.83],
            waves: 200,
            track_m: 1.66,
            coherence_decay: 1.5,
            fade_in_m: 0.0,
        };
        let road = RoadOfWaves::generated(&rough, 8)?;
        let rms_mm = road.variance_m2().sqrt() * 1e3;
        let what = format!("class {class}, sum of the waves");
        checks.push(within(1e-5, case.check(what, "mm", expected_mm, rms_mm, 0.0)));
        // over 20 km the longest waves, 3 % apart, beat some six times: their power comes out within a few percent
        let mut heights = vec![[0.0; 2]; 200_000];
        road.add_to(&mut heights, 100.0, 0.1);
        for (side, name) in [(0, "left"), (1, "right")] {
            let square = heights.iter().map(|height| height[side] * height[side]).sum::<f64>();
            let rms_mm = (square / heights.len() as f64).sqrt() * 1e3;
            let what = format!("class {class}, heights of the {name} track over 20 km");
            checks.push(within(0.02, case.check(what, "mm", expected_mm, rms_mm, 0.0)));
        }
    }
    Ok(checks)
}

fn dose() -> Computed {
    let case = Case {
        id: "V3, sine of 1 m/s² at 4 Hz for 60 s through the digital weighting Wk",
        source: "ISO 2631-1:1997, eq. 1 and 5; mean of sin⁴ = 3/8",
        mark: "recomputed",
    };
    let step_s = 1e-3;
    let angular = 8.0 * std::f64::consts::PI;
    // the first 20 s let the filter settle
    let sine: Vec<f64> = (0..80_000).map(|k| (angular * f64::from(k) * step_s).sin()).collect();
    let weighted = WeightingFilter::wk(step_s)?.weighted(&sine);
    let settled = &weighted[20_000..];
    let mean = |power: i32| settled.iter().map(|a| a.powi(power)).sum::<f64>() / settled.len() as f64;
    let dose = (mean(4) * 60.0).powf(0.25);
    Ok(vec![
        case.check("weighted root mean square", "m/s²", 0.6839, mean(2).sqrt(), 1e-4),
        case.check("vibration dose", "m/s^1.75", 2.106_461, dose, 1e-4),
    ])
}

fn whole(value: f64) -> Lanes<1> {
    Lanes::splat(value)
}

/// Four quarter cars under one body: masses so placed that no corner moves another.
fn quarter_cars() -> (Car<1>, ClosedFormLaw<1>) {
    let (quarter_kg, ahead_m, left_m) = (250.0, 1.5, 0.8);
    let car = Car {
        sprung_mass_kg: whole(4.0 * quarter_kg),
        pitch_inertia_kg_m2: whole(4.0 * quarter_kg * ahead_m * ahead_m),
        roll_inertia_kg_m2: whole(4.0 * quarter_kg * left_m * left_m),
        wheel_x_m: [whole(ahead_m), whole(-ahead_m)],
        wheel_y_m: [left_m, -left_m, left_m, -left_m].map(whole),
        unsprung_mass_kg: [whole(45.0); 2],
        tyre_rate_n_per_m: [whole(160_000.0); 2],
        tipping_nm_per_rad: [whole(0.0); 2],
    };
    let none = StopPolynomial { gap_m: whole(1.0), square_n_per_m2: whole(0.0), cube_n_per_m3: whole(0.0) };
    let law = ClosedFormLaw {
        rate_n_per_m: whole(16_000.0),
        bump_stop: none,
        rebound_stop: none,
        damper: KneeDamper {
            knee_m_per_s: whole(1.0),
            bump_n_s_per_m: [whole(1000.0); 2],
            rebound_n_s_per_m: [whole(1000.0); 2],
        },
        bar_n_per_m: whole(0.0),
        marks: AxleMarks {
            stop_touched_m: whole(f64::INFINITY),
            twice_static_m: whole(f64::INFINITY),
            metal_m: whole(f64::INFINITY),
            rebound_end_m: whole(f64::NEG_INFINITY),
        },
    };
    (car, law)
}

fn quarter_car_over_hump() -> Computed {
    let case = Case {
        id: "D17, linear quarter car over a hump of 3.7 m by 100 mm",
        source: "scipy solve_ivp (rtol 1e-11) and python-control forced_response, which agree to 1e-5",
        mark: "recomputed",
    };
    let (circular, sinusoidal) = (Hump::circular(3.7, 0.1)?, Hump::sinusoidal(3.7, 0.1)?);
    let rows = [
        ("sinusoidal", &sinusoidal, 20.0, [4.493_47, -6.043_61, 62.5106, 83.0453]),
        ("circular", &circular, 20.0, [4.826_95, -4.204_01, 63.7166, 61.5118]),
        ("sinusoidal", &sinusoidal, 30.0, [4.340_67, -7.613_55, 54.7936, 95.4174]),
        ("circular", &circular, 30.0, [6.020_78, -8.020_74, 63.8323, 106.6566]),
    ];
    let (car, law) = quarter_cars();
    let laws = [law; 2];
    // the corner of the front left wheel, as it were sat upon
    let seats = [BodyPoint { x_m: car.wheel_x_m[0], y_m: car.wheel_y_m[0] }];
    let load_n = (250.0 + 45.0) * mechanics::GRAVITY_M_PER_S2;
    let van = DrivenVan { car: &car, laws: &laws, wheel_load_n: [whole(load_n); 4], seats: &seats };
    let mut checks = Vec::new();
    for (shape, hump, km_per_h, [highest, lowest, bump, rebound]) in rows {
        let course = Course::default().hump(0.0, hump.clone());
        let road = course.heights(km_per_h / 3.6, 3.0, 4.0, 5e-5)?;
        let outcome = single(drive(&van, &road, &[4.0], Seeing::EachStep)?)?;
        let (seat, wheel) = (&outcome.seats[0], &outcome.wheels[0]);
        let what = |quantity: &str| format!("{shape}, {km_per_h} km/h: {quantity}");
        let [up, down] = [seat.highest_m_per_s2, seat.lowest_m_per_s2].map(|lanes| lanes.0[0]);
        checks.extend([
            case.check(what("highest acceleration"), "m/s²", highest, up, 1e-4),
            case.check(what("lowest acceleration"), "m/s²", lowest, down, 1e-4),
            case.check(what("bump travel"), "mm", bump, wheel.bump_travel_m.0[0] * 1e3, 1e-3),
            case.check(what("rebound travel"), "mm", rebound, -wheel.rebound_travel_m.0[0] * 1e3, 1e-3),
        ]);
    }
    Ok(checks)
}

fn single(mut outcomes: Vec<EventOutcome<1>>) -> Result<EventOutcome<1>, &'static str> {
    outcomes.pop().ok_or("no outcome")
}

/// A van over a hump from the file of cases.
struct VanCase {
    name: String,
    car: Car<1>,
    laws: [ClosedFormLaw<1>; 2],
    wheel_load_n: [Lanes<1>; 4],
    seat: BodyPoint<1>,
    hump: Hump,
    speed_m_per_s: f64,
}

fn van_case(value: &Value) -> Result<VanCase, Box<dyn std::error::Error>> {
    let number = |at: &str| value.pointer(at).and_then(Value::as_f64).ok_or(format!("no {at}"));
    let lane = |at: &str| number(at).map(whole);
    let van = |name: &str| lane(&format!("/van/{name}"));
    let law = |axle: usize| -> Result<ClosedFormLaw<1>, String> {
        let part = |name: &str| lane(&format!("/axles/{axle}/{name}"));
        let stop = |name: &str| -> Result<StopPolynomial<1>, String> {
            Ok(StopPolynomial {
                gap_m: part(&format!("{name}/0"))?,
                square_n_per_m2: part(&format!("{name}/1"))?,
                cube_n_per_m3: part(&format!("{name}/2"))?,
            })
        };
        let bump_stop = stop("bump_stop")?;
        Ok(ClosedFormLaw {
            rate_n_per_m: part("rate")?,
            bump_stop,
            rebound_stop: stop("rebound_stop")?,
            damper: KneeDamper {
                knee_m_per_s: part("knee")?,
                bump_n_s_per_m: [part("bump/0")?, part("bump/1")?],
                rebound_n_s_per_m: [part("rebound/0")?, part("rebound/1")?],
            },
            bar_n_per_m: part("bar")?,
            marks: AxleMarks {
                stop_touched_m: bump_stop.gap_m,
                twice_static_m: whole(f64::INFINITY),
                metal_m: whole(f64::INFINITY),
                rebound_end_m: whole(f64::NEG_INFINITY),
            },
        })
    };
    let (length, height) = (number("/hump/length")?, number("/hump/height")?);
    let hump = match value.pointer("/hump/kind").and_then(Value::as_str) {
        Some("circular") => Hump::circular(length, height)?,
        Some("sinusoidal") => Hump::sinusoidal(length, height)?,
        _ => Hump::flat_top(length, height, number("/hump/ramp")?)?,
    };
    Ok(VanCase {
        name: value.pointer("/name").and_then(Value::as_str).unwrap_or_default().to_string(),
        car: Car {
            sprung_mass_kg: van("mass")?,
            pitch_inertia_kg_m2: van("pitch_inertia")?,
            roll_inertia_kg_m2: van("roll_inertia")?,
            wheel_x_m: [van("x/0")?, van("x/1")?],
            wheel_y_m: [van("y/0")?, van("y/1")?, van("y/2")?, van("y/3")?],
            unsprung_mass_kg: [van("unsprung/0")?, van("unsprung/1")?],
            tyre_rate_n_per_m: [van("tyre/0")?, van("tyre/1")?],
            tipping_nm_per_rad: [van("tipping/0")?, van("tipping/1")?],
        },
        laws: [law(0)?, law(1)?],
        wheel_load_n: [van("loads/0")?, van("loads/1")?, van("loads/2")?, van("loads/3")?],
        seat: BodyPoint { x_m: van("seat/0")?, y_m: van("seat/1")? },
        hump,
        speed_m_per_s: number("/speed")?,
    })
}

fn vans_over_humps() -> Computed {
    let case = Case {
        id: "E1, vans with stops, yielding dampers and wheels that leave the road, over a hump",
        source: "the same equations written out by themselves, Wk as a continuous filter, integrated by scipy solve_ivp \
                 (DOP853, rtol 1e-10) between the kinks of the road: crates/mechanics/tests/reference/events_reference.py",
        mark: "recomputed",
    };
    let file: Value = serde_json::from_str(CASES)?;
    let number = |name: &str| file.get(name).and_then(Value::as_f64).ok_or("no such number");
    let (begins_m, end_s) = (number("begins_m")?, number("end_s")?);
    let mut checks = Vec::new();
    for value in file.get("cases").and_then(Value::as_array).ok_or("no cases")? {
        let van = van_case(value)?;
        let seats = [van.seat];
        let driven =
            DrivenVan { car: &van.car, laws: &van.laws, wheel_load_n: van.wheel_load_n, seats: &seats };
        let wheelbase_m = (van.car.wheel_x_m[0] - van.car.wheel_x_m[1]).0[0];
        let course = Course::default().hump(begins_m, van.hump.clone());
        let road = course.heights(van.speed_m_per_s, wheelbase_m, end_s, 5e-5)?;
        let outcome = single(drive(&driven, &road, &[end_s], Seeing::EachStep)?)?;
        checks.extend(compared(&case, &van.name, &outcome)?);
    }
    Ok(checks)
}

/// Seat by figure, wheels by the figure that fits worst.
fn compared(case: &Case, name: &str, outcome: &EventOutcome<1>) -> Computed {
    let mut expected = Vec::new();
    for row in csv::Reader::from_reader(EXPECTED.as_bytes()).deserialize() {
        let (of, quantity, value): (String, String, f64) = row?;
        if of == name {
            expected.push((quantity, value));
        }
    }
    let find = |quantity: &str| {
        expected
            .iter()
            .find(|(name, _)| name == quantity)
            .map(|(_, value)| *value)
            .ok_or(format!("no {quantity}"))
    };
    let seat = &outcome.seats[0];
    let seat_rows = [
        ("highest seat acceleration", "m/s²", seat.highest_m_per_s2, 1e-4),
        ("lowest seat acceleration", "m/s²", seat.lowest_m_per_s2, 1e-4),
        ("rms seat acceleration", "m/s²", seat.rms_m_per_s2, 1e-4),
        // the digital filter at 20 kHz bends 100 Hz by 1e-4 of it
        ("rms weighted acceleration", "m/s²", seat.weighted_rms_m_per_s2, 1e-3),
        ("vibration dose", "m/s^1.75", seat.vibration_dose_m_per_s175, 1e-3),
    ];
    let mut checks = Vec::new();
    for (quantity, unit, got, share) in seat_rows {
        let want = find(quantity)?;
        checks.push(within(share, case.check(format!("{name}: {quantity}"), unit, want, got.0[0], 0.0)));
    }
    let wheel_rows: [(&str, &str, f64, f64); 8] = [
        ("bump travel", "mm", 1e3, 1e-3),
        ("rebound travel", "mm", 1e3, 1e-3),
        ("mount force", "N", 1.0, 1.0),
        ("least load", "N", 1.0, 1.0),
        ("largest load", "N", 1.0, 1.0),
        ("lift-offs", "-", 1.0, 0.0),
        // both sample the beginning and the end of it: a step of each
        ("longest lift-off", "ms", 1e3, 0.2),
        ("stop hits", "-", 1.0, 0.0),
    ];
    for (quantity, unit, scale, allowed) in wheel_rows {
        let mut worst = 0.0f64;
        for (wheel, place) in ["front left", "front right", "rear left", "rear right"].iter().enumerate() {
            let of = &outcome.wheels[wheel];
            let got = match quantity {
                "bump travel" => of.bump_travel_m,
                "rebound travel" => of.rebound_travel_m,
                "mount force" => of.mount_force_n,
                "least load" => of.road_load_n[0],
                "largest load" => of.road_load_n[1],
                "lift-offs" => of.lift_offs,
                "longest lift-off" => of.longest_lift_off_s,
                _ => of.stop_hits,
            };
            worst = worst.max((got.0[0] - find(&format!("{place} {quantity}"))?).abs() * scale);
        }
        checks.push(case.check(format!("{name}: largest difference, {quantity}"), unit, 0.0, worst, allowed));
    }
    Ok(checks)
}
