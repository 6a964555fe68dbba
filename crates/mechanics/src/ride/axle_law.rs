//! What stands between the body and the wheels of an axle, about rest.

use crate::curve::MonotoneCurve;
use crate::elements::DamperCurve;

/// Springs, stops, dampers, friction and bar of an axle, referred to the wheel; both sides alike.
///
/// A part of a joined axle sits at a share of both travels: with `e` the share of the other wheel, at
/// `s = (1 - e) own + e other`, and its force f goes to the wheels as `(1 - e) f` and `e f` by virtual work. On independent
/// suspension e is 0; on a rigid axle with a spring base B on a track T it is ½ (1 - B/T).
#[derive(Debug, Clone, PartialEq)]
pub struct AxleLaw {
    /// Force of springs, gas, bushes and stops above that at rest, N, over travel from rest, m, positive in bump; up to
    /// the ends of travel and, steeply, past them.
    pub force_over_travel: MonotoneCurve,
    /// Share of the other wheel's travel at springs and stops.
    pub spring_other_share: f64,
    /// Damper force at the wheel over the speed of travel; bump positive.
    pub damper: DamperCurve,
    /// Share of the other wheel's travel at the dampers.
    pub damper_other_share: f64,
    /// Dry friction at the wheel, N.
    pub friction_n: f64,
    /// Bar or twist beam: force at each wheel per difference of the travels of both, N/m.
    pub bar_n_per_m: f64,
    /// Travel from rest to where something happens.
    pub marks: TravelMarks,
}

/// Travel from rest to where something happens, m, bump positive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TravelMarks {
    /// To the first touch of the bump stop; negative where it is engaged at rest, `None` where there is none.
    pub stop_touched_m: Option<f64>,
    /// To twice the static load.
    pub twice_static_m: f64,
    /// To metal in bump.
    pub metal_m: f64,
    /// To the end in rebound, negative.
    pub rebound_end_m: f64,
}
