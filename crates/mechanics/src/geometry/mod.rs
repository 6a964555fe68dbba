//! Vectors, rotations and the angles of a wheel.
//!
//! Everything is written for the left corner in body axes (ISO 8855: x forward, y left, z up) and for any
//! [`Scalar`], so that the same line gives a value in `f64` and its exact derivatives in dual numbers.

pub mod angles;
pub mod newton;
pub mod rigid_motion;
pub mod vector;

use num_dual::DualNum;

/// A real number, with or without exact derivatives attached.
pub trait Scalar: DualNum<Primitive = f64> + Copy {}

impl<D: DualNum<Primitive = f64> + Copy> Scalar for D {}
