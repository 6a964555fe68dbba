//! What the fitting rules say of a kit on a van: out, in, or depends on what is not known yet.

use mechanics::statics::{FRONT, REAR};
use rayon::prelude::*;

use crate::checks::{Check, grouped};
use crate::facts::{Fact, KnownFacts, STRUT_MOUNT, Words};
use crate::kit::{Kit, KitFamily};
use crate::load_list::LoadState;
use crate::rules::{
    CheckCondition, Compared, Component, Condition, Effect, FigureCondition, Rule, RuleFigure, RuleState,
};
use crate::sit::Sitting;
use crate::standing::Standing;
use crate::units::mm_from_m;
use crate::vehicle_sheet::Grade;
use crate::wording::{Because, MetFigure, all_spelt};

/// What is decided about a kit on a van.
#[derive(Debug, Clone, PartialEq, Default, serde::Serialize)]
pub struct Verdict {
    /// The rule that puts the kit out; absent where it is in.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub out: Option<RuleSays>,
    /// Further rules that put it out.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub also_out: Vec<RuleSays>,
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
    /// What met it.
    #[serde(serialize_with = "all_spelt")]
    pub because: Vec<Because>,
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
    /// How low it can be set.
    SetLower,
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
    Yes(Vec<Because>),
    No,
    Unknown(&'a str),
}

/// A kit that stands, as rules see it.
#[derive(Clone, Copy)]
pub struct OnVan<'a> {
    /// Its rest in every load state.
    pub standing: Standing<'a>,
    /// Everything held against a limit, what does not hold first.
    pub checks: &'a [Check],
}

/// A kit on a van as rules see it.
pub struct Fitting<'a> {
    /// The kit.
    pub kit: &'a Kit,
    /// Its vehicle sheet.
    pub vehicle: &'a str,
    /// Its grade.
    pub grade: &'a Grade,
    /// How it would stand; `None` where it cannot be computed.
    pub on_van: Option<OnVan<'a>>,
    /// Load state in which the wish is meant.
    pub wished: LoadState,
}

impl Fitting<'_> {
    /// Holds a kit against the rules.
    pub fn verdict(&self, rules: &[Rule], known: &KnownFacts) -> Verdict {
        let mut verdict = Verdict { out: self.not_sold_for_it(), ..Verdict::default() };
        if verdict.out.is_some() {
            return verdict;
        }
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
            because: vec![Because::SoldFor { vehicles: self.kit.fits.clone() }],
        })
    }

    /// `Some` with the figures that met it, `None` where a condition fails, or the facts it waits for.
    pub(crate) fn rule_holds<'r>(
        &self,
        rule: &'r Rule,
        known: &KnownFacts,
    ) -> Result<Option<Vec<Because>>, Vec<&'r str>> {
        let mut because = Vec::new();
        let mut waits_for = Vec::new();
        for condition in &rule.when {
            match self.condition_holds(condition, known) {
                Holds::No => return Ok(None),
                Holds::Yes(met) => because.extend(met),
                Holds::Unknown(fact) => waits_for.push(fact),
            }
        }
        if waits_for.is_empty() { Ok(Some(because)) } else { Err(waits_for) }
    }

    fn condition_holds<'r>(&self, condition: &'r Condition, known: &KnownFacts) -> Holds<'r> {
        let plain = |holds: bool| if holds { Holds::Yes(Vec::new()) } else { Holds::No };
        match condition {
            Condition::Fact(asked) => {
                let possible = known.possible(&asked.fact);
                let matching =
                    possible.iter().filter(|answer| asked.is.iter().any(|is| is == *answer)).count();
                match matching {
                    0 => Holds::No,
                    n if n == possible.len() => Holds::Yes(Vec::new()),
                    _ => Holds::Unknown(&asked.fact),
                }
            }
            Condition::Vehicle(vehicles) => plain(vehicles.iter().any(|id| id == self.vehicle)),
            Condition::Family(families) => plain(is_of(self.kit, families)),
            Condition::Kit(kits) => plain(is_among(self.kit, kits)),
            Condition::Brings(parts) => plain(parts.iter().any(|&part| brings(self.kit, part))),
            Condition::StrutMount(compared) => self.strut_mount_holds(*compared, known),
            Condition::Figure(bounds) => self.figure_holds(bounds),
            Condition::Check(asked) => self.check_holds(asked),
        }
    }

    fn strut_mount_holds(&self, compared: Compared, known: &KnownFacts) -> Holds<'static> {
        let Some(mount) = self.kit.strut_mount() else { return Holds::No };
        match known.is(STRUT_MOUNT, mount) {
            None => return Holds::Unknown(STRUT_MOUNT),
            Some(same) if same != (compared == Compared::Same) => return Holds::No,
            Some(_) => {}
        }
        let answer = |ids: &[&str]| Words::of(|language| known.words(STRUT_MOUNT, ids, language));
        Holds::Yes(vec![Because::StrutMount {
            made_for: answer(&[mount]),
            on_the_van: answer(known.possible(STRUT_MOUNT)),
        }])
    }

    fn figure_holds(&self, bounds: &FigureCondition) -> Holds<'static> {
        let met = self.figures(bounds).into_iter().find(|(_, value)| {
            bounds.at_least.is_none_or(|least| *value >= least)
                && bounds.at_most.is_none_or(|most| *value <= most)
        });
        match met {
            Some((state, value)) => Holds::Yes(vec![Because::Figure(MetFigure {
                figure: bounds.figure,
                state,
                value,
                at_least: bounds.at_least,
                at_most: bounds.at_most,
            })]),
            None => Holds::No,
        }
    }

    /// The checks asked for that came out as asked, one of each name and axle; checks stand with the worst finding first.
    fn check_holds(&self, asked: &CheckCondition) -> Holds<'static> {
        let checks = self.on_van.iter().flat_map(|on_van| on_van.checks);
        let met = checks.filter(|check| {
            asked.is.contains(&check.check)
                && asked.finding.contains(&check.finding)
                && (asked.axle.is_none() || asked.axle == check.axle)
                && check.state.map_or(asked.state.is_none(), |state| self.looks_at(asked.state, state))
        });
        let because: Vec<Because> = grouped(met, Check::is_of_the_same)
            .into_iter()
            .filter_map(|same| Some(Because::Check { check: Box::new((*same.first()?).clone()) }))
            .collect();
        if because.is_empty() { Holds::No } else { Holds::Yes(because) }
    }

    /// Whether a rule that names a load state, or none, looks at one.
    fn looks_at(&self, named: Option<RuleState>, state: LoadState) -> bool {
        match named {
            None => true,
            Some(RuleState::Is(only)) => state == only,
            Some(RuleState::AsWished) => state == self.wished,
        }
    }

    /// A figure in each load state that its rule looks at; none where the kit cannot be computed.
    pub(crate) fn figures(&self, bounds: &FigureCondition) -> Vec<(LoadState, f64)> {
        let Some(OnVan { standing, .. }) = self.on_van else { return Vec::new() };
        let states = LoadState::ALL.into_iter().filter(|&state| self.looks_at(bounds.state, state));
        let value = |state| Some((state, self.value_of(bounds.figure, &standing.sitting(state))?));
        states.filter_map(value).collect()
    }

    /// Whether a condition holds whatever is not known.
    pub(crate) fn surely_holds(&self, condition: &Condition, known: &KnownFacts) -> bool {
        matches!(self.condition_holds(condition, known), Holds::Yes(_))
    }

    /// A rule figure in a load state, of the corner that is worse for the van.
    fn value_of(&self, figure: RuleFigure, sitting: &Sitting) -> Option<f64> {
        let pair = |axle: usize| [2 * axle, 2 * axle + 1];
        let drop = |axle: usize| sitting.axle_drops_against_original_mm(axle);
        let captive = |axle: usize| {
            let [left, right] = pair(axle).map(|i| sitting.captive_in_hand_m(i).map(mm_from_m));
            Some(left?.min(right?))
        };
        let metal = |axle: usize| {
            let [left, right] = pair(axle).map(|i| mm_from_m(sitting.to_metal_m(i)));
            left.min(right)
        };
        let load_kg = |axle: usize| sitting.axle_carries_kg(axle);
        let plated_kg = [self.grade.plated_front_axle_kg, self.grade.plated_rear_axle_kg];
        let band_kg = |axle: usize| self.kit.axle(axle)?.axle_load_kg;
        Some(match figure {
            RuleFigure::FrontDrop => drop(FRONT),
            RuleFigure::RearDrop => drop(REAR),
            RuleFigure::FrontAxleLoad => load_kg(FRONT),
            RuleFigure::RearAxleLoad => load_kg(REAR),
            RuleFigure::FrontOverPlate => load_kg(FRONT) - plated_kg[FRONT],
            RuleFigure::RearOverPlate => load_kg(REAR) - plated_kg[REAR],
            RuleFigure::FrontOverBand => load_kg(FRONT) - band_kg(FRONT)?[1],
            RuleFigure::RearOverBand => load_kg(REAR) - band_kg(REAR)?[1],
            RuleFigure::FrontUnderBand => band_kg(FRONT)?[0] - load_kg(FRONT),
            RuleFigure::RearUnderBand => band_kg(REAR)?[0] - load_kg(REAR),
            RuleFigure::FrontPlateOverBand => plated_kg[FRONT] - band_kg(FRONT)?[1],
            RuleFigure::RearPlateOverBand => plated_kg[REAR] - band_kg(REAR)?[1],
            RuleFigure::FrontCaptive => captive(FRONT)?,
            RuleFigure::RearCaptive => captive(REAR)?,
            RuleFigure::FrontToMetal => metal(FRONT),
            RuleFigure::RearToMetal => metal(REAR),
        })
    }
}

/// Whether a kit, or a part of a combination, is of one of these families.
pub(crate) fn is_of(kit: &Kit, families: &[KitFamily]) -> bool {
    families.contains(&kit.family) || kit.consists_of().iter().any(|part| families.contains(&part.family))
}

/// Whether a kit, or a part of a combination, is one of these.
pub(crate) fn is_among(kit: &Kit, ids: &[String]) -> bool {
    kit.consists_of().iter().any(|part| ids.contains(&part.id))
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
        Component::RearLeafWork => rear.is_some_and(|axle| axle.leaf_work.is_some()),
        Component::AirSprings => front.into_iter().chain(rear).any(|axle| axle.air.is_some()),
    }
}

fn apply(rule: &Rule, because: Vec<Because>, verdict: &mut Verdict) {
    let says =
        RuleSays { rule: rule.id.clone(), reason: rule.reason.clone(), source: rule.source.clone(), because };
    match &rule.effect {
        Effect::Excludes => match verdict.out {
            None => verdict.out = Some(says),
            Some(_) => verdict.also_out.push(says),
        },
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
    let waiting: Vec<(&Fitting, Verdict)> =
        fittings.par_iter().map(|fitting| (fitting, fitting.verdict(rules, known))).collect();
    known
        .unknown()
        .map(|fact| changes(fact, &waiting, rules, known))
        .filter(|asked| asked.kits_in_or_out + asked.kits_otherwise > 0)
        .max_by_key(|asked| (asked.kits_in_or_out, asked.kits_otherwise))
}

/// What the answers of a fact change of the kits whose verdict waits for it; of others they change the words of a reason at most.
fn changes(fact: &Fact, waiting: &[(&Fitting, Verdict)], rules: &[Rule], known: &KnownFacts) -> AskNext {
    let (mut kits_in_or_out, mut kits_otherwise) = (0, 0);
    let answered: Vec<KnownFacts> =
        known.possible(&fact.id).iter().map(|answer| known.answered(&fact.id, answer)).collect();
    for (fitting, verdict) in waiting {
        let waits =
            |rule: &&Rule| verdict.depends_on.iter().any(|open| open.fact == fact.id && open.rule == rule.id);
        let open: Vec<&Rule> = rules.iter().filter(waits).collect();
        if verdict.out.is_some() || open.is_empty() {
            continue;
        }
        // by answer, what each rule that waits for it says then
        let said: Vec<Vec<_>> = answered
            .iter()
            .map(|known| open.iter().map(|rule| fitting.rule_holds(rule, known)).collect())
            .collect();
        let excludes = |(rule, holds): (&&Rule, &Result<Option<_>, _>)| {
            rule.effect == Effect::Excludes && matches!(holds, Ok(Some(_)))
        };
        let out = said.iter().filter(|by_rule| open.iter().zip(*by_rule).any(excludes)).count();
        if out > 0 && out < said.len() {
            kits_in_or_out += 1;
        } else if out == 0 && said.windows(2).any(|pair| pair[0] != pair[1]) {
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
