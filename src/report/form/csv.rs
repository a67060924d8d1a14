//! The form of every CSV file: rows of values, each written by its kind, so that nothing gets into a file that a
//! spreadsheet would run or turn into something else. It knows no table; the files of this floor are written with it.

use super::table::{Column, Value};
use crate::ground::inert::{guarded, guarded_size};
use crate::report::facts::Wording;

/// A table on its way into a CSV file.
pub(in crate::report) struct Table {
    writer: csv::Writer<Vec<u8>>,
    /// How many headings it has.
    width: usize,
}

impl Table {
    /// A table with its headings, which may name what a user named.
    pub(in crate::report) fn new(headings: impl IntoIterator<Item = impl Into<Value>>) -> Self {
        let writer = csv::WriterBuilder::new()
            .terminator(csv::Terminator::CRLF)
            .flexible(true)
            .from_writer(Vec::new());
        let mut table = Self { writer, width: 0 };
        let headings: Vec<Value> = headings.into_iter().map(Into::into).collect();
        table.width = headings.len();
        table.row(headings);
        table
    }

    /// Adds a row; where it has fewer cells than there are headings, the others are empty.
    pub(in crate::report) fn row(&mut self, cells: impl IntoIterator<Item = Value>) {
        let guard = |cell: Value| {
            if let Value::Text(words) = &cell {
                return guarded(words).into_owned();
            }
            if let Value::Size(size) = &cell { guarded_size(size).into_owned() } else { cell.written() }
        };
        let mut cells: Vec<String> = cells.into_iter().map(guard).collect();
        cells.resize(cells.len().max(self.width), String::new());
        // Memory takes every byte, and rows may have any number of cells: nothing is left that could go wrong.
        let _ = self.writer.write_record(cells);
    }

    /// The bytes of the file.
    pub(in crate::report) fn bytes(self) -> Vec<u8> {
        self.writer.into_inner().unwrap_or_default()
    }
}

/// The bytes of a table: those of its columns that have a heading.
pub(in crate::report) fn table<Row>(
    words: &Wording<'_>,
    columns: &[Column<Row>],
    rows: impl IntoIterator<Item = Row>,
) -> Vec<u8> {
    let shown: Vec<&Column<Row>> = columns.iter().filter(|column| column.heading(words).is_some()).collect();
    let mut table = Table::new(shown.iter().filter_map(|column| column.heading(words)));
    for row in rows {
        table.row(shown.iter().map(|column| (column.cell)(words, &row)));
    }
    table.bytes()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_with_separators_are_quoted_and_texts_are_guarded() {
        let mut table = Table::new(["a"]);
        table.row(["1/2\" x, y".into(), "=1".into(), Value::Size("3/8".to_owned()), "3-4".into()]);
        assert_eq!(table.bytes(), b"a\r\n\"1/2\"\" x, y\",\"\"\"=1\"\"\",\"3/8\"\"\",'3-4\r\n");
    }

    #[test]
    fn every_row_has_as_many_cells_as_there_are_headings() {
        let mut table = Table::new(["line", "percent", "taken on"]);
        table.row(["profit as a markup on the cost".into()]);
        assert_eq!(table.bytes(), b"line,percent,taken on\r\nprofit as a markup on the cost,,\r\n");
    }
}
