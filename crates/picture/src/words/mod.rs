//! Every word of the drawings, English and German side by side.

pub(crate) mod collars;
pub(crate) mod day_strips;
pub(crate) mod front;
pub(crate) mod height_strip;
pub(crate) mod load_plan;
pub(crate) mod plots;
pub(crate) mod side;
pub(crate) mod where_to_look;

use workshop::facts::Language;
use workshop::figure::{Evidence, Figure};
use workshop::wording::{Axle, axle, evidence, fixed};

/// In place of a drawing with a figure that is no number.
pub(crate) fn not_drawn(language: Language) -> &'static str {
    language.pick("This cannot be drawn.", "Das lässt sich nicht zeichnen.")
}

/// Why it is not drawn.
pub(crate) fn not_drawn_because(language: Language) -> &'static str {
    language.pick(
        "A figure that the drawing needs is not known.",
        "Eine Größe, die die Zeichnung braucht, ist nicht bekannt.",
    )
}

/// A count of millimetres with its unit.
pub(crate) fn mm(language: Language, value: f64) -> String {
    format!("{} mm", fixed(language, value, 0))
}

/// Front or rear with its noun.
pub(crate) fn axle_name(language: Language, of: usize) -> &'static str {
    axle(language, Axle::of(of))
}

/// That arch gaps are computed, and the weakest of what they are computed from.
pub(crate) fn evidence_of_gaps<'a>(language: Language, gaps: impl Iterator<Item = &'a Figure>) -> String {
    let weakest = gaps.map(Figure::weakest_evidence).max().unwrap_or(Evidence::Computed);
    let weakest = evidence(language, weakest);
    language.pick(
        format!("arch gaps are computed; weakest input: {weakest}"),
        format!("Radlaufspalte sind berechnet; schwächste Angabe: {weakest}"),
    )
}
