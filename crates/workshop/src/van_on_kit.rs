//! The van on a kit that is set for its aim: at rest in every load state, how it rides and what the checks say, before rules and
//! wishes have their say. It is the long part of an answer and depends on the
//! short part of a question, so whoever asks again gets what was computed.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use crate::air_setting::AirSetting;
use crate::answer::{KnownVan, Remark};
use crate::assembly::CannotStand;
use crate::belief::Belief;
use crate::checks::{Check, FACTS_LOOKED_AT, checks};
use crate::enquiry::Aim;
use crate::fitment::{Fitment, Solved};
use crate::kit::Kit;
use crate::load_list::LoadState;
use crate::ride::{RIDDEN_STATES, RideFigures};
use crate::set_up::Aimed;
use crate::sit::{Shared, Sit};
use crate::standing::Standing;

/// A kit on the van, set for the aim of the enquiry.
#[derive(Debug)]
pub(crate) struct VanOnKit {
    pub(crate) fitment: Fitment,
    /// Belief with the kit's own unknowns behind it.
    pub(crate) belief: Belief,
    /// What holds its collars back.
    pub(crate) limits: Vec<Remark>,
    /// At rest, by load state.
    pub(crate) solved: Vec<Solved>,
    /// What its figures share.
    shared: Shared,
    /// Every figure of how it sits, by load state, made when they are first asked for.
    sits: OnceLock<Arc<[Sit]>>,
    pub(crate) air: Vec<AirSetting>,
    /// Everything held against a limit, by what is known of the facts that checks look at.
    checks: Mutex<Vec<(LookedAt, Arc<[Check]>)>>,
    /// How it rides in each of [`RIDDEN_STATES`], found when it is first asked for; nothing where it does not.
    ride: [OnceLock<Option<RideFigures>>; RIDDEN_STATES.len()],
}

/// The answers that are possible of each of [`FACTS_LOOKED_AT`].
type LookedAt = [Vec<String>; FACTS_LOOKED_AT.len()];

/// Kits that were set on a van, to be set once.
#[derive(Debug, Default)]
pub struct KitsOnVan(Mutex<HashMap<String, Vec<Asked>>>);

/// Settings of a kit that are kept, those computed last.
const SETTINGS_KEPT: usize = 4;

/// A kit and all else that setting it looks at and that may differ between enquiries about the same van.
#[derive(Debug)]
struct Asked {
    kit: Kit,
    /// The aim, and whether the tubes of struts are open; `None` where nothing of the kit can be set.
    set_by: Option<(Aim, Option<bool>)>,
    found: Result<Arc<VanOnKit>, CannotStand>,
}

impl KnownVan<'_> {
    /// The van on a kit as it is offered.
    ///
    /// # Errors
    /// When it finds no rest on it.
    pub(crate) fn on_kit(&self, kit: &Kit) -> Result<Arc<VanOnKit>, CannotStand> {
        let set_by = (self.enquiry.aim, self.tube_is_open());
        let is_same = |asked: &&Asked| asked.set_by.is_none_or(|other| other == set_by) && asked.kit == *kit;
        let kept = || self.kits.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(asked) = kept().get(&kit.id).and_then(|asked| asked.iter().find(is_same)) {
            return asked.found.clone();
        }
        let found = self.set_on_kit(kit).map(Arc::new);
        let can_be_set = |on: &Arc<VanOnKit>| on.fitment.adjustable() != [false; 2];
        let set_by = found.as_ref().map_or(true, can_be_set).then_some(set_by);
        let asked = Asked { kit: kit.clone(), set_by, found: found.clone() };
        let mut kept = kept();
        let of_the_kit = kept.entry(kit.id.clone()).or_default();
        of_the_kit.truncate(SETTINGS_KEPT - 1);
        of_the_kit.insert(0, asked);
        found
    }

    fn set_on_kit(&self, kit: &Kit) -> Result<VanOnKit, CannotStand> {
        let aim = self.enquiry.aim;
        let Aimed { fitment, belief, limits } = self.aimed(kit)?;
        let solved = self.solved_on(&fitment, &belief)?;
        let shared = Shared::of(&solved);
        let air = self.air_settings(&fitment, &belief, aim.state, self.aimed_arch_m(&aim))?;
        let (sits, checks, ride) = Default::default();
        Ok(VanOnKit { fitment, belief, limits, solved, shared, sits, air, checks, ride })
    }

    pub(crate) fn standing_on_kit<'b>(&'b self, on: &'b VanOnKit) -> Standing<'b> {
        self.standing_on(&on.fitment, &on.belief, &on.solved, &on.shared)
    }

    /// The van on a kit, or as it stands today.
    pub(crate) fn standing<'b>(&'b self, on: Option<&'b VanOnKit>) -> Standing<'b> {
        on.map_or_else(|| self.standing_today(), |on| self.standing_on_kit(on))
    }

    /// Every figure of how it sits, by load state.
    pub(crate) fn sits_on_kit(&self, on: &VanOnKit) -> Arc<[Sit]> {
        Arc::clone(on.sits.get_or_init(|| self.standing_on_kit(on).sits().collect()))
    }

    /// Everything held against a limit, what does not hold first.
    pub(crate) fn checks_on(&self, on: &VanOnKit) -> Arc<[Check]> {
        let facts = self.facts();
        let looked_at: LookedAt =
            FACTS_LOOKED_AT.map(|fact| facts.possible(fact).iter().map(ToString::to_string).collect());
        let kept = || on.checks.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, checks)) = kept().iter().find(|(known, _)| *known == looked_at) {
            return Arc::clone(checks);
        }
        let checks: Arc<[Check]> = checks(&self.standing_on_kit(on)).into();
        kept().push((looked_at, Arc::clone(&checks)));
        checks
    }

    /// How it rides in some load states; those in which it does not are left out.
    pub(crate) fn rides(&self, on: &VanOnKit, states: &[LoadState]) -> Vec<RideFigures> {
        let VanOnKit { fitment, belief, solved, ride, .. } = on;
        let ridden = |state: &LoadState| {
            let at = RIDDEN_STATES.iter().position(|ridden| ridden == state)?;
            let found = || self.ride_bench().ride(self, fitment, belief, solved, &[*state]).pop();
            ride[at].get_or_init(found).clone()
        };
        states.iter().filter_map(ridden).collect()
    }
}
