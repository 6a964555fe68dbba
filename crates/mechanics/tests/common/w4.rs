//! The vans and the course of the published case W4: seven freedoms, stops, yielding dampers, wheels that leave the road.

use mechanics::ride::events::*;
use mechanics::ride::{BodyPoint, Car, Lanes};
use mechanics::statics::CORNERS;
use serde_json::Value;

/// `N` kits of W4 as vans.
pub(crate) struct W4Vans<const N: usize> {
    pub(crate) car: Car<N>,
    pub(crate) laws: [ClosedFormLaw<N>; 2],
    pub(crate) wheel_load_n: [Lanes<N>; CORNERS],
    pub(crate) seats: [BodyPoint<N>; 1],
}

pub(crate) fn inputs() -> Value {
    serde_json::from_str(include_str!("../reference/w4_inputs.json")).unwrap()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

/// Kits from a number on.
pub(crate) fn vans<const N: usize>(inputs: &Value, first_kit: usize) -> W4Vans<N> {
    let van = |name: &str| number(&inputs["van"][name]);
    let kit = |name: &str| Lanes(std::array::from_fn(|lane| number(&inputs["kits"][name][first_kit + lane])));
    let whole = Lanes::splat;
    let (mass, x_cg, y_cg) = (van("m"), van("x_cg"), van("y_cg"));
    let x = [van("x_f") - x_cg, van("x_r") - x_cg];
    let half_track = van("half_track");
    let law = |axle: &str| {
        let gap = |side: &str| kit(&format!("gap_{side}_{axle}"));
        let stop = |name: &str, gap_m| StopPolynomial {
            gap_m,
            square_n_per_m2: whole(number(&inputs[name]["a2"])),
            cube_n_per_m3: whole(number(&inputs[name]["a3"])),
        };
        ClosedFormLaw {
            rate_n_per_m: kit(&format!("k_{axle}")),
            bump_stop: stop("bump", gap("b")),
            rebound_stop: stop("rebound", gap("r")),
            damper: KneeDamper {
                knee_m_per_s: whole(number(&inputs["knee_v"])),
                bump_n_s_per_m: [kit(&format!("cb1_{axle}")), kit(&format!("cb2_{axle}"))],
                rebound_n_s_per_m: [kit(&format!("cr1_{axle}")), kit(&format!("cr2_{axle}"))],
            },
            bar_n_per_m: kit(&format!("arb_{axle}")),
            marks: AxleMarks {
                stop_touched_m: gap("b"),
                twice_static_m: whole(f64::INFINITY),
                metal_m: whole(f64::INFINITY),
                rebound_end_m: whole(f64::NEG_INFINITY),
            },
        }
    };
    let unsprung = [kit("mu_f"), kit("mu_r")];
    let share = [-x[1] / (x[0] - x[1]), x[0] / (x[0] - x[1])];
    let wheel_load = |wheel: usize| {
        let side = if wheel.is_multiple_of(2) { 1.0 } else { -1.0 };
        let sprung_n = 0.5 * mass * van("g") * share[wheel / 2] * (1.0 + side * y_cg / half_track);
        whole(sprung_n) + unsprung[wheel / 2] * van("g")
    };
    W4Vans {
        car: Car {
            sprung_mass_kg: whole(mass),
            pitch_inertia_kg_m2: whole(van("Iyy")),
            roll_inertia_kg_m2: whole(van("Ixx")),
            wheel_x_m: x.map(whole),
            wheel_y_m: [half_track - y_cg, -half_track - y_cg, half_track - y_cg, -half_track - y_cg]
                .map(whole),
            unsprung_mass_kg: unsprung,
            tyre_rate_n_per_m: [whole(van("kt")); 2],
            tipping_nm_per_rad: [whole(0.0); 2],
        },
        laws: [law("f"), law("r")],
        wheel_load_n: std::array::from_fn(wheel_load),
        seats: [BodyPoint {
            x_m: whole(number(&inputs["van"]["seat"][0]) - x_cg),
            y_m: whole(number(&inputs["van"]["seat"][1]) - y_cg),
        }],
    }
}

impl<const N: usize> W4Vans<N> {
    pub(crate) fn driven(&self) -> DrivenVan<'_, ClosedFormLaw<N>, N> {
        DrivenVan { car: &self.car, laws: &self.laws, wheel_load_n: self.wheel_load_n, seats: &self.seats }
    }
}

/// Hump and rough road.
pub(crate) fn course(inputs: &Value) -> Course {
    let road = &inputs["road"];
    let wave = |k: usize| RoadWave {
        wave_number_per_m: number(&road["n"][k]),
        amplitude_m: number(&road["A"][k]),
        phase_rad: [number(&road["phi"][k]), number(&road["psi"][k])],
        coherence: number(&road["gamma"][k]),
    };
    let waves = (0..road["n"].as_array().unwrap().len()).map(wave).collect();
    let hump = |name: &str| number(&inputs["hump"][name]);
    Course::default()
        .hump(hump("x_start"), Hump::circular(hump("chord"), hump("height")).unwrap())
        .rough(number(&road["x_start"]), RoadOfWaves { waves, fade_in_m: number(&road["fade_in_m"]) })
}

pub(crate) const WHEELBASE_M: f64 = 3.4;
pub(crate) const STRETCH_ENDS_S: [f64; 2] = [2.0, 12.0];

pub(crate) fn speed_m_per_s(inputs: &Value) -> f64 {
    number(&inputs["speed"])
}

/// The ten published figures of one lane.
pub(crate) fn published<const N: usize>(
    vans: &W4Vans<N>,
    outcomes: &[EventOutcome<N>],
    lane: usize,
) -> [f64; 10] {
    let hump = &outcomes[0];
    let total = hump.with(&outcomes[1]);
    let clear = |outcome: &EventOutcome<N>, left: usize| {
        outcome.wheels[left].clearance_to_stop_m.0[lane]
            .min(outcome.wheels[left + 1].clearance_to_stop_m.0[lane])
    };
    let ratio =
        |wheel: usize| 1.0 + total.wheels[wheel].road_load_n[0].0[lane] / vans.wheel_load_n[wheel].0[lane];
    [
        hump.seats[0].peak_m_per_s2().0[lane],
        total.seats[0].peak_m_per_s2().0[lane],
        hump.seats[0].vibration_dose_m_per_s175.0[lane],
        total.seats[0].vibration_dose_m_per_s175.0[lane],
        clear(hump, 0),
        clear(hump, 2),
        clear(&total, 0),
        clear(&total, 2),
        outcomes[1].seats[0].weighted_rms_m_per_s2.0[lane],
        (0..CORNERS).map(ratio).fold(f64::INFINITY, f64::min),
    ]
}
