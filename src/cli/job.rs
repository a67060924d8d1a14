//! How a command gets its job: where its outputs may be, the job read, prices tried and choices kept as the flags
//! `--price-change` and `--hold` ask for, and the estimate; and what every command says of its sums. It prints nothing.

use std::path::{Path, PathBuf};

use super::args::Trial;
use super::told::{Paint, Told, Words};
use super::{CouldNot, why};
use crate::estimate::revision::Side;
use crate::estimate::trial::{hold, try_price};
use crate::estimate::{Estimate, estimate};
use crate::ground::inert;
use crate::report;
use crate::report::facts::wording;
use crate::table::Limits;
use crate::trade::{Job, kept};

/// Reads a job.
pub(super) fn read(job: &Path, limits: &Limits) -> Result<Job, CouldNot> {
    let mut read = Job::read_within(job, limits)?;
    read.notices.extend(report::edited_inputs(job));
    Ok(read)
}

/// Reads a job whose outputs go to `out`, tries prices, and estimates it.
pub(super) fn estimated(
    path: &Path,
    out: Option<&Path>,
    trial: &Trial,
    limits: &Limits,
) -> Result<(Job, Estimate), CouldNot> {
    refuse_inside(out, path)?;
    let mut job = read(path, limits)?;
    try_prices(&mut job, trial, None)?;
    let estimate = estimate(&job);
    Ok((job, estimate))
}

/// Changes the prices of a job, and keeps the choices made before: those of `before`, or of the job at its own prices.
pub(super) fn try_prices(
    job: &mut Job,
    trial: &Trial,
    before: Option<(Side<'_>, bool)>,
) -> Result<(), CouldNot> {
    if trial.hold {
        match before {
            Some((side, same_runs)) => hold(job, side, same_runs),
            None => {
                let own = job.clone();
                let chosen = estimate(&own);
                hold(job, Side { job: &own, estimate: &chosen }, true);
            }
        }
    }
    for (words, points) in trial.changes() {
        try_price(job, words, points).map_err(why)?;
    }
    Ok(())
}

/// That prices are tried; nothing where they are real.
pub(super) fn tried(changes: &[Box<str>], told: &mut Told) {
    if let Some(words) = wording::tried(changes) {
        told.words("tried", Words::new("  ", words).painted(Paint::Yellow));
    }
}

/// Whether the sums hold everything, and if not why.
pub(super) fn incomplete(job: &Job, estimate: &Estimate, label: &str, told: &mut Told) {
    told.value("complete", estimate.is_complete());
    if let Some(why) = estimate.incomplete(job) {
        told.words("incomplete", Words::new(label, why).grave());
    }
}

/// Refuses a folder for outputs that is the job's own or lies in it: its files would be read as tables next time. So is one
/// whose kept tables are the job: an input is never overwritten.
pub(super) fn refuse_inside(out: Option<&Path>, job: &Path) -> Result<(), CouldNot> {
    let Some(out) = out else { return Ok(()) };
    let kept = out.join(kept::FOLDER);
    if kept.is_dir() && is_inside(job, &kept) {
        let (job, out) = (inert::path(job), inert::path(out));
        return Err(why(format!("{job} is what the estimate in {out} keeps; name another folder with -o")));
    }
    if !is_inside(out, job) {
        return Ok(());
    }
    let out = inert::path(out);
    Err(why(format!("{out} is inside the job; outputs go beside it. Name another folder with -o")))
}

/// `<job>-estimate` beside the job, for the ending `estimate`.
pub(super) fn beside(job: &Path, ending: &str) -> PathBuf {
    // A path such as `.` has no name of its own: the folder it leads to has.
    let named = match job.file_name() {
        Some(_) => job.to_path_buf(),
        None => job.canonicalize().unwrap_or_else(|_| job.to_path_buf()),
    };
    let stem = if named.is_dir() { named.file_name() } else { named.file_stem() };
    let mut name = stem.unwrap_or_default().to_os_string();
    name.push(format!("-{ending}"));
    named.with_file_name(name)
}

/// Whether a folder is the job's own or lies in it.
fn is_inside(out: &Path, job: &Path) -> bool {
    let Ok(job) = job.canonicalize() else { return false };
    let mut at = Some(out.to_path_buf());
    // The folder may not be there yet: its nearest ancestor that is decides.
    while let Some(path) = at {
        if let Ok(there) = path.canonicalize() {
            return job.is_dir() && there.starts_with(&job);
        }
        let parent = path.parent().map(Path::to_path_buf);
        at = match parent {
            Some(parent) if parent.as_os_str().is_empty() => Some(PathBuf::from(".")),
            other => other,
        };
    }
    false
}
