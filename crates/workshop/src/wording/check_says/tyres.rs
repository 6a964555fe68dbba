//! What rims and tyres carry, how fast, at which pressure, and what their size changes.

use super::plain;
use crate::facts::{Language, Words};
use crate::load_list::LoadState;
use crate::wording::{Axle, axle, corner, fixed, load_state, signed, whole};

/// Two tyres against the plate; the load index that would do, where theirs does not.
pub(crate) fn tyres_on_plate(
    language: Language,
    of: Axle,
    index: u16,
    [two_kg, plated_kg]: [f64; 2],
    needed: Option<u16>,
) -> String {
    let (place, two, plated) = (axle(language, of), whole(two_kg), whole(plated_kg));
    let needed = needed.map_or_else(String::new, |index| {
        language.pick(format!("; load index {index} is needed"), format!("; nötig ist Index {index}"))
    });
    language.pick(
        format!("{place}: two tyres of load index {index} carry {two} kg, the plate says {plated} kg{needed}"),
        format!("{place}: zwei Reifen mit Tragfähigkeitsindex {index} tragen {two} kg, das Typschild nennt {plated} kg{needed}"),
    )
}

/// Two rims against the plate, kg.
pub(crate) fn rims_on_plate(language: Language, of: Axle, two_kg: f64, plated_kg: f64) -> String {
    let (place, two, plated) = (axle(language, of), whole(two_kg), whole(plated_kg));
    language.pick(
        format!("{place}: two rims carry {two} kg, the plate says {plated} kg"),
        format!("{place}: zwei Felgen tragen {two} kg, das Typschild nennt {plated} kg"),
    )
}

/// Two tyres against the load of an axle, kg.
pub(crate) fn tyres_on_load(language: Language, of: Axle, load_kg: f64, two_kg: f64) -> String {
    let (place, load, two) = (axle(language, of), whole(load_kg), whole(two_kg));
    language.pick(
        format!("{place}: the axle carries {load} kg, two tyres {two} kg"),
        format!("{place}: auf der Achse liegen {load} kg, zwei Reifen tragen {two} kg"),
    )
}

/// The wheel and load state that decide the pressure of an axle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Decides {
    /// Wheel, 0 to 3.
    pub(crate) wheel: usize,
    /// Load state.
    pub(crate) state: LoadState,
    /// Load on it, kg.
    pub(crate) load_kg: f64,
    /// Pressure, bar.
    pub(crate) bar: f64,
}

/// Pressure of an axle, and what decides it.
pub(crate) fn pressure(language: Language, of: Axle, decides: &Decides) -> String {
    let place = axle(language, of);
    let (wheel, state) = (corner(language, decides.wheel), load_state(language, decides.state));
    let (kg, bar) = (whole(decides.load_kg), fixed(language, decides.bar, 1));
    language.pick(
        format!("{place}: cold pressure for the axle's heavier wheel; {bar} bar decided by {wheel} {state}, {kg} kg; the van maker's pressure comes first where it is higher"),
        format!("{place}: kalter Druck für das schwerere Rad der Achse; {bar} bar, es entscheidet {wheel} {state} mit {kg} kg; ein höherer Druck des Fahrzeugherstellers geht vor"),
    )
}

/// A top speed that is not known, km/h.
pub(crate) fn top_speed_not_known(language: Language, good_for: u16) -> String {
    language.pick(
        format!("top speed not known: look in the registration; the tyre is good for {good_for} km/h"),
        format!("Höchstgeschwindigkeit nicht bekannt: im Fahrzeugschein nachsehen; der Reifen ist gut für {good_for} km/h"),
    )
}

/// Speed symbol against top speed, km/h; whether a winter tyre may be slower.
pub(crate) fn speed_symbol(
    language: Language,
    letter: &str,
    good_for: u16,
    top_km_per_h: f64,
    winter: bool,
) -> String {
    let top = whole(top_km_per_h);
    let winter = if winter {
        language.pick(
            "; a winter tyre may be slower where local code allows it with a notice to the driver (from memory)",
            "; ein Winterreifen darf langsamer sein, wo es örtlich mit Hinweisschild erlaubt ist (aus dem Gedächtnis)",
        )
    } else {
        ""
    };
    language.pick(
        format!("speed symbol {letter} is good for {good_for} km/h, the van runs {top} km/h{winter}"),
        format!(
            "Geschwindigkeitssymbol {letter} ist gut für {good_for} km/h, der Wagen läuft {top} km/h{winter}"
        ),
    )
}

/// An inch in as few digits as it has.
fn inch(language: Language, inch: f64) -> String {
    language.pick(format!("{inch}"), format!("{inch}").replace('.', ","))
}

/// Rim width against what the tyre takes, inch; whether it is to be looked up.
pub(crate) fn rim_for_tyre(language: Language, rim: f64, [least, most]: [f64; 2], look_up: bool) -> String {
    let [rim, least, most] = [rim, least, most].map(|width| inch(language, width));
    let look_up = if look_up {
        language.pick(": look in the tyre maker's table", ": in der Tabelle des Reifenherstellers nachsehen")
    } else {
        ""
    };
    language.pick(
        format!("rim {rim} inch wide, the tyre takes {least} to {most} inch{look_up}"),
        format!("Felge {rim} Zoll breit, der Reifen passt auf {least} bis {most} Zoll{look_up}"),
    )
}

/// Rim width against what the van's maker allows, inch, where that is known.
pub(crate) fn rim_for_van(language: Language, rim: f64, allowed: Option<[f64; 2]>) -> String {
    let rim = inch(language, rim);
    match allowed.map(|ends| ends.map(|width| inch(language, width))) {
        None => language.pick(
            format!("look in the van's papers whether rims {rim} inch wide are allowed"),
            format!("in den Fahrzeugpapieren nachsehen, ob Felgen mit {rim} Zoll Breite zulässig sind"),
        ),
        Some([least, most]) => language.pick(
            format!("rim {rim} inch wide, the van's maker allows {least} to {most} inch"),
            format!("Felge {rim} Zoll breit, der Fahrzeughersteller lässt {least} bis {most} Zoll zu"),
        ),
    }
}

/// True speed at an indicated 100 km/h by the tyres of an axle.
pub(crate) fn speedometer(
    language: Language,
    by: Axle,
    true_km_per_h: f64,
    lead_known: bool,
    must_be_set: bool,
) -> String {
    let (place, speed) = (axle(language, by), fixed(language, true_km_per_h, 1));
    let measure = if lead_known {
        ""
    } else {
        language.pick(
            "; its lead on the original tyres is not known: compare with a satellite navigator",
            "; seine Voreilung mit Originalreifen ist nicht bekannt: mit einem Navigationsgerät vergleichen",
        )
    };
    let set = if must_be_set {
        language.pick(
            "; only where the speedometer can be set for the tyre",
            "; nur wo der Tacho auf den Reifen angeglichen werden kann",
        )
    } else {
        ""
    };
    language.pick(
        format!(
            "at 100 km/h on the speedometer the van runs {speed} km/h, by the {place} tyres{measure}{set}"
        ),
        format!(
            "bei 100 km/h auf dem Tacho fährt der Wagen {speed} km/h, nach den Reifen {place}{measure}{set}"
        ),
    )
}

/// Gearing by the tyres of an axle, per cent.
pub(crate) fn gearing(language: Language, by: Axle, longer_percent: f64) -> String {
    let (place, longer) = (axle(language, by), signed(language, longer_percent, 1));
    language.pick(
        format!("gearing by the {place} tyres {longer} %, longer positive"),
        format!("Übersetzung nach den Reifen {place} {longer} %, länger positiv"),
    )
}

/// Rise of the body by the tyre, mm.
pub(crate) fn body_height(language: Language, of: Axle, rise_mm: f64) -> String {
    let (place, rise) = (axle(language, of), signed(language, rise_mm, 1));
    language.pick(
        format!("{place}: the body stands {rise} mm over the ground, the arch height stays"),
        format!("{place}: die Karosserie steht {rise} mm über dem Boden, die Radlaufhöhe bleibt"),
    )
}

/// Track by offset, spacer and radius, mm.
pub(crate) fn track_change(language: Language, of: Axle, change_mm: f64) -> String {
    let (place, change) = (axle(language, of), signed(language, change_mm, 0));
    language.pick(
        format!("{place}: track {change} mm against the original wheel"),
        format!("{place}: Spurweite {change} mm gegen das Originalrad"),
    )
}

/// The original offset is not known.
pub(crate) fn offset_not_known() -> Words {
    plain(
        "offset of the original rim not known: read ET on it; it decides scrub radius, track and clearance",
        "Einpresstiefe der Originalfelge nicht bekannt: ET ablesen; sie bestimmt Lenkrollradius, Spurweite und Freigang",
    )
}

/// Change of the scrub radius, and the radius itself before and after where it is known, mm.
pub(crate) fn scrub_radius(language: Language, change_mm: f64, from_to_mm: Option<[f64; 2]>) -> String {
    let change = signed(language, change_mm, 0);
    let ends = from_to_mm.map_or_else(String::new, |ends| {
        let [from, to] = ends.map(whole);
        language.pick(format!(", from {from} to {to} mm"), format!(", von {from} auf {to} mm"))
    });
    let turned = if from_to_mm.is_some_and(|[from, to]| from * to < 0.0) {
        language.pick(
            ": its sign turns, and with it how the van pulls when one wheel brakes alone",
            ": das Vorzeichen kehrt sich um, und damit das Ziehen beim einseitigen Bremsen",
        )
    } else {
        ""
    };
    language.pick(
        format!("scrub radius {change} mm{ends}{turned}"),
        format!("Lenkrollradius {change} mm{ends}{turned}"),
    )
}

/// No tyre of a rim diameter carries the plate.
pub(crate) fn size_not_carried(
    language: Language,
    rim_inch: f64,
    axle_kg: f64,
    needed: Option<u16>,
    highest: u16,
) -> String {
    let (size, plated) = (inch(language, rim_inch), whole(axle_kg));
    let needed = needed.map_or_else(|| "-".to_owned(), |index| index.to_string());
    language.pick(
        format!("{size} inch: no tyre of the list carries the plated {plated} kg; load index {needed} is needed, the highest is {highest}"),
        format!("{size} Zoll: kein Reifen der Liste trägt die {plated} kg vom Typschild; nötig ist Index {needed}, der höchste ist {highest}"),
    )
}
