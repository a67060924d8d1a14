//! Where something stands in the user's tables: file, sheet, row, column, and its A1 address.

use std::collections::BTreeMap;
use std::fmt;
use std::ops::Deref;
use std::path::Path;
use std::sync::Arc;
use std::time::SystemTime;

use super::inert;
use super::name::fold_heading;

/// A file of tables: how notices show it, and where it is. It reads as the text that is shown.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TableName {
    shown: Arc<str>,
    path: Option<Arc<Path>>,
}

impl TableName {
    /// A file as the user named it, relative to the job where it can be.
    pub(crate) fn of_file(shown: &str, path: &Path) -> Self {
        Self { shown: Arc::from(shown), path: Some(Arc::from(path)) }
    }

    /// Where the file is; nothing where the table is no file.
    pub(crate) fn path(&self) -> Option<&Path> {
        self.path.as_deref()
    }

    /// The same file, shown by its whole path: files of two jobs have the same names.
    pub(crate) fn show_path(&mut self) {
        if let Some(path) = &self.path {
            self.shown = Arc::from(inert::path(path));
        }
    }
}

impl<T: Into<Arc<str>>> From<T> for TableName {
    fn from(shown: T) -> Self {
        Self { shown: shown.into(), path: None }
    }
}

impl Deref for TableName {
    type Target = str;

    fn deref(&self) -> &str {
        &self.shown
    }
}

impl fmt::Display for TableName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.shown)
    }
}

/// One cell (or a row, or a whole file) of the user's tables, as a notice shows it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Spot {
    /// The file.
    pub file: TableName,
    /// The sheet of a workbook; none in CSV.
    pub sheet: Option<Arc<str>>,
    /// The row, counted from 1; 0 is the whole table.
    pub row: u32,
    /// The column, counted from 1; 0 is the whole row.
    pub column: u32,
}

impl Spot {
    /// A whole file.
    pub fn file(file: impl Into<TableName>) -> Self {
        Self { file: file.into(), sheet: None, row: 0, column: 0 }
    }

    /// A path as a whole, by its last name.
    pub(crate) fn of_path(path: &Path) -> Self {
        Self::file(inert::path(path.file_name().map_or(path, Path::new)))
    }

    /// The A1 address (`C7`), or `row 7` without a column, or nothing for a whole table.
    pub fn address(&self) -> String {
        match (self.row, self.column) {
            (0, _) => String::new(),
            (row, 0) => format!("row {row}"),
            (row, column) => format!("{}{row}", column_letters(column)),
        }
    }
}

impl fmt::Display for Spot {
    /// `runs.csv:C7`, `lodge.xlsx runs!C7`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let address = self.address();
        match (&self.sheet, address.is_empty()) {
            (None, true) => f.write_str(&self.file),
            (None, false) => write!(f, "{}:{address}", self.file),
            (Some(sheet), true) => write!(f, "{} {sheet}", self.file),
            (Some(sheet), false) => write!(f, "{} {sheet}!{address}", self.file),
        }
    }
}

/// The letters over a column counted from 1: A, B... Z, AA.
pub(crate) fn column_letters(column: u32) -> String {
    let mut letters = Vec::new();
    let mut rest = column;
    while rest > 0 {
        let place = (rest - 1) % 26;
        letters.push(char::from(b'A' + u8::try_from(place).unwrap_or(0)));
        rest = (rest - 1) / 26;
    }
    letters.iter().rev().collect()
}

/// A cell, or a whole row where its spot has no column, and the text that may have been meant in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Instead {
    /// The cell or row.
    pub spot: Spot,
    /// What is read there instead; empty as if nothing was written.
    pub text: String,
}

/// A table of one job: which file, which sheet, which heading in which column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// The file.
    pub file: TableName,
    /// The sheet of a workbook.
    pub sheet: Option<Arc<str>>,
    /// The name of the built-in table where it is one of the program's own.
    pub built_in: bool,
    /// Folded heading and column (from 1), one for each column that was read.
    pub headings: Vec<(String, u32)>,
}

/// A file that was opened to be read, so that it is known later whether it is still the same.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReadFile {
    /// The file.
    pub path: Arc<Path>,
    /// Its length.
    pub bytes: u64,
    /// When it was changed last, where the system says it.
    changed: Option<SystemTime>,
}

impl ReadFile {
    /// A file as it is now; nothing where there is none, or a pipe that can be read but once.
    pub(crate) fn now(path: &Arc<Path>) -> Option<Self> {
        let there = std::fs::metadata(path).ok()?;
        there.is_file().then(|| Self {
            path: path.clone(),
            bytes: there.len(),
            changed: there.modified().ok(),
        })
    }
}

/// The id of a table in [`Sources`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct SourceId(pub u16);

/// A row of a table: eight bytes that lead back to a cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct RowAt {
    /// The table.
    pub source: SourceId,
    /// The row, counted from 1 as the spreadsheet shows it.
    pub row: u32,
}

/// All tables that a job was read from, the built-in ones among them.
#[derive(Debug, Clone, Default)]
pub struct Sources {
    list: Vec<Source>,
    /// What is read otherwise, by its row.
    instead: BTreeMap<u32, Vec<Instead>>,
    files: Vec<ReadFile>,
}

impl Sources {
    /// No tables yet, of which these cells are to be read otherwise than they are written.
    pub fn reading(instead: &[Instead]) -> Self {
        let mut by_row: BTreeMap<u32, Vec<Instead>> = BTreeMap::new();
        for one in instead {
            by_row.entry(one.spot.row).or_default().push(one.clone());
        }
        Self { instead: by_row, ..Self::default() }
    }

    /// The cells of a row of a table that are to be read otherwise.
    pub fn instead<'a>(&'a self, table: &'a Spot, row: u32) -> impl Iterator<Item = &'a Instead> {
        self.instead.get(&row).into_iter().flatten().filter(|instead| {
            let spot = &instead.spot;
            *spot.file == *table.file && spot.sheet == table.sheet
        })
    }

    /// Says that a file is opened to be read; of several tables of one the first says it.
    pub(crate) fn opens(&mut self, file: &TableName) {
        let Some(path) = &file.path else { return };
        if !self.files.iter().any(|read| read.path == *path) {
            self.files.extend(ReadFile::now(path));
        }
    }

    /// The files that were opened, in that order.
    pub(crate) fn files(&self) -> &[ReadFile] {
        &self.files
    }

    /// Adds a table and gives its id. At most 65,535 tables; the last id is shared beyond.
    pub fn add(&mut self, source: Source) -> SourceId {
        let id = u16::try_from(self.list.len()).unwrap_or(u16::MAX);
        if id < u16::MAX {
            self.list.push(source);
        }
        SourceId(id)
    }

    /// The table of an id.
    pub fn get(&self, id: SourceId) -> Option<&Source> {
        self.list.get(usize::from(id.0))
    }

    /// All tables in the order in which they were read.
    pub fn iter(&self) -> impl Iterator<Item = (SourceId, &Source)> {
        (0_u16..).zip(&self.list).map(|(id, source)| (SourceId(id), source))
    }

    /// The first table that is none of the program's own.
    pub(crate) fn first_of_the_job(&self) -> Option<SourceId> {
        self.iter().find(|(_, source)| !source.built_in).map(|(id, _)| id)
    }

    /// The cell of a row under a heading; the whole row where the table has no such heading.
    pub fn cell(&self, at: RowAt, heading: &str) -> Spot {
        let folded = fold_heading(heading);
        let column = self
            .get(at.source)
            .and_then(|s| s.headings.iter().find(|(name, _)| *name == folded))
            .map_or(0, |(_, column)| *column);
        self.spot(at, column)
    }

    /// The whole row.
    pub fn row(&self, at: RowAt) -> Spot {
        self.spot(at, 0)
    }

    fn spot(&self, at: RowAt, column: u32) -> Spot {
        match self.get(at.source) {
            Some(s) => Spot { file: s.file.clone(), sheet: s.sheet.clone(), row: at.row, column },
            None => Spot { file: "?".into(), sheet: None, row: at.row, column },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_have_the_letters_a_spreadsheet_shows() {
        for (column, letters) in [(1, "A"), (26, "Z"), (27, "AA"), (702, "ZZ"), (703, "AAA"), (16_384, "XFD")]
        {
            assert_eq!(column_letters(column), letters);
        }
    }
}
