//! `check`: reads everything, shows every notice, writes nothing.

use std::path::Path;

use super::job::{incomplete, read};
use super::notices::weightiest_of;
use super::told::Told;
use super::{CouldNot, Outcome};
use crate::doubts::weigh;
use crate::estimate::estimate;
use crate::table::Limits;

/// Checks a job; where notices are a line each, nothing is said beside them.
pub(super) fn check(path: &Path, limits: &Limits, short: bool) -> Result<Outcome, CouldNot> {
    let job = read(path, limits)?;
    let mut estimate = estimate(&job);
    weigh(&job, &mut estimate);
    let mut told = Told::default();
    told.value("runs", job.runs.len());
    match job.runs.len() {
        0 => told.say("", "the run list has no rows yet: fill runs, then check again"),
        _ if !estimate.told.is_empty() => {}
        1 => told.say("", "1 run, nothing to say"),
        runs => told.say("", format!("{runs} runs, nothing to say")),
    }
    if !short {
        incomplete(&job, &estimate, "", &mut told);
        weightiest_of(&estimate.told, "see above", &mut told);
    }
    let whole = estimate.is_complete();
    Ok(Outcome { notices: estimate.told, told, whole })
}
