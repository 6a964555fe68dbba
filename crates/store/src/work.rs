//! One deed: a write transaction that keeps history, guards versions and remembers the caller's key.

use std::pin::Pin;

use serde::Serialize;
use serde::de::DeserializeOwned;
use sha2::{Digest, Sha256};
use sqlx::{Any, AnyConnection, Transaction};

use crate::by::By;
use crate::database::Store;
use crate::error::{Conflict, Error, Result};
use crate::index::{Index, State};
use crate::packed::Packed;
use crate::records::{Id, Kind, Record, Stored, read_body, to_json, write_body};

/// Steps that are compiled once, here, and not anew for every kind of record and in every crate that waits for them.
pub(crate) type Steps<'a, T> = Pin<Box<dyn Future<Output = Result<T>> + Send + 'a>>;

/// How a deed begins.
pub(crate) enum Begun<T> {
    /// The key was used for this very request: the result it had.
    Before(T),
    /// Work to do.
    Now(Box<Work>),
}

/// Begins a deed, or returns the result it had when it was done under the same key.
macro_rules! begin {
    ($store:expr, $by:expr, $deed:expr, $asked:expr) => {
        match $store.begin($by, $deed, &$asked).await? {
            $crate::work::Begun::Before(result) => return Ok(result),
            $crate::work::Begun::Now(work) => *work,
        }
    };
}
pub(crate) use begin;

/// A deed being done. Nothing stands until [`Work::done`].
pub(crate) struct Work {
    transaction: Transaction<'static, Any>,
    pub(crate) by: By,
    pub(crate) deed: String,
    asked: Option<(String, String)>,
    deed_no: i64,
    next_seq: i64,
    pub(crate) undoes: Option<i64>,
}

/// A row of `records`, untyped.
pub(crate) struct Row {
    pub(crate) version: i64,
    pub(crate) gone: bool,
    pub(crate) body: String,
}

impl Store {
    pub(crate) async fn begin<T: DeserializeOwned>(
        &self,
        by: &By,
        deed: &str,
        asked: &impl Serialize,
    ) -> Result<Begun<T>> {
        let asked = by.key.as_ref().map(|_| to_json(&(&by.who, deed, asked))).transpose()?;
        match self.begin_asked(by, deed, asked).await? {
            Begun::Before(result) => {
                let result = serde_json::from_str(&result).map_err(|e| Error::Damaged(e.to_string()))?;
                Ok(Begun::Before(result))
            }
            Begun::Now(work) => Ok(Begun::Now(work)),
        }
    }

    fn begin_asked<'a>(
        &'a self,
        by: &'a By,
        deed: &'a str,
        asked: Option<String>,
    ) -> Steps<'a, Begun<String>> {
        Box::pin(async move {
            by.check()?;
            let mut transaction = self.write().await?;
            let mut kept = None;
            if let (Some(key), Some(asked)) = (&by.key, asked) {
                let digest = sha256(asked.as_bytes());
                let before: Option<(String, Packed)> =
                    sqlx::query_as("SELECT asked, result FROM write_keys WHERE write_key = $1")
                        .bind(key)
                        .fetch_optional(&mut *transaction)
                        .await?;
                match before {
                    Some((asked, result)) if asked == digest => return Ok(Begun::Before(result.text()?)),
                    Some(_) => return Err(Error::KeyUsedOtherwise { key: key.clone() }),
                    None => kept = Some((key.clone(), digest)),
                }
            }
            let (last,): (Option<i64>,) =
                sqlx::query_as("SELECT MAX(seq) FROM history").fetch_one(&mut *transaction).await?;
            let deed_no = last.unwrap_or(0) + 1;
            Ok(Begun::Now(Box::new(Work {
                transaction,
                by: by.clone(),
                deed: deed.to_owned(),
                asked: kept,
                deed_no,
                next_seq: deed_no,
                undoes: None,
            })))
        })
    }
}

/// Keys are promised for seven days; a day more covers clocks that differ.
const KEYS_KEPT_MS: i64 = 8 * 24 * 60 * 60 * 1000;

impl Store {
    /// Forgets what need not be kept: keys of writes after eight days, failed sign-ins and ended or idle secrets after a
    /// month. To be called once a day.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn tidy(&self, at_ms: i64) -> Result<()> {
        const MONTH_MS: i64 = 31 * 24 * 60 * 60 * 1000;
        let mut transaction = self.write().await?;
        for (sql, before_ms) in [
            ("DELETE FROM write_keys WHERE at_ms < $1", at_ms - KEYS_KEPT_MS),
            ("DELETE FROM failed_tries WHERE at_ms < $1", at_ms - MONTH_MS),
            (
                "DELETE FROM secrets WHERE ended_ms < $1 OR ends_ms < $1 OR used_ms + idle_ms < $1",
                at_ms - MONTH_MS,
            ),
        ] {
            sqlx::query(sql).bind(before_ms).execute(&mut *transaction).await?;
        }
        Ok(transaction.commit().await?)
    }
}

impl Work {
    /// The connection, for tables that are not records.
    pub(crate) fn connection(&mut self) -> &mut AnyConnection {
        &mut self.transaction
    }

    /// Number of this deed in the history.
    pub(crate) fn deed_no(&self) -> i64 {
        self.deed_no
    }

    /// A record that stands.
    pub(crate) async fn get<T: Record>(&mut self, id: &Id) -> Result<Stored<T>> {
        get(self.connection(), id).await
    }

    /// A record that stands, if the writer saw its latest version.
    pub(crate) async fn get_seen<T: Record>(&mut self, id: &Id, saw: i64) -> Result<Stored<T>> {
        let stored = self.get::<T>(id).await?;
        if stored.version == saw {
            return Ok(stored);
        }
        let theirs = to_json(&stored.body)?;
        Err(Error::Conflict(Box::new(Conflict {
            kind: T::KIND,
            id: id.clone(),
            saw,
            stands: stored.version,
            mine: String::new(),
            theirs,
        })))
    }

    /// Adds a record under a new id.
    pub(crate) async fn add<T: Record>(&mut self, body: &T) -> Result<Stored<T>> {
        let id = Id::at(self.by.at_ms);
        self.add_as(&id, body).await
    }

    /// Adds a record under a given id.
    pub(crate) async fn add_as<T: Record>(&mut self, id: &Id, body: &T) -> Result<Stored<T>> {
        let row = self.row(T::KIND, id).await?;
        if row.as_ref().is_some_and(|row| !row.gone) {
            return Err(Error::Exists { kind: T::KIND, id: id.clone() });
        }
        let version = row.map_or(0, |row| row.version) + 1;
        self.put(T::KIND, id, version, None, Some((&write_body(body)?, Index::of(body)))).await?;
        Ok(self.stored(id, version, body))
    }

    /// Changes a record of which the writer saw a version.
    pub(crate) async fn change<T: Record>(&mut self, id: &Id, saw: i64, body: &T) -> Result<Stored<T>> {
        let after = write_body(body)?;
        let stands = self.get_seen::<T>(id, saw).await.map_err(|e| wanted(e, &after))?;
        let before = write_body(&stands.body)?;
        self.put(T::KIND, id, saw + 1, Some(&before), Some((&after, Index::of(body)))).await?;
        Ok(self.stored(id, saw + 1, body))
    }

    /// Removes a record of which the writer saw a version.
    pub(crate) async fn remove<T: Record>(&mut self, id: &Id, saw: i64) -> Result<()> {
        let stands = self.get_seen::<T>(id, saw).await?;
        self.put(T::KIND, id, saw + 1, Some(&write_body(&stands.body)?), None).await
    }

    fn stored<T: Record>(&self, id: &Id, version: i64, body: &T) -> Stored<T> {
        Stored { id: id.clone(), version, updated_ms: self.by.at_ms, body: body.clone() }
    }

    /// A row of `records`, gone or not.
    pub(crate) async fn row(&mut self, kind: Kind, id: &Id) -> Result<Option<Row>> {
        let row: Option<(i64, i64, Packed)> =
            sqlx::query_as("SELECT version, gone, body FROM records WHERE kind = $1 AND id = $2")
                .bind(kind.name())
                .bind(id.as_str())
                .fetch_optional(self.connection())
                .await?;
        row.map(|(version, gone, body)| Ok(Row { version, gone: gone != 0, body: body.text()? })).transpose()
    }

    /// Writes a version of a record, its history and everything derived from it. `after` none: the record is removed.
    pub(crate) fn put<'a>(
        &'a mut self,
        kind: Kind,
        id: &'a Id,
        version: i64,
        before: Option<&'a str>,
        after: Option<(&'a str, Index)>,
    ) -> Steps<'a, ()> {
        Box::pin(async move {
            let at_ms = self.by.at_ms;
            let (after, index) = after.unzip();
            let (before, after) = (before.map(Packed::of), after.map(Packed::of));
            sqlx::query(
            "INSERT INTO records (kind, id, version, gone, updated_ms, body) VALUES ($1, $2, $3, $4, $5, $6)
             ON CONFLICT (kind, id) DO UPDATE SET version = $3, gone = $4, updated_ms = $5, body = $6",
        )
        .bind(kind.name())
        .bind(id.as_str())
        .bind(version)
        .bind(i64::from(after.is_none()))
        .bind(at_ms)
        .bind(after.as_ref().or(before.as_ref()))
        .execute(self.connection())
        .await?;
            self.remember(kind.name(), id.as_str(), version, before.as_ref(), after.as_ref()).await?;
            if index.is_none() {
                self.refuse_if_used(kind, id).await?;
            }
            derive(self.connection(), kind, id, &index.unwrap_or_default()).await
        })
    }

    /// Adds an entry to the history that changes no record.
    pub(crate) async fn note(&mut self, subject: &str, id: &str) -> Result<()> {
        self.remember(subject, id, 0, None, None).await
    }

    async fn remember(
        &mut self,
        kind: &str,
        id: &str,
        version: i64,
        before: Option<&Packed>,
        after: Option<&Packed>,
    ) -> Result<()> {
        sqlx::query(
            "INSERT INTO history (seq, deed_no, at_ms, who, device, deed, why, undoes, kind, id, version, before_body, after_body)
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13)",
        )
        .bind(self.next_seq)
        .bind(self.deed_no)
        .bind(self.by.at_ms)
        .bind(&*self.by.who)
        .bind(&*self.by.device)
        .bind(&*self.deed)
        .bind(&*self.by.why)
        .bind(self.undoes)
        .bind(kind)
        .bind(id)
        .bind(version)
        .bind(before)
        .bind(after)
        .execute(&mut *self.transaction)
        .await?;
        self.next_seq += 1;
        Ok(())
    }

    async fn refuse_if_used(&mut self, kind: Kind, id: &Id) -> Result<()> {
        let used: Option<(String, String)> = sqlx::query_as(
            "SELECT kind, id FROM links WHERE to_kind = $1 AND to_id = $2 ORDER BY kind, id LIMIT 1",
        )
        .bind(kind.name())
        .bind(id.as_str())
        .fetch_optional(self.connection())
        .await?;
        match used {
            Some((by_kind, by_id)) => Err(Error::StillUsed {
                kind,
                id: id.clone(),
                by_kind: by_kind.parse()?,
                by_id: by_id.parse()?,
            }),
            None => Ok(()),
        }
    }

    /// Ends the deed: effect, history and key together, or nothing.
    pub(crate) async fn done<T: Serialize>(self, result: T) -> Result<T> {
        let kept = if self.asked.is_some() { to_json(&result)? } else { String::new() };
        self.end(kept).await?;
        Ok(result)
    }

    fn end(mut self, result: String) -> Steps<'static, ()> {
        Box::pin(async move {
            if let Some((key, asked)) = self.asked.take() {
                sqlx::query(
                    "INSERT INTO write_keys (write_key, asked, result, at_ms) VALUES ($1, $2, $3, $4)",
                )
                .bind(key)
                .bind(asked)
                .bind(Packed::of(&result))
                .bind(self.by.at_ms)
                .execute(&mut *self.transaction)
                .await?;
            }
            Ok(self.transaction.commit().await?)
        })
    }
}

/// A conflict with what the writer wanted.
fn wanted(error: Error, mine: &str) -> Error {
    match error {
        Error::Conflict(mut conflict) => {
            mine.clone_into(&mut conflict.mine);
            Error::Conflict(conflict)
        }
        other => other,
    }
}

/// A record that stands.
pub(crate) async fn get<T: Record>(connection: &mut AnyConnection, id: &Id) -> Result<Stored<T>> {
    let (version, updated_ms, body) = standing(connection, T::KIND, id).await?;
    Ok(Stored { id: id.clone(), version, updated_ms, body: read_body(&body)? })
}

fn standing<'a>(connection: &'a mut AnyConnection, kind: Kind, id: &'a Id) -> Steps<'a, (i64, i64, String)> {
    Box::pin(async move {
        let row: Option<(i64, i64, Packed)> = sqlx::query_as(
            "SELECT version, updated_ms, body FROM records WHERE kind = $1 AND id = $2 AND gone = 0",
        )
        .bind(kind.name())
        .bind(id.as_str())
        .fetch_optional(connection)
        .await?;
        let (version, updated_ms, body) = row.ok_or_else(|| Error::NotFound { kind, id: id.to_string() })?;
        Ok((version, updated_ms, body.text()?))
    })
}

/// Writes everything derived from a record anew. A record it names must stand; a ramp it holds must be free.
pub(crate) async fn derive(connection: &mut AnyConnection, kind: Kind, id: &Id, index: &Index) -> Result<()> {
    for table in [
        "DELETE FROM links WHERE kind = $1 AND id = $2",
        "DELETE FROM search_terms WHERE kind = $1 AND id = $2",
        "DELETE FROM states WHERE kind = $1 AND id = $2",
    ] {
        sqlx::query(table).bind(kind.name()).bind(id.as_str()).execute(&mut *connection).await?;
    }
    for (to_kind, to_id) in &index.links {
        let stands: Option<(i64,)> =
            sqlx::query_as("SELECT version FROM records WHERE kind = $1 AND id = $2 AND gone = 0")
                .bind(to_kind.name())
                .bind(to_id.as_str())
                .fetch_optional(&mut *connection)
                .await?;
        stands.ok_or_else(|| Error::NotFound { kind: *to_kind, id: to_id.to_string() })?;
        sqlx::query(
            "INSERT INTO links (kind, id, to_kind, to_id) VALUES ($1, $2, $3, $4) ON CONFLICT DO NOTHING",
        )
        .bind(kind.name())
        .bind(id.as_str())
        .bind(to_kind.name())
        .bind(to_id.as_str())
        .execute(&mut *connection)
        .await?;
    }
    for (class, term) in &index.terms {
        sqlx::query("INSERT INTO search_terms (kind, id, class, term) VALUES ($1, $2, $3, $4)")
            .bind(kind.name())
            .bind(id.as_str())
            .bind(class.name())
            .bind(&**term)
            .execute(&mut *connection)
            .await?;
    }
    if let Some(State { state, begins_ms, ends_ms }) = index.state {
        sqlx::query("INSERT INTO states (kind, id, state, begins_ms, ends_ms) VALUES ($1, $2, $3, $4, $5)")
            .bind(kind.name())
            .bind(id.as_str())
            .bind(state)
            .bind(begins_ms)
            .bind(ends_ms)
            .execute(&mut *connection)
            .await?;
    }
    if kind == Kind::Job {
        hold_ramp(connection, id, index).await?;
    }
    Ok(())
}

async fn hold_ramp(connection: &mut AnyConnection, job: &Id, index: &Index) -> Result<()> {
    sqlx::query("DELETE FROM bookings WHERE job = $1").bind(job.as_str()).execute(&mut *connection).await?;
    let Some(held) = &index.held else { return Ok(()) };
    let taken: Option<(String, i64, i64)> = sqlx::query_as(
        "SELECT job, from_ms, to_ms FROM bookings WHERE ramp = $1 AND from_ms < $3 AND to_ms > $2 LIMIT 1",
    )
    .bind(&*held.ramp)
    .bind(held.from_ms)
    .bind(held.to_ms)
    .fetch_optional(&mut *connection)
    .await?;
    if let Some((job, from_ms, to_ms)) = taken {
        return Err(Error::RampTaken { ramp: held.ramp.clone(), job: job.parse()?, from_ms, to_ms });
    }
    sqlx::query("INSERT INTO bookings (job, ramp, from_ms, to_ms) VALUES ($1, $2, $3, $4)")
        .bind(job.as_str())
        .bind(&*held.ramp)
        .bind(held.from_ms)
        .bind(held.to_ms)
        .execute(connection)
        .await?;
    Ok(())
}

/// SHA-256 in hexadecimal digits.
pub(crate) fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}
