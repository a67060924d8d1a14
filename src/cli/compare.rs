//! `compare`: the systems of a job side by side, on the terminal or as comparison.csv.

use std::path::Path;

use super::args::Options;
use super::screen::{Paint, Screen};
use super::{CouldNot, Done, finish, read};
use crate::estimate::order::CostLine;
use crate::estimate::{Estimate, estimate};
use crate::ground::notice::in_order;
use crate::report;
use crate::report::wording::Wording;
use crate::trade::Job;

/// Compares the systems of a job.
pub(super) fn compare(
    path: &Path,
    out: Option<&Path>,
    options: &Options,
    screen: &mut Screen,
) -> Result<Done, CouldNot> {
    let job = read(path, screen)?;
    screen.step("counting and buying");
    let estimate = estimate(&job);
    let notices = in_order(job.notices.iter().chain(&estimate.notices).cloned().collect());
    let done = finish(&notices, path, options, screen);
    match out {
        Some(out) => {
            report::write_comparison(&job, &estimate, out).map_err(|why| CouldNot::Say(why.to_string()))?;
            screen.say(&format!("written: {}", out.join("comparison.csv").display()));
        }
        None => {
            for line in table(&job, &estimate, screen) {
                screen.result(&line);
            }
        }
    }
    Ok(done)
}

/// A line a cost line, a column an alternative.
fn table(job: &Job, estimate: &Estimate, screen: &Screen) -> Vec<String> {
    let words = Wording { job, estimate };
    let alternatives = &estimate.alternatives;
    let row = |head: &str, cells: Vec<String>| {
        cells.into_iter().fold(format!("{head:22}"), |line, cell| line + &format!("{cell:>18}"))
    };
    let mut lines = vec![estimate.comparison.sentence.clone(), String::new()];
    let systems = (0..alternatives.len()).map(|index| words.alternative(index).to_owned()).collect();
    lines.push(screen.paint(Paint::Bold, &row("", systems)));
    for (index, line) in CostLine::ALL.iter().enumerate() {
        lines.push(row(
            line.word(),
            alternatives.iter().map(|a| format!("{:.2}", a.cost.lines[index])).collect(),
        ));
    }
    let total =
        row("total material", alternatives.iter().map(|a| format!("{:.2}", a.cost.material)).collect());
    lines.push(screen.paint(Paint::Bold, &total));
    let compared = &estimate.comparison;
    lines.push(row("difference", compared.differences.iter().map(|(sum, _)| format!("{sum:+.2}")).collect()));
    let percent = |p: &Option<rust_decimal::Decimal>| p.map_or(String::new(), |p| format!("{p:+.1} %"));
    lines.push(row("", compared.differences.iter().map(|(_, p)| percent(p)).collect()));
    lines.push(row("joints to make", compared.joints.iter().map(ToString::to_string).collect()));
    let unit = job.terms.units.abbreviation();
    lines
        .push(row(&format!("tube, {unit}"), compared.feet.iter().map(|feet| format!("{feet:.1}")).collect()));
    let not_priced = alternatives.iter().map(|a| a.cost.not_priced.len().to_string()).collect();
    lines.push(row("not priced", not_priced));
    if !compared.one_sided.is_empty() {
        lines.push(String::new());
        lines.push("what one side has and another has not:".to_owned());
        for one in &compared.one_sided {
            let need = crate::report::wording::to_places(one.need, 2);
            lines.push(format!(
                "  {:16} {need:>8}  {}",
                words.alternative(one.alternative),
                words.item_name(one.item)
            ));
        }
    }
    lines
}
