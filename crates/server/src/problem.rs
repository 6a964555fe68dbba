//! Refusals as problem bodies (RFC 9457): a stable code, words, and pointers to the fields meant.

use axum::http::header::{CONTENT_LANGUAGE, CONTENT_TYPE, RETRY_AFTER, VARY};
use axum::http::{HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use serde::Serialize;
use serde_json::{Map, Value, json};

use workshop::document::Fault;
use workshop::facts::{Language, Words};
use workshop::wording::{Said, fault_line};

use crate::answers::Unanswered;
use crate::store_words::in_german;

/// Media type of a problem body.
pub(crate) const PROBLEM_JSON: &str = "application/problem+json";

/// A result of a handler.
pub(crate) type Handled<T> = Result<T, Problem>;

/// Words for people in both languages: a pair of them, or one text where it is none of our own.
pub(crate) trait InBoth {
    /// The words.
    fn in_both(self) -> Words;
}

impl<E: Into<String>, G: Into<String>> InBoth for (E, G) {
    fn in_both(self) -> Words {
        Words { en: self.0.into(), de: self.1.into() }
    }
}

impl InBoth for Words {
    fn in_both(self) -> Words {
        self
    }
}

/// What another part said in a language of its own.
pub(crate) struct Quoted(pub(crate) String);

impl InBoth for Quoted {
    fn in_both(self) -> Words {
        Words { de: self.0.clone(), en: self.0 }
    }
}

/// One field that is meant, in both languages.
#[derive(Debug, Clone)]
struct FieldFault {
    pointer: String,
    detail: Words,
}

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
    detail: Box<Words>,
    errors: Vec<FieldFault>,
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
    pub(crate) fn new(status: StatusCode, code: &'static str, detail: impl InBoth) -> Self {
        Self {
            status,
            code,
            detail: Box::new(detail.in_both()),
            errors: Vec::new(),
            more: Map::new(),
            retry_after_s: None,
        }
    }

    /// A value that cannot be taken.
    pub(crate) fn invalid(pointer: &str, detail: impl InBoth) -> Self {
        let detail = detail.in_both();
        let mut problem = Self::new(StatusCode::UNPROCESSABLE_ENTITY, "invalid", detail.clone());
        problem.errors.push(FieldFault { pointer: pointer.to_owned(), detail });
        problem
    }

    /// Nothing is there.
    pub(crate) fn not_found(detail: impl InBoth) -> Self {
        Self::new(StatusCode::NOT_FOUND, "not_found", detail)
    }

    /// No page answers at an address.
    pub(crate) fn no_page() -> Self {
        Self::not_found(("there is nothing at this address", "unter dieser Adresse ist nichts"))
    }

    pub(crate) fn too_many(wait_s: i64) -> Self {
        let detail =
            (format!("too many tries; wait {wait_s} s"), format!("zu viele Versuche; warten Sie {wait_s} s"));
        Self::new(StatusCode::TOO_MANY_REQUESTS, "too_many_tries", detail).retry_after(wait_s)
    }

    /// Nobody is signed in.
    pub(crate) fn not_signed_in() -> Self {
        let words = ("sign in first", "melden Sie sich zuerst an");
        Self::new(StatusCode::UNAUTHORIZED, "not_signed_in", words)
    }

    /// The first request with the same key has not been answered yet.
    pub(crate) fn still_running() -> Self {
        let words = (
            "a request with this Idempotency-Key is still being answered; repeat it in a moment",
            "eine Anfrage mit diesem Idempotency-Key wird noch beantwortet; wiederholen Sie sie gleich",
        );
        Self::new(StatusCode::CONFLICT, "still_running", words).retry_after(1)
    }

    /// When to come again, s.
    pub(crate) fn retry_after(mut self, wait_s: i64) -> Self {
        self.retry_after_s = Some(wait_s);
        self
    }

    pub(crate) fn internal(what: &dyn std::fmt::Display) -> Self {
        eprintln!("error: {what}");
        Self::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            "internal",
            (
                "the workshop's memory failed; see the server's log",
                "das Gedächtnis der Werkstatt hat versagt; siehe das Protokoll des Servers",
            ),
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

    #[cfg(test)]
    pub(crate) fn code(&self) -> &'static str {
        self.code
    }

    /// What is wrong, in a language.
    pub fn detail(&self, language: Language) -> &str {
        self.detail.in_language(language)
    }

    /// The refusal as a reply, in a language.
    pub(crate) fn reply(&self, language: Language) -> Response {
        let text = |words: &Words| words.in_language(language).to_owned();
        let errors = self.errors.iter();
        let body = ProblemBody {
            r#type: format!("urn:archgap:problem:{}", self.code),
            title: self.status.canonical_reason().unwrap_or("Refused").to_owned(),
            status: self.status.as_u16(),
            code: self.code.to_owned(),
            detail: text(&self.detail),
            errors: errors
                .map(|fault| FieldProblem { pointer: fault.pointer.clone(), detail: text(&fault.detail) })
                .collect(),
            more: self.more.clone(),
        };
        let body = serde_json::to_string(&body).unwrap_or_default();
        let tag = match language {
            Language::English => "en",
            Language::German => "de",
        };
        let head = [(CONTENT_TYPE, PROBLEM_JSON), (CONTENT_LANGUAGE, tag), (VARY, "accept-language")];
        let mut response = (self.status, head, body).into_response();
        if let Some(wait) = self.retry_after_s {
            response.headers_mut().insert(RETRY_AFTER, HeaderValue::from(wait.max(1)));
        }
        if self.status == StatusCode::UNAUTHORIZED {
            response.headers_mut().insert("www-authenticate", HeaderValue::from_static("Bearer"));
        }
        response
    }

    /// A record that the body names does not stand: that is a fault of the body, not of the address.
    pub(crate) fn of_body(error: store::Error) -> Self {
        match error {
            store::Error::NotFound { kind, id } => {
                let pointer = format!("/{kind}");
                let mut problem = Self::from(store::Error::NotFound { kind, id });
                problem.status = StatusCode::UNPROCESSABLE_ENTITY;
                problem.code = "names_nothing";
                problem.errors.push(FieldFault { pointer, detail: Words::clone(&problem.detail) });
                problem
            }
            other => other.into(),
        }
    }
}

impl std::fmt::Display for Problem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.detail.en)?;
        self.errors
            .iter()
            .filter(|error| error.detail != *self.detail)
            .try_for_each(|error| write!(f, "\n{}", error.detail.en))
    }
}

impl IntoResponse for Problem {
    /// In English; it goes along, so that what dresses replies can say it in the reader's language.
    fn into_response(self) -> Response {
        let mut response = self.reply(Language::English);
        response.extensions_mut().insert(self);
        response
    }
}

impl From<store::Error> for Problem {
    fn from(error: store::Error) -> Self {
        use store::Error as E;
        let words = Words { en: error.to_string(), de: in_german(&error) };
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
                (
                    "this Idempotency-Key was used before for another request; make a new key for a new request",
                    "dieser Idempotency-Key wurde schon für eine andere Anfrage benutzt; eine neue Anfrage braucht einen neuen",
                ),
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

fn german_fault(fault: &Fault) -> String {
    fault_line(Language::German, fault)
}

impl From<Unanswered> for Problem {
    fn from(why: Unanswered) -> Self {
        let english = why.to_string();
        match why {
            Unanswered::Faults(faults) => {
                let german = faults.iter().map(german_fault);
                let words = (english, german.collect::<Vec<_>>().join("\n"));
                let mut problem = Self::new(StatusCode::UNPROCESSABLE_ENTITY, "faults", words);
                problem.errors = faults
                    .iter()
                    .map(|fault| FieldFault {
                        pointer: fault.field.clone(),
                        detail: Words { en: fault.to_string(), de: german_fault(fault) },
                    })
                    .collect();
                problem
            }
            Unanswered::WrongName { field, found, allowed } => {
                let german = format!("{field}: gefunden {}, erlaubt {}", found.de, allowed.de);
                Self::invalid(&field, (english, german))
            }
            Unanswered::NoAnswer(why) => {
                let german = format!("keine Antwort möglich: {}", why.words(Language::German));
                Self::new(StatusCode::UNPROCESSABLE_ENTITY, "no_answer", (english, german))
            }
        }
    }
}
