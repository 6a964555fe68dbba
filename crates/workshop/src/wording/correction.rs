//! The correction: readings refused, doubted, learned from.

use serde::Serialize;

use super::remarks::list_apart;
use super::{Adjuster, Axle, Cause, Said, axle, corner, in_words, signed, whole};
use crate::correction::Misfit;
use crate::facts::Language;

/// Why readings are kept but not corrected from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Refusal {
    /// The van was only lowered.
    OnlyLowered,
    /// It carries something else than the list says.
    LoadNotAsListed,
    /// The bushes were not clamped anew.
    BushesNotReclamped,
}

/// Corners whose readings may have been exchanged.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Exchange {
    /// Front left and front right.
    FrontLeftAndRight,
    /// Rear left and rear right.
    RearLeftAndRight,
    /// Left and right of both axles.
    LeftAndRight,
    /// Front and rear.
    FrontAndRear,
}

/// What would make readings fit.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Suspicion {
    /// Readings were exchanged.
    Exchanged {
        /// Which.
        readings: Exchange,
    },
    /// A reading does not fit the other three.
    Reading {
        /// Corner, 0 to 3.
        #[serde(serialize_with = "corner_name")]
        corner: usize,
        /// Too high, mm.
        too_high_mm: f64,
    },
    /// A collar is not where it is recorded.
    Collar {
        /// Corner, 0 to 3.
        #[serde(serialize_with = "corner_name")]
        corner: usize,
        /// What is turned there.
        adjuster: Adjuster,
        /// Higher than recorded, mm.
        higher_mm: f64,
    },
    /// A spring is wrong or broken.
    Spring {
        /// Corner, 0 to 3.
        #[serde(serialize_with = "corner_name")]
        corner: usize,
        /// Stiffer than stated, per cent.
        stiffer_percent: f64,
    },
    /// Nothing alone explains it.
    NoSingleCause,
}

/// What is to be looked at before any collar is turned.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Doubt {
    /// Corner weights do not fit; nothing was learned from them.
    CornerWeights {
        /// Weighed less expected, kg.
        apart_kg: Vec<f64>,
    },
    /// The readings do not fit, but were read a second time and found right.
    ReadTwice(Misfit),
    /// A collar may not be where it is recorded, though all readings together pass.
    Collar {
        /// Which, and by how much.
        suspicion: Suspicion,
    },
}

impl Said for Doubt {
    fn words(&self, language: Language) -> String {
        match self {
            Self::CornerWeights { apart_kg } => {
                let apart = list_apart(language, apart_kg);
                language.pick(
                    format!("the corner weights do not fit load list, setting and sheet: weighed less expected {apart} kg (front left, front right, rear left, rear right); weigh again, nothing was learned from them"),
                    format!("die Ecklasten passen nicht zu Ladeliste, Einstellung und Datenblatt: gewogen minus erwartet {apart} kg (vorn links, vorn rechts, hinten links, hinten rechts); neu wiegen, aus ihnen wurde nichts gelernt"),
                )
            }
            Self::ReadTwice(misfit) => read_twice(language, misfit),
            Self::Collar { suspicion } => {
                let suspicion = suspicion.words(language);
                language.pick(
                    format!("{suspicion}: measure it before turning any"),
                    format!("{suspicion}: nachmessen, bevor gedreht wird"),
                )
            }
        }
    }
}

/// What was learned from readings, and what was not.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Learned {
    /// What was learned most of.
    MostOf {
        /// Axle.
        axle: Axle,
        /// Of what.
        #[serde(serialize_with = "in_words")]
        cause: Cause,
        /// By how much its variance fell, per cent.
        variance_fell_percent: f64,
    },
    /// Spring rates cannot be told from heights at one load.
    RatesNotIdentifiable,
}

fn corner_name<S: serde::Serializer>(i: &usize, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(corner(Language::English, *i))
}

impl Said for Refusal {
    fn words(&self, language: Language) -> String {
        match self {
            Self::OnlyLowered => language.pick(
                "The van was only lowered: tyres still hold the wheels in and friction holds the body up. Roll it both ways, bounce it, and read again; the readings are kept.",
                "Der Wagen wurde nur abgelassen: Die Reifen halten die Räder noch innen, die Reibung hält den Aufbau oben. Vor und zurück rollen, wippen, neu messen; die Messwerte bleiben erhalten.",
            ),
            Self::LoadNotAsListed => language.pick(
                "The van does not carry what the enquiry lists for the ramp: bring list and load together, then read again; the readings are kept.",
                "Der Wagen trägt nicht, was die Anfrage für die Bühne auflistet: Liste und Ladung in Einklang bringen, dann neu messen; die Messwerte bleiben erhalten.",
            ),
            Self::BushesNotReclamped => language.pick(
                "The bushes were not clamped anew at ride height: their twist still holds the van. Clamp them, settle, and read again; the readings are kept.",
                "Die Gummilager wurden nicht in Fahrhöhe neu geklemmt: Ihre Verdrehung hält den Wagen noch. Klemmen, setzen lassen und neu messen; die Messwerte bleiben erhalten.",
            ),
        }
        .to_owned()
    }
}

impl Said for Suspicion {
    fn words(&self, language: Language) -> String {
        match self {
            Self::Exchanged { readings } => {
                let which = match readings {
                    Exchange::FrontLeftAndRight => {
                        language.pick("front left and front right", "vorn links und vorn rechts")
                    }
                    Exchange::RearLeftAndRight => {
                        language.pick("rear left and rear right", "hinten links und hinten rechts")
                    }
                    Exchange::LeftAndRight => language.pick("left and right", "links und rechts"),
                    Exchange::FrontAndRear => language.pick("front and rear", "vorn und hinten"),
                };
                language.pick(
                    format!("the readings of {which} may be exchanged"),
                    format!("die Messwerte {which} sind vielleicht vertauscht"),
                )
            }
            Self::Reading { corner: i, too_high_mm } => {
                let (place, mm) = (corner(language, *i), whole(too_high_mm.abs()));
                let way = if *too_high_mm > 0.0 {
                    language.pick("high", "hoch")
                } else {
                    language.pick("low", "tief")
                };
                language.pick(
                    format!("the {place} reading does not fit the other three, it is {mm} mm too {way}: read it again"),
                    format!("der Messwert {place} passt nicht zu den anderen drei, er ist {mm} mm zu {way}: neu messen"),
                )
            }
            Self::Collar { corner: i, adjuster, higher_mm } => {
                let (place, mm) = (corner(language, *i), whole(higher_mm.abs()));
                let way = if *higher_mm > 0.0 {
                    language.pick("higher", "höher")
                } else {
                    language.pick("lower", "tiefer")
                };
                let (one, the_one) = (adjuster.one(language), adjuster.the_one(language));
                language.pick(
                    format!("the {place} {one} may be {mm} mm {way} than recorded"),
                    format!("{the_one} {place} steht vielleicht {mm} mm {way} als notiert"),
                )
            }
            Self::Spring { corner: i, stiffer_percent } => {
                let (place, percent) = (corner(language, *i), whole(stiffer_percent.abs()));
                let way = if *stiffer_percent > 0.0 {
                    language.pick("stiffer", "härter")
                } else {
                    language.pick("softer", "weicher")
                };
                language.pick(
                    format!("the {place} spring may be wrong or broken: it acts {percent} % {way}"),
                    format!(
                        "die Feder {place} ist vielleicht falsch oder gebrochen: sie wirkt {percent} % {way}"
                    ),
                )
            }
            Self::NoSingleCause => language
                .pick(
                    "no single cause explains it: read again, check parts and load",
                    "keine einzelne Ursache erklärt es: neu messen, Teile und Ladung prüfen",
                )
                .to_owned(),
        }
    }
}

impl Said for Learned {
    fn words(&self, language: Language) -> String {
        match self {
            Self::MostOf { axle: of, cause, variance_fell_percent } => {
                let (place, cause) = (axle(language, *of), cause.words(language));
                let percent = whole(*variance_fell_percent);
                language.pick(
                    format!("{place}: most was learned of {cause} (its variance fell by {percent} %)."),
                    format!("{place}: am meisten gelernt über {cause} (die Varianz fiel um {percent} %)."),
                )
            }
            Self::RatesNotIdentifiable => language
                .pick(
                    "Spring rates are not identifiable from heights at one load: they keep their prior range until read on the bench or at a second load.",
                    "Federraten lassen sich aus Höhen bei einer Last nicht bestimmen: Sie behalten ihre Spanne, bis sie auf der Werkbank oder bei einer zweiten Last gemessen sind.",
                )
                .to_owned(),
        }
    }
}

/// How far readings are from what was expected, and what to do before any collar is turned.
pub fn misfit(language: Language, misfit: &Misfit) -> String {
    let apart = apart(language, misfit);
    language.pick(
        format!(
            "The readings do not fit: {apart}. Look at this before anything is turned; readings that were read again and found right are used with read_twice = true beside each:"
        ),
        format!(
            "Die Messwerte passen nicht: {apart}. Vor jedem Drehen ansehen; Messwerte, die noch einmal gemessen und bestätigt sind, gelten mit read_twice = true bei jedem:"
        ),
    )
}

fn apart(language: Language, misfit: &Misfit) -> String {
    let [fl, fr, rl, rr] = misfit.read_less_expected_mm.map(|mm| signed(language, mm, 0));
    language.pick(
        format!("read less expected is {fl} and {fr} mm front, {rl} and {rr} mm rear (left, right)"),
        format!(
            "gemessen minus erwartet sind {fl} und {fr} mm vorn, {rl} und {rr} mm hinten (links, rechts)"
        ),
    )
}

fn read_twice(language: Language, misfit: &Misfit) -> String {
    let apart = apart(language, misfit);
    let may_be: Vec<String> = misfit.may_be.iter().map(|may_be| may_be.words(language)).collect();
    let may_be = may_be.join("; ");
    language.pick(
        format!("the readings do not fit, but were read a second time and found right, so they are used: {apart}; it may still be that {may_be}"),
        format!("die Messwerte passen nicht, wurden aber ein zweites Mal gemessen und bestätigt und gelten deshalb: {apart}; möglich bleibt: {may_be}"),
    )
}
