//! What goes into a figure, with its evidence.

use crate::facts::Language;
use crate::figure::Contribution;
use crate::load_list::LoadItem;
use crate::vehicle_sheet::RunningOrder;
use crate::wording::{Said, corner, evidence, fixed, whole};

/// Running order as an input.
pub(crate) fn running_order_input(language: Language, order: &RunningOrder) -> String {
    let (front, rear) = (whole(order.front_axle_kg), whole(order.rear_axle_kg));
    language.pick(
        format!("running order {front} + {rear} kg (maker's figure: 90 % fuel, driver of 75 kg)"),
        format!("fahrbereit {front} + {rear} kg (Herstellerangabe: 90 % Kraftstoff, Fahrer mit 75 kg)"),
    )
}

/// A listed item as an input.
pub(crate) fn item_input(language: Language, item: &LoadItem) -> String {
    let (name, kg, spread) = (&item.name, whole(item.mass_kg), whole(item.plus_minus_kg));
    let (behind, from) = (whole(item.place.behind_front_axle_mm), evidence(language, item.evidence));
    language.pick(
        format!("{name}: {kg} ± {spread} kg, {behind} mm behind the front axle ({from})"),
        format!("{name}: {kg} ± {spread} kg, {behind} mm hinter der Vorderachse ({from})"),
    )
}

/// Where a spring's rate and length come from.
#[derive(Debug, Clone, Copy)]
pub(crate) enum SpringFrom {
    /// Original.
    Sheet,
    /// The kit's maker.
    Maker,
    /// Assumed.
    Assumed,
}

/// A spring as an input.
#[derive(Debug, Clone, Copy)]
pub(crate) enum SpringInput {
    /// Coil spring.
    Coil { free_length_mm: f64, rate_n_per_mm: f64 },
    /// Main leaves.
    Leaves { free_camber_mm: f64, rate_n_per_mm: f64 },
    /// Torsion bar.
    TorsionBar { untwisted_below_design_deg: f64, rate_nm_per_deg: f64 },
}

/// A spring as an input.
pub(crate) fn spring_input(language: Language, i: usize, spring: SpringInput, from: SpringFrom) -> String {
    let place = corner(language, i);
    let one = |value| fixed(language, value, 1);
    let is_coil = matches!(spring, SpringInput::Coil { .. });
    let from = match from {
        SpringFrom::Sheet if is_coil => language.pick(
            "original, free length computed from the sheet's arch height",
            "Serie, ungespannte Länge aus der Radlaufhöhe des Datenblatts berechnet",
        ),
        SpringFrom::Sheet => language.pick(
            "original, computed from the sheet's arch height",
            "Serie, aus der Radlaufhöhe des Datenblatts berechnet",
        ),
        SpringFrom::Maker => language.pick("maker's figure", "Herstellerangabe"),
        SpringFrom::Assumed => language.pick(
            "assumed: only a drop is published",
            "angenommen: veröffentlicht ist nur eine Tieferlegung",
        ),
    };
    match spring {
        SpringInput::Coil { free_length_mm, rate_n_per_mm } => {
            let (length, rate) = (one(free_length_mm), one(rate_n_per_mm));
            language.pick(
                format!("{place} spring: free length {length} mm, {rate} N/mm at rest ({from})"),
                format!("Feder {place}: ungespannt {length} mm, im Stand {rate} N/mm ({from})"),
            )
        }
        SpringInput::Leaves { free_camber_mm, rate_n_per_mm } => {
            let (camber, rate) = (one(free_camber_mm), one(rate_n_per_mm));
            language.pick(
                format!("{place} leaf spring: free camber {camber} mm, {rate} N/mm at rest ({from})"),
                format!("Blattfeder {place}: Sprengung frei {camber} mm, im Stand {rate} N/mm ({from})"),
            )
        }
        SpringInput::TorsionBar { untwisted_below_design_deg, rate_nm_per_deg } => {
            let (angle, rate) = (one(untwisted_below_design_deg), one(rate_nm_per_deg));
            language.pick(
                format!("{place} torsion bar: {rate} N m per degree, free of twist with the arm {angle}° below design ({from})"),
                format!("Drehstab {place}: {rate} N m je Grad, verdrehungsfrei mit dem Lenker {angle}° unter Konstruktionslage ({from})"),
            )
        }
    }
}

/// A cause of the range as an input.
pub(crate) fn cause_input(language: Language, cause: &Contribution) -> String {
    let (what, share) = (cause.cause.words(language), whole(100.0 * cause.share));
    let (from, remedy) = (evidence(language, cause.evidence), cause.remedy.words(language));
    language.pick(
        format!("{what}: holds {share} % of the range ({from}); {remedy}"),
        format!("{what}: macht {share} % der Spanne aus ({from}); {remedy}"),
    )
}
