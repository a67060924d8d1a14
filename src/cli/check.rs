//! `check`: reads everything, shows every notice, writes nothing.

use std::path::Path;

use super::args::Options;
use super::job::read;
use super::notices::weightiest_lines;
use super::screen::Screen;
use super::{CouldNot, Done, finish};
use crate::doubts::weigh;
use crate::estimate::estimate;

/// Checks a job.
pub(super) fn check(path: &Path, options: &Options, screen: &mut Screen) -> Result<Done, CouldNot> {
    let job = read(path, &options.limits(), screen)?;
    screen.step("counting");
    let mut estimate = estimate(&job);
    screen.step("weighing doubts");
    weigh(&job, &mut estimate);
    let done = finish(&estimate.told, options, screen).unless(estimate.is_complete());
    match job.runs.len() {
        0 => screen.say("the run list has no rows yet: fill runs, then check again"),
        _ if !estimate.told.is_empty() => {}
        1 => screen.say("1 run, nothing to say"),
        runs => screen.say(&format!("{runs} runs, nothing to say")),
    }
    // Programs, and those who want a line a notice, have had all of it.
    if options.json || options.short {
        return Ok(done);
    }
    if let Some(why) = estimate.incomplete(&job) {
        if screen.is_quiet() { screen.aside(&why) } else { screen.say_all(super::narrow::wrapped("", &why)) }
    }
    screen.say_all(weightiest_lines(&estimate.told, "see above", screen));
    Ok(done)
}
