//! Undoing a deed by a new one.

use sqlx::AssertSqlSafe;

use crate::by::By;
use crate::database::Store;
use crate::error::{Error, Result};
use crate::read::{HISTORY, HistoryEntry, HistoryRow, entries_of};
use crate::records::{Id, Kind};
use crate::work::{Work, begin};

impl Store {
    /// Undoes a deed: every record it changed stands again as before, as a new entry of the history whose number is
    /// returned. Undoing that entry does the deed again.
    ///
    /// # Errors
    /// [`Error::LaterWork`] where a record was changed since, unless `confirmed`; [`Error::CannotUndo`] for what has no
    /// way back (sign-ins, passwords, users, catalogue revisions); [`Error::StillUsed`] where a record that would go is named
    /// by others; [`Error::RampTaken`] where the ramp was given away since.
    pub async fn undo(&self, by: &By, deed_no: i64, confirmed: bool) -> Result<i64> {
        let mut work = begin!(self, by, "undo", (deed_no, confirmed));
        work.undoes = Some(deed_no);
        let entries = entries_of(work.connection(), deed_no).await?;
        let mut later = Vec::new();
        for entry in &entries {
            if !can_be_undone(entry) {
                return Err(Error::CannotUndo { deed: entry.deed.clone() });
            }
            later.extend(changed_since(&mut work, entry).await?);
        }
        if !confirmed && !later.is_empty() {
            return Err(Error::LaterWork(later));
        }
        // last change first, so that a record made after another goes before it
        for entry in entries.iter().rev() {
            let (kind, id) = subject(entry)?;
            let row = work.row(kind, &id).await?;
            let row =
                row.ok_or_else(|| Error::Damaged(format!("history of {kind} {id} without a record")))?;
            if row.gone && entry.before.is_none() {
                continue; // went by a later deed already
            }
            let stands = (!row.gone).then_some(&*row.body);
            let before = entry.before.as_deref();
            let before = before.map(|body| kind.index_of(body).map(|index| (body, index))).transpose()?;
            work.put(kind, &id, row.version + 1, stands, before).await?;
        }
        let number = work.deed_no();
        work.done(number).await
    }
}

fn can_be_undone(entry: &HistoryEntry) -> bool {
    let one_way = [Kind::CatalogueRevision, Kind::User];
    entry.version > 0 && !one_way.iter().any(|kind| kind.name() == entry.kind)
}

fn subject(entry: &HistoryEntry) -> Result<(Kind, Id)> {
    Ok((entry.kind.parse()?, entry.id.parse()?))
}

/// Changes of the same record by later deeds.
async fn changed_since(work: &mut Work, entry: &HistoryEntry) -> Result<Vec<HistoryEntry>> {
    let sql = format!(
        "SELECT {HISTORY} FROM history WHERE kind = $1 AND id = $2 AND version > $3 AND deed_no <> $4 ORDER BY seq"
    );
    let rows: Vec<HistoryRow> = sqlx::query_as(AssertSqlSafe(sql))
        .bind(&*entry.kind)
        .bind(&*entry.id)
        .bind(entry.version)
        .bind(entry.deed_no)
        .fetch_all(work.connection())
        .await?;
    rows.into_iter().map(TryInto::try_into).collect()
}
