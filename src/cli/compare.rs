//! `compare`: the systems of a job side by side, on the terminal or as comparison.csv.

use std::path::{Path, PathBuf};

use rust_decimal::Decimal;

use super::args::Trial;
use super::told::{Cell, Fact, Lies, Table, Told, Words};
use super::{CouldNot, Outcome, job, why};
use crate::doubts::weigh;
use crate::estimate::Estimate;
use crate::estimate::alternative::Alternative;
use crate::estimate::installed::Installed;
use crate::estimate::order::CostLine;
use crate::ground::inert;
use crate::ground::money::cents;
use crate::report;
use crate::report::facts::Wording;
use crate::table::Limits;
use crate::trade::Job;

/// What stands for a difference that is none between whole sums.
const NOT_WHOLE: &str = "not whole";

/// Compares the systems of a job, or several jobs.
pub(super) fn compare(
    jobs: &[PathBuf],
    all_systems: bool,
    out: Option<&Path>,
    trial: &Trial,
    limits: &Limits,
) -> Result<Outcome, CouldNot> {
    let [path] = jobs else {
        return super::layouts::layouts(jobs, out, all_systems, trial, limits);
    };
    let (job, mut estimate) = job::estimated(path, out, trial, limits)?;
    weigh(&job, &mut estimate);
    let mut told = Told::default();
    let mut kept = Vec::new();
    if let Some(out) = out {
        kept = report::write_comparison(&job, &estimate, out).map_err(why)?;
        told.written([inert::path(&out.join("comparison.csv"))]);
    } else {
        job::tried(&job.prices.tried, &mut told);
        comparison(&job, &estimate, &mut told);
        job::incomplete(&job, &estimate, "", &mut told);
    }
    let whole = estimate.is_complete();
    Ok(Outcome { notices: [estimate.told, kept].concat(), told, whole })
}

/// Cells of differences from the chosen system, which has none itself; between sums that are not whole there is none.
fn differences<T>(estimate: &Estimate, differences: &[T], cell: impl Fn(&T) -> Cell) -> Vec<Cell> {
    let of = |(at, one)| match (at, estimate.comparison.may_differ(at)) {
        (0, _) => Cell::nothing(),
        (_, true) => cell(one),
        (_, false) => Cell::instead(NOT_WHOLE),
    };
    differences.iter().enumerate().map(of).collect()
}

/// The rows of a difference: the sum and what it is in percent.
fn difference(
    table: &mut Table,
    words: &Wording<'_>,
    keys: [&'static str; 2],
    all: &[(Decimal, Option<Decimal>)],
) {
    let sums = differences(words.estimate, all, |of| Cell::more(of.0, cents));
    table.row(keys[0], "difference", sums);
    let shares = differences(words.estimate, all, |of| Cell::more_points(of.1));
    table.row(keys[1], &words.percent_of(), shares);
}

/// What each costs installed: tools, labor, tax, the total against the chosen one, hours and days.
fn installed(words: &Wording<'_>, table: &mut Table) {
    let (job, compared) = (words.job, &words.estimate.comparison);
    let of = |cell: fn(&Installed) -> Cell| compared.installed.iter().map(cell);
    if job.tools.is_none() && job.labor.is_none() {
        return;
    }
    if job.tools.is_some() {
        table.row("tools", "tools", of(|of| Cell::cents(of.tools)));
    }
    if words.priced_labor() {
        table.row("labor", "labor", of(|of| Cell::cents(of.labor)));
    }
    table.row("tax", "sales tax on these", of(|of| Cell::cents(of.tax)));
    table.row("installed", "installed", of(|of| Cell::cents(of.total)));
    if compared.installed_differences.len() > 1 {
        let keys = ["installed_difference", "installed_percent"];
        difference(table, words, keys, &compared.installed_differences);
    }
    if job.labor.is_some() {
        let known = |value: Option<Decimal>| value.map_or_else(|| Cell::instead("not known"), Cell::cents);
        table.row("hours", "hours of one person", compared.installed.iter().map(|of| known(of.hours)));
        table.row("days", "days of the crew", compared.installed.iter().map(|of| known(of.days)));
    }
}

/// A line a cost line, a column an alternative; then what one side has and another has not.
fn comparison(job: &Job, estimate: &Estimate, told: &mut Told) {
    let words = Wording { job, estimate };
    let (alternatives, compared) = (&estimate.alternatives, &estimate.comparison);
    let of = |cell: &dyn Fn(&Alternative) -> Cell| alternatives.iter().map(cell).collect::<Vec<_>>();
    let mut table =
        Table::across("system", (0..alternatives.len()).map(|index| words.alternative(index).to_owned()));
    for (index, line) in CostLine::ALL.iter().enumerate() {
        table.row(line.word(), line.word(), of(&|a| Cell::cents(a.cost.lines[index])));
    }
    table.row("material", "total material", of(&|a| Cell::cents(a.cost.material)));
    if alternatives.len() > 1 {
        difference(&mut table, &words, ["difference", "percent"], &compared.differences);
    }
    installed(&words, &mut table);
    table.row("joints", "joints to make", compared.installed.iter().map(|of| Cell::count(of.joints)));
    let unit = job.settings.units.abbreviation();
    let feet = compared.feet.iter().map(|length| Cell::quantity(*length));
    table.row("tube_length", &format!("tube, {unit}"), feet);
    let not_priced = of(&|a| Cell::count(a.cost.not_priced.len() as u64));
    table.row("not_priced", "parts not priced", not_priced);
    let some = compared.installed.iter().any(|of| !of.whole);
    let whole = compared.installed.iter().map(|of| Cell::yes_or(of.whole, "incomplete"));
    table.row("complete", if some { "complete" } else { "" }, whole);
    told.words("sentence", Words::new("", &*compared.sentence));
    told.value("currency", &*job.settings.currency);
    told.value("unit", unit);
    told.gap();
    told.table("systems", table);
    if !compared.one_sided.is_empty() {
        told.gap();
        told.say("", "what one system has and another has not:");
    }
    let one_sided = compared.one_sided.iter().map(|one| {
        let (system, item) = (words.alternative(one.alternative), words.item_name(one.item));
        vec![Cell::text(system), Cell::quantity(one.need), Cell::text(item)]
    });
    let facts = [("system", "system"), ("need", "need"), ("part", "part")];
    let facts = facts.map(|(key, head)| Fact::new(key, head)).into();
    let lies = Lies::Down { headed: false, most: None };
    told.table("one_sided", Table { facts, things: one_sided.collect(), lies });
}
