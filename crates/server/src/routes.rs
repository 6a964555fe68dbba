//! All routes, behind the gate.

use axum::extract::DefaultBodyLimit;
use axum::middleware::{from_fn, from_fn_with_state};
use axum::routing::{get, post};
use axum::{Router, http::Uri};

use crate::app::App;
use crate::problem::Problem;
use crate::{api, calendar, guard, pages};

/// Largest body; documents of a catalogue come in one piece.
const LARGEST_BODY: usize = 8 << 20;

/// The whole server over a store.
pub fn router(app: App) -> Router {
    let (api, _) = api::router();
    let pages = Router::new()
        .route("/", get(pages::today::first))
        .route("/style.css", get(pages::style))
        .route("/health", get(pages::health))
        .route("/sign-in", get(pages::sign_in_page).post(pages::sign_in))
        .route("/sign-out", post(pages::sign_out))
        .route("/set-up", get(pages::set_up_page).post(pages::set_up))
        .route("/counter.js", get(pages::counter_script))
        .route("/drafts.js", get(pages::drafts_script))
        .route("/icon.svg", get(pages::icon))
        .route("/loads.js", get(pages::loads_script))
        .route("/enquiries", get(pages::enquiries::list).post(pages::enquiry::begin))
        .route("/enquiries/new", get(pages::enquiry::new))
        .route("/enquiries/{id}", get(pages::enquiry::show).post(pages::enquiry::answered))
        .route("/enquiries/{id}/why", get(pages::enquiry::why_page))
        .route("/enquiries/{id}/loads", get(pages::enquiry::loads::show).post(pages::enquiry::loads::keep))
        .route("/enquiries/{id}/compare", get(pages::enquiry::compare))
        .route("/enquiries/{id}/quote", get(pages::quotes::draft::form).post(pages::quotes::draft::draft))
        .route("/enquiries/{id}/close", post(pages::enquiry::close))
        .route("/enquiries/{id}/open", post(pages::enquiry::open))
        .route("/enquiries/{id}/book", get(pages::booking::form).post(pages::booking::book))
        .route("/quotes", get(pages::quotes::list))
        .route("/quotes/{id}", get(pages::quotes::show))
        .route("/quotes/{id}/paper", get(pages::quotes::paper))
        .route("/quotes/{id}/given", post(pages::quotes::given))
        .route("/quotes/{id}/answer", post(pages::quotes::answered))
        .route("/quotes/{id}/again", post(pages::quotes::draft::again))
        .route("/calls", get(pages::calls::list))
        .route("/calls/{id}/done", post(pages::calls::done))
        .route("/calls/{id}/later", post(pages::calls::later))
        .route("/bench", get(pages::bench::show))
        .route("/catalogue", get(pages::catalogue::list))
        .route("/catalogue/document", get(pages::catalogue::show).post(pages::catalogue::change))
        .route("/rules", get(pages::catalogue::rules))
        .route("/import", get(pages::catalogue::import::form).post(pages::catalogue::import::send))
        .route("/diary", get(pages::diary::day))
        .route("/jobs", get(pages::job_list::list))
        .route("/jobs/{id}", get(pages::jobs::show))
        .route("/jobs/{id}/start", post(pages::jobs::start))
        .route("/jobs/{id}/wait", post(pages::jobs::wait))
        .route("/jobs/{id}/arrived", post(pages::jobs::arrived))
        .route("/jobs/{id}/cancel", post(pages::jobs::cancel))
        .route("/jobs/{id}/sooner", post(pages::jobs::sooner))
        .route("/jobs/{id}/move", post(pages::jobs::move_it))
        .route("/jobs/{id}/ramp", get(pages::ramp::form).post(pages::ramp::keep))
        .route("/jobs/{id}/set-up-sheet", get(pages::set_up_sheet::show))
        .route("/ramp-records/{id}", get(pages::ramp_record::show))
        .route("/ramp-records/{id}/correction", post(pages::ramp_record::keep))
        .route("/me", get(pages::me::show).post(pages::me::keep))
        .route("/search", get(pages::search::found))
        .route("/answer/{code}", get(pages::answer))
        .route("/postal/{code}", get(pages::postal::form).post(pages::postal::send))
        .route("/calendar/{feed}", get(calendar::feed))
        .route("/api/v1/openapi.json", get(api::openapi));
    pages
        .merge(api)
        .fallback(nothing_here)
        .layer(from_fn_with_state(app.clone(), guard::gate))
        .layer(from_fn(guard::dress))
        .layer(DefaultBodyLimit::max(LARGEST_BODY))
        .with_state(app)
}

async fn nothing_here(_: Uri) -> Problem {
    Problem::no_page()
}
