//! Results to files: the costed workbook, CSV and JSON. It decides nothing and knows no arithmetic but the formulas of
//! the workbook. The command line calls [`write()`].

pub(crate) mod bid_lines;
mod book;
mod csv_orders;
mod csv_out;
mod csv_table;
mod json_alternates;
mod json_buying;
mod json_cuts;
mod json_orders;
mod json_out;
mod json_reasons;
mod labor_out;
mod owner;
pub(crate) mod revised;
mod rows;
mod sent;
pub mod starter;
mod whole;
pub(crate) mod wording;

use std::path::Path;

use crate::estimate::Estimate;
use crate::ground::threads::in_threads;
use crate::trade::Job;
pub use json_out::FORMAT;
use owner::Owner;
pub use revised::{REVISION_FILES, revision_bytes, write_layouts, write_revision, write_variance};
pub use whole::WriteError;
use wording::Wording;

/// The files of an estimate, in the order written.
pub const FILES: [&str; 13] = [
    "estimate.xlsx",
    "takeoff.csv",
    "order.csv",
    "cut-plan.csv",
    "labor.csv",
    "comparison.csv",
    "bid.csv",
    "owner.csv",
    "owner.json",
    "held.csv",
    "orders.csv",
    "request-for-quote.csv",
    "estimate.json",
];

/// Makes the bytes of one file.
type Write = fn(&Wording<'_>, &Owner) -> Result<Vec<u8>, WriteError>;

/// What makes each of [`FILES`].
const WRITERS: [Write; FILES.len()] = [
    |words, _| book::write(*words).map_err(WriteError::Workbook),
    |words, _| Ok(csv_out::takeoff(words).into_bytes()),
    |words, _| Ok(csv_out::order(words).into_bytes()),
    |words, _| Ok(csv_out::cut_plan(words).into_bytes()),
    |words, _| Ok(labor_out::csv(words).into_bytes()),
    |words, _| Ok(csv_out::comparison(words).into_bytes()),
    |words, _| Ok(csv_out::bid(words).into_bytes()),
    |_, owner| Ok(csv_out::owner(owner).into_bytes()),
    |_, owner| owner.json().map_err(WriteError::Json),
    |words, _| Ok(csv_out::held(words).into_bytes()),
    |words, _| Ok(csv_orders::orders(words).into_bytes()),
    |words, _| Ok(csv_orders::request(words).into_bytes()),
    |words, _| json_out::write(words).map_err(WriteError::Json),
];

/// Writes all files of an estimate into a folder, whole or not at all. Files of an earlier estimate there are
/// replaced, other files stay, and nothing that this program did not write is ever overwritten.
///
/// # Errors
///
/// What the disk, or a file already there, did not allow.
pub fn write(job: &Job, estimate: &Estimate, out: &Path) -> Result<(), WriteError> {
    let files = bytes(job, estimate)?;
    let named: Vec<(&str, Vec<u8>)> = FILES.into_iter().zip(files).collect();
    whole::place(&named, out)
}

/// The bytes of all files, in the order of [`FILES`], each made in a thread of its own: the same estimate gives the
/// same bytes.
///
/// # Errors
///
/// What the workbook or the JSON text could not hold.
pub fn bytes(job: &Job, estimate: &Estimate) -> Result<[Vec<u8>; 13], WriteError> {
    let words = Wording { job, estimate };
    let owner = Owner::of(&words);
    let mut files: [Vec<u8>; FILES.len()] = Default::default();
    let made = in_threads(&WRITERS, |write| write(&words, &owner));
    for (file, bytes) in files.iter_mut().zip(made) {
        *file = bytes?;
    }
    Ok(files)
}

/// Writes `comparison.csv` alone into a folder, whole or not at all.
///
/// # Errors
///
/// What the disk, or a file already there that this program did not write, did not allow.
pub fn write_comparison(job: &Job, estimate: &Estimate, out: &Path) -> Result<(), WriteError> {
    let text = csv_out::comparison(&Wording { job, estimate });
    whole::place_one("comparison.csv", text.as_bytes(), out)
}

/// What stands in every file of an estimate in which everything is counted and priced.
const COMPLETE: &str = "complete";

/// What stands there where something is left out, in error or not priced.
const INCOMPLETE: &str = "INCOMPLETE";

/// That no price is changed for a trial.
const AS_LISTED: &str = "as listed";

/// The word for whether something is whole.
const fn mark_of(whole: bool) -> &'static str {
    if whole { COMPLETE } else { INCOMPLETE }
}

/// The mark of each alternative: whole where nothing is left out or in error, and all of it has its price (and hours).
fn marks(words: &Wording<'_>) -> Vec<&'static str> {
    let estimate = words.estimate;
    let whole = |index: usize| estimate.left_out.is_empty() && estimate.comparison.is_whole(index);
    (0..estimate.alternatives.len()).map(|index| mark_of(whole(index))).collect()
}
