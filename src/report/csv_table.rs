//! The form of every CSV file: rows of cells, each written by its kind, so that nothing gets into a file that a spreadsheet
//! would run or turn into something else. It knows no table; the writers of this floor call it.

use rust_decimal::Decimal;

use crate::ground::inert::{guarded, guarded_size};
use crate::ground::{Date, money};

/// One cell, as it stands in a file. There is no other way to make one than by its kind.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Cell(String);

impl Cell {
    /// Nothing.
    pub(super) fn empty() -> Self {
        Self(String::new())
    }

    /// Any text, a user's or our own.
    pub(super) fn text(words: &str) -> Self {
        Self(guarded(words).into_owned())
    }

    /// The sizes of tube or of a part.
    pub(super) fn size(size: &str) -> Self {
        Self(guarded_size(size).into_owned())
    }

    /// A quantity or a length.
    pub(super) fn quantity(number: Decimal) -> Self {
        Self(money::quantity(number))
    }

    /// A whole number.
    pub(super) fn whole(number: impl Into<Decimal>) -> Self {
        Self(money::plain(number.into()))
    }

    /// A sum, of money or of hours.
    pub(super) fn cents(sum: Decimal) -> Self {
        Self(money::cents(sum))
    }

    /// A price.
    pub(super) fn price(net: Decimal) -> Self {
        Self(money::price(net))
    }

    /// Points of a percentage.
    pub(super) fn points(points: Decimal) -> Self {
        Self(money::points(points))
    }

    /// A day, which a spreadsheet may take for one.
    pub(super) fn day(day: Option<Date>) -> Self {
        Self(day.map(|day| day.to_string()).unwrap_or_default())
    }

    /// Yes or no.
    pub(super) fn yes_no(yes: bool) -> Self {
        Self::text(if yes { "yes" } else { "no" })
    }

    /// What is there, by its kind; else nothing.
    pub(super) fn maybe<T>(value: Option<T>, of: impl FnOnce(T) -> Self) -> Self {
        value.map_or_else(Self::empty, of)
    }
}

/// A table on its way into a CSV file.
pub(super) struct Table {
    writer: csv::Writer<Vec<u8>>,
}

impl Table {
    /// A table with its headings, which may name what a user named.
    pub(super) fn new<H: AsRef<str>>(headings: &[H]) -> Self {
        let writer = csv::WriterBuilder::new()
            .terminator(csv::Terminator::CRLF)
            .flexible(true)
            .from_writer(Vec::new());
        let mut table = Self { writer };
        table.row(headings.iter().map(|heading| Cell::text(heading.as_ref())));
        table
    }

    /// Adds a row.
    pub(super) fn row(&mut self, cells: impl IntoIterator<Item = Cell>) {
        // Memory takes every byte, and rows may have any number of cells: nothing is left that could go wrong.
        let _ = self.writer.write_record(cells.into_iter().map(|cell| cell.0));
    }

    /// The text of the file.
    pub(super) fn text(self) -> String {
        let bytes = self.writer.into_inner().unwrap_or_default();
        String::from_utf8(bytes).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_with_separators_are_quoted_and_texts_are_guarded() {
        let mut table = Table::new(&["a"]);
        table.row([Cell::text("1/2\" x, y"), Cell::text("=1"), Cell::size("3/8"), Cell::text("3-4")]);
        assert_eq!(table.text(), "a\r\n\"1/2\"\" x, y\",'=1,\"3/8\"\"\",'3-4\r\n");
    }
}
