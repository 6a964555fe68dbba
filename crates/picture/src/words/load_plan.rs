//! The load plan.

use mechanics::statics::{FRONT, REAR};
use workshop::facts::Language;
use workshop::figure::Figure;
use workshop::load_list::LoadState;
use workshop::wording::{corner, load_state, ranged, span, whole};

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
    format!("{} kg", span(language, load.low, load.high, 0))
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

/// What stands on the axles, and the whole van, against the plate.
pub(crate) fn limits(language: Language, plan: &LoadPlan) -> Vec<String> {
    let what = language.pick(["front axle", "rear axle", "gross"], ["Achse vorn", "Achse hinten", "gesamt"]);
    let [front, rear] = &plan.axle_load_kg;
    let limits = [plan.plated_axle_kg[FRONT], plan.plated_axle_kg[REAR], plan.plated_gross_kg];
    let against = |((what, load), most_kg): ((&str, &Figure), f64)| {
        let (load_said, most, left) = (ranged(load), whole(most_kg), whole((most_kg - load.value).abs()));
        let said = if load.value > most_kg {
            language.pick("OVER the plate", "ÜBER der Zulassung")
        } else if load.high > most_kg {
            language.pick("left: may be over", "frei: kann drüber sein")
        } else {
            language.pick("left", "frei")
        };
        let of = language.pick("of", "von");
        format!("{what} {load_said} {of} {most} kg, {left} kg {said}")
    };
    what.into_iter().zip([front, rear, &plan.gross_kg]).zip(limits).map(against).collect()
}
