//! Runs the built program, on the demo workshop or on spoilt copies of it.

#![allow(clippy::unwrap_used, clippy::panic)] // helpers of tests

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use workshop::catalogue::{Catalogue, DataFile};

/// The demo workshop's folder.
pub(crate) fn demo_folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/demo")
}

/// The program with arguments, on the demo workshop that is built into it.
pub(crate) fn archgap(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_archgap")).args(arguments).output().unwrap()
}

/// What an answered question prints; nothing may be said on the other channel.
pub(crate) fn answered(arguments: &[&str]) -> String {
    let output = archgap(arguments);
    assert_eq!(output.status.code(), Some(0), "{arguments:?}: {}", text(&output.stderr));
    assert_eq!(text(&output.stderr), "", "{arguments:?}");
    text(&output.stdout)
}

/// What is said where there is no answer: nothing may be printed as if there were one.
pub(crate) fn refused(exit_code: i32, arguments: &[&str]) -> String {
    let output = archgap(arguments);
    let said = text(&output.stderr);
    assert_eq!(output.status.code(), Some(exit_code), "{arguments:?}: {said}");
    assert_eq!(text(&output.stdout), "", "{arguments:?}");
    assert!(!said.contains("panicked"), "{said}");
    said
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// All documents of the demo workshop, sorted by path as the program sorts them.
pub(crate) fn demo_files() -> Vec<DataFile> {
    let mut files = Vec::new();
    for place in folders_of(&demo_folder()) {
        for entry in std::fs::read_dir(&place).unwrap().map(Result::unwrap) {
            if entry.path().extension().is_some_and(|extension| extension == "toml") {
                let path = entry.path().strip_prefix(demo_folder()).unwrap().to_str().unwrap().to_owned();
                files.push(DataFile { path, text: std::fs::read_to_string(entry.path()).unwrap() });
            }
        }
    }
    files.sort_by(|a, b| a.path.cmp(&b.path));
    files
}

fn folders_of(root: &Path) -> Vec<PathBuf> {
    let inner =
        std::fs::read_dir(root).unwrap().map(|entry| entry.unwrap().path()).filter(|path| path.is_dir());
    std::iter::once(root.to_owned()).chain(inner).collect()
}

pub(crate) fn demo() -> Catalogue {
    Catalogue::read(&demo_files()).unwrap()
}

/// A copy of the demo workshop in a folder of its own, with texts replaced: file, old, new.
pub(crate) fn demo_copy(name: &str, replacements: &[(&str, &str, &str)]) -> String {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    if folder.exists() {
        std::fs::remove_dir_all(&folder).unwrap();
    }
    for file in demo_files() {
        let mut text = file.text;
        for (_, old, new) in replacements.iter().filter(|(path, ..)| *path == file.path) {
            assert!(text.contains(old), "{} has no {old}", file.path);
            text = text.replacen(old, new, 1);
        }
        let place = folder.join(&file.path);
        std::fs::create_dir_all(place.parent().unwrap()).unwrap();
        std::fs::write(place, text).unwrap();
    }
    folder.to_str().unwrap().to_owned()
}
