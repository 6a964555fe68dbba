//! Suspension mechanics: from hardpoints, springs and masses to where a van comes to rest.
//!
//! Pure computation: no files, no clock, no catalogue. Everything inside is SI (metre, newton, kilogram,
//! radian, second) with the unit in the name; dimensionless quantities carry none. Axes are those of ISO 8855:
//! x forward, y left, z up. Signs, symbols and frames are set out in `docs/notation.md`.
//!
//! * [`linkage`] turns wheel travel into wheel pose, spring length and damper length, and tabulates them;
//! * [`elements`] holds the force laws of coil, leaf and air springs, stops, bars, bushes and tyres;
//! * [`statics`] finds the rest position of the body on its four corners and how it answers to every change;
//! * [`handling`] gives roll, load transfer and stability of the van at that rest;
//! * [`ride`] gives how the van moves about that rest on roads and over humps;
//! * [`spring_design`] relates the dimensions of coil and leaf springs to rate and stress.
//!
//! An outcome the mechanics refuses (a linkage that cannot reach, a spring off its seat) is a named result,
//! never a panic and never a silent NaN.

pub mod curve;
pub mod elements;
pub mod geometry;
pub mod handling;
mod lanes;
pub mod linkage;
pub mod ride;
pub mod spring_design;
pub mod statics;

/// Standard acceleration of gravity, m/s² (ISO 80000-3).
pub const GRAVITY_M_PER_S2: f64 = 9.806_65;
