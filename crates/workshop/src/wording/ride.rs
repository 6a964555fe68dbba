//! Ride in words.

use mechanics::ride::{Reaction, RoadClass};

use super::{fixed, load_state, span};
use crate::facts::Language;
use crate::figure::Figure;
use crate::kit::CountedFrom;
use crate::ride::{
    Against, Clicks, ComfortChange, DampingSetting, HumpQuestion, HumpShape, Promise, RideFigures, RideMode,
    RideQuestion, class_letter,
};

/// Where the van rides: the road in words, its class, which figure of the class, and the speed.
pub fn road(language: Language, question: &RideQuestion) -> String {
    let class = class_letter(question.road);
    let (english, german) = match question.road {
        RoadClass::A => ("a new motorway", "einer neuen Autobahn"),
        RoadClass::B => ("an ordinary main road", "einer gewöhnlichen Landstraße"),
        RoadClass::C => ("a worn country road", "einer abgefahrenen Nebenstraße"),
        RoadClass::D => ("a poor, patched road", "einer schlechten, geflickten Straße"),
        RoadClass::E => ("a broken road", "einer zerfahrenen Straße"),
        RoadClass::F => ("a rough track", "einem groben Feldweg"),
        RoadClass::G | RoadClass::H => ("open ground", "freiem Gelände"),
    };
    let speed = fixed(language, question.speed_km_per_h, 0);
    language.pick(
        format!("on {english} (ISO 8608 class {class}, its geometric mean) at {speed} km/h"),
        format!("auf {german} (ISO 8608 Klasse {class}, deren geometrisches Mittel) bei {speed} km/h"),
    )
}

/// The yardstick.
pub fn against(language: Language, against: Against) -> &'static str {
    match against {
        Against::AsNewOriginal => language.pick("new original parts", "neue Serienteile"),
        Against::AsFound => language.pick(
            "the van as it was found, its dampers worn",
            "das Fahrzeug wie es kam, Dämpfer verschlissen",
        ),
    }
}

/// What may be promised of comfort.
pub fn comfort(language: Language, change: &ComfortChange) -> String {
    let figure = &change.comfort_change_percent;
    let yardstick = against(language, change.against);
    let (small, large) = (figure.low.abs().min(figure.high.abs()), figure.low.abs().max(figure.high.abs()));
    // less than half a per cent is not spoken of
    let by = if small < 0.5 {
        format!("{} {}", language.pick("up to", "bis zu"), fixed(language, large, 0))
    } else {
        span(language, small, large, 0)
    };
    let between = format!(
        "{} {} {} %",
        super::signed(language, figure.low, 0),
        language.pick("to", "bis"),
        super::signed(language, figure.high, 0)
    );
    match change.promise {
        Promise::Softer => language.pick(
            format!("shakes the driver {by} % less than {yardstick}"),
            format!("rüttelt den Fahrer um {by} % weniger als {yardstick}"),
        ),
        Promise::Harder => language.pick(
            format!("shakes the driver {by} % more than {yardstick}"),
            format!("rüttelt den Fahrer um {by} % mehr als {yardstick}"),
        ),
        Promise::NoDifference => language.pick(
            format!("no difference to {yardstick} can be promised ({between})"),
            format!("kein Unterschied gegenüber {yardstick} ist zuzusagen ({between})"),
        ),
    }
}

/// The same as a sentence of its own.
pub fn comfort_told(language: Language, change: &ComfortChange) -> String {
    let words = comfort(language, change);
    match change.promise {
        Promise::NoDifference => {
            language.pick(format!("In comfort {words}."), format!("Beim Komfort gilt: {words}."))
        }
        Promise::Softer | Promise::Harder => {
            let words = words.replacen("rüttelt", "rüttelt es", 1);
            language.pick(format!("On the road it {words}."), format!("Auf der Straße {words}."))
        }
    }
}

/// How a fitment rides in a load state, in a line.
pub fn ride_in_short(language: Language, ride: &RideFigures) -> String {
    let pm = |figure: &Figure, decimals| {
        format!(
            "{} ± {}",
            fixed(language, figure.value, decimals),
            fixed(language, figure.half_width(), decimals)
        )
    };
    let acceleration = pm(&ride.seats[0].weighted_acceleration_m_per_s2, 2);
    let body = ride
        .modes
        .iter()
        .filter(|mode| matches!(mode.mode, RideMode::Heave | RideMode::Pitch | RideMode::Roll));
    let body: Vec<String> = body
        .map(|mode| {
            let (name, hz) = (ride_mode(language, mode.mode), pm(&mode.frequency_hz, 2));
            let damped = fixed(language, mode.damping_ratio.value, 2);
            language.pick(
                format!("{name} {hz} Hz, damped {damped}"),
                format!("{name} {hz} Hz, gedämpft {damped}"),
            )
        })
        .collect();
    let state = load_state(language, ride.state);
    let promise =
        ride.comfort.as_ref().map_or_else(String::new, |change| format!("; {}", comfort(language, change)));
    language.pick(
        format!("Ride {state}: driver {acceleration} m/s²{promise}; {}", body.join("; ")),
        format!("Fahrt {state}: Fahrer {acceleration} m/s²{promise}; {}", body.join("; ")),
    )
}

/// What passengers of public transport say of a weighted acceleration, m/s²: one word, or two where the bands of the
/// standard overlap.
pub fn reactions(language: Language, acceleration_m_per_s2: f64) -> String {
    let words: Vec<&str> = Reaction::to(acceleration_m_per_s2)
        .map(|reaction| match reaction {
            Reaction::NotUncomfortable => language.pick("not uncomfortable", "nicht unbehaglich"),
            Reaction::ALittleUncomfortable => language.pick("a little uncomfortable", "etwas unbehaglich"),
            Reaction::FairlyUncomfortable => language.pick("fairly uncomfortable", "ziemlich unbehaglich"),
            Reaction::Uncomfortable => language.pick("uncomfortable", "unbehaglich"),
            Reaction::VeryUncomfortable => language.pick("very uncomfortable", "sehr unbehaglich"),
            Reaction::ExtremelyUncomfortable => {
                language.pick("extremely uncomfortable", "äußerst unbehaglich")
            }
        })
        .collect();
    words.join(language.pick(" to ", " bis "))
}

/// A way in which the van moves.
pub fn ride_mode(language: Language, mode: RideMode) -> &'static str {
    match mode {
        RideMode::Heave => language.pick("heave", "Heben"),
        RideMode::Pitch => language.pick("pitch", "Nicken"),
        RideMode::Roll => language.pick("roll", "Wanken"),
        RideMode::FrontHop => language.pick("front wheel hop", "Springen der Räder vorn"),
        RideMode::RearHop => language.pick("rear wheel hop", "Springen der Räder hinten"),
    }
}

/// A hump and the speed.
pub fn hump(language: Language, question: &HumpQuestion) -> String {
    let shape = match question.shape {
        HumpShape::Circular => language.pick("round", "runde"),
        HumpShape::Sinusoidal => language.pick("sinusoidal", "sinusförmige"),
        HumpShape::FlatTop => language.pick("flat-topped", "oben ebene"),
    };
    let length = fixed(language, question.length_m, 1);
    let height = fixed(language, question.height_mm, 0);
    let speed = fixed(language, question.speed_km_per_h, 0);
    language.pick(
        format!("over a {shape} hump of {length} m by {height} mm at {speed} km/h"),
        format!("über eine {shape} Bremsschwelle von {length} m mal {height} mm bei {speed} km/h"),
    )
}

/// The damping setting that suits, and why.
pub fn damping_setting(language: Language, setting: &DampingSetting) -> String {
    let least = fixed(language, setting.least_body_damping, 2);
    let all = clicks(language, &setting.for_all);
    let mut words = if setting.reached {
        language.pick(
            format!("Damping: {all}. So the driver is shaken least while the body's movements stay damped by at least {least} of the critical damping in every load state."),
            format!("Dämpfung: {all}. So rüttelt es den Fahrer am wenigsten, und die Bewegungen des Aufbaus bleiben in jedem Ladezustand mit mindestens {least} der kritischen Dämpfung gedämpft."),
        )
    } else {
        language.pick(
            format!("Damping: {all}. No setting damps the body's movements by {least} of the critical damping in every load state; this one comes nearest."),
            format!("Dämpfung: {all}. Keine Einstellung dämpft die Bewegungen des Aufbaus in jedem Ladezustand mit {least} der kritischen Dämpfung; diese kommt ihr am nächsten."),
        )
    };
    let differs = setting.by_state.iter().filter(|state| state.clicks != setting.for_all);
    let alone: Vec<String> = differs
        .map(|state| format!("{}: {}", load_state(language, state.state), clicks(language, &state.clicks)))
        .collect();
    if !alone.is_empty() {
        words += &language.pick(
            format!(" For one load state alone: {}.", alone.join("; ")),
            format!(" Für einen Ladezustand allein: {}.", alone.join("; ")),
        );
    }
    words
}

fn clicks(language: Language, axles: &[Option<Clicks>; 2]) -> String {
    let names = [language.pick("front", "vorn"), language.pick("rear", "hinten")];
    let each: Vec<String> = axles
        .iter()
        .zip(names)
        .filter_map(|(clicks, axle)| {
            let Clicks { clicks, counted_from } = (*clicks)?;
            let from = match counted_from {
                CountedFrom::Hard => language.pick("fully hard", "ganz hart"),
                CountedFrom::Soft => language.pick("fully soft", "ganz weich"),
            };
            Some(language.pick(
                format!("{axle} {clicks} clicks from {from}"),
                format!("{axle} {clicks} Klicks ab {from}"),
            ))
        })
        .collect();
    each.join(", ")
}

/// What the figures of ride are and what they leave out.
pub fn ride_legend(language: Language) -> &'static str {
    language.pick(
        "Acceleration: vertical on the driver's seat, weighted as ISO 2631-1 asks for comfort (Wk). Spreads are one standard deviation. The road, tyres in point contact and rigid body and seat are those of a model: compare kits with these figures, do not take them for a measurement.",
        "Beschleunigung: senkrecht auf dem Fahrersitz, bewertet nach ISO 2631-1 für Komfort (Wk). Streuungen sind eine Standardabweichung. Straße, Reifen mit Punktberührung, starrer Aufbau und Sitz sind die eines Modells: Sätze damit vergleichen, nicht für eine Messung halten.",
    )
}
