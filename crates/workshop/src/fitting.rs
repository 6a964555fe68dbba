//! What the fitting rules say of a kit on a van: out, in, or depends on what is not known yet.

use crate::answer::FitmentAnswer;
use crate::facts::{Fact, KnownFacts, STRUT_MOUNT, Words};
use crate::kit::Kit;
use crate::rules::{Compared, Component, Condition, Effect, FigureCondition, Rule, RuleFigure};
use crate::sit::Sit;
use crate::vehicle_sheet::Grade;

/// What is decided about a kit on a van.
#[derive(Debug, Clone, PartialEq, Default, serde::Serialize)]
pub struct Verdict {
    /// The rule that puts the kit out; absent where it is in.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub out: Option<RuleSays>,
    /// Facts that are not known and would change something, with the rules that wait for them.
    pub depends_on: Vec<DependsOn>,
    /// Warnings.
    pub warnings: Vec<RuleSays>,
    /// Further parts.
    pub parts: Vec<AddedPart>,
    /// What to inspect while it is apart.
    pub inspections: Vec<RuleSays>,
    /// Operations added to the work.
    pub operations: Vec<AddedOperation>,
    /// Cautions.
    pub cautions: Vec<RuleSays>,
    /// Steps of the set-up sheet.
    pub steps: Vec<RuleSays>,
}

/// A rule's reason and source, with the figures that met it.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct RuleSays {
    /// Rule.
    pub rule: String,
    /// Why, in both languages.
    pub reason: Words,
    /// Where the rule comes from.
    pub source: String,
    /// Figures that met their bounds, in words.
    pub because: Vec<String>,
}

/// A fact that is not known.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct DependsOn {
    /// The fact.
    pub fact: String,
    /// Rule that waits for it.
    pub rule: String,
    /// What hangs on it.
    pub would: Would,
    /// Why.
    pub reason: Words,
}

/// What a rule that waits for a fact would change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Would {
    /// Whether the kit is out.
    PutOut,
    /// Work, and with it time and price.
    AddWork,
    /// Parts, and with them the price.
    AddParts,
    /// Warnings, cautions, steps or inspections.
    Advise,
}

impl Would {
    fn of(effect: &Effect) -> Self {
        match effect {
            Effect::Excludes => Self::PutOut,
            Effect::AddsOperation { .. } => Self::AddWork,
            Effect::AddsPart { .. } => Self::AddParts,
            Effect::Warns | Effect::Inspects | Effect::AddsCaution | Effect::AddsStep => Self::Advise,
        }
    }
}

/// A part that a rule adds.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct AddedPart {
    /// Part.
    pub part: String,
    /// How many.
    pub quantity: i64,
    /// Why.
    pub says: RuleSays,
}

/// An operation that a rule adds.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct AddedOperation {
    /// Operation.
    pub operation: String,
    /// Why.
    pub says: RuleSays,
}

/// The one question that would change most.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct AskNext {
    /// The fact.
    pub fact: String,
    /// The question.
    pub question: Words,
    /// Where on the van to look.
    pub where_to_look: Words,
    /// Kits that would change between in and out.
    pub kits_in_or_out: usize,
    /// Kits of which parts, work or warnings would change.
    pub kits_otherwise: usize,
}

/// Whether a condition holds.
enum Holds<'a> {
    Yes(Option<String>),
    No,
    Unknown(&'a str),
}

/// A kit on a van as rules see it.
pub struct Fitting<'a> {
    /// The kit.
    pub kit: &'a Kit,
    /// Its vehicle sheet.
    pub vehicle: &'a str,
    /// Its grade.
    pub grade: &'a Grade,
    /// How it would sit; `None` where it cannot be computed.
    pub sits: Option<&'a FitmentAnswer>,
}

impl Fitting<'_> {
    /// Holds a kit against the rules.
    pub fn verdict(&self, rules: &[Rule], known: &KnownFacts) -> Verdict {
        let mut verdict = Verdict { out: self.not_sold_for_it(), ..Verdict::default() };
        for rule in rules {
            match self.rule_holds(rule, known) {
                Ok(Some(because)) => apply(rule, because, &mut verdict),
                Ok(None) => {}
                Err(facts) => verdict.depends_on.extend(facts.into_iter().map(|fact| DependsOn {
                    fact: fact.to_owned(),
                    rule: rule.id.clone(),
                    would: Would::of(&rule.effect),
                    reason: rule.reason.clone(),
                })),
            }
        }
        verdict
    }

    fn not_sold_for_it(&self) -> Option<RuleSays> {
        let sold = self.kit.fits.iter().any(|id| id == self.vehicle);
        (!sold).then(|| RuleSays {
            rule: "sold-for".to_owned(),
            reason: Words {
                en: "The maker does not sell it for this van.".to_owned(),
                de: "Der Hersteller bietet es für diesen Wagen nicht an.".to_owned(),
            },
            source: "maker's fitting list".to_owned(),
            because: vec![format!("sold for {}", self.kit.fits.join(", "))],
        })
    }

    /// `Some` with the figures that met it, `None` where a condition fails, or the facts it waits for.
    fn rule_holds<'r>(
        &self,
        rule: &'r Rule,
        known: &KnownFacts,
    ) -> Result<Option<Vec<String>>, Vec<&'r str>> {
        let mut because = Vec::new();
        let mut waits_for = Vec::new();
        for condition in &rule.when {
            match self.condition_holds(condition, known) {
                Holds::No => return Ok(None),
                Holds::Yes(words) => because.extend(words),
                Holds::Unknown(fact) => waits_for.push(fact),
            }
        }
        if waits_for.is_empty() { Ok(Some(because)) } else { Err(waits_for) }
    }

    fn condition_holds<'r>(&self, condition: &'r Condition, known: &KnownFacts) -> Holds<'r> {
        let plain = |holds: bool| if holds { Holds::Yes(None) } else { Holds::No };
        match condition {
            Condition::Fact(asked) => {
                let possible = known.possible(&asked.fact);
                let matching =
                    possible.iter().filter(|answer| asked.is.iter().any(|is| is == *answer)).count();
                match matching {
                    0 => Holds::No,
                    n if n == possible.len() => Holds::Yes(None),
                    _ => Holds::Unknown(&asked.fact),
                }
            }
            Condition::Vehicle(vehicles) => plain(vehicles.iter().any(|id| id == self.vehicle)),
            Condition::Family(families) => plain(families.contains(&self.kit.family)),
            Condition::Kit(kits) => plain(kits.contains(&self.kit.id)),
            Condition::Brings(parts) => plain(parts.iter().any(|&part| brings(self.kit, part))),
            Condition::StrutMount(compared) => self.strut_mount_holds(*compared, known),
            Condition::Figure(bounds) => self.figure_holds(bounds),
        }
    }

    fn strut_mount_holds(&self, compared: Compared, known: &KnownFacts) -> Holds<'static> {
        let (Some(mount), possible) = (self.kit.strut_mount(), known.possible(STRUT_MOUNT)) else {
            return Holds::No;
        };
        let matching = possible.iter().filter(|answer| **answer == mount).count();
        let holds = match matching {
            0 if possible.is_empty() => return Holds::No,
            0 => Compared::Differs,
            _ if possible.len() == 1 => Compared::Same,
            _ => return Holds::Unknown(STRUT_MOUNT),
        };
        if holds != compared {
            return Holds::No;
        }
        Holds::Yes(Some(format!(
            "its struts are made for: {}; on the van: {}",
            known.words(STRUT_MOUNT, &[mount]),
            known.words(STRUT_MOUNT, possible)
        )))
    }

    fn figure_holds(&self, bounds: &FigureCondition) -> Holds<'static> {
        let Some(sits) = self.sits else { return Holds::No };
        let met = sits
            .states
            .iter()
            .filter(|sit| bounds.state.is_none_or(|state| sit.state == state))
            .filter_map(|sit| Some((sit, value_of(bounds.figure, sit, self.grade)?)))
            .find(|(_, value)| {
                bounds.at_least.is_none_or(|least| *value >= least)
                    && bounds.at_most.is_none_or(|most| *value <= most)
            });
        let unit = bounds.figure.unit();
        match met {
            Some((sit, value)) => Holds::Yes(Some(format!(
                "{} is {value:.0} {unit} {}{}",
                bounds.figure.words(),
                sit.state.name(),
                bound_words(bounds)
            ))),
            None => Holds::No,
        }
    }
}

fn bound_words(bounds: &FigureCondition) -> String {
    let unit = bounds.figure.unit();
    match (bounds.at_least, bounds.at_most) {
        (Some(least), Some(most)) => format!(", the rule speaks from {least:.0} to {most:.0} {unit}"),
        (Some(least), None) => format!(", the rule speaks from {least:.0} {unit}"),
        (None, Some(most)) => format!(", the rule speaks up to {most:.0} {unit}"),
        (None, None) => String::new(),
    }
}

/// Whether a kit brings a part.
pub(crate) fn brings(kit: &Kit, part: Component) -> bool {
    let (front, rear) = (kit.front.as_ref(), kit.rear.as_ref());
    match part {
        Component::FrontSprings => front.is_some_and(|axle| axle.spring.is_some()),
        Component::RearSprings => rear.is_some_and(|axle| axle.spring.is_some()),
        Component::FrontDampers => front.is_some_and(|axle| axle.damper.is_some()),
        Component::RearDampers => rear.is_some_and(|axle| axle.damper.is_some()),
        Component::FrontCollars => front.is_some_and(|axle| axle.collar.is_some()),
        Component::RearCollars => rear.is_some_and(|axle| axle.collar.is_some()),
    }
}

/// A rule figure in a load state, of the corner that is worse for the van.
fn value_of(figure: RuleFigure, sit: &Sit, grade: &Grade) -> Option<f64> {
    let pair = |axle: usize| [&sit.corners[2 * axle], &sit.corners[2 * axle + 1]];
    let drop = |axle: usize| {
        pair(axle).map(|corner| corner.drop_against_original_mm.value).iter().sum::<f64>() / 2.0
    };
    let captive = |axle: usize| {
        let [left, right] =
            pair(axle).map(|corner| corner.travel.captive_in_hand_mm.as_ref().map(|f| f.value));
        Some(left?.min(right?))
    };
    let metal = |axle: usize| {
        let [left, right] = pair(axle).map(|corner| corner.travel.bump_travel_to_metal_mm.value);
        left.min(right)
    };
    match figure {
        RuleFigure::FrontDrop => Some(drop(0)),
        RuleFigure::RearDrop => Some(drop(1)),
        RuleFigure::FrontAxleLoad => Some(sit.axle_load_kg[0].value),
        RuleFigure::RearAxleLoad => Some(sit.axle_load_kg[1].value),
        RuleFigure::FrontOverPlate => Some(sit.axle_load_kg[0].value - grade.plated_front_axle_kg),
        RuleFigure::RearOverPlate => Some(sit.axle_load_kg[1].value - grade.plated_rear_axle_kg),
        RuleFigure::FrontCaptive => captive(0),
        RuleFigure::RearCaptive => captive(1),
        RuleFigure::FrontToMetal => Some(metal(0)),
        RuleFigure::RearToMetal => Some(metal(1)),
    }
}

fn apply(rule: &Rule, because: Vec<String>, verdict: &mut Verdict) {
    let says =
        RuleSays { rule: rule.id.clone(), reason: rule.reason.clone(), source: rule.source.clone(), because };
    match &rule.effect {
        Effect::Excludes => {
            verdict.out.get_or_insert(says);
        }
        Effect::Warns => verdict.warnings.push(says),
        Effect::AddsPart { part, quantity } => {
            verdict.parts.push(AddedPart { part: part.clone(), quantity: *quantity, says });
        }
        Effect::Inspects => verdict.inspections.push(says),
        Effect::AddsOperation { operation } => {
            verdict.operations.push(AddedOperation { operation: operation.clone(), says });
        }
        Effect::AddsCaution => verdict.cautions.push(says),
        Effect::AddsStep => verdict.steps.push(says),
    }
}

/// The one unknown fact whose answer changes most: first by kits that go in or out, then by kits that change otherwise.
pub fn ask_next(fittings: &[Fitting], rules: &[Rule], known: &KnownFacts) -> Option<AskNext> {
    known
        .unknown()
        .map(|fact| changes(fact, fittings, rules, known))
        .filter(|asked| asked.kits_in_or_out + asked.kits_otherwise > 0)
        .max_by_key(|asked| (asked.kits_in_or_out, asked.kits_otherwise))
}

fn changes(fact: &Fact, fittings: &[Fitting], rules: &[Rule], known: &KnownFacts) -> AskNext {
    let (mut kits_in_or_out, mut kits_otherwise) = (0, 0);
    for fitting in fittings {
        let verdicts: Vec<Verdict> = known
            .possible(&fact.id)
            .iter()
            .map(|answer| fitting.verdict(rules, &known.answered(&fact.id, answer)))
            .collect();
        let out = verdicts.iter().filter(|verdict| verdict.out.is_some()).count();
        if out > 0 && out < verdicts.len() {
            kits_in_or_out += 1;
        } else if out == 0 && verdicts.windows(2).any(|pair| pair[0] != pair[1]) {
            kits_otherwise += 1;
        }
    }
    AskNext {
        fact: fact.id.clone(),
        question: fact.question.clone(),
        where_to_look: fact.where_to_look.clone(),
        kits_in_or_out,
        kits_otherwise,
    }
}
