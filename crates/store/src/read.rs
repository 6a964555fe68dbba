//! Reading: single records, lists, search, history.

use serde::{Deserialize, Serialize};
use sqlx::AssertSqlSafe;

use crate::database::Store;
use crate::error::{Error, Result};
use crate::index::{SearchClass, wanted};
use crate::packed::Packed;
use crate::records::{Id, Kind, Record, Stored, read_body};
use crate::work::{Steps, get};

/// A part of a list.
#[derive(Debug, Clone, PartialEq)]
pub struct Page<T> {
    /// Records in the order that was asked for.
    pub records: Vec<Stored<T>>,
    /// Id that the next page goes on from; none at the end.
    pub next: Option<Id>,
}

/// One change of one record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct HistoryEntry {
    /// Counts all entries from 1.
    pub seq: i64,
    /// The deed it belongs to: the first entry of the deed.
    pub deed_no: i64,
    /// When, ms.
    pub at_ms: i64,
    /// Who.
    pub who: String,
    /// On which device.
    pub device: String,
    /// What was done.
    pub deed: String,
    /// Why.
    pub why: String,
    /// The deed that this one undoes.
    pub undoes: Option<i64>,
    /// Kind of the record, or the subject of an entry that changes none.
    pub kind: String,
    /// The record.
    pub id: String,
    /// Version it made; 0 where no record was changed.
    pub version: i64,
    /// Body before, JSON; none where there was none.
    pub before: Option<String>,
    /// Body after, JSON; none where the record was removed.
    pub after: Option<String>,
}

/// A record that a search found.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Found {
    /// Its kind.
    pub kind: Kind,
    /// Its id.
    pub id: Id,
    /// What it was found by.
    pub by: SearchClass,
}

/// Columns of `history` in the order of [`HistoryRow`].
pub(crate) const HISTORY: &str =
    "seq, deed_no, at_ms, who, device, deed, why, undoes, kind, id, version, before_body, after_body";

/// Subjects of the entries of [`Store::audit`].
const SUBJECTS_OF_AUDIT: &str = "'sign_in', 'session', 'token', 'device', 'calendar_feed', 'postal_form', 'answer_link', 'set_up', 'secret', 'password', 'user', 'refusal', 'backup', 'export', 'restore'";

#[derive(sqlx::FromRow)]
pub(crate) struct HistoryRow {
    seq: i64,
    deed_no: i64,
    at_ms: i64,
    who: String,
    device: String,
    deed: String,
    why: String,
    undoes: Option<i64>,
    kind: String,
    id: String,
    version: i64,
    before_body: Option<Packed>,
    after_body: Option<Packed>,
}

impl TryFrom<HistoryRow> for HistoryEntry {
    type Error = Error;

    fn try_from(row: HistoryRow) -> Result<Self> {
        Ok(Self {
            seq: row.seq,
            deed_no: row.deed_no,
            at_ms: row.at_ms,
            who: row.who,
            device: row.device,
            deed: row.deed,
            why: row.why,
            undoes: row.undoes,
            kind: row.kind,
            id: row.id,
            version: row.version,
            before: row.before_body.map(Packed::text).transpose()?,
            after: row.after_body.map(Packed::text).transpose()?,
        })
    }
}

pub(crate) type RecordRow = (String, i64, i64, Packed);

pub(crate) fn typed<T: Record>((id, version, updated_ms, body): RecordRow) -> Result<Stored<T>> {
    Ok(Stored { id: id.parse()?, version, updated_ms, body: read_body(&body.text()?)? })
}

impl Store {
    /// A record that stands.
    ///
    /// # Errors
    /// [`Error::NotFound`].
    pub async fn get<T: Record>(&self, id: &Id) -> Result<Stored<T>> {
        let mut connection = self.reader.acquire().await?;
        get(&mut connection, id).await
    }

    /// Records of a kind after an id, oldest first.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn list<T: Record>(&self, after: Option<&Id>, limit: u32) -> Result<Page<T>> {
        let rows = self.rows_after(T::KIND, after, limit).await?;
        let full = rows.len() == limit as usize;
        let records: Vec<Stored<T>> = rows.into_iter().map(typed).collect::<Result<_>>()?;
        let next = records.last().filter(|_| full).map(|last| last.id.clone());
        Ok(Page { records, next })
    }

    fn rows_after<'a>(&'a self, kind: Kind, after: Option<&'a Id>, limit: u32) -> Steps<'a, Vec<RecordRow>> {
        Box::pin(async move {
            let rows = sqlx::query_as(
            "SELECT id, version, updated_ms, body FROM records WHERE kind = $1 AND gone = 0 AND id > $2 ORDER BY id LIMIT $3",
        )
        .bind(kind.name())
        .bind(after.map_or("", Id::as_str))
        .bind(i64::from(limit))
        .fetch_all(&self.reader)
        .await?;
            Ok(rows)
        })
    }

    /// Records of a kind before an id, newest first; `next` goes on with older ones.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn latest<T: Record>(&self, before: Option<&Id>, limit: u32) -> Result<Page<T>> {
        let rows = self.rows_before(T::KIND, before, limit).await?;
        let full = rows.len() == limit as usize;
        let records: Vec<Stored<T>> = rows.into_iter().map(typed).collect::<Result<_>>()?;
        let next = records.last().filter(|_| full).map(|last| last.id.clone());
        Ok(Page { records, next })
    }

    fn rows_before<'a>(
        &'a self,
        kind: Kind,
        before: Option<&'a Id>,
        limit: u32,
    ) -> Steps<'a, Vec<RecordRow>> {
        Box::pin(async move {
            let rows = sqlx::query_as(
                "SELECT id, version, updated_ms, body FROM records
                 WHERE kind = $1 AND gone = 0 AND (id < $2 OR $2 = '') ORDER BY id DESC LIMIT $3",
            )
            .bind(kind.name())
            .bind(before.map_or("", Id::as_str))
            .bind(i64::from(limit))
            .fetch_all(&self.reader)
            .await?;
            Ok(rows)
        })
    }

    /// All records of a kind.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn all<T: Record>(&self) -> Result<Vec<Stored<T>>> {
        Ok(self.list(None, i32::MAX as u32).await?.records)
    }

    /// Records of a kind that name another record, oldest first: the vans of a customer, the papers of a job.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn naming<T: Record>(&self, kind: Kind, id: &Id) -> Result<Vec<Stored<T>>> {
        self.rows_naming(T::KIND, kind, id).await?.into_iter().map(typed).collect()
    }

    fn rows_naming<'a>(&'a self, kind: Kind, to_kind: Kind, to: &'a Id) -> Steps<'a, Vec<RecordRow>> {
        Box::pin(async move {
            let rows = sqlx::query_as(
                "SELECT r.id, r.version, r.updated_ms, r.body FROM links l
             JOIN records r ON r.kind = l.kind AND r.id = l.id
             WHERE l.to_kind = $1 AND l.to_id = $2 AND l.kind = $3 AND r.gone = 0 ORDER BY r.id",
            )
            .bind(to_kind.name())
            .bind(to.as_str())
            .bind(kind.name())
            .fetch_all(&self.reader)
            .await?;
            Ok(rows)
        })
    }

    /// Records found by a number plate, words of a name, part of a telephone number or words about a van. Every word
    /// must be found; plates and telephone numbers from three signs on.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn search(&self, text: &str, limit: usize) -> Result<Vec<Found>> {
        let mut found: Vec<Found> = Vec::new();
        for terms in wanted(text) {
            for hit in self.found_by_all(&terms).await? {
                if found.len() < limit && !found.iter().any(|f| (f.kind, &f.id) == (hit.kind, &hit.id)) {
                    found.push(hit);
                }
            }
        }
        Ok(found)
    }

    async fn found_by_all(&self, terms: &[(SearchClass, String)]) -> Result<Vec<Found>> {
        const MOST_WORDS: usize = 8;
        let Some((class, _)) = terms.first() else { return Ok(Vec::new()) };
        let terms = &terms[..terms.len().min(MOST_WORDS)];
        let conditions: String = (2..2 + terms.len())
            .map(|n| format!(" AND EXISTS (SELECT 1 FROM search_terms t WHERE t.kind = r.kind AND t.id = r.id AND t.class = $1 AND t.term LIKE ${n})"))
            .collect();
        let sql = format!(
            "SELECT r.kind, r.id FROM records r WHERE r.gone = 0{conditions} ORDER BY r.updated_ms DESC, r.id LIMIT 1000"
        );
        // folded terms hold letters and digits only, none of LIKE's signs
        let query = sqlx::query_as::<_, (String, String)>(AssertSqlSafe(sql)).bind(class.name());
        let query = terms.iter().fold(query, |query, (_, term)| query.bind(format!("%{term}%")));
        let rows = query.fetch_all(&self.reader).await?;
        rows.into_iter()
            .map(|(kind, id)| Ok(Found { kind: kind.parse()?, id: id.parse()?, by: *class }))
            .collect()
    }

    /// Every change of a record, oldest first.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn history_of(&self, kind: Kind, id: &Id) -> Result<Vec<HistoryEntry>> {
        let sql = format!("SELECT {HISTORY} FROM history WHERE kind = $1 AND id = $2 ORDER BY seq");
        let rows: Vec<HistoryRow> = sqlx::query_as(AssertSqlSafe(sql))
            .bind(kind.name())
            .bind(id.as_str())
            .fetch_all(&self.reader)
            .await?;
        rows.into_iter().map(TryInto::try_into).collect()
    }

    /// The latest changes before an entry, newest first.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn history(&self, before: Option<i64>, limit: u32) -> Result<Vec<HistoryEntry>> {
        let sql = format!("SELECT {HISTORY} FROM history WHERE seq < $1 ORDER BY seq DESC LIMIT $2");
        let rows: Vec<HistoryRow> = sqlx::query_as(AssertSqlSafe(sql))
            .bind(before.unwrap_or(i64::MAX))
            .bind(i64::from(limit))
            .fetch_all(&self.reader)
            .await?;
        rows.into_iter().map(TryInto::try_into).collect()
    }

    /// The latest entries about people and what they may do, before an entry, newest first: sign-ins and refusals,
    /// exports and restores, users with their roles, passwords, secrets made and ended.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn audit(&self, before: Option<i64>, limit: u32) -> Result<Vec<HistoryEntry>> {
        let sql = format!(
            "SELECT {HISTORY} FROM history WHERE seq < $1 AND kind IN ({SUBJECTS_OF_AUDIT}) ORDER BY seq DESC LIMIT $2"
        );
        let rows: Vec<HistoryRow> = sqlx::query_as(AssertSqlSafe(sql))
            .bind(before.unwrap_or(i64::MAX))
            .bind(i64::from(limit))
            .fetch_all(&self.reader)
            .await?;
        rows.into_iter().map(TryInto::try_into).collect()
    }

    /// The entries of one deed.
    ///
    /// # Errors
    /// [`Error::NoSuchDeed`].
    pub async fn deed(&self, deed_no: i64) -> Result<Vec<HistoryEntry>> {
        let mut connection = self.reader.acquire().await?;
        entries_of(&mut connection, deed_no).await
    }
}

pub(crate) async fn entries_of(
    connection: &mut sqlx::AnyConnection,
    deed_no: i64,
) -> Result<Vec<HistoryEntry>> {
    let sql = format!("SELECT {HISTORY} FROM history WHERE deed_no = $1 ORDER BY seq");
    let rows: Vec<HistoryRow> =
        sqlx::query_as(AssertSqlSafe(sql)).bind(deed_no).fetch_all(connection).await?;
    if rows.is_empty() {
        return Err(Error::NoSuchDeed(deed_no));
    }
    rows.into_iter().map(TryInto::try_into).collect()
}
