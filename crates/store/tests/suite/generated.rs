//! The same generated deeds on both databases, with the same outcome.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::TestRunner;
use store::records::*;
use store::{Error, Id, Store, Stored};

use crate::bench::{Bench, check_on};
use crate::exchange::files;
use crate::kills::times;
use crate::sample::*;

const DEEDS: i64 = 600;

#[derive(Debug, Clone)]
enum Deed {
    AddCustomer(String),
    ChangeCustomer { which: usize, behind: i64, name: String },
    RemoveCustomer { which: usize },
    AddVan { of: usize },
    Book { van: usize, ramp: bool, quarters: i64, minutes: u32 },
    Cancel { which: usize },
    Move { which: usize, quarters: i64 },
    Undo { back: i64, confirmed: bool },
    Search(String),
    FirstFree { minutes: u32, without_a_break: bool },
}

/// A start in the first hours of one of five days, in the lunch break now and then.
fn quarters() -> impl Strategy<Value = i64> {
    (0_i64..5, 0_i64..20).prop_map(|(day, quarter)| day * 24 * 4 + quarter)
}

fn deed() -> impl Strategy<Value = Deed> {
    let name = "[A-Da-d ]{1,6}";
    prop_oneof![
        name.prop_map(Deed::AddCustomer),
        (0_usize..40, 0_i64..3, name)
            .prop_map(|(which, behind, name)| { Deed::ChangeCustomer { which, behind: behind / 2, name } }),
        (0_usize..40).prop_map(|which| Deed::RemoveCustomer { which }),
        (0_usize..40).prop_map(|of| Deed::AddVan { of }),
        (0_usize..40, any::<bool>(), quarters(), 15_u32..300)
            .prop_map(|(van, ramp, quarters, minutes)| Deed::Book { van, ramp, quarters, minutes }),
        (0_usize..40).prop_map(|which| Deed::Cancel { which }),
        (0_usize..40, quarters()).prop_map(|(which, quarters)| Deed::Move { which, quarters }),
        (0_i64..30, any::<bool>()).prop_map(|(back, confirmed)| Deed::Undo { back, confirmed }),
        "[a-d ]{1,3}".prop_map(Deed::Search),
        (15_u32..600, any::<bool>())
            .prop_map(|(minutes, without_a_break)| Deed::FirstFree { minutes, without_a_break }),
    ]
}

/// Picks the same record in both databases: the n-th ever made.
fn pick<T>(all: &[Stored<T>], n: usize) -> Option<&Stored<T>> {
    all.get(n % all.len().max(1))
}

fn outcome<T>(result: Result<T, Error>) -> String {
    match result {
        Ok(_) => "done".into(),
        Err(Error::Database(e)) => panic!("{e}"),
        Err(e) => e.code().into(),
    }
}

async fn run(store: &Store, n: i64, deed: &Deed) -> String {
    let by = by(1000 + n);
    let customers = store.all::<Customer>().await.unwrap();
    let (vans, jobs) = (store.all::<Van>().await.unwrap(), store.all::<Job>().await.unwrap());
    let start = |quarters: i64| MONDAY + quarters * 15 * MINUTE;
    match deed {
        Deed::AddCustomer(name) => outcome(store.add(&by, &customer(name)).await),
        Deed::ChangeCustomer { which, behind, name } => match pick(&customers, *which) {
            Some(c) => outcome(store.change(&by, &c.id, c.version - behind, &customer(name)).await),
            None => "none".into(),
        },
        Deed::RemoveCustomer { which } => match pick(&customers, *which) {
            Some(c) => outcome(store.remove::<Customer>(&by, &c.id, c.version).await),
            None => "none".into(),
        },
        Deed::AddVan { of } => match pick(&customers, *of) {
            Some(c) => outcome(store.add(&by, &van(&c.id, "van")).await),
            None => "none".into(),
        },
        Deed::Book { van, ramp, quarters, minutes } => match pick(&vans, *van) {
            Some(v) => {
                let ramp = if *ramp { "left" } else { "right" };
                let mut new = new_job(&v.body.customer, &v.id, ramp, start(*quarters));
                new.minutes_nine_in_ten = *minutes;
                outcome(store.book_job(&by, &new).await)
            }
            None => "none".into(),
        },
        Deed::Cancel { which } => match pick(&jobs, *which) {
            Some(j) => outcome(store.cancel_job(&by, &j.id, j.version, "").await),
            None => "none".into(),
        },
        Deed::Move { which, quarters } => match pick(&jobs, *which) {
            Some(j) => outcome(store.move_job(&by, &j.id, j.version, "left", start(*quarters), 60).await),
            None => "none".into(),
        },
        Deed::Undo { back, confirmed } => {
            let last = store.history(None, 1).await.unwrap().first().map_or(0, |entry| entry.seq);
            // the diary, made first, stays
            outcome(store.undo(&by, (last - back).max(2), *confirmed).await)
        }
        Deed::Search(text) => format!("{} found", store.search(text, 1000).await.unwrap().len()),
        Deed::FirstFree { minutes, without_a_break } => {
            let slot = store.first_free(*minutes, MONDAY, None, *without_a_break).await;
            slot.map_or_else(|e| e.code().into(), |slot| format!("{slot:?}"))
        }
    }
}

#[test]
fn law_both_databases_do_the_same() {
    check_on(Box::pin(both_databases_do_the_same_check()));
}

async fn both_databases_do_the_same_check() {
    let mut runner = TestRunner::deterministic();
    let mut outcomes: BTreeMap<String, usize> = BTreeMap::new();
    for _ in 0..times(1) {
        let (sqlite, postgres) = (Bench::sqlite().await, Bench::postgres().await);
        for store in [&sqlite.store, &postgres.store] {
            store.add_as(&by(0), &id("diary"), &diary()).await.unwrap();
        }
        for n in 0..DEEDS {
            let deed = deed().new_tree(&mut runner).unwrap().current();
            let (one, other) = (run(&sqlite.store, n, &deed).await, run(&postgres.store, n, &deed).await);
            assert_eq!(one, other, "deed {n}: {deed:?}");
            *outcomes.entry(one).or_default() += 1;
        }
        are_alike(&sqlite, &postgres).await;
    }
    for met in ["done", "conflict", "still_used", "ramp_taken", "closed", "wrong_state", "later_work"] {
        assert!(outcomes.contains_key(met), "{met} was never met: {outcomes:?}");
    }
    // full of one record of every kind as well
    let (sqlite, postgres) = (Bench::sqlite().await, Bench::postgres().await);
    fill(&sqlite.store, "Ida").await;
    fill(&postgres.store, "Ida").await;
    are_alike(&sqlite, &postgres).await;
}

async fn are_alike(one: &Bench, other: &Bench) {
    assert_eq!(plain(one).await, plain(other).await);
    for bench in [one, other] {
        let findings = bench.store.doctor(&bench.folder.join("none"), T0).await.unwrap();
        assert_eq!(findings.len(), 1, "only the backup is missing: {findings:?}");
    }
}

/// An export with ids replaced by the order in which the history first names them.
async fn plain(bench: &Bench) -> BTreeMap<String, Vec<String>> {
    let folder = bench.folder.join("plain");
    bench.store.export(&folder).await.unwrap();
    let names = names_by_age(&folder);
    let numbered =
        |text: &str| names.iter().fold(text.to_owned(), |text, (id, name)| text.replace(id.as_str(), name));
    files(&folder)
        .into_iter()
        // digests of requests and files hold ids
        .filter(|(name, _)| !["manifest.json", "write_keys.jsonl"].contains(&name.as_str()))
        .map(|(name, bytes)| {
            let text = numbered(&String::from_utf8_lossy(&bytes));
            let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
            lines.sort();
            (name, lines)
        })
        .collect()
}

fn names_by_age(folder: &Path) -> Vec<(Id, String)> {
    const LENGTH: usize = 36;
    let mut names: Vec<(Id, String)> = Vec::new();
    let history = fs::read_to_string(folder.join("history.jsonl")).unwrap();
    for piece in history.split('"').filter(|piece| piece.len() == LENGTH && piece.matches('-').count() == 4) {
        if !names.iter().any(|(id, _)| id.as_str() == piece) {
            names.push((id(piece), format!("record {}", names.len())));
        }
    }
    names
}
