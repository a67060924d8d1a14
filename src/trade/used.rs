//! What was really used: the sheet `Used` of a workbook that somebody filled in on site, read back line by line. What
//! it is held against is for the estimate; here is only what stands in the cells.

use std::path::Path;

use rust_decimal::Decimal;

use super::job::Job;
use super::reading::findings::below_zero;
use super::reading::{Reading, Row, Text};
use super::shape::table;
use crate::ground::notice::findings;
use crate::ground::{LengthUnit, Notice, Sources, Spot};
use crate::table::{self, TableFile};

table! {
    /// The table `used`: a sheet of `estimate.xlsx`, no table of a job.
    USED = "used", Passed, Column;
    /// A line of the sheet.
    Used(in_error) {
        line: Option<u32> = "line", required, Count, "the number of the line, as the workbook wrote it";
            |row, at| row.count(at);
        part: Text = "part", required, Text, "what it is";
            |row, at| row.kept(at);
        sizes: Vec<String> = "size", required, Size, "its sizes";
            |row, at| row.sizes_in_words(at);
        system: Text = "system", required, Text, "the system it is for";
            |row, at| row.kept(at);
        variant: Text = "variant", required, Text, "its variant and color";
            |row, at| row.kept(at);
        unit: Text = "unit", required, Text, "what it is counted in";
            |row, at| row.kept(at);
        used: Option<Decimal> = "used", required, Number, "how much was really used; empty: not known";
            |row, at| used(row, at, &unit);
        need: Option<Decimal> = "need", optional, Number, "what the estimate installs";
            |row, at| if row.lacks_result(at) { None } else { row.number(at).value() };
        note: Text = "note" ["notes"], optional, Text, "why it was more or less";
            |row, at| row.kept(at);
        job: Text = "job", optional, Text, "the job the workbook was written for";
            |row, at| row.kept(at);
    }
}

/// The sheet that is filled in.
pub const SHEET: &str = "Used";

/// What was read of a filled workbook.
#[derive(Debug, Clone)]
pub struct Filled {
    /// Its lines in the order in which they stand.
    pub rows: Vec<Used>,
    /// The sheet.
    pub sources: Sources,
    /// What is wrong in its cells.
    pub notices: Vec<Notice>,
}

/// Whether a file is a workbook with a sheet `Used`: a filled workbook and no job.
pub fn is_filled(path: &Path) -> bool {
    path.is_file() && table::open(path).is_ok_and(|found| found.tables.iter().any(is_used))
}

fn is_used(table: &table::FoundTable) -> bool {
    table.is(USED.name) && table.file.sheet().is_some()
}

/// Reads a filled workbook; bare numbers of tube are in the unit of their line.
///
/// # Errors
///
/// The notice that there is no such file, or no sheet `Used` in it.
pub fn read(path: &Path, job: &Job) -> Result<Filled, Notice> {
    let found = table::open_within(path, &job.limits())?;
    match found.tables.iter().find(|one| is_used(one)) {
        Some(table) => Ok(filled(&table.file, job)),
        None => Err(no_used_sheet().at([Spot::of_path(path)])),
    }
}

/// Reads the sheet given as CSV text, for tests. The text lives as long as the program.
pub fn from_text(text: &str, job: &Job) -> Filled {
    let text: &'static str = Box::leak(Box::from(text));
    filled(&TableFile::BuiltIn { name: "used.csv", text }, job)
}

fn filled(file: &TableFile, job: &Job) -> Filled {
    let mut reading = Reading { bare: job.settings.units, ..Reading::within(job.limits()) };
    let mut rows = Vec::new();
    reading.read_by(true, file, &USED, |row| rows.extend(line(row)));
    Filled { rows, sources: reading.sources, notices: reading.notices }
}

/// One line; nothing for what stands below the lines: the guard row, sums, remarks without a part.
fn line(row: &mut Row<'_, '_>) -> Option<Used> {
    let is_numbered = row.text(Column::line).starts_with(|c: char| c.is_ascii_digit());
    (is_numbered || !row.text(Column::used).is_empty()).then(|| {
        for column in [Column::part, Column::system, Column::variant, Column::unit] {
            row.tell_noticed(column);
        }
        Used::read(row)
    })
}

/// How much was used. Tube is measured, and a tape says 12' 6".
fn used(row: &mut Row<'_, '_>, at: usize, unit: &str) -> Option<Decimal> {
    let used = match LengthUnit::from_word(unit) {
        Some(unit) => row.length_in(at, unit).value().map(|length| length.in_units(unit)),
        None => row.number(at).value(),
    };
    if let Some(number) = used.filter(Decimal::is_sign_negative) {
        row.trouble(at, below_zero("used", number));
    }
    used.filter(|number| !number.is_sign_negative())
}

findings! {
    /// A workbook without the sheet that is filled in on site.
    fn no_used_sheet() = error("no-used-sheet",
        "the workbook has no sheet Used",
        "an estimate.xlsx that this program wrote and somebody filled in on site",
        "write one with `coilstick estimate`, fill in its sheet Used and name that file");
}
