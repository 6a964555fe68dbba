//! Room at full steering lock, through bump and rebound.

use super::super::{Area, Check, Finding};
use super::Pair;
use super::room::{LEAST_TO_BODY_MM, Tyres, gap, travels_m};
use crate::at_lock::{AtLock, NotAtLock};
use crate::facts::Words;
use crate::units::mm_from_m;
use crate::wheel_sheet::TyreRoom;
use crate::wording::check_says::room::{self as says, LockPose, LockReach};
use mechanics::statics::FRONT;

/// Room that is left at full lock of what the original wheel was measured to have at design height.
///
/// It is a bound, as nobody knows where the nearest part stands: it asks for a look and never forbids.
pub(super) fn at_lock(pair: &Pair, tyres: &Tyres, room: &TyreRoom) -> Check {
    const CHECK: &str = "steering_lock_clearance";
    let grown_mm = tyres.grown.most_mm();
    let reach = match pair.standing.known.van.at_lock() {
        Ok(at_lock) => nearest(pair, at_lock, tyres)
            .map_or(LockReach::LinkageNotKnown { nearer_mm: grown_mm }, LockReach::Through),
        Err(NotAtLock::AngleNotKnown) => LockReach::AngleNotKnown { nearer_mm: grown_mm },
        Err(NotAtLock::LinkageNotKnown) => LockReach::LinkageNotKnown { nearer_mm: grown_mm },
    };
    let Some(free_mm) = room.at_lock_mm else {
        let said = Words::of(|language| says::at_lock_not_known(language, &reach));
        return Check::unknown(CHECK, Area::Wheels, said);
    };
    let left_mm = free_mm - reach.nearer_mm();
    let said = Words::of(|language| says::at_lock(language, left_mm, &reach));
    let check = gap(CHECK, left_mm, LEAST_TO_BODY_MM, said);
    let through = matches!(reach, LockReach::Through(_));
    let finding = if through { check.finding } else { check.finding.max(Finding::LookAtIt) };
    Check { finding: finding.min(Finding::LookAtIt), ..check }
}

/// Where over travel and lock the tyre comes nearest to a wall that the original one was measured to.
fn nearest(pair: &Pair, at_lock: &AtLock, tyres: &Tyres) -> Option<LockPose> {
    let (_, travels_m) = travels_m(pair, FRONT);
    let mut nearest: Option<LockPose> = None;
    for lock in &at_lock.locks {
        for (travel_m, stance) in lock.between(travels_m) {
            let there = tyres.chosen.nearer_than(stance, &tyres.original, &lock.at_design);
            let (sin, cos) = there.towards_rad.sin_cos();
            let reach_m = |stance| tyres.original.reach_m(stance, [cos, sin, 0.0]);
            let pose = LockPose {
                nearer_mm: mm_from_m(there.by_m),
                original_mm: mm_from_m(reach_m(stance) - reach_m(&lock.at_design)),
                travel_mm: mm_from_m(*travel_m),
                inside: lock.inside,
                behind: cos < 0.0,
                inboard: sin < 0.0,
            };
            if nearest.is_none_or(|most| pose.nearer_mm > most.nearer_mm) {
                nearest = Some(pose);
            }
        }
    }
    nearest
}
