//! Results to files: the costed workbook, CSV and JSON. It decides nothing and knows no arithmetic but the formulas of
//! the workbook. The command line calls [`write()`].

mod book;
pub(crate) mod facts;
mod files;
mod form;
pub(crate) mod revised;
pub mod starter;

use std::path::Path;

use crate::estimate::Estimate;
use crate::ground::progress::{self, Work};
use crate::ground::threads::in_threads;
use crate::trade::Job;
use facts::{Owner, Wording};
use files::WRITTEN;
pub use form::WriteError;
use form::folder;
pub use form::json::FORMAT;
pub use revised::{REVISION_FILES, revision_bytes, write_layouts, write_revision, write_variance};

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

/// The columns of a CSV file of an estimate, each with what it says. `(unit)` in a heading is the unit of length. Those of
/// `comparison.csv` and `bid.csv` are the systems of the job.
pub fn columns(file: &str) -> Vec<(&'static str, &'static str)> {
    WRITTEN.iter().filter(|written| written.name == file).flat_map(|written| (written.columns)()).collect()
}

/// Writes all files of an estimate into a folder, whole or not at all. Files of an earlier estimate there are
/// replaced, other files stay, and nothing that this program did not write is ever overwritten.
///
/// # Errors
///
/// What the disk, or a file already there, did not allow.
pub fn write(job: &Job, estimate: &Estimate, out: &Path) -> Result<(), WriteError> {
    let files = bytes(job, estimate)?;
    let named: Vec<(&str, Vec<u8>)> = FILES.into_iter().zip(files).collect();
    folder::place(&named, out)
}

/// The bytes of all files, in the order of [`FILES`], each made in a thread of its own: the same estimate gives the
/// same bytes.
///
/// # Errors
///
/// What the workbook could not hold.
pub fn bytes(job: &Job, estimate: &Estimate) -> Result<[Vec<u8>; FILES.len()], WriteError> {
    let words = Wording { job, estimate };
    let owner = Owner::of(&words);
    let mut files: [Vec<u8>; FILES.len()] = Default::default();
    // The sheets of the workbook are counted one by one, and the workbook for another.
    progress::ahead(Work::Files, WRITTEN.len());
    let made = in_threads(&WRITTEN, |file| {
        let bytes = (file.write)(&words, &owner);
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
pub fn write_comparison(job: &Job, estimate: &Estimate, out: &Path) -> Result<(), WriteError> {
    folder::place_one("comparison.csv", &files::comparison::write(&Wording { job, estimate }), out)
}

/// What stands in every file of an estimate in which everything is counted and priced.
const COMPLETE: &str = "complete";

/// What stands there where something is left out, in error or not priced.
const INCOMPLETE: &str = "INCOMPLETE";

/// The word for whether something is whole.
const fn mark_of(whole: bool) -> &'static str {
    if whole { COMPLETE } else { INCOMPLETE }
}
