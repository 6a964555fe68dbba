//! A spring on the bench, and the travel that each axle has left.

use workshop::facts::Language;
use workshop::figure::Figure;
use workshop::measuring::{BenchReading, BenchResult};
use workshop::stance::TravelLeft;

use crate::scale::Scale;
use crate::svg::{Anchor, Canvas, Frame, Path, Said};
use crate::table::PlotTable;
use crate::words::plots as words;

/// What the plot of a spring on the bench shows.
#[derive(Debug, Clone, PartialEq)]
pub struct BenchPlot {
    /// Name of the spring.
    pub spring: String,
    /// Pairs of length (mm) and load (N).
    pub load_over_length: Vec<[f64; 2]>,
    /// Rate of the straight line through them, N/mm.
    pub rate_n_per_mm: Figure,
    /// Length at which that line meets zero load, mm.
    pub free_length_mm: Figure,
    /// Whether the readings bend away from the line.
    pub progressive: bool,
}

impl BenchPlot {
    /// Of a bench reading and what it says.
    pub fn of(reading: &BenchReading, result: &BenchResult) -> Self {
        Self {
            spring: result.spring.clone(),
            load_over_length: reading.load_over_length.clone(),
            rate_n_per_mm: result.rate_n_per_mm.clone(),
            free_length_mm: result.free_length_mm.clone(),
            progressive: result.progressive,
        }
    }

    /// The same as a table.
    pub fn table(&self, language: Language) -> PlotTable {
        words::bench_table(language, self)
    }

    /// Load of the line at a length, N.
    pub(crate) fn line_n(&self, length_mm: f64) -> f64 {
        self.rate_n_per_mm.value * (self.free_length_mm.value - length_mm)
    }
}

const TEXT: f64 = 17.0;
const PLOT: [[f64; 2]; 2] = [[90.0, 860.0], [470.0, 40.0]];

/// Draws measured lengths and loads with the line through them and the range of its rate.
pub fn spring_bench(plot: &BenchPlot, frame: &Frame) -> String {
    let mut canvas = Canvas::new(*frame, TEXT);
    canvas.tells_figures([&plot.rate_n_per_mm, &plot.free_length_mm]);
    let language = frame.language;
    let readings = &plot.load_over_length;
    let [across, up] = PLOT;
    let lengths = readings.iter().map(|reading| reading[0]).chain([plot.free_length_mm.high]);
    let x = Scale::over(lengths, 10.0, across);
    let y = Scale::over(readings.iter().map(|reading| reading[1]).chain([0.0]), 100.0, up);
    axes(&mut canvas, frame, &x, &y);
    let (first, last) =
        (readings.iter().map(|r| r[0]).fold(f64::INFINITY, f64::min), plot.free_length_mm.value);
    // the line turns about the middle of the readings
    let count = readings.len() as f64;
    let middle = readings.iter().map(|reading| reading[0]).sum::<f64>() / count;
    let at = |length: f64, rate: f64| [x.at(length), y.at(plot.line_n(middle) - rate * (length - middle))];
    let [low, high] = [plot.rate_n_per_mm.low, plot.rate_n_per_mm.high];
    let band = Path::from(at(first, low))
        .through(&[at(middle, low), at(last, low), at(last, high), at(middle, high), at(first, high)])
        .closed();
    canvas.path("pict-band", &band);
    canvas.hatched("pict-band-hatch", &band);
    canvas.line("pict-gap", at(first, plot.rate_n_per_mm.value), at(last, plot.rate_n_per_mm.value));
    for [length, load] in readings {
        canvas.circle("pict-dot pict-haloed", [x.at(*length), y.at(*load)], 7.0);
    }
    canvas.circle("pict-hollow", [x.at(plot.free_length_mm.value), y.at(0.0)], 7.0);
    canvas.text("pict-figure", [850.0, 92.0], Anchor::End, &words::rate(language, &plot.rate_n_per_mm));
    canvas.text("pict-text", [850.0, 124.0], Anchor::End, &words::rate_range(language, &plot.rate_n_per_mm));
    canvas.text(
        "pict-text",
        [850.0, 154.0],
        Anchor::End,
        &words::free_length(language, &plot.free_length_mm),
    );
    if plot.progressive {
        canvas.text("pict-text", [850.0, 184.0], Anchor::End, words::bends(language));
    }
    canvas.text(
        "pict-small",
        [0.5 * (across[0] + across[1]), 528.0],
        Anchor::Middle,
        &frame.bare(words::length_axis(language), "mm"),
    );
    canvas.text("pict-small", [14.0, 24.0], Anchor::Start, &frame.bare(words::load_axis(language), "N"));
    let said = Said {
        title: words::bench_title(language, plot),
        description: words::bench_description(language, plot),
    };
    canvas.finish("pict-bench", [0.0, 0.0, 900.0, 545.0], &said)
}

fn axes(canvas: &mut Canvas, frame: &Frame, x: &Scale, y: &Scale) {
    let ([left, right], [bottom, top]) = (PLOT[0], PLOT[1]);
    let shown = |tick| words::tick(frame.language, tick);
    for [tick, length_mm] in x.ticks_in(8.0, frame.one("mm")) {
        let at = x.at(length_mm);
        canvas.line("pict-seam", [at, bottom], [at, top]);
        canvas.text("pict-small", [at, bottom + 26.0], Anchor::Middle, &shown(tick));
    }
    for [tick, load_n] in y.ticks_in(6.0, frame.one("N")).into_iter().filter(|[tick, _]| *tick >= 0.0) {
        let at = y.at(load_n);
        canvas.line("pict-seam", [left, at], [right, at]);
        canvas.text("pict-small", [left - 10.0, at + 5.0], Anchor::End, &shown(tick));
    }
    canvas.line("pict-outline", [left, y.at(0.0)], [right, y.at(0.0)]);
    canvas.line("pict-outline", [left, bottom], [left, top]);
}

/// What the strip of travel shows.
#[derive(Debug, Clone, PartialEq)]
pub struct TravelStrip {
    /// One row per axle and load state.
    pub rows: Vec<TravelLeft>,
}

impl TravelStrip {
    /// The same as a table.
    pub fn table(&self, language: Language) -> PlotTable {
        words::travel_table(language, self)
    }
}

const ROW: f64 = 46.0;
const BAR: f64 = 20.0;
const HEAD: f64 = 66.0;

/// Draws bump and rebound travel left, row by row: open until the stop is touched, hatched while it is pressed, a thick
/// end where metal meets.
pub fn travel_strip(strip: &TravelStrip, frame: &Frame) -> String {
    let mut canvas = Canvas::new(*frame, TEXT);
    canvas.tells_figures(strip.rows.iter().flat_map(|row| [&row.to_metal_mm, &row.rebound_mm]));
    canvas.tells_figures(strip.rows.iter().filter_map(|row| row.to_stop_mm.as_ref()));
    let language = frame.language;
    let ends = strip.rows.iter().flat_map(|row| [-row.rebound_mm.high, row.to_metal_mm.high]);
    let scale = Scale::over(ends.chain([0.0]), 100.0, [250.0, 850.0]);
    let rest = scale.at(0.0);
    let bottom = HEAD + ROW * strip.rows.len() as f64 + gap_below(strip);
    for [tick, travel_mm] in scale.ticks_in(8.0, frame.one("mm")) {
        let at = scale.at(travel_mm);
        canvas.line("pict-seam", [at, HEAD - 12.0], [at, bottom]);
        canvas.text("pict-small", [at, bottom + 22.0], Anchor::Middle, &words::tick(language, tick.abs()));
    }
    let named = |axis| frame.bare(axis, "mm");
    canvas.text("pict-text", [rest - 14.0, 40.0], Anchor::End, &named(words::rebound(language)));
    canvas.text("pict-text", [rest + 14.0, 40.0], Anchor::Start, &named(words::bump(language)));
    let mut y = HEAD;
    for (k, row) in strip.rows.iter().enumerate() {
        if k > 0 && strip.rows[k - 1].axle != row.axle {
            y += AXLE_GAP;
        }
        travel_row(&mut canvas, &scale, row, y + 0.5 * ROW);
        y += ROW;
    }
    canvas.line("pict-edge", [rest, HEAD - 30.0], [rest, bottom]);
    canvas.text("pict-small", [450.0, bottom + 52.0], Anchor::Middle, words::travel_legend(language));
    let said = Said {
        title: words::travel_title(language),
        description: words::travel_description(language, strip),
    };
    canvas.finish("pict-travel", [0.0, 0.0, 900.0, bottom + 66.0], &said)
}

const AXLE_GAP: f64 = 16.0;

fn gap_below(strip: &TravelStrip) -> f64 {
    strip.rows.windows(2).filter(|pair| pair[0].axle != pair[1].axle).count() as f64 * AXLE_GAP
}

fn travel_row(canvas: &mut Canvas, scale: &Scale, row: &TravelLeft, y: f64) {
    let language = canvas.language();
    let (rest, metal) = (scale.at(0.0), scale.at(row.to_metal_mm.value));
    let rebound = scale.at(-row.rebound_mm.value);
    canvas.text("pict-text", [14.0, y + 6.0], Anchor::Start, &words::row(language, row));
    let bar = |from: f64, to: f64| Path::rect([from.min(to), y - 0.5 * BAR], [(to - from).abs(), BAR]);
    canvas.path("pict-open", &bar(rebound, rest));
    canvas.path("pict-open", &bar(rest, metal));
    if let Some(stop) = &row.to_stop_mm {
        let touched = scale.at(stop.value.max(0.0)).min(metal.max(rest));
        canvas.hatched("pict-pressed", &bar(touched, metal));
        let contact = scale.at(stop.value);
        let mark = Path::from([contact, y - 0.5 * BAR])
            .through(&[[contact - 7.0, y - 0.5 * BAR - 11.0], [contact + 7.0, y - 0.5 * BAR - 11.0]])
            .closed();
        canvas.path("pict-centre", &mark);
    }
    canvas.line("pict-edge", [metal, y - 0.5 * BAR - 3.0], [metal, y + 0.5 * BAR + 3.0]);
    let [low, high] = [row.to_metal_mm.low, row.to_metal_mm.high].map(|mm| scale.at(mm));
    canvas.line("pict-whisker", [low, y], [high, y]);
    let frame = canvas.frame();
    let number = |mm| frame.bare(&words::number(mm), "mm");
    canvas.text(
        "pict-text",
        [high.max(metal) + 10.0, y + 6.0],
        Anchor::Start,
        &number(row.to_metal_mm.value),
    );
    canvas.text("pict-text", [rebound - 10.0, y + 6.0], Anchor::End, &number(row.rebound_mm.value));
}
