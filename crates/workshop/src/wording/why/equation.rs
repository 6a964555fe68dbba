//! Equations behind what is shown, with their sources.

use crate::facts::Language;
use crate::wording::Said;

/// An equation with its source.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Equation {
    /// Rest.
    Rest,
    /// Spring force at the wheel.
    SpringAtWheel,
    /// Range.
    Range,
    /// Arch height.
    ArchHeight,
    /// Tyre.
    Tyre,
    /// Ends of travel.
    Travel,
    /// Captive.
    Captive,
    /// Level.
    Level,
    /// Lean.
    Lean,
    /// Pitch.
    Pitch,
    /// Moments of wheel loads.
    Moments,
    /// Margin to the plate.
    Margin,
    /// How verdicts come about.
    Verdict,
    /// How prices come about.
    Price,
    /// How times come about.
    Time,
}

impl Said for Equation {
    fn words(&self, language: Language) -> String {
        let words = match self {
            Self::Rest => language.pick(
                "rest: the energy of springs, stops, bushes, bars, tyres, gas and gravity is stationary (virtual work; J. C. Dixon, Suspension Geometry and Computation, ch. 8)",
                "Ruhelage: die Energie von Federn, Puffern, Gummilagern, Stabilisatoren, Reifen, Gas und Schwere ist stationär (virtuelle Arbeit; J. C. Dixon, Suspension Geometry and Computation, Kap. 8)",
            ),
            Self::SpringAtWheel => language.pick(
                "spring force at the wheel = load × motion ratio, -dL/dz from the 3D linkage",
                "Federkraft am Rad = Last × Federübersetzung, -dL/dz aus der räumlichen Kinematik",
            ),
            Self::Range => language.pick(
                "range = 1.645 × √(rᵀ P r), r the exact response of the rest to each unknown, P their covariance",
                "Spanne = 1,645 × √(rᵀ P r), r die exakte Antwort der Ruhelage auf jede Unbekannte, P deren Kovarianz",
            ),
            Self::ArchHeight => language.pick(
                "arch height = height of the lip less height of the wheel centre",
                "Radlaufhöhe = Höhe der Radlaufkante minus Höhe der Radmitte",
            ),
            Self::Tyre => language.pick("tyre: N = k δ", "Reifen: N = k δ"),
            Self::Travel => language.pick(
                "travel ends where stop, damper, coils or linkage end; a trimmed stop is rebuilt from its remaining height",
                "der Weg endet, wo Puffer, Dämpfer, Windungen oder Lenker enden; ein gekürzter Puffer wird aus seiner Resthöhe neu aufgebaut",
            ),
            Self::Captive => language.pick(
                "captive in hand = free length of the spring stack less the space at full rebound",
                "Restspannung = ungespannte Länge des Federpakets minus Raum bei voller Ausfederung",
            ),
            Self::Level => language.pick(
                "level = (rear less front arch height) less the same with the load floor horizontal",
                "Niveau = (Radlaufhöhe hinten minus vorn) minus dasselbe bei waagerechtem Ladeboden",
            ),
            Self::Lean => language.pick(
                "lean = left less right arch height of an axle",
                "Schiefstand = Radlaufhöhe links minus rechts einer Achse",
            ),
            Self::Pitch => language.pick(
                "body pitch = angle of the body's x axis to the ground, nose-down positive (ISO 8855)",
                "Nickwinkel = Winkel der x-Achse des Aufbaus zum Boden, Bug tief positiv (ISO 8855)",
            ),
            Self::Moments => language.pick(
                "centre of gravity = Σ wheel load × place of the wheel / Σ wheel load, on level ground (balance of moments; measured so in ISO 10392)",
                "Schwerpunkt = Σ Radlast × Ort des Rads / Σ Radlast, auf ebenem Boden (Momentengleichgewicht; so gemessen in ISO 10392)",
            ),
            Self::Margin => language.pick(
                "left to the plate = plated limit less load; the plate is exact",
                "bis zulässig = Grenze des Typschilds minus Last; das Typschild gilt genau",
            ),
            Self::Verdict => language.pick(
                "a rule speaks where all its conditions hold; the first that excludes decides; without one, a kit is out on which the van finds no rest, of which nothing can be set, or two that do not work together; a fact with several possible answers leaves the kit in and says what it depends on",
                "eine Regel gilt, wenn alle ihre Bedingungen zutreffen; die erste ausschließende entscheidet; ohne eine solche scheidet ein Satz aus, auf dem der Wagen keine Ruhelage findet, an dem sich nichts einstellen lässt, oder zwei, die nicht zusammenarbeiten; eine Tatsache mit mehreren möglichen Antworten lässt den Satz drin und nennt, woran es hängt",
            ),
            Self::Price => language.pick(
                "lines exact; labour, tax (on the sum of all lines) and deposit are each rounded once",
                "Zeilen genau; Arbeit, Steuer (auf die Summe aller Zeilen) und Anzahlung je einmal gerundet",
            ),
            Self::Time => language.pick(
                "each operation by three points: mean (least + 4 likely + most) / 6, beta distribution (PERT, Malcolm et al., Operations Research 7, 1959); the sum by seeded sampling",
                "jeder Arbeitsgang aus drei Punkten: Mittel (mindestens + 4 wahrscheinlich + höchstens) / 6, Betaverteilung (PERT, Malcolm et al., Operations Research 7, 1959); die Summe durch Ziehen mit festem Startwert",
            ),
        };
        words.to_owned()
    }
}
