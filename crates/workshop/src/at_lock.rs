//! The left front wheel at both ends of the steering, over travel.

use mechanics::linkage::{AxleSuspension, LeafFittings, Linkage, WheelStance};
use mechanics::statics::FRONT;

use crate::assembly::axle_sheet;
use crate::suspension::suspension;
use crate::vehicle_sheet::VehicleSheet;

/// Distance between the travels at which the wheel is placed, m.
const STEP_M: f64 = 0.005;
/// Travel to either side of design height that is placed, m.
const PLACED_M: f64 = 0.2;

/// The original left front wheel at full lock.
#[derive(Debug, Clone, PartialEq)]
pub struct AtLock {
    /// On the inside of the bend and on its outside.
    pub locks: [Lock; 2],
}

/// One end of the steering.
#[derive(Debug, Clone, PartialEq)]
pub struct Lock {
    /// On the inside of the bend.
    pub inside: bool,
    /// At design height.
    pub at_design: WheelStance,
    /// Over travel from design height, m, as far as the linkage goes there.
    over_travel: Vec<(f64, WheelStance)>,
}

/// Why it is not known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotAtLock {
    /// Nobody has read how far the inner wheel turns.
    AngleNotKnown,
    /// The linkage is not known by its points, or does not turn so far.
    LinkageNotKnown,
}

impl AtLock {
    /// Where the wheel stands at full lock, by the sheet's points and the angle to which its inner wheel turns: one rack
    /// travel turns it in, the opposite one out.
    ///
    /// # Errors
    /// When the angle or the linkage is not known.
    pub fn of(sheet: &VehicleSheet) -> Result<Self, NotAtLock> {
        let inside_deg = sheet.wheels.lock_inside_deg.ok_or(NotAtLock::AngleNotKnown)?;
        Self::through(sheet, inside_deg).ok_or(NotAtLock::LinkageNotKnown)
    }

    fn through(sheet: &VehicleSheet, inside_deg: f64) -> Option<Self> {
        let front = suspension(axle_sheet(sheet, FRONT), LeafFittings::default(), 0.0).ok()?;
        let AxleSuspension::Independent(linkage) = front else { return None };
        let rack_m = linkage.rack_travel_turning_out_m(inside_deg.to_radians())?;
        Some(Self { locks: [Lock::at(&linkage, rack_m, true)?, Lock::at(&linkage, -rack_m, false)?] })
    }
}

impl Lock {
    fn at(linkage: &Linkage, rack_travel_m: f64, inside: bool) -> Option<Self> {
        let steered = linkage.steered(rack_travel_m)?.ok()?;
        let stance = |travel_m: f64| steered.pose(travel_m).ok()?.wheel_stance();
        let steps = (PLACED_M / STEP_M).round() as i32;
        let over_travel = (-steps..=steps)
            .map(|step| STEP_M * f64::from(step))
            .filter_map(|travel_m| Some((travel_m, stance(travel_m)?)))
            .collect();
        Some(Self { inside, at_design: stance(0.0)?, over_travel })
    }

    /// Stances between two travels, and one step beyond either.
    pub fn between(&self, [low_m, high_m]: [f64; 2]) -> impl Iterator<Item = &(f64, WheelStance)> {
        let within = low_m - STEP_M..=high_m + STEP_M;
        self.over_travel.iter().filter(move |(travel_m, _)| within.contains(travel_m))
    }
}
