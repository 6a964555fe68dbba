//! Export and import.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use store::records::*;
use store::{Error, Store};

use crate::bench::{Bench, check_on, on_both};
use crate::sample::*;

/// Every file of a folder by its path.
pub(crate) fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    for entry in fs::read_dir(folder).unwrap().map(Result::unwrap) {
        let name = entry.file_name().into_string().unwrap();
        if entry.path().is_dir() {
            found.extend(
                files(&entry.path()).into_iter().map(|(inner, bytes)| (format!("{name}/{inner}"), bytes)),
            );
        } else {
            found.insert(name, fs::read(entry.path()).unwrap());
        }
    }
    found
}

pub(crate) fn assert_same_folders(one: &Path, other: &Path) {
    let (one, other) = (files(one), files(other));
    assert_eq!(one.keys().collect::<Vec<_>>(), other.keys().collect::<Vec<_>>());
    for (name, bytes) in &one {
        assert!(other[name] == *bytes, "{name} differs");
    }
}

on_both!(law_export_import_export_is_the_same_to_the_byte, there_and_back);

async fn there_and_back(bench: Bench) {
    let store = &bench.store;
    let filled = fill(store, "Grün, \"quoted\"\n=1+1").await;
    let gone = store.add(&by(60), &customer("goes again")).await.unwrap();
    store.remove::<Customer>(&by(61), &gone.id, 1).await.unwrap();
    let (first, second, third) =
        (bench.folder.join("first"), bench.folder.join("second"), bench.folder.join("third"));
    store.export(&first).await.unwrap();
    store.export(&second).await.unwrap();
    assert_same_folders(&first, &second);
    // into the other database and back
    for target in [Bench::sqlite().await, Bench::postgres().await] {
        let preview = target.store.preview_import(&first).await.unwrap();
        assert!(preview.kinds.iter().all(|kind| kind.changed + kind.same == 0));
        assert_eq!(target.store.history(None, 1).await.unwrap(), [], "a preview changes nothing");
        target.store.import(&first).await.unwrap();
        target.store.export(&third).await.unwrap();
        assert_same_folders(&first, &third);
        fs::remove_dir_all(&third).unwrap();
        assert_eq!(target.store.get::<Job>(&filled.job.id).await.unwrap(), filled.job);
        assert!(!target.store.search("grün", 9).await.unwrap().is_empty(), "search works at once");
        // the same again changes nothing
        let again = target.store.import(&first).await.unwrap();
        assert_eq!((again.new_history, again.kinds.iter().map(|k| k.new + k.changed).sum::<i64>()), (0, 0));
    }
    let table = fs::read_to_string(first.join("tables/customer.csv")).unwrap();
    assert!(table.contains("\"Grün, \"\"quoted\"\"\n=1+1\""), "{table}");
}

on_both!(law_an_import_continues_a_store_or_is_refused, continues);

async fn continues(bench: Bench) {
    let store = &bench.store;
    let (early, late) = (bench.folder.join("early"), bench.folder.join("late"));
    let ida = store.add(&by(0), &customer("Ida")).await.unwrap();
    store.export(&early).await.unwrap();
    store.change(&by(1), &ida.id, 1, &customer("Ina")).await.unwrap();
    store.export(&late).await.unwrap();
    let other = Bench::sqlite().await;
    other.store.import(&early).await.unwrap();
    let preview = other.store.preview_import(&late).await.unwrap();
    assert_eq!((preview.kinds[0].changed, preview.new_history), (1, 1));
    other.store.import(&late).await.unwrap();
    assert_eq!(other.store.get::<Customer>(&ida.id).await.unwrap().body.name, "Ina");
    // older than the store, and work of its own: refused, nothing changed
    assert!(matches!(other.store.import(&early).await, Err(Error::ImportDiverges(2))));
    let stranger = Bench::sqlite().await;
    stranger.store.add(&by(5), &customer("Ilse")).await.unwrap();
    assert_eq!(stranger.store.preview_import(&late).await.unwrap().diverges_at, Some(1));
    assert!(matches!(stranger.store.import(&late).await, Err(Error::ImportDiverges(1))));
    assert_eq!(stranger.store.all::<Customer>().await.unwrap()[0].body.name, "Ilse");
}

#[test]
fn law_a_damaged_or_foreign_export_changes_nothing() {
    check_on(Box::pin(a_damaged_or_foreign_export_changes_nothing_check()));
}

async fn a_damaged_or_foreign_export_changes_nothing_check() {
    let bench = Bench::sqlite().await;
    fill(&bench.store, "Ida").await;
    let good = bench.folder.join("good");
    bench.store.export(&good).await.unwrap();
    let manifest = fs::read_to_string(good.join("manifest.json")).unwrap();
    let target = Bench::sqlite().await;
    let refused = async |what: &str| {
        for result in [
            target.store.import(&good).await.map(|_| ()),
            target.store.preview_import(&good).await.map(|_| ()),
        ] {
            assert!(matches!(result, Err(Error::Refused { .. })), "{what}: {result:?}");
        }
        assert_eq!(target.store.history(None, 1).await.unwrap(), []);
    };
    for (name, bytes) in files(&good) {
        let path = good.join(&name);
        let mut bad = bytes.clone();
        bad.extend(b"x");
        fs::write(&path, &bad).unwrap();
        refused(&name).await;
        fs::remove_file(&path).unwrap();
        refused(&name).await;
        fs::write(&path, bytes).unwrap();
    }
    fs::write(good.join("manifest.json"), manifest.replace("\"schema\": 3", "\"schema\": 99")).unwrap();
    refused("newer").await;
    let Err(Error::Refused { why, .. }) = target.store.import(&good).await else { panic!() };
    assert!(why.contains("99") && why.contains(env!("CARGO_PKG_VERSION")), "{why}");
    fs::write(good.join("manifest.json"), manifest).unwrap();
    target.store.import(&good).await.unwrap();
    let there: Store = target.another().await;
    assert_eq!(there.all::<Customer>().await.unwrap().len(), 1);
}
