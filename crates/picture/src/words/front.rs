//! The view of one axle.

use workshop::facts::Language;
use workshop::figure::Figure;
use workshop::wording::{Axle, axle, corner as corner_name, fixed, load_state, signed, span, with_range};

use super::{evidence_of_gaps, mm};
use crate::front::AxleView;

/// What is drawn, in a line.
pub(crate) fn title(language: Language, view: &AxleView) -> String {
    let (van, which, state) = (&view.shape.name, axle(language, view.axle), load_state(language, view.state));
    let on = view.on_kit.as_ref().map_or_else(|| language.pick("today", "heute"), |(kit, _)| kit.as_str());
    language
        .pick(format!("{van}, {which} axle, {state}: {on}"), format!("{van}, Achse {which}, {state}: {on}"))
}

/// What is drawn, in words.
pub(crate) fn description(language: Language, view: &AxleView) -> String {
    let mut sentences = vec![
        match view.axle {
            Axle::Front => language.pick(
                "The front axle from in front, to scale; the van's left is on the right.",
                "Die Vorderachse von vorn, maßstäblich; links am Wagen ist rechts im Bild.",
            ),
            Axle::Rear => language.pick(
                "The rear axle from behind, to scale; the van's left is on the left.",
                "Die Hinterachse von hinten, maßstäblich; links am Wagen ist links im Bild.",
            ),
        }
        .to_owned(),
    ];
    for side in [0, 1] {
        let at = 2 * view.index() + side;
        let (place, shown) = (corner_name(language, at), &view.shown().arches[at].gap_mm);
        let gap = with_range(language, shown, "mm", 0);
        let camber = camber(language, view.shown().camber_deg[at].as_ref()).join(" ");
        let now = view.on_kit.as_ref().map(|_| today(language, view.now.arches[at].gap_mm.value));
        let now = now.map(|now| format!(", {now}")).unwrap_or_default();
        sentences.push(language.pick(
            format!("Arch gap {place} {gap}{now}; {camber}."),
            format!("Radlaufspalt {place} {gap}{now}; {camber}."),
        ));
    }
    sentences.push(format!("{}.", evidence(language, view)));
    sentences.push(match view.shape.lip_outboard_mm[view.index()] {
        Some(room) => format!("{}.", beside(language, room).join(" ")),
        None => language
            .pick(
                "How far the lip stands beside the tyre is not known and drawn as assumed.",
                "Wie weit die Radlaufkante neben dem Reifen steht, ist nicht bekannt und angenommen gezeichnet.",
            )
            .to_owned(),
    });
    sentences.push(
        language
            .pick(
                "Solid: as drawn; dashed: today; hatched: where the lip lies nine times in ten. The body but for its lips is a general shape.",
                "Durchgezogen: wie gezeichnet; gestrichelt: heute; schraffiert: wo die Kante in neun von zehn Fällen liegt. Der Aufbau ist bis auf die Radlaufkanten eine allgemeine Form.",
            )
            .to_owned(),
    );
    sentences.join(" ")
}

/// On the body: what it stands on, and in which load state.
pub(crate) fn sign(language: Language, view: &AxleView) -> [String; 2] {
    let what = view.on_kit.as_ref().map_or_else(|| language.pick("today", "heute"), |(kit, _)| kit.as_str());
    let seen = match view.axle {
        Axle::Front => language.pick("seen from in front", "von vorn gesehen"),
        Axle::Rear => language.pick("seen from behind", "von hinten gesehen"),
    };
    [what.to_owned(), format!("{}, {seen}", load_state(language, view.state))]
}

/// Where a wheel is.
pub(crate) fn place(language: Language, corner: usize) -> &'static str {
    corner_name(language, corner)
}

/// An arch gap.
pub(crate) fn gap(language: Language, gap: &Figure) -> String {
    mm(language, gap.value)
}

/// Its range.
pub(crate) fn range(language: Language, gap: &Figure) -> String {
    format!("{} mm", span(language, gap.low, gap.high, 0))
}

/// The same gap as it is today.
pub(crate) fn today(language: Language, gap_mm: f64) -> String {
    let mm = mm(language, gap_mm);
    language.pick(format!("today {mm}"), format!("heute {mm}"))
}

/// Room between tyre and the plane of the lip, in lines.
pub(crate) fn beside(language: Language, room_mm: f64) -> [String; 2] {
    let mm = mm(language, room_mm);
    language.pick(
        [format!("{mm} beside the tyre,"), "at design height".to_owned()],
        [format!("{mm} neben dem Reifen,"), "in Konstruktionslage".to_owned()],
    )
}

/// Where the arch gaps come from.
pub(crate) fn evidence(language: Language, view: &AxleView) -> String {
    evidence_of_gaps(language, view.shown().arches.iter().map(|arch| &arch.gap_mm))
}

/// Camber, in lines.
pub(crate) fn camber(language: Language, camber: Option<&Figure>) -> Vec<String> {
    let Some(camber) = camber else {
        return vec![
            language.pick("camber not known:", "Sturz nicht bekannt:").to_owned(),
            language.pick("measure it", "messen").to_owned(),
        ];
    };
    let value = signed(language, camber.value, 1);
    let half = fixed(language, camber.half_width(), 1);
    let leans = if camber.value.abs() < 0.05 {
        language.pick("upright", "senkrecht")
    } else if camber.value < 0.0 {
        language.pick("top leans in", "oben nach innen")
    } else {
        language.pick("top leans out", "oben nach außen")
    };
    let said = language.pick(format!("camber {value}° (± {half})"), format!("Sturz {value}° (± {half})"));
    vec![said, leans.to_owned()]
}

/// Distance of the wheel centres.
pub(crate) fn hub_to_hub(language: Language, mm_apart: f64) -> String {
    let mm = mm(language, mm_apart);
    language.pick(
        format!("{mm} between the wheel centres, by the sheet"),
        format!("{mm} zwischen den Radmitten, laut Datenblatt"),
    )
}
