//! The JSON API. Its description (OpenAPI 3.1) is made from the handlers below.

#![allow(unused_qualifications)] // what is derived for parameters names them in full

mod audit;
mod catalogue;
pub(crate) mod computed;
mod jobs;
mod kept;
pub(crate) mod papers;
mod people;
mod photos;
pub(crate) mod quotes;

use axum::Router;
use axum::extract::State;
use axum::http::header::CONTENT_TYPE;
use axum::response::IntoResponse;
use utoipa::PartialSchema;
use utoipa::openapi::path::{HttpMethod, Operation, ParameterBuilder, ParameterIn};
use utoipa::openapi::security::{ApiKey, ApiKeyValue, HttpAuthScheme, HttpBuilder, SecurityScheme};
use utoipa::openapi::{
    ContentBuilder, InfoBuilder, ObjectBuilder, OpenApi, Ref, RefOr, Required, ResponseBuilder,
    SecurityRequirement, Type,
};
use utoipa_axum::router::OpenApiRouter;
use utoipa_axum::routes;

use crate::access::{Access, access, needs_key};
use crate::app::App;
use crate::problem::{PROBLEM_JSON, ProblemBody};
use crate::sign_in;

/// Writes that name the version they saw, beside every change and removal of a record.
const IF_MATCH_ON_POST: [&str; 10] = [
    "/api/v1/jobs/{id}/move",
    "/api/v1/jobs/{id}/start",
    "/api/v1/jobs/{id}/wait-for-parts",
    "/api/v1/jobs/{id}/parts-arrived",
    "/api/v1/jobs/{id}/cancel",
    "/api/v1/quotes/{id}/send",
    "/api/v1/quotes/{id}/answer",
    "/api/v1/handovers",
    "/api/v1/call-backs/{id}/made",
    "/api/v1/catalogue/revisions",
];

/// Whether a route needs `If-Match`.
pub(crate) fn needs_if_match(method: &str, route: &str) -> bool {
    match method {
        "PUT" => !route.ends_with("/passphrase") && !route.ends_with("/pin"),
        "DELETE" => route != "/api/v1/secrets/{id}",
        "POST" => IF_MATCH_ON_POST.contains(&route),
        _ => false,
    }
}

/// All routes of the API and their description.
pub(crate) fn router() -> (Router<App>, OpenApi) {
    let records = OpenApiRouter::new()
        .routes(routes!(kept::customers::list, kept::edit_customers::add))
        .routes(routes!(kept::customers::read, kept::edit_customers::change, kept::edit_customers::remove))
        .routes(routes!(kept::vans_of_customer))
        .routes(routes!(kept::vans::list, kept::edit_vans::add))
        .routes(routes!(kept::vans::read, kept::edit_vans::change, kept::edit_vans::remove))
        .routes(routes!(kept::enquiries::list, kept::edit_enquiries::add))
        .routes(routes!(kept::enquiries::read, kept::edit_enquiries::change, kept::edit_enquiries::remove))
        .routes(routes!(kept::alignments::list, kept::edit_alignments::add))
        .routes(routes!(kept::alignments::read, kept::edit_alignments::change, kept::edit_alignments::remove))
        .routes(routes!(kept::ramp_times::list, kept::edit_ramp_times::add))
        .routes(routes!(kept::ramp_times::read, kept::edit_ramp_times::change, kept::edit_ramp_times::remove))
        .routes(routes!(kept::part_returns::list, kept::edit_part_returns::add))
        .routes(routes!(
            kept::part_returns::read,
            kept::edit_part_returns::change,
            kept::edit_part_returns::remove
        ))
        .routes(routes!(kept::part_supplies::list))
        .routes(routes!(kept::part_supplies::read, kept::set_part_supplies::set))
        .routes(routes!(kept::postal_sales::list, kept::edit_postal_sales::add))
        .routes(routes!(
            kept::postal_sales::read,
            kept::edit_postal_sales::change,
            kept::edit_postal_sales::remove
        ))
        .routes(routes!(quotes::postal_link))
        .routes(routes!(kept::heights_of_sale))
        .routes(routes!(kept::postal_heights::list))
        .routes(routes!(kept::postal_heights::read))
        .routes(routes!(kept::call_backs::list, kept::edit_call_backs::add))
        .routes(routes!(kept::call_backs::read, kept::edit_call_backs::change, kept::edit_call_backs::remove))
        .routes(routes!(kept::settings::list))
        .routes(routes!(kept::settings::read, kept::set_settings::set));
    let answers = OpenApiRouter::new()
        .routes(routes!(computed::shortlist))
        .routes(routes!(computed::prediction))
        .routes(routes!(computed::ride))
        .routes(routes!(computed::why_of))
        .routes(routes!(computed::set_up))
        .routes(routes!(computed::wheels))
        .routes(routes!(kept::answers_of_enquiry, computed::give))
        .routes(routes!(computed::read))
        .routes(routes!(computed::difference_now))
        .routes(routes!(computed::again))
        .routes(routes!(quotes::link))
        .routes(routes!(quotes::linked))
        .routes(routes!(kept::quotes::list, quotes::draft))
        .routes(routes!(kept::quotes::read))
        .routes(routes!(quotes::send))
        .routes(routes!(quotes::take));
    let bay = OpenApiRouter::new()
        .routes(routes!(kept::jobs::list, jobs::book))
        .routes(routes!(kept::jobs::read, jobs::change))
        .routes(routes!(jobs::move_it))
        .routes(routes!(jobs::start))
        .routes(routes!(jobs::wait_for_parts))
        .routes(routes!(jobs::parts_arrived))
        .routes(routes!(jobs::cancel))
        .routes(routes!(jobs::would_come_sooner))
        .routes(routes!(jobs::papers))
        .routes(routes!(jobs::diary, jobs::set_diary))
        .routes(routes!(jobs::occupied))
        .routes(routes!(jobs::first_free))
        .routes(routes!(jobs::calls_due))
        .routes(routes!(jobs::call_made))
        .routes(routes!(kept::sheets::list, papers::issue_sheet))
        .routes(routes!(kept::sheets::read))
        .routes(routes!(kept::ramp_records::list, papers::record_heights))
        .routes(routes!(kept::ramp_records::read))
        .routes(routes!(papers::correction))
        .routes(routes!(papers::correct))
        .routes(routes!(kept::corrections::list))
        .routes(routes!(kept::corrections::read))
        .routes(routes!(kept::handovers::list, papers::hand_over))
        .routes(routes!(kept::handovers::read));
    let photos = OpenApiRouter::new()
        .routes(routes!(photos::of_van, photos::add_to_van))
        .routes(routes!(photos::of_job, photos::add_to_job))
        .routes(routes!(photos::read, photos::remove))
        .routes(routes!(photos::file));
    let house = OpenApiRouter::new()
        .routes(routes!(catalogue::contents))
        .routes(routes!(catalogue::document))
        .routes(routes!(catalogue::revise))
        .routes(routes!(catalogue::history))
        .routes(routes!(catalogue::history_of))
        .routes(routes!(catalogue::undo))
        .routes(routes!(catalogue::search))
        .routes(routes!(audit::audit))
        .routes(routes!(kept::users::list, people::add_user))
        .routes(routes!(kept::users::read, people::change_user))
        .routes(routes!(people::set_passphrase))
        .routes(routes!(kept::devices::list, people::add_device))
        .routes(routes!(kept::devices::read, people::change_device))
        .routes(routes!(people::enrol))
        .routes(routes!(people::tokens, people::add_token))
        .routes(routes!(people::sessions))
        .routes(routes!(people::end_secret))
        .routes(routes!(people::add_feed))
        .routes(routes!(sign_in::set_up))
        .routes(routes!(sign_in::sign_in))
        .routes(routes!(sign_in::sign_out))
        .routes(routes!(sign_in::me))
        .routes(routes!(sign_in::change_passphrase))
        .routes(routes!(sign_in::change_pin));
    let all = OpenApiRouter::new().merge(records).merge(answers).merge(bay).merge(photos).merge(house);
    let (router, api) = all.split_for_parts();
    (router, described(api))
}

/// The description of the API, OpenAPI 3.1.
pub(crate) async fn openapi(State(_): State<App>) -> impl IntoResponse {
    ([(CONTENT_TYPE, "application/json")], router().1.to_json().unwrap_or_default())
}

/// Adds what all operations have in common: problem bodies, `If-Match`, `Idempotency-Key`, who may.
fn described(mut api: OpenApi) -> OpenApi {
    api.info = InfoBuilder::new()
        .title("Archgap")
        .version(env!("CARGO_PKG_VERSION"))
        .description(Some(
            "Times are ms since 1970-01-01 UTC, money is whole minor units, corners are front left, front right, rear left, rear right. \
             Every POST carries an Idempotency-Key, except those that open, end or claim a session or a device (set-up, sign-in, \
             sign-out, enrol): their reply is a cookie, which is never given again, and repeating them harms nothing.",
        ))
        .build();
    let components = api.components.get_or_insert_default();
    components.schemas.insert("Problem".into(), ProblemBody::schema());
    components
        .schemas
        .insert("FieldProblem".into(), <crate::problem::FieldProblem as PartialSchema>::schema());
    let bearer = SecurityScheme::Http(HttpBuilder::new().scheme(HttpAuthScheme::Bearer).build());
    let session = SecurityScheme::ApiKey(ApiKey::Cookie(ApiKeyValue::new("archgap")));
    components.security_schemes.insert("token".into(), bearer.into());
    components.security_schemes.insert("session".into(), session.into());
    for (path, item) in &mut api.paths.paths {
        let operations = [
            (HttpMethod::Get, &mut item.get),
            (HttpMethod::Post, &mut item.post),
            (HttpMethod::Put, &mut item.put),
            (HttpMethod::Delete, &mut item.delete),
        ];
        for (method, operation) in operations {
            if let Some(operation) = operation {
                describe(path, method_name(&method), operation);
            }
        }
    }
    api
}

fn method_name(method: &HttpMethod) -> &'static str {
    match method {
        HttpMethod::Post => "POST",
        HttpMethod::Put => "PUT",
        HttpMethod::Delete => "DELETE",
        _ => "GET",
    }
}

/// Name of an operation for programs that are made from the description: `get_vans_id_photos`.
fn operation_id(method: &str, path: &str) -> String {
    let path = path.trim_start_matches("/api/v1/").replace(['{', '}'], "").replace(['/', '-'], "_");
    format!("{}_{path}", method.to_lowercase())
}

fn describe(path: &str, method: &str, operation: &mut Operation) {
    for (status, reply) in &mut operation.responses.responses {
        if let RefOr::T(reply) = reply
            && reply.description.is_empty()
        {
            reply.description = match status.as_str() {
                "201" => "Made".into(),
                "204" => "Done".into(),
                _ => "As asked".into(),
            };
        }
    }
    let body = ContentBuilder::new().schema(Some(Ref::from_schema_name("Problem"))).build();
    let problem = ResponseBuilder::new()
        .description("Refused; nothing was changed")
        .content(PROBLEM_JSON, body)
        .build();
    operation.responses.responses.insert("default".into(), problem.into());
    let header = |name: &str, about: &str, pattern: &str| {
        let text = ObjectBuilder::new().schema_type(Type::String);
        let text = text.min_length(Some(1)).max_length(Some(200)).pattern(Some(pattern));
        ParameterBuilder::new()
            .name(name)
            .parameter_in(ParameterIn::Header)
            .description(Some(about))
            .required(Required::True)
            .schema(Some(text))
            .build()
    };
    let mut more = Vec::new();
    if needs_if_match(method, path) {
        more.push(header("If-Match", "The ETag that was seen", "^\"[0-9]{1,18}\"$"));
    }
    if needs_key(method, path) {
        let about = "New for each new request, the same when it is repeated: nothing is done twice. \
            400 where it is missing, 409 while the first request is still being answered, 422 for another request.";
        more.push(header("Idempotency-Key", about, "^[!-~]+$"));
    }
    operation.parameters.get_or_insert_default().extend(more.into_iter().map(Into::into));
    operation.operation_id = Some(operation_id(method, path));
    let who = access(&method.parse().unwrap_or_default(), path);
    operation.description = who.map(|who| format!("For: {who:?}."));
    if who != Some(Access::Public) {
        let none: [&str; 0] = [];
        operation.security =
            Some(vec![SecurityRequirement::new("session", none), SecurityRequirement::new("token", none)]);
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::access::ROUTES;

    #[test]
    fn law_every_operation_has_a_line_about_who_may_and_every_line_an_operation() {
        let (_, api) = router();
        let described = serde_json::to_value(&api).unwrap_or_default();
        let (mut operations, mut ids) = (BTreeSet::new(), BTreeSet::new());
        for (path, item) in described["paths"].as_object().into_iter().flatten() {
            for (method, operation) in item.as_object().into_iter().flatten() {
                assert!(ids.insert(operation["operationId"].to_string()), "{method} {path}");
                operations.insert(format!("{} {path}", method.to_uppercase()));
            }
        }
        let of_api =
            ROUTES.iter().filter(|(_, path, _)| path.starts_with("/api/") && *path != "/api/v1/openapi.json");
        let lines: BTreeSet<String> = of_api.map(|(method, path, _)| format!("{method} {path}")).collect();
        assert_eq!(operations, lines);
    }
}
