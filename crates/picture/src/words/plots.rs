//! The bench and the strip of travel.

use workshop::facts::Language;
use workshop::figure::Figure;
use workshop::stance::TravelLeft;
use workshop::wording::{axle, fixed, load_state, shortly, span, whole, with_range};

use crate::plots::{BenchPlot, TravelStrip};
use crate::table::PlotTable;

/// A number along an axis.
pub(crate) fn number(value: f64) -> String {
    whole(value)
}

/// A number along an axis.
pub(crate) fn tick(language: Language, tick: f64) -> String {
    shortly(language, tick)
}

/// What is drawn, in a line.
pub(crate) fn bench_title(language: Language, plot: &BenchPlot) -> String {
    let spring = &plot.spring;
    language.pick(format!("{spring}: load over length"), format!("{spring}: Last über Länge"))
}

/// What is drawn, in words.
pub(crate) fn bench_description(language: Language, plot: &BenchPlot) -> String {
    let rate = with_range(language, &plot.rate_n_per_mm, "N/mm", 1);
    let free = with_range(language, &plot.free_length_mm, "mm", 0);
    let count = plot.load_over_length.len();
    let said = language.pick(
        format!("{count} readings and the straight line through them: rate {rate}, free length {free}. Hatched: where the line lies nine times in ten by its rate."),
        format!("{count} Messwerte und die Gerade hindurch: Rate {rate}, freie Länge {free}. Schraffiert: wo die Gerade ihrer Rate nach in neun von zehn Fällen liegt."),
    );
    if plot.progressive { format!("{said} {}.", bends(language)) } else { said }
}

/// The rate.
pub(crate) fn rate(language: Language, rate: &Figure) -> String {
    format!("{} N/mm", fixed(language, rate.value, 1))
}

/// Its range.
pub(crate) fn rate_range(language: Language, rate: &Figure) -> String {
    let span = format!("{} N/mm", span(language, rate.low, rate.high, 1));
    language.pick(format!("{span}, nine times in ten"), format!("{span}, neun von zehn Fällen"))
}

/// The free length.
pub(crate) fn free_length(language: Language, length: &Figure) -> String {
    let shown = with_range(language, length, "mm", 0);
    language.pick(format!("free length {shown}"), format!("freie Länge {shown}"))
}

/// A progressive spring.
pub(crate) fn bends(language: Language) -> &'static str {
    language.pick("the readings bend: a progressive spring", "die Werte biegen sich: eine progressive Feder")
}

/// Horizontal axis.
pub(crate) fn length_axis(language: Language) -> &'static str {
    language.pick("length, mm", "Länge, mm")
}

/// Vertical axis.
pub(crate) fn load_axis(language: Language) -> &'static str {
    language.pick("load, N", "Last, N")
}

/// The readings as a table.
pub(crate) fn bench_table(language: Language, plot: &BenchPlot) -> PlotTable {
    let head = language.pick(
        ["Length, mm", "Load read, N", "Load of the line, N", "Difference, N"],
        ["Länge, mm", "Last gelesen, N", "Last der Geraden, N", "Unterschied, N"],
    );
    let rows = plot.load_over_length.iter().map(|[length, load]| {
        let line = plot.line_n(*length);
        vec![fixed(language, *length, 1), whole(*load), whole(line), whole(load - line)]
    });
    PlotTable {
        caption: bench_title(language, plot),
        head: head.map(str::to_owned).to_vec(),
        rows: rows.collect(),
    }
}

/// What is drawn, in a line.
pub(crate) fn travel_title(language: Language) -> String {
    language.pick("Travel left at rest", "Federweg aus der Ruhelage").to_owned()
}

/// What is drawn, in words.
pub(crate) fn travel_description(language: Language, strip: &TravelStrip) -> String {
    let rows = strip.rows.iter().map(|row| {
        let metal = with_range(language, &row.to_metal_mm, "mm", 0);
        let rebound = with_range(language, &row.rebound_mm, "mm", 0);
        let stop = row.to_stop_mm.as_ref().map(|stop| match stop.value {
            free if free >= 0.0 => {
                let free = whole(free);
                language.pick(format!("stop after {free} mm, "), format!("Puffer nach {free} mm, "))
            }
            pressed => {
                let pressed = whole(-pressed);
                language.pick(
                    format!("stop pressed by {pressed} mm at rest, "),
                    format!("Puffer in Ruhe {pressed} mm gedrückt, "),
                )
            }
        });
        let (name, stop) = (self::row(language, row), stop.unwrap_or_default());
        language.pick(
            format!("{name}: bump {stop}metal after {metal}; rebound {rebound}."),
            format!("{name}: Einfedern {stop}Anschlag nach {metal}; Ausfedern {rebound}."),
        )
    });
    rows.collect::<Vec<String>>().join(" ")
}

/// Axle and load state.
pub(crate) fn row(language: Language, row: &TravelLeft) -> String {
    format!("{}, {}", axle(language, row.axle), load_state(language, row.state))
}

/// Left of rest.
pub(crate) fn rebound(language: Language) -> &'static str {
    language.pick("◂ rebound, mm", "◂ Ausfedern, mm")
}

/// Right of rest.
pub(crate) fn bump(language: Language) -> &'static str {
    language.pick("bump, mm ▸", "Einfedern, mm ▸")
}

/// What the bars mean.
pub(crate) fn travel_legend(language: Language) -> &'static str {
    language.pick(
        "open: free · ▾ stop touched, hatched: stop pressed · thick end: metal, its line nine times in ten",
        "offen: frei · ▾ Puffer berührt, schraffiert: Puffer gedrückt · dickes Ende: Anschlag, Linie: neun von zehn",
    )
}

/// The same as a table.
pub(crate) fn travel_table(language: Language, strip: &TravelStrip) -> PlotTable {
    let head = language.pick(
        ["Axle, load state", "Bump to the stop, mm", "Bump to metal, mm", "Rebound, mm"],
        ["Achse, Lastzustand", "Einfedern bis Puffer, mm", "Einfedern bis Anschlag, mm", "Ausfedern, mm"],
    );
    let shown =
        |figure: &Figure| format!("{} ({})", whole(figure.value), span(language, figure.low, figure.high, 0));
    let rows = strip.rows.iter().map(|travel| {
        let stop = travel.to_stop_mm.as_ref().map(shown).unwrap_or_default();
        vec![row(language, travel), stop, shown(&travel.to_metal_mm), shown(&travel.rebound_mm)]
    });
    PlotTable {
        caption: travel_title(language),
        head: head.map(str::to_owned).to_vec(),
        rows: rows.collect(),
    }
}
