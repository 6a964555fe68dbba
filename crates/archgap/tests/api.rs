//! The API gives the same figures as the command line.

#![allow(clippy::unwrap_used, clippy::panic)]

#[allow(dead_code)] // some helpers are for other tests
mod common;

use axum::body::{Body, to_bytes};
use axum::http::Request;
use serde_json::{Value, json};
use server::{App, Reach, demo, machine_clock, new_set_up_code, router};
use store::{By, Store};
use tower::ServiceExt;

async fn send(router: &axum::Router, cookie: &str, path: &str, body: Option<Value>) -> (String, Value) {
    let method = if body.is_some() { "POST" } else { "GET" };
    let request =
        Request::builder().method(method).uri(path).header("host", "127.0.0.1").header("cookie", cookie);
    let request = request.header("origin", "http://127.0.0.1").header("content-type", "application/json");
    let body = body.map_or_else(String::new, |body| body.to_string());
    let reply = router.clone().oneshot(request.body(Body::from(body)).unwrap()).await.unwrap();
    let status = reply.status();
    let cookie = reply
        .headers()
        .get("set-cookie")
        .map(|line| line.to_str().unwrap().split(';').next().unwrap().to_owned());
    let bytes = to_bytes(reply.into_body(), usize::MAX).await.unwrap();
    assert!(status.is_success(), "{path}: {status} {}", String::from_utf8_lossy(&bytes));
    (cookie.unwrap_or_default(), serde_json::from_slice(&bytes).unwrap())
}

fn printed(arguments: &[&str]) -> Value {
    serde_json::from_str(&common::answered(&[arguments, &["--json"]].concat())).unwrap()
}

#[tokio::test]
async fn law_api_and_command_line_give_the_same_figures() {
    let file = std::env::temp_dir().join(format!("archgap-parity-{}.db", std::process::id()));
    let store = Store::open(&file.display().to_string()).await.unwrap();
    let app = App::new(store.clone(), Reach::default(), machine_clock());
    demo::first_revision(&store, &By::new("test", "test", 0), &common::demo_files())
        .await
        .unwrap_or_else(|e| panic!("{e}"));
    let router = router(app.clone());
    let code = new_set_up_code(&app).await.unwrap_or_else(|e| panic!("{e}")).unwrap();
    let owner = json!({"code": code, "workshop": "Larchway", "country": "DE", "name": "owner", "shown_name": "Orla", "passphrase": "herring bicycle quarter moon"});
    let (cookie, _) = send(&router, "", "/api/v1/set-up", Some(owner)).await;
    for (name, kit) in [
        ("camper-low-at-the-back", "tessavar-four-collars"),
        ("lower-for-the-garage", ""),
        ("over-the-rear-limit", ""),
        ("heavy-camper-on-leaves", ""),
    ] {
        let document =
            std::fs::read_to_string(common::demo_folder().join(format!("enquiries/{name}.toml"))).unwrap();
        let body = json!({"customer": null, "van": null, "caller": "", "phone": null, "question": "", "document": document, "state": "open"});
        let (_, kept) = send(&router, &cookie, "/api/v1/enquiries", Some(body)).await;
        let place = format!("/api/v1/enquiries/{}", kept["id"].as_str().unwrap());
        let ask = |what: String| {
            let (router, cookie, place) = (&router, &cookie, &place);
            async move { send(router, cookie, &format!("{place}/{what}"), None).await.1 }
        };
        assert_eq!(ask("shortlist".into()).await, printed(&["shortlist", name]), "{name}");
        assert_eq!(ask("prediction".into()).await, printed(&["predict", name]), "{name}");
        if !kit.is_empty() {
            assert_eq!(ask(format!("set-up?kit={kit}")).await, printed(&["set-up", name, "--kit", kit]));
            assert_eq!(ask(format!("ride?kits={kit}")).await, printed(&["ride", name, "--kit", kit]));
            assert_eq!(ask(format!("wheels?kit={kit}")).await, printed(&["wheels", name, "--kit", kit]));
            let why = printed(&["why", name, "arch_height_mm", "--kit", kit]);
            assert_eq!(ask(format!("why?figure=arch_height_mm&kit={kit}")).await, why);
            let given = send(
                &router,
                &cookie,
                &format!("{place}/answers"),
                Some(json!({"about": "set_up", "kit": kit})),
            )
            .await
            .1;
            let place = format!("/api/v1/answers/{}/difference", given["id"].as_str().unwrap());
            assert_eq!(send(&router, &cookie, &place, None).await.1["differences"], json!([]));
        }
    }
    store.close().await;
    drop(std::fs::remove_file(file));
}
