//! The sheet Prices: the offers as read, one a row. A person edits a price or a discount here; the order looks it up
//! by the offer's id.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;
use rust_xlsxwriter::Workbook;

use super::{Book, WIDEST, edits, id_of};
use crate::estimate::buying::price;
use crate::estimate::order::OfferId;
use crate::report::facts::{OrderRow, Wording};
use crate::report::form::{
    Column, Kind, Page, Paper, SheetColumn, Tone, Written, column, columns, of_sheet, on_sheet, put_row,
};
use crate::trade::{Offer, PricedPer};

/// A price list longer than this is not copied whole: the offers that the orders use are.
const WHOLE_LIST: usize = 3_000;

/// Which offers the sheet lists, and how many columns their discounts and breaks take.
#[derive(Clone)]
pub(super) struct Listed {
    /// Those bought for the chosen alternative first, then those bought for others, then the rest.
    offers: Vec<OfferId>,
    /// The row of each within the named columns, from 1.
    rows: BTreeMap<OfferId, u32>,
    used: BTreeSet<OfferId>,
    /// How many are bought for the chosen alternative: they stand first.
    chosen: u32,
    /// Whether offers that no order uses were left out.
    pub(super) shortened: bool,
    pub(super) discounts: u16,
    breaks: u16,
}

impl Listed {
    pub(super) fn of(words: &Wording<'_>, orders: &[OrderRow<'_>]) -> Self {
        let used: BTreeSet<OfferId> =
            orders.iter().filter_map(|row| row.pick.map(|(pick, _)| pick.offer)).collect();
        let all = &words.job.prices.offers;
        let shortened = all.len() > WHOLE_LIST;
        let ids = (0_u32..).zip(all).map(|(id, _)| OfferId(id));
        let mut offers: Vec<OfferId> = ids.filter(|id| !shortened || used.contains(id)).collect();
        let of_chosen = orders.iter().filter(|row| row.alternative == 0);
        let chosen: BTreeSet<OfferId> =
            of_chosen.filter_map(|row| row.pick.map(|(pick, _)| pick.offer)).collect();
        offers.sort_by_key(|id| (!chosen.contains(id), !used.contains(id), *id));
        let rows = offers.iter().copied().zip(1..).collect();
        let listed = || offers.iter().filter_map(|id| words.offer(*id));
        let most = |count: fn(&Offer) -> usize, cap: usize| {
            u16::try_from(listed().map(count).max().unwrap_or(0).min(cap)).unwrap_or(0)
        };
        let discounts = most(|offer| offer.discount.len(), 20).max(1);
        let breaks = most(|offer| offer.breaks_in_reach().len(), 20);
        let chosen = u32::try_from(chosen.len()).unwrap_or(u32::MAX);
        Self { discounts, breaks, offers, rows, used, chosen, shortened }
    }

    /// Whether the sheet has an offer.
    pub(super) fn has(&self, offer: OfferId) -> bool {
        self.rows.contains_key(&offer)
    }

    /// The row of an offer within the named columns, from 1.
    pub(super) fn row_of(&self, offer: OfferId) -> u32 {
        self.rows.get(&offer).copied().unwrap_or(1)
    }
}

columns! {
    (suppliers: f64)
    ID "offer", 6.0, Percent;
    SUPPLIER "supplier", suppliers, Text;
    PART "part", 20.0, Text;
    SIZE "size", 12.0, Text;
    SYSTEM "system", 13.0, Text;
    VARIANT "variant", 11.0, Text;
    CODE "code", 10.0, Text;
    SOLD_AS "sold as", 14.0, Text;
    PACK "pack", 8.0, Percent;
    PRICE "price", 10.0, Price;
    PRICE_FOR "price for", 8.0, Text;
    PER "for", 7.0, Percent;
}

/// The first column of discounts, of which there are as many as an offer has.
const DISCOUNT: u16 = PER + 1;

/// Writes the sheet and names its columns.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let about = match (book.words.job.prices.offers.is_empty(), book.prices.shortened) {
        (true, _) => "The job has no price list.",
        (false, false) => {
            "Offers as read; those bought for the chosen system stand first, and they alone are printed. Shaded cells may be \
             changed here: the order follows."
        }
        (false, true) => {
            "The offers that the orders use, as read. Shaded cells may be changed here: the order follows."
        }
    };
    let behind = DISCOUNT + book.prices.discounts;
    let columns = all_columns(book);
    let each = u16::try_from(columns.len()).unwrap_or(1);
    let last = each - 1;
    let columns = columns.into_iter().chain(each_columns(book)).collect();
    let mut page = Page::open(out, &book.binding, "Prices", "Prices", about, Paper::Landscape, columns)?;
    page.headings(PART + 1)?;
    let first = page.row;
    for id in book.prices.offers.clone() {
        let Some(offer) = book.words.offer(id) else { continue };
        identity(&mut page, book, id, offer)?;
        written(&mut page, book, offer)?;
        rest(&mut page, book, behind, id, offer)?;
        one_costs(&mut page, book, (behind, each), id, offer)?;
        page.next();
    }
    let end = page.row;
    let words = "add no offers here: add them to the price list and run the program again";
    page.put(PART, words, &book.look().guard)?;
    let names = [("price_id", ID), ("price_pack", PACK), ("price_price", PRICE), ("price_per", PER)];
    book.names("Prices", (first, end), &names);
    for n in 0..book.prices.discounts {
        book.name(&format!("price_discount_{}", n + 1), "Prices", DISCOUNT + n, first, end);
    }
    for n in 0..book.prices.breaks {
        book.name(&format!("price_from_{}", n + 1), "Prices", behind + 2 * n, first, end);
        book.name(&format!("price_break_{}", n + 1), "Prices", behind + 2 * n + 1, first, end);
    }
    book.name("price_each", "Prices", each, first, end);
    for n in 1..=book.prices.breaks {
        book.name(&format!("price_each_{n}"), "Prices", each + n, first, end);
    }
    let printed = first.saturating_add(book.prices.chosen).saturating_sub(1).clamp(first, end);
    page.print_to(printed, last - 6)?;
    page.filter((first, end), last)?;
    page.widen(WIDEST)?;
    edits::close(page, book, "Prices")
}

fn all_columns(book: &Book<'_>) -> Vec<SheetColumn> {
    let mut columns = columns(book.supplier_width());
    for n in 1..=book.prices.discounts {
        columns.push(column(&format!("off {n} %"), 6.5, Kind::Percent));
    }
    for n in 1..=book.prices.breaks {
        columns.push(column(&format!("from packs {n}"), 7.0, Kind::Percent));
        columns.push(column(&format!("price {n}"), 9.0, Kind::Price));
    }
    columns.extend(of_sheet(&last_columns()));
    columns
}

/// The columns of what one pack costs, at the price and at each break.
fn each_columns(book: &Book<'_>) -> Vec<SheetColumn> {
    let breaks = (1..=book.prices.breaks).map(|n| format!("one at price {n}"));
    let headings = std::iter::once("one costs".to_owned()).chain(breaks);
    headings.map(|heading| column(&heading, 9.0, Kind::Price)).collect()
}

/// What one pack costs of an offer that some line could be bought from instead.
fn one_costs(
    page: &mut Page<'_>,
    book: &Book<'_>,
    (behind, each): (u16, u16),
    id: OfferId,
    offer: &Offer,
) -> Written {
    if !book.rivals.has(id) {
        return Ok(());
    }
    let discounts: Vec<String> = (0..book.prices.discounts).map(|n| page.here(DISCOUNT + n)).collect();
    let (pack, per) = (page.here(PACK), page.here(PER));
    let prices = std::iter::once((PRICE, offer.price)).chain(
        (0..book.prices.breaks)
            .zip(offer.breaks_in_reach())
            .map(|(n, (_, price))| (behind + 2 * n + 1, price)),
    );
    for (column, (at, written)) in (each..).zip(prices) {
        let at = page.here(at);
        let (formula, result) = one_at(&book.words, offer, (written, &at), (&discounts, &pack, &per));
        page.formula(column, &formula, result, Tone::Muted)?;
    }
    Ok(())
}

/// What one pack of an offer costs, in cents, or what one piece costs that is bought loose, at a price in a cell, whose
/// discounts, pack and unit stand in cells too: the formula, and what it comes to.
fn one_at(
    words: &Wording<'_>,
    offer: &Offer,
    (written, at): (Decimal, &str),
    (discounts, pack, per): (&[String], &str, &str),
) -> (String, Decimal) {
    let factors: String = discounts.iter().map(|cell| format!("*(1-{cell}/100)")).collect();
    let net = format!("ROUND(ROUND({at}{factors},6),4)");
    let (holds, for_so_much) = (words.pack(offer), words.per(offer));
    let worth = price::net(written, &offer.discount).unwrap_or_default();
    if offer.is_loose() {
        let one = worth.checked_mul(holds).and_then(|sum| sum.checked_div(for_so_much));
        return (format!("={net}*{pack}/{per}"), one.unwrap_or_default());
    }
    let one = price::of_pack(holds, worth, for_so_much);
    (format!("=ROUND(ROUND({net}*{pack}/{per},6),2)"), one.unwrap_or_default())
}

/// What stands behind the prices of an offer, and whether an order uses it.
fn last_columns<'a>() -> [Column<(&'a Offer, bool)>; 6] {
    use Kind::Text;
    [
        on_sheet("good from", (11.0, Text, Tone::Plain), |_, (offer, _)| offer.good_from.into()),
        on_sheet("good until", (11.0, Text, Tone::Plain), |_, (offer, _)| offer.good_until.into()),
        on_sheet("returnable", (10.5, Text, Tone::Plain), |_, (offer, _)| offer.returnable.into()),
        on_sheet("used", (6.0, Text, Tone::Plain), |_, (_, used)| used.then_some("yes").into()),
        on_sheet("description", (18.0, Text, Tone::Muted), |_, (offer, _)| (&*offer.description).into()),
        on_sheet("read from", (30.0, Text, Tone::Muted), |w, (offer, _)| w.spot(offer.row).into()),
    ]
}

fn identity(page: &mut Page<'_>, book: &Book<'_>, id: OfferId, offer: &Offer) -> Written {
    let words = &book.words;
    let variant = match (words.word(offer.variant), words.word(offer.color)) {
        ("", color) => color.to_owned(),
        (variant, "") => variant.to_owned(),
        (variant, color) => format!("{variant}, {color}"),
    };
    page.number(ID, id_of(id.0), Tone::Muted)?;
    page.texts(SUPPLIER, [words.supplier(offer), words.word(offer.part)], Tone::Plain)?;
    page.texts(SIZE, [&*words.size_list(&offer.sizes), &words.list(&offer.systems)], Tone::Plain)?;
    page.texts(VARIANT, [&*variant, &offer.code, &words.sold_as(offer)], Tone::Plain)
}

fn written(page: &mut Page<'_>, book: &Book<'_>, offer: &Offer) -> Written {
    let words = &book.words;
    page.number(PACK, words.pack(offer), Tone::Plain)?;
    page.number(PRICE, offer.price, Tone::Input)?;
    page.text(PRICE_FOR, &words.per_words(offer), Tone::Plain)?;
    if offer.per == PricedPer::Pack {
        return page.formula(PER, &format!("={}", page.here(PACK)), words.per(offer), Tone::Plain);
    }
    page.number(PER, words.per(offer), Tone::Plain)
}

fn rest(page: &mut Page<'_>, book: &Book<'_>, behind: u16, id: OfferId, offer: &Offer) -> Written {
    for n in 0..book.prices.discounts {
        let percent = offer.discount.get(usize::from(n)).copied().unwrap_or_default();
        page.number(DISCOUNT + n, percent, Tone::Input)?;
    }
    let written = offer.breaks_in_reach();
    for n in 0..book.prices.breaks {
        let (from, price) = (behind + 2 * n, behind + 2 * n + 1);
        match written.get(usize::from(n)) {
            Some((packs, broken)) => {
                page.number(from, Decimal::from(*packs), Tone::Plain)?;
                page.number(price, *broken, Tone::Input)?;
            }
            None => page.texts(from, ["", ""], Tone::Plain)?,
        }
    }
    let used = book.prices.used.contains(&id);
    put_row(page, &book.words, (behind + 2 * book.prices.breaks, &last_columns()), &(offer, used))
}
