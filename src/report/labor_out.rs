//! Labor and tools in `labor.csv` and `estimate.json`. Called by the writers of those files; it touches no disk.

use serde::Serialize;

use super::csv_table::{Cell, Table};
use super::wording::Wording;
use super::{INCOMPLETE, marks};
use crate::estimate::alternative::Alternative;
use crate::estimate::labor::{Labor, LaborLine};
use crate::ground::money::{cents, points, price, quantity};
use crate::trade::WorkPer;

/// `labor.csv`: every alternative, line by line; headings alone where the job has no table of labor.
pub(super) fn csv(words: &Wording<'_>) -> String {
    let mut table = Table::new(&[
        "alternative",
        "phase",
        "area",
        "counted by",
        "per",
        "work",
        "unit",
        "quantity",
        "hours each",
        "for",
        "difficulty %",
        "hours",
        "status",
        "hours are in",
        "estimate",
    ]);
    let marks = marks(words);
    for (index, alternative) in words.estimate.alternatives.iter().enumerate() {
        for line in &alternative.labor.lines {
            let row = row_of(words, line);
            table.row([
                Cell::text(words.alternative(index)),
                Cell::text(line.phase.word()),
                Cell::text(words.word(line.area)),
                Cell::text(if line.by_plan { "cut plan" } else { "takeoff" }),
                Cell::text(line.per.word()),
                Cell::text(&words.task(&line.task)),
                Cell::text(unit(words, line.per)),
                Cell::quantity(line.quantity),
                Cell::maybe(row, |row| Cell::quantity(row.hours)),
                Cell::maybe(row, |row| Cell::quantity(row.for_so_many)),
                Cell::points(line.difficulty),
                Cell::maybe(line.hours, Cell::cents),
                Cell::text(if line.hours.is_some() { "counted" } else { "no hours" }),
                Cell::maybe(row, |row| Cell::text(&words.spot(row.row))),
                Cell::text(marks.get(index).copied().unwrap_or(INCOMPLETE)),
            ]);
        }
    }
    table.text()
}

fn row_of<'a>(words: &Wording<'a>, line: &LaborLine) -> Option<&'a crate::trade::LaborRow> {
    words.job.labor.as_ref()?.get(line.rule?)
}

fn unit(words: &Wording<'_>, per: WorkPer) -> &'static str {
    match per {
        WorkPer::Length => words.length_unit().abbreviation(),
        WorkPer::Joint
        | WorkPer::Thread
        | WorkPer::Part
        | WorkPer::Support
        | WorkPer::Run
        | WorkPer::Place => "each",
    }
}

/// The labor of one alternative.
#[derive(Serialize)]
pub(super) struct LaborOut<'a> {
    hours: String,
    all_hours_known: bool,
    crew: String,
    crew_hours: String,
    crew_days: String,
    rate: Option<String>,
    cost: Option<String>,
    by_phase_and_area: Vec<SpreadOut<'a>>,
    lines: Vec<LineOut<'a>>,
}

#[derive(Serialize)]
struct SpreadOut<'a> {
    phase: &'static str,
    area: &'a str,
    hours: String,
}

#[derive(Serialize)]
struct LineOut<'a> {
    phase: &'static str,
    area: &'a str,
    by_cut_plan: bool,
    per: &'static str,
    work: String,
    quantity: String,
    unit: &'static str,
    hours_each: Option<String>,
    #[serde(rename = "for")]
    for_so_many: Option<String>,
    difficulty_percent: String,
    hours: Option<String>,
    row: Option<String>,
}

/// The tools of one alternative.
#[derive(Serialize)]
pub(super) struct ToolsOut<'a> {
    cost: String,
    all_priced: bool,
    lines: Vec<ToolOut<'a>>,
}

#[derive(Serialize)]
struct ToolOut<'a> {
    tool: &'a str,
    system: &'a str,
    run: &'a str,
    how: &'static str,
    price: String,
    jobs: String,
    times: Option<String>,
    cost: Option<String>,
    row: String,
}

/// The labor of an alternative; nothing where the job has no table of it.
pub(super) fn labor<'a>(words: &Wording<'a>, of: &'a Alternative) -> Option<LaborOut<'a>> {
    let labor: &Labor = &of.labor;
    labor.stated.then(|| LaborOut {
        hours: cents(labor.hours),
        all_hours_known: labor.has_all_hours(),
        crew: quantity(labor.heads),
        crew_hours: cents(labor.crew_hours),
        crew_days: cents(labor.days),
        rate: labor.rate.map(price),
        cost: labor.rate.map(|_| cents(labor.cost)),
        by_phase_and_area: labor
            .spread
            .iter()
            .map(|of| SpreadOut { phase: of.phase.word(), area: words.word(of.area), hours: cents(of.hours) })
            .collect(),
        lines: labor.lines.iter().map(|line| line_out(words, line)).collect(),
    })
}

fn line_out<'a>(words: &Wording<'a>, line: &LaborLine) -> LineOut<'a> {
    let row = row_of(words, line);
    LineOut {
        phase: line.phase.word(),
        area: words.word(line.area),
        by_cut_plan: line.by_plan,
        per: line.per.word(),
        work: words.task(&line.task),
        quantity: quantity(line.quantity),
        unit: unit(words, line.per),
        hours_each: row.map(|row| quantity(row.hours)),
        for_so_many: row.map(|row| quantity(row.for_so_many)),
        difficulty_percent: points(line.difficulty),
        hours: line.hours.map(cents),
        row: row.map(|row| words.spot(row.row)),
    }
}

/// The tools of an alternative; nothing where the job has no table of them.
pub(super) fn tools<'a>(words: &Wording<'a>, of: &'a Alternative) -> Option<ToolsOut<'a>> {
    let table = words.job.tools.as_ref()?;
    let lines = of.tools.lines.iter().filter_map(|line| Some((line, table.get(line.tool)?)));
    Some(ToolsOut {
        cost: cents(of.tools.cost),
        all_priced: of.tools.is_whole(),
        lines: lines
            .map(|(line, row)| ToolOut {
                tool: &row.tool,
                system: words.system(line.system),
                run: words.run_name(line.run),
                how: row.had.word(),
                price: price(row.price),
                jobs: quantity(row.jobs),
                times: line.times.map(quantity),
                cost: line.cost.map(cents),
                row: words.spot(row.row),
            })
            .collect(),
    })
}

/// What an alternative costs installed, against the chosen one.
#[derive(Serialize)]
pub(super) struct InstalledOut {
    material: String,
    tools: Option<String>,
    labor: Option<String>,
    tax: String,
    total: String,
    difference: Option<String>,
    difference_percent: Option<String>,
    joints_to_make: i64,
    hours: Option<String>,
    crew_days: Option<String>,
    whole: bool,
}

/// What the alternative of an index costs installed.
pub(super) fn installed(words: &Wording<'_>, index: usize) -> Option<InstalledOut> {
    let compared = &words.estimate.comparison;
    let of = compared.installed.get(index)?;
    let difference = compared.installed_differences.get(index);
    Some(InstalledOut {
        material: cents(of.material),
        tools: words.job.tools.as_ref().map(|_| cents(of.tools)),
        labor: words.priced_labor().then(|| cents(of.labor)),
        tax: cents(of.tax),
        total: cents(of.total),
        difference: difference.map(|d| cents(d.0)),
        difference_percent: difference.and_then(|d| d.1).map(points),
        joints_to_make: of.joints,
        hours: of.hours.map(cents),
        crew_days: of.days.map(cents),
        whole: of.whole,
    })
}
