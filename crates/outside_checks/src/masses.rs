//! Masses and moments.

use mechanics::statics::{AxleLoads, PointMass, centre_of_gravity_height_by_lifting_m, centre_of_gravity_m};

use crate::Check;
use crate::check::{Case, Computed, or_failing};

const LEDGER: &str = include_str!("../../mechanics/tests/reference/mass_ledger_case.csv");
const WHEELBASE_M: f64 = 3.45;

/// Checks of axle loads and the centre of gravity.
pub fn checks() -> Vec<Check> {
    or_failing(computed())
}

fn computed() -> Computed {
    let mut checks = ledger()?;
    checks.extend(overhang());
    checks.push(height_by_lifting());
    Ok(checks)
}

fn ledger() -> Computed {
    let case = Case {
        id: "M3, moment ledger",
        source: "statics: eight lines on a wheelbase of 3.45 m, the base vehicle by its axle loads on the centre line",
        mark: "recomputed",
    };
    let mut reader = csv::Reader::from_reader(LEDGER.as_bytes());
    let (mut masses, mut largest_kg) = (Vec::new(), 0.0f64);
    let mut rear_rack = AxleLoads::default();
    for record in reader.records() {
        let record = record?;
        if &record[0] == "TOTAL" {
            continue;
        }
        let mass_kg: f64 = record[1].parse()?;
        let (front_kg, rear_kg): (f64, f64) = (record[4].parse()?, record[5].parse()?);
        let at_m = if record[2].is_empty() {
            [-rear_kg / mass_kg * WHEELBASE_M, 0.0, 0.0]
        } else {
            [-record[2].parse::<f64>()?, record[3].parse()?, 0.0]
        };
        let mass = PointMass { mass_kg, at_m };
        let axles = AxleLoads::of(&[mass], WHEELBASE_M);
        largest_kg = largest_kg.max((axles.front_kg - front_kg).abs()).max((axles.rear_kg - rear_kg).abs());
        if at_m[0] < -WHEELBASE_M {
            rear_rack = axles;
        }
        masses.push(mass);
    }
    let axles = AxleLoads::of(&masses, WHEELBASE_M);
    let [x_m, y_m, _] = centre_of_gravity_m(&masses).ok_or("no mass in the ledger")?;
    Ok(vec![
        case.check("axle loads of each line, largest difference", "kg", 0.0, largest_kg, 1e-3),
        case.check("front axle", "kg", 1314.8551, axles.front_kg, 1e-3),
        case.check("rear axle", "kg", 1233.1449, axles.rear_kg, 1e-3),
        case.check("total", "kg", 2548.0, axles.total_kg(), 1e-9),
        case.check("centre of gravity behind the front axle", "m", 1.669682, -x_m, 1e-6),
        case.check("centre of gravity left of the centre line", "mm", 2.0604, y_m * 1e3, 1e-3),
        case.check("55 kg behind the rear axle: front", "kg", -14.3478, rear_rack.front_kg, 1e-3),
        case.check("55 kg behind the rear axle: rear", "kg", 69.3478, rear_rack.rear_kg, 1e-3),
    ])
}

fn overhang() -> [Check; 2] {
    let case = Case { id: "M4, overhang multiplier", source: "statics", mark: "recomputed" };
    let mass = PointMass { mass_kg: 1.0, at_m: [-WHEELBASE_M - 0.95, 0.0, 0.0] };
    let axles = AxleLoads::of(&[mass], WHEELBASE_M);
    [
        case.check("1 kg at 0.95 m behind the rear axle: rear", "kg", 1.275362, axles.rear_kg, 1e-6),
        case.check("the same: front", "kg", -0.275362, axles.front_kg, 1e-6),
    ]
}

fn height_by_lifting() -> Check {
    let case = Case {
        id: "M7, height of the centre of gravity by lifting the rear axle",
        source: "standard lifting method, suspension locked",
        mark: "recomputed",
    };
    let slope_rad = 10f64.to_radians();
    let height_m =
        centre_of_gravity_height_by_lifting_m(2400.0, 1300.0, 1360.1045, WHEELBASE_M, 0.33, slope_rad);
    case.check("height: 2400 kg, front 1300 kg level and 1360.1045 kg at 10 deg", "m", 0.8200, height_m, 1e-4)
}
