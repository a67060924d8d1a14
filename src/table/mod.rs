//! The door in: every input is a table, a CSV file or a sheet of a workbook, read one row at a time, each cell with its
//! place. The only floor that knows csv and calamine; it knows nothing of the trade.
//!
//! A table on a floor above is a [`Shape`]: its name and its columns, each defined once with heading, help and the way
//! it is read. [`read`] matches headings, notices unknown and missing ones, and hands over one [`Record`] a row.

mod csv_door;
mod record;
mod words;

pub use csv_door::read;
pub use record::{Got, Record};

use std::path::PathBuf;
use std::sync::Arc;

/// One column of a table: the one definition behind reading, help, README and blank jobs.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    /// The heading; it matches without regard to case, spaces, `-` and `_`.
    pub heading: &'static str,
    /// Other headings that mean the same.
    pub also: &'static [&'static str],
    /// Whether the table cannot be read without it.
    pub required: bool,
    /// What it holds, and so how it is read and formatted.
    pub holds: Holds,
    /// One line of help.
    pub help: &'static str,
}

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Holds {
    /// Words.
    Text,
    /// A length; its heading may name the unit of bare numbers: `length (ft)`.
    Length,
    /// Several lengths parted by `;`.
    Lengths,
    /// A size, or the sizes of a fitting.
    Size,
    /// A whole number.
    Count,
    /// A decimal number.
    Number,
    /// A percentage in points.
    Percent,
    /// Chained percentages: `25+15` or `25/15`.
    Discount,
    /// A day.
    Date,
    /// Yes or no.
    YesNo,
}

/// What to do with columns that the shape does not name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Further {
    /// Notice each once.
    Noticed,
    /// Keep them: [`Record::further`] gives their cells (count columns of the run list).
    Kept,
}

/// A table as a floor above defines it.
#[derive(Debug, Clone, Copy)]
pub struct Shape {
    /// Its name: `runs`, `prices`.
    pub name: &'static str,
    /// Its columns; a [`Record`] is asked by their index in this list.
    pub columns: &'static [Column],
    /// What becomes of further columns.
    pub further: Further,
}

/// Where a table is to be read from.
#[derive(Debug, Clone)]
pub enum TableFile {
    /// A CSV file, or a sheet of a workbook.
    File {
        /// The file.
        path: PathBuf,
        /// The file as notices show it.
        shown: Arc<str>,
        /// The sheet of a workbook.
        sheet: Option<Arc<str>>,
    },
    /// A table built into the program, as CSV text.
    BuiltIn {
        /// Its name as notices show it.
        name: &'static str,
        /// Its text.
        text: &'static str,
    },
}
