//! Contact points and roll centres at rest.
//!
//! A lean of the body is left out of both: it enters by its square.

use crate::curve::Local;
use crate::linkage::TravelMode;
use crate::statics::{FourCorners, Rest};

/// Distance between the contact points of an axle, m.
pub(super) fn track_m(van: &FourCorners, rest: &Rest, axle: usize) -> f64 {
    let half_m = |corner: usize| {
        let table = &van.corners[corner].table;
        let travel = rest.axle_travel(corner);
        let camber_rad = table.camber_rad.as_ref().map_or(0.0, |camber| camber.at_both(travel).value);
        let centre_y_m = table.wheel_centre_y_m.at_both(travel).value;
        contact_y_m(centre_y_m, camber_rad, rest.wheel_centre_height_m[corner])
    };
    half_m(2 * axle) + half_m(2 * axle + 1)
}

/// Height of the roll centre of an axle above the ground, m, mean of what both wheels give.
pub(super) fn height_m(van: &FourCorners, rest: &Rest, axle: usize) -> Option<f64> {
    let of_wheel = |corner: usize| {
        let table = &van.corners[corner].table;
        let travel = rest.axle_travel(corner);
        let in_roll = TravelMode::Roll.direction();
        let camber = table.camber_rad.as_ref()?.at_both(travel).along(in_roll);
        let centre_y = table.wheel_centre_y_m.at_both(travel).along(in_roll);
        // the roll centre of the table is that of the tyre as drawn; this one stands on the ground
        table.roll_centre_height_m.as_ref()?;
        Some(height_over_contact_m(&centre_y, &camber, rest.wheel_centre_height_m[corner]))
    };
    Some(0.5 * (of_wheel(2 * axle)? + of_wheel(2 * axle + 1)?))
}

/// Distance of the contact point from the centre plane: straight down the wheel plane from the wheel centre.
fn contact_y_m(centre_y_m: f64, camber_rad: f64, centre_height_m: f64) -> f64 {
    centre_y_m - centre_height_m * camber_rad.tan()
}

/// y dy/dz of the contact point, the wheel going up and the other one as much down: where the normal to its path meets
/// the centre plane (Reimpell, Stoll and Betzler, The Automotive Chassis, ch. 3.4). The tyre stands with the radius R
/// that its load leaves, so with camber γ: dy = y_w' - R cos γ γ', dz = 1 + R sin γ γ'.
fn height_over_contact_m(centre_y: &Local, camber: &Local, centre_height_m: f64) -> f64 {
    let (sin, cos) = camber.value.sin_cos();
    let radius_m = centre_height_m / cos;
    let sideways = centre_y.slope - radius_m * cos * camber.slope;
    let upwards = 1.0 + radius_m * sin * camber.slope;
    contact_y_m(centre_y.value, camber.value, centre_height_m) * sideways / upwards
}
