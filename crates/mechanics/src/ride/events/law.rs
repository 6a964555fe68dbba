//! What an axle law must answer for the simulation.

use pulp::Simd;

use super::vector::{Chunk, Vector};
use crate::ride::Lanes;

/// What stands between body and wheels of an axle of `N` vans side by side.
pub trait LaneLaw<const N: usize> {
    /// The law of some of the lanes, ready for vector registers.
    fn chunk<S: Simd>(&self, chunk: Chunk<S>) -> impl AxleForce<S>;

    /// Where along the travel something happens.
    fn marks(&self) -> &AxleMarks<N>;
}

/// The law of one axle in one vector register's lanes.
pub trait AxleForce<S: Simd> {
    /// Forces of springs, stops, dampers and friction at both wheels on the body above those at rest, N, at the travels
    /// (m, bump positive, left and right) and their speeds (m/s).
    fn forces(&self, travel_m: [Vector<S>; 2], speed_m_per_s: [Vector<S>; 2]) -> [Vector<S>; 2];

    /// Bar: force up on the left and down on the right per travel of the left beyond that of the right, N/m.
    fn bar_n_per_m(&self) -> Vector<S>;
}

/// Travel from rest to where something happens, m, bump positive; infinite where it never does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxleMarks<const N: usize> {
    /// To the first touch of the bump stop; negative where it is engaged at rest.
    pub stop_touched_m: Lanes<N>,
    /// To twice the static load.
    pub twice_static_m: Lanes<N>,
    /// To metal in bump.
    pub metal_m: Lanes<N>,
    /// To the end in rebound, negative.
    pub rebound_end_m: Lanes<N>,
}
