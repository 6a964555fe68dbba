//! The numbers every program draws: no transcendental function, so all draw the same.

/// Number j of item i in [0, 1): SplitMix64 (G. L. Steele, D. Lea, C. H. Flood, OOPSLA 2014) of a counter.
#[inline]
pub fn uniform(seed: u64, i: u64, j: u64) -> f64 {
    let counter = (i * 64 + j + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    let mut z = seed.wrapping_add(counter);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^= z >> 31;
    (z >> 11) as f64 / (1u64 << 53) as f64
}

/// Tolerance j of item i, triangular in (-1, 1).
#[inline]
pub fn triangular(seed: u64, i: u64, j: u64) -> f64 {
    uniform(seed, i, 2 * j) + uniform(seed, i, 2 * j + 1) - 1.0
}
