//! What the machine can do at the moment: the yardstick for times taken on another one.

use std::time::Instant;

use cpu_time::ThreadTime;
use pulp::{Arch, Simd, WithSimd};

/// Products and sums in 64 bits per second of CPU time, in the widest vectors, of the machine on which the times that must
/// be reached were set.
pub const REFERENCE_FLOP_PER_S: f64 = 57.8e9;

const ACCUMULATORS: usize = 12;
const ROUNDS: usize = 4_000_000;

/// Independent products with sums, as many as hide the time each takes.
struct Peak;

impl WithSimd for Peak {
    type Output = f64;

    #[inline(always)]
    fn with_simd<S: Simd>(self, simd: S) -> f64 {
        let (factor, addend) = (simd.splat_f64s(0.999), simd.splat_f64s(1e-3));
        let mut sums = [addend; ACCUMULATORS];
        for _ in 0..ROUNDS {
            for sum in &mut sums {
                *sum = simd.mul_add_f64s(*sum, factor, addend);
            }
        }
        let total = sums.into_iter().fold(simd.splat_f64s(0.0), |all, sum| simd.add_f64s(all, sum));
        std::hint::black_box(simd.reduce_sum_f64s(total));
        (2 * ROUNDS * ACCUMULATORS * S::F64_LANES) as f64
    }
}

/// Operations per second of CPU time, and share of the wall time that the thread was given.
pub fn peak_flop_per_s() -> (f64, f64) {
    let (cpu, wall) = (ThreadTime::now(), Instant::now());
    let operations = Arch::new().dispatch(Peak);
    let cpu_s = cpu.elapsed().as_secs_f64();
    (operations / cpu_s, cpu_s / wall.elapsed().as_secs_f64())
}
