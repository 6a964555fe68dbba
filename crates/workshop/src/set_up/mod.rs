//! Set-up: where each collar goes so that the van stands where it was promised, and what to read on the ramp.

mod cautions;
mod lean;
mod margin;
mod turning;

use mechanics::statics::{FRONT, REAR, axle_of};

use crate::air_setting::AirSetting;
use crate::answer::{FitmentAnswer, KnownVan, Remark};
use crate::assembly::{CannotStand, axle_mean};
use crate::belief::{Belief, CORNER_WORDS};
use crate::enquiry::Aim;
use crate::facts::Words;
use crate::figure::Figure;
use crate::fitment::{Fitment, Solved};
use crate::kit::{ClickSheet, Kit};
use crate::load_list::LoadState;
use crate::sit::Sit;
use crate::units::mm_from_m;
use crate::van_on_kit::VanOnKit;
use crate::wording::{Adjuster, Axle, Meaning, Setting, all_spelt};

pub(crate) use cautions::cautions;
pub use lean::{LEAST_LEAN_MM, LeanOffer, MOST_DIAGONAL_PERCENT};
pub use margin::{LEAST_BUMP_TO_METAL_MM, LEAST_CAPTIVE_MM};
pub(crate) use turning::{collar_of, insertion_allowed_mm, pair_turns, quarter_turn_m};

use turning::pair_slopes;

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
}

/// A kit on the van, set for the aim of the enquiry.
pub(crate) struct Aimed {
    pub(crate) fitment: Fitment,
    pub(crate) belief: Belief,
    /// What holds its collars back.
    pub(crate) limits: Vec<Remark>,
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
        belief.figure(mm_from_m(mean(&solved.rest.arch_height_m) - aimed_m), &row)
    })
}

/// Mean arch height of an axle, mm.
fn axle_figure_mm(belief: &Belief, solved: &Solved, axle: usize) -> Figure {
    let mean_mm = |arch_m: &[f64; 4]| mm_from_m(axle_mean(arch_m, axle));
    let row = solved.row(|r| mean_mm(&r.arch_height_m));
    belief.figure(mean_mm(&solved.rest.arch_height_m), &row)
}

fn miss_remark(axle: usize, adjustable: [bool; 2], miss: &Figure, arch: &Figure) -> Option<Remark> {
    let (is_adjustable, axle, miss_mm) = (adjustable[axle], Axle::of(axle), miss.clone());
    if !is_adjustable {
        return Some(Remark::note(Meaning::NotAdjustable { axle, arch_height_mm: arch.clone() }));
    }
    (miss.value.abs() >= 2.0).then(|| Remark::note(Meaning::MissesAim { axle, miss_mm }))
}

fn collar_settings(kit: &Kit, before_m: [f64; 4], fitment: &Fitment, solved: &Solved) -> Vec<CollarSetting> {
    let slopes = pair_slopes(&solved.van, &solved.rest);
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
