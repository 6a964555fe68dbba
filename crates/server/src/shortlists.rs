//! Shortlists computed lately. One takes a tenth of a second or more and is asked for again and again while its
//! enquiry is on the page: drawn on another kit, compared, read by a program, given as an answer. It depends on nothing
//! but the documents it is made from, so the same documents get the same list.

use std::sync::{Arc, OnceLock};

use axum::body::Bytes;
use quick_cache::sync::Cache;
use workshop::enquiry::WishKind;
use workshop::shortlist::Shortlist;

use crate::answers::{Unanswered, enquiry, shortlisted};
use crate::app::{App, ReadCatalogue};
use crate::problem::{Handled, Problem};

/// Lists that are kept, each a few megabytes: those of the enquiries a counter has open at once.
const KEPT: usize = 32;

/// Everything that a shortlist depends on.
#[derive(Clone, PartialEq, Eq, Hash)]
struct Question {
    catalogue_revision: i64,
    document: String,
    by: Option<WishKind>,
}

/// Lists by what they were made from; at most [`KEPT`].
pub(crate) struct Shortlists(Cache<Question, Arc<Listed>>);

impl Default for Shortlists {
    fn default() -> Self {
        Self(Cache::new(KEPT))
    }
}

/// A shortlist, and its JSON from when it was first asked for.
pub(crate) struct Listed {
    pub(crate) list: Shortlist,
    json: OnceLock<Bytes>,
}

impl App {
    /// The shortlist of an enquiry document, by its own wish or another. Who asks for one that is being computed
    /// waits for it.
    pub(crate) async fn shortlist(
        &self,
        read: &Arc<ReadCatalogue>,
        document: &str,
        by: Option<WishKind>,
    ) -> Handled<Arc<Listed>> {
        let question = Question { catalogue_revision: read.revision, document: document.to_owned(), by };
        self.shortlists.0.get_or_insert_async(&question, self.list(read, &question)).await
    }

    async fn list(&self, read: &Arc<ReadCatalogue>, question: &Question) -> Handled<Arc<Listed>> {
        let (read, document, by) = (Arc::clone(read), question.document.clone(), question.by);
        let work = move || {
            let enquiry = enquiry(&read.catalogue, &document)?;
            Ok::<_, Unanswered>(shortlisted(&read.catalogue, &enquiry, by)?.0)
        };
        let list = self.compute(work).await??;
        Ok(Arc::new(Listed { list, json: OnceLock::new() }))
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
