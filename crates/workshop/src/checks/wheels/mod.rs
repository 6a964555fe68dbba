//! Wheels and tyres of a workshop's list on a van: load, hub, size, and the room around them.

mod hub;
mod load;
mod lock;
mod room;
mod size;

pub use room::{Outline, outline};
pub(crate) use size::USUAL_LEAD_PERCENT;
pub use size::track_change_mm;

use super::{Check, Limit};
use crate::facts::Words;
use crate::standing::Standing;
use crate::tyre_marking::TyreMarking;
use crate::vehicle_sheet::TyreSheet;
use crate::wheel_sheet::WheelSheet;
use crate::wheels::{Rim, Tyre};

/// Checks of the wheels that an enquiry chose.
pub(super) fn checks(standing: &Standing) -> Vec<Check> {
    let chosen = standing.known.enquiry.wheels.as_ref();
    let chosen = chosen.and_then(|choice| standing.known.catalogue.wheels.chosen(choice));
    chosen.map(|(rim, tyre)| wheel_checks(standing, rim, tyre)).unwrap_or_default()
}

/// Every check of one rim and tyre on a van, what rules them out first: whether they go on the hub, what they carry, what
/// their size changes, what room is left.
///
/// Loads and travels are those of `standing`, whatever wheels it stands on: others hardly change them.
pub fn wheel_checks(standing: &Standing, rim: &Rim, tyre: &Tyre) -> Vec<Check> {
    let pair = Pair { standing, rim, tyre, sheet: &standing.known.van.sheet.wheels };
    let parts: [fn(&Pair) -> Vec<Check>; 4] = [hub::checks, load::checks, size::checks, room::checks];
    parts.iter().flat_map(|part| part(&pair)).collect()
}

/// A rim and tyre on a van.
struct Pair<'a> {
    standing: &'a Standing<'a>,
    rim: &'a Rim,
    tyre: &'a Tyre,
    sheet: &'a WheelSheet,
}

impl Pair<'_> {
    /// How far outboard of the original wheels these stand, mm, where the original offset is known.
    fn outboard_mm(&self) -> Option<f64> {
        self.sheet.offset_mm.map(|original_mm| self.rim.outboard_mm(original_mm))
    }

    /// Original tyre of an axle.
    fn original(&self, axle: usize) -> &TyreSheet {
        &self.standing.known.van.axle_sheet(axle).tyre
    }

    /// Outer diameter of the original tyre of an axle and of this one, mm: by size, or by their radii where the original's
    /// size cannot be read.
    fn diameters_mm(&self, axle: usize) -> [f64; 2] {
        match self.original(axle).size.parse::<TyreMarking>() {
            Ok(size) => [size.outer_diameter_mm(), self.tyre.marking.outer_diameter_mm()],
            Err(_) => [2.0 * self.original(axle).unloaded_radius_mm, 2.0 * self.tyre.radius_mm()],
        }
    }
}

fn at_least(least: f64, source: Words) -> Limit {
    Limit { at_least: Some(least), at_most: None, source }
}

fn at_most(most: f64, source: Words) -> Limit {
    Limit { at_least: None, at_most: Some(most), source }
}

fn between([least, most]: [f64; 2], source: Words) -> Limit {
    Limit { at_least: Some(least), at_most: Some(most), source }
}
