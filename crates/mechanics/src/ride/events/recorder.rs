//! What is kept of the motion while it goes on.

use pulp::Simd;

use super::motion::Seen;
use super::vector::{Chunk, Vector};
use super::weighting_filter::RunningFilter;
use super::{DrivenVan, EventOutcome, LaneLaw, WeightingFilter};
use crate::statics::{CORNERS, axle_of};

/// Extremes, sums and counts of the stretch under way, and what outlasts it: filters, and which side of its marks each
/// wheel is on. For one register's lanes.
#[derive(Debug)]
pub(super) struct Recorder<S: Simd> {
    chunk: Chunk<S>,
    seats: Vec<SeatRecord<S>>,
    wheels: [WheelRecord<S>; CORNERS],
    step_s: f64,
}

#[derive(Debug, Clone, Copy)]
struct SeatRecord<S: Simd> {
    x_m: Vector<S>,
    y_m: Vector<S>,
    filter: RunningFilter<S>,
    highest: Vector<S>,
    lowest: Vector<S>,
    weighted_peak: Vector<S>,
    /// Sums of a², a_w², a_w⁴.
    sums: [Vector<S>; 3],
}

#[derive(Debug, Clone, Copy)]
struct WheelRecord<S: Simd> {
    constants: Constants<S>,
    /// Beyond which travel the stop is touched, the static load doubled; below which load the wheel is off the road.
    stop_touched_m: Vector<S>,
    twice_static_m: Vector<S>,
    on_road_m_per_s2: Vector<S>,
    unsprung_kg: Vector<S>,
    /// The nearer of the two marks of travel.
    first_mark_m: Vector<S>,
    /// Whether some lane was past a mark when it was last looked at.
    was_past: bool,
    /// 1 beyond the mark, 0 before it: stop, twice static, off the road.
    beyond: [Vector<S>; 3],
    counts: [Vector<S>; 3],
    off_s: Vector<S>,
    longest_off_s: Vector<S>,
    travel: [Vector<S>; 2],
    tyre: [Vector<S>; 2],
    mount: Vector<S>,
}

#[derive(Debug, Clone, Copy)]
struct Constants<S: Simd> {
    zero: Vector<S>,
    one: Vector<S>,
    step_s: Vector<S>,
}

impl<S: Simd> SeatRecord<S> {
    #[inline(always)]
    fn note(mut self, seen: &[Seen<S>]) -> Self {
        for sample in seen {
            let [heave, pitch, roll] = sample.body;
            let a = self.y_m.times_plus(roll, heave - self.x_m * pitch);
            let weighted = self.filter.pass(a);
            let square = weighted * weighted;
            self.highest = self.highest.max(a);
            self.lowest = self.lowest.min(a);
            self.weighted_peak = self.weighted_peak.max(weighted.abs());
            self.sums[0] = a.times_plus(a, self.sums[0]);
            self.sums[1] = self.sums[1] + square;
            self.sums[2] = square.times_plus(square, self.sums[2]);
        }
        self
    }
}

impl<S: Simd> WheelRecord<S> {
    #[inline(always)]
    fn note(&mut self, seen: &[Seen<S>], wheel: usize) {
        let Some(first) = seen.first() else { return };
        let (mut travel, mut tyre) = ([first.travel_m[wheel]; 2], [first.tyre_m_per_s2[wheel]; 2]);
        let mut mount = self.mount;
        for sample in seen {
            travel = widened(travel, sample.travel_m[wheel]);
            tyre = widened(tyre, sample.tyre_m_per_s2[wheel]);
            mount = mount.max(sample.parts_n[wheel]);
        }
        let past_a_mark = self.was_past
            || (self.first_mark_m - travel[1]).min(tyre[0] - self.on_road_m_per_s2).is_negative_anywhere();
        if past_a_mark {
            for sample in seen {
                self.count(sample.travel_m[wheel], sample.tyre_m_per_s2[wheel]);
            }
        }
        self.travel = [self.travel[0].min(travel[0]), self.travel[1].max(travel[1])];
        self.tyre = [self.tyre[0].min(tyre[0]), self.tyre[1].max(tyre[1])];
        self.mount = mount;
    }

    /// Counts marks that are newly passed, and the time off the road.
    #[inline(always)]
    fn count(&mut self, travel: Vector<S>, tyre: Vector<S>) {
        let Constants { zero, one, step_s } = self.constants;
        let off = tyre.if_less(self.on_road_m_per_s2, one, zero);
        let now = [
            self.stop_touched_m.if_less(travel, one, zero),
            self.twice_static_m.if_less(travel, one, zero),
            off,
        ];
        for mark in 0..3 {
            // 1 only where it was before and is beyond now
            self.counts[mark] = self.counts[mark] + (now[mark] - self.beyond[mark]).max(zero);
            self.beyond[mark] = now[mark];
        }
        self.off_s = off * (self.off_s + step_s);
        self.longest_off_s = self.longest_off_s.max(self.off_s);
        self.was_past = (zero - now[0].max(now[1]).max(now[2])).is_negative_anywhere();
    }
}

#[inline(always)]
fn widened<S: Simd>([least, largest]: [Vector<S>; 2], value: Vector<S>) -> [Vector<S>; 2] {
    [least.min(value), largest.max(value)]
}

impl<S: Simd> Recorder<S> {
    #[inline(always)]
    pub(super) fn new<L: LaneLaw<N>, const N: usize>(
        van: &DrivenVan<'_, L, N>,
        chunk: Chunk<S>,
        filter: &WeightingFilter,
        step_s: f64,
    ) -> Self {
        let zero = chunk.splat(0.0);
        let constants = Constants { zero, one: chunk.splat(1.0), step_s: chunk.splat(step_s) };
        let mut seats = Vec::with_capacity(van.seats.len());
        for seat in van.seats {
            seats.push(SeatRecord {
                x_m: chunk.load(&seat.x_m),
                y_m: chunk.load(&seat.y_m),
                filter: RunningFilter::new(filter, chunk),
                highest: zero,
                lowest: zero,
                weighted_peak: zero,
                sums: [zero; 3],
            });
        }
        let wheels = [0, 1, 2, 3].map(|wheel| {
            let marks = van.laws[axle_of(wheel)].marks();
            let (stop, twice) = (chunk.load(&marks.stop_touched_m), chunk.load(&marks.twice_static_m));
            // a tyre that carries a millionth of its load at rest, or nothing, is off the road
            let unsprung_kg = van.car.unsprung_mass_kg[axle_of(wheel)];
            let on_road = van.wheel_load_n[wheel] / unsprung_kg * (-1.0 + 1e-6);
            let past_at_rest = |mark: Vector<S>| mark.if_less(zero, constants.one, zero);
            WheelRecord {
                constants,
                stop_touched_m: stop,
                twice_static_m: twice,
                on_road_m_per_s2: chunk.load(&on_road),
                unsprung_kg: chunk.load(&unsprung_kg),
                first_mark_m: stop.min(twice),
                was_past: true,
                beyond: [past_at_rest(stop), past_at_rest(twice), zero],
                counts: [zero; 3],
                off_s: zero,
                longest_off_s: zero,
                travel: [zero; 2],
                tyre: [zero; 2],
                mount: zero,
            }
        });
        Self { chunk, seats, wheels, step_s }
    }

    /// Begins a stretch at what is seen; filters, marks passed and time off the road go on.
    #[inline(always)]
    pub(super) fn clear(&mut self, seen: &Seen<S>) {
        let zero = self.chunk.splat(0.0);
        for seat in &mut self.seats {
            (seat.highest, seat.lowest, seat.weighted_peak) = (zero, zero, zero);
            seat.sums = [zero; 3];
        }
        for (wheel, record) in self.wheels.iter_mut().enumerate() {
            record.counts = [zero; 3];
            record.longest_off_s = zero;
            record.travel = [seen.travel_m[wheel]; 2];
            record.tyre = [seen.tyre_m_per_s2[wheel]; 2];
            record.mount = seen.parts_n[wheel];
        }
    }

    #[inline(always)]
    pub(super) fn note(&mut self, seen: &[Seen<S>]) {
        for seat in &mut self.seats {
            *seat = seat.note(seen);
        }
        for wheel in 0..CORNERS {
            self.wheels[wheel].note(seen, wheel);
        }
    }

    /// Writes the stretch of so many steps into the lanes of its outcome.
    #[inline(always)]
    pub(super) fn write<L: LaneLaw<N>, const N: usize>(
        &self,
        van: &DrivenVan<'_, L, N>,
        steps: usize,
        outcome: &mut EventOutcome<N>,
    ) {
        let chunk = self.chunk;
        for (seat, out) in self.seats.iter().zip(&mut outcome.seats) {
            chunk.store(seat.highest, &mut out.highest_m_per_s2);
            chunk.store(seat.lowest, &mut out.lowest_m_per_s2);
            chunk.store(seat.weighted_peak, &mut out.weighted_peak_m_per_s2);
            let means =
                [&mut out.rms_m_per_s2, &mut out.weighted_rms_m_per_s2, &mut out.vibration_dose_m_per_s175];
            for (sum, mean) in seat.sums.iter().zip(means) {
                chunk.store(*sum, mean);
            }
            for lane in chunk.range(N) {
                for mean in [&mut out.rms_m_per_s2, &mut out.weighted_rms_m_per_s2] {
                    mean.0[lane] = (mean.0[lane] / steps as f64).sqrt();
                }
                let dose = &mut out.vibration_dose_m_per_s175.0[lane];
                *dose = (*dose * self.step_s).sqrt().sqrt();
            }
        }
        for (wheel, record) in self.wheels.iter().enumerate() {
            let out = &mut outcome.wheels[wheel];
            let marks = van.laws[axle_of(wheel)].marks();
            let [rebound, bump] = record.travel;
            chunk.store(bump, &mut out.bump_travel_m);
            chunk.store(rebound, &mut out.rebound_travel_m);
            chunk.store(record.stop_touched_m - bump, &mut out.clearance_to_stop_m);
            chunk.store(chunk.load(&marks.metal_m) - bump, &mut out.clearance_to_metal_m);
            chunk.store(rebound - chunk.load(&marks.rebound_end_m), &mut out.clearance_to_rebound_end_m);
            chunk.store(record.counts[0], &mut out.stop_hits);
            chunk.store(record.counts[1], &mut out.twice_static_passes);
            chunk.store(record.counts[2], &mut out.lift_offs);
            chunk.store(record.longest_off_s, &mut out.longest_lift_off_s);
            chunk.store(record.tyre[0] * record.unsprung_kg, &mut out.road_load_n[0]);
            chunk.store(record.tyre[1] * record.unsprung_kg, &mut out.road_load_n[1]);
            chunk.store(record.mount, &mut out.mount_force_n);
        }
    }
}
