//! The catalogue and its revisions.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::by::{By, plain_text};
use crate::database::Store;
use crate::error::{Conflict, Error, Result};
use crate::records::{CatalogueRevision, Id, Kind, Stored, to_json};
use crate::work::{Work, begin};

use super::files::{keep_file, read_file};

/// What becomes of one document.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DocumentChange {
    /// Its path in the data folder, such as `kits/low.toml`.
    pub path: String,
    /// Its new text; none: it goes.
    pub text: Option<String>,
}

/// The catalogue as it stood at a revision.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CatalogueAt {
    /// Number of the revision; 0 before the first.
    pub revision: i64,
    /// Text of each document by its path.
    pub documents: BTreeMap<String, String>,
}

const LONGEST_PATH: usize = 200;

/// Revisions sort by number.
pub(crate) fn revision_id(number: i64) -> Result<Id> {
    format!("{number:010}").parse()
}

impl Store {
    /// Makes a new revision of the catalogue from the revision `saw` (0: there is none yet). Documents that are not
    /// named stay.
    ///
    /// # Errors
    /// [`Error::Conflict`] where another revision stands than the one seen; [`Error::Invalid`] for a path that is no plain relative path, or where nothing would change.
    pub async fn revise_catalogue(
        &self,
        by: &By,
        saw: i64,
        changes: &[DocumentChange],
    ) -> Result<Stored<CatalogueRevision>> {
        let mut work = begin!(self, by, "revise catalogue", (saw, changes));
        let latest = latest(&mut work).await?;
        let stands = latest.as_ref().map_or(0, |revision| revision.number);
        if stands != saw {
            return Err(Error::Conflict(Box::new(Conflict {
                kind: Kind::CatalogueRevision,
                id: revision_id(stands)?,
                saw,
                stands,
                mine: to_json(&changes)?,
                theirs: to_json(&latest)?,
            })));
        }
        let before = latest.map(|revision| revision.documents).unwrap_or_default();
        let mut documents = before.clone();
        for change in changes {
            check_path(&change.path)?;
            match &change.text {
                Some(text) => {
                    let digest = keep_file(&mut work, "text/plain; charset=utf-8", text.as_bytes()).await?;
                    documents.insert(change.path.clone(), digest);
                }
                None => drop(documents.remove(&change.path)),
            }
        }
        if documents == before {
            return Err(Error::invalid("changes", "nothing new", "at least one document that changes"));
        }
        let revision = CatalogueRevision { number: saw + 1, documents };
        let stored = work.add_as(&revision_id(revision.number)?, &revision).await?;
        work.done(stored).await
    }

    /// Number of the latest revision; 0 before the first.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn catalogue_revision(&self) -> Result<i64> {
        let (id,): (Option<String>,) = sqlx::query_as("SELECT MAX(id) FROM records WHERE kind = $1")
            .bind(Kind::CatalogueRevision.name())
            .fetch_one(&self.reader)
            .await?;
        Ok(id.and_then(|id| id.parse().ok()).unwrap_or(0))
    }

    /// The catalogue at a revision, or the latest.
    ///
    /// # Errors
    /// [`Error::NotFound`] where there never was such a revision.
    pub async fn catalogue(&self, revision: Option<i64>) -> Result<CatalogueAt> {
        let number = match revision {
            Some(number) => number,
            None => self.catalogue_revision().await?,
        };
        if number == 0 {
            return Ok(CatalogueAt { revision: 0, documents: BTreeMap::new() });
        }
        let revision = self.get::<CatalogueRevision>(&revision_id(number)?).await?.body;
        let mut documents = BTreeMap::new();
        let mut connection = self.reader.acquire().await?;
        for (path, digest) in revision.documents {
            let text = String::from_utf8(read_file(&mut connection, &digest).await?.bytes)
                .map_err(|_| Error::Damaged(format!("{path} is not text")))?;
            documents.insert(path, text);
        }
        Ok(CatalogueAt { revision: number, documents })
    }
}

async fn latest(work: &mut Work) -> Result<Option<CatalogueRevision>> {
    let (id,): (Option<String>,) = sqlx::query_as("SELECT MAX(id) FROM records WHERE kind = $1")
        .bind(Kind::CatalogueRevision.name())
        .fetch_one(work.connection())
        .await?;
    match id {
        Some(id) => Ok(Some(work.get::<CatalogueRevision>(&id.parse()?).await?.body)),
        None => Ok(None),
    }
}

/// A path that stays inside the folder it is written to.
fn check_path(path: &str) -> Result<()> {
    plain_text("path", path, 1, LONGEST_PATH)?;
    let odd = path.contains('\\') || path.chars().any(char::is_control);
    if odd || path.split('/').any(|step| matches!(step, "" | "." | "..")) {
        return Err(Error::invalid("path", path, "a relative path such as kits/low.toml"));
    }
    Ok(())
}
