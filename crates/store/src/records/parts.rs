//! Supply of parts, and parts that came back or failed.

use serde::{Deserialize, Serialize};

use super::{Id, Kind, Record, within};
use crate::error::Result;
use crate::index::Index;

/// How a part can be had. Its id is the part's name in the catalogue.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PartSupply {
    /// On the shelf.
    pub in_stock: f64,
    /// Days from order to arrival in nine of ten cases.
    pub lead_days_nine_in_ten: Option<f64>,
    /// Who delivers it.
    pub supplier: String,
    /// What was said on the telephone.
    pub notes: String,
}

impl Record for PartSupply {
    const KIND: Kind = Kind::PartSupply;

    fn index(&self, index: &mut Index) {
        index.name(&self.supplier);
    }

    fn check(&self) -> Result<()> {
        within("in_stock", self.in_stock, 0.0, 1e6)?;
        within("lead_days_nine_in_ten", self.lead_days_nine_in_ten, 0.0, 1_000.0)
    }
}

/// A part that came back or failed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PartReturn {
    /// Part, as in the catalogue.
    pub part: String,
    /// Kit it came with.
    pub kit: Option<String>,
    /// Job it was fitted in.
    pub job: Option<Id>,
    /// Why.
    pub cause: ReturnCause,
    /// How many.
    pub quantity: f64,
    /// When it was fitted, ms.
    pub fitted_ms: Option<i64>,
    /// When it came back or failed, ms.
    pub at_ms: i64,
    /// Distance driven with it, km.
    pub driven_km: Option<f64>,
    /// What was seen.
    pub notes: String,
}

/// Why a part came back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ReturnCause {
    /// Not wanted.
    NotWanted,
    /// Does not fit.
    DoesNotFit,
    /// Faulty on arrival.
    FaultyOnArrival,
    /// Failed in use.
    FailedInUse,
    /// Makes a noise.
    Noise,
}

impl Record for PartReturn {
    const KIND: Kind = Kind::PartReturn;

    fn index(&self, index: &mut Index) {
        index.link_if(Kind::Job, self.job.as_ref());
    }

    fn check(&self) -> Result<()> {
        within("quantity", self.quantity, 0.0, 10_000.0)?;
        within("driven_km", self.driven_km, 0.0, 5e6)
    }
}
