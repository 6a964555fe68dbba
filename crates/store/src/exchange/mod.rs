//! The whole store as plain files: JSON lines that come back to the byte, original files, and tables for a spreadsheet.
//!
//! | file | holds |
//! | --- | --- |
//! | `manifest.json` | schema, program version, counts, SHA-256 of every other file; written last |
//! | `records/KIND.jsonl` | every record of a kind, removed ones too |
//! | `history.jsonl` | every change |
//! | `files.jsonl`, `files/SHA256` | photos and documents |
//! | `passwords.jsonl`, `secrets.jsonl`, `failed_tries.jsonl`, `write_keys.jsonl` | hashes and digests; keep them safe |
//! | `tables/KIND.csv` | what stands now, for reading; not imported |

mod export;
mod import;
mod lines;

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::{self, Read, Write};
use std::path::Path;

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use sqlx::AnyConnection;

use crate::database::{PROGRAM_VERSION, SCHEMA};
use crate::error::{Error, Result};
use crate::records::Kind;

pub use import::preview_import_into_nothing;
pub(crate) use import::{derive_all, load};

/// What a folder of an export or a backup holds.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Manifest {
    /// How it is kept.
    pub form: Form,
    /// Schema of the store.
    pub schema: i64,
    /// Version of the program that wrote it.
    pub program_version: String,
    /// When a backup was made, ms; an export has no time, so that the same store makes the same bytes.
    pub made_ms: Option<i64>,
    /// Rows of each table, and records of each kind.
    pub counts: BTreeMap<String, i64>,
    /// SHA-256 of every other file by its path.
    pub files: BTreeMap<String, String>,
}

/// How a folder keeps the store.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Form {
    /// As one SQLite file.
    Database,
    /// As JSON lines and files.
    PlainFiles,
}

/// What an import would do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ImportPreview {
    /// Each kind that is touched or held.
    pub kinds: Vec<KindPreview>,
    /// Entries of the history that would be added.
    pub new_history: i64,
    /// The first entry in which the store and the import differ; such an import is refused.
    pub diverges_at: Option<i64>,
}

/// What an import would do to records of one kind.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct KindPreview {
    /// The kind.
    pub kind: Kind,
    /// Records the store does not have.
    pub new: i64,
    /// Records that would change.
    pub changed: i64,
    /// Records that stay as they are.
    pub same: i64,
}

pub(crate) const MANIFEST: &str = "manifest.json";
/// Tables that are counted, in the order in which they can be filled.
pub(crate) const TABLES: [&str; 7] =
    ["records", "history", "files", "passwords", "secrets", "failed_tries", "write_keys"];

impl Manifest {
    pub(crate) async fn of(connection: &mut AnyConnection, form: Form, made_ms: Option<i64>) -> Result<Self> {
        Ok(Self {
            form,
            schema: SCHEMA,
            program_version: PROGRAM_VERSION.to_owned(),
            made_ms,
            counts: counts(connection).await?,
            files: BTreeMap::new(),
        })
    }

    pub(crate) fn write(&self, folder: &Path) -> Result<()> {
        let text = serde_json::to_string_pretty(self).map_err(|e| Error::Damaged(e.to_string()))?;
        write_file(&folder.join(MANIFEST), format!("{text}\n").as_bytes())?;
        sync_folder(folder)
    }

    /// Reads a manifest and holds every file against it.
    pub(crate) fn read_checked(folder: &Path) -> Result<Self> {
        let refused = |why: &str| Error::refused(folder, why);
        if !folder.is_dir() {
            return Err(refused("there is no such folder"));
        }
        let text = fs::read_to_string(folder.join(MANIFEST)).map_err(|_| {
            refused("it has no readable manifest.json, which is written last: it was never finished")
        })?;
        let manifest: Self =
            serde_json::from_str(&text).map_err(|e| refused(&format!("manifest.json is damaged: {e}")))?;
        if manifest.schema > SCHEMA {
            let (theirs, version) = (manifest.schema, &manifest.program_version);
            return Err(refused(&format!(
                "it was written by version {version} with schema {theirs}; this program is version {PROGRAM_VERSION} and knows schemas up to {SCHEMA}"
            )));
        }
        if manifest.files.is_empty() {
            return Err(refused("it is empty"));
        }
        for (path, digest) in &manifest.files {
            match digest_of_file(&folder.join(path)) {
                Ok(found) if found == *digest => {}
                Ok(_) => {
                    return Err(refused(&format!(
                        "{path} is damaged: its bytes are not those that were written"
                    )));
                }
                Err(e) => return Err(refused(&format!("{path} cannot be read: {e}"))),
            }
        }
        Ok(manifest)
    }
}

/// Rows of each table, and records of each kind.
pub(crate) async fn counts(connection: &mut AnyConnection) -> Result<BTreeMap<String, i64>> {
    let mut counts = BTreeMap::new();
    for table in TABLES {
        let sql = sqlx::AssertSqlSafe(format!("SELECT COUNT(*) FROM {table}"));
        let (count,): (i64,) = sqlx::query_as(sql).fetch_one(&mut *connection).await?;
        counts.insert(table.to_owned(), count);
    }
    let kinds: Vec<(String, i64)> =
        sqlx::query_as("SELECT kind, COUNT(*) FROM records GROUP BY kind").fetch_all(connection).await?;
    counts.extend(kinds);
    Ok(counts)
}

pub(crate) fn digest_of_file(path: &Path) -> io::Result<String> {
    let mut file = File::open(path)?;
    let (mut hash, mut block) = (Sha256::new(), vec![0; 1 << 16]);
    loop {
        match file.read(&mut block)? {
            0 => return Ok(hash.finalize().iter().map(|byte| format!("{byte:02x}")).collect()),
            n => hash.update(&block[..n]),
        }
    }
}

/// Writes a file that only this user may read and that is on disk when this returns.
pub(crate) fn write_file(path: &Path, bytes: &[u8]) -> Result<()> {
    let write = || {
        let mut options = File::options();
        options.write(true).create(true).truncate(true);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
        let mut file = options.open(path)?;
        file.write_all(bytes)?;
        file.sync_all()
    };
    write().map_err(Error::file(path))
}

/// Makes names in a folder last.
pub(crate) fn sync_folder(folder: &Path) -> Result<()> {
    File::open(folder).and_then(|folder| folder.sync_all()).map_err(Error::file(folder))
}

/// A new folder that only this user may read.
pub(crate) fn private_folder(path: &Path) -> Result<()> {
    let mut builder = fs::DirBuilder::new();
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(path).map_err(Error::file(path))
}
