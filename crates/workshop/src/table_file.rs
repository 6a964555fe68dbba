//! Files as people send them, from bytes: text in the encodings that spreadsheets write, tables as CSV or XLSX. What is
//! hostile or something else than its name says is refused by name, and nothing is unpacked beyond its bound.

use std::io::{Cursor, Read};
use std::panic::{AssertUnwindSafe, catch_unwind};

use calamine::{DataRef, Reader, Xlsx};
use encoding_rs::{Encoding, UTF_8, UTF_16BE, UTF_16LE, WINDOWS_1252};

use crate::document::Fault;
use crate::kit_table::csv_rows;

/// Largest file, bytes.
pub const LARGEST_FILE: usize = 4 << 20;
/// Most that a workbook may hold once it is unpacked, bytes.
const LARGEST_UNPACKED: u64 = 48 << 20;
/// Most rows of a table, the head with them.
pub const MOST_ROWS: usize = 5000;
/// Most columns of a table.
pub const MOST_COLUMNS: usize = 200;

/// First bytes of a packed workbook (PKWARE APPNOTE 4.3.7).
const PACKED: &[u8] = b"PK\x03\x04";
/// First bytes of an old workbook (Microsoft, [MS-CFB] 2.2).
const OLD_WORKBOOK: &[u8] = b"\xD0\xCF\x11\xE0";

/// Whether a file is a table of kits by its name.
pub fn is_table(name: &str) -> bool {
    ["csv", "tsv", "xlsx"].contains(&ending(name).as_str())
}

/// Cells of a table: the first sheet of a workbook (`.xlsx`), or text parted by commas, semicolons or tabs.
///
/// # Errors
/// What the file is instead, or where a cell holds what is no value.
pub fn table_rows(name: &str, bytes: &[u8]) -> Result<Vec<Vec<String>>, Vec<Fault>> {
    let rows = if ending(name) == "xlsx" {
        sheet_rows(name, bytes)?
    } else {
        csv_rows(name, &text_of(name, bytes)?)?
    };
    let widest = rows.iter().map(Vec::len).max().unwrap_or(0);
    if rows.len() > MOST_ROWS || widest > MOST_COLUMNS {
        return Err(too_large(name, rows.len(), widest));
    }
    Ok(rows)
}

/// Text of a file in UTF-8, UTF-16 or Windows-1252.
///
/// # Errors
/// Where it is too large, or no text.
pub fn text_of(name: &str, bytes: &[u8]) -> Result<String, Vec<Fault>> {
    check_size(name, bytes)?;
    let whole = |found: &str, allowed: &str| Err(vec![Fault::at_line(name, 1, "", found, allowed)]);
    if bytes.starts_with(PACKED) || bytes.starts_with(OLD_WORKBOOK) {
        return whole("a packed file", "text; save a workbook as .xlsx and keep that ending");
    }
    let text = decoded(bytes);
    let Some(text) = text else {
        return whole("bytes that are no text", "text in UTF-8, UTF-16 or Windows-1252");
    };
    let is_sign = |c: char| c.is_control() && !['\t', '\n', '\r'].contains(&c);
    match text.lines().position(|line| line.chars().any(is_sign)) {
        Some(line) => Err(vec![Fault::at_line(name, line + 1, "", "a control sign", "printable text")]),
        None => Ok(text),
    }
}

fn ending(name: &str) -> String {
    name.rsplit_once('.').map_or_else(String::new, |(_, ending)| ending.to_ascii_lowercase())
}

fn check_size(name: &str, bytes: &[u8]) -> Result<(), Vec<Fault>> {
    if bytes.len() <= LARGEST_FILE {
        return Ok(());
    }
    let found = format!("{} bytes", bytes.len());
    Err(vec![Fault::at_line(name, 1, "", &found, format!("at most {LARGEST_FILE} bytes"))])
}

fn too_large(name: &str, rows: usize, columns: usize) -> Vec<Fault> {
    let found = format!("{rows} rows and {columns} columns");
    let allowed = format!("at most {MOST_ROWS} rows and {MOST_COLUMNS} columns");
    vec![Fault::at_line(name, 1, "", &found, &allowed)]
}

/// Bytes as text: by their mark, as UTF-16 where every other byte of the beginning is zero, as UTF-8 where they are that,
/// else as Windows-1252, of which five bytes stand for nothing.
fn decoded(bytes: &[u8]) -> Option<String> {
    let (encoding, text) = match bytes {
        [first, 0, second, 0, ..] if *first != 0 && *second != 0 => (UTF_16LE, bytes),
        [0, first, 0, second, ..] if *first != 0 && *second != 0 => (UTF_16BE, bytes),
        _ => match Encoding::for_bom(bytes) {
            Some((encoding, mark)) => (encoding, &bytes[mark..]),
            None if std::str::from_utf8(bytes).is_ok() => (UTF_8, bytes),
            None => (WINDOWS_1252, bytes),
        },
    };
    let text = encoding.decode_without_bom_handling_and_without_replacement(text)?;
    let is_one = |c: char| !('\u{80}'..='\u{9f}').contains(&c);
    (encoding != WINDOWS_1252 || text.chars().all(is_one)).then(|| text.into_owned())
}

/// Cells of the first sheet of a workbook, read one by one: the sheet's own word for its size is not believed.
fn sheet_rows(name: &str, bytes: &[u8]) -> Result<Vec<Vec<String>>, Vec<Fault>> {
    check_size(name, bytes)?;
    if !bytes.starts_with(PACKED) {
        return Err(not_a_workbook(name));
    }
    check_unpacked(name, bytes)?;
    // the reader of a workbook is not ours, and what a stranger sends may be made to break it
    catch_unwind(AssertUnwindSafe(|| cells_of(name, bytes))).unwrap_or_else(|_| Err(not_a_workbook(name)))
}

fn not_a_workbook(name: &str) -> Vec<Fault> {
    vec![Fault::at_line(name, 1, "", "what is not a workbook", "a workbook as spreadsheets save it (.xlsx)")]
}

/// Unpacks everything into nothing, up to a bound: what a packed file says of its own size is not believed.
fn check_unpacked(name: &str, bytes: &[u8]) -> Result<(), Vec<Fault>> {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).map_err(|_| not_a_workbook(name))?;
    let mut left = LARGEST_UNPACKED;
    for place in 0..archive.len() {
        let part = archive.by_index(place).map_err(|_| not_a_workbook(name))?;
        let unpacked = std::io::copy(&mut part.take(left + 1), &mut std::io::sink());
        let unpacked = unpacked.map_err(|_| not_a_workbook(name))?;
        if unpacked > left {
            let allowed = format!("at most {LARGEST_UNPACKED} bytes unpacked");
            return Err(vec![Fault::at_line(name, 1, "", "a workbook that unpacks to more", &allowed)]);
        }
        left -= unpacked;
    }
    Ok(())
}

fn cells_of(name: &str, bytes: &[u8]) -> Result<Vec<Vec<String>>, Vec<Fault>> {
    let mut workbook = Xlsx::new(Cursor::new(bytes)).map_err(|_| not_a_workbook(name))?;
    let sheet = workbook.sheet_names().first().cloned().ok_or_else(|| not_a_workbook(name))?;
    let mut cells = workbook.worksheet_cells_reader(&sheet).map_err(|_| not_a_workbook(name))?;
    let (mut rows, mut faults): (Vec<Vec<String>>, Vec<Fault>) = (Vec::new(), Vec::new());
    while let Some(cell) = cells.next_cell_with_formula_metadata().map_err(|_| not_a_workbook(name))? {
        let (row, column) = (cell.pos.0 as usize, cell.pos.1 as usize);
        let value = if cell.formula.is_some() {
            Err(("a formula", "its value: copy the cells and insert them as values"))
        } else {
            value_of(&cell.value)
        };
        let is_outside = row >= MOST_ROWS || column >= MOST_COLUMNS;
        match value {
            // formats reach further than what was typed
            Ok(text) if text.is_empty() => {}
            _ if is_outside => return Err(too_large(name, row + 1, column + 1)),
            Ok(text) => {
                if rows.len() <= row {
                    rows.resize(row + 1, Vec::new());
                }
                if rows[row].len() <= column {
                    rows[row].resize(column + 1, String::new());
                }
                rows[row][column] = text;
            }
            Err((found, allowed)) => {
                faults.push(Fault::at_line(name, row + 1, &cell_name(row, column), found, allowed));
            }
        }
    }
    if faults.is_empty() { Ok(rows) } else { Err(faults) }
}

/// A cell as it would be typed, or what it holds instead and what is allowed.
fn value_of(cell: &DataRef) -> Result<String, (&'static str, &'static str)> {
    Ok(match cell {
        DataRef::Empty => String::new(),
        DataRef::Int(number) => number.to_string(),
        DataRef::Float(number) => number.to_string(),
        DataRef::Bool(flag) => flag.to_string(),
        DataRef::String(text) => text.clone(),
        DataRef::SharedString(text) => (*text).to_owned(),
        DataRef::DateTime(_) | DataRef::DateTimeIso(_) | DataRef::DurationIso(_) => {
            return Err(("a date or time", "a number or text; format the cell so"));
        }
        DataRef::Error(_) => return Err(("an error of the spreadsheet", "a number or text")),
    })
}

/// Name of a cell as spreadsheets write it: letters for the column, from A; rows from 1.
fn cell_name(row: usize, column: usize) -> String {
    let mut letters = String::new();
    let mut left = column + 1;
    while left > 0 {
        let digit = u8::try_from((left - 1) % 26).unwrap_or(0);
        letters.insert(0, char::from(b'A' + digit));
        left = (left - 1) / 26;
    }
    format!("{letters}{}", row + 1)
}

#[cfg(test)]
mod tests {
    use std::io::Write;

    use proptest::prelude::*;

    use super::*;

    /// A workbook of one sheet, its rows as they stand in the file (ECMA-376-1, 18.3 and 18.2).
    fn workbook(sheet_data: &str) -> Vec<u8> {
        let head = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>";
        let main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
        let office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
        let package = "http://schemas.openxmlformats.org/package/2006/relationships";
        let parts = [
            (
                "_rels/.rels",
                format!(
                    "<Relationships xmlns=\"{package}\"><Relationship Id=\"rId1\" Type=\"{office}/officeDocument\" Target=\"xl/workbook.xml\"/></Relationships>"
                ),
            ),
            (
                "xl/workbook.xml",
                format!(
                    "<workbook xmlns=\"{main}\" xmlns:r=\"{office}\"><sheets><sheet name=\"Kits\" sheetId=\"1\" r:id=\"rId1\"/></sheets></workbook>"
                ),
            ),
            (
                "xl/_rels/workbook.xml.rels",
                format!(
                    "<Relationships xmlns=\"{package}\"><Relationship Id=\"rId1\" Type=\"{office}/worksheet\" Target=\"worksheets/sheet1.xml\"/></Relationships>"
                ),
            ),
            (
                "xl/worksheets/sheet1.xml",
                format!("<worksheet xmlns=\"{main}\"><sheetData>{sheet_data}</sheetData></worksheet>"),
            ),
        ];
        packed(parts.map(|(name, text)| (name, format!("{head}{text}").into_bytes())))
    }

    fn packed<const N: usize>(parts: [(&str, Vec<u8>); N]) -> Vec<u8> {
        let mut archive = zip::ZipWriter::new(Cursor::new(Vec::new()));
        for (name, bytes) in parts {
            archive.start_file(name, zip::write::SimpleFileOptions::default()).unwrap();
            archive.write_all(&bytes).unwrap();
        }
        archive.finish().unwrap().into_inner()
    }

    fn text_cell(place: &str, text: &str) -> String {
        format!("<c r=\"{place}\" t=\"inlineStr\"><is><t>{text}</t></is></c>")
    }

    fn found(result: Result<Vec<Vec<String>>, Vec<Fault>>) -> (usize, String, String) {
        let fault = result.unwrap_err().swap_remove(0);
        (fault.line, fault.field, fault.found)
    }

    #[test]
    fn law_a_workbook_and_its_text_in_every_encoding_give_the_same_cells() {
        let rows = [["id", "name", "front.spring.rate_n_per_mm"], ["höher", "„45“ – €", "31,5"]];
        let sheet = format!(
            "<row r=\"1\">{}{}{}</row><row r=\"2\">{}{}{}</row>",
            text_cell("A1", rows[0][0]),
            text_cell("B1", rows[0][1]),
            text_cell("C1", rows[0][2]),
            text_cell("A2", rows[1][0]),
            text_cell("B2", rows[1][1]),
            text_cell("C2", rows[1][2]),
        );
        let expected: Vec<Vec<String>> = rows.iter().map(|row| row.map(str::to_owned).to_vec()).collect();
        assert_eq!(table_rows("kits.xlsx", &workbook(&sheet)).unwrap(), expected);
        for mark in [';', '\t'] {
            let text = rows.map(|row| row.join(&mark.to_string())).join("\r\n");
            let units = |text: &str| text.encode_utf16().collect::<Vec<u16>>();
            // the bytes of Windows-1252 as the standard lists them
            let western = text.chars().map(|c| match c {
                '€' => 0x80,
                '„' => 0x84,
                '“' => 0x93,
                '–' => 0x96,
                c => u8::try_from(u32::from(c)).unwrap(),
            });
            let marked = format!("\u{feff}{text}");
            let encoded: [Vec<u8>; 6] = [
                text.clone().into_bytes(),
                marked.clone().into_bytes(),
                units(&marked).iter().flat_map(|unit| unit.to_le_bytes()).collect(),
                units(&marked).iter().flat_map(|unit| unit.to_be_bytes()).collect(),
                units(&text).iter().flat_map(|unit| unit.to_le_bytes()).collect(),
                western.collect(),
            ];
            for (n, bytes) in encoded.iter().enumerate() {
                assert_eq!(table_rows("kits.csv", bytes).unwrap(), expected, "{mark:?} {n}");
            }
        }
        let quoted = "id,name,front.spring.rate_n_per_mm\nhöher,„45“ – €,\"31,5\"\n";
        assert_eq!(table_rows("kits.csv", quoted.as_bytes()).unwrap(), expected);
    }

    #[test]
    fn law_numbers_and_flags_of_a_workbook_are_cells_as_typed() {
        let sheet = "<row r=\"1\"><c r=\"A1\"><v>31.5</v></c><c r=\"B1\"><v>340</v></c><c r=\"C1\" t=\"b\"><v>1</v></c></row>";
        assert_eq!(table_rows("kits.xlsx", &workbook(sheet)).unwrap(), [["31.5", "340", "true"]]);
    }

    #[test]
    fn law_what_is_no_value_is_told_by_its_cell() {
        let sheet = "<row r=\"2\"><c r=\"AB2\"><f>1+1</f><v>2</v></c></row>";
        let (line, field, what) = found(table_rows("kits.xlsx", &workbook(sheet)));
        assert_eq!((line, &*field, &*what), (2, "AB2", "a formula"));
        let sheet = "<row r=\"1\"><c r=\"A1\" t=\"e\"><v>#N/A</v></c></row>";
        assert_eq!(found(table_rows("kits.xlsx", &workbook(sheet))).2, "an error of the spreadsheet");
        let sheet = "<row r=\"1\"><c r=\"A1\" t=\"d\"><v>2026-11-26</v></c></row>";
        assert_eq!(found(table_rows("kits.xlsx", &workbook(sheet))).2, "a date or time");
    }

    #[test]
    fn law_hostile_files_are_refused_by_name() {
        let what = |name: &str, bytes: &[u8]| found(table_rows(name, bytes)).2;
        // the last cell there is, alone
        let far = workbook("<row r=\"1048576\"><c r=\"XFD1048576\"><v>1</v></c></row>");
        assert_eq!(what("kits.xlsx", &far), "1048576 rows and 16384 columns");
        let bomb = packed([("xl/workbook.xml", vec![b' '; 64 << 20])]);
        assert!(bomb.len() < LARGEST_FILE, "{}", bomb.len());
        assert_eq!(what("kits.xlsx", &bomb), "a workbook that unpacks to more");
        assert_eq!(what("kits.xlsx", b"id;name\na;b"), "what is not a workbook");
        assert_eq!(what("kits.xlsx", b"PK\x03\x04 and no more"), "what is not a workbook");
        assert_eq!(what("kits.xlsx", &packed([("a.txt", b"a".to_vec())])), "what is not a workbook");
        assert_eq!(what("kits.csv", &workbook("")), "a packed file");
        assert_eq!(what("kits.csv", OLD_WORKBOOK), "a packed file");
        assert_eq!(what("kits.csv", b"id\0name"), "a control sign");
        assert_eq!(what("kits.csv", b"\x81\x8d"), "bytes that are no text");
        assert_eq!(what("kits.csv", &vec![b'a'; LARGEST_FILE + 1]), format!("{} bytes", LARGEST_FILE + 1));
        let many = "a\n".repeat(MOST_ROWS + 1);
        assert_eq!(what("kits.csv", many.as_bytes()), format!("{} rows and 1 columns", MOST_ROWS + 1));
        let wide = vec!["a"; MOST_COLUMNS + 1].join(",");
        assert_eq!(what("kits.csv", wide.as_bytes()), format!("1 rows and {} columns", MOST_COLUMNS + 1));
    }

    proptest! {
        #[test]
        fn law_any_bytes_are_read_or_refused(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
            for name in ["kits.csv", "kits.xlsx"] {
                prop_assert!(table_rows(name, &bytes).map_or_else(|faults| !faults.is_empty(), |_| true));
            }
        }

        #[test]
        fn law_a_damaged_workbook_is_read_or_refused(
            damage in proptest::collection::vec((any::<proptest::sample::Index>(), any::<u8>()), 1..6),
        ) {
            let mut bytes = workbook(&format!("<row r=\"1\">{}</row>", text_cell("A1", "id")));
            for (place, byte) in damage {
                let place = place.index(bytes.len());
                bytes[place] = byte;
            }
            prop_assert!(table_rows("kits.xlsx", &bytes).map_or_else(|faults| !faults.is_empty(), |_| true));
        }
    }
}
