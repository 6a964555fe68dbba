//! How a van crosses a hump or a stretch of road: the motion itself, step by step, with stops, dampers that yield, and
//! wheels that leave the ground.
//!
//! A [`DrivenVan`] (masses, axle laws, wheel loads at rest, seats) goes over a [`Course`] at a steady speed; each stretch
//! of time gives an [`EventOutcome`]. [`cross_hump`] and [`drive_road`] do this with a step that is halved until the
//! answer stands; [`drive`] takes the step it is given. Each tyre touches the road in one point: a hump much shorter than
//! the contact length of the tyre is felt too sharply.

mod closed_form;
mod course;
mod dispatch;
mod drive;
mod fault;
mod hump;
mod law;
mod motion;
mod outcome;
mod random_road;
mod recorder;
mod tabulated;
mod vector;
mod weighting_filter;

pub use closed_form::{ClosedFormLaw, KneeDamper, StopPolynomial};
pub use course::{Course, WheelHeights};
pub use dispatch::{Ride, SteppedLaw};
pub use drive::{Driven, cross_hump, drive, drive_converged, drive_road};
pub use fault::EventFault;
pub use hump::{Hump, HumpRules};
pub use law::{AxleForce, AxleMarks, LaneLaw};
pub use motion::{DrivenVan, Seeing};
pub use outcome::{EventOutcome, SeatOutcome, WheelOutcome};
pub use random_road::{RoadOfWaves, RoadWave, RoughRoad};
pub use tabulated::{FRICTION_SPEED_M_PER_S, TabulatedLaw};
pub use vector::{Chunk, Vector};
pub use weighting_filter::WeightingFilter;
