//! Signing in and out, the first owner, passphrases and PINs, and the limit on guessing.

use axum::extract::State;
use axum::http::header::SET_COOKIE;
use axum::http::{HeaderMap, HeaderValue, Request, StatusCode};
use axum::response::{IntoResponse, Response};
use serde::{Deserialize, Serialize};
use store::records::{Device, Diary, Role, Setting, User};
use store::{By, Id, NewSecret, SecretPurpose, Store};
use tokio::sync::OwnedMutexGuard;
use utoipa::ToSchema;

use crate::app::App;
use crate::caller::{BAY, Caller, FULL, Writer, cookie, device_cookie, session_cookie, set_cookie};
use crate::extract::Body;
use crate::problem::{Handled, Problem};
use crate::secrets;

const MINUTE_MS: i64 = 60_000;
const HOUR_MS: i64 = 60 * MINUTE_MS;
/// Idle and absolute limits: an office leaves its desk, a bay works a shift.
const OFFICE_IDLE_MS: i64 = 30 * MINUTE_MS;
const SHIFT_MS: i64 = 10 * HOUR_MS;
const SET_UP_CODE_MS: i64 = 30 * MINUTE_MS;

/// Tries allowed per account and device in a quarter of an hour.
const MOST_TRIES: i64 = 10;
/// Tries allowed per device over all accounts in that time.
const MOST_TRIES_OF_A_DEVICE: i64 = 40;
const TRIES_WITHIN_MS: i64 = 15 * MINUTE_MS;
const ANY_ACCOUNT: &str = "(any)";

/// A name and what proves it.
#[derive(Debug, Clone, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct SignIn {
    /// Name to sign in with.
    #[schema(max_length = 120)]
    pub(crate) name: String,
    /// Passphrase; or `pin`.
    pub(crate) passphrase: Option<String>,
    /// PIN, on an enrolled device.
    pub(crate) pin: Option<String>,
}

/// Who is signed in.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct Me {
    /// Name to sign in with.
    user: String,
    /// What may be done now.
    #[schema(value_type = crate::wire::Role)]
    role: Role,
    /// Device.
    device: String,
    /// `full`, `bay`, or the scope of the token.
    scope: String,
}

/// The first owner and the workshop.
#[derive(Debug, Clone, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct SetUp {
    /// The code that the server printed.
    pub(crate) code: String,
    /// Name of the workshop.
    pub(crate) workshop: String,
    /// Country, two letters.
    #[schema(min_length = 2, max_length = 2)]
    pub(crate) country: String,
    /// Name the owner signs in with.
    pub(crate) name: String,
    /// Name as shown.
    pub(crate) shown_name: String,
    /// Passphrase, 12 characters or more.
    #[schema(min_length = 12, max_length = 256)]
    pub(crate) passphrase: String,
}

/// A new passphrase.
#[derive(Debug, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct NewPassphrase {
    /// Passphrase as it is now.
    current: Option<String>,
    /// Passphrase, 12 characters or more.
    #[schema(min_length = 12, max_length = 256)]
    pub(crate) passphrase: String,
}

/// A new PIN.
#[derive(Debug, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct NewPin {
    /// Passphrase as it is now.
    current: String,
    /// 6 to 8 digits.
    #[schema(pattern = "^[0-9]{6,8}$")]
    pin: String,
}

/// What is kept of a user's passphrase and PIN: two lines, each may be empty.
#[derive(Default)]
struct Proofs {
    passphrase: Option<String>,
    pin: Option<String>,
}

impl Proofs {
    async fn of(store: &Store, user: &Id) -> Handled<Self> {
        let kept = store.password_hash(user).await?.unwrap_or_default();
        let mut lines = kept.lines().map(|line| Some(line.to_owned()).filter(|line| !line.is_empty()));
        Ok(Self { passphrase: lines.next().flatten(), pin: lines.next().flatten() })
    }

    async fn keep(&self, store: &Store, by: &By, user: &Id) -> Handled<()> {
        let line = |hash: &Option<String>| hash.clone().unwrap_or_default();
        Ok(store.set_password(by, user, &format!("{}\n{}", line(&self.passphrase), line(&self.pin))).await?)
    }
}

/// Where the tries of an account on a device stand.
pub(crate) struct Tries<'a> {
    app: &'a App,
    account: String,
    device: String,
    /// No other try of this account on this device is being checked.
    _in_line: OwnedMutexGuard<()>,
}

impl<'a> Tries<'a> {
    /// The tries of an account on a device.
    ///
    /// # Errors
    /// 429 where there were too many, or the last is too recent: the wait doubles with each.
    pub(crate) async fn allowed(app: &'a App, account: &str, device: &str) -> Handled<Self> {
        let cut = |text: &str| text.chars().filter(|c| *c != '\0').take(100).collect::<String>();
        let (account, device) = (cut(account), cut(device));
        let _in_line = app.in_line(&format!("{account} {device}")).await;
        let tries = Self { app, account, device, _in_line };
        let now = app.now_ms();
        let failed = |since| app.store.failed_sign_ins(&tries.account, &tries.device, since);
        let count = failed(now - TRIES_WITHIN_MS).await?;
        let of_device = app.store.failed_sign_ins(ANY_ACCOUNT, &tries.device, now - TRIES_WITHIN_MS).await?;
        if count >= MOST_TRIES || of_device >= MOST_TRIES_OF_A_DEVICE {
            return Err(Problem::too_many(TRIES_WITHIN_MS / 1000));
        }
        let wait_s = delay_s(count);
        if wait_s > 0 && failed(now - wait_s * 1000 + 1).await? > 0 {
            return Err(Problem::too_many(wait_s));
        }
        Ok(tries)
    }

    /// Notes that this one failed.
    pub(crate) async fn failed(&self) -> Handled<()> {
        let by = By::new("(nobody)", &self.device, self.app.now_ms());
        self.app.store.sign_in_failed(&by, &self.account).await?;
        Ok(self.app.store.sign_in_failed(&by, ANY_ACCOUNT).await?)
    }
}

/// Wait after so many failures: none for the first two, then 2, 4, 8 … 64 s.
fn delay_s(failures: i64) -> i64 {
    if failures < 3 { 0 } else { 1 << (failures - 2).min(6) }
}

/// The enrolled device a browser is, if it is one that may be used.
async fn enrolled(app: &App, headers: &HeaderMap) -> Handled<Option<String>> {
    let Some(secret) = cookie(headers, device_cookie(app)) else { return Ok(None) };
    let state = app.store.use_secret(&secrets::digest(secret), SecretPurpose::Device, app.now_ms()).await?;
    let Some(state) = state.filter(|state| state.scope == "device") else { return Ok(None) };
    match app.store.get::<Device>(&state.owner.parse()?).await {
        Ok(device) if device.body.active => Ok(Some(device.body.name)),
        _ => Ok(None),
    }
}

/// Checks name and proof, opens a session; the cookie line.
pub(crate) async fn open_session(
    app: &App,
    headers: &HeaderMap,
    address: &str,
    asked: &SignIn,
) -> Handled<(String, Me)> {
    let device = enrolled(app, headers).await?;
    let place = device.clone().unwrap_or_else(|| address.to_owned());
    let tries = Tries::allowed(app, &asked.name, &place).await?;
    let wrong = || {
        Problem::new(
            StatusCode::UNAUTHORIZED,
            "wrong_sign_in",
            ("name and passphrase do not fit", "Name und Passphrase passen nicht zusammen"),
        )
    };
    let (proof, scope) = match (&asked.passphrase, &asked.pin) {
        (Some(passphrase), None) => (passphrase.clone(), FULL),
        (None, Some(pin)) if device.is_some() => (pin.clone(), BAY),
        (None, Some(_)) => {
            let words =
                ("a PIN works on an enrolled device only", "eine PIN gilt nur an einem angemeldeten Gerät");
            return Err(Problem::new(StatusCode::FORBIDDEN, "device_not_enrolled", words));
        }
        _ => {
            return Err(Problem::invalid(
                "/passphrase",
                ("give either passphrase or pin", "geben Sie entweder passphrase oder pin an"),
            ));
        }
    };
    let user = asked.name.parse::<Id>().ok();
    let proofs = match &user {
        Some(user) => Proofs::of(&app.store, user).await?,
        None => Proofs::default(),
    };
    let kept = if scope == FULL { proofs.passphrase } else { proofs.pin };
    let fits = app.hash(move || secrets::fits(&proof, kept.as_deref())).await?;
    let (true, Some(user)) = (fits, user) else {
        tries.failed().await?;
        return Err(wrong());
    };
    new_session(app, &user, &place, scope).await
}

async fn new_session(app: &App, user: &Id, device: &str, scope: &str) -> Handled<(String, Me)> {
    let role = app.store.get::<User>(user).await?.body.role;
    let role = if scope == BAY && matches!(role, Role::Owner | Role::Office) { Role::Fitter } else { role };
    let secret = secrets::secret()?;
    let new = NewSecret {
        digest: secrets::digest(&secret),
        purpose: SecretPurpose::Session,
        owner: user.to_string(),
        device: device.to_owned(),
        scope: scope.to_owned(),
        idle_ms: Some(if scope == BAY { SHIFT_MS } else { OFFICE_IDLE_MS }),
        ends_ms: Some(app.now_ms() + SHIFT_MS),
    };
    app.store.add_secret(&By::new(user.as_str(), device, app.now_ms()), &new).await?;
    let me = Me { user: user.to_string(), role, device: device.to_owned(), scope: scope.to_owned() };
    Ok((set_cookie(app, session_cookie(app), &secret, SHIFT_MS / 1000), me))
}

/// A reply with a cookie.
pub(crate) fn with_cookie(reply: impl IntoResponse, line: &str) -> Response {
    let mut reply = reply.into_response();
    if let Ok(line) = HeaderValue::from_str(line) {
        reply.headers_mut().append(SET_COOKIE, line);
    }
    reply
}

/// Signs in with a passphrase, or on an enrolled device with a PIN. The session comes as a cookie.
#[utoipa::path(post, path = "/api/v1/sign-in", tag = "sign-in", request_body = SignIn, responses((status = 200, body = Me)))]
pub(crate) async fn sign_in(State(app): State<App>, request: Request<axum::body::Body>) -> Handled<Response> {
    let (headers, address) = (request.headers().clone(), crate::guard::address(request.extensions()));
    let Body(asked) = <Body<SignIn> as axum::extract::FromRequest<App>>::from_request(request, &app).await?;
    let (line, me) = open_session(&app, &headers, &address, &asked).await?;
    Ok(with_cookie(axum::Json(me), &line))
}

/// Signs out: the session, or the token used, ends.
#[utoipa::path(post, path = "/api/v1/sign-out", tag = "sign-in", responses((status = 204)))]
pub(crate) async fn sign_out(
    State(app): State<App>,
    caller: Caller,
    Writer(by): Writer,
) -> Handled<Response> {
    end_own(&app, &by, &caller).await?;
    Ok(with_cookie(StatusCode::NO_CONTENT, &set_cookie(&app, session_cookie(&app), "", 0)))
}

/// Ends the secret a caller came with; a repeated wish is fulfilled already.
pub(crate) async fn end_own(app: &App, by: &By, caller: &Caller) -> Handled<()> {
    match app.store.end_secret(by, &caller.secret).await {
        Ok(()) | Err(store::Error::Invalid { .. }) => Ok(()),
        Err(e) => Err(e.into()),
    }
}

/// Who is signed in, and what may be done.
#[utoipa::path(get, path = "/api/v1/me", tag = "sign-in", responses((status = 200, body = Me)))]
pub(crate) async fn me(caller: Caller) -> axum::Json<Me> {
    axum::Json(Me {
        user: caller.user.to_string(),
        role: caller.role,
        device: caller.device,
        scope: caller.scope,
    })
}

async fn current_fits(app: &App, caller: &Caller, current: String) -> Handled<Proofs> {
    let tries = Tries::allowed(app, caller.user.as_str(), &caller.device).await?;
    let proofs = Proofs::of(&app.store, &caller.user).await?;
    let kept = proofs.passphrase.clone();
    if !app.hash(move || secrets::fits(&current, kept.as_deref())).await? {
        tries.failed().await?;
        return Err(Problem::new(
            StatusCode::FORBIDDEN,
            "wrong_passphrase",
            ("the current passphrase does not fit", "die bisherige Passphrase passt nicht"),
        ));
    }
    Ok(proofs)
}

/// Changes one's own passphrase; all sessions and tokens end.
#[utoipa::path(put, path = "/api/v1/me/passphrase", tag = "sign-in", request_body = NewPassphrase, responses((status = 204)))]
pub(crate) async fn change_passphrase(
    State(app): State<App>,
    caller: Caller,
    Writer(by): Writer,
    Body(new): Body<NewPassphrase>,
) -> Handled<StatusCode> {
    secrets::check_passphrase(&new.passphrase, caller.user.as_str())?;
    let proofs = current_fits(&app, &caller, new.current.unwrap_or_default()).await?;
    let hash = app.hash(move || secrets::hash(&new.passphrase)).await??;
    Proofs { passphrase: Some(hash), ..proofs }.keep(&app.store, &by, &caller.user).await?;
    Ok(StatusCode::NO_CONTENT)
}

/// Sets one's own PIN for enrolled devices; all sessions and tokens end.
#[utoipa::path(put, path = "/api/v1/me/pin", tag = "sign-in", request_body = NewPin, responses((status = 204)))]
pub(crate) async fn change_pin(
    State(app): State<App>,
    caller: Caller,
    Writer(by): Writer,
    Body(new): Body<NewPin>,
) -> Handled<StatusCode> {
    secrets::check_pin(&new.pin)?;
    let proofs = current_fits(&app, &caller, new.current).await?;
    let hash = app.hash(move || secrets::hash(&new.pin)).await??;
    Proofs { pin: Some(hash), ..proofs }.keep(&app.store, &by, &caller.user).await?;
    Ok(StatusCode::NO_CONTENT)
}

/// Gives a user a passphrase, as the owner does for someone new; all sessions and tokens of that user end.
pub(crate) async fn give_passphrase(app: &App, by: &By, user: &Id, passphrase: String) -> Handled<()> {
    secrets::check_passphrase(&passphrase, user.as_str())?;
    let hash = app.hash(move || secrets::hash(&passphrase)).await??;
    Proofs { passphrase: Some(hash), pin: None }.keep(&app.store, by, user).await
}

/// Whether the workshop has an owner who can sign in.
pub(crate) async fn has_owner(store: &Store) -> store::Result<bool> {
    Ok(store.all::<User>().await?.iter().any(|user| user.body.active && user.body.role == Role::Owner))
}

/// A new set-up code, where there is no owner yet; earlier ones end.
///
/// # Errors
/// Where the store fails.
pub async fn new_set_up_code(app: &App) -> Result<Option<String>, Problem> {
    if has_owner(&app.store).await? {
        return Ok(None);
    }
    let by = By::new("(server)", "console", app.now_ms());
    for earlier in app.store.secrets(SecretPurpose::SetUp, None).await? {
        app.store.end_secret(&by, &earlier.id).await?;
    }
    let code = secrets::code()?;
    let new = NewSecret {
        digest: secrets::digest(&code),
        purpose: SecretPurpose::SetUp,
        owner: "(server)".into(),
        device: String::new(),
        scope: String::new(),
        idle_ms: None,
        ends_ms: Some(app.now_ms() + SET_UP_CODE_MS),
    };
    app.store.add_secret(&by, &new).await?;
    Ok(Some(code))
}

/// Makes the first owner and opens a session.
pub(crate) async fn make_first_owner(app: &App, address: &str, asked: SetUp) -> Handled<(String, Me)> {
    if has_owner(&app.store).await? {
        let words =
            ("this workshop is set up; sign in", "diese Werkstatt ist eingerichtet; melden Sie sich an");
        return Err(Problem::new(StatusCode::CONFLICT, "set_up_already", words));
    }
    let tries = Tries::allowed(app, "(set-up)", address).await?;
    let code = secrets::code_as_meant(&asked.code);
    let Some(state) =
        app.store.use_secret(&secrets::digest(&code), SecretPurpose::SetUp, app.now_ms()).await?
    else {
        tries.failed().await?;
        let words = (
            "the set-up code is wrong or has ended; start the server again for a new one",
            "der Einrichtungscode ist falsch oder abgelaufen; starten Sie den Server für einen neuen noch einmal",
        );
        return Err(Problem::new(StatusCode::FORBIDDEN, "wrong_code", words));
    };
    let user: Id = asked.name.parse().map_err(|_| {
        Problem::invalid(
            "/name",
            ("1 to 120 of a-z A-Z 0-9 - _ . + / @", "1 bis 120 von a-z A-Z 0-9 - _ . + / @"),
        )
    })?;
    let country = asked.country.to_ascii_uppercase();
    if country.len() != 2 || !country.bytes().all(|b| b.is_ascii_uppercase()) {
        return Err(Problem::invalid(
            "/country",
            ("two letters, such as DE or GB", "zwei Buchstaben, wie DE oder GB"),
        ));
    }
    secrets::check_passphrase(&asked.passphrase, &asked.name)?;
    let hash = app.hash(move || secrets::hash(&asked.passphrase)).await??;
    let by = By::new(user.as_str(), address, app.now_ms());
    // ending the code is the claim: of two who come at once one is refused
    app.store.end_secret(&by, &state.id).await.map_err(|_| {
        Problem::new(
            StatusCode::CONFLICT,
            "set_up_already",
            ("someone else used this code just now", "jemand anders hat diesen Code eben benutzt"),
        )
    })?;
    let body = User {
        name: asked.shown_name,
        role: Role::Owner,
        language: None,
        units: None,
        decimal_sign: None,
        active: true,
    };
    app.store.add_user(&by, &user, &body).await?;
    Proofs { passphrase: Some(hash), pin: None }.keep(&app.store, &by, &user).await?;
    let workshop = serde_json::json!({"name": asked.workshop, "country": country});
    app.store.add_as(&by, &"workshop".parse()?, &Setting { value: workshop }).await?;
    add_usual_diary(app, &by).await?;
    new_session(app, &user, address, FULL).await
}

/// Two ramps, ordinary hours; the owner changes them.
async fn add_usual_diary(app: &App, by: &By) -> Handled<()> {
    let day = vec![[8 * 60, 12 * 60], [13 * 60, 17 * 60]];
    let week = [day.clone(), day.clone(), day.clone(), day.clone(), day, vec![], vec![]];
    let zone = jiff::tz::TimeZone::system().iana_name().unwrap_or("Europe/Berlin").to_owned();
    let diary = Diary { zone, ramps: vec!["1".into(), "2".into()], week, closed: vec![], step_minutes: 15 };
    match app.store.add_as(by, &"diary".parse()?, &diary).await {
        Ok(_) | Err(store::Error::Exists { .. }) => Ok(()),
        Err(e) => Err(e.into()),
    }
}

/// Sets a new workshop up: its first owner, with the code that the server printed.
#[utoipa::path(post, path = "/api/v1/set-up", tag = "sign-in", request_body = SetUp, responses((status = 200, body = Me)))]
pub(crate) async fn set_up(State(app): State<App>, request: Request<axum::body::Body>) -> Handled<Response> {
    let address = crate::guard::address(request.extensions());
    let Body(asked) = <Body<SetUp> as axum::extract::FromRequest<App>>::from_request(request, &app).await?;
    let (line, me) = make_first_owner(&app, &address, asked).await?;
    Ok(with_cookie(axum::Json(me), &line))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_wait_grows_and_stays_below_two_minutes() {
        let waits: Vec<i64> = (0..12).map(delay_s).collect();
        assert_eq!(waits, [0, 0, 0, 2, 4, 8, 16, 32, 64, 64, 64, 64]);
    }
}
