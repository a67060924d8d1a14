//! Finds the tables of a job: a folder of CSV files, one workbook with a sheet a table, or one CSV file. It reads no
//! table, and it does not know which tables there should be.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::findings::{no_tables, other_kind, twice_table, unreadable};
use super::limits::{Limits, reached};
use super::xlsx_book::{Book, BookKind, kind_of};
use super::{TableFile, guard, is_workbook, plain};
use crate::ground::inert;
use crate::ground::name::{fold_heading, natural_key};
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
    open_within(job, &Limits::default())
}

/// As [`open`], within other limits.
pub(crate) fn open_within(job: &Path, limits: &Limits) -> Result<Found, Notice> {
    let name = file_name(job);
    let refuse = |finding: Finding| finding.at([Spot::file(TableName::of_file(&name, job))]);
    let is = std::fs::metadata(job).map_err(|why| refuse(unreadable(&why)))?;
    if is.is_dir() {
        return folder(job, limits, refuse);
    }
    plain::is_plain(&is).map_err(refuse)?;
    let ending = job.extension().map(|e| e.to_string_lossy().to_ascii_lowercase()).unwrap_or_default();
    if is_workbook(job) {
        let found = sheets(job, &name, limits).map_err(refuse)?;
        return if found.tables.is_empty() { Err(refuse(no_tables(None))) } else { Ok(found) };
    }
    if !matches!(ending.as_str(), "csv" | "tsv" | "txt" | "") {
        return Err(refuse(other_kind(&ending)));
    }
    let mut found = Found::default();
    let file = TableFile::File {
        path: job.to_owned(),
        shown: Arc::from(name.as_str()),
        sheet: None,
        elsewhere: false,
    };
    found.add(stem(job), file, limits);
    Ok(found)
}

impl Found {
    fn add(&mut self, written: String, file: TableFile, limits: &Limits) {
        let name = fold_heading(&written);
        if self.tables.iter().any(|table| table.name == name) {
            self.tell(twice_table(&written).at([file.spot()]), limits);
        } else if self.tables.len() < limits.tables() {
            self.tables.push(FoundTable { written, name, file });
        } else {
            self.beyond(&file.spot(), limits);
        }
    }

    /// Tells once that there are more tables than are read.
    fn beyond(&mut self, first: &Spot, limits: &Limits) {
        let notice = limits.tables_reached().at([first.clone()]);
        if !self.notices.iter().any(|told| told.kind == notice.kind) {
            self.notices.push(notice);
        }
    }

    /// Of more than are listed of one kind nobody reads more.
    fn tell(&mut self, notice: Notice, limits: &Limits) {
        if (self.notices.len() as u64) < limits.notices {
            self.notices.push(notice);
        }
    }
}

/// The workbooks of a folder, by name; none where it is no folder. Hidden ones and lock files are passed over.
pub(crate) fn workbooks(folder: &Path, limits: &Limits) -> Vec<PathBuf> {
    let files = files(folder, limits).unwrap_or_default();
    files.workbooks.into_iter().map(|(_, path)| path).collect()
}

fn folder(job: &Path, limits: &Limits, refuse: impl Fn(Finding) -> Notice) -> Result<Found, Notice> {
    let Files { csv, workbooks, others } = files(job, limits).map_err(&refuse)?;
    let mut found = Found::default();
    for (name, path, finding) in others {
        found.tell(finding.at([Spot::file(TableName::of_file(&name, &path))]), limits);
    }
    for (name, path) in csv {
        let stem = stem(&path);
        found.add(
            stem,
            TableFile::File { path, shown: Arc::from(name), sheet: None, elsewhere: false },
            limits,
        );
    }
    if !found.tables.is_empty() {
        return Ok(found);
    }
    Err(match (workbooks.first(), found.notices.into_iter().next()) {
        // What stands in the place of the only table says more than that there is none.
        (None, Some(other)) => other,
        (workbook, _) => refuse(no_tables(workbook.map(|(name, _)| name.as_str()))),
    })
}

/// The tables of a folder, each with its name, by name.
#[derive(Default)]
struct Files {
    csv: Vec<(String, PathBuf)>,
    workbooks: Vec<(String, PathBuf)>,
    /// What is named as a table and is no file: what it is.
    others: Vec<(String, PathBuf, Finding)>,
}

fn files(folder: &Path, limits: &Limits) -> Result<Files, Finding> {
    let unreadable = |why: std::io::Error| unreadable(&why);
    let mut files = Files::default();
    for (at, entry) in (0..).zip(std::fs::read_dir(folder).map_err(unreadable)?) {
        // Which ones a system lists first is chance: of too many none is taken.
        if at >= limits.files {
            return Err(reached("the folder is not read", "files", limits.files));
        }
        let path = entry.map_err(unreadable)?.path();
        let name = file_name(&path);
        let is_csv = path.extension().is_some_and(|e| e.eq_ignore_ascii_case("csv"));
        if name.starts_with(['.', '~']) || !(is_csv || is_workbook(&path)) {
            continue;
        }
        match std::fs::metadata(&path).map_err(unreadable).and_then(|found| plain::is_plain(&found)) {
            Ok(()) if is_csv => files.csv.push((name, path)),
            Ok(()) => files.workbooks.push((name, path)),
            Err(finding) => files.others.push((name, path, finding)),
        }
    }
    let by_name = |name: &str| natural_key(&fold_heading(name));
    files.csv.sort_by_cached_key(|(name, _)| (by_name(name), name.clone()));
    files.workbooks.sort();
    files.others.sort_by(|a, b| a.0.cmp(&b.0));
    Ok(files)
}

fn sheets(job: &Path, shown: &str, limits: &Limits) -> Result<Found, Finding> {
    let names = match kind_of(job, limits)? {
        BookKind::Xlsx => Book::open(job, limits)?.sheet_names(),
        BookKind::Guarded => guard::sheet_names(job, limits)?,
    };
    let shown: Arc<str> = Arc::from(shown);
    let mut found = Found::default();
    let file = |name: &str| {
        let sheet = Some(Arc::from(name));
        TableFile::File { path: job.to_owned(), shown: shown.clone(), sheet, elsewhere: false }
    };
    for written in names.hidden {
        let spot = file(&written).spot();
        found.hidden.push(HiddenSheet { name: fold_heading(&written), written, spot });
    }
    for name in names.visible {
        let file = file(&name);
        found.add(name, file, limits);
    }
    if names.beyond > 0 {
        found.beyond(&Spot::file(TableName::of_file(&shown, job)), limits);
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
