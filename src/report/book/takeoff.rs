//! The sheet Takeoff: what is installed, by phase, service and area; every alternative on its own pages.

use std::collections::BTreeMap;

use rust_decimal::Decimal;
use rust_xlsxwriter::Workbook;

use super::{Book, id_of};
use crate::estimate::item::ItemId;
use crate::estimate::takeoff::TakeoffRow;
use crate::report::form::{Page, Paper, Tone, Written, columns};

columns! {
    ()
    AREA "area", 18.0, Text;
    PART "part", 26.0, Text;
    SIZE "size", 20.0, Text;
    SYSTEM "system", 15.0, Text;
    NEED "need", 11.0, Whole;
    UNIT "unit", 6.0, Text;
    IN_ALL "in all", 10.0, Whole;
    GAP "", 3.0, Text;
    TAKEOFF_ID "takeoff id", 8.0, Percent;
    ITEM_ID "item id", 8.0, Percent;
    ALTERNATIVE_ID "alternative id", 8.0, Percent;
}

/// So many columns are printed.
const ACROSS: u16 = GAP;

/// Writes the sheet.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let about = format!(
        "What is installed, without allowances. Why each quantity is what it is: sheet Reasons.{}",
        book.printed()
    );
    let mut page = Page::open(out, &book.binding, "Takeoff", "Takeoff", &about, Paper::Portrait, columns())?;
    page.headings(0)?;
    let first = page.row;
    let mut base = 0;
    book.each_alternative(&mut page, IN_ALL, |page, index, _| {
        let rows = &book.takeoff[index].0;
        let mut in_all: BTreeMap<ItemId, Decimal> = BTreeMap::new();
        for row in rows {
            let sum = in_all.entry(row.item).or_default();
            *sum = sum.saturating_add(row.need);
        }
        book.alternative_band(page, index, ACROSS)?;
        for (i, row) in rows.iter().enumerate() {
            let before = i.checked_sub(1).and_then(|j| rows.get(j));
            group(page, book, before, row)?;
            write_row(page, book, before, row, base + i + 1)?;
            let sum = in_all.get(&row.item).copied().unwrap_or_default();
            total(page, book, index, row, sum)?;
            page.next();
        }
        base += rows.len();
        Ok(())
    })?;
    let rows = (first, page.row);
    let names = [("takeoff_need", NEED), ("takeoff_item", ITEM_ID), ("takeoff_alternative", ALTERNATIVE_ID)];
    book.names("Takeoff", rows, &names);
    super::ends::write(&mut page, book)
}

fn group(page: &mut Page<'_>, book: &Book<'_>, before: Option<&TakeoffRow>, row: &TakeoffRow) -> Written {
    if before.is_some_and(|b| (b.phase, b.service) == (row.phase, row.service)) {
        return Ok(());
    }
    let service = row.service.map_or("not of one service", |service| service.word());
    page.band(&format!("{} \u{b7} {service}", row.phase.word()), ACROSS, &book.look().band_light)
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
    page.text(AREA, if same { "" } else { words.word(row.area) }, Tone::Plain)?;
    page.texts(PART, [&*words.part_and_variant(row.item), &words.sizes(row.item)], Tone::Plain)?;
    page.text(SYSTEM, words.item_system(row.item), Tone::Muted)?;
    let kind = book.quantity_kind(row.item);
    if book.live {
        let formula = format!("=SUMIFS(reason_quantity,reason_takeoff,{})", page.here(TAKEOFF_ID));
        page.formula_as(NEED, kind, &formula, row.need, Tone::Plain)?;
    } else {
        page.number_as(NEED, kind, row.need, Tone::Plain)?;
    }
    page.text(UNIT, words.unit(row.item), Tone::Muted)?;
    page.number(TAKEOFF_ID, Decimal::from(id), Tone::Muted)
}

/// How many of the part are installed in all, over phases, services and areas.
fn total(page: &mut Page<'_>, book: &Book<'_>, index: usize, row: &TakeoffRow, sum: Decimal) -> Written {
    page.number(ITEM_ID, id_of(row.item.0), Tone::Muted)?;
    page.number(ALTERNATIVE_ID, Decimal::from(index + 1), Tone::Muted)?;
    let (item, alternative) = (page.here(ITEM_ID), page.here(ALTERNATIVE_ID));
    let formula = format!("=SUMIFS(takeoff_need,takeoff_item,{item},takeoff_alternative,{alternative})");
    page.formula_as(IN_ALL, book.quantity_kind(row.item), &formula, sum, Tone::Muted)
}
