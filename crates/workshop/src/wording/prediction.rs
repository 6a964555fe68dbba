//! The prediction: masses, heights as found, how the body stands, where a range comes from.

use super::{Said, axle_named, evidence, fixed, load_state, ranged, signed, whole};
use crate::answer::{UnexplainedMass, WeightAnswer};
use crate::calibration::AsFoundAxle;
use crate::facts::Language;
use crate::figure::{Evidence, Figure};
use crate::sit::Sit;

/// Mass in running order and payload.
pub fn running_order(language: Language, weight: &WeightAnswer) -> String {
    let order = &weight.mass_in_running_order_kg;
    let (mass, payload) = (whole(order.value), whole(weight.payload_kg.value));
    let from = evidence(language, order.evidence);
    language.pick(
        format!("Mass in running order {mass} kg ({from}), payload {payload} kg."),
        format!("Masse in fahrbereitem Zustand {mass} kg ({from}), Zuladung {payload} kg."),
    )
}

/// What scales said against the load list.
pub fn weighed(language: Language, weighed: &UnexplainedMass) -> String {
    let state = load_state(language, weighed.state);
    let [front, rear] = weighed.weighed_axle_kg.map(whole);
    let [listed_front, listed_rear] = weighed.listed_axle_kg.map(whole);
    let [more_front, more_rear] = weighed.unexplained_axle_kg.map(|kg| signed(language, kg, 0));
    language.pick(
        format!(
            "Weighed {state}: front {front} kg, rear {rear} kg; by the load list {listed_front} and {listed_rear} kg. Unexplained mass: front {more_front} kg, rear {more_rear} kg."
        ),
        format!(
            "Gewogen ({state}): vorn {front} kg, hinten {rear} kg; nach der Ladeliste {listed_front} und {listed_rear} kg. Ungeklärte Masse: vorn {more_front} kg, hinten {more_rear} kg."
        ),
    )
}

/// What to ask about the mass that is not on the load list.
pub fn unexplained(language: Language, weighed: &UnexplainedMass, wheelbase_mm: f64) -> String {
    let Some(acts_at) = weighed.acts_at else {
        return language
            .pick(
                "The load list explains the scales within what they can tell.",
                "Die Ladeliste erklärt die Waage, soweit sie es zeigen kann.",
            )
            .to_owned();
    };
    let [behind_mm, spread_mm] = acts_at.behind_front_axle_mm;
    let (mass, behind, spread) = (whole(acts_at.mass_kg.abs()), whole(behind_mm), whole(spread_mm));
    let sideways = acts_at.left_of_centre_mm.map_or_else(String::new, |left| sideways(language, left));
    match (acts_at.mass_kg > 0.0, (0.0..=1.5 * wheelbase_mm).contains(&behind_mm)) {
        (true, true) => language.pick(
            format!("{mass} kg are aboard that nobody listed, as if {behind} ± {spread} mm behind the front axle{sideways}. Ask what stands there, and what is in the lockers and tanks."),
            format!("{mass} kg sind an Bord, die niemand gelistet hat, als lägen sie {behind} ± {spread} mm hinter der Vorderachse{sideways}. Fragen, was dort steht und was in Schränken und Tanks ist."),
        ),
        (true, false) => language.pick(
            format!("{mass} kg are aboard that nobody listed, and one axle is lighter than listed. Ask whether something listed stands elsewhere, then weigh again."),
            format!("{mass} kg sind an Bord, die niemand gelistet hat, und eine Achse ist leichter als gelistet. Fragen, ob etwas Gelistetes woanders steht, und noch einmal wiegen."),
        ),
        (false, _) => language.pick(
            format!("{mass} kg less than listed. Ask which listed items were not aboard on the scales, and whether the tanks were full."),
            format!("{mass} kg weniger als gelistet. Fragen, was von der Liste beim Wiegen nicht an Bord war und ob die Tanks voll waren."),
        ),
    }
}

/// How far left or right of the centre plane it acts, and give or take how much, mm.
fn sideways(language: Language, [left_mm, spread_mm]: [f64; 2]) -> String {
    let (mm, spread) = (whole(left_mm.abs()), whole(spread_mm));
    let side = if left_mm < 0.0 {
        language.pick("right of the centre", "rechts der Mitte")
    } else {
        language.pick("left of the centre", "links der Mitte")
    };
    language.pick(format!(" and {mm} ± {spread} mm {side}"), format!(" und {mm} ± {spread} mm {side}"))
}

/// How the arch heights of an axle as found are explained.
pub fn as_found(language: Language, axle: &AsFoundAxle) -> String {
    let place = axle_named(language, axle.axle);
    let height = whole(axle.found_arch_height_mm);
    let (difference, load) =
        (signed(language, axle.difference_mm, 0), signed(language, axle.load_alone_kg, 0));
    let shorter = fixed(language, axle.sag_alone_mm, 1);
    let unlisted = ranged(&axle.unlisted_load_kg);
    let (sag, spread) = (fixed(language, axle.sag_mm.value, 1), fixed(language, axle.sag_mm.half_width(), 1));
    let apart = if axle.told_apart {
        language.pick("weighing has told the two apart", "das Wiegen hat beides getrennt")
    } else {
        language.pick(
            "heights alone cannot tell the two apart: weigh it",
            "Höhen allein können beides nicht trennen: wiegen",
        )
    };
    language.pick(
        format!(
            "As found, {place}: arch height {height} mm, {difference} mm against new original springs under the listed load. Alone it would take {load} kg over the axle, or springs {shorter} mm shorter. Believed now: {unlisted} kg not listed and {sag} ± {spread} mm of sag; {apart}."
        ),
        format!(
            "Anlieferzustand {place}: Radlaufhöhe {height} mm, {difference} mm gegenüber neuen Serienfedern unter der gelisteten Last. Allein bräuchte es {load} kg über der Achse oder um {shorter} mm kürzere Federn. Jetzt angenommen: {unlisted} kg nicht gelistet und {sag} ± {spread} mm Ermüdung; {apart}."
        ),
    )
}

/// Level, lean and body pitch.
pub fn body(language: Language, sit: &Sit) -> String {
    let tail = if sit.level_mm.value < 0.0 {
        language.pick("tail down", "Heck tief")
    } else {
        language.pick("tail up", "Heck hoch")
    };
    let nose = if sit.body_pitch_deg.value < 0.0 {
        language.pick("nose-up", "Bug hoch")
    } else {
        language.pick("nose-down", "Bug tief")
    };
    let (level, front, rear) = (ranged(&sit.level_mm), ranged(&sit.lean_mm[0]), ranged(&sit.lean_mm[1]));
    let pitch = fixed(language, sit.body_pitch_deg.value.abs(), 2);
    let spread = fixed(language, sit.body_pitch_deg.half_width(), 2);
    language.pick(
        format!(
            "level {level} mm ({tail}), lean front {front} mm, rear {rear} mm, body pitch {pitch} ± {spread}° {nose}"
        ),
        format!(
            "Niveau {level} mm ({tail}), Schiefstand vorn {front} mm, hinten {rear} mm, Nickwinkel {pitch} ± {spread}° {nose}"
        ),
    )
}

/// What level and body pitch are, where both are shown.
pub fn level_and_pitch(language: Language) -> &'static str {
    language.pick(
        "Level compares the arches: how much higher the rear stands than with the load floor horizontal on equal tyres. Body pitch is the angle of the body to the ground, tyres included; the two can differ in sign.",
        "Das Niveau vergleicht die Radläufe: wie viel höher das Heck steht als bei waagerechtem Ladeboden auf gleichen Reifen. Der Nickwinkel ist der Winkel des Aufbaus zum Boden mit den Reifen; beide können verschiedene Vorzeichen haben.",
    )
}

/// Where the range of a figure comes from; empty where nothing is named.
pub fn widened(language: Language, what: &str, figure: &Figure) -> String {
    let causes: Vec<String> = figure
        .widened_by
        .iter()
        .map(|c| {
            let (cause, from) = (c.cause.words(language), evidence(language, c.evidence));
            let (share, remedy) = (whole(100.0 * c.share), c.remedy.words(language));
            let narrower = fixed(language, c.half_width_without, 1);
            language.pick(
                format!("{cause} ({share} %, {from}; {remedy} and ± {narrower} mm is left)"),
                format!("{cause} ({share} %, {from}; {remedy}, dann bleiben ± {narrower} mm)"),
            )
        })
        .collect();
    if causes.is_empty() {
        return String::new();
    }
    let causes = causes.join("; ");
    language.pick(
        format!("The range of the {what} comes from: {causes}."),
        format!("Die Spanne ({what}) kommt von: {causes}."),
    )
}

/// How to read the figures, and what comes before them.
pub fn legend(language: Language, weakest: Evidence) -> String {
    let weakest = evidence(language, weakest);
    language.pick(
        format!(
            "Figures are computed (weakest input: {weakest}) with the range in which the truth lies nine times out of ten. Pairs are left and right, front above rear. The friction band is where dry friction lets the van come to rest. Drop is positive downwards. Springs under load, vehicle supports, brakes, lamps and plated limits: the makers' instructions, local codes and licensed practice come first."
        ),
        format!(
            "Die Werte sind berechnet (schwächste Eingabe: {weakest}), mit der Spanne, in der der wahre Wert in neun von zehn Fällen liegt. Paare sind links und rechts, vorn über hinten. Im Reibungsband kann der Wagen durch trockene Reibung stehen bleiben. Tieferlegung zählt nach unten. Gespannte Federn, Abstützen, Bremsen, Scheinwerfer und zulässige Lasten: Herstellerangaben, örtliche Vorschriften und Fachbetriebe gehen vor."
        ),
    )
}
