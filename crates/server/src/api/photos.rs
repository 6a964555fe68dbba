//! Photos of vans and jobs.

use axum::body::Bytes;
use axum::extract::State;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_SECURITY_POLICY, CONTENT_TYPE};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Response};
use serde::Deserialize;
use store::records::{Job, Photo, Van};
use store::{Id, Kind};
use utoipa::{IntoParams, ToSchema};

use super::kept::Listed;
use crate::app::App;
use crate::caller::Writer;
use crate::extract::{Ask, At, Saw, made, shown};
use crate::images::drawn_anew;
use crate::problem::{Handled, Problem};
use crate::wire::{self, Kept, List};

/// The bytes of a photo, at most 8 MiB and 32 million pixels.
#[derive(ToSchema)]
#[schema(value_type = String, format = Binary)]
#[allow(dead_code)] // describes a body that is read as bytes
pub(crate) struct PhotoFile(Vec<u8>);

#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub(crate) struct Captioned {
    /// What is to be seen.
    #[param(max_length = 200)]
    caption: Option<String>,
}

async fn add(
    app: &App,
    writer: &Writer,
    about: (Kind, &Id),
    caption: Option<String>,
    headers: &HeaderMap,
    bytes: Bytes,
) -> Handled<Response> {
    let caption = caption.unwrap_or_default();
    if caption.chars().count() > 200 || caption.contains('\0') {
        return Err(Problem::invalid(
            "caption",
            ("at most 200 characters, none of them NUL", "höchstens 200 Zeichen, keines davon NUL"),
        ));
    }
    let said = headers.get(CONTENT_TYPE).and_then(|said| said.to_str().ok()).unwrap_or_default().to_owned();
    let picture = app.compute(move || drawn_anew(&said, &bytes)).await??;
    let kept = app.store.add_photo(&writer.0, about, &caption, picture.media_type, &picture.bytes).await?;
    Ok(made("photos", &kept))
}

/// Keeps a photo of a van: JPEG or PNG, drawn anew, so that place, time and camera are not kept.
#[utoipa::path(post, path = "/api/v1/vans/{id}/photos", tag = "photos", params(("id" = String, Path, max_length = 120), Captioned),
    request_body(content((PhotoFile = "image/jpeg"), (PhotoFile = "image/png"))), responses((status = 201, body = Kept<wire::Photo>)))]
pub(crate) async fn add_to_van(
    State(app): State<App>,
    At(id): At,
    Ask(asked): Ask<Captioned>,
    writer: Writer,
    headers: HeaderMap,
    bytes: Bytes,
) -> Handled<Response> {
    app.store.get::<Van>(&id).await?;
    add(&app, &writer, (Kind::Van, &id), asked.caption, &headers, bytes).await
}

/// Keeps a photo of a job: JPEG or PNG, drawn anew, so that place, time and camera are not kept.
#[utoipa::path(post, path = "/api/v1/jobs/{id}/photos", tag = "photos", params(("id" = String, Path, max_length = 120), Captioned),
    request_body(content((PhotoFile = "image/jpeg"), (PhotoFile = "image/png"))), responses((status = 201, body = Kept<wire::Photo>)))]
pub(crate) async fn add_to_job(
    State(app): State<App>,
    At(id): At,
    Ask(asked): Ask<Captioned>,
    writer: Writer,
    headers: HeaderMap,
    bytes: Bytes,
) -> Handled<Response> {
    app.store.get::<Job>(&id).await?;
    add(&app, &writer, (Kind::Job, &id), asked.caption, &headers, bytes).await
}

/// Photos of a van, oldest first.
#[utoipa::path(get, path = "/api/v1/vans/{id}/photos", tag = "photos", params(("id" = String, Path, max_length = 120)),
    responses((status = 200, body = List<wire::Photo>)))]
pub(crate) async fn of_van(State(app): State<App>, At(id): At) -> Handled<axum::Json<Listed<Photo>>> {
    app.store.get::<Van>(&id).await?;
    Ok(axum::Json(Listed::whole(app.store.naming(Kind::Van, &id).await?)))
}

/// Photos of a job, oldest first.
#[utoipa::path(get, path = "/api/v1/jobs/{id}/photos", tag = "photos", params(("id" = String, Path, max_length = 120)),
    responses((status = 200, body = List<wire::Photo>)))]
pub(crate) async fn of_job(State(app): State<App>, At(id): At) -> Handled<axum::Json<Listed<Photo>>> {
    app.store.get::<Job>(&id).await?;
    Ok(axum::Json(Listed::whole(app.store.naming(Kind::Job, &id).await?)))
}

/// Reads what is known of a photo.
#[utoipa::path(get, path = "/api/v1/photos/{id}", tag = "photos", params(("id" = String, Path, max_length = 120)),
    responses((status = 200, body = Kept<wire::Photo>)))]
pub(crate) async fn read(State(app): State<App>, At(id): At, headers: HeaderMap) -> Handled<Response> {
    Ok(shown(&app.store.get::<Photo>(&id).await?, &headers))
}

/// The picture itself, to be saved: it never runs as a page of this server.
#[utoipa::path(get, path = "/api/v1/photos/{id}/file", tag = "photos", params(("id" = String, Path, max_length = 120)),
    responses((status = 200, content((PhotoFile = "image/jpeg"), (PhotoFile = "image/png")))))]
pub(crate) async fn file(State(app): State<App>, At(id): At) -> Handled<Response> {
    let photo = app.store.get::<Photo>(&id).await?.body;
    let kept = app.store.file(&photo.sha256).await?;
    // whatever was kept by other ways is given as bytes without meaning
    let (media_type, ending) = match photo.media_type.as_str() {
        "image/jpeg" => ("image/jpeg", "jpg"),
        "image/png" => ("image/png", "png"),
        _ => ("application/octet-stream", "bin"),
    };
    let head = [
        (CONTENT_TYPE, media_type.to_owned()),
        (CONTENT_DISPOSITION, format!("attachment; filename=\"photo.{ending}\"")),
        (CONTENT_SECURITY_POLICY, "default-src 'none'; sandbox; frame-ancestors 'none'".to_owned()),
    ];
    Ok((head, kept.bytes).into_response())
}

/// Removes a photo that no other record names; its history and bytes stay.
#[utoipa::path(delete, path = "/api/v1/photos/{id}", tag = "photos", params(("id" = String, Path, max_length = 120)),
    responses((status = 204)))]
pub(crate) async fn remove(
    State(app): State<App>,
    At(id): At,
    Saw(saw): Saw,
    Writer(by): Writer,
) -> Handled<StatusCode> {
    app.store.remove_photo(&by, &id, saw).await?;
    Ok(StatusCode::NO_CONTENT)
}
