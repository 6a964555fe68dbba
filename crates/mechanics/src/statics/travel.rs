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
    /// To twice the static suspension force; `None` where metal comes first.
    pub to_twice_static_m: Option<f64>,
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
}

impl Corner {
    /// Travel limits from a rest travel.
    ///
    /// From rest on the gas of an air spring is shut in and obeys the exponent of riding motion.
    pub fn travel_limits(&self, rest: AxleTravel) -> TravelLimits {
        if self.air.is_none() {
            return self.limits_from(rest);
        }
        self.clone().with_air_shut_at(rest, RIDING_POLYTROPIC_EXPONENT).limits_from(rest)
    }

    fn limits_from(&self, rest: AxleTravel) -> TravelLimits {
        let mut limits = self.ends_from(rest);
        let twice_n = 2.0 * self.forces_at(rest).total_n;
        let (lowest_m, highest_m) = self.table.travel_range_m;
        let above = |travel_m: f64| self.forces_at(rest.moved(travel_m - rest.own_m)).total_n - twice_n;
        limits.to_twice_static_m = first_at_zero(&above, rest.own_m.max(lowest_m), highest_m)
            .map(|t| t - rest.own_m)
            .filter(|&travel_m| travel_m <= limits.to_metal_m);
        limits
    }

    /// What hangs on lengths alone: all limits but the travel to twice the static force, which is left out.
    pub fn ends_from(&self, rest: AxleTravel) -> TravelLimits {
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
            to_twice_static_m: None,
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
/// False position with the weight of a stale end halved (the Illinois rule; M. Dowell and P. Jarratt, BIT 11, 1971), and
/// bisection where that does not close in.
fn first_at_zero(rising: &dyn Fn(f64) -> f64, low: f64, high: f64) -> Option<f64> {
    const WITHIN_M: f64 = 1e-9;
    let (mut below, mut at_below) = (low, rising(low));
    if at_below >= 0.0 {
        return Some(low);
    }
    let (mut above, mut at_above) = (high, rising(high));
    if low >= high || at_above < 0.0 {
        return None;
    }
    let (mut weight_below, mut weight_above) = (1.0, 1.0);
    for tries in 0.. {
        let width = above - below;
        if width <= WITHIN_M {
            break;
        }
        let (b, a) = (weight_below * at_below, weight_above * at_above);
        let share = if tries % 4 == 3 { 0.5 } else { b / (b - a) };
        // a guess a little beyond the root closes the bracket from both sides
        let inside = 0.25 * WITHIN_M / width;
        let middle = below + width * share.clamp(inside, 1.0 - inside);
        let value = rising(middle);
        if value < 0.0 {
            (below, at_below) = (middle, value);
            (weight_below, weight_above) = (1.0, 0.5 * weight_above);
        } else {
            (above, at_above) = (middle, value);
            (weight_above, weight_below) = (1.0, 0.5 * weight_below);
        }
        if value.is_nan() {
            break;
        }
    }
    Some(above)
}
