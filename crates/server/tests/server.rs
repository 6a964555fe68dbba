//! What the server promises, held by requests to it.

#![allow(clippy::unwrap_used, clippy::panic)]

mod common;
mod topics;

use std::fmt::Write;

use axum::http::StatusCode;
use common::{House, PAGES, PASSPHRASE, customer, filled, operations, set_up_body};
use serde_json::{Value, json};
use server::new_set_up_code;

/// Every route that is described or a page, tried by everyone: who gets past the gate is in the reviewed file.
#[tokio::test]
async fn law_roles_by_routes_are_as_reviewed() {
    let house = House::new().await;
    let owner = house.set_up().await;
    let mut callers: Vec<(&str, String, String)> = vec![("nobody", String::new(), String::new())];
    for role in ["reader", "fitter", "office"] {
        house.add_user(&owner, role, role).await;
        callers.push((role, house.sign_in(role, PASSPHRASE).await.cookie(), String::new()));
    }
    for scope in ["read", "write"] {
        let token =
            house.post(&owner, "/api/v1/tokens", &json!({"name": scope, "scope": scope})).await.json();
        let bearer = format!("Bearer {}", token["secret"].as_str().unwrap());
        callers.push((scope, String::new(), bearer));
    }
    callers.push(("owner", owner, String::new()));
    for (name, cookie, bearer) in callers.iter().skip(1) {
        let me = house
            .send("GET", "/api/v1/me", &[("cookie", &**cookie), ("authorization", &**bearer)], None)
            .await;
        assert_eq!(me.status, StatusCode::OK, "{name}");
    }
    let mut routes: Vec<(String, String)> =
        operations(&house).await.into_iter().map(|(method, path, _)| (method, path)).collect();
    routes.extend(PAGES.map(|(method, path)| (method.to_owned(), path.to_owned())));
    // ends the session it is tried with; its gate is that of /api/v1/me
    routes.retain(|(_, path)| !path.ends_with("/sign-out"));
    let mut table = String::new();
    for (method, path) in &routes {
        let mut may = Vec::new();
        for (name, cookie, bearer) in &callers {
            let body = (method != "GET").then_some("[]");
            let headers = [("cookie", &**cookie), ("authorization", &**bearer)];
            let reply = house.send(method, &filled(path, "nothing"), &headers, body).await;
            let to_sign_in = reply.headers.get("location").is_some_and(|place| place == "/sign-in");
            let refused = matches!(reply.status, StatusCode::UNAUTHORIZED | StatusCode::FORBIDDEN)
                || to_sign_in && *name == "nobody" && path != "/set-up";
            if !refused {
                may.push(*name);
            }
        }
        writeln!(table, "{method:6} {path}: {}", may.join(" ")).unwrap();
    }
    insta::assert_snapshot!("roles", table);
}

#[tokio::test]
async fn law_every_reply_carries_the_security_headers_and_refusals_are_problems() {
    let house = House::new().await;
    let mut routes: Vec<(String, String)> =
        operations(&house).await.into_iter().map(|(method, path, _)| (method, path)).collect();
    routes.extend(PAGES.map(|(method, path)| (method.to_owned(), path.to_owned())));
    routes.push(("GET".into(), "/no-such-page".into()));
    routes.push(("GET".into(), "/api/v1/no-such-thing".into()));
    routes.push(("PATCH".into(), "/api/v1/jobs".into()));
    for (method, path) in routes {
        let reply = house.send(&method, &filled(&path, "nothing"), &[], None).await;
        let policy = reply.headers["content-security-policy"].to_str().unwrap();
        assert!(
            policy
                .starts_with("default-src 'none'; script-src 'self'; connect-src 'self'; style-src 'self';"),
            "{method} {path}: {policy}"
        );
        assert!(!policy.contains("unsafe") && policy.contains("frame-ancestors 'none'"), "{policy}");
        for (name, value) in [
            ("x-content-type-options", "nosniff"),
            ("referrer-policy", "no-referrer"),
            ("cross-origin-opener-policy", "same-origin"),
            ("cross-origin-resource-policy", "same-origin"),
        ] {
            assert_eq!(reply.headers[name], value, "{method} {path}");
        }
        // what is the same for everyone may be kept, if it is asked about each time
        if !["/counter.js", "/drafts.js", "/icon.svg", "/loads.js", "/style.css"].contains(&path.as_str()) {
            assert_eq!(reply.headers["cache-control"], "no-store", "{method} {path}");
        }
        if path.starts_with("/api/") && reply.status.is_client_error() {
            assert_eq!(reply.headers["content-type"], "application/problem+json", "{method} {path}");
            let problem = reply.json();
            assert_eq!(problem["status"], reply.status.as_u16());
            assert!(!reply.code().is_empty() && problem["errors"].is_array(), "{problem}");
        }
        assert!(!reply.status.is_server_error(), "{method} {path}: {}", reply.text);
    }
}

#[tokio::test]
async fn law_changes_name_the_version_they_saw() {
    let house = House::new().await;
    let owner = house.set_up().await;
    for (method, path, if_match) in operations(&house).await {
        if if_match {
            let reply = house.send(&method, &filled(&path, "nothing"), &[("cookie", &owner)], None).await;
            assert_eq!(reply.status, StatusCode::PRECONDITION_REQUIRED, "{method} {path}");
        }
    }
    let kept = house.add_customer(&owner).await;
    let place = format!("/api/v1/customers/{}", kept["id"].as_str().unwrap());
    let mut body = customer();
    body["notes"] = "rings late".into();
    let put = |tag: &'static str, body: String| {
        let (house, place, owner) = (&house, &place, &owner);
        async move { house.send("PUT", place, &[("cookie", owner), ("if-match", tag)], Some(&body)).await }
    };
    let changed = put("\"1\"", body.to_string()).await;
    assert_eq!((changed.status, changed.headers["etag"].to_str().unwrap()), (StatusCode::OK, "\"2\""));
    let late = put("\"1\"", customer().to_string()).await;
    assert_eq!((late.status, late.code().as_str()), (StatusCode::PRECONDITION_FAILED, "changed_since"));
    assert_eq!(late.json()["theirs"]["notes"], "rings late");
    assert_eq!(put("*", body.to_string()).await.status, StatusCode::PRECONDITION_FAILED);
    let seen = house.send("GET", &place, &[("cookie", &owner), ("if-none-match", "\"2\"")], None).await;
    assert_eq!((seen.status, seen.text.as_str()), (StatusCode::NOT_MODIFIED, ""));
}

#[tokio::test]
async fn law_a_repeated_post_does_nothing_twice() {
    let house = House::new().await;
    let owner = house.set_up().await;
    let post = |body: Value| {
        let (house, owner) = (&house, &owner);
        async move {
            let headers = [("cookie", &**owner), ("idempotency-key", "k1")];
            house.send("POST", "/api/v1/customers", &headers, Some(&body.to_string())).await
        }
    };
    let (first, again) = (post(customer()).await, post(customer()).await);
    assert_eq!((first.status, again.status), (StatusCode::CREATED, StatusCode::CREATED));
    assert_eq!(first.text, again.text);
    let mut other = customer();
    other["name"] = "Someone Else".into();
    let refused = post(other).await;
    assert_eq!(
        (refused.status, refused.code().as_str()),
        (StatusCode::UNPROCESSABLE_ENTITY, "key_used_otherwise")
    );
    assert_eq!(house.get(&owner, "/api/v1/customers").await.json()["records"].as_array().unwrap().len(), 1);
}

#[tokio::test]
async fn law_every_post_that_changes_something_needs_a_key() {
    let house = House::new().await;
    let owner = house.set_up().await;
    let mut excepted = Vec::new();
    for (method, path, _) in operations(&house).await {
        if method != "POST" || path.ends_with("/sign-out") {
            continue;
        }
        let headers = [("cookie", &*owner), ("idempotency-key", ""), ("if-match", "\"1\"")];
        let reply = house.send(&method, &filled(&path, "nothing"), &headers, Some("{}")).await;
        let told = reply.status == StatusCode::BAD_REQUEST && reply.code() == "idempotency_key_missing";
        if !told {
            excepted.push(path);
        }
    }
    assert_eq!(excepted, ["/api/v1/enrol", "/api/v1/set-up", "/api/v1/sign-in"]);
}

/// Requests at once under one key: one is done; the others are told to wait or get its reply. Which of the two depends
/// on the moment, so it is tried until one had to wait.
#[tokio::test]
async fn law_a_key_is_held_while_its_request_is_answered() {
    const TRIES: usize = 50;
    let house = House::new().await;
    let owner = house.set_up().await;
    let body = customer().to_string();
    for tried in 1..=TRIES {
        let key = format!("k{tried}");
        let headers = [("cookie", &*owner), ("idempotency-key", &*key)];
        let post = || house.send("POST", "/api/v1/customers", &headers, Some(&body));
        let (first, second, third) = tokio::join!(post(), post(), post());
        let (done, waiting): (Vec<_>, Vec<_>) =
            [first, second, third].into_iter().partition(|reply| reply.status == StatusCode::CREATED);
        assert!(!done.is_empty() && done.iter().all(|reply| reply.text == done[0].text));
        for reply in &waiting {
            assert_eq!(
                (reply.status, &*reply.code()),
                (StatusCode::CONFLICT, "still_running"),
                "{}",
                reply.text
            );
            assert!(reply.headers.contains_key("retry-after"));
        }
        let kept = house.get(&owner, "/api/v1/customers").await.json()["records"].as_array().unwrap().len();
        assert_eq!(kept, tried, "one for each key");
        assert_eq!(post().await.text, done[0].text, "free again");
        if !waiting.is_empty() {
            return;
        }
    }
    panic!("none of {TRIES} had to wait");
}

#[tokio::test]
async fn law_lists_go_on_where_they_ended() {
    let house = House::new().await;
    let owner = house.set_up().await;
    for _ in 0..5 {
        house.add_customer(&owner).await;
    }
    let (mut seen, mut after) = (Vec::new(), String::new());
    loop {
        let part = house.get(&owner, &format!("/api/v1/customers?limit=2{after}")).await.json();
        seen.extend(part["records"].as_array().unwrap().iter().map(|r| r["id"].as_str().unwrap().to_owned()));
        match part["next"].as_str() {
            Some(next) => after = format!("&after={next}"),
            None => break,
        }
    }
    seen.dedup();
    assert_eq!(seen.len(), 5);
    assert_eq!(house.get(&owner, "/api/v1/customers?limit=0").await.status, StatusCode::UNPROCESSABLE_ENTITY);
}

/// ASVS 5.0, 6.3.1: guessing is limited; here to ten tries in a quarter of an hour, across a restart.
#[tokio::test]
async fn val_guessing_is_limited_and_stays_so_after_a_restart() {
    let house = House::new().await;
    house.set_up().await;
    let mut tried = 0;
    for _ in 0..200 {
        let reply = house.sign_in("owner", "wrong wrong wrong wrong").await;
        match reply.status {
            StatusCode::UNAUTHORIZED => tried += 1,
            StatusCode::TOO_MANY_REQUESTS => assert!(reply.headers.contains_key("retry-after")),
            other => panic!("{other}"),
        }
        house.wait(3);
    }
    assert!((3..=10).contains(&tried), "{tried} tries were let through");
    let again = House::over(house.store.clone(), house.now.clone());
    assert_eq!(again.sign_in("owner", PASSPHRASE).await.status, StatusCode::TOO_MANY_REQUESTS);
    again.wait(16 * 60);
    assert_eq!(again.sign_in("owner", PASSPHRASE).await.status, StatusCode::OK);
}

#[tokio::test]
async fn law_unknown_users_and_wrong_passphrases_look_the_same() {
    let house = House::new().await;
    house.set_up().await;
    let (known, unknown) =
        (house.sign_in("owner", "not it at all").await, house.sign_in("nobody", "not it at all").await);
    assert_eq!((known.status, known.text), (unknown.status, unknown.text));
}

#[tokio::test]
async fn law_set_up_code_works_once_within_half_an_hour() {
    let house = House::new().await;
    let code = new_set_up_code(&house.app).await.unwrap().unwrap();
    assert_eq!(
        house.post("", "/api/v1/set-up", &set_up_body("AAAA-AAAA")).await.status,
        StatusCode::FORBIDDEN
    );
    house.wait(31 * 60);
    assert_eq!(house.post("", "/api/v1/set-up", &set_up_body(&code)).await.status, StatusCode::FORBIDDEN);
    let code = new_set_up_code(&house.app).await.unwrap().unwrap();
    let mut weak = set_up_body(&code);
    weak["passphrase"] = "password1234".into();
    assert_eq!(house.post("", "/api/v1/set-up", &weak).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    let done = house.post("", "/api/v1/set-up", &set_up_body(&code.to_lowercase())).await;
    assert_eq!(done.status, StatusCode::OK, "{}", done.text);
    assert_eq!(house.post("", "/api/v1/set-up", &set_up_body(&code)).await.status, StatusCode::CONFLICT);
    assert!(new_set_up_code(&house.app).await.unwrap().is_none());
}

#[tokio::test]
async fn law_sessions_end_by_idling_by_the_day_and_by_hand() {
    let house = House::new().await;
    house.set_up().await;
    let reply = house.sign_in("owner", PASSPHRASE).await;
    let line = reply.headers["set-cookie"].to_str().unwrap().to_owned();
    assert!(
        line.contains("HttpOnly") && line.contains("SameSite=Strict") && line.contains("Path=/"),
        "{line}"
    );
    let cookie = reply.cookie();
    for _ in 0..21 {
        house.wait(29 * 60);
        if house.get(&cookie, "/api/v1/me").await.status != StatusCode::OK {
            break;
        }
    }
    assert_eq!(house.get(&cookie, "/api/v1/me").await.status, StatusCode::UNAUTHORIZED, "ten hours at most");
    let idle = house.sign_in("owner", PASSPHRASE).await.cookie();
    house.wait(31 * 60);
    assert_eq!(house.get(&idle, "/api/v1/me").await.status, StatusCode::UNAUTHORIZED);
    let ended = house.sign_in("owner", PASSPHRASE).await.cookie();
    assert_eq!(house.post(&ended, "/api/v1/sign-out", &json!({})).await.status, StatusCode::NO_CONTENT);
    assert_eq!(house.get(&ended, "/api/v1/me").await.status, StatusCode::UNAUTHORIZED);
}

/// Browsers send `Origin: null` with the forms of a page that gives no referrer (Fetch standard, "append a request
/// `Origin` header"), and `Sec-Fetch-Site: same-origin` beside it.
#[tokio::test]
async fn regress_forms_of_our_own_pages_are_taken() {
    let house = House::new().await;
    let owner = house.set_up().await;
    let headers = [("origin", "null"), ("sec-fetch-site", "same-origin"), ("cookie", &*owner)];
    let reply = house.send("POST", "/sign-out", &headers, None).await;
    assert_eq!(reply.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn law_writes_from_other_sites_and_to_other_hosts_are_refused() {
    let house = House::new().await;
    let owner = house.set_up().await;
    let body = customer().to_string();
    let foreign: [&[(&str, &str)]; 4] = [
        &[("origin", "https://evil.example")],
        &[("origin", "null")],
        &[("origin", "http://127.0.0.1:8420"), ("sec-fetch-site", "cross-site")],
        &[("origin", "")],
    ];
    for headers in foreign {
        let headers: Vec<_> = headers.iter().copied().chain([("cookie", &*owner)]).collect();
        let reply = house.send("POST", "/api/v1/customers", &headers, Some(&body)).await;
        assert_eq!(
            (reply.status, reply.code().as_str()),
            (StatusCode::FORBIDDEN, "foreign_site"),
            "{headers:?}"
        );
    }
    let headers = [("host", "evil.example"), ("cookie", &*owner)];
    assert_eq!(house.send("GET", "/api/v1/me", &headers, None).await.status, StatusCode::MISDIRECTED_REQUEST);
    assert_eq!(house.get(&owner, "/api/v1/customers").await.json()["records"], json!([]));
}

#[tokio::test]
async fn law_bay_device_takes_a_pin_and_gives_no_more_than_a_fitter_may() {
    let house = House::new().await;
    let owner = house.set_up().await;
    let pin = json!({"current": PASSPHRASE, "pin": "480615"});
    let set = house.send("PUT", "/api/v1/me/pin", &[("cookie", &owner)], Some(&pin.to_string())).await;
    assert_eq!(set.status, StatusCode::NO_CONTENT, "{}", set.text);
    let by_pin = json!({"name": "owner", "pin": "480615"});
    assert_eq!(
        house.post("", "/api/v1/sign-in", &by_pin).await.status,
        StatusCode::FORBIDDEN,
        "not enrolled"
    );
    let owner = house.sign_in("owner", PASSPHRASE).await.cookie();
    let device =
        house.post(&owner, "/api/v1/devices", &json!({"name": "bay tablet", "place": "bay"})).await.json();
    let code = json!({"code": device["secret"]});
    let enrolled = house.post("", "/api/v1/enrol", &code).await;
    assert_eq!(enrolled.status, StatusCode::NO_CONTENT, "{}", enrolled.text);
    assert_eq!(house.post("", "/api/v1/enrol", &code).await.status, StatusCode::FORBIDDEN, "once");
    let bay = house.post(&enrolled.cookie(), "/api/v1/sign-in", &by_pin).await;
    assert_eq!((bay.status, bay.json()["role"].as_str()), (StatusCode::OK, Some("fitter")));
    let bay = bay.cookie();
    assert_eq!(house.get(&bay, "/api/v1/jobs").await.status, StatusCode::OK);
    assert_eq!(house.get(&bay, "/api/v1/customers").await.status, StatusCode::FORBIDDEN);
    assert_eq!(house.get(&bay, "/api/v1/quotes").await.status, StatusCode::FORBIDDEN);
}

#[tokio::test]
async fn law_faults_of_a_body_point_to_their_field() {
    let house = House::new().await;
    let owner = house.set_up().await;
    let mut body = customer();
    body["phones"] = json!(["1", 2]);
    let reply = house.post(&owner, "/api/v1/customers", &body).await;
    assert_eq!(
        (reply.status, reply.json()["errors"][0]["pointer"].as_str()),
        (StatusCode::UNPROCESSABLE_ENTITY, Some("/phones/1"))
    );
    body = customer();
    body["name"] = "a\0b".into();
    assert_eq!(house.post(&owner, "/api/v1/customers", &body).await.json()["errors"][0]["pointer"], "/name");
    let van = json!({"customer": "nobody", "plate": "X", "vehicle": null, "grade": null, "vin": null, "year": null,
        "description": "", "weighings": [], "lip_offset_mm": null, "as_found": [], "fitted_kit": null, "notes": ""});
    assert_eq!(house.post(&owner, "/api/v1/vans", &van).await.code(), "names_nothing");
}

/// Hostile text in paths, queries, headers and bodies: refused or kept as text, never a failure of the server.
#[tokio::test]
async fn law_nothing_hostile_breaks_the_server() {
    let house = House::new().await;
    let owner = house.set_up().await;
    let ids = [
        "%00",
        "..%2f..%2fetc%2fpasswd",
        "%F0%9F%9A%90",
        "%ff%fe",
        "'%20OR%201=1--",
        "%3Cscript%3E",
        "9999999999999999999999",
    ];
    let bodies = [
        "",
        "{",
        "null",
        "[]",
        "{\"name\": 1e999}",
        "{\"a\": \"\\ud800\"}",
        "{\"confirmed\": true}",
        "{\"from_ms\": 9223372036854775807, \"ramp\": \"1\", \"minutes_nine_in_ten\": 4294967295}",
    ];
    for (method, path, _) in operations(&house).await {
        if path.ends_with("/sign-out") || path.contains("/me/") {
            continue;
        }
        for id in ids {
            let path = format!(
                "{}?after={id}&limit={id}&q={id}&from_ms=-9223372036854775808&to_ms=9223372036854775807&minutes_nine_in_ten=4294967295&not_before_ms=9223372036854775807&path={id}&figure={id}&kit={id}&revision=-1",
                filled(&path, id)
            );
            let body = bodies[id.len() % bodies.len()];
            let headers =
                [("cookie", &*owner), ("if-match", "\"9223372036854775807\""), ("idempotency-key", id)];
            let reply = house.send(&method, &path, &headers, Some(body)).await;
            assert!(
                !reply.status.is_server_error(),
                "{method} {path} {body}: {} {}",
                reply.status,
                reply.text
            );
        }
        for body in bodies.into_iter().filter(|_| method != "GET") {
            let headers = [("cookie", &*owner), ("if-match", "\"1\"")];
            let reply = house.send(&method, &filled(&path, "x"), &headers, Some(body)).await;
            assert!(
                !reply.status.is_server_error(),
                "{method} {path} {body}: {} {}",
                reply.status,
                reply.text
            );
        }
    }
    let deep = format!("{}{}", "[".repeat(100_000), "]".repeat(100_000));
    let reply = house.send("POST", "/api/v1/customers", &[("cookie", &*owner)], Some(&deep)).await;
    assert_eq!(reply.status, StatusCode::BAD_REQUEST);
}

#[tokio::test]
async fn regress_what_a_page_refuses_is_told_on_a_page_in_the_language_of_who_asks() {
    let house = House::new().await;
    let owner = house.set_up().await;
    house.add_user(&owner, "fitter", "fitter").await;
    let fitter = house.sign_in("fitter", PASSPHRASE).await.cookie();
    let german = [("language", "de"), ("saw", "1")].map(|(name, value)| (name.to_owned(), value.to_owned()));
    assert_eq!(house.post_form(&fitter, "/me", &german).await.status, StatusCode::SEE_OTHER);
    let nul = [("notes".to_owned(), "\0".to_owned())];
    for (reply, status) in [
        (house.post_form(&fitter, "/jobs/none/ramp", &nul).await, StatusCode::BAD_REQUEST),
        (house.get(&fitter, "/jobs/none").await, StatusCode::NOT_FOUND),
        (house.get(&fitter, "/jobs/!").await, StatusCode::NOT_FOUND),
    ] {
        assert_eq!(reply.status, status, "{}", reply.text);
        assert!(reply.text.contains("<html lang=\"de\">"), "{}", reply.text);
    }
    let api = house.get(&fitter, "/api/v1/jobs/none").await;
    assert_eq!((api.status, &*api.code()), (StatusCode::NOT_FOUND, "not_found"));
}

#[tokio::test]
async fn law_text_on_pages_is_escaped() {
    let house = House::new().await;
    let owner = house.set_up().await;
    let enquiry = json!({"customer": null, "van": null, "caller": "<script>alert(1)</script>", "phone": null,
        "question": "\"><img src=x>", "document": "", "state": "open"});
    let kept = house.post(&owner, "/api/v1/enquiries", &enquiry).await.json();
    for path in ["/enquiries".to_owned(), format!("/enquiries/{}", kept["id"].as_str().unwrap())] {
        let page = house.get(&owner, &path).await;
        assert_eq!(page.status, StatusCode::OK);
        assert!(!page.text.contains("<script>") && !page.text.contains("<img"), "{}", page.text);
    }
}
