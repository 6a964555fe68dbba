//! A store to test, on either database.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};
use std::{env, fs, process};

use store::Store;

use crate::cluster;

/// A folder that goes when it is dropped.
pub(crate) struct Folder(PathBuf);

impl Folder {
    pub(crate) fn new() -> Self {
        static COUNT: AtomicU32 = AtomicU32::new(0);
        let count = COUNT.fetch_add(1, Ordering::Relaxed);
        let path = env::temp_dir().join(format!("store-test-{}-{count}", process::id()));
        fs::create_dir_all(&path).unwrap();
        Self(path)
    }

    pub(crate) fn path(&self) -> &Path {
        &self.0
    }

    pub(crate) fn join(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        drop(fs::remove_dir_all(&self.0));
    }
}

/// An empty store, its URL, and a folder for files.
pub(crate) struct Bench {
    pub(crate) store: Store,
    pub(crate) url: String,
    pub(crate) folder: Folder,
}

impl Bench {
    pub(crate) async fn sqlite() -> Self {
        let folder = Folder::new();
        let url = folder.join("workshop.sqlite").display().to_string();
        Self { store: Store::open(&url).await.unwrap(), url, folder }
    }

    pub(crate) async fn postgres() -> Self {
        let url = cluster::new_database();
        Self { store: Store::open(&url).await.unwrap(), url, folder: Folder::new() }
    }

    /// Another server process, as far as the database can tell.
    pub(crate) async fn another(&self) -> Store {
        Store::open(&self.url).await.unwrap()
    }
}

/// Makes of one asynchronous check two tests, one for each database.
macro_rules! on_both {
    ($(#[$doc:meta])* $name:ident, $check:path) => {
        $(#[$doc])*
        mod $name {
            #[allow(unused_imports)]
            use super::*;

            #[tokio::test(flavor = "multi_thread", worker_threads = 4)]
            async fn sqlite() {
                $check($crate::bench::Bench::sqlite().await).await;
            }

            #[tokio::test(flavor = "multi_thread", worker_threads = 4)]
            async fn postgres() {
                $check($crate::bench::Bench::postgres().await).await;
            }
        }
    };
}
pub(crate) use on_both;
