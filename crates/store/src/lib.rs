//! The workshop's memory: customers, vans, enquiries, answers, quotes, jobs and papers, with the history of every
//! change, in SQLite or PostgreSQL behind one interface.
//!
//! Open a [`Store`], then do deeds: [`Store::book_job`], [`Store::give_answer`], [`Store::record_heights`],
//! [`Store::revise_catalogue`], [`Store::undo`] and so on. Each write takes a [`By`]: who, on which device, when, why,
//! and, where the caller may have to ask again, a key of its own making. The store asks no clock.
//!
//! What is promised, and how each promise is proven, is in `docs/store.md`.

mod backup;
mod by;
mod database;
mod deeds;
mod diary;
mod difference;
mod doctor;
mod error;
mod exchange;
mod index;
mod lists;
mod packed;
mod read;
pub mod records;
mod scratch;
mod undo;
mod work;

pub use backup::{Restored, restore, verify_backup};
pub use by::By;
pub use database::{Durability, Store};
pub use deeds::catalogue::{CatalogueAt, DocumentChange};
pub use deeds::files::StoredFile;
pub use deeds::jobs::NewJob;
pub use deeds::people::{NewSecret, SecretPurpose, SecretState};
pub use deeds::quotes::NewQuote;
pub use diary::{FreeSlot, Occupied};
pub use difference::{Difference, difference};
pub use doctor::{Finding, Said, Severity};
pub use error::{Conflict, Error, Result};
pub use exchange::{Form, ImportPreview, KindPreview, Manifest, preview_import_into_nothing};
pub use index::SearchClass;
pub use lists::{EnquiryPage, EnquiryStage, JobsWanted};
pub use read::{Found, HistoryEntry, Page};
pub use records::{Editable, Id, Kind, Record, Stored};
