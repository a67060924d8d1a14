//! The order to each supplier of only what a revision adds; below it what was ordered before and is not needed now.

use rust_decimal::Decimal;

use super::Desk;
use crate::estimate::revision::Extra;
use crate::report::facts::{parties, with_variant};
use crate::report::form::paper::{Block, Paper, Row, Signs, Table, file_name};
use crate::report::form::{Value, whole};
use crate::report::papers::order as whole_order;

/// What is asked of the supplier where something is not needed any more.
const LESS: &str = "Of our order before, these are not needed now. Please take them off it, or say whether they may go back \
     unopened.";

pub(super) fn papers(desk: &Desk<'_>) -> Vec<Paper> {
    let extra = &desk.revision.extra;
    let by_supplier: Vec<&[Extra]> = extra.chunk_by(|a, b| a.supplier == b.supplier).collect();
    let mut papers = Vec::with_capacity(by_supplier.len());
    let mut taken = Vec::new();
    for of_one in by_supplier {
        let Some(first) = of_one.first() else { continue };
        let name = file_name("order-more", &first.supplier, &taken);
        papers.push(paper(desk, &name, &first.supplier, of_one));
        taken.push(name);
    }
    papers
}

fn paper(desk: &Desk<'_>, name: &str, supplier: &str, extra: &[Extra]) -> Paper {
    let (job, settings) = (desk.new.job, &desk.new.job.settings);
    let order = &settings.parties.order;
    let mut paper = desk.sheet(name, "Order, more", &whole_order::GRID);
    paper.to = ("To", parties::supplier(job, supplier));
    let day = |day: Option<crate::ground::Date>| day.map(|day| day.to_string()).unwrap_or_default();
    paper.facts = vec![
        ("change order", settings.parties.bid.change_number.to_string()),
        ("date", day(order.date.or(settings.date))),
        ("our account", parties::account(job, supplier)),
        ("buyer", order.buyer.to_string()),
        ("contact", parties::on_a_line(&order.buyer_contact)),
        ("our reference", settings.order.reference.to_string()),
        ("ship to", parties::on_a_line(&settings.order.ship_to)),
        ("sums in", desk.revision.currency.clone()),
    ];
    if !crate::report::revised::is_whole(desk.revision) {
        paper.banners.push("DRAFT: the count behind this order is not complete.".to_owned());
    }
    let (more, less): (Vec<&Extra>, Vec<&Extra>) = extra.iter().partition(|one| one.more.is_sign_positive());
    if !more.is_empty() {
        paper.blocks.push(Block::Words("In addition to our order before:".to_owned()));
        paper.blocks.push(table(desk, &more));
        paper.blocks.push(Block::Words(whole_order::ASKED.to_owned()));
    }
    if !less.is_empty() {
        paper.blocks.push(Block::Heading("Not needed now".to_owned()));
        paper.blocks.push(Block::Words(LESS.to_owned()));
        paper.blocks.push(table(desk, &less));
    }
    paper.blocks.push(Block::Sign(vec![
        Signs { of: "Ordered".to_owned(), name: order.buyer.to_string() },
        Signs { of: "Confirmed by the supplier".to_owned(), name: String::new() },
    ]));
    paper
}

fn table(desk: &Desk<'_>, extra: &[&Extra]) -> Block {
    let row = |(number, one): (u32, &&Extra)| {
        let named = &one.named;
        let own = with_variant(&named.part, &named.variant);
        let own = if named.system.is_empty() { own } else { format!("{own} ({})", named.system) };
        let description = if one.description.is_empty() { own } else { one.description.clone() };
        Row::Cells(vec![
            whole(number).into(),
            (&one.code).into(),
            description.into(),
            Value::Size(named.size.clone()).into(),
            Value::Quantity(one.more.abs()).into(),
            (&one.unit).into(),
            Value::Price(one.price).into(),
            (&one.per).into(),
            Value::Cents(one.sum).into(),
        ])
    };
    let mut rows: Vec<Row> = (1..).zip(extra).map(row).collect();
    let together: Decimal = extra.iter().map(|one| one.sum).sum();
    rows.push(Row::Sum(whole_order::across("together, before tax", together)));
    Block::Table(Table { columns: whole_order::columns(&desk.in_currency("sum")), rows })
}
