//! The sheet Suppliers: the order of each supplier with its delivery fee and minimum order, and what one supplier or
//! two would cost. Goods follow the sheet Order; minimum orders are choices, and fees are those of Settings; what another
//! choice of suppliers would cost is as it was planned.

use rust_decimal::Decimal;
use rust_xlsxwriter::Workbook;

use super::settings::supplier_fee_name;
use super::{Book, edits, id_of};
use crate::estimate::landed::{BuyingPlan, OneSupplier};
use crate::report::facts::fee_for_days;
use crate::report::form::{Page, Paper, Tone, Written, columns, letters, shown};

columns! {
    (book: &Book<'_>)
    WHO "supplier", book.supplier_width().max(34.0), Wrap;
    GOODS "goods", 12.0, Money;
    FEE "delivery", 12.0, Money;
    LANDED "landed", 12.0, Money;
    LEAST "minimum order", 14.0, Money;
    FILLED "top-up", 12.0, Money;
    CHECK "", 50.0, Wrap;
}
/// How many columns a band goes across.
const ACROSS: u16 = 7;

/// Writes the sheet and names its columns of fees and minimum orders.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let about = format!(
        "Goods follow the sheet Order, fees the sheet Settings. Minimum orders are edited in the first block (shaded).{}",
        book.printed()
    );
    let mut page =
        Page::open(out, &book.binding, "Suppliers", "Suppliers", &about, Paper::Landscape, columns(book))?;
    page.headings(0)?;
    let band = "What suppliers charge beside their goods";
    page.band_as_estimated(band, (ACROSS, CHECK), &book.look().band)?;
    let first = page.row;
    for (id, supplier) in (1..).zip(book.suppliers.clone()) {
        let (fee, least) = terms_of(book, supplier);
        page.text(0, supplier, Tone::Plain)?;
        page.blanks([GOODS, LANDED, FILLED], Tone::Plain)?;
        page.formula(FEE, &format!("={}", supplier_fee_name(id)), fee, Tone::Plain)?;
        page.number(LEAST, least, Tone::Input)?;
        let words = why(book, supplier);
        page.words_as_estimated(CHECK, &words, Tone::Muted)?;
        page.end_fitted(&[(CHECK, &words)])?;
    }
    let guard = page.row;
    book.name("supplier_fee", "Suppliers", FEE, first, guard);
    book.name("supplier_least", "Suppliers", LEAST, first, guard);
    page.next();
    book.each_alternative(&mut page, ACROSS - 1, |page, index, alternative| {
        let band = format!("Orders for {}", book.words.alternative(index));
        page.band_as_estimated(&band, (ACROSS, CHECK), &book.look().band)?;
        orders(page, book, index, &alternative.buying)?;
        others(page, book, &alternative.buying)
    })?;
    super::returns::write(&mut page, book, ACROSS)?;
    edits::close(page, book, "Suppliers")
}

/// What is shown of a supplier from which nothing is ordered.
const NOTHING: &str = "nothing is ordered here";

/// What the chosen alternative orders there, or why nothing.
fn why(book: &Book<'_>, supplier: &str) -> String {
    let Some(plan) = book.words.estimate.alternatives.first().map(|chosen| &chosen.buying) else {
        return String::new();
    };
    if plan.suppliers.iter().any(|order| book.words.word(order.supplier) == supplier) {
        return match fee_for_days(&book.words, supplier) {
            Some(days) => days,
            None => "delivery once an order; the minimum order".to_owned(),
        };
    }
    match plan.with_one.iter().find(|one| book.words.word(one.supplier) == supplier) {
        Some(one) => format!("{NOTHING}; all from it: {}", against(book, plan, one)),
        None => format!("{NOTHING}: it sells none of what is bought for {}", book.words.alternative(0)),
    }
}

/// Delivery fee and minimum order of a supplier, as the job says.
fn terms_of(book: &Book<'_>, supplier: &str) -> (Decimal, Decimal) {
    let job = book.words.job;
    let row = job.lexicon.find(supplier).and_then(|name| job.supplier(name));
    row.map_or((Decimal::ZERO, Decimal::ZERO), |row| (row.delivery_fee, row.minimum_order))
}

/// The orders of one alternative and their sum.
fn orders(page: &mut Page<'_>, book: &Book<'_>, index: usize, plan: &BuyingPlan) -> Written {
    let first = page.row;
    for (id, supplier) in (0_u32..).zip(&book.suppliers) {
        let order = plan.suppliers.iter().find(|order| book.words.word(order.supplier) == *supplier);
        let (id, alternative) = (id_of(id), index + 1);
        let goods = format!("=SUMIFS(order_extended,order_alternative,{alternative},order_supplier,{id})");
        let lines = format!("COUNTIFS(order_alternative,{alternative},order_supplier,{id})");
        let (goods_at, fee_at, least_at) = (page.here(GOODS), page.here(FEE), page.here(LEAST));
        let of =
            |sum: fn(&crate::estimate::landed::SupplierOrder) -> Decimal| order.map(sum).unwrap_or_default();
        let (sum, fee) = (of(|order| order.goods), of(|order| order.fee));
        page.text(0, supplier, Tone::Plain)?;
        page.formula(GOODS, &goods, sum, Tone::Plain)?;
        page.formula(FEE, &format!("=IF({lines}>0,INDEX(supplier_fee,{id}),0)"), fee, Tone::Plain)?;
        page.formula(LANDED, &format!("={goods_at}+{fee_at}"), sum + fee, Tone::Plain)?;
        let least = of(|order| order.minimum_order);
        page.formula(LEAST, &format!("=IF({lines}>0,INDEX(supplier_least,{id}),0)"), least, Tone::Plain)?;
        page.as_estimated(FILLED, of(|order| order.topped_up), Tone::Muted)?;
        let words = match order {
            Some(order) if !order.met => "below the minimum order",
            Some(_) => "ok",
            None => NOTHING,
        };
        let check = format!(
            "=IF({lines}=0,\"{NOTHING}\",IF(ROUND({goods_at}-{least_at},2)<0,\"below the minimum order\",\"ok\"))"
        );
        page.formula_words(CHECK, &check, words, Tone::Muted)?;
        page.next();
    }
    let last = page.row;
    let [lacks, of] = [GOODS, LEAST].map(letters);
    let row = shown(first);
    page.color_where(CHECK, (first, last), &format!("=ROUND(${lacks}{row}-${of}{row},2)<0"))?;
    page.text(0, "all orders", Tone::Total)?;
    for (column, sum) in [(GOODS, plan.goods()), (FEE, plan.fees()), (LANDED, plan.cost)] {
        let formula = if last > first { Page::sum(column, (first, last - 1)) } else { "=0".to_owned() };
        page.formula(column, &formula, sum, Tone::Total)?;
    }
    page.blanks([LEAST, FILLED], Tone::Total)?;
    let planned = format!("planned at {}: {}", plan.cost, plan.said());
    page.words_as_estimated(CHECK, &planned, Tone::Total)?;
    page.end_fitted(&[(CHECK, &planned)])
}

/// What other choices of suppliers would cost, as planned.
fn others(page: &mut Page<'_>, book: &Book<'_>, plan: &BuyingPlan) -> Written {
    for one in &plan.with_one {
        let name = format!("all from {}", book.words.word(one.supplier));
        row(page, &name, one.landed, &against(book, plan, one))?;
    }
    match &plan.with_two {
        Some(two) => {
            let names: Vec<&str> = two.suppliers.iter().map(|name| book.words.word(*name)).collect();
            let words = format!("{}; {}", names.join(" and "), plan.said_of_few(two));
            row(page, "from at most two", Some(two.landed), &words)
        }
        None if plan.with_one.is_empty() => Ok(()),
        None => {
            let words = "no two suppliers sell all that is sold, or reach their minimum orders";
            row(page, "from at most two", None, words)
        }
    }
}

fn row(page: &mut Page<'_>, name: &str, landed: Option<Decimal>, words: &str) -> Written {
    page.text(0, name, Tone::Muted)?;
    page.blanks([GOODS, FEE, LEAST, FILLED], Tone::Muted)?;
    match landed {
        Some(landed) => page.as_estimated(LANDED, landed, Tone::Muted)?,
        None => page.text(LANDED, "-", Tone::Muted)?,
    }
    page.words_as_estimated(CHECK, words, Tone::Muted)?;
    page.end_fitted(&[(0, name), (CHECK, words)])
}

/// How one supplier compares with the plan, or what it lacks.
fn against(book: &Book<'_>, plan: &BuyingPlan, one: &OneSupplier) -> String {
    match (one.landed, one.lacks.as_slice()) {
        (Some(landed), _) if landed == plan.cost => "no dearer than the plan".to_owned(),
        (Some(landed), _) => format!("{} more than the plan", landed - plan.cost),
        (None, []) => "its minimum order cannot be reached".to_owned(),
        (None, [first, rest @ ..]) => {
            let name = format!("{} {}", book.words.part_name(*first), book.words.sizes(*first));
            match rest.len() {
                0 => format!("lacks {}", name.trim_end()),
                more => format!("lacks {} and {more} more", name.trim_end()),
            }
        }
    }
}
