//! The set-up sheet.

use serde::Serialize;

use super::{Axle, Said, axle, fixed, signed, whole};
use crate::correction::Turning;
use crate::facts::Language;
use crate::kit::CountedFrom;
use crate::set_up::{LeanOffer, SetUp};

/// Something to set or cut beside the collars.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Setting {
    /// Trim the bump stops.
    TrimStops {
        /// Axle.
        axle: Axle,
        /// Remaining height, mm.
        height_mm: f64,
    },
    /// Set the damping.
    Clicks {
        /// Axle.
        axle: Axle,
        /// Clicks to start at.
        start_at: i64,
        /// How many there are.
        count: i64,
        /// End from which they are counted.
        counted_from: CountedFrom,
    },
    /// Set the struts deeper into their tubes.
    InsertDeeper {
        /// Axle.
        axle: Axle,
        /// Than usual, mm.
        by_mm: f64,
    },
    /// Nothing to turn: the parts chosen set the height.
    HeightByParts {
        /// Axle.
        axle: Axle,
    },
    /// Tighten the lock rings.
    LockRings {
        /// Axle.
        axle: Axle,
    },
}

/// A side of the van.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// Left.
    Left,
    /// Right.
    Right,
}

/// What explains a lean.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum LeanSays {
    /// Which side is heavier and to which it leans.
    Sides {
        /// Heavier side.
        heavier: Side,
        /// By so much, kg.
        by_kg: f64,
        /// Side it leans to.
        leans_to: Side,
    },
    /// It leans to the heavier side.
    MoveLoad,
    /// It leans to the other.
    LookAtSprings,
}

fn side(language: Language, side: Side) -> &'static str {
    match side {
        Side::Left => language.pick("left", "links"),
        Side::Right => language.pick("right", "rechts"),
    }
}

impl Said for Setting {
    fn words(&self, language: Language) -> String {
        match self {
            Self::TrimStops { axle: of, height_mm } => {
                let (place, mm) = (axle(language, *of), whole(*height_mm));
                language.pick(
                    format!("{place}: trim the bump stops to {mm} mm, cut square, and measure both."),
                    format!("{place}: Anschlagpuffer gerade auf {mm} mm kürzen und beide nachmessen."),
                )
            }
            Self::Clicks { axle: of, start_at, count, counted_from } => {
                let place = axle(language, *of);
                let from = match counted_from {
                    CountedFrom::Hard => language.pick("fully hard", "ganz hart"),
                    CountedFrom::Soft => language.pick("fully soft", "ganz weich"),
                };
                language.pick(
                    format!("{place}: damping {start_at} of {count} clicks, counted from {from}."),
                    format!("{place}: Dämpfung {start_at} von {count} Klicks, gezählt von {from}."),
                )
            }
            Self::InsertDeeper { axle: of, by_mm } => {
                let (place, mm) = (axle(language, *of), whole(*by_mm));
                language.pick(
                    format!("{place}: set the struts {mm} mm deeper into their tubes than usual."),
                    format!("{place}: Federbeine {mm} mm tiefer als üblich in ihre Rohre stecken."),
                )
            }
            Self::HeightByParts { axle: of } => {
                let place = axle(language, *of);
                language.pick(
                    format!(
                        "{place}: nothing to turn here; the height is set by the parts chosen (block, leaf, shackle)."
                    ),
                    format!(
                        "{place}: hier ist nichts zu drehen; die Höhe ergibt sich aus den gewählten Teilen (Klotz, Blatt, Schäkel)."
                    ),
                )
            }
            Self::LockRings { axle: of } => {
                let place = axle(language, *of);
                language.pick(
                    format!("{place}: tighten the lock rings after the last turn."),
                    format!("{place}: nach der letzten Umdrehung die Konterringe festziehen."),
                )
            }
        }
    }
}

impl Said for LeanSays {
    fn words(&self, language: Language) -> String {
        match self {
            Self::Sides { heavier, by_kg, leans_to } => {
                let (heavy, low) = (side(language, *heavier), side(language, *leans_to));
                let kg = whole(*by_kg);
                language.pick(
                    format!("The {heavy} wheels carry {kg} kg more than the other side; the van leans to the {low}."),
                    format!("Die Räder {heavy} tragen {kg} kg mehr als die andere Seite; der Wagen hängt nach {low}."),
                )
            }
            Self::MoveLoad => language
                .pick(
                    "It leans to the heavier side: moving load comes before turning anything.",
                    "Er hängt zur schwereren Seite: erst Ladung umräumen, dann drehen.",
                )
                .to_owned(),
            Self::LookAtSprings => language
                .pick(
                    "It does not lean to the heavier side: look at springs, wheel-arch lips and the floor first.",
                    "Er hängt nicht zur schwereren Seite: erst Federn, Radlaufkanten und Boden ansehen.",
                )
                .to_owned(),
        }
    }
}

/// Turns of a collar with their direction.
pub fn turns(language: Language, turns: f64) -> String {
    let count = fixed(language, turns.abs(), 2);
    if turns > 0.01 {
        format!("{count} {} ↑", language.pick("up", "hoch"))
    } else if turns < -0.01 {
        format!("{count} {} ↓", language.pick("down", "runter"))
    } else {
        language.pick("stay", "bleibt").to_owned()
    }
}

/// What is aimed at, and what an axle that cannot be adjusted will be.
pub fn aim(language: Language, set_up: &SetUp) -> String {
    let heights = set_up.aim_arch_height_mm.map(whole);
    let (kit, state) = (&set_up.kit, super::load_state(language, set_up.aim_state));
    let [front, rear] = &heights;
    let (of, settled) = language.pick(
        (format!("Set-up of {kit}"), "once the springs have settled"),
        (format!("Einstellung von {kit}"), "sobald sich die Federn gesetzt haben"),
    );
    let one = |set: usize| {
        let fixed = 1 - set;
        let [set_at, fixed_at] = [set, fixed].map(|i| axle(language, Axle::of(i)));
        let [set_mm, fixed_mm] = [&heights[set], &heights[fixed]];
        language.pick(
            format!("{of}: the {fixed_at} cannot be adjusted and will be {fixed_mm} mm at the arch; the {set_at} is set for the wished level with it, {set_mm} mm, {state}, {settled}."),
            format!("{of}: {fixed_at} ist nichts verstellbar, der Radlauf wird {fixed_mm} mm haben; {set_at} wird für das gewünschte Niveau dazu auf {set_mm} mm gestellt, {state}, {settled}."),
        )
    };
    match set_up.adjustable {
        [true, true] => language.pick(
            format!("{of}: aimed at arch heights of {front} mm front and {rear} mm rear, {state}, {settled}."),
            format!("{of}: Ziel sind Radlaufhöhen von {front} mm vorn und {rear} mm hinten, {state}, {settled}."),
        ),
        [true, false] => one(0),
        [false, true] => one(1),
        [false, false] => language.pick(
            format!("{of}: nothing can be adjusted; the arch heights will be {front} mm front and {rear} mm rear, {state}, {settled}."),
            format!("{of}: nichts ist verstellbar; die Radlaufhöhen werden {front} mm vorn und {rear} mm hinten sein, {state}, {settled}."),
        ),
    }
}

/// By how much the axles that can be adjusted miss the aim; nothing where none can.
pub fn misses_aim(language: Language, set_up: &SetUp) -> Option<String> {
    let misses: Vec<String> = adjustable(set_up.adjustable)
        .map(|i| format!("{} mm {}", super::ranged(&set_up.miss_mm[i]), axle(language, Axle::of(i))))
        .collect();
    let listed = misses.join(", ");
    (!misses.is_empty()).then(|| {
        language.pick(format!("Misses the aim by {listed}."), format!("Verfehlt das Ziel um {listed}."))
    })
}

/// The miss of each axle that can be adjusted, now and then; nothing where none can.
pub fn misses_now_and_then(language: Language, turning: &Turning) -> Option<String> {
    let misses: Vec<String> = adjustable(turning.adjustable)
        .map(|i| {
            let place = axle(language, Axle::of(i));
            let (now, then) =
                (super::ranged(&turning.miss_now_mm[i]), super::ranged(&turning.miss_after_mm[i]));
            language.pick(
                format!("{place} {now} mm now, {then} mm then"),
                format!("{place} jetzt {now} mm, dann {then} mm"),
            )
        })
        .collect();
    let listed = misses.join("; ");
    (!misses.is_empty())
        .then(|| language.pick(format!("Miss of the aim: {listed}."), format!("Abstand vom Ziel: {listed}.")))
}

fn adjustable(axles: [bool; 2]) -> impl Iterator<Item = usize> {
    (0..2).filter(move |&i| axles[i])
}

/// What new springs are allowed to settle by.
pub fn settling(language: Language, set_up: &SetUp) -> String {
    let [front, rear] = set_up.settling_allowance_mm.map(|mm| fixed(language, mm, 1));
    language.pick(
        format!(
            "New springs are expected to settle by {front} mm front and {rear} mm rear after the ramp; that is allowed for."
        ),
        format!(
            "Neue Federn setzen sich nach der Bühne voraussichtlich um {front} mm vorn und {rear} mm hinten; das ist eingerechnet."
        ),
    )
}

/// The lean of an offer.
pub fn lean(language: Language, offer: &LeanOffer) -> String {
    let [front, rear] = offer.lean_mm.map(|mm| signed(language, mm, 0));
    language.pick(
        format!("Lean {front} mm front, {rear} mm rear (left less right)."),
        format!("Schiefstand {front} mm vorn, {rear} mm hinten (links minus rechts)."),
    )
}

/// The unequal setting of an offer that has one.
pub fn unequal(language: Language, offer: &LeanOffer) -> Option<String> {
    let [fl, fr, rl, rr] =
        <[f64; 4]>::try_from(offer.unequal_turns.as_slice()).ok()?.map(|each| turns(language, each));
    let [front, rear] = offer.lean_left_mm.map(|mm| signed(language, mm, 0));
    let (load, bound) = (signed(language, offer.diagonal_load_kg, 0), whole(offer.diagonal_bound_kg));
    Some(language.pick(
        format!(
            "If an unequal setting is asked for: front left {fl}, front right {fr}, rear left {rl}, rear right {rr} against the setting above; lean left {front} and {rear} mm; diagonal load {load} kg (bound {bound} kg)."
        ),
        format!(
            "Falls eine ungleiche Einstellung gewünscht ist: vorn links {fl}, vorn rechts {fr}, hinten links {rl}, hinten rechts {rr} gegenüber der Einstellung oben; es bleiben {front} und {rear} mm Schiefstand; Diagonallast {load} kg (Grenze {bound} kg)."
        ),
    ))
}
