//! Users, sessions, codes.

use store::records::*;
use store::{Error, NewSecret, SecretPurpose};

use crate::bench::{Bench, on_both};
use crate::sample::*;

fn session(n: u64, owner: &str) -> NewSecret {
    NewSecret {
        digest: digest(n),
        purpose: SecretPurpose::Session,
        owner: owner.into(),
        device: "office".into(),
        scope: String::new(),
        idle_ms: Some(30 * MINUTE),
        ends_ms: Some(T0 + 600 * MINUTE),
    }
}

on_both!(law_a_session_opens_until_it_is_idle_over_or_ended, sessions);

async fn sessions(bench: Bench) {
    let store = &bench.store;
    fill(store, "Ida").await;
    let use_at = |n, minutes| {
        let digest = digest(n);
        async move {
            store.use_secret(&digest, SecretPurpose::Session, T0 + minutes * MINUTE).await.unwrap().is_some()
        }
    };
    store.add_secret(&by(0), &session(10, "ada")).await.unwrap();
    assert!(use_at(10, 29).await);
    assert!(use_at(10, 58).await, "using it keeps it alive");
    assert!(!use_at(10, 89).await, "idle");
    assert!(!use_at(11, 1).await, "unknown");
    assert!(store.use_secret(&digest(10), SecretPurpose::Token, T0).await.unwrap().is_none(), "wrong door");
    let id = store.add_secret(&by(590), &session(12, "ada")).await.unwrap();
    assert!(use_at(12, 599).await);
    assert!(!use_at(12, 600).await, "over");
    store.end_secret(&by(591), &id).await.unwrap();
    assert!(!use_at(12, 592).await, "ended");
    assert!(matches!(store.end_secret(&by(592), &id).await, Err(Error::Invalid { .. })));
    let short = NewSecret { digest: "password".into(), ..session(0, "ada") };
    assert!(matches!(store.add_secret(&by(593), &short).await, Err(Error::Invalid { .. })));
    // neither the secret nor its digest is in the history
    let history = format!("{:?}", store.history(None, 1000).await.unwrap());
    assert!(!history.contains(&digest(10)) && !history.contains("argon2id"));
}

#[test]
fn law_a_user_exported_before_units_could_be_chosen_is_read_with_none_chosen() {
    let before = r#"{"name":"Ben","role":"fitter","language":"de","active":true}"#;
    let user: User = serde_json::from_str(before).unwrap();
    assert_eq!((user.language.as_deref(), user.units, user.decimal_sign), (Some("de"), None, None));
}

on_both!(law_a_new_password_and_a_user_who_leaves_end_sessions, passwords);

async fn passwords(bench: Bench) {
    let store = &bench.store;
    fill(store, "Ida").await;
    let fitter = User {
        name: "Ben".into(),
        role: Role::Fitter,
        language: None,
        units: None,
        decimal_sign: None,
        active: true,
    };
    store.add_user(&by(1), &id("ben"), &fitter).await.unwrap();
    assert!(matches!(store.add_user(&by(1), &id("ben"), &fitter).await, Err(Error::Exists { .. })));
    assert_eq!(store.password_hash(&id("ben")).await.unwrap(), None);
    store.set_password(&by(2), &id("ben"), "hash 1").await.unwrap();
    store.add_secret(&by(3), &session(20, "ben")).await.unwrap();
    store.set_password(&by(4), &id("ben"), "hash 2").await.unwrap();
    assert!(store.secrets(SecretPurpose::Session, Some("ben")).await.unwrap().is_empty());
    assert_eq!(store.password_hash(&id("ben")).await.unwrap().as_deref(), Some("hash 2"));
    store.add_secret(&by(5), &session(21, "ben")).await.unwrap();
    let gone = User { active: false, ..fitter };
    store.change_user(&by(6), &id("ben"), 1, &gone).await.unwrap();
    assert!(store.secrets(SecretPurpose::Session, Some("ben")).await.unwrap().is_empty());
    assert_eq!(store.password_hash(&id("ben")).await.unwrap(), None);
    let ada = store.get::<User>(&id("ada")).await.unwrap();
    let fired = User { role: Role::Office, ..ada.body };
    let last = store.change_user(&by(7), &id("ada"), 1, &fired).await;
    assert!(matches!(last, Err(Error::Invalid { .. })), "the last owner stays");
}

on_both!(law_failed_sign_ins_are_counted_across_restarts, guesses);

async fn guesses(bench: Bench) {
    for n in 0..3 {
        bench.store.sign_in_failed(&by(n), "ada").await.unwrap();
    }
    let after_restart = bench.another().await;
    assert_eq!(after_restart.failed_sign_ins("ada", "office", by(1).at_ms).await.unwrap(), 2);
    assert_eq!(after_restart.failed_sign_ins("ada", "bay", 0).await.unwrap(), 0);
}

on_both!(law_a_postal_form_serves_its_own_sale_until_it_ends, postal);

async fn postal(bench: Bench) {
    let store = &bench.store;
    fill(store, "Ida").await;
    let heights = store.all::<PostalHeights>().await.unwrap().remove(0).body;
    assert_eq!(store.sale_of_code(&digest(1), T0).await.unwrap().id, heights.sale);
    store.receive_postal_heights(&by(40), &digest(1), &heights).await.unwrap();
    let late = by(366 * 24 * 60);
    for (by, code) in [(by(41), digest(2)), (late, digest(1))] {
        let refused = store.receive_postal_heights(&by, &code, &heights).await;
        assert!(matches!(refused, Err(Error::Invalid { .. })));
    }
    assert_eq!(store.all::<PostalHeights>().await.unwrap().len(), 2);
}
