//! Drains against what they carry: drainage units at each size and fall, the least fall, the least size of a trap.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::arms::Arm;
use super::house::{House, Stretch};
use super::rule::{Check, Rule, Seen, asks, carries, diameter, units_said};
use crate::estimate::RunId;
use crate::estimate::map::Begins;
use crate::ground::Length;
use crate::trade::{Attitude, Case, CheckOf, RuleUnit, Service, Slope};

/// What a part of a drain is, as rules tell drains apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Use {
    /// Level, and level on all its way to the sewer.
    BuildingDrain,
    /// Level, with something upright below.
    Branch,
    /// Upright.
    Stack,
}

impl Use {
    const fn word(self) -> &'static str {
        match self {
            Self::BuildingDrain => "building drain",
            Self::Branch => "branch",
            Self::Stack => "stack",
        }
    }
}

/// Holds every drain against the rules.
pub(super) fn check(house: &House<'_>, arms: &[Arm]) -> Vec<Check> {
    // Of the way from a trap to its vent the rules of the arm speak.
    let mut arm_begins: BTreeMap<RunId, Length> = BTreeMap::new();
    for (run, at) in arms.iter().filter(|arm| arm.air.is_some()).flat_map(|arm| &arm.along) {
        let begins = arm_begins.entry(*run).or_insert(*at);
        *begins = (*begins).max(*at);
    }
    let below = below(house);
    let mut list = Vec::new();
    for id in house.of_service(Service::Drain) {
        list.extend(slope(house, id));
        list.extend(capacity(house, id, below[id.index()], arm_begins.get(&id).copied()));
    }
    list.extend(arms.iter().filter_map(|arm| trap_size(house, arm)));
    list
}

/// What stands between the beginning of each run and the sewer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Below {
    /// Level drains alone.
    Level,
    /// Something upright.
    Upright,
    /// It does not come to the sewer.
    Unknown,
}

fn below(house: &House<'_>) -> Vec<Below> {
    let mut below = vec![Below::Unknown; house.map.runs.len()];
    let mut waits: Vec<RunId> = Vec::new();
    for id in house.of_service(Service::Drain) {
        if let Begins::Place(place) = house.map.run(id).begins {
            let place = house.map.place(place);
            if place.always && !place.is_roof {
                below[id.index()] = Below::Level;
                waits.push(id);
            }
        }
    }
    while let Some(id) = waits.pop() {
        let parts = house.stretches(id);
        for kid in house.kids(id).iter().filter(|kid| house.run(kid.run).service == Service::Drain) {
            let is_upright =
                parts.iter().any(|part| part.attitude == Attitude::Upright && part.from < kid.at);
            below[kid.run.index()] = if is_upright { Below::Upright } else { below[id.index()] };
            waits.push(kid.run);
        }
    }
    below
}

fn slope(house: &House<'_>, id: RunId) -> Option<Check> {
    let run = house.run(id);
    let fall = run.fall?;
    house.stretches(id).iter().find(|part| part.attitude == Attitude::Level)?;
    let rule = house.rule(CheckOf::DrainSlope, Case { size: run.size, ..Case::default() });
    let saw = format!("{} of {} falls {} in a foot", run.name, house.text(run.size), fall.shown());
    // A fall that the job says stands there; a drain's own cell is where to go in any case.
    let seen = Seen::new(CheckOf::DrainSlope, &run.name, saw, house.cell(id, "slope"));
    let least = rule.and_then(|rule| rule.value).and_then(Slope::of_inches_a_foot);
    let remedy = least.map(|least| format!("a fall of {} in a foot", least.shown())).unwrap_or_default();
    Some(seen.against(
        house.job,
        rule,
        |_| least.is_none_or(|least| fall >= least.in_whole_percent()),
        remedy,
    ))
}

/// What passes each part of a drain; of parts of one use the first, nearest to the sewer.
fn capacity(house: &House<'_>, id: RunId, below: Below, arm: Option<Length>) -> Vec<Check> {
    let mut list = Vec::new();
    let mut is_upright = below == Below::Upright;
    for part in house.stretches(id) {
        // From where the arm of a trap begins the drain is the arm.
        let ends = arm.map_or(part.to, |arm| arm.min(part.to));
        if ends > part.from && house.above(id, part.from).fixtures > 0 {
            let of = match part.attitude {
                Attitude::Upright => Use::Stack,
                Attitude::Level if is_upright => Use::Branch,
                Attitude::Level => Use::BuildingDrain,
            };
            list.push(carried(house, id, part, of, below));
        }
        is_upright |= part.attitude == Attitude::Upright;
    }
    // A run of many legs is told once a use: the first is the one nearest to the sewer, which carries the most.
    let mut told: Vec<(Use, Check)> = Vec::new();
    for (of, check) in list {
        if !told.iter().any(|(other, _)| *other == of) {
            told.push((of, check));
        }
    }
    told.into_iter().map(|(_, check)| check).collect()
}

fn carried(house: &House<'_>, id: RunId, part: Stretch, of: Use, below: Below) -> (Use, Check) {
    let run = house.run(id);
    let above = house.above(id, part.from);
    let units = above.units;
    let slope = run.fall.filter(|_| part.attitude == Attitude::Level);
    let falls = slope.map(|fall| format!(" at {} in a foot", fall.shown())).unwrap_or_default();
    let saw = format!(
        "{} of {}{falls} carries {} as a {}",
        run.name,
        house.text(run.size),
        units_said(units),
        of.word()
    );
    let seen = Seen::new(CheckOf::DrainCapacity, &run.name, saw, house.cell(id, "size"));
    if below == Below::Unknown && of != Use::Stack {
        return (
            of,
            seen.unknown("it does not come to the sewer: a branch or a building drain, nobody knows"),
        );
    }
    let case = Case { of: house.word(of.word()).unwrap_or_default(), size: run.size, slope, unit: None };
    let rule = house.rule(CheckOf::DrainCapacity, case);
    if above.unknown > 0 && rule.is_none_or(|rule| carries(rule, units)) {
        return (of, seen.unknown("what some fixtures on it send into the drain is not known"));
    }
    let larger = larger(house, case, units);
    let remedy = larger.unwrap_or_else(|| "fewer fixtures on it".to_owned());
    (of, seen.against(house.job, rule, |rule| carries(rule, units), remedy))
}

/// The smallest size that carries so many units.
fn larger(house: &House<'_>, case: Case, units: Decimal) -> Option<String> {
    let sizes = house.job.catalog.code_rules.iter().map(|rule| rule.size).filter(|size| !size.is_empty());
    let mut found: Vec<(Length, &str, String)> = sizes
        .filter_map(|size| {
            let rule = house.rule(CheckOf::DrainCapacity, Case { size, ..case })?;
            let holds = rule.size == size && rule.unit == Some(RuleUnit::MostUnits) && carries(rule, units);
            holds.then_some((diameter(house.job, size)?, house.text(size), asks(rule)))
        })
        .collect();
    found.sort();
    found
        .into_iter()
        .next()
        .map(|(_, size, most)| format!("{size}, which carries {most}, or fewer fixtures on it"))
}

/// The trap of a fixture, whose size is its run's.
fn trap_size(house: &House<'_>, arm: &Arm) -> Option<Check> {
    let (run, row) = (house.run(arm.run), house.drain_units(arm.fixture)?);
    let fixture = house.text(arm.fixture);
    let saw = format!("the drain and the trap of the {fixture} are {}", house.text(run.size));
    let seen = Seen::new(CheckOf::TrapSize, &run.name, saw, house.cell(arm.run, "size"));
    let least = diameter(house.job, row.trap)?;
    let own = diameter(house.job, run.size)?;
    let rule = Rule {
        family: house.text(row.family).to_owned(),
        section: String::new(),
        source: row.source.to_string(),
        status: "",
        row: row.row,
    };
    let least_text = house.text(row.trap);
    Some(seen.by(rule, format!("{least_text} in at least"), own >= least, format!("a drain of {least_text}")))
}
