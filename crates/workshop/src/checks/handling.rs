//! Roll, load transfer and stability, told beside what they are today. No limit is published for a light van; the change
//! is what matters.

use mechanics::handling::{Handling, RollBalance};
use mechanics::statics::{FRONT, REAR};

use super::{Area, Check, Finding};
use crate::facts::{Language, Words};
use crate::figure::{Evidence, Figure};
use crate::fitment::Solved;
use crate::load_list::LoadState;
use crate::standing::Standing;
use crate::units::mm_from_m;
use crate::wording::check_says::body as says;
use crate::wording::{self, Axle};

/// Load state in which handling is compared.
const COMPARED_IN: LoadState = LoadState::FullyLaden;
/// What an uprated bar is shown as: a rate this many times the present one.
pub(crate) const UPRATED_BAR: f64 = 1.25;
/// A static stability factor that falls by more than this share is to be looked at (common practice, no source).
const LESS_STABLE_SHARE: f64 = 0.03;

/// Roll stiffness, roll centres, roll gradient, load transfer, stability, and what a stronger bar would do.
pub(super) fn checks(standing: &Standing) -> Vec<Check> {
    let now = of(standing.at(COMPARED_IN));
    let today = of(standing.known.solved_today(COMPARED_IN));
    let mut checks = tracks(standing, &now, &today);
    checks.extend(stiffness(&now, &today));
    checks.extend(roll_centres(&now, &today));
    checks.push(stability(&now, &today));
    match (&now.balance, &today.balance) {
        (Ok(now), Ok(today)) => {
            checks.extend(balance(now, today));
            checks.extend(stronger_bars(standing, now));
        }
        _ => checks.push(not_known()),
    }
    checks
}

fn of(solved: &Solved) -> Handling {
    Handling::of(&solved.van, &solved.rest)
}

fn told(check: &'static str, value: f64, unit: &'static str, said: Words) -> Check {
    let figure = Figure::exact(value, Evidence::Computed);
    Check::told(check, Area::Handling, (figure, unit), said).in_state(COMPARED_IN)
}

fn not_known() -> Check {
    Check {
        unit: "deg_per_g",
        ..Check::unknown("roll_gradient", Area::Handling, says::roll_not_known()).in_state(COMPARED_IN)
    }
}

const AXLES: [(usize, [&str; 3]); 2] = [
    (FRONT, ["front_roll_stiffness", "front_roll_centre_height", "front_bar_uprated"]),
    (REAR, ["rear_roll_stiffness", "rear_roll_centre_height", "rear_bar_uprated"]),
];

/// Name of an axle in a sentence.
fn place(language: Language, of: usize) -> &'static str {
    wording::axle(language, Axle::of(of))
}

/// Track between the contact points, and what of it comes from wheels that stand further out.
fn tracks(standing: &Standing, now: &Handling, today: &Handling) -> Vec<Check> {
    let outboard_m = standing.known.van.outboard_m;
    [FRONT, REAR]
        .into_iter()
        .map(|axle| {
            let camber_rad = standing.known.van.table(axle).pose_at(0.0).camber_rad;
            let by_wheels_mm = mm_from_m(2.0 * outboard_m * camber_rad.unwrap_or(0.0).cos());
            let before_mm = mm_from_m(today.track_m[axle]);
            let said = Words::of(|language| {
                says::track(language, Axle::of(axle), camber_rad.is_some(), before_mm, by_wheels_mm)
            });
            told("track", mm_from_m(now.track_m[axle]), "mm", said).on(axle)
        })
        .collect()
}

fn stiffness(now: &Handling, today: &Handling) -> Vec<Check> {
    AXLES
        .into_iter()
        .map(|(axle, [check, ..])| {
            let per_deg =
                |handling: &Handling| handling.roll_stiffness[axle].on_rigid_wheels_nm_per_rad().to_radians();
            let (here, before) = (per_deg(now), per_deg(today));
            let bar = now.roll_stiffness[axle].bar_nm_per_rad.to_radians();
            let said =
                Words::of(|language| wording::roll_stiffness(language, place(language, axle), bar, before));
            told(check, here, "nm_per_deg", said).on(axle)
        })
        .collect()
}

fn roll_centres(now: &Handling, today: &Handling) -> Vec<Check> {
    AXLES
        .into_iter()
        .filter_map(|(axle, [_, check, _])| {
            let here_mm = mm_from_m(now.roll_centre_height_m[axle]?);
            let before_mm = mm_from_m(today.roll_centre_height_m[axle]?);
            let said = Words::of(|language| wording::roll_centre(language, place(language, axle), before_mm));
            Some(told(check, here_mm, "mm", said).on(axle))
        })
        .collect()
}

fn balance(now: &RollBalance, today: &RollBalance) -> [Check; 2] {
    let (here, before) = (now.roll_gradient_deg_per_g(), today.roll_gradient_deg_per_g());
    let gradient = Words::of(|language| wording::roll_gradient(language, before));
    let share = Words::of(|language| wording::transfer_share(language, 100.0 * today.front_share()));
    [
        told("roll_gradient", here, "deg_per_g", gradient),
        told("front_transfer_share", 100.0 * now.front_share(), "percent", share),
    ]
}

fn stability(now: &Handling, today: &Handling) -> Check {
    let (here, before) = (now.stability.factor(), today.stability.factor());
    let tilts_deg = now.stability.tilt_angle_rad().to_degrees();
    let said = Words::of(|language| wording::stability(language, before, tilts_deg));
    let finding = if here < (1.0 - LESS_STABLE_SHARE) * before { Finding::LookAtIt } else { Finding::Holds };
    Check { finding, ..told("static_stability_factor", here, "", said) }
}

/// What bars a quarter stronger would make of the roll.
fn stronger_bars(standing: &Standing, now: &RollBalance) -> Vec<Check> {
    let solved = standing.at(COMPARED_IN);
    AXLES
        .into_iter()
        .filter(|(axle, ..)| solved.van.bars[*axle].is_some())
        .filter_map(|(axle, [_, _, check])| {
            let changed =
                Handling::with_bar_rate_factor(&solved.van, &solved.rest, axle, UPRATED_BAR).ok()?;
            let changed = changed.balance.ok()?;
            let (share, was) = (100.0 * changed.front_share(), 100.0 * now.front_share());
            let said =
                Words::of(|language| wording::stronger_bar(language, place(language, axle), [share, was]));
            Some(told(check, changed.roll_gradient_deg_per_g(), "deg_per_g", said).on(axle))
        })
        .collect()
}
