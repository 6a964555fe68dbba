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
    /// Forces at the travels (m, bump positive, left and right) and their speeds (m/s).
    fn forces(&self, travel_m: [Vector<S>; 2], speed_m_per_s: [Vector<S>; 2]) -> AxleForces<S>;
}

/// Forces of one axle on the body above those at rest, N.
#[derive(Debug, Clone, Copy)]
pub struct AxleForces<S: Simd> {
    /// Springs, stops, dampers and friction at the left and right wheel.
    pub parts_n: [Vector<S>; 2],
    /// Bar: up on the left, down on the right.
    pub bar_n: Vector<S>,
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
