//! Cautions that every paper carries.

use crate::facts::Words;

/// Cautions that go with every set-up and correction, English and German.
const CAUTIONS: [[&str; 2]; 7] = [
    [
        "Compressed springs store enough force to kill: use a rated compressor, never open a loaded top nut.",
        "Gespannte Federn können töten: zugelassenen Spanner verwenden, nie eine belastete Domlagermutter lösen.",
    ],
    [
        "Support the van on the maker's lifting points; wheels hang free while collars are turned.",
        "Den Wagen an den Aufnahmepunkten des Herstellers abstützen; beim Verstellen hängen die Räder frei.",
    ],
    ["Never heat a gas-filled damper body.", "Einen Gasdruckdämpfer nie erhitzen."],
    [
        "Tighten bolts through rubber bushes only at ride height.",
        "Schrauben durch Gummilager erst in Fahrhöhe festziehen.",
    ],
    [
        "Brake hoses and sensor leads must neither stretch nor be trapped over full travel and steering lock; a load-sensing brake valve is reset as the maker says before the van is driven.",
        "Bremsschläuche und Sensorleitungen dürfen über den ganzen Federweg und Lenkeinschlag weder spannen noch klemmen; ein lastabhängiger Bremsdruckregler wird vor der Fahrt nach Herstellerangabe eingestellt.",
    ],
    [
        "New fasteners and torques as the maker says. Wheel alignment, lamp aim and driver-assistance sensors are checked after any height change.",
        "Neue Schrauben und Anzugsmomente nach Herstellerangabe. Nach jeder Höhenänderung Achsvermessung, Scheinwerfer und Assistenzsensoren prüfen.",
    ],
    [
        "Plated limits and tyre ratings are not changed by a kit. The makers' instructions, local codes and licensed practice come first.",
        "Zulässige Lasten und Reifentragfähigkeit ändert kein Satz. Herstellerangaben, örtliche Vorschriften und Fachbetriebe gehen vor.",
    ],
];

/// Cautions that every paper carries.
pub(crate) fn cautions() -> Vec<Words> {
    CAUTIONS.iter().map(|[en, de]| Words { en: (*en).to_owned(), de: (*de).to_owned() }).collect()
}
