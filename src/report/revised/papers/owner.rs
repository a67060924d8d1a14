//! The change order for the customer: what changes in words, what it adds and deducts with overhead and profit inside, the
//! price before and now, lines to sign. No costs, hours, markups or suppliers.

use rust_decimal::Decimal;

use super::Desk;
use crate::estimate::revision::ALTERNATE;
use crate::estimate::revision::{Field, Revision, RunChange, RunWhat};
use crate::ground::money::{in_currency, to_cents};
use crate::report::facts::parties;
use crate::report::form::paper::{Block, Paper, Row, Table, over};
use crate::report::form::{Kind, Value};
use crate::report::papers::bid::signatures;
use crate::report::revised::change_order::from_to;

const GRID: [u16; 4] = [240, 200, 400, 160];

pub(super) fn paper(desk: &Desk<'_>) -> Paper {
    let settings = &desk.new.job.settings;
    let parties = &settings.parties;
    let mut paper = desk.sheet("change-order", "Change order", &GRID);
    paper.to = ("For", parties::customer(&parties.customer));
    paper.facts = vec![
        ("number", parties.bid.change_number.to_string()),
        ("date", settings.date.map(|day| day.to_string()).unwrap_or_default()),
        ("of the bid", parties.bid.number.to_string()),
        ("site", parties::on_a_line(&parties.site)),
        ("sums in", desk.revision.currency.clone()),
    ];
    if !crate::report::revised::is_whole(desk.revision) {
        paper
            .banners
            .push("THIS PRICE IS NOT COMPLETE: part of the work is not counted or not priced.".to_owned());
    }
    paper.blocks.push(Block::Heading("What changes".to_owned()));
    paper.blocks.push(changes(desk));
    paper.blocks.push(Block::Heading("What it comes to".to_owned()));
    paper.blocks.push(Block::Table(price(desk)));
    let alternates = alternates(desk);
    if !alternates.is_empty() {
        paper.blocks.push(Block::Heading("Alternates after this change".to_owned()));
        paper.blocks.push(Block::List(alternates));
    }
    paper.blocks.push(Block::Words(
        "What is not named here stays as the bid has it. The work of this change begins when it is signed."
            .to_owned(),
    ));
    paper.blocks.push(signatures(parties));
    paper
}

/// What was added, what falls away and what is done otherwise, run by run.
fn changes(desk: &Desk<'_>) -> Block {
    let shown = desk.revision.runs.iter().filter(|run| run.what != RunWhat::Touched);
    let rows: Vec<Row> = shown.map(|run| row(desk, run)).collect();
    if rows.is_empty() {
        return Block::Words("The work stays as it is.".to_owned());
    }
    let columns = vec![over("room", 1, Kind::Wrap), over("", 1, Kind::Text), over("what", 2, Kind::Wrap)];
    Block::Table(Table { columns, rows })
}

/// A run as an owner understands it: the room, whether it comes in, what it is.
fn row(desk: &Desk<'_>, run: &RunChange) -> Row {
    let of = |heading: &str| run.fields.iter().find(|field| field.heading == heading);
    let side =
        |field: &Field| if run.what == RunWhat::Dropped { field.old.clone() } else { field.new.clone() };
    let job = desk.new.job;
    let now = job.runs.iter().find(|one| *one.name == *run.name);
    let room = of("area").map(side).or_else(|| now.map(|now| job.lexicon.text(now.area).to_owned()));
    let (word, what) = match run.what {
        RunWhat::Added | RunWhat::Dropped => {
            let to = of("to").or_else(|| of("fixture")).map(|field| format!("to {}", side(field)));
            let plain = ["service", "size", "length"].into_iter().filter_map(|heading| of(heading).map(side));
            let parts: Vec<String> = plain.chain(to).collect();
            (if run.what == RunWhat::Added { "comes in" } else { "falls away" }, parts.join(", "))
        }
        RunWhat::Changed | RunWhat::Touched => {
            let one = |field: &Field| format!("{}: {}", field.heading, from_to(&field.old, &field.new));
            let told = run.fields.iter().filter(|field| TOLD.contains(&&*field.heading));
            ("is otherwise", told.map(one).collect::<Vec<_>>().join("; "))
        }
    };
    let what = if run.is_place { format!("{} {what}", run.name) } else { format!("{what} ({})", run.name) };
    Row::Cells(vec![room.unwrap_or_default().into(), word.into(), what.trim().into()])
}

/// Cells of a run that an owner understands.
const TOLD: [&str; 6] = ["service", "size", "length", "fixture", "area", "level"];

/// What is offered otherwise after the change: alternates that add or deduct something else, come in or are withdrawn.
fn alternates(desk: &Desk<'_>) -> Vec<String> {
    let lines = desk.revision.bid.iter().filter_map(|line| Some((line.line.strip_prefix(ALTERNATE)?, line)));
    let changed = lines.filter(|(_, line)| line.old != line.new || line.stated != [true, true]);
    let sum = |sum: Decimal| {
        let word = if sum.is_sign_negative() { "deducts" } else { "adds" };
        format!("{word} {}", in_currency(&desk.revision.currency, sum.abs()))
    };
    let told = changed.map(|(name, line)| match line.stated {
        [_, false] => format!("{name}: no longer offered"),
        [false, true] => format!("{name}: {}", sum(line.new)),
        [true, true] => format!(
            "{name}: {} now; before it was {}",
            sum(line.new),
            in_currency(&desk.revision.currency, line.old)
        ),
    });
    told.collect()
}

/// The price of the change, and what is asked before and now.
fn price(desk: &Desk<'_>) -> Table {
    let [old, new] = &desk.revision.bids;
    let columns = vec![over("", 3, Kind::Text), over("", 1, Kind::Money)];
    let line = |name: &str, sum: Decimal| vec![name.into(), Value::Cents(sum).into()];
    let mut rows: Vec<Row> =
        lines(desk.revision).iter().map(|(name, sum)| Row::Cells(line(name, *sum))).collect();
    let beside = [("sales tax", new.tax - old.tax), ("fees that are handed on", new.fees - old.fees)];
    let moved = beside.into_iter().filter(|(_, sum)| !sum.is_zero());
    rows.extend(moved.map(|(name, sum)| Row::Cells(line(name, sum))));
    rows.push(Row::Sum(line("this change", new.total - old.total)));
    rows.push(Row::Cells(line("price in all before", old.total)));
    rows.push(Row::Sum(line("price in all now", new.total)));
    Table { columns, rows }
}

/// What the price of the work moves by, parted into what is added, what falls away and what prices moved. Overhead and profit
/// are inside, each part with its share; where shares say nothing (other markups, sums that cancel) it is one line.
fn lines(revision: &Revision) -> Vec<(&'static str, Decimal)> {
    let [old, new] = &revision.bids;
    let moved = new.price - old.price;
    let (up, down, wages) = revision.labor.as_ref().map_or_else(Default::default, |labor| {
        let at = |is_more: bool| -> Decimal {
            let of = labor.works.iter().filter(|work| (work.new > work.old) == is_more);
            of.map(|work| work.new - work.old).sum()
        };
        let hours = at(true) + at(false);
        let each = labor.by_hours.checked_div(hours).unwrap_or_default();
        (at(true) * each, at(false) * each, labor.by_wages)
    });
    let totals = &revision.totals;
    let parts = [
        ("more material and work", totals.adds + up),
        ("less material and work", totals.deducts + down),
        ("prices that moved since", totals.price + totals.unpriced + wages),
    ];
    let direct: Decimal = parts.iter().map(|(_, sum)| *sum).sum();
    let share = moved.checked_div(direct).filter(|share| *share >= Decimal::ONE && *share <= MOST_SHARE);
    let Some(share) = share else { return vec![("the work of this change", moved)] };
    let mut lines: Vec<(&str, Decimal)> = parts
        .into_iter()
        .filter(|(_, sum)| !sum.is_zero())
        .map(|(name, sum)| (name, to_cents(sum * share)))
        .collect();
    // What rounding leaves goes to the first.
    let sum: Decimal = lines.iter().map(|(_, sum)| *sum).sum();
    if let Some((_, first)) = lines.first_mut() {
        *first += moved - sum;
    }
    lines
}

/// Beyond three times the cost, the shares are no markup.
const MOST_SHARE: Decimal = Decimal::from_parts(3, 0, 0, false, 0);
