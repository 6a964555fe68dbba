//! What checks say, and the sources of their limits.

pub(crate) mod body;
pub(crate) mod hub;
pub(crate) mod loads;
pub(crate) mod room;
pub(crate) mod travel;
pub(crate) mod tyres;

use crate::facts::Words;

/// A text that holds no values.
fn plain(english: &str, german: &str) -> Words {
    Words { en: english.to_owned(), de: german.to_owned() }
}

/// What the trade does and nobody published.
pub(crate) fn common_practice() -> Words {
    plain("common practice, no source", "gängige Praxis, ohne Quelle")
}

/// What the maker says.
pub(crate) fn makers_figure() -> Words {
    plain("maker's figure", "Herstellerangabe")
}

/// The maker's targets of the alignment.
pub(crate) fn makers_alignment() -> Words {
    plain("maker's alignment data", "Vermessungsdaten des Herstellers")
}

/// What follows from geometry alone.
pub(crate) fn geometry() -> Words {
    plain("geometry", "Geometrie")
}

/// The statutory plate.
pub(crate) fn statutory_plate() -> Words {
    plain("statutory plate", "Typschild")
}

/// The plate of the coupling.
pub(crate) fn coupling_plate() -> Words {
    plain("plate of the coupling", "Schild der Anhängekupplung")
}

/// The workshop's own lift.
pub(crate) fn own_lift() -> Words {
    plain("the workshop's own lift", "Hebebühne der Werkstatt")
}

/// Height of couplings.
pub(crate) fn coupling_height() -> Words {
    plain("UN R55 annex 7, ISO 1103, from memory", "UN R55 Anhang 7, ISO 1103, aus dem Gedächtnis")
}

/// Height of dipped-beam lamps.
pub(crate) fn lamp_height_limits() -> Words {
    plain("UN R48 6.2.4.2, from memory", "UN R48 6.2.4.2, aus dem Gedächtnis")
}

/// Aim of dipped-beam lamps in use.
pub(crate) fn aim_limits(lamps: AimRule) -> Words {
    match lamps {
        AimRule::GbLow => plain(
            "GB inspection manual 4.1.2, centre up to 850 mm",
            "Prüfhandbuch GB 4.1.2, Mitte bis 850 mm",
        ),
        AimRule::GbHigh => plain(
            "GB inspection manual 4.1.2, centre above 850 mm",
            "Prüfhandbuch GB 4.1.2, Mitte über 850 mm",
        ),
        AimRule::UnLow => plain("UN R48 6.2.6.1.2, from memory", "UN R48 6.2.6.1.2, aus dem Gedächtnis"),
        AimRule::UnHigh => plain(
            "UN R48 6.2.6.1.2, high lamps, from memory",
            "UN R48 6.2.6.1.2, hohe Scheinwerfer, aus dem Gedächtnis",
        ),
    }
}

/// Whose band of the aim, and which lamps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum AimRule {
    /// Inspection in Great Britain, low lamps.
    GbLow,
    /// The same, high lamps.
    GbHigh,
    /// UN Regulation No 48, low lamps.
    UnLow,
    /// The same, high lamps.
    UnHigh,
}

/// Load index against the plate.
pub(crate) fn index_on_plate() -> Words {
    plain(
        "statutory plate; load index by ISO 4000-1, UN R30 and R54, single wheels",
        "Typschild; Tragfähigkeitsindex nach ISO 4000-1, UN R30 und R54, Einzelrad",
    )
}

/// Load index.
pub(crate) fn load_index() -> Words {
    plain("load index, ISO 4000-1, UN R30 and R54", "Tragfähigkeitsindex, ISO 4000-1, UN R30 und R54")
}

/// Load rating of rims against the plate.
pub(crate) fn rating_on_plate() -> Words {
    plain("statutory plate; load rating by the rim's maker", "Typschild; Radlast nach Felgenhersteller")
}

/// Speed symbols.
pub(crate) fn speed_symbols() -> Words {
    plain("UN R30, R54: speed symbol", "UN R30, R54: Geschwindigkeitssymbol")
}

/// Pressure by the tyre maker's table.
pub(crate) fn pressure_table() -> Words {
    plain("the tyre maker's table", "Tabelle des Reifenherstellers")
}

/// Pressure by formula.
pub(crate) fn pressure_formula() -> Words {
    plain(
        "ETRTO Standards Manual, L = Lmax (P/Pmax)^0.8, with a floor",
        "ETRTO Standards Manual, L = Lmax (P/Pmax)^0,8, mit Untergrenze",
    )
}

/// Measuring rims.
pub(crate) fn measuring_rims() -> Words {
    plain("ETRTO measuring rim and range, from memory", "ETRTO-Messfelge und Bereich, aus dem Gedächtnis")
}

/// Lead of speedometers.
pub(crate) fn speedometer_band() -> Words {
    plain("UN R39, 5.3: 0 ≤ V1 - V2 ≤ 0.1 V2 + 4", "UN R39, 5.3: 0 ≤ V1 - V2 ≤ 0,1 V2 + 4")
}
