//! Fittings where the flow of a drain changes its direction: which of them a code allows there.

use super::cleanouts::has_cleanout;
use super::house::House;
use super::rule::{Check, Seen, diameter, length};
use crate::estimate::RunId;
use crate::estimate::map::Begins;
use crate::estimate::takeoff::Because;
use crate::ground::{Length, Spot};
use crate::trade::{
    Angle, Attitude, Case, CheckOf, Class, CodeRule, PartId, RuleUnit, Service, Turned, UsedAs,
};

/// Holds every fitting of the drains against the rules.
pub(super) fn check(house: &House<'_>) -> Vec<Check> {
    let mut list = Vec::new();
    for id in house.of_service(Service::Drain) {
        for line in house.lines_of(id) {
            let part = house.estimate.items.get(line.item).part;
            if !turns_the_flow(house, part) {
                continue;
            }
            if let Because::Tee(child) = line.because
                && flows(house, child)
            {
                list.extend(meeting(house, child, part, "tee"));
                list.extend(double(house, child, part));
            }
            if let Because::Turning(child) = line.because
                && flows(house, child)
            {
                list.extend(meeting(house, child, part, "joins"));
            }
            if line.because == Because::Turn {
                list.extend(turns(house, id, part));
            }
        }
    }
    list
}

/// Parts that stand beside a change of direction and make none.
const BESIDE: [UsedAs; 4] =
    [UsedAs::Bushing, UsedAs::Coupling, UsedAs::ReducingCoupling, UsedAs::StreetEighthBend];

fn turns_the_flow(house: &House<'_>, part: PartId) -> bool {
    let part = house.job.catalog.part(part);
    part.class == Class::Fitting && !BESIDE.iter().any(|beside| part.used_as.contains(beside))
}

/// Whether waste flows in a child: not in a vent, nor in the riser of a cleanout.
fn flows(house: &House<'_>, child: RunId) -> bool {
    house.run(child).service == Service::Drain
        && (house.of_run(child).fixtures > 0 || !has_cleanout(house, child))
}

/// The rules of a change of direction, down the stream.
fn of_change(child: Attitude, parent: Attitude) -> Option<CheckOf> {
    Some(match (child, parent) {
        (Attitude::Level, Attitude::Upright) => CheckOf::LevelToUpright,
        (Attitude::Upright, Attitude::Level) => CheckOf::UprightToLevel,
        (Attitude::Level, Attitude::Level) => CheckOf::LevelToLevel,
        (Attitude::Upright, Attitude::Upright) => return None,
    })
}

fn meeting(house: &House<'_>, child: RunId, part: PartId, heading: &str) -> Option<Check> {
    let Begins::Run(met) = house.map.run(child).begins else { return None };
    let parent = house.run(met.run);
    let of = of_change(house.run(child).begins().attitude, parent.course_at(met.at).attitude)?;
    judge(house, of, child, part, house.cell(child, heading))
}

fn judge(house: &House<'_>, of: CheckOf, child: RunId, part: PartId, cell: Spot) -> Option<Check> {
    let part = house.job.catalog.part(part);
    let saw = format!("{} turns from {} by {}", house.name(child), of.word(), part.name);
    let seen = Seen::new(of, house.name(child), saw, cell);
    let rule = house.rule(of, Case { of: part.word, ..Case::default() });
    let remedy = if of == CheckOf::LevelToUpright {
        "a sanitary tee, a wye or a long sweep"
    } else {
        "a combination, a wye with an eighth bend, or a long sweep"
    };
    Some(seen.against(house.job, rule, |row| is_allowed(house, row, child), remedy))
}

fn is_allowed(house: &House<'_>, row: &CodeRule, child: RunId) -> bool {
    match row.unit {
        Some(RuleUnit::Never) => false,
        Some(RuleUnit::AllowedForFixture) => {
            let size = diameter(house.job, house.run(child).size);
            house.of_run(child).fixtures == 1 && size.zip(length(row)).is_some_and(|(own, most)| own <= most)
        }
        _ => true,
    }
}

/// The turns of a run by itself, each kind of turn once.
fn turns(house: &House<'_>, id: RunId, part: PartId) -> Vec<Check> {
    let (run, word) = (house.run(id), house.job.catalog.part(part).word);
    let Some(system) = house.system(id) else { return Vec::new() };
    let level = (Attitude::Level, Attitude::Level, Angle::Quarter);
    let mut ways: Vec<(Attitude, Attitude, Angle)> = match &run.path {
        Some(path) => path
            .changes()
            .map(|change| (change.from.attitude(), change.to.attitude(), change.from.angle(change.to)))
            .collect(),
        None => vec![level],
    };
    ways.sort();
    ways.dedup();
    let made = ways.into_iter().filter(|(parent, child, angle)| {
        let turned = Turned { service: run.service, parent: *parent, child: *child, angle: *angle };
        let row = house.job.catalog.turning(&turned, system);
        row.is_some_and(|row| {
            row.part == word || house.job.catalog.parts_called_or_used(row.part).contains(&part)
        })
    });
    let of = made.filter_map(|(parent, child, _)| of_change(child, parent));
    of.filter_map(|of| judge(house, of, id, part, house.way_cell(id))).collect()
}

/// What drains into a double sanitary tee.
fn double(house: &House<'_>, child: RunId, part: PartId) -> Vec<Check> {
    let Begins::Run(met) = house.map.run(child).begins else { return Vec::new() };
    if !house.is_called(part, "double sanitary tee") {
        return Vec::new();
    }
    let beside = house.kids_at(met.run, met.at).iter();
    let of = beside.filter_map(|kid| {
        let fixture = house.fixture_at(kid.run)?;
        let case = Case { of: house.called(fixture), ..Case::default() };
        let rule = house.rule(CheckOf::DoubleTee, case)?;
        let (run, long) = (house.run(kid.run), house.run(kid.run).length);
        let saw = format!(
            "the {} drains into a double sanitary tee by {} of {}",
            house.text(fixture),
            run.name,
            house.shown(long)
        );
        let seen = Seen::new(CheckOf::DoubleTee, &run.name, saw, house.cell(kid.run, "joins"));
        let holds = |row: &CodeRule| match row.unit {
            Some(RuleUnit::Never) => false,
            _ => length(row).is_none_or(|least: Length| long >= least),
        };
        Some(seen.against(
            house.job,
            Some(rule),
            holds,
            "a point of its own on the stack, a least piece higher",
        ))
    });
    of.collect()
}
