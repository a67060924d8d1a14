//! `estimate`: the main job. Takes off, cuts, buys, costs, writes everything, and says the sum in a few lines.

use std::path::Path;

use super::args::{Options, Trial};
use super::narrow::{Figures, WIDTH, cut, table, wrapped};
use super::notices::weightiest_lines;
use super::screen::{Paint, Screen};
use super::{CouldNot, Done, finish, job, why};
use crate::doubts::weigh;
use crate::estimate::Estimate;
use crate::estimate::alternative::Alternative;
use crate::estimate::installed::{Installed, joints_to_make};
use crate::ground::money::{cents, in_currency, quantity};
use crate::report;
use crate::report::facts::{Wording, allowances};
use crate::trade::Job;

/// Estimates a job into a folder.
pub(super) fn estimate(
    path: &Path,
    out: Option<&Path>,
    trial: &Trial,
    options: &Options,
    screen: &mut Screen,
) -> Result<Done, CouldNot> {
    // A trial never takes the place of the real estimate.
    let ending = if trial.changes_prices() { "estimate-trial" } else { "estimate" };
    let out = out.map_or_else(|| job::beside(path, ending), Path::to_path_buf);
    let (job, mut estimate) = job::estimated(path, Some(&out), trial, &options.limits(), screen)?;
    screen.step("weighing doubts");
    weigh(&job, &mut estimate);
    screen.step("writing");
    let kept = report::write(&job, &estimate, &out).map_err(why)?;
    let done = finish(&[&*estimate.told, &kept].concat(), options, screen).unless(estimate.is_complete());
    screen.say_all(summary(&job, &estimate, screen));
    if let Some(why) = estimate.incomplete(&job).filter(|_| screen.is_quiet() && !options.json) {
        screen.aside(&why);
    }
    let elsewhere = format!("see the sheet Notices of {}", report::FILES[0]);
    screen.say_all(weightiest_lines(&estimate.told, &elsewhere, screen));
    screen.written(&out.join(report::FILES[0]));
    Ok(done)
}

/// A few lines: what each system costs in material, what is not in it, what was left out.
fn summary(job: &Job, estimate: &Estimate, screen: &Screen) -> Vec<String> {
    let words = Wording { job, estimate };
    let mut lines = Vec::new();
    let name = if job.settings.name.is_empty() { "the job" } else { &*job.settings.name };
    lines.push(screen.paint_result(Paint::Bold, &cut(name, WIDTH)));
    lines.extend(job::tried(&job.prices.tried, screen));
    if job.runs.is_empty() {
        lines.push("  the run list has no rows yet: nothing is counted".to_owned());
        lines.extend(incomplete(job, estimate, screen));
        return lines;
    }
    lines.extend(figures(job, estimate, &words));
    if estimate.alternatives.len() > 1 {
        lines.extend(wrapped("  ", &estimate.comparison.sentence));
    }
    if let Some(chosen) = estimate.alternatives.first() {
        let not_whole = if estimate.is_complete() { "" } else { "  (incomplete)" };
        let bid = in_currency(&job.settings.currency, chosen.cost.bid.total);
        lines.push(format!("  bid in {}: {bid}{not_whole}", words.alternative(0)));
        lines.extend(allowances::all_come_to(&words).iter().flat_map(|words| wrapped("  ", words)));
    }
    lines.extend(incomplete(job, estimate, screen));
    for left in estimate.left_out.iter().take(10) {
        lines.extend(wrapped("  left out: ", &format!("{}, {}", words.run_name(left.run), left.why)));
    }
    if estimate.left_out.len() > 10 {
        lines.push(format!("  left out: {} more", estimate.left_out.len() - 10));
    }
    lines
}

/// That the sums do not hold everything, and why.
fn incomplete(job: &Job, estimate: &Estimate, screen: &Screen) -> Vec<String> {
    let Some(why) = estimate.incomplete(job) else { return Vec::new() };
    wrapped("  ", &why).iter().map(|line| screen.paint_result(Paint::Red, line)).collect()
}

/// A column a system: what it costs and what there is to make; doubts only where there are some.
fn figures(job: &Job, estimate: &Estimate, words: &Wording<'_>) -> Vec<String> {
    let alternatives = &estimate.alternatives;
    let heads: Vec<String> =
        (0..alternatives.len()).map(|index| words.alternative(index).to_owned()).collect();
    let row = |head: String, cells: Vec<String>| Figures { head: format!("  {head}"), cells };
    let of = |cell: fn(&Alternative) -> String| alternatives.iter().map(cell).collect::<Vec<_>>();
    let mut rows = vec![
        row(format!("material, {}", job.settings.currency), of(|a| cents(a.cost.material))),
        row("joints to make".to_owned(), of(|a| joints_to_make(a).to_string())),
        row(
            format!("tube, {}", job.settings.units.abbreviation()),
            estimate.comparison.feet.iter().map(|length| quantity(*length)).collect(),
        ),
    ];
    if alternatives.iter().any(|a| a.takeoff.bends > 0) {
        rows.push(row("turns taken as bends".to_owned(), of(|a| a.takeoff.bends.to_string())));
    }
    if alternatives.iter().any(|a| !a.cost.not_priced.is_empty()) {
        rows.push(row("parts not priced".to_owned(), of(|a| a.cost.not_priced.len().to_string())));
    }
    let installed = &estimate.comparison.installed;
    if installed.iter().any(|of| !of.whole) {
        let word = |of: &Installed| if of.whole { "yes" } else { "incomplete" }.to_owned();
        rows.push(row("complete".to_owned(), installed.iter().map(word).collect()));
    }
    table(&heads, &rows)
}
