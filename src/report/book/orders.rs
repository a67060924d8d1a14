//! The sheets that go to suppliers: one a supplier, a page a phase, with the supplier's own codes and what an order needs
//! beside the goods. Packs and sums follow the sheet Order.

use rust_decimal::Decimal;
use rust_xlsxwriter::{Workbook, XlsxError};

use super::Book;
use super::look::{Kind, Tone};
use super::page::{Page, Paper, column, letters, shown};
use super::settings::supplier_fee_name;
use crate::report::rows::OrderRow;
use crate::report::sent::{Sent, fee_for_days, fee_of, sent};

const CODE: u16 = 1;
const PART: u16 = 2;
const SIZE: u16 = 3;
const SYSTEM: u16 = 4;
const PACKS: u16 = 5;
const SOLD_AS: u16 = 6;
const PRICE: u16 = 7;
const PER: u16 = 8;
const SUM: u16 = 9;
const ACROSS: u16 = 10;

/// A sheet's name holds 31 characters, and none of these.
const MOST_NAME: usize = 31;
const NOT_IN_NAMES: [char; 7] = ['[', ']', ':', '*', '?', '/', '\\'];

/// Writes a sheet for each supplier of the chosen alternative.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Result<(), XlsxError> {
    let rows = book.orders.clone();
    let all = sent(&book.words, &rows);
    let mut names: Vec<String> = Vec::new();
    for of_supplier in all.chunk_by(|a, b| a.supplier == b.supplier) {
        let name = sheet_name(of_supplier[0].supplier, &names);
        write_supplier(out, book, &name, of_supplier)?;
        names.push(name);
    }
    Ok(())
}

/// `Order - ` and as many whole words of the supplier as a sheet's name holds; a number where two would be alike.
fn sheet_name(supplier: &str, taken: &[String]) -> String {
    let clean: String = supplier
        .chars()
        .map(|c| if NOT_IN_NAMES.contains(&c) || c.is_control() || c == '\'' { ' ' } else { c })
        .collect();
    let numbers = std::iter::once(String::new()).chain((2_u32..).map(|n| format!(" {n}")));
    let mut tries = numbers.map(|number| {
        let room = MOST_NAME - "Order - ".len() - number.len();
        let mut words = String::new();
        for word in clean.split_whitespace() {
            let more =
                word.encode_utf16().count() + words.encode_utf16().count() + usize::from(!words.is_empty());
            if more > room {
                break;
            }
            if !words.is_empty() {
                words.push(' ');
            }
            words.push_str(word);
        }
        if words.is_empty() {
            words = clean.trim().chars().take(room / 2).collect();
        }
        format!("Order - {}{number}", words.trim())
    });
    let is_free = |name: &String| !taken.iter().any(|one| one.to_lowercase() == name.to_lowercase());
    tries.find(is_free).unwrap_or_default()
}

fn write_supplier(
    out: &mut Workbook,
    book: &Book<'_>,
    name: &str,
    orders: &[Sent<'_, '_>],
) -> Result<(), XlsxError> {
    let supplier = orders[0].supplier;
    let columns = vec![
        column("", 4.0, Kind::Middle),
        column("your code", 11.0, Kind::Text),
        column("part", 24.0, Kind::Text),
        column("size", 13.0, Kind::Text),
        column("system", 13.0, Kind::Text),
        column("packs", 8.0, Kind::Whole),
        column("sold as", 15.0, Kind::Text),
        column("price", 10.0, Kind::Price),
        column("per", 7.0, Kind::Text),
        column("sum", 11.0, Kind::Money),
    ];
    let title = format!("Order: {supplier}");
    let about = "Packs, prices and sums follow the sheet Order, delivery the sheet Settings. A page a phase.";
    let mut page = Page::open(out, &book.binding, name, &title, about, Paper::Portrait, columns)?;
    let (mut breaks, mut totals) = (Vec::new(), Vec::new());
    let mut sum = Decimal::ZERO;
    for (at, order) in orders.iter().enumerate() {
        if at > 0 {
            page.next();
            breaks.push(page.row);
        }
        head(&mut page, book, order)?;
        page.heading_row()?;
        let first = page.row;
        let mut of_order = Decimal::ZERO;
        for (row_id, row) in &order.rows {
            of_order += write_row(&mut page, book, row, *row_id)?;
            page.next();
        }
        let guard = page.row;
        page.put(PART, "", &book.look().guard)?;
        page.next();
        let range = format!("{0}{1}:{0}{2}", letters(SUM), shown(first), shown(guard));
        totals.push(format!("{}{}", letters(SUM), shown(page.row)));
        total(
            &mut page,
            &format!("goods of this order, {}", order.phase.word()),
            &format!("=SUM({range})"),
            of_order,
        )?;
        sum += of_order;
    }
    page.next();
    let goods = page.here(SUM);
    total(&mut page, "all goods from this supplier", &format!("={}", totals.join("+")), sum)?;
    let place = book.suppliers.iter().position(|one| *one == supplier).unwrap_or(0);
    let (fee, fee_at) = (fee_of(&book.words, supplier), page.here(SUM));
    plain_sum(&mut page, "delivery, once", &format!("={}", supplier_fee_name(place + 1)), fee)?;
    total(&mut page, "to pay this supplier, before tax", &format!("={goods}+{fee_at}"), sum + fee)?;
    if let Some(words) = fee_for_days(&book.words, supplier) {
        page.paragraph(&words, ACROSS, &book.look().paragraph)?;
    }
    page.sheet.set_page_breaks(&breaks)?;
    page.sheet.set_print_area(0, 0, page.row, ACROSS - 1)?;
    Ok(())
}

/// What a supplier must know beside the goods.
fn head(page: &mut Page<'_>, book: &Book<'_>, order: &Sent<'_, '_>) -> Result<(), XlsxError> {
    let terms = &book.words.job.settings;
    page.next();
    page.band(&format!("{}: {}", order.supplier, order.phase.word()), ACROSS, &book.look().block)?;
    let needed = terms.order.needed_for(order.phase);
    let rows = [
        ("job", terms.name.to_string()),
        ("our reference", terms.order.reference.to_string()),
        ("ship to", terms.order.ship_to.to_string()),
        ("needed by", needed.map(|day| day.to_string()).unwrap_or_default()),
        ("prices of", terms.date.map(|day| day.to_string()).unwrap_or_default()),
        ("sums in", terms.currency.to_string()),
    ];
    for (name, value) in rows {
        page.put(CODE, name, book.look().cell(Kind::Text, Tone::Muted))?;
        // What the job does not say is left to be filled in by pen.
        page.text(PART, &value, Tone::Plain)?;
        for column in SIZE..ACROSS {
            page.text(column, "", Tone::Plain)?;
        }
        page.next();
    }
    page.next();
    Ok(())
}

/// One row; what it comes to.
fn write_row(
    page: &mut Page<'_>,
    book: &Book<'_>,
    row: &OrderRow<'_>,
    row_id: usize,
) -> Result<Decimal, XlsxError> {
    let words = &book.words;
    let item = row.line.item;
    let Some((pick, offer)) = row.pick else { return Ok(Decimal::ZERO) };
    let variant = words.variant(item);
    let name = words.part_name(item);
    let part = if variant.is_empty() { name.to_owned() } else { format!("{name}, {variant}") };
    page.text(0, super::shopping::BOX, Tone::Plain)?;
    page.text(CODE, &offer.code, Tone::Plain)?;
    page.text(PART, &part, Tone::Plain)?;
    page.text(SIZE, &words.sizes(item), Tone::Plain)?;
    page.text(SYSTEM, words.item_system(item), Tone::Muted)?;
    let (column, kind, number) = match row.is_loose() {
        true => ("order_buy", book.quantity_kind(item), pick.buy),
        false => ("order_packs", Kind::Whole, pick.packs),
    };
    let of = |column: &str| format!("=INDEX({column},MATCH({row_id},order_row,0))");
    page.formula_as(PACKS, kind, &of(column), number, Tone::Plain)?;
    let sold = if row.is_loose() { words.unit(item).to_owned() } else { words.sold_as(offer) };
    page.text(SOLD_AS, &sold, Tone::Plain)?;
    page.formula(PRICE, &of("order_pack_price"), pick.price, Tone::Plain)?;
    page.text(PER, &words.ordered_per(offer), Tone::Muted)?;
    page.formula(SUM, &of("order_extended"), pick.extended, Tone::Plain)?;
    Ok(pick.extended)
}

/// A line that is neither goods nor a sum of them.
fn plain_sum(page: &mut Page<'_>, name: &str, formula: &str, sum: Decimal) -> Result<(), XlsxError> {
    for column in 0..ACROSS {
        page.text(column, "", Tone::Plain)?;
    }
    page.text(PART, name, Tone::Plain)?;
    page.formula(SUM, formula, sum, Tone::Plain)?;
    page.next();
    Ok(())
}

fn total(page: &mut Page<'_>, name: &str, formula: &str, sum: Decimal) -> Result<(), XlsxError> {
    for column in 0..ACROSS {
        page.text(column, "", Tone::Total)?;
    }
    page.text(PART, name, Tone::Total)?;
    page.formula(SUM, formula, sum, Tone::Total)?;
    page.next();
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_sheets_hold_whole_words_and_none_is_there_twice() {
        assert_eq!(sheet_name("Fennwick Supply (invented)", &[]), "Order - Fennwick Supply");
        let taken = ["Order - fennwick supply".to_owned()];
        assert_eq!(sheet_name("Fennwick Supply (somewhere else)", &taken), "Order - Fennwick Supply 2");
        assert_eq!(sheet_name("A/B: C's [x]", &[]), "Order - A B C s x");
        let long = sheet_name(&"x".repeat(60), &[]);
        assert!(long.starts_with("Order - xxx") && long.chars().count() <= MOST_NAME);
        assert!(!sheet_name("\u{1}", &[]).is_empty());
    }
}
