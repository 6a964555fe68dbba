//! The shortlist: wishes that are missed, prices that are wanting, and the paragraph to be read out.

use serde::Serialize;

use super::{OutsideAxleBand, Said, comfort_told, fixed, load_state, whole};
use crate::catalogue::Catalogue;
use crate::enquiry::Wish;
use crate::facts::Language;
use crate::price::{Currency, NoQuote};
use crate::rules::Component;
use crate::shortlist::{KitOption, part_name};

/// A wish that a kit misses.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Miss {
    /// The drop is too large or too small.
    Drop {
        /// Drop less the wished one, mm.
        off_mm: f64,
    },
    /// It does not stand level.
    Level {
        /// Level, tail-up positive, mm.
        level_mm: f64,
    },
    /// Too little bump travel to metal, fully laden.
    Travel {
        /// What is left, mm.
        left_mm: f64,
    },
    /// Too little left to a plate, fully laden.
    LoadReserve {
        /// What is left, kg; negative over the plate.
        left_kg: f64,
    },
    /// Too little ground clearance, fully laden.
    GroundClearance {
        /// What is left, mm.
        left_mm: f64,
    },
    /// The sheet does not tell the low points that a clearance is held against.
    GroundClearanceNotKnown,
    /// It shakes the driver too much against new original parts.
    Comfort {
        /// Change of the weighted acceleration, per cent.
        change_percent: f64,
    },
    /// Nothing can be said of its ride.
    ComfortNotKnown,
    /// It costs more than the budget.
    Budget {
        /// How much more, in minor units.
        over_minor: i64,
        /// Currency.
        currency: Currency,
    },
    /// An axle load lies outside what the parts are sold for.
    OutsideAxleBand(OutsideAxleBand),
}

/// Whether what is left is told as nothing.
fn nothing_left(left: f64) -> bool {
    left < 0.5
}

impl Said for Miss {
    fn words(&self, language: Language) -> String {
        match self {
            Self::Drop { off_mm } => {
                let mm = whole(off_mm.abs());
                let side = if *off_mm > 0.0 {
                    language.pick("lower", "tiefer")
                } else {
                    language.pick("higher", "höher")
                };
                language.pick(
                    format!("it stands {mm} mm {side} than wished"),
                    format!("der Wagen steht {mm} mm {side} als gewünscht"),
                )
            }
            Self::Level { level_mm } => {
                let mm = whole(level_mm.abs());
                let side = if *level_mm > 0.0 {
                    language.pick("tail up", "zu hoch")
                } else {
                    language.pick("tail down", "zu tief")
                };
                language
                    .pick(format!("it stands {side} by {mm} mm"), format!("das Heck steht um {mm} mm {side}"))
            }
            Self::Travel { left_mm } => {
                if nothing_left(*left_mm) {
                    return language
                        .pick(
                            "fully laden no bump travel to metal is left",
                            "voll beladen bleibt kein Einfederweg bis Metall",
                        )
                        .to_owned();
                }
                let mm = whole(*left_mm);
                language.pick(
                    format!("fully laden only {mm} mm of bump travel to metal are left"),
                    format!("voll beladen bleiben nur {mm} mm Einfederweg bis Metall"),
                )
            }
            Self::LoadReserve { left_kg } => {
                let kg = whole(left_kg.abs());
                if nothing_left(*left_kg) {
                    return language.pick(
                        format!("fully laden the nearest plated limit is passed by {kg} kg"),
                        format!(
                            "voll beladen ist die nächste Grenze des Typschilds um {kg} kg überschritten"
                        ),
                    );
                }
                language.pick(
                    format!("fully laden only {kg} kg are left to the nearest plated limit"),
                    format!("voll beladen bleiben nur {kg} kg bis zur nächsten Grenze des Typschilds"),
                )
            }
            Self::GroundClearance { left_mm } => {
                let mm = whole(*left_mm);
                language.pick(
                    format!("fully laden only {mm} mm of ground clearance are left"),
                    format!("voll beladen bleiben nur {mm} mm Bodenfreiheit"),
                )
            }
            Self::GroundClearanceNotKnown => language
                .pick(
                    "its ground clearance is not known: the vehicle sheet has no low points",
                    "seine Bodenfreiheit ist nicht bekannt: im Datenblatt fehlen die tiefen Punkte",
                )
                .to_owned(),
            Self::Comfort { change_percent } => {
                let (percent, more) = (whole(change_percent.abs()), *change_percent > 0.0);
                let side =
                    if more { language.pick("more", "mehr") } else { language.pick("less", "weniger") };
                language.pick(
                    format!("it shakes the driver {percent} % {side} than new original parts"),
                    format!("es rüttelt den Fahrer um {percent} % {side} als neue Serienteile"),
                )
            }
            Self::ComfortNotKnown => language
                .pick(
                    "nothing can be said of its ride: only a drop is published",
                    "über das Fahrverhalten ist nichts zu sagen: veröffentlicht ist nur eine Tieferlegung",
                )
                .to_owned(),
            Self::Budget { over_minor, currency } => {
                let amount = currency.text(*over_minor, language);
                language.pick(
                    format!("it costs {amount} more than the budget"),
                    format!("es kostet {amount} mehr als vorgesehen"),
                )
            }
            Self::OutsideAxleBand(outside) => outside.words(language),
        }
    }
}

/// Why a kit has no time or no price.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum NotPriced {
    /// The work depends on a fact that is not known.
    WorkDependsOn {
        /// The fact.
        fact: String,
    },
    /// The parts depend on a fact that is not known.
    PartsDependOn {
        /// The fact.
        fact: String,
    },
    /// No rule asks for an operation.
    NoOperation,
    /// A rule asks for an operation that the list does not have.
    UnknownOperation {
        /// The operation.
        operation: String,
    },
    /// The price list gives no price.
    NoQuote {
        /// Why.
        #[serde(serialize_with = "as_text")]
        why: NoQuote,
    },
}

fn as_text<S: serde::Serializer>(why: &NoQuote, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(why)
}

impl Said for NotPriced {
    fn words(&self, language: Language) -> String {
        match self {
            Self::WorkDependsOn { fact } => {
                format!("{} {fact}", language.pick("the work depends on", "die Arbeit hängt ab von"))
            }
            Self::PartsDependOn { fact } => {
                format!("{} {fact}", language.pick("the parts depend on", "die Teile hängen ab von"))
            }
            Self::NoOperation => language
                .pick(
                    "no rule asks for an operation, so no time is known",
                    "keine Regel verlangt einen Arbeitsgang, deshalb ist keine Zeit bekannt",
                )
                .to_owned(),
            Self::UnknownOperation { operation } => language.pick(
                format!("there is no operation \"{operation}\" in the list of operations"),
                format!("der Arbeitsgang \"{operation}\" fehlt in der Liste"),
            ),
            Self::NoQuote { why } => no_quote(language, why),
        }
    }
}

fn no_quote(language: Language, why: &NoQuote) -> String {
    if language == Language::English {
        return why.to_string();
    }
    match why {
        NoQuote::UnknownPart(id) => format!("die Preisliste hat kein Teil \"{id}\""),
        NoQuote::NoMass(id) => {
            format!("die Preisliste nennt keine Masse für \"{id}\", das verschickt werden soll")
        }
        NoQuote::TooHeavyToPost(kg) => {
            format!("kein Versandtarif nimmt ein Paket mit {} kg", fixed(language, *kg, 1))
        }
        NoQuote::OutOfRange(_) => "ein Betrag ist negativ oder jenseits aller Grenzen".to_owned(),
    }
}

/// What of a fitted kit stays under another.
pub fn fitted_stays(language: Language, fitted: &str, parts: &[Component]) -> String {
    let parts: Vec<&str> = parts.iter().map(|part| part.words(language)).collect();
    let parts = parts.join(", ");
    language.pick(format!("Of {fitted} stay: {parts}."), format!("Von {fitted} bleiben: {parts}."))
}

/// A level within this is called level, mm.
const LEVEL_WITHIN_MM: f64 = 3.0;

/// One paragraph that can be read out on the phone.
pub fn spoken(language: Language, catalogue: &Catalogue, option: &KitOption, wish: &Wish) -> String {
    let mut sentences = vec![
        stands(language, option, wish),
        travel_kept(language, option.least_bump_travel_to_metal_mm.value),
    ];
    sentences.extend(option.comfort().map(|change| comfort_told(language, change)));
    sentences.extend(misses(language, option));
    if let Some(stop) = &option.stop {
        sentences.push(stopped_by(language, &stop.words(language)));
    }
    let parts = &option.verdict.parts;
    if !parts.is_empty() {
        let parts: Vec<String> = parts
            .iter()
            .map(|part| {
                format!("{} × {}", part.quantity, part_name(catalogue, &part.part).in_language(language))
            })
            .collect();
        sentences.push(also_needed(language, &parts));
    }
    if let Some(time) = &option.ramp_time {
        sentences.push(takes(language, time.typical_minutes, time.nine_in_ten_minutes));
    }
    if let Some(quote) = &option.quote {
        sentences.push(costs(language, &quote.currency.text(quote.total_minor, language)));
    }
    let first = option.verdict.depends_on.first();
    if let Some(fact) = first.and_then(|waits| catalogue.facts.iter().find(|fact| fact.id == waits.fact)) {
        sentences.push(not_known_yet(language, fact.question.in_language(language)));
    }
    sentences.join(" ")
}

fn stands(language: Language, option: &KitOption, wish: &Wish) -> String {
    let drop = &option.drop_against_today_mm;
    let lower = drop.value >= 0.0;
    let (by, least, most) =
        if lower { (drop.value, drop.low, drop.high) } else { (-drop.value, -drop.high, -drop.low) };
    let (by, least, most) = (millimetres(language, by), whole(least), millimetres(language, most));
    let (name, maker, state) = (&option.name, &option.maker, load_state(language, wish.state));
    let level = level(language, option.level_mm.value);
    match language {
        Language::English => {
            let way = if lower { "lower" } else { "higher" };
            format!(
                "With {name} from {maker} your van would stand about {by} {way} than today, {state}, somewhere between {least} and {most}, and {level}."
            )
        }
        Language::German => {
            let way = if lower { "tiefer" } else { "höher" };
            format!(
                "Mit {name} von {maker} stünde Ihr Wagen {state} etwa {by} {way} als heute, irgendwo zwischen {least} und {most}, und {level}."
            )
        }
    }
}

fn level(language: Language, level_mm: f64) -> String {
    let mm = millimetres(language, level_mm.abs());
    if level_mm > LEVEL_WITHIN_MM {
        language.pick(format!("with the tail {mm} up"), format!("das Heck {mm} über der Waagerechten"))
    } else if level_mm < -LEVEL_WITHIN_MM {
        language.pick(format!("with the tail {mm} down"), format!("das Heck {mm} unter der Waagerechten"))
    } else {
        language.pick("level", "waagerecht").to_owned()
    }
}

fn millimetres(language: Language, value: f64) -> String {
    let number = whole(value);
    let unit = language.pick(if number == "1" { "millimetre" } else { "millimetres" }, "Millimeter");
    format!("{number} {unit}")
}

fn travel_kept(language: Language, left_mm: f64) -> String {
    let mm = millimetres(language, left_mm);
    language.pick(
        format!("Fully laden it keeps {mm} of travel before metal."),
        format!("Voll beladen bleiben {mm} Einfederweg, bevor Metall anschlägt."),
    )
}

fn misses(language: Language, option: &KitOption) -> Option<String> {
    let misses: Vec<String> = option.misses.iter().map(|miss| miss.words(language)).collect();
    let misses = misses.join("; ");
    (!misses.is_empty()).then(|| {
        language.pick(format!("It misses a wish: {misses}."), format!("Ein Wunsch bleibt offen: {misses}."))
    })
}

fn stopped_by(language: Language, stop: &str) -> String {
    language.pick(format!("One thing stops us: {stop}."), format!("Eines hält uns auf: {stop}."))
}

fn also_needed(language: Language, parts: &[String]) -> String {
    language.pick(
        format!("It also needs {}.", parts.join(" and ")),
        format!("Dazu gehören {}.", parts.join(" und ")),
    )
}

fn takes(language: Language, typical_minutes: f64, nine_in_ten_minutes: f64) -> String {
    let (typical, most) = (hours(language, typical_minutes), hours(language, nine_in_ten_minutes));
    language.pick(
        format!("It takes about {typical} hours on the ramp, nine times out of ten no more than {most}."),
        format!("Es dauert etwa {typical} Stunden auf der Bühne, in neun von zehn Fällen höchstens {most}."),
    )
}

/// Hours in quarters, as they are spoken of.
fn hours(language: Language, minutes: f64) -> String {
    let text = format!("{}", 0.25 * (minutes / 15.0).ceil());
    language.pick(text.clone(), text.replace('.', ","))
}

fn costs(language: Language, total: &str) -> String {
    language.pick(
        format!("All in all it comes to {total}, tax included."),
        format!("Alles zusammen kostet {total} einschließlich Steuer."),
    )
}

fn not_known_yet(language: Language, question: &str) -> String {
    language.pick(
        format!("It depends on one thing we do not know yet: {question}"),
        format!("Es hängt an etwas, das wir noch nicht wissen: {question}"),
    )
}
