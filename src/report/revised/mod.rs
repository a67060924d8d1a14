//! The files of a revision: the change order as a workbook and as CSV, and the whole of it as JSON. It knows no
//! arithmetic but the workbook's formulas. Called by the command line.

pub(crate) mod change_order;
pub(crate) mod csv;
pub(super) mod json;
mod papers;
mod tables;

use std::path::Path;

use crate::estimate::revision::layouts::Layouts;
use crate::estimate::revision::variance::Variance;
use crate::estimate::revision::{Revision, Side};
use crate::ground::Notice;
use crate::report::form::Said;
use crate::report::place;
use crate::report::whole::{self, Disk, RealDisk, WriteError};

/// A file beside those of an estimate: its name, the command that writes it, what it is, and its columns.
pub(super) type Beside = (&'static str, &'static str, &'static str, fn() -> Vec<Said>);

/// The files of a revision, of what was used and of layouts.
pub(super) const WRITTEN: [Beside; 6] = [
    (REVISION_FILES[0], "revise", "the change order as a workbook: adds and deducts apart, live", Vec::new),
    (REVISION_FILES[1], "revise", "the same as one table", csv::columns),
    (REVISION_FILES[2], "revise", "the whole revision, for programs", Vec::new),
    (
        "papers/ of a change",
        "revise",
        "what is handed over of a change: a change order to sign, one for inside, an order of what is added",
        Vec::new,
    ),
    (
        "variance.csv",
        "revise --used",
        "what was used against what was needed and bought",
        tables::variance_columns,
    ),
    ("layouts.csv", "compare", "several jobs side by side", tables::layout_columns),
];

/// The files of a revision, in the order written.
pub const REVISION_FILES: [&str; 3] = ["change-order.xlsx", "change-order.csv", "revision.json"];

/// Writes all files of a revision into a folder, whole or not at all; `sides` are the job before and now.
///
/// # Errors
///
/// What the disk, or a file already there that this program did not write, did not allow.
pub fn write_revision(
    revision: &Revision,
    sides: [Side<'_>; 2],
    notices: &[Notice],
    out: &Path,
) -> Result<Vec<Notice>, WriteError> {
    write_revision_on(&RealDisk, (revision, sides), notices, out)
}

/// As [`write_revision`], on a disk of one's own, so that a test can stop it.
///
/// # Errors
///
/// What the disk, or a file already there that this program did not write, did not allow.
pub fn write_revision_on(
    disk: &dyn Disk,
    (revision, sides): (&Revision, [Side<'_>; 2]),
    notices: &[Notice],
    out: &Path,
) -> Result<Vec<Notice>, WriteError> {
    let named = REVISION_FILES.into_iter().map(Box::from).zip(revision_bytes(revision, notices)?);
    let mut files: Vec<whole::New> = named.collect();
    // The mark stays the last.
    let mark = files.pop();
    files.extend(revision_paper_bytes(revision, sides)?);
    files.extend(mark);
    whole::place_set(files, place(out, disk))
}

/// The bytes of all files, in the order of [`REVISION_FILES`]: the same revision gives the same bytes.
///
/// # Errors
///
/// What the workbook could not hold.
pub fn revision_bytes(revision: &Revision, notices: &[Notice]) -> Result<[Vec<u8>; 3], WriteError> {
    Ok([
        change_order::write(revision, notices).map_err(WriteError::Workbook)?,
        csv::write(revision),
        json::write(revision, notices),
    ])
}

/// The files of all papers of a revision, each with its path from the output folder: the same revision gives the same bytes.
///
/// # Errors
///
/// What a workbook could not hold.
pub fn revision_paper_bytes(
    revision: &Revision,
    sides: [Side<'_>; 2],
) -> Result<Vec<whole::New>, WriteError> {
    papers::files(revision, sides).map_err(WriteError::Workbook)
}

/// Writes `variance.csv` into a folder, whole or not at all.
///
/// # Errors
///
/// What the disk, or a file already there that this program did not write, did not allow.
pub fn write_variance(variance: &Variance, out: &Path) -> Result<Vec<Notice>, WriteError> {
    whole::place_one("variance.csv", tables::variance(variance), place(out, &RealDisk))
}

/// Writes `layouts.csv` into a folder, whole or not at all.
///
/// # Errors
///
/// What the disk, or a file already there that this program did not write, did not allow.
pub fn write_layouts(layouts: &Layouts, out: &Path) -> Result<Vec<Notice>, WriteError> {
    whole::place_one("layouts.csv", tables::layouts(layouts), place(out, &RealDisk))
}

/// How prices are taken, for a reader.
pub(crate) const HOW: &str = "Quantities are priced at the old prices, and what prices alone moved is shown apart, at the new \
     quantities; the two are the whole difference. What the old prices do not name is taken at the new ones. Whole packs \
     are bought: a quantity that fits into what was bought before moves nothing.";

/// That labor is in none of the sums, where wages are not said on both sides.
pub(crate) const NO_LABOR: &str = "labor is in no sum here: it needs a table labor and wages in both jobs";

/// That prices are changed for a trial on one of the two sides.
pub(crate) fn tried(revision: &Revision) -> Option<String> {
    let changes: Vec<Box<str>> = revision.old.tried.iter().chain(&revision.new.tried).cloned().collect();
    super::facts::wording::tried(&changes)
}

/// What all files say of the prices: as listed, or that they are changed for a trial.
fn prices(revision: &Revision) -> String {
    tried(revision).unwrap_or_else(|| super::facts::wording::said_of_prices(&[]))
}

/// Whether everything is counted and priced on both sides.
fn is_whole(revision: &Revision) -> bool {
    [&revision.old, &revision.new].into_iter().all(|face| face.complete && face.not_priced == 0)
}

/// What stands over a revision: the two jobs.
pub(crate) fn title(revision: &Revision) -> String {
    let name = |name: &str| if name.is_empty() { "a job without a name".to_owned() } else { name.to_owned() };
    let (old, new) = (name(&revision.old.name), name(&revision.new.name));
    if old == new { new } else { format!("{old}, now {new}") }
}
