//! Facts of a van that fitting rules ask for: how its strut is held, which spring seat it has, which axles drive.

use crate::document::Fields;

/// A text in the workshop's two languages.
#[derive(Debug, Clone, PartialEq, Eq, Default, serde::Serialize)]
pub struct Words {
    /// English.
    pub en: String,
    /// German.
    pub de: String,
}

/// Language that a person reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Language {
    /// English.
    #[default]
    English,
    /// German.
    German,
}

impl Words {
    /// Reads a text in both languages.
    pub fn read(f: &mut Fields) -> Self {
        Self { en: f.text("en", "In English"), de: f.text("de", "In German") }
    }

    /// The text in a language.
    pub fn in_language(&self, language: Language) -> &str {
        match language {
            Language::English => &self.en,
            Language::German => &self.de,
        }
    }
}

/// Fact that a kit's `strut_mount` is an answer of: how the front strut sits in the wheel carrier.
pub const STRUT_MOUNT: &str = "strut-mount";

/// Fact which axles the engine drives; its answers are `front`, `rear` and others.
pub const DRIVEN_AXLES: &str = "driven-axles";

/// Fact whether a load-sensing brake valve hangs on the rear axle.
pub const BRAKE_VALVE: &str = "brake-valve";
/// Its answer for one that does.
pub const ON_REAR_AXLE: &str = "on-rear-axle";

/// Fact whether there is a sensor of height.
pub const HEIGHT_SENSOR: &str = "height-sensor";
/// Fact whether cameras or radar assist the driver.
pub const DRIVER_ASSISTANCE: &str = "driver-assistance";
/// Answer to both where there is.
pub const IS_FITTED: &str = "fitted";

/// Fact whether the tube that a slip-in strut sits in ends in a stop.
pub const STRUT_TUBE_STOP: &str = "strut-tube-stop";
/// Its answer for a tube that is open all the way.
pub const NO_STOP: &str = "no-stop";

/// Something that can be known of a van.
#[derive(Debug, Clone, PartialEq)]
pub struct Fact {
    /// Identifier.
    pub id: String,
    /// Question to the customer or the fitter.
    pub question: Words,
    /// Where on the van to look.
    pub where_to_look: Words,
    /// The place on the van that a drawing rings.
    pub seen_at: Option<Spot>,
    /// Possible answers.
    pub answers: Vec<FactAnswer>,
}

/// A place on a van where something can be seen or measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spot {
    /// Foot of the front strut, behind the wheel.
    BehindFrontWheel,
    /// Front spring and its lower seat.
    FrontSpring,
    /// Drop link of the front anti-roll bar.
    FrontDropLink,
    /// Hubs of all wheels.
    WheelHubs,
    /// Above the rear axle.
    OverRearAxle,
    /// Arms of both axles.
    AxleArms,
    /// Windscreen and grille.
    LookingAhead,
    /// Sidewall of a tyre.
    TyreWall,
    /// Marks of a rim.
    WheelStamp,
    /// Wheel centre to arch lip.
    Arches,
    /// Plate or label at the front door.
    DoorPillar,
    /// Load space.
    LoadSpace,
    /// Springs and dampers of both axles.
    SpringsAndDampers,
}

impl Spot {
    /// All of them, by their names in documents.
    pub const CHOICES: [(&'static str, Self); 13] = [
        ("behind_front_wheel", Self::BehindFrontWheel),
        ("front_spring", Self::FrontSpring),
        ("front_drop_link", Self::FrontDropLink),
        ("wheel_hubs", Self::WheelHubs),
        ("over_rear_axle", Self::OverRearAxle),
        ("axle_arms", Self::AxleArms),
        ("looking_ahead", Self::LookingAhead),
        ("tyre_wall", Self::TyreWall),
        ("wheel_stamp", Self::WheelStamp),
        ("arches", Self::Arches),
        ("door_pillar", Self::DoorPillar),
        ("load_space", Self::LoadSpace),
        ("springs_and_dampers", Self::SpringsAndDampers),
    ];
}

/// A possible answer.
#[derive(Debug, Clone, PartialEq)]
pub struct FactAnswer {
    /// Identifier.
    pub id: String,
    /// Words for people.
    pub words: Words,
}

/// A fact with the answers that are possible (on a vehicle sheet), given (in an enquiry) or asked for (in a rule).
#[derive(Debug, Clone, PartialEq)]
pub struct FactIs {
    /// The fact.
    pub fact: String,
    /// Its answers.
    pub is: Vec<String>,
}

/// Reads the workshop's list of facts.
pub fn read_facts(f: &mut Fields) -> Vec<Fact> {
    f.list("facts", "What can be known of a van", |f| Fact {
        id: f.id("id", "Identifier"),
        question: f.table("question", "Question to the customer or the fitter", Words::read),
        where_to_look: f.table("where_to_look", "Where on the van to look", Words::read),
        seen_at: f.optional_choice(
            "seen_at",
            &Spot::CHOICES,
            "Place that the drawing beside the question rings",
        ),
        answers: f.non_empty_list("answers", "Possible answers", |f| FactAnswer {
            id: f.id("id", "Identifier"),
            words: f.table("words", "Words for people", Words::read),
        }),
    })
}

impl FactIs {
    /// Reads a fact with answers; `known` are the facts of the workshop.
    pub fn read(f: &mut Fields, known: &[Fact]) -> Self {
        let fact = Self {
            fact: f.id("fact", "Fact of the workshop's list"),
            is: f.id_list("is", 1..=12, "Answers, any of them"),
        };
        if f.is_sound() {
            fact.check(f, known);
        }
        fact
    }

    fn check(&self, f: &mut Fields, known: &[Fact]) {
        let Some(fact) = known.iter().find(|fact| fact.id == self.fact) else {
            let ids: Vec<&str> = known.iter().map(|fact| fact.id.as_str()).collect();
            f.fault_at("fact", &format!("\"{}\"", self.fact), &format!("one of {}", ids.join(", ")));
            return;
        };
        let ids: Vec<&str> = fact.answers.iter().map(|answer| answer.id.as_str()).collect();
        for (k, answer) in self.is.iter().enumerate() {
            if !ids.contains(&answer.as_str()) {
                f.fault_at(
                    &format!("is[{k}]"),
                    &format!("\"{answer}\""),
                    &format!("one of {}", ids.join(", ")),
                );
            }
        }
    }
}

/// What is known of one van: the enquiry's answers before what its vehicle sheet allows.
#[derive(Debug, Clone, PartialEq)]
pub struct KnownFacts<'a> {
    facts: &'a [Fact],
    possible: Vec<(&'a str, Vec<&'a str>)>,
}

impl<'a> KnownFacts<'a> {
    /// Facts of a van from its vehicle sheet and its enquiry.
    pub fn of(facts: &'a [Fact], sheet: &'a [FactIs], enquiry: &'a [FactIs]) -> Self {
        let possible = facts
            .iter()
            .map(|fact| {
                let stated = [enquiry, sheet].into_iter().flatten().find(|stated| stated.fact == fact.id);
                let answers = match stated {
                    Some(stated) => stated.is.iter().map(String::as_str).collect(),
                    None => fact.answers.iter().map(|answer| answer.id.as_str()).collect(),
                };
                (fact.id.as_str(), answers)
            })
            .collect();
        Self { facts, possible }
    }

    /// Answers of a fact that are still possible.
    pub fn possible(&self, fact: &str) -> &[&'a str] {
        self.possible.iter().find(|(id, _)| *id == fact).map_or(&[], |(_, answers)| answers)
    }

    /// Whether an answer of a fact is the right one; `None` where that is not known.
    pub fn is(&self, fact: &str, answer: &str) -> Option<bool> {
        let possible = self.possible(fact);
        match possible.contains(&answer) {
            true if possible.len() == 1 => Some(true),
            false if !possible.is_empty() => Some(false),
            _ => None,
        }
    }

    /// Words of answers of a fact, as a person chooses among them.
    pub fn words(&self, fact: &str, answers: &[&str], language: Language) -> String {
        let known = self.facts.iter().find(|other| other.id == fact);
        let of = |id: &str| {
            let answer = known.and_then(|fact| fact.answers.iter().find(|answer| answer.id == id));
            answer.map_or_else(|| id.to_owned(), |answer| answer.words.in_language(language).to_owned())
        };
        answers.iter().map(|id| of(id)).collect::<Vec<_>>().join(language.pick(" or ", " oder "))
    }

    /// Facts with more than one possible answer.
    pub fn unknown(&self) -> impl Iterator<Item = &'a Fact> {
        self.facts.iter().filter(|fact| self.possible(&fact.id).len() > 1)
    }

    /// The same with one fact answered.
    #[must_use]
    pub fn answered(&self, fact: &str, answer: &'a str) -> Self {
        let mut known = self.clone();
        for (id, answers) in &mut known.possible {
            if *id == fact {
                *answers = vec![answer];
            }
        }
        known
    }
}

/// Quantity of parts in rules and kits.
pub(crate) fn quantity(f: &mut Fields) -> i64 {
    f.integer_or("quantity", 1..=50, 1, "How many")
}
