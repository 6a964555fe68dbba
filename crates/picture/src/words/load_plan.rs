//! The load plan.

use mechanics::statics::{FRONT, REAR};
use workshop::facts::Language;
use workshop::figure::Figure;
use workshop::load_list::LoadState;
use workshop::wording::{Plate, corner, load_state, span, whole};

use crate::load_plan::{LoadPlan, PlacedItem};

/// What is drawn, in a line.
pub(crate) fn title(language: Language, plan: &LoadPlan) -> String {
    let (van, state) = (&plan.shape.name, load_state(language, plan.state));
    language.pick(format!("{van}, {state}: what it carries"), format!("{van}, {state}: was er trägt"))
}

/// What is drawn, in words.
pub(crate) fn description(language: Language, plan: &LoadPlan) -> String {
    let mut sentences = vec![
        language
            .pick(
                "The van from above, to scale, its nose up and its left on the left. The area of a disc is its mass. The width of the body is a general shape.",
                "Der Wagen von oben, maßstäblich, Bug oben, links am Wagen links im Bild. Die Fläche einer Scheibe ist ihre Masse. Die Breite des Aufbaus ist eine allgemeine Form.",
            )
            .to_owned(),
    ];
    sentences.extend(
        plan.items.iter().enumerate().map(|(k, item)| format!("{}: {}, {}.", k + 1, item.name, mass(item))),
    );
    sentences.extend((0..4).map(|i| {
        let load = &plan.corner_load_kg[i];
        format!("{}: {} ({}).", corner(language, i), kg(load.value), range(language, load))
    }));
    let [ahead, left] = &plan.centre_of_gravity_mm;
    sentences.push(format!("{}.", centre_of_gravity(language, ahead, left).join(", ")));
    sentences.extend(limits(language, plan).into_iter().map(|limit| format!("{limit}.")));
    sentences.join(" ")
}

/// Which way the nose points.
pub(crate) fn nose(language: Language) -> &'static str {
    language.pick("▲ front", "▲ vorn")
}

/// A wheel.
pub(crate) fn place(language: Language, at: usize) -> &'static str {
    corner(language, at)
}

/// A load.
pub(crate) fn kg(value: f64) -> String {
    format!("{} kg", whole(value))
}

/// Its range.
pub(crate) fn range(language: Language, load: &Figure) -> String {
    span(language, load.low, load.high, 0)
}

/// Head of the list.
pub(crate) fn aboard(language: Language, state: LoadState) -> String {
    let state = load_state(language, state);
    language.pick(format!("Aboard, {state}"), format!("An Bord, {state}"))
}

/// An empty list.
pub(crate) fn nothing(language: Language) -> &'static str {
    language.pick("nothing listed", "nichts gelistet")
}

/// An item's mass.
pub(crate) fn mass(item: &PlacedItem) -> String {
    if item.plus_minus_kg >= 0.5 {
        format!("{} kg ± {}", whole(item.mass_kg), whole(item.plus_minus_kg))
    } else {
        format!("{} kg", whole(item.mass_kg))
    }
}

/// Where the centre of gravity is, in lines.
pub(crate) fn centre_of_gravity(language: Language, ahead: &Figure, left: &Figure) -> Vec<String> {
    let (behind, half) = (whole(-ahead.value), whole(ahead.half_width()));
    let (aside, aside_half) = (whole(left.value.abs()), whole(left.half_width()));
    let side =
        if left.value < 0.0 { language.pick("right", "rechts") } else { language.pick("left", "links") };
    language.pick(
        vec![
            "centre of gravity".to_owned(),
            format!("{behind} ± {half} mm"),
            "behind front axle".to_owned(),
            format!("{aside} ± {aside_half} mm {side}"),
        ],
        vec![
            "Schwerpunkt".to_owned(),
            format!("{behind} ± {half} mm"),
            "hinter Vorderachse".to_owned(),
            format!("{aside} ± {aside_half} mm {side}"),
        ],
    )
}

/// What stands on axles and wheels against the plate.
pub(crate) fn limits(language: Language, plan: &LoadPlan) -> Vec<String> {
    let axle = |axle: usize| (plan.axle_load_kg[axle].value, plan.plated_axle_kg[axle]);
    [
        (Plate::FrontAxle, axle(FRONT)),
        (Plate::RearAxle, axle(REAR)),
        (Plate::GrossMass, (plan.gross_kg, plan.plated_gross_kg)),
    ]
    .into_iter()
    .map(|(plate, (load_kg, most_kg))| {
        let what = match plate {
            Plate::FrontAxle => language.pick("front axle", "Achse vorn"),
            Plate::RearAxle => language.pick("rear axle", "Achse hinten"),
            Plate::GrossMass => language.pick("gross", "gesamt"),
        };
        let (load, most, left) = (whole(load_kg), whole(most_kg), whole((most_kg - load_kg).abs()));
        let over = load_kg > most_kg;
        language.pick(
            format!("{what} {load} of {most} kg, {left} {}", if over { "OVER the plate" } else { "left" }),
            format!(
                "{what} {load} von {most} kg, {left} {}",
                if over { "ÜBER der Zulassung" } else { "frei" }
            ),
        )
    })
    .collect()
}
