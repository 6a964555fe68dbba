//! Backups: made while the store is in use, proven before they count, taken back whole.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};
use sqlx::AnyConnection;

use crate::database::{Durability, Store, is_postgres};
use crate::doctor::Severity;
use crate::error::{Error, Result};
use crate::exchange::{Form, MANIFEST, Manifest, counts, digest_of_file, load, private_folder, sync_folder};
use crate::scratch::{Scratch, already, clear, copy_private, home_of, make_private};

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
    /// It gets its name last, so that a folder of that name is whole.
    ///
    /// # Errors
    /// [`Error::File`] where the folder exists or cannot be written; [`Error::Refused`] where it could not be proven.
    pub async fn backup(&self, folder: &Path, at_ms: i64) -> Result<Manifest> {
        if folder.exists() {
            return Err(already(folder));
        }
        self.file.iter().for_each(|file| clear(home_of(file)));
        let scratch = Scratch::within(home_of(folder))?;
        let made = scratch.path().join("backup");
        let manifest = if self.is_sqlite() {
            self.write_database(&made, at_ms).await?
        } else {
            self.write_plain_files(&made, Some(at_ms)).await?
        };
        prove(&made, &manifest, scratch.path()).await?;
        scratch.finish(&made, folder)?;
        Ok(manifest)
    }

    async fn write_database(&self, folder: &Path, at_ms: i64) -> Result<Manifest> {
        private_folder(folder)?;
        let file = folder.join(DATABASE);
        self.copy_into(&file).await?;
        let copy = Copy::of_database(&file, home_of(folder)).await?;
        let mut connection = copy.store.reader.acquire().await?;
        let mut manifest = Manifest::of(&mut connection, Form::Database, Some(at_ms)).await?;
        drop(connection);
        copy.discard().await;
        manifest.files.insert(DATABASE.into(), digest_of_file(&file).map_err(Error::file(&file))?);
        manifest.write(folder)?;
        Ok(manifest)
    }

    /// Everything that is committed, as one new file that is on disk.
    async fn copy_into(&self, file: &Path) -> Result<()> {
        let target = file.to_str().ok_or_else(|| Error::refused(file, "its name is not UTF-8"))?;
        sqlx::query("VACUUM INTO $1").bind(target).execute(&self.reader).await?;
        make_private(file)?;
        fs::File::open(file).and_then(|file| file.sync_all()).map_err(Error::file(file))
    }

    /// A proven copy beside the store before its tables are changed, in `backups/`. Whoever calls keeps others from
    /// writing meanwhile.
    pub(crate) async fn copy_before(&self, connection: &mut AnyConnection, from: i64, to: i64) -> Result<()> {
        let Some(file) = &self.file else { return Ok(()) };
        let backups = home_of(file).join("backups");
        if !backups.exists() {
            private_folder(&backups)?;
        }
        let scratch = Scratch::within(&backups)?;
        let made = scratch.path().join("backup");
        private_folder(&made)?;
        let copy = made.join(DATABASE);
        self.copy_into(&copy).await?;
        let mut manifest = Manifest::of(connection, Form::Database, None).await?;
        manifest.schema = from;
        manifest.files.insert(DATABASE.into(), digest_of_file(&copy).map_err(Error::file(&copy))?);
        manifest.write(&made)?;
        let proof = scratch.path().join(DATABASE); // opening a file changes it
        copy_private(&copy, &proof)?;
        prove_as_it_is(&proof, &manifest).await?;
        // a kill between this and the change leaves a copy that another follows
        let name = |n: u32| backups.join(format!("before-schema-{to}-{n}"));
        let free = (1..).map(name).find(|name| !name.exists()).unwrap_or_else(|| name(0));
        scratch.finish(&made, &free)
    }
}

/// Examines a database as it is, whatever its schema: whole, and with as many rows as there should be.
async fn prove_as_it_is(file: &Path, manifest: &Manifest) -> Result<()> {
    let store = Store::connect(&file.display().to_string(), Durability::Full).await?;
    let mut connection = store.writer.acquire().await?;
    let sound = check_sqlite(&mut connection).await;
    let found = counts(&mut connection).await?;
    drop(connection);
    store.leave_one_file().await?;
    sound?;
    if found == manifest.counts { Ok(()) } else { Err(miscounted(file, manifest, &found)) }
}

/// Refuses a file that is damaged, or in which a record names what is not there.
pub(crate) async fn check_sqlite(connection: &mut AnyConnection) -> Result<()> {
    let faults: Vec<(String,)> =
        sqlx::query_as("PRAGMA integrity_check(1)").fetch_all(&mut *connection).await?;
    if let Some((fault,)) = faults.into_iter().find(|(fault,)| fault != "ok") {
        return Err(Error::Damaged(fault));
    }
    let stray = sqlx::query("PRAGMA foreign_key_check").fetch_all(&mut *connection).await?;
    if stray.is_empty() {
        Ok(())
    } else {
        Err(Error::Damaged(format!("{} rows name what is not there", stray.len())))
    }
}

fn miscounted(place: &Path, manifest: &Manifest, found: &BTreeMap<String, i64>) -> Error {
    Error::refused(place, format!("it should hold {:?} and holds {found:?}", manifest.counts))
}

/// Proves a backup or an export: every file as written, opened as a copy, examined, counted.
///
/// # Errors
/// [`Error::Refused`] says in words why it cannot be taken back: missing, unfinished, empty, damaged, of a later program.
pub async fn verify_backup(folder: &Path) -> Result<Manifest> {
    let manifest = Manifest::read_checked(folder)?;
    prove(folder, &manifest, home_of(folder)).await?;
    Ok(manifest)
}

/// Proves a folder on a copy made in another.
async fn prove(folder: &Path, manifest: &Manifest, home: &Path) -> Result<()> {
    let copy = Copy::of(folder, manifest, home).await?;
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
    if is_postgres(url) {
        return restore_postgres(folder, &manifest, url).await;
    }
    restore_file(folder, &manifest, Path::new(url.strip_prefix("sqlite:").unwrap_or(url)), at_ms).await
}

async fn restore_postgres(folder: &Path, manifest: &Manifest, url: &str) -> Result<Restored> {
    let copy = Copy::of(folder, manifest, home_of(folder)).await?;
    let counts = copy.examine(folder, manifest).await;
    let plain = copy.scratch.path().join("plain");
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
    let home = home_of(target);
    let copy = Copy::of(folder, manifest, home).await?;
    let counts = copy.examine(folder, manifest).await;
    let placed = async {
        let counts = counts?;
        copy.store.leave_one_file().await?;
        let fresh = copy.scratch.path().join(DATABASE);
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
    if aside.exists() {
        return Err(Error::refused(aside, "it is there already; an older store is not overwritten"));
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
        copy_private(target, aside)?;
    }
    make_private(aside)?;
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
        sqlx::raw_sql("PRAGMA busy_timeout = 500; PRAGMA journal_mode = DELETE")
            .execute(&mut *connection)
            .await?;
        drop(connection);
        self.writer.close().await;
        Ok(())
    }
}

/// A copy of a backup, opened for examination in a folder of its own.
struct Copy {
    scratch: Scratch,
    store: Store,
}

impl Copy {
    /// A copy in a folder within `home`.
    async fn of(folder: &Path, manifest: &Manifest, home: &Path) -> Result<Self> {
        match manifest.form {
            Form::Database => Self::of_database(&folder.join(DATABASE), home).await,
            Form::PlainFiles => Self::of_plain_files(folder, home).await,
        }
    }

    /// Where nothing can be written, such as beside a backup on a disc, in the system's folder for temporary files.
    fn scratch(home: &Path) -> Result<Scratch> {
        Scratch::within(home).or_else(|_| Scratch::within(&std::env::temp_dir()))
    }

    async fn of_database(file: &Path, home: &Path) -> Result<Self> {
        let scratch = Self::scratch(home)?;
        let copy = scratch.path().join(DATABASE);
        copy_private(file, &copy)?;
        match Store::open_copy(&copy).await {
            Ok(store) => Ok(Self { scratch, store }),
            Err(e) => Err(Error::refused(file, format!("it cannot be opened: {e}"))),
        }
    }

    async fn of_plain_files(folder: &Path, home: &Path) -> Result<Self> {
        let scratch = Self::scratch(home)?;
        let store = Store::open_copy(&scratch.path().join(DATABASE)).await?;
        let copy = Self { scratch, store };
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
            return Err(Error::refused(folder, finding.what.en.clone()));
        }
        let mut connection = self.store.reader.acquire().await?;
        let found = counts(&mut connection).await?;
        if found == manifest.counts { Ok(found) } else { Err(miscounted(folder, manifest, &found)) }
    }

    async fn discard(self) {
        self.store.close().await;
    }
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
