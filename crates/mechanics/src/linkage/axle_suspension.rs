//! The suspension of a whole axle.

use std::sync::Arc;

use super::{CornerTable, JoinedAxle, Linkage, LinkageLocks, Reach};

/// How the two wheels of an axle are guided.
#[derive(Debug, Clone, PartialEq)]
pub enum AxleSuspension {
    /// Each wheel by itself, the right one the mirror image of the left.
    Independent(Linkage),
    /// Both by one beam.
    Joined(JoinedAxle),
}

impl AxleSuspension {
    /// Left and right corner tabulated over travel: see [`Linkage::table`] and [`JoinedAxle::tables`].
    ///
    /// # Errors
    /// When the suspension locks so close to design height that nothing is left to tabulate.
    pub fn tables(&self, rebound_m: f64, bump_m: f64) -> Result<[Arc<CornerTable>; 2], LinkageLocks> {
        match self {
            Self::Independent(linkage) => {
                let table = Arc::new(linkage.table(rebound_m, bump_m)?);
                Ok([Arc::clone(&table), table])
            }
            Self::Joined(axle) => Ok(axle.tables(rebound_m, bump_m)?.map(Arc::new)),
        }
    }

    /// The largest rebound and bump travel with both wheels together, and what ends each.
    pub fn reach(&self) -> Reach {
        match self {
            Self::Independent(linkage) => linkage.reach(),
            Self::Joined(axle) => axle.reach(),
        }
    }
}
