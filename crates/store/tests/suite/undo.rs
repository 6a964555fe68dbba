//! Undoing.

use store::records::*;
use store::{Error, Id, Kind, Store};

use crate::bench::{Bench, on_both};
use crate::sample::*;

async fn last_deed(store: &Store) -> i64 {
    store.history(None, 1).await.unwrap()[0].deed_no
}

on_both!(law_undo_brings_back_what_stood_and_undoing_that_does_it_again, there_and_back);

async fn there_and_back(bench: Bench) {
    let store = &bench.store;
    let first = store.add(&by(0), &customer("Ida")).await.unwrap();
    let added = last_deed(store).await;
    store.change(&by(1), &first.id, 1, &customer("Ina")).await.unwrap();
    let changed = last_deed(store).await;
    let name = || async { store.get::<Customer>(&first.id).await.map(|customer| customer.body.name) };
    let undone = store.undo(&by(2), changed, false).await.unwrap();
    assert_eq!(name().await.unwrap(), "Ida");
    assert_eq!(store.search("Ina", 9).await.unwrap(), []);
    let redone = store.undo(&by(3), undone, false).await.unwrap();
    assert_eq!(name().await.unwrap(), "Ina");
    let entry = &store.deed(redone).await.unwrap()[0];
    assert_eq!((entry.deed.as_str(), entry.undoes, entry.version), ("undo", Some(undone), 4));
    // later work is named, and overwritten only when confirmed
    let Err(Error::LaterWork(later)) = store.undo(&by(4), changed, false).await else { panic!("not asked") };
    assert_eq!(later.len(), 2);
    store.undo(&by(5), changed, true).await.unwrap();
    assert_eq!(name().await.unwrap(), "Ida");
    let removed = store.undo(&by(6), added, true).await.unwrap();
    assert!(matches!(name().await, Err(Error::NotFound { .. })));
    store.undo(&by(7), removed, false).await.unwrap();
    assert_eq!(name().await.unwrap(), "Ida");
    // nothing was ever taken from the history
    assert_eq!(store.history_of(Kind::Customer, &first.id).await.unwrap().len(), 7);
}

on_both!(law_a_deed_is_undone_whole, whole);

async fn whole(bench: Bench) {
    let store = &bench.store;
    let filled = fill(store, "Ida").await;
    let history = store.history_of(Kind::Job, &filled.job.id).await.unwrap();
    let handed_over = history.last().unwrap().deed_no;
    assert_eq!(store.deed(handed_over).await.unwrap().len(), 4, "job, handover, two calls");
    store.undo(&by(50), handed_over, false).await.unwrap();
    let job = store.get::<Job>(&filled.job.id).await.unwrap();
    assert_eq!(job.body.state, JobState::OnTheRamp);
    assert!(store.all::<Handover>().await.unwrap().is_empty());
    assert_eq!(store.all::<CallBack>().await.unwrap().len(), 2, "the quote, answered, and who asked");
    assert_eq!(store.occupied(MONDAY, MONDAY + 1).await.unwrap().len(), 1, "the ramp is held again");
}

on_both!(law_undo_never_breaks_what_others_rely_on, relied_on);

async fn relied_on(bench: Bench) {
    let store = &bench.store;
    let filled = fill(store, "Ida").await;
    let deed_of = |kind, id: Id| async move { store.history_of(kind, &id).await.unwrap()[0].deed_no };
    let customer_added = deed_of(Kind::Customer, filled.customer.id.clone()).await;
    for confirmed in [false, true] {
        let used = store.undo(&by(50), customer_added, confirmed).await;
        assert!(matches!(used, Err(Error::StillUsed { .. })), "{used:?}");
    }
    let answer_given = deed_of(Kind::Answer, filled.answer.id.clone()).await;
    assert!(matches!(store.undo(&by(50), answer_given, true).await, Err(Error::StillUsed { .. })));
    // a ramp that was given away since is not taken back
    let new = new_job(&filled.customer.id, &filled.van.id, "left", MONDAY);
    let job = store.book_job(&by(51), &new).await.unwrap();
    store.cancel_job(&by(52), &job.id, 1, "ill").await.unwrap();
    let cancelled = last_deed(store).await;
    store.book_job(&by(53), &new).await.unwrap();
    assert!(matches!(store.undo(&by(54), cancelled, true).await, Err(Error::RampTaken { .. })));
    for (what, n) in [("set password", 0), ("add user", 0), ("revise catalogue", 0), ("sign-in failed", 0)] {
        let history = store.history(None, 1000).await.unwrap();
        let entry = history.iter().filter(|entry| entry.deed == what).nth(n).unwrap();
        let refused = store.undo(&by(55), entry.deed_no, true).await;
        assert!(matches!(refused, Err(Error::CannotUndo { .. })), "{what}");
    }
    assert!(matches!(store.undo(&by(56), 1_000_000, true).await, Err(Error::NoSuchDeed(_))));
}
