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
use crate::caller::{Caller, Writer};
use crate::problem::{Handled, Problem};

/// Languages in which pages are written, each by its own name; the first leaves it to the browser.
const LANGUAGES: [&str; 3] = ["", "en", "de"];

#[derive(Template)]
#[template(path = "me.html")]
struct MePage {
    f: Frame,
    name: String,
    role: &'static str,
    version: i64,
    /// Value, words, whether it is chosen.
    languages: Vec<(&'static str, &'static str, bool)>,
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
    let chosen = user.body.language.as_deref().unwrap_or_default();
    let languages = LANGUAGES.into_iter().zip([w.as_the_browser, "English", "Deutsch"]);
    let languages = languages.map(|(value, words)| (value, words, value == chosen)).collect();
    let (name, version) = (user.body.name.clone(), user.version);
    page(status, &MePage { name, role, version, languages, fault, f })
}

/// `GET /me`
pub(crate) async fn show(State(app): State<App>, caller: Caller, f: Frame) -> Handled<Response> {
    let user = app.store.get::<User>(&caller.user).await?;
    Ok(shown(f, &user, StatusCode::OK, String::new()))
}

/// `POST /me`: the language of one's own pages.
pub(crate) async fn keep(
    State(app): State<App>,
    caller: Caller,
    f: Frame,
    Writer(by): Writer,
    posted: Posted,
) -> Handled<Response> {
    let user = app.store.get::<User>(&caller.user).await?;
    let wanted = posted.get("language");
    if !LANGUAGES.contains(&wanted) {
        let fault = f.w.choose_one.to_owned();
        return Ok(shown(f, &user, StatusCode::UNPROCESSABLE_ENTITY, fault));
    }
    let language = (!wanted.is_empty()).then(|| wanted.to_owned());
    let changed = User { language, ..user.body.clone() };
    match app.store.change_user(&by, &user.id, posted.saw(), &changed).await {
        Ok(_) => Ok(to("/me")),
        Err(e) => {
            let problem = Problem::from(e);
            let fault = problem.detail(f.language()).to_owned();
            Ok(shown(f, &user, problem.status(), fault))
        }
    }
}
