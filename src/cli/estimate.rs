//! `estimate`: the main job. Takes off, cuts, buys, costs, writes everything, and says the sum in a few lines.

use std::path::Path;

use super::args::Trial;
use super::notices::weightiest_of;
use super::told::{Cell, Paint, Table, Told, Words};
use super::{CouldNot, Outcome, job, why};
use crate::doubts::weigh;
use crate::estimate::Estimate;
use crate::estimate::alternative::Alternative;
use crate::estimate::installed::joints_to_make;
use crate::ground::inert;
use crate::ground::money::in_currency;
use crate::report;
use crate::report::facts::cuts::measured;
use crate::report::facts::{Wording, allowances};
use crate::table::Limits;
use crate::trade::Job;

/// The most runs that are named as left out; the workbook names all.
const NAMED: usize = 10;

/// Estimates a job into a folder.
pub(super) fn estimate(
    path: &Path,
    out: Option<&Path>,
    trial: &Trial,
    limits: &Limits,
) -> Result<Outcome, CouldNot> {
    // A trial never takes the place of the real estimate.
    let ending = if trial.changes_prices() { "estimate-trial" } else { "estimate" };
    let out = out.map_or_else(|| job::beside(path, ending), Path::to_path_buf);
    let (job, mut estimate) = job::estimated(path, Some(&out), trial, limits)?;
    weigh(&job, &mut estimate);
    let kept = report::write(&job, &estimate, &out).map_err(why)?;
    let mut told = Told::default();
    summary(&job, &estimate, &mut told);
    let elsewhere = format!("see the sheet Notices of {}", report::FILES[0]);
    weightiest_of(&estimate.told, &elsewhere, &mut told);
    told.say("papers to hand over: ", inert::path(&out.join(report::PAPERS)));
    told.say("written: ", inert::path(&out.join(report::FILES[0])));
    told.value("papers", inert::path(&out.join(report::PAPERS)));
    told.value("written", report::FILES.map(|name| inert::path(&out.join(name))).to_vec());
    let whole = estimate.is_complete();
    Ok(Outcome { notices: [estimate.told, kept].concat(), told, whole })
}

/// A few lines: what each system costs in material, what is not in it, what was left out.
fn summary(job: &Job, estimate: &Estimate, told: &mut Told) {
    let words = Wording { job, estimate };
    let name = if job.settings.name.is_empty() { "the job" } else { &*job.settings.name };
    told.words("job", Words::new("", name).painted(Paint::Bold));
    told.value("currency", &*job.settings.currency);
    told.value("unit", job.settings.units.abbreviation());
    job::tried(&job.prices.tried, told);
    if job.runs.is_empty() {
        told.say("  ", "the run list has no rows yet: nothing is counted");
        return job::incomplete(job, estimate, "  ", told);
    }
    told.table("systems", figures(job, estimate, &words));
    if estimate.alternatives.len() > 1 {
        told.words("comparison", Words::new("  ", &*estimate.comparison.sentence));
    }
    if let Some(chosen) = estimate.alternatives.first() {
        let not_whole = if estimate.is_complete() { "" } else { "  (incomplete)" };
        let bid = in_currency(&job.settings.currency, chosen.cost.bid.total);
        told.say("  ", format!("bid in {}: {bid}{not_whole}", words.alternative(0)));
        if let Some(words) = allowances::all_come_to(&words) {
            told.words("allowances", Words::new("  ", words));
        }
        if let Some(measured) = measured([chosen]) {
            told.words("cut_plan", Words::new("  cut plan, ", measured));
        }
    }
    job::incomplete(job, estimate, "  ", told);
    let left = |left: &crate::estimate::LeftOut| format!("{}, {}", words.run_name(left.run), left.why);
    for one in estimate.left_out.iter().take(NAMED) {
        told.say("  left out: ", left(one));
    }
    if let Some(more) = estimate.left_out.len().checked_sub(NAMED).filter(|more| *more > 0) {
        told.say("  left out: ", format!("{more} more"));
    }
    told.value("left_out", estimate.left_out.iter().map(left).collect::<Vec<_>>());
}

/// A column a system: what it costs and what there is to make; doubts only where there are some.
fn figures(job: &Job, estimate: &Estimate, words: &Wording<'_>) -> Table {
    let alternatives = &estimate.alternatives;
    let of = |cell: fn(&Alternative) -> Cell| alternatives.iter().map(cell);
    // What is told only where there is something to tell is always there for programs.
    let some = |is: bool, head: &'static str| if is { head } else { "" };
    let mut table =
        Table::across("system", (0..alternatives.len()).map(|index| words.alternative(index).to_owned()));
    let material = format!("material, {}", job.settings.currency);
    table.row("material", &material, of(|a| Cell::cents(a.cost.material)));
    table.row("joints", "joints to make", of(|a| Cell::count(joints_to_make(a))));
    let feet = estimate.comparison.feet.iter().map(|length| Cell::quantity(*length));
    table.row("tube", &format!("tube, {}", job.settings.units.abbreviation()), feet);
    let bends = alternatives.iter().any(|a| a.takeoff.bends > 0);
    table.row("bends", some(bends, "turns taken as bends"), of(|a| Cell::count(a.takeoff.bends)));
    let unpriced = alternatives.iter().any(|a| !a.cost.not_priced.is_empty());
    let count = of(|a| Cell::count(a.cost.not_priced.len() as u64));
    table.row("not_priced", some(unpriced, "parts not priced"), count);
    let installed = &estimate.comparison.installed;
    let not_whole = installed.iter().any(|of| !of.whole);
    let whole = installed.iter().map(|of| Cell::yes_or(of.whole, "incomplete"));
    table.row("complete", some(not_whole, "complete"), whole);
    table.row("installed", "", installed.iter().map(|of| Cell::cents(of.total)));
    table.row("bid", "", of(|a| Cell::cents(a.cost.bid.total)));
    table
}
