//! The arm angle at which a linkage driven by its arm has a given wheel travel.

use super::hardpoints::DesignWheel;
use super::pose::{Carrier, CarrierMotion};
use super::reach::{LinkageLocks, LockReason, Reach};

/// A linkage driven by its arm.
pub(super) struct ArmDriven<'a> {
    pub(super) wheel: DesignWheel,
    pub(super) reach: &'a Reach,
    /// Arm angles at full rebound and full bump, rad: between them the wheel rises steadily.
    pub(super) arm_range_rad: (f64, f64),
}

impl ArmDriven<'_> {
    /// The carrier when the wheel centre has risen by `travel_m`: Newton's method from `start_rad`, kept between full
    /// rebound and full bump.
    ///
    /// Newton's last step is not gone but added by Taylor's series: short as it is, values and slopes are exact to
    /// rounding, and second derivatives to the step's length times the third.
    ///
    /// # Errors
    /// When the travel is outside the reach.
    #[inline]
    pub(super) fn carrier_at(
        &self,
        travel_m: f64,
        start_rad: f64,
        carrier: impl Fn(f64) -> Result<Carrier, LockReason>,
    ) -> Result<CarrierMotion, LinkageLocks> {
        const SHORT_RAD: f64 = 1e-8;
        const MOST_STEPS: usize = 200;
        self.reach.check(travel_m)?;
        let (mut lowest, mut highest) = self.arm_range_rad;
        let mut angle = start_rad.clamp(lowest, highest);
        for _ in 0..MOST_STEPS {
            let here = carrier(angle).map_err(|reason| LinkageLocks { travel_m, reason })?;
            let rise = here.rise(self.wheel);
            let short_m = travel_m - rise.value;
            let step = short_m / rise.slope;
            if step.abs() < SHORT_RAD {
                return Ok(CarrierMotion::new(travel_m, here, step, self.wheel));
            }
            if short_m > 0.0 {
                lowest = angle;
            } else {
                highest = angle;
            }
            if highest - lowest <= 4.0 * f64::EPSILON {
                return Ok(CarrierMotion::new(travel_m, here, 0.0, self.wheel));
            }
            let newton = angle + step;
            angle = if lowest < newton && newton < highest { newton } else { 0.5 * (lowest + highest) };
        }
        Err(LinkageLocks { travel_m, reason: LockReason::Indefinite })
    }
}
