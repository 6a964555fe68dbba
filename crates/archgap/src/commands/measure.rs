//! `archgap spring-bench FILE` and `archgap jacking FILE`

use workshop::document::read;
use workshop::measuring::{BenchReading, JackingReading, bench_result, jacking_result};

use super::json_of;
use crate::data::{DataSource, Trouble};
use crate::tables::{fixed, table};

pub(crate) fn spring_bench(source: &DataSource, named: &str, json: bool) -> Result<String, Trouble> {
    let file = source.document(named, "bench")?;
    let result = bench_result(&read(&file.path, &file.text, BenchReading::read)?);
    if json {
        return json_of(&result);
    }
    let figure = |figure: &workshop::figure::Figure, decimals| {
        format!(
            "{} ({} to {})",
            fixed(figure.value, decimals),
            fixed(figure.low, decimals),
            fixed(figure.high, decimals)
        )
    };
    let mut text = format!(
        "{}: rate {} N/mm, free length {} mm, largest distance from the line {} N.\n",
        result.spring,
        figure(&result.rate_n_per_mm, 2),
        figure(&result.free_length_mm, 1),
        fixed(result.largest_residual_n, 0)
    );
    if let Some(wire) = result.wire_rate_n_per_mm {
        text += &format!("Wire formula: {} N/mm.\n", fixed(wire, 2));
    }
    for words in &result.words {
        text += &format!("{words}\n");
    }
    Ok(text)
}

pub(crate) fn jacking(source: &DataSource, named: &str, json: bool) -> Result<String, Trouble> {
    let file = source.document(named, "jacking")?;
    let result = jacking_result(&read(&file.path, &file.text, JackingReading::read)?);
    if json {
        return json_of(&result);
    }
    let rows = result.rows.iter().map(|row| {
        vec![fixed(row.travel_mm, 1), format!("{} ± {}", fixed(row.ratio, 3), fixed(row.ratio_plus_minus, 3))]
    });
    let table = table(&["wheel travel mm", "spring motion ratio"], rows);
    Ok(format!("{}\n{table}\nFor the vehicle sheet:\n{}", result.what, result.for_the_sheet))
}
