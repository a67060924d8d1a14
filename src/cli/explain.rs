//! `explain`: why a quantity is what it is, run by run and rule by rule, each with the cell it comes from.

use std::path::Path;

use rust_decimal::Decimal;

use super::args::Options;
use super::screen::{Paint, Screen};
use super::{CouldNot, Done, finish, read};
use crate::estimate::estimate;
use crate::estimate::item::ItemId;
use crate::estimate::order::Alternative;
use crate::estimate::takeoff::{Because, Line, Subject};
use crate::ground::name::{fold, nearest};
use crate::ground::notice::in_order;
use crate::report::wording::{Wording, to_places};
use crate::trade::Job;

/// Explains a part in every alternative.
pub(super) fn explain(
    path: &Path,
    part: &str,
    options: &Options,
    screen: &mut Screen,
) -> Result<Done, CouldNot> {
    let job = read(path, screen)?;
    let estimate = estimate(&job);
    let words = Wording { job: &job, estimate: &estimate };
    let wanted = asked_for(&words, part);
    if wanted.is_empty() {
        return Err(CouldNot::Say(nothing_called(&words, part)));
    }
    for (index, alternative) in estimate.alternatives.iter().enumerate() {
        for item in &wanted {
            let lines: Vec<&Line> =
                alternative.takeoff.lines.iter().filter(|line| line.item == *item).collect();
            if !lines.is_empty() {
                let head = format!("{} in {}", words.item_name(*item), words.alternative(index));
                screen.result(&screen.paint_result(Paint::Bold, &head));
                for line in explained(&words, alternative, *item, &lines) {
                    screen.result(&line);
                }
                screen.result("");
            }
        }
    }
    let notices = in_order(job.notices.iter().chain(&estimate.notices).cloned().collect());
    let errors: Vec<_> = notices.into_iter().filter(crate::ground::Notice::is_error).collect();
    Ok(finish(&errors, path, options, screen))
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
    found.sort_by_key(|id| crate::ground::name::fold(&words.item_name(*id)));
    found
}

fn nothing_called(words: &Wording<'_>, part: &str) -> String {
    let ids = (0..u32::try_from(words.estimate.items.len()).unwrap_or(u32::MAX)).map(ItemId);
    let names: Vec<String> = ids.map(|id| words.item_name(id)).collect();
    let parts: Vec<&str> = words.job.catalog.part_names(&words.job.lexicon).collect();
    let near = nearest(part, names.iter().map(String::as_str).chain(parts.iter().copied()));
    match near.as_slice() {
        [] => format!("the estimate has no part called \"{part}\"; try one of order.csv"),
        near => format!("the estimate has no part called \"{part}\"; nearest: {}", near.join(", ")),
    }
}

/// The order's figures, then each line of the takeoff with its cells.
fn explained(words: &Wording<'_>, alternative: &Alternative, item: ItemId, lines: &[&Line]) -> Vec<String> {
    let unit = words.unit(item);
    let mut said = Vec::new();
    let total: Decimal = lines.iter().map(|line| words.quantity(line)).sum();
    for line in lines {
        let quantity = to_places(words.quantity(line), 4);
        let (cell, rule) = cells(words.job, line);
        let name = words.subject(line.subject);
        let rule = rule.map(|rule| format!(", {rule}")).unwrap_or_default();
        said.push(format!("  {quantity:>10} {unit:5} {name:12} {}  [{cell}{rule}]", words.because(line)));
    }
    said.push(format!("  {:>10} {unit:5} need", to_places(total, 4)));
    for built in alternative.built.iter().filter(|built| built.item == item) {
        let names: Vec<String> = built.fittings.iter().map(|(id, _)| words.item_name(*id)).collect();
        let (names, joints, why) = (names.join(" and "), built.joints_in_words(), built.why.because());
        let so = if built.why.is_sold { "cheaper so" } else { "not sold so" };
        said.push(format!(
            "  {:>10} {unit:5} {so}: each is built from {names}, with {joints}; {why}",
            -built.count
        ));
    }
    if let Some(order) = alternative.order.iter().find(|line| line.item == item) {
        if order.by_plan > Decimal::ZERO {
            let more = to_places(order.by_plan, 4);
            said.push(format!("  {more:>10} {unit:5} more for cut plans and for fittings that are built"));
        }
        if !order.allow.is_zero() {
            let percent = to_places(order.allowance, 2);
            said.push(format!(
                "  {:>10} {unit:5} allowance of {percent} %, rounded up once",
                to_places(order.allow, 4)
            ));
        }
        if !order.on_hand.is_zero() {
            said.push(format!("  {:>10} {unit:5} taken from the shelf", to_places(order.on_hand, 4)));
        }
        for pick in &order.picks {
            let Some(offer) = words.offer(pick.offer) else { continue };
            said.push(format!(
                "  {:>10} {unit:5} bought: {} x {}, {}, {:.2} [{}]",
                to_places(pick.buy, 4),
                to_places(pick.packs, 4),
                words.sold_as(offer),
                words.supplier(offer),
                pick.extended,
                words.job.sources.row(offer.row),
            ));
        }
        if order.picks.is_empty() && order.extended.is_none() {
            said.push("              not priced: no offer for it".to_owned());
        }
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
    let rule = match line.because {
        Because::Rule(row) => Some(job.sources.cell(row, "part").to_string()),
        _ => None,
    };
    let joint = line
        .joint
        .and_then(|j| job.catalog.joints.get(j as usize))
        .map(|j| job.sources.row(j.row).to_string());
    (cell, joint.or(rule))
}
