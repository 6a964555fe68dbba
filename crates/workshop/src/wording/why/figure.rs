//! What figures are called.

use crate::facts::Language;

/// Every figure whose chain can be asked for, and what can be asked of a kit, by its name in answers: its words in
/// English and German, as a sentence begins.
const FIGURE_NAMES: [(&str, [&str; 2]); 45] = [
    ("arch_height_mm", ["Arch height", "Radlaufhöhe"]),
    ("friction_band_mm", ["Friction band", "Reibungsband"]),
    ("arch_gap_mm", ["Arch gap", "Radlaufspalt"]),
    ("lip_height_above_ground_mm", ["Lip height above ground", "Höhe der Radlaufkante über dem Boden"]),
    ("corner_load_kg", ["Wheel load", "Radlast"]),
    (
        "drop_against_today_mm",
        ["Drop against today (minus: higher)", "Tieferlegung gegenüber heute (Minus: höher)"],
    ),
    (
        "drop_against_original_mm",
        [
            "Drop against new original springs (minus: higher)",
            "Tieferlegung gegenüber neuen Serienfedern (Minus: höher)",
        ],
    ),
    (
        "mean_drop_against_today_mm",
        ["Mean drop against today (minus: higher)", "Mittlere Tieferlegung gegenüber heute (Minus: höher)"],
    ),
    ("free_bump_travel_mm", ["Bump travel to the bump stop", "Einfederweg bis zum Anschlagpuffer"]),
    (
        "bump_travel_to_twice_static_mm",
        ["Bump travel to twice the static load", "Einfederweg bis zur doppelten Last"],
    ),
    ("bump_travel_to_metal_mm", ["Bump travel to metal", "Einfederweg bis Metall"]),
    (
        "least_bump_travel_to_metal_mm",
        ["Least bump travel to metal of the four wheels", "Kleinster Einfederweg bis Metall der vier Räder"],
    ),
    ("rebound_travel_mm", ["Rebound travel", "Ausfederweg"]),
    ("captive_in_hand_mm", ["Captive in hand at full rebound", "Restspannung der Feder, ganz ausgefedert"]),
    ("coil_bind_margin_mm", ["Room between the coils at metal", "Luft zwischen den Windungen bei Metall"]),
    ("level_mm", ["Level (tail up positive)", "Niveau (Heck hoch positiv)"]),
    ("lean_mm", ["Lean (left less right)", "Schiefstand (links minus rechts)"]),
    ("body_pitch_deg", ["Body pitch (nose down positive)", "Nickwinkel (Bug tief positiv)"]),
    ("axle_load_kg", ["Axle load", "Achslast"]),
    ("axle_margin_kg", ["Left to the plated axle load", "Frei bis zur zulässigen Achslast"]),
    ("gross_kg", ["Gross mass", "Gesamtmasse"]),
    ("gross_margin_kg", ["Left to the plated gross mass", "Frei bis zur zulässigen Gesamtmasse"]),
    (
        "centre_of_gravity_behind_front_axle_mm",
        ["Centre of gravity behind the front axle", "Schwerpunkt hinter der Vorderachse"],
    ),
    (
        "centre_of_gravity_left_of_centre_mm",
        ["Centre of gravity left of the centre", "Schwerpunkt links der Mitte"],
    ),
    ("mass_in_running_order_kg", ["Mass in running order", "Masse in fahrbereitem Zustand"]),
    ("payload_kg", ["Payload", "Zuladung"]),
    ("sag_mm", ["Sag of the springs", "Ermüdung der Federn"]),
    ("unlisted_load_kg", ["Load that nobody listed", "Nicht gelistete Last"]),
    ("frequency_hz", ["Natural frequency in heave", "Eigenfrequenz beim Heben"]),
    ("damping_ratio", ["Damping ratio in heave", "Dämpfungsgrad beim Heben"]),
    (
        "weighted_acceleration_m_per_s2",
        ["Weighted acceleration on the driver's seat", "Bewertete Beschleunigung auf dem Fahrersitz"],
    ),
    ("comfort_change_percent", ["Change of comfort", "Änderung des Komforts"]),
    ("axle_frequency_hz", ["Natural frequency of the axle alone", "Eigenfrequenz der Achse allein"]),
    ("travel_spread_mm", ["Spread of wheel travel", "Streuung des Radwegs"]),
    ("tyre_load_spread_percent", ["Spread of tyre load", "Streuung der Radlast"]),
    (
        "stop_touched_per_km_percent",
        [
            "Chance per km that the bump stop is touched",
            "Wahrscheinlichkeit je km, dass der Anschlagpuffer berührt wird",
        ],
    ),
    (
        "twice_static_per_km_percent",
        [
            "Chance per km that twice the static load is passed",
            "Wahrscheinlichkeit je km, dass die doppelte Last überschritten wird",
        ],
    ),
    (
        "peak_acceleration_m_per_s2",
        ["Greatest acceleration on the hump", "Größte Beschleunigung auf der Bremsschwelle"],
    ),
    ("vibration_dose_m_per_s175", ["Vibration dose on the hump", "Schwingungsdosis auf der Bremsschwelle"]),
    (
        "clearance_to_stop_mm",
        ["Clearance to the bump stop on the hump", "Abstand zum Anschlagpuffer auf der Bremsschwelle"],
    ),
    ("clearance_to_metal_mm", ["Clearance to metal on the hump", "Abstand zu Metall auf der Bremsschwelle"]),
    (
        "force_at_wheel_n",
        ["Greatest force at the wheel on the hump", "Größte Kraft am Rad auf der Bremsschwelle"],
    ),
    ("verdict", ["In or out", "Dabei oder nicht"]),
    ("price", ["Total with tax", "Summe mit Steuer"]),
    ("time", ["Time on the ramp", "Zeit auf der Bühne"]),
];

/// A figure, or what is asked of a kit, by its name in answers; as a sentence begins.
pub(crate) fn figure_named(language: Language, name: &str) -> &str {
    FIGURE_NAMES
        .iter()
        .find(|(figure, _)| *figure == name)
        .map_or(name, |(_, [english, german])| language.pick(*english, *german))
}

#[cfg(test)]
mod tests {
    use super::FIGURE_NAMES;
    use crate::ride::AskedRide;
    use crate::why::Asked;
    use crate::why_as_found::AskedAsFound;

    #[test]
    fn law_every_figure_that_can_be_asked_for_has_words_and_no_other_has() {
        let mut asked: Vec<&str> = Asked::CHOICES.iter().map(|(name, _)| *name).collect();
        asked.extend(AskedAsFound::CHOICES.iter().map(|(name, _)| *name));
        asked.extend(AskedRide::CHOICES.iter().map(|(name, _)| *name));
        asked.extend(["verdict", "price", "time"]);
        assert_eq!(FIGURE_NAMES.map(|(name, _)| name).as_slice(), asked);
    }
}
