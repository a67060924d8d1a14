//! The change order for inside: what more and what less of each item, what it costs, hours of labor, and the bid line by line.
//! It is not handed over.

use rust_decimal::Decimal;

use super::Desk;
use crate::estimate::revision::{ItemChange, OfSide};
use crate::report::facts::with_variant;
use crate::report::form::paper::{Block, Cell, Paper, Row, Table, over};
use crate::report::form::{Kind, Value};
use crate::report::revised::{HOW, NO_LABOR, csv, is_whole};

const GRID: [u16; 8] = [300, 140, 180, 60, 100, 100, 100, 120];

pub(super) fn paper(desk: &Desk<'_>) -> Paper {
    let revision = desk.revision;
    let settings = &desk.new.job.settings;
    let mut paper = desk.sheet("change-order-inside", "Change order, inside", &GRID);
    paper.facts = vec![
        ("number", settings.parties.bid.change_number.to_string()),
        ("of the bid", settings.parties.bid.number.to_string()),
        ("date", settings.date.map(|day| day.to_string()).unwrap_or_default()),
        ("sums in", revision.currency.clone()),
    ];
    if !is_whole(revision) {
        paper.banners.push("INCOMPLETE: the sums do not hold everything.".to_owned());
    }
    paper.banners.extend(revision.unlike());
    paper.blocks.push(Block::Words("Inside figures: not to be handed over.".to_owned()));
    paper.blocks.push(Block::Words(HOW.to_owned()));
    let side = |words: &str, items: Vec<&ItemChange>, sum: Decimal| {
        let table = items_table(desk, &items, sum);
        let shown = !items.is_empty();
        [Block::Heading(words.to_owned()), table].into_iter().filter(move |_| shown)
    };
    paper.blocks.extend(side("Adds", revision.adds().collect(), revision.totals.adds));
    paper.blocks.extend(side("Deducts", revision.deducts().collect(), revision.totals.deducts));
    paper.blocks.push(Block::Heading("Labor".to_owned()));
    paper.blocks.push(labor(desk));
    paper.blocks.push(Block::Heading("The bid, line by line".to_owned()));
    paper.blocks.push(bid(desk));
    paper
}

fn items_table(desk: &Desk<'_>, items: &[&ItemChange], sum: Decimal) -> Block {
    let columns = vec![
        over("part", 1, Kind::Wrap),
        over("system", 1, Kind::Text),
        over("size", 1, Kind::Wrap),
        over("unit", 1, Kind::Text),
        over("before", 1, Kind::Number),
        over("now", 1, Kind::Number),
        over("change", 1, Kind::Number),
        over(&desk.in_currency("amount"), 1, Kind::Money),
    ];
    let need = |side: &Option<OfSide>| Value::Quantity(side.as_ref().map_or(Decimal::ZERO, |side| side.need));
    let row = |item: &&ItemChange| {
        let named = &item.named;
        let amount = if item.is_not_priced() { "not priced".into() } else { Value::Cents(item.by_quantity) };
        Row::Cells(vec![
            with_variant(&named.part, &named.variant).into(),
            Cell::Muted((&named.system).into()),
            Value::Size(named.size.clone()).into(),
            (&named.unit).into(),
            need(&item.old).into(),
            need(item.now()).into(),
            Value::Quantity(item.more()).into(),
            amount.into(),
        ])
    };
    let mut rows: Vec<Row> = items.iter().map(row).collect();
    let mut together: Vec<Cell> = vec!["together".into()];
    together.extend((0..6).map(|_| Cell::Of(Value::Nothing)));
    together.push(Value::Cents(sum).into());
    rows.push(Row::Sum(together));
    Block::Table(Table { columns, rows })
}

fn labor(desk: &Desk<'_>) -> Block {
    let Some(labor) = &desk.revision.labor else { return Block::Words(format!("{NO_LABOR}.")) };
    let columns = vec![
        over("hours of one person", 4, Kind::Wrap),
        over("before", 1, Kind::Number),
        over("now", 1, Kind::Number),
        over("change", 1, Kind::Number),
        over("", 1, Kind::Money),
    ];
    let cells = |name: String, [old, new]: [Decimal; 2]| -> Vec<Cell> {
        let hours = |hours| Cell::Of(Value::Cents(hours));
        vec![name.into(), hours(old), hours(new), hours(new - old), Value::Nothing.into()]
    };
    let mut rows: Vec<Row> =
        labor.works.iter().map(|of| Row::Cells(cells(csv::work(of), [of.old, of.new]))).collect();
    rows.push(Row::Sum(cells("together".to_owned(), labor.hours)));
    Block::Table(Table { columns, rows })
}

fn bid(desk: &Desk<'_>) -> Block {
    let columns = vec![
        over("line", 3, Kind::Text),
        over("before", 2, Kind::Money),
        over("now", 2, Kind::Money),
        over("change", 1, Kind::Money),
    ];
    let row = |line: &crate::estimate::revision::BidChange| {
        let stated = |at: usize, sum: Decimal| match line.stated[at] {
            true => Value::Cents(sum),
            false => "not stated".into(),
        };
        let all = line.stated.iter().all(|stated| *stated);
        let change = all.then_some(Value::Cents(line.new - line.old));
        let cells: Vec<Cell> =
            vec![(&line.line).into(), stated(0, line.old).into(), stated(1, line.new).into(), change.into()];
        if line.is_sum { Row::Sum(cells) } else { Row::Cells(cells) }
    };
    Block::Table(Table { columns, rows: desk.revision.bid.iter().map(row).collect() })
}
