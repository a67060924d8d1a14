//! The order to each supplier: number, buyer, account, where it goes and when, numbered lines in the supplier's codes, words
//! and units, sums and the delivery fee.

use rust_decimal::Decimal;

use super::Desk;
use crate::report::facts::{OrderRow, Sent, fee_for_days, fee_of, parties, sent};
use crate::report::form::paper::{Block, Cell, Paper, Row, Signs, Table, TableColumn, file_name, over};
use crate::report::form::{Kind, Value, whole};

pub(in crate::report) const GRID: [u16; 9] = [50, 110, 360, 180, 90, 150, 100, 70, 110];

/// What is asked of the supplier.
pub(in crate::report) const ASKED: &str = "Please confirm this order with the day of delivery. Tell us first what is not in stock, and what costs \
     more than is written here. Send no substitute that we have not accepted.";

pub(super) fn papers(desk: &Desk<'_>) -> Vec<Paper> {
    let all = sent(&desk.words, &desk.orders);
    let by_supplier: Vec<&[Sent<'_, '_>]> = all.chunk_by(|a, b| a.supplier == b.supplier).collect();
    let mut papers: Vec<Paper> = Vec::with_capacity(by_supplier.len());
    let mut taken = Vec::new();
    for (at, orders) in by_supplier.iter().enumerate() {
        let name = file_name("order", orders[0].supplier, &taken);
        papers.push(paper(desk, &name, orders, (at + 1, by_supplier.len())));
        taken.push(name);
    }
    papers
}

fn paper(desk: &Desk<'_>, name: &str, orders: &[Sent<'_, '_>], place: (usize, usize)) -> Paper {
    let (job, terms) = (desk.words.job, &desk.words.job.settings);
    let supplier = orders[0].supplier;
    let of_order = &terms.parties.order;
    let number = job.lexicon.find(supplier).map(|word| of_order.number_for(word, place)).unwrap_or_default();
    let day = of_order.date.or(terms.date);
    let days: Vec<Option<crate::ground::Date>> =
        orders.iter().map(|order| terms.order.needed_for(order.phase)).collect();
    let one_day = days.first().copied().flatten().filter(|day| days.iter().all(|one| *one == Some(*day)));
    let mut paper = desk.sheet(name, "Order", &GRID);
    paper.day = day;
    paper.to = ("To", parties::supplier(job, supplier));
    let day_of = |day: Option<crate::ground::Date>| day.map(|day| day.to_string()).unwrap_or_default();
    paper.facts = vec![
        ("order", number.clone()),
        ("date", day_of(day)),
        ("our account", parties::account(job, supplier)),
        ("buyer", of_order.buyer.to_string()),
        ("contact", parties::on_a_line(&of_order.buyer_contact)),
        ("our reference", terms.order.reference.to_string()),
        ("ship to", parties::on_a_line(&terms.order.ship_to)),
        ("needed by", day_of(one_day)),
        ("prices of", day_of(terms.date)),
        ("sums in", terms.currency.to_string()),
    ];
    if !desk.words.estimate.is_complete() {
        paper.banners.push("DRAFT: the count behind this order is not complete.".to_owned());
    }
    paper.blocks.push(Block::Table(table(desk, orders, one_day.is_some())));
    paper.blocks.extend(fee_for_days(&desk.words, supplier).map(Block::Words));
    paper.blocks.push(Block::Words(ASKED.to_owned()));
    let of = if number.is_empty() { "Ordered".to_owned() } else { format!("Ordered, {number}") };
    paper.blocks.push(Block::Sign(vec![
        Signs { of, name: of_order.buyer.to_string() },
        Signs { of: "Confirmed by the supplier".to_owned(), name: String::new() },
    ]));
    paper
}

/// The columns of an order, with the heading over its sums.
pub(in crate::report) fn columns(sum: &str) -> Vec<TableColumn> {
    vec![
        over("no.", 1, Kind::Whole),
        over("your code", 1, Kind::Text),
        over("description", 1, Kind::Wrap),
        over("size", 1, Kind::Wrap),
        over("quantity", 1, Kind::Number),
        over("unit", 1, Kind::Text),
        over("price", 1, Kind::Price),
        over("per", 1, Kind::Text),
        over(sum, 1, Kind::Money),
    ]
}

fn table(desk: &Desk<'_>, orders: &[Sent<'_, '_>], one_day: bool) -> Table {
    let mut rows = Vec::new();
    let (mut number, mut goods) = (0_u32, Decimal::ZERO);
    for order in orders {
        if orders.len() > 1 || !one_day {
            rows.extend(over_phase(desk, order, orders.len()).map(Row::Band));
        }
        for (_, row) in &order.rows {
            number += 1;
            rows.extend(line(desk, number, row));
        }
        goods += order.goods();
        if orders.len() > 1 {
            rows.push(sum(&format!("goods, {}", order.phase.word()), order.goods()));
        }
    }
    let fee = fee_of(&desk.words, orders[0].supplier);
    rows.push(sum("all goods", goods));
    if !fee.is_zero() {
        rows.push(Row::Cells(across("delivery, once", fee)));
        rows.push(sum("goods and delivery, before tax", goods + fee));
    }
    Table { columns: columns(&desk.in_currency("sum")), rows }
}

/// What stands over the goods of a phase: its name and day.
fn over_phase(desk: &Desk<'_>, order: &Sent<'_, '_>, many: usize) -> Option<String> {
    let day = desk.words.job.settings.order.needed_for(order.phase).map(|day| format!("needed by {day}"));
    let phase = (many > 1).then(|| format!("For {}", order.phase.word()));
    let words: Vec<String> = phase.into_iter().chain(day).collect();
    (!words.is_empty()).then(|| words.join(", "))
}

fn line(desk: &Desk<'_>, number: u32, row: &OrderRow<'_>) -> Option<Row> {
    let words = &desk.words;
    let (pick, offer) = row.pick?;
    let item = row.line.item;
    let own = || match words.item_system(item) {
        "" => words.part_and_variant(item),
        system => format!("{} ({system})", words.part_and_variant(item)),
    };
    let description = if offer.description.is_empty() { own() } else { offer.description.to_string() };
    Some(Row::Cells(vec![
        whole(number).into(),
        (&*offer.code).into(),
        description.into(),
        Value::Size(words.sizes(item)).into(),
        Value::Quantity(row.ordered(pick)).into(),
        row.ordered_as(words, offer).into(),
        Value::Price(pick.price).into(),
        words.ordered_per(offer).into(),
        Value::Cents(pick.extended).into(),
    ]))
}

/// A name across the table and a sum.
pub(in crate::report) fn across(name: &str, sum: Decimal) -> Vec<Cell> {
    let nothing = || Cell::Of(Value::Nothing);
    let mut cells = vec![nothing(), nothing(), name.into()];
    cells.extend((0..5).map(|_| nothing()));
    cells.push(Value::Cents(sum).into());
    cells
}

fn sum(name: &str, sum: Decimal) -> Row {
    Row::Sum(across(name, sum))
}
