//! Who signed in, who was refused, what became of rights and secrets: for the owner.

use axum::extract::State;
use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use store::HistoryEntry;
use utoipa::{IntoParams, ToSchema};

use crate::app::App;
use crate::extract::Ask;
use crate::problem::{Handled, Problem};

#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub(crate) struct AuditPart {
    /// Entries before this one: the `next` of the part before; the latest where absent.
    before: Option<i64>,
    /// At most so many entries; 50 where absent.
    #[param(minimum = 1, maximum = 200)]
    limit: Option<u32>,
}

/// One entry.
#[derive(Serialize, ToSchema)]
pub(crate) struct AuditEntry {
    /// Its number in the history.
    seq: i64,
    /// When, UTC.
    at: String,
    /// Who; `(nobody)` where nobody was signed in.
    who: String,
    /// On which device, or from which address.
    device: String,
    /// What was done or refused.
    deed: String,
    /// Of what kind it is: `sign_in` where one failed, `session`, `token`, `device`, `secret`, `password`, `user`, `refusal` and others.
    subject: String,
    /// Which one.
    id: String,
    /// Why; of a refusal its code, and how often it occurred that day.
    because: String,
    /// A user before, with the role.
    #[serde(skip_serializing_if = "Option::is_none")]
    before: Option<Value>,
    /// A user after, with the role.
    #[serde(skip_serializing_if = "Option::is_none")]
    after: Option<Value>,
}

impl From<HistoryEntry> for AuditEntry {
    fn from(entry: HistoryEntry) -> Self {
        let body = |text: Option<String>| text.and_then(|text| serde_json::from_str(&text).ok());
        let at = Timestamp::from_millisecond(entry.at_ms).unwrap_or(Timestamp::UNIX_EPOCH);
        Self {
            seq: entry.seq,
            at: at.strftime("%Y-%m-%dT%H:%M:%S.%3fZ").to_string(),
            who: entry.who,
            device: entry.device,
            deed: entry.deed,
            subject: entry.kind,
            id: entry.id,
            because: entry.why,
            before: body(entry.before),
            after: body(entry.after),
        }
    }
}

/// A part of the audit.
#[derive(Serialize, ToSchema)]
pub(crate) struct Audit {
    /// Newest first.
    entries: Vec<AuditEntry>,
    /// Give it as `before` to get the next part; absent at the end.
    #[serde(skip_serializing_if = "Option::is_none")]
    next: Option<i64>,
}

/// Sign-ins and those that failed, refusals, exports, restores, secrets made and ended, users and their roles; newest
/// first.
#[utoipa::path(get, path = "/api/v1/audit", tag = "history", params(AuditPart), responses((status = 200, body = Audit)))]
pub(crate) async fn audit(State(app): State<App>, Ask(part): Ask<AuditPart>) -> Handled<axum::Json<Audit>> {
    let limit = part.limit.unwrap_or(50);
    if !(1..=200).contains(&limit) {
        return Err(Problem::invalid("limit", ("limit must be 1 to 200", "limit muss 1 bis 200 sein")));
    }
    let entries = app.store.audit(part.before, limit).await?;
    let is_full = entries.len() == limit as usize;
    let next = entries.last().filter(|_| is_full).map(|last| last.seq);
    Ok(axum::Json(Audit { entries: entries.into_iter().map(Into::into).collect(), next }))
}
