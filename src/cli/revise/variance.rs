//! `revise` with a filled workbook: what was used against what was needed and bought, by part and by class, and the
//! allowance that would have covered it.

use std::path::Path;

use rust_decimal::Decimal;

use super::called;
use crate::cli::args::Trial;
use crate::cli::told::{Cell, Fact, Lies, Paint, Table, Told, Words};
use crate::cli::{CouldNot, Outcome, job, why};
use crate::estimate::revision::Side;
use crate::estimate::revision::variance::{LineVariance, Variance, variance as hold_against};
use crate::ground::{inert, money};
use crate::report;
use crate::table::Limits;
use crate::trade::used;

/// Holds a filled workbook against the estimate of its job.
pub(super) fn variance(
    path: &Path,
    filled: &Path,
    out: Option<&Path>,
    limits: &Limits,
) -> Result<Outcome, CouldNot> {
    let (job, estimate) = job::estimated(path, out, &Trial::default(), limits)?;
    let read = used::read(filled, &job)?;
    let variance = hold_against(Side { job: &job, estimate: &estimate }, &read);
    // What is wrong in the workbook is what this command is about; of the job the errors alone.
    let errors = estimate.told.iter().filter(|notice| notice.is_error());
    let mut notices: Vec<_> = variance.notices.iter().chain(errors).cloned().collect();
    let mut told = told(&variance);
    if let Some(out) = out {
        notices.extend(report::write_variance(&variance, out).map_err(why)?);
        told.written([inert::path(&out.join("variance.csv"))]);
    }
    // What is missing in the sums of the job is nothing to this.
    Ok(Outcome { notices, told, whole: true })
}

fn told(variance: &Variance) -> Told {
    let mut told = Told::default();
    let name = if variance.job.is_empty() { "the job" } else { &*variance.job };
    let filled: Vec<&LineVariance> = variance.lines.iter().filter(|line| line.used.is_some()).collect();
    let title = format!("{name}: what was used in {}", variance.system);
    told.words("title", Words::new("", title).painted(Paint::Bold));
    let (some, all) = (filled.len(), variance.lines.len());
    told.value("lines", all);
    told.value("filled", some);
    if variance.lines.is_empty() {
        told.say("  ", "nothing is compared");
        return told;
    }
    told.say("  ", format!("{some} of {all} lines are filled in; the others have no number"));
    if filled.is_empty() {
        return told;
    }
    told.table("used", used_lines(&filled));
    told.gap();
    told.head("by class, over the lines that are filled in");
    told.table("classes", classes(variance));
    let covers =
        "covers: the allowance on the need that reaches what was used; was: the allowance of the job";
    told.say("  ", covers);
    told
}

/// A row a line that is filled in, its note behind it.
fn used_lines(filled: &[&LineVariance]) -> Table {
    let signed = |number: Option<Decimal>| {
        number.map_or_else(|| Cell::instead("-"), |number| Cell::more(number, money::quantity))
    };
    let of = |line: &&LineVariance| {
        let unit = if line.named.unit == "each" { String::new() } else { format!(", {}", line.named.unit) };
        let note = if line.note.is_empty() { String::new() } else { format!(": {}", line.note) };
        let shown = format!("{}{unit}{note}", called(&line.named));
        vec![
            line.used.map_or_else(Cell::nothing, Cell::quantity),
            Cell::quantity(line.need),
            signed(line.against_need()),
            signed(line.points()),
            Cell::quantity(line.bought),
            signed(line.against_bought()),
            Cell::text(line.named.called()),
            Cell::text(&*line.named.system),
            Cell::text(&*line.named.unit),
            Cell::text(&*line.note),
            Cell::text(shown),
        ]
    };
    let facts = [
        ("used", "used"),
        ("need", "need"),
        ("against_need", "against it"),
        ("percent", "percent"),
        ("bought", "bought"),
        ("against_bought", "against it"),
        ("part", ""),
        ("system", ""),
        ("unit", ""),
        ("note", ""),
        ("", "part"),
    ];
    table(&facts, filled.iter().map(of).collect())
}

/// A row a class, and the allowances that would have covered it.
fn classes(variance: &Variance) -> Table {
    let points = |points: Option<Decimal>| {
        points.map_or_else(|| Cell::instead("-"), |one| Cell::text(money::points(one)).with(" %"))
    };
    let rows = variance.classes.iter().map(|class| {
        let was = class.allowance.map_or_else(|| Cell::instead("cut plan"), |one| points(Some(one)));
        vec![
            Cell::text(format!("{}/{}", class.filled, class.lines)),
            Cell::quantity(class.used),
            Cell::quantity(class.need),
            Cell::quantity(class.bought),
            points(class.covering),
            points(class.covering_each),
            was,
            Cell::text(format!("{}, {}", class.class.word(), class.unit)),
        ]
    });
    let facts = [
        ("lines", "lines"),
        ("used", "used"),
        ("need", "need"),
        ("bought", "bought"),
        ("covers_all", "covers all"),
        ("covers_each", "covers each"),
        ("was", "was"),
        ("class", "class"),
    ];
    table(&facts, rows.collect())
}

fn table(facts: &[(&'static str, &str)], things: Vec<Vec<Cell>>) -> Table {
    let facts = facts.iter().map(|(key, head)| Fact::new(key, *head)).collect();
    Table { facts, things, lies: Lies::Down { headed: true, most: None } }
}
