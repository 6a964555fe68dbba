//! Alignment, lamps, brakes and sensors, the ground, handling.

use super::plain;
use crate::body_sheet::Levelling;
use crate::facts::{Language, Words};
use crate::wording::{Axle, axle, signed, whole};

/// An angle of the wheels.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum AngleName {
    /// Camber.
    Camber,
    /// Toe.
    Toe,
    /// Caster.
    Caster,
}

/// Its name.
pub(crate) fn angle(language: Language, angle: AngleName) -> &'static str {
    match angle {
        AngleName::Camber => language.pick("camber", "Sturz"),
        AngleName::Toe => language.pick("toe", "Spur"),
        AngleName::Caster => language.pick("caster", "Nachlauf"),
    }
}

/// An angle that only hardpoints would give.
pub(crate) fn angle_not_known(language: Language, of: Axle, named: AngleName) -> String {
    let (place, angle) = (axle(language, of), angle(language, named));
    language.pick(
        format!("{place} {angle}: the sheet has no hardpoints, so it is measured, not computed"),
        format!("{angle} {place}: ohne Aufhängungspunkte wird gemessen, nicht gerechnet"),
    )
}

/// What to do about an angle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum AngleAdvice {
    /// It is that of a load.
    AsLoaded,
    /// It is within the target.
    Check,
    /// The van's own adjusters reach it.
    Adjust,
    /// They do not.
    Parts,
}

/// The advice.
pub(crate) fn angle_advice(language: Language, advice: AngleAdvice) -> &'static str {
    match advice {
        AngleAdvice::AsLoaded => {
            language.pick("as the load of this state leaves it", "wie die Beladung sie stellt")
        }
        AngleAdvice::Check => {
            language.pick("check it on the bench after fitting", "nach dem Einbau vermessen")
        }
        AngleAdvice::Adjust => {
            language.pick("the van's own adjusters reach it", "mit den vorhandenen Einstellern erreichbar")
        }
        AngleAdvice::Parts => language.pick(
            "beyond the van's own adjusters: adjustable parts are needed",
            "über die vorhandenen Einsteller hinaus: einstellbare Teile nötig",
        ),
    }
}

/// No lamp is known.
pub(crate) fn lamp_not_known() -> Words {
    plain(
        "The sheet has no lamp: measure the height of its centre and aim it anew after any change of height.",
        "Im Datenblatt fehlt der Scheinwerfer: Höhe der Mitte messen und nach jeder Höhenänderung neu einstellen.",
    )
}

/// Aim once set, under a load.
pub(crate) fn lamp_once_set(language: Language, levelling: Levelling) -> String {
    let levelled = match levelling {
        Levelling::Nothing => language.pick("nothing levels it", "keine Leuchtweitenregelung"),
        Levelling::ByHand => language.pick("level it by hand", "von Hand nachstellen"),
        Levelling::Automatic => language.pick(
            "its own levelling takes it out once calibrated",
            "die Regelung gleicht es nach dem Anlernen aus",
        ),
    };
    language.pick(
        format!("lamp aim once set, with the load of this state; {levelled}"),
        format!("Scheinwerfer nach der Einstellung, bei dieser Beladung; {levelled}"),
    )
}

/// Height of the lamp.
pub(crate) fn lamp_height() -> Words {
    plain("height of the lamp's centre", "Höhe der Scheinwerfermitte")
}

/// What a change of height asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum SetAnew {
    /// Load-sensing brake valve.
    Valve,
    /// Height sensors.
    HeightSensor,
    /// Cameras and radars.
    Assistance,
}

/// What follows where it is fitted, or what to ask where that is not known.
pub(crate) fn set_anew(language: Language, what: SetAnew, fitted: bool) -> String {
    let said = match (what, fitted) {
        (SetAnew::Valve, true) => language.pick(
            "a load-sensing brake valve hangs on the rear axle: do not drive before it is set again as the maker says",
            "ein lastabhängiger Bremsdruckregler hängt an der Hinterachse: vor der Neueinstellung nach Herstellerangabe nicht fahren",
        ),
        (SetAnew::Valve, false) => language.pick(
            "look for a valve with a rod to the rear axle: a changed height changes the braking",
            "nach einem Regler mit Gestänge zur Hinterachse sehen: eine andere Höhe ändert das Bremsen",
        ),
        (SetAnew::HeightSensor, true) => language.pick(
            "height sensors on the axles are calibrated anew",
            "Höhensensoren an den Achsen neu anlernen",
        ),
        (SetAnew::HeightSensor, false) => {
            language.pick("look for height sensors on the axles", "nach Höhensensoren an den Achsen sehen")
        }
        (SetAnew::Assistance, true) => language.pick(
            "cameras and radars are calibrated where the maker asks for it after a change of height (trade code of practice, 2016)",
            "Kameras und Radare anlernen, wo der Hersteller es nach einer Höhenänderung verlangt (Verhaltenskodex der Branche, 2016)",
        ),
        (SetAnew::Assistance, false) => language.pick(
            "ask whether the van has cameras or radars",
            "fragen, ob der Wagen Kameras oder Radare hat",
        ),
    };
    language.pick(
        format!("{said}; change of height against original parts"),
        format!("{said}; Höhenänderung gegenüber Originalteilen"),
    )
}

/// Hoses and leads of wheels that hang lower.
pub(crate) fn hoses(language: Language, of: Axle) -> String {
    let place = axle(language, of);
    language.pick(
        format!("{place}: so much lower do the wheels hang than on original parts; look at brake hoses, sensor leads, handbrake cables and shafts at full droop and lock"),
        format!("{place}: so viel tiefer hängen die Räder als mit Originalteilen; Bremsschläuche, Sensorleitungen, Handbremsseile und Wellen bei voller Ausfederung und Einschlag ansehen"),
    )
}

/// Clearance under a point, beside today in one load state.
pub(crate) fn ground_clearance(language: Language, point: &str, less_mm: f64, day_to_day: &str) -> String {
    let mm = whole(less_mm.abs());
    let beside = match (mm.as_str(), less_mm > 0.0) {
        ("0", _) => language.pick("as today".to_owned(), "wie heute".to_owned()),
        (_, true) => language.pick(format!("{mm} mm less than today"), format!("{mm} mm weniger als heute")),
        (_, false) => language.pick(format!("{mm} mm more than today"), format!("{mm} mm mehr als heute")),
    };
    language.pick(
        format!("ground clearance under {point}, {day_to_day} {beside}"),
        format!("Bodenfreiheit unter {point}, {day_to_day} {beside}"),
    )
}

/// Ramp angles.
pub(crate) fn approach() -> Words {
    plain("approach angle", "Böschungswinkel vorn")
}

/// Behind the rear axle.
pub(crate) fn departure() -> Words {
    plain("departure angle", "Böschungswinkel hinten")
}

/// Between the axles.
pub(crate) fn breakover() -> Words {
    plain("ramp (breakover) angle", "Rampenwinkel")
}

/// Height of the tow ball.
pub(crate) fn ball_height() -> Words {
    plain(
        "height of the tow ball, laden: outside it do not tow",
        "Höhe der Kupplungskugel, beladen: außerhalb nicht ziehen",
    )
}

/// Room for the lift arms.
pub(crate) fn lift_arms(language: Language, point: &str) -> String {
    language.pick(
        format!("room for the lift arms under {point}"),
        format!("Platz für die Hebebühnenarme unter {point}"),
    )
}

/// Roll that is not known.
pub(crate) fn roll_not_known() -> Words {
    plain(
        "roll gradient: not computed, the roll centre of a tape-measured axle is not known",
        "Wankgradient: nicht gerechnet, das Wankzentrum einer nur vermessenen Achse ist nicht bekannt",
    )
}

/// Track of an axle, between contact points or, where camber is not known, between wheel centres; what of it comes from
/// wheels that stand further out, mm.
pub(crate) fn track(
    language: Language,
    of: Axle,
    camber_known: bool,
    today_mm: f64,
    by_wheels_mm: f64,
) -> String {
    let (place, today) = (axle(language, of), whole(today_mm));
    let by_wheels = if by_wheels_mm.abs() < 0.05 {
        String::new()
    } else {
        let by = signed(language, by_wheels_mm, 0);
        language.pick(
            format!("; {by} mm of it by offset and spacer of the wheels"),
            format!("; davon {by} mm durch Einpresstiefe und Distanzscheibe der Räder"),
        )
    };
    let between = if camber_known {
        language.pick("between the contact points", "zwischen den Aufstandspunkten")
    } else {
        language.pick(
            "between the wheel centres, as no camber over travel is known",
            "zwischen den Radmitten, da kein Sturz über dem Federweg bekannt ist",
        )
    };
    language.pick(
        format!("{place} track {between}, today {today} mm{by_wheels}"),
        format!("Spurweite {place} {between}, heute {today} mm{by_wheels}"),
    )
}
