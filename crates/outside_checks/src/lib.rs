//! The mechanics, the geometry of the checks of a fitment, and what the workshop takes from a tyre's marking, compared
//! with figures they did not produce.
//!
//! Each [`Check`] holds one figure from a book, a standard or an independent solution beside the figure that the
//! program gives for the same inputs. [`report`] writes them all down; the tests of this crate hold the
//! mechanics to every one and the report in `docs/outside-checks.md` to what is computed.

mod check;
pub mod events;
pub mod handling;
pub mod joined_axles;
pub mod lamps;
pub mod linkage;
pub mod masses;
mod report;
pub mod ride;
pub mod springs;
pub mod statics;
pub mod tyres;
pub mod vibration;
pub mod wheels;

pub use check::{Check, Tolerance};
pub use report::report;

/// Every check with the subject it belongs to, in the order of the report.
pub fn subjects() -> Vec<(&'static str, Vec<Check>)> {
    vec![
        ("Linkages", linkage::checks()),
        ("Joined axles", joined_axles::checks()),
        ("Rest on four corners", statics::checks()),
        ("Roll, load transfer, stability", handling::checks()),
        ("Humps, rough roads, events", events::checks()),
        ("Masses", masses::checks()),
        ("Lamps", lamps::checks()),
        ("Springs", springs::checks()),
        ("Tyres", tyres::checks()),
        ("Random roads", vibration::road_checks()),
        ("Weighted vibration", vibration::weighting_checks()),
        ("Ride", ride::checks()),
        ("Wheels in their places", wheels::checks()),
    ]
}
