//! The commands that keep the workshop's memory.

#![allow(clippy::unwrap_used, clippy::panic)] // helpers of tests

#[allow(dead_code)] // some helpers are for other tests
mod common;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use common::{answered, demo_files, refused};
use serde_json::Value;
use server::demo::first_revision;
use store::records::Customer;
use store::{By, Store};

/// A new, empty place for one test.
fn place(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    if folder.exists() {
        fs::remove_dir_all(&folder).unwrap();
    }
    fs::create_dir_all(&folder).unwrap();
    folder
}

/// A workshop with a catalogue and customers of these names.
fn workshop(folder: &Path, names: &[&str]) {
    fs::create_dir(folder).unwrap();
    let work = async {
        let store = Store::open(folder.join("archgap.db").to_str().unwrap()).await.unwrap();
        let by = By::new("ada", "office", 0);
        first_revision(&store, &by, &demo_files()).await.unwrap_or_else(|e| panic!("{e}"));
        for name in names {
            let customer = Customer { name: (*name).to_owned(), ..Customer::default() };
            store.add(&by, &customer).await.unwrap();
        }
        store.close().await;
    };
    tokio::runtime::Runtime::new().unwrap().block_on(work);
}

fn files(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut found = BTreeMap::new();
    for entry in fs::read_dir(folder).unwrap().map(Result::unwrap) {
        if entry.path().is_dir() {
            found.extend(
                files(&entry.path())
                    .into_iter()
                    .map(|(name, bytes)| (Path::new(&entry.file_name()).join(name), bytes)),
            );
        } else {
            found.insert(entry.file_name().into(), fs::read(entry.path()).unwrap());
        }
    }
    found
}

#[test]
fn law_export_import_export_is_the_same_and_shown_first() {
    let place = place("there-and-back");
    let path = |name: &str| place.join(name).to_str().unwrap().to_owned();
    let (home, other, stranger) = (path("home"), path("other"), path("stranger"));
    let (out, again) = (path("out"), path("again"));
    workshop(Path::new(&home), &["Ida", "=1+1"]);
    assert!(answered(&["export", &out, "--data", &home]).contains("changes"));
    let shown = answered(&["import", &out, "--data", &other]);
    assert!(shown.contains("customer: 2 new") && shown.contains("--apply"), "{shown}");
    assert!(!Path::new(&other).exists(), "a preview made something");
    let de = answered(&["import", &out, "--data", &other, "--language", "de"]);
    assert!(de.contains("2 neu") && de.contains("Mit --apply"), "{de}");
    assert!(answered(&["import", &out, "--data", &other, "--apply"]).contains("Written."));
    assert_eq!(answered(&["import", &out, "--data", &other, "--apply"]).trim(), "Nothing would change.");
    answered(&["export", &again, "--data", &other]);
    assert!(files(Path::new(&out)) == files(Path::new(&again)), "not the same to the byte");
    // work that the export does not hold stays
    workshop(Path::new(&stranger), &["Ilse"]);
    let before = answered(&["import", &out, "--data", &stranger, "--json"]);
    let before: Value = serde_json::from_str(&before).unwrap();
    assert_eq!((&before["written"], before["diverges_at"].is_i64()), (&Value::Bool(false), true), "{before}");
    refused(5, &["import", &out, "--data", &stranger, "--apply"]);
    let refusal = common::archgap(&["import", &out, "--data", &stranger, "--apply", "--language", "de"]);
    let refusal = String::from_utf8(refusal.stderr).unwrap();
    assert!(refusal.contains("hier gibt es Arbeit"), "{refusal}");
    refused(2, &["import", &path("nothing-there")]);
}

/// What was done with all the workshop knows, newest first: each deed and the folder it was done with.
fn noted(folder: &str) -> Vec<(String, String)> {
    let work = async {
        let store = Store::open(Path::new(folder).join("archgap.db").to_str().unwrap()).await.unwrap();
        let entries = store.audit(None, 10).await.unwrap();
        store.close().await;
        entries.into_iter().map(|entry| (entry.deed, entry.id)).collect()
    };
    tokio::runtime::Runtime::new().unwrap().block_on(work)
}

#[test]
fn law_what_leaves_the_memory_and_what_comes_back_is_noted() {
    let place = place("noted");
    let path = |name: &str| place.join(name).to_str().unwrap().to_owned();
    let (home, copy, other) = (path("home"), path("copy"), path("other"));
    workshop(Path::new(&home), &["Ida"]);
    answered(&["backup", &copy, "--data", &home]);
    answered(&["export", &path("out"), "--data", &home]);
    let pair = |deed: &str, folder: &str| (deed.to_owned(), folder.to_owned());
    assert_eq!(noted(&home), [pair("export", "out"), pair("backup", "copy")]);
    answered(&["restore", &copy, "--data", &other, "--apply"]);
    assert_eq!(noted(&other), [pair("restore", "copy")]);
    refused(5, &["export", &path("out"), "--data", &home]); // the folder is there already
    assert_eq!(noted(&home).len(), 2);
}

#[cfg(unix)]
#[test]
fn law_what_is_written_is_for_its_user_alone() {
    use std::os::unix::fs::PermissionsExt;
    let place = place("for-its-user");
    let path = |name: &str| place.join(name).to_str().unwrap().to_owned();
    let (home, restored, out) = (path("home"), path("restored"), path("out"));
    workshop(Path::new(&home), &["Ida"]);
    let backup: Value = serde_json::from_str(&answered(&["backup", "--data", &home, "--json"])).unwrap();
    assert_eq!(backup["counts"]["customer"], 1);
    let name = fs::read_dir(Path::new(&home).join("backups")).unwrap().next().unwrap().unwrap().path();
    let name = name.to_str().unwrap();
    assert!(answered(&["restore", name, "--data", &restored, "--language", "de"]).contains("in Ordnung"));
    answered(&["restore", name, "--data", &restored, "--apply"]);
    answered(&["restore", name, "--data", &restored, "--apply"]); // what stood there is kept aside
    answered(&["export", &out, "--data", &restored]);
    for folder in [format!("{home}/backups"), restored.clone(), out] {
        let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o077;
        assert_eq!(mode(Path::new(&folder)), 0, "{folder}");
        for file in files(Path::new(&folder)).keys() {
            assert_eq!(mode(&Path::new(&folder).join(file)), 0, "{folder} {}", file.display());
        }
    }
    assert_eq!(answered(&["doctor", "--data", &home]).trim(), "All is well.");
    let ill = common::archgap(&["doctor", "--data", &restored, "--language", "de"]);
    let said = String::from_utf8(ill.stdout).unwrap();
    assert_eq!(ill.status.code(), Some(1));
    assert!(said.contains("keine geprüfte Sicherung") && said.contains("Warum es zählt"), "{said}");
}

/// Told to stop while it is being filled, the demo leaves nothing behind.
#[cfg(unix)]
#[test]
fn law_a_demo_that_is_stopped_early_leaves_nothing() {
    let place = place("demo-stopped");
    let mut demo = Command::new(env!("CARGO_BIN_EXE_archgap"))
        .args(["serve", "--demo", "--listen", "127.0.0.1:0"])
        .env("TMPDIR", &place)
        .stderr(Stdio::piped())
        .stdout(Stdio::null())
        .spawn()
        .unwrap();
    let mut said = std::io::BufReader::new(demo.stderr.take().unwrap());
    std::io::BufRead::read_line(&mut said, &mut String::new()).unwrap();
    assert_eq!(fs::read_dir(&place).unwrap().count(), 1);
    Command::new("kill").arg(demo.id().to_string()).status().unwrap();
    assert!(demo.wait().unwrap().success());
    assert_eq!(fs::read_dir(&place).unwrap().count(), 0);
}
