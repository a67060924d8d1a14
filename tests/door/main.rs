//! Tests of the table door: what comes in is what stands in the file, whatever kind of file it is, and what is wrong is a
//! notice with its place and what to type. They use the public interface alone.
#![allow(clippy::wildcard_enum_match_arm, reason = "a test fails by what it did not expect")]
#![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

mod borders;
mod csv;
mod damaged;
mod finding;
mod making;
mod workbooks;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use coilstick::ground::{LengthUnit, Notice, Sources};
use coilstick::table::{
    Column, ExcerptCell, Further, Holds, Record, Shape, TableFile, excerpts, read, read_guarded_by,
};

const fn column(heading: &'static str, required: bool, holds: Holds) -> Column {
    Column { heading, also: &[], required, unless: None, holds, help: "" }
}

pub(crate) const RUN: usize = 0;
pub(crate) const SIZE: usize = 2;
pub(crate) const LENGTH: usize = 3;
pub(crate) const TURNS: usize = 4;
pub(crate) const WASTE: usize = 5;
pub(crate) const DAY: usize = 6;
pub(crate) const WANTED: usize = 7;
pub(crate) const NOTE: usize = 8;

/// A table with a column of each kind.
pub(crate) const RUNS: Shape = Shape {
    name: "runs",
    columns: &[
        column("run", true, Holds::Text),
        column("service", false, Holds::Text),
        column("size", true, Holds::Size),
        column("length", false, Holds::Length),
        column("turns", false, Holds::Count),
        column("waste", false, Holds::Percent),
        column("day", false, Holds::Date),
        column("wanted", false, Holds::YesNo),
        column("note", false, Holds::Text),
    ],
    further: Further::Noticed,
};

/// The same table with further columns kept.
pub(crate) const COUNTED: Shape = Shape { further: Further::Kept, ..RUNS };

/// What a row of that table gave, each cell as text; `?` where it was misread.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Taken {
    pub(crate) row: u32,
    pub(crate) cells: Vec<String>,
}

pub(crate) struct Table {
    pub(crate) rows: Vec<Taken>,
    pub(crate) notices: Vec<Notice>,
}

impl Table {
    /// Kind and address of each notice.
    pub(crate) fn kinds(&self) -> Vec<String> {
        self.notices
            .iter()
            .map(|n| format!("{} {}", n.kind, n.spots[0].address()).trim().to_owned())
            .collect()
    }

    /// One column of all rows.
    pub(crate) fn column(&self, column: usize) -> Vec<&str> {
        self.rows.iter().map(|row| row.cells[column].as_str()).collect()
    }
}

/// Reads a whole table, asking every cell for what its column holds.
pub(crate) fn take(file: &TableFile, shape: &Shape) -> Table {
    read_guarded_by(env!("CARGO_BIN_EXE_coilstick"));
    let (mut sources, mut notices, mut rows) = (Sources::default(), Vec::new(), Vec::new());
    read(file, shape, LengthUnit::Foot, &mut sources, &mut notices, &mut |record| {
        let cells = (0..RUNS.columns.len()).map(|column| cell(record, column)).collect();
        rows.push(Taken { row: record.at().row, cells });
    });
    for notice in &notices {
        let words = format!("{} {} {}", notice.found, notice.expected, notice.remedy).to_lowercase();
        assert!(!words.contains("invalid"), "{words}");
        assert!(!notice.found.is_empty() && !notice.expected.is_empty() && !notice.remedy.is_empty());
    }
    Table { rows, notices }
}

fn cell(record: &mut Record<'_>, column: usize) -> String {
    fn shown<T: std::fmt::Display>(got: coilstick::table::Got<T>) -> String {
        match got {
            coilstick::table::Got::Empty => String::new(),
            coilstick::table::Got::Value(value) => value.to_string(),
            coilstick::table::Got::Misread => "?".to_owned(),
        }
    }
    match RUNS.columns[column].holds {
        Holds::Size => shown(record.size(column)),
        Holds::Length => shown(record.length(column)),
        Holds::Count => shown(record.count(column)),
        Holds::Percent => shown(record.percent(column)),
        Holds::Date => shown(record.date(column)),
        Holds::YesNo => shown(record.yes_no(column)),
        _ => record.text(column).unwrap_or("").to_owned(),
    }
}

/// Reads a text as a CSV table.
pub(crate) fn take_text(text: &'static str) -> Table {
    take(&TableFile::BuiltIn { name: "runs", text }, &RUNS)
}

/// A file of this test run, with these bytes.
pub(crate) fn file(name: &str, bytes: &[u8]) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("door");
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join(name);
    std::fs::write(&path, bytes).unwrap();
    path
}

pub(crate) fn table_file(path: &Path, sheet: Option<&str>) -> TableFile {
    let shown = path.file_name().unwrap().to_string_lossy().into_owned();
    TableFile::File {
        path: path.to_owned(),
        shown: Arc::from(shown),
        sheet: sheet.map(Arc::from),
        elsewhere: false,
    }
}

/// A file of `tests/door/saved`.
pub(crate) fn saved(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/door/saved").join(name)
}

/// One row of a table as it is drawn under a notice.
pub(crate) fn excerpt(file: &TableFile, row: u32) -> Option<Vec<ExcerptCell>> {
    excerpts(&file.spot(), &BTreeSet::from([row])).remove(&row)
}
