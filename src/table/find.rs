//! Finds the tables of a job: a folder of CSV files, one workbook with a sheet a table, or one CSV file. It reads no
//! table, and it does not know which tables there should be.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::findings::{no_tables, other_kind, twice_table, unreadable};
use super::xlsx_book::{Book, BookKind, kind_of};
use super::{TableFile, caps, guard, is_workbook};
use crate::ground::inert;
use crate::ground::name::{fold_heading, natural};
use crate::ground::notice::Finding;
use crate::ground::{Notice, Spot, TableName};

/// A table of a job.
#[derive(Debug, Clone)]
pub struct FoundTable {
    /// Its name as written: the stem of the file or the name of the sheet.
    pub written: String,
    /// Its name in the form in which names of tables match: `on hand`, `on-hand` and `On_Hand` are `onhand`.
    pub name: String,
    /// Where it is to be read from.
    pub file: TableFile,
}

impl FoundTable {
    /// Whether it is the table of that name.
    pub fn is(&self, name: &str) -> bool {
        self.name == fold_heading(name)
    }
}

/// The tables of a job, and what is doubtful about them.
#[derive(Debug, Clone, Default)]
pub struct Found {
    /// The tables, each name once: the files of a folder by their names, the sheets of a workbook as they stand.
    pub tables: Vec<FoundTable>,
    /// Sheets that a spreadsheet hides: they are not read.
    pub hidden: Vec<HiddenSheet>,
    /// Two tables of one name.
    pub notices: Vec<Notice>,
}

/// A sheet that is hidden and not read.
#[derive(Debug, Clone)]
pub struct HiddenSheet {
    /// Its name as written.
    pub written: String,
    /// Its name in the form in which names of tables match.
    pub name: String,
    /// The workbook and the sheet.
    pub spot: Spot,
}

/// Finds the tables of a job; a notice where there are none, or the job cannot be opened.
///
/// Hidden sheets, hidden files and the lock files of spreadsheets are passed over. A job that is one CSV file has the one
/// table that its name says; where it says none of the tables there are, the floor above takes it for the run list.
pub fn open(job: &Path) -> Result<Found, Notice> {
    let name = file_name(job);
    let refuse = |finding: Finding| finding.at([Spot::file(TableName::of_file(&name, job))]);
    if std::fs::metadata(job).map_err(|why| refuse(unreadable(&why)))?.is_dir() {
        return folder(job).map_err(refuse);
    }
    let ending = job.extension().map(|e| e.to_string_lossy().to_ascii_lowercase()).unwrap_or_default();
    if is_workbook(job) {
        let found = sheets(job, &name).map_err(refuse)?;
        return if found.tables.is_empty() { Err(refuse(no_tables(None))) } else { Ok(found) };
    }
    if !matches!(ending.as_str(), "csv" | "tsv" | "txt" | "") {
        return Err(refuse(other_kind(&ending)));
    }
    let mut found = Found::default();
    let file = TableFile::File { path: job.to_owned(), shown: Arc::from(name.as_str()), sheet: None };
    found.add(stem(job), file);
    Ok(found)
}

impl Found {
    fn add(&mut self, written: String, file: TableFile) {
        let name = fold_heading(&written);
        if self.tables.iter().any(|table| table.name == name) {
            self.notices.push(twice_table(&written).at([file.spot()]));
        } else if self.tables.len() < caps::TABLES {
            self.tables.push(FoundTable { written, name, file });
        }
    }
}

/// The workbooks of a folder, by name; none where it is no folder. Hidden ones and lock files are passed over.
pub fn workbooks(folder: &Path) -> Vec<PathBuf> {
    let (_, workbooks) = files(folder).unwrap_or_default();
    workbooks.into_iter().map(|(_, path)| path).collect()
}

fn folder(job: &Path) -> Result<Found, Finding> {
    let (files, workbooks) = files(job)?;
    let mut found = Found::default();
    for (name, path) in files {
        let stem = stem(&path);
        found.add(stem, TableFile::File { path, shown: Arc::from(name), sheet: None });
    }
    if found.tables.is_empty() {
        return Err(no_tables(workbooks.first().map(|(name, _)| name.as_str())));
    }
    Ok(found)
}

/// The CSV files of a folder and its workbooks, each with its name, both by name.
type Files = (Vec<(String, PathBuf)>, Vec<(String, PathBuf)>);

fn files(folder: &Path) -> Result<Files, Finding> {
    let unreadable = |why: std::io::Error| unreadable(&why);
    let (mut files, mut workbooks) = Files::default();
    for entry in std::fs::read_dir(folder).map_err(unreadable)?.take(caps::PARTS) {
        let path = entry.map_err(unreadable)?.path();
        let name = file_name(&path);
        if name.starts_with(['.', '~']) || !path.is_file() {
            continue;
        }
        if path.extension().is_some_and(|e| e.eq_ignore_ascii_case("csv")) {
            files.push((name, path));
        } else if is_workbook(&path) {
            workbooks.push((name, path));
        }
    }
    files.sort_by(|a, b| natural(&fold_heading(&a.0), &fold_heading(&b.0)).then_with(|| a.0.cmp(&b.0)));
    workbooks.sort();
    Ok((files, workbooks))
}

fn sheets(job: &Path, shown: &str) -> Result<Found, Finding> {
    let names = match kind_of(job)? {
        BookKind::Xlsx => Book::open(job)?.sheet_names(),
        BookKind::Guarded => guard::sheet_names(job)?,
    };
    let shown: Arc<str> = Arc::from(shown);
    let mut found = Found::default();
    let file = |name: &str| {
        let sheet = Some(Arc::from(name));
        TableFile::File { path: job.to_owned(), shown: shown.clone(), sheet }
    };
    for written in names.hidden {
        let spot = file(&written).spot();
        found.hidden.push(HiddenSheet { name: fold_heading(&written), written, spot });
    }
    for name in names.visible {
        let file = file(&name);
        found.add(name, file);
    }
    Ok(found)
}

fn file_name(path: &Path) -> String {
    match path.file_name() {
        Some(name) => inert::path(Path::new(name)),
        None => inert::path(path),
    }
}

fn stem(path: &Path) -> String {
    path.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default()
}
