//! What is decided of a kit on a van: what the rules say of it, and what puts it out without one.

use std::sync::Arc;

use crate::answer::{KnownVan, Remark};
use crate::assembly::CannotStand;
use crate::checks::Check;
use crate::facts::{KnownFacts, Words};
use crate::fitting::{Fitting, OnVan, RuleSays, Verdict};
use crate::kit::{Kit, Offer};
use crate::remarks::{self, stops};
use crate::van_on_kit::VanOnKit;
use crate::wording::{Because, Doing, Obstacle, Said};

/// A kit that stands, and everything held against a limit, what does not hold first.
pub(crate) struct Stood {
    pub(crate) on: Arc<VanOnKit>,
    pub(crate) checks: Arc<[Check]>,
}

/// What is decided of a kit.
pub(crate) struct Decided {
    pub(crate) verdict: Verdict,
    /// What must be stopped for with it; nothing where a rule puts it out.
    pub(crate) stops: Vec<Remark>,
    /// Whether something of that is not to be stopped for today.
    pub(crate) stopped: bool,
}

impl KnownVan<'_> {
    /// What is decided of a kit on this van.
    pub fn verdict(&self, kit: &Kit) -> Verdict {
        let kit = &self.offered(kit);
        let stood = self.stood(kit);
        let fitting = self.fitting(kit, stood.as_ref().ok().map(|stood| self.on_van(stood)));
        self.decided(&fitting, stood.as_ref(), &self.facts(), &stops(&self.standing_today())).verdict
    }

    /// A kit on the van.
    ///
    /// # Errors
    /// When it is not sold for the van, or the van finds no rest on it.
    pub(crate) fn stood(&self, kit: &Kit) -> Result<Stood, CannotStand> {
        if !kit.fits.contains(&self.enquiry.vehicle) {
            return Err(CannotStand::of(Doing::LookingUp, Obstacle::NotListed));
        }
        let on = self.on_kit(kit)?;
        let checks = self.checks_on(&on);
        Ok(Stood { on, checks })
    }

    /// What rules look at of a kit that stands.
    pub(crate) fn on_van<'b>(&'b self, stood: &'b Stood) -> OnVan<'b> {
        OnVan { standing: self.standing_on_kit(&stood.on), checks: &stood.checks }
    }

    /// What is decided of a kit by the rules, else without one; what must be stopped for today counts against no kit.
    pub(crate) fn decided(
        &self,
        fitting: &Fitting,
        stood: Result<&Stood, &CannotStand>,
        facts: &KnownFacts,
        stops_today: &[Remark],
    ) -> Decided {
        let mut verdict = fitting.verdict(&self.catalogue.rules, facts);
        let (mut stops, mut stopped) = (Vec::new(), false);
        match stood {
            _ if verdict.out.is_some() => {}
            Err(why) => verdict.out = Some(not_computed(why)),
            Ok(stood) => {
                stops = remarks::stops(&self.standing_on_kit(&stood.on));
                let own_stop = own_stop(&stops, stops_today);
                stopped = own_stop.is_some();
                verdict.out = out_without_rule(fitting.kit, own_stop);
            }
        }
        Decided { verdict, stops, stopped }
    }
}

/// What must be stopped for with a kit and not today.
fn own_stop<'a>(stops: &'a [Remark], stops_today: &[Remark]) -> Option<&'a Remark> {
    let is_own = |stop: &&Remark| !stops_today.iter().any(|today| today.meaning.same_limit(&stop.meaning));
    stops.iter().find(is_own)
}

/// Why a kit that stands and that no rule puts out is out all the same; `own_stop` must be stopped for with it and not today.
fn out_without_rule(kit: &Kit, own_stop: Option<&Remark>) -> Option<RuleSays> {
    match (&kit.offer, own_stop) {
        (Offer::SetAnew, _) if !kit.has_collars() => Some(nothing_to_set()),
        (Offer::Together(_), Some(stop)) => Some(not_together(stop)),
        _ => None,
    }
}

fn computed(rule: &str, en: &str, de: &str, because: Vec<Because>) -> RuleSays {
    let reason = Words { en: en.to_owned(), de: de.to_owned() };
    RuleSays { rule: rule.to_owned(), reason, source: "computed".to_owned(), because }
}

fn nothing_to_set() -> RuleSays {
    computed(
        "fitted",
        "It is fitted already, and nothing of it can be set.",
        "Es ist bereits verbaut, und nichts daran lässt sich einstellen.",
        Vec::new(),
    )
}

fn not_together(stop: &Remark) -> RuleSays {
    computed(
        "work-together",
        "These springs and these dampers do not work together.",
        "Diese Federn und diese Dämpfer arbeiten nicht zusammen.",
        vec![Because::Stops { stop: Box::new(stop.meaning.clone()) }],
    )
}

/// The van finds no rest on it.
pub(crate) fn not_computed(why: &CannotStand) -> RuleSays {
    let why = Words::of(|language| why.words(language));
    computed(
        "stands",
        "With it the van finds no rest within its travel.",
        "Damit findet der Wagen innerhalb seines Federwegs keine Ruhelage.",
        vec![Because::NotComputed { why }],
    )
}
