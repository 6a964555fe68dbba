//! `archgap check DIR`

use std::path::Path;

use workshop::answer::KnownVan;
use workshop::assembly::PreparedVan;
use workshop::catalogue::{Catalogue, DataFile, Kind};
use workshop::document::Fault;
use workshop::facts::Language;
use workshop::kit::KitFamily;
use workshop::price::NoQuote;
use workshop::rule_conflicts::dead_rules;

use super::json_of;
use crate::data::{DataSource, Trouble};

#[derive(serde::Serialize)]
struct Sound {
    files: usize,
    vehicles: usize,
    kits: usize,
    enquiries: usize,
    not_read: Vec<String>,
}

pub(crate) fn run(folder: &Path, language: Language, json: bool) -> Result<String, Trouble> {
    let source = DataSource::of(Some(folder));
    let files = source.files()?;
    let read = Catalogue::read(&files);
    let enquiry_files: Vec<_> =
        files.iter().filter(|f| Kind::of_path(&f.path) == Some(Kind::Enquiry)).collect();
    let catalogue = match read {
        Ok(catalogue) => catalogue,
        Err(mut faults) => {
            // enquiries refer to vehicles that may be faulty themselves: only their own syntax is told then
            let nothing = Catalogue::default();
            let own = |f: &Fault| f.field.is_empty() && f.found.contains("not TOML");
            faults.extend(
                enquiry_files
                    .iter()
                    .flat_map(|f| nothing.read_enquiry(f).err().unwrap_or_default())
                    .filter(own),
            );
            return Err(faults.into());
        }
    };
    let mut faults = rule_faults(&catalogue, &files);
    faults.extend(not_posted(&catalogue, &files));
    for sheet in &catalogue.vehicles {
        for grade in &sheet.grades {
            if let Err(why) = PreparedVan::new(sheet, grade, None) {
                faults.push(cannot_stand(&path_of(&files, &sheet.id), &why.to_string()));
            }
        }
    }
    for file in &files {
        faults.extend(catalogue.faults_of(file));
    }
    if faults.is_empty() {
        faults.extend(enquiry_files.iter().filter_map(|file| stands(&catalogue, file)));
    }
    if !faults.is_empty() {
        return Err(faults.into());
    }
    let sound = Sound {
        files: files.len(),
        vehicles: catalogue.vehicles.len(),
        kits: catalogue.kits.len(),
        enquiries: enquiry_files.len(),
        not_read: files.iter().filter(|f| Kind::of_path(&f.path).is_none()).map(|f| f.path.clone()).collect(),
    };
    if json {
        return json_of(&sound);
    }
    let Sound { files, vehicles, kits, enquiries, .. } = &sound;
    let mut words = language.pick(
        format!("{files} files are sound: {vehicles} vehicle sheets, {kits} kits, {enquiries} enquiries."),
        format!(
            "{files} Dateien sind in Ordnung: {vehicles} Datenblätter, {kits} Sätze, {enquiries} Anfragen."
        ),
    );
    for path in &sound.not_read {
        words += &language.pick(
            format!("\nNot read, its place in the folder says no kind: {path}"),
            format!("\nNicht gelesen, ihr Platz im Ordner nennt keine Art: {path}"),
        );
    }
    Ok(words)
}

/// Rules that can never speak, at the line of their identifier.
fn rule_faults(catalogue: &Catalogue, files: &[DataFile]) -> Vec<Fault> {
    let place = |rule: &str| {
        let named = format!("id = \"{rule}\"");
        files.iter().filter(|file| Kind::of_path(&file.path) == Some(Kind::Rules)).find_map(|file| {
            let line = file.text.lines().position(|line| line.trim() == named)?;
            Some((file.path.clone(), line + 1))
        })
    };
    dead_rules(catalogue)
        .into_iter()
        .map(|dead| {
            let (file, line) = place(&dead.rule).unwrap_or_else(|| ("rules.toml".to_owned(), 1));
            let found = format!("a rule that can never speak: {}", dead.because);
            let allowed = "conditions that some van and kit can meet";
            Fault::at_line(&file, line, &format!("rules ({})", dead.rule), found, allowed)
        })
        .collect()
}

/// Families of kits that no tier of carriage takes.
fn not_posted(catalogue: &Catalogue, files: &[DataFile]) -> Vec<Fault> {
    let file = files.iter().find(|file| Kind::of_path(&file.path) == Some(Kind::Prices));
    let path = file.map_or("prices.toml", |file| &file.path);
    let fault = |(family, why): (KitFamily, NoQuote)| {
        let family = workshop::wording::family(Language::English, family);
        let found = format!("kits of the family \"{family}\" that cannot be posted: {why}");
        let allowed = "a tier for every family's heaviest kit, or no tier at all";
        Fault::at_line(path, 1, "carriage", found, allowed)
    };
    catalogue.families_not_posted().into_iter().map(fault).collect()
}

/// The fault of a sound enquiry whose van still finds no rest.
fn stands(catalogue: &Catalogue, file: &DataFile) -> Option<Fault> {
    let enquiry = catalogue.read_enquiry(file).ok()?;
    KnownVan::of(catalogue, &enquiry).err().map(|why| cannot_stand(&file.path, &why.to_string()))
}

/// Path of the vehicle sheet with an identifier.
fn path_of(files: &[DataFile], id: &str) -> String {
    let named = format!("\"{id}\"");
    let of_sheet = |file: &&DataFile| {
        Kind::of_path(&file.path) == Some(Kind::Vehicle)
            && file.text.lines().any(|line| line.starts_with("id") && line.contains(&named))
    };
    files.iter().find(of_sheet).map_or_else(|| format!("vehicles ({id})"), |file| file.path.clone())
}

fn cannot_stand(file: &str, why: &str) -> Fault {
    let found = format!("a van that cannot be computed ({why})");
    Fault::at_line(file, 1, "", found, "figures that make a van stand")
}
