//! What holds and guards tube in the framing: the spacing of supports; plates and heights, of which no job says enough.

use super::house::House;
use super::rule::{Check, Seen, length};
use crate::estimate::RunId;
use crate::ground::{Length, Spot};
use crate::trade::{Adds, Case, CheckOf, Lie, RuleUnit, SupportRule, Word};

/// Holds the framing against the rules.
pub(super) fn check(house: &House<'_>) -> Vec<Check> {
    let mut list = Vec::new();
    let mut told: Vec<(Word, Word)> = Vec::new();
    let hung: Vec<RunId> = house.laid().filter(|id| house.run(*id).lie == Lie::Framing).collect();
    for id in hung.iter().copied() {
        let Some(system) = house.system(id) else { continue };
        let of = (house.job.catalog.system(system).tube, house.run(id).size);
        if told.contains(&of) {
            continue;
        }
        told.push(of);
        let rows = house.job.catalog.supports.iter();
        if let Some(row) = rows.rev().find(|row| (row.tube, row.size) == of) {
            list.extend(spacing(house, row, CheckOf::SupportAcross, "across", row.across));
            list.extend(spacing(house, row, CheckOf::SupportUp, "up", row.up));
        }
    }
    if let Some(first) = hung.first().copied() {
        let cell = house.job.sources.row(house.run(first).row);
        let rule = house.rule(CheckOf::Plate, Case::default());
        let saw = "how near holes are to the face of the wood";
        let seen = Seen::new(CheckOf::Plate, "framing", saw, cell);
        list.push(match rule {
            Some(_) => seen.unknown("the job does not say where holes are: look at each"),
            None => seen.against(house.job, None, |_| true, ""),
        });
    }
    let kinds = house.map.places.iter().find(|place| !place.fixture.is_empty());
    if let Some(place) = kinds {
        let cell = place.row.map(|row| house.job.sources.row(row)).unwrap_or_else(|| {
            let run = place.met.first().map(|(run, _)| house.run(*run).row);
            run.map_or_else(|| Spot::file("runs"), |row| house.job.sources.row(row))
        });
        let seen =
            Seen::new(CheckOf::FixtureHeight, "fixtures", "how high fixtures stand over the floor", cell);
        let rule = house.rule(CheckOf::FixtureHeight, Case::default());
        list.push(match rule {
            Some(_) => seen.unknown("the job does not say where the floor is"),
            None => seen.against(house.job, None, |_| true, ""),
        });
    }
    list
}

fn spacing(
    house: &House<'_>,
    row: &SupportRule,
    of: CheckOf,
    heading: &str,
    every: Option<Length>,
) -> Option<Check> {
    let every = every?;
    let (tube, size) = (house.text(row.tube), house.text(row.size));
    let saw = format!("supports of {tube} {size} are counted every {} {heading}", house.shown(every));
    let cell = house.job.sources.cell(row.row, heading);
    let seen = Seen::new(of, tube, saw, cell);
    let rule = house.rule(of, Case { of: row.tube, size: row.size, ..Case::default() });
    let most = rule.and_then(length);
    let remedy = most.map(|most| format!("a support every {}", house.shown(most))).unwrap_or_default();
    Some(seen.against(house.job, rule, |_| most.is_none_or(|most| every <= most), remedy))
}

/// The standpipe of a washer: the tube that its pattern sets on the trap.
pub(super) fn standpipe(house: &House<'_>) -> Vec<Check> {
    let name = "washer drain";
    let Some(first) = house.laid().find(|id| house.is_of_pattern(*id, name)) else { return Vec::new() };
    let pattern = house.word(name).and_then(|word| house.job.catalog.pattern_named(word));
    let rows = pattern.map(|id| house.job.catalog.pattern(id).rows.as_slice()).unwrap_or_default();
    let tubes = rows.iter().filter_map(|row| match row.adds {
        Adds::Tube(length) => Some((row.row, length)),
        Adds::Part(..) | Adds::Nothing => None,
    });
    let judged = tubes.take(1).map(|(row, stands)| {
        let saw = format!("the standpipe stands {} over its trap", house.shown(stands));
        let cell = house.job.sources.cell(row, "quantity");
        let seen =
            Seen::new(CheckOf::Standpipe, house.name(first), saw, house.cell(first, "pattern")).and(cell);
        let of = |unit| house.rule(CheckOf::Standpipe, Case { unit: Some(unit), ..Case::default() });
        let (least, most) = (of(RuleUnit::LeastInches), of(RuleUnit::MostInches));
        let is_low = least.and_then(length).is_some_and(|least| stands < least);
        let rule = if is_low { least } else { most.or(least) };
        let holds = !is_low && most.and_then(length).is_none_or(|most| stands <= most);
        seen.against(house.job, rule, |_| holds, "another length of tube in the pattern washer drain")
    });
    judged.collect::<Vec<Check>>()
}
