//! The list for the store: by store, then by the section of it, with boxes to tick, what is needed and the packs to take.

use super::Desk;
use crate::ground::name::natural;
use crate::report::facts::{OrderRow, rank};
use crate::report::form::paper::{Block, Cell, Paper, Row, Table, over};
use crate::report::form::{Kind, Value};

const GRID: [u16; 8] = [50, 300, 180, 140, 100, 70, 220, 120];

/// What stands over parts that nobody sells.
const NOBODY: &str = "Not on any price list: ask for it";

pub(super) fn paper(desk: &Desk<'_>) -> Paper {
    let mut paper = desk.sheet("shopping-list", "Shopping list", &GRID);
    let terms = &desk.words.job.settings;
    paper.facts = vec![
        ("date", terms.date.map(|day| day.to_string()).unwrap_or_default()),
        ("pipes", desk.words.alternative_in_words(0)),
    ];
    if !desk.words.estimate.is_complete() {
        paper.banners.push("NOT COMPLETE: part of the work is not counted or has no price.".to_owned());
    }
    let rows = sorted(desk);
    for of_store in rows.chunk_by(|a, b| store(desk, a) == store(desk, b)) {
        let Some(first) = of_store.first() else { continue };
        paper.blocks.push(Block::Heading(store(desk, first).unwrap_or(NOBODY).to_owned()));
        paper.blocks.push(Block::Table(table(desk, of_store)));
    }
    if rows.is_empty() {
        paper.blocks.push(Block::Words("Nothing is to be bought.".to_owned()));
    }
    paper
}

fn store<'a>(desk: &Desk<'a>, row: &OrderRow<'a>) -> Option<&'a str> {
    row.offer().map(|offer| desk.words.supplier(offer))
}

fn section<'a>(desk: &Desk<'a>, row: &OrderRow<'_>) -> &'a str {
    desk.words.word(desk.words.part(row.line.item).section)
}

/// What is bought for the chosen alternative, by store and section; what nobody sells comes last.
fn sorted<'a>(desk: &Desk<'a>) -> Vec<OrderRow<'a>> {
    let chosen = desk.orders.iter().filter(|row| row.alternative == 0);
    let mut rows: Vec<OrderRow<'a>> = chosen
        .filter(|row| row.is_not_priced() || row.pick.is_some_and(|(pick, _)| !row.ordered(pick).is_zero()))
        .copied()
        .collect();
    rows.sort_by(|a, b| {
        let (x, y) = (section(desk, a), section(desk, b));
        let stores = match (store(desk, a), store(desk, b)) {
            (Some(one), Some(other)) => natural(one, other),
            (one, other) => one.is_none().cmp(&other.is_none()),
        };
        let item = |row: &OrderRow<'_>| rank(&desk.ranks, row.line.item);
        stores
            .then_with(|| x.is_empty().cmp(&y.is_empty()))
            .then_with(|| natural(x, y))
            .then_with(|| item(a).cmp(&item(b)))
    });
    rows
}

fn table(desk: &Desk<'_>, rows: &[OrderRow<'_>]) -> Table {
    let columns = vec![
        over("", 1, Kind::Middle),
        over("part", 1, Kind::Wrap),
        over("size", 1, Kind::Wrap),
        over("system", 1, Kind::Text),
        over("needed", 1, Kind::Number),
        over("unit", 1, Kind::Text),
        over("take", 1, Kind::Text),
        over("code", 1, Kind::Text),
    ];
    let mut all = Vec::new();
    for of_section in rows.chunk_by(|a, b| section(desk, a) == section(desk, b)) {
        let name = of_section.first().map_or("", |row| section(desk, row));
        all.push(Row::Band(if name.is_empty() { "other".to_owned() } else { name.to_owned() }));
        all.extend(of_section.iter().map(|row| line(desk, row)));
    }
    Table { columns, rows: all }
}

fn line(desk: &Desk<'_>, row: &OrderRow<'_>) -> Row {
    let words = &desk.words;
    let item = row.line.item;
    // What further packs of the same line cover is needed once.
    let needed = row.first.then(|| Value::Quantity(row.line.to_buy()));
    // The words on the shelf are the supplier's.
    let said = row.offer().map_or("", |offer| &*offer.description);
    let called = if said.is_empty() { words.part_and_variant(item) } else { said.to_owned() };
    let (take, code) = match row.pick {
        Some((pick, offer)) => {
            let number = crate::ground::money::quantity(row.ordered(pick));
            (format!("{number} x {}", row.ordered_as(words, offer)), &*offer.code)
        }
        None => (String::new(), ""),
    };
    Row::Cells(vec![
        Cell::Tick(&[""]),
        called.into(),
        Value::Size(words.sizes(item)).into(),
        Cell::Muted(words.item_system(item).into()),
        needed.into(),
        words.unit(item).into(),
        take.into(),
        code.into(),
    ])
}
