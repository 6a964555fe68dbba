//! How far a linkage can travel, and what stops it.

use super::hardpoints::HardpointError;
use crate::curve::Local;

/// Travel beyond which no linkage is examined, m, to either side.
pub const SEARCHED_TRAVEL_M: f64 = 0.30;

/// What stops a linkage.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum LockReason {
    /// The tie rod is too short or too long for the steering arm.
    #[error("the tie rod cannot span")]
    TieRodCannotSpan,
    /// The ball joint is closer to the strut top than its distance from the strut axis.
    #[error("the strut cannot span")]
    StrutCannotSpan,
    /// The lower ball joint of double wishbones is out of reach of the upper arm.
    #[error("the upper arm cannot span")]
    UpperArmCannotSpan,
    /// The arm stands so that turning it further no longer lifts (or lowers) the wheel.
    #[error("the arm is over its top")]
    ArmOverTop,
    /// The drop link is too short or too long for the bar arm.
    #[error("the drop link cannot span")]
    DropLinkCannotSpan,
    /// The shackle is too short or too long for the leaf.
    #[error("the shackle cannot follow the leaf")]
    ShackleCannotFollow,
    /// The links of the axle are too short or too long for one another.
    #[error("the links cannot span")]
    LinksCannotSpan,
    /// Points run into each other, so that an angle or a ratio has no value.
    #[error("the linkage has no definite pose")]
    Indefinite,
    /// Farther than [`SEARCHED_TRAVEL_M`], or not a number.
    #[error("the travel is beyond the 0.3 m that are examined")]
    BeyondSearch,
}

/// A travel that the linkage cannot attain.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error("at {travel_m:.4} m of wheel travel {reason}")]
pub struct LinkageLocks {
    /// The travel asked for, m.
    pub travel_m: f64,
    /// What stops the linkage before it.
    pub reason: LockReason,
}

/// One end of the travel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReachEnd {
    /// Wheel travel, m.
    pub travel_m: f64,
    /// What stops the linkage there; [`LockReason::BeyondSearch`] when nothing does within the examined travel.
    pub reason: LockReason,
}

impl ReachEnd {
    /// Whether the linkage itself ends here, rather than the examined travel.
    pub fn locks(&self) -> bool {
        self.reason != LockReason::BeyondSearch
    }
}

/// Both ends of the travel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reach {
    /// Wheel down; travel usually negative.
    pub rebound: ReachEnd,
    /// Wheel up; travel usually positive.
    pub bump: ReachEnd,
}

impl Reach {
    /// Nothing stops the linkage within the examined travel.
    pub(super) const SEARCHED: Self = Self {
        rebound: ReachEnd { travel_m: -SEARCHED_TRAVEL_M, reason: LockReason::BeyondSearch },
        bump: ReachEnd { travel_m: SEARCHED_TRAVEL_M, reason: LockReason::BeyondSearch },
    };

    /// Refuses a travel outside.
    pub(super) fn check(&self, travel_m: f64) -> Result<(), LinkageLocks> {
        let reason = if travel_m < self.rebound.travel_m {
            self.rebound.reason
        } else if travel_m > self.bump.travel_m {
            self.bump.reason
        } else if travel_m.is_nan() {
            LockReason::BeyondSearch
        } else {
            return Ok(());
        };
        Err(LinkageLocks { travel_m, reason })
    }
}

/// The reach of a linkage whose wheel rises over the arm angle by `rise`, with the arm angles at its ends (rebound, bump), rad.
///
/// Along the whole of it the wheel rises as the arm turns up, so every travel has one arm angle.
///
/// # Errors
/// When the linkage does not stand at design height.
pub(super) fn explore(
    rise: impl Fn(f64) -> Result<Local, LockReason>,
) -> Result<(Reach, (f64, f64)), HardpointError> {
    let rising = |arm_angle_rad: f64| {
        let here = rise(arm_angle_rad)?;
        if !here.value.is_finite() || !here.slope.is_finite() {
            return Err(LockReason::Indefinite);
        }
        if here.slope <= 0.0 { Err(LockReason::ArmOverTop) } else { Ok(here.value) }
    };
    let design_travel_m = rising(0.0).map_err(HardpointError::LocksAtDesign)?;
    let (bump, highest_rad) = walk(rising, design_travel_m, 1.0);
    let (rebound, lowest_rad) = walk(rising, design_travel_m, -1.0);
    Ok((Reach { rebound, bump }, (lowest_rad, highest_rad)))
}

/// Turns the arm from design in one direction until the linkage or the examined travel ends.
fn walk(
    rising: impl Fn(f64) -> Result<f64, LockReason>,
    design_travel_m: f64,
    direction: f64,
) -> (ReachEnd, f64) {
    const STEP_RAD: f64 = 0.07;
    const STEPS_IN_A_TURN: usize = 90;
    const HALVINGS: usize = 46;
    let (mut arm_angle_rad, mut travel_m) = (0.0, design_travel_m);
    let beyond = |travel_m: f64| travel_m * direction >= SEARCHED_TRAVEL_M;
    for _ in 0..STEPS_IN_A_TURN {
        let next_rad = arm_angle_rad + direction * STEP_RAD;
        match rising(next_rad) {
            Ok(next_m) if beyond(next_m) => {
                let end =
                    ReachEnd { travel_m: direction * SEARCHED_TRAVEL_M, reason: LockReason::BeyondSearch };
                return (end, next_rad);
            }
            Ok(next_m) => (arm_angle_rad, travel_m) = (next_rad, next_m),
            Err(mut reason) => {
                let mut step_rad = direction * STEP_RAD;
                for _ in 0..HALVINGS {
                    step_rad *= 0.5;
                    match rising(arm_angle_rad + step_rad) {
                        Ok(next_m) => (arm_angle_rad, travel_m) = (arm_angle_rad + step_rad, next_m),
                        Err(nearer) => reason = nearer,
                    }
                }
                return (ReachEnd { travel_m, reason }, arm_angle_rad);
            }
        }
    }
    (ReachEnd { travel_m, reason: LockReason::ArmOverTop }, arm_angle_rad)
}
