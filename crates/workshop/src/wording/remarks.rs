//! Remarks: what must be stopped for, looked at or known.

use serde::Serialize;

use super::{Adjuster, Said, axle, fixed, load_state, plated, says, signed, whole, with_range};
use crate::assembly::AXLE_NAMES;
use crate::facts::Language;
use crate::figure::Figure;
use crate::fitting::RuleSays;
use crate::load_list::LoadState;

/// An axle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Axle {
    /// Front.
    Front,
    /// Rear.
    Rear,
}

impl Axle {
    /// Names in files.
    pub const CHOICES: [(&'static str, Self); 2] = [("front", Self::Front), ("rear", Self::Rear)];

    /// Front and rear by their index.
    pub fn of(index: usize) -> Self {
        if index == 0 { Self::Front } else { Self::Rear }
    }

    /// The same by the name in answers.
    pub fn named(name: &str) -> Self {
        Self::of(usize::from(name == AXLE_NAMES[1]))
    }
}

/// What the statutory plate limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Plate {
    /// Gross mass.
    GrossMass,
    /// Load of the front axle.
    FrontAxle,
    /// Load of the rear axle.
    RearAxle,
}

/// An end of a collar's range.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum CollarEnd {
    /// Lowest position.
    Lowest,
    /// Highest position.
    Highest,
}

/// Why an axle may not stand as low as wished.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(tag = "because", rename_all = "snake_case")]
pub enum KeptHigher {
    /// Springs must stay captive.
    Captive {
        /// Compression at full rebound that must be kept, mm of spring.
        least_mm: f64,
    },
    /// Bump travel must be left.
    TravelToMetal {
        /// Travel that must be left, mm.
        least_mm: f64,
    },
}

/// An axle whose load lies outside what the maker sells a kit's parts for.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OutsideAxleBand {
    /// Axle.
    pub axle: Axle,
    /// Load state.
    pub state: LoadState,
    /// What it carries, kg.
    pub load_kg: f64,
    /// What the parts are sold for: from, kg.
    pub from_kg: f64,
    /// To, kg.
    pub to_kg: f64,
}

/// What a remark means.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Meaning {
    /// A plated limit is passed.
    OverPlate {
        /// Load state.
        state: LoadState,
        /// Which limit.
        plate: Plate,
        /// What is left to the plate, negative, kg.
        left_kg: Figure,
    },
    /// A plated limit may be passed: the loads are not known well enough.
    CloseToPlate {
        /// Load state.
        state: LoadState,
        /// Which limit.
        plate: Plate,
        /// What is left to the plate, kg.
        left_kg: Figure,
    },
    /// A spring comes loose at full rebound.
    SpringNotCaptive {
        /// Axle.
        axle: Axle,
        /// How loose, mm.
        loose_mm: f64,
    },
    /// A spring may come loose at full rebound.
    BarelyCaptive {
        /// Axle.
        axle: Axle,
        /// Compression that is left, mm.
        in_hand_mm: Figure,
    },
    /// Coils touch before anything else ends the travel.
    CoilsTouch {
        /// Axle.
        axle: Axle,
    },
    /// Bump stops are engaged at rest.
    StopsEngaged {
        /// Axle.
        axle: Axle,
        /// Load states in which they are.
        states: Vec<LoadState>,
    },
    /// The rest lies beyond the travel.
    BeyondTravel {
        /// Axle.
        axle: Axle,
    },
    /// Little bump travel to metal is left.
    LittleTravelToMetal {
        /// Axle.
        axle: Axle,
        /// Load state.
        state: LoadState,
        /// What is left, mm.
        left_mm: Figure,
    },
    /// Only a drop is published of the springs.
    DropOnly {
        /// Axle.
        axle: Axle,
        /// Axle load at which the drop is taken to be meant, kg.
        reference_kg: f64,
        /// Its spread; 0 where the maker states it, kg.
        plus_minus_kg: f64,
    },
    /// An axle load lies outside what the parts are sold for.
    OutsideAxleBand(OutsideAxleBand),
    /// A rule puts the kit out.
    OutByRule {
        /// What it says.
        #[serde(flatten)]
        rule: RuleSays,
    },
    /// Weights that do not fit what is known of the van.
    WeightsDoNotFit {
        /// Load state on the scales.
        state: LoadState,
        /// Weighed less expected, kg.
        apart_kg: Vec<f64>,
    },
    /// Arch heights as found that do not fit what is known of the van.
    HeightsDoNotFit {
        /// Found less expected, mm.
        apart_mm: Vec<f64>,
    },
    /// Collars come to an end of their range.
    CollarsAtEnd {
        /// Axle.
        axle: Axle,
        /// What is turned there.
        adjuster: Adjuster,
        /// Which end.
        end: CollarEnd,
    },
    /// Collars are kept higher than wished.
    CollarsKeptHigher {
        /// Axle.
        axle: Axle,
        /// What is turned there.
        adjuster: Adjuster,
        /// Why.
        #[serde(flatten)]
        why: KeptHigher,
    },
    /// Even at the end of their range collars leave too little.
    CollarsEndTooLow {
        /// Axle.
        axle: Axle,
        /// What is turned there.
        adjuster: Adjuster,
        /// Of what.
        #[serde(flatten)]
        why: KeptHigher,
    },
    /// Turning collars up does not help.
    TurningUpGainsNone {
        /// Axle.
        axle: Axle,
        /// What is turned there.
        adjuster: Adjuster,
        /// What it does not help.
        #[serde(flatten)]
        why: KeptHigher,
    },
    /// The aim is on the ramp, and springs settle below it afterwards.
    SettlesBelowTheAim {
        /// Length that new springs lose, mm.
        lost_mm: f64,
    },
    /// Struts could go deeper, if their tubes are open.
    DeeperDependsOnTube {
        /// Axle.
        axle: Axle,
        /// How much deeper, mm.
        up_to_mm: f64,
    },
    /// Nobody measured where fitted collars are.
    CollarsUnmeasured {
        /// Axle.
        axle: Axle,
        /// What is turned there.
        adjuster: Adjuster,
    },
    /// What is fitted is set anew.
    SetAnew,
    /// Air springs have a pressure that the maker does not allow.
    AirPressureBeyond {
        /// Axle.
        axle: Axle,
        /// Load state.
        state: LoadState,
        /// Their pressure there, bar.
        pressure_bar: f64,
        /// The limit that it passes, bar.
        limit_bar: f64,
    },
    /// An axle misses the aim.
    MissesAim {
        /// Axle.
        axle: Axle,
        /// By how much, mm.
        miss_mm: Figure,
    },
    /// An axle cannot be adjusted.
    NotAdjustable {
        /// Axle.
        axle: Axle,
        /// Mean arch height that it will have in the aimed state, mm.
        arch_height_mm: Figure,
    },
}

impl Meaning {
    /// Whether two remarks speak of the same limit of the plate or of travel, whatever their figures.
    pub fn same_limit(&self, other: &Self) -> bool {
        match (self, other) {
            (
                Self::OverPlate { state, plate, .. },
                Self::OverPlate { state: other_state, plate: other_plate, .. },
            ) => state == other_state && plate == other_plate,
            (Self::SpringNotCaptive { axle, .. }, Self::SpringNotCaptive { axle: other, .. })
            | (Self::BeyondTravel { axle }, Self::BeyondTravel { axle: other }) => axle == other,
            _ => false,
        }
    }
}

impl Said for KeptHigher {
    fn words(&self, language: Language) -> String {
        let (Self::Captive { least_mm } | Self::TravelToMetal { least_mm }) = self;
        let mm = whole(*least_mm);
        match (self, language) {
            (Self::Captive { .. }, Language::English) => {
                format!("the springs must stay captive by {mm} mm at full rebound")
            }
            (Self::Captive { .. }, Language::German) => {
                format!("ganz ausgefedert müssen die Federn noch um {mm} mm gespannt sein")
            }
            (Self::TravelToMetal { .. }, Language::English) => {
                format!("{mm} mm of bump travel to metal must be left")
            }
            (Self::TravelToMetal { .. }, Language::German) => {
                format!("{mm} mm Einfederweg bis Metall müssen bleiben")
            }
        }
    }
}

impl Said for OutsideAxleBand {
    fn words(&self, language: Language) -> String {
        let state = load_state(language, self.state);
        let (load, from, to) = (whole(self.load_kg), whole(self.from_kg), whole(self.to_kg));
        let place = axle(language, self.axle);
        match language {
            Language::English => format!(
                "{state}: the {place} axle carries {load} kg, the maker sells the parts for {from} to {to} kg"
            ),
            Language::German => format!(
                "{state}: die Achse {place} trägt {load} kg, der Hersteller bietet die Teile für {from} bis {to} kg an"
            ),
        }
    }
}

impl Said for Meaning {
    fn words(&self, language: Language) -> String {
        match self {
            Self::OverPlate { state, plate, left_kg } => over_plate(language, *state, *plate, left_kg),
            Self::CloseToPlate { state, plate, left_kg } => {
                let (state, plate) = (load_state(language, *state), plated(language, *plate));
                let kg = whole(left_kg.value);
                language.pick(
                    format!(
                        "{state}: only {kg} kg below the {plate}, and the loads are not known that well: weigh it"
                    ),
                    format!(
                        "{state}: nur {kg} kg bis zur Grenze ({plate}), und so genau sind die Lasten nicht bekannt: wiegen"
                    ),
                )
            }
            Self::SpringNotCaptive { axle: of, loose_mm } => {
                let (place, mm) = (axle(language, *of), whole(*loose_mm));
                language.pick(
                    format!("{place}: the spring is not captive, {mm} mm loose at full rebound; it can leave its seats"),
                    format!("{place}: die Feder ist ganz ausgefedert nicht gehalten, {mm} mm lose; sie kann aus ihren Tellern springen"),
                )
            }
            Self::BarelyCaptive { axle: of, in_hand_mm } => {
                let (place, mm) = (axle(language, *of), with_range(language, in_hand_mm, "mm", 0));
                language.pick(
                    format!("{place}: the spring is captive by only {mm}"),
                    format!("{place}: die Feder ist ganz ausgefedert nur noch um {mm} gespannt"),
                )
            }
            Self::CoilsTouch { axle: of } => {
                let place = axle(language, *of);
                language.pick(
                    format!("{place}: the coils touch before stop or damper end the travel"),
                    format!(
                        "{place}: die Windungen liegen an, bevor Puffer oder Dämpfer den Federweg beenden"
                    ),
                )
            }
            Self::StopsEngaged { axle: of, states } => {
                let states: Vec<&str> = states.iter().map(|&state| load_state(language, state)).collect();
                let (place, states) = (axle(language, *of), states.join(", "));
                language.pick(
                    format!("{place}: the bump stops are engaged at rest {states}"),
                    format!("{place}: die Anschlagpuffer liegen im Stand schon an: {states}"),
                )
            }
            Self::BeyondTravel { axle: of } => {
                let place = axle(language, *of);
                language.pick(
                    format!("{place}: the van would rest beyond the travel that damper, stop and linkage allow"),
                    format!("{place}: der Wagen stünde jenseits des Federwegs, den Dämpfer, Puffer und Lenker zulassen"),
                )
            }
            Self::LittleTravelToMetal { axle: of, state, left_mm } => {
                let (place, state) = (axle(language, *of), load_state(language, *state));
                let mm = with_range(language, left_mm, "mm", 0);
                language.pick(
                    format!("{place}: only {mm} of bump travel to metal {state}"),
                    format!("{place}: {state} nur {mm} Einfederweg bis Metall"),
                )
            }
            Self::DropOnly { axle: of, reference_kg, plus_minus_kg } => {
                drop_only(language, *of, *reference_kg, *plus_minus_kg)
            }
            Self::OutsideAxleBand(outside) => outside.words(language),
            Self::OutByRule { rule } => {
                let rule = says(language, rule);
                language.pick(format!("this kit is out: {rule}"), format!("dieser Satz scheidet aus: {rule}"))
            }
            Self::WeightsDoNotFit { state, apart_kg } => {
                let (state, apart) = (load_state(language, *state), list_apart(language, apart_kg));
                language.pick(
                    format!("the weights {state} do not fit load list and sheet: weighed less expected {apart} kg; weigh again or mend the list, nothing was learned from them"),
                    format!("die Gewichte ({state}) passen nicht zu Ladeliste und Datenblatt: gewogen minus erwartet {apart} kg; neu wiegen oder die Liste berichtigen, aus ihnen wurde nichts gelernt"),
                )
            }
            Self::HeightsDoNotFit { apart_mm } => {
                let apart = list_apart(language, apart_mm);
                language.pick(
                    format!("the arch heights as found do not fit the van as described: found less expected {apart} mm (front left, front right, rear left, rear right); read again, look for a wrong or broken spring, nothing was learned from them"),
                    format!("die Radlaufhöhen im Anlieferzustand passen nicht zum Wagen, wie er beschrieben ist: gemessen minus erwartet {apart} mm (vorn links, vorn rechts, hinten links, hinten rechts); neu messen, nach falscher oder gebrochener Feder sehen, aus ihnen wurde nichts gelernt"),
                )
            }
            Self::CollarsAtEnd { axle: of, adjuster, end } => {
                let place = axle(language, *of);
                let end = match end {
                    CollarEnd::Lowest => language.pick("lowest", "unteren"),
                    CollarEnd::Highest => language.pick("highest", "oberen"),
                };
                let turned = adjuster.many(language);
                language.pick(
                    format!("{place}: the {turned} are at the {end} end of their range"),
                    format!("{place}: die {turned} stehen am {end} Ende ihres Bereichs"),
                )
            }
            Self::CollarsKeptHigher { axle: of, adjuster, why } => {
                let (place, why) = (axle(language, *of), why.words(language));
                let turned = adjuster.many(language);
                language.pick(
                    format!("{place}: the {turned} are kept higher than wished: {why}"),
                    format!("{place}: die {turned} bleiben höher als gewünscht: {why}"),
                )
            }
            Self::CollarsEndTooLow { axle: of, adjuster, why } => {
                let (place, why) = (axle(language, *of), why.words(language));
                let turned = adjuster.many(language);
                language.pick(
                    format!(
                        "{place}: even at the highest end of their range the {turned} leave too little: {why}"
                    ),
                    format!(
                        "{place}: auch am oberen Ende ihres Bereichs lassen die {turned} zu wenig: {why}"
                    ),
                )
            }
            Self::TurningUpGainsNone { axle: of, adjuster, why } => {
                let (place, why) = (axle(language, *of), why.words(language));
                let turned = adjuster.many(language);
                language.pick(
                    format!("{place}: {why}; turning the {turned} up gains none"),
                    format!("{place}: {why}; die {turned} höher zu drehen bringt nichts"),
                )
            }
            Self::SettlesBelowTheAim { lost_mm } => {
                let mm = fixed(language, *lost_mm, 1);
                language.pick(
                    format!("the aim is what is read on the ramp; the {mm} mm of length that new springs lose in their first weeks are not allowed for"),
                    format!("das Ziel ist, was auf der Bühne gemessen wird; die {mm} mm Länge, die neue Federn in den ersten Wochen verlieren, sind nicht eingerechnet"),
                )
            }
            Self::DeeperDependsOnTube { axle: of, up_to_mm } => {
                let (place, mm) = (axle(language, *of), whole(*up_to_mm));
                language.pick(
                    format!("{place}: the struts could go up to {mm} mm deeper; it depends on whether their tubes end in a stop, which is not known"),
                    format!("{place}: die Federbeine könnten bis {mm} mm tiefer sitzen; das hängt davon ab, ob ihre Rohre an einem Anschlag enden, und das ist nicht bekannt"),
                )
            }
            Self::CollarsUnmeasured { axle: of, adjuster } => {
                let (place, turned) = (axle(language, *of), adjuster.many(language));
                language.pick(
                    format!("{place}: nobody measured where the fitted {turned} are, so they are taken at the middle of their range: measure them from the datum, and turn from there"),
                    format!("{place}: niemand hat gemessen, wo die verbauten {turned} stehen, deshalb gelten sie als in der Mitte ihres Bereichs: ab der Bezugsfläche messen und von dort drehen"),
                )
            }
            Self::SetAnew => language
                .pick(
                    "what is fitted is set anew: turns count from where it stands now",
                    "was verbaut ist, wird neu eingestellt: Umdrehungen zählen von der jetzigen Stellung",
                )
                .to_owned(),
            Self::AirPressureBeyond { axle: of, state, pressure_bar, limit_bar } => {
                let (place, state) = (axle(language, *of), load_state(language, *state));
                let (bar, limit) = (fixed(language, *pressure_bar, 1), fixed(language, *limit_bar, 1));
                let side = if pressure_bar < limit_bar {
                    language.pick("below the least", "unter den mindestens erlaubten")
                } else {
                    language.pick("above the greatest", "über den höchstens erlaubten")
                };
                language.pick(
                    format!("{place}: {state} the air springs have {bar} bar, {side} of {limit} bar that the maker allows; set them again there"),
                    format!("{place}: {state} haben die Luftfedern {bar} bar, {side} {limit} bar des Herstellers; dort neu einstellen"),
                )
            }
            Self::MissesAim { axle: of, miss_mm } => {
                let (place, mm) = (axle(language, *of), with_range(language, miss_mm, "mm", 0));
                language.pick(
                    format!("{place}: misses the aim by {mm}"),
                    format!("{place}: verfehlt das Ziel um {mm}"),
                )
            }
            Self::NotAdjustable { axle: of, arch_height_mm } => {
                let (place, mm) = (axle(language, *of), with_range(language, arch_height_mm, "mm", 0));
                language.pick(
                    format!("{place}: not adjustable, will be {mm} at the arch"),
                    format!("{place}: nicht verstellbar, wird am Radlauf {mm} haben"),
                )
            }
        }
    }
}

fn over_plate(language: Language, state: LoadState, plate: Plate, left_kg: &Figure) -> String {
    let (state, plate) = (load_state(language, state), plated(language, plate));
    let (over, least, most) = (whole(-left_kg.value), whole(-left_kg.high), whole(-left_kg.low));
    language.pick(
        format!("{state}: over the {plate} by {over} kg ({least} to {most}); no kit changes the plate"),
        format!(
            "{state}: {plate} um {over} kg überschritten ({least} bis {most}); daran ändert kein Satz etwas"
        ),
    )
}

fn drop_only(language: Language, of: Axle, reference_kg: f64, plus_minus_kg: f64) -> String {
    let place = axle(language, of);
    let (reference, spread) = (whole(reference_kg), whole(plus_minus_kg));
    let stated = plus_minus_kg <= 0.0;
    match language {
        Language::English => {
            let meant = if stated {
                format!("meant at {reference} kg")
            } else {
                format!("no load is stated with it: taken at {reference} ± {spread} kg")
            };
            format!(
                "{place}: the maker publishes only a drop ({meant}); rate and length are assumed, so no captive, coil-bind or comfort figure is given"
            )
        }
        Language::German => {
            let meant = if stated {
                format!("gemeint bei {reference} kg")
            } else {
                format!("ohne Lastangabe: angenommen bei {reference} ± {spread} kg")
            };
            format!(
                "{place}: der Hersteller nennt nur eine Tieferlegung ({meant}); Rate und Länge sind angenommen, deshalb keine Angabe zu Restspannung, Blockmaß und Komfort"
            )
        }
    }
}

pub(super) fn list_apart(language: Language, apart: &[f64]) -> String {
    let parts: Vec<String> = apart.iter().map(|&difference| signed(language, difference, 0)).collect();
    parts.join(language.pick(", ", "; "))
}
