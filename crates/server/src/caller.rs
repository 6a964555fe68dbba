//! Who asks: a signed-in browser, a program with a token, or nobody.

use axum::extract::FromRequestParts;
use axum::http::header::{ACCEPT_LANGUAGE, AUTHORIZATION, COOKIE};
use axum::http::request::Parts;
use axum::http::{HeaderMap, StatusCode};
use store::records::{Role, User};
use store::{By, Id, SecretPurpose};
use workshop::facts::Language;
use workshop::units::Units;
use workshop::wording::{DecimalSign, Manner};

use crate::app::App;
use crate::problem::{Handled, Problem};
use crate::secrets::digest;

/// Scope of a browser signed in with a passphrase.
pub(crate) const FULL: &str = "full";
/// Scope of a browser on an enrolled device, signed in with a PIN: what a fitter may do, whoever it is.
pub(crate) const BAY: &str = "bay";
/// Scope of a token that only reads.
pub(crate) const READ: &str = "read";
/// Scope of a token that reads and writes as its user, but leaves users, tokens, devices and settings alone.
pub(crate) const WRITE: &str = "write";

/// Who asks.
#[derive(Debug, Clone)]
pub(crate) struct Caller {
    /// Name to sign in with.
    pub(crate) user: Id,
    /// What may be done now; with a PIN never more than a fitter.
    pub(crate) role: Role,
    /// Name of the device, or `token NAME`.
    pub(crate) device: String,
    /// The session or token.
    pub(crate) secret: Id,
    /// Its scope.
    pub(crate) scope: String,
    /// Whether it came by a cookie, which a foreign page could make a browser send.
    pub(crate) by_cookie: bool,
    /// Language of pages.
    pub(crate) language: Option<String>,
    /// Units of pages, by their name in records.
    pub(crate) units: Option<String>,
    /// Decimal sign of pages, likewise.
    pub(crate) decimal_sign: Option<String>,
}

impl Caller {
    /// How figures are read, in a language.
    pub(crate) fn manner(&self, language: Language) -> Manner {
        let named = |(name, sign)| (self.decimal_sign.as_deref() == Some(name)).then_some(sign);
        let decimal = DecimalSign::CHOICES.into_iter().find_map(named);
        Manner { language, units: named_units(self.units.as_deref().unwrap_or_default()), decimal }
    }
}

/// Names of units in records and forms.
pub(crate) const INCHES: &str = "inches";
pub(crate) const METRIC: &str = "millimetres";

pub(crate) fn named_units(name: &str) -> Units {
    if name == INCHES { Units::Inches } else { Units::Metric }
}

/// Name of the session cookie; the prefix makes browsers refuse it without HTTPS.
pub(crate) fn session_cookie(app: &App) -> &'static str {
    if app.reach.is_https() { "__Host-archgap" } else { "archgap" }
}

/// Name of the cookie of an enrolled device.
pub(crate) fn device_cookie(app: &App) -> &'static str {
    if app.reach.is_https() { "__Host-archgap-device" } else { "archgap-device" }
}

/// A cookie's value.
pub(crate) fn cookie<'a>(headers: &'a HeaderMap, name: &str) -> Option<&'a str> {
    headers
        .get_all(COOKIE)
        .iter()
        .filter_map(|line| line.to_str().ok())
        .flat_map(|line| line.split(';'))
        .filter_map(|pair| pair.trim().split_once('='))
        .find_map(|(found, value)| (found == name).then_some(value))
}

pub(crate) fn named_language(name: &str) -> Language {
    if name.starts_with("de") { Language::German } else { Language::English }
}

/// The first language a reader names that there is.
pub(crate) fn asked_language(headers: &HeaderMap) -> Language {
    let asked = headers.get(ACCEPT_LANGUAGE).and_then(|value| value.to_str().ok()).unwrap_or_default();
    let known = asked.split(',').map(str::trim).find(|name| name.starts_with("de") || name.starts_with("en"));
    named_language(known.unwrap_or("en"))
}

/// A `Set-Cookie` line; an age of 0 takes the cookie away.
pub(crate) fn set_cookie(app: &App, name: &str, value: &str, max_age_s: i64) -> String {
    let secure = if app.reach.is_https() { "; Secure" } else { "" };
    format!("{name}={value}; Path=/; Max-Age={max_age_s}; HttpOnly; SameSite=Strict{secure}")
}

/// Who asks, by token or cookie; none where neither opens anything.
pub(crate) async fn caller_of(app: &App, headers: &HeaderMap) -> Handled<Option<Caller>> {
    let bearer = headers.get(AUTHORIZATION).map(|value| value.to_str().unwrap_or_default());
    let (secret, purpose) = match bearer {
        Some(bearer) => (bearer.strip_prefix("Bearer ").unwrap_or_default(), SecretPurpose::Token),
        None => (cookie(headers, session_cookie(app)).unwrap_or_default(), SecretPurpose::Session),
    };
    if secret.is_empty() {
        return Ok(None);
    }
    let Some(state) = app.store.use_secret(&digest(secret), purpose, app.now_ms()).await? else {
        return Ok(None);
    };
    let user: Id = state.owner.parse()?;
    let body = match app.store.get::<User>(&user).await {
        Ok(kept) if kept.body.active => kept.body,
        Ok(_) | Err(store::Error::NotFound { .. }) => return Ok(None),
        Err(e) => return Err(e.into()),
    };
    let role = match (state.scope.as_str(), body.role) {
        (BAY, Role::Owner | Role::Office) => Role::Fitter,
        (_, role) => role,
    };
    Ok(Some(Caller {
        user,
        role,
        device: state.device,
        secret: state.id,
        scope: state.scope,
        by_cookie: purpose == SecretPurpose::Session,
        language: body.language,
        units: body.units,
        decimal_sign: body.decimal_sign,
    }))
}

impl FromRequestParts<App> for Caller {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, _: &App) -> Handled<Self> {
        parts.extensions.get::<Self>().cloned().ok_or_else(Problem::not_signed_in)
    }
}

/// Who writes, with the `Idempotency-Key` and the `Because` of the request.
#[derive(Debug, Clone)]
pub(crate) struct Writer(pub(crate) By);

const LONGEST_KEY: usize = 200;

impl FromRequestParts<App> for Writer {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Handled<Self> {
        let caller = Caller::from_request_parts(parts, app).await?;
        let mut by = By::new(caller.user.as_str(), &caller.device, app.now_ms());
        by.key = key_of(&parts.headers, &caller.user)?;
        if let Some(why) = text_header(&parts.headers, "because")? {
            by = by.because(why);
        }
        Ok(Self(by))
    }
}

/// The `Idempotency-Key` of a request as the store is given it; keys of different people never meet.
pub(crate) fn key_of(headers: &HeaderMap, user: &Id) -> Handled<Option<String>> {
    let Some(key) = text_header(headers, "idempotency-key")? else { return Ok(None) };
    if key.is_empty() || key.len() > LONGEST_KEY {
        return Err(bad_header("Idempotency-Key", "1 to 200 signs", "1 bis 200 Zeichen"));
    }
    Ok(Some(digest(&format!("{user}\n{key}"))))
}

impl Writer {
    /// The same for a further deed of the same request.
    pub(crate) fn further(&self, step: &str) -> By {
        further(&self.0, step)
    }
}

/// A writer for a further deed of the same request or form.
pub(crate) fn further(by: &By, step: &str) -> By {
    let mut by = by.clone();
    by.key = by.key.map(|key| digest(&format!("{key}\n{step}")));
    by
}

fn text_header<'a>(headers: &'a HeaderMap, name: &str) -> Handled<Option<&'a str>> {
    headers
        .get(name)
        .map(|value| value.to_str().map_err(|_| bad_header(name, "plain ASCII", "reines ASCII")))
        .transpose()
}

fn bad_header(name: &str, allowed: &str, german: &str) -> Problem {
    let words = (format!("{name} must be {allowed}"), format!("{name} muss sein: {german}"));
    Problem::new(StatusCode::BAD_REQUEST, "bad_header", words)
}
