//! Backups, restoring, examining.

use std::fs;

use store::records::*;
use store::{Error, Severity, Store, restore, verify_backup};

use crate::bench::{Bench, check_on, on_both};
use crate::kills::times;
use crate::sample::*;

fn words(error: &Error) -> String {
    assert!(matches!(error, Error::Refused { .. } | Error::NewerDatabase { .. }), "{error:?}");
    error.to_string()
}

on_both!(law_a_backup_made_under_load_is_one_state_and_comes_back_in_either_database, under_load);

async fn under_load(bench: Bench) {
    fill(&bench.store, "Ida").await;
    let writing = tokio::spawn({
        let store = bench.another().await;
        async move {
            for n in 0..150 * times(1) as i64 {
                store.add(&by(100 + n), &customer(&n.to_string())).await.unwrap();
            }
            store.close().await;
        }
    });
    for n in 0..3 * times(1) as i64 {
        let backup = bench.folder.join(&format!("backup-{n}"));
        let manifest = bench.store.backup(&backup, T0 + n * DAY).await.unwrap();
        assert_eq!(verify_backup(&backup).await.unwrap(), manifest);
        // a prefix of what was written, in order
        let target = bench.folder.join(&format!("restored-{n}.sqlite")).display().to_string();
        let restored = restore(&backup, &target, T0).await.unwrap();
        assert_eq!(restored.counts, manifest.counts);
        let store = Store::open(&target).await.unwrap();
        let mut names: Vec<String> =
            store.all::<Customer>().await.unwrap().into_iter().map(|customer| customer.body.name).collect();
        assert_eq!(names.remove(0), "Ida");
        assert_eq!(names, (0..names.len()).map(|n| n.to_string()).collect::<Vec<_>>());
        store.close().await;
    }
    writing.await.unwrap();
    let into_postgres = Bench::postgres().await;
    into_postgres.store.add(&by(0), &customer("goes")).await.unwrap();
    let restored = restore(&bench.folder.join("backup-2"), &into_postgres.url, T0).await.unwrap();
    assert_eq!(
        restored.counts["history"],
        into_postgres.store.history(None, 1000).await.unwrap().len() as i64
    );
}

#[test]
fn law_restore_keeps_the_old_store_and_refuses_in_words() {
    check_on(Box::pin(restore_keeps_the_old_store_and_refuses_in_words_check()));
}

async fn restore_keeps_the_old_store_and_refuses_in_words_check() {
    let bench = Bench::sqlite().await;
    let backup = bench.folder.join("backup");
    bench.store.add(&by(0), &customer("old")).await.unwrap();
    bench.store.backup(&backup, T0).await.unwrap();
    let later = bench.store.add(&by(1), &customer("later")).await.unwrap();
    let in_use = restore(&backup, &bench.url, 7).await.unwrap_err();
    assert!(words(&in_use).contains("stop the server"), "{in_use}");
    assert_eq!(bench.store.all::<Customer>().await.unwrap().len(), 2);
    bench.store.close().await;
    let restored = restore(&backup, &bench.url, 7).await.unwrap();
    let store = Store::open(&bench.url).await.unwrap();
    assert_eq!(store.all::<Customer>().await.unwrap().len(), 1);
    store.close().await;
    let aside = restored.kept_aside.unwrap();
    let old = Store::open(&aside.display().to_string()).await.unwrap();
    assert_eq!(old.get::<Customer>(&later.id).await.unwrap(), later);
    old.close().await;
    // a store too damaged to open is kept aside as it is
    fs::write(
        &bench.url,
        b"not a database at all, and longer than a header of one hundred bytes would be, by far.....",
    )
    .unwrap();
    restore(&backup, &bench.url, 8).await.unwrap();
    Store::open(&bench.url).await.unwrap().close().await;

    let target = bench.folder.join("never.sqlite");
    let url = target.display().to_string();
    let missing = restore(&bench.folder.join("nowhere"), &url, 9).await.unwrap_err();
    assert!(words(&missing).contains("no such folder"));
    let empty = bench.folder.join("empty");
    fs::create_dir(&empty).unwrap();
    assert!(words(&restore(&empty, &url, 9).await.unwrap_err()).contains("never finished"));
    let manifest = fs::read_to_string(backup.join("manifest.json")).unwrap();
    fs::write(backup.join("manifest.json"), manifest.replace("\"schema\": 3", "\"schema\": 99")).unwrap();
    assert!(words(&restore(&backup, &url, 9).await.unwrap_err()).contains("99"));
    fs::write(backup.join("manifest.json"), &manifest).unwrap();
    let file = backup.join("workshop.sqlite");
    let mut bytes = fs::read(&file).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 1;
    fs::write(&file, &bytes).unwrap();
    assert!(words(&restore(&backup, &url, 9).await.unwrap_err()).contains("damaged"));
    fs::write(&file, b"").unwrap();
    assert!(restore(&backup, &url, 9).await.is_err());
    assert!(!target.exists(), "a refusal leaves nothing behind");
}

on_both!(law_a_newer_database_is_refused_with_both_versions, newer);

async fn newer(bench: Bench) {
    let raw = raw(&bench).await;
    let columns = "version, description, installed_on, success, checksum, execution_time";
    let later = format!(
        "INSERT INTO _sqlx_migrations ({columns}) SELECT 99, '9.9.9', {} FROM _sqlx_migrations WHERE version = 1",
        &columns[22..]
    );
    sqlx::query(sqlx::AssertSqlSafe(later)).execute(&raw).await.unwrap();
    let refused = Store::open(&bench.url).await.unwrap_err();
    let said = words(&refused);
    assert!(
        said.contains("schema 99")
            && said.contains("version 9.9.9")
            && said.contains(env!("CARGO_PKG_VERSION"))
            && said.contains("archgap restore"),
        "{said}"
    );
    sqlx::query("DELETE FROM _sqlx_migrations WHERE version = 99").execute(&raw).await.unwrap();
    sqlx::query("UPDATE _sqlx_migrations SET checksum = $1").bind(&b"other"[..]).execute(&raw).await.unwrap();
    assert!(matches!(Store::open(&bench.url).await, Err(Error::ForeignSchema(1))));
}

/// A connection past the store.
async fn raw(bench: &Bench) -> sqlx::AnyPool {
    let url = if bench.store.is_sqlite() { format!("sqlite:{}", bench.url) } else { bench.url.clone() };
    sqlx::AnyPool::connect(&url).await.unwrap()
}

on_both!(law_the_doctor_finds_every_wound_and_nothing_else, wounds);

async fn wounds(bench: Bench) {
    let store = &bench.store;
    let filled = fill(store, "Ida").await;
    store.book_job(&by(70), &new_job(&filled.customer.id, &filled.van.id, "left", MONDAY)).await.unwrap();
    let backups = bench.folder.join("backups");
    fs::create_dir(&backups).unwrap();
    store.backup(&backups.join("one"), T0).await.unwrap();
    let now = T0 + 36 * 60 * MINUTE;
    assert_eq!(store.doctor(&backups, now).await.unwrap(), []);
    let late = store.doctor(&backups, now + 60 * MINUTE).await.unwrap();
    assert_eq!((late.len(), late[0].severity), (1, Severity::Risk));
    assert!(late[0].what.en.contains("37 hours") && late[0].mend.en.contains("archgap backup"), "{late:?}");

    let sound = bench.folder.join("sound");
    store.export(&sound).await.unwrap();
    let wounds = [
        ("UPDATE records SET body = '{}' WHERE kind = 'customer'", "cannot be read"),
        ("UPDATE records SET version = version + 1 WHERE kind = 'van'", "not what their last change"),
        ("DELETE FROM history WHERE seq = 3", "missing"),
        ("UPDATE history SET before_body = 'x' WHERE kind = 'van' AND version = 2", "do not begin where"),
        ("DELETE FROM search_terms WHERE class = 'plate'", "does not agree"),
        ("DELETE FROM links WHERE kind = 'job'", "does not agree"),
        ("DELETE FROM bookings", "does not agree"),
        ("INSERT INTO bookings SELECT 'other', ramp, from_ms, to_ms FROM bookings", "at the same time"),
        ("DELETE FROM files", "is missing"),
        ("UPDATE files SET digest = 'other' WHERE media_type = 'image/png'", "not those that were kept"),
    ];
    for (wound, expected) in wounds {
        let patient = if store.is_sqlite() { Bench::sqlite().await } else { Bench::postgres().await };
        patient.store.import(&sound).await.unwrap();
        let raw = raw(&patient).await;
        sqlx::query(wound).execute(&raw).await.unwrap();
        raw.close().await;
        let findings = patient.store.doctor(&backups, now).await.unwrap();
        let found = findings.iter().any(|f| f.what.en.contains(expected) && f.severity == Severity::Damage);
        assert!(found, "{wound}: {findings:?}");
        assert!(findings.iter().all(|f| {
            [&f.what, &f.why, &f.mend].iter().all(|said| !said.en.is_empty() && !said.de.is_empty())
        }));
        if expected == "does not agree" {
            assert!(findings[0].mend.en.contains("reindex"));
            patient.store.reindex().await.unwrap();
            assert_eq!(patient.store.doctor(&backups, now).await.unwrap(), [], "after {wound}");
        }
        patient.store.close().await;
    }
}
