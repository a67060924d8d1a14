//! What was really used: the sheet `Used` of a workbook that somebody filled in on site, read back line by line. What
//! it is held against is for the estimate; here is only what stands in the cells.

use std::path::Path;

use rust_decimal::Decimal;

use super::job::Job;
use super::reading::findings::below_zero;
use super::reading::{Reading, Row};
use super::shape::{findings, shape};
use super::tables::whole;
use crate::ground::{LengthUnit, Notice, RowAt, Sources};
use crate::table::{self, Got, TableFile};

shape! {
    /// The table `used`: a sheet of `estimate.xlsx`, no table of a job.
    USED = "used", Kept, Column {
        Line = "line", required, Count, "the number of the line, as the workbook wrote it";
        Part = "part", required, Text, "what it is";
        Size = "size", required, Size, "its sizes";
        System = "system", required, Text, "the system it is for";
        Variant = "variant", required, Text, "its variant and color";
        Unit = "unit", required, Text, "what it is counted in";
        Used = "used", required, Number, "how much was really used; empty: not known";
        Need = "need", optional, Number, "what the estimate installs";
        Note = "note" ["notes"], optional, Text, "why it was more or less";
        Job = "job", optional, Text, "the job the workbook was written for";
    }
}

/// The sheet that is filled in.
pub const SHEET: &str = "Used";

/// A line of the sheet.
#[derive(Debug, Clone)]
pub struct Used {
    /// Where it stands.
    pub row: RowAt,
    /// Whether a cell of the row was misread.
    pub in_error: bool,
    /// The number of the line; nothing where it is gone.
    pub line: Option<u32>,
    /// What it is, by the words written.
    pub part: Box<str>,
    /// Its sizes, each in its one form.
    pub sizes: Vec<String>,
    /// The system it is for.
    pub system: Box<str>,
    /// Its variant and color.
    pub variant: Box<str>,
    /// What it is counted in.
    pub unit: Box<str>,
    /// How much was used; nothing where nobody wrote it down.
    pub used: Option<Decimal>,
    /// What the workbook says the estimate installs.
    pub need: Option<Decimal>,
    /// Why it was more or less.
    pub note: Box<str>,
    /// The job the workbook was written for; empty where it does not say.
    pub job: Box<str>,
}

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

/// Reads a filled workbook; bare numbers of tube are in the unit of the job.
///
/// # Errors
///
/// The notice that there is no such file, or no sheet `Used` in it.
pub fn read(path: &Path, job: &Job) -> Result<Filled, Notice> {
    let found = table::open(path)?;
    match found.tables.iter().find(|one| is_used(one)) {
        Some(table) => Ok(filled(&table.file, job.settings.units)),
        None => Err(no_used_sheet().at([whole(path)])),
    }
}

/// Reads the sheet given as CSV text, for tests. The text lives as long as the program.
pub fn from_text(text: &str, job: &Job) -> Filled {
    let text: &'static str = Box::leak(Box::from(text));
    filled(&TableFile::BuiltIn { name: "used.csv", text }, job.settings.units)
}

fn filled(file: &TableFile, units: LengthUnit) -> Filled {
    let mut reading = Reading { bare: units, ..Reading::default() };
    let mut rows = Vec::new();
    reading.read_titled(file, &USED, |row| rows.extend(line(row)));
    Filled { rows, sources: reading.sources, notices: reading.notices }
}

/// One line; nothing for what stands below the lines: the guard row, sums, remarks without a part.
fn line(row: &mut Row<'_, '_>) -> Option<Used> {
    let is_numbered = row.text(Column::Line).starts_with(|c: char| c.is_ascii_digit());
    if !is_numbered && row.text(Column::Used).is_empty() {
        return None;
    }
    let unit: Box<str> = row.text(Column::Unit).into();
    let line = row.count(Column::Line);
    let used = match LengthUnit::from_word(&unit) {
        // Tube is measured, and a tape says 12' 6".
        Some(unit) => row.length(Column::Used).value().map(|length| length.in_units(unit)),
        None => match row.number(Column::Used) {
            Got::Value(number) => Some(number),
            Got::Empty | Got::Misread => None,
        },
    };
    if let Some(number) = used.filter(Decimal::is_sign_negative) {
        row.trouble(Column::Used, below_zero("used", number));
    }
    let sizes = row.sizes_in_words(Column::Size);
    Some(Used {
        row: row.at(),
        line,
        part: row.text(Column::Part).into(),
        sizes,
        system: row.text(Column::System).into(),
        variant: row.text(Column::Variant).into(),
        used: used.filter(|number| !number.is_sign_negative()),
        need: row.number(Column::Need).value(),
        note: row.text(Column::Note).into(),
        job: row.text(Column::Job).into(),
        unit,
        in_error: row.in_error(),
    })
}

findings! {
    /// A workbook without the sheet that is filled in on site.
    fn no_used_sheet() = error("no-used-sheet",
        "the workbook has no sheet Used",
        "an estimate.xlsx that this program wrote and somebody filled in on site",
        "write one with `coilstick estimate`, fill in its sheet Used and name that file");
}
