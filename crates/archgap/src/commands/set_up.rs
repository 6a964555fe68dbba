//! `archgap set-up ENQUIRY.toml --kit ID`

use server::answers::kit_for;
use workshop::air_setting::AirSetting;
use workshop::answer::{KnownVan, Remark, Weight};
use workshop::facts::{Language, Words};
use workshop::set_up::{LeanOffer, SetUp};
use workshop::wording::{self, Adjuster, Said, corner_named, fixed, ranged, span};

use super::{json_of, remark_line};
use crate::data::{DataSource, Trouble};
use crate::tables::{folded, table};

pub(crate) fn run(
    source: &DataSource,
    named: &str,
    kit: &str,
    language: Language,
    json: bool,
) -> Result<String, Trouble> {
    let catalogue = source.catalogue()?;
    let enquiry = source.enquiry(&catalogue, named)?;
    let kit = kit_for(&catalogue, &enquiry.vehicle, kit)?;
    let set_up = KnownVan::of(&catalogue, &enquiry)?.set_up(&kit)?;
    if json { json_of(&set_up) } else { Ok(shown(&set_up, language)) }
}

fn shown(set_up: &SetUp, language: Language) -> String {
    let mut text = format!("{}\n", folded(&wording::aim(language, set_up), 2));
    let stops = |remark: &&Remark| remark.weight == Weight::Stop;
    for remark in set_up.result.remarks.iter().filter(stops) {
        text += &remark_line(remark, language);
    }
    text += &format!("{}\n", collars(set_up, language));
    for remark in set_up.limits.iter().chain(&set_up.misses) {
        text += &remark_line(remark, language);
    }
    for air in &set_up.air {
        text += &air_lines(air, language);
    }
    text += &wording::misses_aim(language, set_up).map_or_else(String::new, |words| indented(&words));
    text += "\n";
    text += language.pick(
        "To be read on the ramp, settled, before the springs have settled in:\n",
        "Auf der Bühne zu messen, eingewippt, bevor sich die Federn gesetzt haben:\n",
    );
    let rows = set_up.on_the_ramp.iter().map(|reading| {
        vec![
            corner_named(language, reading.corner).to_owned(),
            ranged(&reading.arch_height_mm),
            span(language, reading.lowest_rest_mm, reading.highest_rest_mm, 0),
        ]
    });
    let header = language.pick(
        ["corner", "arch height mm", "friction band mm"],
        ["Ecke", "Radlaufhöhe mm", "Reibungsband mm"],
    );
    text += &format!("{}\n", table(&header, rows));
    if set_up.settling_allowance_mm.iter().any(|mm| mm.abs() >= 0.05) {
        text += &indented(&wording::settling(language, set_up));
    }
    for setting in &set_up.other_settings {
        text += &indented(&setting.words(language));
    }
    if let Some(offer) = &set_up.lean {
        text += &lean(offer, language);
    }
    for remark in set_up.result.remarks.iter().filter(|remark| !stops(remark)) {
        text += &remark_line(remark, language);
    }
    text += &cautions(&set_up.cautions, language);
    text
}

/// A folded line, indented.
pub(crate) fn indented(words: &str) -> String {
    format!("{}\n", folded(&format!("  {words}"), 4))
}

fn air_lines(air: &AirSetting, language: Language) -> String {
    let bar = |value: f64| fixed(language, value, 1);
    let (axle, state) =
        (wording::axle_named(language, air.axle), wording::load_state(language, air.filled_in));
    let (pressure, allowed) = (bar(air.pressure_bar), span(language, air.range_bar[0], air.range_bar[1], 1));
    let filled = language.pick(
        format!(
            "{axle}: fill both air springs to {pressure} bar {state} (the maker allows {allowed} bar), then shut the line."
        ),
        format!(
            "{axle}: beide Luftfedern {state} auf {pressure} bar füllen (der Hersteller erlaubt {allowed} bar), dann die Leitung schließen."
        ),
    );
    let rows = air.in_states.iter().map(|there| {
        let level = there.pressure_for_level_bar.map_or("-".to_owned(), bar);
        vec![wording::load_state(language, there.state).to_owned(), bar(there.pressure_bar), level]
    });
    let header = language
        .pick(["", "pressure then bar", "to stand level bar"], ["", "Druck dann bar", "für waagerecht bar"]);
    format!("{}{}\n", indented(&filled), table(&header, rows))
}

fn collars(set_up: &SetUp, language: Language) -> String {
    if set_up.collars.is_empty() {
        return language
            .pick(
                "Nothing of the kit is turned: this is how it will stand.",
                "Am Satz wird nichts gedreht: So wird der Wagen stehen.",
            )
            .to_owned();
    }
    let rows = set_up.collars.iter().map(|collar| {
        vec![
            corner_named(language, collar.corner).to_owned(),
            fixed(language, collar.position_mm, 1),
            wording::turns(language, collar.turns_from_delivered),
            span(language, collar.range_mm[0], collar.range_mm[1], 0),
            fixed(language, collar.arch_mm_per_turn, 1),
        ]
    });
    let turned = Adjuster::all(set_up.collars.iter().map(|collar| collar.adjuster), language);
    let position = language.pick(format!("{turned}: mm from datum"), format!("{turned}: mm ab Bezug"));
    let header = language.pick(
        ["corner", &position, "turns from delivered", "range mm", "arch mm per turn"],
        ["Ecke", &position, "Umdrehungen ab Lieferung", "Bereich mm", "Radlauf mm je Umdrehung"],
    );
    let mut text = table(&header, rows);
    let mut datums: Vec<(&str, Adjuster)> =
        set_up.collars.iter().map(|collar| (collar.datum.as_str(), collar.adjuster)).collect();
    datums.dedup();
    for (datum, adjuster) in datums {
        let spring = match adjuster {
            Adjuster::Collar => language.pick("spring unloaded", "Feder entlastet"),
            Adjuster::AdjustingBolt => language.pick("bar unloaded", "Drehstab entlastet"),
        };
        let words = language.pick(
            format!("Datum: {datum}, wheels hanging, {spring}."),
            format!("Bezug: {datum}; Räder hängen, {spring}."),
        );
        text += &format!("\n{}", indented(&words).trim_end());
    }
    text
}

fn lean(offer: &LeanOffer, language: Language) -> String {
    let mut text = format!("\n{}\n", wording::lean(language, offer));
    for says in &offer.explanation {
        text += &indented(&says.words(language));
    }
    if let Some(words) = wording::unequal(language, offer) {
        text += &indented(&words);
    }
    text
}

/// Cautions at the foot of a paper.
pub(crate) fn cautions(cautions: &[Words], language: Language) -> String {
    let lines: Vec<String> =
        cautions.iter().map(|words| folded(&format!("  - {}", words.in_language(language)), 4)).collect();
    format!("\n{}\n{}\n", language.pick("Cautions", "Vorsicht"), lines.join("\n"))
}
