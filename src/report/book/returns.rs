//! Below the orders of suppliers: packs that may go back unopened, the smallest of each line. Packs follow the order.

use super::Book;
use crate::report::facts::{Back, back};
use crate::report::form::{Kind, Page, Tone, Written};

/// Writes the block; its rows stand in the columns of the sheet Suppliers.
pub(super) fn write(page: &mut Page<'_>, book: &Book<'_>, across: u16) -> Written {
    let list = back(&book.words, &book.orders);
    if list.is_empty() {
        return Ok(());
    }
    page.next();
    page.band("What may go back unopened", across, &book.look().block)?;
    let heads = [
        "part",
        "bought",
        "surely left",
        "at most left",
        "worth",
        "",
        "surely left: with the allowance used up",
    ];
    page.heads(0, heads, |at| (1..5).contains(&at))?;
    for one in &list {
        let none = one.surely.is_zero() && one.at_most.is_zero();
        write_back(page, book, one)?;
        if none {
            page.sheet.set_row_hidden(page.row)?;
        }
        page.next();
    }
    Ok(())
}

fn write_back(page: &mut Page<'_>, book: &Book<'_>, one: &Back<'_, '_>) -> Written {
    let words = &book.words;
    let Some((pick, offer)) = one.row.pick else { return Ok(()) };
    let item = one.row.line.item;
    page.text(0, &words.item_name(item), Tone::Plain)?;
    let of = |column: &str| format!("INDEX({column},MATCH({},order_row,0))", one.row_id);
    page.formula_as(1, Kind::Whole, &format!("={}", of("order_packs")), pick.packs, Tone::Plain)?;
    let bought = format!("SUMIFS(order_buy,order_line,{})", one.row.line_id);
    let (surely, at_most) = match one.cut {
        Some(cut) => {
            let left = format!("=MAX(0,{}-{cut})", of("order_packs"));
            (left.clone(), left)
        }
        None => {
            let whole = |used: &str| {
                let packs = format!("ROUND(({bought}-{used})/{},6)", of("order_pack"));
                // The whole part of a number that is not below zero.
                format!("=MIN({},MAX(0,ROUNDUP(ROUND({packs}-1+0.000001,6),0)))", of("order_packs"))
            };
            let need = format!("MAX(0,{}-{})", of("order_need"), of("order_on_hand"));
            (whole(&of("order_to_buy")), whole(&need))
        }
    };
    page.formula_as(2, Kind::Whole, &surely, one.surely, Tone::Plain)?;
    page.formula_as(3, Kind::Whole, &at_most, one.at_most, Tone::Plain)?;
    let each = match one.row.is_loose() {
        true => format!("{}/{}", of("order_pack_price"), of("order_price_for")),
        false => of("order_pack_price"),
    };
    let formula = format!("=ROUND(ROUND({}*{each},6),2)", page.here(3));
    page.formula(4, &formula, one.worth(words), Tone::Plain)?;
    page.text(5, "", Tone::Plain)?;
    page.text(6, &format!("{}, {}", words.sold_as(offer), words.supplier(offer)), Tone::Muted)
}
