//! Loads against plates.

use super::plain;
use crate::facts::{Language, Words};
use crate::wording::{Plate, signed, whole};

/// A load against its plate.
pub(crate) fn against_plate(plate: Plate) -> Words {
    match plate {
        Plate::GrossMass => plain(
            "gross mass against its plate; no kit changes the plate",
            "Gesamtmasse gegen das Typschild; kein Satz ändert das Typschild",
        ),
        Plate::FrontAxle => plain(
            "front axle load against its plate; no kit changes the plate",
            "Achslast vorn gegen das Typschild; kein Satz ändert das Typschild",
        ),
        Plate::RearAxle => plain(
            "rear axle load against its plate; no kit changes the plate",
            "Achslast hinten gegen das Typschild; kein Satz ändert das Typschild",
        ),
    }
}

/// What hangs on the tow ball, and what its lever makes of it on the axles, kg.
pub(crate) fn on_the_ball(language: Language, behind_rear_axle_mm: f64, axles_kg: [f64; 2]) -> String {
    let behind = whole(behind_rear_axle_mm);
    let [front, rear] = axles_kg.map(|kg| signed(language, kg, 0));
    language.pick(
        format!("load on the tow ball, {behind} mm behind the rear axle: front axle {front} kg, rear axle {rear} kg"),
        format!("Stützlast, {behind} mm hinter der Hinterachse: Vorderachse {front} kg, Hinterachse {rear} kg"),
    )
}
