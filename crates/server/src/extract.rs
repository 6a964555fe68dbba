//! What requests carry: bodies, the version that was seen, ids, and what replies carry.

use axum::body::Bytes;
use axum::extract::{FromRequest, FromRequestParts, Path, Query, Request};
use axum::http::header::{CONTENT_TYPE, ETAG, IF_MATCH, IF_NONE_MATCH, LOCATION};
use axum::http::request::Parts;
use axum::http::{HeaderMap, HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;
use store::{Id, Stored};

use crate::app::App;
use crate::problem::{Handled, Problem, Quoted};
use crate::wire::kept_as;

/// A JSON body, read strictly.
pub(crate) struct Body<T>(pub(crate) T);

impl<T: DeserializeOwned> FromRequest<App> for Body<T> {
    type Rejection = Problem;

    async fn from_request(request: Request, app: &App) -> Handled<Self> {
        let kind =
            request.headers().get(CONTENT_TYPE).and_then(|kind| kind.to_str().ok()).unwrap_or_default();
        if kind.split(';').next().map(str::trim) != Some("application/json") {
            let words = ("the body must be application/json", "der Inhalt muss application/json sein");
            return Err(Problem::new(StatusCode::UNSUPPORTED_MEDIA_TYPE, "not_json", words));
        }
        let bytes = Bytes::from_request(request, app).await.map_err(|rejected| {
            Problem::new(rejected.status(), "body_not_read", Quoted(rejected.body_text()))
        })?;
        let value: Value = serde_json::from_slice(&bytes).map_err(|e| {
            Problem::new(
                StatusCode::BAD_REQUEST,
                "not_json",
                (format!("the body is not JSON: {e}"), format!("der Inhalt ist kein JSON: {e}")),
            )
        })?;
        if let Some(pointer) = nul_in(&value, "") {
            return Err(Problem::invalid(
                &pointer,
                (
                    "text holds a NUL sign, which cannot be kept",
                    "der Text enthält ein NUL-Zeichen, das nicht aufbewahrt werden kann",
                ),
            ));
        }
        read(value).map(Self)
    }
}

/// Reads a value; a fault points to its field.
pub(crate) fn read<T: DeserializeOwned>(value: Value) -> Handled<T> {
    serde_path_to_error::deserialize(value).map_err(|fault| faulty(&fault))
}

fn faulty(fault: &serde_path_to_error::Error<serde_json::Error>) -> Problem {
    use serde_path_to_error::Segment;
    let steps = fault.path().iter().map(|step| match step {
        Segment::Seq { index } => format!("/{index}"),
        Segment::Map { key } => format!("/{}", key.replace('~', "~0").replace('/', "~1")),
        Segment::Enum { variant } => format!("/{variant}"),
        Segment::Unknown => String::new(),
    });
    Problem::invalid(&steps.collect::<String>(), Quoted(fault.inner().to_string()))
}

/// A body as the store keeps it.
pub(crate) fn record<W: Serialize, R: DeserializeOwned>(wire: &W) -> Handled<R> {
    kept_as(wire).map_err(|fault| faulty(&fault))
}

fn nul_in(value: &Value, at: &str) -> Option<String> {
    match value {
        Value::String(text) => text.contains('\0').then(|| at.to_owned()),
        Value::Array(items) => {
            items.iter().enumerate().find_map(|(n, item)| nul_in(item, &format!("{at}/{n}")))
        }
        Value::Object(fields) => fields.iter().find_map(|(name, item)| {
            if name.contains('\0') { Some(at.to_owned()) } else { nul_in(item, &format!("{at}/{name}")) }
        }),
        _ => None,
    }
}

/// The id in the address; one that cannot be names nothing.
pub(crate) struct At(pub(crate) Id);

impl FromRequestParts<App> for At {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Handled<Self> {
        let Path(text) = Path::<String>::from_request_parts(parts, app).await.map_err(|_| {
            Problem::not_found((
                "there is no record with this id",
                "einen Eintrag mit dieser Kennung gibt es nicht",
            ))
        })?;
        text.parse().map(Self).map_err(|_| {
            Problem::not_found((
                "there is no record with this id",
                "einen Eintrag mit dieser Kennung gibt es nicht",
            ))
        })
    }
}

/// Parameters behind the question mark.
pub(crate) struct Ask<T>(pub(crate) T);

impl<T: DeserializeOwned> FromRequestParts<App> for Ask<T> {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Handled<Self> {
        let Query(asked) = Query::<T>::from_request_parts(parts, app)
            .await
            .map_err(|rejected| Problem::invalid("query", Quoted(rejected.body_text())))?;
        Ok(Self(asked))
    }
}

/// The version the writer saw, from `If-Match`.
pub(crate) struct Saw(pub(crate) i64);

impl FromRequestParts<App> for Saw {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, _: &App) -> Handled<Self> {
        let Some(seen) = parts.headers.get(IF_MATCH) else {
            let words = (
                "send the ETag you saw as If-Match, so that nobody's work is overwritten",
                "senden Sie das gesehene ETag als If-Match, damit keine Arbeit überschrieben wird",
            );
            return Err(Problem::new(StatusCode::PRECONDITION_REQUIRED, "if_match_missing", words));
        };
        let seen = seen.to_str().unwrap_or_default();
        let is_tag = seen.len() >= 2 && seen.starts_with(['"', 'W']) && seen.ends_with('"');
        if seen != "*" && !is_tag {
            let words = (
                "If-Match must be an ETag as it was sent",
                "If-Match muss ein ETag sein, wie es gesandt wurde",
            );
            return Err(Problem::new(StatusCode::BAD_REQUEST, "bad_header", words));
        }
        let seen = version_of(seen).ok_or_else(|| {
            let words = (
                "If-Match is not an ETag of this record; read it again",
                "If-Match ist kein ETag dieses Eintrags; lesen Sie ihn noch einmal",
            );
            Problem::new(StatusCode::PRECONDITION_FAILED, "changed_since", words)
        })?;
        Ok(Self(seen))
    }
}

fn version_of(etag: &str) -> Option<i64> {
    etag.strip_prefix('"')?.strip_suffix('"')?.parse().ok()
}

fn etag(version: i64) -> HeaderValue {
    HeaderValue::from_str(&format!("\"{version}\"")).unwrap_or(HeaderValue::from_static("\"0\""))
}

/// A record as a reply, with its version as ETag; 304 where the reader has it already.
pub(crate) fn shown<T: Serialize>(stored: &Stored<T>, headers: &HeaderMap) -> Response {
    let tag = etag(stored.version);
    if headers.get(IF_NONE_MATCH) == Some(&tag) {
        return (StatusCode::NOT_MODIFIED, [(ETAG, tag)]).into_response();
    }
    ([(ETAG, tag)], axum::Json(stored)).into_response()
}

/// A record that was changed.
pub(crate) fn changed<T: Serialize>(stored: &Stored<T>) -> Response {
    ([(ETAG, etag(stored.version))], axum::Json(stored)).into_response()
}

/// A record that was made, with its place.
pub(crate) fn made<T: Serialize>(place: &str, stored: &Stored<T>) -> Response {
    let location = HeaderValue::from_str(&format!("/api/v1/{place}/{}", stored.id));
    let mut reply = (StatusCode::CREATED, [(ETAG, etag(stored.version))], axum::Json(stored)).into_response();
    if let Ok(location) = location {
        reply.headers_mut().insert(LOCATION, location);
    }
    reply
}

/// Where a list goes on, and how much of it is wanted.
#[derive(Debug, serde::Deserialize, utoipa::IntoParams)]
#[into_params(parameter_in = Query)]
pub(crate) struct Paging {
    /// The `next` of the part before.
    #[param(max_length = 120)]
    after: Option<String>,
    /// At most so many records; 50 where absent.
    #[param(minimum = 1, maximum = 200)]
    limit: Option<u32>,
}

impl Paging {
    pub(crate) fn read(&self) -> Handled<(Option<Id>, u32)> {
        let after = self.after.as_deref().map(str::parse).transpose();
        let after = after.map_err(|_| {
            Problem::invalid(
                "after",
                ("after must be the next of the part before", "after muss das next des Teils davor sein"),
            )
        })?;
        let limit = self.limit.unwrap_or(50);
        if !(1..=200).contains(&limit) {
            return Err(Problem::invalid("limit", ("limit must be 1 to 200", "limit muss 1 bis 200 sein")));
        }
        Ok((after, limit))
    }
}
