//! What people do, on both databases.

use serde_json::json;
use store::records::*;
use store::{DocumentChange, Error, Kind, NewQuote, SearchClass, difference};

use crate::bench::{Bench, on_both};
use crate::sample::*;

on_both!(law_there_is_a_deed_for_every_kind_and_records_come_back_as_given, every_kind);

async fn every_kind(bench: Bench) {
    let store = &bench.store;
    let filled = fill(store, "Grün & Söhne").await;
    let kinds: std::collections::BTreeSet<String> =
        store.history(None, 1000).await.unwrap().into_iter().map(|entry| entry.kind).collect();
    for kind in Kind::ALL {
        assert!(kinds.contains(kind.name()), "{kind}");
    }
    assert_eq!(store.get::<Answer>(&filled.answer.id).await.unwrap(), filled.answer);
    assert_eq!(store.get::<Customer>(&filled.customer.id).await.unwrap(), filled.customer);
    let found: Vec<[f64; 4]> = filled.van.body.as_found.iter().map(|found| found.arch_mm).collect();
    assert_eq!(found, [[383.0, 386.5, 369.0, 374.0], [384.0, 387.0, 370.0, 374.0]]);
    assert_eq!(filled.job.body.state, JobState::HandedOver);
    assert_eq!(filled.enquiry.body.state, EnquiryState::Closed);
    let photos = store.all::<Photo>().await.unwrap();
    assert_eq!(store.file(&photos[0].body.sha256).await.unwrap().bytes, b"\x89PNG\0\xff");
    let sheets = store.naming::<SetUpSheet>(Kind::Job, &filled.job.id).await.unwrap();
    assert_eq!(sheets[0].body.revision, 1);
}

on_both!(law_a_stale_write_is_refused_with_both_states, stale);

async fn stale(bench: Bench) {
    let store = &bench.store;
    let first = store.add(&by(0), &customer("Ida")).await.unwrap();
    let second = store.change(&by(1), &first.id, 1, &customer("Ina")).await.unwrap();
    assert_eq!(second.version, 2);
    let Err(Error::Conflict(conflict)) = store.change(&by(2), &first.id, 1, &customer("Ilse")).await else {
        panic!("the second writer was not told");
    };
    assert_eq!((conflict.saw, conflict.stands), (1, 2));
    assert!(conflict.mine.contains("Ilse") && conflict.theirs.contains("Ina"));
    assert_eq!(store.get::<Customer>(&first.id).await.unwrap(), second);
    let history = store.history_of(Kind::Customer, &first.id).await.unwrap();
    assert_eq!(history.len(), 2);
    assert_eq!(history[0].after, history[1].before);
}

on_both!(law_no_record_names_one_that_does_not_stand, names);

async fn names(bench: Bench) {
    let store = &bench.store;
    let missing = store.add(&by(0), &van(&id("nobody"), "van")).await;
    assert!(matches!(missing, Err(Error::NotFound { kind: Kind::Customer, .. })));
    let ida = store.add(&by(0), &customer("Ida")).await.unwrap();
    let her_van = store.add(&by(1), &van(&ida.id, "van")).await.unwrap();
    let used = store.remove::<Customer>(&by(2), &ida.id, 1).await;
    assert!(matches!(used, Err(Error::StillUsed { by_kind: Kind::Van, .. })), "{used:?}");
    store.remove::<Van>(&by(3), &her_van.id, 1).await.unwrap();
    store.remove::<Customer>(&by(4), &ida.id, 1).await.unwrap();
    assert!(store.all::<Customer>().await.unwrap().is_empty());
    assert_eq!(store.history_of(Kind::Customer, &ida.id).await.unwrap().len(), 2);
    assert!(store.search("Ida", 10).await.unwrap().is_empty());
}

on_both!(law_an_answer_stays_and_a_new_one_shows_what_changed, answers);

async fn answers(bench: Bench) {
    let store = &bench.store;
    let filled = fill(store, "Ida").await;
    let newer = DocumentChange { path: "kits/low.toml".into(), text: Some("softer".into()) };
    store.revise_catalogue(&by(30), 1, &[newer]).await.unwrap();
    let mut again = filled.answer.body.clone();
    again.catalogue_revision = 2;
    again.again_of = Some(filled.answer.id.clone());
    again.result["kits"][0]["front_arch_mm"][1] = json!(381.5);
    let again = store.give_answer(&by(31), &again).await.unwrap();
    let before = store.get::<Answer>(&filled.answer.id).await.unwrap();
    assert_eq!(before, filled.answer);
    let changed = difference(&before.body.result, &again.body.result);
    assert_eq!(changed.len(), 1);
    assert_eq!(changed[0].at, "/kits/0/front_arch_mm/1");
    // the catalogue it was made from is still there, to the byte
    let then = store.catalogue(Some(before.body.catalogue_revision)).await.unwrap();
    assert_eq!(then.documents["kits/low.toml"], "Ida\nx");
    assert_eq!(store.catalogue(None).await.unwrap().documents["kits/low.toml"], "softer");
    again_refused(store, &filled).await;
}

async fn again_refused(store: &store::Store, filled: &Filled) {
    let of_no_catalogue = Answer { catalogue_revision: 9, ..filled.answer.body.clone() };
    assert!(matches!(store.give_answer(&by(32), &of_no_catalogue).await, Err(Error::NotFound { .. })));
    let other = store.add(&by(33), &enquiry(&filled.customer.id, &filled.van.id, "other")).await.unwrap();
    let of_other = Answer { again_of: Some(filled.answer.id.clone()), ..answer(&other.id, "other") };
    assert!(matches!(store.give_answer(&by(34), &of_other).await, Err(Error::Invalid { .. })));
}

on_both!(law_the_catalogue_has_one_line_of_revisions, catalogue);

async fn catalogue(bench: Bench) {
    let store = &bench.store;
    let change =
        |path: &str, text: Option<&str>| DocumentChange { path: path.into(), text: text.map(Into::into) };
    assert_eq!(store.catalogue(None).await.unwrap().revision, 0);
    let (one, two) = (change("kits/a.toml", Some("a")), change("kits/b.toml", Some("b")));
    store.revise_catalogue(&by(0), 0, &[one.clone(), two]).await.unwrap();
    let late = store.revise_catalogue(&by(1), 0, &[change("kits/a.toml", Some("c"))]).await;
    assert!(matches!(late, Err(Error::Conflict(_))));
    let same = store.revise_catalogue(&by(1), 1, &[one]).await;
    assert!(matches!(same, Err(Error::Invalid { .. })), "the same file twice changes nothing");
    store.revise_catalogue(&by(2), 1, &[change("kits/a.toml", None)]).await.unwrap();
    let now = store.catalogue(None).await.unwrap();
    assert_eq!((now.revision, now.documents.len()), (2, 1));
    for path in ["", "/etc/passwd", "../up", "kits/../../up", "a//b", "a\\b", "a\nb", "a\0b"] {
        let refused = store.revise_catalogue(&by(3), 2, &[change(path, Some("x"))]).await;
        assert!(matches!(refused, Err(Error::Invalid { .. })), "{path:?}");
    }
}

on_both!(law_quotes_are_frozen_once_sent, quotes);

async fn quotes(bench: Bench) {
    let store = &bench.store;
    let filled = fill(store, "Ida").await;
    let new = new_quote(&filled.customer.id, &filled.answer.id, "Ida");
    let second = store.draft_quote(&by(30), &new).await.unwrap();
    assert_eq!((second.body.revision, second.body.supersedes.as_ref()), (2, Some(&filled.quote.id)));
    let longer = NewQuote { valid_until: "2026-05-31".into(), ..new.clone() };
    let second = store.change_quote(&by(31), &second.id, 1, &longer).await.unwrap();
    let second = store.send_quote(&by(32), &second.id, 2, T0 + DAY).await.unwrap();
    let frozen = store.change_quote(&by(33), &second.id, 3, &new).await;
    assert!(matches!(frozen, Err(Error::WrongState { .. })));
    assert_eq!(store.call_backs(T0 + DAY).await.unwrap().len(), 2, "the quote, and who asked");
    let third = store.draft_quote(&by(34), &new).await.unwrap();
    store.send_quote(&by(35), &third.id, 1, T0 + 2 * DAY).await.unwrap();
    let second = store.get::<Quote>(&second.id).await.unwrap();
    assert_eq!(second.body.state, QuoteState::Superseded);
    let due = store.call_backs(T0 + DAY).await.unwrap();
    assert_eq!(due.len(), 1, "nobody is rung about a superseded quote");
    let third = store.answer_quote(&by(36), &third.id, 2, None).await.unwrap();
    assert_eq!(third.body.state, QuoteState::Declined);
    let none = NewQuote { options: vec![], ..new.clone() };
    assert!(matches!(store.draft_quote(&by(37), &none).await, Err(Error::Invalid { .. })));
    let never = NewQuote { valid_until: "2026-02-30".into(), ..new };
    assert!(matches!(store.draft_quote(&by(37), &never).await, Err(Error::Invalid { .. })));
}

on_both!(law_search_finds_by_plate_name_phone_and_van, search);

async fn search(bench: Bench) {
    let store = &bench.store;
    let filled = fill(store, "Ida Grün-Özdemir").await;
    let (ida, van) = (filled.customer.id, filled.van.id);
    for (text, id, class) in [
        ("wdqx4", &van, SearchClass::Plate),
        ("WD-QX 417", &van, SearchClass::Plate),
        ("5550123", &ida, SearchClass::Phone),
        ("555 01", &ida, SearchClass::Phone),
        ("0171555", &ida, SearchClass::Phone),
        ("özdemir IDA", &ida, SearchClass::Name),
        ("GRÜN", &ida, SearchClass::Name),
        ("wendor light", &van, SearchClass::Van),
    ] {
        let found = store.search(text, 100).await.unwrap();
        assert!(found.iter().any(|f| f.id == *id && f.by == class), "{text}: {found:?}");
    }
    for nothing in ["", "  ", "%", "_", "'", "ida nobody", "zz", "qx 418"] {
        assert_eq!(store.search(nothing, 100).await.unwrap(), [], "{nothing}");
    }
    assert_eq!(store.search("ida", 2).await.unwrap().len(), 2);
}

on_both!(law_pages_hold_every_record_once, pages);

async fn pages(bench: Bench) {
    let store = &bench.store;
    for n in 0..25 {
        store.add(&by(n), &customer(&n.to_string())).await.unwrap();
    }
    let (mut names, mut after) = (Vec::new(), None);
    loop {
        let page = store.list::<Customer>(after.as_ref(), 7).await.unwrap();
        names.extend(page.records.into_iter().map(|record| record.body.name));
        after = page.next;
        if after.is_none() {
            break;
        }
    }
    assert_eq!(names, (0..25).map(|n| n.to_string()).collect::<Vec<_>>(), "ids sort by time");
}
