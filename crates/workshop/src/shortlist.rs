//! The shortlist: every kit of the catalogue out, with the rule that put it out, or in, ranked openly by the wishes.

use std::sync::OnceLock;

use mechanics::statics::{FRONT, REAR};

use rayon::prelude::*;

use crate::answer::{KnownVan, Remark};
use crate::assembly::CannotStand;
use crate::catalogue::Catalogue;
use crate::checks::{Check, Finding, checks};
use crate::enquiry::{Delivery, Enquiry, Wish, WishKind};
use crate::facts::{KnownFacts, STRUT_TUBE_STOP, Words};
use crate::figure::Figure;
use crate::fitting::{AskNext, DependsOn, Fitting, RuleSays, Verdict, Would, ask_next, brings};
use crate::kit::{Kit, KitFamily, Offer};
use crate::load_list::LoadState;
use crate::near_miss::{NearMiss, missed_wishes};
use crate::price::{Item, Quote, Wanted, Work, quote};
use crate::ramp_time::{RampTime, Task};
use crate::remarks::{left_to, stops};
use crate::ride::{ComfortChange, Promise, RIDDEN_STATES, RideFigures};
use crate::rules::Component;
use crate::set_up::insertion_allowed_mm;
use crate::verdict::{Decided, Stood, not_computed};
use crate::wording::{Change, Doing, Miss, NotPriced, Obstacle, all_spelt, fitted_stays, spoken};

/// Answer to a shortlist question.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Shortlist {
    /// What stops the van already as it stands.
    pub stops_today: Vec<Remark>,
    /// Checks that do not hold as it stands.
    pub do_not_today: Vec<Check>,
    /// Kits that are in, best first.
    pub options: Vec<KitOption>,
    /// Kits that are out.
    pub out: Vec<OutKit>,
    /// The one question that would change most.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ask_next: Option<AskNext>,
    /// Best for each wish, by kit.
    pub best_for: Vec<BestFor>,
    /// Within the wishes, lowest total, ties by the narrower range of the drop.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub best_value: Option<String>,
}

impl Shortlist {
    /// The list as JSON; written here, where the optimiser works for speed, as it is a megabyte or two.
    ///
    /// # Errors
    /// None that is known: every key is text.
    pub fn json(&self) -> serde_json::Result<Vec<u8>> {
        serde_json::to_vec(self)
    }
}

/// A kit that is in.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct KitOption {
    /// Identifier.
    pub kit: String,
    /// Name.
    pub name: String,
    /// Maker.
    pub maker: String,
    /// What kind of kit it is.
    pub family: KitFamily,
    /// What it is, for the customer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub about: Option<Words>,
    /// Mean drop against today in the wished state, mm.
    pub drop_against_today_mm: Figure,
    /// Level in the wished state, tail-up positive, mm.
    pub level_mm: Figure,
    /// Mean arch gap of front and rear axle in the wished state, mm.
    pub arch_gap_mm: [Figure; 2],
    /// Least bump travel to metal of the four corners, fully laden, mm.
    pub least_bump_travel_to_metal_mm: Figure,
    /// What is left to the plates fully laden, the least of both axles and gross, kg.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub load_reserve_kg: Option<Figure>,
    /// Ground clearance fully laden, mm; absent where the sheet has no low points.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ground_clearance_mm: Option<Figure>,
    /// How it rides in the wished state; absent where a spring is known by its drop alone.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ride: Option<RideFigures>,
    /// Checks that do not hold, and do not fail today already.
    pub do_not: Vec<Check>,
    /// Whether it meets every wish that was stated.
    pub within_wishes: bool,
    /// Wishes it misses.
    #[serde(serialize_with = "all_spelt")]
    pub misses: Vec<Miss>,
    /// Wishes it misses, and limits that would put it out with a figure a little different.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub near_misses: Vec<NearMiss>,
    /// Kits of the catalogue to be bought for it: itself, the two of a combination, none for what is fitted already.
    pub to_buy: Vec<String>,
    /// What of the kit that is fitted now stays, so that both work together.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stays: Option<Words>,
    /// Whether no other kit is at least as good in every wish and better in one.
    pub unbeaten: bool,
    /// Whether something must be stopped for that does not hold today already.
    pub stopped: bool,
    /// What must be stopped for first.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stop: Option<Remark>,
    /// Time on the ramp, by the operations that the rules ask for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ramp_time: Option<RampTime>,
    /// What it costs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub quote: Option<Quote>,
    /// Why there is no time or no price, where there is none.
    #[serde(serialize_with = "all_spelt")]
    pub not_priced: Vec<NotPriced>,
    /// What the rules say.
    pub verdict: Verdict,
    /// A paragraph to be read out.
    pub spoken: Words,
}

/// A kit that is out.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct OutKit {
    /// Identifier.
    pub kit: String,
    /// Name.
    pub name: String,
    /// The deciding rule.
    pub because: RuleSays,
    /// Every further rule that puts it out.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub also: Vec<RuleSays>,
    /// Figures that put it out, or nearly would.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub near_misses: Vec<NearMiss>,
}

/// The best kit for one wish.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct BestFor {
    /// The wish.
    pub wish: &'static str,
    /// Kit.
    pub kit: String,
}

/// Differences below this do not make one kit better than another, mm.
const INDIFFERENT_MM: f64 = 0.5;

/// Shortlists every kit of the catalogue for the van of an enquiry.
///
/// # Errors
/// When the van cannot be computed.
pub fn shortlist(known: &KnownVan, wish: &Wish) -> Result<Shortlist, CannotStand> {
    let facts = known.facts();
    let single: Vec<Kit> = known.catalogue.kits.iter().map(|kit| known.offered(kit)).collect();
    let round = Round { known, wish, facts: &facts, today: OnceLock::new() };
    let (mut options, mut out, stood) = round.judged(&single);
    sort(&mut options, wish);
    let (more_options, more_out, _) = round.judged(&round.together(&single, &options));
    options.extend(more_options);
    out.extend(more_out);
    mark_unbeaten(&mut options, wish);
    sort(&mut options, wish);
    let (best_for, best_value) = (best_for(&options, wish), best_value(&options));
    // a question counts by the kits of the catalogue: what it decides of two, it decides of both together
    let of_catalogue = single.iter().zip(&stood).filter(|(kit, _)| kit.offer == Offer::Kit);
    let in_reach: Vec<Fitting> =
        of_catalogue.filter_map(|(kit, stood)| Some(round.fitting(kit, Some(stood.as_ref()?)))).collect();
    let Today { stops, do_not } = round.today();
    Ok(Shortlist {
        stops_today: stops.clone(),
        ask_next: ask_next(&in_reach, &known.catalogue.rules, &facts),
        do_not_today: do_not.clone(),
        options,
        out,
        best_for,
        best_value,
    })
}

/// Springs and dampers that are offered together come from so many of the best of either.
const SPRINGS_TOGETHER: usize = 4;
const DAMPERS_TOGETHER: usize = 3;

/// Kits on one van for one wish.
struct Round<'a> {
    known: &'a KnownVan<'a>,
    wish: &'a Wish,
    facts: &'a KnownFacts<'a>,
    /// Found when it is first asked for.
    today: OnceLock<Today>,
}

/// What is wrong already as the van stands.
struct Today {
    stops: Vec<Remark>,
    /// Checks that do not hold.
    do_not: Vec<Check>,
}

impl Round<'_> {
    fn today(&self) -> &Today {
        let standing = self.known.standing_today();
        let found = || Today { stops: stops(&standing), do_not: do_not_hold(&checks(&standing), &[]) };
        self.today.get_or_init(found)
    }

    fn fitting<'b>(&'b self, kit: &'b Kit, stood: Option<&'b Stood>) -> Fitting<'b> {
        let on_van = stood.map(|stood| self.known.on_van(stood));
        Fitting { wished: self.wish.state, ..self.known.fitting(kit, on_van) }
    }

    /// Springs with dampers of another kit, from the best of either among the sorted options: more of them would say
    /// nothing new.
    fn together(&self, single: &[Kit], options: &[KitOption]) -> Vec<Kit> {
        let best = |wanted: fn(&Kit) -> bool, most: usize| {
            let kit = |option: &KitOption| single.iter().find(|kit| kit.id == option.kit);
            options.iter().filter_map(kit).filter(move |kit| wanted(kit)).take(most).collect::<Vec<&Kit>>()
        };
        let dampers = best(Kit::is_dampers_alone, DAMPERS_TOGETHER);
        best(Kit::is_springs_alone, SPRINGS_TOGETHER)
            .into_iter()
            .flat_map(|springs| dampers.iter().filter_map(move |dampers| Kit::combined(springs, dampers)))
            .filter(|kit| self.known.is_bought_whole(kit))
            .collect()
    }

    /// Kits that are in, with all figures, kits that are out, with the reason, and of each whether it stands.
    fn judged(&self, kits: &[Kit]) -> (Vec<KitOption>, Vec<OutKit>, Vec<Option<Stood>>) {
        let judged: Vec<_> = kits.par_iter().map(|kit| self.judge(kit)).collect();
        let (mut options, mut out, mut stood) = (Vec::new(), Vec::new(), Vec::new());
        for (outcome, stands) in judged {
            match outcome {
                Ok(option) => options.push(option),
                Err(reason) => out.push(*reason),
            }
            stood.push(stands);
        }
        (options, out, stood)
    }

    fn judge(&self, kit: &Kit) -> (Result<KitOption, Box<OutKit>>, Option<Stood>) {
        let stood = self.stood(kit);
        (self.option_or_out(kit, stood.as_ref()), stood.ok())
    }

    /// A kit on the van; not set where it is not sold for it, nor where two kits together are out by what is known already.
    fn stood(&self, kit: &Kit) -> Result<Stood, CannotStand> {
        let rules = &self.known.catalogue.rules;
        let is_out = || self.fitting(kit, None).verdict(rules, self.facts).out.is_some();
        if kit.family == KitFamily::Combination && is_out() {
            return Err(CannotStand::of(Doing::LookingUp, Obstacle::NotListed));
        }
        self.known.stood(kit)
    }

    fn option_or_out(
        &self,
        kit: &Kit,
        stood: Result<&Stood, &CannotStand>,
    ) -> Result<KitOption, Box<OutKit>> {
        let fitting = self.fitting(kit, stood.ok());
        let near_misses = fitting.near_misses(&self.known.catalogue.rules, self.facts);
        let Decided { mut verdict, stops, stopped } =
            self.known.decided(&fitting, stood, self.facts, &self.today().stops);
        let stood = match (verdict.out.take(), stood) {
            (None, Ok(stood)) => stood,
            (Some(because), _) => return Err(out_kit(kit, because, verdict.also_out, near_misses)),
            (None, Err(why)) => return Err(out_kit(kit, not_computed(why), Vec::new(), near_misses)),
        };
        verdict.depends_on.extend(insertion_depends(self.known, kit));
        let mut option = option(self.known, kit, stood, self.wish, verdict, (stopped, stops.first()));
        option.do_not = do_not_hold(&stood.checks, &self.today().do_not);
        option.near_misses.extend(near_misses);
        Ok(option)
    }
}

/// Load state in which comfort is told: that of the wish, where a van rides in it.
fn ridden(wish: &Wish) -> LoadState {
    if RIDDEN_STATES.contains(&wish.state) { wish.state } else { LoadState::DayToDay }
}

fn out_kit(kit: &Kit, because: RuleSays, also: Vec<RuleSays>, near_misses: Vec<NearMiss>) -> Box<OutKit> {
    Box::new(OutKit { kit: kit.id.clone(), name: kit.name.clone(), because, also, near_misses })
}

/// What a deeper seat of the struts waits for, where both van and maker would allow one.
fn insertion_depends(known: &KnownVan, kit: &Kit) -> Option<DependsOn> {
    let allowed = |axle: usize| insertion_allowed_mm(known.van.axle_sheet(axle), kit, axle) > 0.0;
    let waits = known.tube_is_open().is_none() && [FRONT, REAR].into_iter().any(allowed);
    waits.then(|| DependsOn {
        fact: STRUT_TUBE_STOP.to_owned(),
        rule: "insertion".to_owned(),
        would: Would::SetLower,
        reason: Words {
            en: "The struts may go deeper only into a tube without a stop.".to_owned(),
            de: "Tiefer dürfen die Federbeine nur in ein Rohr ohne Anschlag.".to_owned(),
        },
    })
}

/// What of a fitted kit stays under a kit that does not replace all of it.
fn stays(known: &KnownVan, kit: &Kit) -> Option<Words> {
    let fitted = known.fitted_kit.as_ref().filter(|_| kit.offer != Offer::SetAnew)?;
    let (front_springs, rear_springs) =
        (brings(kit, Component::FrontSprings), brings(kit, Component::RearSprings));
    let stays: Vec<Component> = Component::CHOICES
        .into_iter()
        .map(|(_, part)| part)
        .filter(|&part| brings(fitted, part) && !brings(kit, part))
        // collars leave with the springs that stood on them
        .filter(|part| !(front_springs && *part == Component::FrontCollars))
        .filter(|part| !(rear_springs && *part == Component::RearCollars))
        .collect();
    (!stays.is_empty()).then(|| Words::of(|language| fitted_stays(language, &fitted.name, &stays)))
}

/// Checks that do not hold, but for those that fail already.
fn do_not_hold(checks: &[Check], already: &[Check]) -> Vec<Check> {
    let anew = |check: &&Check| {
        check.finding == Finding::DoNot
            && !already.iter().any(|other| other.is_of_the_same(check) && other.state == check.state)
    };
    checks.iter().filter(anew).cloned().collect()
}

fn laden_check<'a>(checks: &'a [Check], name: &str) -> Option<&'a Check> {
    checks.iter().find(|check| check.check == name && check.state == Some(LoadState::FullyLaden))
}

/// What is left to the plate that is nearest, fully laden, kg.
fn load_reserve(checks: &[Check]) -> Option<Figure> {
    let left = |name: &&str| {
        let check = laden_check(checks, name)?;
        Some(left_to(check.limit.as_ref()?.at_most?, check.figure.as_ref()?))
    };
    let plates = ["gross_mass", "front_axle_load", "rear_axle_load"];
    plates.iter().filter_map(left).min_by(|a, b| a.value.total_cmp(&b.value))
}

fn option(
    known: &KnownVan,
    kit: &Kit,
    Stood { on, checks }: &Stood,
    wish: &Wish,
    verdict: Verdict,
    (stopped, stop): (bool, Option<&Remark>),
) -> KitOption {
    let standing = known.standing_on_kit(on);
    let wished = standing.sitting(wish.state);
    let level_mm = wished.level_mm();
    let (catalogue, enquiry) = (known.catalogue, known.enquiry);
    let mut not_priced = Vec::new();
    let ramp_time = ramp_time(catalogue, &verdict, &mut not_priced);
    let quote = quoted(catalogue, enquiry, kit, &verdict, ramp_time.as_ref(), &mut not_priced);
    let mut option = KitOption {
        kit: kit.id.clone(),
        name: kit.name.clone(),
        maker: kit.maker.clone(),
        family: kit.family,
        about: kit.about.clone(),
        drop_against_today_mm: wished.mean_drop_against_today_mm().unwrap_or_else(|| level_mm.clone()),
        level_mm,
        arch_gap_mm: [FRONT, REAR].map(|axle| wished.axle_arch_gap_mm(axle)),
        least_bump_travel_to_metal_mm: standing
            .sitting(LoadState::FullyLaden)
            .least_bump_travel_to_metal_mm(),
        load_reserve_kg: load_reserve(checks),
        ground_clearance_mm: laden_check(checks, "ground_clearance").and_then(|c| c.figure.clone()),
        ride: known.rides(on, &[ridden(&known.enquiry.wish)]).pop(),
        do_not: Vec::new(),
        within_wishes: false,
        misses: Vec::new(),
        near_misses: Vec::new(),
        to_buy: kit.to_buy().into_iter().map(|part| part.id).collect(),
        stays: stays(known, kit),
        unbeaten: false,
        stopped,
        stop: stop.cloned(),
        ramp_time,
        quote,
        not_priced,
        verdict,
        spoken: Words::default(),
    };
    let (misses, near_misses): (_, Vec<Option<NearMiss>>) = missed_wishes(&option, wish).into_iter().unzip();
    (option.misses, option.near_misses) = (misses, near_misses.into_iter().flatten().collect());
    option.within_wishes = option.misses.is_empty() && !stopped;
    option.spoken = Words::of(|language| spoken(language, catalogue, &option, wish));
    option
}

/// Time of the operations that the rules ask for.
fn ramp_time(catalogue: &Catalogue, verdict: &Verdict, not_priced: &mut Vec<NotPriced>) -> Option<RampTime> {
    if let Some(waits) = waiting(verdict, Would::AddWork) {
        not_priced.push(NotPriced::WorkDependsOn { fact: waits.fact.clone() });
        return None;
    }
    let job: Vec<Task> = verdict
        .operations
        .iter()
        .map(|added| Task { operation: added.operation.clone(), times: 1 })
        .collect();
    if job.is_empty() {
        not_priced.push(NotPriced::NoOperation);
        return None;
    }
    catalogue
        .operations
        .ramp_time(&job)
        .map_err(|unknown| not_priced.push(NotPriced::UnknownOperation { operation: unknown.id }))
        .ok()
}

fn waiting(verdict: &Verdict, would: Would) -> Option<&DependsOn> {
    verdict.depends_on.iter().find(|waits| waits.would == would)
}

fn quoted(
    catalogue: &Catalogue,
    enquiry: &Enquiry,
    kit: &Kit,
    verdict: &Verdict,
    ramp_time: Option<&RampTime>,
    not_priced: &mut Vec<NotPriced>,
) -> Option<Quote> {
    let prices = catalogue.prices.as_ref()?;
    if let Some(waits) = waiting(verdict, Would::AddParts) {
        not_priced.push(NotPriced::PartsDependOn { fact: waits.fact.clone() });
        return None;
    }
    let work = match enquiry.delivery {
        Delivery::Fitted => Work::Fitted { typical_minutes: ramp_time?.typical_minutes },
        Delivery::Posted if !kit.to_buy().is_empty() => {
            Work::Posted { families: kit.to_buy().iter().map(|part| part.family).collect() }
        }
        Delivery::Posted | Delivery::Collected => Work::Collected,
    };
    let wanted = Wanted {
        parts: kit.to_buy().into_iter().map(|part| Item { part: part.id, quantity: 1 }).collect(),
        extras: verdict
            .parts
            .iter()
            .map(|added| Item { part: added.part.clone(), quantity: added.quantity })
            .collect(),
        work,
        paid_minor: enquiry.paid_minor,
        valid_until: enquiry.valid_until.clone(),
    };
    quote(prices, &wanted).map_err(|why| not_priced.push(NotPriced::NoQuote { why })).ok()
}

/// Within the wishes, lowest total; ties by the narrower range.
fn best_value(options: &[KitOption]) -> Option<String> {
    let total = |option: &KitOption| option.quote.as_ref().map(|quote| quote.total_minor);
    options
        .iter()
        .filter(|option| option.within_wishes && option.quote.is_some())
        .min_by(|a, b| {
            let width = |option: &KitOption| option.drop_against_today_mm.half_width();
            total(a).cmp(&total(b)).then(width(a).total_cmp(&width(b)))
        })
        .map(|option| option.kit.clone())
}

/// Distances from the wishes in their order, smaller is better, and the total (in units, not minor ones: a unit of
/// money is indifferent like half a millimetre is). A wish that does not count is met by all alike, and a figure that
/// is not known by none.
fn distances(option: &KitOption, wish: &Wish) -> [f64; 7] {
    let total = option
        .quote
        .as_ref()
        .map_or(0.0, |quote| quote.total_minor as f64 / 10f64.powi(i32::from(quote.currency.minor_digits)));
    let most = |kind: WishKind, figure: &Option<Figure>| match figure {
        _ if !wish.counts(kind) => 0.0,
        Some(figure) => -figure.value,
        None => f64::MAX,
    };
    [
        wish.drop_against_today_mm
            .map_or(0.0, |wished_mm| (option.drop_against_today_mm.value - wished_mm).abs()),
        option.level_mm.value.abs(),
        -option.least_bump_travel_to_metal_mm.value,
        most(WishKind::LoadReserve, &option.load_reserve_kg),
        most(WishKind::Clearance, &option.ground_clearance_mm),
        if wish.counts(WishKind::Comfort) { comfort_distance(option) } else { 0.0 },
        total,
    ]
}

/// Change of comfort, per cent, as far as one can be promised: kits of which none can stand side by side.
fn comfort_distance(option: &KitOption) -> f64 {
    match option.comfort() {
        None => f64::MAX,
        Some(change) if change.promise == Promise::NoDifference => 0.0,
        Some(change) => change.comfort_change_percent.value,
    }
}

impl KitOption {
    /// Comfort on the driver's seat against new original parts, where it is known.
    pub fn comfort(&self) -> Option<&ComfortChange> {
        self.ride.as_ref()?.comfort.as_ref()
    }
}

fn mark_unbeaten(options: &mut [KitOption], wish: &Wish) {
    let all: Vec<[f64; 7]> = options.iter().map(|option| distances(option, wish)).collect();
    let beats = |a: &[f64; 7], b: &[f64; 7]| {
        a.iter().zip(b).all(|(x, y)| *x <= y + INDIFFERENT_MM)
            && a.iter().zip(b).any(|(x, y)| *x < y - INDIFFERENT_MM)
    };
    for (k, option) in options.iter_mut().enumerate() {
        option.unbeaten = !option.stopped && !all.iter().any(|other| beats(other, &all[k]));
    }
}

/// Within the wishes first, then by the distance from the wish that was named.
fn sort(options: &mut [KitOption], wish: &Wish) {
    options.sort_by(|a, b| {
        let key = |option: &KitOption| (option.stopped, !option.within_wishes);
        let distance = |option: &KitOption| distances(option, wish)[wish.kind as usize];
        key(a).cmp(&key(b)).then(distance(a).total_cmp(&distance(b))).then(a.kit.cmp(&b.kit))
    });
}

fn best_for(options: &[KitOption], wish: &Wish) -> Vec<BestFor> {
    WishKind::CHOICES
        .into_iter()
        .filter(|(_, kind)| wish.counts(*kind))
        .filter_map(|(name, kind)| {
            let k = kind as usize;
            let fit = options.iter().filter(|option| !option.stopped);
            let best = fit.min_by(|a, b| distances(a, wish)[k].total_cmp(&distances(b, wish)[k]))?;
            Some(BestFor { wish: name, kit: best.kit.clone() })
        })
        .collect()
}

/// Name of a part in the price list, or its identifier.
pub fn part_name(catalogue: &Catalogue, id: &str) -> Words {
    let listed = catalogue.prices.as_ref().and_then(|prices| prices.part(id));
    listed.map_or_else(|| Words { en: id.to_owned(), de: id.to_owned() }, |part| part.name.clone())
}

/// What changes if kit B is chosen instead of kit A.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Comparison {
    /// Kit A.
    pub from: String,
    /// Kit B.
    pub to: String,
    /// The changes.
    #[serde(serialize_with = "all_spelt")]
    pub changes: Vec<Change>,
}

/// A range that is wider or narrower by less is not worth a sentence, mm.
const INDIFFERENT_RANGE_MM: f64 = 1.0;
/// A time that differs by less is not worth a sentence, min.
const INDIFFERENT_MINUTES: f64 = 5.0;

/// What changes if B is chosen instead of A.
pub fn compared(catalogue: &Catalogue, a: &KitOption, b: &KitOption) -> Comparison {
    let mut changes = figures_compared(a, b);
    if let (Some(of_a), Some(of_b)) = (&a.quote, &b.quote) {
        let more_minor = of_b.total_minor - of_a.total_minor;
        changes.push(Change::Cost { more_minor, currency: of_b.currency.clone() });
    }
    if let (Some(of_a), Some(of_b)) = (&a.ramp_time, &b.ramp_time) {
        let longer_minutes = of_b.typical_minutes - of_a.typical_minutes;
        if longer_minutes.abs() >= INDIFFERENT_MINUTES {
            changes.push(Change::Time { longer_minutes });
        }
    }
    let only_in = |one: &KitOption, other: &KitOption| -> Vec<Words> {
        let in_other = |id: &String| other.verdict.parts.iter().any(|part| part.part == *id);
        let ids = one.verdict.parts.iter().map(|part| &part.part).filter(|id| !in_other(id));
        ids.map(|id| part_name(catalogue, id)).collect()
    };
    changes.extend(only_in(b, a).into_iter().map(|name| Change::NeedsPart { name }));
    changes.extend(only_in(a, b).into_iter().map(|name| Change::DoesWithoutPart { name }));
    let warnings = b.verdict.warnings.iter().filter(|warning| !a.verdict.warnings.contains(warning));
    changes.extend(warnings.map(|warning| Change::Warns { reason: warning.reason.clone() }));
    Comparison { from: a.kit.clone(), to: b.kit.clone(), changes }
}

fn figures_compared(a: &KitOption, b: &KitOption) -> Vec<Change> {
    let mut changes = Vec::new();
    let lower_mm = b.drop_against_today_mm.value - a.drop_against_today_mm.value;
    changes.push(if lower_mm.abs() > INDIFFERENT_MM {
        Change::Height { lower_mm }
    } else {
        Change::SameHeight
    });
    let (from_mm, to_mm) = (a.level_mm.value, b.level_mm.value);
    if (to_mm - from_mm).abs() > INDIFFERENT_MM {
        changes.push(Change::Level { from_mm, to_mm });
    }
    let more_mm = b.least_bump_travel_to_metal_mm.value - a.least_bump_travel_to_metal_mm.value;
    if more_mm.abs() > INDIFFERENT_MM {
        changes.push(Change::Travel { more_mm });
    }
    if let (Some(from), Some(to)) = (a.comfort(), b.comfort())
        && from.promise != to.promise
    {
        changes.push(Change::Comfort { from: Box::new(from.clone()), to: Box::new(to.clone()) });
    }
    let [from_plus_minus_mm, to_plus_minus_mm] =
        [a, b].map(|option| option.drop_against_today_mm.half_width());
    if (to_plus_minus_mm - from_plus_minus_mm).abs() > INDIFFERENT_RANGE_MM {
        changes.push(Change::Certainty { from_plus_minus_mm, to_plus_minus_mm });
    }
    changes
}
