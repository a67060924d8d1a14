//! `explain`: why a quantity is what it is, run by run and rule by rule, each with the cell it comes from; and why a sum
//! of hours or money is what it is, line by line.

mod sums;

use std::path::Path;

use rust_decimal::Decimal;

use super::args::Options;
use super::job::read;
use unicode_width::UnicodeWidthStr;

use super::narrow::{WIDTH, wrapped};
use super::screen::{Paint, Screen};
use super::{CouldNot, Done, finish};
use crate::estimate::alternative::Alternative;
use crate::estimate::estimate;
use crate::estimate::item::ItemId;
use crate::estimate::joint_rows::row_at;
use crate::estimate::labor::LaborLine;
use crate::estimate::takeoff::{Because, Line, Subject};
use crate::estimate::task::Task;
use crate::ground::money::{cents, points, quantity};
use crate::ground::name::{fold, nearest};
use crate::report::facts::{Wording, rule_of};
use crate::trade::Job;

/// Explains a part, a sum or a kind of work: in the chosen system, or in all of them. What the chosen system has not is
/// explained in those that have it.
pub(super) fn explain(
    path: &Path,
    asked: &str,
    all_systems: bool,
    options: &Options,
    screen: &mut Screen,
) -> Result<Done, CouldNot> {
    let job = read(path, &options.limits(), screen)?;
    let estimate = estimate(&job);
    let words = Wording { job: &job, estimate: &estimate };
    let blocks: Vec<Block> = (0..estimate.alternatives.len())
        .map(|index| blocks(&words, index, asked))
        .filter(|blocks| !blocks.is_empty())
        .take(if all_systems { usize::MAX } else { 1 })
        .flatten()
        .collect();
    if blocks.is_empty() {
        return Err(CouldNot::Say(nothing_called(&words, asked)));
    }
    for block in blocks {
        screen.result(&screen.paint_result(Paint::Bold, &block.head));
        screen.results(block.lines.iter().flat_map(|line| fitted(line)));
        screen.result("");
    }
    if !asked_for(&words, asked).is_empty() && sums::asked_for(&words, asked).is_some() {
        screen.say(&format!("what it costs: coilstick explain {} \"cost of {asked}\"", path.display()));
    }
    let told = estimate.told.iter().filter(|notice| notice.is_error());
    let errors: Vec<_> = told.cloned().collect();
    Ok(finish(&errors, options, screen))
}

/// A line that is too long for a terminal goes on under its words, behind the column of figures.
fn fitted(line: &str) -> Vec<String> {
    if line.width() <= WIDTH {
        return vec![line.to_owned()];
    }
    let figures = line.char_indices().nth(FIGURES).map_or(line.len(), |(at, _)| at);
    let (label, words) = line.split_at(figures);
    wrapped(label, words)
}

/// The width of the column of figures.
const FIGURES: usize = 16;

/// What is said of one thing in one system.
struct Block {
    head: String,
    lines: Vec<String>,
}

/// What some words ask for in one system: parts by their names, else a sum, else kinds of work.
fn blocks(words: &Wording<'_>, index: usize, asked: &str) -> Vec<Block> {
    let alternative = &words.estimate.alternatives[index];
    let head = |what: &str| format!("{what} in {}", words.alternative(index));
    let parts = asked_for(words, asked);
    if !parts.is_empty() {
        let of_part = |item: &ItemId| {
            let lines: Vec<&Line> =
                alternative.takeoff.lines.iter().filter(|line| line.item == *item).collect();
            (!lines.is_empty()).then(|| Block {
                head: head(&words.item_name(*item)),
                lines: explained(words, alternative, *item, &lines),
            })
        };
        return parts.iter().filter_map(of_part).collect();
    }
    if let Some(sum) = sums::asked_for(words, asked) {
        let lines = sums::told(words, alternative, sum);
        return vec![Block { head: head(&sums::name(words, sum)), lines }];
    }
    let works = sums::work_asked_for(words, alternative, asked);
    match works.is_empty() {
        true => Vec::new(),
        false => vec![Block { head: head(&format!("hours of {asked}")), lines: sums::hours(words, &works) }],
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
        names.iter().any(|name| {
            let whole = fold(&format!("{name} {sizes} {variant}"));
            fold(name) == wanted || whole == wanted || fold(&format!("{name} {sizes}")) == wanted
        })
    };
    let mut found: Vec<ItemId> = ids.filter(is_it).collect();
    found.sort_by_key(|id| fold(&words.item_name(*id)));
    found
}

fn nothing_called(words: &Wording<'_>, part: &str) -> String {
    let ids = (0..u32::try_from(words.estimate.items.len()).unwrap_or(u32::MAX)).map(ItemId);
    let names: Vec<String> = ids.map(|id| words.item_name(id)).collect();
    let parts: Vec<&str> = words.job.catalog.part_names(&words.job.lexicon).collect();
    let sums: Vec<String> = sums::all(words).into_iter().map(|(name, _)| name).collect();
    let names = names.iter().chain(&sums).map(String::as_str);
    let near = nearest(part, names.chain(parts.iter().copied()));
    let nothing = format!("the estimate has no part, sum or work called \"{part}\"");
    match near.as_slice() {
        [] => {
            format!("{nothing}; try a part of order.csv, a work of labor.csv, or one of: {}", sums.join("; "))
        }
        near => format!("{nothing}; nearest: {}", near.join(", ")),
    }
}

/// The order's figures, then each line of the takeoff with its cells.
fn explained(words: &Wording<'_>, alternative: &Alternative, item: ItemId, lines: &[&Line]) -> Vec<String> {
    let unit = words.unit(item);
    let figure = |much: String, what: String| format!("  {much:>10} {unit:5} {what}");
    let mut said = Vec::new();
    let total: Decimal = lines.iter().map(|line| words.quantity(line)).sum();
    for line in lines {
        let much = quantity(words.quantity(line));
        let (cell, rule) = cells(words.job, line);
        let name = words.subject(line.subject);
        let rule = rule.map(|rule| format!(", {rule}")).unwrap_or_default();
        said.push(figure(much, format!("{name:12} {}  [{cell}{rule}]", words.because(line))));
    }
    said.push(figure(quantity(total), "need".to_owned()));
    for built in alternative.built.iter().filter(|built| built.item == item) {
        let names: Vec<String> = built.fittings.iter().map(|(id, _)| words.item_name(*id)).collect();
        let (names, joints, why) = (names.join(" and "), built.joints_in_words(), built.why.because());
        let so = if built.why.is_sold { "cheaper so" } else { "not sold so" };
        let what = format!("{so}: each is made up from {names}, with {joints}; {why}");
        said.push(figure((-built.count).to_string(), what));
    }
    if let Some(order) = alternative.order.iter().find(|line| line.item == item) {
        if order.by_plan > Decimal::ZERO {
            let what = "more for cut plans and for fittings that are made up";
            said.push(figure(quantity(order.by_plan), what.to_owned()));
        }
        if !order.allow.is_zero() {
            let what = format!("allowance of {} %, rounded up once", points(order.allowance));
            said.push(figure(quantity(order.allow), what));
        }
        if !order.on_hand.is_zero() {
            said.push(figure(quantity(order.on_hand), "taken from the shelf".to_owned()));
        }
        for pick in &order.picks {
            let Some(offer) = words.offer(pick.offer) else { continue };
            let (packs, sold, sum) = (quantity(pick.packs), words.sold_as(offer), cents(pick.extended));
            let (supplier, row) = (words.supplier(offer), words.job.sources.row(offer.row));
            let what = format!("bought: {packs} x {sold}, {supplier}, {sum} [{row}]");
            said.push(figure(quantity(pick.buy), what));
        }
        if order.picks.is_empty() && order.extended.is_none() {
            said.push("              not priced: no offer for it".to_owned());
        }
    }
    let of_item = |line: &&LaborLine| line.task == Task::Item(item);
    let works: Vec<&LaborLine> = alternative.labor.lines.iter().filter(of_item).collect();
    if !works.is_empty() {
        said.extend(sums::hours(words, &works));
    }
    said
}

/// The cell of the user's row, and of the rule's where there is one.
fn cells(job: &Job, line: &Line) -> (String, Option<String>) {
    let heading = match line.because {
        Because::Length | Because::Spacing | Because::Split => "length",
        Because::Tail | Because::TailReducer | Because::TailSpacing => "tail",
        Because::Turn => "turns",
        Because::Offset => "offsets",
        Because::Rule(_) => "pattern",
        Because::Tee(_) | Because::Reducer(_) | Because::Seam(_) => "joins",
        Because::Transition(_) => "system",
        Because::Between | Because::Adapter | Because::OpenEnd | Because::Plugged | Because::PartSupport => {
            "run"
        }
    };
    let row = match (line.because, line.subject) {
        (Because::Tee(child) | Because::Reducer(child) | Because::Seam(child), _) => {
            job.runs.get(child.index()).map(|run| run.row)
        }
        (_, Subject::Run(run)) => job.runs.get(run.index()).map(|run| run.row),
        (_, Subject::Place(place)) => job.places.get(place as usize).map(|place| place.row),
    };
    let cell = row.map(|row| job.sources.cell(row, heading).to_string()).unwrap_or_default();
    let rule = rule_of(line).map(|row| job.sources.cell(row, "part").to_string());
    let joint =
        line.joint.and_then(|row| row_at(&job.catalog, row)).map(|row| job.sources.row(row).to_string());
    (cell, joint.or(rule))
}
