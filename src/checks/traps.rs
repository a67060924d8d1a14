//! What a fixture drains through: a drain, where water comes to it, and a trap.

use super::house::House;
use super::rule::{Check, Seen};
use crate::estimate::{PlaceId, RunEnd, RunId};
use crate::trade::{Case, CheckOf, Part, Service, UsedAs};

/// Holds the fixtures against the rules.
pub(super) fn check(house: &House<'_>) -> Vec<Check> {
    let places = (0..).zip(&house.map.places).map(|(id, _)| PlaceId(id));
    let drained = places.filter_map(|place| drain(house, place));
    let mut list: Vec<Check> = drained.collect();
    list.extend(house.of_service(Service::Drain).filter_map(|id| trap(house, id)));
    list
}

/// A drain at a fixture to which water comes.
fn drain(house: &House<'_>, id: PlaceId) -> Option<Check> {
    let place = house.map.place(id);
    let case = Case { of: house.called(place.fixture), ..Case::default() };
    let rule = house.rule(CheckOf::FixtureDrain, case)?;
    let ends: Vec<RunId> =
        place.met.iter().filter(|(_, end)| *end == RunEnd::End).map(|(run, _)| *run).collect();
    let water = ends.iter().copied().find(|run| house.run(*run).service.is_water())?;
    let drains = ends.into_iter().any(|run| house.run(run).service == Service::Drain);
    let saw = format!("water comes to {}, and {} drain", place.name, if drains { "a" } else { "no" });
    let seen = Seen::new(CheckOf::FixtureDrain, &place.name, saw, house.cell(water, "to"));
    Some(match drains || house.is_whole() {
        true => {
            seen.against(house.job, Some(rule), |_| drains, format!("a drain that ends at {}", place.name))
        }
        false => seen.unknown("runs are left out"),
    })
}

/// A trap where a drain ends at a fixture, or the flange of one that has its own.
fn trap(house: &House<'_>, id: RunId) -> Option<Check> {
    let fixture = house.fixture_at(id)?;
    let rule = house.rule(CheckOf::Trap, Case { of: house.called(fixture), ..Case::default() })?;
    let is_trap = |part: &Part| {
        part.used_as.contains(&UsedAs::ClosetFlange) || part.name.to_lowercase().contains("trap")
    };
    let has = house.end_has(id, is_trap);
    let (run, fixture) = (house.run(id), house.text(fixture));
    let saw = format!("{} ends at the {fixture} {} trap", run.name, if has { "with a" } else { "without a" });
    let seen = Seen::new(CheckOf::Trap, &run.name, saw, house.cell(id, "pattern"));
    Some(seen.against(
        house.job,
        Some(rule),
        |_| has,
        "the pattern of its fixture: sink drain, lavatory drain, toilet drain",
    ))
}
