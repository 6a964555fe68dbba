//! The chain behind what is said of a kit as a whole: its verdict, its price, its time on the ramp.

use super::{Why, not_available, words};
use crate::answer::KnownVan;
use crate::assembly::CannotStand;
use crate::facts::{FactAnswer, KnownFacts, Words};
use crate::fitting::brings;
use crate::kit::Kit;
use crate::remarks::stops;
use crate::rules::{Component, Condition, Rule};
use crate::shortlist::{KitOption, shortlist};
use crate::wording::why::{self, Equation, FactFrom};
use crate::wording::{Because, Said, family};

impl KnownVan<'_> {
    /// The chain behind a verdict: every rule that spoke of a kit, with the facts and figures that met it, what it
    /// did, and the rules that wait for a fact.
    pub fn why_verdict(&self, kit: &Kit) -> Why {
        let catalogue = self.catalogue;
        let kit = &self.offered(kit);
        let known = self.facts();
        let stood = self.stood(kit);
        let fitting = self.fitting(kit, stood.as_ref().ok().map(|stood| self.on_van(stood)));
        let stops_today = stops(&self.standing_today());
        let verdict = self.decided(&fitting, stood.as_ref(), &known, &stops_today).verdict;
        let deciding = verdict.out.as_ref().map(|out| out.rule.as_str());
        let mut steps = Vec::new();
        if let Some(out) = verdict.out.as_ref().filter(|out| catalogue.rules.iter().all(|r| r.id != out.rule))
        {
            steps.push(Words::of(|language| why::not_by_rule(language, out)));
        }
        for rule in &catalogue.rules {
            if let Ok(Some(met)) = fitting.rule_holds(rule, &known) {
                let conditions = self.conditions(rule, kit, &known, met);
                let decides = deciding == Some(rule.id.as_str());
                let line =
                    Words::of(|language| why::rule_spoke(language, catalogue, rule, decides, &conditions));
                if decides { steps.insert(0, line) } else { steps.push(line) }
            }
        }
        steps.extend(
            verdict
                .depends_on
                .iter()
                .map(|waits| Words::of(|language| why::rule_waits(language, catalogue, waits))),
        );
        let inputs = catalogue.facts.iter().map(|fact| self.fact_words(&fact.id, &known)).collect();
        Why {
            asked: Words::of(|language| why::asked_of_kit(language, "verdict", &kit.name)),
            value: None,
            answer: Words::of(|language| {
                why::verdict(language, verdict.out.is_some(), verdict.depends_on.len())
            }),
            inputs,
            steps,
            equations: vec![words(&Equation::Verdict)],
        }
    }

    /// Conditions of a rule that spoke, each with what met it.
    fn conditions(&self, rule: &Rule, kit: &Kit, known: &KnownFacts, met: Vec<Because>) -> Vec<Words> {
        let mut met = met.into_iter();
        rule.when
            .iter()
            .filter_map(|condition| {
                Some(match condition {
                    Condition::Fact(asked) => self.fact_words(&asked.fact, known),
                    Condition::Kit(_) => Words::of(|language| why::of_kit(language, &kit.name)),
                    Condition::Vehicle(_) => {
                        Words::of(|language| why::of_vehicle(language, &self.van.sheet.name))
                    }
                    Condition::Family(_) => {
                        Words::of(|language| why::of_family(language, family(language, kit.family)))
                    }
                    Condition::Brings(parts) => {
                        let brought: Vec<Component> =
                            parts.iter().copied().filter(|&part| brings(kit, part)).collect();
                        Words::of(|language| why::of_parts(language, &brought))
                    }
                    Condition::StrutMount(_) => {
                        let met = met.next()?;
                        Words::of(|language| met.words(language))
                    }
                    Condition::Figure(_) | Condition::Check(_) => {
                        let met = met.next()?;
                        Words::of(|language| why::of_figure(language, &met))
                    }
                })
            })
            .collect()
    }

    /// A fact with its possible answers and where they come from.
    pub(crate) fn fact_words(&self, id: &str, known: &KnownFacts) -> Words {
        let Some(fact) = self.catalogue.facts.iter().find(|fact| fact.id == id) else {
            return Words { en: id.to_owned(), de: id.to_owned() };
        };
        let possible = known.possible(id);
        let of_it = |answer: &&FactAnswer| possible.contains(&answer.id.as_str());
        let answers: Vec<&Words> = fact.answers.iter().filter(of_it).map(|answer| &answer.words).collect();
        let from = if self.enquiry.facts.iter().any(|is| is.fact == id) {
            FactFrom::Enquiry
        } else if self.van.sheet.facts.iter().any(|is| is.fact == id) {
            FactFrom::Sheet
        } else {
            FactFrom::Nowhere
        };
        Words::of(|language| why::fact(language, &fact.question, &answers, from))
    }

    /// The chain behind the price of a kit; nothing where it is out.
    ///
    /// # Errors
    /// When the van cannot be computed.
    pub fn why_price(&self, kit: &Kit) -> Result<Option<Why>, CannotStand> {
        let Some(option) = self.option(kit)? else { return Ok(None) };
        let Some(quote) = &option.quote else {
            return Ok(Some(without_a_number(&option, "price", Equation::Price)));
        };
        let mut steps: Vec<Words> =
            quote.lines.iter().map(|line| Words::of(|l| why::quote_line(l, quote, line))).collect();
        steps.extend((0..3).map(|k| Words::of(|language| why::quote_sums(language, quote)[k].clone())));
        Ok(Some(Why {
            asked: Words::of(|language| why::asked_of_kit(language, "price", &kit.name)),
            value: None,
            answer: Words::of(|language| quote.currency.text(quote.total_minor, language)),
            inputs: vec![Words::of(|language| why::prices_from(language, quote))],
            steps,
            equations: vec![words(&Equation::Price)],
        }))
    }

    /// The chain behind the time on the ramp of a kit; nothing where it is out.
    ///
    /// # Errors
    /// When the van cannot be computed.
    pub fn why_time(&self, kit: &Kit) -> Result<Option<Why>, CannotStand> {
        let Some(option) = self.option(kit)? else { return Ok(None) };
        let Some(time) = &option.ramp_time else {
            return Ok(Some(without_a_number(&option, "time", Equation::Time)));
        };
        let inputs = time.operations.iter().filter_map(|done| {
            let operation = self.catalogue.operations.operation(&done.operation)?;
            Some(Words::of(|language| why::operation(language, operation, done.times)))
        });
        let asked_by = option
            .verdict
            .operations
            .iter()
            .map(|added| Words::of(|language| why::operation_asked(language, self.catalogue, added)));
        let sums = (0..2).map(|k| Words::of(|language| why::time_sum(language, time)[k].clone()));
        Ok(Some(Why {
            asked: Words::of(|language| why::asked_of_kit(language, "time", &kit.name)),
            value: None,
            answer: Words::of(|language| why::time_sum(language, time)[1].clone()),
            inputs: inputs.collect(),
            steps: asked_by.chain(sums).collect(),
            equations: vec![words(&Equation::Time)],
        }))
    }

    fn option(&self, kit: &Kit) -> Result<Option<KitOption>, CannotStand> {
        let listed = shortlist(self, &self.enquiry.wish)?;
        Ok(listed.options.into_iter().find(|option| option.kit == kit.id))
    }
}

/// A chain that ends before its number.
fn without_a_number(option: &KitOption, name: &str, equation: Equation) -> Why {
    Why {
        asked: Words::of(|language| why::asked_of_kit(language, name, &option.name)),
        value: None,
        answer: Words::of(not_available),
        inputs: Vec::new(),
        steps: option.not_priced.iter().map(words).collect(),
        equations: vec![words(&equation)],
    }
}
