//! What is decided of a kit on a van: what the rules say of it, and what puts it out without one.

use std::sync::Arc;

use crate::answer::{KnownVan, Remark};
use crate::assembly::CannotStand;
use crate::facts::Words;
use crate::fitting::{Fitting, RuleSays, Verdict};
use crate::kit::{Kit, Offer};
use crate::remarks::stops;
use crate::van_on_kit::VanOnKit;
use crate::wording::{Because, Said};

impl KnownVan<'_> {
    /// What is decided of a kit on this van.
    pub fn verdict(&self, kit: &Kit) -> Verdict {
        let kit = &self.offered(kit);
        let on = self.on_kit_sold_for_it(kit);
        let stands = on.as_ref().and_then(|on| on.as_deref().ok());
        let checks = stands.map(|on| self.checks_on(on));
        self.decided(&self.fitting(kit, self.on_van(stands, checks.as_deref())), on.as_ref())
    }

    /// The van on a kit; none where the kit is not sold for it.
    pub(crate) fn on_kit_sold_for_it(&self, kit: &Kit) -> Option<Result<Arc<VanOnKit>, CannotStand>> {
        kit.fits.contains(&self.enquiry.vehicle).then(|| self.on_kit(kit))
    }

    pub(crate) fn decided(
        &self,
        fitting: &Fitting,
        on: Option<&Result<Arc<VanOnKit>, CannotStand>>,
    ) -> Verdict {
        let mut verdict = fitting.verdict(&self.catalogue.rules, &self.facts());
        if verdict.out.is_none() {
            verdict.out = match on {
                Some(Ok(on)) => {
                    let [stops, stops_today] =
                        [self.standing_on_kit(on), self.standing_today()].map(|s| stops(&s));
                    out_without_rule(fitting.kit, own_stop(&stops, &stops_today))
                }
                Some(Err(why)) => Some(not_computed(why)),
                None => None,
            };
        }
        verdict
    }
}

/// What must be stopped for with a kit and not today.
pub(crate) fn own_stop<'a>(stops: &'a [Remark], stops_today: &[Remark]) -> Option<&'a Remark> {
    let is_own = |stop: &&Remark| !stops_today.iter().any(|today| today.meaning.same_limit(&stop.meaning));
    stops.iter().find(is_own)
}

/// Why a kit that stands and that no rule puts out is out all the same; `own_stop` must be stopped for with it and not today.
pub(crate) fn out_without_rule(kit: &Kit, own_stop: Option<&Remark>) -> Option<RuleSays> {
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
