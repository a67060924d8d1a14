//! Prices tried and choices kept, as the flags `--price-change` and `--hold` ask for. It prints nothing.

use super::args::Trial;
use super::narrow::wrapped;
use super::screen::{Paint, Screen};
use super::{CouldNot, why};
use crate::estimate::estimate;
use crate::estimate::revision::Side;
use crate::estimate::trial::{hold, try_price};
use crate::report::wording;
use crate::trade::Job;

/// Changes the prices of a job, and keeps the choices made before: those of `before`, or of the job at its own prices.
pub(super) fn apply(
    job: &mut Job,
    trial: &Trial,
    before: Option<(Side<'_>, bool)>,
    screen: &mut Screen,
) -> Result<(), CouldNot> {
    if trial.hold {
        match before {
            Some((side, same_runs)) => hold(job, side, same_runs),
            None => {
                screen.step("choosing at the prices before");
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

/// The lines that say that prices are tried; none where they are real.
pub(super) fn said(tried: &[Box<str>], screen: &Screen) -> Vec<String> {
    let Some(words) = wording::tried(tried) else { return Vec::new() };
    wrapped("  ", &words).iter().map(|line| screen.paint_result(Paint::Yellow, line)).collect()
}
