//! `check`: reads everything, shows every notice, writes nothing.

use std::path::Path;

use super::args::Options;
use super::screen::Screen;
use super::{CouldNot, Done, finish, read};
use crate::estimate::estimate;
use crate::ground::notice::in_order;

/// Checks a job.
pub(super) fn check(path: &Path, options: &Options, screen: &mut Screen) -> Result<Done, CouldNot> {
    let job = read(path, screen)?;
    screen.step("counting");
    let estimate = estimate(&job);
    let notices = in_order(job.notices.iter().chain(&estimate.notices).cloned().collect());
    let done = finish(&notices, path, options, screen);
    if notices.is_empty() {
        screen.say(&format!("{} runs, nothing to say", job.runs.len()));
    }
    Ok(done)
}
