//! Opening a database, bringing it to this program's schema, and its two kinds of transaction.

use std::path::{Path, PathBuf};
use std::sync::Once;
use std::time::Duration;

use sqlx::any::AnyPoolOptions;
use sqlx::migrate::{MigrateError, Migration, MigrationType, Migrator};
use sqlx::{Any, AnyConnection, AnyPool, AssertSqlSafe, Connection, SqlSafeStr, Transaction};

use crate::backup::check_sqlite;
use crate::error::{Error, Result};
use crate::exchange::derive_all;

/// Latest schema this program knows.
pub(crate) const SCHEMA: i64 = 3;
const SQLITE_SCHEMAS: [&str; SCHEMA as usize] = [
    include_str!("../migrations/0001_sqlite.sql"),
    include_str!("../migrations/0002_sqlite.sql"),
    include_str!("../migrations/0003_sqlite.sql"),
];
const POSTGRES_SCHEMAS: [&str; SCHEMA as usize] = [
    include_str!("../migrations/0001_postgres.sql"),
    include_str!("../migrations/0002_postgres.sql"),
    include_str!("../migrations/0003_postgres.sql"),
];

/// The schema from which on everything is derived that this program derives.
const DERIVED_WHOLE: i64 = 3;

/// Version of this program.
pub(crate) const PROGRAM_VERSION: &str = env!("CARGO_PKG_VERSION");

const READERS: u32 = 8;
/// How long a write waits for other processes, and a call for a connection.
const PATIENCE: Duration = Duration::from_secs(60);
/// Any number will do as long as all servers use the same.
const WRITE_LOCK: i64 = 0x6172_6368_6761_7000;

/// How surely a commit is on disk before it is acknowledged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[doc(hidden)]
pub enum Durability {
    /// Always; the only setting for real work.
    Full,
    /// Not after a power cut. Exists to prove that the power-cut test can fail.
    LostOnPowerCut,
}

/// The workshop's memory.
///
/// Cheap to clone; clones share connections.
#[derive(Debug, Clone)]
pub struct Store {
    /// One connection: writes of this process stand in line, first come, first served.
    pub(crate) writer: AnyPool,
    pub(crate) reader: AnyPool,
    /// The SQLite file; none for PostgreSQL.
    pub(crate) file: Option<PathBuf>,
}

impl Store {
    /// Opens the store at a URL, makes it where it does not exist, and brings its tables to this program's schema.
    ///
    /// `postgres://…` is a PostgreSQL database; anything else is the path of an SQLite file, with or without `sqlite:`.
    ///
    /// # Errors
    /// [`Error::NewerDatabase`] where a later program made it; [`Error::Database`] where it cannot be opened.
    pub async fn open(url: &str) -> Result<Self> {
        Self::open_with(url, Durability::Full).await
    }

    #[doc(hidden)]
    pub async fn open_with(url: &str, durability: Durability) -> Result<Self> {
        let store = Self::connect(url, durability).await?;
        store.migrate(store.schemas(), true).await?;
        Ok(store)
    }

    /// Opens an SQLite file that is itself a copy, so that none is made before its tables are changed.
    pub(crate) async fn open_copy(file: &Path) -> Result<Self> {
        let store = Self::connect(&file.display().to_string(), Durability::Full).await?;
        store.migrate(store.schemas(), false).await?;
        Ok(store)
    }

    /// Opens as a program would that knows further schemas. Exists to prove what a change of schema promises.
    #[doc(hidden)]
    pub async fn open_with_later(url: &str, later: &[&'static str]) -> Result<Self> {
        let store = Self::connect(url, Durability::Full).await?;
        store.migrate(&[store.schemas(), later].concat(), true).await?;
        Ok(store)
    }

    fn schemas(&self) -> &'static [&'static str] {
        if self.is_sqlite() { &SQLITE_SCHEMAS } else { &POSTGRES_SCHEMAS }
    }

    /// Connects without touching tables.
    pub(crate) async fn connect(url: &str, durability: Durability) -> Result<Self> {
        static DRIVERS: Once = Once::new();
        DRIVERS.call_once(sqlx::any::install_default_drivers);
        if is_postgres(url) {
            probe(url).await?;
            return Ok(Self {
                writer: pool_options(1).connect(url).await?,
                reader: pool_options(READERS).connect_lazy(url)?,
                file: None,
            });
        }
        let path = Path::new(url.strip_prefix("sqlite:").unwrap_or(url));
        let url = file_url(path)?;
        make_private(path)?;
        probe(&url).await?;
        let options = |connections| with_pragmas(pool_options(connections), durability);
        Ok(Self {
            writer: options(1).connect(&url).await?,
            reader: options(READERS).connect_lazy(&url)?,
            file: Some(path.into()),
        })
    }

    /// Whether the store is an SQLite file.
    pub fn is_sqlite(&self) -> bool {
        self.file.is_some()
    }

    /// Closes all connections; waits for those in use.
    pub async fn close(&self) {
        self.reader.close().await;
        self.writer.close().await;
    }

    /// A transaction that no other writer of any process shares: what it reads stays true until it ends.
    pub(crate) async fn write(&self) -> Result<Transaction<'static, Any>> {
        if self.is_sqlite() {
            return Ok(self.writer.begin_with("BEGIN IMMEDIATE").await?);
        }
        let mut transaction = self.writer.begin().await?;
        sqlx::query("SELECT pg_advisory_xact_lock($1)").bind(WRITE_LOCK).execute(&mut *transaction).await?;
        Ok(transaction)
    }

    /// A transaction that sees one state throughout, while others write.
    pub(crate) async fn snapshot(&self) -> Result<Transaction<'static, Any>> {
        let begin =
            if self.is_sqlite() { "BEGIN" } else { "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY" };
        Ok(self.reader.begin_with(begin).await?)
    }

    /// All steps in one transaction: a kill leaves the old schema or the new one. An SQLite file that has tables is
    /// copied first, where `keep_copy`, and examined afterwards.
    async fn migrate(&self, schemas: &[&'static str], keep_copy: bool) -> Result<()> {
        let known = i64::try_from(schemas.len()).unwrap_or(i64::MAX);
        let mut transaction = self.write().await?;
        let (found, made_by) = self.schema(&mut transaction).await?;
        if found > known {
            return Err(Error::NewerDatabase {
                database: found,
                made_by,
                program: known,
                program_version: PROGRAM_VERSION,
            });
        }
        let changes_tables = self.is_sqlite() && (1..known).contains(&found);
        if changes_tables && keep_copy {
            self.copy_before(&mut transaction, found, known).await?;
        }
        match migrator(schemas).run_direct(None, &mut *transaction, false).await {
            Ok(()) => {}
            Err(MigrateError::VersionMismatch(version) | MigrateError::Dirty(version)) => {
                return Err(Error::ForeignSchema(version));
            }
            Err(MigrateError::Execute(e) | MigrateError::ExecuteMigration(e, _)) => return Err(e.into()),
            Err(e) => return Err(Error::Damaged(e.to_string())),
        }
        if (1..DERIVED_WHOLE).contains(&found) {
            derive_all(&mut transaction).await?;
        }
        if changes_tables {
            check_sqlite(&mut transaction).await?;
        }
        Ok(transaction.commit().await?)
    }

    /// Schema of the database and the version of the program that made it; 0 where it has no tables yet.
    async fn schema(&self, connection: &mut AnyConnection) -> Result<(i64, String)> {
        let tables = if self.is_sqlite() {
            "SELECT COUNT(*) FROM sqlite_master WHERE name = '_sqlx_migrations'"
        } else {
            "SELECT COUNT(*) FROM pg_tables WHERE schemaname = current_schema() AND tablename = '_sqlx_migrations'"
        };
        let (there,): (i64,) = sqlx::query_as(tables).fetch_one(&mut *connection).await?;
        if there == 0 {
            return Ok((0, String::new()));
        }
        let newest = "SELECT version, description FROM _sqlx_migrations ORDER BY version DESC LIMIT 1";
        let newest: Option<(i64, String)> = sqlx::query_as(newest).fetch_optional(connection).await?;
        Ok(newest.unwrap_or_default())
    }
}

pub(crate) fn is_postgres(url: &str) -> bool {
    url.starts_with("postgres:") || url.starts_with("postgresql:")
}

/// A pool tries again and again; a single connection says at once what is wrong.
async fn probe(url: &str) -> Result<()> {
    let mut connection = AnyConnection::connect(url).await?;
    sqlx::raw_sql("SELECT 1").execute(&mut connection).await?;
    Ok(connection.close().await?)
}

fn pool_options(connections: u32) -> AnyPoolOptions {
    AnyPoolOptions::new().max_connections(connections).acquire_timeout(PATIENCE)
}

fn with_pragmas(options: AnyPoolOptions, durability: Durability) -> AnyPoolOptions {
    let synchronous = match durability {
        Durability::Full => "FULL",
        Durability::LostOnPowerCut => "NORMAL",
    };
    let pragmas = format!(
        "PRAGMA busy_timeout = {}; PRAGMA journal_mode = WAL; PRAGMA synchronous = {synchronous}; PRAGMA foreign_keys = ON",
        PATIENCE.as_millis()
    );
    options.after_connect(move |connection, _| {
        let pragmas = AssertSqlSafe(pragmas.clone());
        Box::pin(async move { sqlx::raw_sql(pragmas).execute(connection).await.map(|_| ()) })
    })
}

/// A new file that only this user may read; SQLite gives its log the same rights.
fn make_private(path: &Path) -> Result<()> {
    let mut options = std::fs::OpenOptions::new();
    options.create(true).append(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(path).map(|_| ()).map_err(Error::file(path))
}

/// URL of a file; what has a meaning in URLs is escaped.
fn file_url(path: &Path) -> Result<String> {
    let text = path
        .to_str()
        .filter(|text| !text.is_empty() && !text.contains('\0'))
        .ok_or_else(|| Error::invalid("database", path.display().to_string(), "a path in UTF-8"))?;
    let escaped = text.replace('%', "%25").replace('?', "%3f").replace('#', "%23");
    Ok(format!("sqlite:{escaped}?mode=rwc"))
}

fn migrator(schemas: &[&'static str]) -> Migrator {
    let step = |(version, sql): (i64, &&'static str)| {
        // what stands as description names the program, for the one that finds tables it does not know
        Migration::new(version, PROGRAM_VERSION.into(), MigrationType::Simple, sql.into_sql_str(), false)
    };
    Migrator::with_migrations((1..).zip(schemas).map(step).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_schemas_of_both_databases_differ_in_bytes_and_collation_only() {
        for (sqlite, postgres) in SQLITE_SCHEMAS.iter().zip(POSTGRES_SCHEMAS) {
            let alike = postgres.replace(" COLLATE \"C\"", "").replace("BYTEA", "BLOB");
            assert_eq!(*sqlite, alike);
            let texts = sqlite.matches(" TEXT").count();
            assert_eq!(
                texts,
                postgres.matches(" TEXT COLLATE \"C\"").count(),
                "text that compares by locale"
            );
        }
    }
}
