//! What can be wrong with a file or a workbook as a whole, and how much of a text a notice repeats. What is wrong with
//! headings, rows and cells stands with what finds it.

use super::limits::{Limits, reached};
use crate::ground::notice::{Finding, error, findings};

const TABLE_FILE: &str = "a CSV file or a workbook (xlsx, xlsb, xls, ods)";

/// What mends most that is wrong with the file of a workbook.
pub(super) const SAVE_AGAIN: &str = "open it in a spreadsheet and save it again as .xlsx";

/// The beginning of a text that a notice repeats.
pub(super) fn short(text: &str) -> String {
    let mut shown: String = text.chars().take(60).map(|c| if c.is_control() { ' ' } else { c }).collect();
    if text.chars().nth(60).is_some() {
        shown.push('…');
    }
    shown
}

/// The file could not be read.
pub(super) fn unreadable(why: &std::io::Error) -> Finding {
    error(
        "unreadable-table",
        format!("the file could not be read: {why}"),
        TABLE_FILE,
        "look at its name and at the rights to read it",
    )
}

/// The file is larger than is opened.
pub(super) fn large_file(limits: &Limits) -> Finding {
    reached("the file is not read", "file", limits.file)
}

/// A workbook has no such sheet.
pub(super) fn no_sheet(sheet: &str) -> Finding {
    error(
        "no-such-sheet",
        format!("the workbook has no visible sheet \"{}\"", short(sheet)),
        "a sheet of that name",
        "look at the name of the sheet",
    )
}

/// A workbook is damaged.
pub(super) fn damaged(why: &str) -> Finding {
    error(
        "damaged-workbook",
        format!("the workbook could not be read to its end: {}", short(why)),
        TABLE_FILE,
        SAVE_AGAIN,
    )
}

/// The child process that reads a workbook ended badly.
pub(super) fn child_ended(how: &str) -> Finding {
    error(
        "damaged-workbook",
        format!("reading the workbook was given up: {how}"),
        "a workbook that reads within a minute and a gigabyte",
        SAVE_AGAIN,
    )
}

/// The child process could not be run.
pub(super) fn no_child(why: &str) -> Finding {
    error(
        "no-reader",
        format!("xls, xlsb and ods are read by a second coilstick, which could not be run: {why}"),
        "the program coilstick, or a workbook saved as .xlsx",
        SAVE_AGAIN,
    )
}

/// Two tables of one name.
pub(super) fn twice_table(name: &str) -> Finding {
    error(
        "twice-table",
        format!("the table {} is there twice; this one is not read", short(name)),
        "one file or sheet a table (case, spaces, - and _ do not part names)",
        "put the rows together, or give one of them another name",
    )
}

/// A job has no table; perhaps a workbook that holds them.
pub(super) fn no_tables(workbook: Option<&str>) -> Finding {
    error(
        "no-tables",
        "the job has no table",
        "a folder of CSV files, one workbook, or one CSV file",
        match workbook {
            Some(name) => format!("name the workbook itself: {name}"),
            None => "write a run list, runs.csv, into it".to_owned(),
        },
    )
}

/// A file of a kind that is not read.
pub(super) fn other_kind(ending: &str) -> Finding {
    error(
        "other-kind",
        format!("files that end in \"{}\" are not read", short(ending)),
        TABLE_FILE,
        "save it as .xlsx or as CSV",
    )
}

findings! {
    /// A workbook asks for a password.
    pub(super) fn password() = error("password",
        "the workbook asks for a password",
        "a workbook that opens without one",
        "save it without a password");
}
