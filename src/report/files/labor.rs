//! `labor.csv` and the labor, tools and installed sums of `estimate.json`: every alternative, line by line. It adds
//! nothing up.

use crate::estimate::alternative::Alternative;
use crate::estimate::installed::Installed;
use crate::estimate::labor::{Labor, LaborLine, Spread};
use crate::estimate::tooling::ToolLine;
use crate::report::facts::Wording;
use crate::report::form::{
    CENTS, Column, PERCENT, PRICE, QUANTITY, TEXT, Value, WHOLE, YES_NO, csv, fields, in_both, in_csv,
    in_json, whole,
};
use crate::trade::ToolRow;

/// A line of labor of an alternative.
pub(super) struct Row<'a> {
    alternative: usize,
    line: &'a LaborLine,
}

pub(super) fn columns<'a>() -> [Column<Row<'a>>; 17] {
    [
        in_csv("alternative", "the system that it is an alternative of", |w, row| {
            w.alternative(row.alternative).into()
        }),
        in_both(["phase", "phase"], TEXT, "when it is done", |_, row| row.line.phase.word().into()),
        in_both(["area", "area"], TEXT, "where it is done", |w, row| w.word(row.line.area).into()),
        in_csv("counted by", "takeoff or cut plan", |_, row| {
            if row.line.by_plan { "cut plan" } else { "takeoff" }.into()
        }),
        in_json("by_cut_plan", YES_NO, "whether a cut plan counts it", |_, row| row.line.by_plan.into()),
        in_both(["per", "per"], TEXT, "what the hours are for", |_, row| row.line.per.word().into()),
        in_both(["work", "work"], TEXT, "what is done", |w, row| w.task(&row.line.task).into()),
        in_json("quantity", QUANTITY, "how much of it", |_, row| Value::Quantity(row.line.quantity)),
        in_both(["unit", "unit"], TEXT, "the unit of the quantity", |w, row| {
            w.work_unit(row.line.per).into()
        }),
        in_csv("quantity", "how much of it", |_, row| Value::Quantity(row.line.quantity)),
        in_both(["hours each", "hours_each"], QUANTITY.or_null(), "hours of the table labor", |w, row| {
            w.hours_row(row.line).map(|of| Value::Quantity(of.hours)).into()
        }),
        in_both(["for", "for"], QUANTITY.or_null(), "how many the hours are for", |w, row| {
            w.hours_row(row.line).map(|of| Value::Quantity(of.for_so_many)).into()
        }),
        in_both(["difficulty %", "difficulty_percent"], PERCENT, "what the area adds", |_, row| {
            Value::Percent(row.line.difficulty)
        }),
        in_both(["hours", "hours"], CENTS.or_null(), "hours of one person", |_, row| {
            row.line.hours.map(Value::Cents).into()
        }),
        in_csv("status", "counted, or no hours: no row of the table labor speaks of it", |_, row| {
            if row.line.hours.is_some() { "counted" } else { "no hours" }.into()
        }),
        in_both(["hours are in", "row"], TEXT.or_null(), "the row of the table labor", |w, row| {
            w.hours_row(row.line).map(|of| w.spot(of.row)).into()
        }),
        in_csv("estimate", "complete, or INCOMPLETE", |w, row| w.mark(row.alternative).into()),
    ]
}

fn rows(alternative: usize, of: &Alternative) -> impl Iterator<Item = Row<'_>> {
    of.labor.lines.iter().map(move |line| Row { alternative, line })
}

/// The bytes of the file; headings alone where the job has no table of labor.
pub(super) fn write(words: &Wording<'_>) -> Vec<u8> {
    let all = words.estimate.alternatives.iter().enumerate();
    csv::table(words, &columns(), all.flat_map(|(alternative, of)| rows(alternative, of)))
}

fields! {
    /// The labor of an alternative in `estimate.json`.
    pub(super) fn put / shape (out, words: &Wording<'_>, labor: &Labor, of: &Alternative) with {
        let columns = columns();
    } {
        put "hours": CENTS, "hours of one person, all lines together" => Value::Cents(labor.hours);
        put "all_hours_known": YES_NO, "whether every line has its hours" => labor.has_all_hours();
        put "crew": QUANTITY, "how many work together" => Value::Quantity(labor.heads);
        put "crew_hours": CENTS, "hours of the crew" => Value::Cents(labor.crew_hours);
        put "crew_days": CENTS, "days of the crew" => Value::Cents(labor.days);
        put "rate": PRICE.or_null(), "what an hour of one person costs, with burden; null where no wages are said" =>
            labor.rate.map(Value::Price);
        put "cost": CENTS.or_null(), "what the labor costs" => labor.rate.map(|_| Value::Cents(labor.cost));
        each "by_phase_and_area": spread_shape(), "the hours by phase and area" =>
            &labor.spread, |out, of| put_spread(out, words, of);
        rows "lines": &self::columns(), "the hours line by line" => words, &columns, rows(0, of);
    }

    fn put_spread / spread_shape (out, words: &Wording<'_>, of: &Spread) {
        put "phase": TEXT, "when" => of.phase.word();
        put "area": TEXT, "where" => words.word(of.area);
        put "hours": CENTS, "hours of one person" => Value::Cents(of.hours);
    }

    /// The tools of an alternative.
    pub(super) fn put_tools / tools_shape (out, words: &Wording<'_>, table: &[ToolRow], of: &Alternative) {
        put "cost": CENTS, "what they cost the job" => Value::Cents(of.tools.cost);
        put "all_priced": YES_NO, "whether each has its price" => of.tools.is_whole();
        each "lines": tool_shape(), "the tools" =>
            of.tools.lines.iter().filter_map(|line| Some((line, table.get(line.tool)?))),
            |out, (line, row)| put_tool(out, words, line, row);
    }

    fn put_tool / tool_shape (out, words: &Wording<'_>, line: &ToolLine, row: &ToolRow) {
        put "tool": TEXT, "what it is" => &*row.tool;
        put "system": TEXT, "the system that asks for it" => words.system(line.system);
        put "run": TEXT, "the first run in that system" => words.run_name(line.run);
        put "how": TEXT, "bought, owned or rented" => row.had.word();
        put "price": PRICE, "what it costs; rented: a day or a week" => Value::Price(row.price);
        put "jobs": QUANTITY, "over how many jobs it is shared" => Value::Quantity(row.jobs);
        put "times": QUANTITY.or_null(), "so many times its price" => line.times.map(Value::Quantity);
        put "cost": CENTS.or_null(), "what it costs this job" => line.cost.map(Value::Cents);
        put "row": TEXT, "its row of the table tools" => words.spot(row.row);
    }

    /// What the alternative of an index costs installed, against the chosen one.
    pub(super) fn put_installed / installed_shape (
        out, words: &Wording<'_>, index: usize, of: &Installed
    ) with {
        let difference = words.estimate.comparison.installed_differences.get(index);
    } {
        put "material": CENTS, "its material" => Value::Cents(of.material);
        put "tools": CENTS.or_null(), "its tools; null where the job has no table of them" =>
            words.job.tools.as_ref().map(|_| Value::Cents(of.tools));
        put "labor": CENTS.or_null(), "its labor; null where it has no price" =>
            words.priced_labor().then_some(Value::Cents(of.labor));
        put "tax": CENTS, "the sales tax on these" => Value::Cents(of.tax);
        put "total": CENTS, "all of it" => Value::Cents(of.total);
        put "difference": CENTS.or_null(), "how much more than the first" => difference.map(|d| Value::Cents(d.0));
        put "difference_percent": PERCENT.or_null(), "the same in percent" =>
            difference.and_then(|d| d.1).map(Value::Percent);
        put "joints_to_make": WHOLE, "joints to make" => whole(of.joints);
        put "hours": CENTS.or_null(), "hours of one person" => of.hours.map(Value::Cents);
        put "crew_days": CENTS.or_null(), "days of the crew" => of.days.map(Value::Cents);
        put "whole": YES_NO, "whether everything is counted, priced and has its hours" => of.whole;
    }
}
