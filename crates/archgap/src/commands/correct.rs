//! `archgap correct RAMP.toml`

use server::answers::kit_for;
use workshop::answer::KnownVan;
use workshop::catalogue::DataFile;
use workshop::correction::{Correction, CorrectionOutcome, Turning};
use workshop::document::Fault;
use workshop::facts::Language;
use workshop::wording::{self, Adjuster, Said, corner_named, fixed, ranged, signed};

use super::set_up::{cautions, indented};
use super::{json_of, remark_line};
use crate::data::{DataSource, Trouble};
use crate::tables::{folded, table};

pub(crate) fn run(
    source: &DataSource,
    named: &str,
    language: Language,
    json: bool,
) -> Result<String, Trouble> {
    let catalogue = source.catalogue()?;
    let file = source.document(named, "ramp")?;
    let record = catalogue.read_ramp_record(&file)?;
    let enquiry = source.enquiry(&catalogue, &record.enquiry)?;
    let kit =
        kit_for(&catalogue, &enquiry.vehicle, &record.kit).map_err(|why| fault_of(why.into(), &file))?;
    let correction = KnownVan::of(&catalogue, &enquiry)?.correct(&kit, &record)?;
    if json { json_of(&correction) } else { Ok(shown(&correction, language)) }
}

/// A wrong name that stands in a file is a fault of the file.
fn fault_of(trouble: Trouble, file: &DataFile) -> Trouble {
    let Trouble::WrongName { field, found, allowed } = trouble else { return trouble };
    let line = file.text.lines().position(|line| line.trim_start().starts_with(&field));
    let line = line.map_or(1, |line| line + 1);
    Trouble::Faults(vec![Fault::at_line(&file.path, line, &field, found.en, allowed.en)])
}

fn shown(correction: &Correction, language: Language) -> String {
    let head = language.pick("Correction of", "Korrektur von");
    let mut text = format!("{head} {}\n\n", correction.kit);
    if !correction.doubts.is_empty() {
        let head = language.pick("Look at this first.", "Zuerst ansehen.");
        text += &sentences(head, &correction.doubts, language);
    }
    text += &match &correction.outcome {
        CorrectionOutcome::NotCorrectedFrom(reasons) => {
            let head = language
                .pick("Not corrected from these readings.", "Aus diesen Messwerten wird nicht korrigiert.");
            sentences(head, reasons, language)
        }
        CorrectionOutcome::DoesNotFit(misfit) => {
            sentences(&folded(&wording::misfit(language, misfit), 0), &misfit.may_be, language)
        }
        CorrectionOutcome::Turn(turning) => {
            let turned = Adjuster::all(turning.collars.iter().map(|collar| collar.adjuster), language);
            let head = language.pick(format!("Turn the {turned}."), format!("{turned} drehen."));
            turn(&head, turning, language)
        }
        CorrectionOutcome::LeaveIt(turning) => {
            let head = language.pick(
                "Leave it: another turn is not worth making.",
                "So lassen: Eine weitere Umdrehung lohnt nicht.",
            );
            turn(head, turning, language)
        }
    };
    text += &cautions(&correction.cautions, language);
    text
}

fn sentences(head: &str, said: &[impl Said], language: Language) -> String {
    let lines: String = said.iter().map(|said| indented(&said.words(language))).collect();
    format!("{head}\n{lines}")
}

fn turn(head: &str, turning: &Turning, language: Language) -> String {
    let no_collar = language.pick("not adjustable", "nicht verstellbar");
    let rows = turning.corners.iter().map(|corner| {
        let collar = turning.collars.iter().find(|collar| collar.corner == corner.corner);
        vec![
            corner_named(language, corner.corner).to_owned(),
            fixed(language, corner.read_arch_height_mm, 1),
            collar.map_or_else(|| no_collar.to_owned(), |collar| wording::turns(language, collar.turns)),
            collar.map_or_else(|| "-".to_owned(), |collar| fixed(language, collar.new_position_mm, 1)),
            ranged(&corner.expected_arch_height_mm),
        ]
    });
    let header = language.pick(
        ["corner", "read mm", "turns", "position then mm", "to be read then mm"],
        ["Ecke", "gemessen mm", "Umdrehungen", "Stellung dann mm", "dann zu messen mm"],
    );
    let mut text = format!("{head}\n{}\n", table(&header, rows));
    text +=
        &wording::misses_now_and_then(language, turning).map_or_else(String::new, |words| indented(&words));
    if turning.diagonal_load_kg.abs() > 0.5 {
        let load = signed(language, turning.diagonal_load_kg, 0);
        text += &indented(&language.pick(
            format!("The unequal setting changes the diagonal load by {load} kg."),
            format!("Die ungleiche Einstellung ändert die Diagonallast um {load} kg."),
        ));
    }
    for remark in &turning.remarks {
        text += &remark_line(remark, language);
    }
    for learned in &turning.learned {
        text += &indented(&learned.words(language));
    }
    text
}
