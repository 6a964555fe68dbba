//! The same request again.

use std::time::Duration;

use store::records::*;
use store::{By, Error, Store};

use crate::bench::{Bench, on_both};
use crate::sample::*;

on_both!(law_the_same_key_is_the_same_result_and_another_body_is_refused, same_key);

async fn same_key(bench: Bench) {
    let store = &bench.store;
    let key = by(0).with_key("k1");
    let first = store.add(&key, &customer("Ida")).await.unwrap();
    store.change(&by(1), &first.id, 1, &customer("Ina")).await.unwrap();
    // later, from another process, by a clock that went on: the first result
    let again = bench.another().await.add(&By { at_ms: T0 + DAY, ..key.clone() }, &customer("Ida")).await.unwrap();
    assert_eq!(again, first);
    let other = store.add(&key, &customer("Ilse")).await;
    assert!(matches!(other, Err(Error::KeyUsedOtherwise { .. })));
    let other_deed = store.remove::<Customer>(&key, &first.id, 2).await;
    assert!(matches!(other_deed, Err(Error::KeyUsedOtherwise { .. })));
    let other_user = store.add(&By { who: "ben".into(), ..key.clone() }, &customer("Ida")).await;
    assert!(matches!(other_user, Err(Error::KeyUsedOtherwise { .. })), "results are nobody else's business");
    assert_eq!(store.all::<Customer>().await.unwrap().len(), 1);

    // a refused request leaves no key behind
    let key = by(2).with_key("k2");
    assert!(store.change(&key, &first.id, 1, &customer("Ilse")).await.is_err());
    store.change(&key, &first.id, 2, &customer("Ilse")).await.unwrap();

    // keys are kept for seven days, and a day more to be sure
    store.tidy(T0 + 7 * DAY).await.unwrap();
    assert_eq!(store.add(&by(0).with_key("k1"), &customer("Ida")).await.unwrap(), first);
    store.tidy(T0 + 9 * DAY).await.unwrap();
    assert_ne!(store.add(&by(0).with_key("k1"), &customer("Ida")).await.unwrap(), first);
}

on_both!(law_a_request_cut_off_and_sent_again_has_one_effect, cut_off);

/// Each request is dropped after a moment that grows, as when a client's connection goes, then sent again.
async fn cut_off(bench: Bench) {
    const REQUESTS: u64 = 60;
    let mut tasks = Vec::new();
    for task in 0..4 {
        let store = bench.another().await;
        tasks.push(tokio::spawn(async move {
            let mut cut = 0;
            for n in 0..REQUESTS {
                let name = format!("{task}-{n}");
                let key = by(0).with_key(&name);
                let mut patience = Duration::from_micros(50 + 37 * n);
                loop {
                    match tokio::time::timeout(patience, store.add(&key, &customer(&name))).await {
                        Ok(result) => break drop(result.unwrap()),
                        Err(_) => cut += 1,
                    }
                    patience *= 2;
                }
            }
            store.close().await;
            cut
        }));
    }
    let mut cut = 0;
    for task in tasks {
        cut += task.await.unwrap();
    }
    assert!(cut > 100, "only {cut} requests were cut off");
    assert_once(&bench.store, 4 * REQUESTS as usize).await;
}

/// The database's end of the connections is cut while requests run.
#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
async fn law_a_connection_the_server_cuts_loses_and_doubles_nothing() {
    const REQUESTS: usize = 60;
    let bench = Bench::postgres().await;
    let store = bench.another().await;
    let writer = tokio::spawn(async move {
        let mut failed = 0;
        for n in 0..REQUESTS {
            let name = n.to_string();
            while store.add(&by(0).with_key(&name), &customer(&name)).await.is_err() {
                failed += 1;
            }
        }
        failed
    });
    let cutter = sqlx::AnyPool::connect(&bench.url).await.unwrap();
    while !writer.is_finished() {
        let cut = "SELECT COUNT(pg_terminate_backend(pid)) FROM pg_stat_activity
                   WHERE datname = current_database() AND pid <> pg_backend_pid()";
        sqlx::query(cut).execute(&cutter).await.unwrap();
        tokio::time::sleep(Duration::from_millis(40)).await;
    }
    assert!(writer.await.unwrap() > 0, "no request failed");
    cutter.close().await;
    assert_once(&bench.another().await, REQUESTS).await;
}

async fn assert_once(store: &Store, expected: usize) {
    let mut names: Vec<String> =
        store.all::<Customer>().await.unwrap().into_iter().map(|customer| customer.body.name).collect();
    assert_eq!(names.len(), expected);
    names.sort();
    names.dedup();
    assert_eq!(names.len(), expected, "an effect was doubled");
}
