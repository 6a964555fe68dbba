//! Who may do what: one line per route. A route without a line does not answer.

use axum::http::Method;
use store::records::Role;

use crate::caller::{Caller, READ};

/// Who may use a route.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Access {
    /// Anyone, signed in or not.
    Public,
    /// Anyone who is signed in.
    SignedIn,
    /// Anyone who is signed in, but no program: what changes one's own proofs.
    Person,
    /// Everyone who works here, and readers: nothing with prices or telephone numbers.
    Read,
    /// Everyone who works here.
    Bay,
    /// Counter and office.
    Office,
    /// Counter and office, but no program: what makes secrets that would outlive its own.
    OfficePerson,
    /// The owner, signed in with a passphrase.
    Owner,
}

use Access::{Bay, Office, OfficePerson, Owner, Person, Public, Read, SignedIn};

/// Method, route, who.
#[rustfmt::skip]
pub(crate) const ROUTES: &[(&str, &str, Access)] = &[
    ("GET", "/", SignedIn),
    ("GET", "/style.css", Public),
    ("GET", "/counter.js", Public),
    ("GET", "/drafts.js", Public),
    ("GET", "/icon.svg", Public),
    ("GET", "/loads.js", Public),
    ("GET", "/health", Public),
    ("GET", "/sign-in", Public),
    ("POST", "/sign-in", Public),
    ("POST", "/sign-out", SignedIn),
    ("GET", "/set-up", Public),
    ("POST", "/set-up", Public),
    ("GET", "/enquiries", Office),
    ("POST", "/enquiries", Office),
    ("GET", "/enquiries/new", Office),
    ("GET", "/enquiries/{id}", Office),
    ("POST", "/enquiries/{id}", Office),
    ("GET", "/enquiries/{id}/why", Office),
    ("GET", "/enquiries/{id}/loads", Office),
    ("POST", "/enquiries/{id}/loads", Office),
    ("GET", "/enquiries/{id}/compare", Office),
    ("GET", "/enquiries/{id}/quote", Office),
    ("POST", "/enquiries/{id}/quote", Office),
    ("POST", "/enquiries/{id}/close", Office),
    ("POST", "/enquiries/{id}/open", Office),
    ("GET", "/enquiries/{id}/book", Office),
    ("POST", "/enquiries/{id}/book", Office),
    ("GET", "/quotes", Office),
    ("GET", "/quotes/{id}", Office),
    ("GET", "/quotes/{id}/paper", Office),
    ("POST", "/quotes/{id}/given", Office),
    ("POST", "/quotes/{id}/answer", Office),
    ("POST", "/quotes/{id}/again", Office),
    ("GET", "/calls", Office),
    ("POST", "/calls/{id}/done", Office),
    ("POST", "/calls/{id}/later", Office),
    ("GET", "/bench", Bay),
    ("GET", "/catalogue", Office),
    ("GET", "/catalogue/document", Office),
    ("POST", "/catalogue/document", Office),
    ("GET", "/rules", Office),
    ("GET", "/import", Office),
    ("POST", "/import", Office),
    ("GET", "/diary", Read),
    ("GET", "/jobs", Read),
    ("GET", "/jobs/{id}", Read),
    ("POST", "/jobs/{id}/start", Bay),
    ("POST", "/jobs/{id}/wait", Bay),
    ("POST", "/jobs/{id}/arrived", Bay),
    ("POST", "/jobs/{id}/cancel", Office),
    ("POST", "/jobs/{id}/sooner", Office),
    ("POST", "/jobs/{id}/move", Office),
    ("GET", "/jobs/{id}/set-up-sheet", Read),
    ("GET", "/jobs/{id}/ramp", Bay),
    ("POST", "/jobs/{id}/ramp", Bay),
    ("GET", "/ramp-records/{id}", Read),
    ("POST", "/ramp-records/{id}/correction", Bay),
    ("GET", "/me", SignedIn),
    ("POST", "/me", Person),
    ("GET", "/search", Office),
    ("GET", "/answer/{code}", Public),
    ("GET", "/postal/{code}", Public),
    ("POST", "/postal/{code}", Public),
    ("GET", "/calendar/{feed}", Public),
    ("GET", "/api/v1/openapi.json", Public),
    ("POST", "/api/v1/set-up", Public),
    ("POST", "/api/v1/sign-in", Public),
    ("POST", "/api/v1/sign-out", SignedIn),
    ("POST", "/api/v1/enrol", Public),
    ("GET", "/api/v1/me", SignedIn),
    ("PUT", "/api/v1/me/passphrase", Person),
    ("PUT", "/api/v1/me/pin", Person),
    ("GET", "/api/v1/answer-links/{code}", Public),
    ("GET", "/api/v1/customers", Office),
    ("POST", "/api/v1/customers", Office),
    ("GET", "/api/v1/customers/{id}", Office),
    ("PUT", "/api/v1/customers/{id}", Office),
    ("DELETE", "/api/v1/customers/{id}", Office),
    ("GET", "/api/v1/customers/{id}/vans", Office),
    ("GET", "/api/v1/vans", Read),
    ("POST", "/api/v1/vans", Office),
    ("GET", "/api/v1/vans/{id}", Read),
    ("PUT", "/api/v1/vans/{id}", Office),
    ("DELETE", "/api/v1/vans/{id}", Office),
    ("GET", "/api/v1/vans/{id}/photos", Read),
    ("POST", "/api/v1/vans/{id}/photos", Bay),
    ("GET", "/api/v1/jobs/{id}/photos", Read),
    ("POST", "/api/v1/jobs/{id}/photos", Bay),
    ("GET", "/api/v1/photos/{id}", Read),
    ("GET", "/api/v1/photos/{id}/file", Read),
    ("DELETE", "/api/v1/photos/{id}", Office),
    ("GET", "/api/v1/enquiries", Office),
    ("POST", "/api/v1/enquiries", Office),
    ("GET", "/api/v1/enquiries/{id}", Office),
    ("PUT", "/api/v1/enquiries/{id}", Office),
    ("DELETE", "/api/v1/enquiries/{id}", Office),
    ("GET", "/api/v1/enquiries/{id}/shortlist", Office),
    ("GET", "/api/v1/enquiries/{id}/prediction", Office),
    ("GET", "/api/v1/enquiries/{id}/ride", Office),
    ("GET", "/api/v1/enquiries/{id}/why", Office),
    ("GET", "/api/v1/enquiries/{id}/set-up", Office),
    ("GET", "/api/v1/enquiries/{id}/wheels", Office),
    ("GET", "/api/v1/enquiries/{id}/answers", Office),
    ("POST", "/api/v1/enquiries/{id}/answers", Office),
    ("GET", "/api/v1/answers/{id}", Office),
    ("GET", "/api/v1/answers/{id}/difference", Office),
    ("POST", "/api/v1/answers/{id}/again", Office),
    ("POST", "/api/v1/answers/{id}/links", Office),
    ("GET", "/api/v1/quotes", Office),
    ("POST", "/api/v1/quotes", Office),
    ("GET", "/api/v1/quotes/{id}", Office),
    ("POST", "/api/v1/quotes/{id}/send", Office),
    ("POST", "/api/v1/quotes/{id}/answer", Office),
    ("GET", "/api/v1/jobs", Read),
    ("POST", "/api/v1/jobs", Office),
    ("GET", "/api/v1/jobs/{id}", Read),
    ("PUT", "/api/v1/jobs/{id}", Office),
    ("POST", "/api/v1/jobs/{id}/move", Office),
    ("POST", "/api/v1/jobs/{id}/start", Bay),
    ("POST", "/api/v1/jobs/{id}/wait-for-parts", Bay),
    ("POST", "/api/v1/jobs/{id}/parts-arrived", Bay),
    ("POST", "/api/v1/jobs/{id}/cancel", Office),
    ("POST", "/api/v1/jobs/{id}/would-come-sooner", Office),
    ("GET", "/api/v1/jobs/{id}/papers", Read),
    ("GET", "/api/v1/diary", Read),
    ("PUT", "/api/v1/diary", Owner),
    ("GET", "/api/v1/diary/occupied", Read),
    ("GET", "/api/v1/diary/first-free", Office),
    ("GET", "/api/v1/set-up-sheets", Read),
    ("POST", "/api/v1/set-up-sheets", Office),
    ("GET", "/api/v1/set-up-sheets/{id}", Read),
    ("GET", "/api/v1/ramp-records", Read),
    ("POST", "/api/v1/ramp-records", Bay),
    ("GET", "/api/v1/ramp-records/{id}", Read),
    ("GET", "/api/v1/ramp-records/{id}/correction", Read),
    ("POST", "/api/v1/ramp-records/{id}/corrections", Bay),
    ("GET", "/api/v1/corrections", Read),
    ("GET", "/api/v1/corrections/{id}", Read),
    ("GET", "/api/v1/alignments", Read),
    ("POST", "/api/v1/alignments", Bay),
    ("GET", "/api/v1/alignments/{id}", Read),
    ("PUT", "/api/v1/alignments/{id}", Bay),
    ("DELETE", "/api/v1/alignments/{id}", Office),
    ("GET", "/api/v1/ramp-times", Read),
    ("POST", "/api/v1/ramp-times", Bay),
    ("GET", "/api/v1/ramp-times/{id}", Read),
    ("PUT", "/api/v1/ramp-times/{id}", Bay),
    ("DELETE", "/api/v1/ramp-times/{id}", Office),
    ("GET", "/api/v1/handovers", Office),
    ("POST", "/api/v1/handovers", Office),
    ("GET", "/api/v1/handovers/{id}", Office),
    ("GET", "/api/v1/part-returns", Office),
    ("POST", "/api/v1/part-returns", Office),
    ("GET", "/api/v1/part-returns/{id}", Office),
    ("PUT", "/api/v1/part-returns/{id}", Office),
    ("DELETE", "/api/v1/part-returns/{id}", Office),
    ("GET", "/api/v1/part-supplies", Office),
    ("GET", "/api/v1/part-supplies/{id}", Office),
    ("PUT", "/api/v1/part-supplies/{id}", Office),
    ("GET", "/api/v1/postal-sales", Office),
    ("POST", "/api/v1/postal-sales", Office),
    ("GET", "/api/v1/postal-sales/{id}", Office),
    ("PUT", "/api/v1/postal-sales/{id}", Office),
    ("DELETE", "/api/v1/postal-sales/{id}", Office),
    ("POST", "/api/v1/postal-sales/{id}/links", Office),
    ("GET", "/api/v1/postal-sales/{id}/heights", Office),
    ("GET", "/api/v1/postal-heights", Office),
    ("GET", "/api/v1/postal-heights/{id}", Office),
    ("GET", "/api/v1/audit", Owner),
    ("GET", "/api/v1/call-backs", Office),
    ("GET", "/api/v1/call-backs/due", Office),
    ("POST", "/api/v1/call-backs", Office),
    ("GET", "/api/v1/call-backs/{id}", Office),
    ("PUT", "/api/v1/call-backs/{id}", Office),
    ("DELETE", "/api/v1/call-backs/{id}", Office),
    ("POST", "/api/v1/call-backs/{id}/made", Office),
    ("GET", "/api/v1/search", Office),
    ("GET", "/api/v1/catalogue", Office),
    ("POST", "/api/v1/catalogue/revisions", Office),
    ("GET", "/api/v1/catalogue/document", Office),
    ("GET", "/api/v1/history", Office),
    ("GET", "/api/v1/history/{kind}/{id}", Office),
    ("POST", "/api/v1/history/{deed}/undo", Office),
    ("GET", "/api/v1/settings", Office),
    ("GET", "/api/v1/settings/{id}", Office),
    ("PUT", "/api/v1/settings/{id}", Owner),
    ("GET", "/api/v1/users", Owner),
    ("POST", "/api/v1/users", Owner),
    ("GET", "/api/v1/users/{id}", Owner),
    ("PUT", "/api/v1/users/{id}", Owner),
    ("PUT", "/api/v1/users/{id}/passphrase", Owner),
    ("GET", "/api/v1/devices", Owner),
    ("POST", "/api/v1/devices", Owner),
    ("GET", "/api/v1/devices/{id}", Owner),
    ("PUT", "/api/v1/devices/{id}", Owner),
    ("GET", "/api/v1/tokens", Office),
    ("POST", "/api/v1/tokens", OfficePerson),
    ("GET", "/api/v1/sessions", SignedIn),
    ("DELETE", "/api/v1/secrets/{id}", Person),
    ("POST", "/api/v1/calendar-feeds", OfficePerson),
];

/// POSTs of the API without `Idempotency-Key`: they open, end or claim a session or a device. Their reply is a cookie,
/// which is never kept to be given again; a code is claimed once by itself, and signing in or out twice harms nothing.
pub(crate) const WITHOUT_KEY: [&str; 4] =
    ["/api/v1/set-up", "/api/v1/sign-in", "/api/v1/sign-out", "/api/v1/enrol"];

/// Whether a request must carry an `Idempotency-Key`. Forms on pages carry theirs among their fields.
pub(crate) fn needs_key(method: &str, route: &str) -> bool {
    method == "POST" && route.starts_with("/api/") && !WITHOUT_KEY.contains(&route)
}

/// Who may use a route; none where it has no line. HEAD is GET without a body.
pub(crate) fn access(method: &Method, route: &str) -> Option<Access> {
    let method = if method == Method::HEAD { "GET" } else { method.as_str() };
    ROUTES.iter().find(|(of, path, _)| (*of, *path) == (method, route)).map(|(_, _, access)| *access)
}

/// Methods of a route, for `Allow`.
pub(crate) fn methods(route: &str) -> Vec<&'static str> {
    ROUTES.iter().filter(|(_, path, _)| *path == route).map(|(method, ..)| *method).collect()
}

/// Whether a caller may use a route.
pub(crate) fn allows(access: Access, method: &Method, caller: Option<&Caller>) -> bool {
    let Some(caller) = caller else { return access == Public };
    let is_read = matches!(*method, Method::GET | Method::HEAD);
    if caller.scope == READ && !is_read && access != Public {
        return false;
    }
    match access {
        Public | SignedIn | Read => true,
        Person => caller.by_cookie,
        OfficePerson => caller.by_cookie && matches!(caller.role, Role::Owner | Role::Office),
        Bay => caller.role != Role::Reader,
        Office => matches!(caller.role, Role::Owner | Role::Office),
        // users, devices and settings are not for programs
        Owner => caller.role == Role::Owner && caller.by_cookie,
    }
}
