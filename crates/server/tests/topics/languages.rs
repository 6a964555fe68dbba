//! Refusals in the reader's language.

use axum::http::StatusCode;
use serde_json::json;

use crate::common::{House, customer, filled, operations};

#[tokio::test]
async fn law_refusals_come_in_the_readers_language_and_keep_their_code() {
    let house = House::new().await;
    let owner = house.set_up().await;
    house.add_customer(&owner).await;
    let mut compared = 0;
    for (method, path, _) in operations(&house).await {
        // guesses are counted, and the next would be told to wait; signing out ends the session
        if ["/sign-out", "/sign-in", "/enrol", "/answer-links/{code}"].iter().any(|end| path.ends_with(end)) {
            continue;
        }
        for body in ["{}", "{", "{\"name\": \"\\u0000\"}"] {
            for cookie in [&*owner, ""] {
                let ask = |language: &'static str| {
                    let headers = [("cookie", cookie), ("accept-language", language), ("if-match", "\"7\"")];
                    let (house, method, path) = (&house, &method, filled(&path, "nothing"));
                    async move { house.send(method, &path, &headers, (method != "GET").then_some(body)).await }
                };
                let (english, german) = (ask("en").await, ask("de-AT, en;q=0.5").await);
                if !english.status.is_client_error() || english.status == StatusCode::TOO_MANY_REQUESTS {
                    continue;
                }
                assert_eq!(
                    (english.status, english.code()),
                    (german.status, german.code()),
                    "{method} {path}"
                );
                assert_eq!(english.headers["content-language"], "en");
                assert_eq!(german.headers["content-language"], "de");
                let (english, german) = (english.json(), german.json());
                // what a reader of bodies says of their shape is for programmers and stays as it is
                if english["errors"] == json!([]) {
                    assert_ne!(english["detail"], german["detail"], "{method} {path}");
                    compared += 1;
                }
            }
        }
    }
    assert!(compared > 300, "{compared}");
}

#[tokio::test]
async fn law_what_the_store_refuses_is_said_in_german_too() {
    let house = House::new().await;
    let owner = house.set_up().await;
    let kept = house.add_customer(&owner).await;
    let place = format!("/api/v1/customers/{}", kept["id"].as_str().unwrap());
    let headers = [("cookie", &*owner), ("accept-language", "de"), ("if-match", "\"9\"")];
    let late = house.send("PUT", &place, &headers, Some(&customer().to_string())).await;
    assert!(late.json()["detail"].as_str().unwrap().contains("wurde inzwischen geändert"), "{}", late.text);
    let headers = [("cookie", &*owner), ("accept-language", "de")];
    let nothing = house.send("GET", "/api/v1/customers/none", &headers, None).await;
    assert_eq!(nothing.json()["detail"], "Kunde none gibt es nicht");
}

#[tokio::test]
async fn law_pages_refuse_in_the_readers_language() {
    let house = House::new().await;
    for (language, words) in [("de", "ist nichts"), ("en", "there is nothing")] {
        let page = house.send("GET", "/no-such-page", &[("accept-language", language)], None).await;
        assert!(page.text.contains(words), "{}", page.text);
    }
}
