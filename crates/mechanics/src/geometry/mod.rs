//! Vectors, rotations and the angles of a wheel.
//!
//! Everything is written for the left corner in body axes (ISO 8855: x forward, y left, z up) and for any
//! [`Scalar`], so that the same line gives a value in `f64` and its exact derivatives in [`crate::curve::Local`].

pub mod angles;
pub mod newton;
pub mod rigid_motion;
mod scalar;
pub mod vector;

pub use scalar::Scalar;
