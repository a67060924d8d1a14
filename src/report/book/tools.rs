//! The sheet Tools: the table of tools as read, where a person changes prices, and what each alternative uses of it.

use rust_decimal::Decimal;
use rust_xlsxwriter::{Workbook, XlsxError};

use super::Book;
use super::look::{Kind, Tone};
use super::page::{Page, Paper, column};
use crate::estimate::tooling::{DAYS_A_WEEK, ToolLine};
use crate::trade::{Had, ToolRow};

const TOOL: u16 = 0;
const WHOSE: u16 = 1;
const HOW: u16 = 2;
const PRICE: u16 = 3;
const JOBS: u16 = 4;
const DAYS: u16 = 5;
const COST: u16 = 6;
const NOTE: u16 = 7;
const ACROSS: u16 = 8;
const TOOL_ID: u16 = 9;
const ALTERNATIVE_ID: u16 = 10;

/// Writes the sheet and names its cells.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Result<(), XlsxError> {
    let Some(table) = &book.words.job.tools else { return Ok(()) };
    let mut columns = vec![
        column("tool", 30.0, Kind::Text),
        column("for", 18.0, Kind::Text),
        column("how", 16.0, Kind::Text),
        column("price", 11.0, Kind::Price),
        column("jobs", 8.0, Kind::Percent),
        column("days", 12.0, Kind::Percent),
        column("cost", 11.0, Kind::Money),
        column("note", 36.0, Kind::Text),
    ];
    columns.extend([
        column("", 2.0, Kind::Text),
        column("", 8.0, Kind::Percent),
        column("", 8.0, Kind::Percent),
    ]);
    let about = "Tools and one-offs of the systems that runs are laid in. Shaded cells may be changed here.";
    let mut page = Page::open(out, &book.binding, "Tools", "Tools", about, Paper::Landscape, columns)?;
    page.next();
    page.band("The table tools, as read", ACROSS, &book.look().block)?;
    heads(&mut page, ["tool", "for systems", "how", "price", "jobs", "days", "", "note"])?;
    let first = page.row;
    for row in table {
        as_read(&mut page, book, row)?;
        page.next();
    }
    let end = page.row;
    for (name, column) in [("tool_price", PRICE), ("tool_jobs", JOBS), ("tool_days", DAYS)] {
        book.name(name, "Tools", column, first, end);
    }
    page.next();
    page.band("What each alternative uses", ACROSS, &book.look().block)?;
    heads(&mut page, ["tool", "alternative", "how", "price", "jobs", "times", "cost", "because"])?;
    for (column, key) in [(TOOL_ID, "tool id"), (ALTERNATIVE_ID, "alternative id")] {
        page.sheet.write_string_with_format(page.row - 1, column, key, &book.look().heading_right)?;
    }
    let first = page.row;
    let estimate = book.words.estimate;
    for (index, alternative) in estimate.alternatives.iter().enumerate() {
        for line in &alternative.tools.lines {
            if let Some(row) = table.get(line.tool) {
                used(&mut page, book, index, row, line)?;
                page.next();
            }
        }
    }
    let guard = page.row;
    page.put(TOOL, "insert rows above this line", &book.look().guard)?;
    page.next();
    book.name("tools_cost", "Tools", COST, first, guard);
    book.name("tools_alternative", "Tools", ALTERNATIVE_ID, first, guard);
    for (index, alternative) in estimate.alternatives.iter().enumerate() {
        for column in TOOL..ACROSS {
            page.text(column, "", Tone::Total)?;
        }
        page.text(TOOL, "tools", Tone::Total)?;
        page.text(WHOSE, book.words.alternative(index), Tone::Total)?;
        let formula = format!("=SUMIFS(tools_cost,tools_alternative,{})", index + 1);
        page.formula(COST, &formula, alternative.tools.cost, Tone::Total)?;
        book.name_cell(&format!("tools_cost_{}", index + 1), "Tools", COST, page.row);
        page.next();
    }
    page.sheet.set_print_area(0, 0, page.row, NOTE)?;
    Ok(())
}

fn heads(page: &mut Page<'_>, words: [&str; 8]) -> Result<(), XlsxError> {
    for (column, words) in (0_u16..).zip(words) {
        let left = matches!(column, TOOL | WHOSE | HOW | NOTE);
        let format = if left { &page.look.heading } else { &page.look.heading_right };
        page.put(column, words, format)?;
    }
    page.next();
    Ok(())
}

/// A row of the table.
fn as_read(page: &mut Page<'_>, book: &Book<'_>, row: &ToolRow) -> Result<(), XlsxError> {
    let systems = book.words.list(&row.systems);
    page.text(TOOL, &row.tool, Tone::Plain)?;
    page.text(WHOSE, if systems.is_empty() { "all" } else { &systems }, Tone::Plain)?;
    page.text(HOW, row.had.word(), Tone::Plain)?;
    page.number(PRICE, row.price, if row.had == Had::Owned { Tone::Muted } else { Tone::Input })?;
    page.number(JOBS, row.jobs, Tone::Input)?;
    match (row.had, row.days) {
        (Had::Bought | Had::Owned, _) => page.text(DAYS, "", Tone::Plain)?,
        (Had::RentedByDay | Had::RentedByWeek, Some(days)) => page.number(DAYS, days, Tone::Input)?,
        (Had::RentedByDay | Had::RentedByWeek, None) => page.text(DAYS, "of the crew", Tone::Plain)?,
    }
    page.text(COST, "", Tone::Plain)?;
    page.text(NOTE, &row.note, Tone::Muted)
}

/// What one alternative pays for one tool.
fn used(
    page: &mut Page<'_>,
    book: &Book<'_>,
    index: usize,
    row: &ToolRow,
    line: &ToolLine,
) -> Result<(), XlsxError> {
    let words = &book.words;
    page.text(TOOL, &row.tool, Tone::Plain)?;
    page.text(WHOSE, words.alternative(index), Tone::Plain)?;
    page.text(HOW, row.had.word(), Tone::Plain)?;
    page.number(TOOL_ID, Decimal::from(line.tool + 1), Tone::Muted)?;
    page.number(ALTERNATIVE_ID, Decimal::from(index + 1), Tone::Muted)?;
    let id = page.here(TOOL_ID);
    page.formula(PRICE, &format!("=INDEX(tool_price,{id})"), row.price, Tone::Plain)?;
    page.formula(JOBS, &format!("=INDEX(tool_jobs,{id})"), row.jobs, Tone::Plain)?;
    let why = format!("{} is laid in {}", words.run_name(line.run), words.system(line.system));
    page.text(NOTE, &why, Tone::Muted)?;
    let (Some(times), Some(cost)) = (line.times, line.cost) else {
        page.text(DAYS, "not known", Tone::Warn)?;
        return page.text(COST, "not priced", Tone::Warn);
    };
    let days = match row.days {
        Some(_) => format!("INDEX(tool_days,{id})"),
        None => super::labor::name_of("days", index),
    };
    match row.had {
        Had::Bought | Had::Owned => page.number(DAYS, times, Tone::Plain)?,
        Had::RentedByDay => {
            page.formula(DAYS, &format!("=ROUNDUP(ROUND({days},6),0)"), times, Tone::Plain)?;
        }
        Had::RentedByWeek => {
            let formula = format!("=ROUNDUP(ROUND({days}/{DAYS_A_WEEK},6),0)");
            page.formula(DAYS, &formula, times, Tone::Plain)?;
        }
    }
    let formula = format!("=ROUND(ROUND({}*{}/{},6),2)", page.here(PRICE), page.here(DAYS), page.here(JOBS));
    page.formula(COST, &formula, cost, Tone::Plain)
}
