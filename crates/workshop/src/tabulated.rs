//! Suspensions tabulated over travel. A workshop asks for the same ones again and again: one van has many kits, and an
//! enquiry is answered anew with every word of it.

use std::sync::{Arc, Mutex, PoisonError};

use mechanics::linkage::{AxleSuspension, CornerTable, LinkageLocks};

/// Travel tabulated to either side of design height, m.
const TABULATED_M: f64 = 0.2;
/// Suspensions that are kept, those asked for last: some fifty kilobytes each.
const KEPT: usize = 64;

type Tables = [Arc<CornerTable>; 2];

static ASKED_LAST: Mutex<Vec<(AxleSuspension, Tables)>> = Mutex::new(Vec::new());

/// Left and right corner over travel.
///
/// # Errors
/// When the suspension locks so close to design height that nothing is left to tabulate.
pub(crate) fn tabulated(suspension: &AxleSuspension) -> Result<Tables, LinkageLocks> {
    if let Some(tables) = kept(suspension) {
        return Ok(tables);
    }
    let tables = suspension.tables(TABULATED_M, TABULATED_M)?;
    let mut kept = ASKED_LAST.lock().unwrap_or_else(PoisonError::into_inner);
    kept.truncate(KEPT - 1);
    kept.insert(0, (suspension.clone(), tables.clone()));
    Ok(tables)
}

fn kept(suspension: &AxleSuspension) -> Option<Tables> {
    let mut kept = ASKED_LAST.lock().unwrap_or_else(PoisonError::into_inner);
    let at = kept.iter().position(|(known, _)| known == suspension)?;
    kept[..=at].rotate_right(1);
    Some(kept[0].1.clone())
}
