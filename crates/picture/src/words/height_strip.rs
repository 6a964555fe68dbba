//! The strip of heights.

use workshop::facts::Language;
use workshop::wording::{fixed, load_state, shortly, span, with_range};

use super::mm;
use crate::height_strip::{HeightStrip, StripMark};
use crate::svg::Anchor;
use crate::table::PlotTable;

/// What is drawn, in a line.
pub(crate) fn title(language: Language, strip: &HeightStrip) -> String {
    let state = load_state(language, strip.state);
    language.pick(format!("How high it would stand, {state}"), format!("Wie hoch er stünde, {state}"))
}

/// What is drawn, in words.
pub(crate) fn description(language: Language, strip: &HeightStrip) -> String {
    let today = mm(language, strip.today_arch_height_mm);
    let mut sentences = vec![language.pick(
        format!("Drop against today, mean of the four arches; today they stand at {today}."),
        format!("Tieferlegung gegen heute, Mittel der vier Radläufe; heute stehen sie auf {today}."),
    )];
    if let Some([drop, within]) = strip.wanted_drop_mm {
        let (drop, within) = (mm(language, drop), fixed(language, within, 0));
        sentences
            .push(language.pick(format!("Wish {drop} ± {within}."), format!("Wunsch {drop} ± {within}.")));
    }
    sentences
        .extend(strip.marks.iter().map(|mark| format!("{}.", about(language, mark).trim_end_matches('.'))));
    if !strip.out_without_height.is_empty() {
        let names = strip.out_without_height.join(", ");
        sentences.push(language.pick(
            format!("Out, and without a height: {names}."),
            format!("Ausgeschieden und ohne Höhe: {names}."),
        ));
    }
    sentences.join(" ")
}

/// A mark along the axis.
pub(crate) fn tick(language: Language, drop: f64) -> String {
    let number = shortly(language, drop);
    if drop > 0.0 { format!("+{number}") } else { number }
}

/// Where the wanted drop's label stands, away from today's.
pub(crate) fn away_from_today(drop_mm: f64) -> Anchor {
    if drop_mm < 0.0 { Anchor::End } else { Anchor::Start }
}

/// The wanted drop.
pub(crate) fn wanted(language: Language, drop_mm: f64) -> String {
    let mm = mm(language, drop_mm);
    language.pick(format!("wish {mm}"), format!("Wunsch {mm}"))
}

/// Where it stands today.
pub(crate) fn today(language: Language, arch_height_mm: f64) -> String {
    let mm = mm(language, arch_height_mm);
    language.pick(format!("today, arches {mm}"), format!("heute, Radläufe {mm}"))
}

/// One end of the axis.
pub(crate) fn higher(language: Language) -> &'static str {
    language.pick("← higher", "← höher")
}

/// The other end.
pub(crate) fn lower(language: Language) -> &'static str {
    language.pick("lower →", "tiefer →")
}

/// What the axis is.
pub(crate) fn axis(language: Language) -> &'static str {
    language.pick("drop against today, mm", "Tieferlegung gegen heute, mm")
}

/// What the marks mean.
pub(crate) fn legend(language: Language) -> &'static str {
    language.pick(
        "full: can be had · ringed: meets every wish · hollow: out · line: where it lies nine times in ten",
        "voll: möglich · mit Ring: erfüllt alle Wünsche · hohl: ausgeschieden · Linie: neun von zehn Fällen",
    )
}

/// All of a kit in a sentence.
pub(crate) fn about(language: Language, mark: &StripMark) -> String {
    let drop = with_range(language, &mark.drop_mm, "mm", 0);
    let said =
        language.pick(format!("{}: drop {drop}", mark.name), format!("{}: tiefer um {drop}", mark.name));
    match &mark.out_because {
        Some(reason) => {
            format!("{said}; {} {}", language.pick("out:", "ausgeschieden:"), reason.in_language(language))
        }
        None => said,
    }
}

/// The same as a table.
pub(crate) fn table(language: Language, strip: &HeightStrip) -> PlotTable {
    let head = language.pick(
        ["Kit", "Drop against today, mm", "Nine times in ten, mm", "Outcome"],
        ["Satz", "Tieferlegung gegen heute, mm", "Neun von zehn Fällen, mm", "Ergebnis"],
    );
    let with_height = strip.marks.iter().map(|mark| {
        let outcome = match (&mark.out_because, mark.within_wishes) {
            (Some(reason), _) => {
                format!("{} {}", language.pick("out:", "ausgeschieden:"), reason.in_language(language))
            }
            (None, true) => language.pick("meets every wish", "erfüllt alle Wünsche").to_owned(),
            (None, false) => language.pick("can be had", "möglich").to_owned(),
        };
        let drop = &mark.drop_mm;
        vec![
            mark.name.clone(),
            fixed(language, drop.value, 0),
            span(language, drop.low, drop.high, 0),
            outcome,
        ]
    });
    let without = strip.out_without_height.iter().map(|name| {
        let out = language.pick("out, no height", "ausgeschieden, ohne Höhe").to_owned();
        vec![name.clone(), String::new(), String::new(), out]
    });
    PlotTable {
        caption: title(language, strip),
        head: head.map(str::to_owned).to_vec(),
        rows: with_height.chain(without).collect(),
    }
}
