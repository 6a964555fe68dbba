//! Tyres: load index, speed symbol, geometry, speedometer, pressure, rate, a pair on an axle.

use workshop::tyre::{pressure_for_load, speedometer_lead_allowed_km_per_h, true_speed_km_per_h};
use workshop::tyre_marking::{LoadIndex, SpeedSymbol, TyreMarking};

use crate::Check;
use crate::check::{Case, Computed, known, or_failing};

/// Checks of what follows from a tyre's marking.
pub fn checks() -> Vec<Check> {
    or_failing(computed())
}

fn computed() -> Computed {
    let mut checks = load_index()?;
    checks.extend(speed_symbols()?);
    checks.extend(geometry()?);
    checks.extend(speedometer()?);
    checks.extend(speedometer_band());
    checks.extend(pressure());
    checks.extend(rate()?);
    checks.extend(pair_on_axle()?);
    Ok(checks)
}

fn load_kg(index: u16) -> Result<f64, &'static str> {
    known(LoadIndex::of(index).map(LoadIndex::load_kg))
}

fn load_index() -> Computed {
    let case = Case {
        id: "T1, load index",
        source: "ISO 4000-1, UN R30 and R54, load-index table",
        mark: "verified",
    };
    [
        (82, 475.0),
        (91, 615.0),
        (96, 710.0),
        (109, 1030.0),
        (112, 1120.0),
        (116, 1250.0),
        (118, 1320.0),
        (121, 1450.0),
    ]
    .into_iter()
    .map(|(index, kg)| Ok(case.check(format!("load of index {index}"), "kg", kg, load_kg(index)?, 0.0)))
    .collect()
}

fn speed_symbols() -> Computed {
    let case = Case { id: "T2, speed symbols", source: "UN R30, UN R54", mark: "verified" };
    [
        ("L", 120.0),
        ("M", 130.0),
        ("N", 140.0),
        ("P", 150.0),
        ("Q", 160.0),
        ("R", 170.0),
        ("S", 180.0),
        ("T", 190.0),
        ("U", 200.0),
        ("H", 210.0),
        ("V", 240.0),
        ("W", 270.0),
        ("Y", 300.0),
    ]
    .into_iter()
    .map(|(letter, km_per_h)| {
        let symbol = SpeedSymbol::CHOICES.iter().find(|(name, _)| *name == letter);
        let got = known(symbol.map(|(_, symbol)| f64::from(symbol.top_speed_km_per_h)))?;
        Ok(case.check(format!("greatest speed of {letter}"), "km/h", km_per_h, got, 0.0))
    })
    .collect()
}

fn sizes() -> Result<[TyreMarking; 2], workshop::tyre_marking::MarkingFault> {
    Ok(["215/75 R16".parse()?, "245/75 R16".parse()?])
}

fn geometry() -> Computed {
    let case = Case {
        id: "T3, geometry",
        source: "ISO 4000-1; rolling circumference of 3.05 diameters by ETRTO",
        mark: "memory inputs+recomputed",
    };
    let [before, after] = sizes()?;
    let rise_mm = 0.5 * (after.outer_diameter_mm() - before.outer_diameter_mm());
    let ratio = after.outer_diameter_mm() / before.outer_diameter_mm();
    Ok(vec![
        case.check("design diameter of 215/75 R16", "mm", 728.9, before.outer_diameter_mm(), 0.05),
        case.check("design diameter of 245/75 R16", "mm", 773.9, after.outer_diameter_mm(), 0.05),
        case.check(
            "rolling circumference of 215/75 R16",
            "mm",
            2223.1,
            before.rolling_circumference_mm(),
            0.5,
        ),
        case.check(
            "rolling circumference of 245/75 R16",
            "mm",
            2360.4,
            after.rolling_circumference_mm(),
            0.5,
        ),
        case.check("diameters, second over first", "-", 1.061_737, ratio, 1e-6),
        case.check("rise of the axle, half the difference", "mm", 22.5, rise_mm, 1e-6),
    ])
}

fn speedometer() -> Computed {
    let case = Case {
        id: "T4, speedometer",
        source: "proportionality, 215/75 R16 changed to 245/75 R16",
        mark: "recomputed",
    };
    let [before, after] = sizes()?;
    let ratio = after.rolling_circumference_mm() / before.rolling_circumference_mm();
    let at = |lead_percent| true_speed_km_per_h(100.0, ratio, lead_percent);
    Ok(vec![
        case.check("true speed at 100 km/h shown, exact before", "km/h", 106.174, at(0.0), 1e-3),
        case.check("the same, 1.03 times the true speed shown before", "km/h", 103.081, at(3.0), 1e-3),
    ])
}

fn speedometer_band() -> Vec<Check> {
    let case = Case { id: "T5, lead of a speedometer", source: "UN R39, 5.3", mark: "verified" };
    [(40.0, 8.0), (80.0, 12.0), (120.0, 16.0)]
        .map(|(true_speed, lead)| {
            let got = speedometer_lead_allowed_km_per_h(true_speed);
            // exact but for the rounding of one tenth
            case.check(format!("greatest lead at {true_speed} km/h"), "km/h", lead, got, 1e-12)
        })
        .to_vec()
}

fn pressure() -> Vec<Check> {
    let case = Case {
        id: "T6, pressure for load",
        source: "ETRTO Standards Manual, L = Lmax (P/Pmax)^0.8",
        mark: "verified+recomputed",
    };
    [(1000.0, 359.382), (850.0, 293.312), (700.0, 230.106)]
        .map(|(kg, kpa)| {
            let got = pressure_for_load(kg, 1250.0, 475.0, 0.0);
            case.check(format!("pressure at {kg} kg, 1250 kg at 475 kPa"), "kPa", kpa, got, 0.01)
        })
        .to_vec()
}

fn rate() -> Computed {
    let case = Case {
        id: "T8, vertical rate, empirical",
        source: "T. B. Rhyne, Tire Science and Technology 33, 2005",
        mark: "memory inputs+recomputed",
    };
    let tyre: TyreMarking = "205/55 R16".parse()?;
    let got = tyre.empirical_rate_n_per_mm(2.5);
    Ok(vec![case.check("rate of 205/55 R16 at 250 kPa", "N/mm", 256.2, got, 0.5)])
}

fn pair_on_axle() -> Computed {
    let case = Case {
        id: "T9, two tyres on a plated axle load",
        source: "definition of the load index, single wheels; plate 2250 kg",
        mark: "verified+recomputed",
    };
    let least = known(LoadIndex::least_for(1125.0).map(|index| f64::from(index.index())))?;
    Ok(vec![
        case.check("least load index", "-", 113.0, least, 0.0),
        case.check("two tyres of index 113", "kg", 2300.0, 2.0 * load_kg(113)?, 0.0),
        case.check("two tyres of index 112, not enough", "kg", 2240.0, 2.0 * load_kg(112)?, 0.0),
    ])
}
