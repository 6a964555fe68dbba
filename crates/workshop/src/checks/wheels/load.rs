//! What a rim and tyre carry, how fast, and at which pressure.

use super::super::carry::AXLES;
use super::super::checked::{self, words};
use super::super::{Area, Check, Finding};
use super::{Pair, at_least, at_most, between, held};
use crate::facts::Words;
use crate::figure::{Evidence, Figure};
use crate::load_list::LoadState;
use crate::tyre::pressure_for_load;
use crate::tyre_marking::LoadIndex;
use crate::units::kg_from_n;

pub(super) fn checks(pair: &Pair) -> Vec<Check> {
    let grade = pair.checked.known.van.grade;
    let plated_kg = [grade.plated_front_axle_kg, grade.plated_rear_axle_kg];
    let mut checks: Vec<Check> =
        AXLES.into_iter().map(|(axle, name)| tyres_on_plate(pair, plated_kg[axle], name).on(axle)).collect();
    checks.extend(AXLES.into_iter().map(|(axle, name)| rims_on_plate(pair, plated_kg[axle], name).on(axle)));
    checks.push(speed_symbol(pair));
    for state in LoadState::ALL {
        checks.extend(AXLES.into_iter().map(|(axle, name)| tyres_on_load(pair, state, axle, name).on(axle)));
        checks.extend(AXLES.into_iter().map(|(axle, name)| pressure(pair, state, axle, name).on(axle)));
    }
    checks
}

/// Two tyres against the plated axle load.
fn tyres_on_plate(pair: &Pair, plated_kg: f64, [en, de]: [&str; 2]) -> Check {
    let (index, two_kg) = (pair.tyre.service.single, 2.0 * pair.tyre.load_kg());
    let figure = Figure::exact(two_kg, Evidence::MakersFigure);
    let [mut en, mut de] = [
        format!(
            "{en}: two tyres of load index {} carry {two_kg:.0} kg, the plate says {plated_kg:.0} kg",
            index.index()
        ),
        format!(
            "{de}: zwei Reifen mit Tragfähigkeitsindex {} tragen {two_kg:.0} kg, auf dem Fabrikschild stehen {plated_kg:.0} kg",
            index.index()
        ),
    ];
    if let (true, Some(needed)) = (two_kg < plated_kg, LoadIndex::least_for(0.5 * plated_kg)) {
        en += &format!("; load index {} is needed", needed.index());
        de += &format!("; nötig ist Index {}", needed.index());
    }
    let source = words(
        "statutory plate; load index by ISO 4000-1, UN R30 and R54, single wheels",
        "Fabrikschild; Tragfähigkeitsindex nach ISO 4000-1, UN R30 und R54, Einzelrad",
    );
    held("tyre_load_index", Area::Wheels, (figure, "kg"), at_least(plated_kg, source), words(en, de))
}

/// Two rims against the plated axle load.
fn rims_on_plate(pair: &Pair, plated_kg: f64, [en, de]: [&str; 2]) -> Check {
    let two_kg = 2.0 * pair.rim.load_rating_kg;
    let figure = Figure::exact(two_kg, Evidence::MakersFigure);
    let said = words(
        format!("{en}: two rims carry {two_kg:.0} kg, the plate says {plated_kg:.0} kg"),
        format!("{de}: zwei Felgen tragen {two_kg:.0} kg, auf dem Fabrikschild stehen {plated_kg:.0} kg"),
    );
    let source = words(
        "statutory plate; load rating by the rim's maker",
        "Fabrikschild; Radlast nach Felgenhersteller",
    );
    held("rim_load_rating", Area::Wheels, (figure, "kg"), at_least(plated_kg, source), said)
}

/// Two tyres against the axle load of a load state.
fn tyres_on_load(pair: &Pair, state: LoadState, axle: usize, [en, de]: [&str; 2]) -> Check {
    let two_kg = 2.0 * pair.tyre.load_kg();
    let figure = load_figure(pair, state, &[2 * axle, 2 * axle + 1]);
    let load_kg = figure.value;
    let said = words(
        format!("{en}: the axle carries {load_kg:.0} kg, two tyres {two_kg:.0} kg"),
        format!("{de}: auf der Achse liegen {load_kg:.0} kg, zwei Reifen tragen {two_kg:.0} kg"),
    );
    let source =
        words("load index, ISO 4000-1, UN R30 and R54", "Tragfähigkeitsindex, ISO 4000-1, UN R30 und R54");
    checked::held("tyre_load", Area::Wheels, state, (figure, "kg"), at_most(two_kg, source), said)
}

fn load_figure(pair: &Pair, state: LoadState, corners: &[usize]) -> Figure {
    let loads_n = pair.checked.at(state).band.middle.wheel_load_n;
    let value_kg = kg_from_n(corners.iter().map(|&i| loads_n[i]).sum());
    pair.checked.figure(state, value_kg, |r| corners.iter().map(|&i| kg_from_n(r.wheel_load_n[i])).sum())
}

/// Pressure for the heavier wheel of an axle, both filled alike.
fn pressure(pair: &Pair, state: LoadState, axle: usize, [en, de]: [&str; 2]) -> Check {
    let tyre = pair.tyre;
    let loads_n = pair.checked.at(state).band.middle.wheel_load_n;
    let heavier = if loads_n[2 * axle + 1] > loads_n[2 * axle] { 2 * axle + 1 } else { 2 * axle };
    let load = load_figure(pair, state, &[heavier]);
    let needed_bar = |kg: f64| {
        let beyond =
            || pressure_for_load(kg, tyre.load_kg(), tyre.reference_pressure_bar, tyre.least_pressure_bar);
        tyre.pressure_bar(kg).unwrap_or_else(beyond)
    };
    let load_kg = load.value;
    let figure =
        Figure { value: needed_bar(load_kg), low: needed_bar(load.low), high: needed_bar(load.high), ..load };
    let said = words(
        format!(
            "{en}: {:.1} bar cold carry the heavier wheel, {load_kg:.0} kg; the van maker's pressure comes first where it is higher",
            figure.value
        ),
        format!(
            "{de}: {:.1} bar kalt tragen das schwerere Rad, {load_kg:.0} kg; ein höherer Druck des Fahrzeugherstellers geht vor",
            figure.value
        ),
    );
    let limit = between([tyre.least_pressure_bar, tyre.reference_pressure_bar], pressure_source(pair));
    checked::held("tyre_pressure", Area::Wheels, state, (figure, "bar"), limit, said)
}

fn pressure_source(pair: &Pair) -> Words {
    if pair.tyre.load_over_pressure.is_some() {
        words("the tyre maker's table", "Tabelle des Reifenherstellers")
    } else {
        words(
            "ETRTO Standards Manual, L = Lmax (P/Pmax)^0.8, with a floor",
            "ETRTO Standards Manual, L = Lmax (P/Pmax)^0,8, mit Untergrenze",
        )
    }
}

fn speed_symbol(pair: &Pair) -> Check {
    const CHECK: &str = "tyre_speed_symbol";
    let symbol = pair.tyre.service.speed;
    let Some(top_km_per_h) = pair.sheet.top_speed_km_per_h else {
        let said = words(
            format!(
                "top speed not known: look in the registration; the tyre is good for {} km/h",
                symbol.top_speed_km_per_h
            ),
            format!(
                "Höchstgeschwindigkeit nicht bekannt: im Fahrzeugschein nachsehen; der Reifen ist gut für {} km/h",
                symbol.top_speed_km_per_h
            ),
        );
        return checked::unknown(CHECK, Area::Wheels, said);
    };
    let figure = Figure::exact(f64::from(symbol.top_speed_km_per_h), Evidence::MakersFigure);
    let source = words("UN R30, R54: speed symbol", "UN R30, R54: Geschwindigkeitssymbol");
    let limit = at_least(top_km_per_h, source);
    let said = words(
        format!(
            "speed symbol {} is good for {} km/h, the van runs {top_km_per_h:.0} km/h",
            symbol.letter, symbol.top_speed_km_per_h
        ),
        format!(
            "Geschwindigkeitssymbol {} ist gut für {} km/h, der Wagen läuft {top_km_per_h:.0} km/h",
            symbol.letter, symbol.top_speed_km_per_h
        ),
    );
    let mut check = held(CHECK, Area::Wheels, (figure, "km_per_h"), limit, said);
    if check.finding == Finding::DoNot && pair.tyre.marking.mud_and_snow {
        check.finding = Finding::LookAtIt;
        check.words.en += "; a winter tyre may be slower where local code allows it with a notice to the driver (from memory)";
        check.words.de += "; ein Winterreifen darf langsamer sein, wo es örtlich mit Hinweisschild erlaubt ist (aus dem Gedächtnis)";
    }
    check
}
