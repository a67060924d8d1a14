//! Labor and tools in `labor.csv` and `estimate.json`. Called by the writers of those files; it touches no disk.

use rust_decimal::Decimal;
use serde::Serialize;

use super::csv_out::{Table, text};
use super::wording::{Wording, plain, to_places};
use crate::estimate::labor::{Labor, LaborLine};
use crate::estimate::order::Alternative;
use crate::ground::money::round_half_away;
use crate::trade::WorkPer;

/// `labor.csv`: every alternative, line by line; headings alone where the job has no table of labor.
pub(super) fn csv(words: &Wording<'_>) -> String {
    let mut table = Table::new(&[
        "alternative",
        "phase",
        "area",
        "per",
        "work",
        "unit",
        "quantity",
        "hours each",
        "for",
        "difficulty %",
        "hours",
        "hours are in",
    ]);
    for (index, alternative) in words.estimate.alternatives.iter().enumerate() {
        for line in &alternative.labor.lines {
            let row = row_of(words, line);
            table.row([
                text(words.alternative(index)),
                line.phase.word().to_owned(),
                if line.by_plan { "by the cut plan".to_owned() } else { text(words.word(line.area)) },
                line.per.word().to_owned(),
                text(&words.task(&line.task)),
                unit(words, line.per).to_owned(),
                to_places(line.quantity, 4),
                row.map(|row| plain(row.hours)).unwrap_or_default(),
                row.map(|row| to_places(row.for_so_many, 4)).unwrap_or_default(),
                plain(line.difficulty),
                line.hours.map_or("no hours".to_owned(), |hours| format!("{hours:.2}")),
                row.map(|row| text(&words.spot(row.row))).unwrap_or_default(),
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
    hours: Decimal,
    all_hours_known: bool,
    crew: Decimal,
    crew_hours: Decimal,
    crew_days: Decimal,
    rate: Option<Decimal>,
    cost: Option<Decimal>,
    by_phase_and_area: Vec<SpreadOut<'a>>,
    lines: Vec<LineOut<'a>>,
}

#[derive(Serialize)]
struct SpreadOut<'a> {
    phase: &'static str,
    area: &'a str,
    hours: Decimal,
}

#[derive(Serialize)]
struct LineOut<'a> {
    phase: &'static str,
    area: &'a str,
    by_cut_plan: bool,
    per: &'static str,
    work: String,
    quantity: Decimal,
    unit: &'static str,
    hours_each: Option<Decimal>,
    #[serde(rename = "for")]
    for_so_many: Option<Decimal>,
    difficulty_percent: Decimal,
    hours: Option<Decimal>,
    row: Option<String>,
}

/// The tools of one alternative.
#[derive(Serialize)]
pub(super) struct ToolsOut<'a> {
    cost: Decimal,
    all_priced: bool,
    lines: Vec<ToolOut<'a>>,
}

#[derive(Serialize)]
struct ToolOut<'a> {
    tool: &'a str,
    system: &'a str,
    run: &'a str,
    how: &'static str,
    price: Decimal,
    jobs: Decimal,
    times: Option<Decimal>,
    cost: Option<Decimal>,
    row: String,
}

/// The labor of an alternative; nothing where the job has no table of it.
pub(super) fn labor<'a>(words: &Wording<'a>, of: &'a Alternative) -> Option<LaborOut<'a>> {
    let labor: &Labor = &of.labor;
    labor.stated.then(|| LaborOut {
        hours: labor.hours,
        all_hours_known: labor.has_all_hours(),
        crew: labor.heads.normalize(),
        crew_hours: labor.crew_hours,
        crew_days: labor.days,
        rate: labor.rate,
        cost: labor.rate.map(|_| labor.cost),
        by_phase_and_area: labor
            .spread
            .iter()
            .map(|of| SpreadOut { phase: of.phase.word(), area: words.word(of.area), hours: of.hours })
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
        quantity: round_half_away(line.quantity, 6).normalize(),
        unit: unit(words, line.per),
        hours_each: row.map(|row| row.hours.normalize()),
        for_so_many: row.map(|row| round_half_away(row.for_so_many, 6).normalize()),
        difficulty_percent: line.difficulty.normalize(),
        hours: line.hours,
        row: row.map(|row| words.spot(row.row)),
    }
}

/// The tools of an alternative; nothing where the job has no table of them.
pub(super) fn tools<'a>(words: &Wording<'a>, of: &'a Alternative) -> Option<ToolsOut<'a>> {
    let table = words.job.tools.as_ref()?;
    let lines = of.tools.lines.iter().filter_map(|line| Some((line, table.get(line.tool)?)));
    Some(ToolsOut {
        cost: of.tools.cost,
        all_priced: of.tools.is_whole(),
        lines: lines
            .map(|(line, row)| ToolOut {
                tool: &row.tool,
                system: words.system(line.system),
                run: words.run_name(line.run),
                how: row.had.word(),
                price: row.price,
                jobs: row.jobs.normalize(),
                times: line.times.map(|times| times.normalize()),
                cost: line.cost,
                row: words.spot(row.row),
            })
            .collect(),
    })
}

/// What an alternative costs installed, against the chosen one.
#[derive(Serialize)]
pub(super) struct InstalledOut {
    material: Decimal,
    tools: Option<Decimal>,
    labor: Option<Decimal>,
    tax: Decimal,
    total: Decimal,
    difference: Option<Decimal>,
    difference_percent: Option<Decimal>,
    joints: i64,
    hours: Option<Decimal>,
    crew_days: Option<Decimal>,
    whole: bool,
}

/// What the alternative of an index costs installed.
pub(super) fn installed(words: &Wording<'_>, index: usize) -> Option<InstalledOut> {
    let compared = &words.estimate.comparison;
    let of = compared.installed.get(index)?;
    let difference = compared.installed_differences.get(index);
    Some(InstalledOut {
        material: of.material,
        tools: words.job.tools.as_ref().map(|_| of.tools),
        labor: words.priced_labor().then_some(of.labor),
        tax: of.tax,
        total: of.total,
        difference: difference.map(|d| d.0),
        difference_percent: difference.and_then(|d| d.1),
        joints: of.joints,
        hours: of.hours,
        crew_days: of.days,
        whole: of.whole,
    })
}
