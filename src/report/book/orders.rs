//! The sheets that go to suppliers: one a supplier, by phase, with the supplier's own codes and what an order needs
//! beside the goods. Packs and sums follow the sheet Order.

use rust_decimal::Decimal;
use rust_xlsxwriter::{Workbook, XlsxError};

use super::Book;
use super::settings::supplier_fee_name;
use crate::ground::inert::kept_on_a_line;
use crate::report::facts::{OrderRow, Sent, fee_for_days, fee_of, sent};
use crate::report::form::{BOX, Kind, Page, Paper, Tone, Written, columns};

columns! {
    ()
    TICK "", 4.0, Middle;
    CODE "your code", 13.0, Text;
    PART "part", 24.0, Text;
    SIZE "size", 22.0, Text;
    SYSTEM "system", 13.0, Text;
    PACKS "packs", 8.0, Whole;
    SOLD_AS "sold as", 15.0, Text;
    PRICE "price", 10.0, Price;
    PER "per", 7.0, Text;
    SUM "sum", 11.0, Money;
}
const ACROSS: u16 = 10;

/// A sheet's name holds 31 characters, and none of these.
const MOST_NAME: usize = 31;
const NOT_IN_NAMES: [char; 7] = ['[', ']', ':', '*', '?', '/', '\\'];

/// Writes a sheet for each supplier of the chosen alternative.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Written {
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
    let clean = |c: char| if NOT_IN_NAMES.contains(&c) || c.is_control() || c == '\'' { ' ' } else { c };
    let clean: String = kept_on_a_line(supplier).chars().map(clean).collect();
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

fn write_supplier(out: &mut Workbook, book: &Book<'_>, name: &str, orders: &[Sent<'_, '_>]) -> Written {
    let supplier = orders[0].supplier;
    let title = format!("Order: {supplier}");
    let about = "Packs, prices and sums follow the sheet Order, delivery the sheet Settings.";
    let mut page = Page::open(out, &book.binding, name, &title, about, Paper::Portrait, columns())?;
    let mut totals = Vec::new();
    let mut sum = Decimal::ZERO;
    for (at, order) in orders.iter().enumerate() {
        if at > 0 {
            page.next();
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
        totals.push(page.here(SUM));
        let name = format!("goods of this order, {}", order.phase.word());
        sum_row(&mut page, &name, &Page::sum(SUM, (first, guard)), of_order, Tone::Total)?;
        sum += of_order;
    }
    page.next();
    let goods = page.here(SUM);
    sum_row(&mut page, "all goods from this supplier", &format!("={}", totals.join("+")), sum, Tone::Total)?;
    let place = book.suppliers.iter().position(|one| *one == supplier).unwrap_or(0);
    let (fee, fee_at) = (fee_of(&book.words, supplier), page.here(SUM));
    let delivery = format!("={}", supplier_fee_name(place + 1));
    sum_row(&mut page, "delivery, once", &delivery, fee, Tone::Plain)?;
    let landed = format!("={goods}+{fee_at}");
    sum_row(&mut page, "to pay this supplier, before tax", &landed, sum + fee, Tone::Total)?;
    if let Some(words) = fee_for_days(&book.words, supplier) {
        page.paragraph(&words, ACROSS, &book.look().paragraph)?;
    }
    page.print_to(page.row, ACROSS - 1)
}

/// What a supplier must know beside the goods.
fn head(page: &mut Page<'_>, book: &Book<'_>, order: &Sent<'_, '_>) -> Written {
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
        page.blanks(SIZE..ACROSS, Tone::Plain)?;
        page.next();
    }
    page.end()
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
    page.texts(0, [BOX, &offer.code, &words.part_and_variant(item), &words.sizes(item)], Tone::Plain)?;
    page.text(SYSTEM, words.item_system(item), Tone::Muted)?;
    let (column, kind) = book.ordered_in(row);
    let of = |column: &str| format!("=INDEX({column},MATCH({row_id},order_row,0))");
    page.formula_as(PACKS, kind, &of(column), row.ordered(pick), Tone::Plain)?;
    page.text(SOLD_AS, &row.ordered_as(words, offer), Tone::Plain)?;
    page.formula(PRICE, &of("order_pack_price"), pick.price, Tone::Plain)?;
    page.text(PER, &words.ordered_per(offer), Tone::Muted)?;
    page.formula(SUM, &of("order_extended"), pick.extended, Tone::Plain)?;
    Ok(pick.extended)
}

/// A named sum across the sheet.
fn sum_row(page: &mut Page<'_>, name: &str, formula: &str, sum: Decimal, tone: Tone) -> Written {
    page.blanks(0..ACROSS, tone)?;
    page.text(PART, name, tone)?;
    page.formula(SUM, formula, sum, tone)?;
    page.end()
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
