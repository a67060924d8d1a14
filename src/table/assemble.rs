//! Puts the cells of a workbook together to rows, under the caps of a sheet. Both workbook doors hand their cells here.
//!
//! Spreadsheets save cells from the top down, each once. A damaged or hand-made file may not: of a cell that is there
//! twice the later is read; a row that comes after a later row is not read; both are error notices. An address that no
//! sheet has is refused.

use super::row::{Kind, Row};
use super::words::{TableTrouble, Trouble};
use super::{Go, Sink, caps};

/// How many troubles of order and address are listed; more of them say nothing new.
const MOST_TROUBLES: u32 = 100;

/// Cells on their way to rows.
pub(super) struct Assembler<'a> {
    sink: &'a mut dyn Sink,
    /// The row that is being put together, from 1; 0 before the first.
    number: u32,
    row: Row,
    /// The last row that came too late: it is noticed once.
    late: u32,
    troubles: u32,
}

impl<'a> Assembler<'a> {
    /// Begins a sheet.
    pub(super) fn new(sink: &'a mut dyn Sink) -> Self {
        Self { sink, number: 0, row: Row::default(), late: 0, troubles: 0 }
    }

    /// Takes a cell; row and column count from 1.
    pub(super) fn cell(&mut self, row: u32, column: u32, kind: Kind, text: &str) -> Go {
        if row == 0 || column == 0 || row > caps::ROWS || column > caps::SHEET_COLUMNS {
            self.no_address(&format!("column {column}, row {row}"));
            return Go::On;
        }
        if kind == Kind::Empty {
            return Go::On;
        }
        if row < self.number {
            if self.late != row {
                self.late = row;
                self.trouble(row, 0, TableTrouble::OutOfOrder);
            }
            return Go::On;
        }
        if row > self.number {
            if matches!(self.flush(), Go::Stop) {
                return Go::Stop;
            }
            self.number = row;
        }
        let position = usize::try_from(column - 1).unwrap_or(usize::MAX);
        if self.row.put(position, kind, text) {
            self.trouble(row, column, TableTrouble::Twice);
        }
        Go::On
    }

    /// Passes on that a row is hidden.
    pub(super) fn hide_row(&mut self, row: u32) {
        self.sink.hide_row(row);
    }

    /// Passes on that columns are hidden.
    pub(super) fn hide_columns(&mut self, from: u32, to: u32) {
        self.sink.hide_columns(from, to);
    }

    /// Notices an address that no sheet has.
    pub(super) fn no_address(&mut self, address: &str) {
        self.trouble(0, 0, TableTrouble::NoAddress { address: address.to_owned() });
    }

    /// Hands the last row over.
    pub(super) fn end(mut self) {
        let _ = self.flush();
    }

    fn flush(&mut self) -> Go {
        let go = if self.number == 0 { Go::On } else { self.sink.row(self.number, &self.row) };
        self.row.clear();
        go
    }

    fn trouble(&mut self, row: u32, column: u32, trouble: TableTrouble<'_>) {
        self.troubles += 1;
        if self.troubles <= MOST_TROUBLES {
            self.sink.trouble(row, column, Trouble::Table(trouble));
        }
    }
}
