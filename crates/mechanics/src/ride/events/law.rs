//! What an axle law must answer for the simulation.

use crate::ride::Lanes;

/// Forces of an axle on the body, above those at rest, N, for one of `N` vans side by side.
///
/// The simulation is written for one lane and run over all of them in the innermost loop, which the compiler turns into
/// vector instructions; a law must therefore do the same work whatever its numbers are.
pub trait LaneLaw<const N: usize> {
    /// Forces at the travels (m, bump positive, left and right) and their speeds (m/s) in one lane.
    fn forces(&self, lane: usize, travel_m: [f64; 2], speed_m_per_s: [f64; 2]) -> AxleForces;

    /// Where along the travel something happens.
    fn marks(&self) -> &AxleMarks<N>;
}

/// Forces of one axle on the body above those at rest, N.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxleForces {
    /// Springs, stops, dampers and friction at the left and right wheel.
    pub parts_n: [f64; 2],
    /// Bar: up on the left, down on the right.
    pub bar_n: f64,
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
