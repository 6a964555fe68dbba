//! What an axle must not be lowered below, and collars turned up until it is left.

use mechanics::statics::{FourCorners, Parameter, Rest, TravelLimits};

use crate::answer::{KnownVan, Remark};
use crate::assembly::CannotStand;
use crate::belief::Belief;
use crate::fitment::Fitment;
use crate::kit::CollarSheet;
use crate::load_list::LoadState;
use crate::units::{m_from_mm, mm_from_m};
use crate::wording::{Axle, KeptHigher, Meaning};

use super::turning::{quarter_turn_m, rest_near};

/// Compression that a spring must keep at full rebound, mm of spring (common practice, no source).
pub const LEAST_CAPTIVE_MM: f64 = 5.0;
/// Bump travel to metal that must be kept, mm of wheel travel (common practice, no source).
pub const LEAST_BUMP_TO_METAL_MM: f64 = 50.0;
/// A quarter turn that widens a margin by less than this share of its own length does not widen it (own estimate).
const LEAST_WIDENING: f64 = 0.1;

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

impl KnownVan<'_> {
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
        let most = corners.map(|i| ((highest_m - fitment.collar_turned_m[i]) / quarter_m + 1e-9).floor());
        let most = most.into_iter().fold(f64::INFINITY, f64::min).max(0.0) as usize;
        let (least_mm, wished) = (margin.least_mm(), self.at_rest(fitment, belief, state)?);
        let left_mm = |quarters: usize| {
            let (mut van, rest) = wished.clone();
            for i in corners {
                van.change(Parameter::SeatShift(i), quarters as f64 * quarter_m);
            }
            let rest = rest_near(&van, &rest, state)?;
            Ok(self.left_at_rest_mm(margin, &van, &rest, axle))
        };
        let turn_up = |fitment: &mut Fitment, quarters: usize| {
            for i in corners {
                fitment.collar_turned_m[i] += quarters as f64 * quarter_m;
            }
        };
        let (mut turned, mut leap) = (0, 1);
        let mut left = self.left_at_rest_mm(margin, &wished.0, &wished.1, axle);
        if left >= least_mm {
            return Ok(Raised::NotNeeded);
        }
        // several quarters at once, as far as the last have shown that the margin is not met yet
        while left < least_mm {
            leap = leap.min(most - turned);
            if leap == 0 {
                turn_up(fitment, turned);
                return Ok(Raised::ToTheEnd);
            }
            // the last quarter of a leap widens the margin least, and must not be more than enough
            let before = if leap > 1 { left_mm(turned + leap - 1)? } else { left };
            let raised = left_mm(turned + leap)?;
            let widened = raised - before;
            let is_in_vain = widened < LEAST_WIDENING * mm_from_m(quarter_m);
            if leap > 1 && (is_in_vain || before >= least_mm) {
                leap = 1;
                continue;
            }
            if is_in_vain {
                return Ok(Raised::WithoutAvail);
            }
            (turned, left) = (turned + leap, raised);
            leap = (((least_mm - left) / widened).ceil() as usize).saturating_sub(1).max(1);
        }
        turn_up(fitment, turned);
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
    fn left_at_rest_mm(&self, margin: Margin, van: &FourCorners, rest: &Rest, axle: usize) -> f64 {
        if margin == Margin::Captive && self.van.axle_sheet(axle).linkage.holds_its_spring() {
            return f64::INFINITY;
        }
        let [left_m, right_m] =
            [2 * axle, 2 * axle + 1].map(|i| margin.of(&van.corners[i].travel_limits(rest.axle_travel(i))));
        mm_from_m(left_m.min(right_m))
    }
}
