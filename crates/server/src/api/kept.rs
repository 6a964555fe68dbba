//! Records that are listed, read, added, changed and removed as they are.

use axum::extract::State;
use axum::http::{HeaderMap, StatusCode};
use axum::response::Response;
use store::{Page, records};

use crate::app::App;
use crate::caller::Writer;
use crate::extract::{Ask, At, Body, Paging, Saw, changed, made, record, shown};
use crate::problem::{Handled, Problem};
use crate::wire::{self, Kept, List};

/// A part of a list as a reply.
#[derive(serde::Serialize)]
pub(crate) struct Listed<T: store::Record> {
    records: Vec<store::Stored<T>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    next: Option<store::Id>,
}

impl<T: store::Record> Listed<T> {
    /// All there are.
    pub(crate) fn whole(records: Vec<store::Stored<T>>) -> Self {
        Self { records, next: None }
    }
}

impl<T: store::Record> From<Page<T>> for Listed<T> {
    fn from(page: Page<T>) -> Self {
        Self { records: page.records, next: page.next }
    }
}

/// Handlers that list and read records of a kind.
macro_rules! readable {
    ($($module:ident $kind:ident, $plural:literal, $list:literal, $item:literal;)*) => {$(
        pub(crate) mod $module {
            use super::*;

            /// Lists records, oldest first.
            #[utoipa::path(get, path = $list, tag = $plural,
                params(Paging), responses((status = 200, body = List<wire::$kind>)))]
            pub(crate) async fn list(State(app): State<App>, Ask(paging): Ask<Paging>) -> Handled<axum::Json<Listed<records::$kind>>> {
                let (after, limit) = paging.read()?;
                Ok(axum::Json(app.store.list(after.as_ref(), limit).await?.into()))
            }

            /// Reads a record.
            #[utoipa::path(get, path = $item, tag = $plural,
                params(("id" = String, Path, max_length = 120)), responses((status = 200, body = Kept<wire::$kind>)))]
            pub(crate) async fn read(State(app): State<App>, At(id): At, headers: HeaderMap) -> Handled<Response> {
                Ok(shown(&app.store.get::<records::$kind>(&id).await?, &headers))
            }
        }
    )*};
}

/// Handlers that add, change and remove records of a kind.
macro_rules! editable {
    ($($module:ident $kind:ident, $plural:literal, $list:literal, $item:literal;)*) => {$(
        pub(crate) mod $module {
            use super::*;

            /// Adds a record.
            #[utoipa::path(post, path = $list, tag = $plural,
                request_body = wire::$kind, responses((status = 201, body = Kept<wire::$kind>)))]
            pub(crate) async fn add(State(app): State<App>, Writer(by): Writer, Body(body): Body<wire::$kind>) -> Handled<Response> {
                let body: records::$kind = record(&body)?;
                Ok(made($plural, &app.store.add(&by, &body).await.map_err(Problem::of_body)?))
            }

            /// Changes a record that stands as it was seen.
            #[utoipa::path(put, path = $item, tag = $plural,
                params(("id" = String, Path, max_length = 120)),
                request_body = wire::$kind, responses((status = 200, body = Kept<wire::$kind>)))]
            pub(crate) async fn change(
                State(app): State<App>, At(id): At, Saw(saw): Saw, Writer(by): Writer, Body(body): Body<wire::$kind>,
            ) -> Handled<Response> {
                app.store.get::<records::$kind>(&id).await?;
                let body: records::$kind = record(&body)?;
                Ok(changed(&app.store.change(&by, &id, saw, &body).await.map_err(Problem::of_body)?))
            }

            /// Removes a record that stands as it was seen and that no other names.
            #[utoipa::path(delete, path = $item, tag = $plural,
                params(("id" = String, Path, max_length = 120)), responses((status = 204)))]
            pub(crate) async fn remove(State(app): State<App>, At(id): At, Saw(saw): Saw, Writer(by): Writer) -> Handled<StatusCode> {
                app.store.remove::<records::$kind>(&by, &id, saw).await?;
                Ok(StatusCode::NO_CONTENT)
            }
        }
    )*};
}

/// Handlers that write records with a name of their own; `If-Match: "0"` where there is none yet.
macro_rules! named {
    ($($module:ident $kind:ident, $plural:literal, $item:literal;)*) => {$(
        pub(crate) mod $module {
            use super::*;

            /// Adds a record under a name (`If-Match: "0"`), or changes one that stands as it was seen.
            #[utoipa::path(put, path = $item, tag = $plural,
                params(("id" = String, Path, max_length = 120)),
                request_body = wire::$kind, responses((status = 200, body = Kept<wire::$kind>)))]
            pub(crate) async fn set(
                State(app): State<App>, At(id): At, Saw(saw): Saw, Writer(by): Writer, Body(body): Body<wire::$kind>,
            ) -> Handled<Response> {
                let body: records::$kind = record(&body)?;
                let set = if saw == 0 { app.store.add_as(&by, &id, &body).await } else { app.store.change(&by, &id, saw, &body).await };
                Ok(changed(&set?))
            }
        }
    )*};
}

readable! {
    customers Customer, "customers", "/api/v1/customers", "/api/v1/customers/{id}";
    vans Van, "vans", "/api/v1/vans", "/api/v1/vans/{id}";
    enquiries Enquiry, "enquiries", "/api/v1/enquiries", "/api/v1/enquiries/{id}";
    quotes Quote, "quotes", "/api/v1/quotes", "/api/v1/quotes/{id}";
    jobs Job, "jobs", "/api/v1/jobs", "/api/v1/jobs/{id}";
    sheets SetUpSheet, "set-up-sheets", "/api/v1/set-up-sheets", "/api/v1/set-up-sheets/{id}";
    ramp_records RampRecord, "ramp-records", "/api/v1/ramp-records", "/api/v1/ramp-records/{id}";
    corrections Correction, "corrections", "/api/v1/corrections", "/api/v1/corrections/{id}";
    alignments Alignment, "alignments", "/api/v1/alignments", "/api/v1/alignments/{id}";
    ramp_times RampTime, "ramp-times", "/api/v1/ramp-times", "/api/v1/ramp-times/{id}";
    handovers Handover, "handovers", "/api/v1/handovers", "/api/v1/handovers/{id}";
    part_returns PartReturn, "part-returns", "/api/v1/part-returns", "/api/v1/part-returns/{id}";
    part_supplies PartSupply, "part-supplies", "/api/v1/part-supplies", "/api/v1/part-supplies/{id}";
    postal_sales PostalSale, "postal-sales", "/api/v1/postal-sales", "/api/v1/postal-sales/{id}";
    postal_heights PostalHeights, "postal-heights", "/api/v1/postal-heights", "/api/v1/postal-heights/{id}";
    call_backs CallBack, "call-backs", "/api/v1/call-backs", "/api/v1/call-backs/{id}";
    settings Setting, "settings", "/api/v1/settings", "/api/v1/settings/{id}";
    users User, "users", "/api/v1/users", "/api/v1/users/{id}";
    devices Device, "devices", "/api/v1/devices", "/api/v1/devices/{id}";
}

editable! {
    edit_customers Customer, "customers", "/api/v1/customers", "/api/v1/customers/{id}";
    edit_vans Van, "vans", "/api/v1/vans", "/api/v1/vans/{id}";
    edit_enquiries Enquiry, "enquiries", "/api/v1/enquiries", "/api/v1/enquiries/{id}";
    edit_alignments Alignment, "alignments", "/api/v1/alignments", "/api/v1/alignments/{id}";
    edit_ramp_times RampTime, "ramp-times", "/api/v1/ramp-times", "/api/v1/ramp-times/{id}";
    edit_part_returns PartReturn, "part-returns", "/api/v1/part-returns", "/api/v1/part-returns/{id}";
    edit_postal_sales PostalSale, "postal-sales", "/api/v1/postal-sales", "/api/v1/postal-sales/{id}";
    edit_call_backs CallBack, "call-backs", "/api/v1/call-backs", "/api/v1/call-backs/{id}";
}

named! {
    set_part_supplies PartSupply, "part-supplies", "/api/v1/part-supplies/{id}";
    set_settings Setting, "settings", "/api/v1/settings/{id}";
}

/// Vans of a customer.
#[utoipa::path(get, path = "/api/v1/customers/{id}/vans", tag = "customers",
    params(("id" = String, Path, max_length = 120)), responses((status = 200, body = List<wire::Van>)))]
pub(crate) async fn vans_of_customer(
    State(app): State<App>,
    At(id): At,
) -> Handled<axum::Json<Listed<records::Van>>> {
    let records = app.store.naming(store::Kind::Customer, &id).await?;
    Ok(axum::Json(Listed::whole(records)))
}

/// Answers given to an enquiry.
#[utoipa::path(get, path = "/api/v1/enquiries/{id}/answers", tag = "answers",
    params(("id" = String, Path, max_length = 120)), responses((status = 200, body = List<wire::Answer>)))]
pub(crate) async fn answers_of_enquiry(
    State(app): State<App>,
    At(id): At,
) -> Handled<axum::Json<Listed<records::Answer>>> {
    let records = app.store.naming(store::Kind::Enquiry, &id).await?;
    Ok(axum::Json(Listed::whole(records)))
}

/// Heights that came back by the form of a postal sale, oldest first.
#[utoipa::path(get, path = "/api/v1/postal-sales/{id}/heights", tag = "postal-heights",
    params(("id" = String, Path, max_length = 120)), responses((status = 200, body = List<wire::PostalHeights>)))]
pub(crate) async fn heights_of_sale(
    State(app): State<App>,
    At(id): At,
) -> Handled<axum::Json<Listed<records::PostalHeights>>> {
    app.store.get::<records::PostalSale>(&id).await?;
    Ok(axum::Json(Listed::whole(app.store.naming(store::Kind::PostalSale, &id).await?)))
}
