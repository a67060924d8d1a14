//! `estimate`: the main job. Takes off, cuts, buys, costs, writes everything, and says the sum in a few lines.

use std::path::{Path, PathBuf};

use super::args::Options;
use super::screen::{Paint, Screen};
use super::{CouldNot, Done, finish, read};
use crate::estimate::{Estimate, estimate as estimate_job};
use crate::ground::notice::in_order;
use crate::report;
use crate::report::wording::Wording;
use crate::trade::Job;

/// Estimates a job into a folder.
pub(super) fn estimate(
    path: &Path,
    out: Option<&Path>,
    options: &Options,
    screen: &mut Screen,
) -> Result<Done, CouldNot> {
    let out = out.map_or_else(|| beside(path), Path::to_path_buf);
    if is_inside(&out, path) {
        let why = format!(
            "{} is inside the job; outputs stand beside it. Name another folder with -o",
            out.display()
        );
        return Err(CouldNot::Say(why));
    }
    let job = read(path, screen)?;
    screen.step("counting and buying");
    let estimate = estimate_job(&job);
    screen.step("writing");
    report::write(&job, &estimate, &out).map_err(|why| CouldNot::Say(why.to_string()))?;
    let notices = in_order(job.notices.iter().chain(&estimate.notices).cloned().collect());
    let done = finish(&notices, path, options, screen);
    for line in summary(&job, &estimate, screen) {
        screen.say(&line);
    }
    screen.say(&format!("written: {}", out.join(report::FILES[0]).display()));
    Ok(done)
}

/// `<job>-estimate` beside the job.
fn beside(job: &Path) -> PathBuf {
    let whole = job.canonicalize().unwrap_or_else(|_| job.to_path_buf());
    let stem = if whole.is_dir() { whole.file_name() } else { whole.file_stem() };
    let name = format!("{}-estimate", stem.map(|s| s.to_string_lossy().into_owned()).unwrap_or_default());
    job.canonicalize()
        .ok()
        .and_then(|j| j.parent().map(|p| p.join(&name)))
        .unwrap_or_else(|| PathBuf::from(name))
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

/// A few lines: what each system costs in material, what is not in it, what was left out.
pub(super) fn summary(job: &Job, estimate: &Estimate, screen: &Screen) -> Vec<String> {
    let words = Wording { job, estimate };
    let mut lines = Vec::new();
    let name = if job.terms.name.is_empty() { "the job" } else { &*job.terms.name };
    lines.push(screen.paint(Paint::Bold, name));
    let currency = &*job.terms.currency;
    for (index, alternative) in estimate.alternatives.iter().enumerate() {
        let cost = &alternative.cost;
        let mut doubts = Vec::new();
        if !cost.not_priced.is_empty() {
            doubts.push(format!("{} not priced", cost.not_priced.len()));
        }
        if !cost.complete {
            doubts.push("incomplete".to_owned());
        }
        let doubts = if doubts.is_empty() { String::new() } else { format!("  ({})", doubts.join(", ")) };
        let length = estimate.comparison.feet.get(index).copied().unwrap_or_default();
        let unit = job.terms.units.abbreviation();
        lines.push(format!(
            "  {:16} material {:>12} {currency}   {:>5} joints   {:>9} {unit} of tube{}{doubts}",
            words.alternative(index),
            format!("{:.2}", cost.material),
            alternative.takeoff.joints,
            format!("{:.1}", length),
            if alternative.takeoff.bends > 0 {
                format!("   {} bends", alternative.takeoff.bends)
            } else {
                String::new()
            },
        ));
    }
    if estimate.alternatives.len() > 1 {
        lines.push(format!("  {}", estimate.comparison.sentence));
    }
    if let Some(chosen) = estimate.alternatives.first() {
        lines.push(format!("  bid in {}: {:.2} {currency}", words.alternative(0), chosen.cost.bid));
    }
    for left in estimate.left_out.iter().take(10) {
        lines.push(format!("  left out: {}, {}", words.run_name(left.run), left.why));
    }
    if estimate.left_out.len() > 10 {
        lines.push(format!("  left out: {} more", estimate.left_out.len() - 10));
    }
    lines
}
