//! Set-up: where each collar goes so that the van stands where it was promised, and what to read on the ramp.

use mechanics::statics::{FRONT, FourCorners, Parameter, REAR, Rest, Sensitivities, TravelLimits, axle_of};

use crate::air_setting::AirSetting;
use crate::answer::{FitmentAnswer, KnownVan, Remark};
use crate::assembly::{CannotStand, axle_mean, changes_for};
use crate::belief::{Belief, CORNER_WORDS};
use crate::enquiry::Aim;
use crate::facts::Words;
use crate::figure::Figure;
use crate::fitment::{Fitment, Solved};
use crate::kit::{ClickSheet, CollarSheet, Kit, KitAxle};
use crate::load_list::LoadState;
use crate::sit::Sit;
use crate::units::{kg_from_n, m_from_mm, mm_from_m, n_from_kg};
use crate::van_on_kit::VanOnKit;
use crate::vehicle_sheet::AxleSheet;
use crate::wording::{
    Adjuster, Axle, CollarEnd, Doing, KeptHigher, LeanSays, Meaning, Setting, Side, all_spelt,
};

/// Compression that a spring must keep at full rebound, mm of spring (common practice, no source).
pub const LEAST_CAPTIVE_MM: f64 = 5.0;
/// Bump travel to metal that must be kept, mm of wheel travel (common practice, no source).
pub const LEAST_BUMP_TO_METAL_MM: f64 = 50.0;
/// An axle that collars leave higher than wished by less than this is not inserted deeper, mm.
const WORTH_INSERTING_MM: f64 = 2.0;
/// A quarter turn that widens a margin by less than this share of its own length does not widen it (own estimate).
const LEAST_WIDENING: f64 = 0.1;
/// A lean below this is not worth an unequal setting, mm (common practice, no source).
pub const LEAST_LEAN_MM: f64 = 4.0;
/// Diagonal load that an unequal setting may add, per cent of the gross load (common practice, no source).
pub const MOST_DIAGONAL_PERCENT: f64 = 1.5;

/// The set-up of a kit on a van.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct SetUp {
    /// Kit.
    pub kit: String,
    /// Load state that is aimed at.
    pub aim_state: LoadState,
    /// Mean arch height of front and rear axle aimed at, mm: as wished where both axles can be adjusted, where one can,
    /// the height of the other and what is level with it, where none can, the heights that come out.
    pub aim_arch_height_mm: [f64; 2],
    /// Axles that can be adjusted, by collars, bolts or air.
    pub adjustable: [bool; 2],
    /// Collars, where the kit has any.
    pub collars: Vec<CollarSetting>,
    /// Mean arch height of each axle less what was aimed at, mm, in the aimed state once settled. Where only one axle
    /// has collars they serve the level, and its aim follows the other axle.
    pub miss_mm: [Figure; 2],
    /// Auxiliary air springs, where there are any.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub air: Vec<AirSetting>,
    /// What holds the collars back.
    pub limits: Vec<Remark>,
    /// By how much an axle misses the aim, where it does.
    pub misses: Vec<Remark>,
    /// Expected readings on the ramp, before the new springs have settled.
    pub on_the_ramp: Vec<RampReading>,
    /// Loss of arch height allowed for new springs settling after the ramp, mm, front and rear; none where the aim is
    /// meant on the ramp: it is met as it is read there.
    pub settling_allowance_mm: [f64; 2],
    /// Other things to set or cut.
    #[serde(serialize_with = "all_spelt")]
    pub other_settings: Vec<Setting>,
    /// A lean that remains, its explanation and the unequal setting that would take it out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lean: Option<LeanOffer>,
    /// The van so set, in every load state.
    pub result: FitmentAnswer,
    /// Cautions that every paper carries.
    pub cautions: Vec<Words>,
}

/// One collar.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct CollarSetting {
    /// Corner.
    pub corner: &'static str,
    /// Collar, or bolt of a torsion bar.
    pub adjuster: Adjuster,
    /// Position from the datum, unloaded on the bench, up the thread positive, mm.
    pub position_mm: f64,
    /// Turns from where it was delivered, in quarters; of what is fitted already, from where it is now. Up positive.
    pub turns_from_delivered: f64,
    /// `up`, `down` or `stay`.
    pub way: &'static str,
    /// Which face to which face.
    pub datum: String,
    /// Usable range, mm.
    pub range_mm: [f64; 2],
    /// Thread pitch, mm per turn.
    pub thread_pitch_mm: f64,
    /// Change of this corner's own arch height per turn of both collars of the axle, mm.
    pub arch_mm_per_turn: f64,
}

/// What to read at a corner on the ramp.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct RampReading {
    /// Corner.
    pub corner: &'static str,
    /// Arch height to be read, mm, at the middle of the friction band.
    pub arch_height_mm: Figure,
    /// Lowest arch height that friction allows, mm.
    pub lowest_rest_mm: f64,
    /// Highest arch height that friction allows, mm.
    pub highest_rest_mm: f64,
}

/// A lean and what may be done about it.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct LeanOffer {
    /// Lean of front and rear axle in the aimed state, left less right, mm.
    pub lean_mm: [f64; 2],
    /// Load on the left wheels less load on the right, kg.
    pub side_load_kg: f64,
    /// What explains it.
    #[serde(serialize_with = "all_spelt")]
    pub explanation: Vec<LeanSays>,
    /// Further turns of each collar against the equal setting, in quarters, up positive; empty without four collars.
    pub unequal_turns: Vec<f64>,
    /// Lean that the unequal setting leaves, mm.
    pub lean_left_mm: [f64; 2],
    /// Change of the diagonal load (front left and rear right less the other two), kg.
    pub diagonal_load_kg: f64,
    /// Bound on that change, kg.
    pub diagonal_bound_kg: f64,
}

/// Cautions that go with every set-up and correction, English and German.
const CAUTIONS: [[&str; 2]; 7] = [
    [
        "Compressed springs store enough force to kill: use a rated compressor, never open a loaded top nut.",
        "Gespannte Federn können töten: zugelassenen Spanner verwenden, nie eine belastete Domlagermutter lösen.",
    ],
    [
        "Support the van on the maker's lifting points; wheels hang free while collars are turned.",
        "Den Wagen an den Aufnahmepunkten des Herstellers abstützen; beim Verstellen hängen die Räder frei.",
    ],
    ["Never heat a gas-filled damper body.", "Einen Gasdruckdämpfer nie erhitzen."],
    [
        "Tighten bolts through rubber bushes only at ride height.",
        "Schrauben durch Gummilager erst in Fahrhöhe festziehen.",
    ],
    [
        "Brake hoses and sensor leads must neither stretch nor be trapped over full travel and steering lock; a load-sensing brake valve is reset as the maker says before the van is driven.",
        "Bremsschläuche und Sensorleitungen dürfen über den ganzen Federweg und Lenkeinschlag weder spannen noch klemmen; ein lastabhängiger Bremsdruckregler wird vor der Fahrt nach Herstellerangabe eingestellt.",
    ],
    [
        "New fasteners and torques as the maker says. Wheel alignment, lamp aim and driver-assistance sensors are checked after any height change.",
        "Neue Schrauben und Anzugsmomente nach Herstellerangabe. Nach jeder Höhenänderung Achsvermessung, Scheinwerfer und Assistenzsensoren prüfen.",
    ],
    [
        "Plated limits and tyre ratings are not changed by a kit. The makers' instructions, local codes and licensed practice come first.",
        "Zulässige Lasten und Reifentragfähigkeit ändert kein Satz. Herstellerangaben, örtliche Vorschriften und Fachbetriebe gehen vor.",
    ],
];

/// Cautions that every paper carries.
pub(crate) fn cautions() -> Vec<Words> {
    CAUTIONS.iter().map(|[en, de]| Words { en: (*en).to_owned(), de: (*de).to_owned() }).collect()
}

/// Collars of a kit turned to quarter turns from where they were delivered, and the sheet they follow.
pub(crate) fn collar_of(kit: &Kit, axle: usize) -> Option<&CollarSheet> {
    kit.axle(axle).and_then(|parts: &KitAxle| parts.collar.as_ref())
}

/// Quarter turn of a collar, m.
pub(crate) fn quarter_turn_m(collar: &CollarSheet) -> f64 {
    m_from_mm(0.25 * collar.thread_pitch_mm)
}

impl KnownVan<'_> {
    /// Sets a kit up for the aim of the enquiry.
    ///
    /// # Errors
    /// When the van finds no rest on the kit.
    pub fn set_up(&self, kit: &Kit) -> Result<SetUp, CannotStand> {
        let kit = &self.offered(kit);
        self.set_up_sheet(kit, self.on_kit(kit)?.as_ref())
    }

    /// Where the collars of a kit stand once it is set.
    pub(crate) fn collars_set(&self, kit: &Kit, on: &VanOnKit) -> Vec<CollarSetting> {
        let solved = &on.solved[self.enquiry.aim.state as usize];
        collar_settings(kit, self.turned_before_m(kit), &on.fitment, solved)
    }

    /// The kit on the van, its collars set for the aim of the enquiry.
    ///
    /// # Errors
    /// When the van finds no rest on the kit.
    pub fn set_up_fitment(&self, kit: &Kit) -> Result<Fitment, CannotStand> {
        Ok(self.on_kit(kit)?.fitment.clone())
    }

    /// The kit on the van, its collars and its air set for the aim of the enquiry.
    pub(crate) fn aimed(&self, kit: &Kit) -> Result<Aimed, CannotStand> {
        let aim = self.enquiry.aim;
        let aim_m = self.aimed_arch_m(&aim);
        let mut limits = Vec::new();
        let (delivered, belief) = if self.is_fitted(kit) {
            limits.extend(self.set_anew_remarks());
            (self.fitted.clone(), self.belief_with(&self.fitted))
        } else {
            let fitment = self.fitted.with_kit(&self.van, kit, &self.catalogue.tolerances)?;
            let belief = self.belief_with(&fitment);
            (self.reclamped_as(fitment, &belief)?, belief)
        };
        let fitment = self.turned_to(delivered, &belief, kit, aim.state, aim_m, &mut limits)?;
        let fitment = self.with_air_set(fitment, &belief, aim.state, aim_m)?;
        Ok(Aimed { fitment, belief, limits })
    }

    /// Mean arch heights of both axles that give the aimed mean drop and level, m.
    pub(crate) fn aimed_arch_m(&self, aim: &Aim) -> [f64; 2] {
        let today = self.solved_today(aim.state).band.middle.arch_height_m;
        let mean_m = 0.25 * today.iter().sum::<f64>() - m_from_mm(aim.drop_against_today_mm);
        let difference_m = m_from_mm(self.van.sheet.level_floor_difference_mm + aim.level_mm);
        [mean_m - 0.5 * difference_m, mean_m + 0.5 * difference_m]
    }

    /// Turns the collars, left and right alike, until the axles stand as aimed; then to quarter turns within what
    /// thread, captive spring and bump travel allow.
    ///
    /// With collars on one axle only, that axle serves the level, and the height comes out as it may.
    fn turned_to(
        &self,
        delivered: Fitment,
        belief: &Belief,
        kit: &Kit,
        state: LoadState,
        aim_m: [f64; 2],
        remarks: &mut Vec<Remark>,
    ) -> Result<Fitment, CannotStand> {
        let mut fitment = delivered;
        if fitment.collars == [false; 2] {
            return Ok(fitment);
        }
        for _ in 0..8 {
            let (van, rest) = self.at_rest(&fitment, belief, state)?;
            let change =
                pair_turns(&van, &rest, fitment.collars, self.axle_misses(&rest, fitment.collars, aim_m));
            for axle in [FRONT, REAR] {
                turn_pair(&mut fitment, axle, change[axle].clamp(-0.05, 0.05));
            }
            if change.iter().all(|c| c.abs() < 1e-7) {
                break;
            }
        }
        for axle in [FRONT, REAR] {
            if let Some(collar) = collar_of(kit, axle) {
                self.keep_in_range(&mut fitment, belief, axle, collar, state, remarks)?;
                remarks.extend(self.insert_deeper(&mut fitment, kit, belief, axle, state, aim_m)?);
            }
        }
        self.reclamped_as(fitment, belief)
    }

    /// Aimed less present arch height per axle; an axle without collars passes its miss on to the other's level.
    pub(crate) fn axle_misses(&self, rest: &Rest, collars: [bool; 2], aim_m: [f64; 2]) -> [f64; 2] {
        let present = [FRONT, REAR].map(|axle| axle_mean(&rest.arch_height_m, axle));
        let difference_m = aim_m[REAR] - aim_m[FRONT];
        match collars {
            [true, true] => [aim_m[FRONT] - present[FRONT], aim_m[REAR] - present[REAR]],
            [true, false] => [present[REAR] - difference_m - present[FRONT], 0.0],
            [false, true] => [0.0, present[FRONT] + difference_m - present[REAR]],
            [false, false] => [0.0; 2],
        }
    }

    /// Brings the collars of an axle to the nearest quarter turn that thread, captive spring and bump travel allow.
    fn keep_in_range(
        &self,
        fitment: &mut Fitment,
        belief: &Belief,
        axle: usize,
        collar: &CollarSheet,
        state: LoadState,
        remarks: &mut Vec<Remark>,
    ) -> Result<(), CannotStand> {
        let quarter_m = quarter_turn_m(collar);
        let least = ((collar.lowest_mm - collar.delivered_mm) / mm_from_m(quarter_m)).ceil();
        let most = ((collar.highest_mm - collar.delivered_mm) / mm_from_m(quarter_m)).floor();
        let wanted = (fitment.collar_turned_m[2 * axle] / quarter_m).round();
        let quarters = wanted.clamp(least, most);
        if (quarters - wanted).abs() > 0.5 {
            let end = if wanted < least { CollarEnd::Lowest } else { CollarEnd::Highest };
            let adjuster = fitment.adjusters[axle];
            remarks.push(Remark::look_at_it(Meaning::CollarsAtEnd { axle: Axle::of(axle), adjuster, end }));
        }
        set_pair(fitment, axle, quarters * quarter_m);
        remarks.extend(self.raised_enough(fitment, belief, axle, collar, state)?);
        Ok(())
    }

    /// Where the collars leave an axle too high and both van and maker allow it, sets the struts deeper into their
    /// tubes: spring and damper go down together, so the spring stays as captive as it was. Says what it depends on where
    /// that is not known.
    fn insert_deeper(
        &self,
        fitment: &mut Fitment,
        kit: &Kit,
        belief: &Belief,
        axle: usize,
        state: LoadState,
        aim_m: [f64; 2],
    ) -> Result<Option<Remark>, CannotStand> {
        let allowed_m = m_from_mm(insertion_allowed_mm(self.van.axle_sheet(axle), kit, axle));
        let (van, rest) = self.at_rest(fitment, belief, state)?;
        let too_high_m = -self.axle_misses(&rest, fitment.collars, aim_m)[axle];
        if allowed_m <= 0.0 || too_high_m < m_from_mm(WORTH_INSERTING_MM) {
            return Ok(None);
        }
        match self.tube_is_open() {
            Some(true) => {}
            Some(false) => return Ok(None),
            None => {
                let up_to_mm = mm_from_m(allowed_m);
                let meaning = Meaning::DeeperDependsOnTube { axle: Axle::of(axle), up_to_mm };
                return Ok(Some(Remark::look_at_it(meaning)));
            }
        }
        let sensitivities = Sensitivities::at(&van, &rest);
        let per_m: f64 = [2 * axle, 2 * axle + 1]
            .map(|i| axle_mean(&sensitivities.response_to(Parameter::BodyShift(i)).arch_height_m, axle))
            .iter()
            .sum();
        let whole_mm = mm_from_m((too_high_m / per_m).clamp(0.0, allowed_m)).floor();
        fitment.insertion_m[axle] = m_from_mm(whole_mm);
        while fitment.insertion_m[axle] > 0.0 && self.too_low(fitment, belief, axle, state)? {
            fitment.insertion_m[axle] = (fitment.insertion_m[axle] - 1e-3).max(0.0);
        }
        Ok(None)
    }

    /// Turns both collars of an axle up by quarters until its springs stay captive and its bump travel is left; says
    /// what came of it, where they had to.
    pub(crate) fn raised_enough(
        &self,
        fitment: &mut Fitment,
        belief: &Belief,
        of: usize,
        collar: &CollarSheet,
        state: LoadState,
    ) -> Result<Vec<Remark>, CannotStand> {
        let mut remarks = Vec::new();
        if !self.too_low(fitment, belief, of, state)? {
            return Ok(remarks);
        }
        for margin in Margin::ALL {
            let (axle, adjuster, why) = (Axle::of(of), fitment.adjusters[of], margin.kept());
            let meaning = match self.raised_for(margin, fitment, belief, of, collar, state)? {
                Raised::NotNeeded => continue,
                Raised::Enough => Meaning::CollarsKeptHigher { axle, adjuster, why },
                Raised::ToTheEnd => Meaning::CollarsEndTooLow { axle, adjuster, why },
                Raised::WithoutAvail => Meaning::TurningUpGainsNone { axle, adjuster, why },
            };
            remarks.push(Remark::look_at_it(meaning));
        }
        Ok(remarks)
    }

    /// Turns both collars of an axle up until a margin is met, as far as the thread goes. Where a turn does not widen
    /// the margin (coil bind, or a stop inside the spring, comes as much earlier as the van rises) they go back to where
    /// they were.
    fn raised_for(
        &self,
        margin: Margin,
        fitment: &mut Fitment,
        belief: &Belief,
        axle: usize,
        collar: &CollarSheet,
        state: LoadState,
    ) -> Result<Raised, CannotStand> {
        let quarter_m = quarter_turn_m(collar);
        let highest_m = m_from_mm(collar.highest_mm - collar.delivered_mm);
        let corners = [2 * axle, 2 * axle + 1];
        let wished_m = fitment.collar_turned_m;
        let most = corners.map(|i| ((highest_m - wished_m[i]) / quarter_m + 1e-9).floor()).into_iter();
        let most = most.fold(f64::INFINITY, f64::min).max(0.0) as usize;
        let left_mm = |fitment: &mut Fitment, quarters: usize| {
            fitment.collar_turned_m = wished_m;
            for i in corners {
                fitment.collar_turned_m[i] += quarters as f64 * quarter_m;
            }
            self.left_mm(margin, fitment, belief, axle, state)
        };
        let least_mm = margin.least_mm();
        let (mut turned, mut left, mut leap) = (0, left_mm(fitment, 0)?, 1);
        if left >= least_mm {
            return Ok(Raised::NotNeeded);
        }
        // several quarters at once, as far as the last have shown that the margin is not met yet
        while left < least_mm {
            leap = leap.min(most - turned);
            if leap == 0 {
                return Ok(Raised::ToTheEnd);
            }
            // the last quarter of a leap widens the margin least, and must not be more than enough
            let before = if leap > 1 { left_mm(fitment, turned + leap - 1)? } else { left };
            let raised = left_mm(fitment, turned + leap)?;
            let widened = raised - before;
            let is_in_vain = widened < LEAST_WIDENING * mm_from_m(quarter_m);
            if leap > 1 && (is_in_vain || before >= least_mm) {
                leap = 1;
                continue;
            }
            if is_in_vain {
                fitment.collar_turned_m = wished_m;
                return Ok(Raised::WithoutAvail);
            }
            (turned, left) = (turned + leap, raised);
            leap = (((least_mm - left) / widened).ceil() as usize).saturating_sub(1).max(1);
        }
        Ok(Raised::Enough)
    }

    /// Whether an axle stands lower than captive springs and bump travel allow.
    pub(crate) fn too_low(
        &self,
        fitment: &Fitment,
        belief: &Belief,
        axle: usize,
        state: LoadState,
    ) -> Result<bool, CannotStand> {
        let (van, rest) = self.at_rest(fitment, belief, state)?;
        Ok(Margin::ALL
            .iter()
            .any(|&margin| self.left_at_rest_mm(margin, &van, &rest, axle) < margin.least_mm()))
    }

    /// What is left of a margin at the worse wheel of an axle, mm.
    fn left_mm(
        &self,
        margin: Margin,
        fitment: &Fitment,
        belief: &Belief,
        axle: usize,
        state: LoadState,
    ) -> Result<f64, CannotStand> {
        let (van, rest) = self.at_rest(fitment, belief, state)?;
        Ok(self.left_at_rest_mm(margin, &van, &rest, axle))
    }

    fn left_at_rest_mm(&self, margin: Margin, van: &FourCorners, rest: &Rest, axle: usize) -> f64 {
        if margin == Margin::Captive && self.van.axle_sheet(axle).linkage.holds_its_spring() {
            return f64::INFINITY;
        }
        let [left_m, right_m] =
            [2 * axle, 2 * axle + 1].map(|i| margin.of(&van.corners[i].ends_from(rest.axle_travel(i))));
        mm_from_m(left_m.min(right_m))
    }

    pub(crate) fn at_rest(
        &self,
        fitment: &Fitment,
        belief: &Belief,
        state: LoadState,
    ) -> Result<(FourCorners, Rest), CannotStand> {
        let van = fitment.van(&self.van, &self.carried(state), belief, state);
        let today = &self.solved_today(state).band.middle;
        let rest = van.rest_from(today.body, today.travel_m);
        let rest = rest.map_err(|no_rest| CannotStand::of(Doing::FindingRest(state), no_rest))?;
        Ok((van, rest))
    }

    fn set_up_sheet(&self, kit: &Kit, on: &VanOnKit) -> Result<SetUp, CannotStand> {
        let (aim, VanOnKit { fitment, belief, .. }) = (self.enquiry.aim, on);
        let aim_m = self.aimed_arch_m(&aim);
        let result = self.told_on_kit(kit, on);
        let aimed = &result.states[aim.state as usize];
        let solved = &on.solved[aim.state as usize];
        let adjustable = fitment.adjustable();
        let miss_mm = axle_misses_mm(belief, solved, adjustable, aim_m);
        let arch_mm = [FRONT, REAR].map(|axle| axle_figure_mm(belief, solved, axle));
        let misses = [FRONT, REAR]
            .into_iter()
            .filter_map(|axle| miss_remark(axle, adjustable, &miss_mm[axle], &arch_mm[axle]))
            .collect();
        let aim_arch_height_mm = [FRONT, REAR].map(|axle| {
            let reached_mm = arch_mm[axle].value;
            if adjustable[axle] { reached_mm - miss_mm[axle].value } else { reached_mm }
        });
        Ok(SetUp {
            kit: kit.id.clone(),
            aim_state: aim.state,
            aim_arch_height_mm,
            adjustable,
            collars: self.collars_set(kit, on),
            miss_mm,
            air: on.air.clone(),
            limits: on.limits.clone(),
            misses,
            on_the_ramp: ramp_readings(&result.states[LoadState::OnTheRamp as usize]),
            settling_allowance_mm: [FRONT, REAR].map(|axle| settling_mm(belief, solved, axle)),
            other_settings: other_settings(kit, fitment),
            lean: self.lean_offer(kit, fitment, belief, aimed)?,
            result,
            cautions: cautions(),
        })
    }

    /// Explains a lean in the aimed state and offers the unequal setting that takes it out, within its bound.
    fn lean_offer(
        &self,
        kit: &Kit,
        fitment: &Fitment,
        belief: &Belief,
        sit: &Sit,
    ) -> Result<Option<LeanOffer>, CannotStand> {
        let lean_mm = [FRONT, REAR].map(|axle| sit.lean_mm[axle].value);
        if lean_mm.iter().all(|lean| lean.abs() < LEAST_LEAN_MM) {
            return Ok(None);
        }
        let (_, rest) = self.at_rest(fitment, belief, sit.state)?;
        let load_kg = rest.wheel_load_n.map(kg_from_n);
        let gross_kg: f64 = load_kg.iter().sum();
        let side_load_kg = load_kg[0] + load_kg[2] - load_kg[1] - load_kg[3];
        let mut offer = LeanOffer {
            lean_mm,
            side_load_kg,
            explanation: lean_explanation(side_load_kg, lean_mm),
            unequal_turns: Vec::new(),
            lean_left_mm: lean_mm,
            diagonal_load_kg: 0.0,
            diagonal_bound_kg: 0.01 * MOST_DIAGONAL_PERCENT * gross_kg,
        };
        if fitment.collars != [false; 2]
            && let Some(split) = self.split(kit, fitment, belief, sit.state)?
        {
            offer.unequal_turns = split.turns.to_vec();
            offer.diagonal_load_kg = split.diagonal_load_kg;
            offer.lean_left_mm = split.lean_left_mm;
        }
        Ok(Some(offer))
    }

    /// Quarter turns of each collar that take the lean out as far as the bound on the diagonal load allows.
    pub(crate) fn split(
        &self,
        kit: &Kit,
        fitment: &Fitment,
        belief: &Belief,
        state: LoadState,
    ) -> Result<Option<Split>, CannotStand> {
        let (van, rest) = self.at_rest(fitment, belief, state)?;
        let gross_kg: f64 = rest.wheel_load_n.iter().map(|&n| kg_from_n(n)).sum();
        let bound_kg = 0.01 * MOST_DIAGONAL_PERCENT * gross_kg;
        let before_n = diagonal_n(&rest);
        let wanted_m = opposed_turns(&van, &rest, fitment.collars, n_from_kg(bound_kg));
        let mut was_low = [false; 2];
        for axle in [FRONT, REAR] {
            was_low[axle] = self.too_low(fitment, belief, axle, state)?;
        }
        let mut best: Option<(f64, Split)> = None;
        for quarters in quarters_around(kit, wanted_m) {
            let mut unequal = fitment.clone();
            let mut turns = [0.0; 4];
            for i in 0..4 {
                if let Some(collar) = collar_of(kit, axle_of(i)) {
                    let own = mechanics::statics::side_of(i) * quarters[axle_of(i)];
                    unequal.collar_turned_m[i] += own * quarter_turn_m(collar);
                    turns[i] = 0.25 * own;
                }
            }
            let within_thread = (0..4).all(|i| {
                collar_of(kit, axle_of(i)).is_none_or(|collar| {
                    let mm = collar.delivered_mm + mm_from_m(unequal.collar_turned_m[i]);
                    (collar.lowest_mm..=collar.highest_mm).contains(&mm)
                })
            });
            let (_, rest) = self.at_rest(&unequal, belief, state)?;
            let diagonal_load_kg = kg_from_n(diagonal_n(&rest) - before_n);
            let arch = rest.arch_height_m;
            let lean_left_mm = [mm_from_m(arch[0] - arch[1]), mm_from_m(arch[2] - arch[3])];
            let left = lean_left_mm[0].hypot(lean_left_mm[1]);
            let better = best.as_ref().is_none_or(|(least, _)| left < *least);
            let mut kept = true;
            for axle in [FRONT, REAR] {
                let stays = !self.too_low(&unequal, belief, axle, state)?;
                kept &= !fitment.collars[axle] || was_low[axle] || stays;
            }
            if within_thread && kept && diagonal_load_kg.abs() <= bound_kg && better {
                best = Some((left, Split { fitment: unequal, turns, diagonal_load_kg, lean_left_mm }));
            }
        }
        Ok(best.map(|(_, split)| split))
    }
}

/// What an axle must not be lowered below.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Margin {
    /// Spring compression at full rebound.
    Captive,
    /// Bump travel to metal.
    BumpToMetal,
}

impl Margin {
    const ALL: [Self; 2] = [Self::Captive, Self::BumpToMetal];

    fn of(self, limits: &TravelLimits) -> f64 {
        match self {
            Self::Captive => limits.captive_in_hand_m,
            Self::BumpToMetal => limits.to_metal_m,
        }
    }

    fn least_mm(self) -> f64 {
        match self {
            Self::Captive => LEAST_CAPTIVE_MM,
            Self::BumpToMetal => LEAST_BUMP_TO_METAL_MM,
        }
    }

    fn kept(self) -> KeptHigher {
        let least_mm = self.least_mm();
        match self {
            Self::Captive => KeptHigher::Captive { least_mm },
            Self::BumpToMetal => KeptHigher::TravelToMetal { least_mm },
        }
    }
}

/// What turning collars up for a margin came to.
enum Raised {
    /// The margin was there.
    NotNeeded,
    /// It is there now.
    Enough,
    /// The thread ends before it is there.
    ToTheEnd,
    /// Turning up does not widen it.
    WithoutAvail,
}

/// A kit on the van, set for the aim of the enquiry.
pub(crate) struct Aimed {
    pub(crate) fitment: Fitment,
    pub(crate) belief: Belief,
    /// What holds its collars back.
    pub(crate) limits: Vec<Remark>,
}

/// Collars of an axle set apart.
pub(crate) struct Split {
    /// The fitment so set.
    pub(crate) fitment: Fitment,
    /// Further turns of each collar, up positive.
    pub(crate) turns: [f64; 4],
    /// Change of the diagonal load, kg.
    pub(crate) diagonal_load_kg: f64,
    /// Lean that remains, mm.
    pub(crate) lean_left_mm: [f64; 2],
}

/// Deeper insertion than usual that both the van's tube, if it has no stop, and the kit's maker allow, mm.
pub(crate) fn insertion_allowed_mm(sheet: &AxleSheet, kit: &Kit, axle: usize) -> f64 {
    let maker_mm = kit.axle(axle).and_then(|parts| parts.extra_insertion_mm);
    sheet.spare_insertion_mm.zip(maker_mm).map_or(0.0, |(tube_mm, maker_mm)| tube_mm.min(maker_mm))
}

/// Mean arch height of each axle less what is aimed at, mm. Collars on one axle alone serve the level: that axle is
/// then aimed at the height that goes with the other, wherever it came to stand.
pub(crate) fn axle_misses_mm(
    belief: &Belief,
    solved: &Solved,
    collars: [bool; 2],
    aim_m: [f64; 2],
) -> [Figure; 2] {
    [FRONT, REAR].map(|axle| {
        let other = 1 - axle;
        let serves_level = collars[axle] && !collars[other];
        let follows = if serves_level { 1.0 } else { 0.0 };
        let mean = |arch: &[f64; 4]| axle_mean(arch, axle) - follows * axle_mean(arch, other);
        let aimed_m = aim_m[axle] - follows * aim_m[other];
        let row = solved.row(|r| 1e3 * mean(&r.arch_height_m));
        belief.figure(mm_from_m(mean(&solved.band.middle.arch_height_m) - aimed_m), &row)
    })
}

/// Mean arch height of an axle, mm.
fn axle_figure_mm(belief: &Belief, solved: &Solved, axle: usize) -> Figure {
    let mean_mm = |arch_m: &[f64; 4]| mm_from_m(axle_mean(arch_m, axle));
    let row = solved.row(|r| mean_mm(&r.arch_height_m));
    belief.figure(mean_mm(&solved.band.middle.arch_height_m), &row)
}

fn miss_remark(axle: usize, adjustable: [bool; 2], miss: &Figure, arch: &Figure) -> Option<Remark> {
    let (is_adjustable, axle, miss_mm) = (adjustable[axle], Axle::of(axle), miss.clone());
    if !is_adjustable {
        return Some(Remark::note(Meaning::NotAdjustable { axle, arch_height_mm: arch.clone() }));
    }
    (miss.value.abs() >= 2.0).then(|| Remark::note(Meaning::MissesAim { axle, miss_mm }))
}

fn turn_pair(fitment: &mut Fitment, axle: usize, by_m: f64) {
    set_pair(fitment, axle, fitment.collar_turned_m[2 * axle] + by_m);
}

fn set_pair(fitment: &mut Fitment, axle: usize, turned_m: f64) {
    fitment.collar_turned_m[2 * axle] = turned_m;
    fitment.collar_turned_m[2 * axle + 1] = turned_m;
}

/// Mean arch height of an axle per metre of both collars of another: [collars of][read at].
pub(crate) fn pair_slopes(van: &FourCorners, rest: &Rest) -> [[f64; 2]; 2] {
    let sensitivities = Sensitivities::at(van, rest);
    [FRONT, REAR].map(|turned| {
        let left = sensitivities.response_to(Parameter::SeatShift(2 * turned)).arch_height_m;
        let right = sensitivities.response_to(Parameter::SeatShift(2 * turned + 1)).arch_height_m;
        [FRONT, REAR].map(|read| axle_mean(&left, read) + axle_mean(&right, read))
    })
}

/// Turns of both collar pairs, m, that make up the misses to first order.
pub(crate) fn pair_turns(van: &FourCorners, rest: &Rest, collars: [bool; 2], miss_m: [f64; 2]) -> [f64; 2] {
    let s = pair_slopes(van, rest);
    match collars {
        [true, true] => changes_for(s, miss_m).unwrap_or_default(),
        // with one pair the miss is one of level: both axles answer to it
        [true, false] => [miss_m[FRONT] / (s[0][0] - s[0][1]), 0.0],
        [false, true] => [0.0, miss_m[REAR] / (s[1][1] - s[1][0])],
        [false, false] => [0.0; 2],
    }
}

/// Opposed turns (left up, right down), m per axle, that take the lean out to first order, or as much of it as a bound
/// on the change of the diagonal load allows.
///
/// With both axles' collars, roll (both axles alike) loads no diagonal, warp does. Beyond the bound the turns s are those
/// with the least lean |L (s - s*)| on d·s = ±bound: s = s* - M⁻¹d (d·s* ∓ bound) / (d·M⁻¹d), M = LᵀL.
fn opposed_turns(van: &FourCorners, rest: &Rest, collars: [bool; 2], bound_n: f64) -> [f64; 2] {
    let sensitivities = Sensitivities::at(van, rest);
    let opposed = [FRONT, REAR].map(|turned| {
        let right = sensitivities.response_to(Parameter::SeatShift(2 * turned + 1));
        sensitivities.response_to(Parameter::SeatShift(2 * turned)).plus(&right, -1.0)
    });
    let lean = |arch: &[f64; 4], axle: usize| arch[2 * axle] - arch[2 * axle + 1];
    let slopes = opposed.map(|response| [FRONT, REAR].map(|read| lean(&response.arch_height_m, read)));
    let d = opposed.map(|response| {
        let n = response.wheel_load_n;
        n[0] + n[3] - n[1] - n[2]
    });
    let wanted = [FRONT, REAR].map(|axle| -lean(&rest.arch_height_m, axle));
    match collars {
        [true, true] => {
            let Some(full) = changes_for(slopes, wanted) else { return [0.0; 2] };
            let diagonal_n = d[0] * full[0] + d[1] * full[1];
            let over_n = diagonal_n - diagonal_n.clamp(-bound_n, bound_n);
            let m = |a: usize, b: usize| slopes[a][0] * slopes[b][0] + slopes[a][1] * slopes[b][1];
            let Some(q) = changes_for([[m(0, 0), m(0, 1)], [m(1, 0), m(1, 1)]], d) else { return full };
            let share = over_n / (d[0] * q[0] + d[1] * q[1]);
            if share.is_finite() { [full[0] - share * q[0], full[1] - share * q[1]] } else { full }
        }
        [true, false] => {
            [(wanted[0] / slopes[0][0]).clamp(-(bound_n / d[0]).abs(), (bound_n / d[0]).abs()), 0.0]
        }
        [false, true] => {
            [0.0, (wanted[1] / slopes[1][1]).clamp(-(bound_n / d[1]).abs(), (bound_n / d[1]).abs())]
        }
        [false, false] => [0.0; 2],
    }
}

/// Whole quarter turns of each axle's collars around what is wanted, nearest first.
fn quarters_around(kit: &Kit, wanted_m: [f64; 2]) -> Vec<[f64; 2]> {
    let of = |axle: usize| {
        let exact = collar_of(kit, axle).map_or(0.0, |collar| wanted_m[axle] / quarter_turn_m(collar));
        [exact.round(), exact.trunc(), exact.trunc() - exact.signum()]
    };
    let (front, rear) = (of(FRONT), of(REAR));
    front.iter().flat_map(|&f| rear.iter().map(move |&r| [f, r])).collect()
}

/// Load on the front-left to rear-right diagonal less the other, N.
fn diagonal_n(rest: &Rest) -> f64 {
    let n = rest.wheel_load_n;
    n[0] + n[3] - n[1] - n[2]
}

fn lean_explanation(side_load_kg: f64, lean_mm: [f64; 2]) -> Vec<LeanSays> {
    let heavier = if side_load_kg > 0.0 { Side::Left } else { Side::Right };
    let leans_to = if lean_mm[0] + lean_mm[1] < 0.0 { Side::Left } else { Side::Right };
    let advice = if heavier == leans_to { LeanSays::MoveLoad } else { LeanSays::LookAtSprings };
    vec![LeanSays::Sides { heavier, by_kg: side_load_kg.abs(), leans_to }, advice]
}

fn collar_settings(kit: &Kit, before_m: [f64; 4], fitment: &Fitment, solved: &Solved) -> Vec<CollarSetting> {
    let slopes = pair_slopes(&solved.van, &solved.band.middle);
    (0..4)
        .filter_map(|i| {
            let axle = axle_of(i);
            let collar = collar_of(kit, axle)?;
            let turned_mm = mm_from_m(fitment.collar_turned_m[i]);
            let turns = (turned_mm - mm_from_m(before_m[i])) / collar.thread_pitch_mm;
            Some(CollarSetting {
                corner: CORNER_WORDS[i],
                adjuster: fitment.adjusters[axle],
                position_mm: collar.delivered_mm + turned_mm,
                turns_from_delivered: turns,
                way: way_of(turns),
                datum: collar.datum.clone(),
                range_mm: [collar.lowest_mm, collar.highest_mm],
                thread_pitch_mm: collar.thread_pitch_mm,
                arch_mm_per_turn: slopes[axle][axle] * collar.thread_pitch_mm,
            })
        })
        .collect()
}

/// Which way a collar is turned.
pub(crate) fn way_of(turns: f64) -> &'static str {
    if turns > 0.01 {
        "up"
    } else if turns < -0.01 {
        "down"
    } else {
        "stay"
    }
}

fn ramp_readings(sit: &Sit) -> Vec<RampReading> {
    sit.corners
        .iter()
        .map(|corner| RampReading {
            corner: corner.corner,
            arch_height_mm: corner.arch_height_mm.clone(),
            lowest_rest_mm: corner.lowest_rest_mm,
            highest_rest_mm: corner.highest_rest_mm,
        })
        .collect()
}

/// Arch height that settling is expected to cost an axle, mm.
fn settling_mm(belief: &Belief, solved: &Solved, axle: usize) -> f64 {
    let lost_m: f64 = (0..belief.unknowns.len())
        .filter(|&j| belief.unknowns[j].is_settling())
        .map(|j| axle_mean(&solved.responses[j].arch_height_m, axle) * belief.mean[j])
        .sum();
    mm_from_m(-lost_m)
}

/// An aim on the ramp is met as it is read there: says what the springs lose afterwards.
pub(crate) fn settles_below_the_aim(aim: &Aim, belief: &Belief) -> Option<Remark> {
    let settling = (0..belief.unknowns.len()).filter(|&j| belief.unknowns[j].is_settling());
    let most_m = settling.map(|j| belief.mean[j]).fold(0.0, f64::max);
    (aim.state == LoadState::OnTheRamp && most_m > 0.0)
        .then(|| Remark::note(Meaning::SettlesBelowTheAim { lost_mm: mm_from_m(most_m) }))
}

fn other_settings(kit: &Kit, fitment: &Fitment) -> Vec<Setting> {
    let mut settings = Vec::new();
    for axle in [FRONT, REAR] {
        let Some(parts) = kit.axle(axle) else { continue };
        let of = Axle::of(axle);
        if let Some(height_mm) = parts.stop_trimmed_to_mm {
            settings.push(Setting::TrimStops { axle: of, height_mm });
        }
        if let Some(clicks) = &parts.clicks {
            let ClickSheet { count, counted_from, start_at, .. } = *clicks;
            settings.push(Setting::Clicks { axle: of, start_at, count, counted_from });
        }
        if fitment.insertion_m[axle] > 0.0 {
            let by_mm = mm_from_m(fitment.insertion_m[axle]);
            settings.push(Setting::InsertDeeper { axle: of, by_mm });
        }
        if parts.leaf_work.is_some() && parts.collar.is_none() {
            settings.push(Setting::HeightByParts { axle: of });
        }
        if parts.collar.as_ref().is_some_and(|collar| collar.lock_ring) {
            settings.push(Setting::LockRings { axle: of });
        }
    }
    settings
}
