//! Lists by state, page by page, on both databases.

use store::records::*;
use store::{EnquiryStage, Id, JobsWanted, Kind, NewJob, Store, Stored};

use crate::bench::{Bench, check_on, on_both};
use crate::sample::{self, *};

/// One more enquiry of the customer with everything, as it was when it came in.
async fn asked(store: &Store, filled: &Filled, n: i64) -> Stored<Enquiry> {
    store.add(&by(n), &enquiry(&filled.customer.id, &filled.van.id, "Ida")).await.unwrap()
}

on_both!(law_an_enquiry_goes_from_the_workshop_to_the_customer_and_is_closed_when_it_is_booked, stages);

async fn stages(bench: Bench) {
    let store = &bench.store;
    let filled = fill(store, "Ida").await;
    assert_eq!(store.enquiries_by_stage().await.unwrap(), [0, 0, 0, 1], "the one with a job is closed");
    let id = asked(store, &filled, 30).await.id;
    let stage = || async { store.enquiry_stage(&id).await.unwrap() };
    assert_eq!(stage().await, EnquiryStage::Open);
    let answer = store.give_answer(&by(31), &answer(&id, "Ida")).await.unwrap();
    assert_eq!(stage().await, EnquiryStage::Answered);
    let new = new_quote(&filled.customer.id, &answer.id, "Ida");
    let quote = store.draft_quote(&by(32), &new).await.unwrap();
    assert_eq!(stage().await, EnquiryStage::Open, "a draft is not with the customer");
    let quote = store.send_quote(&by(33), &quote.id, quote.version, T0 + DAY).await.unwrap();
    assert_eq!(stage().await, EnquiryStage::Answered);
    let quote = store.answer_quote(&by(34), &quote.id, quote.version, Some(0)).await.unwrap();
    assert_eq!(stage().await, EnquiryStage::Accepted);
    let job = new_job(&filled.customer.id, &filled.van.id, "right", MONDAY);
    let job = NewJob { quote: Some(quote.id.clone()), ..job };
    store.book_job(&by(35), &job).await.unwrap();
    assert_eq!(stage().await, EnquiryStage::Closed);
    assert_eq!(store.get::<Enquiry>(&id).await.unwrap().body.state, EnquiryState::Closed);
    // undone, the booking takes its close with it
    let booked = store.history(None, 1).await.unwrap()[0].deed_no;
    store.undo(&by(36), booked, false).await.unwrap();
    assert_eq!(stage().await, EnquiryStage::Accepted);
    // a later offer is with the customer again, and what is declined is over
    let later = store.draft_quote(&by(37), &new).await.unwrap();
    let later = store.send_quote(&by(38), &later.id, later.version, T0 + DAY).await.unwrap();
    assert_eq!(stage().await, EnquiryStage::Answered);
    store.answer_quote(&by(39), &later.id, later.version, None).await.unwrap();
    assert_eq!(stage().await, EnquiryStage::Closed);
}

on_both!(regress_an_enquiry_whose_job_is_called_off_stands_where_it_stood_before_the_booking, called_off);

async fn called_off(bench: Bench) {
    let store = &bench.store;
    let filled = fill(store, "Ida").await;
    let book = |quote: &Stored<Quote>, ramp: &str| {
        let job = new_job(&filled.customer.id, &filled.van.id, ramp, MONDAY);
        let job = NewJob { quote: Some(quote.id.clone()), ..job };
        async move { store.book_job(&by(50), &job).await.unwrap() }
    };
    let id = asked(store, &filled, 30).await.id;
    let stage = || async { store.enquiry_stage(&id).await.unwrap() };
    let answer = store.give_answer(&by(31), &answer(&id, "Ida")).await.unwrap();
    let new = new_quote(&filled.customer.id, &answer.id, "Ida");
    let mut quote = store.draft_quote(&by(32), &new).await.unwrap();
    for (n, expected) in
        [EnquiryStage::Open, EnquiryStage::Answered, EnquiryStage::Accepted].iter().enumerate()
    {
        quote = match n {
            0 => quote,
            1 => store.send_quote(&by(33), &quote.id, quote.version, T0 + DAY).await.unwrap(),
            _ => store.answer_quote(&by(34), &quote.id, quote.version, Some(0)).await.unwrap(),
        };
        assert_eq!(stage().await, *expected);
        let first = book(&quote, "left").await;
        let other = book(&quote, "right").await;
        store.cancel_job(&by(70), &first.id, first.version, "ill").await.unwrap();
        assert_eq!(stage().await, EnquiryStage::Closed, "the other job goes on");
        store.cancel_job(&by(71), &other.id, other.version, "sold").await.unwrap();
        assert_eq!(stage().await, *expected);
        // undone, the cancellation is closed again with its job
        let called_off = store.history(None, 1).await.unwrap()[0].deed_no;
        store.undo(&by(72), called_off, false).await.unwrap();
        assert_eq!(stage().await, EnquiryStage::Closed);
        let stands = store.get::<Job>(&other.id).await.unwrap();
        store.cancel_job(&by(73), &stands.id, stands.version, "sold").await.unwrap();
        assert_eq!(stage().await, *expected);
    }
    // what the customer declined is over without its job, too
    let id = asked(store, &filled, 80).await.id;
    let answer = store.give_answer(&by(81), &sample::answer(&id, "Ida")).await.unwrap();
    let new = new_quote(&filled.customer.id, &answer.id, "Ida");
    let quote = store.draft_quote(&by(82), &new).await.unwrap();
    let quote = store.send_quote(&by(83), &quote.id, quote.version, T0 + DAY).await.unwrap();
    let quote = store.answer_quote(&by(84), &quote.id, quote.version, None).await.unwrap();
    let job = book(&quote, "left").await;
    store.cancel_job(&by(85), &job.id, job.version, "after all not").await.unwrap();
    assert_eq!(store.enquiry_stage(&id).await.unwrap(), EnquiryStage::Closed);
}

on_both!(law_an_enquiry_is_closed_by_hand_with_its_calls_and_opened_again, by_hand);

async fn by_hand(bench: Bench) {
    let store = &bench.store;
    let filled = fill(store, "Ida").await;
    let kept = asked(store, &filled, 30).await;
    let stage = || async { store.enquiry_stage(&kept.id).await.unwrap() };
    let answer = store.give_answer(&by(31), &answer(&kept.id, "Ida")).await.unwrap();
    let new = new_quote(&filled.customer.id, &answer.id, "Ida");
    let quote = store.draft_quote(&by(32), &new).await.unwrap();
    let quote = store.send_quote(&by(33), &quote.id, quote.version, T0 + DAY).await.unwrap();
    let about = CallBackReason::UnansweredQuote { quote: quote.id };
    let rings = || async {
        store.call_backs(i64::MAX).await.unwrap().into_iter().any(|call| call.body.reason == about)
    };
    assert!(rings().await);
    let stands = store.get::<Enquiry>(&kept.id).await.unwrap().version;
    assert!(store.close_enquiry(&by(34), &kept.id, stands - 1).await.is_err(), "a stale page closes nothing");
    let closed = store.close_enquiry(&by(35).because("van sold"), &kept.id, stands).await.unwrap();
    assert_eq!((stage().await, rings().await), (EnquiryStage::Closed, false));
    store.open_enquiry(&by(36), &kept.id, closed.version).await.unwrap();
    assert_eq!(stage().await, EnquiryStage::Answered);
}

on_both!(law_pages_put_together_are_the_list_and_no_page_is_longer_than_asked, pages);

async fn pages(bench: Bench) {
    let store = &bench.store;
    let filled = fill(store, "Ida").await;
    for n in 0..11 {
        let kept = asked(store, &filled, 30 + n).await;
        if n % 3 == 0 {
            store.give_answer(&by(50 + n), &answer(&kept.id, "Ida")).await.unwrap();
        }
    }
    for stage in [None, Some(EnquiryStage::Open), Some(EnquiryStage::Answered), Some(EnquiryStage::Accepted)]
    {
        let whole = store.enquiries(stage, None, 100).await.unwrap();
        assert_eq!(whole.next, None);
        for limit in [1, 4, 7, 11] {
            let (mut found, mut before) = (Vec::new(), None);
            loop {
                let part = store.enquiries(stage, before.as_ref(), limit).await.unwrap();
                assert!(part.enquiries.len() <= limit as usize);
                found.extend(part.enquiries);
                before = part.next;
                if before.is_none() {
                    break;
                }
            }
            assert_eq!(found, whole.enquiries, "{stage:?} {limit}");
        }
        let newest_first = |pair: &[(EnquiryStage, Stored<Enquiry>)]| pair[0].1.id > pair[1].1.id;
        assert!(whole.enquiries.windows(2).all(newest_first));
        assert!(whole.enquiries.iter().all(|(found, _)| stage.is_none_or(|stage| stage == *found)));
    }
    assert_eq!(store.enquiries_by_stage().await.unwrap(), [7, 4, 0, 1]);
}

on_both!(law_jobs_are_found_by_state_and_time_as_by_reading_them_all, jobs);

async fn jobs(bench: Bench) {
    let store = &bench.store;
    let filled = fill(store, "Ida").await;
    for n in 0..6 {
        let new = new_job(&filled.customer.id, &filled.van.id, "right", MONDAY + 7 * n * DAY);
        let job = store.book_job(&by(30 + n), &new).await.unwrap();
        match n % 3 {
            0 => drop(store.wait_for_parts(&by(40 + n), &job.id, job.version, "late").await.unwrap()),
            1 => drop(store.cancel_job(&by(40 + n), &job.id, job.version, "sold").await.unwrap()),
            _ => {}
        }
    }
    let mut all = store.all::<Job>().await.unwrap();
    all.reverse();
    let states = [None, Some(JobState::Booked), Some(JobState::WaitingForParts), Some(JobState::Cancelled)];
    for state in states {
        for (from_ms, until_ms) in [(None, None), (Some(MONDAY + DAY), None), (None, Some(MONDAY + 28 * DAY))]
        {
            let wanted = JobsWanted { state, from_ms, until_ms };
            let begins = |job: &Stored<Job>| job.body.booking.as_ref().map(|held| held.from_ms);
            let is_wanted = |job: &&Stored<Job>| {
                state.is_none_or(|state| job.body.state == state)
                    && from_ms.is_none_or(|from| begins(job).is_some_and(|begins| begins >= from))
                    && until_ms.is_none_or(|until| begins(job).is_some_and(|begins| begins < until))
            };
            let expected: Vec<Id> = all.iter().filter(is_wanted).map(|job| job.id.clone()).collect();
            let (mut found, mut before) = (Vec::new(), None);
            loop {
                let part = store.jobs(&wanted, before.as_ref(), 2).await.unwrap();
                assert!(part.records.len() <= 2);
                found.extend(part.records.into_iter().map(|job| job.id));
                before = part.next;
                if before.is_none() {
                    break;
                }
            }
            assert_eq!(found, expected, "{wanted:?}");
        }
    }
}

/// A store of the first schema, made from one of today by taking away what came since.
#[test]
fn law_a_store_of_the_first_schema_learns_the_states_of_its_records() {
    check_on(Box::pin(async {
        let bench = Bench::sqlite().await;
        let filled = fill(&bench.store, "Ida").await;
        asked(&bench.store, &filled, 30).await;
        let stages = bench.store.enquiries_by_stage().await.unwrap();
        bench.store.close().await;
        let raw = sqlx::SqlitePool::connect(&format!("sqlite:{}", bench.url)).await.unwrap();
        for sql in ["DROP TABLE states", "DELETE FROM _sqlx_migrations WHERE version > 1"] {
            sqlx::query(sql).execute(&raw).await.unwrap();
        }
        raw.close().await;
        let store = bench.another().await;
        assert_eq!(store.enquiries_by_stage().await.unwrap(), stages);
        assert_eq!(store.jobs(&JobsWanted::default(), None, 9).await.unwrap().records, [filled.job]);
        assert_eq!(store.naming::<Quote>(Kind::Enquiry, &filled.enquiry.id).await.unwrap().len(), 1);
        let findings = store.doctor(&bench.folder.join("backups"), T0).await.unwrap();
        assert!(findings.iter().all(|finding| finding.severity != store::Severity::Damage), "{findings:?}");
    }));
}
