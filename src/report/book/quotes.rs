//! The sheets Quote request, which asks suppliers for prices and names none, and Returns, which says what may go back.

use rust_xlsxwriter::Workbook;

use super::Book;
use crate::report::facts::{Asked, Back, asked, back};
use crate::report::form::{Kind, Page, Paper, Tone, Written, column};

/// Writes the sheet Quote request.
pub(super) fn write_request(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let about = "The whole need of the chosen system, without prices. request-for-quote.csv asks for it as a price list to fill in: tube there has a row a length, with the fewest coils or sticks that hold the need. Tube: a price for each length you sell.";
    let columns = vec![
        column("part", 26.0, Kind::Text),
        column("size", 14.0, Kind::Text),
        column("system", 13.0, Kind::Text),
        column("quantity", 10.0, Kind::Whole),
        column("unit", 6.0, Kind::Text),
        column("sold as", 14.0, Kind::Text),
        column("price", 10.0, Kind::Price),
        column("price for", 9.0, Kind::Text),
        column("your code", 11.0, Kind::Text),
        column("no offer yet: the nearest", 38.0, Kind::Wrap),
    ];
    let across = u16::try_from(columns.len()).unwrap_or(1);
    let (name, title) = ("Quote request", "Request for quotes");
    let mut page = Page::open(out, &book.binding, name, title, about, Paper::Landscape, columns)?;
    let terms = &book.words.job.settings;
    let job =
        [("job", &terms.name), ("our reference", &terms.order.reference), ("ship to", &terms.order.ship_to)];
    for (name, value) in job.into_iter().filter(|(_, value)| !value.is_empty()) {
        page.text(0, name, Tone::Muted)?;
        page.put(1, value, book.look().cell(Kind::Text, Tone::Plain))?;
        page.next();
    }
    page.headings(0)?;
    let rows = book.orders.clone();
    let list = asked(&book.words, &rows, &book.ranks);
    let mut section: Option<&str> = None;
    for one in &list {
        book.section(&mut page, &mut section, one.section, across)?;
        write_asked(&mut page, book, one)?;
    }
    if list.is_empty() {
        page.put(0, "Nothing is to be bought.", &book.look().subtitle)?;
    }
    Ok(())
}

fn write_asked(page: &mut Page<'_>, book: &Book<'_>, one: &Asked<'_, '_>) -> Written {
    let words = &book.words;
    let item = one.row.line.item;
    page.texts(0, [&*words.part_and_variant(item), &words.sizes(item)], Tone::Plain)?;
    page.text(2, words.item_system(item), Tone::Muted)?;
    let beside = match one.row.built(words) + one.row.spared(words) {
        none if none.is_zero() => String::new(),
        beside => format!("+{beside}"),
    };
    let formula = format!("=INDEX(order_to_buy,MATCH({},order_row,0)){beside}", one.row_id);
    page.formula_as(3, book.quantity_kind(item), &formula, one.quantity, Tone::Plain)?;
    page.text(4, words.unit(item), Tone::Plain)?;
    let lengths: Vec<(String, &str)> = one.lengths.iter().map(|length| words.length_sold(*length)).collect();
    let (sold, per) = lengths.first().map_or(("", words.unit(item)), |(sold, per)| (sold.as_str(), *per));
    asked_price(page, sold, per)?;
    let market = crate::estimate::buying::Market::open(words.job);
    let near: Vec<String> = one.nearest.iter().map(|id| market.offer_called(*id)).collect();
    let near = match (one.row.is_not_priced(), near.is_empty()) {
        (true, true) => "none near".to_owned(),
        _ => near.join("; "),
    };
    let near = match &one.not_taken_off {
        Some(words) => format!("{words}; {near}"),
        None => near,
    };
    page.text(9, &near, Tone::Muted)?;
    page.end_fitted(&[(9, &near)])?;
    for (sold, per) in lengths.iter().skip(1) {
        page.blanks(0..=4, Tone::Plain)?;
        page.text(0, "or", Tone::Muted)?;
        asked_price(page, sold, per)?;
        page.text(9, "", Tone::Muted)?;
        page.next();
    }
    Ok(())
}

/// The cells that a supplier fills in.
fn asked_price(page: &mut Page<'_>, sold: &str, per: &str) -> Written {
    page.text(5, sold, Tone::Plain)?;
    page.text(6, "", Tone::Input)?;
    page.text(7, per, Tone::Muted)?;
    page.text(8, "", Tone::Input)
}

/// Writes the sheet Returns.
pub(super) fn write_returns(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let about = "Packs that may go back unopened, the smallest of each line: surely left, with the allowance used up; at most left, with none of it used. Other rows are hidden.";
    let columns = vec![
        column("part", 26.0, Kind::Text),
        column("size", 14.0, Kind::Text),
        column("sold as", 15.0, Kind::Text),
        column("bought", 8.0, Kind::Whole),
        column("surely left", 10.0, Kind::Whole),
        column("at most left", 11.0, Kind::Whole),
        column("worth", 11.0, Kind::Money),
        column("supplier", book.supplier_width(), Kind::Text),
        column("code", 11.0, Kind::Text),
    ];
    let mut page =
        Page::open(out, &book.binding, "Returns", "What may go back", about, Paper::Landscape, columns)?;
    page.headings(0)?;
    let rows = book.orders.clone();
    let list = back(&book.words, &rows);
    let mut any = false;
    for one in &list {
        let none = one.surely.is_zero() && one.at_most.is_zero();
        write_back(&mut page, book, one)?;
        if none {
            page.sheet.set_row_hidden(page.row)?;
        }
        any |= !none;
        page.next();
    }
    if !any {
        page.put(0, "Nothing would be left unopened.", &book.look().subtitle)?;
    }
    Ok(())
}

fn write_back(page: &mut Page<'_>, book: &Book<'_>, one: &Back<'_, '_>) -> Written {
    let words = &book.words;
    let Some((pick, offer)) = one.row.pick else { return Ok(()) };
    let item = one.row.line.item;
    page.texts(0, [&*words.part_and_variant(item), &words.sizes(item)], Tone::Plain)?;
    page.text(2, &words.sold_as(offer), Tone::Plain)?;
    let of = |column: &str| format!("INDEX({column},MATCH({},order_row,0))", one.row_id);
    page.formula(3, &format!("={}", of("order_packs")), pick.packs, Tone::Plain)?;
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
    page.formula(4, &surely, one.surely, Tone::Plain)?;
    page.formula(5, &at_most, one.at_most, Tone::Plain)?;
    let each = match one.row.is_loose() {
        true => format!("{}/{}", of("order_pack_price"), of("order_price_for")),
        false => of("order_pack_price"),
    };
    let formula = format!("=ROUND(ROUND({}*{each},6),2)", page.here(5));
    page.formula(6, &formula, one.worth(words), Tone::Plain)?;
    page.texts(7, [words.supplier(offer), &offer.code], Tone::Plain)
}
