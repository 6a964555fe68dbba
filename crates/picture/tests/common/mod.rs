//! The demo workshop.

#![allow(clippy::unwrap_used, dead_code)] // helpers; no test file uses all of them

use std::path::Path;

use workshop::catalogue::{Catalogue, DataFile};
use workshop::enquiry::Enquiry;

/// All files of the demo workshop, sorted by path.
pub(crate) fn demo_files() -> Vec<DataFile> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/demo");
    let mut files = Vec::new();
    for subfolder in ["", "vehicles", "kits", "enquiries", "ramp", "bench"] {
        for entry in std::fs::read_dir(root.join(subfolder)).unwrap().map(Result::unwrap) {
            if entry.path().is_file() {
                let name = entry.file_name().into_string().unwrap();
                let path = if subfolder.is_empty() { name } else { format!("{subfolder}/{name}") };
                files.push(DataFile { path, text: std::fs::read_to_string(entry.path()).unwrap() });
            }
        }
    }
    files.sort_by(|a, b| a.path.cmp(&b.path));
    files
}

pub(crate) fn demo() -> Catalogue {
    Catalogue::read(&demo_files()).unwrap()
}

pub(crate) fn file(path: &str) -> DataFile {
    demo_files().into_iter().find(|file| file.path == path).unwrap()
}

pub(crate) fn enquiry(catalogue: &Catalogue, name: &str) -> Enquiry {
    catalogue.read_enquiry(&file(&format!("enquiries/{name}.toml"))).unwrap()
}

/// Every enquiry of the demo workshop.
pub(crate) fn enquiries(catalogue: &Catalogue) -> Vec<Enquiry> {
    let files = demo_files();
    let of_enquiries = files.iter().filter(|file| file.path.starts_with("enquiries/"));
    of_enquiries.map(|file| catalogue.read_enquiry(file).unwrap()).collect()
}
