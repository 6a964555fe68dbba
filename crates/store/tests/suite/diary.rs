//! Ramps, hours, parts, and whom to ring.

use store::records::*;
use store::{Error, NewJob, Stored};

use crate::bench::{Bench, on_both};
use crate::sample::*;

const HOUR: i64 = 60 * MINUTE;

on_both!(law_a_ramp_holds_one_job_at_a_time, one_job);

async fn one_job(bench: Bench) {
    let store = &bench.store;
    assert!(matches!(store.first_free(60, T0, None, false).await, Err(Error::NoDiary)));
    let filled = fill(store, "Ida").await;
    let new = |ramp: &str, from_ms| new_job(&filled.customer.id, &filled.van.id, ramp, from_ms);
    let first = store.book_job(&by(30), &new("left", MONDAY)).await.unwrap();
    // 8 to 12 and 13 to 14
    assert_eq!(first.body.booking.as_ref().unwrap().to_ms, MONDAY + 6 * HOUR);
    let taken = store.book_job(&by(31), &new("left", MONDAY + 5 * HOUR)).await;
    assert!(matches!(taken, Err(Error::RampTaken { ref job, .. }) if *job == first.id), "{taken:?}");
    let closed = store.book_job(&by(31), &new("left", MONDAY + 4 * HOUR + 1)).await;
    assert!(matches!(closed, Err(Error::Closed { .. })));
    let unknown = store.book_job(&by(31), &new("middle", MONDAY)).await;
    assert!(matches!(unknown, Err(Error::Invalid { .. })));
    let right = store.book_job(&by(32), &new("right", MONDAY)).await.unwrap();
    let slot = store.first_free(180, MONDAY, None, true).await.unwrap();
    assert_eq!((slot.ramp.as_str(), slot.from_ms), ("left", MONDAY + 6 * HOUR));
    store.cancel_job(&by(33), &right.id, 1, "ill").await.unwrap();
    let slot = store.first_free(180, MONDAY, None, true).await.unwrap();
    assert_eq!((slot.ramp.as_str(), slot.from_ms), ("right", MONDAY));
    let moved = store.move_job(&by(34), &first.id, 1, "right", MONDAY, 60).await.unwrap();
    assert_eq!(moved.version, 2);
    let feed = store.calendar(MONDAY, MONDAY + DAY).await.unwrap();
    let states: Vec<JobState> = feed.iter().map(|job| job.body.state).collect();
    assert_eq!(states, [JobState::HandedOver, JobState::Booked, JobState::Cancelled]);
    assert_eq!(store.occupied(MONDAY, MONDAY + DAY).await.unwrap().len(), 1);
}

on_both!(law_the_calendar_of_some_days_shows_the_jobs_of_those_days_as_by_reading_them_all, some_days);

async fn some_days(bench: Bench) {
    let store = &bench.store;
    let filled = fill(store, "Ida").await;
    for (n, day) in (0..12).zip([0, 7, 8, 9, 10, 11, 14, 15, 16, 17, 18, 21]) {
        let long = NewJob {
            minutes_nine_in_ten: [60, 300, 1900][n as usize % 3],
            ..new_job(
                &filled.customer.id,
                &filled.van.id,
                ["left", "right"][n as usize % 2],
                MONDAY + day * DAY + HOUR,
            )
        };
        match store.book_job(&by(30 + n), &long).await {
            Ok(job) if n % 4 == 1 => {
                drop(store.cancel_job(&by(50 + n), &job.id, job.version, "ill").await.unwrap());
            }
            Ok(job) if n % 4 == 2 => {
                drop(store.wait_for_parts(&by(50 + n), &job.id, job.version, "late").await.unwrap());
            }
            Ok(_) | Err(Error::RampTaken { .. }) => {}
            Err(e) => panic!("{e}"),
        }
    }
    let all = store.all::<Job>().await.unwrap();
    let mut shown = 0;
    for from in (-24..24 * 24).step_by(5) {
        for hours in [1, 9, 24, 200] {
            let (from_ms, to_ms) = (MONDAY + from * HOUR, MONDAY + (from + hours) * HOUR);
            let held = |job: &Stored<Job>| job.body.booking.as_ref().map(|held| (held.from_ms, held.to_ms));
            let mut expected = all.clone();
            expected.retain(|job| held(job).is_some_and(|(from, to)| from < to_ms && to > from_ms));
            expected.sort_by_key(|job| held(job).map(|(from, _)| from));
            shown += expected.len();
            assert_eq!(store.calendar(from_ms, to_ms).await.unwrap(), expected, "{from} {hours}");
        }
    }
    assert!(shown > 100, "{shown}");
}

on_both!(law_no_job_begins_before_its_parts_are_there, parts);

async fn parts(bench: Bench) {
    let store = &bench.store;
    let filled = fill(store, "Ida").await;
    let need = |quantity, expected_ms| PartNeed {
        part: "drop-link".into(),
        quantity,
        expected_ms,
        arrived_ms: None,
    };
    let new = |need: PartNeed, from_ms| NewJob {
        parts: vec![need],
        ..new_job(&filled.customer.id, &filled.van.id, "left", from_ms)
    };
    // one on the shelf, two needed: ten and a half days to wait
    let early = store.book_job(&by(30), &new(need(2.0, None), MONDAY + 7 * DAY)).await;
    assert!(matches!(early, Err(Error::PartNotThere { expected_ms: Some(_), .. })), "{early:?}");
    store.book_job(&by(31), &new(need(1.0, None), MONDAY + 7 * DAY)).await.unwrap();
    let late = MONDAY + 10 * DAY;
    let early = store.book_job(&by(32), &new(need(1.0, Some(late + 1)), late)).await;
    assert!(matches!(early, Err(Error::PartNotThere { .. })));
    let unknown = PartNeed { part: "no supply known".into(), ..need(1.0, None) };
    let unknown = store.book_job(&by(33), &new(unknown, late)).await;
    assert!(matches!(unknown, Err(Error::PartNotThere { expected_ms: None, .. })));

    let job = store.book_job(&by(34), &new(need(1.0, Some(late)), late)).await.unwrap();
    let waits = store.wait_for_parts(&by(35), &job.id, 1, "the maker is late").await.unwrap();
    assert!(store.occupied(late, late + 1).await.unwrap().is_empty(), "the ramp is free");
    let there = store.parts_arrived(&by(36), &job.id, 2, &["drop-link".into()]).await.unwrap();
    assert_eq!(there.body.parts[0].arrived_ms, Some(by(36).at_ms));
    let calls = store.call_backs(by(36).at_ms).await.unwrap();
    let reason = CallBackReason::PartsArrived { job: waits.id.clone() };
    assert!(calls.iter().any(|call| call.body.reason == reason));
    let again = store.move_job(&by(37), &job.id, 3, "left", MONDAY + DAY, 60).await.unwrap();
    assert_eq!(again.body.state, JobState::Booked);
}

on_both!(law_a_job_goes_one_way_and_rings_who_must_be_rung, one_way);

async fn one_way(bench: Bench) {
    let store = &bench.store;
    let filled = fill(store, "Ida").await;
    let over = store.start_job(&by(30), &filled.job.id, filled.job.version).await;
    assert!(matches!(over, Err(Error::WrongState { .. })));
    let due = |days| store.call_backs(T0 + days * DAY);
    let mut reasons: Vec<CallBackReason> =
        due(60).await.unwrap().into_iter().map(|call| call.body.reason).collect();
    reasons.retain(|reason| *reason != CallBackReason::Asked);
    let job = filled.job.id.clone();
    let expected = [CallBackReason::RetorqueDue { job: job.clone() }, CallBackReason::RecheckDue { job }];
    assert_eq!(reasons, expected);
    assert_eq!(due(20).await.unwrap().len(), 2);

    let new = |from_ms| new_job(&filled.customer.id, &filled.van.id, "left", from_ms);
    let soon = store.book_job(&by(31), &new(MONDAY)).await.unwrap();
    let later = store.book_job(&by(32), &new(MONDAY + DAY)).await.unwrap();
    store.would_come_sooner(&by(33), &later.id).await.unwrap();
    let asked = store.call_backs(i64::MAX - 1).await.unwrap().len();
    store.cancel_job(&by(34), &soon.id, 1, "ill").await.unwrap();
    let calls = store.call_backs(by(34).at_ms).await.unwrap();
    assert_eq!(store.call_backs(i64::MAX - 1).await.unwrap().len(), asked + 1);
    let sooner = CallBackReason::WaitingForCancellation { job: later.id.clone() };
    let call = calls.iter().find(|call| call.body.reason == sooner).unwrap();
    store.call_made(&by(35), &call.id, call.version, "comes on Monday").await.unwrap();
    assert!(!store.call_backs(i64::MAX).await.unwrap().iter().any(|c| c.id == call.id));
}
