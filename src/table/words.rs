//! The words of this floor's notices: what was found, what was expected, what to type. Every text a user reads about a
//! file, a table or a cell stands here and nowhere else.

use super::row::{Cell, Kind};
use super::words_rows::RowTrouble;
use crate::ground::{Notice, Severity, Spot};

/// What can be wrong with a table before anybody asks what it means.
#[derive(Debug)]
pub(super) enum Trouble<'a> {
    /// With a file or a workbook as a whole.
    File(FileTrouble<'a>),
    /// With the headings and rows of a table.
    Table(TableTrouble<'a>),
    /// With rows that are no rows, or that a spreadsheet hides.
    Rows(RowTrouble<'a>),
    /// With one cell.
    Cell(CellTrouble<'a>),
}

/// What can be wrong with a file as a whole.
#[derive(Debug)]
pub(super) enum FileTrouble<'a> {
    /// It could not be read.
    Unreadable { why: String },
    /// It is larger than is opened.
    Large { megabytes: u64 },
    /// A workbook under a name that says CSV.
    WorkbookNamedCsv,
    /// Zero bytes in a text.
    NotText,
    /// Neither UTF-8 nor UTF-16.
    OldEncoding,
    /// Characters that could not be read.
    BrokenEncoding,
    /// A workbook without such a sheet.
    NoSheet { sheet: String },
    /// A workbook that asks for a password.
    Password,
    /// A workbook that is damaged.
    Damaged { why: String },
    /// The child process that reads a workbook ended badly.
    ChildEnded { how: String },
    /// The child process could not be run.
    NoChild { why: String },
    /// Two tables of one name.
    TwiceTable { name: &'a str },
    /// A job without tables.
    NoTables { workbook: Option<String> },
    /// A file of a kind that is not read.
    OtherKind { ending: String },
}

/// What can be wrong with the headings and rows of a table.
#[derive(Debug)]
pub(super) enum TableTrouble<'a> {
    /// A quotation mark that nothing closes.
    UnclosedQuote,
    /// Nothing stands in it.
    Empty { table: &'a str },
    /// A cap was met: rows, cells, columns.
    Beyond { what: &'static str, most: u64 },
    /// A column that nothing reads.
    UnknownHeading { heading: &'a str, nearest: Option<&'a str>, table: &'a str },
    /// A heading that stands twice.
    TwiceHeading { heading: &'a str, first: String },
    /// A heading that names a unit nobody knows.
    UnknownUnit { heading: &'a str, name: &'a str },
    /// A heading that says what would change its numbers.
    HeadingSaysMore { heading: &'a str, name: &'a str },
    /// Headings that must be there and are not.
    MissingHeadings { headings: Vec<&'a str>, table: &'a str },
    /// A row of a CSV file with more cells than there are headings.
    LongRow { headings: usize },
    /// A cell that stands under no heading.
    NoHeading,
    /// A row that comes a second time or too late in the file of a workbook.
    OutOfOrder,
    /// The same cell twice.
    Twice,
    /// An address that no sheet has.
    NoAddress { address: String },
}

/// What can be wrong with a cell.
#[derive(Debug)]
pub(super) enum CellTrouble<'a> {
    /// A formula that ended in an error.
    Fault { heading: &'a str, found: &'a str },
    /// A formula without its result.
    NoResult { heading: &'a str },
    /// A text above the cap.
    TooLong { heading: &'a str, begins: &'a str },
    /// A fraction where points belong.
    Fraction { heading: &'a str, found: &'a str, points: String },
    /// A day where something else belongs, and what was probably typed.
    DayInstead { heading: &'a str, found: &'a str, expected: &'static str, typed: Option<String> },
    /// A number whose format shows a unit that does not belong there, or other digits.
    Format { heading: &'a str, found: &'a str, expected: &'static str, scaled: bool },
    /// Anything else its column does not hold.
    Misread { heading: &'a str, found: &'a str, expected: &'static str, remedy: String },
    /// More misread cells than are listed.
    ManyMisread { most: u32 },
}

/// Severity, kind, found, expected, remedy.
pub(super) type Words = (Severity, &'static str, String, String, String);

impl Trouble<'_> {
    /// The notice, in words.
    pub(super) fn word(self, spot: Spot) -> Notice {
        let (severity, kind, found, expected, remedy) = match self {
            Self::File(trouble) => trouble.words(),
            Self::Table(trouble) => trouble.words(),
            Self::Rows(trouble) => trouble.words(),
            Self::Cell(trouble) => trouble.words(),
        };
        Notice::new(severity, kind, vec![spot], found, expected, remedy)
    }
}

pub(super) fn words(
    severity: Severity,
    kind: &'static str,
    found: String,
    expected: &str,
    remedy: String,
) -> Words {
    (severity, kind, found, expected.to_owned(), remedy)
}

/// The beginning of a text that a notice repeats.
pub(super) fn short(text: &str) -> String {
    let mut shown: String = text.chars().take(60).map(|c| if c.is_control() { ' ' } else { c }).collect();
    if text.chars().nth(60).is_some() {
        shown.push('…');
    }
    shown
}

const TABLE_FILE: &str = "a CSV file or a workbook (xlsx, xlsb, xls, ods)";
const SAVE_AGAIN: &str = "open it in a spreadsheet and save it again as .xlsx";

impl FileTrouble<'_> {
    fn words(self) -> Words {
        use Severity::{Error, Warning};
        match self {
            Self::Unreadable { why } => words(
                Error,
                "unreadable-table",
                format!("the file could not be read: {why}"),
                TABLE_FILE,
                "look at its name and at the rights to read it".to_owned(),
            ),
            Self::Large { megabytes } => words(
                Error,
                "large-table",
                format!("the file is larger than {megabytes} MB"),
                "the tables of one house",
                "take out the rows and sheets that do not belong to this job".to_owned(),
            ),
            Self::WorkbookNamedCsv => words(
                Error,
                "workbook-named-csv",
                "the file is a workbook, though its name says CSV".to_owned(),
                "text with one row a line",
                "give it the ending of a workbook (.xlsx, .xls, .ods), or save it as CSV".to_owned(),
            ),
            Self::NotText => words(
                Error,
                "not-text",
                "the file holds zero bytes, so it is no text".to_owned(),
                "text in UTF-8",
                "save it as \"CSV UTF-8\"".to_owned(),
            ),
            Self::OldEncoding => words(
                Warning,
                "old-encoding",
                "the file is not in UTF-8 and was read as Windows-1252".to_owned(),
                "text in UTF-8",
                "save it as \"CSV UTF-8\" if letters with accents look wrong".to_owned(),
            ),
            Self::BrokenEncoding => words(
                Error,
                "broken-encoding",
                "some characters of the file could not be read".to_owned(),
                "text in the encoding that its first bytes name",
                "save it as \"CSV UTF-8\"".to_owned(),
            ),
            Self::NoSheet { sheet } => words(
                Error,
                "no-such-sheet",
                format!("the workbook has no visible sheet \"{}\"", short(&sheet)),
                "a sheet of that name",
                "look at the name of the sheet".to_owned(),
            ),
            Self::Password => words(
                Error,
                "password",
                "the workbook asks for a password".to_owned(),
                "a workbook that opens without one",
                "save it without a password".to_owned(),
            ),
            Self::Damaged { why } => words(
                Error,
                "damaged-workbook",
                format!("the workbook could not be read to its end: {}", short(&why)),
                TABLE_FILE,
                SAVE_AGAIN.to_owned(),
            ),
            Self::ChildEnded { how } => words(
                Error,
                "damaged-workbook",
                format!("reading the workbook was given up: {how}"),
                "a workbook that reads within a minute and a gigabyte",
                SAVE_AGAIN.to_owned(),
            ),
            Self::NoChild { why } => words(
                Error,
                "no-reader",
                format!("xls, xlsb and ods are read by a second coilstick, which could not be run: {why}"),
                "the program coilstick, or a workbook saved as .xlsx",
                SAVE_AGAIN.to_owned(),
            ),
            Self::TwiceTable { name } => words(
                Error,
                "twice-table",
                format!("the table {} is there twice; this one is not read", short(name)),
                "one file or sheet a table (case, spaces, - and _ do not part names)",
                "put the rows together, or give one of them another name".to_owned(),
            ),
            Self::NoTables { workbook } => words(
                Error,
                "no-tables",
                "the job has no table".to_owned(),
                "a folder of CSV files, one workbook, or one CSV file",
                match workbook {
                    Some(name) => format!("name the workbook itself: {name}"),
                    None => "write a run list, runs.csv, into it".to_owned(),
                },
            ),
            Self::OtherKind { ending } => words(
                Error,
                "other-kind",
                format!("files that end in \"{}\" are not read", short(&ending)),
                TABLE_FILE,
                "save it as .xlsx or as CSV".to_owned(),
            ),
        }
    }
}

impl TableTrouble<'_> {
    fn words(self) -> Words {
        use Severity::{Error, Warning};
        match self {
            Self::UnclosedQuote => words(
                Error,
                "unclosed-quote",
                "a quotation mark opens here and nothing closes it; from here on nothing is read".to_owned(),
                "a cell in quotation marks, each mark inside it written twice",
                "close it, or type the inch mark behind its number: 6 1/2\"".to_owned(),
            ),
            Self::Empty { table } => words(
                Warning,
                "empty-table",
                format!("nothing stands in the table {table}"),
                "headings in its first row",
                "fill it, or take it out".to_owned(),
            ),
            Self::Beyond { what, most } => words(
                Error,
                "large-table",
                format!("the table has more than {most} {what}; the rest is not read"),
                "the table of one house",
                "take out what does not belong to this job".to_owned(),
            ),
            Self::UnknownHeading { heading, nearest, table } => words(
                Warning,
                "unknown-column",
                format!("the column \"{}\" is not read", short(heading)),
                &format!("a column of the table {table}"),
                match nearest {
                    Some(name) => {
                        format!("type \"{name}\" if that is meant, or leave the column as your own")
                    }
                    None => "leave it as your own, or take it out".to_owned(),
                },
            ),
            Self::TwiceHeading { heading, first } => words(
                Error,
                "twice-column",
                format!("the column \"{}\" is there twice: {first} is read, this one is not", short(heading)),
                "each heading once",
                "take one of the two out, or give it another heading".to_owned(),
            ),
            Self::UnknownUnit { heading, name } => words(
                Error,
                "unknown-unit",
                format!("the heading \"{}\" names a unit that is not known", short(heading)),
                "ft, in, m, cm or mm",
                format!("type \"{name} (ft)\" or \"{name} (m)\", and the lengths in that unit"),
            ),
            Self::HeadingSaysMore { heading, name } => words(
                Warning,
                "heading-says-more",
                format!(
                    "the heading \"{}\" says what the numbers are for, and that is not read",
                    short(heading)
                ),
                &format!("the heading {name} alone"),
                format!(
                    "type {name} alone, and say in each row what its number is for: in a price list in per"
                ),
            ),
            Self::MissingHeadings { headings, table } => {
                let list = headings.iter().map(|h| format!("\"{h}\"")).collect::<Vec<_>>().join(", ");
                words(
                    Error,
                    "missing-column",
                    format!(
                        "the table {table} has no {} {list}, so none of it is read",
                        if headings.len() == 1 { "column" } else { "columns" }
                    ),
                    "headings in the first row that is not blank",
                    format!(
                        "type {list} over {}",
                        if headings.len() == 1 { "its column" } else { "their columns" }
                    ),
                )
            }
            Self::LongRow { headings } => words(
                Error,
                "long-row",
                "the row has more cells than there are headings".to_owned(),
                &format!("{headings} cells at most"),
                "put a cell that holds a separator into quotation marks".to_owned(),
            ),
            Self::NoHeading => words(
                Warning,
                "no-heading",
                "the cell stands under no heading and is not read".to_owned(),
                "a heading over each column that is to be read",
                "type a heading over it, or leave it as your own".to_owned(),
            ),
            Self::OutOfOrder => words(
                Error,
                "row-out-of-order",
                "the row stands too late in the workbook's file and is not read".to_owned(),
                "rows from the top down, as spreadsheets save them",
                SAVE_AGAIN.to_owned(),
            ),
            Self::Twice => words(
                Error,
                "twice-cell",
                "the cell is there twice in the workbook's file; the later one is read".to_owned(),
                "each cell once, as spreadsheets save them",
                SAVE_AGAIN.to_owned(),
            ),
            Self::NoAddress { address } => words(
                Error,
                "no-such-cell",
                format!("the workbook's file names a cell \"{}\", which no sheet has", short(&address)),
                "cells from A1 to XFD1048576",
                SAVE_AGAIN.to_owned(),
            ),
        }
    }
}

impl<'a> CellTrouble<'a> {
    /// What is wrong with a cell whatever its column holds.
    pub(super) fn of(heading: &'a str, cell: Cell<'a>) -> Option<Self> {
        match cell.kind {
            Kind::Fault => Some(Self::Fault { heading, found: cell.text }),
            Kind::NoResult => Some(Self::NoResult { heading }),
            Kind::TooLong => Some(Self::TooLong { heading, begins: cell.text }),
            Kind::Empty
            | Kind::Text
            | Kind::Number
            | Kind::Percent
            | Kind::Shown
            | Kind::Scaled
            | Kind::Truth
            | Kind::Day
            | Kind::MonthYear
            | Kind::Time => None,
        }
    }

    fn words(self) -> Words {
        use Severity::{Error, Warning};
        match self {
            Self::Fault { heading, found } => words(
                Error,
                "fault-in-cell",
                format!("{heading} is {}, the error of a formula", short(found)),
                "a value",
                "mend the formula, or type the value over it".to_owned(),
            ),
            Self::NoResult { heading } => words(
                Error,
                "formula-without-result",
                format!("{heading} is a formula whose result was not saved"),
                "a formula with its result, as spreadsheets save it",
                "open the workbook in a spreadsheet and save it, or type the value over it".to_owned(),
            ),
            Self::TooLong { heading, begins } => words(
                Error,
                "long-cell",
                format!("{heading} holds a very long text that begins \"{}\"", short(begins)),
                "at most 32,767 characters",
                "shorten it".to_owned(),
            ),
            Self::Fraction { heading, found, points } => words(
                Warning,
                "fraction-for-percent",
                format!("{heading} is {found}, which is read as {points} %"),
                "a percentage in points",
                format!("type {points}, or format the cell as a percentage"),
            ),
            Self::DayInstead { heading, found, expected, typed } => words(
                Error,
                "day-instead",
                format!("{heading} is the day {found}: the spreadsheet made one of what was typed"),
                expected,
                match typed {
                    Some(typed) => {
                        format!("format the column as Text, then type it again: {typed} was probably meant")
                    }
                    None => "format the column as Text, then type it again".to_owned(),
                },
            ),
            Self::Format { heading, found, expected, scaled } => words(
                Error,
                "number-format",
                match scaled {
                    true => format!(
                        "{heading} is {}, and the number format of the cell shows other digits, as in thousands",
                        short(found)
                    ),
                    false => {
                        format!("{heading} is shown as \"{}\" by the number format of the cell", short(found))
                    }
                },
                expected,
                "format the cell as a plain number, look at what it shows then, and type what is meant"
                    .to_owned(),
            ),
            Self::Misread { heading, found, expected, remedy } => {
                words(Error, "misread-cell", format!("{heading} is \"{}\"", short(found)), expected, remedy)
            }
            Self::ManyMisread { most } => words(
                Error,
                "many-misread",
                format!("more than {most} cells of the table could not be read; the rest are not listed"),
                "cells that hold what their heading says",
                "mend the first ones: one change often mends a whole column".to_owned(),
            ),
        }
    }
}
