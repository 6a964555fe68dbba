//! The answer to an enquiry: the van, its loads, how it sits today, how it would sit with each kit.

use std::sync::{Arc, OnceLock};

use mechanics::statics::{FRONT, REAR};
use rayon::prelude::*;

use crate::air_setting::AirSetting;
use crate::assembly::{CannotStand, PreparedVan};
use crate::belief::{Belief, Origin, van_unknowns};
use crate::calibration::{ActsAt, AsFoundAxle, calibrated, explained};
use crate::catalogue::Catalogue;
use crate::checks::{Check, checks};
use crate::enquiry::{Enquiry, ScaleReading};
use crate::facts::{KnownFacts, Language, NO_STOP, STRUT_TUBE_STOP, Words};
use crate::figure::{Evidence, Figure};
use crate::fitment::{Fitment, Solved};
use crate::fitting::{Fitting, OnVan};
use crate::kit::{Kit, KitFamily};
use crate::load_list::LoadState;
use crate::loads::Carried;
use crate::remarks::{left_to, remarks};
use crate::ride::{RIDDEN_STATES, RideBench, RideFigures, RideQuestion};
use crate::set_up::{CollarSetting, settles_below_the_aim};
use crate::sit::{Shared, Sit};
use crate::standing::Standing;
use crate::units::kg_from_n;
use crate::van_on_kit::{KitsOnVan, VanOnKit};
use crate::wording::{Axle, Doing, Meaning, Obstacle, OutsideAxleBand, Said, spelt};

/// Answer to an enquiry.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Answer {
    /// Identifier of the enquiry.
    pub enquiry: String,
    /// The question in words.
    pub question: String,
    /// Van class and grade.
    pub vehicle: String,
    /// Masses and plates.
    pub weight: WeightAnswer,
    /// How the arch heights as found are explained, axle by axle.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub as_found: Vec<AsFoundAxle>,
    /// How it sits today.
    pub today: FitmentAnswer,
    /// How it would sit with each kit.
    pub kits: Vec<KitAnswer>,
}

/// Masses against the statutory plate.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct WeightAnswer {
    /// Mass in running order (90 % fuel, driver of 75 kg), kg.
    pub mass_in_running_order_kg: Figure,
    /// Plated gross mass less mass in running order, kg.
    pub payload_kg: Figure,
    /// Each load state.
    pub states: Vec<StateWeight>,
    /// What scales said, and what the list leaves unexplained.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub weighed: Vec<UnexplainedMass>,
}

/// Masses in one load state.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct StateWeight {
    /// Load state.
    pub state: LoadState,
    /// Gross mass, kg.
    pub gross_kg: Figure,
    /// Front and rear axle load, kg.
    pub axle_load_kg: [Figure; 2],
    /// Plated gross mass less gross mass, kg.
    pub gross_margin_kg: Figure,
    /// Plated axle load less axle load, kg.
    pub axle_margin_kg: [Figure; 2],
}

/// Scale readings against the load list.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct UnexplainedMass {
    /// Load state on the scales.
    pub state: LoadState,
    /// Front and rear axle as weighed, kg.
    pub weighed_axle_kg: [f64; 2],
    /// Front and rear axle by the load list, kg.
    pub listed_axle_kg: [f64; 2],
    /// Weighed less listed, kg: carried, but not on the list.
    pub unexplained_axle_kg: [f64; 2],
    /// Where the unexplained mass acts as one; absent where it is too little to be worth asking about.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub acts_at: Option<ActsAt>,
}

/// A fitment in every load state.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct FitmentAnswer {
    /// One sit per load state.
    pub states: Arc<[Sit]>,
    /// What must be stopped for or looked at.
    pub remarks: Vec<Remark>,
    /// Everything held against a limit, what does not hold first.
    pub checks: Arc<[Check]>,
    /// How it rides, in each load state in which it does; empty where a spring is known by its drop alone.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub ride: Vec<RideFigures>,
}

/// How strongly a remark speaks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Weight {
    /// Must not be done so.
    Stop,
    /// Must be looked at.
    LookAtIt,
    /// Worth knowing.
    Note,
}

/// What is remarked, and how strongly.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Remark {
    /// How strongly it speaks.
    pub weight: Weight,
    /// What it says.
    #[serde(flatten, serialize_with = "spelt")]
    pub meaning: Meaning,
}

impl Remark {
    /// What must not be done so.
    pub fn stop(meaning: Meaning) -> Self {
        Self { weight: Weight::Stop, meaning }
    }

    /// What must be looked at.
    pub fn look_at_it(meaning: Meaning) -> Self {
        Self { weight: Weight::LookAtIt, meaning }
    }

    /// What is worth knowing.
    pub fn note(meaning: Meaning) -> Self {
        Self { weight: Weight::Note, meaning }
    }
}

impl Said for Remark {
    fn words(&self, language: Language) -> String {
        self.meaning.words(language)
    }
}

/// A kit on this van.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct KitAnswer {
    /// Identifier.
    pub kit: String,
    /// Name.
    pub name: String,
    /// Maker.
    pub maker: String,
    /// What kind of kit it is.
    pub family: KitFamily,
    /// Collar positions that the aim of the enquiry asks for; the figures are given at these.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub collars: Vec<CollarSetting>,
    /// The fitment, or why it cannot be computed.
    #[serde(flatten)]
    pub outcome: KitOutcome,
}

/// What came of a kit.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum KitOutcome {
    /// It sits.
    Sits(FitmentAnswer),
    /// It cannot be computed.
    CannotBeComputed(Words),
}

/// A van with everything that is known of it, ready to try parts on.
pub struct KnownVan<'a> {
    /// Prepared sheet.
    pub van: PreparedVan<'a>,
    /// The question.
    pub enquiry: &'a Enquiry,
    /// Sheets, kits, tolerances.
    pub catalogue: &'a Catalogue,
    /// Kit that is fitted today; original parts where absent.
    pub fitted_kit: Option<Kit>,
    /// What is fitted today.
    pub fitted: Fitment,
    /// Belief before any reading.
    pub prior: Belief,
    /// Belief after the readings of the enquiry.
    pub belief: Belief,
    /// Readings that do not fit the van as described, in sentences; they are kept but nothing was learned from them.
    pub doubts: Vec<Meaning>,
    /// New original parts in each load state.
    as_new: Vec<Solved>,
    /// Today in each load state.
    today: Vec<Solved>,
    /// What figures of today share.
    today_shared: Shared,
    /// The usual question of ride, prepared when it is first asked.
    ride_bench: OnceLock<RideBench>,
    /// Kits that were set on it.
    pub(crate) kits: Arc<KitsOnVan>,
}

impl<'a> KnownVan<'a> {
    /// Identifies, loads and calibrates the van of an enquiry.
    ///
    /// # Errors
    /// When the van cannot be built or finds no rest.
    pub fn of(catalogue: &'a Catalogue, enquiry: &'a Enquiry) -> Result<Self, CannotStand> {
        let missing = || CannotStand::of(Doing::LookingUp, Obstacle::NotListed);
        let sheet = catalogue.vehicle(&enquiry.vehicle).ok_or_else(missing)?;
        let grade = sheet.grade(&enquiry.grade).ok_or_else(missing)?;
        let van = PreparedVan::new(sheet, grade, enquiry.other_wheels(catalogue).as_ref())?;
        let tolerances = &catalogue.tolerances;
        let fitted_kit = enquiry.fitted_kit.as_ref().and_then(|id| catalogue.offer(&enquiry.vehicle, id));
        let fitted = Fitment::fitted(&van, fitted_kit.as_ref(), enquiry.fitted_collars_mm, tolerances)?;
        let mut unknowns = van_unknowns(&van, enquiry, tolerances);
        unknowns.extend(fitted.unknowns(Origin::Fitted, tolerances));
        let prior = Belief::of(unknowns);
        let (belief, doubts) = calibrated(&van, enquiry, &fitted, &prior, tolerances)?;
        let in_every_state = |fitment: &Fitment| -> Result<Vec<Solved>, CannotStand> {
            LoadState::ALL
                .par_iter()
                .map(|&state| fitment.solved(&van, &Carried::of(sheet, enquiry, state), &belief, state))
                .collect()
        };
        let (as_new, today) =
            rayon::join(|| in_every_state(&Fitment::as_new(&van)), || in_every_state(&fitted));
        let (as_new, today) = (as_new?, today?);
        Ok(Self {
            van,
            enquiry,
            catalogue,
            fitted_kit,
            fitted,
            prior,
            belief,
            doubts,
            as_new,
            today_shared: Shared::of(&today),
            today,
            ride_bench: OnceLock::new(),
            kits: Arc::default(),
        })
    }

    /// The same van with what was computed of kits on it before: for another enquiry that says the same of the van
    /// ([`Enquiry::said_of_the_van`]) and is asked of the same catalogue.
    #[must_use]
    pub fn with_kits(self, kits: Arc<KitsOnVan>) -> Self {
        Self { kits, ..self }
    }

    /// What is known of the van beyond its sheet.
    pub fn facts(&self) -> KnownFacts<'a> {
        KnownFacts::of(&self.catalogue.facts, &self.van.sheet.facts, &self.enquiry.facts)
    }

    /// Whether a kit is fitted today, alone or as a part of a combination.
    pub fn is_fitted(&self, kit: &Kit) -> bool {
        let fitted = self.fitted_kit.as_ref().map(Kit::consists_of).unwrap_or_default();
        kit.consists_of().iter().all(|part| fitted.contains(part))
    }

    /// Whether nothing of a kit is fitted already. What is fitted is not bought again: there the other kit of a
    /// combination goes with it on its own.
    pub fn is_bought_whole(&self, kit: &Kit) -> bool {
        let fitted = self.fitted_kit.as_ref().map(Kit::consists_of).unwrap_or_default();
        !kit.consists_of().iter().any(|part| fitted.contains(part))
    }

    /// A kit as it can be offered: the one that is fitted today is not bought again, its collars are set anew.
    pub fn offered(&self, kit: &Kit) -> Kit {
        if self.is_fitted(kit) { kit.set_anew() } else { kit.clone() }
    }

    /// The road, the yardstick and what is not known of ride, for the usual question.
    pub fn ride_bench(&self) -> &RideBench {
        self.ride_bench.get_or_init(|| RideBench::of(self, RideQuestion::default()))
    }

    /// Loads of the van in a load state.
    pub fn carried(&self, state: LoadState) -> Carried {
        Carried::of(self.van.sheet, self.enquiry, state)
    }

    /// How the van sits today.
    pub fn today(&self) -> FitmentAnswer {
        self.today_riding(&RIDDEN_STATES)
    }

    /// The same, its ride in some load states alone.
    pub fn today_riding(&self, ridden: &[LoadState]) -> FitmentAnswer {
        let standing = self.standing_today();
        let Standing { fitment, belief, solved, .. } = standing;
        let ride = self.ride_bench().ride(self, fitment, belief, solved, ridden);
        let mut today = FitmentAnswer { ride, ..described(&standing) };
        today.remarks.splice(0..0, self.doubts.iter().cloned().map(Remark::look_at_it));
        today.remarks.sort_by_key(|remark| remark.weight);
        today
    }

    /// The parts that are on it today.
    pub(crate) fn standing_today(&self) -> Standing<'_> {
        Standing {
            known: self,
            fitment: &self.fitted,
            belief: &self.belief,
            solved: &self.today,
            shared: &self.today_shared,
            against_today: false,
        }
    }

    /// Belief with the kit's own unknowns behind it.
    pub fn belief_with(&self, fitment: &Fitment) -> Belief {
        self.belief.joined(fitment.unknowns(Origin::Kit, &self.catalogue.tolerances))
    }

    /// How the van would sit on a fitment with kit parts.
    ///
    /// # Errors
    /// When it finds no rest.
    pub fn sits_on(&self, fitment: &Fitment) -> Result<FitmentAnswer, CannotStand> {
        let belief = self.belief_with(fitment);
        let solved = self.solved_on(fitment, &belief)?;
        let shared = Shared::of(&solved);
        Ok(described(&self.standing_on(fitment, &belief, &solved, &shared)))
    }

    /// A fitment with kit parts that was solved in every load state.
    pub(crate) fn standing_on<'b>(
        &'b self,
        fitment: &'b Fitment,
        belief: &'b Belief,
        solved: &'b [Solved],
        shared: &'b Shared,
    ) -> Standing<'b> {
        Standing { known: self, fitment, belief, solved, shared, against_today: true }
    }

    /// The van on a fitment with kit parts in every load state.
    pub(crate) fn solved_on(&self, fitment: &Fitment, belief: &Belief) -> Result<Vec<Solved>, CannotStand> {
        LoadState::ALL
            .iter()
            .map(|&state| fitment.solved(&self.van, &self.carried(state), belief, state))
            .collect()
    }

    /// What is said of a kit on the van, without its ride, what holds its collars back and the axle loads it is sold for.
    pub(crate) fn told_on_kit(&self, kit: &Kit, on: &VanOnKit) -> FitmentAnswer {
        let checks = self.checks_on(on);
        let mut remarks = remarks(&self.standing_on_kit(on));
        remarks.extend(self.out_by_rule(kit, on));
        remarks.extend(self.set_remarks(on));
        remarks.sort_by_key(|remark| remark.weight);
        FitmentAnswer { states: self.sits_on_kit(on), remarks, checks, ride: Vec::new() }
    }

    /// What is remarked of how a kit is set.
    fn set_remarks(&self, on: &VanOnKit) -> Vec<Remark> {
        let settles = settles_below_the_aim(&self.enquiry.aim, &on.belief).into_iter();
        settles.chain(on.air.iter().flat_map(AirSetting::remarks)).collect()
    }

    /// A fitment with its bushes clamped anew at its ride height on the ramp.
    ///
    /// # Errors
    /// When the van finds no rest.
    pub fn reclamped(&self, fitment: Fitment) -> Result<Fitment, CannotStand> {
        let belief = self.belief_with(&fitment);
        self.reclamped_as(fitment, &belief)
    }

    pub(crate) fn reclamped_as(&self, fitment: Fitment, belief: &Belief) -> Result<Fitment, CannotStand> {
        let state = LoadState::OnTheRamp;
        fitment.reclamped(&self.van, &self.carried(state), belief, state)
    }

    /// How the van stood today in a load state.
    pub fn solved_today(&self, state: LoadState) -> &Solved {
        &self.today[state as usize]
    }

    /// How the van would stand on new original springs in a load state.
    pub fn solved_as_new(&self, state: LoadState) -> &Solved {
        &self.as_new[state as usize]
    }

    /// A kit on this van, its collars set for the aim of the enquiry.
    pub fn kit(&self, kit: &Kit) -> KitAnswer {
        self.kit_riding(kit, &RIDDEN_STATES)
    }

    /// The same, its ride in some load states alone.
    pub fn kit_riding(&self, kit: &Kit, ridden: &[LoadState]) -> KitAnswer {
        let kit = &self.offered(kit);
        let (collars, outcome) = match self.on_kit(kit) {
            Ok(on) => {
                let mut told = self.told_on_kit(kit, &on);
                told.remarks.extend(on.limits.iter().cloned());
                told.remarks.extend(self.axle_band_remarks(kit));
                told.remarks.sort_by_key(|remark| remark.weight);
                told.ride = self.rides(&on, ridden);
                (self.collars_set(kit, &on), KitOutcome::Sits(told))
            }
            Err(why) => (Vec::new(), KitOutcome::CannotBeComputed(Words::of(|language| why.words(language)))),
        };
        KitAnswer {
            kit: kit.id.clone(),
            name: kit.name.clone(),
            maker: kit.maker.clone(),
            family: kit.family,
            collars,
            outcome,
        }
    }

    /// The whole answer for a choice of kits.
    pub fn answer(&self, kits: &[&Kit]) -> Result<Answer, CannotStand> {
        Ok(Answer {
            enquiry: self.enquiry.id.clone(),
            question: self.enquiry.question.clone(),
            vehicle: format!("{}, {}", self.van.sheet.name, self.van.grade.name),
            weight: self.weight(),
            as_found: explained(&self.van, self.enquiry, &self.prior, &self.belief)?,
            today: self.today(),
            kits: kits.iter().map(|kit| self.kit(kit)).collect(),
        })
    }

    /// Masses against the plate in every load state, and what scales said.
    pub fn weight(&self) -> WeightAnswer {
        let order = &self.van.sheet.running_order;
        let running_kg = order.front_axle_kg + order.rear_axle_kg;
        let grade = self.van.grade;
        WeightAnswer {
            mass_in_running_order_kg: Figure::exact(running_kg, Evidence::MakersFigure),
            payload_kg: Figure::exact(grade.plated_gross_kg - running_kg, Evidence::Computed),
            states: self.standing_today().sits().map(|sit| self.state_weight(&sit)).collect(),
            weighed: self.unexplained(),
        }
    }

    pub(crate) fn state_weight(&self, sit: &Sit) -> StateWeight {
        let grade = self.van.grade;
        let plated = [grade.plated_front_axle_kg, grade.plated_rear_axle_kg];
        StateWeight {
            state: sit.state,
            gross_margin_kg: left_to(grade.plated_gross_kg, &sit.gross_kg),
            gross_kg: sit.gross_kg.clone(),
            axle_margin_kg: [FRONT, REAR].map(|axle| left_to(plated[axle], &sit.axle_load_kg[axle])),
            axle_load_kg: sit.axle_load_kg.clone(),
        }
    }

    /// Weighed less listed, at the middle of what is listed (before any reading moved it).
    fn unexplained(&self) -> Vec<UnexplainedMass> {
        self.enquiry
            .weighed
            .iter()
            .map(|weighing| {
                let weighed_axle_kg = match weighing.reading {
                    ScaleReading::Axles(axles) => axles,
                    ScaleReading::Corners(c) => [c[0] + c[1], c[2] + c[3]],
                };
                let carried = self.carried(weighing.state);
                let listed = carried.axle_loads_kg(self.van.sheet.wheelbase_mm);
                let listed_axle_kg = [listed.front_kg, listed.rear_kg];
                let wheels_mm = self.wheel_places_mm();
                let tolerances = &self.catalogue.tolerances;
                UnexplainedMass {
                    state: weighing.state,
                    weighed_axle_kg,
                    listed_axle_kg,
                    unexplained_axle_kg: [FRONT, REAR]
                        .map(|axle| weighed_axle_kg[axle] - listed_axle_kg[axle]),
                    acts_at: ActsAt::of(&weighing.reading, &carried, &wheels_mm, tolerances),
                }
            })
            .collect()
    }

    fn axle_band_remarks(&self, kit: &Kit) -> Vec<Remark> {
        LoadState::ALL
            .iter()
            .flat_map(|&state| self.outside_axle_band(kit, state))
            .map(|outside| Remark::look_at_it(Meaning::OutsideAxleBand(outside)))
            .collect()
    }

    /// Axles whose load lies outside what the maker sells the kit's parts for.
    fn outside_axle_band(&self, kit: &Kit, state: LoadState) -> Vec<OutsideAxleBand> {
        let load_n = self.today[state as usize].rest.wheel_load_n;
        [FRONT, REAR]
            .into_iter()
            .filter_map(|axle| {
                let [from_kg, to_kg] = kit.axle(axle)?.axle_load_kg?;
                let load_kg = kg_from_n(load_n[2 * axle] + load_n[2 * axle + 1]);
                (!(from_kg..=to_kg).contains(&load_kg)).then_some(OutsideAxleBand {
                    axle: Axle::of(axle),
                    state,
                    load_kg,
                    from_kg,
                    to_kg,
                })
            })
            .collect()
    }

    /// Whether the tubes that slip-in struts sit in are open all the way; `None` where that is not known.
    pub(crate) fn tube_is_open(&self) -> Option<bool> {
        self.facts().is(STRUT_TUBE_STOP, NO_STOP)
    }

    /// How far the collars of a kit are turned from where they were delivered before they are set, m: as they are on the
    /// van for what is fitted, else not at all.
    pub(crate) fn turned_before_m(&self, kit: &Kit) -> [f64; 4] {
        if self.is_fitted(kit) { self.fitted.collar_turned_m } else { [0.0; 4] }
    }

    /// From where the turns of collars that are fitted already count, and that nobody measured them where that is so.
    pub(crate) fn set_anew_remarks(&self) -> Vec<Remark> {
        let unmeasured = |axle: &usize| self.fitted.collars_within_m[*axle] > 0.0;
        let axles = [FRONT, REAR].into_iter().filter(unmeasured);
        let unmeasured = axles.map(|axle| {
            let adjuster = self.fitted.adjusters[axle];
            Remark::look_at_it(Meaning::CollarsUnmeasured { axle: Axle::of(axle), adjuster })
        });
        unmeasured.chain([Remark::note(Meaning::SetAnew)]).collect()
    }

    /// A kit on this van as rules see it.
    pub(crate) fn fitting<'b>(&'b self, kit: &'b Kit, on_van: Option<OnVan<'b>>) -> Fitting<'b> {
        let enquiry = self.enquiry;
        Fitting { kit, vehicle: &enquiry.vehicle, grade: self.van.grade, on_van, wished: enquiry.wish.state }
    }

    /// The rule that puts a kit out, as a stop.
    fn out_by_rule(&self, kit: &Kit, on: &VanOnKit) -> Option<Remark> {
        let checks = self.checks_on(on);
        let on_van = OnVan { standing: self.standing_on_kit(on), checks: &checks };
        let fitting = self.fitting(kit, Some(on_van));
        let rule = fitting.verdict(&self.catalogue.rules, &self.facts()).out?;
        Some(Remark::stop(Meaning::OutByRule { rule }))
    }
}

/// All that is said of a fitment but how it rides.
pub(crate) fn described(standing: &Standing) -> FitmentAnswer {
    FitmentAnswer {
        states: standing.sits().collect(),
        remarks: remarks(standing),
        checks: checks(standing).into(),
        ride: Vec::new(),
    }
}
