//! Limits that decided whether a kit is offered, or nearly did: the figure, the limit, and by how much.

use crate::enquiry::{Wish, WishKind};
use crate::facts::{KnownFacts, Language};
use crate::fitting::Fitting;
use crate::load_list::LoadState;
use crate::price::Quote;
use crate::rules::{Condition, Effect, FigureCondition, Rule};
use crate::shortlist::KitOption;
use crate::sit::Sit;

/// A figure beside a limit.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct NearMiss {
    /// Rule whose limit it is; absent for a wish.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rule: Option<String>,
    /// Whether the limit decided: the rule puts the kit out, the wish is missed. Else it nearly did.
    pub decided: bool,
    /// What was held against the limit.
    pub what: &'static str,
    /// Load state; absent where it does not matter.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub state: Option<LoadState>,
    /// The figure.
    pub value: f64,
    /// The limit.
    pub limit: f64,
    /// How far the figure is from the limit, never negative.
    pub by: f64,
    /// Unit of all three; money in minor units.
    pub unit: &'static str,
    /// The same in a sentence.
    pub words: String,
}

/// A figure this close to a limit nearly met it, mm or kg (common practice, no source).
fn near(unit: &str) -> f64 {
    // a weighbridge reads in steps of 20 kg, a tape measure is good for some millimetres
    if unit == "kg" { 25.0 } else { 5.0 }
}

impl Fitting<'_> {
    /// Figures of the excluding rules that put the kit out, or would have with a figure a little different.
    pub fn near_misses(&self, rules: &[Rule], known: &KnownFacts) -> Vec<NearMiss> {
        rules
            .iter()
            .filter(|rule| rule.effect == Effect::Excludes)
            .flat_map(|rule| self.near_misses_of(rule, known))
            .collect()
    }

    fn near_misses_of(&self, rule: &Rule, known: &KnownFacts) -> Vec<NearMiss> {
        let mut found = Vec::new();
        for condition in &rule.when {
            match condition {
                Condition::Figure(bounds) => match self.near_miss(rule, bounds) {
                    Some(miss) if miss.decided || miss.by <= near(miss.unit) => found.push(miss),
                    _ => return Vec::new(),
                },
                _ if self.surely_holds(condition, known) => {}
                _ => return Vec::new(),
            }
        }
        let decided = found.iter().all(|miss| miss.decided);
        for miss in &mut found {
            miss.decided = decided;
        }
        found
    }

    /// The figure in the load state where it is furthest beyond its bound, or closest to it.
    fn near_miss(&self, rule: &Rule, bounds: &FigureCondition) -> Option<NearMiss> {
        // how far within the bounds, with the bound that counts
        let inside = |value: f64| {
            let least = bounds.at_least.map(|limit| (value - limit, limit));
            let most = bounds.at_most.map(|limit| (limit - value, limit));
            [least, most].into_iter().flatten().min_by(|a, b| a.0.total_cmp(&b.0))
        };
        let (state, value, (inside_by, limit)) = self
            .figures(bounds)
            .into_iter()
            .filter_map(|(state, value)| Some((state, value, inside(value)?)))
            .max_by(|a, b| a.2.0.total_cmp(&b.2.0))?;
        let (what, unit, decided) = (bounds.figure.words(), bounds.figure.unit(), inside_by >= 0.0);
        let by = inside_by.abs();
        let side = if decided { "beyond" } else { "short of" };
        let words = format!(
            "{what} is {value:.0} {unit}{}, {by:.0} {unit} {side} the limit of {limit:.0} {unit}",
            bounds.figure.where_it_is(state)
        );
        let rule = Some(rule.id.clone());
        Some(NearMiss { rule, decided, what, state: Some(state), value, limit, by, unit, words })
    }
}

/// Wishes that an option misses.
pub(crate) fn missed_wishes(option: &KitOption, laden: &Sit, wish: &Wish) -> Vec<NearMiss> {
    let missed = |what, state, value: f64, limit: f64, words: String| NearMiss {
        rule: None,
        decided: true,
        what,
        state: Some(state),
        value,
        limit,
        by: (value - limit).abs(),
        unit: "mm",
        words,
    };
    let mut found = Vec::new();
    let drop_mm = option.drop_against_today_mm.value;
    let off_mm = drop_mm - wish.drop_against_today_mm;
    if wish.kind == WishKind::Drop && off_mm.abs() > wish.drop_within_mm {
        let limit_mm = wish.drop_against_today_mm + wish.drop_within_mm.copysign(off_mm);
        let way = if off_mm > 0.0 { "too large" } else { "too small" };
        let words = format!("the drop is {way} by {:.0} mm", off_mm.abs());
        found.push(missed("drop against today", wish.state, drop_mm, limit_mm, words));
    }
    let level_mm = option.level_mm.value;
    if let Some(within_mm) = wish.level_within_mm
        && level_mm.abs() > within_mm
    {
        let side = if level_mm > 0.0 { "tail up" } else { "tail down" };
        let words = format!("it stands {side} by {:.0} mm", level_mm.abs());
        found.push(missed("level", wish.state, level_mm, within_mm.copysign(level_mm), words));
    }
    let least_mm = option.least_bump_travel_to_metal_mm.value;
    if let Some(wanted_mm) = wish.travel_at_least_mm
        && least_mm < wanted_mm
    {
        let words = format!("fully laden only {least_mm:.0} mm of bump travel to metal are left");
        found.push(missed("bump travel to metal", laden.state, least_mm, wanted_mm, words));
    }
    found.extend(option.quote.as_ref().and_then(|quote| over_budget(quote, wish)));
    found
}

fn over_budget(quote: &Quote, wish: &Wish) -> Option<NearMiss> {
    let budget_minor = wish.budget_minor?;
    let over_minor = quote.total_minor - budget_minor;
    (over_minor > 0).then(|| NearMiss {
        rule: None,
        decided: true,
        what: "total price",
        state: None,
        value: quote.total_minor as f64,
        limit: budget_minor as f64,
        by: over_minor as f64,
        unit: "minor",
        words: format!(
            "it costs {} more than the budget",
            quote.currency.text(over_minor, Language::English)
        ),
    })
}
