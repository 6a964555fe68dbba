//! Hardpoints of the reference cases, from their tables.

use mechanics::linkage::Point;

/// Points of a reference table in mm, by name, m.
pub(crate) fn points(text: &str) -> impl Fn(&str) -> Point {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let records: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    move |name| {
        let record = records.iter().find(|record| &record[0] == name).unwrap();
        [1, 2, 3].map(|k| record[k].parse::<f64>().unwrap() * 1e-3)
    }
}
