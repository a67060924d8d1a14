//! The sheet Reasons: the because of each quantity, one row a line of the takeoff, with links to the row of the run
//! list and the row of the patterns that it came from. The order's need and the takeoff are sums over it.

use rust_decimal::Decimal;
use rust_xlsxwriter::{Workbook, XlsxError};

use super::look::{Kind, Tone};
use super::page::{Page, Paper, column};
use super::{Book, id_of};
use crate::estimate::takeoff::{Because, Line, Subject};
use crate::report::wording::service;

const ALTERNATIVE: u16 = 0;
const ITEM: u16 = 1;
const SYSTEM: u16 = 2;
const QUANTITY: u16 = 3;
const UNIT: u16 = 4;
const WHY: u16 = 5;
const WHOSE: u16 = 6;
const RULE: u16 = 7;
const SERVICE: u16 = 8;
const PHASE: u16 = 9;
const AREA: u16 = 10;
const ALTERNATIVE_ID: u16 = 12;
const ITEM_ID: u16 = 13;
const TAKEOFF_ID: u16 = 14;

/// A sheet takes 65,530 links; two stand on each row.
const LINKED_ROWS: u32 = 32_000;
/// A sheet has 1,048,576 rows.
const MOST_ROWS: u32 = 1_000_000;

/// Writes the sheet and names its columns.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Result<(), XlsxError> {
    let about = if book.live {
        "Why each quantity is what it is. The order and the takeoff add these rows up."
    } else {
        "Why each quantity is what it is. These are more than 20,000 rows: the order holds their sums as values."
    };
    let about = format!("{about}{}", book.printed());
    let columns = vec![
        column("alternative", 13.0, Kind::Text),
        column("item", 34.0, Kind::Text),
        column("system", 13.0, Kind::Text),
        column("quantity", 10.0, Kind::Whole),
        column("unit", 6.0, Kind::Text),
        column("why", 40.0, Kind::Text),
        column("run or place", 15.0, Kind::Text),
        column("rule", 22.0, Kind::Text),
        column("service", 9.0, Kind::Text),
        column("phase", 11.0, Kind::Text),
        column("area", 16.0, Kind::Text),
        column("", 3.0, Kind::Text),
        column("alternative id", 9.0, Kind::Percent),
        column("item id", 7.0, Kind::Percent),
        column("takeoff id", 8.0, Kind::Percent),
    ];
    let mut page = Page::open(out, &book.binding, "Reasons", "Reasons", &about, Paper::Landscape, columns)?;
    page.headings(ITEM + 1)?;
    let first = page.row;
    let mut base = 0_usize;
    let mut printed = page.row;
    for (index, alternative) in book.words.estimate.alternatives.iter().enumerate() {
        let (rows, of_line) = &book.takeoff[index];
        for (line, row) in alternative.takeoff.lines.iter().zip(of_line) {
            if page.row >= MOST_ROWS {
                break;
            }
            what(&mut page, book, index, line)?;
            whose(&mut page, book, line)?;
            page.number(ALTERNATIVE_ID, Decimal::from(index + 1), Tone::Muted)?;
            page.number(ITEM_ID, id_of(line.item.0), Tone::Muted)?;
            page.number(TAKEOFF_ID, Decimal::from(base + row + 1), Tone::Muted)?;
            page.next();
        }
        base += rows.len();
        if index == 0 {
            printed = page.row.saturating_sub(1);
        }
    }
    let guard = page.row;
    page.put(ITEM, "insert rows above this line", &book.look().guard)?;
    page.sheet.set_print_area(0, 0, printed, AREA)?;
    page.sheet.autofilter(first - 1, 0, guard.saturating_sub(1).max(first), AREA)?;
    for (name, column) in [
        ("reason_quantity", QUANTITY),
        ("reason_alternative", ALTERNATIVE_ID),
        ("reason_item", ITEM_ID),
        ("reason_takeoff", TAKEOFF_ID),
    ] {
        book.name(name, "Reasons", column, first, guard);
    }
    Ok(())
}

fn what(page: &mut Page<'_>, book: &Book<'_>, index: usize, line: &Line) -> Result<(), XlsxError> {
    let words = &book.words;
    let kind = book.quantity_kind(line.item);
    page.text(ALTERNATIVE, words.alternative(index), Tone::Muted)?;
    page.text(ITEM, &words.item_name(line.item), Tone::Plain)?;
    page.text(SYSTEM, words.item_system(line.item), Tone::Plain)?;
    page.number_as(QUANTITY, kind, words.quantity(line), Tone::Plain)?;
    page.text(UNIT, words.unit(line.item), Tone::Plain)?;
    page.text(WHY, &words.because(line), Tone::Plain)?;
    page.text(SERVICE, service(line.service), Tone::Plain)?;
    page.text(PHASE, line.phase.word(), Tone::Plain)?;
    page.text(AREA, words.word(line.area), Tone::Plain)
}

fn whose(page: &mut Page<'_>, book: &Book<'_>, line: &Line) -> Result<(), XlsxError> {
    let name = book.words.subject(line.subject);
    let run_row = match line.subject {
        Subject::Run(run) => book.run_rows.get(run.0 as usize).copied(),
        Subject::Place(_) => None,
    };
    let rule = match line.because {
        Because::Rule(row) => Some((book.rule_rows.get(&row).copied(), book.words.spot(row))),
        _ => None,
    };
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
