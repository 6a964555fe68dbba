//! Folders for work that is not finished. One that a kill leaves behind is known by its name and by nobody holding it,
//! and is cleared away by the next.

use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

use crate::error::{Error, Result};
use crate::exchange::{private_folder, sync_folder};

const PREFIX: &str = "unfinished-";

/// A folder that goes when it is dropped, unless what is in it was finished.
pub(crate) struct Scratch {
    path: PathBuf,
    /// Locked as long as somebody works in it.
    _held: File,
}

impl Scratch {
    /// A new folder within another that only this user may read. What earlier work left there goes first.
    pub(crate) fn within(home: &Path) -> Result<Self> {
        static COUNT: AtomicU32 = AtomicU32::new(0);
        clear(home);
        let count = COUNT.fetch_add(1, Ordering::Relaxed);
        let path = home.join(format!("{PREFIX}{}-{count}", std::process::id()));
        private_folder(&path)?;
        let held = File::open(&path).and_then(|held| held.lock().map(|()| held));
        Ok(Self { _held: held.map_err(Error::file(&path))?, path })
    }

    pub(crate) fn path(&self) -> &Path {
        &self.path
    }

    /// Gives a folder made in here its own name, in one step.
    pub(crate) fn finish(self, made: &Path, name: &Path) -> Result<()> {
        if name.exists() {
            return Err(already(name));
        }
        fs::rename(made, name).map_err(Error::file(name))?;
        sync_folder(home_of(name))
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        drop(fs::remove_dir_all(&self.path));
    }
}

/// That a name is taken.
pub(crate) fn already(name: &Path) -> Error {
    Error::file(name)(io::ErrorKind::AlreadyExists.into())
}

/// The folder in which a name stands.
pub(crate) fn home_of(name: &Path) -> &Path {
    match name.parent() {
        Some(home) if !home.as_os_str().is_empty() => home,
        _ => Path::new("."),
    }
}

/// Removes what work that was broken off left in a folder: folders of that name that nobody holds.
pub(crate) fn clear(home: &Path) {
    for entry in fs::read_dir(home).into_iter().flatten().flatten() {
        let is_free = || File::open(entry.path()).is_ok_and(|folder| folder.try_lock().is_ok());
        if entry.file_name().to_string_lossy().starts_with(PREFIX) && is_free() {
            drop(fs::remove_dir_all(entry.path()));
        }
    }
}

/// Copies a file into a new one that only this user may read, and waits until it is on disk.
pub(crate) fn copy_private(from: &Path, to: &Path) -> Result<()> {
    let copy = || {
        let mut options = File::options();
        options.write(true).create_new(true);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
        let mut copy = options.open(to)?;
        io::copy(&mut File::open(from)?, &mut copy)?;
        copy.sync_all()
    };
    copy().map_err(Error::file(to))
}

/// Takes a file from everybody but this user.
pub(crate) fn make_private(file: &Path) -> Result<()> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        fs::set_permissions(file, fs::Permissions::from_mode(0o600)).map_err(Error::file(file))?;
    }
    Ok(())
}
