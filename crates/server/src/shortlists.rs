//! Shortlists computed lately, and kits set lately on the vans they are about. A list takes a tenth of a second or more
//! and is asked for again and again while its enquiry is on the page: drawn on another kit, compared, read by a program,
//! given as an answer. It depends on nothing but the documents it is made from, so the same documents get the same list.
//! Most answers on the telephone change little of the documents: what they leave as it was is not computed anew.

use std::sync::{Arc, OnceLock};

use axum::body::Bytes;
use quick_cache::sync::Cache;
use workshop::answer::KnownVan;
use workshop::enquiry::WishKind;
use workshop::shortlist::Shortlist;
use workshop::van_on_kit::KitsOnVan;

use crate::answers::{Unanswered, enquiry, shortlisted};
use crate::app::{App, ReadCatalogue};
use crate::problem::{Handled, Problem};

/// Lists that are kept, each a few megabytes: those of the enquiries a counter has open at once.
const LISTS_KEPT: usize = 32;
/// Vans whose kits are kept, each some megabytes too.
const VANS_KEPT: usize = 16;

/// Everything that a shortlist depends on.
#[derive(Clone, PartialEq, Eq, Hash)]
pub(crate) struct Question {
    catalogue_revision: i64,
    document: String,
    by: Option<WishKind>,
}

impl Question {
    /// How an enquiry document is answered from a catalogue, by its own wish or another.
    pub(crate) fn of(read: &ReadCatalogue, document: &str, by: Option<WishKind>) -> Self {
        Self { catalogue_revision: read.revision, document: document.to_owned(), by }
    }
}

/// What kits on a van are kept under: the revision of the catalogue, and what is said of the van.
type Van = (i64, String);

/// What was computed lately.
pub(crate) struct Shortlists {
    lists: Cache<Question, Arc<Listed>>,
    vans: Cache<Van, Arc<KitsOnVan>>,
}

impl Default for Shortlists {
    fn default() -> Self {
        Self { lists: Cache::new(LISTS_KEPT), vans: Cache::new(VANS_KEPT) }
    }
}

impl Shortlists {
    /// The list of a question, computed where it is not there. Who asks for one that is being computed waits for it.
    pub(crate) fn of(
        &self,
        question: &Question,
        list: impl FnOnce() -> Result<Listed, Unanswered>,
    ) -> Result<Arc<Listed>, Unanswered> {
        self.lists.get_or_insert_with(question, || list().map(Arc::new))
    }

    fn kits_on(&self, van: &Van) -> Arc<KitsOnVan> {
        let none = || Ok::<_, std::convert::Infallible>(Arc::default());
        self.vans.get_or_insert_with(van, none).unwrap_or_default()
    }

    #[cfg(test)]
    pub(crate) fn vans_kept(&self) -> usize {
        self.vans.len()
    }

    /// Puts a question about the van of an enquiry document, with what is known already of kits on it.
    fn of_the_van<T>(
        &self,
        read: &ReadCatalogue,
        document: &str,
        ask: impl FnOnce(&KnownVan) -> Result<T, Unanswered>,
    ) -> Result<T, Unanswered> {
        let enquiry = enquiry(&read.catalogue, document)?;
        let kits = self.kits_on(&(read.revision, enquiry.said_of_the_van()));
        ask(&KnownVan::of(&read.catalogue, &enquiry)?.with_kits(kits))
    }
}

/// A shortlist, and its JSON from when it was first asked for.
pub(crate) struct Listed {
    pub(crate) list: Shortlist,
    json: OnceLock<Bytes>,
}

impl Listed {
    /// The kits on a known van, by its enquiry's own wish or another.
    pub(crate) fn of(known: &KnownVan, by: Option<WishKind>) -> Result<Self, Unanswered> {
        let (list, _) = shortlisted(known, by)?;
        Ok(Self { list, json: OnceLock::new() })
    }
}

impl App {
    /// The shortlist of an enquiry document, by its own wish or another.
    pub(crate) async fn shortlist(
        &self,
        read: &Arc<ReadCatalogue>,
        document: &str,
        by: Option<WishKind>,
    ) -> Handled<Arc<Listed>> {
        let question = Question::of(read, document, by);
        if let Some(listed) = self.shortlists.lists.get(&question) {
            return Ok(listed);
        }
        let (shortlists, read) = (Arc::clone(&self.shortlists), Arc::clone(read));
        let work = move || {
            // the van is looked at by who computes the list, not by who waits for it
            let list = || shortlists.of_the_van(&read, &question.document, |known| Listed::of(known, by));
            shortlists.of(&question, list)
        };
        self.compute(work).await?.map_err(Problem::from)
    }

    /// Puts a question about the van of an enquiry document, with what is known already of kits on it. Their van takes
    /// a place among those kept; a correction, which sets no kit, is not put here.
    pub(crate) async fn of_the_van<T: Send + 'static>(
        &self,
        read: &Arc<ReadCatalogue>,
        document: &str,
        ask: impl FnOnce(&KnownVan) -> Result<T, Unanswered> + Send + 'static,
    ) -> Handled<T> {
        let (shortlists, read) = (Arc::clone(&self.shortlists), Arc::clone(read));
        let document = document.to_owned();
        let work = move || shortlists.of_the_van(&read, &document, ask);
        self.compute(work).await?.map_err(Problem::from)
    }

    /// A shortlist as JSON.
    pub(crate) async fn shortlist_json(&self, listed: &Arc<Listed>) -> Handled<Bytes> {
        if let Some(json) = listed.json.get() {
            return Ok(json.clone());
        }
        let listed = Arc::clone(listed);
        let work = move || {
            let json = listed.list.json()?;
            Ok::<_, serde_json::Error>(listed.json.get_or_init(|| json.into()).clone())
        };
        self.compute(work).await?.map_err(|e| Problem::internal(&e))
    }
}

#[cfg(test)]
mod tests {
    use std::future::{Future, poll_fn};
    use std::pin::pin;
    use std::task::Poll;
    use std::time::Duration;

    use quick_cache::sync::GuardResult;

    use super::*;
    use crate::demo::on_disk::{demo_app, demo_file};

    #[tokio::test]
    async fn law_who_waits_for_a_list_does_not_look_at_its_van() {
        let app = demo_app("waits-for-a-list").await;
        let read = app.catalogue().await.unwrap();
        // a document about no van: whoever looks at it first has no answer
        let nowhere = "vehicle = \"nowhere\"";
        let question = Question::of(&read, nowhere, None);
        let listed = app.shortlist(&read, &demo_file("enquiries/day-van-lower.toml"), None).await.unwrap();
        let guard = app.shortlists.lists.get_value_or_guard(&question, Some(Duration::ZERO));
        let GuardResult::Guard(computing) = guard else { panic!("somebody else computes it") };
        let mut asked = pin!(app.shortlist(&read, nowhere, None));
        assert!(poll_fn(|context| Poll::Ready(asked.as_mut().poll(context))).await.is_pending());
        assert!(computing.insert(Arc::clone(&listed)).is_ok());
        let found = asked.await;
        assert!(found.is_ok_and(|found| Arc::ptr_eq(&found, &listed)));
        assert!(app.shortlist(&read, "vehicle = \"elsewhere\"", None).await.is_err());
    }
}
