//! Crossing a speed hump: what people feel, what stops and mounts take.

use mechanics::ride::events::{DrivenVan, EventOutcome, Hump, TabulatedLaw, WheelOutcome, cross_hump};
use mechanics::ride::{BodyPoint, Car, Lanes, RideDeviation};
use mechanics::statics::{CORNERS, FRONT, REAR};

use super::figures::Ride;
use super::slopes::{Slopes, Unknowing};
use crate::belief::Belief;
use crate::figure::Figure;
use crate::load_list::LoadState;
use crate::units::{m_from_mm, m_per_s_from_km_per_h};

/// Shapes of published humps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum HumpShape {
    /// Segment of a circle (TRRL LR 597).
    Circular,
    /// One wave of a cosine (TRL377).
    Sinusoidal,
    /// Level top between two ramps (TRL186).
    FlatTop,
}

/// A hump and how fast it is crossed. National rules differ: the hump is an input.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct HumpQuestion {
    /// Shape.
    pub shape: HumpShape,
    /// Length along the road, m.
    pub length_m: f64,
    /// Height, mm.
    pub height_mm: f64,
    /// Speed, km/h.
    pub speed_km_per_h: f64,
}

impl Default for HumpQuestion {
    /// The round hump of 3.7 m by 100 mm (TRRL LR 597) at 30 km/h.
    fn default() -> Self {
        Self { shape: HumpShape::Circular, length_m: 3.7, height_mm: 100.0, speed_km_per_h: 30.0 }
    }
}

/// Ramp of a flat-topped hump, per height: 1 in 12.
const RAMP_PER_HEIGHT: f64 = 12.0;

impl HumpQuestion {
    /// The hump; `None` where its sizes make none.
    pub fn hump(&self) -> Option<Hump> {
        let height_m = m_from_mm(self.height_mm);
        match self.shape {
            HumpShape::Circular => Hump::circular(self.length_m, height_m),
            HumpShape::Sinusoidal => Hump::sinusoidal(self.length_m, height_m),
            HumpShape::FlatTop => Hump::flat_top(self.length_m, height_m, RAMP_PER_HEIGHT * height_m),
        }
        .ok()
    }
}

/// Worst wheel of an axle on the hump.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct HumpAxle {
    /// Least distance to the touch of the bump stop, mm; negative: how far it is pressed. Absent where there is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub clearance_to_stop_mm: Option<Figure>,
    /// Least distance to metal, mm.
    pub clearance_to_metal_mm: Figure,
    /// How often the bump stop is newly touched, as expected.
    pub stop_hits: f64,
    /// Longest time that the wheel is off the road, as expected, s.
    pub longest_lift_off_s: f64,
    /// Largest force of spring, stop and damper on the body at this wheel, that at rest included, N; at the wheel.
    pub force_at_wheel_n: Figure,
}

/// A hump crossed in one load state.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct HumpCrossing {
    /// Load state.
    pub state: LoadState,
    /// Largest vertical acceleration on the driver's seat, m/s².
    pub peak_acceleration_m_per_s2: Figure,
    /// Vibration dose value on the driver's seat (ISO 2631-1, Wk), m/s^1.75.
    pub vibration_dose_m_per_s175: Figure,
    /// Front and rear axle.
    pub axles: [HumpAxle; 2],
}

const PEAK: usize = 0;
const DOSE: usize = 1;
/// Quantities of each axle behind the seat's: clearances, force, then what is counted.
const OF_AXLE: [usize; 2] = [2, 7];
const TO_STOP: usize = 0;
const TO_METAL: usize = 1;
const FORCE: usize = 2;
const HITS: usize = 3;
const LIFT_OFF: usize = 4;

impl HumpCrossing {
    /// `None` where the hump is none or the motion does not settle.
    pub(super) fn of(
        question: &HumpQuestion,
        ride: &Ride,
        unknown: &Unknowing,
        state: LoadState,
    ) -> Option<Self> {
        let hump = question.hump()?;
        let speed_m_per_s = m_per_s_from_km_per_h(question.speed_km_per_h);
        let slopes = Slopes::of(unknown, &ride.expected(), |deviations| {
            let batches = deviations.chunks(LANES).map(|batch| crossed(ride, batch, &hump, speed_m_per_s));
            Some(batches.collect::<Option<Vec<_>>>()?.concat())
        })?;
        let belief = unknown.belief;
        Some(Self {
            state,
            peak_acceleration_m_per_s2: slopes.figure(PEAK, belief, f64::exp),
            vibration_dose_m_per_s175: slopes.figure(DOSE, belief, f64::exp),
            axles: [FRONT, REAR].map(|axle| HumpAxle::of(&slopes, OF_AXLE[axle], belief)),
        })
    }
}

impl HumpAxle {
    fn of(slopes: &Slopes, first: usize, belief: &Belief) -> Self {
        let mm = |k: usize| slopes.figure(first + k, belief, |m| 1e3 * m);
        let has_stop = slopes.values[first + TO_STOP].is_finite();
        Self {
            clearance_to_stop_mm: has_stop.then(|| mm(TO_STOP)),
            clearance_to_metal_mm: mm(TO_METAL),
            stop_hits: slopes.values[first + HITS],
            longest_lift_off_s: slopes.values[first + LIFT_OFF],
            force_at_wheel_n: slopes.figure(first + FORCE, belief, |n| n),
        }
    }
}

/// Vans that are simulated side by side.
const LANES: usize = 8;

/// Quantities of up to [`LANES`] deviations.
fn crossed(
    ride: &Ride,
    deviations: &[RideDeviation],
    hump: &Hump,
    speed_m_per_s: f64,
) -> Option<Vec<Vec<f64>>> {
    let last = deviations.len().checked_sub(1)?;
    // lanes that are left over repeat the last van
    let vans: [_; LANES] = std::array::from_fn(|lane| ride.van.varied(&deviations[lane.min(last)]));
    let car = Car::side_by_side(std::array::from_fn(|lane| vans[lane].0));
    let law = |axle: usize| TabulatedLaw::of(std::array::from_fn(|lane| &vans[lane].1[axle])).ok();
    let laws = [law(FRONT)?, law(REAR)?];
    let seat =
        BodyPoint { x_m: Lanes::splat(ride.seats[0].x_m.0[0]), y_m: Lanes::splat(ride.seats[0].y_m.0[0]) };
    let wheel_load_n = ride.wheel_load_n.map(Lanes::splat);
    let van = DrivenVan { car: &car, laws: &laws, wheel_load_n, seats: &[seat] };
    let outcome = cross_hump(&van, hump, speed_m_per_s).ok()?;
    Some((0..=last).map(|lane| quantities(&outcome, lane, &ride.wheel_load_n)).collect())
}

fn quantities(outcome: &EventOutcome<LANES>, lane: usize, wheel_load_n: &[f64; CORNERS]) -> Vec<f64> {
    let seat = &outcome.seats[0];
    let mut values = vec![seat.peak_m_per_s2().0[lane].ln(), seat.vibration_dose_m_per_s175.0[lane].ln()];
    for axle in [FRONT, REAR] {
        let wheels = [2 * axle, 2 * axle + 1];
        let worst = |of: &dyn Fn(&WheelOutcome<LANES>) -> Lanes<LANES>, pick: fn(f64, f64) -> f64| {
            let [left, right] = wheels.map(|i| of(&outcome.wheels[i]).0[lane]);
            pick(left, right)
        };
        let force = wheels.map(|i| outcome.wheels[i].mount_force_n.0[lane] + wheel_load_n[i]);
        values.extend([
            worst(&|wheel| wheel.clearance_to_stop_m, f64::min),
            worst(&|wheel| wheel.clearance_to_metal_m, f64::min),
            force[0].max(force[1]),
            worst(&|wheel| wheel.stop_hits, f64::max),
            worst(&|wheel| wheel.longest_lift_off_s, f64::max),
        ]);
    }
    values
}
