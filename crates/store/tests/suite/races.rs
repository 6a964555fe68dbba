//! Several writers at once, in one process and in several.

use std::collections::BTreeMap;

use store::records::*;
use store::{Error, Id, Kind, NewJob};

use crate::bench::{Bench, on_both};
use crate::sample::*;

const TASKS: i64 = 10;
const EDITS: i64 = 1000;

on_both!(law_a_thousand_interleaved_edits_lose_none, edits);

async fn edits(bench: Bench) {
    let record = bench.store.add(&by(0), &customer("0")).await.unwrap();
    let mut tasks = Vec::new();
    for task in 0..TASKS {
        let (store, id) = (bench.another().await, record.id.clone());
        tasks.push(tokio::spawn(async move {
            let mut conflicts = 0;
            for n in 0..EDITS / TASKS {
                loop {
                    let seen = store.get::<Customer>(&id).await.unwrap();
                    let count: i64 = seen.body.name.parse().unwrap();
                    let next = customer(&(count + 1).to_string());
                    match store.change(&by(task * 1000 + n), &id, seen.version, &next).await {
                        Ok(_) => break,
                        Err(Error::Conflict(_)) => conflicts += 1,
                        Err(e) => panic!("{e}"),
                    }
                }
            }
            store.close().await;
            conflicts
        }));
    }
    let mut conflicts = 0;
    for task in tasks {
        conflicts += task.await.unwrap();
    }
    let last = bench.store.get::<Customer>(&record.id).await.unwrap();
    assert_eq!((last.body.name, last.version), (EDITS.to_string(), EDITS + 1));
    assert!(conflicts > 0, "the writers never met");
    let history = bench.store.history_of(Kind::Customer, &record.id).await.unwrap();
    for pair in history.windows(2) {
        assert_eq!(pair[0].after, pair[1].before);
        assert_eq!((pair[0].seq + 1, pair[0].version + 1), (pair[1].seq, pair[1].version));
    }
}

on_both!(law_one_of_many_gets_the_ramp, one_gets_it);

async fn one_gets_it(bench: Bench) {
    const DAYS: i64 = 5;
    let filled = fill(&bench.store, "Ida").await;
    let mut tasks = Vec::new();
    for task in 0..8 {
        let store = bench.another().await;
        let new = new_job(&filled.customer.id, &filled.van.id, "left", MONDAY);
        tasks.push(tokio::spawn(async move {
            let mut won = Vec::new();
            for day in 0..DAYS {
                // starts differ, times overlap
                let from_ms = MONDAY + day * DAY + (task % 4) * 60 * MINUTE;
                match store.book_job(&by(30), &NewJob { from_ms, ..new.clone() }).await {
                    Ok(job) => won.push((day, job.id)),
                    Err(Error::RampTaken { .. }) => {}
                    Err(e) => panic!("{e}"),
                }
            }
            store.close().await;
            won
        }));
    }
    let mut winners: BTreeMap<i64, Vec<Id>> = BTreeMap::new();
    for task in tasks {
        for (day, job) in task.await.unwrap() {
            winners.entry(day).or_default().push(job);
        }
    }
    assert_eq!(winners.len(), DAYS as usize);
    assert!(winners.values().all(|jobs| jobs.len() == 1), "{winners:?}");
    let held = bench.store.occupied(MONDAY, MONDAY + 7 * DAY).await.unwrap();
    assert_eq!(held.len(), DAYS as usize);
}

on_both!(law_two_programs_may_open_a_new_database_at_once, opened_at_once);

async fn opened_at_once(bench: Bench) {
    let url = if bench.store.is_sqlite() {
        bench.folder.join("another ?#%.sqlite").display().to_string()
    } else {
        crate::cluster::new_database()
    };
    let tasks: Vec<_> = (0..6)
        .map(|n| {
            let url = url.clone();
            tokio::spawn(async move {
                let store = store::Store::open(&url).await.unwrap();
                store.add(&by(n), &customer("Ida")).await.unwrap();
                store
            })
        })
        .collect();
    let mut last = None;
    for task in tasks {
        last = Some(task.await.unwrap());
    }
    assert_eq!(last.unwrap().all::<Customer>().await.unwrap().len(), 6);
}
