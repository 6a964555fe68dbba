//! Backups: made while the store is in use, proven before they count, taken back whole.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

use serde::{Deserialize, Serialize};

use crate::database::{Durability, Store};
use crate::doctor::Severity;
use crate::error::{Error, Result};
use crate::exchange::{Form, MANIFEST, Manifest, counts, digest_of_file, load, private_folder, sync_folder};

/// What a restore brought back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Restored {
    /// Rows of each table, and records of each kind, counted in the restored store.
    pub counts: BTreeMap<String, i64>,
    /// Where the store that stood there before was put; none where there was none, or in PostgreSQL.
    pub kept_aside: Option<PathBuf>,
}

const DATABASE: &str = "workshop.sqlite";

impl Store {
    /// Makes a backup in a new folder while the store is in use, and proves it: opened as a copy, examined, counted.
    /// The manifest is written last; a folder without one is no backup.
    ///
    /// # Errors
    /// [`Error::File`] where the folder exists or cannot be written; [`Error::Refused`] where it could not be proven.
    pub async fn backup(&self, folder: &Path, at_ms: i64) -> Result<Manifest> {
        if !self.is_sqlite() {
            let manifest = self.write_plain_files(folder, Some(at_ms)).await?;
            return prove(folder, &manifest).await.inspect_err(|_| drop(fs::remove_file(folder.join(MANIFEST))))
                .map(|()| manifest);
        }
        private_folder(folder)?;
        let file = folder.join(DATABASE);
        let target = file.to_str().ok_or_else(|| Error::refused(folder, "its name is not UTF-8"))?;
        sqlx::query("VACUUM INTO $1").bind(target).execute(&self.reader).await?;
        let sync = || fs::File::open(&file)?.sync_all();
        sync().map_err(Error::file(&file))?;
        let copy = Copy::of_database(&file).await?;
        let mut connection = copy.store.reader.acquire().await?;
        let mut manifest = Manifest::of(&mut connection, Form::Database, Some(at_ms)).await?;
        drop(connection);
        copy.discard().await;
        manifest.files.insert(DATABASE.into(), digest_of_file(&file).map_err(Error::file(&file))?);
        prove(folder, &manifest).await?;
        manifest.write(folder)?;
        Ok(manifest)
    }
}

/// Proves a backup or an export: every file as written, opened as a copy, examined, counted.
///
/// # Errors
/// [`Error::Refused`] says in words why it cannot be taken back: missing, unfinished, empty, damaged, of a later program.
pub async fn verify_backup(folder: &Path) -> Result<Manifest> {
    let manifest = Manifest::read_checked(folder)?;
    prove(folder, &manifest).await?;
    Ok(manifest)
}

async fn prove(folder: &Path, manifest: &Manifest) -> Result<()> {
    let copy = Copy::of(folder, manifest).await?;
    let proof = copy.examine(folder, manifest).await;
    copy.discard().await;
    proof.map(|_| ())
}

/// Takes a backup or an export back into the store at `url`. It is proven first, then put in place in one step: after a
/// kill the old store or the new one is there, never a mixture.
///
/// # Errors
/// [`Error::Refused`] as in [`verify_backup`], and where another program has the SQLite file open.
pub async fn restore(folder: &Path, url: &str, at_ms: i64) -> Result<Restored> {
    let manifest = Manifest::read_checked(folder)?;
    if url.starts_with("postgres:") || url.starts_with("postgresql:") {
        return restore_postgres(folder, &manifest, url).await;
    }
    restore_file(folder, &manifest, Path::new(url.strip_prefix("sqlite:").unwrap_or(url)), at_ms).await
}

async fn restore_postgres(folder: &Path, manifest: &Manifest, url: &str) -> Result<Restored> {
    let copy = Copy::of(folder, manifest).await?;
    let counts = copy.examine(folder, manifest).await;
    let plain = copy.folder.join("plain");
    let loaded = async {
        let counts = counts?;
        copy.store.export(&plain).await?;
        let store = Store::open(url).await?;
        let mut transaction = store.write().await?;
        load(&mut transaction, &plain).await?;
        transaction.commit().await?;
        store.close().await;
        Ok(Restored { counts, kept_aside: None })
    };
    let loaded = loaded.await;
    copy.discard().await;
    loaded
}

async fn restore_file(folder: &Path, manifest: &Manifest, target: &Path, at_ms: i64) -> Result<Restored> {
    let home = match target.parent() {
        Some(home) if !home.as_os_str().is_empty() => home,
        _ => Path::new("."),
    };
    let copy = Copy::of(folder, manifest).await?;
    let counts = copy.examine(folder, manifest).await;
    let placed = async {
        let counts = counts?;
        copy.store.leave_one_file().await?;
        let fresh = beside(target, ".restoring");
        fs::copy(copy.folder.join(DATABASE), &fresh).map_err(Error::file(&fresh))?;
        fs::File::open(&fresh).and_then(|file| file.sync_all()).map_err(Error::file(&fresh))?;
        let kept_aside = put_aside(target, &beside(target, &format!(".before-{at_ms}"))).await?;
        fs::rename(&fresh, target).map_err(Error::file(target))?;
        sync_folder(home)?;
        Ok(Restored { counts, kept_aside })
    };
    let placed = placed.await;
    copy.discard().await;
    placed
}

fn beside(target: &Path, ending: &str) -> PathBuf {
    let mut name = target.as_os_str().to_owned();
    name.push(ending);
    name.into()
}

/// Keeps the store that stands at `target` under another name too. Its write-ahead log is taken into it first, so that
/// it cannot be taken for the log of the store that comes.
async fn put_aside(target: &Path, aside: &Path) -> Result<Option<PathBuf>> {
    if !target.exists() {
        return Ok(None);
    }
    let url = target.display().to_string();
    let settled = match Store::connect(&url, Durability::Full).await {
        Ok(store) => store.leave_one_file().await,
        Err(e) => Err(e),
    };
    match settled {
        Err(Error::Database(e)) if is_busy(&e) => {
            return Err(Error::refused(target, "another program has it open; stop the server first"));
        }
        // a damaged store is kept as it is
        Ok(()) | Err(_) => {}
    }
    for ending in ["-wal", "-shm"] {
        let log = beside(target, ending);
        if log.exists() {
            fs::rename(&log, beside(aside, ending)).map_err(Error::file(&log))?;
        }
    }
    if fs::hard_link(target, aside).is_err() {
        fs::copy(target, aside).map_err(Error::file(aside))?;
    }
    Ok(Some(aside.into()))
}

fn is_busy(error: &sqlx::Error) -> bool {
    const BUSY: &str = "database is locked";
    error.as_database_error().is_some_and(|e| e.message().contains(BUSY))
}

impl Store {
    /// Takes the write-ahead log into the file and closes; fails where another program has the file open.
    async fn leave_one_file(&self) -> Result<()> {
        self.reader.close().await;
        let mut connection = self.writer.acquire().await?;
        sqlx::raw_sql("PRAGMA busy_timeout = 500; PRAGMA journal_mode = DELETE").execute(&mut *connection).await?;
        drop(connection);
        self.writer.close().await;
        Ok(())
    }
}

/// A copy of a backup, opened for examination in a folder of its own.
struct Copy {
    folder: PathBuf,
    store: Store,
}

impl Copy {
    async fn of(folder: &Path, manifest: &Manifest) -> Result<Self> {
        match manifest.form {
            Form::Database => Self::of_database(&folder.join(DATABASE)).await,
            Form::PlainFiles => Self::of_plain_files(folder).await,
        }
    }

    async fn of_database(file: &Path) -> Result<Self> {
        let place = new_place()?;
        let copy = place.join(DATABASE);
        fs::copy(file, &copy).map_err(Error::file(file))?;
        match Store::open(&copy.display().to_string()).await {
            Ok(store) => Ok(Self { folder: place, store }),
            Err(e) => {
                drop(fs::remove_dir_all(&place));
                Err(Error::refused(file, format!("it cannot be opened: {e}")))
            }
        }
    }

    async fn of_plain_files(folder: &Path) -> Result<Self> {
        let place = new_place()?;
        let store = Store::open(&place.join(DATABASE).display().to_string()).await?;
        let copy = Self { folder: place, store };
        let mut transaction = copy.store.write().await?;
        let loaded = load(&mut transaction, folder).await;
        match loaded {
            Ok(()) => {
                transaction.commit().await?;
                Ok(copy)
            }
            Err(e) => {
                drop(transaction);
                copy.discard().await;
                Err(e)
            }
        }
    }

    async fn examine(&self, folder: &Path, manifest: &Manifest) -> Result<BTreeMap<String, i64>> {
        let findings = self.store.examine().await?;
        if let Some(finding) = findings.iter().find(|finding| finding.severity == Severity::Damage) {
            return Err(Error::refused(folder, finding.what.clone()));
        }
        let mut connection = self.store.reader.acquire().await?;
        let found = counts(&mut connection).await?;
        if found != manifest.counts {
            return Err(Error::refused(folder, format!("it should hold {:?} and holds {found:?}", manifest.counts)));
        }
        Ok(found)
    }

    async fn discard(self) {
        self.store.close().await;
        drop(fs::remove_dir_all(&self.folder));
    }
}

fn new_place() -> Result<PathBuf> {
    static COUNT: AtomicU32 = AtomicU32::new(0);
    let count = COUNT.fetch_add(1, Ordering::Relaxed);
    let place = std::env::temp_dir().join(format!("workshop-copy-{}-{count}", std::process::id()));
    private_folder(&place)?;
    Ok(place)
}

/// When the newest backup in a folder of backups was made, ms.
pub(crate) fn newest_backup(backups: &Path) -> Option<i64> {
    let folders = fs::read_dir(backups).ok()?.flatten();
    folders
        .filter_map(|folder| {
            let text = fs::read_to_string(folder.path().join(MANIFEST)).ok()?;
            serde_json::from_str::<Manifest>(&text).ok()?.made_ms
        })
        .max()
}
