//! Fitting rules: conditions over van, kit and figures, each with an effect, a reason and a source. They are data.

use crate::checks::Finding;
use crate::document::{Fields, range};
use crate::facts::{Fact, FactIs, Language, STRUT_MOUNT, Words, quantity};
use crate::kit::KitFamily;
use crate::load_list::LoadState;
use crate::wording::{Axle, CHECK_NAMES};

/// One rule of the trade.
#[derive(Debug, Clone, PartialEq)]
pub struct Rule {
    /// Identifier.
    pub id: String,
    /// All of these must hold.
    pub when: Vec<Condition>,
    /// What follows.
    pub effect: Effect,
    /// Why, in plain words.
    pub reason: Words,
    /// Where the rule comes from: a standard, a maker's instruction, or common practice.
    pub source: String,
}

/// A condition of a rule.
#[derive(Debug, Clone, PartialEq)]
pub enum Condition {
    /// A fact of the van has one of these answers.
    Fact(FactIs),
    /// The van is of one of these vehicle sheets.
    Vehicle(Vec<String>),
    /// The kit is of one of these families.
    Family(Vec<KitFamily>),
    /// It is one of these kits.
    Kit(Vec<String>),
    /// The kit brings one of these.
    Brings(Vec<Component>),
    /// How the mount that the kit's struts are made for compares with the van's ([`STRUT_MOUNT`]); never holds for a
    /// kit that states none.
    StrutMount(Compared),
    /// A figure lies within bounds in a load state, or in the load state where it is worst.
    Figure(FigureCondition),
    /// A check came out so.
    Check(CheckCondition),
}

/// How one of some checks came out.
#[derive(Debug, Clone, PartialEq)]
pub struct CheckCondition {
    /// Any of these checks.
    pub is: Vec<&'static str>,
    /// Axle; either where absent.
    pub axle: Option<Axle>,
    /// Load state; any where absent.
    pub state: Option<RuleState>,
    /// Any of these findings.
    pub finding: Vec<Finding>,
}

/// How what a kit is made for compares with what the van has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Compared {
    /// The van has what the kit is made for.
    Same,
    /// The van has something else.
    Differs,
}

impl Compared {
    /// Names in files.
    pub const CHOICES: [(&'static str, Self); 2] = [("same", Self::Same), ("differs", Self::Differs)];
}

/// What a kit may bring.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Component {
    /// Front springs.
    FrontSprings,
    /// Rear springs.
    RearSprings,
    /// Front dampers or struts.
    FrontDampers,
    /// Rear dampers.
    RearDampers,
    /// A collar in front.
    FrontCollars,
    /// A collar at the rear.
    RearCollars,
    /// Blocks, shackles, leaves re-arched or put in at the rear.
    RearLeafWork,
    /// Auxiliary air springs on any axle.
    AirSprings,
}

/// Bounds on a figure.
#[derive(Debug, Clone, PartialEq)]
pub struct FigureCondition {
    /// Which figure.
    pub figure: RuleFigure,
    /// Load state; the one where the bound is met first where absent.
    pub state: Option<RuleState>,
    /// Least value at which the condition holds.
    pub at_least: Option<f64>,
    /// Greatest value at which it holds.
    pub at_most: Option<f64>,
}

/// Load state in which a rule holds a figure against its bounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RuleState {
    /// One load state.
    Is(LoadState),
    /// The one in which the customer's wish is meant.
    AsWished,
}

impl RuleState {
    /// Names in files.
    pub const CHOICES: [(&'static str, Self); 5] = [
        ("as_fitted_out", Self::Is(LoadState::AsFittedOut)),
        ("day_to_day", Self::Is(LoadState::DayToDay)),
        ("fully_laden", Self::Is(LoadState::FullyLaden)),
        ("on_the_ramp", Self::Is(LoadState::OnTheRamp)),
        ("as_wished", Self::AsWished),
    ];
}

/// Figures that rules may ask for, in mm and kg.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RuleFigure {
    /// Drop of the front axle against new original springs.
    FrontDrop,
    /// Drop of the rear axle against new original springs.
    RearDrop,
    /// Load of the front axle.
    FrontAxleLoad,
    /// Load of the rear axle.
    RearAxleLoad,
    /// Front axle load over its plate.
    FrontOverPlate,
    /// Rear axle load over its plate.
    RearOverPlate,
    /// Front axle load over the band that the kit's maker sells it for.
    FrontOverBand,
    /// Rear axle load over that band.
    RearOverBand,
    /// Front axle load below that band.
    FrontUnderBand,
    /// Rear axle load below that band.
    RearUnderBand,
    /// Plated front axle load over that band, whatever is carried.
    FrontPlateOverBand,
    /// Plated rear axle load over that band, whatever is carried.
    RearPlateOverBand,
    /// Spring compression left at full rebound, front.
    FrontCaptive,
    /// Spring compression left at full rebound, rear.
    RearCaptive,
    /// Bump travel to metal, front.
    FrontToMetal,
    /// Bump travel to metal, rear.
    RearToMetal,
}

impl RuleFigure {
    /// Names in files, with their unit.
    pub const CHOICES: [(&'static str, Self); 16] = [
        ("front_drop_against_original_mm", Self::FrontDrop),
        ("rear_drop_against_original_mm", Self::RearDrop),
        ("front_axle_load_kg", Self::FrontAxleLoad),
        ("rear_axle_load_kg", Self::RearAxleLoad),
        ("front_axle_over_plate_kg", Self::FrontOverPlate),
        ("rear_axle_over_plate_kg", Self::RearOverPlate),
        ("front_axle_load_over_kit_band_kg", Self::FrontOverBand),
        ("rear_axle_load_over_kit_band_kg", Self::RearOverBand),
        ("front_axle_load_under_kit_band_kg", Self::FrontUnderBand),
        ("rear_axle_load_under_kit_band_kg", Self::RearUnderBand),
        ("front_plate_over_kit_band_kg", Self::FrontPlateOverBand),
        ("rear_plate_over_kit_band_kg", Self::RearPlateOverBand),
        ("front_captive_in_hand_mm", Self::FrontCaptive),
        ("rear_captive_in_hand_mm", Self::RearCaptive),
        ("front_bump_travel_to_metal_mm", Self::FrontToMetal),
        ("rear_bump_travel_to_metal_mm", Self::RearToMetal),
    ];

    /// Whether the load state matters to it.
    pub fn is_of_a_state(self) -> bool {
        !matches!(self, Self::FrontPlateOverBand | Self::RearPlateOverBand)
    }

    /// Unit.
    pub fn unit(self) -> &'static str {
        match self {
            Self::FrontDrop
            | Self::RearDrop
            | Self::FrontCaptive
            | Self::RearCaptive
            | Self::FrontToMetal
            | Self::RearToMetal => "mm",
            _ => "kg",
        }
    }
}

/// What follows from a rule.
#[derive(Debug, Clone, PartialEq)]
pub enum Effect {
    /// The kit is out.
    Excludes,
    /// Somebody must know.
    Warns,
    /// A further part is needed.
    AddsPart {
        /// Part, by its identifier in the price list.
        part: String,
        /// How many.
        quantity: i64,
    },
    /// Something is inspected while it is apart.
    Inspects,
    /// An operation is added to the work.
    AddsOperation {
        /// Operation, by its identifier.
        operation: String,
    },
    /// A caution goes on the papers.
    AddsCaution,
    /// A step goes on the set-up sheet.
    AddsStep,
}

/// What rules may refer to.
#[derive(Debug, Clone, Copy, Default)]
pub struct RuleWorld<'a> {
    /// Facts of the workshop.
    pub facts: &'a [Fact],
    /// Identifiers of its operations; not checked where there are none.
    pub operations: &'a [String],
    /// Identifiers of its price list; not checked where there are none.
    pub parts: &'a [String],
    /// Identifiers of its kits; not checked where there are none.
    pub kits: &'a [String],
}

/// Reads the workshop's rules.
pub fn read_rules(f: &mut Fields, world: RuleWorld) -> Vec<Rule> {
    f.list("rules", "Fitting rules", |f| Rule {
        id: f.id("id", "Identifier"),
        when: f.list("when", "Conditions, all of which must hold", |f| Condition::read(f, world)),
        effect: f.table("effect", "What follows", |f| Effect::read(f, world)),
        reason: f.table("reason", "Why, in plain words", Words::read),
        source: f.text("source", "Standard, maker's instruction, or common practice"),
    })
}

impl Condition {
    fn read(f: &mut Fields, world: RuleWorld) -> Self {
        f.variant(
            "of",
            "What the condition is about",
            &[
                ("fact", &|f| Self::Fact(FactIs::read(f, world.facts))),
                ("vehicle", &|f| Self::Vehicle(f.id_list("is", 1..=50, "Vehicle sheets"))),
                ("kit_family", &|f| {
                    Self::Family(f.choice_list("is", &KitFamily::CHOICES, 1..=10, "Kit families"))
                }),
                ("kit", &|f| {
                    let ids = f.id_list("is", 1..=50, "Kits");
                    for (k, id) in ids.iter().enumerate() {
                        must_be_known(f, &format!("is[{k}]"), id, world.kits);
                    }
                    Self::Kit(ids)
                }),
                ("kit_brings", &|f| {
                    Self::Brings(f.choice_list("is", &Component::CHOICES, 1..=8, "Parts, any of them"))
                }),
                ("strut_mount", &|f| {
                    let doc = "Mount that the kit's struts are made for, against the van's";
                    let compared = f.choice("is", &Compared::CHOICES, doc);
                    if f.is_sound() && !world.facts.iter().any(|fact| fact.id == STRUT_MOUNT) {
                        let allowed = format!("a workshop whose facts include \"{STRUT_MOUNT}\"");
                        f.fault_at("of", "a comparison with a fact that nobody asks for", &allowed);
                    }
                    Self::StrutMount(compared)
                }),
                ("figure", &|f| Self::Figure(FigureCondition::read(f))),
                ("check", &|f| Self::Check(CheckCondition::read(f))),
            ],
        )
    }
}

impl Component {
    /// Words for people.
    pub fn words(self, language: Language) -> &'static str {
        let [en, de] = match self {
            Self::FrontSprings => ["front springs", "Vorderfedern"],
            Self::RearSprings => ["rear springs", "Hinterfedern"],
            Self::FrontDampers => ["front dampers", "vordere Dämpfer"],
            Self::RearDampers => ["rear dampers", "hintere Dämpfer"],
            Self::FrontCollars => ["front collars", "vordere Verstellteller"],
            Self::RearCollars => ["rear collars", "hintere Verstellteller"],
            Self::RearLeafWork => ["work on the rear leaf springs", "Arbeit an den hinteren Blattfedern"],
            Self::AirSprings => ["air springs", "Luftfedern"],
        };
        match language {
            Language::English => en,
            Language::German => de,
        }
    }

    /// Names in files.
    pub const CHOICES: [(&'static str, Self); 8] = [
        ("front_springs", Self::FrontSprings),
        ("rear_springs", Self::RearSprings),
        ("front_dampers", Self::FrontDampers),
        ("rear_dampers", Self::RearDampers),
        ("front_collars", Self::FrontCollars),
        ("rear_collars", Self::RearCollars),
        ("rear_leaf_work", Self::RearLeafWork),
        ("air_springs", Self::AirSprings),
    ];
}

impl FigureCondition {
    fn read(f: &mut Fields) -> Self {
        let bound = range(-5000.0, 10_000.0);
        let condition = Self {
            figure: f.choice("figure", &RuleFigure::CHOICES, "Which figure"),
            state: f.optional_choice("state", &RuleState::CHOICES, "Load state; the worst where absent"),
            at_least: f.optional_number("at_least", bound, "Least value at which the condition holds"),
            at_most: f.optional_number("at_most", bound, "Greatest value at which it holds"),
        };
        match (condition.at_least, condition.at_most) {
            (None, None) if f.is_sound() => f.fault_at("", "no bound", "at_least, at_most, or both"),
            (Some(least), Some(most)) if least > most && f.is_sound() => {
                f.fault_at(
                    "at_least",
                    &format!("{least}"),
                    &format!("at most {most}, or nothing can meet it"),
                );
            }
            _ => {}
        }
        condition
    }
}

impl CheckCondition {
    fn read(f: &mut Fields) -> Self {
        let names = CHECK_NAMES.map(|(name, _)| (name, name));
        let mut condition = Self {
            is: f.choice_list("is", &names, 1..=10, "Checks, any of them"),
            axle: f.optional_choice("axle", &Axle::CHOICES, "Axle; either where absent"),
            state: f.optional_choice("state", &RuleState::CHOICES, "Load state; any where absent"),
            finding: f.choice_list(
                "finding",
                &Finding::CHOICES,
                0..=3,
                "Findings, any of them; do_not and look_at_it where absent",
            ),
        };
        if condition.finding.is_empty() {
            condition.finding = vec![Finding::DoNot, Finding::LookAtIt];
        }
        condition
    }
}

fn must_be_known(f: &mut Fields, field: &str, id: &str, known: &[String]) {
    if f.is_sound() && !known.is_empty() && !known.iter().any(|other| other == id) {
        f.fault_at(field, &format!("\"{id}\""), &format!("one of {}", known.join(", ")));
    }
}

impl Effect {
    fn read(f: &mut Fields, world: RuleWorld) -> Self {
        let effect = f.variant(
            "does",
            "What follows",
            &[
                ("excludes", &|_| Self::Excludes),
                ("warns", &|_| Self::Warns),
                ("adds_part", &|f| Self::AddsPart {
                    part: f.id("part", "Part, by its identifier in the price list"),
                    quantity: quantity(f),
                }),
                ("inspects", &|_| Self::Inspects),
                ("adds_operation", &|f| Self::AddsOperation {
                    operation: f.id("operation", "Operation, by its identifier"),
                }),
                ("adds_caution", &|_| Self::AddsCaution),
                ("adds_step", &|_| Self::AddsStep),
            ],
        );
        match &effect {
            Self::AddsPart { part, .. } => must_be_known(f, "part", part, world.parts),
            Self::AddsOperation { operation } => must_be_known(f, "operation", operation, world.operations),
            _ => {}
        }
        effect
    }
}
