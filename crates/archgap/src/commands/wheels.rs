//! `archgap wheels ENQUIRY.toml [--kit ID]`

use server::answers::kit_for;
use workshop::answer::KnownVan;
use workshop::checks::Finding;
use workshop::facts::Language;
use workshop::load_list::LoadState;
use workshop::wheel_list::{WheelList, WheelPair};
use workshop::wording::{Axle, fixed, signed};

use super::json_of;
use crate::data::{DataSource, Trouble};
use crate::tables::{folded, table};

pub(crate) fn run(
    source: &DataSource,
    named: &str,
    kit: Option<&str>,
    language: Language,
    json: bool,
) -> Result<String, Trouble> {
    let catalogue = source.catalogue()?;
    let enquiry = source.enquiry(&catalogue, named)?;
    let kit = kit.map(|id| kit_for(&catalogue, &enquiry.vehicle, id)).transpose()?;
    let listed = KnownVan::of(&catalogue, &enquiry)?.wheel_list(kit.as_ref())?;
    if json { json_of(&listed) } else { Ok(shown(&listed, language)) }
}

fn shown(listed: &WheelList, language: Language) -> String {
    let say = |en, de| language.pick(en, de);
    let on = match &listed.kit {
        Some(kit) => format!("{}{kit}", say("on ", "auf ")),
        None => say("as it stands today", "wie er heute steht").to_owned(),
    };
    let mut text = format!("{}, {on}\n", listed.vehicle);
    let [front, rear] =
        listed.needed_load_index.map(|index| index.map_or_else(|| "> 130".to_owned(), |i| i.to_string()));
    let needed = say("Load index needed by the plate", "Nötiger Tragfähigkeitsindex nach Typschild");
    let (front_word, rear_word) = (say("front", "vorn"), say("rear", "hinten"));
    text += &format!("{needed}: {front_word} {front}, {rear_word} {rear}.\n");
    for size in &listed.not_carried {
        text += &format!("{}\n", folded(size.words.in_language(language), 2));
    }
    if listed.pairs.is_empty() {
        text += say(
            "The data folder lists no rims with tyres of their diameter (wheels.toml).\n",
            "Der Datenordner führt keine Felgen mit Reifen ihres Durchmessers (wheels.toml).\n",
        );
        return text;
    }
    let (out, fits): (Vec<&WheelPair>, Vec<&WheelPair>) =
        listed.pairs.iter().partition(|pair| pair.finding == Finding::DoNot);
    text += &format!("\n{}\n", say("Go on and carry:", "Passen und tragen:"));
    if fits.is_empty() {
        text += &format!("  {}\n", say("none of the list", "nichts aus der Liste"));
    } else {
        text += &fitting(&fits, language);
    }
    text += &looked_at(&fits, language);
    if !out.is_empty() {
        text += &format!("\n{}\n", say("Do not:", "Nicht:"));
        text += &refused(&out, language);
    }
    text + &legend(language)
}

fn fitting(fits: &[&WheelPair], language: Language) -> String {
    let say = |en, de| language.pick(en, de);
    let header = [
        say("rim", "Felge"),
        say("tyre", "Reifen"),
        say("bar front, rear", "bar vorn, hinten"),
        say("true at 100", "wahr bei 100"),
        say("gearing %", "Übers. %"),
        say("body mm", "Höhe mm"),
        say("track mm", "Spurweite mm"),
        "",
    ];
    let row = |(k, pair): (usize, &&WheelPair)| {
        let value = |check: &str, decimals| {
            let figure = pair.checks.iter().find(|c| c.check == check).and_then(|c| c.figure.as_ref());
            figure.map_or_else(|| "-".to_owned(), |figure| fixed(language, figure.value, decimals))
        };
        let verdict = match pair.finding {
            Finding::Holds => say("holds", "passt"),
            Finding::LookAtIt => say("look at it", "ansehen"),
            Finding::DoNot => say("do not", "nicht"),
        };
        vec![
            format!("{}. {}", k + 1, pair.rim),
            pair.marking.clone(),
            pressures(pair, language),
            value("speedometer", 1),
            value("gearing_change", 1),
            value("body_height_change", 0),
            tracks(pair, language),
            verdict.to_owned(),
        ]
    };
    format!("{}\n", table(&header, fits.iter().enumerate().map(row)))
}

/// What is to be looked at, with the numbers of the pairs that it concerns.
fn looked_at(fits: &[&WheelPair], language: Language) -> String {
    let mut asked: Vec<(&str, Vec<String>)> = Vec::new();
    for (k, pair) in fits.iter().enumerate() {
        for check in pair.checks.iter().filter(|check| check.finding == Finding::LookAtIt) {
            let words = check.words.in_language(language);
            let number = (k + 1).to_string();
            match asked.iter_mut().find(|(said, _)| *said == words) {
                Some((_, numbers)) => numbers.push(number),
                None => asked.push((words, vec![number])),
            }
        }
    }
    let look = language.pick("look at it", "ansehen");
    asked
        .iter()
        .map(|(words, numbers)| {
            format!("{}\n", folded(&format!("  {look}, {}: {words}", numbers.join(", ")), 4))
        })
        .collect()
}

/// Front and rear pressure in the load state that decides each.
fn pressures(pair: &WheelPair, language: Language) -> String {
    let of = |axle: Axle| {
        let states = pair.checks.iter().filter(|check| check.check == "tyre_pressure");
        let bars = states
            .filter(|check| check.axle == Some(axle) && check.state != Some(LoadState::OnTheRamp))
            .filter_map(|check| Some(check.figure.as_ref()?.value));
        bars.max_by(f64::total_cmp).map_or_else(|| "-".to_owned(), |bar| fixed(language, bar, 1))
    };
    format!("{} / {}", of(Axle::Front), of(Axle::Rear))
}

/// Change of the front and rear track against the original wheels.
fn tracks(pair: &WheelPair, language: Language) -> String {
    let changes: Vec<String> = pair
        .checks
        .iter()
        .filter(|check| check.check == "track_change")
        .filter_map(|check| Some(signed(language, check.figure.as_ref()?.value, 0)))
        .collect();
    if changes.is_empty() { "-".to_owned() } else { changes.join(" / ") }
}

/// What rules pairs out, the tyres of a rim that one reason rules out together.
fn refused(out: &[&WheelPair], language: Language) -> String {
    let mut reasons: Vec<(&str, String, Vec<&str>)> = Vec::new();
    for pair in out {
        let Some(check) = &pair.deciding else { continue };
        let source = check.limit.as_ref().map(|limit| format!(" [{}]", limit.source.in_language(language)));
        let because = format!("{}{}", check.words.in_language(language), source.unwrap_or_default());
        match reasons.iter_mut().find(|(rim, said, _)| *rim == pair.rim && *said == because) {
            Some((_, _, markings)) => markings.push(&pair.marking),
            None => reasons.push((&pair.rim, because, vec![&pair.marking])),
        }
    }
    reasons
        .iter()
        .map(|(rim, because, markings)| {
            let line = format!("  {rim} + {}: {because}", markings.join(", "));
            format!("{}\n", folded(&line, 4))
        })
        .collect()
}

fn legend(language: Language) -> String {
    let words = language.pick(
        "Tyres are tried on rims of their diameter. Pressures are for the heavier wheel of each axle in the load state that asks for most, cold; track is against the original wheels. Rolling circumference is 3.05 times the design diameter on both sides of every comparison. The makers' instructions, local codes and licensed practice come first.",
        "Reifen werden auf Felgen ihres Durchmessers betrachtet. Drücke gelten kalt für das schwerere Rad jeder Achse im Ladezustand, der am meisten verlangt; die Spurweite ist gegen die Originalräder. Der Abrollumfang ist auf beiden Seiten jedes Vergleichs das 3,05fache des Nenndurchmessers. Anleitungen der Hersteller, örtliche Vorschriften und Fachbetriebe gehen vor.",
    );
    format!("\n{}\n", folded(words, 0))
}
