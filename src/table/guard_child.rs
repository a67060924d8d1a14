//! The child's side of [`super::guard`]: reads one xls, xlsb or ods workbook under limits and writes its cells to
//! standard output. Whatever goes wrong here ends this process alone.
//!
//! The memory limit is set by `setrlimit` on itself before the file is opened: of the ways that need no unsafe code it
//! is the one that the system keeps, and a thread that watches would come too late for one huge request. Where there is
//! no such limit (Windows), the time limit of the parent remains.

use std::ffi::{OsStr, OsString};
use std::io::{BufWriter, Read as _, Seek as _, Write};
use std::path::Path;
use std::process::ExitCode;

use calamine::{
    Data, Ods, OdsError, Range, Reader, SheetType, SheetVisible, Xls, XlsError, Xlsb, XlsbError,
    open_workbook,
};

use super::caps;
use super::number::{Format, shown};
use super::row::Kind;
use crate::ground::Date;

/// The hidden argument that makes the program a child.
pub(super) const CHILD_ARGUMENT: &str = "--table-child";
/// The environment's mark of a child: it starts no further one.
pub(super) const CHILD_MARK: &str = "COILSTICK_TABLE_CHILD";
/// The first bytes a child writes: they change with the form of what follows.
pub(super) const GREETING: &[u8; 18] = b"coilstick table 2\n";

/// Does a child's work where the arguments ask for it: `coilstick --table-child sheets FILE`, or `read FILE [SHEET]`.
/// Nothing where they do not: then the program is nobody's child. To be called first in `main`.
pub fn child_main(arguments: impl IntoIterator<Item = OsString>) -> Option<ExitCode> {
    let mut arguments = arguments.into_iter().skip(1);
    if arguments.next()? != CHILD_ARGUMENT {
        return None;
    }
    let (verb, path, sheet) = (arguments.next(), arguments.next(), arguments.next());
    let done = match (verb.as_deref().and_then(OsStr::to_str), path) {
        (Some("sheets"), Some(path)) => limit().and_then(|()| work(Path::new(&path), Wanted::Sheets)),
        (Some("read"), Some(path)) => {
            let sheet = sheet.map(|s| s.to_string_lossy().into_owned());
            limit().and_then(|()| work(Path::new(&path), Wanted::Cells(sheet)))
        }
        (Some(_) | None, Some(_) | None) => return Some(ExitCode::from(2)),
    };
    Some(if done.is_ok() { ExitCode::SUCCESS } else { ExitCode::from(3) })
}

#[cfg(unix)]
fn limit() -> std::io::Result<()> {
    use rustix::process::{Resource, Rlimit, setrlimit};
    let most = |n| Rlimit { current: Some(n), maximum: Some(n) };
    setrlimit(Resource::As, most(caps::CHILD_MEMORY))?;
    setrlimit(Resource::Cpu, most(caps::CHILD_CPU_SECONDS))?;
    // A child that dies leaves no image of its memory behind.
    setrlimit(Resource::Core, most(0))?;
    Ok(())
}

#[cfg(not(unix))]
fn limit() -> std::io::Result<()> {
    Ok(())
}

enum Wanted {
    Sheets,
    Cells(Option<String>),
}

/// Why a workbook was not read.
enum Stop {
    Password,
    NoSheet,
    Damaged,
    /// Nobody listens.
    Io(std::io::Error),
}

impl From<std::io::Error> for Stop {
    fn from(why: std::io::Error) -> Self {
        Self::Io(why)
    }
}

impl From<XlsError> for Stop {
    fn from(why: XlsError) -> Self {
        if matches!(why, XlsError::Password) { Self::Password } else { Self::Damaged }
    }
}

impl From<XlsbError> for Stop {
    fn from(why: XlsbError) -> Self {
        if matches!(why, XlsbError::Password) { Self::Password } else { Self::Damaged }
    }
}

impl From<OdsError> for Stop {
    fn from(why: OdsError) -> Self {
        if matches!(why, OdsError::Password) { Self::Password } else { Self::Damaged }
    }
}

fn work(path: &Path, wanted: Wanted) -> std::io::Result<()> {
    let to = BufWriter::with_capacity(65_536, std::io::stdout().lock());
    let mut out = Output { to, from_1904: false };
    out.to.write_all(GREETING)?;
    out.to.flush()?;
    match book(path, &wanted, &mut out) {
        Ok(()) => out.to.write_all(b".")?,
        Err(Stop::Password) => out.to.write_all(b"p")?,
        Err(Stop::NoSheet) => out.to.write_all(b"n")?,
        Err(Stop::Damaged) => out.to.write_all(b"d")?,
        Err(Stop::Io(why)) => return Err(why),
    }
    out.to.flush()
}

type File = std::io::BufReader<std::fs::File>;

fn book(path: &Path, wanted: &Wanted, out: &mut Output<impl Write>) -> Result<(), Stop> {
    let mut magic = [0; 4];
    let mut file = std::fs::File::open(path)?;
    let length = file.read(&mut magic)?;
    if !magic.get(..length).is_some_and(|m| m.starts_with(b"PK")) {
        // A workbook with a password comes in the same wrapping as an xls.
        if matches!(open_workbook::<Xlsb<_>, _>(path), Err(XlsbError::Password)) {
            return Err(Stop::Password);
        }
        let mut book: Xls<File> = open_workbook(path)?;
        out.from_1904 = book.has_1904_epoch();
        let Some(name) = sheet(&book, wanted, out)? else { return Ok(()) };
        return range(&book.worksheet_range(&name)?, out);
    }
    file.rewind()?;
    let archive = zip::ZipArchive::new(std::io::BufReader::new(file)).map_err(|_| Stop::Damaged)?;
    if archive.index_for_name("xl/workbook.bin").is_none() {
        let mut book: Ods<File> = open_workbook(path)?;
        let Some(name) = sheet(&book, wanted, out)? else { return Ok(()) };
        return range(&book.worksheet_range(&name)?, out);
    }
    let mut book: Xlsb<File> = open_workbook(path)?;
    out.from_1904 = book.has_1904_epoch();
    let Some(name) = sheet(&book, wanted, out)? else { return Ok(()) };
    let mut cells = book.worksheet_cells_reader(&name)?;
    while let Some(cell) = cells.next_cell()? {
        let (row, column) = cell.get_position();
        out.value(row.saturating_add(1), column.saturating_add(1), &cell.get_value().clone().into())?;
    }
    Ok(())
}

/// Writes the visible sheets where they are wanted; else gives the sheet that is.
fn sheet(
    book: &impl Reader<File>,
    wanted: &Wanted,
    out: &mut Output<impl Write>,
) -> Result<Option<String>, Stop> {
    let sheets = || book.sheets_metadata().iter().filter(|s| s.typ == SheetType::WorkSheet);
    let mut visible = sheets().filter(|s| s.visible == SheetVisible::Visible).map(|s| s.name.as_str());
    match wanted {
        Wanted::Sheets => {
            for sheet in sheets() {
                out.to.write_all(if sheet.visible == SheetVisible::Visible { b"s" } else { b"h" })?;
                out.text(&sheet.name)?;
            }
            Ok(None)
        }
        Wanted::Cells(Some(name)) => {
            if visible.any(|v| v == name) {
                Ok(Some(name.clone()))
            } else {
                Err(Stop::NoSheet)
            }
        }
        Wanted::Cells(None) => visible.next().map(|v| Some(v.to_owned())).ok_or(Stop::NoSheet),
    }
}

/// Writes a range, whose cells are counted from its own first one.
fn range(range: &Range<Data>, out: &mut Output<impl Write>) -> Result<(), Stop> {
    let Some((first_row, first_column)) = range.start() else { return Ok(()) };
    let at = |first: u32, offset: usize| {
        u32::try_from(offset).ok().and_then(|o| first.checked_add(o)?.checked_add(1)).unwrap_or(0)
    };
    for (row, column, value) in range.used_cells() {
        out.value(at(first_row, row), at(first_column, column), value)?;
    }
    Ok(())
}

/// Where the messages go.
struct Output<W: Write> {
    to: W,
    from_1904: bool,
}

impl<W: Write> Output<W> {
    fn value(&mut self, row: u32, column: u32, value: &Data) -> std::io::Result<()> {
        let (kind, text) = match value {
            Data::Empty => return Ok(()),
            Data::String(text) => return self.cell(row, column, Kind::Text, text),
            Data::Int(whole) => (Kind::Number, whole.to_string()),
            Data::Float(number) => shown(*number, &Format::Number, self.from_1904),
            Data::DateTime(day) => {
                let format = if day.is_duration() { Format::Time } else { Format::Day };
                shown(day.as_f64(), &format, self.from_1904)
            }
            Data::Bool(true) => (Kind::Truth, "TRUE".to_owned()),
            Data::Bool(false) => (Kind::Truth, "FALSE".to_owned()),
            Data::Error(fault) => (Kind::Fault, fault.to_string()),
            Data::DateTimeIso(text) => match text.get(..10).and_then(Date::read) {
                Some(day) => (Kind::Day, day.to_string()),
                None => (Kind::Text, text.clone()),
            },
            Data::DurationIso(text) => (Kind::Time, text.clone()),
        };
        self.cell(row, column, kind, &text)
    }

    fn cell(&mut self, row: u32, column: u32, kind: Kind, text: &str) -> std::io::Result<()> {
        self.to.write_all(b"c")?;
        self.to.write_all(&row.to_le_bytes())?;
        self.to.write_all(&column.to_le_bytes())?;
        self.to.write_all(&[kind.letter()])?;
        self.text(text)
    }

    /// A text behind its length, cut so that the parent sees when it is too long.
    fn text(&mut self, text: &str) -> std::io::Result<()> {
        let bytes = text.as_bytes();
        let bytes = bytes.get(..caps::CELL_BYTES + 1).unwrap_or(bytes);
        self.to.write_all(&u32::try_from(bytes.len()).unwrap_or(0).to_le_bytes())?;
        self.to.write_all(bytes)
    }
}
