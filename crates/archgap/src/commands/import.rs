//! `archgap import KITS.csv --into DIR`: kits from a table, all of them or none, previewed first.

use std::path::Path;

use workshop::facts::{Language, Words};
use workshop::kit::KitWorld;
use workshop::kit_table::{KitRow, read_kit_table};
use workshop::table_file::table_rows;

use super::json_of;
use crate::data::{DataSource, Trouble, cannot_be_read};

#[derive(serde::Serialize)]
struct Preview {
    new: Vec<String>,
    changed: Vec<String>,
    unchanged: Vec<String>,
    written: bool,
}

pub(crate) fn run(
    table: &Path,
    into: &Path,
    apply: bool,
    language: Language,
    json: bool,
) -> Result<String, Trouble> {
    let catalogue = DataSource::of(Some(into)).catalogue()?;
    let vehicle_ids: Vec<String> = catalogue.vehicles.iter().map(|sheet| sheet.id.clone()).collect();
    let rows = cells(table)?;
    let kits = read_kit_table(
        &table.display().to_string(),
        &rows,
        KitWorld { vehicles: &vehicle_ids, facts: &catalogue.facts },
    )?;
    let mut preview = Preview { new: Vec::new(), changed: Vec::new(), unchanged: Vec::new(), written: apply };
    let mut to_write: Vec<&KitRow> = Vec::new();
    for row in &kits {
        let id = row.kit.id.clone();
        match catalogue.kit(&row.kit.id) {
            Some(same) if *same == row.kit => preview.unchanged.push(id),
            Some(_) => preview.changed.push(id),
            None => preview.new.push(id),
        }
        if !preview.unchanged.contains(&row.kit.id) {
            to_write.push(row);
        }
    }
    if apply {
        write_all(&to_write, &into.join("kits"))?;
    }
    if json { json_of(&preview) } else { Ok(shown(&preview, language)) }
}

/// Writes every file beside its place first; only when all are on disk are they moved into place.
fn write_all(kits: &[&KitRow], folder: &Path) -> Result<(), Trouble> {
    let cannot = |what: &Path, error: std::io::Error| {
        let what = what.display();
        Trouble::NotFound(Words {
            en: format!("{what}: cannot be written: {error}; nothing was changed"),
            de: format!("{what}: nicht schreibbar: {error}; es wurde nichts geändert"),
        })
    };
    std::fs::create_dir_all(folder).map_err(|error| cannot(folder, error))?;
    let mut staged = Vec::new();
    for row in kits {
        let place = folder.join(format!("{}.toml", row.kit.id));
        let beside = folder.join(format!("{}.toml.importing", row.kit.id));
        if let Err(error) = write_durably(&beside, &row.toml) {
            for (beside, _) in &staged {
                let _ = std::fs::remove_file(beside);
            }
            return Err(cannot(&beside, error));
        }
        staged.push((beside, place));
    }
    for (beside, place) in &staged {
        std::fs::rename(beside, place).map_err(|error| cannot(place, error))?;
    }
    Ok(())
}

fn write_durably(place: &Path, text: &str) -> std::io::Result<()> {
    use std::io::Write;
    let mut file = std::fs::File::create(place)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()
}

/// Cells of a table: read as a table that is sent to the server is.
fn cells(table: &Path) -> Result<Vec<Vec<String>>, Trouble> {
    let name = table.display().to_string();
    let bytes = std::fs::read(table).map_err(|error| cannot_be_read(&name, &error.to_string()))?;
    Ok(table_rows(&name, &bytes)?)
}

fn shown(preview: &Preview, language: Language) -> String {
    let say = |en, de| language.pick(en, de);
    let line = |what: &str, ids: &[String]| {
        if ids.is_empty() { String::new() } else { format!("{what}: {}\n", ids.join(", ")) }
    };
    let end = if preview.new.is_empty() && preview.changed.is_empty() {
        say("Nothing to write.", "Nichts zu schreiben.")
    } else if preview.written {
        say("Written.", "Geschrieben.")
    } else {
        say(
            "This is what would change; nothing was written. Add --apply to write it.",
            "Das würde sich ändern; geschrieben wurde nichts. Mit --apply wird es geschrieben.",
        )
    };
    format!(
        "{}{}{}{end}",
        line(say("New", "Neu"), &preview.new),
        line(say("Changed", "Geändert"), &preview.changed),
        line(say("Unchanged", "Unverändert"), &preview.unchanged)
    )
}
