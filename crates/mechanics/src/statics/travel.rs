//! Travel that is left at rest, in bump and in rebound, and what ends it.

use super::{Corner, FourCorners, Rest};
use crate::linkage::AxleTravel;

/// Exponent of the gas in an air spring in riding motion, between isothermal and adiabatic (common practice, no source).
pub(crate) const RIDING_POLYTROPIC_EXPONENT: f64 = 1.3;

/// What ends the travel in bump.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BumpEnd {
    /// The bump stop is squeezed to the end of its measured curve.
    StopSolid,
    /// The damper is fully in.
    DamperClosed,
    /// The coils of the main spring touch.
    CoilBind,
    /// The linkage reaches its end.
    Linkage,
}

/// What ends the travel in rebound.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReboundEnd {
    /// The damper is fully out.
    DamperOpen,
    /// The linkage reaches its end.
    Linkage,
}

/// Travel of one corner from its rest position, both wheels of the axle moving together; all in m of wheel travel unless
/// said otherwise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TravelLimits {
    /// To first touch of the bump stop; negative where the stop is already engaged; `None` without a stop.
    pub free_bump_m: Option<f64>,
    /// To the first thing that cannot yield.
    pub to_metal_m: f64,
    /// What that is.
    pub bump_end: BumpEnd,
    /// Rebound travel to full droop.
    pub rebound_m: f64,
    /// What ends it.
    pub rebound_end: ReboundEnd,
    /// Compression left in the spring stack at full droop, m of spring; positive: the spring is captive.
    pub captive_in_hand_m: f64,
    /// Length of the main spring at metal less its solid length, m; `None` where the solid length is not known.
    pub coil_bind_margin_m: Option<f64>,
}

impl FourCorners {
    /// Travel limits of one corner at a rest position.
    pub fn travel_limits(&self, rest: &Rest, corner: usize) -> TravelLimits {
        self.corners[corner].travel_limits(rest.axle_travel(corner))
    }

    /// Bump travel of one corner from a rest position to twice the static suspension force, m; `None` where metal comes first.
    pub fn travel_to_twice_static_m(&self, rest: &Rest, to_metal_m: f64, corner: usize) -> Option<f64> {
        self.corners[corner].travel_to_twice_static_m(rest.axle_travel(corner), to_metal_m)
    }
}

impl Corner {
    /// Bump travel from a rest travel to twice the force there, m; `None` where metal comes first.
    ///
    /// From rest on the gas of an air spring is shut in and obeys the exponent of riding motion.
    fn travel_to_twice_static_m(&self, rest: AxleTravel, to_metal_m: f64) -> Option<f64> {
        let riding;
        let corner = if self.air.is_none() {
            self
        } else {
            riding = self.clone().with_air_shut_at(rest, RIDING_POLYTROPIC_EXPONENT);
            &riding
        };
        let twice_n = 2.0 * corner.forces_at(rest).total_n;
        let above = |travel_m: f64| corner.forces_at(rest.moved(travel_m)).total_n - twice_n;
        let lowest_m = corner.table.travel_range_m.0 - rest.own_m;
        first_at_zero(&above, lowest_m.max(0.0), to_metal_m)
    }

    /// Travel limits from a rest travel; they hang on lengths alone.
    pub fn travel_limits(&self, rest: AxleTravel) -> TravelLimits {
        let rest_travel_m = rest.own_m;
        let at = |travel_m: f64| rest.moved(travel_m - rest_travel_m);
        let (lowest_m, highest_m) = self.table.travel_range_m;
        let up = |reached: &dyn Fn(f64) -> f64| first_at_zero(reached, lowest_m, highest_m);

        let (bump_m, bump_end) = self.metal_travel(&at, lowest_m, highest_m);
        let droop_at = up(&|t| self.damper.open_length_m - self.damper_length_at_m(at(t)));
        let (droop_m, rebound_end) = match droop_at {
            Some(t) if t > lowest_m => (t, ReboundEnd::DamperOpen),
            _ => (lowest_m, ReboundEnd::Linkage),
        };
        let free_bump_m = self.stop.as_ref().map(|fitted| {
            up(&|t| self.stop_compression_m(fitted, at(t))).unwrap_or(highest_m) - rest_travel_m
        });
        let coil_bind_margin_m =
            self.spring.main.solid_length_m.map(|solid_m| self.spring_at(at(bump_m)).main_length_m - solid_m);
        TravelLimits {
            free_bump_m,
            to_metal_m: bump_m - rest_travel_m,
            bump_end,
            rebound_m: rest_travel_m - droop_m,
            rebound_end,
            captive_in_hand_m: self.spring.free_length_m() - self.space_between_seats().value_at(at(droop_m)),
            coil_bind_margin_m,
        }
    }

    /// Travel at which something in bump cannot yield any more, and what.
    fn metal_travel(&self, at: &dyn Fn(f64) -> AxleTravel, lowest_m: f64, highest_m: f64) -> (f64, BumpEnd) {
        let up = |reached: &dyn Fn(f64) -> f64| first_at_zero(reached, lowest_m, highest_m);
        let closed = up(&|t| self.damper.closed_length_m - self.damper_length_at_m(at(t)));
        let solid = self.stop.as_ref().and_then(|fitted| {
            up(&|t| self.stop_compression_m(fitted, at(t)) - fitted.stop.solid_compression_m())
        });
        let bound = self
            .spring
            .main
            .solid_length_m
            .and_then(|solid_m| up(&|t| solid_m - self.spring_at(at(t)).main_length_m));
        [(solid, BumpEnd::StopSolid), (closed, BumpEnd::DamperClosed), (bound, BumpEnd::CoilBind)]
            .into_iter()
            .filter_map(|(travel_m, end)| travel_m.map(|t| (t, end)))
            .fold((highest_m, BumpEnd::Linkage), |first, other| if other.0 < first.0 { other } else { first })
    }
}

/// Smallest abscissa in `[low, high]` at which a rising function reaches zero, within 1e-9 m; `low` when it is already
/// positive there, `None` when it stays negative.
///
/// By secants, the last of them a little beyond the zero so that it is closed in from both sides; by bisection where a
/// secant leaves the bracket, and in turn with secants where they do not come to an end.
fn first_at_zero(rising: &dyn Fn(f64) -> f64, low: f64, high: f64) -> Option<f64> {
    const WITHIN_M: f64 = 1e-9;
    const SECANTS_ALONE: usize = 6;
    let (mut below, mut above) = (low, high);
    let (mut before, mut at_before) = (low, rising(low));
    if at_before >= 0.0 {
        return Some(low);
    }
    let (mut newest, mut at_newest) = (high, rising(high));
    if low >= high || at_newest < 0.0 {
        return None;
    }
    for tries in 0.. {
        if above - below <= WITHIN_M || at_newest.is_nan() {
            break;
        }
        let secant = newest - at_newest * (newest - before) / (at_newest - at_before);
        let beyond = 0.4 * WITHIN_M * -at_newest.signum();
        let guess = if (secant - newest).abs() < beyond.abs() { secant + beyond } else { secant };
        let is_within = guess > below && guess < above;
        let in_turn = tries > SECANTS_ALONE && tries % 2 == 1;
        (before, at_before) = (newest, at_newest);
        newest = if is_within && !in_turn { guess } else { 0.5 * (below + above) };
        at_newest = rising(newest);
        if at_newest < 0.0 {
            below = newest;
        } else {
            above = newest;
        }
    }
    Some(above)
}
