//! `revise`: what changed between two jobs, or two price lists for one job, as a change order; or, with a filled
//! workbook, what was really used.

use std::path::Path;

use super::args::Revise;
use super::job::{read, refuse_inside, try_prices};
use super::{CouldNot, Outcome, why};
use crate::estimate::estimate;
use crate::estimate::revision::{self, Named, Revision, Side};
use crate::ground::inert;
use crate::ground::notice::in_order;
use crate::ground::{Date, Notice};
use crate::report;
use crate::table::Limits;
use crate::trade::{Job, kept, used};

mod told;
mod variance;

/// Revises a job.
pub(super) fn revise(asked: &Revise, limits: &Limits) -> Result<Outcome, CouldNot> {
    let filled = asked.used.as_ref().or_else(|| asked.new.as_ref().filter(|path| used::is_filled(path)));
    if let Some(filled) = filled {
        return variance::variance(&asked.old, filled, asked.out.as_deref(), limits);
    }
    for job in std::iter::once(&asked.old).chain(&asked.new) {
        refuse_results(job)?;
    }
    let new_path = asked.new.as_ref().unwrap_or(&asked.old);
    for job in [&asked.old, new_path] {
        refuse_inside(asked.out.as_deref(), job)?;
    }
    if asked.new.is_none() && asked.prices.is_none() && !asked.trial.changes_prices() && asked.on.is_none() {
        return Err(why(
            "there is nothing to compare with; name the job as it is now, or a newer price list with --prices, or try \
             a price with --price-change",
        ));
    }
    let old = read(&asked.old, limits)?;
    let mut new = match &asked.prices {
        Some(list) => Job::read_at_prices_within(new_path, list, limits)?,
        None => read(new_path, limits)?,
    };
    if old.settings.currency != new.settings.currency {
        return Err(why(format!(
            "one job is in {} and the other in {}; sums of two currencies are not compared",
            old.settings.currency, new.settings.currency
        )));
    }
    judge_on(&mut new, asked)?;
    let estimate_old = estimate(&old);
    let old_side = Side { job: &old, estimate: &estimate_old };
    try_prices(&mut new, &asked.trial, Some((old_side, asked.new.is_none())))?;
    let estimate_new = estimate(&new);
    let new_side = Side { job: &new, estimate: &estimate_new };
    let revised = revised(old_side, new_side, asked.new.is_none());
    let mut notices = notices(asked, old_side, estimate_new.told.clone());
    let whole = revised.old.complete && revised.new.complete;
    let mut told = told::told(&revised, asked.out.is_none());
    if let Some(out) = &asked.out {
        let kept = report::write_revision(&revised, [old_side, new_side], &notices, out).map_err(why)?;
        notices.extend(kept);
        told.say("papers to hand over: ", inert::path(&out.join(report::PAPERS)));
        told.say("written: ", inert::path(&out.join(report::REVISION_FILES[0])));
        told.value("papers", inert::path(&out.join(report::PAPERS)));
        told.value("written", report::REVISION_FILES.map(|name| inert::path(&out.join(name))).to_vec());
    }
    Ok(Outcome { notices, told, whole })
}

/// An item by its name, and the system it is for in brackets.
fn called(named: &Named) -> String {
    if named.system.is_empty() { named.called() } else { format!("{} ({})", named.called(), named.system) }
}

/// What an estimate wrote holds its results, not the runs and prices that a revision counts again; but its folder keeps
/// these, unless it is a trial.
fn refuse_results(job: &Path) -> Result<(), CouldNot> {
    let says = |path: &Path| path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("json"));
    let result = match job.is_dir() {
        true => {
            let has = |name: &str| job.join(name).exists();
            has("estimate.json") && !has("runs.csv") && !kept::is_estimate(job)
        }
        false => says(job) || job.file_name().is_some_and(|name| name == "estimate.xlsx"),
    };
    if !result {
        return Ok(());
    }
    Err(why(format!(
        "{} holds the results of an estimate; revise counts jobs again: name the folder of the estimate, which keeps the \
         tables that it was made from (a trial keeps none), or the folder or workbook with the run list",
        inert::path(job)
    )))
}

/// The revision. The same runs need no estimate at the old prices: it is the old one.
fn revised(old: Side<'_>, new: Side<'_>, same_runs: bool) -> Revision {
    if same_runs {
        return revision::revise(old, old, new);
    }
    let between = new.job.at_prices_of(old.job);
    let estimate_between = estimate(&between);
    revision::revise(old, Side { job: &between, estimate: &estimate_between }, new)
}

/// The day that new prices are judged on: the one asked for; or, of a newer list, the first day all of it is good.
fn judge_on(job: &mut Job, asked: &Revise) -> Result<(), CouldNot> {
    if let Some(day) = &asked.on {
        let day = Date::read(day);
        let wrong = || why("--on takes a day as 2026-03-01");
        job.settings.date = Some(day.ok_or_else(wrong)?);
    } else if asked.prices.is_some()
        && let Some(day) = job.settings.date
        && let Some(first) = job.prices.offers.iter().filter_map(|offer| offer.good_from).max()
    {
        job.settings.date = Some(day.max(first));
    }
    Ok(())
}

/// The notices of the new job, and of the old one the errors and that its tables were changed, each with the job it speaks of.
fn notices(asked: &Revise, old: Side<'_>, mut notices: Vec<Notice>) -> Vec<Notice> {
    if asked.new.is_some() {
        let of_old = |notice: &&Notice| notice.is_error() || notice.kind == "edited-inputs";
        notices.extend(old.estimate.told.iter().filter(of_old).cloned());
        // Files of two jobs have the same names: each is named with its job.
        notices.iter_mut().for_each(Notice::show_paths);
    }
    in_order(notices)
}
