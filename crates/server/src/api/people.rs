//! Users, devices, tokens, sessions, calendar feeds.

use axum::extract::State;
use axum::http::{Request, StatusCode};
use axum::response::Response;
use serde::{Deserialize, Serialize};
use store::records::{Device, Role, User};
use store::{Id, NewSecret, SecretPurpose, SecretState};
use utoipa::ToSchema;

use crate::app::App;
use crate::caller::{Caller, READ, WRITE, Writer, device_cookie, set_cookie};
use crate::extract::{At, Body, Saw, changed, made, record};
use crate::problem::{Handled, Problem};
use crate::secrets;
use crate::sign_in::{NewPassphrase, Tries, give_passphrase, with_cookie};
use crate::wire::{self, Kept};

const DAY_MS: i64 = 24 * 60 * 60 * 1000;
const TOKEN_MS: i64 = 90 * DAY_MS;
const ENROL_CODE_MS: i64 = 10 * 60 * 1000;
/// A device that was not used for a season is enrolled anew.
const DEVICE_IDLE_MS: i64 = 90 * DAY_MS;

/// A user to be added.
#[derive(Debug, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct NewUser {
    /// Name to sign in with.
    #[schema(min_length = 1, max_length = 120)]
    id: String,
    /// The user.
    user: wire::User,
    /// Passphrase, 12 characters or more.
    #[schema(min_length = 12, max_length = 256)]
    passphrase: String,
}

/// Adds a user.
#[utoipa::path(post, path = "/api/v1/users", tag = "users", request_body = NewUser, responses((status = 201, body = Kept<wire::User>)))]
pub(crate) async fn add_user(
    State(app): State<App>,
    writer: Writer,
    Body(new): Body<NewUser>,
) -> Handled<Response> {
    let id: Id = new.id.parse().map_err(|_| {
        Problem::invalid(
            "/id",
            ("1 to 120 of a-z A-Z 0-9 - _ . + / @", "1 bis 120 von a-z A-Z 0-9 - _ . + / @"),
        )
    })?;
    secrets::check_passphrase(&new.passphrase, id.as_str())?;
    let user: User = record(&new.user)?;
    let kept = app.store.add_user(&writer.0, &id, &user).await?;
    // not under the key: hashes are salted, and a repeated request may set the passphrase again
    let mut by = writer.0;
    by.key = None;
    give_passphrase(&app, &by, &id, new.passphrase).await?;
    Ok(made("users", &kept))
}

/// Changes a user; one who may no longer sign in loses all sessions and tokens.
#[utoipa::path(put, path = "/api/v1/users/{id}", tag = "users", params(("id" = String, Path, max_length = 120)),
    request_body = wire::User, responses((status = 200, body = Kept<wire::User>)))]
pub(crate) async fn change_user(
    State(app): State<App>,
    At(id): At,
    Saw(saw): Saw,
    Writer(by): Writer,
    Body(user): Body<wire::User>,
) -> Handled<Response> {
    let user: User = record(&user)?;
    Ok(changed(&app.store.change_user(&by, &id, saw, &user).await?))
}

/// Gives a user a new passphrase; all sessions, tokens and the PIN of that user end.
#[utoipa::path(put, path = "/api/v1/users/{id}/passphrase", tag = "users", params(("id" = String, Path, max_length = 120)),
    request_body = NewPassphrase, responses((status = 204)))]
pub(crate) async fn set_passphrase(
    State(app): State<App>,
    At(id): At,
    Writer(by): Writer,
    Body(new): Body<NewPassphrase>,
) -> Handled<StatusCode> {
    app.store.get::<User>(&id).await?;
    give_passphrase(&app, &by, &id, new.passphrase).await?;
    Ok(StatusCode::NO_CONTENT)
}

/// A secret that was made; it is shown this once.
#[derive(Serialize, ToSchema)]
pub(crate) struct NewlyMade {
    /// To end it.
    #[schema(value_type = String)]
    id: Id,
    /// The secret: a token, a code, or an address.
    secret: String,
    /// When it ends, ms.
    #[serde(skip_serializing_if = "Option::is_none")]
    ends_ms: Option<i64>,
}

/// A device to be enrolled.
#[derive(Debug, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct NewDevice {
    /// Name, such as “bay tablet”.
    #[schema(min_length = 1, max_length = 100)]
    name: String,
    /// Where it stays.
    #[schema(max_length = 100)]
    place: String,
}

/// Adds a device and makes the code to type on it, which ends in ten minutes.
#[utoipa::path(post, path = "/api/v1/devices", tag = "devices", request_body = NewDevice, responses((status = 201, body = NewlyMade)))]
pub(crate) async fn add_device(
    State(app): State<App>,
    writer: Writer,
    Body(new): Body<NewDevice>,
) -> Handled<(StatusCode, axum::Json<NewlyMade>)> {
    if new.name.trim().is_empty() || new.name.chars().count() > 100 {
        return Err(Problem::invalid("/name", ("1 to 100 characters", "1 bis 100 Zeichen")));
    }
    let device = Device { name: new.name, place: new.place, active: true };
    let device = app.store.add(&writer.0, &device).await?;
    let code = secrets::code()?;
    let ends_ms = app.now_ms() + ENROL_CODE_MS;
    let secret = NewSecret {
        digest: secrets::digest(&code),
        purpose: SecretPurpose::Device,
        owner: device.id.to_string(),
        device: device.body.name,
        scope: "enrol".into(),
        idle_ms: None,
        ends_ms: Some(ends_ms),
    };
    let id = app.store.add_secret(&writer.further("code"), &secret).await?;
    Ok((StatusCode::CREATED, axum::Json(NewlyMade { id, secret: code, ends_ms: Some(ends_ms) })))
}

/// Changes a device; one that may no longer be used opens nothing.
#[utoipa::path(put, path = "/api/v1/devices/{id}", tag = "devices", params(("id" = String, Path, max_length = 120)),
    request_body = wire::Device, responses((status = 200, body = Kept<wire::Device>)))]
pub(crate) async fn change_device(
    State(app): State<App>,
    At(id): At,
    Saw(saw): Saw,
    Writer(by): Writer,
    Body(device): Body<wire::Device>,
) -> Handled<Response> {
    let device: Device = record(&device)?;
    Ok(changed(&app.store.change(&by, &id, saw, &device).await?))
}

/// The code typed on a new device.
#[derive(Debug, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct EnrolCode {
    /// As shown in the office.
    code: String,
}

/// Enrols this browser: it keeps a cookie, and people sign in on it with their PIN.
#[utoipa::path(post, path = "/api/v1/enrol", tag = "devices", request_body = EnrolCode, responses((status = 204)))]
pub(crate) async fn enrol(State(app): State<App>, request: Request<axum::body::Body>) -> Handled<Response> {
    let address = crate::guard::address(request.extensions());
    let Body(asked) =
        <Body<EnrolCode> as axum::extract::FromRequest<App>>::from_request(request, &app).await?;
    let tries = Tries::allowed(&app, "(enrol)", &address).await?;
    let code = secrets::digest(&secrets::code_as_meant(&asked.code));
    let state = app.store.use_secret(&code, SecretPurpose::Device, app.now_ms()).await?;
    let Some(state) = state.filter(|state| state.scope == "enrol") else {
        tries.failed().await?;
        return Err(Problem::new(
            StatusCode::FORBIDDEN,
            "wrong_code",
            ("the code is wrong or has ended", "der Code ist falsch oder abgelaufen"),
        ));
    };
    let by = store::By::new("(device)", &state.device, app.now_ms());
    // ending the code is the claim: of two who come at once one is refused
    app.store.end_secret(&by, &state.id).await?;
    let secret = secrets::secret()?;
    let new = NewSecret {
        digest: secrets::digest(&secret),
        purpose: SecretPurpose::Device,
        owner: state.owner,
        device: state.device,
        scope: "device".into(),
        idle_ms: Some(DEVICE_IDLE_MS),
        ends_ms: None,
    };
    app.store.add_secret(&by, &new).await?;
    Ok(with_cookie(
        StatusCode::NO_CONTENT,
        &set_cookie(&app, device_cookie(&app), &secret, 2 * DEVICE_IDLE_MS / 1000),
    ))
}

/// What a token may do.
#[derive(Debug, Clone, Copy, Deserialize, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum TokenScope {
    /// Read what its user may read.
    Read,
    /// Write too; never users, devices, settings.
    Write,
}

/// A token to be made.
#[derive(Debug, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct NewToken {
    /// What it is for.
    #[schema(min_length = 1, max_length = 100)]
    name: String,
    /// What it may do.
    scope: TokenScope,
}

/// Makes a token for programs, for ninety days. It is shown this once; only its hash is kept.
#[utoipa::path(post, path = "/api/v1/tokens", tag = "tokens", request_body = NewToken, responses((status = 201, body = NewlyMade)))]
pub(crate) async fn add_token(
    State(app): State<App>,
    caller: Caller,
    Writer(by): Writer,
    Body(new): Body<NewToken>,
) -> Handled<(StatusCode, axum::Json<NewlyMade>)> {
    if new.name.trim().is_empty() || new.name.chars().count() > 100 {
        return Err(Problem::invalid("/name", ("1 to 100 characters", "1 bis 100 Zeichen")));
    }
    let token = format!("archgap_{}", secrets::secret()?);
    let ends_ms = app.now_ms() + TOKEN_MS;
    let secret = NewSecret {
        digest: secrets::digest(&token),
        purpose: SecretPurpose::Token,
        owner: caller.user.to_string(),
        device: format!("token {}", new.name),
        scope: match new.scope {
            TokenScope::Read => READ.into(),
            TokenScope::Write => WRITE.into(),
        },
        idle_ms: None,
        ends_ms: Some(ends_ms),
    };
    let id = app.store.add_secret(&by, &secret).await?;
    Ok((StatusCode::CREATED, axum::Json(NewlyMade { id, secret: token, ends_ms: Some(ends_ms) })))
}

/// Secrets one may see: the owner all of them, others their own.
async fn visible(app: &App, caller: &Caller, purpose: SecretPurpose) -> Handled<Vec<SecretState>> {
    let owner = if caller.role == Role::Owner { None } else { Some(caller.user.as_str()) };
    let mut secrets = app.store.secrets(purpose, owner).await?;
    secrets.retain(|secret| secret.is_valid(app.now_ms()));
    Ok(secrets)
}

/// Tokens that open something: the owner sees all, others their own.
#[utoipa::path(get, path = "/api/v1/tokens", tag = "tokens", responses((status = 200, body = Vec<Object>)))]
pub(crate) async fn tokens(State(app): State<App>, caller: Caller) -> Handled<axum::Json<Vec<SecretState>>> {
    Ok(axum::Json(visible(&app, &caller, SecretPurpose::Token).await?))
}

/// Browsers that are signed in: the owner sees all, others their own.
#[utoipa::path(get, path = "/api/v1/sessions", tag = "sign-in", responses((status = 200, body = Vec<Object>)))]
pub(crate) async fn sessions(
    State(app): State<App>,
    caller: Caller,
) -> Handled<axum::Json<Vec<SecretState>>> {
    Ok(axum::Json(visible(&app, &caller, SecretPurpose::Session).await?))
}

/// Ends a session, token, code, link or feed: the owner any, others their own.
#[utoipa::path(delete, path = "/api/v1/secrets/{id}", tag = "tokens", params(("id" = String, Path, max_length = 120)), responses((status = 204)))]
pub(crate) async fn end_secret(
    State(app): State<App>,
    caller: Caller,
    At(id): At,
    Writer(by): Writer,
) -> Handled<StatusCode> {
    use SecretPurpose::{AnswerLink, CalendarFeed, Device, PostalForm, Session, Token};
    for purpose in [Session, Token, Device, CalendarFeed, PostalForm, AnswerLink] {
        if visible(&app, &caller, purpose).await?.iter().any(|secret| secret.id == id) {
            app.store.end_secret(&by, &id).await?;
            return Ok(StatusCode::NO_CONTENT);
        }
    }
    Err(Problem::not_found((
        "there is no session, token or link with this id",
        "eine Sitzung, ein Token oder einen Link mit dieser Kennung gibt es nicht",
    )))
}

/// Makes the address of a calendar that shows the diary; it is shown this once.
#[utoipa::path(post, path = "/api/v1/calendar-feeds", tag = "diary", responses((status = 201, body = NewlyMade)))]
pub(crate) async fn add_feed(
    State(app): State<App>,
    caller: Caller,
    Writer(by): Writer,
) -> Handled<(StatusCode, axum::Json<NewlyMade>)> {
    let secret = secrets::secret()?;
    let new = NewSecret {
        digest: secrets::digest(&secret),
        purpose: SecretPurpose::CalendarFeed,
        owner: caller.user.to_string(),
        device: by.device.clone(),
        scope: String::new(),
        idle_ms: None,
        ends_ms: None,
    };
    let id = app.store.add_secret(&by, &new).await?;
    Ok((
        StatusCode::CREATED,
        axum::Json(NewlyMade { id, secret: format!("/calendar/{secret}.ics"), ends_ms: None }),
    ))
}
