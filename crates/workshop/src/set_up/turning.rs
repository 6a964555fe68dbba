//! Collars turned until the axles stand as aimed, to quarter turns, within what thread, spring and travel allow.

use mechanics::statics::{FRONT, FourCorners, Parameter, REAR, Rest, Sensitivities};

use crate::answer::{KnownVan, Remark};
use crate::assembly::{CannotStand, axle_mean, changes_for};
use crate::belief::Belief;
use crate::enquiry::Aim;
use crate::fitment::Fitment;
use crate::kit::{CollarSheet, Kit, KitAxle};
use crate::load_list::LoadState;
use crate::units::{m_from_mm, mm_from_m};
use crate::vehicle_sheet::AxleSheet;
use crate::wording::{Axle, CollarEnd, Doing, Meaning};

/// An axle that collars leave higher than wished by less than this is not inserted deeper, mm.
const WORTH_INSERTING_MM: f64 = 2.0;

/// Collars that a kit brings to an axle.
pub(crate) fn collar_of(kit: &Kit, axle: usize) -> Option<&CollarSheet> {
    kit.axle(axle).and_then(|parts: &KitAxle| parts.collar.as_ref())
}

/// Quarter turn of a collar, m.
pub(crate) fn quarter_turn_m(collar: &CollarSheet) -> f64 {
    m_from_mm(0.25 * collar.thread_pitch_mm)
}

impl KnownVan<'_> {
    /// Mean arch heights of both axles that give the aimed mean drop and level, m.
    pub(crate) fn aimed_arch_m(&self, aim: &Aim) -> [f64; 2] {
        let today = self.solved_today(aim.state).rest.arch_height_m;
        let mean_m = 0.25 * today.iter().sum::<f64>() - m_from_mm(aim.drop_against_today_mm);
        let difference_m = m_from_mm(self.van.sheet.level_floor_difference_mm + aim.level_mm);
        [mean_m - 0.5 * difference_m, mean_m + 0.5 * difference_m]
    }

    /// Turns the collars, left and right alike, until the axles stand as aimed; then to quarter turns within what
    /// thread, captive spring and bump travel allow.
    ///
    /// With collars on one axle only, that axle serves the level, and the height comes out as it may.
    pub(super) fn turned_to(
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
        if allowed_m <= 0.0 {
            return Ok(None);
        }
        let (van, rest) = self.at_rest(fitment, belief, state)?;
        let too_high_m = -self.axle_misses(&rest, fitment.collars, aim_m)[axle];
        if too_high_m < m_from_mm(WORTH_INSERTING_MM) {
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

    pub(crate) fn at_rest(
        &self,
        fitment: &Fitment,
        belief: &Belief,
        state: LoadState,
    ) -> Result<(FourCorners, Rest), CannotStand> {
        let van = fitment.van(&self.van, &self.carried(state), belief, state);
        let rest = rest_near(&van, &self.solved_today(state).rest, state)?;
        Ok((van, rest))
    }
}

/// Rest of a van in a load state, looked for near another.
pub(super) fn rest_near(van: &FourCorners, near: &Rest, state: LoadState) -> Result<Rest, CannotStand> {
    let rest = van.rest_from(near.body, near.travel_m);
    rest.map_err(|no_rest| CannotStand::of(Doing::FindingRest(state), no_rest))
}

/// Deeper insertion than usual that both the van's tube, if it has no stop, and the kit's maker allow, mm.
pub(crate) fn insertion_allowed_mm(sheet: &AxleSheet, kit: &Kit, axle: usize) -> f64 {
    let maker_mm = kit.axle(axle).and_then(|parts| parts.extra_insertion_mm);
    sheet.spare_insertion_mm.zip(maker_mm).map_or(0.0, |(tube_mm, maker_mm)| tube_mm.min(maker_mm))
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
