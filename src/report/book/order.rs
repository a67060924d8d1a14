//! The sheet Order: what every alternative buys, one row a pick, from need to extended sum. The number of larger
//! packs, and of coils and sticks under a cut plan, is a choice and a value; all else is a formula over its own row,
//! named settings, and lookups by integer ids.

use rust_decimal::Decimal;
use rust_xlsxwriter::{Workbook, XlsxError};

use super::look::{Kind, Tone};
use super::page::{Column, Page, Paper, column, letters, shown};
use super::{Book, supplier_id};
use crate::estimate::order::{CostLine, Pick};
use crate::report::rows::OrderRow;
use crate::report::wording::breaks;
use crate::trade::Offer;

const ALTERNATIVE: u16 = 0;
const SUPPLIER: u16 = 1;
const CODE: u16 = 2;
const PART: u16 = 3;
const SYSTEM: u16 = 4;
const SIZE: u16 = 5;
const PHASE: u16 = 6;
const UNIT: u16 = 7;
const NEED: u16 = 8;
const PERCENT: u16 = 9;
const ALLOW: u16 = 10;
const ON_HAND: u16 = 11;
const TO_BUY: u16 = 12;
const SOLD_AS: u16 = 13;
const PACK: u16 = 14;
const CHOSEN: u16 = 15;
const PACKS: u16 = 16;
const BUY: u16 = 17;
const LEFT_OVER: u16 = 18;
const PRICE: u16 = 19;
const DISCOUNT: u16 = 20;

/// The columns behind the discounts, whose number the price list decides.
#[derive(Clone, Copy)]
struct Behind {
    net: u16,
    per: u16,
    pack_price: u16,
    extended: u16,
    check: u16,
    alternative_id: u16,
    line_id: u16,
    item_id: u16,
    offer_id: u16,
    offer_row: u16,
    cost_line: u16,
    supplier_id: u16,
    row_id: u16,
    not_priced: u16,
    chosen_amount: u16,
    planned_for: u16,
    out_of_step: u16,
}

impl Behind {
    fn new(discounts: u16) -> Self {
        let at = |n: u16| DISCOUNT + discounts + n;
        Self {
            net: at(0),
            per: at(1),
            pack_price: at(2),
            extended: at(3),
            check: at(4),
            // One column is left empty before the keys.
            alternative_id: at(6),
            line_id: at(7),
            item_id: at(8),
            offer_id: at(9),
            offer_row: at(10),
            cost_line: at(11),
            supplier_id: at(12),
            row_id: at(13),
            not_priced: at(14),
            chosen_amount: at(15),
            planned_for: at(16),
            out_of_step: at(17),
        }
    }
}

/// Writes the sheet and names its columns.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Result<(), XlsxError> {
    let at = Behind::new(book.prices.discounts);
    let about = if book.live {
        "Shaded cells are choices; prices are edited on the sheet Prices, allowances and markups on Settings."
    } else {
        "The need is a value here: the sheet Reasons has more than 20,000 rows. Prices are edited on the sheet Prices."
    };
    let columns = columns(book, at);
    let mut page = Page::open(out, &book.binding, "Order", "Order", about, Paper::Landscape, columns)?;
    page.headings(PART + 1)?;
    let first = page.row;
    let rows = book.orders.clone();
    let mut turns = Vec::new();
    let mut before = None;
    for (row_id, row) in (1_u32..).zip(&rows) {
        if before.is_some_and(|alternative| alternative != row.alternative) {
            turns.push(page.row);
        }
        before = Some(row.alternative);
        what(&mut page, book, row)?;
        quantities(&mut page, book, at, row)?;
        money(&mut page, book, at, row)?;
        keys(&mut page, book, at, row, row_id)?;
        page.next();
    }
    let guard = page.row;
    page.put(PART, "insert rows above this line", &book.look().guard)?;
    page.next();
    totals(&mut page, book, at, (first, guard))?;
    page.sheet.set_page_breaks(&turns)?;
    page.sheet.set_print_area(0, 0, page.row, at.check)?;
    page.sheet.autofilter(first - 1, 0, guard.saturating_sub(1).max(first), at.check)?;
    name_columns(book, at, first, guard);
    Ok(())
}

fn columns(book: &Book<'_>, at: Behind) -> Vec<Column> {
    let mut columns = vec![
        column("alternative", 12.0, Kind::Text),
        column("supplier", 15.0, Kind::Text),
        column("code", 9.0, Kind::Text),
        column("part", 25.0, Kind::Text),
        column("system", 12.0, Kind::Text),
        column("size", 12.0, Kind::Text),
        column("phase", 10.0, Kind::Text),
        column("unit", 5.0, Kind::Text),
        column("need", 9.0, Kind::Whole),
        column("allow %", 6.5, Kind::Percent),
        column("allow", 6.5, Kind::Whole),
        column("on hand", 6.5, Kind::Whole),
        column("to buy", 9.0, Kind::Whole),
        column("sold as", 14.0, Kind::Text),
        column("pack", 7.0, Kind::Whole),
        column("packs chosen", 7.5, Kind::Whole),
        column("packs", 7.0, Kind::Whole),
        column("buy", 9.0, Kind::Whole),
        column("left over", 8.0, Kind::Whole),
        column("price", 9.0, Kind::Price),
    ];
    for n in 1..=book.prices.discounts {
        columns.push(column(&format!("off {n} %"), 6.0, Kind::Percent));
    }
    columns.extend([
        column("net", 9.0, Kind::Price),
        column("for", 6.5, Kind::Percent),
        column("pack price", 9.5, Kind::Price),
        column("extended", 11.0, Kind::Money),
        column("check", 12.0, Kind::Text),
        column("", 3.0, Kind::Text),
    ]);
    for key in [
        "alternative id",
        "line id",
        "item id",
        "offer id",
        "row in Prices",
        "cost line id",
        "supplier id",
        "row id",
        "not priced",
        "in packs chosen",
        "planned for",
        "out of step",
    ] {
        columns.push(column(key, 9.5, Kind::Percent));
    }
    debug_assert_eq!(columns.len(), usize::from(at.out_of_step) + 1);
    columns
}

/// What it is and who sells it.
fn what(page: &mut Page<'_>, book: &Book<'_>, row: &OrderRow<'_>) -> Result<(), XlsxError> {
    let words = &book.words;
    let item = row.line.item;
    let tone = if row.first { Tone::Plain } else { Tone::Muted };
    page.text(ALTERNATIVE, words.alternative(row.alternative), Tone::Muted)?;
    match row.pick {
        Some((_, offer)) => {
            page.text(SUPPLIER, words.supplier(offer), tone)?;
            page.text(CODE, &offer.code, tone)?;
            page.text(SOLD_AS, &words.sold_as(offer), Tone::Plain)?;
        }
        None => {
            let (words, tone) =
                if row.is_not_priced() { ("no offer", Tone::Warn) } else { ("on hand", Tone::Muted) };
            page.text(SUPPLIER, words, tone)?;
            page.text(CODE, "", tone)?;
            page.text(SOLD_AS, "", tone)?;
        }
    }
    let variant = words.variant(item);
    let name = words.part_name(item);
    let part = if variant.is_empty() { name.to_owned() } else { format!("{name}, {variant}") };
    page.text(PART, &part, tone)?;
    page.text(SYSTEM, words.item_system(item), tone)?;
    page.text(SIZE, &words.sizes(item), tone)?;
    page.text(PHASE, row.line.phase.word(), tone)?;
    page.text(UNIT, words.unit(item), tone)
}

/// From need to left over.
fn quantities(page: &mut Page<'_>, book: &Book<'_>, at: Behind, row: &OrderRow<'_>) -> Result<(), XlsxError> {
    let kind = book.quantity_kind(row.line.item);
    let line = row.line;
    let tone = if row.first { Tone::Plain } else { Tone::Muted };
    let here = |column: u16| format!("{}{}", letters(column), shown(page.row));
    let (need, percent, allow, on_hand, to_buy) =
        (here(NEED), here(PERCENT), here(ALLOW), here(ON_HAND), here(TO_BUY));
    let need_formula = format!(
        "=SUMIFS(reason_quantity,reason_item,{},reason_alternative,{})",
        here(at.item_id),
        here(at.alternative_id)
    );
    if book.live {
        page.formula_as(NEED, kind, &need_formula, line.need, tone)?;
    } else {
        page.number_as(NEED, kind, line.need, tone)?;
    }
    match allowance_name(book, row) {
        Some(name) => {
            page.formula(PERCENT, &format!("={name}"), line.allowance, tone)?;
            // Pieces are rounded up together with their allowance; amounts are not rounded, their packs are.
            let formula = match kind {
                Kind::Amount => format!("=IF({percent}<=0,0,ROUND({need}*{percent}/100,6))"),
                _ => format!(
                    "=IF({percent}<=0,0,MAX(0,ROUNDUP(ROUND({need}*(100+{percent})/100,6),0)-{need}))"
                ),
            };
            page.formula_as(ALLOW, kind, &formula, line.allow, tone)?;
        }
        None => {
            page.number(PERCENT, line.allowance, tone)?;
            page.number_as(ALLOW, kind, line.allow, tone)?;
        }
    }
    page.number_as(ON_HAND, kind, line.on_hand, if row.first { Tone::Input } else { Tone::Muted })?;
    page.formula_as(
        TO_BUY,
        kind,
        &format!("=MAX(0,ROUND({need}+{allow}-{on_hand},6))"),
        to_buy_of(row),
        tone,
    )?;
    let Some((pick, offer)) = row.pick else {
        for column in PACK..=LEFT_OVER {
            page.text(column, "", Tone::Plain)?;
        }
        return Ok(());
    };
    packs(page, book, at, row, (pick, offer))?;
    if row.last {
        let line_id = format!("{}{}", letters(at.line_id), shown(page.row));
        let formula = format!("=ROUND(SUMIFS(order_buy,order_line,{line_id})-{to_buy},6)");
        let left: Decimal = line.picks.iter().map(|pick| pick.left_over).sum();
        page.formula_as(LEFT_OVER, kind, &formula, left, Tone::Plain)?;
    } else {
        page.text(LEFT_OVER, "", Tone::Plain)?;
    }
    Ok(())
}

fn packs(
    page: &mut Page<'_>,
    book: &Book<'_>,
    at: Behind,
    row: &OrderRow<'_>,
    (pick, offer): (&Pick, &Offer),
) -> Result<(), XlsxError> {
    let kind = book.quantity_kind(row.line.item);
    let pack_kind = if kind == Kind::Length { Kind::Percent } else { kind };
    let here = |column: u16| format!("{}{}", letters(column), shown(page.row));
    let (pack, chosen, to_buy, packs) = (here(PACK), here(CHOSEN), here(TO_BUY), here(PACKS));
    let (offer_row, line_id) = (here(at.offer_row), here(at.line_id));
    let pack_formula = format!("=INDEX(price_pack,{offer_row})");
    page.formula_as(PACK, pack_kind, &pack_formula, book.words.pack(offer), Tone::Plain)?;
    if row.is_choice() {
        page.number(CHOSEN, pick.packs, Tone::Input)?;
        page.formula(PACKS, &format!("={chosen}"), pick.packs, Tone::Plain)?;
    } else {
        page.text(CHOSEN, "", Tone::Plain)?;
        let rest = if row.first {
            to_buy
        } else {
            format!("MAX(0,{to_buy}-SUMIFS(order_chosen,order_line,{line_id}))")
        };
        let formula = format!("=ROUNDUP(ROUND({rest}/{pack},6),0)");
        page.formula(PACKS, &formula, pick.packs, Tone::Plain)?;
    }
    page.formula_as(BUY, kind, &format!("={packs}*{pack}"), pick.buy, Tone::Plain)
}

/// What is left of the need after the shelf.
fn to_buy_of(row: &OrderRow<'_>) -> Decimal {
    let line = row.line;
    crate::ground::money::round_half_away(line.need + line.allow - line.on_hand, 6).max(Decimal::ZERO)
}

/// The named setting that the allowance of a line follows; nothing where it is a value of its own.
fn allowance_name(book: &Book<'_>, row: &OrderRow<'_>) -> Option<String> {
    let class = book.words.item(row.line.item).class;
    let follows = row.plan.is_none() && super::settings::has_allowance(book, class);
    (follows && row.line.allowance == super::settings::allowance(book, class))
        .then(|| super::settings::allowance_name(class))
}

/// From price to extended.
fn money(page: &mut Page<'_>, book: &Book<'_>, at: Behind, row: &OrderRow<'_>) -> Result<(), XlsxError> {
    let Some((pick, offer)) = row.pick else {
        for column in PRICE..at.extended {
            page.text(column, "", Tone::Plain)?;
        }
        return match row.is_not_priced() {
            true => page.text(at.extended, "not priced", Tone::Warn),
            false => page.number(at.extended, Decimal::ZERO, Tone::Plain),
        };
    };
    let here = |column: u16| format!("{}{}", letters(column), shown(page.row));
    let (packs, buy, pack, price, net, per, pack_price, offer_row) = (
        here(PACKS),
        here(BUY),
        here(PACK),
        here(PRICE),
        here(at.net),
        here(at.per),
        here(at.pack_price),
        here(at.offer_row),
    );
    let discounts: Vec<String> = (0..book.prices.discounts).map(|n| here(DISCOUNT + n)).collect();
    let (price_formula, quoted) = price_at(offer, pick, &packs, &offer_row);
    page.formula(PRICE, &price_formula, quoted, Tone::Plain)?;
    for n in 0..book.prices.discounts {
        let value = offer.discount.get(usize::from(n)).copied().unwrap_or_default();
        let formula = format!("=INDEX(price_discount_{},{offer_row})", n + 1);
        page.formula(DISCOUNT + n, &formula, value, Tone::Plain)?;
    }
    let factors: String = discounts.iter().map(|cell| format!("*(1-{cell}/100)")).collect();
    page.formula(at.net, &format!("=ROUND(ROUND({price}{factors},6),4)"), pick.net, Tone::Plain)?;
    page.formula(at.per, &format!("=INDEX(price_per,{offer_row})"), book.words.per(offer), Tone::Plain)?;
    let (unit_price, sum) = if row.is_loose() {
        (format!("={net}"), format!("=ROUND(ROUND({buy}*{net}/{per},6),2)"))
    } else {
        (
            format!("=ROUND(ROUND({net}*{pack}/{per},6),2)"),
            format!("=ROUND(ROUND({packs}*{pack_price},6),2)"),
        )
    };
    page.formula(at.pack_price, &unit_price, pick.price, Tone::Plain)?;
    page.formula(at.extended, &sum, pick.extended, Tone::Plain)
}

/// The price for so many packs: the least of the prices that the number bought reaches.
fn price_at(offer: &Offer, pick: &Pick, packs: &str, offer_row: &str) -> (String, Decimal) {
    let base = format!("INDEX(price_price,{offer_row})");
    let mut price = offer.price;
    let mut reached = Vec::new();
    for (n, (from, broken)) in (1..).zip(breaks(offer)) {
        reached.push(format!(
            "IF({packs}>=INDEX(price_from_{n},{offer_row}),INDEX(price_break_{n},{offer_row}),{base})"
        ));
        if pick.packs >= Decimal::from(from) {
            price = price.min(broken);
        }
    }
    let formula = if reached.is_empty() { format!("={base}") } else { format!("=MIN({base},{})", reached.join(",")) };
    (formula, price)
}

/// The integer ids that formulas look up, and the check of the row.
fn keys(
    page: &mut Page<'_>,
    book: &Book<'_>,
    at: Behind,
    row: &OrderRow<'_>,
    row_id: u32,
) -> Result<(), XlsxError> {
    let line = row.line;
    let here = |column: u16| format!("{}{}", letters(column), shown(page.row));
    let (need, to_buy, buy_line) = (here(NEED), here(TO_BUY), here(at.line_id));
    let (flag, planned, offer_id) = (here(at.out_of_step), here(at.planned_for), here(at.offer_id));
    let amount = format!("={}*{}", here(CHOSEN), here(PACK));
    let whole = |n: u32| Decimal::from(n);
    let index = |n: usize| Decimal::from(n + 1);
    let class = book.words.item(line.item).class;
    let cost_line = CostLine::ALL.iter().position(|l| *l == CostLine::of(class)).unwrap_or(0);
    page.number(at.alternative_id, index(row.alternative), Tone::Muted)?;
    page.number(at.line_id, whole(row.line_id), Tone::Muted)?;
    page.number(at.item_id, whole(line.item.0), Tone::Muted)?;
    page.number(at.cost_line, index(cost_line), Tone::Muted)?;
    page.number(at.row_id, whole(row_id), Tone::Muted)?;
    page.number(at.not_priced, Decimal::from(u8::from(row.is_not_priced())), Tone::Muted)?;
    let Some((pick, offer)) = row.pick else {
        if row.is_not_priced() {
            return page.text(at.check, "not priced", Tone::Warn);
        }
        page.formula(at.out_of_step, &format!("=IF({to_buy}>0,1,0)"), Decimal::ZERO, Tone::Muted)?;
        let formula = format!("=IF({flag}=0,\"ok\",\"not enough on hand\")");
        return page.formula_words(at.check, &formula, "ok", Tone::Muted);
    };
    page.number(at.offer_id, whole(pick.offer.0), Tone::Muted)?;
    let offer_row = Decimal::from(book.prices.row_of(pick.offer));
    page.formula(at.offer_row, &format!("=MATCH({offer_id},price_id,0)"), offer_row, Tone::Muted)?;
    page.number(at.supplier_id, Decimal::from(supplier_id(book, offer)), Tone::Muted)?;
    page.number(at.planned_for, line.need, Tone::Muted)?;
    if row.is_choice() {
        let held = pick.packs * book.words.pack(offer);
        page.formula(at.chosen_amount, &amount, held, Tone::Muted)?;
    }
    // Under a cut plan any change of the need asks for a new plan; larger packs must not hold more than is to buy.
    let test = if row.plan.is_some() {
        format!("=IF(ROUND({need}-{planned},6)=0,0,1)")
    } else if !row.first || !row.last {
        format!("=IF(ROUND(SUMIFS(order_chosen,order_line,{buy_line})-{to_buy},6)>0,1,0)")
    } else {
        format!("=IF(ROUND(SUMIFS(order_buy,order_line,{buy_line})-{to_buy},6)<0,1,0)")
    };
    page.formula(at.out_of_step, &test, Decimal::ZERO, Tone::Muted)?;
    let words = if row.plan.is_some() { "plan the cuts again" } else { "choose packs again" };
    page.formula_words(at.check, &format!("=IF({flag}=0,\"ok\",\"{words}\")"), "ok", Tone::Muted)
}

fn totals(page: &mut Page<'_>, book: &Book<'_>, at: Behind, (first, guard): (u32, u32)) -> Result<(), XlsxError> {
    let range = |column: u16| {
        let letters = letters(column);
        format!("${letters}${}:${letters}${}", shown(first), shown(guard))
    };
    for (index, alternative) in book.words.estimate.alternatives.iter().enumerate() {
        for column in 0..=at.check {
            page.text(column, "", Tone::Total)?;
        }
        page.text(ALTERNATIVE, book.words.alternative(index), Tone::Total)?;
        page.text(PART, "total material", Tone::Total)?;
        let formula =
            format!("=SUMIFS({},{},{})", range(at.extended), range(at.alternative_id), index + 1);
        page.formula(at.extended, &formula, alternative.cost.material, Tone::Total)?;
        page.next();
    }
    Ok(())
}

/// Names that other sheets and formulas read the columns by.
fn name_columns(book: &mut Book<'_>, at: Behind, first: u32, guard: u32) {
    for (name, column) in [
        ("order_alternative", at.alternative_id),
        ("order_line", at.line_id),
        ("order_cost_line", at.cost_line),
        ("order_supplier", at.supplier_id),
        ("order_row", at.row_id),
        ("order_not_priced", at.not_priced),
        ("order_out_of_step", at.out_of_step),
        ("order_chosen", at.chosen_amount),
        ("order_buy", BUY),
        ("order_packs", PACKS),
        ("order_extended", at.extended),
    ] {
        book.name(name, "Order", column, first, guard);
    }
}
