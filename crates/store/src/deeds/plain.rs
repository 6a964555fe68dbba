//! Adding, changing and removing records that have no rules of their own.

use crate::by::By;
use crate::database::Store;
use crate::error::Result;
use crate::records::{Editable, Id, Stored};
use crate::work::begin;

impl Store {
    /// Adds a record under a new id.
    ///
    /// # Errors
    /// [`Error::NotFound`](crate::Error::NotFound) where a record it names does not stand;
    /// [`Error::Invalid`](crate::Error::Invalid).
    pub async fn add<T: Editable>(&self, by: &By, body: &T) -> Result<Stored<T>> {
        let mut work = begin!(self, by, &format!("add {}", T::KIND), body);
        let stored = work.add(body).await?;
        work.done(stored).await
    }

    /// Adds a record under a name of its own: a setting, the diary, the supply of a part.
    ///
    /// # Errors
    /// [`Error::Exists`](crate::Error::Exists) and those of [`Store::add`].
    pub async fn add_as<T: Editable>(&self, by: &By, id: &Id, body: &T) -> Result<Stored<T>> {
        let mut work = begin!(self, by, &format!("add {}", T::KIND), (id, body));
        let stored = work.add_as(id, body).await?;
        work.done(stored).await
    }

    /// Changes a record of which the writer saw version `saw`.
    ///
    /// # Errors
    /// [`Error::Conflict`](crate::Error::Conflict) with both states where it was changed since.
    pub async fn change<T: Editable>(&self, by: &By, id: &Id, saw: i64, body: &T) -> Result<Stored<T>> {
        let mut work = begin!(self, by, &format!("change {}", T::KIND), (id, saw, body));
        let stored = work.change(id, saw, body).await?;
        work.done(stored).await
    }

    /// Removes a record of which the writer saw version `saw`. Its history stays.
    ///
    /// # Errors
    /// [`Error::StillUsed`](crate::Error::StillUsed) where other records name it;
    /// [`Error::Conflict`](crate::Error::Conflict) where it was changed since.
    pub async fn remove<T: Editable>(&self, by: &By, id: &Id, saw: i64) -> Result<()> {
        let mut work = begin!(self, by, &format!("remove {}", T::KIND), (id, saw));
        work.remove::<T>(id, saw).await?;
        work.done(()).await
    }
}
