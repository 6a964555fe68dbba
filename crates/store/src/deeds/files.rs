//! Photos and documents: bytes named by their SHA-256.

use sqlx::AnyConnection;

use crate::by::{By, plain_text};
use crate::database::Store;
use crate::error::{Error, Result};
use crate::records::{Id, Kind, Photo, Stored};
use crate::work::{Work, begin, sha256};

/// A file as kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StoredFile {
    /// Media type.
    pub media_type: String,
    /// Bytes.
    pub bytes: Vec<u8>,
}

const LARGEST_FILE: usize = 64 << 20;

impl Store {
    /// Keeps a photo, or a scanned paper, with the record it shows.
    ///
    /// # Errors
    /// [`Error::Invalid`] for no bytes or more than 64 MiB; [`Error::NotFound`] where that record does not stand.
    pub async fn add_photo(
        &self,
        by: &By,
        about: (Kind, &Id),
        caption: &str,
        media_type: &str,
        bytes: &[u8],
    ) -> Result<Stored<Photo>> {
        let photo = Photo {
            about_kind: about.0,
            about: about.1.clone(),
            caption: caption.to_owned(),
            sha256: sha256(bytes),
            media_type: media_type.to_owned(),
            size_bytes: i64::try_from(bytes.len()).unwrap_or(i64::MAX),
        };
        let mut work = begin!(self, by, "add photo", photo);
        keep_file(&mut work, media_type, bytes).await?;
        let stored = work.add(&photo).await?;
        work.done(stored).await
    }

    /// Removes a photo; its bytes stay, since its history names them.
    ///
    /// # Errors
    /// [`Error::Conflict`], [`Error::StillUsed`].
    pub async fn remove_photo(&self, by: &By, id: &Id, saw: i64) -> Result<()> {
        let mut work = begin!(self, by, "remove photo", (id, saw));
        work.remove::<Photo>(id, saw).await?;
        work.done(()).await
    }

    /// A file by the SHA-256 of its bytes.
    ///
    /// # Errors
    /// [`Error::Damaged`] where it is missing or its bytes are not those that were given.
    pub async fn file(&self, digest: &str) -> Result<StoredFile> {
        let mut connection = self.reader.acquire().await?;
        read_file(&mut connection, digest).await
    }
}

/// Keeps bytes under their digest; the same bytes are kept once.
pub(crate) async fn keep_file(work: &mut Work, media_type: &str, bytes: &[u8]) -> Result<String> {
    plain_text("media_type", media_type, 1, 200)?;
    if bytes.is_empty() || bytes.len() > LARGEST_FILE {
        let found = format!("{} bytes", bytes.len());
        return Err(Error::invalid("file", found, format!("1 to {LARGEST_FILE} bytes")));
    }
    let digest = sha256(bytes);
    let at_ms = work.by.at_ms;
    sqlx::query(
        "INSERT INTO files (digest, media_type, size_bytes, added_ms, content) VALUES ($1, $2, $3, $4, $5)
         ON CONFLICT (digest) DO NOTHING",
    )
    .bind(&*digest)
    .bind(media_type)
    .bind(i64::try_from(bytes.len()).unwrap_or(i64::MAX))
    .bind(at_ms)
    .bind(bytes)
    .execute(work.connection())
    .await?;
    Ok(digest)
}

pub(crate) async fn read_file(connection: &mut AnyConnection, digest: &str) -> Result<StoredFile> {
    let row: Option<(String, Vec<u8>)> =
        sqlx::query_as("SELECT media_type, content FROM files WHERE digest = $1")
            .bind(digest)
            .fetch_optional(connection)
            .await?;
    match row {
        Some((media_type, bytes)) if sha256(&bytes) == digest => Ok(StoredFile { media_type, bytes }),
        Some(_) => Err(Error::Damaged(format!("the bytes of file {digest} are not those that were kept"))),
        None => Err(Error::Damaged(format!("file {digest} is missing"))),
    }
}
