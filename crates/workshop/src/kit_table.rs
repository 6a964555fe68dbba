//! Kits from a table: one kit a row, each column headed by the field's path in a kit file (`front.spring.rate_n_per_mm`).
//!
//! A row becomes the text of a kit file and is read as such, so a table allows exactly what the files allow.

use crate::document::{Fault, read};
use crate::kit::{Kit, KitWorld};

/// A kit read from a row, with the text of its file.
#[derive(Debug, Clone, PartialEq)]
pub struct KitRow {
    /// The kit.
    pub kit: Kit,
    /// Text of its file.
    pub toml: String,
}

/// Columns that hold text even where a cell looks like a number.
const TEXT_COLUMNS: [&str; 11] = [
    "id",
    "name",
    "maker",
    "family",
    "datum",
    "en",
    "de",
    "stated",
    "position",
    "counted_from",
    "strut_mount",
];
/// Column with several values in a cell, parted by semicolons.
const LIST_COLUMN: &str = "fits";

/// Cells of a CSV table whose first line is parted by commas, semicolons or tabs; `file` names it in faults.
///
/// # Errors
/// Where the table cannot be read.
pub fn csv_rows(file: &str, text: &str) -> Result<Vec<Vec<String>>, Vec<Fault>> {
    let head = text.lines().next().unwrap_or_default();
    // marks in quotes part nothing
    let unquoted: String = head.split('"').step_by(2).collect();
    let count = |mark: char| unquoted.matches(mark).count();
    let delimiter =
        [';', '\t', ','].into_iter().max_by_key(|&mark| count(mark)).map_or(b',', |mark| mark as u8);
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .from_reader(text.trim_start_matches('\u{feff}').as_bytes());
    let cells = |record: csv::StringRecord| record.iter().map(str::to_owned).collect();
    reader.records().map(|record| record.map(cells)).collect::<Result<_, _>>().map_err(|error: csv::Error| {
        let line = error.position().map_or(1, |at| usize::try_from(at.line()).unwrap_or(1));
        vec![Fault::at_line(file, line, "", error.to_string(), "a table with one line for each kit")]
    })
}

/// Reads a table of cells, its first row the column heads; `file` names it in faults.
///
/// # Errors
/// All faults of all rows; `line` is the row (the head is row 1), `field` the column. One fault and no kit is read.
pub fn read_kit_table(file: &str, rows: &[Vec<String>], world: KitWorld) -> Result<Vec<KitRow>, Vec<Fault>> {
    let Some((head, rows)) = rows.split_first() else {
        return Err(vec![Fault::at_line(file, 1, "", "an empty table", "a first row with column heads")]);
    };
    let mut kits: Vec<KitRow> = Vec::new();
    let mut faults = head_faults(file, head);
    for (k, cells) in
        rows.iter().enumerate().filter(|(_, cells)| cells.iter().any(|cell| !cell.trim().is_empty()))
    {
        let line = k + 2;
        match read_row(file, line, head, cells, world) {
            Ok(row) => {
                if kits.iter().any(|other| other.kit.id == row.kit.id) {
                    let found = format!("\"{}\" a second time", row.kit.id);
                    faults.push(Fault::at_line(file, line, "id", &found, "an identifier of its own"));
                }
                kits.push(row);
            }
            Err(found) => faults.extend(found),
        }
    }
    if kits.is_empty() && faults.is_empty() {
        faults.push(Fault::at_line(file, 2, "", "no kit", "at least one row below the heads"));
    }
    if faults.is_empty() { Ok(kits) } else { Err(faults) }
}

fn head_faults(file: &str, head: &[String]) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (k, name) in head.iter().enumerate() {
        let name = name.trim();
        let sound = name.split('.').all(|part| {
            !part.is_empty() && part.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_')
        });
        if !sound {
            faults.push(Fault::at_line(
                file,
                1,
                &format!("column {}", k + 1),
                format!("\"{name}\""),
                "the path of a kit's field",
            ));
        } else if head[..k].iter().any(|other| other.trim() == name) {
            faults.push(Fault::at_line(file, 1, name, "the column a second time", "each column once"));
        }
    }
    faults
}

fn read_row(
    file: &str,
    line: usize,
    head: &[String],
    cells: &[String],
    world: KitWorld,
) -> Result<KitRow, Vec<Fault>> {
    if cells.len() > head.len() && cells[head.len()..].iter().any(|cell| !cell.trim().is_empty()) {
        let found = format!("{} cells", cells.len());
        return Err(vec![Fault::at_line(
            file,
            line,
            "",
            &found,
            format!("at most the {} columns of the head", head.len()),
        )]);
    }
    let mut kit = toml::Table::new();
    for (name, cell) in head.iter().zip(cells) {
        let (name, cell) = (name.trim(), cell.trim());
        if !cell.is_empty() && !insert(&mut kit, name, value_of(name, cell)) {
            let allowed = "a column that is not also the start of another column's path";
            return Err(vec![Fault::at_line(file, line, name, "a field that is a table elsewhere", allowed)]);
        }
    }
    let toml = kit.to_string();
    match read(file, &toml, |f| Kit::read(f, world)) {
        Ok(kit) => Ok(KitRow { kit, toml }),
        // lines of the made text mean nothing to whoever keeps the table
        Err(faults) => Err(faults.into_iter().map(|fault| Fault { line, column: 1, ..fault }).collect()),
    }
}

/// Puts a value at a dotted path; false where the path runs through a value.
fn insert(table: &mut toml::Table, path: &str, value: toml::Value) -> bool {
    match path.split_once('.') {
        None => !matches!(table.insert(path.to_owned(), value), Some(toml::Value::Table(_))),
        Some((first, rest)) => {
            let inner =
                table.entry(first.to_owned()).or_insert_with(|| toml::Value::Table(toml::Table::new()));
            inner.as_table_mut().is_some_and(|inner| insert(inner, rest, value))
        }
    }
}

/// A cell as the value its column asks for: text, true or false, a list, pairs (`8 200; 16 640`) or a number.
fn value_of(column: &str, cell: &str) -> toml::Value {
    let field = column.rsplit('.').next().unwrap_or(column);
    let text = || toml::Value::String(cell.to_owned());
    if field == LIST_COLUMN {
        return cell
            .split(';')
            .map(|part| part.trim().to_owned())
            .filter(|part| !part.is_empty())
            .collect::<Vec<_>>()
            .into();
    }
    if TEXT_COLUMNS.contains(&field) {
        return text();
    }
    if let Ok(flag) = cell.parse::<bool>() {
        return flag.into();
    }
    if cell.contains(';') || cell.contains(' ') {
        let row = |part: &str| part.split_whitespace().map(number).collect::<Option<Vec<f64>>>();
        let rows: Option<Vec<Vec<f64>>> =
            cell.split(';').filter(|part| !part.trim().is_empty()).map(row).collect();
        return rows.map_or_else(text, toml::Value::from);
    }
    match number(cell) {
        // counts are whole numbers in the files
        Some(value) if value.fract().abs() < f64::EPSILON && value.abs() < 1e9 => (value as i64).into(),
        Some(value) => value.into(),
        None => text(),
    }
}

/// A number with a decimal point or a decimal comma; both at once is text.
fn number(cell: &str) -> Option<f64> {
    let with_point = if cell.contains('.') { cell.to_owned() } else { cell.replace(',', ".") };
    with_point.parse().ok().filter(|value: &f64| value.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table(text: &str) -> Vec<Vec<String>> {
        text.lines().map(|line| line.split('|').map(|cell| cell.trim().to_owned()).collect()).collect()
    }

    const HEAD: &str = "id|name|maker|family|fits|front.spring.stated|front.spring.rate_n_per_mm|front.spring.free_length_mm|front.axle_load.from_kg|front.axle_load.to_kg";

    #[test]
    fn law_a_row_is_the_kit_that_its_file_would_be() {
        let rows = table(&format!(
            "{HEAD}\nflat|45|Maker|fixed_springs|van-a; van-b|rate_and_length|31,5|340|900|1400"
        ));
        let vans = ["van-a".to_owned(), "van-b".to_owned()];
        let world = KitWorld { vehicles: &vans, ..KitWorld::default() };
        let kits = read_kit_table("kits.csv", &rows, world).unwrap();
        assert_eq!(kits[0].kit.name, "45");
        assert_eq!(kits[0].kit.fits, vans);
        let again = read("flat.toml", &kits[0].toml, |f| Kit::read(f, world)).unwrap();
        assert_eq!(again, kits[0].kit);
    }

    #[test]
    fn law_every_fault_is_told_by_row_and_column_and_nothing_is_read() {
        let rows = table(&format!(
            "{HEAD}\ngood|a|M|fixed_springs|van-a|rate_and_length|31|340||\nbad|b|M|fixed_springs|van-x|rate_and_length|-3|340||\nbad two|c|M|springs|van-a|rate_and_length|31|many||"
        ));
        let vans = ["van-a".to_owned()];
        let world = KitWorld { vehicles: &vans, ..KitWorld::default() };
        let faults = read_kit_table("kits.csv", &rows, world).unwrap_err();
        let places: Vec<(usize, &str)> =
            faults.iter().map(|fault| (fault.line, fault.field.as_str())).collect();
        assert!(places.contains(&(3, "front.spring.rate_n_per_mm")), "{places:?}");
        assert!(places.contains(&(4, "id")) && places.contains(&(4, "family")), "{places:?}");
        assert!(places.contains(&(4, "front.spring.free_length_mm")), "{places:?}");
    }

    #[test]
    fn law_heads_twice_or_no_paths_are_refused() {
        let faults =
            read_kit_table("k", &table("id|id|Name of kit\na|b|c"), KitWorld::default()).unwrap_err();
        assert!(faults.iter().any(|fault| fault.found.contains("second time")));
        assert!(faults.iter().any(|fault| fault.allowed.contains("path")));
        assert!(read_kit_table("k", &[], KitWorld::default()).is_err());
    }

    proptest::proptest! {
        #[test]
        fn law_any_cells_give_kits_or_faults(cells in proptest::collection::vec(proptest::collection::vec(".{0,12}", 1..6), 0..5)) {
            let result = read_kit_table("k", &cells, KitWorld::default());
            proptest::prop_assert!(result.map_or_else(|faults| !faults.is_empty(), |kits| !kits.is_empty()));
        }
    }
}
