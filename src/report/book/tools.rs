//! The sheet Tools: the table of tools as read, where a person changes prices, and what each alternative uses of it.

use rust_decimal::Decimal;
use rust_xlsxwriter::Workbook;

use super::{Book, edits};
use crate::estimate::tooling::{DAYS_A_WEEK, ToolLine};
use crate::report::form::{Page, Paper, Tone, Written, columns};
use crate::trade::{Had, ToolRow};

columns! {
    ()
    TOOL "tool", 30.0, Text;
    WHOSE "for", 36.0, Text;
    HOW "how", 16.0, Text;
    PRICE "price", 11.0, Price;
    JOBS "jobs", 8.0, Percent;
    DAYS "days", 12.0, Percent;
    COST "cost", 11.0, Money;
    NOTE "note", 24.0, Text;
    ACROSS "", 2.0, Text;
    TOOL_ID "", 8.0, Percent;
    ALTERNATIVE_ID "", 12.0, Percent;
}

/// Writes the sheet and names its cells.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let Some(table) = &book.words.job.tools else { return Ok(()) };
    let about = "Tools and one-offs of the systems that runs are laid in. Shaded cells may be changed here.";
    let mut page = Page::open(out, &book.binding, "Tools", "Tools", about, Paper::Landscape, columns())?;
    page.next();
    page.band("The table tools, as read", ACROSS, &book.look().block)?;
    heads(&mut page, ["tool", "for systems", "how", "price", "jobs", "days", "", "note"])?;
    let first = page.row;
    for row in table {
        as_read(&mut page, book, row)?;
        page.next();
    }
    let end = page.row;
    book.names("Tools", (first, end), &[("tool_price", PRICE), ("tool_jobs", JOBS), ("tool_days", DAYS)]);
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
    let guard = page.guard(TOOL, false)?;
    book.name("tools_cost", "Tools", COST, first, guard);
    book.name("tools_alternative", "Tools", ALTERNATIVE_ID, first, guard);
    for (index, alternative) in estimate.alternatives.iter().enumerate() {
        page.blanks(TOOL..ACROSS, Tone::Total)?;
        page.texts(TOOL, ["tools", book.words.alternative(index)], Tone::Total)?;
        let formula = format!("=SUMIFS(tools_cost,tools_alternative,{})", index + 1);
        page.formula(COST, &formula, alternative.tools.cost, Tone::Total)?;
        book.name_cell(&format!("tools_cost_{}", index + 1), "Tools", COST, page.row);
        page.next();
    }
    page.print_to(page.row, NOTE)?;
    edits::close(page, book, "Tools")
}

fn heads(page: &mut Page<'_>, words: [&str; 8]) -> Written {
    page.heads(TOOL, words, |at| (PRICE..NOTE).contains(&at))
}

/// A row of the table.
fn as_read(page: &mut Page<'_>, book: &Book<'_>, row: &ToolRow) -> Written {
    let systems = book.words.list(&row.systems);
    page.texts(TOOL, [&*row.tool, if systems.is_empty() { "all" } else { &systems }], Tone::Plain)?;
    page.text(HOW, row.had.word(), Tone::Plain)?;
    match row.had {
        // An owned tool costs nothing, whatever it once did.
        Had::Owned => page.text(PRICE, "", Tone::Plain)?,
        Had::Bought | Had::RentedByDay | Had::RentedByWeek => page.number(PRICE, row.price, Tone::Input)?,
    }
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
fn used(page: &mut Page<'_>, book: &Book<'_>, index: usize, row: &ToolRow, line: &ToolLine) -> Written {
    let words = &book.words;
    page.texts(TOOL, [&*row.tool, words.alternative(index), row.had.word()], Tone::Plain)?;
    page.number(TOOL_ID, Decimal::from(line.tool + 1), Tone::Muted)?;
    page.number(ALTERNATIVE_ID, Decimal::from(index + 1), Tone::Muted)?;
    let id = page.here(TOOL_ID);
    match row.had {
        Had::Owned => page.text(PRICE, "", Tone::Plain)?,
        Had::Bought | Had::RentedByDay | Had::RentedByWeek => {
            page.formula(PRICE, &format!("=INDEX(tool_price,{id})"), row.price, Tone::Plain)?;
        }
    }
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
    let mut paid = format!("{}*{}/{}", page.here(PRICE), page.here(DAYS), page.here(JOBS));
    match row.had {
        Had::Owned => return page.blanks([DAYS, COST], Tone::Plain),
        Had::Bought => {
            page.text(DAYS, "once", Tone::Plain)?;
            paid = format!("{}/{}", page.here(PRICE), page.here(JOBS));
        }
        Had::RentedByDay => {
            page.formula(DAYS, &format!("=ROUNDUP(ROUND({days},6),0)"), times, Tone::Plain)?;
        }
        Had::RentedByWeek => {
            let formula = format!("=ROUNDUP(ROUND({days}/{DAYS_A_WEEK},6),0)");
            page.formula(DAYS, &formula, times, Tone::Plain)?;
        }
    }
    page.formula(COST, &format!("=ROUND(ROUND({paid},6),2)"), cost, Tone::Plain)
}
