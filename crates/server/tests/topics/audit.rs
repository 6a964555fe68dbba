//! Who signed in, who was refused, what became of rights.

use axum::http::StatusCode;
use serde_json::Value;

use crate::common::{House, PASSPHRASE};

async fn entries(house: &House, owner: &str) -> Vec<Value> {
    let (mut all, mut before) = (Vec::new(), String::new());
    loop {
        let part = house.get(owner, &format!("/api/v1/audit?limit=7{before}")).await;
        assert_eq!(part.status, StatusCode::OK, "{}", part.text);
        let part = part.json();
        all.extend(part["entries"].as_array().unwrap().clone());
        match part["next"].as_i64() {
            Some(next) => before = format!("&before={next}"),
            None => return all,
        }
    }
}

#[tokio::test]
async fn law_sign_ins_refusals_and_role_changes_are_read_by_the_owner() {
    let house = House::new().await;
    let owner = house.set_up().await;
    house.add_user(&owner, "fay", "fitter").await;
    house.sign_in("fay", "not it at all").await;
    let fitter = house.sign_in("fay", PASSPHRASE).await.cookie();
    for _ in 0..150 {
        assert_eq!(house.get(&fitter, "/api/v1/customers").await.status, StatusCode::FORBIDDEN);
    }
    assert_eq!(house.get(&fitter, "/api/v1/audit").await.status, StatusCode::FORBIDDEN);
    let office = r#"{"name": "fay", "role": "office", "language": null, "active": true}"#;
    let changed = house
        .send("PUT", "/api/v1/users/fay", &[("cookie", &owner), ("if-match", "\"1\"")], Some(office))
        .await;
    assert_eq!(changed.status, StatusCode::OK, "{}", changed.text);
    let all = entries(&house, &owner).await;
    let of = |subject: &str, id: &str| -> Vec<&Value> {
        all.iter()
            .filter(|entry| entry["subject"] == subject && (id.is_empty() || entry["id"] == id))
            .collect()
    };
    assert_eq!(of("sign_in", "fay").len(), 1);
    assert!(of("session", "").iter().any(|entry| entry["who"] == "fay"));
    let refused = of("refusal", "GET /api/v1/customers");
    let counts: Vec<&str> = refused.iter().rev().map(|entry| entry["because"].as_str().unwrap()).collect();
    assert_eq!(counts, ["not_allowed, 1 today", "not_allowed, 10 today", "not_allowed, 100 today"]);
    assert_eq!((&refused[0]["who"], &refused[0]["device"]), (&"fay".into(), &"unknown".into()));
    let change = of("user", "fay")[0];
    assert_eq!((&change["before"]["role"], &change["after"]["role"]), (&"fitter".into(), &"office".into()));
    assert!(all.iter().all(|entry| entry["at"].as_str().unwrap().ends_with('Z')));
    assert!(
        all.windows(2).all(|pair| pair[0]["seq"].as_i64() > pair[1]["seq"].as_i64()),
        "newest first, each once"
    );
}
