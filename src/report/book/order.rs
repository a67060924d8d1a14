//! The sheet Order: what every alternative buys, one row a pick, from need to extended sum. The number of larger
//! packs, and of coils and sticks under a cut plan, is a choice and a value; all else is a formula over its own row,
//! named settings, and lookups by integer ids.

use rust_decimal::Decimal;
use rust_xlsxwriter::{Workbook, XlsxError};

use super::order_columns::{
    ALLOW, ALTERNATIVE, BUY, Behind, CHECK, CHOSEN, DISCOUNT, EXTENDED, LEFT_OVER, NEED, ON_HAND, PACK,
    PACK_PRICE, PACKS, PART, PERCENT, PHASE, PRICE, SHELF, SOLD_AS, SUPPLIER, TO_BUY, UNIT,
};
use super::rivals::CHEAPER;
use super::{Book, edits, id_of, settings, supplier_id};
use crate::estimate::costing;
use crate::estimate::order::{CostLine, Pick};
use crate::report::facts::{OrderRow, plain};
use crate::report::form::{Kind, Page, Paper, Tone, Written, letters, shown};
use crate::trade::{Class, Offer, Taxed};

/// Writes the sheet and names its columns.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let at = Behind::new(book.prices.discounts);
    let about = if book.live {
        "Packs follow the need; shaded cells to the right are choices. Edit prices on Prices, allowances on Settings."
    } else {
        "The need is a value here: the sheet Reasons has more than 20,000 rows. Prices are edited on the sheet Prices."
    };
    let about = format!("{about}{}", book.printed());
    let columns = super::order_columns::all(book);
    let mut page = Page::open(out, &book.binding, "Order", "Order", &about, Paper::Landscape, columns)?;
    total_above(&mut page, book)?;
    page.headings(PART + 1)?;
    let first = page.row;
    let rows = book.orders.clone();
    let mut printed = page.row;
    for (row_id, row) in (1_u32..).zip(&rows) {
        identity(&mut page, book, row)?;
        quantities(&mut page, book, at, row)?;
        money(&mut page, book, at, row)?;
        ids(&mut page, book, at, row, row_id)?;
        if row.alternative == 0 {
            printed = page.row;
        }
        page.next();
    }
    let [flag, cheaper] = [at.out_of_step, at.cheaper].map(letters);
    let row = shown(first);
    page.color_where(CHECK, (first, page.row), &format!("=${flag}{row}+${cheaper}{row}>0"))?;
    let guard = page.guard(PART, false)?;
    totals(&mut page, book, at, (first, guard))?;
    page.print_to(printed, EXTENDED)?;
    page.filter((first, guard), PHASE)?;
    name_columns(book, at, first, guard);
    edits::close(page, book, "Order")
}

/// What it is and who sells it.
fn identity(page: &mut Page<'_>, book: &Book<'_>, row: &OrderRow<'_>) -> Written {
    let words = &book.words;
    let item = row.line.item;
    let tone = if row.first { Tone::Plain } else { Tone::Muted };
    page.text(ALTERNATIVE, words.alternative(row.alternative), Tone::Muted)?;
    match row.pick {
        Some((_, offer)) => {
            page.texts(SUPPLIER, [words.supplier(offer), &offer.code], tone)?;
            page.text(SOLD_AS, &words.sold_as(offer), Tone::Plain)?;
        }
        None => {
            let (words, tone) = match row.is_not_priced() {
                true => ("no offer", Tone::Warn),
                false if row.is_built(words) => ("made up", Tone::Muted),
                false if row.line.is_spared() => ("spared", Tone::Muted),
                false => ("on hand", Tone::Muted),
            };
            page.texts(SUPPLIER, [words, ""], tone)?;
            page.text(SOLD_AS, "", tone)?;
        }
    }
    page.texts(PART, [&*words.part_and_variant(item), words.item_system(item), &words.sizes(item)], tone)?;
    page.text(UNIT, words.unit(item), tone)?;
    page.text(PHASE, row.line.phase.word(), tone)
}

/// From need to left over.
fn quantities(page: &mut Page<'_>, book: &Book<'_>, at: Behind, row: &OrderRow<'_>) -> Written {
    let kind = book.quantity_kind(row.line.item);
    let line = row.line;
    let tone = if row.first { Tone::Plain } else { Tone::Muted };
    let (need, percent, allow, on_hand, to_buy) =
        (page.here(NEED), page.here(PERCENT), page.here(ALLOW), page.here(ON_HAND), page.here(TO_BUY));
    // What cut plans add to the takeoff, or spare of it, is a choice: a value beside the sum of the reasons.
    let by_plan = match line.by_plan {
        zero if zero.is_zero() => String::new(),
        more if more.is_sign_positive() => format!("+{}", plain(more)),
        less => plain(less),
    };
    let (item_id, alternative_id) = (page.here(at.item_id), page.here(at.alternative_id));
    let need_formula = format!(
        "=SUMIFS(reason_quantity,reason_item,{item_id},reason_alternative,{alternative_id}){by_plan}"
    );
    if book.live {
        page.formula_as(NEED, kind, &need_formula, line.need, tone)?;
    } else {
        page.number_as(NEED, kind, line.need, tone)?;
    }
    match follows_allowance(book, row) && row.built(&book.words).is_zero() {
        true => {
            let class = book.words.item(line.item).class;
            let formula = super::settings::allowance_formula(book, class, &need);
            page.formula(PERCENT, &formula, line.allowance, tone)?;
            // Pieces are rounded up together with their allowance; amounts are not rounded, their packs are.
            let added = match kind == Kind::Amount {
                true => format!("ROUND({need}*{percent}/100,6)"),
                false => format!("MAX(0,ROUNDUP(ROUND({need}*(100+{percent})/100,6),0)-{need})"),
            };
            page.formula_as(ALLOW, kind, &format!("=IF({percent}<=0,0,{added})"), line.allow, tone)?;
        }
        false => {
            for (column, kind, number) in
                [(PERCENT, Kind::Percent, line.allowance), (ALLOW, kind, line.allow)]
            {
                match number.is_zero() {
                    true => page.text(column, "", tone)?,
                    false => page.as_estimated_as(column, (kind, number), tone)?,
                }
            }
        }
    }
    shelf(page, at, row, kind)?;
    let formula = format!("=MAX(0,ROUND({need}+{allow}-{on_hand},6))");
    page.formula_as(TO_BUY, kind, &formula, line.to_buy(), tone)?;
    let Some((pick, offer)) = row.pick else {
        page.blanks([PACKS, BUY, LEFT_OVER], Tone::Plain)?;
        return Ok(());
    };
    packs(page, book, at, row, (pick, offer))?;
    if row.last {
        let line_id = page.here(at.line_id);
        let formula = format!("=MAX(0,ROUND(SUMIFS(order_buy,order_line,{line_id})-{to_buy},6))");
        page.formula_as(LEFT_OVER, kind, &formula, line.left_over(), Tone::Plain)?;
    } else {
        page.text(LEFT_OVER, "", Tone::Plain)?;
    }
    Ok(())
}

/// What the shelf gives stands once a line; further rows of the line look it up.
fn shelf(page: &mut Page<'_>, at: Behind, row: &OrderRow<'_>, kind: Kind) -> Written {
    let tone = if row.first { Tone::Plain } else { Tone::Muted };
    let formula = match (row.first, row.last) {
        (true, true) => format!("={}", page.here(SHELF)),
        _ => format!("=SUMIFS(order_shelf,order_line,{})", page.here(at.line_id)),
    };
    page.formula_as(ON_HAND, kind, &formula, row.line.on_hand, tone)?;
    match row.first {
        true => page.number_as(SHELF, kind, row.line.on_hand, Tone::Input),
        false => page.text(SHELF, "", Tone::Plain),
    }
}

fn packs(
    page: &mut Page<'_>,
    book: &Book<'_>,
    at: Behind,
    row: &OrderRow<'_>,
    (pick, offer): (&Pick, &Offer),
) -> Written {
    let kind = book.quantity_kind(row.line.item);
    let pack_kind = if kind == Kind::Length { Kind::Percent } else { kind };
    let (pack, chosen, to_buy, packs) =
        (page.here(PACK), page.here(CHOSEN), page.here(TO_BUY), page.here(PACKS));
    let (offer_row, line_id) = (page.here(at.offer_row), page.here(at.line_id));
    let holds = book.words.pack(offer);
    let count = pick.count(offer, holds);
    page.formula_as(PACK, pack_kind, &format!("=INDEX(price_pack,{offer_row})"), holds, Tone::Plain)?;
    if row.is_choice() {
        page.number(CHOSEN, pick.packs, Tone::Input)?;
        page.formula(PACKS, &format!("={chosen}"), pick.packs, Tone::Plain)?;
    } else {
        let rest = if row.first {
            to_buy
        } else {
            format!("MAX(0,{to_buy}-SUMIFS(order_chosen,order_line,{line_id}))")
        };
        let formula = format!("ROUNDUP(ROUND({rest}/{pack},6),0)");
        // More than the rest asks for is bought where a break makes it cheaper: that number is a choice too.
        if row.is_more_than_fewest(&book.words) {
            page.number(CHOSEN, count, Tone::Input)?;
            page.formula(PACKS, &format!("=MAX({chosen},{formula})"), count, Tone::Plain)?;
        } else {
            page.text(CHOSEN, "", Tone::Plain)?;
            page.formula(PACKS, &format!("={formula}"), count, Tone::Plain)?;
        }
    }
    page.formula_as(BUY, kind, &format!("={packs}*{pack}"), pick.buy, Tone::Plain)
}

/// Whether the allowance of a line follows that of its class; else it is a value of its own.
fn follows_allowance(book: &Book<'_>, row: &OrderRow<'_>) -> bool {
    let class = book.words.item(row.line.item).class;
    let whole_lengths = class == Class::Tube && !row.is_loose();
    let of_class = book.words.job.settings.added_to(class, row.line.need);
    !whole_lengths && super::settings::has_allowance(class) && row.line.allowance == of_class
}

/// From price to extended.
fn money(page: &mut Page<'_>, book: &Book<'_>, at: Behind, row: &OrderRow<'_>) -> Written {
    let Some((pick, offer)) = row.pick else {
        page.text(PACK_PRICE, "", Tone::Plain)?;
        return match row.is_not_priced() {
            true => page.text(EXTENDED, "not priced", Tone::Warn),
            false => page.text(EXTENDED, "", Tone::Plain),
        };
    };
    let (packs, buy, pack, price, net, per, pack_price, offer_row) = (
        page.here(PACKS),
        page.here(BUY),
        page.here(PACK),
        page.here(PRICE),
        page.here(at.net),
        page.here(at.per),
        page.here(PACK_PRICE),
        page.here(at.offer_row),
    );
    let discounts: Vec<String> = (0..book.prices.discounts).map(|n| page.here(DISCOUNT + n)).collect();
    let (price_formula, quoted) =
        price_at(offer, pick.count(offer, book.words.pack(offer)), &packs, &offer_row);
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
        (format!("=ROUND(ROUND({net}*{pack}/{per},6),2)"), format!("=ROUND(ROUND({packs}*{pack_price},6),2)"))
    };
    page.formula(PACK_PRICE, &unit_price, pick.price, Tone::Plain)?;
    page.formula(EXTENDED, &sum, pick.extended, Tone::Plain)
}

/// The price for so many packs: the least of the prices that the number bought reaches.
fn price_at(offer: &Offer, count: Decimal, packs: &str, offer_row: &str) -> (String, Decimal) {
    let base = format!("INDEX(price_price,{offer_row})");
    let reached: String = (1..=offer.breaks_in_reach().len())
        .map(|n| {
            format!(
                ",IF({packs}>=INDEX(price_from_{n},{offer_row}),INDEX(price_break_{n},{offer_row}),{base})"
            )
        })
        .collect();
    let formula = if reached.is_empty() { format!("={base}") } else { format!("=MIN({base}{reached})") };
    (formula, offer.price_for(count))
}

/// The integer ids that formulas look up, and the check of the row.
fn ids(page: &mut Page<'_>, book: &Book<'_>, at: Behind, row: &OrderRow<'_>, row_id: u32) -> Written {
    let line = row.line;
    let (need, to_buy, buy_line) = (page.here(NEED), page.here(TO_BUY), page.here(at.line_id));
    let (flag, planned, offer_id) =
        (page.here(at.out_of_step), page.here(at.planned_for), page.here(at.offer_id));
    let amount = format!("={}*{}", page.here(CHOSEN), page.here(PACK));
    let whole = |n: u32| Decimal::from(n);
    let index = |n: usize| Decimal::from(n + 1);
    let class = book.words.item(line.item).class;
    let cost_line = CostLine::ALL.iter().position(|l| *l == CostLine::of(class)).unwrap_or(0);
    page.number(at.alternative_id, index(row.alternative), Tone::Muted)?;
    page.number(at.line_id, whole(row.line_id), Tone::Muted)?;
    page.number(at.item_id, id_of(line.item.0), Tone::Muted)?;
    page.number(at.cost_line, index(cost_line), Tone::Muted)?;
    page.number(at.row_id, whole(row_id), Tone::Muted)?;
    page.number(at.not_priced, Decimal::from(u8::from(row.is_not_priced())), Tone::Muted)?;
    tax(page, book, at, row)?;
    let watched = other_offers(page, book, at, row)?;
    let Some((pick, offer)) = row.pick else {
        if row.is_not_priced() {
            return page.text(CHECK, "not priced", Tone::Warn);
        }
        page.formula(at.out_of_step, &format!("=IF({to_buy}>0,1,0)"), Decimal::ZERO, Tone::Muted)?;
        let formula = format!("=IF({flag}=0,\"ok\",\"not enough on hand\")");
        return page.formula_words(CHECK, &formula, "ok", Tone::Muted);
    };
    page.number(at.offer_id, id_of(pick.offer.0), Tone::Muted)?;
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
        // Larger packs that already hold more were bought so that an order reaches the minimum order of its supplier.
        let larger = line.in_larger_packs();
        let most = if larger > line.to_buy() { format!("MAX({to_buy},{})", plain(larger)) } else { to_buy };
        format!("=IF(ROUND(SUMIFS(order_chosen,order_line,{buy_line})-{most},6)>0,1,0)")
    } else {
        format!("=IF(ROUND(SUMIFS(order_buy,order_line,{buy_line})-{to_buy},6)<0,1,0)")
    };
    page.formula(at.out_of_step, &test, Decimal::ZERO, Tone::Muted)?;
    let words = if row.plan.is_some() { "plan the cuts again" } else { "choose packs again" };
    let ok = match watched {
        true => format!("IF({}=0,\"ok\",\"{CHEAPER}\")", page.here(at.cheaper)),
        false => "\"ok\"".to_owned(),
    };
    page.formula_words(CHECK, &format!("=IF({flag}=0,{ok},\"{words}\")"), "ok", Tone::Muted)
}

/// What the line would cost from the cheapest other offer, and whether that is less than what was chosen by more than it was
/// as estimated. Whether any other serves it.
fn other_offers(
    page: &mut Page<'_>,
    book: &Book<'_>,
    at: Behind,
    row: &OrderRow<'_>,
) -> Result<bool, XlsxError> {
    let (to_buy, line) = (page.here(TO_BUY), page.here(at.line_id));
    let Some((formula, least, saved)) =
        book.rivals.cheapest(&book.words, row, (&to_buy, &line)).filter(|_| row.first)
    else {
        return Ok(false);
    };
    page.formula(at.other, &formula, least, Tone::Muted)?;
    let chosen = format!("SUMIFS(order_extended,order_line,{line})");
    let formula = format!("=IF(ROUND({chosen}-{}-{},2)>0,1,0)", page.here(at.other), plain(saved));
    page.formula(at.cheaper, &formula, Decimal::ZERO, Tone::Muted)?;
    Ok(true)
}

/// The sales tax on a row at the rate of its class, not rounded: it is rounded once, in the sum. An exempt part has none.
fn tax(page: &mut Page<'_>, book: &Book<'_>, at: Behind, row: &OrderRow<'_>) -> Written {
    let (job, item) = (book.words.job, book.words.item(row.line.item));
    let Some(tax) = row.pick.and_then(|(pick, _)| costing::tax_on(job, item, pick.extended)) else {
        return page.text(at.tax, "", Tone::Muted);
    };
    let rate = settings::tax_name(Taxed::Class(item.class));
    page.formula(at.tax, &format!("={}*{rate}/100", page.here(EXTENDED)), tax, Tone::Muted)
}

/// What the chosen system's order comes to, above its rows: the sums of all systems stand below them.
fn total_above(page: &mut Page<'_>, book: &Book<'_>) -> Written {
    let Some(chosen) = book.words.estimate.alternatives.first() else { return Ok(()) };
    page.blanks(0..=CHECK, Tone::Total)?;
    page.text(ALTERNATIVE, book.words.alternative(0), Tone::Total)?;
    page.text(PART, "total material", Tone::Total)?;
    let formula = "=SUMIFS(order_extended,order_alternative,1)";
    page.formula(EXTENDED, formula, chosen.cost.material, Tone::Total)?;
    page.end()
}

fn totals(page: &mut Page<'_>, book: &Book<'_>, at: Behind, (first, guard): (u32, u32)) -> Written {
    let range = |column: u16| {
        let letters = letters(column);
        format!("${letters}${}:${letters}${}", shown(first), shown(guard))
    };
    for (index, alternative) in book.words.estimate.alternatives.iter().enumerate() {
        page.blanks(0..=CHECK, Tone::Total)?;
        page.text(ALTERNATIVE, book.words.alternative(index), Tone::Total)?;
        page.text(PART, "total material", Tone::Total)?;
        let formula = format!("=SUMIFS({},{},{})", range(EXTENDED), range(at.alternative_id), index + 1);
        page.formula(EXTENDED, &formula, alternative.cost.material, Tone::Total)?;
        page.next();
    }
    Ok(())
}

/// Names that other sheets and formulas read the columns by.
fn name_columns(book: &mut Book<'_>, at: Behind, first: u32, guard: u32) {
    let names = [
        ("order_alternative", at.alternative_id),
        ("order_line", at.line_id),
        ("order_need", NEED),
        ("order_cost_line", at.cost_line),
        ("order_supplier", at.supplier_id),
        ("order_row", at.row_id),
        ("order_not_priced", at.not_priced),
        ("order_out_of_step", at.out_of_step),
        ("order_tax", at.tax),
        ("order_cheaper", at.cheaper),
        ("order_chosen", at.chosen_amount),
        ("order_shelf", SHELF),
        ("order_buy", BUY),
        ("order_packs", PACKS),
        ("order_extended", EXTENDED),
        ("order_pack_price", PACK_PRICE),
        ("order_price_for", at.per),
        ("order_pack", PACK),
        ("order_on_hand", ON_HAND),
        ("order_to_buy", TO_BUY),
    ];
    book.names("Order", (first, guard), &names);
}
