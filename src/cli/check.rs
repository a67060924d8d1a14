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
    match job.runs.len() {
        0 => screen.say("the run list has no rows yet: fill runs, then check again"),
        _ if !notices.is_empty() => {}
        1 => screen.say("1 run, nothing to say"),
        runs => screen.say(&format!("{runs} runs, nothing to say")),
    }
    Ok(done)
}
