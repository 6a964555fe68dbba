//! How a van rides about its place of rest: on random roads by spectra, over single events by time simulation.
//!
//! Kernels take `N` cases side by side ([`Lanes`]), so that many kits share one pass.

mod axle_law;
mod car;
pub mod events;
mod lanes;

pub use axle_law::{AxleLaw, TravelMarks};
pub use car::{BodyPoint, Car};
pub use lanes::Lanes;
