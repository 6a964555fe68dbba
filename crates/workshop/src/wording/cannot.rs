//! Why a van cannot be computed: what was being done, and what stood in the way.

use mechanics::elements::ElementFault;
use mechanics::linkage::{HardpointError, LinkageLocks, LockReason};
use mechanics::statics::NoRest;

use super::{Axle, Said, axle, fixed, load_state, whole};
use crate::assembly::CannotStand;
use crate::facts::Language;
use crate::load_list::LoadState;

/// What was being done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Doing {
    /// Looking up vehicle sheet and grade.
    LookingUp,
    /// Building an axle of a vehicle sheet.
    BuildingAxle(Axle, String),
    /// Standing a vehicle sheet on its original springs.
    StandingOnOriginals(String),
    /// Finding free lengths that give stated heights.
    FindingFreeLengths,
    /// Fitting the parts of an axle of a kit.
    Fitting(Axle, String),
    /// Placing the published drop of a kit.
    PlacingDrop(String),
    /// Finding the rest in a load state.
    FindingRest(LoadState),
    /// Clamping the bushes.
    ClampingBushes,
    /// Learning from a reading.
    Learning,
    /// Holding readings against what was expected.
    HoldingReadings,
}

/// What stood in the way.
#[derive(Debug, Clone, PartialEq)]
pub enum Obstacle {
    /// No such vehicle sheet or grade.
    NotListed,
    /// The van finds no rest.
    NoRest(NoRest),
    /// A linkage locks.
    Locks(LinkageLocks),
    /// Points that make no suspension.
    Points(HardpointError),
    /// A part that cannot be as described.
    Part(ElementFault),
    /// No springs bring stated arch heights, front and rear, mm.
    NoSprings([f64; 2]),
    /// At the stated arch height the wheel stands beyond its travel, mm.
    BeyondTravel {
        /// Axle.
        axle: Axle,
        /// Arch height.
        arch_mm: f64,
        /// Bump travel from design height.
        travel_mm: f64,
    },
    /// The stated arch height needs a spring of absurd length, mm.
    SpringTooLong {
        /// Axle.
        axle: Axle,
        /// Arch height.
        arch_mm: f64,
        /// Free length.
        length_mm: f64,
    },
    /// A coil spring for an axle on torsion bars.
    OnTorsionBars,
    /// Torsion bars for an axle without.
    NoTorsionBars,
    /// Work on leaves of an axle without.
    NoLeaves,
    /// Readings that contradict each other exactly.
    Contradiction,
    /// Readings without a positive spread.
    NoSpread,
    /// Something that itself could not be done.
    Within(Box<CannotStand>),
}

impl From<NoRest> for Obstacle {
    fn from(why: NoRest) -> Self {
        Self::NoRest(why)
    }
}

impl From<LinkageLocks> for Obstacle {
    fn from(why: LinkageLocks) -> Self {
        Self::Locks(why)
    }
}

impl From<HardpointError> for Obstacle {
    fn from(why: HardpointError) -> Self {
        Self::Points(why)
    }
}

impl From<ElementFault> for Obstacle {
    fn from(why: ElementFault) -> Self {
        Self::Part(why)
    }
}

impl From<CannotStand> for Obstacle {
    fn from(why: CannotStand) -> Self {
        Self::Within(Box::new(why))
    }
}

impl Said for CannotStand {
    fn words(&self, language: Language) -> String {
        format!("{}: {}", self.doing.words(language), self.because.words(language))
    }
}

impl Said for Doing {
    fn words(&self, language: Language) -> String {
        match self {
            Self::LookingUp => language.pick("looking up the van", "Suche nach dem Wagen").to_owned(),
            Self::BuildingAxle(of, sheet) => {
                let place = axle(language, *of);
                language.pick(
                    format!("building the {place} axle of {sheet}"),
                    format!("Aufbau der Achse {place} von {sheet}"),
                )
            }
            Self::StandingOnOriginals(sheet) => language.pick(
                format!("standing {sheet} in running order on its original springs"),
                format!("{sheet} fahrbereit auf seinen Serienfedern"),
            ),
            Self::FindingFreeLengths => language
                .pick(
                    "finding the free lengths that give the stated heights",
                    "Suche nach Federlängen für die angegebenen Höhen",
                )
                .to_owned(),
            Self::Fitting(of, kit) => {
                let place = axle(language, *of);
                language.pick(
                    format!("fitting the {place} parts of {kit}"),
                    format!("Einbau der Teile {place} von {kit}"),
                )
            }
            Self::PlacingDrop(kit) => language.pick(
                format!("placing the published drop of {kit}"),
                format!("veröffentlichte Tieferlegung von {kit}"),
            ),
            Self::FindingRest(state) => {
                let state = load_state(language, *state);
                language.pick(
                    format!("finding the rest of the van {state}"),
                    format!("Suche nach der Ruhelage, {state}"),
                )
            }
            Self::ClampingBushes => language
                .pick("clamping the bushes at ride height", "Klemmen der Gummilager in Fahrhöhe")
                .to_owned(),
            Self::Learning => {
                language.pick("learning from a reading", "Lernen aus einem Messwert").to_owned()
            }
            Self::HoldingReadings => language
                .pick(
                    "holding the readings against what was expected",
                    "Vergleich der Messwerte mit der Erwartung",
                )
                .to_owned(),
        }
    }
}

impl Said for Obstacle {
    fn words(&self, language: Language) -> String {
        match self {
            Self::NotListed => language
                .pick("no such vehicle sheet or grade", "kein solches Datenblatt oder keine solche Variante")
                .to_owned(),
            Self::NoRest(why) => no_rest(language, why),
            Self::Locks(why) => {
                let (mm, reason) =
                    (fixed(language, 1e3 * why.travel_m, 1), lock_reason(language, why.reason));
                language.pick(
                    format!("at {mm} mm of wheel travel {reason}"),
                    format!("bei {mm} mm Radweg: {reason}"),
                )
            }
            Self::Points(why) => points(language, why),
            Self::Part(why) => part(language, why),
            Self::NoSprings(heights_mm) => {
                let [front, rear] = heights_mm.map(whole);
                language.pick(
                    format!("no springs bring the arch heights to {front} mm front and {rear} mm rear"),
                    format!("keine Federn bringen die Radlaufhöhen auf {front} mm vorn und {rear} mm hinten"),
                )
            }
            Self::BeyondTravel { axle: of, arch_mm, travel_mm } => {
                let (place, arch, travel) = (axle(language, *of), whole(*arch_mm), whole(*travel_mm));
                language.pick(
                    format!("at the {place} arch height of {arch} mm the wheel would stand {travel} mm of bump travel from design height, beyond what stop, damper and linkage allow"),
                    format!("bei {arch} mm Radlaufhöhe {place} stünde das Rad {travel} mm eingefedert gegenüber der Konstruktionslage, weiter, als Puffer, Dämpfer und Kinematik zulassen"),
                )
            }
            Self::SpringTooLong { axle: of, arch_mm, length_mm } => {
                let (place, arch, length) = (axle(language, *of), whole(*arch_mm), whole(*length_mm));
                language.pick(
                    format!("the {place} arch height of {arch} mm would need a spring {length} mm long"),
                    format!("{arch} mm Radlaufhöhe {place} bräuchten eine {length} mm lange Feder"),
                )
            }
            Self::OnTorsionBars => language
                .pick("the axle is sprung by torsion bars", "die Achse ist mit Drehstäben gefedert")
                .to_owned(),
            Self::NoTorsionBars => {
                language.pick("the axle has no torsion bars", "die Achse hat keine Drehstäbe").to_owned()
            }
            Self::NoLeaves => {
                language.pick("the axle has no leaf springs", "die Achse hat keine Blattfedern").to_owned()
            }
            Self::Contradiction => language
                .pick(
                    "the readings contradict each other exactly",
                    "die Messwerte widersprechen einander genau",
                )
                .to_owned(),
            Self::NoSpread => {
                language.pick("their spread is not positive", "ihre Streuung ist nicht positiv").to_owned()
            }
            Self::Within(why) => why.words(language),
        }
    }
}

fn no_rest(language: Language, why: &NoRest) -> String {
    match why {
        NoRest::NotBalanced { force_n, travel_m, .. } => {
            let force = whole(*force_n);
            let travels: Vec<String> = travel_m.iter().map(|m| whole(1e3 * m)).collect();
            let travels = travels.join(language.pick(", ", "; "));
            language.pick(
                format!("the van finds no rest: {force} N remain out of balance, at corner travels of {travels} mm"),
                format!("der Wagen findet keine Ruhelage: {force} N bleiben unausgeglichen, bei Radwegen von {travels} mm"),
            )
        }
        NoRest::NotFinite => language
            .pick(
                "the van cannot be computed: a quantity is not a finite number",
                "der Wagen lässt sich nicht rechnen: eine Größe ist keine endliche Zahl",
            )
            .to_owned(),
    }
}

/// What stops a linkage.
pub fn lock_reason(language: Language, reason: LockReason) -> String {
    let german = match reason {
        LockReason::TieRodCannotSpan => "die Spurstange reicht nicht",
        LockReason::StrutCannotSpan => "das Federbein reicht nicht",
        LockReason::UpperArmCannotSpan => "der obere Lenker reicht nicht",
        LockReason::ArmOverTop => "der Lenker steht über seinem Scheitel",
        LockReason::DropLinkCannotSpan => "die Koppelstange reicht nicht",
        LockReason::ShackleCannotFollow => "der Schäkel kann dem Blatt nicht folgen",
        LockReason::LinksCannotSpan => "die Lenker reichen nicht",
        LockReason::Indefinite => "die Kinematik hat keine bestimmte Lage",
        LockReason::BeyondSearch => "der Weg liegt jenseits der 0,3 m, die betrachtet werden",
    };
    language.pick(reason.to_string(), german.to_owned())
}

/// Points and measures keep the names that they have in the sheet.
fn points(language: Language, why: &HardpointError) -> String {
    let german = match why {
        HardpointError::PointOutOfRange { name } => {
            format!("{name} ist kein Punkt im Umkreis von 20 m um die Vorderachse")
        }
        HardpointError::Length { name } => format!("{name} ist keine Länge zwischen 1 mm und 20 m"),
        HardpointError::Angle { name } => format!("{name} ist kein Winkel, in dem das Teil stehen kann"),
        HardpointError::WheelAngle => "Sturz oder Spur in Konstruktionslage liegt über 0,5 rad".to_owned(),
        HardpointError::PointsCoincide { first, second } => format!("{first} und {second} fallen zusammen"),
        HardpointError::NotLeftCorner => {
            "die Radmitte liegt nicht links der Mittelebene: gefragt sind die Punkte der linken Ecke".to_owned()
        }
        HardpointError::StrutUpsideDown => {
            "das Domlager liegt entlang der Federbeinachse nicht über dem Traggelenk".to_owned()
        }
        HardpointError::BallJointsUpsideDown => "das obere Traggelenk liegt nicht über dem unteren".to_owned(),
        HardpointError::NoLeverage { rod } => format!("{rod} zeigt auf die Achse, um die es drehen soll"),
        HardpointError::ArmDoesNotLiftWheel => "Drehen des Lenkers hebt das Rad nicht".to_owned(),
        HardpointError::LocksAtDesign(reason) => {
            format!("in Konstruktionslage: {}", lock_reason(Language::German, *reason))
        }
        HardpointError::LeafOutOfOrder => {
            "das Blatt läuft nicht von front_eye über seat zurück zu rear_eye".to_owned()
        }
        HardpointError::BarBesideTwistBeam => {
            "ein Stabilisator mit Koppelstangen passt nicht zur Verbundlenkerachse: die Rate eines Stabilisators im Querträger gehört zu deren Rate".to_owned()
        }
        HardpointError::LinksDoNotLocate => "die Lenker legen die Achse nicht fest".to_owned(),
        HardpointError::Ratio { name } => format!(
            "die Tabelle {name} braucht 2 bis 8 Punkte mit steigendem Weg und Übersetzungen über 0 bis 5"
        ),
        HardpointError::ArmUnknown { name } => {
            format!("{name} auf dem Lenker braucht dessen Länge und Winkel")
        }
    };
    language.pick(why.to_string(), german)
}

/// Quantities keep the names that they have in the message of the part.
fn part(language: Language, why: &ElementFault) -> String {
    let number = |value: f64| fixed(Language::German, value, 4);
    let german = match why {
        ElementFault::NotPositive { quantity, found } => {
            format!("{quantity} muss positiv sein, gefunden {}", number(*found))
        }
        ElementFault::TableNotRising { table } => {
            format!("{table} braucht mindestens zwei Punkte, jeder weitere mit mehr Last")
        }
        ElementFault::TableUnusable { table } => {
            format!("{table} braucht mindestens zwei endliche Punkte an verschiedenen Stellen")
        }
        ElementFault::OutOfRange { quantity, found, low, high } => {
            let [found, low, high] = [*found, *low, *high].map(number);
            format!("{quantity} muss zwischen {low} und {high} liegen, gefunden {found}")
        }
        ElementFault::LengthsOutOfOrder { smaller, smaller_m, larger, larger_m } => {
            let [less, more] = [*smaller_m, *larger_m].map(number);
            format!("{smaller} ({less} m) muss unter {larger} ({more} m) liegen")
        }
    };
    language.pick(why.to_string(), german)
}
