//! `explain`: why a quantity is what it is, run by run and rule by rule, each with the cell it comes from; and why a sum
//! of hours or money is what it is, line by line.

mod sums;

use std::collections::BTreeSet;
use std::path::Path;

use rust_decimal::Decimal;

use super::job::read;
use super::told::{Cell, Fact, Lies, Paint, Table, Told, Words};
use super::words::near;
use super::{CouldNot, Outcome, Refusal};
use crate::estimate::alternative::Alternative;
use crate::estimate::estimate;
use crate::estimate::item::ItemId;
use crate::estimate::joint_rows::row_at;
use crate::estimate::labor::LaborLine;
use crate::estimate::order::OrderLine;
use crate::estimate::takeoff::{Because, Line, Subject};
use crate::estimate::task::Task;
use crate::ground::inert;
use crate::ground::money::{cents, points, quantity, round_half_away};
use crate::ground::name::fold;
use crate::report::facts::{Wording, rule_of};
use crate::table::Limits;
use crate::trade::Job;

/// Explains a part, a sum or a kind of work: in the chosen system, or in all of them. What the chosen system has not is
/// explained in those that have it.
pub(super) fn explain(
    path: &Path,
    asked: &str,
    all_systems: bool,
    limits: &Limits,
) -> Result<Outcome, CouldNot> {
    let job = read(path, limits)?;
    let estimate = estimate(&job);
    let words = Wording { job: &job, estimate: &estimate };
    let blocks: Vec<Told> = (0..estimate.alternatives.len())
        .map(|index| blocks(&words, index, asked))
        .filter(|blocks| !blocks.is_empty())
        .take(if all_systems { usize::MAX } else { 1 })
        .flatten()
        .map(Block::told)
        .collect();
    if blocks.is_empty() {
        return Err(nothing_called(&words, asked).into());
    }
    let mut told = Told::default();
    told.each("explained", blocks);
    if !asked_for(&words, asked).is_empty() && sums::asked_for(&words, asked).is_some() {
        let path = inert::path(path);
        told.say("what it costs: ", format!("coilstick explain {path} \"cost of {asked}\""));
    }
    let notices = estimate.told.iter().filter(|notice| notice.is_error()).cloned().collect();
    Ok(Outcome { notices, told, whole: true })
}

/// What is said of one thing in one system.
struct Block {
    what: String,
    system: String,
    lines: Vec<Figure>,
}

impl Block {
    fn told(self) -> Told {
        let mut told = Told::default();
        let head = format!("{} in {}", self.what, self.system);
        told.words("", Words::new("", head).painted(Paint::Bold));
        told.value("what", self.what);
        told.value("system", self.system);
        let facts = [("amount", "amount"), ("unit", ""), ("what", ""), ("cells", ""), ("", "what")];
        let facts = facts.map(|(key, head)| Fact::new(key, head)).into();
        let things = self.lines.into_iter().map(Figure::cells).collect();
        let lies = Lies::Down { headed: false, most: None };
        told.table("lines", Table { facts, things, lies });
        told.gap();
        told
    }
}

/// A figure and what it is, with the cells that say so.
struct Figure {
    amount: Cell,
    unit: String,
    what: String,
    cells: Vec<String>,
}

impl Figure {
    fn new(amount: Cell, unit: &str, what: impl Into<String>) -> Self {
        Self { amount, unit: unit.to_owned(), what: what.into(), cells: Vec::new() }
    }

    /// A sum of money.
    fn money(sum: Decimal, what: impl Into<String>) -> Self {
        Self::new(Cell::cents(sum), "", what)
    }

    /// Words without a figure of their own.
    fn words(what: impl Into<String>) -> Self {
        Self::new(Cell::nothing(), "", what)
    }

    /// What rules a column off above what it comes to.
    fn rule() -> Self {
        Self::new(Cell::instead("------------"), "", "")
    }

    /// The same, with a cell that says so.
    fn at(mut self, cell: impl ToString) -> Self {
        self.cells.push(cell.to_string());
        self
    }

    /// The same, with the cells of the table job that say so.
    fn said_in(mut self, cells: Vec<String>) -> Self {
        if cells.is_empty() {
            self.what.push_str("  (not in the job)");
        }
        self.cells.extend(cells);
        self
    }

    fn cells(self) -> Vec<Cell> {
        let Self { amount, unit, what, cells } = self;
        let bracketed = match cells.is_empty() {
            true => what.clone(),
            false => format!("{what}  [{}]", cells.join(", ")),
        };
        let unit_of = |unit: &str| if unit.is_empty() { Cell::nothing() } else { Cell::text(unit) };
        let said = |words: String| if words.is_empty() { Cell::nothing() } else { Cell::text(words) };
        let listed = match cells.is_empty() && what.is_empty() {
            true => Cell::nothing(),
            false => Cell { shown: String::new(), value: cells.into() },
        };
        let before = if unit.is_empty() { String::new() } else { format!(" {unit}") };
        vec![amount.with(&before), unit_of(&unit), said(what), listed, said(bracketed)]
    }
}

/// What some words ask for in one system: parts by their names, else a sum, else kinds of work.
fn blocks(words: &Wording<'_>, index: usize, asked: &str) -> Vec<Block> {
    let alternative = &words.estimate.alternatives[index];
    let block = |what: String, lines| Block { what, system: words.alternative(index).to_owned(), lines };
    let parts = asked_for(words, asked);
    if !parts.is_empty() {
        let of_part = |item: &ItemId| {
            let lines: Vec<&Line> =
                alternative.takeoff.lines.iter().filter(|line| line.item == *item).collect();
            let explained = || explained(words, alternative, *item, &lines);
            has(alternative, *item).then(|| block(words.item_name(*item), explained()))
        };
        return parts.iter().filter_map(of_part).collect();
    }
    if let Some(sum) = sums::asked_for(words, asked) {
        return vec![block(sums::name(words, sum), sums::told(words, alternative, sum))];
    }
    let works = sums::work_asked_for(words, alternative, asked);
    match works.is_empty() {
        true => Vec::new(),
        false => vec![block(format!("hours of {asked}"), sums::hours(words, &works))],
    }
}

/// The items that some words ask for: by name, other name or whole name with sizes.
fn asked_for(words: &Wording<'_>, part: &str) -> Vec<ItemId> {
    let wanted = fold(part);
    let ids = (0..u32::try_from(words.estimate.items.len()).unwrap_or(u32::MAX)).map(ItemId);
    let is_it = |id: &ItemId| {
        let catalog_part = words.part(*id);
        let mut names = vec![&*catalog_part.name];
        names.extend(catalog_part.also.iter().map(|word| words.word(*word)));
        let (sizes, variant) = (words.sizes(*id), words.variant(*id));
        let is_named = |name: &&str| {
            let whole = fold(&format!("{name} {sizes} {variant}"));
            fold(name) == wanted || whole == wanted || fold(&format!("{name} {sizes}")) == wanted
        };
        names.iter().any(is_named) || fold(&words.item_name(*id)) == wanted
    };
    let mut found: Vec<ItemId> = ids.filter(is_it).collect();
    found.sort_by_key(|id| fold(&words.item_name(*id)));
    found
}

/// Whether an alternative installs an item, or buys it to make others up.
fn has(alternative: &Alternative, item: ItemId) -> bool {
    let is_bought = || alternative.order.iter().any(|line| line.item == item);
    alternative.takeoff.lines.iter().any(|line| line.item == item) || is_bought()
}

fn nothing_called(words: &Wording<'_>, part: &str) -> Refusal {
    // What is suggested is explained: parts that are in no order are none.
    let alternatives = || words.estimate.alternatives.iter();
    let installed = alternatives().flat_map(|of| of.takeoff.lines.iter().map(|line| line.item));
    let ids: BTreeSet<ItemId> =
        installed.chain(alternatives().flat_map(|of| of.order.iter().map(|line| line.item))).collect();
    let names: Vec<String> = ids.iter().map(|id| words.item_name(*id)).collect();
    let of_part = |id: &ItemId| {
        let part = words.part(*id);
        std::iter::once(&*part.name).chain(part.also.iter().map(|word| words.word(*word)))
    };
    let parts: Vec<&str> = ids.iter().flat_map(of_part).collect();
    let sums: Vec<String> = sums::all(words).into_iter().map(|(name, _)| name).collect();
    let works = words.estimate.alternatives.iter().flat_map(|of| &of.labor.lines);
    let works: Vec<String> = works.map(|line| words.task(&line.task)).collect();
    let names = names.iter().chain(&sums).chain(&works).map(String::as_str);
    let near = near(part, names.chain(parts.iter().copied()));
    let nothing = format!("the estimate has no part, sum or work called \"{part}\"");
    let why = match near.is_empty() {
        true => format!(
            "{nothing}; name a part of order.csv, a work of labor.csv, or a sum such as material or bid"
        ),
        false => nothing,
    };
    Refusal::new("nothing-called-so", why).near(near)
}

/// The order's figures, then each line of the takeoff with its cells.
fn explained(words: &Wording<'_>, alternative: &Alternative, item: ItemId, lines: &[&Line]) -> Vec<Figure> {
    let unit = words.unit(item);
    let figure = |much: Decimal, what: String| Figure::new(Cell::quantity(much), unit, what);
    let mut said = Vec::new();
    let total: Decimal = lines.iter().map(|line| words.quantity(line)).sum();
    for line in lines {
        let (cell, rule) = cells(words.job, line);
        let name = words.subject(line.subject);
        let mut one = figure(words.quantity(line), format!("{name}: {}", words.because(line))).at(cell);
        one.cells.extend(rule);
        said.push(one);
    }
    let order = alternative.order.iter().find(|line| line.item == item);
    let beside = order.map(|order| beside_the_takeoff(words, alternative, order)).unwrap_or_default();
    match order.filter(|_| !beside.is_empty()) {
        None => said.push(figure(total, "need".to_owned())),
        Some(order) => {
            if !lines.is_empty() {
                said.push(figure(total, "in the takeoff".to_owned()));
            }
            said.extend(beside.into_iter().map(|(much, what)| figure(much, what)));
            said.push(figure(order.need, "need".to_owned()));
        }
    }
    if let Some(order) = order {
        if !order.allow.is_zero() {
            let what = format!("allowance of {} %, rounded up once", points(order.allowance));
            said.push(figure(order.allow, what));
        }
        if !order.on_hand.is_zero() {
            said.push(figure(order.on_hand, "taken from the shelf".to_owned()));
        }
        for pick in &order.picks {
            let Some(offer) = words.offer(pick.offer) else { continue };
            let (packs, sold, sum) = (quantity(pick.packs), words.sold_as(offer), cents(pick.extended));
            let (supplier, row) = (words.supplier(offer), words.job.sources.row(offer.row));
            let what = format!("bought: {packs} x {sold}, {supplier}, {sum}");
            said.push(figure(pick.buy, what).at(row));
        }
        if order.picks.is_empty() && order.extended.is_none() {
            said.push(Figure::words("not priced: no offer for it"));
        }
    }
    let of_item = |line: &&LaborLine| line.task == Task::Item(item);
    let works: Vec<&LaborLine> = alternative.labor.lines.iter().filter(of_item).collect();
    if !works.is_empty() {
        said.extend(sums::hours(words, &works));
    }
    said
}

/// What makes the need of the order another than the takeoff: fittings that are made up, what they are made up from, and what
/// the cut plan adds or spares. All of it is `by_plan` of the line.
fn beside_the_takeoff(
    words: &Wording<'_>,
    alternative: &Alternative,
    order: &OrderLine,
) -> Vec<(Decimal, String)> {
    let item = order.item;
    let mut all: Vec<(Decimal, String)> = Vec::new();
    for built in &alternative.built {
        let count = Decimal::from(built.count);
        if built.item == item {
            let names: Vec<String> = built.fittings.iter().map(|(id, _)| words.item_name(*id)).collect();
            let (names, joints, why) = (names.join(" and "), built.joints_in_words(), built.why.because());
            let so = if built.why.is_sold { "cheaper so" } else { "not sold so" };
            all.push((-count, format!("{so}: each is made up from {names}, with {joints}; {why}")));
        }
        let takes = built.takes(item, words.job.settings.units);
        if !takes.is_zero() {
            all.push((takes, format!("in {} x {}, made up from others", count, words.item_name(built.item))));
        }
    }
    let plan = alternative.plans.iter().find(|plan| plan.item == item);
    let taken_out = plan.map_or(Decimal::ZERO, |plan| plan.taken_out.in_units(words.job.settings.units));
    if !taken_out.is_zero() {
        all.push((
            -taken_out,
            "taken out by fittings: pieces are cut shorter than center to center".to_owned(),
        ));
    }
    let of_plan = round_half_away(order.by_plan - all.iter().map(|(much, _)| *much).sum::<Decimal>(), 6);
    if of_plan.is_sign_negative() {
        all.push((
            of_plan,
            "spared by the cut plan: sold in longer lengths than the takeoff goes by".to_owned(),
        ));
    } else if !of_plan.is_zero() {
        all.push((of_plan, "more for joints that the cut plan makes".to_owned()));
    }
    all
}

/// The cell of the user's row, and of the rule's where there is one.
fn cells(job: &Job, line: &Line) -> (String, Option<String>) {
    let heading = match line.because {
        Because::Length | Because::Spacing | Because::Split => "length",
        Because::Tail | Because::TailReducer | Because::TailSpacing => "tail",
        Because::Turn => "turns",
        Because::Offset => "offsets",
        Because::Rule(_) => "pattern",
        Because::Tee(_) | Because::Reducer(_) | Because::Turning(_) | Because::Seam(_) => "joins",
        Because::Transition(_) => "system",
        Because::Between
        | Because::Adapter
        | Because::OpenEnd
        | Because::TestCap
        | Because::Plugged
        | Because::PartSupport => "run",
    };
    let row = match (line.because, line.subject) {
        (
            Because::Tee(child) | Because::Reducer(child) | Because::Turning(child) | Because::Seam(child),
            _,
        ) => job.runs.get(child.index()).map(|run| run.row),
        (_, Subject::Run(run)) => job.runs.get(run.index()).map(|run| run.row),
        (_, Subject::Place(place)) => job.places.get(place as usize).map(|place| place.row),
    };
    let cell = row.map(|row| job.sources.cell(row, heading).to_string()).unwrap_or_default();
    let rule = rule_of(line).map(|row| job.sources.cell(row, "part").to_string());
    let joint =
        line.joint.and_then(|row| row_at(&job.catalog, row)).map(|row| job.sources.row(row).to_string());
    (cell, joint.or(rule))
}
