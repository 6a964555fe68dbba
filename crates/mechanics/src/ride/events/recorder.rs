//! What is kept of the motion while it goes on.

use super::motion::Seen;
use super::weighting_filter::Memory;
use super::{AxleMarks, EventOutcome, SeatOutcome, WeightingFilter, WheelOutcome};
use crate::ride::{BodyPoint, Lanes};
use crate::statics::{CORNERS, axle_of};

/// Extremes, sums and counts of the stretch under way, and what outlasts it: filters, and which side of its marks each
/// wheel is on.
#[derive(Debug)]
pub(super) struct Recorder<const N: usize> {
    filter: WeightingFilter,
    step_s: f64,
    seats: Vec<SeatRecord<N>>,
    wheels: [WheelRecord<N>; CORNERS],
    samples: usize,
}

#[derive(Debug, Clone)]
struct SeatRecord<const N: usize> {
    place: BodyPoint<N>,
    memory: Memory<N>,
    highest: Lanes<N>,
    lowest: Lanes<N>,
    weighted_peak: Lanes<N>,
    /// Sums of a², a_w², a_w⁴.
    sums: [Lanes<N>; 3],
}

#[derive(Debug, Clone, Copy)]
struct WheelRecord<const N: usize> {
    marks: AxleMarks<N>,
    wheel_load_n: Lanes<N>,
    /// 1 beyond the mark, 0 before it: stop, twice static, off the road.
    beyond: [Lanes<N>; 3],
    counts: [Lanes<N>; 3],
    off_s: Lanes<N>,
    longest_off_s: Lanes<N>,
    travel: [Lanes<N>; 2],
    tyre: [Lanes<N>; 2],
    mount: Lanes<N>,
}

impl<const N: usize> SeatRecord<N> {
    fn clear(&mut self) {
        let zero = Lanes::splat(0.0);
        (self.highest, self.lowest, self.weighted_peak) = (zero, zero, zero);
        self.sums = [zero; 3];
    }

    #[inline(always)]
    fn note(&mut self, filter: &WeightingFilter, seen: &Seen<N>) {
        for lane in 0..N {
            let [heave, pitch, roll] = seen.body.map(|lanes| lanes.0[lane]);
            let a = heave - self.place.x_m.0[lane] * pitch + self.place.y_m.0[lane] * roll;
            let weighted = self.memory.pass(filter, lane, a);
            let square = weighted * weighted;
            self.highest.0[lane] = larger(self.highest.0[lane], a);
            self.lowest.0[lane] = smaller(self.lowest.0[lane], a);
            self.weighted_peak.0[lane] = larger(self.weighted_peak.0[lane], weighted.abs());
            self.sums[0].0[lane] += a * a;
            self.sums[1].0[lane] += square;
            self.sums[2].0[lane] += square * square;
        }
    }

    fn outcome(&self, samples: usize, step_s: f64) -> SeatOutcome<N> {
        let mean_root = |sum: Lanes<N>| sum.map(|sum| (sum / samples as f64).sqrt());
        SeatOutcome {
            highest_m_per_s2: self.highest,
            lowest_m_per_s2: self.lowest,
            rms_m_per_s2: mean_root(self.sums[0]),
            weighted_peak_m_per_s2: self.weighted_peak,
            weighted_rms_m_per_s2: mean_root(self.sums[1]),
            vibration_dose_m_per_s175: self.sums[2].map(|sum| (sum * step_s).sqrt().sqrt()),
        }
    }
}

impl<const N: usize> WheelRecord<N> {
    fn new(marks: AxleMarks<N>, wheel_load_n: Lanes<N>) -> Self {
        let zero = Lanes::splat(0.0);
        let at_rest = |mark: Lanes<N>| mark.map(|mark| if mark < 0.0 { 1.0 } else { 0.0 });
        Self {
            marks,
            wheel_load_n,
            beyond: [at_rest(marks.stop_touched_m), at_rest(marks.twice_static_m), zero],
            counts: [zero; 3],
            off_s: zero,
            longest_off_s: zero,
            travel: [zero; 2],
            tyre: [zero; 2],
            mount: zero,
        }
    }

    /// A new stretch; which marks are passed, and time off the road, go on.
    fn clear(&mut self, seen: &Seen<N>, wheel: usize) {
        let zero = Lanes::splat(0.0);
        self.counts = [zero; 3];
        self.longest_off_s = zero;
        self.travel = [seen.travel_m[wheel]; 2];
        self.tyre = [seen.tyre_n[wheel]; 2];
        self.mount = seen.parts_n[wheel];
    }

    #[inline(always)]
    fn note(&mut self, seen: &Seen<N>, wheel: usize, step_s: f64) {
        for lane in 0..N {
            let (travel, tyre) = (seen.travel_m[wheel].0[lane], seen.tyre_n[wheel].0[lane]);
            let off = flag(tyre <= -self.wheel_load_n.0[lane]);
            let now = [
                flag(travel > self.marks.stop_touched_m.0[lane]),
                flag(travel > self.marks.twice_static_m.0[lane]),
                off,
            ];
            for mark in 0..3 {
                let before = self.beyond[mark].0[lane];
                self.counts[mark].0[lane] += now[mark] * (1.0 - before);
                self.beyond[mark].0[lane] = now[mark];
            }
            let off_s = off * (self.off_s.0[lane] + step_s);
            self.off_s.0[lane] = off_s;
            self.longest_off_s.0[lane] = larger(self.longest_off_s.0[lane], off_s);
            self.travel[0].0[lane] = smaller(self.travel[0].0[lane], travel);
            self.travel[1].0[lane] = larger(self.travel[1].0[lane], travel);
            self.tyre[0].0[lane] = smaller(self.tyre[0].0[lane], tyre);
            self.tyre[1].0[lane] = larger(self.tyre[1].0[lane], tyre);
            self.mount.0[lane] = larger(self.mount.0[lane], seen.parts_n[wheel].0[lane]);
        }
    }

    fn outcome(&self) -> WheelOutcome<N> {
        let [rebound, bump] = self.travel;
        WheelOutcome {
            bump_travel_m: bump,
            rebound_travel_m: rebound,
            clearance_to_stop_m: self.marks.stop_touched_m - bump,
            clearance_to_metal_m: self.marks.metal_m - bump,
            clearance_to_rebound_end_m: rebound - self.marks.rebound_end_m,
            stop_hits: self.counts[0],
            twice_static_passes: self.counts[1],
            lift_offs: self.counts[2],
            longest_lift_off_s: self.longest_off_s,
            road_load_n: self.tyre,
            mount_force_n: self.mount,
        }
    }
}

impl<const N: usize> Recorder<N> {
    pub(super) fn new(
        seats: &[BodyPoint<N>],
        marks: [AxleMarks<N>; 2],
        wheel_load_n: [Lanes<N>; CORNERS],
        filter: WeightingFilter,
        step_s: f64,
    ) -> Self {
        let zero = Lanes::splat(0.0);
        let seat = |place: &BodyPoint<N>| SeatRecord {
            place: *place,
            memory: Memory::empty(),
            highest: zero,
            lowest: zero,
            weighted_peak: zero,
            sums: [zero; 3],
        };
        Self {
            filter,
            step_s,
            seats: seats.iter().map(seat).collect(),
            wheels: std::array::from_fn(|wheel| WheelRecord::new(marks[axle_of(wheel)], wheel_load_n[wheel])),
            samples: 0,
        }
    }

    /// Begins a stretch; the last thing seen counts to it.
    pub(super) fn clear(&mut self, seen: &Seen<N>) {
        self.samples = 0;
        self.seats.iter_mut().for_each(SeatRecord::clear);
        for (wheel, record) in self.wheels.iter_mut().enumerate() {
            record.clear(seen, wheel);
        }
    }

    #[inline(always)]
    pub(super) fn note(&mut self, seen: &Seen<N>) {
        self.samples += 1;
        for seat in &mut self.seats {
            seat.note(&self.filter, seen);
        }
        for (wheel, record) in self.wheels.iter_mut().enumerate() {
            record.note(seen, wheel, self.step_s);
        }
    }

    pub(super) fn outcome(&self) -> EventOutcome<N> {
        EventOutcome {
            duration_s: self.samples as f64 * self.step_s,
            step_s: self.step_s,
            seats: self.seats.iter().map(|seat| seat.outcome(self.samples, self.step_s)).collect(),
            wheels: self.wheels.map(|wheel| wheel.outcome()),
        }
    }
}

#[inline(always)]
fn flag(holds: bool) -> f64 {
    if holds { 1.0 } else { 0.0 }
}

#[inline(always)]
fn larger(a: f64, b: f64) -> f64 {
    if b > a { b } else { a }
}

#[inline(always)]
fn smaller(a: f64, b: f64) -> f64 {
    if b < a { b } else { a }
}
