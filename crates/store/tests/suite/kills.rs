//! A writing program killed at any moment.

use std::collections::BTreeSet;
use std::io::Read;
use std::path::Path;
use std::process::{Command, Stdio};
use std::thread;
use std::time::Duration;

use store::Store;
use store::records::{Customer, Photo};

use crate::bench::{Bench, on_both};

on_both!(law_what_was_acknowledged_survives_a_kill, killed);

async fn killed(bench: Bench) {
    // every kill costs a start; PostgreSQL's own process is not the one that is killed
    let kills = if bench.store.is_sqlite() { 100 } else { 20 };
    let mut acknowledged = Vec::new();
    for kill in 0..kills {
        acknowledged.extend(run_and_kill(&bench.url, &format!("k{kill}"), kill));
    }
    assert!(acknowledged.len() > 3 * kills as usize, "only {} writes in {kills} runs", acknowledged.len());
    assert_kept(&bench.store, &acknowledged, &bench.folder.join("backups")).await;
}

/// Starts a writer, kills it after a moment that differs each time, and returns what it acknowledged.
fn run_and_kill(url: &str, prefix: &str, kill: u64) -> Vec<String> {
    let mut writer = Command::new(env!("CARGO_BIN_EXE_store_writer"))
        .args([url, "full", prefix, "4", "1000000"])
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut out = writer.stdout.take().unwrap();
    let mut said = vec![0; "ready\n".len()];
    out.read_exact(&mut said).unwrap();
    thread::sleep(Duration::from_micros(2_000 + kill * 7_919 % 50_000));
    writer.kill().unwrap();
    out.read_to_end(&mut said).unwrap();
    writer.wait().unwrap();
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
