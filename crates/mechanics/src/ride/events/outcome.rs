//! What a stretch of road did to the people, the stops and the tyres.

use crate::ride::Lanes;
use crate::statics::CORNERS;

/// What was felt and seen over one stretch of time, for `N` vans.
#[derive(Debug, Clone, PartialEq)]
pub struct EventOutcome<const N: usize> {
    /// Length of the stretch, s.
    pub duration_s: f64,
    /// Step at which it was computed and sampled, s.
    pub step_s: f64,
    /// Each seat, in the order given.
    pub seats: Vec<SeatOutcome<N>>,
    /// Each wheel.
    pub wheels: [WheelOutcome<N>; CORNERS],
}

/// Vertical acceleration at a seat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeatOutcome<const N: usize> {
    /// Highest upward acceleration, m/s².
    pub highest_m_per_s2: Lanes<N>,
    /// Lowest one, negative when downward, m/s².
    pub lowest_m_per_s2: Lanes<N>,
    /// Root mean square, m/s².
    pub rms_m_per_s2: Lanes<N>,
    /// Largest magnitude of the weighted acceleration, m/s².
    pub weighted_peak_m_per_s2: Lanes<N>,
    /// Root mean square of the weighted acceleration, m/s² (ISO 2631-1, eq. 1).
    pub weighted_rms_m_per_s2: Lanes<N>,
    /// Vibration dose value `(∫ a_w⁴ dt)^¼`, m/s^1.75 (ISO 2631-1, eq. 5).
    pub vibration_dose_m_per_s175: Lanes<N>,
}

/// Travel, stops and load of a wheel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WheelOutcome<const N: usize> {
    /// Furthest travel from rest in bump, m.
    pub bump_travel_m: Lanes<N>,
    /// Furthest travel from rest in rebound, m, negative.
    pub rebound_travel_m: Lanes<N>,
    /// Least distance to the touch of the bump stop, m; negative: how far it was pressed.
    pub clearance_to_stop_m: Lanes<N>,
    /// Least distance to metal in bump, m.
    pub clearance_to_metal_m: Lanes<N>,
    /// Least distance to the end in rebound, m.
    pub clearance_to_rebound_end_m: Lanes<N>,
    /// How often the bump stop was newly touched.
    pub stop_hits: Lanes<N>,
    /// How often the travel to twice the static load was passed.
    pub twice_static_passes: Lanes<N>,
    /// How often the wheel left the road.
    pub lift_offs: Lanes<N>,
    /// Its longest time off the road, s.
    pub longest_lift_off_s: Lanes<N>,
    /// Least and largest load on the road above that at rest, N.
    pub road_load_n: [Lanes<N>; 2],
    /// Largest force of springs, stops, damper and friction on the body above that at rest, N, referred to the wheel: divide
    /// by the motion ratio for the top mount of a strut that carries them all; a spring and a damper that stand apart
    /// share it.
    pub mount_force_n: Lanes<N>,
}

impl<const N: usize> SeatOutcome<N> {
    /// Largest magnitude of the acceleration, m/s².
    pub fn peak_m_per_s2(&self) -> Lanes<N> {
        self.highest_m_per_s2.max(-self.lowest_m_per_s2)
    }

    fn with(&self, next: &Self, shares: [f64; 2]) -> Self {
        let root_mean =
            |a: Lanes<N>, b: Lanes<N>| a.zip(b, |a, b| (shares[0] * a * a + shares[1] * b * b).sqrt());
        Self {
            highest_m_per_s2: self.highest_m_per_s2.max(next.highest_m_per_s2),
            lowest_m_per_s2: self.lowest_m_per_s2.min(next.lowest_m_per_s2),
            rms_m_per_s2: root_mean(self.rms_m_per_s2, next.rms_m_per_s2),
            weighted_peak_m_per_s2: self.weighted_peak_m_per_s2.max(next.weighted_peak_m_per_s2),
            weighted_rms_m_per_s2: root_mean(self.weighted_rms_m_per_s2, next.weighted_rms_m_per_s2),
            vibration_dose_m_per_s175: self
                .vibration_dose_m_per_s175
                .zip(next.vibration_dose_m_per_s175, |a, b| (a.powi(4) + b.powi(4)).sqrt().sqrt()),
        }
    }
}

impl<const N: usize> WheelOutcome<N> {
    fn with(&self, next: &Self) -> Self {
        Self {
            bump_travel_m: self.bump_travel_m.max(next.bump_travel_m),
            rebound_travel_m: self.rebound_travel_m.min(next.rebound_travel_m),
            clearance_to_stop_m: self.clearance_to_stop_m.min(next.clearance_to_stop_m),
            clearance_to_metal_m: self.clearance_to_metal_m.min(next.clearance_to_metal_m),
            clearance_to_rebound_end_m: self.clearance_to_rebound_end_m.min(next.clearance_to_rebound_end_m),
            stop_hits: self.stop_hits + next.stop_hits,
            twice_static_passes: self.twice_static_passes + next.twice_static_passes,
            lift_offs: self.lift_offs + next.lift_offs,
            longest_lift_off_s: self.longest_lift_off_s.max(next.longest_lift_off_s),
            road_load_n: [
                self.road_load_n[0].min(next.road_load_n[0]),
                self.road_load_n[1].max(next.road_load_n[1]),
            ],
            mount_force_n: self.mount_force_n.max(next.mount_force_n),
        }
    }
}

impl<const N: usize> EventOutcome<N> {
    /// Nothing felt or seen yet.
    pub(super) fn empty(duration_s: f64, step_s: f64, seats: usize) -> Self {
        let zero = Lanes::splat(0.0);
        let seat = SeatOutcome {
            highest_m_per_s2: zero,
            lowest_m_per_s2: zero,
            rms_m_per_s2: zero,
            weighted_peak_m_per_s2: zero,
            weighted_rms_m_per_s2: zero,
            vibration_dose_m_per_s175: zero,
        };
        let wheel = WheelOutcome {
            bump_travel_m: zero,
            rebound_travel_m: zero,
            clearance_to_stop_m: zero,
            clearance_to_metal_m: zero,
            clearance_to_rebound_end_m: zero,
            stop_hits: zero,
            twice_static_passes: zero,
            lift_offs: zero,
            longest_lift_off_s: zero,
            road_load_n: [zero; 2],
            mount_force_n: zero,
        };
        Self { duration_s, step_s, seats: vec![seat; seats], wheels: [wheel; CORNERS] }
    }

    /// This stretch and the next one of the same drive as one.
    #[must_use]
    pub fn with(&self, next: &Self) -> Self {
        let duration_s = self.duration_s + next.duration_s;
        let shares = [self.duration_s / duration_s, next.duration_s / duration_s];
        Self {
            duration_s,
            step_s: self.step_s,
            seats: self.seats.iter().zip(&next.seats).map(|(a, b)| a.with(b, shares)).collect(),
            wheels: std::array::from_fn(|wheel| self.wheels[wheel].with(&next.wheels[wheel])),
        }
    }
}
