//! What was typed into a page's form.

use std::collections::BTreeMap;

use axum::Form;
use axum::extract::{FromRequest, Multipart, Request};
use axum::http::StatusCode;
use axum::http::header::CONTENT_TYPE;
use store::By;

use crate::app::App;
use crate::caller::Caller;
use crate::problem::{Handled, Problem, Quoted};
use crate::secrets::digest;

/// Values of a form's boxes by their names; of a name that comes twice the last one.
#[derive(Debug, Clone, Default)]
pub(crate) struct Posted(BTreeMap<String, String>);

/// A file that came with a form.
#[derive(Debug, Clone)]
pub(crate) struct SentFile {
    /// As its sender calls it, without folders.
    pub(crate) name: String,
    pub(crate) bytes: Vec<u8>,
}

/// A form with files.
#[derive(Debug, Clone, Default)]
pub(crate) struct PostedFiles {
    pub(crate) posted: Posted,
    pub(crate) files: Vec<SentFile>,
}

impl FromRequest<App> for PostedFiles {
    type Rejection = Problem;

    async fn from_request(request: Request, app: &App) -> Handled<Self> {
        let kind = request.headers().get(CONTENT_TYPE).and_then(|kind| kind.to_str().ok());
        if !kind.is_some_and(|kind| kind.starts_with("multipart/form-data")) {
            return Ok(Self { posted: Posted::from_request(request, app).await?, files: Vec::new() });
        }
        let not_read = |status, words| Problem::new(status, "form_not_read", Quoted(words));
        let mut parts = Multipart::from_request(request, app)
            .await
            .map_err(|rejected| not_read(rejected.status(), rejected.body_text()))?;
        let (mut pairs, mut files) = (Vec::new(), Vec::new());
        while let Some(part) = parts.next_field().await.map_err(|e| not_read(e.status(), e.body_text()))? {
            let name = part.name().unwrap_or_default().to_owned();
            let file =
                part.file_name().map(|file| file.rsplit(['/', '\\']).next().unwrap_or(file).to_owned());
            let bytes = part.bytes().await.map_err(|e| not_read(e.status(), e.body_text()))?;
            match file {
                // an empty box of files is sent as a file without a name
                Some(file) if file.is_empty() && bytes.is_empty() => {}
                Some(name) => files.push(SentFile { name, bytes: bytes.to_vec() }),
                None => pairs.push((name, String::from_utf8_lossy(&bytes).into_owned())),
            }
        }
        Ok(Self { posted: Posted::of(pairs)?, files })
    }
}

impl FromRequest<App> for Posted {
    type Rejection = Problem;

    async fn from_request(request: Request, app: &App) -> Handled<Self> {
        let Form(pairs) =
            Form::<Vec<(String, String)>>::from_request(request, app).await.map_err(|rejected| {
                Problem::new(rejected.status(), "form_not_read", Quoted(rejected.body_text()))
            })?;
        Self::of(pairs)
    }
}

impl Posted {
    fn of(pairs: Vec<(String, String)>) -> Handled<Self> {
        if pairs.iter().any(|(name, value)| name.contains('\0') || value.contains('\0')) {
            let words = (
                "text holds a NUL sign, which cannot be kept",
                "ein Text enthält ein NUL-Zeichen, das nicht aufbewahrt werden kann",
            );
            return Err(Problem::new(StatusCode::BAD_REQUEST, "form_not_read", words));
        }
        Ok(Self(pairs.into_iter().collect()))
    }

    /// What was typed into a box, without white space around it; nothing where there is no such box.
    pub(crate) fn get(&self, name: &str) -> &str {
        self.0.get(name).map_or("", |value| value.trim())
    }

    /// Whether nothing was sent, as where a page is looked at for the first time.
    pub(crate) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The version that the page was made with; 0, which none has, where it does not say.
    pub(crate) fn saw(&self) -> i64 {
        self.get("saw").parse().unwrap_or(0)
    }

    /// The writer with the key that the form was made with, if it has one, so that one form is done once.
    pub(crate) fn keyed(&self, by: By, caller: &Caller) -> By {
        match self.get("key") {
            "" => by,
            key => by.with_key(&digest(&format!("{}\n{key}", caller.user))),
        }
    }

    /// The same for a form that is never done without.
    ///
    /// # Errors
    /// Where it came without a key.
    pub(crate) fn surely_keyed(&self, by: By, caller: &Caller) -> Handled<By> {
        if self.get("key").is_empty() {
            let words = (
                "the form came without its key; open it again",
                "das Formular kam ohne seinen Schlüssel; öffnen Sie es neu",
            );
            return Err(Problem::new(StatusCode::BAD_REQUEST, "form_without_key", words));
        }
        Ok(self.keyed(by, caller))
    }

    /// Boxes whose value is not the one that the page was made with, with that value and the new one.
    pub(crate) fn changed(&self) -> impl Iterator<Item = Change<'_>> {
        self.0.iter().filter_map(|(name, value)| {
            let was = self.0.get(&format!("was-{name}"))?.trim();
            let now = value.trim();
            (was != now).then_some(Change { name, was, now })
        })
    }
}

/// A box that was changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Change<'a> {
    /// Name of the box.
    pub(crate) name: &'a str,
    /// Its value when the page was made.
    pub(crate) was: &'a str,
    /// Its value now.
    pub(crate) now: &'a str,
}
