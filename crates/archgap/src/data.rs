//! Where documents come from: a folder, or the demo workshop built into the program.

use std::path::{Path, PathBuf};

use rust_embed::RustEmbed;
use server::answers::Unanswered;
use workshop::assembly::CannotStand;
use workshop::catalogue::{Catalogue, DataFile, read_all_facts};
use workshop::document::Fault;
use workshop::enquiry::Enquiry;
use workshop::facts::{Fact, Language, Words};
use workshop::wording::{Said, counted, fault_line};

#[derive(RustEmbed)]
#[folder = "../../data/demo"]
struct Demo;

/// Why there is no answer.
#[derive(Debug)]
pub(crate) enum Trouble {
    /// Documents have faults.
    Faults(Vec<Fault>),
    /// A file or folder cannot be read or written.
    NotFound(Words),
    /// An argument names something that does not exist.
    WrongName {
        /// What the argument is of.
        field: String,
        /// What was found.
        found: Words,
        /// What is allowed.
        allowed: Words,
    },
    /// The arguments are not those of a command.
    Usage(String),
    /// The input is sound but the van cannot be computed.
    NoAnswer(CannotStand),
}

/// A trouble as other programs read it.
#[derive(serde::Serialize)]
struct Told<'a> {
    message: String,
    exit_code: u8,
    faults: &'a [Fault],
    #[serde(skip_serializing_if = "Option::is_none")]
    field: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    found: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    allowed: Option<&'a str>,
}

impl Trouble {
    /// An argument that names something that does not exist.
    pub(crate) fn wrong_name(field: &str, found: &str, allowed: Words) -> Self {
        Self::WrongName { field: field.to_owned(), found: Words::of(|_| format!("\"{found}\"")), allowed }
    }

    /// `{ "error": ... }`, with file, line and field of every fault.
    pub(crate) fn json(&self) -> String {
        let faults = if let Self::Faults(faults) = self { faults.as_slice() } else { &[] };
        let (field, found, allowed) = match self {
            Self::WrongName { field, found, allowed } => {
                (Some(&**field), Some(&*found.en), Some(&*allowed.en))
            }
            _ => (None, None, None),
        };
        let told =
            Told { message: self.to_string(), exit_code: self.exit_code(), faults, field, found, allowed };
        let error = std::collections::BTreeMap::from([("error", told)]);
        serde_json::to_string_pretty(&error).unwrap_or_else(|_| self.to_string())
    }

    pub(crate) fn exit_code(&self) -> u8 {
        match self {
            Self::Faults(_) | Self::NotFound(_) => 1,
            Self::WrongName { .. } | Self::Usage(_) => 2,
            Self::NoAnswer(_) => 3,
        }
    }
}

impl Said for Trouble {
    /// Faults of files keep the names of fields and what the file says; the rest is said in the language.
    fn words(&self, language: Language) -> String {
        match self {
            Self::Faults(faults) => {
                let lines: String =
                    faults.iter().map(|fault| format!("{}\n", fault_line(language, fault))).collect();
                let end = language.pick(
                    format!("{}; nothing was answered", counted(faults.len(), "fault", "faults")),
                    format!("{}; es wurde nichts beantwortet", counted(faults.len(), "Fehler", "Fehler")),
                );
                lines + &end
            }
            Self::NotFound(what) => what.in_language(language).to_owned(),
            Self::Usage(what) => what.clone(),
            Self::WrongName { field, found, allowed } => {
                let (found, allowed) = (found.in_language(language), allowed.in_language(language));
                language.pick(
                    format!("{field}: found {found}, allowed {allowed}"),
                    format!("{field}: gefunden {found}, erlaubt {allowed}"),
                )
            }
            Self::NoAnswer(why) => {
                let why = why.words(language);
                language.pick(
                    format!("no answer is possible: {why}"),
                    format!("keine Antwort ist möglich: {why}"),
                )
            }
        }
    }
}

impl std::fmt::Display for Trouble {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.words(Language::English))
    }
}

/// That something cannot be read, and why.
pub(crate) fn cannot_be_read(what: &str, why: &str) -> Trouble {
    Trouble::NotFound(Words {
        en: format!("{what}: cannot be read: {why}"),
        de: format!("{what}: nicht lesbar: {why}"),
    })
}

impl From<Vec<Fault>> for Trouble {
    fn from(faults: Vec<Fault>) -> Self {
        Self::Faults(faults)
    }
}

impl From<Unanswered> for Trouble {
    fn from(why: Unanswered) -> Self {
        match why {
            Unanswered::Faults(faults) => Self::Faults(faults),
            Unanswered::WrongName { field, found, allowed } => Self::WrongName { field, found, allowed },
            Unanswered::NoAnswer(why) => Self::NoAnswer(why),
        }
    }
}

impl From<CannotStand> for Trouble {
    fn from(why: CannotStand) -> Self {
        Self::NoAnswer(why)
    }
}

/// A data folder or the demo workshop.
pub(crate) enum DataSource {
    /// A folder on disk.
    Folder(PathBuf),
    /// Built in.
    Demo,
}

impl DataSource {
    pub(crate) fn of(folder: Option<&Path>) -> Self {
        folder.map_or(Self::Demo, |folder| Self::Folder(folder.to_owned()))
    }

    /// All TOML files, sorted by path.
    pub(crate) fn files(&self) -> Result<Vec<DataFile>, Trouble> {
        let mut files = match self {
            Self::Folder(folder) => folder_files(folder)?,
            Self::Demo => Demo::iter()
                .filter(|path| path.ends_with(".toml"))
                .filter_map(|path| {
                    let text = String::from_utf8_lossy(&Demo::get(&path)?.data).into_owned();
                    Some(DataFile { path: path.into_owned(), text })
                })
                .collect(),
        };
        files.sort_by(|a, b| a.path.cmp(&b.path));
        Ok(files)
    }

    pub(crate) fn catalogue(&self) -> Result<Catalogue, Trouble> {
        Ok(Catalogue::read(&self.files()?)?)
    }

    /// The facts of the data folder, which vehicle sheets refer to.
    pub(crate) fn facts(&self) -> Result<Vec<Fact>, Trouble> {
        Ok(read_all_facts(&self.files()?)?)
    }

    /// An enquiry by file path, or by the name of one in the data folder.
    pub(crate) fn enquiry(&self, catalogue: &Catalogue, named: &str) -> Result<Enquiry, Trouble> {
        Ok(catalogue.read_enquiry(&self.document(named, "enquiries")?)?)
    }

    /// A document by file path, or by its name in a subfolder of the data folder.
    pub(crate) fn document(&self, named: &str, subfolder: &str) -> Result<DataFile, Trouble> {
        if Path::new(named).is_file() {
            return read_file(Path::new(named), named);
        }
        let files = self.files()?;
        let within = |file: &&DataFile| file.path.starts_with(&format!("{subfolder}/"));
        let path = format!("{subfolder}/{}.toml", named.trim_end_matches(".toml"));
        let found = files.iter().find(|file| file.path == path || file.path == named).cloned();
        found.ok_or_else(|| {
            let names: Vec<&str> = files
                .iter()
                .filter(within)
                .filter_map(|file| Path::new(&file.path).file_stem()?.to_str())
                .collect();
            let known = |none: &str| if names.is_empty() { none.to_owned() } else { names.join(", ") };
            Trouble::WrongName {
                field: named.to_owned(),
                found: Words { en: "no such file".to_owned(), de: "keine solche Datei".to_owned() },
                allowed: Words {
                    en: format!("a file, or one of the data folder's {subfolder}: {}", known("none")),
                    de: format!("eine Datei oder eines von {subfolder} im Datenordner: {}", known("keines")),
                },
            }
        })
    }
}

fn folder_files(folder: &Path) -> Result<Vec<DataFile>, Trouble> {
    if !folder.is_dir() {
        let folder = folder.display();
        return Err(Trouble::NotFound(Words {
            en: format!("{folder}: found no folder, allowed a folder with vehicles/ and kits/"),
            de: format!("{folder}: kein Ordner gefunden, erlaubt ein Ordner mit vehicles/ und kits/"),
        }));
    }
    let mut files = Vec::new();
    for subfolder in ["", "vehicles", "kits", "enquiries", "ramp", "bench", "jacking"] {
        let place = folder.join(subfolder);
        if !place.is_dir() {
            continue;
        }
        let cannot = |error: std::io::Error| cannot_be_read(&place.display().to_string(), &error.to_string());
        for entry in std::fs::read_dir(&place).map_err(cannot)? {
            let entry = entry.map_err(cannot)?;
            let name = entry.file_name().to_string_lossy().into_owned();
            if name.ends_with(".toml") && entry.path().is_file() {
                let path = if subfolder.is_empty() { name } else { format!("{subfolder}/{name}") };
                files.push(read_file(&entry.path(), &path)?);
            }
        }
    }
    Ok(files)
}

/// Larger documents are refused: no sheet or kit comes near it.
const MOST_BYTES: u64 = 4_000_000;

fn read_file(place: &Path, shown_as: &str) -> Result<DataFile, Trouble> {
    let cannot = |why: String| cannot_be_read(shown_as, &why);
    let size = std::fs::metadata(place).map_err(|error| cannot(error.to_string()))?.len();
    if size > MOST_BYTES {
        return Err(cannot(format!("found {size} bytes, allowed at most {MOST_BYTES}")));
    }
    let bytes = std::fs::read(place).map_err(|error| cannot(error.to_string()))?;
    let text = String::from_utf8(bytes).map_err(|error| {
        cannot(format!("found text that is not UTF-8 at byte {}", error.utf8_error().valid_up_to()))
    })?;
    Ok(DataFile { path: shown_as.to_owned(), text })
}
