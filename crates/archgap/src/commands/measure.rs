//! `archgap spring-bench FILE` and `archgap jacking FILE`

use workshop::document::read;
use workshop::facts::Language;
use workshop::figure::Figure;
use workshop::measuring::{BenchReading, JackingReading, bench_result, jacking_result};
use workshop::wording::{Said, fixed, span};

use super::json_of;
use crate::data::{DataSource, Trouble};
use crate::tables::table;

pub(crate) fn spring_bench(
    source: &DataSource,
    named: &str,
    language: Language,
    json: bool,
) -> Result<String, Trouble> {
    let file = source.document(named, "bench")?;
    let result = bench_result(&read(&file.path, &file.text, BenchReading::read)?);
    if json {
        return json_of(&result);
    }
    let figure = |figure: &Figure, decimals| {
        format!(
            "{} ({})",
            fixed(language, figure.value, decimals),
            span(language, figure.low, figure.high, decimals)
        )
    };
    let (spring, rate) = (&result.spring, figure(&result.rate_n_per_mm, 2));
    let (length, residual) =
        (figure(&result.free_length_mm, 1), fixed(language, result.largest_residual_n, 0));
    let mut text = language.pick(
        format!(
            "{spring}: rate {rate} N/mm, free length {length} mm, largest distance from the line {residual} N.\n"
        ),
        format!(
            "{spring}: Rate {rate} N/mm, ungespannte Länge {length} mm, größter Abstand von der Geraden {residual} N.\n"
        ),
    );
    if let Some(wire) = result.wire_rate_n_per_mm {
        let formula = language.pick("Wire formula", "Drahtformel");
        text += &format!("{formula}: {} N/mm.\n", fixed(language, wire, 2));
    }
    for says in &result.says {
        text += &format!("{}\n", says.words(language));
    }
    Ok(text)
}

pub(crate) fn jacking(
    source: &DataSource,
    named: &str,
    language: Language,
    json: bool,
) -> Result<String, Trouble> {
    let file = source.document(named, "jacking")?;
    let result = jacking_result(&read(&file.path, &file.text, JackingReading::read)?);
    if json {
        return json_of(&result);
    }
    let rows = result.rows.iter().map(|row| {
        let (ratio, spread) = (fixed(language, row.ratio, 3), fixed(language, row.ratio_plus_minus, 3));
        vec![fixed(language, row.travel_mm, 1), format!("{ratio} ± {spread}")]
    });
    let header = language.pick(["wheel travel mm", "spring motion ratio"], ["Radweg mm", "Federübersetzung"]);
    let for_the_sheet = language.pick("For the vehicle sheet", "Für das Datenblatt");
    Ok(format!("{}\n{}\n{for_the_sheet}:\n{}", result.what, table(&header, rows), result.for_the_sheet))
}
