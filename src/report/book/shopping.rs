//! The sheet Shopping: what the chosen alternative buys, by the section of the store, with boxes to tick. The number
//! of packs follows the order.

use rust_xlsxwriter::Workbook;

use super::{BOX, Book};
use crate::ground::name::natural;
use crate::report::facts::{OrderRow, rank};
use crate::report::form::{Kind, Page, Paper, Tone, Written, column};

/// Writes the sheet.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let chosen = book.words.alternative(0);
    let about = format!("What {chosen} buys, by section of the store. Packs follow the sheet Order.");
    let columns = vec![
        column("", 4.0, Kind::Middle),
        column("part", 30.0, Kind::Text),
        column("size", 15.0, Kind::Text),
        column("system", 13.0, Kind::Text),
        column("packs", 9.0, Kind::Whole),
        column("sold as", 15.0, Kind::Text),
        column("supplier", book.supplier_width(), Kind::Text),
        column("code", 11.0, Kind::Text),
    ];
    let mut page =
        Page::open(out, &book.binding, "Shopping", "Shopping list", &about, Paper::Portrait, columns)?;
    page.headings(0)?;
    let rows = sorted(book);
    let mut section: Option<&str> = None;
    for (row_id, row) in rows {
        book.section(&mut page, &mut section, section_of(book, row), 8)?;
        write_row(&mut page, book, row, row_id)?;
        page.next();
    }
    Ok(())
}

fn section_of<'a>(book: &Book<'a>, row: &OrderRow<'_>) -> &'a str {
    book.words.word(book.words.part(row.line.item).section)
}

/// The rows of the chosen alternative by section, then as items are ordered; with their ids on the order. What the
/// shelf gives whole is not bought; packs that are none now stay, since an edit may ask for them.
fn sorted<'b>(book: &'b Book<'_>) -> Vec<(usize, &'b OrderRow<'b>)> {
    let chosen = (1..).zip(&book.orders).filter(|(_, row)| row.alternative == 0);
    let mut rows: Vec<_> = chosen.filter(|(_, row)| row.pick.is_some() || row.is_not_priced()).collect();
    rows.sort_by(|(i, a), (j, b)| {
        let (x, y) = (section_of(book, a), section_of(book, b));
        x.is_empty()
            .cmp(&y.is_empty())
            .then_with(|| natural(x, y))
            .then_with(|| rank(&book.ranks, a.line.item).cmp(&rank(&book.ranks, b.line.item)))
            .then(i.cmp(j))
    });
    rows
}

fn write_row(page: &mut Page<'_>, book: &Book<'_>, row: &OrderRow<'_>, row_id: usize) -> Written {
    let words = &book.words;
    let item = row.line.item;
    page.texts(0, [BOX, &words.part_and_variant(item), &words.sizes(item)], Tone::Plain)?;
    page.text(3, words.item_system(item), Tone::Muted)?;
    match row.pick {
        Some((pick, offer)) => {
            let (column, kind) = book.ordered_in(row);
            let formula = format!("=INDEX({column},MATCH({row_id},order_row,0))");
            page.formula_as(4, kind, &formula, row.ordered(pick), Tone::Plain)?;
            page.texts(5, [&*row.ordered_as(words, offer), words.supplier(offer), &offer.code], Tone::Plain)
        }
        None => {
            page.number_as(4, book.quantity_kind(item), row.line.to_buy(), Tone::Plain)?;
            page.text(5, words.unit(item), Tone::Plain)?;
            page.text(6, "no offer: ask", Tone::Warn)?;
            page.text(7, "", Tone::Plain)
        }
    }
}
