//! A writing program killed at any moment.

use std::collections::BTreeSet;
use std::fs;
use std::io::{BufRead, BufReader, Read};
use std::os::unix::fs::PermissionsExt;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::Duration;

use store::records::{Customer, Photo};
use store::{Error, Store, verify_backup};

use crate::bench::{Bench, Folder, check_on, on_both};
use crate::sample::{by, customer, fill};

on_both!(law_what_was_acknowledged_survives_a_kill, killed);

async fn killed(bench: Bench) {
    // every kill costs a start; PostgreSQL's own process is not the one that is killed
    let kills = times(if bench.store.is_sqlite() { 100 } else { 20 });
    let mut acknowledged = Vec::new();
    for kill in 0..kills {
        acknowledged.extend(run_and_kill(
            &["write", &bench.url, "full", &format!("k{kill}"), "4", "1000000"],
            1 + kill % 3,
            kill,
        ));
    }
    assert!(acknowledged.len() >= kills as usize, "{} writes", acknowledged.len());
    assert_kept(&bench.store, &acknowledged, &bench.folder.join("backups")).await;
}

/// A restore that is killed leaves the store that was there, or the one that comes; never a mixture, never none.
#[test]
fn law_a_killed_restore_leaves_one_store_or_the_other() {
    check_on(Box::pin(killed_restore()));
}

async fn killed_restore() {
    let bench = Bench::sqlite().await;
    let backups = ["one", "other"].map(|name| bench.folder.join(name));
    for (name, backup) in ["one", "other"].into_iter().zip(&backups) {
        let source = Bench::sqlite().await;
        source.store.add(&by(0), &customer(name)).await.unwrap();
        source.store.backup(backup, 0).await.unwrap();
    }
    bench.store.add(&by(0), &customer("old")).await.unwrap();
    bench.store.close().await;
    let [one, other] = backups.each_ref().map(|backup| backup.display().to_string());
    let mut left = BTreeSet::new();
    for kill in 0..times(30) {
        let from = (kill * 1000).to_string();
        run_and_kill(&["restore", &bench.url, &from, &one, &other], kill % 2, kill * 3);
        let left_readable = fs::metadata(&bench.url).unwrap().permissions().mode() & 0o077;
        assert_eq!(left_readable, 0, "others can read it");
        let store = bench.another().await;
        let names: Vec<String> =
            store.all::<Customer>().await.unwrap().into_iter().map(|c| c.body.name).collect();
        assert_eq!(names.len(), 1, "after kill {kill}");
        left.extend(names);
        assert_kept(&store, &[], &bench.folder.join("none")).await;
        store.close().await;
    }
    assert!(left.len() > 1, "{left:?}");
}

/// A backup that is killed is not there; what it left goes with the next. Those before it are whole.
#[test]
fn law_a_killed_backup_leaves_none_and_the_next_clears_up() {
    check_on(Box::pin(killed_backup()));
}

async fn killed_backup() {
    let kills = times(10);
    let bench = Bench::sqlite().await;
    fill(&bench.store, "Ida").await;
    let (mut whole, mut unfinished) = (0, 0);
    for kill in 0..kills {
        let folder = bench.folder.join(&kill.to_string());
        fs::create_dir(&folder).unwrap();
        run_and_kill(&["backup", &bench.url, &folder.display().to_string()], 1, kill * 11);
        for name in names_in(&folder) {
            if name.starts_with("unfinished-") {
                unfinished += 1;
            } else {
                verify_backup(&folder.join(&name)).await.unwrap();
                whole += 1;
            }
        }
        bench.store.backup(&folder.join("next"), 0).await.unwrap();
        assert!(names_in(&folder).iter().all(|name| !name.starts_with("unfinished-")));
    }
    assert!(whole > 0 && unfinished > 0, "{whole} whole, {unfinished} unfinished");
}

fn names_in(folder: &Path) -> Vec<String> {
    fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect()
}

/// An import that is killed leaves an empty store, or all of the export.
#[test]
fn law_a_killed_import_leaves_nothing_or_all() {
    check_on(Box::pin(killed_import()));
}

async fn killed_import() {
    let source = Bench::sqlite().await;
    fill(&source.store, "Ida").await;
    for n in 0..200 {
        source.store.add(&by(n), &customer(&n.to_string())).await.unwrap();
    }
    let export = source.folder.join("export");
    source.store.export(&export).await.unwrap();
    let path = export.display().to_string();
    let (mut none, mut all) = (0, 0);
    for kill in 0..times(12) {
        let bench = Bench::sqlite().await;
        run_and_kill_after(&["import", &bench.url, &path], Duration::from_millis(kill % 12 * 40));
        match bench.store.all::<Customer>().await.unwrap().len() {
            0 => none += 1,
            201 => all += 1,
            some => panic!("{some} of 201 after kill {kill}"),
        }
        assert_kept(&bench.store, &[], &bench.folder.join("none")).await;
    }
    assert!(none > 0 && all > 0, "{none} empty, {all} whole");
}

/// A change of schema that is killed leaves the old schema or the new one, and a proven copy of what was before.
#[test]
fn law_a_killed_change_of_schema_leaves_the_old_or_the_new() {
    check_on(Box::pin(killed_change_of_schema()));
}

async fn killed_change_of_schema() {
    let source = Bench::sqlite().await;
    for n in 0..150 {
        source.store.add(&by(n), &customer(&n.to_string())).await.unwrap();
    }
    source.store.backup(&source.folder.join("backup"), 0).await.unwrap();
    let (mut old, mut new) = (0, 0);
    for kill in 0..times(16) {
        let folder = Folder::new();
        let url = folder.join("workshop.sqlite").display().to_string();
        fs::copy(source.folder.join("backup/workshop.sqlite"), &url).unwrap();
        run_and_kill_after(&["migrate", &url], Duration::from_millis(kill % 16 * 25));
        let backups = folder.join("backups");
        match Store::open(&url).await {
            Ok(store) => {
                assert_eq!(store.all::<Customer>().await.unwrap().len(), 150);
                assert_kept(&store, &[], &backups).await;
                store.close().await;
                old += 1;
            }
            Err(Error::NewerDatabase { database: 4, .. }) => {
                let raw = sqlx::SqlitePool::connect(&format!("sqlite:{url}")).await.unwrap();
                let (copied,): (i64,) =
                    sqlx::query_as("SELECT COUNT(*) FROM longer").fetch_one(&raw).await.unwrap();
                assert_eq!(copied, 150);
                raw.close().await;
                assert!(!names_in(&backups).is_empty(), "no copy was made before");
                new += 1;
            }
            Err(e) => panic!("{e}"),
        }
        for name in names_in_if_there(&backups).iter().filter(|name| !name.starts_with("unfinished-")) {
            let kept = verify_backup(&backups.join(name)).await.unwrap();
            assert_eq!((kept.schema, kept.counts["customer"]), (3, 150));
        }
    }
    assert!(old > 0 && new > 0, "{old} old, {new} new");
}

fn names_in_if_there(folder: &Path) -> Vec<String> {
    if folder.exists() { names_in(folder) } else { Vec::new() }
}

/// So many, or as many times more as `ARCHGAP_SOAK` says.
pub(crate) fn times(usual: u64) -> u64 {
    usual * std::env::var("ARCHGAP_SOAK").map_or(1, |more| more.parse().unwrap())
}

/// Starts the program and kills it so long after it is ready.
fn run_and_kill_after(arguments: &[&str], wait: Duration) {
    let mut program = start(arguments);
    let mut out = BufReader::new(program.stdout.take().unwrap());
    out.read_line(&mut String::new()).unwrap();
    thread::sleep(wait);
    program.kill().unwrap();
    program.wait().unwrap();
}

fn start(arguments: &[&str]) -> Child {
    let mut program = Command::new(env!("CARGO_BIN_EXE_store_writer"));
    program.args(arguments).stdout(Stdio::piped()).spawn().unwrap()
}

/// Starts the program, lets it do so many things, kills it after a moment that differs each time, and returns what it
/// said was done.
fn run_and_kill(arguments: &[&str], first: u64, kill: u64) -> Vec<String> {
    let mut program = start(arguments);
    let mut out = program.stdout.take().unwrap();
    let mut said = Vec::new();
    while said.iter().filter(|sign| **sign == b'\n').count() as u64 <= first {
        let mut sign = [0];
        out.read_exact(&mut sign).unwrap();
        said.extend(sign);
    }
    thread::sleep(Duration::from_micros(2_000 + kill * 7_919 % 50_000));
    program.kill().unwrap();
    out.read_to_end(&mut said).unwrap();
    program.wait().unwrap();
    let said = String::from_utf8(said).unwrap();
    // the last piece may be half a line
    said.rsplit_once('\n').unwrap().0.lines().skip(1).map(str::to_owned).collect()
}

/// Everything acknowledged is there, and the store is in good health.
pub(crate) async fn assert_kept(store: &Store, acknowledged: &[String], backups: &Path) {
    let lost = lost(store, acknowledged).await;
    assert!(lost.is_empty(), "{} of {} lost: {lost:?}", lost.len(), acknowledged.len());
    let findings = store.doctor(backups, 0).await.unwrap();
    let damage: Vec<_> = findings.iter().filter(|f| f.severity == store::Severity::Damage).collect();
    assert!(damage.is_empty(), "{damage:?}");
}

pub(crate) async fn lost(store: &Store, acknowledged: &[String]) -> Vec<String> {
    let mut kept: BTreeSet<String> =
        store.all::<Customer>().await.unwrap().into_iter().map(|customer| customer.body.name).collect();
    for photo in store.all::<Photo>().await.unwrap() {
        store.file(&photo.body.sha256).await.unwrap();
        kept.insert(format!("photo {}", photo.body.caption));
    }
    acknowledged.iter().filter(|name| !kept.contains(*name)).cloned().collect()
}
