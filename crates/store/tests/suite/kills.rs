//! A writing program killed at any moment.

use std::collections::BTreeSet;
use std::io::Read;
use std::path::Path;
use std::process::{Command, Stdio};
use std::thread;
use std::time::Duration;

use store::records::{Customer, Photo};
use store::{Error, Store, verify_backup};

use crate::bench::{Bench, check_on, on_both};
use crate::sample::{by, customer, fill};

on_both!(law_what_was_acknowledged_survives_a_kill, killed);

async fn killed(bench: Bench) {
    // every kill costs a start; PostgreSQL's own process is not the one that is killed
    let kills = if bench.store.is_sqlite() { 100 } else { 20 };
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
    const KILLS: u64 = 30;
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
    for kill in 0..KILLS {
        let from = (kill * 1000).to_string();
        run_and_kill(&["restore", &bench.url, &from, &one, &other], kill % 2, kill * 3);
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

/// A backup that is killed is no backup, and says so; those before it are.
#[test]
fn law_a_killed_backup_is_refused_as_unfinished() {
    check_on(Box::pin(killed_backup()));
}

async fn killed_backup() {
    const KILLS: u64 = 10;
    let bench = Bench::sqlite().await;
    fill(&bench.store, "Ida").await;
    let (mut whole, mut unfinished) = (0, 0);
    for kill in 0..KILLS {
        let folder = bench.folder.join(&kill.to_string());
        std::fs::create_dir(&folder).unwrap();
        let said = run_and_kill(&["backup", &bench.url, &folder.display().to_string()], 1, kill * 11);
        for entry in std::fs::read_dir(&folder).unwrap().map(Result::unwrap) {
            match verify_backup(&entry.path()).await {
                Ok(_) => whole += 1,
                Err(Error::Refused { why, .. }) if why.contains("never finished") => {
                    assert!(!said.contains(&entry.file_name().into_string().unwrap()), "said to be done");
                    unfinished += 1;
                }
                Err(e) => panic!("{e}"),
            }
        }
    }
    assert!(whole > 0 && unfinished > 0, "{whole} whole, {unfinished} unfinished");
}

/// Starts the program, lets it do so many things, kills it after a moment that differs each time, and returns what it
/// said was done.
fn run_and_kill(arguments: &[&str], first: u64, kill: u64) -> Vec<String> {
    let mut program = Command::new(env!("CARGO_BIN_EXE_store_writer"))
        .args(arguments)
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
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
