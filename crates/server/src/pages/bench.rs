//! A spring on the bench: lengths and loads as read, its rate with range, and the plot.

use std::collections::BTreeMap;

use askama::Template;
use axum::extract::Query;
use axum::http::StatusCode;
use axum::response::Response;
use picture::{BenchPlot, PlotTable};
use workshop::document::Range;
use workshop::facts::Language;
use workshop::measuring::{BenchReading, FEWEST_READINGS, SPRING_LENGTH_MM, SPRING_LOAD_N, bench_result};
use workshop::typed::{Asked, read_typed_in};
use workshop::units::Units;
use workshop::wording::{Manner, Said, with_range};

use super::words::PageWords;
use super::{Frame, page};
use crate::problem::Handled;

/// Readings that can be typed in.
const READINGS: usize = 8;
const LONGEST_NAME: usize = 100;

/// A box with what was typed into it.
struct Cell {
    name: String,
    label: String,
    value: String,
    fault: String,
    understood: String,
    number: Option<f64>,
}

impl Cell {
    fn read(
        name: String,
        label: String,
        value: &str,
        (asked, range): (Asked, Range),
        manner: Manner,
    ) -> Self {
        let mut cell = Self {
            name,
            label,
            value: value.trim().to_owned(),
            fault: String::new(),
            understood: String::new(),
            number: None,
        };
        if cell.value.is_empty() {
            return cell;
        }
        match read_typed_in(&cell.value, asked, range, manner.units) {
            Ok(typed) => {
                cell.number = Some(typed.value);
                if typed.converted {
                    cell.understood = manner.understood(typed, asked);
                }
            }
            Err(fault) => cell.fault = fault.words(manner.language),
        }
        cell
    }
}

/// What the readings say.
struct Read {
    rate: String,
    free_length: String,
    says: Vec<String>,
    plot: String,
    table: PlotTable,
}

impl Read {
    fn of(reading: &BenchReading, language: Language, units: Units) -> Self {
        let result = bench_result(reading);
        let plot = BenchPlot::of(reading, &result);
        Self {
            rate: with_range(language, &result.rate_n_per_mm, "N/mm", 1),
            free_length: with_range(language, &result.free_length_mm, "mm", 0),
            says: result.says.iter().map(|says| says.words(language)).collect(),
            plot: picture::spring_bench(&plot, &picture::Frame { language, units, name: "bench" }),
            table: plot.table(language),
        }
    }
}

#[derive(Template)]
#[template(path = "bench.html")]
struct BenchPage {
    f: Frame,
    spring: String,
    rows: Vec<[Cell; 2]>,
    /// Box and what is wrong with it.
    faults: Vec<(String, String)>,
    read: Option<Read>,
}

/// `GET /bench`: nothing is kept, so what was read stands in the address.
pub(crate) async fn show(f: Frame, Query(typed): Query<BTreeMap<String, String>>) -> Handled<Response> {
    let value = |name: &str| typed.get(name).map_or("", String::as_str);
    let (w, language) = (f.w, f.language());
    let shown_in = f.reads.units;
    // the address says in which units its numbers are
    let f = Frame { reads: f.boxes_in(value("units")), ..f };
    let manner = f.reads;
    let cell = |name: &str, label: &str, number: usize, asked| {
        let name = format!("{name}-{number}");
        let value = value(&name).to_owned();
        Cell::read(name, format!("{label} {number}"), &value, asked, manner)
    };
    let row = |number| {
        let length = cell("length", w.spring_length, number, (Asked::LengthMm, SPRING_LENGTH_MM));
        [length, cell("load", w.spring_load, number, (Asked::ForceN, SPRING_LOAD_N))]
    };
    let mut rows: Vec<[Cell; 2]> = (1..=READINGS).map(row).collect();
    let readings = if typed.is_empty() { None } else { readings(&mut rows, w) };
    let faulty = rows.iter().flatten().filter(|cell| !cell.fault.is_empty());
    let faults: Vec<(String, String)> =
        faulty.map(|cell| (cell.name.clone(), format!("{}: {}", cell.label, cell.fault))).collect();
    let spring: String = value("spring").trim().chars().take(LONGEST_NAME).collect();
    let read = readings.map(|load_over_length| {
        let name = if spring.is_empty() { w.spring.to_owned() } else { spring.clone() };
        Read::of(&BenchReading { spring: name, load_over_length, wire: None }, language, shown_in)
    });
    let status = if faults.is_empty() { StatusCode::OK } else { StatusCode::UNPROCESSABLE_ENTITY };
    Ok(page(status, &BenchPage { f, spring, rows, faults, read }))
}

/// Pairs of length and load by rising length; none where a box has a fault, which is then marked.
fn readings(rows: &mut [[Cell; 2]], w: &PageWords) -> Option<Vec<[f64; 2]>> {
    for [length, load] in rows.iter_mut() {
        if length.value.is_empty() != load.value.is_empty() {
            let empty = if length.value.is_empty() { length } else { load };
            empty.fault = w.other_of_pair.to_owned();
        }
    }
    let mut pairs: Vec<(usize, [f64; 2])> = Vec::new();
    for (k, [length, load]) in rows.iter().enumerate() {
        if let (Some(length), Some(load)) = (length.number, load.number) {
            pairs.push((k, [length, load]));
        }
    }
    pairs.sort_by(|(_, one), (_, other)| one[0].total_cmp(&other[0]));
    for two in pairs.windows(2) {
        let ((_, shorter), (k, longer)) = (two[0], two[1]);
        if longer[0] <= shorter[0] {
            rows[k][0].fault = w.length_twice.to_owned();
        } else if longer[1] >= shorter[1] {
            rows[k][1].fault = w.load_must_fall.to_owned();
        }
    }
    let sound = rows.iter().flatten().all(|cell| cell.fault.is_empty());
    if sound && pairs.len() < FEWEST_READINGS {
        let empty = rows.iter_mut().flatten().find(|cell| cell.value.is_empty());
        if let Some(cell) = empty {
            cell.fault = w.three_readings.to_owned();
        }
        return None;
    }
    sound.then(|| pairs.into_iter().map(|(_, pair)| pair).collect())
}
