//! Aim and height of the lamps.
//!
//! The beam turns with the body: nose up by an angle raises the aim by its tangent. A lamp is taken to be aimed right
//! today, day to day; after the kit it is aimed anew there, and the load then moves it.

use super::checked::{Checked, held, unknown, words};
use super::{Area, Check, Finding, Limit};
use crate::body_sheet::{LampRules, LampSheet, Levelling};
use crate::facts::Words;
use crate::load_list::LoadState;
use crate::units::m_from_mm;
use crate::wording;

/// Load state in which lamps are aimed.
pub(crate) const AIMED_IN: LoadState = LoadState::DayToDay;

/// Aim before and after the lamps are set anew, and their height.
pub(super) fn checks(checked: &Checked) -> Vec<Check> {
    let Some(lamp) = &checked.known.van.sheet.body.lamp else {
        let said = words(
            "The sheet has no lamp: measure the height of its centre and aim it anew after any change of height.",
            "Im Datenblatt fehlt der Scheinwerfer: Höhe der Mitte messen und nach jeder Höhenänderung neu einstellen.",
        );
        return vec![unknown("lamp_aim", Area::Lamps, said)];
    };
    let limits = AimLimits::of(lamp, height_m(checked, lamp, AIMED_IN));
    let mut checks = vec![before(checked, lamp, &limits)];
    checks.extend(
        LoadState::ALL
            .into_iter()
            .filter(|state| *state != AIMED_IN)
            .map(|state| after(checked, lamp, &limits, state)),
    );
    checks.push(height(checked, lamp));
    checks
}

/// Aim that the limits allow in use, per cent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AimLimits {
    /// Least, downward negative.
    pub from_percent: f64,
    /// Greatest.
    pub to_percent: f64,
    /// Regulation or inspection manual, with clause, in English and German.
    pub source: [&'static str; 2],
}

impl AimLimits {
    /// By the height of the lamp's centre, m.
    pub fn of(lamp: &LampSheet, height_m: f64) -> Self {
        let (from_percent, to_percent, source) = match lamp.rules {
            LampRules::GbInspection if height_m <= 0.85 => (
                -2.75,
                -0.5,
                [
                    "GB inspection manual 4.1.2, centre up to 850 mm",
                    "Prüfhandbuch GB 4.1.2, Mitte bis 850 mm",
                ],
            ),
            LampRules::GbInspection => (
                -2.75,
                -1.25,
                [
                    "GB inspection manual 4.1.2, centre above 850 mm",
                    "Prüfhandbuch GB 4.1.2, Mitte über 850 mm",
                ],
            ),
            // between 0.8 and 1.0 m the maker chooses; the mark on the lamp tells which
            LampRules::UnR48 if height_m < 0.8 || (height_m <= 1.0 && lamp.initial_aim_percent > -1.5) => {
                (-2.5, -0.5, ["UN R48 6.2.6.1.2, from memory", "UN R48 6.2.6.1.2, aus dem Gedächtnis"])
            }
            LampRules::UnR48 => (
                -3.0,
                -1.0,
                [
                    "UN R48 6.2.6.1.2, high lamps, from memory",
                    "UN R48 6.2.6.1.2, hohe Scheinwerfer, aus dem Gedächtnis",
                ],
            ),
        };
        Self { from_percent, to_percent, source }
    }

    fn limit(&self) -> Limit {
        let [en, de] = self.source;
        Limit { at_least: Some(self.from_percent), at_most: Some(self.to_percent), source: words(en, de) }
    }
}

/// Aim as the kit leaves it, until the lamp is set.
fn before(checked: &Checked, lamp: &LampSheet, limits: &AimLimits) -> Check {
    let today = checked.known.solved_today(AIMED_IN);
    let nose_up_rad = today.band.middle.body.pitch_rad - checked.at(AIMED_IN).band.middle.body.pitch_rad;
    let change_percent = aim_change_percent(nose_up_rad);
    let aim = checked
        .difference(AIMED_IN, today, change_percent, |r| -100.0 * r.pitch_rad)
        .plus(lamp.initial_aim_percent);
    let said = Words::of(|language| wording::beam_turned(language, change_percent, nose_up_rad.to_degrees()));
    held("lamp_aim_before_setting", Area::Lamps, AIMED_IN, (aim, "percent"), limits.limit(), said)
}

/// Aim in another load state once the lamp is set.
fn after(checked: &Checked, lamp: &LampSheet, limits: &AimLimits, state: LoadState) -> Check {
    let nose_up_rad =
        checked.at(AIMED_IN).band.middle.body.pitch_rad - checked.at(state).band.middle.body.pitch_rad;
    let change_percent = aim_change_percent(nose_up_rad);
    let aim = checked
        .difference(state, checked.at(AIMED_IN), change_percent, |r| -100.0 * r.pitch_rad)
        .plus(lamp.initial_aim_percent);
    let levelling = match lamp.levelling {
        Levelling::Nothing => ["nothing levels it", "keine Leuchtweitenregelung"],
        Levelling::ByHand => ["level it by hand", "von Hand nachstellen"],
        Levelling::Automatic => [
            "its own levelling takes it out once calibrated",
            "die Regelung gleicht es nach dem Anlernen aus",
        ],
    };
    let said = words(
        format!("lamp aim once set, with the load of this state; {}", levelling[0]),
        format!("Scheinwerfer nach der Einstellung, bei dieser Beladung; {}", levelling[1]),
    );
    let mut check =
        held("lamp_aim_after_setting", Area::Lamps, state, (aim, "percent"), limits.limit(), said);
    // what is levelled against the load is looked at, not refused
    if lamp.levelling != Levelling::Nothing {
        check.finding = check.finding.min(Finding::LookAtIt);
    }
    check
}

/// Least and greatest height of the lamp's centre that UN R48 allows, mm, from memory.
const HEIGHT_MM: [f64; 2] = [500.0, 1200.0];

fn height(checked: &Checked, lamp: &LampSheet) -> Check {
    let [x_m, y_m, z_m] = lamp.centre_mm.map(m_from_mm);
    let solved = checked.at(AIMED_IN);
    let figure = solved.height_figure_mm(checked.belief, [x_m, y_m, z_m]);
    let limit = Limit {
        at_least: Some(HEIGHT_MM[0]),
        at_most: Some(HEIGHT_MM[1]),
        source: words("UN R48 6.2.4.2, from memory", "UN R48 6.2.4.2, aus dem Gedächtnis"),
    };
    let said = words("height of the lamp's centre", "Höhe der Scheinwerfermitte");
    held("lamp_height", Area::Lamps, AIMED_IN, (figure, "mm"), limit, said)
}

fn height_m(checked: &Checked, lamp: &LampSheet, state: LoadState) -> f64 {
    checked.at(state).band.middle.body.height_of_m(lamp.centre_mm.map(m_from_mm))
}

/// Change of the aim for a nose that rises by an angle, per cent of the distance, up positive.
pub fn aim_change_percent(nose_up_rad: f64) -> f64 {
    100.0 * nose_up_rad.tan()
}
