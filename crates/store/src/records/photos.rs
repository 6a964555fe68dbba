//! Photos and other files kept with a record.

use serde::{Deserialize, Serialize};

use super::{Id, Kind, Record};
use crate::index::Index;

/// A photo, or a scanned paper.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Photo {
    /// Kind of the record it shows.
    pub about_kind: Kind,
    /// Record it shows.
    pub about: Id,
    /// What is to be seen.
    pub caption: String,
    /// SHA-256 of the bytes, in hexadecimal digits.
    pub sha256: String,
    /// Media type.
    pub media_type: String,
    /// Size, bytes.
    pub size_bytes: i64,
}

impl Record for Photo {
    const KIND: Kind = Kind::Photo;

    fn index(&self, index: &mut Index) {
        index.link(self.about_kind, &self.about);
    }
}
