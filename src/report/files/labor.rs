//! `labor.csv` and the labor, tools and installed sums of `estimate.json`: every alternative, line by line. It adds
//! nothing up.

use crate::estimate::alternative::Alternative;
use crate::estimate::labor::LaborLine;
use crate::report::facts::Wording;
use crate::report::form::{Column, Object, Value, csv, in_both, in_csv, in_json, whole};

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
        in_both(["phase", "phase"], "when it is done", |_, row| row.line.phase.word().into()),
        in_both(["area", "area"], "where it is done", |w, row| w.word(row.line.area).into()),
        in_csv("counted by", "takeoff or cut plan", |_, row| {
            if row.line.by_plan { "cut plan" } else { "takeoff" }.into()
        }),
        in_json("by_cut_plan", "whether a cut plan counts it", |_, row| row.line.by_plan.into()),
        in_both(["per", "per"], "what the hours are for", |_, row| row.line.per.word().into()),
        in_both(["work", "work"], "what is done", |w, row| w.task(&row.line.task).into()),
        in_json("quantity", "how much of it", |_, row| Value::Quantity(row.line.quantity)),
        in_both(["unit", "unit"], "the unit of the quantity", |w, row| w.work_unit(row.line.per).into()),
        in_csv("quantity", "how much of it", |_, row| Value::Quantity(row.line.quantity)),
        in_both(["hours each", "hours_each"], "hours of the table labor", |w, row| {
            w.hours_row(row.line).map(|of| Value::Quantity(of.hours)).into()
        }),
        in_both(["for", "for"], "how many the hours are for", |w, row| {
            w.hours_row(row.line).map(|of| Value::Quantity(of.for_so_many)).into()
        }),
        in_both(["difficulty %", "difficulty_percent"], "what the area adds", |_, row| {
            Value::Percent(row.line.difficulty)
        }),
        in_both(["hours", "hours"], "hours of one person", |_, row| row.line.hours.map(Value::Cents).into()),
        in_csv("status", "counted, or no hours: no row of the table labor speaks of it", |_, row| {
            if row.line.hours.is_some() { "counted" } else { "no hours" }.into()
        }),
        in_both(["hours are in", "row"], "the row of the table labor", |w, row| {
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

/// The labor of an alternative in `estimate.json`; nothing where the job has no table of it.
pub(super) fn put(out: &mut Object<'_>, words: &Wording<'_>, of: &Alternative) {
    let labor = Some(&of.labor).filter(|labor| labor.stated);
    out.maybe("labor", labor, |out, labor| {
        out.put("hours", Value::Cents(labor.hours));
        out.put("all_hours_known", labor.has_all_hours());
        out.put("crew", Value::Quantity(labor.heads));
        out.put("crew_hours", Value::Cents(labor.crew_hours));
        out.put("crew_days", Value::Cents(labor.days));
        out.put("rate", labor.rate.map(Value::Price));
        out.put("cost", labor.rate.map(|_| Value::Cents(labor.cost)));
        out.each("by_phase_and_area", &labor.spread, |out, of| {
            out.put("phase", of.phase.word());
            out.put("area", words.word(of.area));
            out.put("hours", Value::Cents(of.hours));
        });
        out.rows("lines", words, &columns(), rows(0, of));
    });
}

/// The tools of an alternative; nothing where the job has no table of them.
pub(super) fn put_tools(out: &mut Object<'_>, words: &Wording<'_>, of: &Alternative) {
    out.maybe("tools", words.job.tools.as_ref(), |out, table| {
        out.put("cost", Value::Cents(of.tools.cost));
        out.put("all_priced", of.tools.is_whole());
        let lines = of.tools.lines.iter().filter_map(|line| Some((line, table.get(line.tool)?)));
        out.each("lines", lines, |out, (line, row)| {
            out.put("tool", &*row.tool);
            out.put("system", words.system(line.system));
            out.put("run", words.run_name(line.run));
            out.put("how", row.had.word());
            out.put("price", Value::Price(row.price));
            out.put("jobs", Value::Quantity(row.jobs));
            out.put("times", line.times.map(Value::Quantity));
            out.put("cost", line.cost.map(Value::Cents));
            out.put("row", words.spot(row.row));
        });
    });
}

/// What the alternative of an index costs installed, against the chosen one.
pub(super) fn put_installed(out: &mut Object<'_>, words: &Wording<'_>, index: usize) {
    let compared = &words.estimate.comparison;
    let difference = compared.installed_differences.get(index);
    out.maybe("installed", compared.installed.get(index), |out, of| {
        out.put("material", Value::Cents(of.material));
        out.put("tools", words.job.tools.as_ref().map(|_| Value::Cents(of.tools)));
        out.put("labor", words.priced_labor().then_some(Value::Cents(of.labor)));
        out.put("tax", Value::Cents(of.tax));
        out.put("total", Value::Cents(of.total));
        out.put("difference", difference.map(|d| Value::Cents(d.0)));
        out.put("difference_percent", difference.and_then(|d| d.1).map(Value::Percent));
        out.put("joints_to_make", whole(of.joints));
        out.put("hours", of.hours.map(Value::Cents));
        out.put("crew_days", of.days.map(Value::Cents));
        out.put("whole", of.whole);
    });
}
