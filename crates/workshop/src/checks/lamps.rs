//! Aim and height of the lamps.
//!
//! The beam turns with the body: nose up by an angle raises the aim by its tangent. A lamp is taken to be aimed right
//! today, day to day; after the kit it is aimed anew there, and the load then moves it.

use super::{Area, Check, Finding, Limit};
use crate::body_sheet::{LampRules, LampSheet, Levelling};
use crate::facts::Words;
use crate::load_list::LoadState;
use crate::standing::Standing;
use crate::units::m_from_mm;
use crate::wording;
use crate::wording::check_says::{self, AimRule, body as says};

/// Load state in which lamps are aimed.
pub(crate) const AIMED_IN: LoadState = LoadState::DayToDay;

/// Aim before and after the lamps are set anew, and their height.
pub(super) fn checks(standing: &Standing) -> Vec<Check> {
    let Some(lamp) = &standing.known.van.sheet.body.lamp else {
        return vec![Check::unknown("lamp_aim", Area::Lamps, says::lamp_not_known())];
    };
    let limits = AimLimits::of(lamp, height_m(standing, lamp, AIMED_IN));
    let mut checks = vec![before(standing, lamp, &limits)];
    checks.extend(
        LoadState::ALL
            .into_iter()
            .filter(|state| *state != AIMED_IN)
            .map(|state| after(standing, lamp, &limits, state)),
    );
    checks.push(height(standing, lamp));
    checks
}

/// Aim that the limits allow in use, per cent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AimLimits {
    /// Least, downward negative.
    pub from_percent: f64,
    /// Greatest.
    pub to_percent: f64,
    /// Regulation or inspection manual.
    rule: AimRule,
}

impl AimLimits {
    /// By the height of the lamp's centre, m.
    pub fn of(lamp: &LampSheet, height_m: f64) -> Self {
        let (from_percent, to_percent, rule) = match lamp.rules {
            LampRules::GbInspection if height_m <= 0.85 => (-2.75, -0.5, AimRule::GbLow),
            LampRules::GbInspection => (-2.75, -1.25, AimRule::GbHigh),
            // between 0.8 and 1.0 m the maker chooses; the mark on the lamp tells which
            LampRules::UnR48 if height_m < 0.8 || (height_m <= 1.0 && lamp.initial_aim_percent > -1.5) => {
                (-2.5, -0.5, AimRule::UnLow)
            }
            LampRules::UnR48 => (-3.0, -1.0, AimRule::UnHigh),
        };
        Self { from_percent, to_percent, rule }
    }

    fn limit(&self) -> Limit {
        let source = check_says::aim_limits(self.rule);
        Limit { at_least: Some(self.from_percent), at_most: Some(self.to_percent), source }
    }
}

/// Aim as the kit leaves it, until the lamp is set.
fn before(standing: &Standing, lamp: &LampSheet, limits: &AimLimits) -> Check {
    let today = standing.known.solved_today(AIMED_IN);
    let nose_up_rad = today.rest.body.pitch_rad - standing.at(AIMED_IN).rest.body.pitch_rad;
    let change_percent = aim_change_percent(nose_up_rad);
    let aim = standing
        .difference(AIMED_IN, today, change_percent, |r| -100.0 * r.pitch_rad)
        .plus(lamp.initial_aim_percent);
    let said = Words::of(|language| wording::beam_turned(language, change_percent, nose_up_rad.to_degrees()));
    Check::held("lamp_aim_before_setting", Area::Lamps, (aim, "percent"), limits.limit(), said)
        .in_state(AIMED_IN)
}

/// Aim in another load state once the lamp is set.
fn after(standing: &Standing, lamp: &LampSheet, limits: &AimLimits, state: LoadState) -> Check {
    let nose_up_rad = standing.at(AIMED_IN).rest.body.pitch_rad - standing.at(state).rest.body.pitch_rad;
    let change_percent = aim_change_percent(nose_up_rad);
    let aim = standing
        .difference(state, standing.at(AIMED_IN), change_percent, |r| -100.0 * r.pitch_rad)
        .plus(lamp.initial_aim_percent);
    let said = Words::of(|language| says::lamp_once_set(language, lamp.levelling));
    let mut check =
        Check::held("lamp_aim_after_setting", Area::Lamps, (aim, "percent"), limits.limit(), said)
            .in_state(state);
    // what is levelled against the load is looked at, not refused
    if lamp.levelling != Levelling::Nothing {
        check.finding = check.finding.min(Finding::LookAtIt);
    }
    check
}

/// Least and greatest height of the lamp's centre that UN R48 allows, mm, from memory.
const HEIGHT_MM: [f64; 2] = [500.0, 1200.0];

fn height(standing: &Standing, lamp: &LampSheet) -> Check {
    let [x_m, y_m, z_m] = lamp.centre_mm.map(m_from_mm);
    let solved = standing.at(AIMED_IN);
    let figure = solved.height_figure_mm(standing.belief, [x_m, y_m, z_m]);
    let limit = Limit {
        at_least: Some(HEIGHT_MM[0]),
        at_most: Some(HEIGHT_MM[1]),
        source: check_says::lamp_height_limits(),
    };
    Check::held("lamp_height", Area::Lamps, (figure, "mm"), limit, says::lamp_height()).in_state(AIMED_IN)
}

fn height_m(standing: &Standing, lamp: &LampSheet, state: LoadState) -> f64 {
    standing.at(state).rest.body.height_of_m(lamp.centre_mm.map(m_from_mm))
}

/// Change of the aim for a nose that rises by an angle, per cent of the distance, up positive.
pub fn aim_change_percent(nose_up_rad: f64) -> f64 {
    100.0 * nose_up_rad.tan()
}
