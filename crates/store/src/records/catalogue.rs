//! Revisions of the catalogue.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{Kind, Record};
use crate::index::Index;

/// One revision of all documents: vehicle sheets, kits, load items, rules, operations, prices. Its id is its number,
/// ten digits. It never changes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CatalogueRevision {
    /// Counts revisions from 1.
    pub number: i64,
    /// SHA-256 of each document by its path; the documents are kept as files.
    pub documents: BTreeMap<String, String>,
}

impl Record for CatalogueRevision {
    const KIND: Kind = Kind::CatalogueRevision;

    fn index(&self, _: &mut Index) {}
}
