//! What widens a range, and what would narrow it.

use serde::Serialize;

use super::{Adjuster, Axle, axle, corner};
use crate::belief::Origin;
use crate::facts::Language;
use crate::wording::Said;

/// Springs, stops or dampers of an axle and where they come from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Springs {
    /// Axle.
    pub axle: Axle,
    /// Where they come from.
    pub origin: Origin,
}

/// What is uncertain.
#[derive(Debug, Clone, PartialEq)]
pub enum Cause {
    /// Mass that nobody listed.
    UnlistedMass(Axle),
    /// Loose things that nobody listed, another lot in every load state.
    LooseThings(Axle),
    /// Wheel-arch lip of a corner, 0 to 3.
    ArchLip(usize),
    /// Height of the centre of gravity.
    CentreOfGravityHeight,
    /// Spring travel per wheel travel.
    MotionRatio(Axle),
    /// Rate of the tyres.
    TyreRate(Axle),
    /// Radius of the unloaded tyres.
    TyreRadius(Axle),
    /// Rate of the bushes.
    BushRate(Axle),
    /// Anti-roll bar.
    AntiRollBar(Axle),
    /// Mass of a listed item.
    MassOf(String),
    /// Stiffness of bump stops.
    StopStiffness(Springs),
    /// Height of bump stops.
    StopHeight(Springs),
    /// Gas force of dampers.
    GasForce(Springs),
    /// Length of dampers.
    DamperLength(Springs),
    /// Settling of new springs.
    Settling(Springs),
    /// Rate of springs of which only a drop is published.
    UnpublishedRate(Springs),
    /// Published drop.
    PublishedDrop(Springs),
    /// Axle load at which the published drop is meant.
    ReferenceLoad(Springs),
    /// Sag of used springs.
    Sag(Springs),
    /// Rate of springs.
    SpringRate(Springs),
    /// Free length of springs.
    FreeLength(Springs),
    /// Height at which the bushes were clamped.
    BushClamp(Axle),
    /// Rate of added leaves.
    AddedLeafRate(Springs),
    /// Camber at which added leaves are touched.
    AddedLeafTouch(Springs),
    /// Height of blocks.
    BlockHeight(Springs),
    /// Pressure of air springs.
    AirPressure(Springs),
    /// Position of collars or adjusting bolts.
    CollarPosition(Springs, Adjuster),
    /// Damper force of a series against its maker's curve, or against dampers of the class.
    DampingForce(Springs),
    /// Force that used dampers have lost.
    DamperWear(Axle),
    /// Dry friction.
    DryFriction(Axle),
    /// Moments of inertia.
    Inertia,
}

/// What would narrow a range.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Remedy {
    /// Weigh the axles.
    WeighTheAxles,
    /// Weigh the axles in this load state.
    WeighInThisState,
    /// Measure the arch heights as found.
    MeasureAsFound,
    /// Note the height of heavy items.
    NoteHeights,
    /// Jack the wheel and measure.
    JackTheWheel,
    /// Measure the loaded radius at two loads.
    LoadedRadius,
    /// Measure the unloaded radius.
    UnloadedRadius,
    /// Re-clamp the bushes.
    ReclampBushes,
    /// Measure the bar's diameter.
    BarDiameter,
    /// Weigh the item.
    WeighIt,
    /// Measure the part on the bench.
    PartOnTheBench,
    /// Read the heights again at the re-check.
    ReadAtRecheck,
    /// Read the springs on the bench.
    SpringsOnTheBench,
    /// Ask the maker for the reference load.
    AskReferenceLoad,
    /// Measure the arch heights as found, and weigh.
    MeasureAndWeigh,
    /// Measure the position from the datum.
    MeasureFromDatum,
    /// Measure the position again.
    MeasureCollar,
    /// Have the damper measured on a dynamometer, or ask for its curve.
    DamperCurve,
    /// Weigh and place what is carried.
    WeighAndPlace,
}

/// `the fitted front` or `vorn, verbaut`.
fn whose(language: Language, of: &Springs, english: &str, german: &str) -> String {
    let place = axle(language, of.axle);
    match language {
        Language::English => {
            let whose = match of.origin {
                Origin::Fitted => "the fitted",
                Origin::Kit => "the kit's",
                Origin::AsNew => "new original",
            };
            format!("{whose} {place} {english}")
        }
        Language::German => {
            let whose = match of.origin {
                Origin::Fitted => "verbaute",
                Origin::Kit => "aus dem Satz",
                Origin::AsNew => "neue Serie",
            };
            format!("{german} {place} ({whose})")
        }
    }
}

impl Cause {
    /// Whether it is the settling of new springs.
    pub fn is_settling(&self) -> bool {
        matches!(self, Self::Settling(_))
    }
}

impl Said for Cause {
    fn words(&self, language: Language) -> String {
        let at = |of: &Axle| axle(language, *of);
        let springs = |of: &Springs| whose(language, of, "springs", "Federn");
        let stops = |of: &Springs| whose(language, of, "bump stops", "Anschlagpuffer");
        let dampers = |of: &Springs| whose(language, of, "dampers", "Dämpfer");
        let plain = |english: String, german: String| language.pick(english, german);
        match self {
            Self::UnlistedMass(of) => {
                plain(format!("mass nobody listed, {}", at(of)), format!("nicht gelistete Masse {}", at(of)))
            }
            Self::LooseThings(of) => plain(
                format!("loose things nobody listed, {}", at(of)),
                format!("nicht gelistete lose Dinge {}", at(of)),
            ),
            Self::ArchLip(i) => {
                let place = corner(language, *i);
                plain(format!("wheel-arch lip, {place}"), format!("Radlaufkante {place}"))
            }
            Self::CentreOfGravityHeight => {
                plain("height of the centre of gravity".into(), "Höhe des Schwerpunkts".into())
            }
            Self::MotionRatio(of) => {
                plain(format!("{} motion ratio", at(of)), format!("Federübersetzung {}", at(of)))
            }
            Self::TyreRate(of) => plain(format!("{} tyre rate", at(of)), format!("Reifenrate {}", at(of))),
            Self::TyreRadius(of) => {
                plain(format!("{} tyre radius", at(of)), format!("Reifenhalbmesser {}", at(of)))
            }
            Self::BushRate(of) => {
                plain(format!("{} bush rate", at(of)), format!("Rate der Gummilager {}", at(of)))
            }
            Self::AntiRollBar(of) => {
                plain(format!("{} anti-roll bar", at(of)), format!("Stabilisator {}", at(of)))
            }
            Self::MassOf(name) => plain(format!("mass of {name}"), format!("Masse: {name}")),
            Self::StopStiffness(of) => {
                let of = stops(of);
                plain(format!("stiffness of {of}"), format!("Steifigkeit: {of}"))
            }
            Self::StopHeight(of) => {
                let of = stops(of);
                plain(format!("height of {of}"), format!("Höhe: {of}"))
            }
            Self::GasForce(of) => {
                let of = dampers(of);
                plain(format!("gas force of {of}"), format!("Gaskraft: {of}"))
            }
            Self::DamperLength(of) => {
                let of = dampers(of);
                plain(format!("length of {of}"), format!("Länge: {of}"))
            }
            Self::Settling(of) => {
                let of = springs(of);
                plain(format!("settling of {of}"), format!("Setzen: {of}"))
            }
            Self::UnpublishedRate(of) => {
                let of = springs(of);
                plain(
                    format!("rate of {of}, of which only a drop is published"),
                    format!("Federrate: {of}, veröffentlicht ist nur eine Tieferlegung"),
                )
            }
            Self::PublishedDrop(of) => {
                let of = springs(of);
                plain(format!("published drop of {of}"), format!("veröffentlichte Tieferlegung: {of}"))
            }
            Self::ReferenceLoad(of) => {
                let of = springs(of);
                plain(
                    format!("axle load at which the drop of {of} is meant"),
                    format!("Achslast, bei der die Tieferlegung gemeint ist: {of}"),
                )
            }
            Self::Sag(of) => {
                let of = springs(of);
                plain(format!("sag of {of}"), format!("Ermüdung: {of}"))
            }
            Self::SpringRate(of) => {
                let of = springs(of);
                plain(format!("rate of {of}"), format!("Federrate: {of}"))
            }
            Self::FreeLength(of) => {
                let of = springs(of);
                plain(format!("free length of {of}"), format!("ungespannte Länge: {of}"))
            }
            Self::BushClamp(of) => plain(
                format!("height at which the {} bushes were clamped", at(of)),
                format!("Höhe, in der die Gummilager {} geklemmt wurden", at(of)),
            ),
            Self::AddedLeafRate(of) => {
                let of = whose(language, of, "added leaves", "Zusatzblätter");
                plain(format!("rate of {of}"), format!("Federrate: {of}"))
            }
            Self::AddedLeafTouch(of) => {
                let of = whose(language, of, "added leaves", "Zusatzblätter");
                plain(format!("camber at which {of} are touched"), format!("Pfeilhöhe beim Anliegen: {of}"))
            }
            Self::BlockHeight(of) => {
                let of = whose(language, of, "blocks", "Klötze");
                plain(format!("height of {of}"), format!("Höhe: {of}"))
            }
            Self::AirPressure(of) => {
                let of = whose(language, of, "air springs", "Luftfedern");
                plain(format!("pressure of {of}"), format!("Druck: {of}"))
            }
            Self::CollarPosition(of, adjuster) => {
                let [english, german] = [Language::English, Language::German].map(|l| adjuster.many(l));
                let of = whose(language, of, english, german);
                plain(format!("position of {of}"), format!("Stellung: {of}"))
            }
            Self::DampingForce(of) => {
                let of = dampers(of);
                plain(format!("force of {of}"), format!("Dämpferkraft: {of}"))
            }
            Self::DamperWear(of) => {
                plain(format!("wear of the {} dampers", at(of)), format!("Verschleiß der Dämpfer {}", at(of)))
            }
            Self::DryFriction(of) => {
                plain(format!("{} dry friction", at(of)), format!("Trockenreibung {}", at(of)))
            }
            Self::Inertia => plain("moments of inertia".into(), "Trägheitsmomente".into()),
        }
    }
}

impl Said for Remedy {
    fn words(&self, language: Language) -> String {
        let words =
            match self {
                Self::WeighTheAxles => language.pick("weigh the axles", "Achsen wiegen"),
                Self::WeighInThisState => {
                    language.pick("weigh the axles in this load state", "Achsen in diesem Ladezustand wiegen")
                }
                Self::MeasureAsFound => language
                    .pick("measure the arch heights as found", "Radlaufhöhen im Anlieferzustand messen"),
                Self::NoteHeights => {
                    language.pick("note the height of heavy items", "Höhe schwerer Gegenstände notieren")
                }
                Self::JackTheWheel => language.pick(
                    "jack the wheel and measure the spring's travel",
                    "Rad anheben und den Weg der Feder messen",
                ),
                Self::LoadedRadius => language.pick(
                    "measure the loaded radius at two loads",
                    "belasteten Halbmesser bei zwei Lasten messen",
                ),
                Self::UnloadedRadius => {
                    language.pick("measure the unloaded radius", "unbelasteten Halbmesser messen")
                }
                Self::ReclampBushes => {
                    language.pick("re-clamp the bushes at ride height", "Gummilager in Fahrhöhe neu klemmen")
                }
                Self::BarDiameter => {
                    language.pick("measure the bar's diameter", "Durchmesser des Stabilisators messen")
                }
                Self::WeighIt => language.pick("weigh it", "wiegen"),
                Self::PartOnTheBench => {
                    language.pick("measure the part on the bench", "Teil auf der Werkbank messen")
                }
                Self::ReadAtRecheck => language.pick(
                    "read the heights again at the re-check",
                    "Höhen bei der Nachkontrolle noch einmal messen",
                ),
                Self::SpringsOnTheBench => {
                    language.pick("read the springs on the bench", "Federn auf der Werkbank messen")
                }
                Self::AskReferenceLoad => language
                    .pick("ask the maker for the reference load", "Hersteller nach der Bezugslast fragen"),
                Self::MeasureAndWeigh => language.pick(
                    "measure the arch heights as found, and weigh",
                    "Radlaufhöhen im Anlieferzustand messen und wiegen",
                ),
                Self::MeasureFromDatum => language
                    .pick("measure the position from the datum", "Stellung ab der Bezugsfläche messen"),
                Self::MeasureCollar => language.pick("measure the position again", "Stellung nachmessen"),
                Self::DamperCurve => language.pick(
                    "have the dampers measured, or ask the maker for their curve",
                    "Dämpfer messen lassen oder den Hersteller nach der Kennlinie fragen",
                ),
                Self::WeighAndPlace => language.pick(
                    "state the moments of inertia in the vehicle sheet",
                    "Trägheitsmomente ins Fahrzeugblatt eintragen",
                ),
            };
        words.to_owned()
    }
}
