//! `archgap set-up ENQUIRY.toml --kit ID`

use workshop::air_setting::AirSetting;
use workshop::answer::{KnownVan, Remark, Weight};
use workshop::facts::{Language, Words};
use workshop::set_up::{LeanOffer, SetUp};

use super::json_of;
use super::predict::kit_for;
use crate::data::{DataSource, Trouble};
use crate::tables::{fixed, folded, ranged, table};

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
    let aim = format!(
        "Set-up of {}: aimed at arch heights of {} mm front and {} mm rear, {}, once the springs have settled.",
        set_up.kit,
        fixed(set_up.aim_arch_height_mm[0], 0),
        fixed(set_up.aim_arch_height_mm[1], 0),
        set_up.aim_state.name()
    );
    let mut text = format!("{}\n", folded(&aim, 2));
    let stops = |remark: &&Remark| remark.weight == Weight::Stop;
    for remark in set_up.result.remarks.iter().filter(stops) {
        text += &remark_line(remark);
    }
    text += &format!("{}\n", collars(set_up));
    for remark in set_up.limits.iter().chain(&set_up.misses) {
        text += &remark_line(remark);
    }
    for air in &set_up.air {
        text += &air_lines(air);
    }
    text += &format!(
        "  Misses the aim by {} mm front, {} mm rear.\n\n",
        ranged(&set_up.miss_mm[0]),
        ranged(&set_up.miss_mm[1])
    );
    text += "To be read on the ramp, settled, before the springs have settled in:\n";
    let rows = set_up.on_the_ramp.iter().map(|reading| {
        vec![
            reading.corner.to_owned(),
            ranged(&reading.arch_height_mm),
            format!("{} to {}", fixed(reading.lowest_rest_mm, 0), fixed(reading.highest_rest_mm, 0)),
        ]
    });
    text += &format!("{}\n", table(&["corner", "arch height mm", "friction band mm"], rows));
    let settling = format!(
        "  New springs are expected to settle by {} mm front and {} mm rear after the ramp; that is allowed for.",
        fixed(set_up.settling_allowance_mm[0], 1),
        fixed(set_up.settling_allowance_mm[1], 1)
    );
    text += &format!("{}\n", folded(&settling, 4));
    for setting in &set_up.other_settings {
        text += &format!("{}\n", folded(&format!("  {setting}"), 4));
    }
    if let Some(offer) = &set_up.lean {
        text += &lean(offer);
    }
    for remark in set_up.result.remarks.iter().filter(|remark| !stops(remark)) {
        text += &remark_line(remark);
    }
    text += &cautions(&set_up.cautions, language);
    text
}

fn air_lines(air: &AirSetting) -> String {
    let filled = format!(
        "  {}: fill both air springs to {} bar {} (the maker allows {} to {} bar), then shut the line.",
        air.axle,
        fixed(air.pressure_bar, 1),
        air.filled_in.name(),
        fixed(air.range_bar[0], 1),
        fixed(air.range_bar[1], 1)
    );
    let rows = air.in_states.iter().map(|there| {
        let level = there.pressure_for_level_bar.map_or("-".to_owned(), |bar| fixed(bar, 1));
        vec![there.state.name().to_owned(), fixed(there.pressure_bar, 1), level]
    });
    let table = table(&["", "pressure then bar", "to stand level bar"], rows);
    format!("{}\n{table}\n", folded(&filled, 4))
}

fn collars(set_up: &SetUp) -> String {
    if set_up.collars.is_empty() {
        return "The kit has no collars: this is how it will stand.".to_owned();
    }
    let rows = set_up.collars.iter().map(|collar| {
        vec![
            collar.corner.to_owned(),
            fixed(collar.position_mm, 1),
            turns_words(collar.turns_from_delivered),
            format!("{} to {}", fixed(collar.range_mm[0], 0), fixed(collar.range_mm[1], 0)),
            fixed(collar.arch_mm_per_turn, 1),
        ]
    });
    let header = ["corner", "collar mm from datum", "turns from delivered", "range mm", "arch mm per turn"];
    let mut text = table(&header, rows);
    let mut datums: Vec<&str> = set_up.collars.iter().map(|collar| collar.datum.as_str()).collect();
    datums.dedup();
    for datum in datums {
        text += &format!("\n{}", folded(&format!("  Datum: {datum}, wheels hanging, spring unloaded."), 4));
    }
    text
}

/// Turns with their direction in words and arrow.
pub(crate) fn turns_words(turns: f64) -> String {
    if turns > 0.01 {
        format!("{turns:.2} up ↑")
    } else if turns < -0.01 {
        format!("{:.2} down ↓", -turns)
    } else {
        "stay".to_owned()
    }
}

/// A remark with its weight, folded.
pub(crate) fn remark_line(remark: &Remark) -> String {
    format!("{}\n", folded(&format!("  {}: {}", remark.weight.words(), remark.words), 4))
}

fn lean(offer: &LeanOffer) -> String {
    let mut text = format!(
        "\nLean {:+.0} mm front, {:+.0} mm rear (left less right).\n",
        offer.lean_mm[0], offer.lean_mm[1]
    );
    for words in &offer.explanation {
        text += &format!("{}\n", folded(&format!("  {words}"), 4));
    }
    if !offer.unequal_turns.is_empty() {
        let turns: Vec<String> = offer.unequal_turns.iter().map(|turns| turns_words(*turns)).collect();
        let words = format!(
            "  If unequal collars are asked for: front left {}, front right {}, rear left {}, rear right {} against the setting above; lean left {:+.0} and {:+.0} mm; diagonal load {:+.0} kg (bound {:.0} kg).",
            turns[0],
            turns[1],
            turns[2],
            turns[3],
            offer.lean_left_mm[0],
            offer.lean_left_mm[1],
            offer.diagonal_load_kg,
            offer.diagonal_bound_kg
        );
        text += &format!("{}\n", folded(&words, 4));
    }
    text
}

/// Cautions at the foot of a paper.
pub(crate) fn cautions(cautions: &[Words], language: Language) -> String {
    let lines: Vec<String> =
        cautions.iter().map(|words| folded(&format!("  - {}", words.in_language(language)), 4)).collect();
    format!("\nCautions\n{}\n", lines.join("\n"))
}
