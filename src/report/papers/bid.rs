//! The bid, for the customer: the work, what is connected room by room, the price, alternates that are offered, what is
//! included and what is not, terms, lines to sign. No costs, hours, markups or suppliers.

use super::Desk;
use crate::report::facts::{CAUTIONS, Owner, Served, parties};
use crate::report::form::paper::{Block, Cell, Paper, Row, Signs, Table, over};
use crate::report::form::{Kind, Value, whole};
use crate::trade::Parties;

const GRID: [u16; 4] = [280, 320, 240, 160];

pub(super) fn paper(desk: &Desk<'_>) -> Paper {
    let owner = &desk.gathered.owner;
    let parties = &desk.words.job.settings.parties;
    let mut paper = desk.sheet("bid", "Bid", &GRID);
    paper.to = ("For", parties::customer(&parties.customer));
    let day = parties.bid.date.or(owner.date);
    paper.day = day;
    paper.facts = vec![
        ("number", parties.bid.number.to_string()),
        ("date", day.map(|day| day.to_string()).unwrap_or_default()),
        ("good until", owner.good_until.map(|day| day.to_string()).unwrap_or_default()),
        ("site", parties::on_a_line(&parties.site)),
        ("sums in", owner.currency.clone()),
    ];
    if !owner.complete {
        paper
            .banners
            .push("THIS PRICE IS NOT COMPLETE: part of the work is not counted or not priced.".to_owned());
    }
    paper.blocks = blocks(owner, desk);
    paper
}

fn blocks(owner: &Owner, desk: &Desk<'_>) -> Vec<Block> {
    let parties = &desk.words.job.settings.parties;
    let heading = |words: &str| Block::Heading(words.to_owned());
    let mut blocks = vec![heading("The work")];
    blocks.extend(owner.work.iter().cloned().map(Block::Words));
    if !owner.scope.is_empty() {
        blocks.push(heading("Room by room"));
        blocks.push(Block::Table(scope(&owner.scope)));
    }
    if !owner.included.is_empty() {
        blocks.push(heading("Included"));
        blocks.push(Block::List(owner.included.clone()));
    }
    blocks.push(heading("Price"));
    blocks.push(Block::Table(price(owner)));
    if !owner.alternates.is_empty() {
        blocks.push(heading("Alternates"));
        blocks.push(Block::Words("Each by itself against the price above, with tax.".to_owned()));
        blocks.push(Block::Table(alternates(owner)));
    }
    blocks.push(heading("Not included"));
    blocks.push(Block::List(owner.not_included.clone()));
    if !owner.payment_terms.is_empty() {
        blocks.push(heading("Payment"));
        blocks.push(Block::List(owner.payment_terms.clone()));
    }
    blocks.push(heading("Please note"));
    blocks.push(Block::List(CAUTIONS.map(str::to_owned).to_vec()));
    blocks.push(signatures(parties));
    blocks
}

/// Lines to sign: who offers, and who accepts.
pub(in crate::report) fn signatures(parties: &Parties) -> Block {
    let of = |before: &str, name: &str| match parties::lines(name).next() {
        None => before.to_owned(),
        Some(name) => format!("{before} by {name}"),
    };
    let offered = of("Offered", &parties.firm.name);
    let accepted = of("Accepted", &parties.customer.name);
    Block::Sign(vec![
        Signs { of: offered, name: parties.bid.signed_by.to_string() },
        Signs { of: accepted, name: String::new() },
    ])
}

/// What is connected, a row a room and kind; the room stands once.
fn scope(scope: &[Served]) -> Table {
    let columns = vec![
        over("room", 1, Kind::Text),
        over("connections for", 1, Kind::Text),
        over("with", 1, Kind::Text),
        over("how many", 1, Kind::Whole),
    ];
    let mut before: Option<String> = None;
    let row = |one: &Served| {
        let room = one.room();
        let shown = if before.as_ref() == Some(&room) { String::new() } else { room.clone() };
        before = Some(room);
        Row::Cells(vec![shown.into(), (&one.fixture).into(), (&one.with).into(), whole(one.count).into()])
    };
    Table { columns, rows: scope.iter().map(row).collect() }
}

fn price(owner: &Owner) -> Table {
    let columns = vec![over("", 3, Kind::Text), over("", 1, Kind::Money)];
    let row = |line: &crate::report::facts::PriceLine| {
        let cells = vec![(&line.name).into(), Value::Cents(line.amount).into()];
        if line.is_total { Row::Sum(cells) } else { Row::Cells(cells) }
    };
    Table { columns, rows: owner.price.iter().map(row).collect() }
}

fn alternates(owner: &Owner) -> Table {
    let columns = vec![
        over("", 1, Kind::Wrap),
        over("", 1, Kind::Text),
        over("", 1, Kind::Middle),
        over("", 1, Kind::Money),
    ];
    let row = |one: &crate::report::facts::AddOrDeduct| {
        Row::Cells(vec![
            (&one.name).into(),
            one.said().into(),
            Cell::Tick(&["accepted"]),
            one.amount.map(Value::Cents).into(),
        ])
    };
    Table { columns, rows: owner.alternates.iter().map(row).collect() }
}
