//! The request for quotes to each supplier: the whole need without prices, by section of the store; what compared systems and
//! alternates need beside it; room for the price, for what is offered instead, and for the buyer to accept or refuse that.

use std::collections::BTreeSet;

use super::Desk;
use crate::estimate::buying::Market;
use crate::ground::name::natural;
use crate::report::facts::{Asked, asked, parties};
use crate::report::form::paper::{Block, Cell, Paper, Row, Signs, Table, file_name, over};
use crate::report::form::{Kind, Value, whole};
use crate::trade::Word;

const GRID: [u16; 12] = [50, 260, 180, 120, 90, 60, 160, 110, 110, 80, 200, 220];

/// A request goes to so many suppliers at most; with more of them there is one for all.
const MOST: usize = 24;

/// What is asked of the supplier.
const ASKED: &str = "Please write the net price and what it is for. Where you have something instead, say what; we accept or \
     refuse it in the last column. A quantity is a need and no order.";

pub(super) fn papers(desk: &Desk<'_>) -> Vec<Paper> {
    let list = asked(&desk.words, &desk.orders, &desk.ranks);
    let market = Market::open(desk.words.job);
    let suppliers = suppliers(desk);
    if suppliers.is_empty() || suppliers.len() > MOST {
        return vec![paper(desk, &market, "request", None, &list)];
    }
    let mut papers = Vec::with_capacity(suppliers.len());
    let mut taken = Vec::new();
    for supplier in suppliers {
        let name = file_name("request", desk.words.word(supplier), &taken);
        papers.push(paper(desk, &market, &name, Some(supplier), &list));
        taken.push(name);
    }
    papers
}

/// All suppliers that the job names, by name.
fn suppliers(desk: &Desk<'_>) -> Vec<Word> {
    let job = desk.words.job;
    let listed = job.suppliers.iter().map(|row| row.supplier);
    let named = job.prices.offers.iter().map(|offer| offer.supplier).chain(listed);
    let known: BTreeSet<Word> = named.filter(|word| !word.is_empty()).collect();
    let mut all: Vec<Word> = known.into_iter().collect();
    all.sort_by(|a, b| natural(desk.words.word(*a), desk.words.word(*b)));
    all
}

fn paper(
    desk: &Desk<'_>,
    market: &Market<'_>,
    name: &str,
    supplier: Option<Word>,
    list: &[Asked<'_>],
) -> Paper {
    let (job, terms) = (desk.words.job, &desk.words.job.settings);
    let of_order = &terms.parties.order;
    let day = of_order.date.or(terms.date);
    let mut paper = desk.sheet(name, "Request for quotes", &GRID);
    paper.lies = true;
    paper.day = day;
    if let Some(supplier) = supplier {
        paper.to = ("To", parties::supplier(job, desk.words.word(supplier)));
    }
    paper.facts = vec![
        ("date", day.map(|day| day.to_string()).unwrap_or_default()),
        ("quote by", of_order.quote_by.map(|day| day.to_string()).unwrap_or_default()),
        ("our account", supplier.map(|of| parties::account(job, desk.words.word(of))).unwrap_or_default()),
        ("buyer", of_order.buyer.to_string()),
        ("contact", parties::on_a_line(&of_order.buyer_contact)),
        ("our reference", terms.order.reference.to_string()),
        ("ship to", parties::on_a_line(&terms.order.ship_to)),
        ("prices in", terms.currency.to_string()),
    ];
    if list.is_empty() {
        paper.blocks.push(Block::Words("Nothing is to be bought.".to_owned()));
        return paper;
    }
    paper.blocks.push(Block::Words(ASKED.to_owned()));
    paper.blocks.push(Block::Sign(vec![Signs { of: "Quoted by".to_owned(), name: String::new() }]));
    let mut number = 0;
    for group in list.chunk_by(|a, b| a.with == b.with) {
        let heading = group.first().map(|one| one.with.heading(&desk.words)).unwrap_or_default();
        if !heading.is_empty() {
            paper.blocks.push(Block::Heading(heading));
        }
        paper.blocks.push(Block::Table(table(desk, market, supplier, group, &mut number)));
    }
    paper
}

fn table(
    desk: &Desk<'_>,
    market: &Market<'_>,
    supplier: Option<Word>,
    group: &[Asked<'_>],
    number: &mut u32,
) -> Table {
    let columns = vec![
        over("no.", 1, Kind::Whole),
        over("part", 1, Kind::Wrap),
        over("size", 1, Kind::Wrap),
        over("system", 1, Kind::Text),
        over("quantity", 1, Kind::Number),
        over("unit", 1, Kind::Text),
        over("sold as", 1, Kind::Wrap),
        over("your code", 1, Kind::Text),
        over(&desk.in_currency("price"), 1, Kind::Text),
        over("per", 1, Kind::Text),
        over("or what you have instead", 1, Kind::Text),
        over("we: instead", 1, Kind::Middle),
    ];
    let mut rows = Vec::new();
    for of_section in group.chunk_by(|a, b| a.section == b.section) {
        let name = of_section.first().map_or("", |one| one.section);
        rows.push(Row::Band(if name.is_empty() { "other".to_owned() } else { name.to_owned() }));
        for one in of_section {
            *number += 1;
            lines(&mut rows, desk, &code_of(desk, market, supplier, one), one, *number);
        }
    }
    Table { columns, rows }
}

/// The code by which the supplier knows the item, where its list has it once.
fn code_of(desk: &Desk<'_>, market: &Market<'_>, supplier: Option<Word>, one: &Asked<'_>) -> String {
    let offers = market.offers_for(desk.words.item(one.item)).into_iter();
    let own = offers.filter_map(|id| desk.words.offer(id)).filter(|offer| Some(offer.supplier) == supplier);
    let codes: BTreeSet<&str> = own.map(|offer| &*offer.code).collect();
    if codes.len() == 1 { codes.first().copied().unwrap_or_default().to_owned() } else { String::new() }
}

/// A line a way in which it may be sold: tube by each coil and stick.
fn lines(rows: &mut Vec<Row>, desk: &Desk<'_>, code: &str, one: &Asked<'_>, number: u32) {
    let words = &desk.words;
    let mut ways: Vec<String> = one.lengths.iter().map(|length| words.length_sold(*length).0).collect();
    if ways.is_empty() {
        ways.push(String::new());
    }
    for (at, way) in ways.into_iter().enumerate() {
        let first = at == 0;
        let shown = |value: Value| if first { value } else { Value::Nothing };
        let part = if first { words.part_and_variant(one.item) } else { "or".to_owned() };
        rows.push(Row::Cells(vec![
            shown(whole(number)).into(),
            if first { part.into() } else { Cell::Muted(part.into()) },
            shown(Value::Size(words.sizes(one.item))).into(),
            Cell::Muted(shown(words.item_system(one.item).into())),
            shown(Value::Quantity(one.quantity)).into(),
            shown(words.unit(one.item).into()).into(),
            way.into(),
            shown(code.into()).into(),
            Cell::Fill,
            Cell::Fill,
            Cell::Fill,
            Cell::Tick(&["accepted", "refused"]),
        ]));
    }
}
