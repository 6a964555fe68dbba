//! Refusals as problem bodies (RFC 9457): a stable code, words, and pointers to the fields meant.

use axum::http::header::{CONTENT_TYPE, RETRY_AFTER};
use axum::http::{HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use serde::Serialize;
use serde_json::{Map, Value, json};

use crate::answers::Unanswered;

/// Media type of a problem body.
pub(crate) const PROBLEM_JSON: &str = "application/problem+json";

/// A result of a handler.
pub(crate) type Handled<T> = Result<T, Problem>;

/// One field that is meant.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub(crate) struct FieldProblem {
    /// Where, a JSON pointer (RFC 6901) into the body, or the name of a parameter.
    pub pointer: String,
    /// What is wrong and what is allowed.
    pub detail: String,
}

/// Why a request was refused; nothing was changed.
#[derive(Debug, Clone)]
pub struct Problem {
    status: StatusCode,
    code: &'static str,
    detail: String,
    errors: Vec<FieldProblem>,
    more: Map<String, Value>,
    retry_after_s: Option<i64>,
}

/// A problem body as it is sent.
#[derive(Serialize, utoipa::ToSchema)]
#[schema(as = Problem)]
pub(crate) struct ProblemBody {
    /// `urn:archgap:problem:` and the code.
    r#type: String,
    /// The status in words.
    title: String,
    /// The HTTP status.
    status: u16,
    /// A short name that does not change between versions.
    code: String,
    /// What is wrong, for people.
    detail: String,
    /// Fields that are meant.
    errors: Vec<FieldProblem>,
    /// Further facts, by the code.
    #[serde(flatten)]
    #[schema(value_type = Object)]
    more: Map<String, Value>,
}

impl Problem {
    pub(crate) fn new(status: StatusCode, code: &'static str, detail: impl Into<String>) -> Self {
        Self {
            status,
            code,
            detail: detail.into(),
            errors: Vec::new(),
            more: Map::new(),
            retry_after_s: None,
        }
    }

    /// A value that cannot be taken.
    pub(crate) fn invalid(pointer: &str, detail: impl Into<String>) -> Self {
        let detail = detail.into();
        let mut problem = Self::new(StatusCode::UNPROCESSABLE_ENTITY, "invalid", detail.clone());
        problem.errors.push(FieldProblem { pointer: pointer.to_owned(), detail });
        problem
    }

    pub(crate) fn not_found(what: &str) -> Self {
        Self::new(StatusCode::NOT_FOUND, "not_found", format!("there is no {what}"))
    }

    pub(crate) fn too_many(wait_s: i64) -> Self {
        let detail = format!("too many tries; wait {wait_s} s");
        let mut problem = Self::new(StatusCode::TOO_MANY_REQUESTS, "too_many_tries", detail);
        problem.retry_after_s = Some(wait_s);
        problem
    }

    pub(crate) fn internal(what: &dyn std::fmt::Display) -> Self {
        eprintln!("error: {what}");
        Self::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            "internal",
            "the workshop's memory failed; see the server's log",
        )
    }

    /// A fact beside the words.
    pub(crate) fn with(mut self, name: &str, value: Value) -> Self {
        self.more.insert(name.to_owned(), value);
        self
    }

    pub(crate) fn status(&self) -> StatusCode {
        self.status
    }

    pub(crate) fn detail(&self) -> &str {
        &self.detail
    }

    /// A record that the body names does not stand: that is a fault of the body, not of the address.
    pub(crate) fn of_body(error: store::Error) -> Self {
        match error {
            store::Error::NotFound { kind, id } => {
                let detail = format!("there is no {kind} {id}");
                let mut problem =
                    Self::new(StatusCode::UNPROCESSABLE_ENTITY, "names_nothing", detail.clone());
                problem.errors.push(FieldProblem { pointer: format!("/{kind}"), detail });
                problem
            }
            other => other.into(),
        }
    }
}

impl std::fmt::Display for Problem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.detail)?;
        self.errors
            .iter()
            .filter(|error| error.detail != self.detail)
            .try_for_each(|error| write!(f, "\n{}", error.detail))
    }
}

impl IntoResponse for Problem {
    fn into_response(self) -> Response {
        let body = ProblemBody {
            r#type: format!("urn:archgap:problem:{}", self.code),
            title: self.status.canonical_reason().unwrap_or("Refused").to_owned(),
            status: self.status.as_u16(),
            code: self.code.to_owned(),
            detail: self.detail,
            errors: self.errors,
            more: self.more,
        };
        let body = serde_json::to_string(&body).unwrap_or_default();
        let mut response = (self.status, [(CONTENT_TYPE, PROBLEM_JSON)], body).into_response();
        if let Some(wait) = self.retry_after_s {
            response.headers_mut().insert(RETRY_AFTER, HeaderValue::from(wait.max(1)));
        }
        if self.status == StatusCode::UNAUTHORIZED {
            response.headers_mut().insert("www-authenticate", HeaderValue::from_static("Bearer"));
        }
        response
    }
}

impl From<store::Error> for Problem {
    fn from(error: store::Error) -> Self {
        use store::Error as E;
        let words = error.to_string();
        let code = error.code();
        match error {
            E::NotFound { .. } | E::NoSuchDeed(_) => Self::new(StatusCode::NOT_FOUND, code, words),
            E::Conflict(conflict) => {
                let parsed = |text: &str| serde_json::from_str(text).unwrap_or(Value::Null);
                Self::new(StatusCode::PRECONDITION_FAILED, "changed_since", words)
                    .with("stands", json!(conflict.stands))
                    .with("mine", parsed(&conflict.mine))
                    .with("theirs", parsed(&conflict.theirs))
            }
            E::KeyUsedOtherwise { .. } => Self::new(
                StatusCode::UNPROCESSABLE_ENTITY,
                code,
                "this Idempotency-Key was used before for another request; make a new key for a new request",
            ),
            E::Invalid { field, .. } => Self::invalid(&format!("/{field}"), words),
            E::Exists { .. }
            | E::StillUsed { .. }
            | E::CannotUndo { .. }
            | E::RampTaken { .. }
            | E::Closed { .. }
            | E::NoDiary
            | E::PartNotThere { .. }
            | E::WrongState { .. } => Self::new(StatusCode::CONFLICT, code, words),
            E::LaterWork(entries) => Self::new(StatusCode::CONFLICT, code, words)
                .with("later", serde_json::to_value(entries).unwrap_or_default()),
            other => Self::internal(&other),
        }
    }
}

impl From<Unanswered> for Problem {
    fn from(why: Unanswered) -> Self {
        let words = why.to_string();
        match why {
            Unanswered::Faults(faults) => {
                let mut problem = Self::new(StatusCode::UNPROCESSABLE_ENTITY, "faults", words);
                problem.errors = faults
                    .iter()
                    .map(|fault| FieldProblem { pointer: fault.field.clone(), detail: fault.to_string() })
                    .collect();
                problem
            }
            Unanswered::WrongName { field, .. } => Self::invalid(&field, words),
            Unanswered::NoAnswer(_) => Self::new(StatusCode::UNPROCESSABLE_ENTITY, "no_answer", words),
        }
    }
}
