//! Jobs and the diary; calls to make.

use axum::extract::State;
use axum::http::HeaderMap;
use axum::response::Response;
use serde::{Deserialize, Serialize};
use store::records::{CallBack, Correction, Diary, Job, PartNeed, RampRecord, SetUpSheet};
use store::{FreeSlot, Id, Kind, NewJob, Occupied, Stored};
use utoipa::{IntoParams, ToSchema};

use super::kept::Listed;
use crate::app::App;
use crate::caller::Writer;
use crate::extract::{Ask, At, Body, Saw, changed, made, record, shown};
use crate::problem::{Handled, Problem};
use crate::wire::{self, Kept, List};

/// Books a job: a ramp is held for its nine-in-ten time, closing hours left out.
#[utoipa::path(post, path = "/api/v1/jobs", tag = "jobs", request_body = wire::NewJob, responses((status = 201, body = Kept<wire::Job>)))]
pub(crate) async fn book(
    State(app): State<App>,
    Writer(by): Writer,
    Body(new): Body<wire::NewJob>,
) -> Handled<Response> {
    let new: NewJob = record(&new)?;
    Ok(made("jobs", &app.store.book_job(&by, &new).await.map_err(Problem::of_body)?))
}

/// Changes title, operations and parts.
#[utoipa::path(put, path = "/api/v1/jobs/{id}", tag = "jobs", params(("id" = String, Path, max_length = 120)),
    request_body = wire::JobChange, responses((status = 200, body = Kept<wire::Job>)))]
pub(crate) async fn change(
    State(app): State<App>,
    At(id): At,
    Saw(saw): Saw,
    Writer(by): Writer,
    Body(new): Body<wire::JobChange>,
) -> Handled<Response> {
    let parts: Vec<PartNeed> = record(&new.parts)?;
    Ok(changed(&app.store.change_job(&by, &id, saw, &new.title, &new.operations, &parts).await?))
}

/// Moves a job, or books one again that waited for parts.
#[utoipa::path(post, path = "/api/v1/jobs/{id}/move", tag = "jobs", params(("id" = String, Path, max_length = 120)),
    request_body = wire::JobMove, responses((status = 200, body = Kept<wire::Job>)))]
pub(crate) async fn move_it(
    State(app): State<App>,
    At(id): At,
    Saw(saw): Saw,
    Writer(by): Writer,
    Body(to): Body<wire::JobMove>,
) -> Handled<Response> {
    Ok(changed(&app.store.move_job(&by, &id, saw, &to.ramp, to.from_ms, to.minutes_nine_in_ten).await?))
}

/// Begins work.
#[utoipa::path(post, path = "/api/v1/jobs/{id}/start", tag = "jobs", params(("id" = String, Path, max_length = 120)),
    responses((status = 200, body = Kept<wire::Job>)))]
pub(crate) async fn start(
    State(app): State<App>,
    At(id): At,
    Saw(saw): Saw,
    Writer(by): Writer,
) -> Handled<Response> {
    Ok(changed(&app.store.start_job(&by, &id, saw).await?))
}

/// Lets a job wait for parts; the ramp is free again.
#[utoipa::path(post, path = "/api/v1/jobs/{id}/wait-for-parts", tag = "jobs", params(("id" = String, Path, max_length = 120)),
    request_body = wire::Because, responses((status = 200, body = Kept<wire::Job>)))]
pub(crate) async fn wait_for_parts(
    State(app): State<App>,
    At(id): At,
    Saw(saw): Saw,
    Writer(by): Writer,
    Body(why): Body<wire::Because>,
) -> Handled<Response> {
    Ok(changed(&app.store.wait_for_parts(&by, &id, saw, &why.because).await?))
}

/// Notes that parts came.
#[utoipa::path(post, path = "/api/v1/jobs/{id}/parts-arrived", tag = "jobs", params(("id" = String, Path, max_length = 120)),
    request_body = wire::Arrived, responses((status = 200, body = Kept<wire::Job>)))]
pub(crate) async fn parts_arrived(
    State(app): State<App>,
    At(id): At,
    Saw(saw): Saw,
    Writer(by): Writer,
    Body(came): Body<wire::Arrived>,
) -> Handled<Response> {
    Ok(changed(&app.store.parts_arrived(&by, &id, saw, &came.parts).await?))
}

/// Cancels a job; who would come sooner is to be rung now.
#[utoipa::path(post, path = "/api/v1/jobs/{id}/cancel", tag = "jobs", params(("id" = String, Path, max_length = 120)),
    request_body = wire::Because, responses((status = 200, body = Kept<wire::Job>)))]
pub(crate) async fn cancel(
    State(app): State<App>,
    At(id): At,
    Saw(saw): Saw,
    Writer(by): Writer,
    Body(why): Body<wire::Because>,
) -> Handled<Response> {
    Ok(changed(&app.store.cancel_job(&by, &id, saw, &why.because).await?))
}

/// Notes that the customer of a booked job would come sooner.
#[utoipa::path(post, path = "/api/v1/jobs/{id}/would-come-sooner", tag = "jobs", params(("id" = String, Path, max_length = 120)),
    responses((status = 201, body = Kept<wire::CallBack>)))]
pub(crate) async fn would_come_sooner(
    State(app): State<App>,
    At(id): At,
    Writer(by): Writer,
) -> Handled<Response> {
    Ok(made("call-backs", &app.store.would_come_sooner(&by, &id).await?))
}

/// Everything written for a job in the bay, oldest first.
#[derive(Serialize, ToSchema)]
pub(crate) struct Papers {
    /// Set-up sheets; the last is the one that holds.
    #[schema(value_type = Vec<Kept<wire::SetUpSheet>>)]
    sheets: Vec<Stored<SetUpSheet>>,
    /// What was read on the ramp.
    #[schema(value_type = Vec<Kept<wire::RampRecord>>)]
    ramp_records: Vec<Stored<RampRecord>>,
    /// Corrections.
    #[schema(value_type = Vec<Kept<wire::Correction>>)]
    corrections: Vec<Stored<Correction>>,
}

/// Papers of a job.
#[utoipa::path(get, path = "/api/v1/jobs/{id}/papers", tag = "jobs", params(("id" = String, Path, max_length = 120)),
    responses((status = 200, body = Papers)))]
pub(crate) async fn papers(State(app): State<App>, At(id): At) -> Handled<axum::Json<Papers>> {
    app.store.get::<Job>(&id).await?;
    Ok(axum::Json(Papers {
        sheets: app.store.naming(Kind::Job, &id).await?,
        ramp_records: app.store.naming(Kind::Job, &id).await?,
        corrections: app.store.naming(Kind::Job, &id).await?,
    }))
}

/// Ramps and opening hours.
#[utoipa::path(get, path = "/api/v1/diary", tag = "diary", responses((status = 200, body = Kept<wire::Diary>)))]
pub(crate) async fn diary(State(app): State<App>, headers: HeaderMap) -> Handled<Response> {
    Ok(shown(&app.store.diary().await?, &headers))
}

/// Sets ramps and opening hours; `If-Match: "0"` where there are none yet.
#[utoipa::path(put, path = "/api/v1/diary", tag = "diary", request_body = wire::Diary, responses((status = 200, body = Kept<wire::Diary>)))]
pub(crate) async fn set_diary(
    State(app): State<App>,
    Saw(saw): Saw,
    Writer(by): Writer,
    Body(new): Body<wire::Diary>,
) -> Handled<Response> {
    let (id, new): (Id, Diary) = ("diary".parse()?, record(&new)?);
    let set = if saw == 0 {
        app.store.add_as(&by, &id, &new).await
    } else {
        app.store.change(&by, &id, saw, &new).await
    };
    Ok(changed(&set?))
}

#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub(crate) struct Span {
    /// From, ms.
    from_ms: i64,
    /// To, ms.
    to_ms: i64,
}

/// Ramps held within a time.
#[utoipa::path(get, path = "/api/v1/diary/occupied", tag = "diary", params(Span), responses((status = 200, body = Vec<Object>)))]
pub(crate) async fn occupied(
    State(app): State<App>,
    Ask(span): Ask<Span>,
) -> Handled<axum::Json<Vec<Occupied>>> {
    Ok(axum::Json(app.store.occupied(span.from_ms, span.to_ms).await?))
}

#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub(crate) struct Wanted {
    /// Working time in nine of ten cases, minutes.
    #[param(minimum = 1, maximum = 100_000)]
    minutes_nine_in_ten: u32,
    /// Not before, ms; now where absent.
    not_before_ms: Option<i64>,
    /// Ramp; any where absent.
    ramp: Option<String>,
    /// Whether it must end before the next break.
    without_a_break: Option<bool>,
}

/// The first time at which a ramp is free for a job.
#[utoipa::path(get, path = "/api/v1/diary/first-free", tag = "diary", params(Wanted), responses((status = 200, body = Object)))]
pub(crate) async fn first_free(
    State(app): State<App>,
    Ask(wanted): Ask<Wanted>,
) -> Handled<axum::Json<FreeSlot>> {
    let from = wanted.not_before_ms.unwrap_or_else(|| app.now_ms());
    let without_a_break = wanted.without_a_break.unwrap_or(false);
    let found = app
        .store
        .first_free(wanted.minutes_nine_in_ten, from, wanted.ramp.as_deref(), without_a_break)
        .await?;
    Ok(axum::Json(found))
}

/// Calls that are due, longest due first.
#[utoipa::path(get, path = "/api/v1/call-backs/due", tag = "call-backs", responses((status = 200, body = List<wire::CallBack>)))]
pub(crate) async fn calls_due(State(app): State<App>) -> Handled<axum::Json<Listed<CallBack>>> {
    let records = app.store.call_backs(app.now_ms()).await?;
    Ok(axum::Json(Listed::whole(records)))
}

/// Notes that a call was made.
#[utoipa::path(post, path = "/api/v1/call-backs/{id}/made", tag = "call-backs", params(("id" = String, Path, max_length = 120)),
    request_body = wire::CallMade, responses((status = 200, body = Kept<wire::CallBack>)))]
pub(crate) async fn call_made(
    State(app): State<App>,
    At(id): At,
    Saw(saw): Saw,
    Writer(by): Writer,
    Body(made): Body<wire::CallMade>,
) -> Handled<Response> {
    Ok(changed(&app.store.call_made(&by, &id, saw, &made.outcome).await?))
}
