//! Pressure of auxiliary air springs: set where the van is aimed at, and what becomes of it elsewhere.

use mechanics::elements::AirCharge;
use mechanics::statics::{FRONT, FourCorners, REAR, Rest, axle_of};

use crate::answer::{KnownVan, Remark};
use crate::assembly::{AXLE_NAMES, CannotStand};
use crate::belief::Belief;
use crate::fitment::{AirFill, Fitment};
use crate::load_list::LoadState;
use crate::units::{bar_from_pa, pa_from_bar};
use crate::wording::{Axle, Meaning};

/// Gauges are read and set to this, bar.
const PRESSURE_STEP_BAR: f64 = 0.1;
/// A pressure is beyond its limit where a gauge would show it: by half a step.
const BEYOND_BAR: f64 = 0.5 * PRESSURE_STEP_BAR;

/// The air springs of an axle.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct AirSetting {
    /// Axle.
    pub axle: &'static str,
    /// Gauge pressure to fill both sides to, bar.
    pub pressure_bar: f64,
    /// Load state in which it is filled and the line shut.
    pub filled_in: LoadState,
    /// Pressures the maker allows, bar.
    pub range_bar: [f64; 2],
    /// What becomes of it in each load state.
    pub in_states: Vec<AirInState>,
}

/// Air springs of an axle in one load state.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct AirInState {
    /// Load state.
    pub state: LoadState,
    /// Pressure to be read there with the line shut, mean of both sides, bar.
    pub pressure_bar: f64,
    /// Pressure that would give the wished level there, bar; `None` where no allowed pressure does.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pressure_for_level_bar: Option<f64>,
}

impl KnownVan<'_> {
    /// The fitment with its air springs filled in the aimed state, left and right alike, to the pressure within the
    /// maker's limits that comes nearest to the aim.
    ///
    /// # Errors
    /// When the van finds no rest.
    pub(crate) fn with_air_set(
        &self,
        fitment: Fitment,
        belief: &Belief,
        state: LoadState,
        aim_m: [f64; 2],
    ) -> Result<Fitment, CannotStand> {
        let mut filled = fitment;
        for axle in [FRONT, REAR] {
            if filled.parts[axle].air.is_none() {
                continue;
            }
            let pressure_pa = self.pressure_for_aim_pa(&filled, belief, axle, state, aim_m)?;
            let in_steps = (bar_from_pa(pressure_pa) / PRESSURE_STEP_BAR).round() * PRESSURE_STEP_BAR;
            let (van, rest) = self.at_pressure(&filled, belief, axle, state, pa_from_bar(in_steps))?;
            for i in [2 * axle, 2 * axle + 1] {
                filled.air_filled[i] = van.corners[i]
                    .air_at(rest.axle_travel(i))
                    .map(|(gauge_pressure_pa, height_m)| AirFill { gauge_pressure_pa, height_m });
            }
        }
        Ok(filled)
    }

    /// Allowed pressure at which an axle comes nearest to its aim: more pressure lifts it, so by bisection.
    fn pressure_for_aim_pa(
        &self,
        fitment: &Fitment,
        belief: &Belief,
        axle: usize,
        state: LoadState,
        aim_m: [f64; 2],
    ) -> Result<f64, CannotStand> {
        let Some(air) = &fitment.parts[axle].air else { return Ok(0.0) };
        let limits = air.spring.limits();
        let (mut low_pa, mut high_pa) = (limits.least_pressure_pa, limits.greatest_pressure_pa);
        let adjustable = fitment.adjustable();
        let too_low = |pressure_pa: f64| {
            let (_, rest) = self.at_pressure(fitment, belief, axle, state, pressure_pa)?;
            Ok(self.axle_misses(&rest, adjustable, aim_m)[axle] > 0.0)
        };
        if !too_low(low_pa)? {
            return Ok(low_pa);
        }
        if too_low(high_pa)? {
            return Ok(high_pa);
        }
        while high_pa - low_pa > 0.1 * pa_from_bar(PRESSURE_STEP_BAR) {
            let middle_pa = 0.5 * (low_pa + high_pa);
            if too_low(middle_pa)? { low_pa = middle_pa } else { high_pa = middle_pa }
        }
        Ok(0.5 * (low_pa + high_pa))
    }

    /// The van at rest with the air springs of an axle open at a pressure.
    fn at_pressure(
        &self,
        fitment: &Fitment,
        belief: &Belief,
        axle: usize,
        state: LoadState,
        gauge_pressure_pa: f64,
    ) -> Result<(FourCorners, Rest), CannotStand> {
        let mut open = fitment.clone();
        if let Some(air) = &mut open.parts[axle].air {
            air.charge = AirCharge::Open(gauge_pressure_pa);
        }
        for i in 0..4 {
            if axle_of(i) == axle {
                open.air_filled[i] = None;
            }
        }
        self.at_rest(&open, belief, state)
    }

    /// What to set, and what it becomes in each load state.
    ///
    /// # Errors
    /// When the van finds no rest.
    pub(crate) fn air_settings(
        &self,
        fitment: &Fitment,
        belief: &Belief,
        filled_in: LoadState,
        aim_m: [f64; 2],
    ) -> Result<Vec<AirSetting>, CannotStand> {
        let mut settings = Vec::new();
        for axle in [FRONT, REAR] {
            let (Some(air), Some(fill)) = (&fitment.parts[axle].air, fitment.air_filled[2 * axle]) else {
                continue;
            };
            let limits = air.spring.limits();
            let in_states = LoadState::ALL
                .iter()
                .map(|&state| {
                    let (van, rest) = self.at_rest(fitment, belief, state)?;
                    let pressures = [2 * axle, 2 * axle + 1]
                        .map(|i| van.corners[i].air_at(rest.axle_travel(i)).map_or(0.0, |(pa, _)| pa));
                    Ok(AirInState {
                        state,
                        pressure_bar: bar_from_pa(0.5 * (pressures[0] + pressures[1])),
                        pressure_for_level_bar: self
                            .level_pressure_bar(fitment, belief, axle, state, aim_m)?,
                    })
                })
                .collect::<Result<Vec<AirInState>, CannotStand>>()?;
            settings.push(AirSetting {
                axle: AXLE_NAMES[axle],
                pressure_bar: bar_from_pa(fill.gauge_pressure_pa),
                filled_in,
                range_bar: [limits.least_pressure_pa, limits.greatest_pressure_pa].map(bar_from_pa),
                in_states,
            });
        }
        Ok(settings)
    }

    /// Pressure that brings an axle to the wished level in a load state, where an allowed one does.
    fn level_pressure_bar(
        &self,
        fitment: &Fitment,
        belief: &Belief,
        axle: usize,
        state: LoadState,
        aim_m: [f64; 2],
    ) -> Result<Option<f64>, CannotStand> {
        const REACHED_M: f64 = 1e-3;
        let mut alone = [false; 2];
        alone[axle] = true;
        let pressure_pa = self.pressure_for_aim_pa(fitment, belief, axle, state, aim_m)?;
        let (_, rest) = self.at_pressure(fitment, belief, axle, state, pressure_pa)?;
        let miss_m = self.axle_misses(&rest, alone, aim_m)[axle];
        Ok((miss_m.abs() <= REACHED_M).then(|| bar_from_pa(pressure_pa)))
    }
}

impl AirSetting {
    /// What must be looked at.
    pub(crate) fn remarks(&self) -> Vec<Remark> {
        let [least_bar, greatest_bar] = self.range_bar;
        self.in_states
            .iter()
            .filter_map(|there| {
                let limit_bar = if there.pressure_bar < least_bar - BEYOND_BAR {
                    least_bar
                } else if there.pressure_bar > greatest_bar + BEYOND_BAR {
                    greatest_bar
                } else {
                    return None;
                };
                Some(Remark::look_at_it(Meaning::AirPressureBeyond {
                    axle: Axle::named(self.axle),
                    state: there.state,
                    pressure_bar: there.pressure_bar,
                    limit_bar,
                }))
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn regress_a_pressure_that_reads_as_its_limit_is_not_beyond_it() {
        let there = |pressure_bar| AirInState {
            state: LoadState::DayToDay,
            pressure_bar,
            pressure_for_level_bar: None,
        };
        let setting = AirSetting {
            axle: AXLE_NAMES[REAR],
            pressure_bar: 0.3,
            filled_in: LoadState::DayToDay,
            range_bar: [0.3, 5.0],
            in_states: [0.299_999, 0.26, 0.24, 5.04, 5.06].map(there).into(),
        };
        let beyond: Vec<f64> = setting
            .remarks()
            .iter()
            .filter_map(|remark| match remark.meaning {
                Meaning::AirPressureBeyond { pressure_bar, .. } => Some(pressure_bar),
                _ => None,
            })
            .collect();
        assert_eq!(beyond, [0.24, 5.06]);
    }
}
