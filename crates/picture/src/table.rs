//! What a drawing shows, as a table for those who would rather read it.

/// A table: a caption, a head and rows of as many cells.
#[derive(Debug, Clone, PartialEq)]
pub struct PlotTable {
    /// What it is.
    pub caption: String,
    /// Head of each column.
    pub head: Vec<String>,
    /// Cells, row by row.
    pub rows: Vec<Vec<String>>,
}

impl PlotTable {
    /// Unit of the numbers of a column, as its head names it; empty where it names none.
    pub fn unit(&self, column: usize) -> &str {
        self.head.get(column).and_then(|head| head.rsplit_once(", ")).map_or("", |(_, unit)| unit)
    }
}
