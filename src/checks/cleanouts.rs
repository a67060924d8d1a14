//! Cleanouts: how far apart they are, one for the building drain, one at the foot of each stack.

use super::house::House;
use super::rule::{Check, Seen, length};
use crate::estimate::RunId;
use crate::estimate::map::Begins;
use crate::ground::Length;
use crate::trade::{Attitude, Case, CheckOf, Service};

/// What a cleanout is called in the table of parts: with it a drain can be cleaned out.
const CLEANOUTS: [&str; 4] = ["cleanout plug", "cleanout adapter", "cleanout tee", "two-way cleanout"];

/// Whether a run has a cleanout.
pub(super) fn has_cleanout(house: &House<'_>, id: RunId) -> bool {
    CLEANOUTS.iter().any(|part| house.run_has(id, part))
}

/// Holds the drains against the rules.
pub(super) fn check(house: &House<'_>) -> Vec<Check> {
    let mut list = Vec::new();
    let drains = house.of_service(Service::Drain);
    let roots: Vec<RunId> = drains.filter(|id| begins_at_sewer(house, *id)).collect();
    for root in roots {
        list.push(building_drain(house, root));
        list.push(spacing(house, root));
    }
    list.extend(house.of_service(Service::Drain).filter_map(|id| foot(house, id)));
    list
}

fn begins_at_sewer(house: &House<'_>, id: RunId) -> bool {
    match house.map.run(id).begins {
        Begins::Place(place) => house.map.place(place).always,
        Begins::Run(_) | Begins::Nothing => false,
    }
}

fn drains_on<'h>(house: &'h House<'_>, id: RunId) -> impl DoubleEndedIterator<Item = (RunId, Length)> + 'h {
    let kids = house.kids(id).iter().filter(|kid| house.run(kid.run).service == Service::Drain);
    kids.map(|kid| (kid.run, kid.at))
}

fn building_drain(house: &House<'_>, root: RunId) -> Check {
    let rule = house.rule(CheckOf::DrainCleanout, Case::default());
    let found = has_cleanout(house, root) || drains_on(house, root).any(|(kid, _)| has_cleanout(house, kid));
    let name = house.name(root);
    let saw = format!("the building drain {name} has {} cleanout", if found { "a" } else { "no" });
    let seen = Seen::new(CheckOf::DrainCleanout, name, saw, house.cell(root, "pattern"));
    let remedy = format!("a short run of pattern cleanout that joins {name} near the sewer");
    seen.against(house.job, rule, |_| found, remedy)
}

/// The longest way without a cleanout, from the sewer up.
fn spacing(house: &House<'_>, root: RunId) -> Check {
    let mut longest = (Length::ZERO, root);
    let mut waits = vec![(root, Length::ZERO)];
    while let Some((id, since)) = waits.pop() {
        let level = |from: Length, to: Length| {
            let parts = house.stretches(id).into_iter().filter(|part| part.attitude == Attitude::Level);
            let long = parts.filter_map(|part| part.to.min(to).checked_sub(part.from.max(from)));
            long.filter(|long| *long > Length::ZERO)
                .fold(Length::ZERO, |sum, long| sum.checked_add(long).unwrap_or(sum))
        };
        let mut since = if house.run_has(id, "cleanout tee") { Length::ZERO } else { since };
        let mut at = Length::ZERO;
        for (kid, here) in drains_on(house, id) {
            since = since.checked_add(level(at, here)).unwrap_or(since);
            at = here;
            longest = longest.max((since, longest.1));
            if longest.0 == since && since > Length::ZERO {
                longest.1 = id;
            }
            if has_cleanout(house, kid) && house.above(kid, Length::ZERO).fixtures == 0 {
                since = Length::ZERO;
            }
            waits.push((kid, since));
        }
        let end = since.checked_add(level(at, house.run(id).length)).unwrap_or(since);
        if end > longest.0 {
            longest = (end, id);
        }
    }
    let (long, id) = longest;
    let rule = house.rule(CheckOf::CleanoutSpacing, Case::default());
    let saw = format!("at most {} lie between cleanouts, up to {}", house.shown(long), house.name(id));
    let seen = Seen::new(CheckOf::CleanoutSpacing, house.name(id), saw, house.way_cell(id));
    seen.against(house.job, rule, |row| length(row).is_none_or(|most| long <= most), "a cleanout between")
}

/// The foot of a stack: where a level drain turns up and goes through a storey.
fn foot(house: &House<'_>, id: RunId) -> Option<Check> {
    let rule = house.rule(CheckOf::StackCleanout, Case::default());
    let run = house.run(id);
    let parts = house.stretches(id);
    let rises = parts.iter().position(|part| part.attitude == Attitude::Upright)?;
    let Begins::Run(met) = house.map.run(id).begins else { return None };
    let parent = house.run(met.run);
    if rises == 0 && parent.course_at(met.at).attitude == Attitude::Upright {
        return None;
    }
    let part = parts[rises];
    let mut height = part.to.checked_sub(part.from)?;
    let mut chain = vec![id];
    let (mut at, mut is_through) = (id, rises + 1 == parts.len());
    while is_through {
        let end = house.run(at).length;
        let upright = |(kid, here): &(RunId, Length)| {
            *here >= end && house.run(*kid).begins().attitude == Attitude::Upright && has_flow(house, *kid)
        };
        let Some((kid, _)) = drains_on(house, at).find(upright) else { break };
        let parts = house.stretches(kid);
        height = height.checked_add(parts.first()?.to).unwrap_or(height);
        chain.push(kid);
        (at, is_through) = (kid, parts.len() == 1);
    }
    let least = rule.and_then(length).unwrap_or_default();
    if height < least || !has_flow(house, id) {
        return None;
    }
    let on_it = |id: &RunId| {
        has_cleanout(house, *id)
            || drains_on(house, *id).any(|(kid, _)| has_cleanout(house, kid) && !has_flow(house, kid))
    };
    let found = chain.iter().any(on_it);
    let saw = format!(
        "the stack {} goes up {} and has {} cleanout at its foot",
        run.name,
        house.shown(height),
        if found { "a" } else { "no" }
    );
    let seen = Seen::new(CheckOf::StackCleanout, &run.name, saw, house.cell(*chain.last()?, "pattern"));
    let remedy = format!("the pattern stack cleanout in {}", house.name(*chain.last()?));
    Some(seen.against(house.job, rule, |_| found, remedy))
}

fn has_flow(house: &House<'_>, id: RunId) -> bool {
    house.of_run(id).fixtures > 0
}
