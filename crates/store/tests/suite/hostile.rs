//! Text that was never meant well.

use store::records::*;
use store::{By, Error, Id, Kind, Severity};

use crate::bench::{Bench, on_both};
use crate::exchange::assert_same_folders;
use crate::sample::*;

fn hostile() -> Vec<String> {
    vec![
        "'; DROP TABLE records; --".into(),
        "\"$1\" %_\\ ?1 :a @b {{x}} ${y}".into(),
        "null \0 and \u{1}\u{7f}\r\n\t bells \u{7}".into(),
        "=HYPERLINK(\"http://x\",\"y\")".into(),
        "</script><script>alert(1)</script>".into(),
        "\u{202e}right to left\u{200b}\u{feff}".into(),
        "e\u{301}\u{301}\u{301} 👩‍🔧 ﷽ \u{10ffff} \u{fffe}".into(),
        "../../etc/passwd".into(),
        "İıẞß Σσς".into(),
        "x".repeat(100_000),
    ]
}

on_both!(law_any_text_in_any_place_comes_back_as_it_was, everywhere);

async fn everywhere(bench: Bench) {
    let is_sqlite = bench.store.is_sqlite();
    drop(bench);
    for text in hostile() {
        let bench = if is_sqlite { Bench::sqlite().await } else { Bench::postgres().await };
        let store = &bench.store;
        let filled = fill(store, &text).await;
        assert_eq!(store.get::<Customer>(&filled.customer.id).await.unwrap(), filled.customer);
        assert_eq!(filled.customer.body.name, text);
        assert_eq!(store.get::<Answer>(&filled.answer.id).await.unwrap(), filled.answer);
        assert_eq!(filled.answer.body.enquiry_document, text);
        store.search(&text, 10).await.unwrap();
        let findings = store.doctor(&bench.folder.join("none"), T0).await.unwrap();
        assert!(findings.iter().all(|finding| finding.severity == Severity::Risk), "{findings:?}");
        let (first, second) = (bench.folder.join("first"), bench.folder.join("second"));
        store.export(&first).await.unwrap();
        let copy = Bench::sqlite().await;
        copy.store.import(&first).await.unwrap();
        copy.store.export(&second).await.unwrap();
        assert_same_folders(&first, &second);
        store.close().await;
    }
}

on_both!(law_what_cannot_be_kept_is_refused_by_name, refused);

async fn refused(bench: Bench) {
    let store = &bench.store;
    let nul = By::new("a\0b", "office", T0);
    assert!(matches!(store.add(&nul, &customer("Ida")).await, Err(Error::Invalid { .. })));
    let nobody = By::new("", "office", T0);
    assert!(matches!(store.add(&nobody, &customer("Ida")).await, Err(Error::Invalid { .. })));
    for key in [String::new(), "\0".into(), "k".repeat(201)] {
        let refused = store.add(&by(0).with_key(&key), &customer("Ida")).await;
        assert!(matches!(refused, Err(Error::Invalid { .. })), "{key:?}");
    }
    for id in ["", " ", "a b", "ä", "'", "\0", &"x".repeat(121)] {
        assert!(id.parse::<Id>().is_err(), "{id:?}");
        assert!(serde_json::from_str::<Id>(&serde_json::to_string(id).unwrap()).is_err());
    }
    let ramp = Diary { ramps: vec!["\0".into()], ..diary() };
    assert!(matches!(store.add_as(&by(0), &id("diary"), &ramp).await, Err(Error::Invalid { .. })));
    let ida = store.add(&by(0), &customer("Ida")).await.unwrap();
    for mm in [f64::NAN, f64::INFINITY, 1e9] {
        let odd = Van { lip_offset_mm: Some([mm, 0.0, 0.0, 0.0]), ..van(&ida.id, "van") };
        assert!(matches!(store.add(&by(1), &odd).await, Err(Error::Invalid { .. })), "{mm}");
    }
    let huge = Customer { notes: "x".repeat(9 << 20), ..customer("Ida") };
    assert!(matches!(store.add(&by(2), &huge).await, Err(Error::Invalid { .. })));
    let about = (Kind::Customer, &ida.id);
    assert!(matches!(store.add_photo(&by(3), about, "", "image/png", b"").await, Err(Error::Invalid { .. })));
    assert_eq!(store.history(None, 10).await.unwrap().len(), 1, "a refusal leaves no trace");
}
