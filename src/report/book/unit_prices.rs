//! The sheet Unit prices: what one more of each part and foot, and one more run like one of the job, is asked for.
//! Prices paid follow the order, percentages the settings. They are inside figures but for the last column.

use rust_decimal::Decimal;
use rust_xlsxwriter::Workbook;

use super::settings::{allowance_formula, has_allowance, tax_name};
use super::{Book, UNIT_PRICES, WIDEST, edits};
use crate::estimate::costing;
use crate::estimate::item::ItemId;
use crate::estimate::unit_prices::{Asked, RunPrice, UnitPrice, unit_prices};
use crate::report::facts::OrderRow;
use crate::report::facts::plain;
use crate::report::form::{Kind, Page, Paper, Tone, Written, columns, letters, shown};
use crate::trade::Taxed;

columns! {
    ()
    PART "part", 26.0, Text;
    SIZE "size", 13.0, Text;
    SYSTEM "system, variant", 18.0, Text;
    UNIT "one", 6.0, Text;
    PAID "paid", 10.0, Price;
    ALLOWANCE "allow %", 7.0, Percent;
    MATERIAL "material", 10.0, Price;
    JOINTS "joints", 9.0, Price;
    HOURS "hours", 8.0, Price;
    LABOR "labor", 9.0, Price;
    DIRECT "direct cost", 10.0, Price;
    PRICE "price", 10.0, Money;
    TAX "sales tax", 9.0, Money;
    ASKED "to ask", 11.0, Money;
}
const ACROSS: u16 = 14;

const NOTES: &str = "Paid is the average of the packs of the order; of a fitting that is made up, of what it is made up from. Material has the allowance of its class on it. Joints \
     is what the part's own joints consume. Labor is the hours of the part and its joints by the table labor, at \
     the rate of the crew. A foot of tube is without its supports, which have their own rows; a run has its own, and what \
     is at its place if it is the run that brings it. Delivery, tools and fees are not in these prices. Each row is \
     rounded to cents once for the price and once for the tax.";

/// Writes the sheet.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let words = book.words;
    let currency = &*words.job.settings.currency;
    let system = words.alternative(0);
    let about =
        format!("What one more is asked for, installed, in {system}. Sums in {currency}. Inside figures.");
    let (name, title) = (UNIT_PRICES, "Unit prices for extras");
    let mut page = Page::open(out, &book.binding, name, title, &about, Paper::Landscape, columns())?;
    let Some(chosen) = words.estimate.alternatives.first() else {
        page.paragraph("Nothing could be taken off.", ACROSS, &book.look().banner)?;
        return edits::close(page, book, UNIT_PRICES);
    };
    page.paragraph(NOTES, ACROSS, &book.look().subtitle_wrapped)?;
    page.next();
    page.text(PART, "labor an hour of one person", Tone::Plain)?;
    let rate = chosen.labor.rate.unwrap_or_default();
    match words.priced_labor() {
        true => page.formula_as(PAID, Kind::Price, "=labor_rate", rate, Tone::Plain)?,
        false => page.number_as(PAID, Kind::Price, rate, Tone::Input)?,
    }
    book.name_cell("unit_labor_rate", UNIT_PRICES, PAID, page.row);
    page.next();
    page.headings(PART + 1)?;
    let (parts, runs) = unit_prices(words.job, &words.estimate.items, chosen);
    let first = page.row;
    for one in &parts {
        part(&mut page, book, &parts, first, one)?;
    }
    if !runs.is_empty() {
        page.next();
        let words = "One more run like this one, by the lines of its own takeoff, its tee and its supports among them";
        page.band(words, ACROSS, &book.look().block)?;
    }
    for one in &runs {
        run(&mut page, book, &parts, first, one)?;
    }
    page.print_to(page.row, ACROSS - 1)?;
    page.widen(WIDEST)?;
    edits::close(page, book, UNIT_PRICES)
}

/// The row of a unit price, as a spreadsheet shows it.
fn row_of(first: u32, place: usize) -> u32 {
    shown(first.saturating_add(u32::try_from(place).unwrap_or(0)))
}

/// The named rate of sales tax on an item; nothing where it is exempt.
fn rate(book: &Book<'_>, item: ItemId) -> Option<String> {
    let item = book.words.item(item);
    (!costing::is_exempt(book.words.job, item)).then(|| tax_name(Taxed::Class(item.class)))
}

fn part(page: &mut Page<'_>, book: &Book<'_>, parts: &[UnitPrice], first: u32, one: &UnitPrice) -> Written {
    let words = &book.words;
    let tone = if one.whole { Tone::Plain } else { Tone::Warn };
    page.text(PART, words.part_name(one.item), tone)?;
    page.text(SIZE, &words.sizes(one.item), Tone::Plain)?;
    let (system, variant) = (words.item_system(one.item), words.variant(one.item));
    let both = [system, &*variant].into_iter().filter(|word| !word.is_empty()).collect::<Vec<_>>().join(", ");
    page.text(SYSTEM, &both, Tone::Muted)?;
    page.text(UNIT, words.unit(one.item), Tone::Plain)?;
    let is_its = |row: &OrderRow<'_>| row.alternative == 0 && row.line.item == one.item;
    let place_in_order = book.orders.iter().position(is_its);
    let id = place_in_order.map_or(0, |at| book.orders[at].line_id);
    let place = |item: ItemId| parts.iter().position(|other| other.item == item).unwrap_or(0);
    // Of what is built, what its parts are paid for.
    let paid_for = |(item, amount): &(ItemId, Decimal)| {
        format!("{}*{}{}", plain(*amount), letters(PAID), row_of(first, place(*item)))
    };
    let within = one.built_of.iter().map(paid_for).collect::<Vec<_>>().join("+");
    let paid = match within.is_empty() {
        true => format!(
            "=ROUND(ROUND(SUMIFS(order_extended,order_line,{id})/SUMIFS(order_buy,order_line,{id}),6),4)"
        ),
        false => format!("=ROUND(ROUND({within},6),4)"),
    };
    page.formula(PAID, &paid, one.paid, Tone::Plain)?;
    let class = words.item(one.item).class;
    match has_allowance(class) {
        true => {
            let need = format!("INDEX(order_need,{})", place_in_order.map_or(0, |at| at + 1));
            page.formula(ALLOWANCE, &allowance_formula(book, class, &need), one.allowance, Tone::Muted)?
        }
        false => page.text(ALLOWANCE, "", Tone::Muted)?,
    }
    let (paid, allowance, material) = (page.here(PAID), page.here(ALLOWANCE), page.here(MATERIAL));
    let formula = format!("=ROUND(ROUND({paid}*(100+{allowance})/100,6),4)");
    page.formula(MATERIAL, &formula, one.material, Tone::Plain)?;
    let of = |(item, amount): &(ItemId, Decimal)| {
        (
            format!("{}*${}${}", plain(*amount), letters(MATERIAL), row_of(first, place(*item))),
            rate(book, *item),
        )
    };
    let consumed: Vec<(String, Option<String>)> = one.consumed.iter().map(of).collect();
    if consumed.is_empty() {
        page.text(JOINTS, "", Tone::Plain)?;
    } else {
        let sum = consumed.iter().map(|(cost, _)| cost.as_str()).collect::<Vec<_>>().join("+");
        page.formula(JOINTS, &format!("=ROUND(ROUND({sum},6),4)"), one.joints, Tone::Plain)?;
    }
    match one.work.is_empty() {
        true => page.text(HOURS, "", Tone::Muted)?,
        false => {
            let of = |(row, times): &(usize, u32)| {
                format!("{times}*INDEX(hours_hours,{0})/INDEX(hours_for,{0})", row + 1)
            };
            let by_table = one.work.iter().map(of).collect::<Vec<_>>().join("+");
            let formula = format!("=ROUND(ROUND(ROUND({by_table},6)*100/productivity_percent,6),4)");
            page.formula(HOURS, &formula, one.hours, Tone::Muted)?;
        }
    }
    let formula = format!("=ROUND(ROUND({}*unit_labor_rate,6),4)", page.here(HOURS));
    page.formula(LABOR, &formula, one.labor, Tone::Plain)?;
    let mut taxed: Vec<String> =
        rate(book, one.item).map(|rate| format!("{material}*{rate}")).into_iter().collect();
    taxed.extend(consumed.into_iter().filter_map(|(cost, rate)| Some(format!("{cost}*{}", rate?))));
    let bought = format!("({material}+{})", page.here(JOINTS));
    asks(page, &bought, &taxed, one.asked)
}

/// From direct cost to what is asked: `bought` is material and joints.
fn asks(page: &mut Page<'_>, bought: &str, taxed: &[String], asked: Asked) -> Written {
    let (labor, direct) = (page.here(LABOR), page.here(DIRECT));
    let formula = format!("=ROUND(ROUND({bought}*(100+small_parts_percent)/100+{labor},6),4)");
    page.formula(DIRECT, &formula, asked.direct, Tone::Plain)?;
    let profit = "IF(profit_is_margin=1,100/MAX(0,100-profit_percent),(100+profit_percent)/100)";
    let formula = format!(
        "=ROUND(ROUND({direct}*(100+contingency_percent)/100*(100+overhead_percent)/100*{profit},6),2)"
    );
    page.formula(PRICE, &formula, asked.price, Tone::Plain)?;
    let mut sums = taxed.to_vec();
    sums.push(format!("{bought}*small_parts_percent/100*tax_small_parts"));
    sums.push(format!("{labor}*tax_labor"));
    page.formula(TAX, &format!("=ROUND(ROUND(({})/100,6),2)", sums.join("+")), asked.tax, Tone::Plain)?;
    let formula = format!("={}+{}", page.here(PRICE), page.here(TAX));
    page.formula(ASKED, &formula, asked.price.saturating_add(asked.tax), Tone::Total)?;
    page.end()
}

fn run(page: &mut Page<'_>, book: &Book<'_>, parts: &[UnitPrice], first: u32, one: &RunPrice) -> Written {
    let words = &book.words;
    let Some(of) = words.run(one.run) else { return Ok(()) };
    let length = words.length_words(of.length);
    page.text(PART, &format!("{}: {}", of.name, words.word(of.fixture)), Tone::Plain)?;
    page.text(SIZE, &format!("{} {}", words.word(of.size), of.service.word()), Tone::Plain)?;
    page.text(SYSTEM, &words.list(&of.patterns), Tone::Muted)?;
    page.text(UNIT, "run", Tone::Plain)?;
    page.text(PAID, &length, Tone::Muted)?;
    page.blanks([ALLOWANCE, JOINTS, HOURS], Tone::Plain)?;
    let cell = |column: u16, place: usize| format!("{}{}", letters(column), row_of(first, place));
    let sum = |column: u16| {
        let parts = one.built_of.iter();
        let terms = parts.map(|(_, amount, place)| format!("{}*{}", plain(*amount), cell(column, *place)));
        format!("=ROUND(ROUND({},6),4)", terms.collect::<Vec<_>>().join("+"))
    };
    let total = |of: fn(&UnitPrice) -> Decimal| {
        let terms = one.built_of.iter().map(|(_, amount, place)| amount.saturating_mul(of(&parts[*place])));
        crate::ground::money::to_net(terms.fold(Decimal::ZERO, Decimal::saturating_add))
    };
    page.formula(MATERIAL, &sum(MATERIAL), total(|part| part.material), Tone::Plain)?;
    page.formula(LABOR, &sum(LABOR), total(|part| part.labor), Tone::Plain)?;
    let taxed = |(item, amount, place): &(ItemId, Decimal, usize)| {
        Some(format!("{}*{}*{}", plain(*amount), cell(MATERIAL, *place), rate(book, *item)?))
    };
    let taxed: Vec<String> = one.built_of.iter().filter_map(taxed).collect();
    let bought = page.here(MATERIAL);
    asks(page, &bought, &taxed, one.asked)
}
