//! Answers: given once, never changed.

use crate::by::By;
use crate::database::Store;
use crate::error::{Error, Result};
use crate::records::{Answer, CatalogueRevision, Id, Kind, Stored};
use crate::work::{Work, begin};

use super::catalogue::revision_id;

impl Store {
    /// Keeps an answer with everything it was made from. Where it computes an earlier one anew, `again_of` names that;
    /// [`crate::difference`] tells what changed.
    ///
    /// # Errors
    /// [`Error::NotFound`] where the enquiry, the catalogue revision or the earlier answer does not stand;
    /// [`Error::Invalid`] where the earlier answer is to another enquiry.
    pub async fn give_answer(&self, by: &By, answer: &Answer) -> Result<Stored<Answer>> {
        let mut work = begin!(self, by, "give answer", answer);
        work.get::<CatalogueRevision>(&revision_id(answer.catalogue_revision)?).await?;
        if let Some(earlier) = &answer.again_of
            && enquiry_of(&mut work, earlier).await? != answer.enquiry
        {
            return Err(Error::invalid("again_of", earlier.as_str(), "an answer to the same enquiry"));
        }
        let stored = work.add(answer).await?;
        work.done(stored).await
    }
}

/// The enquiry that an answer is to, without reading the answer, which is long.
pub(super) async fn enquiry_of(work: &mut Work, answer: &Id) -> Result<Id> {
    let sql = "SELECT to_id FROM links WHERE kind = $1 AND id = $2 AND to_kind = $3";
    let enquiry: Option<(String,)> = sqlx::query_as(sql)
        .bind(Kind::Answer.name())
        .bind(answer.as_str())
        .bind(Kind::Enquiry.name())
        .fetch_optional(work.connection())
        .await?;
    let (enquiry,) = enquiry.ok_or_else(|| Error::NotFound { kind: Kind::Answer, id: answer.to_string() })?;
    enquiry.parse()
}
