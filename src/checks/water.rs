//! The water side: pressure, what a heater asks for, stops, arresters, the units on a tube.

use rust_decimal::Decimal;

use super::house::House;
use super::rule::{Check, Seen, carries, diameter, length, said};
use crate::estimate::map::{Begins, Ends};
use crate::estimate::{PlaceId, RunEnd, RunId};
use crate::ground::Length;
use crate::trade::{Bearing, Case, CheckOf, Class, CodeRule, RuleUnit, Service};

/// What stands at a place, looked up once.
#[derive(Debug, Clone, Copy, Default)]
struct Stands {
    /// A heater that holds water.
    tank: bool,
    /// A heater of any kind.
    heater: bool,
    manifold: bool,
    washer_box: bool,
    /// A box that brings the valves of its lines.
    valves: bool,
    /// Whether cold water comes to it, and hot.
    cold: bool,
    hot: bool,
}

impl Stands {
    fn at(house: &House<'_>, id: PlaceId) -> Self {
        let place = house.map.place(id);
        if place.always {
            return Self::default();
        }
        let fed = |service| {
            place.met.iter().any(|(run, end)| *end == RunEnd::End && house.run(*run).service == service)
        };
        let is = |kind: &str| {
            house.word(kind).is_some_and(|kind| place.fixture == kind) || house.place_has(id, kind)
        };
        let (tank, washer_box) = (is("tank heater"), house.place_has(id, "washer box"));
        Self {
            tank,
            heater: tank || is("tankless heater"),
            manifold: place.met.iter().any(|(run, _)| has_manifold(house, *run)),
            washer_box,
            valves: washer_box || house.place_has(id, "ice maker box"),
            cold: fed(Service::Cold),
            hot: fed(Service::Hot),
        }
    }
}

/// Holds the water side against the rules.
pub(super) fn check(house: &House<'_>) -> Vec<Check> {
    let mut list = Vec::new();
    let stands: Vec<Stands> =
        (0..).zip(&house.map.places).map(|(id, _)| Stands::at(house, PlaceId(id))).collect();
    if house.laid().any(|id| house.run(id).service.is_water()) {
        list.extend(pressure(house));
        list.extend(expansion(house, &stands));
    }
    for id in house.laid().filter(|id| house.run(*id).service.is_water()) {
        list.extend(discharge(house, id, CheckOf::ReliefLine, "relief discharge"));
        list.extend(discharge(house, id, CheckOf::PanDrain, "pan drain"));
        list.extend(at_heater(house, id, &stands));
        list.extend(at_fixture(house, id, &stands));
    }
    list.extend(units(house, &stands));
    list
}

fn pressure(house: &House<'_>) -> Option<Check> {
    let rule = house.rule(CheckOf::StaticPressure, Case::default());
    let first = house.laid().find(|id| house.run(*id).service.is_water())?;
    let rows = house.job.settings.rows_of("static pressure");
    let cell = rows.last().map(|row| house.job.sources.cell(*row, "value"));
    let cell = cell.unwrap_or_else(|| house.job.sources.row(house.run(first).row));
    let seen = |saw: String| Seen::new(CheckOf::StaticPressure, "main", saw, cell);
    let Some(psi) = house.job.settings.static_pressure else {
        return Some(
            seen("the job says no static pressure".to_owned()).unknown("static pressure is not said"),
        );
    };
    let regulated = house.has_part("pressure regulator");
    let with = if regulated { "a" } else { "no" };
    let seen = seen(format!("static pressure is {} psi, and there is {with} regulator", said(psi)));
    let holds = |most: Option<Decimal>| regulated || most.is_none_or(|most| psi <= most);
    Some(seen.against(
        house.job,
        rule,
        |row| holds(row.value),
        "a pressure regulator: the pattern service entry",
    ))
}

fn expansion(house: &House<'_>, stands: &[Stands]) -> Option<Check> {
    let (tank, _) = house.map.places.iter().zip(stands).find(|(_, stands)| stands.tank)?;
    let shut = house.of_service(Service::Cold).find(|id| house.run_has(*id, "check valve"));
    let regulator = house.of_service(Service::Cold).find(|id| house.run_has(*id, "pressure regulator"));
    let by = shut.or(regulator)?;
    let (of, with) = match house.has_part("expansion tank") {
        true => ("an", true),
        false => ("no", false),
    };
    let part = if shut.is_some() { "check valve" } else { "pressure regulator" };
    let saw = format!(
        "a {part} in {} stands between the main and {}, and there is {of} expansion tank",
        house.name(by),
        tank.name
    );
    let seen = Seen::new(CheckOf::ExpansionTank, house.name(by), saw, house.cell(by, "pattern"));
    if shut.is_none() && !with {
        return Some(
            seen.unknown("a regulator may let water back to the main, or not: look at the one you buy"),
        );
    }
    let rule = house.rule(
        CheckOf::ExpansionTank,
        Case { of: house.word("check valve").unwrap_or_default(), ..Case::default() },
    );
    Some(seen.against(
        house.job,
        rule,
        |_| with,
        "a short branch with the pattern expansion tank on the cold line",
    ))
}

/// The line from a relief valve or a pan: its size, and that it falls.
fn discharge(house: &House<'_>, id: RunId, of: CheckOf, pattern: &str) -> Option<Check> {
    if !house.is_of_pattern(id, pattern) {
        return None;
    }
    let run = house.run(id);
    let rises = match &run.path {
        Some(path) => path.legs().iter().any(|leg| leg.bearing == Bearing::Up),
        None => run.rise > Length::ZERO,
    };
    let way = if rises { "rises" } else { "does not rise" };
    let saw = format!("{} of {} {way} on its way", run.name, house.text(run.size));
    let cell = if rises { house.way_cell(id) } else { house.cell(id, "size") };
    let seen = Seen::new(of, &run.name, saw, cell);
    let rule = house.rule(of, Case::default());
    let wide = |least: Option<Length>| {
        least.zip(diameter(house.job, run.size)).is_none_or(|(least, own)| own >= least)
    };
    let remedy = if rises { "a line that falls all its way" } else { "a line of the size of the outlet" };
    Some(seen.against(house.job, rule, |row| wide(length(row)) && !rises, remedy))
}

/// Metal between plastic and a heater.
fn at_heater(house: &House<'_>, id: RunId, stands: &[Stands]) -> Option<Check> {
    let run = house.run(id);
    let met = [
        match house.map.run(id).begins {
            Begins::Place(place) => Some(place),
            Begins::Run(_) | Begins::Nothing => None,
        },
        house.end_place(id),
    ];
    let place = met.into_iter().flatten().find(|place| stands[place.index()].heater)?;
    let is_supply = matches!(run.service, Service::Cold | Service::Hot);
    let tube = house.job.catalog.system(house.system(id)?).tube;
    let is_plastic = ["pex", "cpvc"].iter().any(|plastic| house.word(plastic) == Some(tube));
    if !is_plastic || !is_supply {
        return None;
    }
    let metal = house.run_has(id, "heater connector");
    let saw = format!(
        "{} of {} meets {} {} metal between",
        run.name,
        house.text(tube),
        house.map.place(place).name,
        if metal { "with" } else { "without" }
    );
    let seen = Seen::new(CheckOf::MetalAtHeater, &run.name, saw, house.cell(id, "pattern"));
    let rule = house.rule(CheckOf::MetalAtHeater, Case { of: tube, ..Case::default() });
    Some(seen.against(house.job, rule, |_| metal, "the pattern heater connectors beside its own"))
}

/// A stop and an arrester where a line ends at a fixture.
fn at_fixture(house: &House<'_>, id: RunId, stands: &[Stands]) -> Vec<Check> {
    let run = house.run(id);
    let (Some(place), Service::Cold | Service::Hot) = (house.end_place(id), run.service) else {
        return Vec::new();
    };
    let fixture = house.map.place(place).fixture;
    let case = Case { of: house.called(fixture), ..Case::default() };
    let here = stands[place.index()];
    let starts_at_manifold = match house.map.run(id).begins {
        Begins::Place(from) => stands[from.index()].manifold,
        Begins::Run(_) | Begins::Nothing => false,
    };
    let seen = |of: CheckOf, what: &str, has: bool| {
        let has = if has { "a" } else { "no" };
        let saw = format!("{} ends at the {} with {has} {what}", run.name, house.text(fixture));
        Seen::new(of, &run.name, saw, house.cell(id, "pattern"))
    };
    let mut list = Vec::new();
    if let Some(rule) = house.rule(CheckOf::Stop, case) {
        let shuts = house.run_has(id, "supply stop")
            || here.valves
            || house.lines_of(id).any(|line| house.estimate.items.get(line.item).class == Class::Valve);
        let seen = seen(CheckOf::Stop, "stop", shuts);
        list.push(match () {
            () if !shuts && run.patterns.is_empty() => seen.unknown("no pattern says what stands at its end"),
            () if !shuts && starts_at_manifold => seen.unknown("it may be shut at the manifold"),
            () => seen.against(
                house.job,
                Some(rule),
                |_| shuts,
                "the pattern of its fixture, or fixture supply",
            ),
        });
    }
    if let Some(rule) = house.rule(CheckOf::HammerArrester, case) {
        let has = house.run_has(id, "hammer arrester");
        let seen = seen(CheckOf::HammerArrester, "hammer arrester", has);
        list.push(match () {
            () if !has && run.patterns.is_empty() => seen.unknown("no pattern says what stands at its end"),
            () if !has && here.washer_box => {
                seen.unknown("the box may hold its own: look at the one you buy")
            }
            () => seen.against(house.job, Some(rule), |_| has, "the pattern hammer arrester beside its own"),
        });
    }
    list
}

fn has_manifold(house: &House<'_>, id: RunId) -> bool {
    house.lines_of(id).any(|line| house.estimate.items.get(line.item).class == Class::Manifold)
}

/// Water units that pass a run: of fixtures with hot and cold those fed cold and those fed hot, and those fed by one alone.
#[derive(Debug, Clone, Copy, Default)]
struct Load {
    cold: Decimal,
    hot: Decimal,
    single: Decimal,
}

impl Load {
    fn and(self, other: Self) -> Self {
        Self { cold: self.cold + other.cold, hot: self.hot + other.hot, single: self.single + other.single }
    }

    /// All of it: a fixture fed by both counts once; by one of them three quarters (common practice of the tables).
    fn units(self) -> Decimal {
        let both = self.cold.min(self.hot);
        let rest = self.cold.max(self.hot) - both;
        self.single + both + rest * Decimal::new(75, 2)
    }
}

/// Water supply fixture units on each tube, by its size. Where the family has no rule, it is said once, of the main.
fn units(house: &House<'_>, stands: &[Stands]) -> Vec<Check> {
    let loads = loads(house, stands);
    let mut list = Vec::new();
    for id in house.laid().filter(|id| matches!(house.run(*id).service, Service::Cold | Service::Hot)) {
        let run = house.run(id);
        let tube = house.system(id).map(|system| house.job.catalog.system(system).tube).unwrap_or_default();
        let rule = house.rule(CheckOf::WaterUnits, Case { of: tube, size: run.size, ..Case::default() });
        let from_main =
            matches!(house.map.run(id).begins, Begins::Place(place) if house.map.place(place).always);
        if rule.is_none() && !from_main {
            continue;
        }
        let units = loads[id.index()].units();
        let saw = format!("{} of {} feeds {} water units", run.name, house.text(run.size), said(units));
        let seen = Seen::new(CheckOf::WaterUnits, &run.name, saw, house.cell(id, "size"));
        let holds = |row: &CodeRule| row.unit != Some(RuleUnit::MostUnits) || carries(row, units);
        list.push(seen.against(house.job, rule, holds, "a larger tube"));
    }
    list
}

/// What each run feeds, hot lines through the heater.
fn loads(house: &House<'_>, stands: &[Stands]) -> Vec<Load> {
    let mut loads = vec![Load::default(); house.map.runs.len()];
    let mut waits: Vec<u32> = vec![0; house.map.runs.len()];
    let is_supply = |id: RunId| matches!(house.run(id).service, Service::Cold | Service::Hot);
    // What feeds a run: its parent, or at a place the first cold line that ends there.
    let feeder = |id: RunId| match house.map.run(id).begins {
        Begins::Run(met) => Some(met.run),
        Begins::Place(place) if stands[place.index()].cold => {
            let met = &house.map.place(place).met;
            let cold = |(run, end): &&(RunId, RunEnd)| {
                *end == RunEnd::End && house.run(*run).service == Service::Cold && *run != id
            };
            met.iter().find(cold).map(|(run, _)| *run)
        }
        Begins::Place(_) | Begins::Nothing => None,
    };
    let runs: Vec<RunId> = house.laid().filter(|id| is_supply(*id)).collect();
    for id in &runs {
        loads[id.index()] = own_load(house, *id, stands);
        if let Some(by) = feeder(*id).filter(|by| is_supply(*by)) {
            waits[by.index()] += 1;
        }
    }
    let mut ready: Vec<RunId> = runs.into_iter().filter(|id| waits[id.index()] == 0).collect();
    while let Some(id) = ready.pop() {
        let Some(by) = feeder(id).filter(|by| is_supply(*by)) else { continue };
        loads[by.index()] = loads[by.index()].and(loads[id.index()]);
        waits[by.index()] = waits[by.index()].saturating_sub(1);
        if waits[by.index()] == 0 {
            ready.push(by);
        }
    }
    loads
}

fn own_load(house: &House<'_>, id: RunId, stands: &[Stands]) -> Load {
    let Ends::Place(at) = house.map.run(id).ends else { return Load::default() };
    let (place, here) = (house.map.place(at), stands[at.index()]);
    let fixtures = house.job.catalog.fixtures.iter();
    let of = fixtures.rev().find(|row| row.fixture == place.fixture && !place.fixture.is_empty());
    let Some(units) = of.and_then(|row| row.units) else { return Load::default() };
    match (house.run(id).service, here.cold && here.hot) {
        (Service::Cold, true) => Load { cold: units, ..Load::default() },
        (Service::Hot, true) => Load { hot: units, ..Load::default() },
        _ => Load { single: units, ..Load::default() },
    }
}
