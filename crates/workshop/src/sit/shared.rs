//! What the figures of a fitment share, found once.

use std::sync::OnceLock;

use mechanics::statics::Parameter;

use super::Stretch;
use crate::figure::Figure;
use crate::fitment::Solved;
use crate::load_list::LoadState;

/// What the figures of a fitment share.
#[derive(Debug)]
pub struct Shared {
    pub(super) end_slopes: EndSlopes,
    pub(super) states: [OfState; LoadState::ALL.len()],
}

/// Found when it is first asked for.
#[derive(Debug, Default)]
pub(super) struct OfState {
    pub(super) axle_load_kg: [OnceLock<Figure>; 2],
    pub(super) gross_kg: OnceLock<Figure>,
    pub(super) corners: [OfCorner; 4],
}

#[derive(Debug, Default)]
pub(super) struct OfCorner {
    pub(super) own: OnceLock<Vec<(usize, Parameter, f64)>>,
    pub(super) stretch: OnceLock<Stretch>,
}

impl Shared {
    /// Of a fitment that was solved in every load state.
    pub(crate) fn of(solved: &[Solved]) -> Self {
        Self { end_slopes: EndSlopes::at(&solved[0]), states: Default::default() }
    }
}

/// Step with which the ends of travel are differentiated, m or share; they are smooth well beyond it.
const END_STEP: f64 = 1e-4;

/// How the ends of travel of each corner move with lengths of stop, damper and spring at a fixed rest. Where the ends lie
/// does not depend on the load, so one load state serves for all.
#[derive(Debug)]
pub(super) struct EndSlopes([[(Parameter, EndSlope); 5]; 4]);

/// Movement of the ends of travel per unit of a parameter.
#[derive(Debug)]
pub(super) struct EndSlope {
    pub(super) free_bump: f64,
    pub(super) to_metal: f64,
    pub(super) rebound: f64,
    pub(super) captive_in_hand: f64,
}

impl EndSlopes {
    /// Movement of an end of a corner per unit of a parameter.
    pub(super) fn by(&self, corner: usize, parameter: Parameter, end: fn(&EndSlope) -> f64) -> f64 {
        self.0[corner].iter().find(|(known, _)| *known == parameter).map_or(0.0, |(_, slope)| end(slope))
    }

    /// At a rest position.
    fn at(solved: &Solved) -> Self {
        Self(std::array::from_fn(|i| {
            let (corner, rest) = (&solved.van.corners[i], solved.rest.axle_travel(i));
            let here = corner.travel_limits(rest);
            let per_unit = |there: f64, here: f64| (there - here) / END_STEP;
            [
                Parameter::StopHeight(i),
                Parameter::DamperLength(i),
                Parameter::FreeLength(i),
                Parameter::SeatShift(i),
                Parameter::SpringTravel(i),
            ]
            .map(|parameter| {
                let mut moved = corner.clone();
                moved.change(parameter, END_STEP);
                let there = moved.travel_limits(rest);
                let free_bump = there.free_bump_m.zip(here.free_bump_m);
                let slope = EndSlope {
                    free_bump: free_bump.map_or(0.0, |(there, here)| per_unit(there, here)),
                    to_metal: per_unit(there.to_metal_m, here.to_metal_m),
                    rebound: per_unit(there.rebound_m, here.rebound_m),
                    captive_in_hand: per_unit(there.captive_in_hand_m, here.captive_in_hand_m),
                };
                (parameter, slope)
            })
        }))
    }
}
