//! The side view.

use mechanics::statics::{FRONT, REAR};
use workshop::facts::Language;
use workshop::figure::Figure;
use workshop::wording::{Side, corner as corner_name, fixed, load_state, span, with_range};

use super::{axle_name, evidence_of_gaps, mm};
use crate::side::SideView;

/// What is drawn, in a line.
pub(crate) fn title(language: Language, view: &SideView) -> String {
    let (van, state) = (&view.shape.name, load_state(language, view.state));
    match &view.on_kit {
        Some((kit, _)) => language.pick(
            format!("{van}, {state}: today and on {kit}"),
            format!("{van}, {state}: heute und mit {kit}"),
        ),
        None => language.pick(format!("{van}, {state}: today"), format!("{van}, {state}: heute")),
    }
}

/// What is drawn, in words.
pub(crate) fn description(language: Language, view: &SideView) -> String {
    let (seen, side) = match view.seen_from {
        Side::Left => (language.pick("left", "links"), 0),
        Side::Right => (language.pick("right", "rechts"), 1),
    };
    let mut sentences = vec![language.pick(
        format!("The van seen from the {seen}, to scale."),
        format!("Der Wagen von {seen}, maßstäblich."),
    )];
    for axle in [FRONT, REAR] {
        let at = 2 * axle + side;
        let place = corner_name(language, at);
        let shown = with_range(language, &view.shown().arches[at].gap_mm, "mm", 0);
        let mut said =
            language.pick(format!("Arch gap {place} {shown}"), format!("Radlaufspalt {place} {shown}"));
        if view.on_kit.is_some() {
            let now = mm(language, view.now.arches[at].gap_mm.value);
            said += &language.pick(format!(", today {now}"), format!(", heute {now}"));
        }
        if let Some(wanted) = view.wanted_gap_mm(axle) {
            let wanted = mm(language, wanted);
            said += &language.pick(format!(", wish {wanted}"), format!(", Wunsch {wanted}"));
        }
        sentences.push(format!("{said}."));
    }
    sentences.push(format!("{}.", evidence(language, view)));
    sentences.push(format!("{}.", level(language, &view.shown().level_mm)));
    sentences.push(format!("{}.", pitch(language, &view.shown().body_pitch_deg)));
    if let Some((name, _, height)) = &view.shown().lowest {
        sentences.push(format!("{}.", clearance(language, name, height)));
    }
    sentences.push(
        language
            .pick(
                "Solid: as drawn; dashed: today; hatched: where it lies nine times in ten. Wheelbase, length, wheels and arches are those of the sheet; roof, nose, windows and how the length is shared between both overhangs are a general shape.",
                "Durchgezogen: wie gezeichnet; gestrichelt: heute; schraffiert: wo es in neun von zehn Fällen liegt. Radstand, Länge, Räder und Radläufe stammen aus dem Datenblatt; Dach, Bug, Fenster und die Aufteilung der Länge auf beide Überhänge sind eine allgemeine Form.",
            )
            .to_owned(),
    );
    sentences.join(" ")
}

/// On the side of the van: what it stands on, and in which load state.
pub(crate) fn sign(language: Language, view: &SideView) -> [String; 2] {
    let what = view.on_kit.as_ref().map_or_else(|| language.pick("today", "heute"), |(kit, _)| kit.as_str());
    [what.to_owned(), load_state(language, view.state).to_owned()]
}

/// Where an arch is.
pub(crate) fn place(language: Language, corner: usize) -> String {
    corner_name(language, corner).to_owned()
}

/// What the large figure is.
pub(crate) fn arch_gap(language: Language) -> &'static str {
    language.pick("arch gap", "Radlaufspalt")
}

/// An arch gap; negative where the lip is below the crown of the tyre.
pub(crate) fn gap(language: Language, gap: &Figure) -> String {
    mm(language, gap.value)
}

/// Its range.
pub(crate) fn range(language: Language, gap: &Figure) -> String {
    format!("{} mm", span(language, gap.low, gap.high, 0))
}

/// The same gap as it is today.
pub(crate) fn today(language: Language, gap: &Figure) -> String {
    let mm = mm(language, gap.value);
    language.pick(format!("today {mm}"), format!("heute {mm}"))
}

/// The gap that was asked for.
pub(crate) fn wanted(language: Language, gap_mm: f64) -> String {
    let mm = mm(language, gap_mm);
    language.pick(format!("wish {mm}"), format!("Wunsch {mm}"))
}

/// What lines mean, and by how much the close-ups are enlarged against the van.
pub(crate) fn legend(language: Language, with_today: bool, times: [f64; 2]) -> String {
    let decimals = |times: f64| (0..2).find(|k| (times * f64::from(1 << k)).fract() == 0.0).unwrap_or(2);
    let [front, rear] = times.map(|times| fixed(language, times, decimals(times) as usize));
    let times = if front == rear { front } else { format!("{front} / {rear}") };
    let hatched =
        language.pick("hatched: where it lies nine times in ten", "schraffiert: neun von zehn Fällen");
    let dashed = if with_today { language.pick(" · dashed: today", " · gestrichelt: heute") } else { "" };
    let round = language.pick(
        format!("round: {times} times as large as the van"),
        format!("rund: {times}-fach gegen den Wagen vergrößert"),
    );
    format!("{hatched}{dashed} · {round}")
}

/// Where the arch gaps come from.
pub(crate) fn evidence(language: Language, view: &SideView) -> String {
    evidence_of_gaps(language, view.shown().arches.iter().map(|arch| &arch.gap_mm))
}

/// Which end of the load floor stands higher.
pub(crate) fn level(language: Language, level: &Figure) -> String {
    let by = mm(language, level.value.abs());
    let half = fixed(language, level.half_width(), 0);
    let said = if level.value.abs() < 0.5 {
        language.pick("load floor level".to_owned(), "Ladeboden waagerecht".to_owned())
    } else {
        let end = axle_name(language, if level.value > 0.0 { REAR } else { FRONT });
        language.pick(format!("load floor {by} higher at the {end}"), format!("Ladeboden {end} {by} höher"))
    };
    format!("{said} (± {half} mm)")
}

/// How the body stands against the ground.
pub(crate) fn pitch(language: Language, pitch: &Figure) -> String {
    let degrees = fixed(language, pitch.value.abs(), 1);
    let half = fixed(language, pitch.half_width(), 1);
    if degrees.chars().all(|c| "0.,".contains(c)) {
        return language
            .pick(format!("body level on its tyres (± {half}°)"), format!("Aufbau waagerecht (± {half}°)"));
    }
    let end = if pitch.value > 0.0 { language.pick("nose", "Bug") } else { language.pick("tail", "Heck") };
    language.pick(
        format!("body {degrees}° {end} down (± {half}°)"),
        format!("Aufbau {degrees}° {end} tief (± {half}°)"),
    )
}

/// Height of the lowest point that is known.
pub(crate) fn clearance(language: Language, name: &str, height: &Figure) -> String {
    let shown = with_range(language, height, "mm", 0);
    language.pick(format!("ground clearance {shown} at {name}"), format!("Bodenfreiheit {shown}: {name}"))
}
