//! Kits sold by post and fitted elsewhere.

use serde::{Deserialize, Serialize};

use super::{Id, Kind, Record, Settled, within};
use crate::error::Result;
use crate::index::Index;

/// A kit sold by post.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PostalSale {
    /// Who bought it.
    pub customer: Id,
    /// For which van.
    pub van: Option<Id>,
    /// The answer that the set-up sheet in the parcel prints.
    pub answer: Option<Id>,
    /// Kit.
    pub kit: String,
    /// When it was sent, ms.
    pub sent_ms: Option<i64>,
    /// Tracking number.
    pub tracking: Option<String>,
    /// What the workshop notes.
    pub notes: String,
}

impl Record for PostalSale {
    const KIND: Kind = Kind::PostalSale;

    fn index(&self, index: &mut Index) {
        index.link(Kind::Customer, &self.customer);
        index.link_if(Kind::Van, self.van.as_ref());
        index.link_if(Kind::Answer, self.answer.as_ref());
    }
}

/// Heights that another workshop sent back by the form of a postal sale.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PostalHeights {
    /// The sale.
    pub sale: Id,
    /// Who fitted it.
    pub workshop: String,
    /// Arch heights before, mm.
    pub before_mm: Option<[f64; 4]>,
    /// Arch heights after, each read after a settling of its own, mm.
    pub after_mm: Vec<[f64; 4]>,
    /// Collar positions from the datum, mm.
    pub collar_mm: [Option<f64>; 4],
    /// How the van was settled.
    pub settled: Settled,
    /// What they write.
    pub notes: String,
}

impl Record for PostalHeights {
    const KIND: Kind = Kind::PostalHeights;

    fn index(&self, index: &mut Index) {
        index.link(Kind::PostalSale, &self.sale);
        index.name(&self.workshop);
    }

    fn check(&self) -> Result<()> {
        self.before_mm.iter().flatten().try_for_each(|&mm| within("before_mm", mm, 100.0, 1_000.0))?;
        self.after_mm.iter().flatten().try_for_each(|&mm| within("after_mm", mm, 100.0, 1_000.0))?;
        self.collar_mm.iter().try_for_each(|&mm| within("collar_mm", mm, -500.0, 500.0))
    }
}
