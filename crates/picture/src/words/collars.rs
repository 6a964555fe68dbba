//! The picture of collars.

use workshop::facts::Language;
use workshop::wording::{corner as corner_name, fixed, signed, with_range};

use super::mm;
use crate::collars::{CollarCorner, CollarPicture, CollarTask, Turn};

/// What is drawn, in a line.
pub(crate) fn title(language: Language, picture: &CollarPicture) -> String {
    let kit = &picture.kit;
    match picture.task {
        CollarTask::Set | CollarTask::SetAnew => {
            language.pick(format!("Setting of {kit}"), format!("Einstellung von {kit}"))
        }
        _ => language.pick(format!("Correction of {kit}"), format!("Korrektur von {kit}")),
    }
}

/// What is drawn, in words.
pub(crate) fn description(language: Language, picture: &CollarPicture) -> String {
    let mut sentences = vec![
        language
            .pick(
                "The van from above, its nose up and its left on the left.",
                "Der Wagen von oben, Bug oben, links am Wagen links im Bild.",
            )
            .to_owned(),
        format!("{}.", to_be_done(language, picture).join(" ")),
    ];
    for (k, at) in picture.corners.iter().enumerate() {
        let turn = match &at.turn {
            Some(turn) => {
                let (turns, way) = (turns(language, turn.turns), way(language, turn));
                format!("{turns} {way}, {}", position(language, turn.position_mm))
            }
            None if matches!(picture.task, CollarTask::TurnNothing(_)) => {
                task(language, &picture.task).join(" ")
            }
            None => nothing_to_turn(language).to_owned(),
        };
        let reading: String = reading(language, at).iter().map(|said| format!("; {said}")).collect();
        sentences.push(format!("{}: {turn}{reading}.", corner(language, k)));
    }
    sentences.extend(reasons(language, &picture.task));
    sentences.join(" ")
}

/// What is to be done with the collars that there are, in lines.
pub(crate) fn to_be_done(language: Language, picture: &CollarPicture) -> Vec<String> {
    let is_set = matches!(picture.task, CollarTask::Set | CollarTask::SetAnew);
    if is_set && picture.corners.iter().all(|corner| corner.turn.is_none()) {
        return task(language, &CollarTask::TurnNothing(Vec::new()));
    }
    task(language, &picture.task)
}

/// What is to be done, in lines.
fn task(language: Language, task: &CollarTask) -> Vec<String> {
    let lines: &[&str] = match task {
        CollarTask::Set => language.pick(&["turn from", "as delivered"], &["ab Lieferung", "drehen"]),
        CollarTask::SetAnew => {
            language.pick(&["turn from", "where it is"], &["ab jetziger", "Stellung", "drehen"])
        }
        CollarTask::Turn => language.pick(&["turn"], &["drehen"]),
        CollarTask::LeaveIt => language.pick(&["leave it"], &["so lassen"]),
        CollarTask::TurnNothing(_) => language.pick(&["turn", "nothing"], &["nichts", "drehen"]),
    };
    lines.iter().map(|line| (*line).to_owned()).collect()
}

/// Why nothing is turned.
pub(crate) fn reasons(language: Language, task: &CollarTask) -> Vec<String> {
    match task {
        CollarTask::TurnNothing(reasons) => {
            reasons.iter().map(|reason| reason.in_language(language).to_owned()).collect()
        }
        _ => Vec::new(),
    }
}

/// Which end is the front.
pub(crate) fn nose(language: Language) -> &'static str {
    language.pick("front", "vorn")
}

/// The left side of the van.
pub(crate) fn left(language: Language) -> &'static str {
    language.pick("LEFT", "LINKS")
}

/// The right side of the van.
pub(crate) fn right(language: Language) -> &'static str {
    language.pick("RIGHT", "RECHTS")
}

/// A corner.
pub(crate) fn corner(language: Language, corner: usize) -> &'static str {
    corner_name(language, corner)
}

/// How many turns.
pub(crate) fn turns(language: Language, turns: f64) -> String {
    if turns.abs() < 0.01 {
        return language.pick("stays", "bleibt").to_owned();
    }
    let count = turns.abs();
    // quarters as they are turned; what is no quarter is told in full
    let quarters = (4.0 * count).round();
    if (4.0 * count - quarters).abs() > 1e-6 {
        return fixed(language, count, 2);
    }
    let (whole, part) = ((quarters / 4.0).floor(), ["", "¼", "½", "¾"][(quarters as usize) % 4]);
    if whole == 0.0 { part.to_owned() } else { format!("{whole:.0}{part}") }
}

/// Which way.
pub(crate) fn way(language: Language, turn: &Turn) -> String {
    let what = turn.adjuster.one(language);
    if turn.turns.abs() < 0.01 {
        return what.to_owned();
    }
    let plural = turn.turns.abs() > 1.0;
    let up = turn.turns > 0.0;
    let (turns, way) = language.pick(
        (if plural { "turns" } else { "turn" }, if up { "UP" } else { "DOWN" }),
        (if plural { "Umdrehungen" } else { "Umdrehung" }, if up { "HOCH" } else { "RUNTER" }),
    );
    format!("{turns} {way}")
}

/// Where it is afterwards.
pub(crate) fn position(language: Language, position_mm: f64) -> String {
    let mm = fixed(language, position_mm, 1);
    language.pick(format!("to {mm} mm from the datum"), format!("auf {mm} mm ab Bezug"))
}

/// Where nothing can be turned.
pub(crate) fn nothing_to_turn(language: Language) -> &'static str {
    language.pick("nothing to turn here", "hier nichts zu drehen")
}

/// What was read, and what to read afterwards, in lines.
pub(crate) fn reading(language: Language, corner: &CollarCorner) -> Vec<String> {
    if let Some(off) = corner.off_mm {
        let off = signed(language, off, 0);
        return vec![
            language.pick("read less expected", "gelesen minus erwartet").to_owned(),
            format!("{off} mm"),
        ];
    }
    let read = corner.read_mm.map(|read| mm(language, read));
    let read = read.map(|read| language.pick(format!("arch now {read}"), format!("Radlauf jetzt {read}")));
    let expected = corner.expected_mm.as_ref().map(|figure| with_range(language, figure, "mm", 0));
    let expected = expected.map(|mm| match corner.read_mm {
        Some(_) => language.pick(format!("then {mm}"), format!("dann {mm}")),
        None => language.pick(format!("arch {mm}"), format!("Radlauf {mm}")),
    });
    read.into_iter().chain(expected).collect()
}
