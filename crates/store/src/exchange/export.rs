//! Writing the store as plain files.

use std::path::Path;

use serde::Serialize;
use serde_json::{Map, Value};
use sqlx::{AnyConnection, AssertSqlSafe};

use super::lines::{FileLine, HistoryLine, KeyLine, PasswordLine, RecordLine, SecretLine, TryLine, raw};
use super::{Form, Manifest, digest_of_file, private_folder, sync_folder, write_file};
use crate::database::Store;
use crate::deeds::files::read_file;
use crate::error::{Error, Result};
use crate::packed::Packed;
use crate::read::{HISTORY, HistoryEntry, HistoryRow};
use crate::records::{Kind, to_json};

const README: &str = "\
This folder holds a workshop's whole memory as plain files.

records/     every record, one JSON object a line, removed ones too
history.jsonl  every change: who, when, on which device, what, before, after, why
files/       photos and documents, named by their SHA-256; files.jsonl tells what they are
tables/      what stands now, for a spreadsheet; not read when the folder is taken back
passwords, secrets, failed_tries, write_keys: hashes and digests. Keep this folder safe.
manifest.json  counts, and the SHA-256 of every file

Times are milliseconds since 1970-01-01 UTC. To take the folder back: archgap import FOLDER
";

/// Rows that are read at once.
const STRIDE: i64 = 1000;

impl Store {
    /// Writes the whole store into a new folder, while others write: one state, as plain files.
    ///
    /// # Errors
    /// [`Error::File`] where the folder exists or cannot be written; [`Error::Damaged`].
    pub async fn export(&self, folder: &Path) -> Result<Manifest> {
        self.write_plain_files(folder, None).await
    }

    pub(crate) async fn write_plain_files(&self, folder: &Path, made_ms: Option<i64>) -> Result<Manifest> {
        private_folder(folder)?;
        for name in ["records", "tables", "files"] {
            private_folder(&folder.join(name))?;
        }
        let mut snapshot = self.snapshot().await?;
        let mut manifest = Manifest::of(&mut snapshot, Form::PlainFiles, made_ms).await?;
        let mut out = Out { folder, manifest: &mut manifest };
        out.write("README.txt", README.as_bytes())?;
        for kind in Kind::ALL {
            write_kind(&mut out, &mut snapshot, *kind).await?;
        }
        write_history(&mut out, &mut snapshot).await?;
        write_files(&mut out, &mut snapshot).await?;
        let mut table = async |name: &str, lines: Vec<String>| out.write(name, lines.concat().as_bytes());
        table("passwords.jsonl", rows::<PasswordLine>(&mut snapshot, "passwords ORDER BY owner").await?)
            .await?;
        table("secrets.jsonl", rows::<SecretLine>(&mut snapshot, "secrets ORDER BY digest").await?).await?;
        let tries = "failed_tries ORDER BY at_ms, account, device";
        table("failed_tries.jsonl", rows::<TryLine>(&mut snapshot, tries).await?).await?;
        table("write_keys.jsonl", rows::<KeyLine>(&mut snapshot, "write_keys ORDER BY write_key").await?)
            .await?;
        snapshot.rollback().await?;
        for name in ["records", "tables", "files"] {
            sync_folder(&folder.join(name))?;
        }
        manifest.write(folder)?;
        Ok(manifest)
    }
}

struct Out<'a> {
    folder: &'a Path,
    manifest: &'a mut Manifest,
}

impl Out<'_> {
    fn write(&mut self, name: &str, bytes: &[u8]) -> Result<()> {
        let path = self.folder.join(name);
        write_file(&path, bytes)?;
        let digest = digest_of_file(&path).map_err(Error::file(&path))?;
        self.manifest.files.insert(name.to_owned(), digest);
        Ok(())
    }
}

fn line(value: &impl Serialize) -> Result<String> {
    Ok(to_json(value)? + "\n")
}

async fn rows<T>(connection: &mut AnyConnection, table_in_order: &str) -> Result<Vec<String>>
where
    T: Serialize + Send + Unpin + for<'r> sqlx::FromRow<'r, sqlx::any::AnyRow>,
{
    let sql = AssertSqlSafe(format!("SELECT * FROM {table_in_order}"));
    let rows: Vec<T> = sqlx::query_as(sql).fetch_all(connection).await?;
    rows.iter().map(line).collect()
}

async fn write_kind(out: &mut Out<'_>, connection: &mut AnyConnection, kind: Kind) -> Result<()> {
    let rows: Vec<(String, i64, i64, i64, Packed)> =
        sqlx::query_as("SELECT id, version, gone, updated_ms, body FROM records WHERE kind = $1 ORDER BY id")
            .bind(kind.name())
            .fetch_all(connection)
            .await?;
    let lines: Vec<RecordLine> = rows
        .into_iter()
        .map(|(id, version, gone, updated_ms, body)| {
            Ok(RecordLine { id, version, gone: gone != 0, updated_ms, body: raw(body.text()?)? })
        })
        .collect::<Result<_>>()?;
    let text: String = lines.iter().map(line).collect::<Result<_>>()?;
    out.write(&format!("records/{kind}.jsonl"), text.as_bytes())?;
    let standing: Vec<&RecordLine> = lines.iter().filter(|line| !line.gone).collect();
    if standing.is_empty() {
        return Ok(());
    }
    out.write(&format!("tables/{kind}.csv"), &table(&standing)?)
}

/// What stands, as a table: one column per field, what is nested as JSON.
fn table(lines: &[&RecordLine]) -> Result<Vec<u8>> {
    let damaged = |e: String| Error::Damaged(e);
    let bodies: Vec<Map<String, Value>> = lines
        .iter()
        .map(|line| serde_json::from_str(line.body.get()).map_err(|e| damaged(e.to_string())))
        .collect::<Result<_>>()?;
    let fields: std::collections::BTreeSet<&String> = bodies.iter().flat_map(Map::keys).collect();
    let mut writer = csv::Writer::from_writer(Vec::new());
    let head = ["id", "version", "updated_ms"].into_iter().chain(fields.iter().map(|field| field.as_str()));
    writer.write_record(head).map_err(|e| damaged(e.to_string()))?;
    for (line, body) in lines.iter().zip(&bodies) {
        let start = [line.id.clone(), line.version.to_string(), line.updated_ms.to_string()];
        let cells = fields.iter().map(|&field| cell(body.get(field)));
        writer.write_record(start.into_iter().chain(cells)).map_err(|e| damaged(e.to_string()))?;
    }
    writer.into_inner().map_err(|e| damaged(e.to_string()))
}

/// Text that a spreadsheet would take for a formula gets an apostrophe before it; numbers stay numbers.
fn cell(value: Option<&Value>) -> String {
    match value {
        None | Some(Value::Null) => String::new(),
        Some(Value::String(text)) if text.starts_with(['=', '+', '-', '@', '\t', '\r', '\0']) => {
            format!("'{text}")
        }
        Some(Value::String(text)) => text.clone(),
        Some(other) => other.to_string(),
    }
}

async fn write_history(out: &mut Out<'_>, connection: &mut AnyConnection) -> Result<()> {
    let (mut text, mut seq) = (String::new(), 0);
    loop {
        let entries = history_after(connection, seq).await?;
        let Some(last) = entries.last() else { break };
        seq = last.seq;
        for entry in entries {
            text += &line(&HistoryLine::try_from(entry)?)?;
        }
    }
    out.write("history.jsonl", text.as_bytes())
}

/// The next entries of the history, in order.
pub(super) async fn history_after(connection: &mut AnyConnection, seq: i64) -> Result<Vec<HistoryEntry>> {
    let sql = AssertSqlSafe(format!("SELECT {HISTORY} FROM history WHERE seq > $1 ORDER BY seq LIMIT $2"));
    let rows: Vec<HistoryRow> = sqlx::query_as(sql).bind(seq).bind(STRIDE).fetch_all(connection).await?;
    rows.into_iter().map(TryInto::try_into).collect()
}

async fn write_files(out: &mut Out<'_>, connection: &mut AnyConnection) -> Result<()> {
    let files: Vec<FileLine> =
        sqlx::query_as("SELECT digest, media_type, size_bytes, added_ms FROM files ORDER BY digest")
            .fetch_all(&mut *connection)
            .await?;
    let text: String = files.iter().map(line).collect::<Result<_>>()?;
    out.write("files.jsonl", text.as_bytes())?;
    for file in files {
        let bytes = read_file(connection, &file.digest).await?.bytes;
        out.write(&format!("files/{}", file.digest), &bytes)?;
    }
    Ok(())
}
