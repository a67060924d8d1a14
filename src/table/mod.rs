//! The door in: every input is a table, a CSV file or a sheet of a workbook, read one row at a time, each cell with its
//! place. The only floor that knows csv and calamine; it knows nothing of the trade.
//!
//! A table on a floor above is a [`Shape`]: its name and its columns, each defined once with heading, help and the way
//! it is read. [`read`] matches headings, notices unknown and missing ones, and hands over one [`Record`] a row.

mod around;
mod asides;
mod ask;
mod assemble;
mod caps;
mod csv_door;
mod door;
mod excerpt;
mod figures;
mod find;
mod findings;
mod guard;
mod guard_child;
mod headings;
mod limits;
mod money;
mod number;
mod plain;
mod record;
mod row;
mod xlsx_book;
mod xlsx_door;
mod xml;

pub use door::read;
pub(crate) use door::{Taking, read_from};
pub use excerpt::{ExcerptCell, excerpts};
pub use find::{Found, FoundTable, HiddenSheet, open};
pub(crate) use find::{open_within, workbooks};
pub use guard::read_guarded_by;
pub use guard_child::child_main;
pub(crate) use limits::Budget;
pub use limits::Limits;
pub use money::{Money, Quoted};
pub use record::{Got, Record};

use std::collections::BTreeMap;
use std::io::Read as _;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::ground::notice::Finding;
use crate::ground::{Spot, TableName};
use plain::Stamp;
use row::Row;
use xlsx_book::BookKind;

/// One column of a table: the one definition behind reading, help, README and blank jobs.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    /// The heading; it matches without regard to case, spaces, `-` and `_`.
    pub heading: &'static str,
    /// Other headings that mean the same.
    pub also: &'static [&'static str],
    /// Whether the table cannot be read without it.
    pub required: bool,
    /// The column that may stand in its place where it is required: a path gives the length.
    pub unless: Option<&'static str>,
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

impl Holds {
    /// Whether a heading of it may name the unit of bare numbers.
    pub(crate) const fn is_in_a_unit(self) -> bool {
        matches!(self, Self::Length | Self::Lengths)
    }

    /// In words, for who fills it in.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Text => "words",
            Self::Length => "a length",
            Self::Lengths => "lengths, parted by `;`",
            Self::Size => "a size, or a fitting's sizes",
            Self::Count => "a whole number",
            Self::Number => "a number",
            Self::Percent => "percent",
            Self::Discount => "percent, chained: `25+15`",
            Self::Date => "a day",
            Self::YesNo => "yes or no",
        }
    }
}

/// What to do with columns that the shape does not name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Further {
    /// Notice each once.
    Noticed,
    /// Keep them: [`Record::further`] gives their cells (count columns of the run list).
    Kept,
    /// Pass them over without a word, and tell what is wrong only of cells that are asked for: a sheet of our own that
    /// holds more than is read back.
    Passed,
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
        /// Whether the job names it by a path, so that it may be any file that its reader may read.
        elsewhere: bool,
    },
    /// A table built into the program, as CSV text.
    BuiltIn {
        /// Its name as notices show it.
        name: &'static str,
        /// Its text.
        text: &'static str,
    },
}

impl TableFile {
    /// The sheet of a workbook.
    pub fn sheet(&self) -> Option<&Arc<str>> {
        match self {
            Self::File { sheet, .. } => sheet.as_ref(),
            Self::BuiltIn { .. } => None,
        }
    }

    /// The whole table as a place that notices speak of.
    pub fn spot(&self) -> Spot {
        match self {
            Self::File { path, shown, sheet, .. } => {
                Spot { sheet: sheet.clone(), ..Spot::file(TableName::of_file(shown, path)) }
            }
            Self::BuiltIn { name, .. } => Spot::file(*name),
        }
    }

    fn is_elsewhere(&self) -> bool {
        matches!(self, Self::File { elsewhere: true, .. })
    }

    fn is_text(&self) -> bool {
        match self {
            Self::File { path, sheet, .. } => sheet.is_none() && !is_workbook(path),
            Self::BuiltIn { .. } => true,
        }
    }
}

/// Whether the name of a file says that it is a workbook.
fn is_workbook(path: &Path) -> bool {
    let ending = path.extension().map(|e| e.to_string_lossy().to_ascii_lowercase());
    matches!(ending.as_deref(), Some("xlsx" | "xlsm" | "xltx" | "xltm" | "xlsb" | "xls" | "xlt" | "ods"))
}

/// Whether a door should go on.
enum Go {
    On,
    Stop,
}

/// Who takes the rows of a table from a door.
trait Sink {
    /// Takes a row by its number from 1; blank rows may be left out or not.
    fn row(&mut self, number: u32, row: &Row) -> Go;
    /// Takes what is wrong with a cell; column 0 is the whole row, row 0 the whole table.
    fn tell(&mut self, row: u32, column: u32, finding: Finding);
    /// Hears before the first row whether commas are decimal marks.
    fn decimal_commas(&mut self, there_are: bool);
    /// Hears that a spreadsheet hides a row, before that row.
    fn hide_row(&mut self, _: u32) {}
    /// Hears that a spreadsheet hides columns, from and to counted from 1, before the first row.
    fn hide_columns(&mut self, _: u32, _: u32) {}
}

/// What the doors keep from table to table of one job.
#[derive(Default)]
pub(crate) struct Doors {
    /// The workbook that was read last, so that what its sheets share is read once.
    book: xlsx_door::Kept,
    /// Workbooks that the child could not read: nobody waits for them twice.
    refused: BTreeMap<PathBuf, Finding>,
}

/// Opens a table and hands its rows to a sink.
fn feed(file: &TableFile, limits: &Limits, doors: &mut Doors, sink: &mut dyn Sink) {
    let TableFile::File { path, sheet, .. } = file else {
        if let TableFile::BuiltIn { text, .. } = file {
            csv_door::rows(text.as_bytes(), limits, sink);
        }
        return;
    };
    let before = Stamp::of(path);
    let fed = match file.is_text() {
        true => whole_file(path, limits).map(|bytes| csv_door::rows(&bytes, limits, sink)),
        false => match xlsx_book::kind_of(path, limits) {
            Ok(BookKind::Xlsx) => xlsx_door::rows(path, sheet.as_deref(), limits, &mut doors.book, sink),
            Ok(BookKind::Guarded) => doors.guarded(path, sheet.as_deref(), limits, sink),
            Err(finding) => Err(finding),
        },
    };
    if let Err(finding) = fed {
        sink.tell(0, 0, finding);
    }
    if before.is_some() && before != Stamp::of(path) {
        sink.tell(0, 0, plain::changed_meanwhile());
    }
}

impl Doors {
    fn guarded(
        &mut self,
        path: &Path,
        sheet: Option<&str>,
        limits: &Limits,
        sink: &mut dyn Sink,
    ) -> Result<(), Finding> {
        if let Some(refused) = self.refused.get(path) {
            return Err(refused.clone());
        }
        let fed = guard::rows(path, sheet, limits, sink);
        if let Err(finding) = &fed
            && *finding != findings::no_sheet(sheet.unwrap_or(""))
        {
            self.refused.insert(path.to_owned(), finding.clone());
        }
        fed
    }
}

/// The bytes of a file under the limit.
fn whole_file(path: &Path, limits: &Limits) -> Result<Vec<u8>, Finding> {
    let file = plain::open(path, limits)?;
    // A plain file is as long as the system says, and that is under the limit.
    let length = file.metadata().map(|found| found.len()).unwrap_or_default();
    let mut bytes = Vec::with_capacity(usize::try_from(length).map_or(0, |length| length.saturating_add(1)));
    let most = limits.file_bytes();
    file.take(most.saturating_add(1)).read_to_end(&mut bytes).map_err(|why| findings::unreadable(&why))?;
    if bytes.len() as u64 > most {
        return Err(findings::large_file(limits));
    }
    Ok(bytes)
}
/// All that the parts of a workbook say, for tests of what is written.
#[cfg(test)]
pub(crate) fn all_texts(workbook: &[u8]) -> String {
    use std::io::{Cursor, Read};
    let mut parts = zip::ZipArchive::new(Cursor::new(workbook)).unwrap();
    let mut text = String::new();
    for at in 0..parts.len() {
        parts.by_index(at).unwrap().read_to_string(&mut text).unwrap();
    }
    text
}
