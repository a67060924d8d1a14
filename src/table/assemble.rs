//! Puts the cells of a workbook together to rows, under the caps of a sheet. Both workbook doors hand their cells here.
//!
//! Spreadsheets save cells from the top down, each once. A damaged or hand-made file may not: of a cell that is there
//! twice the later is read; a row that comes after a later row is not read; both are error notices. An address that no
//! sheet has is refused.

use super::findings::{SAVE_AGAIN, short};
use super::limits::Limits;
use super::row::{Kind, Row};
use super::{Go, Sink, caps};
use crate::ground::notice::{Finding, error};

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
    pub(super) fn new(limits: &Limits, sink: &'a mut dyn Sink) -> Self {
        Self { sink, number: 0, row: Row::within(limits), late: 0, troubles: 0 }
    }

    /// Takes a cell; row and column count from 1.
    pub(super) fn cell(&mut self, row: u32, column: u32, kind: Kind, text: &str) -> Go {
        if row == 0 || column == 0 || row > caps::SHEET_ROWS || column > caps::SHEET_COLUMNS {
            self.no_address(&format!("column {column}, row {row}"));
            return Go::On;
        }
        if kind == Kind::Empty {
            return Go::On;
        }
        if row < self.number {
            if self.late != row {
                self.late = row;
                self.tell(row, 0, out_of_order());
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
            self.tell(row, column, twice());
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
        self.tell(0, 0, no_such_cell(address));
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

    fn tell(&mut self, row: u32, column: u32, finding: Finding) {
        self.troubles += 1;
        if self.troubles <= MOST_TROUBLES {
            self.sink.tell(row, column, finding);
        }
    }
}

/// A row that comes a second time or too late in the file of a workbook.
fn out_of_order() -> Finding {
    error(
        "row-out-of-order",
        "the row stands too late in the workbook's file and is not read",
        "rows from the top down, as spreadsheets save them",
        SAVE_AGAIN,
    )
}

/// The same cell twice.
fn twice() -> Finding {
    error(
        "twice-cell",
        "the cell is there twice in the workbook's file; the later one is read",
        "each cell once, as spreadsheets save them",
        SAVE_AGAIN,
    )
}

/// An address that no sheet has.
fn no_such_cell(address: &str) -> Finding {
    error(
        "no-such-cell",
        format!("the workbook's file names a cell \"{}\", which no sheet has", short(address)),
        "cells from A1 to XFD1048576",
        SAVE_AGAIN,
    )
}
