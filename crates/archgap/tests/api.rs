//! The API gives the same figures as the command line.

#![allow(clippy::unwrap_used, clippy::panic)]

#[allow(dead_code)] // some helpers are for other tests
mod common;

use std::sync::atomic::{AtomicU32, Ordering};

use axum::body::{Body, to_bytes};
use axum::http::Request;
use serde_json::{Value, json};
use server::{App, Reach, demo, machine_clock, new_set_up_code, router};
use store::{By, Store};
use tower::ServiceExt;

static NEXT_KEY: AtomicU32 = AtomicU32::new(0);

async fn send(router: &axum::Router, cookie: &str, path: &str, body: Option<Value>) -> (String, Value) {
    let method = if body.is_some() { "POST" } else { "GET" };
    let request =
        Request::builder().method(method).uri(path).header("host", "127.0.0.1").header("cookie", cookie);
    let request = request.header("origin", "http://127.0.0.1").header("content-type", "application/json");
    let key = NEXT_KEY.fetch_add(1, Ordering::Relaxed).to_string();
    let request = request.header("idempotency-key", key);
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

/// The demo's enquiries, by name, with their documents.
fn enquiries() -> Vec<(String, String)> {
    let folder = common::demo_folder().join("enquiries");
    let mut found: Vec<(String, String)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .map(|path| {
            let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
            (name, std::fs::read_to_string(path).unwrap())
        })
        .collect();
    found.sort();
    found
}

/// A workshop with the demo's catalogue, and its owner.
struct Desk {
    router: axum::Router,
    store: Store,
    cookie: String,
    file: std::path::PathBuf,
}

impl Desk {
    async fn open(name: &str) -> Self {
        let file = std::env::temp_dir().join(format!("archgap-parity-{name}-{}.db", std::process::id()));
        let store = Store::open(&file.display().to_string()).await.unwrap();
        let app = App::new(store.clone(), Reach::default(), machine_clock());
        demo::first_revision(&store, &By::new("test", "test", 0), &common::demo_files())
            .await
            .unwrap_or_else(|e| panic!("{e}"));
        let router = router(app.clone());
        let code = new_set_up_code(&app).await.unwrap_or_else(|e| panic!("{e}")).unwrap();
        let owner = json!({"code": code, "workshop": "Larchway", "country": "DE", "name": "owner", "shown_name": "Orla", "passphrase": "herring bicycle quarter moon"});
        let (cookie, _) = send(&router, "", "/api/v1/set-up", Some(owner)).await;
        Self { router, store, cookie, file }
    }

    async fn get(&self, path: &str) -> Value {
        send(&self.router, &self.cookie, path, None).await.1
    }

    async fn post(&self, path: &str, body: Value) -> Value {
        send(&self.router, &self.cookie, path, Some(body)).await.1
    }

    /// Keeps an enquiry; its address.
    async fn ask(&self, document: &str) -> String {
        let body = json!({"customer": null, "van": null, "caller": "", "phone": null, "question": "", "document": document, "state": "open"});
        let kept = self.post("/api/v1/enquiries", body).await;
        format!("/api/v1/enquiries/{}", kept["id"].as_str().unwrap())
    }

    async fn close(self) {
        self.store.close().await;
        drop(std::fs::remove_file(self.file));
    }
}

#[tokio::test]
async fn law_api_and_command_line_give_the_same_figures() {
    let enquiries = enquiries();
    // the program runs beside the server, several at once
    let printed_all: Vec<_> = enquiries
        .iter()
        .map(|(name, _)| name.clone())
        .map(|name| {
            std::thread::spawn(move || (printed(&["shortlist", &name]), printed(&["predict", &name])))
        })
        .collect();
    let desk = Desk::open("all").await;
    for ((name, document), printed) in enquiries.iter().zip(printed_all) {
        let place = desk.ask(document).await;
        let (by_shortlist, by_prediction) = (format!("{place}/shortlist"), format!("{place}/prediction"));
        let (shortlist, prediction) = tokio::join!(desk.get(&by_shortlist), desk.get(&by_prediction));
        assert_eq!((shortlist, prediction), printed.join().unwrap(), "{name}");
    }
    desk.close().await;
}

#[tokio::test]
async fn law_api_and_command_line_tell_the_same_of_one_kit() {
    let desk = Desk::open("kit").await;
    let enquiries = enquiries();
    for (name, kit, figure) in [
        ("camper-low-at-the-back", "tessavar-four-collars", "arch_height_mm"),
        ("lower-for-the-garage", "hasterby-low-deck-leaf-40", "verdict"),
    ] {
        let (_, document) = enquiries.iter().find(|(found, _)| found == name).unwrap();
        let place = desk.ask(document).await;
        let ask = |what: String| {
            let (desk, place) = (&desk, &place);
            async move { desk.get(&format!("{place}/{what}")).await }
        };
        assert_eq!(
            ask(format!("set-up?kit={kit}")).await,
            printed(&["set-up", name, "--kit", kit]),
            "{name}"
        );
        assert_eq!(ask(format!("ride?kits={kit}")).await, printed(&["ride", name, "--kit", kit]), "{name}");
        assert_eq!(
            ask(format!("wheels?kit={kit}")).await,
            printed(&["wheels", name, "--kit", kit]),
            "{name}"
        );
        let why = printed(&["why", name, figure, "--kit", kit]);
        assert_eq!(ask(format!("why?figure={figure}&kit={kit}")).await, why, "{name}");
        let given = desk.post(&format!("{place}/answers"), json!({"about": "set_up", "kit": kit})).await;
        let given = given["id"].as_str().unwrap();
        let difference = desk.get(&format!("/api/v1/answers/{given}/difference")).await;
        assert_eq!(difference["differences"], json!([]), "{name}");
        if name == "camper-low-at-the-back" {
            let correction = correction(&desk, given, kit).await;
            assert_eq!(correction, printed(&["correct", "camper-after-fitting"]));
        }
    }
    desk.close().await;
}

/// What the API says of the demo's ramp record of the camper: booked, its sheet issued, its heights kept.
async fn correction(desk: &Desk, answer: &str, kit: &str) -> Value {
    let customer = json!({"name": "Tamsin Holbrook", "phones": [], "email": null, "address": [], "language": "en", "notes": ""});
    let customer = desk.post("/api/v1/customers", customer).await["id"].clone();
    let van = json!({"customer": customer, "plate": "QX1", "vehicle": null, "grade": null, "vin": null, "year": null,
        "description": "", "weighings": [], "lip_offset_mm": null, "as_found": [], "fitted_kit": null, "notes": ""});
    let van = desk.post("/api/v1/vans", van).await["id"].clone();
    let free = desk.get("/api/v1/diary/first-free?minutes_nine_in_ten=60").await;
    let job = json!({"customer": customer, "van": van, "quote": null, "title": "collars", "operations": [], "parts": [],
        "ramp": free["ramp"], "from_ms": free["from_ms"], "minutes_nine_in_ten": 60});
    let job = desk.post("/api/v1/jobs", job).await["id"].clone();
    let sheet = desk.post("/api/v1/set-up-sheets", json!({"job": job, "answer": answer})).await["id"].clone();
    let record = json!({"job": job, "sheet": sheet, "stage": "after_fitting", "kit": kit, "settled": "rolled_and_bounced",
        "bushes_reclamped": true, "load_as_listed": true, "springs_settled": false,
        "collar_mm": [59.0, 59.0, 31.0, 31.0],
        "readings_mm": [[383.0, 386.0, 369.0, 374.0], [384.0, 387.0, 370.0, 374.0]],
        "floor_rise_mm": [0.0, 1.0, 2.0, 0.0], "corner_kg": null, "notes": ""});
    let record = desk.post("/api/v1/ramp-records", record).await["id"].clone();
    desk.get(&format!("/api/v1/ramp-records/{}/correction", record.as_str().unwrap())).await
}
