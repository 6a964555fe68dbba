//! One's own settings.

use askama::Template;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode};
use axum::response::Response;
use store::records::{Role, User};
use store::{Id, Stored};

use super::form::Posted;
use super::{Frame, or_refusal, page, to};
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
pub(crate) async fn show(State(app): State<App>, caller: Caller, headers: HeaderMap) -> Response {
    let f = Frame::of(&app, &headers, Some(&caller));
    let language = f.language();
    let made = async { Ok(shown(f, &own(&app, &caller.user).await?, StatusCode::OK, String::new())) };
    or_refusal(made.await, language)
}

async fn own(app: &App, id: &Id) -> Handled<Stored<User>> {
    Ok(app.store.get::<User>(id).await?)
}

/// `POST /me`: the language of one's own pages.
pub(crate) async fn keep(
    State(app): State<App>,
    caller: Caller,
    headers: HeaderMap,
    Writer(by): Writer,
    posted: Posted,
) -> Response {
    let f = Frame::of(&app, &headers, Some(&caller));
    let language = f.language();
    let made = async {
        let user = own(&app, &caller.user).await?;
        let wanted = posted.get("language");
        if !LANGUAGES.contains(&wanted) {
            let fault = f.w.choose_one.to_owned();
            return Ok(shown(f, &user, StatusCode::UNPROCESSABLE_ENTITY, fault));
        }
        let language = (!wanted.is_empty()).then(|| wanted.to_owned());
        let saw: i64 = posted.get("saw").parse().unwrap_or(0);
        let changed = User { language, ..user.body.clone() };
        match app.store.change_user(&by, &user.id, saw, &changed).await {
            Ok(_) => Ok(to("/me")),
            Err(e) => {
                let problem = Problem::from(e);
                let fault = problem.detail(f.language()).to_owned();
                Ok(shown(f, &user, problem.status(), fault))
            }
        }
    };
    or_refusal(made.await, language)
}
