//! Pages made by the server: they need no script.

mod as_read;
pub(crate) mod bench;
pub(crate) mod booking;
pub(crate) mod calls;
pub(crate) mod catalogue;
pub(crate) mod diary;
pub(crate) mod enquiries;
pub(crate) mod enquiry;
mod form;
pub(crate) mod job_list;
pub(crate) mod jobs;
pub(crate) mod me;
mod next_step;
pub(crate) mod postal;
pub(crate) mod quotes;
pub(crate) mod ramp;
pub(crate) mod ramp_record;
mod readings;
pub(crate) mod search;
pub(crate) mod set_up_sheet;
pub(crate) mod today;
mod words;

use askama::Template;
use axum::Form;
use axum::extract::{FromRequestParts, Path, State};
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE, LOCATION};
use axum::http::request::Parts;
use axum::http::{HeaderMap, Request, StatusCode};
use axum::response::{IntoResponse, Response};
use serde::Deserialize;
use store::Id;
use store::records::Role;
use workshop::facts::Language;
use workshop::units::Units;
use workshop::wording::Manner;

use crate::api::quotes::{CustomersOption, answer_of_link};
use crate::app::App;
use crate::caller::{
    Caller, INCHES, METRIC, Writer, asked_language, named_language, named_units, session_cookie, set_cookie,
};
use crate::problem::{Handled, Problem, Quoted};
use crate::sign_in::{self, SetUp, SignIn, end_own, has_owner, with_cookie};
pub(crate) use as_read::as_read;
use form::Posted;
use words::{PageWords, words};

/// Corners as forms and documents name them, in corner order.
const CORNERS: [&str; 4] = ["front_left", "front_right", "rear_left", "rear_right"];

/// What every page shows around its content, and the words and the language it is in.
pub(crate) struct Frame {
    w: &'static PageWords,
    /// Units and decimal sign of who reads it.
    reads: Manner,
    demo: bool,
    /// Whether someone is signed in who may see enquiries.
    office: bool,
    /// Whether someone is signed in.
    signed_in: bool,
    /// Who: what is typed on one tablet is not offered to another.
    user: String,
}

impl Frame {
    fn of(app: &App, headers: &HeaderMap, caller: Option<&Caller>) -> Self {
        let language = caller.and_then(|caller| caller.language.as_deref());
        let language = language.map_or_else(|| asked_language(headers), named_language);
        Self {
            w: words(language),
            reads: caller.map_or(language.into(), |caller| caller.manner(language)),
            demo: app.reach.demo,
            office: caller.is_some_and(|caller| matches!(caller.role, Role::Owner | Role::Office)),
            signed_in: caller.is_some(),
            user: caller.map(|caller| caller.user.to_string()).unwrap_or_default(),
        }
    }

    fn language(&self) -> Language {
        named_language(self.w.code_of_language)
    }

    /// How boxes that were sent are read: in the units that their form was made in, where it says so.
    fn boxes_of(&self, posted: &Posted) -> Manner {
        self.boxes_in(posted.get("units"))
    }

    fn boxes_in(&self, named: &str) -> Manner {
        let units = if named.is_empty() { self.reads.units } else { named_units(named) };
        Manner { units, ..self.reads }
    }

    /// Name of the units of boxes, as forms send it back.
    fn units(&self) -> &'static str {
        if self.is_metric() { METRIC } else { INCHES }
    }

    fn is_metric(&self) -> bool {
        self.reads.units == Units::Metric
    }

    /// Symbol of the unit that is shown instead of a metric one.
    fn unit<'a>(&self, metric: &'a str) -> &'a str {
        self.reads.units.symbol(metric, self.language())
    }

    /// Head of a column of boxes, or what stands beside one.
    fn head(&self, words: &str, metric: &str) -> String {
        self.reads.cell(words, metric)
    }

    /// How many of a metric unit one of the unit that is shown instead is.
    fn one(&self, metric: &str) -> f64 {
        self.reads.units.instead_of(metric).map_or(1.0, |unit| unit.is)
    }
}

impl FromRequestParts<App> for Frame {
    type Rejection = Problem;

    /// That of whoever is signed in.
    async fn from_request_parts(parts: &mut Parts, app: &App) -> Handled<Self> {
        let caller = Caller::from_request_parts(parts, app).await?;
        Ok(Self::of(app, &parts.headers, Some(&caller)))
    }
}

fn page(status: StatusCode, template: &impl Template) -> Response {
    match template.render() {
        Ok(html) => (status, [(CONTENT_TYPE, "text/html; charset=utf-8")], html).into_response(),
        Err(e) => Problem::internal(&e).into_response(),
    }
}

fn to(place: &str) -> Response {
    (StatusCode::SEE_OTHER, [(LOCATION, place.to_owned())]).into_response()
}

/// What is amiss with a form, in the words of the page that shows it.
fn amiss(words: &'static str) -> Problem {
    Problem::new(StatusCode::UNPROCESSABLE_ENTITY, "invalid", (words, words))
}

/// The id in an address; one that cannot be names nothing.
fn id_of(text: &str) -> Handled<Id> {
    let words = ("there is no record with this id", "einen Eintrag mit dieser Kennung gibt es nicht");
    text.parse().map_err(|_| Problem::not_found(words))
}

#[derive(Template)]
#[template(path = "refusal.html")]
struct Refusal {
    f: Frame,
    what: String,
}

/// A refusal as a page; what handlers of pages refuse becomes one at the gate.
pub(crate) fn refusal(problem: &Problem, language: Language) -> Response {
    let (w, reads) = (words(language), language.into());
    let f = Frame { w, reads, demo: false, office: false, signed_in: false, user: String::new() };
    page(problem.status(), &Refusal { f, what: problem.detail(language).to_owned() })
}

/// A form that could not be read.
fn not_a_form(status: StatusCode, why: String, headers: &HeaderMap) -> Response {
    refusal(&Problem::new(status, "refused", Quoted(why)), asked_language(headers))
}

/// A file that pages need; browsers ask each time whether it is still the same.
fn file(kind: &'static str, content: impl IntoResponse) -> Response {
    ([(CONTENT_TYPE, kind), (CACHE_CONTROL, "no-cache")], content).into_response()
}

const SCRIPT: &str = "text/javascript; charset=utf-8";

/// `GET /style.css`
pub(crate) async fn style() -> Response {
    let style = [include_str!("../../templates/style.css"), picture::STYLE].concat();
    file("text/css; charset=utf-8", style)
}

/// `GET /counter.js`
pub(crate) async fn counter_script() -> Response {
    file(SCRIPT, include_str!("../../templates/counter.js"))
}

/// `GET /drafts.js`
pub(crate) async fn drafts_script() -> Response {
    file(SCRIPT, include_str!("../../templates/drafts.js"))
}

/// `GET /loads.js`
pub(crate) async fn loads_script() -> Response {
    file(SCRIPT, include_str!("../../templates/loads.js"))
}

/// `GET /icon.svg`
pub(crate) async fn icon() -> Response {
    file("image/svg+xml", include_str!("../../templates/icon.svg"))
}

/// `GET /health`: whether the memory answers.
pub(crate) async fn health(State(app): State<App>) -> Handled<&'static str> {
    app.store.catalogue_revision().await?;
    Ok("ok\n")
}

#[derive(Template)]
#[template(path = "sign_in.html")]
struct SignInPage {
    f: Frame,
    name: String,
    fault: String,
}

/// `GET /sign-in`
pub(crate) async fn sign_in_page(State(app): State<App>, headers: HeaderMap) -> Handled<Response> {
    if !has_owner(&app.store).await? {
        return Ok(to("/set-up"));
    }
    let f = Frame::of(&app, &headers, None);
    Ok(page(StatusCode::OK, &SignInPage { f, name: String::new(), fault: String::new() }))
}

#[derive(Deserialize)]
pub(crate) struct SignInForm {
    name: String,
    passphrase: String,
}

/// `POST /sign-in`
pub(crate) async fn sign_in(State(app): State<App>, request: Request<axum::body::Body>) -> Response {
    let (headers, address) = (request.headers().clone(), crate::guard::address(request.extensions()));
    let form = match <Form<SignInForm> as axum::extract::FromRequest<App>>::from_request(request, &app).await
    {
        Ok(Form(form)) => form,
        Err(rejected) => return not_a_form(rejected.status(), rejected.body_text(), &headers),
    };
    let asked = SignIn { name: form.name.clone(), passphrase: Some(form.passphrase), pin: None };
    match sign_in::open_session(&app, &headers, &address, &asked).await {
        Ok((line, _)) => with_cookie(to("/"), &line),
        Err(problem) => {
            let f = Frame::of(&app, &headers, None);
            let fault = problem.detail(f.language()).to_owned();
            page(problem.status(), &SignInPage { f, name: form.name, fault })
        }
    }
}

/// `POST /sign-out`
pub(crate) async fn sign_out(
    State(app): State<App>,
    caller: Caller,
    Writer(by): Writer,
) -> Handled<Response> {
    end_own(&app, &by, &caller).await?;
    Ok(with_cookie(to("/sign-in"), &set_cookie(&app, session_cookie(&app), "", 0)))
}

/// What was typed on the set-up page; the passphrase is never shown again.
#[derive(Deserialize, Default)]
pub(crate) struct SetUpForm {
    code: String,
    workshop: String,
    country: String,
    name: String,
    shown_name: String,
    passphrase: String,
}

#[derive(Template)]
#[template(path = "set_up.html")]
struct SetUpPage {
    f: Frame,
    typed: SetUpForm,
    fault: String,
}

/// `GET /set-up`
pub(crate) async fn set_up_page(State(app): State<App>, headers: HeaderMap) -> Handled<Response> {
    if has_owner(&app.store).await? {
        return Ok(to("/sign-in"));
    }
    let f = Frame::of(&app, &headers, None);
    Ok(page(StatusCode::OK, &SetUpPage { f, typed: SetUpForm::default(), fault: String::new() }))
}

/// `POST /set-up`
pub(crate) async fn set_up(State(app): State<App>, request: Request<axum::body::Body>) -> Response {
    let (headers, address) = (request.headers().clone(), crate::guard::address(request.extensions()));
    let typed = match <Form<SetUpForm> as axum::extract::FromRequest<App>>::from_request(request, &app).await
    {
        Ok(Form(typed)) => typed,
        Err(rejected) => return not_a_form(rejected.status(), rejected.body_text(), &headers),
    };
    let asked = SetUp {
        code: typed.code.clone(),
        workshop: typed.workshop.clone(),
        country: typed.country.clone(),
        name: typed.name.clone(),
        shown_name: typed.shown_name.clone(),
        passphrase: typed.passphrase.clone(),
    };
    match sign_in::make_first_owner(&app, &address, asked).await {
        Ok((line, _)) => with_cookie(to("/"), &line),
        Err(problem) => {
            let f = Frame::of(&app, &headers, None);
            let fault = problem.detail(f.language()).to_owned();
            page(problem.status(), &SetUpPage { f, typed, fault })
        }
    }
}

/// Options on a customer's page.
const MOST_OPTIONS: usize = 12;

#[derive(Template)]
#[template(path = "answer.html")]
struct AnswerPage {
    f: Frame,
    question: String,
    options: Vec<(String, String)>,
}

/// `GET /answer/{code}`: a customer's own answer.
pub(crate) async fn answer(
    State(app): State<App>,
    Path(code): Path<String>,
    request: Request<axum::body::Body>,
) -> Response {
    let address = crate::guard::address(request.extensions());
    let f = Frame::of(&app, request.headers(), None);
    match answer_of_link(&app, &address, &code).await {
        Ok(found) => {
            let german = f.language() == Language::German;
            let words = |option: CustomersOption| (option.name, if german { option.de } else { option.en });
            let options = found.options.into_iter().take(MOST_OPTIONS).map(words).collect();
            page(StatusCode::OK, &AnswerPage { f, question: found.question, options })
        }
        Err(problem) => refusal(&problem, f.language()),
    }
}
