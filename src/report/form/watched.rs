//! What is kept of the cells of a sheet while it is written: those that may be edited, with what stood there, and those that
//! follow no edit. It writes nothing; `page` notes cells down and `edits` asks for them.

use crate::ground::spot::column_letters;

/// Cells that stand together: the first row and column, the last row and column.
pub(super) type Range = (u32, u16, u32, u16);

/// The cells of a sheet that are watched.
#[derive(Default)]
pub(super) struct Watched {
    /// Shaded cells in the order written: row, column, and what stood there when they were written.
    inputs: Vec<(u32, u16, String)>,
    /// Cells that follow no edit, each a row and its first and last column.
    as_estimated: Vec<(u32, u16, u16)>,
}

impl Watched {
    /// A shaded cell was written, with a number or a formula.
    pub(super) fn input(&mut self, row: u32, column: u16, written: &str) {
        self.inputs.push((row, column, written.trim_start_matches('=').to_owned()));
    }

    /// Cells from one column to another were written that follow no edit.
    pub(super) fn as_estimated(&mut self, row: u32, first: u16, last: u16) {
        match self.as_estimated.last_mut() {
            Some((above, _, before)) if *above == row && *before + 1 == first => *before = last,
            Some(_) | None => self.as_estimated.push((row, first, last)),
        }
    }

    /// For each row with shaded cells a formula of how many of them are no longer as they were written.
    pub(super) fn counts(&self) -> Vec<(u32, String)> {
        let of_row = |cells: &[(u32, u16, String)]| {
            let one = |(row, column, was): &(u32, u16, String)| {
                format!("IF({}{}={was},0,1)", column_letters(u32::from(*column) + 1), row.saturating_add(1))
            };
            let all: Vec<String> = cells.iter().map(one).collect();
            Some((cells.first()?.0, format!("={}", all.join("+"))))
        };
        self.inputs.chunk_by(|a, b| a.0 == b.0).filter_map(of_row).collect()
    }

    /// Where numbers are typed: a column with its first row and its last. Words, which stand in quotation marks, are chosen.
    pub(super) fn numbers(&self) -> Vec<(u16, u32, u32)> {
        let mut cells: Vec<(u16, u32)> = self
            .inputs
            .iter()
            .filter(|(_, _, was)| !was.starts_with('"'))
            .map(|(row, column, _)| (*column, *row))
            .collect();
        cells.sort_unstable();
        let together = |a: &(u16, u32), b: &(u16, u32)| a.0 == b.0 && a.1 + 1 == b.1;
        let ends = |of: &[(u16, u32)]| Some((of.first()?.0, of.first()?.1, of.last()?.1));
        cells.chunk_by(together).filter_map(ends).collect()
    }

    /// What follows no edit, as a list of ranges; cells that stand below each other are one.
    pub(super) fn ranges(&self) -> Vec<Range> {
        let mut ranges: Vec<Range> = Vec::new();
        for (row, first, last) in &self.as_estimated {
            let goes_on = |one: &&mut Range| (one.2 + 1, one.1, one.3) == (*row, *first, *last);
            // Only the last few can end in the row above.
            match ranges.iter_mut().rev().take(8).find(goes_on) {
                Some(one) => one.2 = *row,
                None => ranges.push((*row, *first, *row, *last)),
            }
        }
        ranges
    }
}
