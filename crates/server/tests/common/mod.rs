//! A server over a store of its own, with a clock that tests turn.

#![allow(clippy::unwrap_used, clippy::expect_used)] // helpers of tests

use std::sync::Arc;
use std::sync::atomic::{AtomicI64, AtomicU32, Ordering};

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{HeaderMap, Request, StatusCode};
use serde_json::{Value, json};
use server::{App, Reach, new_set_up_code, router};
use store::{By, Store};
use tower::ServiceExt;
use workshop::catalogue::DataFile;

pub(crate) const PASSPHRASE: &str = "herring bicycle quarter moon";
/// A working Monday morning.
pub(crate) const START_MS: i64 = 1_772_442_000_000;

pub(crate) struct House {
    pub(crate) router: Router,
    pub(crate) app: App,
    pub(crate) store: Store,
    pub(crate) now: Arc<AtomicI64>,
}

/// What came back.
pub(crate) struct Reply {
    pub(crate) status: StatusCode,
    pub(crate) headers: HeaderMap,
    pub(crate) text: String,
    pub(crate) bytes: Vec<u8>,
}

impl Reply {
    pub(crate) fn json(&self) -> Value {
        serde_json::from_str(&self.text).unwrap_or_else(|e| panic!("{e}: {} {}", self.status, self.text))
    }

    pub(crate) fn code(&self) -> String {
        self.json()["code"].as_str().unwrap_or_default().to_owned()
    }

    pub(crate) fn cookie(&self) -> String {
        let line = self.headers["set-cookie"].to_str().unwrap();
        line.split(';').next().unwrap().to_owned()
    }
}

impl House {
    pub(crate) async fn new() -> Self {
        static COUNT: AtomicU32 = AtomicU32::new(0);
        let name = format!("server-test-{}-{}.db", std::process::id(), COUNT.fetch_add(1, Ordering::Relaxed));
        let store = Store::open(&std::env::temp_dir().join(name).display().to_string()).await.unwrap();
        Self::over(store, Arc::new(AtomicI64::new(START_MS)))
    }

    /// A server started again over the same store.
    pub(crate) fn over(store: Store, now: Arc<AtomicI64>) -> Self {
        let clock = Arc::clone(&now);
        let app = App::new(store.clone(), Reach::default(), Arc::new(move || clock.load(Ordering::Relaxed)));
        Self { router: router(app.clone()), app, store, now }
    }

    pub(crate) fn wait(&self, seconds: i64) {
        self.now.fetch_add(seconds * 1000, Ordering::Relaxed);
    }

    /// A request as a browser on this site sends it.
    pub(crate) async fn send(
        &self,
        method: &str,
        path: &str,
        headers: &[(&str, &str)],
        body: Option<&str>,
    ) -> Reply {
        self.send_bytes(method, path, headers, body.map(|body| body.as_bytes().to_vec())).await
    }

    /// The same with any bytes.
    pub(crate) async fn send_bytes(
        &self,
        method: &str,
        path: &str,
        headers: &[(&str, &str)],
        body: Option<Vec<u8>>,
    ) -> Reply {
        let mut request = Request::builder().method(method).uri(path);
        let given = |name: &str| headers.iter().any(|(given, _)| given.eq_ignore_ascii_case(name));
        if !given("host") {
            request = request.header("host", "127.0.0.1:8420");
        }
        if method == "POST" && !given("idempotency-key") {
            request = request.header("idempotency-key", new_key());
        }
        let by_program = headers.iter().any(|(name, value)| *name == "authorization" && !value.is_empty());
        if !given("origin") && !by_program {
            request = request.header("origin", "http://127.0.0.1:8420");
        }
        if body.is_some() && !given("content-type") {
            request = request.header("content-type", "application/json");
        }
        for (name, value) in headers.iter().filter(|(_, value)| !value.is_empty()) {
            request = request.header(*name, *value);
        }
        let request = request.body(Body::from(body.unwrap_or_default())).unwrap();
        let reply = self.router.clone().oneshot(request).await.unwrap();
        let (parts, body) = reply.into_parts();
        let bytes = to_bytes(body, usize::MAX).await.unwrap();
        Reply {
            status: parts.status,
            headers: parts.headers,
            text: String::from_utf8_lossy(&bytes).into_owned(),
            bytes: bytes.to_vec(),
        }
    }

    pub(crate) async fn get(&self, cookie: &str, path: &str) -> Reply {
        self.send("GET", path, &[("cookie", cookie)], None).await
    }

    pub(crate) async fn post(&self, cookie: &str, path: &str, body: &Value) -> Reply {
        self.send("POST", path, &[("cookie", cookie)], Some(&body.to_string())).await
    }

    /// A form as a browser sends it; of a name that comes twice the last one counts.
    pub(crate) async fn post_form(&self, cookie: &str, path: &str, boxes: &[(String, String)]) -> Reply {
        let plain = |b: u8| b.is_ascii_alphanumeric() || b"-_.".contains(&b);
        let percent = |text: &str| {
            let signs =
                text.bytes().map(|b| if plain(b) { char::from(b).to_string() } else { format!("%{b:02X}") });
            signs.collect::<String>()
        };
        let pairs: Vec<String> =
            boxes.iter().map(|(name, value)| format!("{}={}", percent(name), percent(value))).collect();
        let headers = [("cookie", cookie), ("content-type", "application/x-www-form-urlencoded")];
        self.send("POST", path, &headers, Some(&pairs.join("&"))).await
    }

    /// Posts what makes a record; its id.
    pub(crate) async fn made(&self, cookie: &str, path: &str, body: &Value) -> String {
        let reply = self.post(cookie, path, body).await;
        assert_eq!(reply.status, StatusCode::CREATED, "{path}: {}", reply.text);
        reply.json()["id"].as_str().unwrap().to_owned()
    }

    /// A file of the demo.
    pub(crate) fn demo_file(path: &str) -> String {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/demo");
        std::fs::read_to_string(folder.join(path)).unwrap()
    }

    /// Gives the workshop the demo's catalogue.
    pub(crate) async fn read_demo(&self) {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/demo");
        let mut files = Vec::new();
        for part in ["", "vehicles", "kits"] {
            for entry in std::fs::read_dir(folder.join(part)).unwrap().map(Result::unwrap) {
                let path = entry.path();
                if path.extension().is_some_and(|end| end == "toml") {
                    let path = path.strip_prefix(&folder).unwrap().display().to_string();
                    files.push(DataFile { text: Self::demo_file(&path), path });
                }
            }
        }
        let by = By::new("test", "test", 0);
        server::demo::first_revision(&self.store, &by, &files).await.unwrap_or_else(|e| panic!("{e}"));
    }

    /// Sets the workshop up; the owner's cookie.
    pub(crate) async fn set_up(&self) -> String {
        let code = new_set_up_code(&self.app).await.unwrap().expect("no owner yet");
        let reply = self.post("", "/api/v1/set-up", &set_up_body(&code)).await;
        assert_eq!(reply.status, StatusCode::OK, "{}", reply.text);
        reply.cookie()
    }

    pub(crate) async fn add_user(&self, owner: &str, name: &str, role: &str) {
        let body = json!({"id": name, "passphrase": PASSPHRASE, "user": {"name": name, "role": role, "language": null, "active": true}});
        let reply = self.post(owner, "/api/v1/users", &body).await;
        assert_eq!(reply.status, StatusCode::CREATED, "{}", reply.text);
    }

    pub(crate) async fn sign_in(&self, name: &str, passphrase: &str) -> Reply {
        self.post("", "/api/v1/sign-in", &json!({"name": name, "passphrase": passphrase})).await
    }

    pub(crate) async fn add_customer(&self, cookie: &str) -> Value {
        let reply = self.post(cookie, "/api/v1/customers", &customer()).await;
        assert_eq!(reply.status, StatusCode::CREATED, "{}", reply.text);
        reply.json()
    }
}

/// The invented workshop's documents as the first revision of the catalogue; the owner's cookie.
pub(crate) async fn with_catalogue(house: &House) -> String {
    let owner = house.set_up().await;
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/demo");
    let mut changes = Vec::new();
    for place in ["", "kits", "vehicles"] {
        for entry in std::fs::read_dir(folder.join(place)).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|ending| ending == "toml") {
                let name = path.file_name().unwrap().to_str().unwrap();
                let within = if place.is_empty() { name.to_owned() } else { format!("{place}/{name}") };
                changes.push(json!({"path": within, "text": std::fs::read_to_string(&path).unwrap()}));
            }
        }
    }
    let body = json!({"changes": changes}).to_string();
    let headers = [("cookie", &*owner), ("if-match", "\"0\"")];
    let made = house.send("POST", "/api/v1/catalogue/revisions", &headers, Some(&body)).await;
    assert_eq!(made.status, StatusCode::CREATED, "{}", made.text);
    owner
}

/// A form as a browser sends it.
pub(crate) async fn send_form(house: &House, cookie: &str, path: &str, boxes: &[(&str, &str)]) -> Reply {
    let coded = |text: &str| -> String {
        text.bytes()
            .map(|b| if b.is_ascii_alphanumeric() { char::from(b).to_string() } else { format!("%{b:02X}") })
            .collect()
    };
    let pairs: Vec<String> =
        boxes.iter().map(|(name, value)| format!("{}={}", coded(name), coded(value))).collect();
    let headers = [("cookie", cookie), ("content-type", "application/x-www-form-urlencoded")];
    house.send("POST", path, &headers, Some(&pairs.join("&"))).await
}

/// A key that no request had.
fn new_key() -> String {
    static COUNT: AtomicU32 = AtomicU32::new(0);
    format!("key-{}", COUNT.fetch_add(1, Ordering::Relaxed))
}

pub(crate) fn set_up_body(code: &str) -> Value {
    json!({"code": code, "workshop": "Larchway", "country": "DE", "name": "owner", "shown_name": "Orla", "passphrase": PASSPHRASE})
}

/// A customer's van; the id of both.
pub(crate) async fn add_van(house: &House, owner: &str) -> (String, String) {
    let customer = house.add_customer(owner).await["id"].as_str().unwrap().to_owned();
    let van = json!({"customer": customer, "plate": "QX1", "vehicle": null, "grade": null, "vin": null, "year": null,
        "description": "", "weighings": [], "lip_offset_mm": null, "as_found": [], "fitted_kit": null, "notes": ""});
    let kept = house.post(owner, "/api/v1/vans", &van).await;
    assert_eq!(kept.status, StatusCode::CREATED, "{}", kept.text);
    (customer, kept.json()["id"].as_str().unwrap().to_owned())
}

pub(crate) fn customer() -> Value {
    json!({"name": "Tamsin Holbrook", "phones": ["01632 960123"], "email": null, "address": [], "language": "en", "notes": ""})
}

/// Method, path and whether `If-Match` is needed, of every operation the API describes.
pub(crate) async fn operations(house: &House) -> Vec<(String, String, bool)> {
    let described = house.get("", "/api/v1/openapi.json").await.json();
    let mut operations = Vec::new();
    for (path, item) in described["paths"].as_object().unwrap() {
        for (method, operation) in item.as_object().unwrap() {
            let parameters = operation["parameters"].as_array().cloned().unwrap_or_default();
            let if_match = parameters.iter().any(|parameter| parameter["name"] == "If-Match");
            operations.push((method.to_uppercase(), path.clone(), if_match));
        }
    }
    operations.sort();
    operations
}

/// Routes that are pages and files.
pub(crate) const PAGES: [(&str, &str); 63] = [
    ("GET", "/"),
    ("GET", "/answer/{code}"),
    ("GET", "/bench"),
    ("GET", "/calendar/{feed}"),
    ("GET", "/calls"),
    ("GET", "/catalogue"),
    ("GET", "/catalogue/document"),
    ("GET", "/import"),
    ("GET", "/rules"),
    ("POST", "/catalogue/document"),
    ("POST", "/import"),
    ("GET", "/counter.js"),
    ("GET", "/diary"),
    ("GET", "/drafts.js"),
    ("GET", "/enquiries"),
    ("GET", "/enquiries/new"),
    ("GET", "/enquiries/{id}"),
    ("GET", "/enquiries/{id}/book"),
    ("GET", "/enquiries/{id}/compare"),
    ("GET", "/enquiries/{id}/quote"),
    ("GET", "/enquiries/{id}/why"),
    ("GET", "/enquiries/{id}/loads"),
    ("GET", "/loads.js"),
    ("POST", "/enquiries/{id}/loads"),
    ("GET", "/health"),
    ("GET", "/icon.svg"),
    ("GET", "/jobs"),
    ("GET", "/jobs/{id}"),
    ("GET", "/jobs/{id}/ramp"),
    ("GET", "/jobs/{id}/set-up-sheet"),
    ("GET", "/me"),
    ("GET", "/postal/{code}"),
    ("GET", "/quotes"),
    ("GET", "/quotes/{id}"),
    ("GET", "/quotes/{id}/paper"),
    ("GET", "/ramp-records/{id}"),
    ("GET", "/search"),
    ("GET", "/set-up"),
    ("GET", "/sign-in"),
    ("GET", "/style.css"),
    ("POST", "/calls/{id}/done"),
    ("POST", "/calls/{id}/later"),
    ("POST", "/enquiries"),
    ("POST", "/enquiries/{id}"),
    ("POST", "/enquiries/{id}/book"),
    ("POST", "/enquiries/{id}/close"),
    ("POST", "/enquiries/{id}/open"),
    ("POST", "/enquiries/{id}/quote"),
    ("POST", "/jobs/{id}/arrived"),
    ("POST", "/jobs/{id}/cancel"),
    ("POST", "/jobs/{id}/move"),
    ("POST", "/jobs/{id}/ramp"),
    ("POST", "/jobs/{id}/sooner"),
    ("POST", "/jobs/{id}/start"),
    ("POST", "/jobs/{id}/wait"),
    ("POST", "/me"),
    ("POST", "/postal/{code}"),
    ("POST", "/quotes/{id}/again"),
    ("POST", "/quotes/{id}/answer"),
    ("POST", "/quotes/{id}/given"),
    ("POST", "/ramp-records/{id}/correction"),
    ("POST", "/set-up"),
    ("POST", "/sign-in"),
];

/// A path with something in the place of each parameter.
pub(crate) fn filled(path: &str, with: &str) -> String {
    let steps = path.split('/').map(|step| match step {
        "{deed}" => "999999",
        step if step.starts_with('{') => with,
        step => step,
    });
    steps.collect::<Vec<_>>().join("/")
}
