//! One's own settings.

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use store::Stored;
use store::records::{Role, User};

use super::form::Posted;
use super::{Frame, page, to};
use crate::app::App;
use crate::caller::{Caller, INCHES, Writer};
use crate::problem::{Handled, Problem};

/// Languages in which pages are written, each by its own name; the first leaves it to the browser.
const LANGUAGES: [&str; 3] = ["", "en", "de"];
/// Units of what is shown; the first are those of documents.
const UNITS: [&str; 2] = ["", INCHES];
/// Decimal signs; the first leaves it to the language.
const DECIMAL_SIGNS: [&str; 3] = ["", "point", "comma"];

/// Value, words, whether it is chosen.
type Choice = (&'static str, &'static str, bool);

fn choices<const N: usize>(
    values: [&'static str; N],
    words: [&'static str; N],
    chosen: Option<&str>,
) -> Vec<Choice> {
    let chosen = chosen.unwrap_or_default();
    values.into_iter().zip(words).map(|(value, words)| (value, words, value == chosen)).collect()
}

#[derive(Template)]
#[template(path = "me.html")]
struct MePage {
    f: Frame,
    name: String,
    role: &'static str,
    version: i64,
    languages: Vec<Choice>,
    units: Vec<Choice>,
    decimal_signs: Vec<Choice>,
    fault: String,
}

fn shown(f: Frame, user: &Stored<User>, status: StatusCode, fault: String) -> Response {
    let w = f.w;
    let role = match user.body.role {
        Role::Owner => w.owner,
        Role::Office => w.office,
        Role::Fitter => w.fitter,
        Role::Reader => w.reader,
    };
    let of = &user.body;
    let shown = MePage {
        name: of.name.clone(),
        role,
        version: user.version,
        languages: choices(LANGUAGES, [w.as_the_browser, "English", "Deutsch"], of.language.as_deref()),
        units: choices(UNITS, [w.millimetres_and_kilograms, w.inches_and_pounds], of.units.as_deref()),
        decimal_signs: choices(
            DECIMAL_SIGNS,
            [w.as_the_language, w.decimal_point, w.decimal_comma],
            of.decimal_sign.as_deref(),
        ),
        fault,
        f,
    };
    page(status, &shown)
}

/// `GET /me`
pub(crate) async fn show(State(app): State<App>, caller: Caller, f: Frame) -> Handled<Response> {
    let user = app.store.get::<User>(&caller.user).await?;
    Ok(shown(f, &user, StatusCode::OK, String::new()))
}

/// `POST /me`: language, units and numbers of one's own pages.
pub(crate) async fn keep(
    State(app): State<App>,
    caller: Caller,
    f: Frame,
    Writer(by): Writer,
    posted: Posted,
) -> Handled<Response> {
    let user = app.store.get::<User>(&caller.user).await?;
    let [language, units, decimal_sign] = ["language", "units", "decimal_sign"].map(|name| posted.get(name));
    let known = LANGUAGES.contains(&language) && UNITS.contains(&units);
    if !(known && DECIMAL_SIGNS.contains(&decimal_sign)) {
        let fault = f.w.choose_one.to_owned();
        return Ok(shown(f, &user, StatusCode::UNPROCESSABLE_ENTITY, fault));
    }
    let [language, units, decimal_sign] =
        [language, units, decimal_sign].map(|wanted| (!wanted.is_empty()).then(|| wanted.to_owned()));
    let changed = User { language, units, decimal_sign, ..user.body.clone() };
    match app.store.change_user(&by, &user.id, posted.saw(), &changed).await {
        Ok(_) => Ok(to("/me")),
        Err(e) => {
            let problem = Problem::from(e);
            let fault = problem.detail(f.language()).to_owned();
            Ok(shown(f, &user, problem.status(), fault))
        }
    }
}
