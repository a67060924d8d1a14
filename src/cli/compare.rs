//! `compare`: the systems of a job side by side, on the terminal or as comparison.csv.

use std::path::{Path, PathBuf};

use rust_decimal::Decimal;

use super::args::{Options, Trial};
use super::narrow::{Figures, table, wrapped};
use super::screen::Screen;
use super::{CouldNot, Done, finish, job, why};
use crate::doubts::weigh;
use crate::estimate::Estimate;
use crate::estimate::alternative::Alternative;
use crate::estimate::installed::Installed;
use crate::estimate::order::CostLine;
use crate::ground::money::{cents, points, quantity, signed};
use crate::report;
use crate::report::facts::Wording;
use crate::trade::Job;

/// What stands for a difference that is none between whole sums.
const NOT_WHOLE: &str = "not whole";

/// Compares the systems of a job, or several jobs.
pub(super) fn compare(
    jobs: &[PathBuf],
    all_systems: bool,
    out: Option<&Path>,
    trial: &Trial,
    options: &Options,
    screen: &mut Screen,
) -> Result<Done, CouldNot> {
    let [path] = jobs else {
        return super::layouts::layouts(jobs, out, all_systems, trial, options, screen);
    };
    let (job, mut estimate) = job::estimated(path, out, trial, &options.limits(), screen)?;
    weigh(&job, &mut estimate);
    let kept = out.map(|out| report::write_comparison(&job, &estimate, out)).transpose().map_err(why)?;
    let told = [&*estimate.told, &kept.unwrap_or_default()].concat();
    let done = finish(&told, options, screen).unless(estimate.is_complete());
    match out {
        Some(out) => screen.written(&out.join("comparison.csv")),
        None => {
            screen.results(job::tried(&job.prices.tried, screen));
            screen.results(comparison(&job, &estimate));
            screen.results(estimate.incomplete(&job).iter().flat_map(|why| wrapped("", why)));
        }
    }
    Ok(done)
}

/// What each costs installed: tools, labor, tax, the total against the chosen one, hours and days.
fn installed(job: &Job, estimate: &Estimate) -> Vec<Figures> {
    let words = Wording { job, estimate };
    let compared = &estimate.comparison;
    let of = |head: &str, cell: &dyn Fn(&Installed) -> String| Figures {
        head: head.to_owned(),
        cells: compared.installed.iter().map(cell).collect(),
    };
    let mut rows = Vec::new();
    if job.tools.is_none() && job.labor.is_none() {
        return rows;
    }
    if job.tools.is_some() {
        rows.push(of("tools", &|of| cents(of.tools)));
    }
    if words.priced_labor() {
        rows.push(of("labor", &|of| cents(of.labor)));
    }
    rows.push(of("sales tax on these", &|of| cents(of.tax)));
    rows.push(of("installed", &|of| cents(of.total)));
    if let [_, others @ ..] = &compared.installed_differences[..]
        && !others.is_empty()
    {
        let whole =
            |at: usize, cell: String| if compared.may_differ(at) { cell } else { NOT_WHOLE.to_owned() };
        let sums = (1..).zip(others).map(|(at, of)| whole(at, signed(of.0, cents)));
        let share = |of: &(Decimal, Option<Decimal>)| of.1.map_or(String::new(), |p| signed(p, points));
        let shares = (1..).zip(others).map(|(at, of)| whole(at, share(of)));
        let behind = |cells: Vec<String>| [vec![String::new()], cells].concat();
        rows.push(Figures { head: "difference".to_owned(), cells: behind(sums.collect()) });
        rows.push(Figures { head: words.percent_of(), cells: behind(shares.collect()) });
    }
    if job.labor.is_some() {
        let known = |value: Option<Decimal>| value.map_or("not known".to_owned(), cents);
        rows.push(of("hours of one person", &|of| known(of.hours)));
        rows.push(of("days of the crew", &|of| known(of.days)));
    }
    rows
}

/// A line a cost line, a column an alternative; then what one side has and another has not.
fn comparison(job: &Job, estimate: &Estimate) -> Vec<String> {
    let words = Wording { job, estimate };
    let (alternatives, compared) = (&estimate.alternatives, &estimate.comparison);
    let of = |cell: &dyn Fn(&Alternative) -> String| alternatives.iter().map(cell).collect::<Vec<_>>();
    let row = |head: &str, cells: Vec<String>| Figures { head: head.to_owned(), cells };
    let mut rows = Vec::new();
    for (index, line) in CostLine::ALL.iter().enumerate() {
        rows.push(row(line.word(), of(&|a| cents(a.cost.lines[index]))));
    }
    rows.push(row("total material", of(&|a| cents(a.cost.material))));
    // The chosen system is what the others are measured by: it has no difference.
    let others = |cell: &dyn Fn(usize) -> String| {
        let cell = |at: usize| match (at, compared.may_differ(at)) {
            (0, _) => String::new(),
            (_, true) => cell(at),
            (_, false) => NOT_WHOLE.to_owned(),
        };
        (0..alternatives.len()).map(cell).collect::<Vec<_>>()
    };
    let difference = |at: usize| compared.differences.get(at).copied().unwrap_or_default();
    if alternatives.len() > 1 {
        rows.push(row("difference", others(&|at| signed(difference(at).0, cents))));
        let percent = |at: usize| difference(at).1.map_or(String::new(), |p| signed(p, points));
        rows.push(row(&words.percent_of(), others(&percent)));
    }
    rows.extend(installed(job, estimate));
    rows.push(row("joints to make", compared.installed.iter().map(|of| of.joints.to_string()).collect()));
    let unit = job.settings.units.abbreviation();
    rows.push(row(&format!("tube, {unit}"), compared.feet.iter().map(|length| quantity(*length)).collect()));
    rows.push(row("parts not priced", of(&|a| a.cost.not_priced.len().to_string())));
    if compared.installed.iter().any(|of| !of.whole) {
        let word = |of: &Installed| if of.whole { "yes" } else { "incomplete" }.to_owned();
        rows.push(row("complete", compared.installed.iter().map(word).collect()));
    }
    let heads: Vec<String> =
        (0..alternatives.len()).map(|index| words.alternative(index).to_owned()).collect();
    let mut lines = wrapped("", &compared.sentence);
    lines.push(String::new());
    lines.extend(table(&heads, &rows));
    if !compared.one_sided.is_empty() {
        lines.extend([String::new(), "what one system has and another has not:".to_owned()]);
    }
    for one in &compared.one_sided {
        let need = quantity(one.need);
        let (system, item) = (words.alternative(one.alternative), words.item_name(one.item));
        lines.push(format!("  {system:16} {need:>8}  {item}"));
    }
    lines
}
