//! The gate before every handler: whose host, which route, foreign pages, who asks, what they may; and what every
//! reply carries, refusals included.

use std::net::{IpAddr, SocketAddr};

use axum::body::{Body, to_bytes};
use axum::extract::{ConnectInfo, MatchedPath, Request, State};
use axum::http::header::{ALLOW, CACHE_CONTROL, CONTENT_LENGTH, CONTENT_TYPE, HOST, LOCATION, ORIGIN};
use axum::http::request::Parts;
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use serde_json::Value;
use store::records::Role;
use workshop::facts::Language;
use workshop::units::Units;
use workshop::wording::Manner;

use crate::access::{access, allows, methods, needs_key};
use crate::app::{App, HeldKey};
use crate::audit::note_refusal;
use crate::caller::{Caller, asked_language, caller_of, key_of, named_language};
use crate::problem::{PROBLEM_JSON, Problem, Quoted};

/// On every reply.
const HEADERS: [(&str, &str); 8] = [
    (
        "content-security-policy",
        "default-src 'none'; script-src 'self'; connect-src 'self'; style-src 'self'; img-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
    ),
    ("x-content-type-options", "nosniff"),
    ("x-frame-options", "DENY"),
    ("referrer-policy", "no-referrer"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    ("permissions-policy", "camera=(), geolocation=(), microphone=(), payment=(), usb=()"),
    ("x-robots-tag", "noindex"),
];

/// Adds what every reply carries, and makes a problem body of a refusal that has none.
pub(crate) async fn dress(request: Request, next: Next) -> Response {
    let of_api = request.uri().path().starts_with("/api/");
    let language = asked_language(request.headers());
    let reply = next.run(request).await;
    let mut reply = if of_api { with_problem_body(reply).await } else { reply };
    if let Some(problem) = reply.extensions_mut().remove::<Problem>() {
        reply = said_in(language, &problem, &reply);
    }
    for (name, value) in HEADERS {
        // a file carries a policy of its own
        reply.headers_mut().entry(HeaderName::from_static(name)).or_insert(HeaderValue::from_static(value));
    }
    reply.headers_mut().entry(CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
    reply
}

/// A refusal in the reader's language; what else its head says stays.
fn said_in(language: Language, problem: &Problem, reply: &Response) -> Response {
    let mut said = problem.reply(language);
    if let Some(allow) = reply.headers().get(ALLOW) {
        said.headers_mut().insert(ALLOW, allow.clone());
    }
    said
}

async fn with_problem_body(reply: Response) -> Response {
    let status = reply.status();
    let kind = reply.headers().get(CONTENT_TYPE).and_then(|kind| kind.to_str().ok()).unwrap_or_default();
    if !(status.is_client_error() || status.is_server_error()) || kind == PROBLEM_JSON {
        return reply;
    }
    const LONGEST_WORDS: usize = 4096;
    let words = to_bytes(reply.into_body(), LONGEST_WORDS).await.unwrap_or_default();
    let words = String::from_utf8_lossy(&words).into_owned();
    let words =
        if words.is_empty() { status.canonical_reason().unwrap_or("refused").to_owned() } else { words };
    Problem::new(status, "refused", Quoted(words)).into_response()
}

/// Lets a request through or says why not.
pub(crate) async fn gate(State(app): State<App>, request: Request, next: Next) -> Response {
    let (mut parts, body) = request.into_parts();
    let route = parts.extensions.get::<MatchedPath>().map(|path| path.as_str().to_owned());
    match admitted(&app, &mut parts, route.as_deref()).await {
        Ok(admitted) => {
            let path = parts.uri.path().to_owned();
            let reply = next.run(Request::from_parts(parts, body)).await;
            let reply = in_its_form(&path, reply, admitted.manner.language);
            let reply = as_chosen(&app, reply, admitted.manner).await;
            if admitted.for_the_bay { without_prices(reply).await } else { reply }
        }
        Err(reply) => *reply,
    }
}

type Refusal = Box<Response>;

struct Admitted {
    /// How who asks reads.
    manner: Manner,
    /// Whether the reply is for someone who sees no prices and telephone numbers.
    for_the_bay: bool,
    /// The request's key, held until it is answered.
    _key: Option<HeldKey>,
}

async fn admitted(app: &App, request: &mut Parts, route: Option<&str>) -> Result<Admitted, Refusal> {
    let path = request.uri.path().to_owned();
    let language = asked_language(&request.headers);
    let refuse = |problem: Problem| Box::new(page_or_problem(&path, problem, language));
    if !is_our_host(app, request) {
        let words = ("this address is not one of this server", "diese Adresse gehört nicht zu diesem Server");
        return Err(refuse(Problem::new(StatusCode::MISDIRECTED_REQUEST, "wrong_host", words)));
    }
    let Some(route) = route else { return Err(refuse(Problem::no_page())) };
    let method = request.method.clone();
    let Some(access) = access(&method, route) else {
        let mut reply = refuse(Problem::new(
            StatusCode::METHOD_NOT_ALLOWED,
            "method_not_allowed",
            (format!("{method} is not possible here"), format!("{method} ist hier nicht möglich")),
        ));
        if let Ok(allow) = HeaderValue::from_str(&methods(route).join(", ")) {
            reply.headers_mut().insert(ALLOW, allow);
        }
        return Err(reply);
    };
    let caller = caller_of(app, &request.headers).await.map_err(refuse)?;
    let by_cookie = caller.as_ref().is_some_and(|caller| caller.by_cookie);
    if !matches!(method, Method::GET | Method::HEAD) && is_foreign(app, &request.headers, by_cookie) {
        if let Some(caller) = &caller {
            note_refusal(app, caller, &method, route, "foreign_site").await;
        }
        let words = ("this request came from another site", "diese Anfrage kam von einer anderen Seite");
        return Err(refuse(Problem::new(StatusCode::FORBIDDEN, "foreign_site", words)));
    }
    if !allows(access, &method, caller.as_ref()) {
        let Some(caller) = caller else {
            let is_page = method == Method::GET && !route.starts_with("/api/");
            return Err(if is_page { Box::new(to_sign_in()) } else { refuse(Problem::not_signed_in()) });
        };
        note_refusal(app, &caller, &method, route, "not_allowed").await;
        let words = ("you may not do this", "das dürfen Sie nicht");
        return Err(refuse(Problem::new(StatusCode::FORBIDDEN, "not_allowed", words)));
    }
    let key = match &caller {
        Some(caller) if needs_key(method.as_str(), route) => {
            Some(held_key(app, &request.headers, caller).map_err(refuse)?)
        }
        _ => None,
    };
    let for_the_bay =
        caller.as_ref().is_some_and(|caller| matches!(caller.role, Role::Fitter | Role::Reader));
    let own = caller.as_ref().and_then(|caller| caller.language.as_deref());
    let language = own.map_or(language, named_language);
    let manner = caller.as_ref().map_or(language.into(), |caller| caller.manner(language));
    if let Some(caller) = caller {
        request.extensions.insert(caller);
    }
    Ok(Admitted { manner, for_the_bay, _key: key })
}

/// Holds the request's key: another with the same key waits for its reply, and a write without a key is not begun.
fn held_key(app: &App, headers: &HeaderMap, caller: &Caller) -> Result<HeldKey, Problem> {
    let Some(key) = key_of(headers, &caller.user)? else {
        let words = (
            "send a new Idempotency-Key with each new request, and the same one when you repeat it",
            "senden Sie mit jeder neuen Anfrage einen neuen Idempotency-Key und denselben, wenn Sie sie wiederholen",
        );
        return Err(Problem::new(StatusCode::BAD_REQUEST, "idempotency_key_missing", words));
    };
    app.hold_key(&key).ok_or_else(Problem::still_running)
}

fn to_sign_in() -> Response {
    (StatusCode::SEE_OTHER, [(LOCATION, "/sign-in")]).into_response()
}

/// What a handler refused: a page where pages are.
fn in_its_form(path: &str, mut reply: Response, language: Language) -> Response {
    match reply.extensions_mut().remove::<Problem>() {
        Some(problem) => page_or_problem(path, problem, language),
        None => reply,
    }
}

/// A page in the units and numbers that its reader chose.
async fn as_chosen(app: &App, reply: Response, manner: Manner) -> Response {
    let kind = reply.headers().get(CONTENT_TYPE).and_then(|kind| kind.to_str().ok()).unwrap_or_default();
    if manner == manner.language.into() || !kind.starts_with("text/html") {
        return reply;
    }
    let (mut parts, body) = reply.into_parts();
    let read = to_bytes(body, usize::MAX).await.map(|bytes| String::from_utf8_lossy(&bytes).into_owned());
    let Ok(html) = read else {
        return Problem::internal(&"a reply could not be read").into_response();
    };
    parts.headers.remove(CONTENT_LENGTH);
    // a catalogue that does not read has no names
    let catalogue = if manner.units == Units::Metric { None } else { app.catalogue().await.ok() };
    let names = catalogue.as_ref().map_or(&[][..], |read| &read.names.0);
    Response::from_parts(parts, Body::from(crate::pages::as_read(&html, manner, names)))
}

fn page_or_problem(path: &str, problem: Problem, language: Language) -> Response {
    if path.starts_with("/api/") {
        problem.into_response()
    } else {
        crate::pages::refusal(&problem, language)
    }
}

/// A page elsewhere whose name was made to lead here (DNS rebinding) names its own host. Only addresses, this
/// machine, names of the local network and the public name are answered.
fn is_our_host(app: &App, request: &Parts) -> bool {
    let host = request.headers.get(HOST).and_then(|host| host.to_str().ok());
    let Some(host) = host.or_else(|| request.uri.authority().map(|a| a.as_str())) else { return false };
    if app.reach.public_host() == Some(host) {
        return true;
    }
    let name = match host.strip_prefix('[') {
        Some(v6) => v6.split(']').next().unwrap_or_default(),
        None => host.rsplit_once(':').map_or(host, |(name, _)| name),
    };
    name.parse::<IpAddr>().is_ok() || name.ends_with(".local") || (!name.is_empty() && !name.contains('.'))
}

/// Whether a write was sent by a page of another site. Browsers say so; a cookie without either header is doubted.
fn is_foreign(app: &App, headers: &HeaderMap, by_cookie: bool) -> bool {
    let text = |name: &str| headers.get(name).map(|value| value.to_str().unwrap_or("?").to_owned());
    let site = text("sec-fetch-site");
    let origin = text(ORIGIN.as_str());
    match site.as_deref() {
        // no page can set this header; beside our referrer policy a browser gives the origin of its own forms as null
        Some("same-origin") => return false,
        Some("none") | None => {}
        Some(_) => return true,
    }
    match origin {
        Some(origin) => {
            let host = text(HOST.as_str()).unwrap_or_default();
            let ours = app.reach.public_url.as_deref().is_some_and(|url| url.trim_end_matches('/') == origin);
            !ours && origin != format!("http://{host}")
        }
        None => by_cookie && site.is_none(),
    }
}

/// Fields that a fitter does not see, wherever they stand; also what ends in `_minor`, which is money.
const NOT_FOR_THE_BAY: [&str; 6] = ["phone", "phones", "email", "address", "quote", "read_aloud"];

/// Takes prices and telephone numbers out of a reply. The routes give none to fitters; this holds if one ever does.
async fn without_prices(reply: Response) -> Response {
    let is_json = reply.headers().get(CONTENT_TYPE).is_some_and(|kind| kind == "application/json");
    if !is_json {
        return reply;
    }
    let (mut parts, body) = reply.into_parts();
    let Ok(bytes) = to_bytes(body, usize::MAX).await else {
        return Problem::internal(&"a reply could not be read").into_response();
    };
    let Ok(mut value) = serde_json::from_slice::<Value>(&bytes) else {
        return Problem::internal(&"a reply is not JSON").into_response();
    };
    strip(&mut value);
    parts.headers.remove(CONTENT_LENGTH);
    Response::from_parts(parts, Body::from(value.to_string()))
}

fn strip(value: &mut Value) {
    match value {
        Value::Object(fields) => {
            fields.retain(|name, _| !name.ends_with("_minor") && !NOT_FOR_THE_BAY.contains(&name.as_str()));
            fields.values_mut().for_each(strip);
        }
        Value::Array(items) => items.iter_mut().for_each(strip),
        _ => {}
    }
}

/// Where a request comes from, for counting tries.
pub(crate) fn address(extensions: &axum::http::Extensions) -> String {
    let found = extensions.get::<ConnectInfo<SocketAddr>>();
    found.map_or_else(|| "unknown".to_owned(), |ConnectInfo(from)| from.ip().to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_prices_and_telephone_numbers_are_taken_out_at_any_depth() {
        let mut value = serde_json::json!({
            "records": [{"body": {"title": "x", "phones": ["1"], "lines": [{"net_minor": 5, "text": "t"}]}}],
            "total_minor": 3, "email": "a",
        });
        strip(&mut value);
        assert_eq!(
            value,
            serde_json::json!({"records": [{"body": {"title": "x", "lines": [{"text": "t"}]}}]})
        );
    }
}
