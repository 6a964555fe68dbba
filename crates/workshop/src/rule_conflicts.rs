//! Rules that can never speak, because they contradict themselves, the vans, or a rule that puts every such kit out.

use crate::catalogue::Catalogue;
use crate::rules::{Condition, Effect, FigureCondition, Rule};

/// A rule that can never speak.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DeadRule {
    /// The rule.
    pub rule: String,
    /// Why it cannot.
    pub because: String,
}

/// Rules of a catalogue that can never speak.
pub fn dead_rules(catalogue: &Catalogue) -> Vec<DeadRule> {
    catalogue.rules.iter().enumerate().filter_map(|(k, rule)| dead(catalogue, k, rule)).collect()
}

fn dead(catalogue: &Catalogue, k: usize, rule: &Rule) -> Option<DeadRule> {
    let because = contradicts_itself(rule)
        .or_else(|| no_such_van(catalogue, rule))
        .or_else(|| no_such_kit(catalogue, rule))
        .or_else(|| always_out(&catalogue.rules[..k], &catalogue.rules[k + 1..], rule))?;
    Some(DeadRule { rule: rule.id.clone(), because })
}

fn contradicts_itself(rule: &Rule) -> Option<String> {
    for (k, a) in rule.when.iter().enumerate() {
        for b in &rule.when[k + 1..] {
            let clash = match (a, b) {
                (Condition::Fact(a), Condition::Fact(b)) if a.fact == b.fact => disjoint(&a.is, &b.is),
                (Condition::Vehicle(a), Condition::Vehicle(b)) => disjoint(a, b),
                (Condition::Family(a), Condition::Family(b)) => disjoint(a, b),
                (Condition::Kit(a), Condition::Kit(b)) => disjoint(a, b),
                (Condition::StrutMount(a), Condition::StrutMount(b)) => a != b,
                (Condition::Check(a), Condition::Check(b)) => {
                    // of one check that stands once, two findings exclude each other
                    a.is == b.is
                        && a.is.len() == 1
                        && a.state.is_some()
                        && (a.state, a.axle) == (b.state, b.axle)
                        && a.axle.is_some()
                        && disjoint(&a.finding, &b.finding)
                }
                (Condition::Figure(a), Condition::Figure(b)) if a.figure == b.figure => {
                    no_value_for_both(a, b)
                }
                _ => false,
            };
            if clash {
                return Some("two of its conditions cannot hold together".to_owned());
            }
        }
    }
    None
}

fn disjoint<T: PartialEq>(a: &[T], b: &[T]) -> bool {
    !a.iter().any(|item| b.contains(item))
}

/// Bounds that exclude each other in one load state; in different states both may hold.
fn no_value_for_both(a: &FigureCondition, b: &FigureCondition) -> bool {
    let least = a.at_least.unwrap_or(f64::MIN).max(b.at_least.unwrap_or(f64::MIN));
    let most = a.at_most.unwrap_or(f64::MAX).min(b.at_most.unwrap_or(f64::MAX));
    a.state.is_some() && a.state == b.state && least > most
}

fn no_such_van(catalogue: &Catalogue, rule: &Rule) -> Option<String> {
    let met = catalogue.vehicles.iter().any(|sheet| {
        rule.when.iter().all(|condition| match condition {
            Condition::Vehicle(ids) => ids.contains(&sheet.id),
            Condition::Fact(asked) => {
                let stated = sheet.facts.iter().find(|stated| stated.fact == asked.fact);
                stated.is_none_or(|stated| !disjoint(&stated.is, &asked.is))
            }
            _ => true,
        })
    });
    (!met).then(|| "no vehicle sheet can meet its conditions".to_owned())
}

fn no_such_kit(catalogue: &Catalogue, rule: &Rule) -> Option<String> {
    let combinations = catalogue.vehicles.iter().flat_map(|sheet| catalogue.combinations_for(&sheet.id));
    let met = catalogue.kits.iter().cloned().chain(combinations).any(|kit| {
        rule.when.iter().all(|condition| match condition {
            Condition::Family(families) => crate::fitting::is_of(&kit, families),
            Condition::Kit(ids) => crate::fitting::is_among(&kit, ids),
            Condition::StrutMount(_) => kit.strut_mount().is_some(),
            Condition::Brings(parts) => parts.iter().any(|&part| crate::fitting::brings(&kit, part)),
            _ => true,
        })
    });
    (!met).then(|| "no kit can meet its conditions".to_owned())
}

/// An excluding rule that holds wherever this one does leaves nothing for it to speak of.
fn always_out(before: &[Rule], after: &[Rule], rule: &Rule) -> Option<String> {
    let excludes = |other: &&Rule| {
        other.effect == Effect::Excludes && other.when.iter().all(|condition| rule.when.contains(condition))
    };
    let first = before.iter().find(excludes);
    let found =
        if rule.effect == Effect::Excludes { first } else { first.or_else(|| after.iter().find(excludes)) };
    found.map(|other| format!("rule {} puts every such kit out", other.id))
}
