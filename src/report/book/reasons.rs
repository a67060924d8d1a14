//! The sheet Reasons: the because of each quantity, one row a line of the takeoff, with links to the row of the run
//! list and the row of the patterns that it came from. The order's need and the takeoff are sums over it.

use rust_decimal::Decimal;
use rust_xlsxwriter::Workbook;

use super::{Book, WIDEST, id_of};
use crate::estimate::takeoff::{Line, Subject};
use crate::report::facts::{rule_of, service};
use crate::report::form::{Page, Paper, Tone, Written, columns};

columns! {
    ()
    ALTERNATIVE "alternative", 13.0, Text;
    ITEM "item", 34.0, Text;
    SYSTEM "system", 13.0, Text;
    QUANTITY "quantity", 10.0, Whole;
    UNIT "unit", 6.0, Text;
    WHY "why", 40.0, Text;
    WHOSE "run or place", 15.0, Text;
    RULE "rule", 22.0, Text;
    SERVICE "service", 9.0, Text;
    PHASE "phase", 11.0, Text;
    AREA "area", 16.0, Text;
    GAP "", 3.0, Text;
    ALTERNATIVE_ID "alternative id", 9.0, Percent;
    ITEM_ID "item id", 7.0, Percent;
    TAKEOFF_ID "takeoff id", 8.0, Percent;
}

/// A sheet takes 65,530 links; two stand on each row.
const LINKED_ROWS: u32 = 32_000;
/// A sheet has 1,048,576 rows.
pub(super) const MOST_ROWS: u32 = 1_000_000;

/// Writes the sheet and names its columns.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let about = if book.live {
        "Why each quantity is what it is. The order and the takeoff add these rows up."
    } else {
        "Why each quantity is what it is. These are more than 20,000 rows: the order holds their sums as values, and \
         nothing is added up here."
    };
    let about = format!("{about}{}", book.printed());
    // What the sums go by is left out where there are none: eleven cells are kept in half the memory that twelve take.
    let columns = columns().into_iter().take(if book.live { usize::MAX } else { usize::from(GAP) }).collect();
    let mut page = Page::open(out, &book.binding, "Reasons", "Reasons", &about, Paper::Landscape, columns)?;
    page.headings(ITEM + 1)?;
    let first = page.row;
    let (mut base, mut left_out) = (0_usize, 0_usize);
    let mut printed = page.row;
    for (index, alternative) in book.words.estimate.alternatives.iter().enumerate() {
        let (rows, of_line) = &book.takeoff[index];
        for (line, row) in alternative.takeoff.lines.iter().zip(of_line) {
            if page.row >= book.most_reasons {
                left_out += 1;
                continue;
            }
            identity(&mut page, book, index, line)?;
            whose(&mut page, book, line)?;
            if book.live {
                page.number(ALTERNATIVE_ID, Decimal::from(index + 1), Tone::Muted)?;
                page.number(ITEM_ID, id_of(line.item.0), Tone::Muted)?;
                page.number(TAKEOFF_ID, Decimal::from(base + row + 1), Tone::Muted)?;
            }
            page.next();
        }
        base += rows.len();
        if index == 0 {
            printed = page.row.saturating_sub(1);
        }
    }
    let guard = page.guard(ITEM, false)?;
    if left_out > 0 {
        // A sheet has no more rows: nothing vanishes without a word.
        page.put(ITEM, &more_elsewhere(left_out), &book.look().guard)?;
        page.next();
    }
    page.print_to(printed, AREA)?;
    page.filter((first, guard), AREA)?;
    let names = [
        ("reason_quantity", QUANTITY),
        ("reason_alternative", ALTERNATIVE_ID),
        ("reason_item", ITEM_ID),
        ("reason_takeoff", TAKEOFF_ID),
    ];
    if book.live {
        book.names("Reasons", (first, guard), &names);
    }
    page.widen(WIDEST)
}

/// What stands where the sheet is full.
fn more_elsewhere(rows: usize) -> String {
    format!("the sheet ends here: {rows} more reasons stand in estimate.json; the order counts all of them")
}

fn identity(page: &mut Page<'_>, book: &Book<'_>, index: usize, line: &Line) -> Written {
    let words = &book.words;
    let kind = book.quantity_kind(line.item);
    page.text(ALTERNATIVE, words.alternative(index), Tone::Muted)?;
    page.texts(ITEM, [&*words.item_name(line.item), words.item_system(line.item)], Tone::Plain)?;
    page.number_as(QUANTITY, kind, words.quantity(line), Tone::Plain)?;
    page.texts(UNIT, [words.unit(line.item), &words.because(line)], Tone::Plain)?;
    page.texts(SERVICE, [service(line.service), line.phase.word(), words.word(line.area)], Tone::Plain)
}

fn whose(page: &mut Page<'_>, book: &Book<'_>, line: &Line) -> Written {
    let name = book.words.subject(line.subject);
    let run_row = match line.subject {
        Subject::Run(run) => book.run_rows.get(run.0 as usize).copied(),
        Subject::Place(_) => None,
    };
    let rule = rule_of(line).map(|row| (book.rule_rows.get(&row).copied(), book.words.spot(row)));
    let linked = page.row < LINKED_ROWS;
    match run_row {
        Some(row) if linked => page.link(WHOSE, "Runs", row, &name)?,
        Some(_) | None => page.text(WHOSE, &name, Tone::Plain)?,
    }
    match rule {
        Some((Some(row), spot)) if linked => page.link(RULE, "Rules", row, &spot),
        Some((_, spot)) => page.text(RULE, &spot, Tone::Plain),
        None => page.text(RULE, "", Tone::Plain),
    }
}
