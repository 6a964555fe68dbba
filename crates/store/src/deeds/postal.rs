//! Kits sold by post: another workshop sends back the heights it read.

use crate::by::By;
use crate::database::Store;
use crate::error::{Error, Result};
use crate::records::{Id, PostalHeights, PostalSale, Stored};
use crate::work::begin;

use super::people::{SecretPurpose, secret_of};

impl Store {
    /// Keeps the heights that came by the form of a sale. The code on the form ([`SecretPurpose::PostalForm`], owner:
    /// the sale) says which sale it is; it may be used until it ends, so that a workshop can read again.
    ///
    /// # Errors
    /// [`Error::Invalid`] where the code is unknown, has ended, or belongs to another sale.
    pub async fn receive_postal_heights(
        &self,
        by: &By,
        code_digest: &str,
        heights: &PostalHeights,
    ) -> Result<Stored<PostalHeights>> {
        let mut work = begin!(self, by, "receive postal heights", (code_digest, heights));
        let code = secret_of(work.connection(), code_digest).await?;
        let fits = code.is_some_and(|code| {
            code.purpose == SecretPurpose::PostalForm
                && code.owner == heights.sale.as_str()
                && code.is_valid(by.at_ms)
        });
        if !fits {
            return Err(Error::invalid("code", "an unknown or ended code", "the code printed on the form"));
        }
        let stored = work.add(heights).await?;
        work.done(stored).await
    }

    /// The sale that a form's code belongs to.
    ///
    /// # Errors
    /// [`Error::Invalid`] where the code is unknown or has ended.
    pub async fn sale_of_code(&self, code_digest: &str, at_ms: i64) -> Result<Stored<PostalSale>> {
        let mut connection = self.reader.acquire().await?;
        let code = secret_of(&mut connection, code_digest).await?;
        let code = code
            .filter(|code| code.purpose == SecretPurpose::PostalForm && code.is_valid(at_ms))
            .ok_or_else(|| Error::invalid("code", "an unknown or ended code", "the code printed on the form"))?;
        drop(connection);
        self.get(&code.owner.parse::<Id>()?).await
    }
}
