//! `archgap correct RAMP.toml`

use workshop::answer::KnownVan;
use workshop::correction::{Correction, CorrectionOutcome, Misfit, Turning};
use workshop::facts::Language;

use super::json_of;
use super::predict::kit_for;
use super::set_up::{cautions, remark_line, turns_words};
use crate::data::{DataSource, Trouble};
use crate::tables::{fixed, folded, ranged, table};

pub(crate) fn run(
    source: &DataSource,
    named: &str,
    language: Language,
    json: bool,
) -> Result<String, Trouble> {
    let catalogue = source.catalogue()?;
    let record = catalogue.read_ramp_record(&source.document(named, "ramp")?)?;
    let enquiry = source.enquiry(&catalogue, &record.enquiry)?;
    let kit = kit_for(&catalogue, &enquiry.vehicle, &record.kit)?;
    let correction = KnownVan::of(&catalogue, &enquiry)?.correct(&kit, &record)?;
    if json { json_of(&correction) } else { Ok(shown(&correction, language)) }
}

fn shown(correction: &Correction, language: Language) -> String {
    let mut text = format!("Correction of {}\n\n", correction.kit);
    if !correction.doubts.is_empty() {
        text += &sentences("Look at this first.", &correction.doubts);
    }
    text += &match &correction.outcome {
        CorrectionOutcome::NotCorrectedFrom(reasons) => {
            sentences("Not corrected from these readings.", reasons)
        }
        CorrectionOutcome::DoesNotFit(misfit) => does_not_fit(misfit),
        CorrectionOutcome::Turn(turning) => turn("Turn the collars.", turning),
        CorrectionOutcome::LeaveIt(turning) => turn("Leave it: another turn is not worth making.", turning),
    };
    text += &cautions(&correction.cautions, language);
    text
}

fn sentences(head: &str, words: &[String]) -> String {
    let lines: Vec<String> = words.iter().map(|words| folded(&format!("  {words}"), 4)).collect();
    format!("{head}\n{}\n", lines.join("\n"))
}

fn does_not_fit(misfit: &Misfit) -> String {
    let [fl, fr, rl, rr] = misfit.read_less_expected_mm;
    let head = format!(
        "The readings do not fit: read less expected is {fl:+.0} and {fr:+.0} mm front, {rl:+.0} and {rr:+.0} mm rear (left, right). Before any collar is turned:"
    );
    sentences(&folded(&head, 0), &misfit.may_be)
}

fn turn(head: &str, turning: &Turning) -> String {
    let rows = turning.corners.iter().enumerate().map(|(i, corner)| {
        let collar = turning.collars.iter().find(|collar| collar.corner == turning.corners[i].corner);
        vec![
            corner.corner.to_owned(),
            fixed(corner.read_arch_height_mm, 1),
            collar.map_or_else(|| "no collar".to_owned(), |collar| turns_words(collar.turns)),
            collar.map_or_else(|| "-".to_owned(), |collar| fixed(collar.new_position_mm, 1)),
            ranged(&corner.expected_arch_height_mm),
        ]
    });
    let header = ["corner", "read mm", "turns", "collar then mm", "to be read then mm"];
    let mut text = format!("{head}\n{}\n", table(&header, rows));
    text += &format!(
        "  Miss of the aim: front {} mm now, {} mm then; rear {} mm now, {} mm then.\n",
        ranged(&turning.miss_now_mm[0]),
        ranged(&turning.miss_after_mm[0]),
        ranged(&turning.miss_now_mm[1]),
        ranged(&turning.miss_after_mm[1])
    );
    if turning.diagonal_load_kg.abs() > 0.5 {
        text +=
            &format!("  Unequal collars change the diagonal load by {:+.0} kg.\n", turning.diagonal_load_kg);
    }
    for remark in &turning.remarks {
        text += &remark_line(remark);
    }
    for words in &turning.learned {
        text += &format!("{}\n", folded(&format!("  {words}"), 4));
    }
    text
}
