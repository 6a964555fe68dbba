//! Limits that decided whether a kit is offered, or nearly did: the figure, the limit, and by how much.

use crate::enquiry::{Wish, WishKind};
use crate::facts::{KnownFacts, Language, Words};
use crate::fitting::Fitting;
use crate::load_list::LoadState;
use crate::price::Quote;
use crate::rules::{Condition, Effect, FigureCondition, Rule};
use crate::shortlist::KitOption;
use crate::wording::{BesideLimit, Miss, Said, rule_figure};

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
    pub words: Words,
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
        let (what, unit, decided) =
            (rule_figure(Language::English, bounds.figure), bounds.figure.unit(), inside_by >= 0.0);
        let by = inside_by.abs();
        let beside = BesideLimit { figure: bounds.figure, state, value, limit };
        let words = Words::of(|language| beside.words(language));
        let rule = Some(rule.id.clone());
        Some(NearMiss { rule, decided, what, state: Some(state), value, limit, by, unit, words })
    }
}

/// Wishes that an option misses, each with its figure and limit.
pub(crate) fn missed_wishes(option: &KitOption, wish: &Wish) -> Vec<(Miss, Option<NearMiss>)> {
    let laden = LoadState::FullyLaden;
    let missed_in = |unit, what, state, value: f64, limit: f64, miss: Miss| {
        let near = NearMiss {
            rule: None,
            decided: true,
            what,
            state: Some(state),
            value,
            limit,
            by: (value - limit).abs(),
            unit,
            words: Words::of(|language| miss.words(language)),
        };
        (miss, Some(near))
    };
    let missed = |what, state, value: f64, limit: f64, miss| missed_in("mm", what, state, value, limit, miss);
    let mut found = Vec::new();
    let drop_mm = option.drop_against_today_mm.value;
    let wished_mm = wish.drop_against_today_mm.filter(|_| wish.kind == WishKind::Drop);
    if let Some(wished_mm) = wished_mm
        && (drop_mm - wished_mm).abs() > wish.drop_within_mm
    {
        let off_mm = drop_mm - wished_mm;
        let limit_mm = wished_mm + wish.drop_within_mm.copysign(off_mm);
        found.push(missed("drop against today", wish.state, drop_mm, limit_mm, Miss::Drop { off_mm }));
    }
    let level_mm = option.level_mm.value;
    if let Some(within_mm) = wish.level_within_mm
        && level_mm.abs() > within_mm
    {
        let limit_mm = within_mm.copysign(level_mm);
        found.push(missed("level", wish.state, level_mm, limit_mm, Miss::Level { level_mm }));
    }
    let left_mm = option.least_bump_travel_to_metal_mm.value;
    if let Some(wanted_mm) = wish.travel_at_least_mm
        && left_mm < wanted_mm
    {
        let miss = Miss::Travel { left_mm };
        found.push(missed("bump travel to metal", laden, left_mm, wanted_mm, miss));
    }
    let left_kg = option.load_reserve_kg.as_ref().map(|reserve| reserve.value);
    if let (Some(wanted_kg), Some(left_kg)) = (wish.load_reserve_at_least_kg, left_kg)
        && left_kg < wanted_kg
    {
        let miss = Miss::LoadReserve { left_kg };
        found.push(missed_in("kg", "load reserve", laden, left_kg, wanted_kg, miss));
    }
    match (wish.ground_clearance_at_least_mm, &option.ground_clearance_mm) {
        (Some(wanted_mm), Some(clearance)) if clearance.value < wanted_mm => {
            let left_mm = clearance.value;
            let miss = Miss::GroundClearance { left_mm };
            found.push(missed("ground clearance", laden, left_mm, wanted_mm, miss));
        }
        (Some(_), None) => found.push((Miss::GroundClearanceNotKnown, None)),
        _ => {}
    }
    match (wish.comfort_change_at_most_percent, option.comfort()) {
        (Some(wanted_percent), Some(comfort)) if comfort.comfort_change_percent.value > wanted_percent => {
            let change_percent = comfort.comfort_change_percent.value;
            let miss = Miss::Comfort { change_percent };
            found.push(missed_in("percent", "comfort", wish.state, change_percent, wanted_percent, miss));
        }
        (Some(_), None) => found.push((Miss::ComfortNotKnown, None)),
        _ => {}
    }
    found.extend(option.quote.as_ref().and_then(|quote| over_budget(quote, wish)));
    found
}

fn over_budget(quote: &Quote, wish: &Wish) -> Option<(Miss, Option<NearMiss>)> {
    let budget_minor = wish.budget_minor?;
    let over_minor = quote.total_minor - budget_minor;
    let miss = Miss::Budget { over_minor, currency: quote.currency.clone() };
    let near = NearMiss {
        rule: None,
        decided: true,
        what: "total price",
        state: None,
        value: quote.total_minor as f64,
        limit: budget_minor as f64,
        by: over_minor as f64,
        unit: "minor",
        words: Words::of(|language| miss.words(language)),
    };
    (over_minor > 0).then_some((miss, Some(near)))
}
