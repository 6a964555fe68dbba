//! Lines of an export. Bodies stand as they are kept, so that they come back to the byte.

use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;

use crate::error::{Error, Result};
use crate::read::HistoryEntry;

#[derive(Serialize, Deserialize)]
pub(crate) struct RecordLine {
    pub(crate) id: String,
    pub(crate) version: i64,
    pub(crate) gone: bool,
    pub(crate) updated_ms: i64,
    pub(crate) body: Box<RawValue>,
}

#[derive(Serialize, Deserialize)]
pub(crate) struct HistoryLine {
    pub(crate) seq: i64,
    pub(crate) deed_no: i64,
    pub(crate) at_ms: i64,
    pub(crate) who: String,
    pub(crate) device: String,
    pub(crate) deed: String,
    pub(crate) why: String,
    pub(crate) undoes: Option<i64>,
    pub(crate) kind: String,
    pub(crate) id: String,
    pub(crate) version: i64,
    pub(crate) before: Option<Box<RawValue>>,
    pub(crate) after: Option<Box<RawValue>>,
}

#[derive(Serialize, Deserialize, sqlx::FromRow)]
pub(crate) struct FileLine {
    pub(crate) digest: String,
    pub(crate) media_type: String,
    pub(crate) size_bytes: i64,
    pub(crate) added_ms: i64,
}

#[derive(Serialize, Deserialize, sqlx::FromRow)]
pub(crate) struct PasswordLine {
    pub(crate) owner: String,
    pub(crate) hash: String,
    pub(crate) set_ms: i64,
}

#[derive(Serialize, Deserialize, sqlx::FromRow)]
pub(crate) struct SecretLine {
    pub(crate) digest: String,
    pub(crate) id: String,
    pub(crate) purpose: String,
    pub(crate) owner: String,
    pub(crate) device: String,
    pub(crate) scope: String,
    pub(crate) made_ms: i64,
    pub(crate) used_ms: i64,
    pub(crate) idle_ms: Option<i64>,
    pub(crate) ends_ms: Option<i64>,
    pub(crate) ended_ms: Option<i64>,
}

#[derive(Serialize, Deserialize, sqlx::FromRow)]
pub(crate) struct TryLine {
    pub(crate) account: String,
    pub(crate) device: String,
    pub(crate) at_ms: i64,
}

#[derive(Serialize, Deserialize, sqlx::FromRow)]
pub(crate) struct KeyLine {
    pub(crate) write_key: String,
    pub(crate) asked: String,
    pub(crate) result: String,
    pub(crate) at_ms: i64,
}

pub(crate) fn raw(body: String) -> Result<Box<RawValue>> {
    RawValue::from_string(body).map_err(|e| Error::Damaged(e.to_string()))
}

impl TryFrom<HistoryEntry> for HistoryLine {
    type Error = Error;

    fn try_from(entry: HistoryEntry) -> Result<Self> {
        Ok(Self {
            seq: entry.seq,
            deed_no: entry.deed_no,
            at_ms: entry.at_ms,
            who: entry.who,
            device: entry.device,
            deed: entry.deed,
            why: entry.why,
            undoes: entry.undoes,
            kind: entry.kind,
            id: entry.id,
            version: entry.version,
            before: entry.before.map(raw).transpose()?,
            after: entry.after.map(raw).transpose()?,
        })
    }
}

impl From<HistoryLine> for HistoryEntry {
    fn from(line: HistoryLine) -> Self {
        Self {
            seq: line.seq,
            deed_no: line.deed_no,
            at_ms: line.at_ms,
            who: line.who,
            device: line.device,
            deed: line.deed,
            why: line.why,
            undoes: line.undoes,
            kind: line.kind,
            id: line.id,
            version: line.version,
            before: line.before.map(|body| body.get().to_owned()),
            after: line.after.map(|body| body.get().to_owned()),
        }
    }
}
