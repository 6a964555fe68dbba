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
    /// The list of a question about a known van. Who asks for one that is being computed waits for it.
    pub(crate) fn of(&self, question: &Question, known: &KnownVan) -> Result<Arc<Listed>, Unanswered> {
        let list = || {
            let (list, _) = shortlisted(known, question.by)?;
            Ok(Arc::new(Listed { list, json: OnceLock::new() }))
        };
        self.lists.get_or_insert_with(question, list)
    }

    fn kits_on(&self, van: &Van) -> Arc<KitsOnVan> {
        let none = || Ok::<_, std::convert::Infallible>(Arc::default());
        self.vans.get_or_insert_with(van, none).unwrap_or_default()
    }
}

/// A shortlist, and its JSON from when it was first asked for.
pub(crate) struct Listed {
    pub(crate) list: Shortlist,
    json: OnceLock<Bytes>,
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
        let shortlists = Arc::clone(&self.shortlists);
        self.of_the_van(read, document, move |known| shortlists.of(&question, known)).await
    }

    /// Puts a question about the van of an enquiry document, with what is known already of kits on it.
    pub(crate) async fn of_the_van<T: Send + 'static>(
        &self,
        read: &Arc<ReadCatalogue>,
        document: &str,
        ask: impl FnOnce(&KnownVan) -> Result<T, Unanswered> + Send + 'static,
    ) -> Handled<T> {
        let (shortlists, read) = (Arc::clone(&self.shortlists), Arc::clone(read));
        let document = document.to_owned();
        let work = move || {
            let enquiry = enquiry(&read.catalogue, &document)?;
            let kits = shortlists.kits_on(&(read.revision, enquiry.said_of_the_van()));
            ask(&KnownVan::of(&read.catalogue, &enquiry)?.with_kits(kits))
        };
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
