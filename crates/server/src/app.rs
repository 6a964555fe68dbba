//! What all handlers share: the store, the clock, the catalogue as read, permits for heavy work.

use std::collections::BTreeSet;
use std::sync::{Arc, Mutex as PlainMutex, PoisonError};

use store::{CatalogueAt, Store};
use tokio::sync::{Mutex, OwnedMutexGuard, Semaphore};
use workshop::catalogue::{Catalogue, DataFile};
use workshop::document::Fault;
use workshop::wording::Manner;

use crate::answers::Unanswered;
use crate::audit::Refusals;
use crate::problem::{Handled, Problem};
use crate::shortlists::Shortlists;

/// Milliseconds since 1970-01-01 UTC, by whatever clock the server was given.
pub type Clock = Arc<dyn Fn() -> i64 + Send + Sync>;

/// The machine's clock.
pub fn machine_clock() -> Clock {
    Arc::new(|| jiff::Timestamp::now().as_millisecond())
}

/// How the server is reached.
#[derive(Debug, Clone, Default)]
pub struct Reach {
    /// Address in the browser where something before the server adds HTTPS, such as `https://workshop.example`.
    pub public_url: Option<String>,
    /// Whether all there is is invented; every page says so.
    pub demo: bool,
}

impl Reach {
    /// Whether browsers come by HTTPS.
    pub(crate) fn is_https(&self) -> bool {
        self.public_url.as_deref().is_some_and(|url| url.starts_with("https://"))
    }

    /// Host name of the public address.
    pub(crate) fn public_host(&self) -> Option<&str> {
        self.public_url.as_deref()?.split_once("://")?.1.split('/').next()
    }
}

/// Passphrases that are hashed at once; each takes 64 MiB.
const HASHING: usize = 2;

/// Shared by all handlers; cheap to clone.
#[derive(Clone)]
pub struct App {
    pub(crate) store: Store,
    pub(crate) reach: Arc<Reach>,
    clock: Clock,
    catalogue: Arc<Mutex<Option<Arc<ReadCatalogue>>>>,
    hashing: Arc<Semaphore>,
    computing: Arc<Semaphore>,
    /// Tries to sign in stand in line, so that none slips by while another is being checked.
    lines: Arc<[Arc<Mutex<()>>; LINES]>,
    running: Running,
    pub(crate) refusals: Arc<Refusals>,
    pub(crate) shortlists: Arc<Shortlists>,
}

/// Keys of requests that are being answered.
type Running = Arc<PlainMutex<BTreeSet<String>>>;

/// A key held while its request is answered.
pub(crate) struct HeldKey {
    running: Running,
    key: String,
}

impl Drop for HeldKey {
    fn drop(&mut self) {
        self.running.lock().unwrap_or_else(PoisonError::into_inner).remove(&self.key);
    }
}

/// Lines for tries; an account on a device always stands in the same one.
const LINES: usize = 64;

/// A revision of the catalogue, read.
pub(crate) struct ReadCatalogue {
    pub(crate) revision: i64,
    pub(crate) catalogue: Catalogue,
    pub(crate) names: NamesWithMeasures,
}

/// Names of kits and vans in which a measure stands, such as a grade by its mass, and how they stay what they are on
/// pages in other units.
#[derive(Default)]
pub(crate) struct NamesWithMeasures(pub(crate) Vec<[String; 2]>);

impl NamesWithMeasures {
    fn of(catalogue: &Catalogue) -> Self {
        let vans = catalogue.vehicles.iter().flat_map(|sheet| {
            let grades = sheet.grades.iter().map(|grade| format!("{}, {}", sheet.name, grade.name));
            grades.chain([sheet.name.clone()])
        });
        let names = vans.chain(catalogue.kits.iter().map(|kit| kit.name.clone()));
        let kept = names.map(|name| {
            let kept = Manner::kept_name(&name);
            [name, kept]
        });
        Self(kept.filter(|[name, kept]| name != kept).collect())
    }
}

impl App {
    /// Over a store.
    pub fn new(store: Store, reach: Reach, clock: Clock) -> Self {
        let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
        Self {
            store,
            reach: Arc::new(reach),
            clock,
            catalogue: Arc::default(),
            hashing: Arc::new(Semaphore::new(HASHING)),
            computing: Arc::new(Semaphore::new(cores)),
            lines: Arc::new(std::array::from_fn(|_| Arc::default())),
            running: Arc::default(),
            refusals: Arc::default(),
            shortlists: Arc::default(),
        }
    }

    pub(crate) fn now_ms(&self) -> i64 {
        (self.clock)()
    }

    /// The latest catalogue, read once for each revision.
    pub(crate) async fn catalogue(&self) -> Handled<Arc<ReadCatalogue>> {
        let revision = self.store.catalogue_revision().await?;
        let mut kept = self.catalogue.lock().await;
        if let Some(read) = kept.as_ref().filter(|read| read.revision == revision) {
            return Ok(Arc::clone(read));
        }
        let at = self.store.catalogue(Some(revision)).await?;
        let read = Arc::new(self.compute(move || read_catalogue(&at)).await?.map_err(Unanswered::from)?);
        *kept = Some(Arc::clone(&read));
        Ok(read)
    }

    /// Holds a key until dropped; none while a request with the same key is being answered.
    pub(crate) fn hold_key(&self, key: &str) -> Option<HeldKey> {
        let is_free = self.running.lock().unwrap_or_else(PoisonError::into_inner).insert(key.to_owned());
        is_free.then(|| HeldKey { running: Arc::clone(&self.running), key: key.to_owned() })
    }

    /// Stands in the line of a name until dropped.
    pub(crate) async fn in_line(&self, name: &str) -> OwnedMutexGuard<()> {
        let place =
            name.bytes().fold(0_usize, |sum, byte| sum.wrapping_mul(31).wrapping_add(usize::from(byte)));
        Arc::clone(&self.lines[place % LINES]).lock_owned().await
    }

    /// Runs heavy work off the threads that serve, as many at once as there are cores.
    pub(crate) async fn compute<T: Send + 'static>(
        &self,
        work: impl FnOnce() -> T + Send + 'static,
    ) -> Handled<T> {
        run_with_permit(&self.computing, work).await
    }

    /// Hashes, as few at once as memory allows.
    pub(crate) async fn hash<T: Send + 'static>(
        &self,
        work: impl FnOnce() -> T + Send + 'static,
    ) -> Handled<T> {
        run_with_permit(&self.hashing, work).await
    }
}

async fn run_with_permit<T: Send + 'static>(
    permits: &Arc<Semaphore>,
    work: impl FnOnce() -> T + Send + 'static,
) -> Handled<T> {
    let permit = Arc::clone(permits).acquire_owned().await.map_err(|e| Problem::internal(&e))?;
    let work = move || {
        let _held = permit;
        work()
    };
    tokio::task::spawn_blocking(work).await.map_err(|e| Problem::internal(&e))
}

/// Reads all documents of a revision.
pub(crate) fn read_catalogue(at: &CatalogueAt) -> Result<ReadCatalogue, Vec<Fault>> {
    let files: Vec<DataFile> = at
        .documents
        .iter()
        .filter(|(path, _)| path.ends_with(".toml"))
        .map(|(path, text)| DataFile { path: path.clone(), text: text.clone() })
        .collect();
    let catalogue = Catalogue::read(&files)?;
    Ok(ReadCatalogue { revision: at.revision, names: NamesWithMeasures::of(&catalogue), catalogue })
}
