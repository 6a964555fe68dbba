//! The arm angle at which a linkage driven by its arm has a given wheel travel.

use super::pose::Motion;
use super::reach::{Lift, LinkageLocks, LockReason, Reach};

/// Arm angle at which the wheel centre has risen by `travel_m`: Newton's method, kept between the arm angles of full
/// rebound and full bump, where the height rises steadily. The search starts near the arm angle of `near`.
///
/// # Errors
/// When the travel is outside the reach.
pub(super) fn arm_angle_rad(
    travel_m: f64,
    near: Option<&Motion>,
    reach: &Reach,
    (rebound_rad, bump_rad): (f64, f64),
    lift: impl Fn(f64) -> Result<Lift, LockReason>,
) -> Result<f64, LinkageLocks> {
    const CONVERGED_RAD: f64 = 1e-8; // the step after this one would be of the order of its square
    const MOST_STEPS: usize = 200;
    reach.check(travel_m)?;
    let (mut lowest, mut highest) = (rebound_rad, bump_rad);
    let mut angle = near.map_or(0.0, |motion| extrapolated_rad(motion, travel_m)).clamp(lowest, highest);
    for _ in 0..MOST_STEPS {
        let here = lift(angle).map_err(|reason| LinkageLocks { travel_m, reason })?;
        let short_m = travel_m - here.travel_m;
        if short_m > 0.0 {
            lowest = angle;
        } else {
            highest = angle;
        }
        let step = short_m / here.per_rad_m;
        if step.abs() < CONVERGED_RAD {
            return Ok((angle + step).clamp(lowest, highest));
        }
        let newton = angle + step;
        angle = if lowest < newton && newton < highest { newton } else { 0.5 * (lowest + highest) };
        if (highest - lowest).abs() < f64::EPSILON {
            return Ok(angle);
        }
    }
    Ok(angle)
}

/// Second-order extrapolation of the arm angle from a neighbouring pose.
fn extrapolated_rad(near: &Motion, travel_m: f64) -> f64 {
    let ahead_m = travel_m - near.travel_m;
    near.arm_angle_rad.map_or(0.0, |arm| arm.value + ahead_m * (arm.slope + 0.5 * ahead_m * arm.curvature))
}
