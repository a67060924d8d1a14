//! The sheet Takeoff: what is installed, by phase, service and area; every alternative on its own pages.

use rust_xlsxwriter::Workbook;

use super::Book;
use crate::estimate::takeoff::TakeoffRow;
use crate::report::form::{Kind, Page, Paper, Tone, Written, column};

/// Writes the sheet.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let about = format!(
        "What is installed, without allowances. Why each quantity is what it is: sheet Reasons.{}",
        book.printed()
    );
    let columns = vec![
        column("area", 20.0, Kind::Text),
        column("part", 28.0, Kind::Text),
        column("size", 20.0, Kind::Text),
        column("system", 15.0, Kind::Text),
        column("need", 11.0, Kind::Whole),
        column("unit", 6.0, Kind::Text),
        column("", 3.0, Kind::Text),
        column("takeoff id", 8.0, Kind::Percent),
    ];
    let mut page = Page::open(out, &book.binding, "Takeoff", "Takeoff", &about, Paper::Portrait, columns)?;
    page.headings(0)?;
    let mut base = 0;
    book.each_alternative(&mut page, 5, |page, index, _| {
        let rows = &book.takeoff[index].0;
        book.alternative_band(page, index, 6)?;
        for (i, row) in rows.iter().enumerate() {
            let before = i.checked_sub(1).and_then(|j| rows.get(j));
            group(page, book, before, row)?;
            write_row(page, book, before, row, base + i + 1)?;
            page.next();
        }
        base += rows.len();
        Ok(())
    })?;
    super::ends::write(&mut page, book)
}

fn group(page: &mut Page<'_>, book: &Book<'_>, before: Option<&TakeoffRow>, row: &TakeoffRow) -> Written {
    if before.is_some_and(|b| (b.phase, b.service) == (row.phase, row.service)) {
        return Ok(());
    }
    let service = row.service.map_or("not of one service", |service| service.word());
    page.band(&format!("{} \u{b7} {service}", row.phase.word()), 6, &book.look().band_light)
}

fn write_row(
    page: &mut Page<'_>,
    book: &Book<'_>,
    before: Option<&TakeoffRow>,
    row: &TakeoffRow,
    id: usize,
) -> Written {
    let words = &book.words;
    let same = before.is_some_and(|b| (b.phase, b.service, b.area) == (row.phase, row.service, row.area));
    page.text(0, if same { "" } else { words.word(row.area) }, Tone::Plain)?;
    page.texts(1, [&*words.part_and_variant(row.item), &words.sizes(row.item)], Tone::Plain)?;
    page.text(3, words.item_system(row.item), Tone::Muted)?;
    let kind = book.quantity_kind(row.item);
    if book.live {
        let formula = format!("=SUMIFS(reason_quantity,reason_takeoff,{})", page.here(7));
        page.formula_as(4, kind, &formula, row.need, Tone::Plain)?;
    } else {
        page.number_as(4, kind, row.need, Tone::Plain)?;
    }
    page.text(5, words.unit(row.item), Tone::Muted)?;
    page.number(7, rust_decimal::Decimal::from(id), Tone::Muted)
}
