//! Edits of the workbook: how many shaded cells of all sheets are no longer as they were written, and what the first sheet
//! says of that. The cells themselves are watched as they are written, by the floor below.

use rust_decimal::Decimal;
use rust_xlsxwriter::Formula;

use super::{Book, UNIT_PRICES};
use crate::report::form::{EDITED, Kind, Page, RUN_AGAIN, Tone, Written};

/// Ends a sheet that has shaded cells and names what counts its edits.
pub(super) fn close(page: Page<'_>, book: &mut Book<'_>, sheet: &str) -> Written {
    let (column, first, last) = page.close()?;
    book.name(&edited_in(sheet), sheet, column, first, last);
    Ok(())
}

/// Ends a sheet on which nothing is edited.
pub(super) fn close_unedited(page: Page<'_>) -> Written {
    page.close().map(|_| ())
}

fn edited_in(sheet: &str) -> String {
    format!("{EDITED}_in_{}", sheet.replace(' ', "_"))
}

/// The sheets with shaded cells that a job has.
fn sheets(book: &Book<'_>) -> Vec<&'static str> {
    let job = book.words.job;
    let all = [
        ("Prices", true),
        ("Settings", true),
        ("Order", true),
        ("Suppliers", true),
        (UNIT_PRICES, true),
        ("Labor", job.labor.is_some()),
        ("Hours", job.labor.is_some()),
        ("Tools", job.tools.is_some()),
    ];
    all.into_iter().filter(|(_, is_there)| *is_there).map(|(sheet, _)| sheet).collect()
}

/// The line of the first sheet that is empty, and after an edit says what follows it and what does not.
pub(super) fn line(page: &mut Page<'_>, across: u16) -> Written {
    let (row, format) = (page.row, page.look.run_again.clone().set_text_wrap());
    let words = format!(
        " edited here. Sums follow. What is colored, and the files beside this workbook (papers, CSV, estimate.json), were \
         {RUN_AGAIN}."
    );
    // As high as the words need.
    page.paragraph(&" ".repeat(words.len()), across, &format)?;
    let many = format!("IF({EDITED}=1,\"1 input was\",{EDITED}&\" inputs were\")");
    let formula = format!("=IF({EDITED}=0,\"\",{many}&\"{words}\")");
    page.sheet.write_formula_with_format(row, 0, Formula::new(formula), &format)?;
    Ok(())
}

/// How many inputs were edited: the cell that everything asks.
pub(super) fn count(page: &mut Page<'_>, book: &mut Book<'_>, (sum, note): (u16, u16)) -> Written {
    let all: Vec<String> = sheets(book).into_iter().map(edited_in).collect();
    let sums: Vec<String> = all.iter().map(|name| format!("SUM({name})")).collect();
    page.named("inputs edited since the estimate", Tone::Plain)?;
    page.formula_as(sum, Kind::Whole, &format!("={}", sums.join("+")), Decimal::ZERO, Tone::Plain)?;
    page.text(note, "counted behind its row, in the last column", Tone::Muted)?;
    book.name_cell(EDITED, "Summary", sum, page.row);
    page.end()
}
