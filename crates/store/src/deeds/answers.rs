//! Answers: given once, never changed.

use crate::by::By;
use crate::database::Store;
use crate::error::{Error, Result};
use crate::records::{Answer, CatalogueRevision, Stored};
use crate::work::begin;

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
        if let Some(earlier) = &answer.again_of {
            let earlier = work.get::<Answer>(earlier).await?;
            if earlier.body.enquiry != answer.enquiry {
                return Err(Error::invalid(
                    "again_of",
                    earlier.id.as_str(),
                    "an answer to the same enquiry",
                ));
            }
        }
        let stored = work.add(answer).await?;
        work.done(stored).await
    }
}
