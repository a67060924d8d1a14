//! Results to files: the costed workbook, CSV and JSON. It decides nothing and knows no arithmetic but the formulas of
//! the workbook. The command line calls [`write()`].

mod book;
mod drawing;
pub(crate) mod facts;
mod files;
mod form;
mod papers;
pub(crate) mod revised;
pub mod starter;
mod whole;

use std::path::Path;

use crate::estimate::{Estimate, Map};
use crate::ground::notice::findings;
use crate::ground::progress::{self, Work};
use crate::ground::threads::in_threads;
use crate::ground::{Notice, Spot};
use crate::trade::Job;
use crate::trade::kept::{self, NotKept};
pub use drawing::Shows;
use facts::Wording;
use files::{Gathered, WRITTEN};
pub use form::json_file::FORMAT;
pub use form::paper::FOLDER as PAPERS;
use form::paper::is_paper;
pub use revised::{
    REVISION_FILES, revision_bytes, revision_paper_bytes, write_layouts, write_revision, write_revision_on,
    write_variance,
};
use whole::Place;
pub use whole::{Disk, Lock, RealDisk, Refusal, There, WriteError};

/// The files of an estimate, in the order written.
pub const FILES: [&str; WRITTEN.len()] = {
    let mut names = [""; WRITTEN.len()];
    let mut at = 0;
    while at < names.len() {
        names[at] = WRITTEN[at].name;
        at += 1;
    }
    names
};

/// A file that the program writes, as documents and `help` tell of it.
#[derive(Debug)]
pub struct OutputFile {
    /// Its name; what stands in brackets is the user's.
    pub name: &'static str,
    /// The command that writes it.
    pub command: &'static str,
    /// What it is.
    pub about: &'static str,
    /// The columns of a CSV file, each with what it says. What stands in brackets is of the job: `(unit)` its unit of length,
    /// `(system)` a column for each of its systems.
    pub columns: Vec<(&'static str, &'static str)>,
}

/// All files that the program writes, in the order in which documents list them.
pub fn output_files() -> Vec<OutputFile> {
    let of_estimate = WRITTEN.iter().map(|file| (file.name, "estimate", file.about, file.columns));
    let all = of_estimate.chain(OTHERS).chain(revised::WRITTEN);
    all.map(|(name, command, about, columns)| OutputFile { name, command, about, columns: columns() })
        .collect()
}

/// The JSON Schema (draft 2020-12) of a JSON file that the program writes, as a text; nothing where it has none.
pub fn schema(file: &str) -> Option<String> {
    let of = SCHEMAS.iter().find(|(name, _)| *name == file)?;
    Some(of.1())
}

/// A file by its name, and what makes its schema.
pub type SchemaOf = (&'static str, fn() -> String);

/// The files that have a schema.
pub const SCHEMAS: [SchemaOf; 2] =
    [(ESTIMATE, files::estimate_json::schema), (REVISION_FILES[2], revised::json::schema)];

/// What stands beside the files of an estimate, and alone.
const OTHERS: [revised::Beside; 3] = [
    (
        "papers/",
        "estimate",
        "what is handed over, each a file of its own as a workbook of values and as a page: the bid, an order and a request to each \
         supplier, the shopping list, the cut plan, the test sheet",
        Vec::new,
    ),
    (
        "inputs/",
        "estimate",
        "the tables that the estimate was made from, as they were read, with the price lists and shared tables that the job names",
        Vec::new,
    ),
    ("(job)-drawing.svg", "draw", "the house as a picture", Vec::new),
];

/// The mark of an estimate.
const ESTIMATE: &str = FILES[FILES.len() - 1];

/// The files that stand for themselves, each of one command.
const ALONE: [&str; 3] = ["comparison.csv", "layouts.csv", "variance.csv"];

/// Whether a name in an output folder is that of a file which some command writes.
fn is_output(name: &str) -> bool {
    let starter = starter::STARTER.iter().map(|(table, _)| *table);
    FILES.contains(&name)
        || REVISION_FILES.contains(&name)
        || ALONE.contains(&name)
        || is_drawing(name)
        || is_paper(name)
        || name.strip_suffix(".csv").is_some_and(|table| starter.into_iter().any(|known| known == table))
        || name.split_once('/').is_some_and(|(folder, _)| folder == kept::FOLDER)
}

/// Whether a name is that of a drawing, which its reader may choose.
fn is_drawing(name: &str) -> bool {
    name.ends_with(drawing::ENDING) && whole::is_plain(name) && !name.contains('/')
}

/// A folder to write into, on a disk.
fn place<'a>(out: &'a Path, disk: &'a dyn Disk) -> Place<'a> {
    Place { out, disk, is_output, estimate: ESTIMATE }
}

/// Writes all files of an estimate into a folder, whole or not at all, with the tables that it was made from. Files of an
/// earlier estimate there are replaced, or kept under another name where somebody wrote in them; other files stay. Gives the
/// notices of what was kept.
///
/// # Errors
///
/// What the disk, or a file already there, did not allow.
pub fn write(job: &Job, estimate: &Estimate, out: &Path) -> Result<Vec<Notice>, WriteError> {
    write_on(&RealDisk, job, estimate, out)
}

/// As [`write()`], on a disk of one's own, so that a test can stop it.
///
/// # Errors
///
/// What the disk, or a file already there, did not allow.
pub fn write_on(
    disk: &dyn Disk,
    job: &Job,
    estimate: &Estimate,
    out: &Path,
) -> Result<Vec<Notice>, WriteError> {
    let words = Wording { job, estimate };
    let gathered = Gathered::of(&words);
    let named = FILES.into_iter().map(Box::from).zip(bytes_of(&words, &gathered)?);
    let mut files: Vec<whole::New> = named.collect();
    let tables = job.kept().files().map_err(|why| match why {
        NotKept::Changed(path) => WriteError::Changed(path),
        NotKept::Disk(path, why) => WriteError::Disk { path, why },
    })?;
    // The mark stays the last.
    let mark = files.pop();
    files.extend(papers::files(&words, &gathered).map_err(WriteError::Workbook)?);
    files.extend(tables.into_iter().map(|(name, bytes)| (name.into(), bytes)));
    files.extend(mark);
    whole::place_set(files, place(out, disk))
}

/// The notice that the tables in the folder of an estimate are no longer those that it was made from.
pub fn edited_inputs(folder: &Path) -> Option<Notice> {
    if !kept::is_estimate(folder) {
        return None;
    }
    let is_kept = |name: &str| whole::is_plain(name) && name.split('/').next() == Some(kept::FOLDER);
    // What cannot be read is told where the tables are.
    let edited = whole::edited(ESTIMATE, is_kept, place(folder, &RealDisk)).unwrap_or_default();
    (!edited.is_empty()).then(|| edited_tables(&edited.join(", ")).at([Spot::of_path(folder)]))
}

findings! {
    /// Kept tables that somebody wrote in.
    fn edited_tables(names: &str) = warning("edited-inputs",
        "the estimate in this folder was made from other tables than it has now: {names}",
        "the tables in inputs as the estimate kept them",
        "name the job itself, or estimate it into this folder again");
}

/// Writes the tables of a starter job into a folder that is not there yet, whole or not at all. What an earlier run left of
/// it that was broken off is taken away first.
///
/// # Errors
///
/// What the disk, or a file already there, did not allow.
pub fn write_starter(out: &Path) -> Result<(), WriteError> {
    let files = starter::STARTER.map(|(name, text)| (format!("{name}.csv").into(), text.as_bytes().to_vec()));
    whole::place_new(&files, place(out, &RealDisk))
}

/// Sets right what a run that was broken off left in a folder.
///
/// # Errors
///
/// What the disk did not allow, or that another run is at it.
pub fn mend(out: &Path) -> Result<(), WriteError> {
    whole::mend(place(out, &RealDisk))
}

/// The bytes of all files, in the order of [`FILES`], each made in a thread of its own: the same estimate gives the
/// same bytes.
///
/// # Errors
///
/// What the workbook could not hold.
pub fn bytes(job: &Job, estimate: &Estimate) -> Result<[Vec<u8>; FILES.len()], WriteError> {
    let words = Wording { job, estimate };
    bytes_of(&words, &Gathered::of(&words))
}

/// The files of all papers of an estimate, each with its path from the output folder: the same estimate gives the same
/// bytes.
///
/// # Errors
///
/// What a workbook could not hold.
pub fn paper_bytes(job: &Job, estimate: &Estimate) -> Result<Vec<whole::New>, WriteError> {
    let words = Wording { job, estimate };
    papers::files(&words, &Gathered::of(&words)).map_err(WriteError::Workbook)
}

/// The number by which papers say which estimate they are of.
fn number_of(job: &Job, estimate: &Estimate) -> String {
    files::number(&Wording { job, estimate })
}

fn bytes_of(words: &Wording<'_>, gathered: &Gathered) -> Result<[Vec<u8>; FILES.len()], WriteError> {
    let mut files: [Vec<u8>; FILES.len()] = Default::default();
    // The sheets of the workbook are counted one by one, and the workbook for another.
    progress::ahead(Work::Files, WRITTEN.len());
    let made = in_threads(&WRITTEN, |file| {
        let bytes = (file.write)(words, gathered);
        progress::done(Work::Files, 1);
        bytes
    });
    for (file, bytes) in files.iter_mut().zip(made) {
        *file = bytes.map_err(WriteError::Workbook)?;
    }
    Ok(files)
}

/// Writes `comparison.csv` alone into a folder, whole or not at all.
///
/// # Errors
///
/// What the disk, or a file already there that this program did not write, did not allow.
pub fn write_comparison(job: &Job, estimate: &Estimate, out: &Path) -> Result<Vec<Notice>, WriteError> {
    let bytes = files::comparison::write(&Wording { job, estimate });
    whole::place_one("comparison.csv", bytes, place(out, &RealDisk))
}

/// The bytes of the drawing of a job, before they are sealed: the same job gives the same bytes.
pub fn drawing_bytes(job: &Job, map: &Map) -> Vec<u8> {
    drawing::bytes(job, map)
}

/// Writes the drawing of a job into a file, whole or not at all; what stands there is replaced if it is a drawing of this program,
/// and kept under another name if somebody wrote in it. Nothing where no drawing can have the name.
///
/// # Errors
///
/// What the disk, or a file already there that this program did not write, did not allow.
pub fn write_drawing(job: &Job, map: &Map, file: &Path) -> Option<Result<Vec<Notice>, WriteError>> {
    let name = file.file_name()?.to_str().filter(|name| is_drawing(name))?;
    let folder = file.parent().filter(|folder| !folder.as_os_str().is_empty());
    let at = place(folder.unwrap_or(Path::new(".")), &RealDisk);
    Some(whole::place_picture(name, drawing::bytes(job, map), at))
}

/// What stands in every file of an estimate in which everything is counted and priced.
const COMPLETE: &str = "complete";

/// What stands there where something is left out, in error or not priced.
const INCOMPLETE: &str = "INCOMPLETE";

/// The word for whether something is whole.
const fn mark_of(whole: bool) -> &'static str {
    if whole { COMPLETE } else { INCOMPLETE }
}
