//! Taking plain files back: all or nothing.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use serde::de::DeserializeOwned;
use sqlx::{AnyConnection, AssertSqlSafe};

use super::export::history_after;
use super::lines::{FileLine, HistoryLine, KeyLine, PasswordLine, RecordLine, SecretLine, TryLine};
use super::{Form, ImportPreview, KindPreview, Manifest, TABLES, counts};
use crate::database::Store;
use crate::error::{Error, Result};
use crate::packed::Packed;
use crate::read::HistoryEntry;
use crate::records::{Id, Kind};
use crate::work::{derive, sha256};

impl Store {
    /// What an import would do. Changes nothing.
    ///
    /// # Errors
    /// [`Error::Refused`] for a folder that is missing, unfinished, damaged or of a later program.
    pub async fn preview_import(&self, folder: &Path) -> Result<ImportPreview> {
        plain_files(folder)?;
        let mut snapshot = self.snapshot().await?;
        let (new_history, diverges_at) = compare_history(&mut snapshot, folder).await?;
        let mut kinds = Vec::new();
        for kind in Kind::ALL {
            kinds.extend(preview_kind(&mut snapshot, folder, *kind).await?);
        }
        snapshot.rollback().await?;
        Ok(ImportPreview { kinds, new_history, diverges_at })
    }

    /// Takes an export back: into an empty store, or into one whose history the export continues. The store is then the
    /// same as the one that was exported, to the byte; on any fault it stays as it was.
    ///
    /// # Errors
    /// [`Error::ImportDiverges`] where the store holds work the export does not; [`Error::Refused`].
    pub async fn import(&self, folder: &Path) -> Result<ImportPreview> {
        let preview = self.preview_import(folder).await?;
        let mut transaction = self.write().await?;
        if let (_, Some(seq)) = compare_history(&mut transaction, folder).await? {
            return Err(Error::ImportDiverges(seq));
        }
        load(&mut transaction, folder).await?;
        transaction.commit().await?;
        Ok(preview)
    }
}

/// What an import into a store that does not exist yet would do.
///
/// # Errors
/// [`Error::Refused`] for a folder that is missing, unfinished, damaged or of a later program.
pub fn preview_import_into_nothing(folder: &Path) -> Result<ImportPreview> {
    plain_files(folder)?;
    let mut kinds = Vec::new();
    for kind in Kind::ALL {
        kinds.extend(compare_kind(&BTreeMap::new(), folder, *kind)?);
    }
    let new_history = lines::<HistoryLine>(folder, "history.jsonl")?.len();
    Ok(ImportPreview {
        kinds,
        new_history: i64::try_from(new_history).unwrap_or(i64::MAX),
        diverges_at: None,
    })
}

fn plain_files(folder: &Path) -> Result<Manifest> {
    let manifest = Manifest::read_checked(folder)?;
    if manifest.form != Form::PlainFiles {
        return Err(Error::refused(
            folder,
            "it is a backup of a database, not an export: archgap restore takes it back",
        ));
    }
    Ok(manifest)
}

/// Replaces everything in the store by what the folder holds.
pub(crate) async fn load(connection: &mut AnyConnection, folder: &Path) -> Result<()> {
    let manifest = plain_files(folder)?;
    for table in DERIVED.into_iter().chain(TABLES.into_iter().rev()) {
        sqlx::query(AssertSqlSafe(format!("DELETE FROM {table}"))).execute(&mut *connection).await?;
    }
    for kind in Kind::ALL {
        for line in lines::<RecordLine>(folder, &records_of(*kind))? {
            load_record(connection, *kind, line).await?;
        }
    }
    derive_all(connection).await?;
    for line in lines::<HistoryLine>(folder, "history.jsonl")? {
        load_history(connection, line.into()).await?;
    }
    for line in lines::<FileLine>(folder, "files.jsonl")? {
        load_file(connection, folder, line).await?;
    }
    load_secrets(connection, folder).await?;
    let found = counts(connection).await?;
    if found != manifest.counts {
        return Err(Error::refused(
            folder,
            format!("its counts are {:?}, read were {found:?}", manifest.counts),
        ));
    }
    Ok(())
}

fn records_of(kind: Kind) -> String {
    format!("records/{kind}.jsonl")
}

fn lines<T: DeserializeOwned>(folder: &Path, name: &str) -> Result<Vec<T>> {
    let path = folder.join(name);
    let text = fs::read_to_string(&path).map_err(Error::file(&path))?;
    text.lines()
        .enumerate()
        .map(|(n, line)| {
            serde_json::from_str(line).map_err(|e| Error::refused(&path, format!("line {}: {e}", n + 1)))
        })
        .collect()
}

async fn load_record(connection: &mut AnyConnection, kind: Kind, line: RecordLine) -> Result<()> {
    let id: Id = line.id.parse()?;
    sqlx::query(
        "INSERT INTO records (kind, id, version, gone, updated_ms, body) VALUES ($1, $2, $3, $4, $5, $6)",
    )
    .bind(kind.name())
    .bind(id.as_str())
    .bind(line.version)
    .bind(i64::from(line.gone))
    .bind(line.updated_ms)
    .bind(Packed::of(line.body.get()))
    .execute(connection)
    .await?;
    Ok(())
}

/// Tables of what is derived from bodies.
const DERIVED: [&str; 4] = ["links", "search_terms", "bookings", "states"];

/// Derives everything anew from what stands.
pub(crate) async fn derive_all(connection: &mut AnyConnection) -> Result<()> {
    for table in DERIVED {
        sqlx::query(AssertSqlSafe(format!("DELETE FROM {table}"))).execute(&mut *connection).await?;
    }
    for kind in Kind::ALL {
        derive_kind(connection, *kind).await?;
    }
    Ok(())
}

async fn derive_kind(connection: &mut AnyConnection, kind: Kind) -> Result<()> {
    let rows: Vec<(String, Packed)> =
        sqlx::query_as("SELECT id, body FROM records WHERE kind = $1 AND gone = 0 ORDER BY id")
            .bind(kind.name())
            .fetch_all(&mut *connection)
            .await?;
    for (id, body) in rows {
        derive(connection, kind, &id.parse()?, &kind.index_of(&body.text()?)?).await?;
    }
    Ok(())
}

async fn load_history(connection: &mut AnyConnection, entry: HistoryEntry) -> Result<()> {
    sqlx::query(
        "INSERT INTO history (seq, deed_no, at_ms, who, device, deed, why, undoes, kind, id, version, before_body, after_body)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13)",
    )
    .bind(entry.seq)
    .bind(entry.deed_no)
    .bind(entry.at_ms)
    .bind(entry.who)
    .bind(entry.device)
    .bind(entry.deed)
    .bind(entry.why)
    .bind(entry.undoes)
    .bind(entry.kind)
    .bind(entry.id)
    .bind(entry.version)
    .bind(entry.before.as_deref().map(Packed::of))
    .bind(entry.after.as_deref().map(Packed::of))
    .execute(connection)
    .await?;
    Ok(())
}

async fn load_file(connection: &mut AnyConnection, folder: &Path, line: FileLine) -> Result<()> {
    let name: Id = line.digest.parse()?; // no path of another kind
    let path = folder.join("files").join(name.as_str());
    let bytes = fs::read(&path).map_err(Error::file(&path))?;
    if sha256(&bytes) != line.digest {
        return Err(Error::refused(&path, "its bytes are not those of its name"));
    }
    sqlx::query(
        "INSERT INTO files (digest, media_type, size_bytes, added_ms, content) VALUES ($1, $2, $3, $4, $5)",
    )
    .bind(line.digest)
    .bind(line.media_type)
    .bind(line.size_bytes)
    .bind(line.added_ms)
    .bind(bytes)
    .execute(connection)
    .await?;
    Ok(())
}

async fn load_secrets(connection: &mut AnyConnection, folder: &Path) -> Result<()> {
    for line in lines::<PasswordLine>(folder, "passwords.jsonl")? {
        sqlx::query("INSERT INTO passwords (owner, hash, set_ms) VALUES ($1, $2, $3)")
            .bind(line.owner)
            .bind(line.hash)
            .bind(line.set_ms)
            .execute(&mut *connection)
            .await?;
    }
    for line in lines::<SecretLine>(folder, "secrets.jsonl")? {
        sqlx::query(
            "INSERT INTO secrets (digest, id, purpose, owner, device, scope, made_ms, used_ms, idle_ms, ends_ms, ended_ms)
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)",
        )
        .bind(line.digest)
        .bind(line.id)
        .bind(line.purpose)
        .bind(line.owner)
        .bind(line.device)
        .bind(line.scope)
        .bind(line.made_ms)
        .bind(line.used_ms)
        .bind(line.idle_ms)
        .bind(line.ends_ms)
        .bind(line.ended_ms)
        .execute(&mut *connection)
        .await?;
    }
    for line in lines::<TryLine>(folder, "failed_tries.jsonl")? {
        sqlx::query("INSERT INTO failed_tries (account, device, at_ms) VALUES ($1, $2, $3)")
            .bind(line.account)
            .bind(line.device)
            .bind(line.at_ms)
            .execute(&mut *connection)
            .await?;
    }
    for line in lines::<KeyLine>(folder, "write_keys.jsonl")? {
        sqlx::query("INSERT INTO write_keys (write_key, asked, result, at_ms) VALUES ($1, $2, $3, $4)")
            .bind(line.write_key)
            .bind(line.asked)
            .bind(line.result)
            .bind(line.at_ms)
            .execute(&mut *connection)
            .await?;
    }
    Ok(())
}

/// How many entries the import has more, and the first entry of the store that it does not have as well.
async fn compare_history(connection: &mut AnyConnection, folder: &Path) -> Result<(i64, Option<i64>)> {
    let mut theirs = lines::<HistoryLine>(folder, "history.jsonl")?.into_iter();
    let mut seq = 0;
    loop {
        let ours = history_after(connection, seq).await?;
        let Some(last) = ours.last() else { break };
        seq = last.seq;
        for entry in ours {
            if theirs.next().is_none_or(|line| HistoryEntry::from(line) != entry) {
                return Ok((0, Some(entry.seq)));
            }
        }
    }
    Ok((i64::try_from(theirs.len()).unwrap_or(i64::MAX), None))
}

async fn preview_kind(
    connection: &mut AnyConnection,
    folder: &Path,
    kind: Kind,
) -> Result<Option<KindPreview>> {
    let rows: Vec<(String, i64)> = sqlx::query_as("SELECT id, version FROM records WHERE kind = $1")
        .bind(kind.name())
        .fetch_all(connection)
        .await?;
    compare_kind(&rows.into_iter().collect(), folder, kind)
}

fn compare_kind(ours: &BTreeMap<String, i64>, folder: &Path, kind: Kind) -> Result<Option<KindPreview>> {
    let mut preview = KindPreview { kind, new: 0, changed: 0, same: 0 };
    for line in lines::<RecordLine>(folder, &records_of(kind))? {
        match ours.get(&line.id) {
            None => preview.new += 1,
            Some(version) if *version == line.version => preview.same += 1,
            Some(_) => preview.changed += 1,
        }
    }
    let touched = preview.new + preview.changed + preview.same > 0;
    Ok(touched.then_some(preview))
}
