//! What can go wrong, each with a name.

use std::path::{Path, PathBuf};

use crate::read::HistoryEntry;
use crate::records::{Id, Kind};

/// A result of the store.
pub type Result<T> = std::result::Result<T, Error>;

/// Two writers saw the same version and the other was first.
#[derive(Debug, Clone, PartialEq)]
pub struct Conflict {
    /// Kind of the record.
    pub kind: Kind,
    /// The record.
    pub id: Id,
    /// Version this writer saw.
    pub saw: i64,
    /// Version that stands.
    pub stands: i64,
    /// What this writer wanted, JSON; empty where the record was to be removed.
    pub mine: String,
    /// What stands, JSON.
    pub theirs: String,
}

/// Why the store refused or failed. Nothing was changed.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// The database failed.
    #[error("the database failed: {0}")]
    Database(#[from] sqlx::Error),
    /// A file could not be read or written.
    #[error("{path}: {source}", path = path.display())]
    File {
        /// Which file.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// The database was made by a later program.
    #[error(
        "this database has schema {database}, made by version {made_by} of the program; this is version {program_version} and knows schemas up to {program}. Use the later program, or take a backup back that was made before it was installed: archgap restore FOLDER --apply"
    )]
    NewerDatabase {
        /// Schema of the database.
        database: i64,
        /// Version of the program that made it.
        made_by: String,
        /// Latest schema this program knows.
        program: i64,
        /// Version of this program.
        program_version: &'static str,
    },
    /// The database's tables were made by other statements than this program's.
    #[error(
        "the tables of schema {0} were not made by this program's statements; restore a backup: archgap restore FOLDER --apply"
    )]
    ForeignSchema(i64),
    /// No such record, or it was removed.
    #[error("there is no {kind} {id}")]
    NotFound {
        /// Kind asked for.
        kind: Kind,
        /// Id asked for.
        id: String,
    },
    /// There is no such deed in the history.
    #[error("there is no entry {0} in the history")]
    NoSuchDeed(i64),
    /// A record with this id exists.
    #[error("there is already a {kind} {id}")]
    Exists {
        /// Its kind.
        kind: Kind,
        /// Its id.
        id: Id,
    },
    /// The record was changed since it was read.
    #[error("{} {} was changed since: you saw version {}, version {} stands", .0.kind, .0.id, .0.saw, .0.stands)]
    Conflict(Box<Conflict>),
    /// The record is named by others.
    #[error("{kind} {id} is still named by {by_kind} {by_id}")]
    StillUsed {
        /// Kind to be removed.
        kind: Kind,
        /// Record to be removed.
        id: Id,
        /// Kind of a record that names it.
        by_kind: Kind,
        /// A record that names it.
        by_id: Id,
    },
    /// The key was used for something else.
    #[error("the key {key} was used before for another request; make a new key for a new request")]
    KeyUsedOtherwise {
        /// The key.
        key: String,
    },
    /// Undoing would overwrite work done since.
    #[error("undoing would overwrite later work: {}", in_words(.0))]
    LaterWork(Vec<HistoryEntry>),
    /// Some deeds cannot be undone.
    #[error("“{deed}” cannot be undone")]
    CannotUndo {
        /// The deed.
        deed: String,
    },
    /// The ramp is held by another job.
    #[error("{ramp} is held by job {job} in that time")]
    RampTaken {
        /// The ramp.
        ramp: String,
        /// The job that holds it.
        job: Id,
        /// From, ms.
        from_ms: i64,
        /// To, ms.
        to_ms: i64,
    },
    /// The workshop is closed at the time asked for, or not open for long enough within a year.
    #[error("the workshop is closed at that time")]
    Closed {
        /// The time asked for, ms.
        at_ms: i64,
    },
    /// No opening hours or ramps have been set.
    #[error("the diary has no ramps and opening hours yet; set them first")]
    NoDiary,
    /// The job would start before a part is there.
    #[error("part {part} is not there at that time")]
    PartNotThere {
        /// The part.
        part: String,
        /// When it should be there, ms; unknown where nobody said.
        expected_ms: Option<i64>,
    },
    /// The deed does not fit the state of the record.
    #[error("“{deed}” is not possible: {kind} {id} is {state}")]
    WrongState {
        /// The deed.
        deed: &'static str,
        /// Kind of the record.
        kind: Kind,
        /// The record.
        id: Id,
        /// Its state.
        state: String,
    },
    /// A value cannot be kept.
    #[error("{field} must be {allowed}; found {found}")]
    Invalid {
        /// Field.
        field: String,
        /// What was found.
        found: String,
        /// What is allowed.
        allowed: String,
    },
    /// What is stored cannot be read.
    #[error("damaged: {0}")]
    Damaged(String),
    /// A backup or an export cannot be taken back.
    #[error("{path}: {why}", path = path.display())]
    Refused {
        /// Which.
        path: PathBuf,
        /// Why, in words.
        why: String,
    },
    /// The store holds work that is not in the import.
    #[error("the store holds work that the import does not: from entry {0} of the history on they differ")]
    ImportDiverges(i64),
}

fn in_words(entries: &[HistoryEntry]) -> String {
    let words: Vec<String> = entries
        .iter()
        .map(|entry| format!("{} by {} on {} {}", entry.deed, entry.who, entry.kind, entry.id))
        .collect();
    words.join("; ")
}

impl Error {
    pub(crate) fn invalid(field: &str, found: impl Into<String>, allowed: impl Into<String>) -> Self {
        Self::Invalid { field: field.into(), found: found.into(), allowed: allowed.into() }
    }

    pub(crate) fn file(path: &Path) -> impl FnOnce(std::io::Error) -> Self + '_ {
        |source| Self::File { path: path.into(), source }
    }

    pub(crate) fn refused(path: &Path, why: impl Into<String>) -> Self {
        Self::Refused { path: path.into(), why: why.into() }
    }

    /// A short name that does not change between versions, for programs.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Database(_) => "database",
            Self::File { .. } => "file",
            Self::NewerDatabase { .. } => "newer_database",
            Self::ForeignSchema(_) => "foreign_schema",
            Self::NotFound { .. } => "not_found",
            Self::NoSuchDeed(_) => "no_such_deed",
            Self::Exists { .. } => "exists",
            Self::Conflict(_) => "conflict",
            Self::StillUsed { .. } => "still_used",
            Self::KeyUsedOtherwise { .. } => "key_used_otherwise",
            Self::LaterWork(_) => "later_work",
            Self::CannotUndo { .. } => "cannot_undo",
            Self::RampTaken { .. } => "ramp_taken",
            Self::Closed { .. } => "closed",
            Self::NoDiary => "no_diary",
            Self::PartNotThere { .. } => "part_not_there",
            Self::WrongState { .. } => "wrong_state",
            Self::Invalid { .. } => "invalid",
            Self::Damaged(_) => "damaged",
            Self::Refused { .. } => "refused",
            Self::ImportDiverges(_) => "import_diverges",
        }
    }
}
