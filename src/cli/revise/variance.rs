//! `revise` with a filled workbook: what was used against what was needed and bought, by part and by class, and the
//! allowance that would have covered it.

use std::path::Path;

use rust_decimal::Decimal;

use crate::cli::args::{Options, Trial};
use crate::cli::narrow::{WIDTH, called, cut, wrapped};
use crate::cli::screen::{Paint, Screen};
use crate::cli::{CouldNot, Done, finish, job, why};
use crate::estimate::revision::Side;
use crate::estimate::revision::variance::{LineVariance, Variance, variance as hold_against};
use crate::ground::money;
use crate::report;
use crate::trade::used;

/// Holds a filled workbook against the estimate of its job.
pub(super) fn variance(
    path: &Path,
    filled: &Path,
    out: Option<&Path>,
    options: &Options,
    screen: &mut Screen,
) -> Result<Done, CouldNot> {
    let (job, estimate) = job::estimated(path, out, &Trial::default(), &options.limits(), screen)?;
    let read = used::read(filled, &job)?;
    let variance = hold_against(Side { job: &job, estimate: &estimate }, &read);
    // What is wrong in the workbook is what this command is about; of the job the errors alone.
    let errors = estimate.told.iter().filter(|notice| notice.is_error());
    let mut notices: Vec<_> = variance.notices.iter().chain(errors).cloned().collect();
    let kept = out.map(|out| report::write_variance(&variance, out)).transpose().map_err(why)?;
    notices.extend(kept.unwrap_or_default());
    let done = finish(&notices, options, screen);
    screen.results(told(&variance, screen));
    if let Some(out) = out {
        screen.written(&out.join("variance.csv"));
    }
    Ok(done)
}

fn told(variance: &Variance, screen: &Screen) -> Vec<String> {
    let name = if variance.job.is_empty() { "the job" } else { &*variance.job };
    let filled: Vec<&LineVariance> = variance.lines.iter().filter(|line| line.used.is_some()).collect();
    let title = format!("{name}: what was used in {}", variance.system);
    let mut lines = vec![screen.paint_result(Paint::Bold, &cut(&title, WIDTH))];
    if variance.lines.is_empty() {
        lines.push("  nothing is compared".to_owned());
        return lines;
    }
    let (some, all) = (filled.len(), variance.lines.len());
    lines.push(format!("  {some} of {all} lines are filled in; the others have no number"));
    if filled.is_empty() {
        return lines;
    }
    lines.push(format!(
        "{:>9} {:>9} {:>10} {:>8} {:>9} {:>10}  part",
        "used", "need", "against it", "percent", "bought", "against it"
    ));
    for line in filled {
        lines.push(line_told(line));
        if !line.note.is_empty() {
            lines.extend(wrapped(&" ".repeat(64), &line.note));
        }
    }
    lines.push(String::new());
    lines.push(screen.paint_result(Paint::Bold, "by class, over the lines that are filled in"));
    lines.push(format!(
        "  {:14} {:>9} {:>10} {:>10} {:>10} {:>11} {:>12} {:>9}",
        "class", "lines", "used", "need", "bought", "covers all", "covers each", "was"
    ));
    for class in &variance.classes {
        let name = format!("{}, {}", class.class.word(), class.unit);
        let of = format!("{}/{}", class.filled, class.lines);
        let points = |points: Option<Decimal>| {
            points.map_or_else(|| "-".to_owned(), |one| format!("{} %", money::points(one)))
        };
        let was =
            class.allowance.map_or_else(|| "cut plan".to_owned(), |one| format!("{} %", money::points(one)));
        lines.push(format!(
            "  {:14} {of:>9} {:>10} {:>10} {:>10} {:>11} {:>12} {was:>9}",
            cut(&name, 14),
            money::quantity(class.used),
            money::quantity(class.need),
            money::quantity(class.bought),
            points(class.covering),
            points(class.covering_each),
        ));
    }
    let covers =
        "covers: the allowance on the need that reaches what was used; was: the allowance of the job";
    lines.push(format!("  {covers}"));
    lines
}

fn line_told(line: &LineVariance) -> String {
    let signed = |number: Option<Decimal>| {
        number.map_or_else(|| "-".to_owned(), |number| money::signed(number, money::quantity))
    };
    let used = line.used.map_or_else(String::new, money::quantity);
    let name = called(&line.named);
    let unit = if line.named.unit == "each" { String::new() } else { format!(", {}", line.named.unit) };
    let text = format!(
        "{used:>9} {:>9} {:>10} {:>8} {:>9} {:>10}  {name}{unit}",
        money::quantity(line.need),
        signed(line.against_need()),
        signed(line.points()),
        money::quantity(line.bought),
        signed(line.against_bought()),
    );
    cut(&text, WIDTH)
}
