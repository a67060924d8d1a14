//! Vents: their size by the drain that they air, their units and length, and whether they end in the open air.

use rust_decimal::Decimal;

use super::arms::Arm;
use super::house::House;
use super::rule::{Check, Seen, carries, diameter, length, units_said};
use crate::estimate::RunId;
use crate::estimate::map::{Along, Begins, Ends};
use crate::ground::{Length, LengthUnit};
use crate::trade::{Adds, Case, CheckOf, CodeRule, RuleUnit, Service};

/// Holds every vent against the rules.
pub(super) fn check(house: &House<'_>, arms: &[Arm]) -> Vec<Check> {
    let units = aired(house, arms);
    let mut list = Vec::new();
    for id in house.of_service(Service::Vent) {
        list.extend(size(house, id));
        list.push(load(house, id, units[id.index()]));
        list.extend(way(house, id));
        list.extend(end(house, id));
    }
    list.extend(above_roof(house));
    list
}

/// Where the air of a vent goes on: at a run it ends at, or in the vent that begins at its end. With how far along that is.
fn goes_on(house: &House<'_>, id: RunId) -> Option<(RunId, Length)> {
    if let Ends::Run(Along { run, at, .. }) = house.map.run(id).ends {
        return Some((run, at));
    }
    let end = house.run(id).length;
    let begins = house.kids(id).iter().rev().find(|kid| kid.at >= end && is_vent(house, kid.run));
    begins.map(|kid| (kid.run, Length::ZERO))
}

fn is_vent(house: &House<'_>, id: RunId) -> bool {
    house.run(id).service == Service::Vent
}

/// For each run the drainage units whose traps it airs, by itself or for other vents.
fn aired(house: &House<'_>, arms: &[Arm]) -> Vec<Decimal> {
    let mut units = vec![Decimal::ZERO; house.map.runs.len()];
    let mut waits = vec![0_u32; house.map.runs.len()];
    let vents: Vec<RunId> = house.of_service(Service::Vent).collect();
    for arm in arms {
        let of = house.drain_units(arm.fixture).map_or(Decimal::ZERO, |row| row.units);
        if let Some(air) = &arm.air {
            units[air.vent.index()] += of;
        }
    }
    for (next, _) in vents.iter().filter_map(|id| goes_on(house, *id)) {
        waits[next.index()] += 1;
    }
    // Each vent hands on what it airs once all that comes to it is known.
    let mut ready: Vec<RunId> = vents.into_iter().filter(|id| waits[id.index()] == 0).collect();
    while let Some(id) = ready.pop() {
        let Some((next, _)) = goes_on(house, id) else { continue };
        units[next.index()] = units[next.index()] + units[id.index()];
        waits[next.index()] = waits[next.index()].saturating_sub(1);
        if waits[next.index()] == 0 {
            ready.push(next);
        }
    }
    units
}

/// The drain that a vent begins at.
fn drain_of(house: &House<'_>, id: RunId) -> Option<RunId> {
    match house.map.run(id).begins {
        Begins::Run(met) if !is_vent(house, met.run) => Some(met.run),
        Begins::Run(_) | Begins::Place(_) | Begins::Nothing => None,
    }
}

/// The least size of a vent by the rules, of its drain and of all vents, each with its row.
fn least<'h>(house: &House<'h>, drain: RunId) -> [Option<(Length, &'h CodeRule)>; 2] {
    let of = |unit| house.rule(CheckOf::VentSize, Case { unit: Some(unit), ..Case::default() });
    let share = of(RuleUnit::LeastOfDrain).and_then(|row| {
        let drain = diameter(house.job, house.run(drain).size)?.in_units(LengthUnit::Inch);
        let least = Length::from_decimal(row.value?.checked_mul(drain)?, LengthUnit::Inch)?;
        Some((least, row))
    });
    let any = of(RuleUnit::LeastInches).and_then(|row| Some((length(row)?, row)));
    [share, any]
}

fn size(house: &House<'_>, id: RunId) -> Option<Check> {
    let drain = drain_of(house, id)?;
    let run = house.run(id);
    let own = diameter(house.job, run.size)?;
    let (size, of) = (house.text(run.size), house.text(house.run(drain).size));
    let saw = format!("{} of {size} airs {} of {of}", run.name, house.name(drain));
    let seen = Seen::new(CheckOf::VentSize, &run.name, saw, house.cell(id, "size"));
    let least = least(house, drain);
    let broken = least.into_iter().flatten().find(|(least, _)| own < *least);
    let row = broken.or_else(|| least.into_iter().flatten().next()).map(|(_, row)| row);
    let most = least.into_iter().flatten().map(|(least, _)| least).max().unwrap_or_default();
    let remedy = format!("a vent of {} or larger", most.as_typed(LengthUnit::Inch));
    Some(seen.against(house.job, row, |_| broken.is_none(), remedy))
}

fn load(house: &House<'_>, id: RunId, units: Decimal) -> Check {
    let run = house.run(id);
    let saw = format!("{} of {} airs {}", run.name, house.text(run.size), units_said(units));
    let seen = Seen::new(CheckOf::VentUnits, &run.name, saw, house.cell(id, "size"));
    let rule = house.rule(CheckOf::VentUnits, Case { size: run.size, ..Case::default() });
    seen.against(house.job, rule, |row| carries(row, units), "a larger vent")
}

/// How long a vent is to the open air.
fn way(house: &House<'_>, id: RunId) -> Option<Check> {
    let drain = drain_of(house, id)?;
    let run = house.run(id);
    let mut long = run.length;
    let (mut at, mut steps) = (id, house.map.runs.len());
    while let Some((next, from)) = goes_on(house, at).filter(|_| steps > 0) {
        let rest = house.run(next).length.checked_sub(from).unwrap_or_default();
        long = long.checked_add(rest).unwrap_or(long);
        (at, steps) = (next, steps - 1);
    }
    let least = least(house, drain).into_iter().flatten().map(|(least, _)| least).max();
    let is_least = least.is_none_or(|least| diameter(house.job, run.size).is_none_or(|own| own <= least));
    let of = if is_least { house.word("least size").unwrap_or_default() } else { Default::default() };
    let rule = house.rule(CheckOf::VentLength, Case { of, size: run.size, ..Case::default() });
    if rule.is_none() && !is_least {
        return None;
    }
    let saw = format!("{} of {} is {} to the open air", run.name, house.text(run.size), house.shown(long));
    let seen = Seen::new(CheckOf::VentLength, &run.name, saw, house.way_cell(id));
    Some(seen.against(
        house.job,
        rule,
        |row| length(row).is_none_or(|most| long <= most),
        "a vent a size larger",
    ))
}

fn end(house: &House<'_>, id: RunId) -> Option<Check> {
    let (run, rule) = (house.run(id), |of: &str| {
        let of = house.word(of).unwrap_or_default();
        house.rule(CheckOf::VentEnd, Case { of, ..Case::default() })
    });
    let seen = |saw: &str| {
        Seen::new(CheckOf::VentEnd, &run.name, format!("{} {saw}", run.name), house.cell(id, "to"))
    };
    if house.run_has(id, "air admittance valve") {
        let rule = rule("air admittance valve");
        let allows = |row: &CodeRule| row.unit == Some(RuleUnit::Allowed);
        let seen = seen("ends in an air admittance valve");
        return Some(seen.against(house.job, rule, allows, "a vent to the open air, or ask the authority"));
    }
    match house.map.run(id).ends {
        Ends::Place(place) if house.map.place(place).is_roof => {
            Some(seen("ends in the open air over the roof").against(house.job, rule(""), |_| true, ""))
        }
        Ends::Place(_) => {
            Some(seen("ends at a place").unknown("nobody says that the place is in the open air"))
        }
        Ends::Free if goes_on(house, id).is_none() => {
            let seen = seen("ends nowhere");
            Some(match house.is_whole() {
                true => {
                    seen.against(house.job, rule(""), |_| false, "to | roof, or the vent that it ties into")
                }
                false => seen.unknown("runs are left out"),
            })
        }
        Ends::Run(_) | Ends::Free => None,
    }
}

/// How far the pattern of a vent through the roof stands over it.
fn above_roof(house: &House<'_>) -> Option<Check> {
    let is_roof =
        |id: &RunId| matches!(house.map.run(*id).ends, Ends::Place(p) if house.map.place(p).is_roof);
    let first = house.of_service(Service::Vent).find(is_roof)?;
    let pattern = house.job.catalog.pattern_named(house.word("vent through roof")?)?;
    let rows = house.job.catalog.pattern(pattern).rows.iter();
    let mut tubes = rows.filter_map(|row| match row.adds {
        Adds::Tube(length) => Some((row, length)),
        Adds::Part(..) | Adds::Nothing => None,
    });
    let (row, stands) = tubes.next()?;
    let saw = format!("a vent stands {} over the roof", house.shown(stands));
    let cell = house.job.sources.cell(row.row, "quantity");
    let seen = Seen::new(CheckOf::VentAboveRoof, house.name(first), saw, house.cell(first, "to")).and(cell);
    let rule = house.rule(CheckOf::VentAboveRoof, Case::default());
    let remedy = "a longer tube in the pattern vent through roof";
    Some(seen.against(house.job, rule, |row| length(row).is_none_or(|least| stands >= least), remedy))
}
