//! Trap arms (rule D16 of drains): the way from each trap down the stream to where it is vented, its length and its fall,
//! and what airs it there: a vent of its own, one above another fixture, a wet vent.

use rust_decimal::Decimal;

use super::house::{Above, House, Kid, Storey};
use super::rule::{Check, Seen, carries, diameter, length, said, units_said};
use crate::estimate::map::Begins;
use crate::estimate::{RunEnd, RunId};
use crate::ground::{Length, LengthUnit};
use crate::trade::{Attitude, Case, CheckOf, CodeRule, RuleUnit, Service, Word};

/// The way from a trap to its vent.
#[derive(Debug, Clone)]
pub(super) struct Arm {
    /// The drain that ends at the fixture.
    pub(super) run: RunId,
    pub(super) fixture: Word,
    /// Its length from the trap to the vent.
    length: Length,
    /// How far it falls there.
    fall: Length,
    /// What airs it; nothing on all its way to the sewer.
    pub(super) air: Option<Air>,
    /// The runs, or the parts of them, that it goes along, from the trap: each with where the arm leaves it.
    pub(super) along: Vec<(RunId, Length)>,
}

/// What airs a trap.
#[derive(Debug, Clone)]
pub(super) struct Air {
    /// The vent.
    pub(super) vent: RunId,
    /// What drains through the wet part between the trap's arm and the vent.
    above: Above,
    /// The wet part, run by run, each with the units that pass it.
    wet: Vec<(RunId, Decimal)>,
    /// Whether the wet part is upright where the arm meets it.
    is_upright: bool,
}

/// The arms of all traps, by the names of their runs.
pub(super) fn walk(house: &House<'_>) -> Vec<Arm> {
    let drains = house.of_service(Service::Drain);
    let traps = drains.filter_map(|id| Some((id, house.fixture_at(id)?)));
    let known = traps.filter(|(_, fixture)| house.drain_units(*fixture).is_some());
    known.map(|(id, fixture)| arm(house, id, fixture)).collect()
}

fn arm(house: &House<'_>, id: RunId, fixture: Word) -> Arm {
    let mut arm =
        Arm { run: id, fixture, length: Length::ZERO, fall: Length::ZERO, air: None, along: Vec::new() };
    let (mut run, mut at) = (id, house.run(id).length);
    loop {
        // The next point down the stream at which another run meets this one, or its beginning.
        let kids = house.kids(run);
        let below = kids.partition_point(|kid| kid.at < at).checked_sub(1);
        let next = below.map_or(Length::ZERO, |below| kids[below].at);
        arm.goes(house, run, next, at);
        at = next;
        if at > Length::ZERO {
            arm.along.push((run, at));
            arm.air = air_at(house, run, at, None);
        } else {
            arm.along.push((run, Length::ZERO));
            let Begins::Run(met) = house.map.run(run).begins else { return arm };
            arm.air = air_at(house, met.run, met.at, Some(run));
            (run, at) = (met.run, met.at);
        }
        if arm.air.is_some() {
            return arm;
        }
    }
}

impl Arm {
    /// Goes along a part of a run.
    fn goes(&mut self, house: &House<'_>, run: RunId, from: Length, to: Length) {
        for part in house.stretches(run) {
            let (from, to) = (part.from.max(from), part.to.min(to));
            let Some(long) = to.checked_sub(from).filter(|long| *long > Length::ZERO) else { continue };
            let falls = match part.attitude {
                Attitude::Upright => long,
                Attitude::Level => house.run(run).fall.map_or(Length::ZERO, |fall| fall.fall(long)),
            };
            self.length = self.length.checked_add(long).unwrap_or(self.length);
            self.fall = self.fall.checked_add(falls).unwrap_or(self.fall);
        }
    }
}

/// What airs a point of a drain: a vent that meets it there, or one farther up the stream. `came` is the child by which the
/// point was reached; without it it was reached along the run itself, and only what ties in there is looked at.
fn air_at(house: &House<'_>, run: RunId, at: Length, came: Option<RunId>) -> Option<Air> {
    let here = |kid: &&Kid| Some(kid.run) != came;
    let is_vent = |kid: &&Kid| house.run(kid.run).service == Service::Vent;
    let others = house.kids_at(run, at).iter().filter(here);
    if let Some(vent) = others.clone().find(is_vent) {
        let above = house.above(vent.run, house.run(vent.run).length);
        return Some(Air { vent: vent.run, above, wet: Vec::new(), is_upright: false });
    }
    // Along the run itself, unless the point was reached along it.
    let goes_on = came.filter(|_| house.above(run, at).is_aired).map(|_| (run, at));
    let ties_in = others.filter(|kid| kid.by == RunEnd::Start && house.of_run(kid.run).is_aired);
    let (from, at_from) = goes_on.or_else(|| ties_in.map(|kid| (kid.run, Length::ZERO)).next())?;
    let above = house.above(from, at_from);
    let course = match at_from {
        Length::ZERO => house.run(from).begins(),
        at => house.run(from).course_at(at.checked_add(Length::from_nanometres(1)).unwrap_or(at)),
    };
    let mut wet = vec![(from, above.units)];
    let (mut run, mut at) = (from, at_from);
    loop {
        let mut farther = house.kids_above(run, at).iter();
        if let Some(vent) = farther.clone().find(is_vent) {
            let is_upright = course.attitude == Attitude::Upright;
            return Some(Air { vent: vent.run, above, wet, is_upright });
        }
        // The drain that goes on at the end before those that tie in on the way.
        let aired = |kid: &&Kid| kid.by == RunEnd::Start && house.of_run(kid.run).is_aired;
        let next = farther.clone().rev().find(aired).or_else(|| farther.find(aired))?;
        (run, at) = (next.run, Length::ZERO);
        wet.push((run, house.of_run(run).units));
    }
}

/// Holds every arm against the rules: its length and its fall, and what airs it.
pub(super) fn check(house: &House<'_>, arms: &[Arm]) -> Vec<Check> {
    arms.iter()
        .flat_map(|arm| arm.air.iter().map(|air| way(house, arm, air)).chain([vent(house, arm)]))
        .collect()
}

fn way(house: &House<'_>, arm: &Arm, air: &Air) -> Check {
    let run = house.run(arm.run);
    let case = Case { of: house.called(arm.fixture), size: run.size, ..Case::default() };
    let (long, falls) = (house.shown(arm.length), said(inches(arm.fall)));
    let saw = format!(
        "the trap of the {} is {long} from its vent {} and falls {falls} in on the way",
        house.text(arm.fixture),
        house.name(air.vent)
    );
    let seen = Seen::new(CheckOf::TrapArm, house.name(arm.run), saw, house.way_cell(arm.run))
        .and(house.cell(air.vent, "joins"));
    let (of_length, of_fall) = (house.rule(CheckOf::TrapArm, case), house.rule(CheckOf::TrapArmFall, case));
    let is_short = |rule: &CodeRule| length(rule).is_none_or(|most| arm.length <= most);
    let most_fall = |rule: &CodeRule| match rule.unit {
        Some(RuleUnit::MostDiameters) => {
            diameter(house.job, run.size).zip(rule.value).and_then(|(size, times)| {
                Length::from_decimal(times.checked_mul(inches(size))?, LengthUnit::Inch)
            })
        }
        _ => None,
    };
    let falls_little = |rule: &CodeRule| most_fall(rule).is_none_or(|most| arm.fall <= most);
    match of_fall.filter(|rule| !falls_little(rule) && of_length.is_none_or(is_short)) {
        Some(_) => seen.against(
            house.job,
            of_fall,
            |_| false,
            "bring the vent nearer to the trap, or the arm to it without a drop",
        ),
        None => seen.against(
            house.job,
            of_length,
            is_short,
            "bring the vent nearer to the trap, or take a larger drain",
        ),
    }
}

fn inches(length: Length) -> Decimal {
    length.shown(LengthUnit::Inch)
}

fn vent(house: &House<'_>, arm: &Arm) -> Check {
    let (name, fixture) = (house.name(arm.run), house.text(arm.fixture));
    let seen = |saw: String| Seen::new(CheckOf::TrapVent, name, saw, house.cell(arm.run, "joins"));
    let rule = |of: &str, size: Word| {
        let of = house.word(of).unwrap_or_default();
        house.rule(CheckOf::TrapVent, Case { of, size, ..Case::default() }).filter(|rule| rule.of == of)
    };
    let Some(air) = &arm.air else {
        let saw = format!("nothing airs the trap of the {fixture} on its way to the sewer");
        if !house.is_whole() {
            return seen(saw).unknown("runs are left out");
        }
        return seen(saw).against(
            house.job,
            rule("own vent", Word::EMPTY),
            |_| false,
            format!("a vent that joins {name}, or the drain it empties into"),
        );
    };
    let by = house.name(air.vent);
    if air.wet.is_empty() || air.above.fixtures == 0 {
        let saw = format!("the vent {by} airs the trap of the {fixture}");
        return seen(saw).against(house.job, rule("own vent", Word::EMPTY), |_| true, "");
    }
    let own = Case { of: house.called(arm.fixture), ..Case::default() };
    let is_stranger = house.rule(CheckOf::BathroomGroup, own).is_none();
    let storeys = air.above.storey.and(house.storey(arm.run));
    let is_common = air.is_upright && air.above.fixtures == 1;
    let of = if is_common { "common vent" } else { "wet vent" };
    // The wet part that carries the most for its size decides.
    let held = air.wet.iter().map(|(run, units)| (*run, *units, rule(of, house.run(*run).size)));
    let tight = |(_, units, rule): &(RunId, Decimal, Option<&CodeRule>)| {
        rule.is_none_or(|rule| !carries(rule, *units))
    };
    let Some((wet, units, row)) = held.clone().find(tight).or_else(|| held.clone().next()) else {
        return seen(format!("the vent {by} airs the trap of the {fixture}")).unknown("no rule here");
    };
    let saw = format!(
        "the vent {by} airs the trap of the {fixture} through {} of {}, which carries {} of {} other fixture{}",
        house.name(wet),
        house.text(house.run(wet).size),
        units_said(units),
        air.above.fixtures,
        if air.above.fixtures == 1 { "" } else { "s" }
    );
    let seen = seen(saw).and(house.cell(wet, "size"));
    let remedy = format!("a vent of its own for {name}, or a larger {}", house.name(wet));
    if is_common {
        return seen.against(house.job, row, |row| carries(row, units), remedy);
    }
    if is_stranger || air.above.strangers > 0 {
        if air.is_upright && !is_closet(house, arm) {
            return seen.unknown("it may be the vent of a waste stack, for which no rule is here");
        }
        let remedy = format!("a vent of its own for {name}: a wet vent is for the fixtures of bathrooms");
        return seen.against(house.job, row, |_| false, remedy);
    }
    if storeys == Storey::Several {
        let remedy = format!("a vent of its own for {name}: a wet vent serves one storey");
        return seen.against(house.job, row, |_| false, remedy);
    }
    seen.against(house.job, row, |row| carries(row, units), remedy)
}

fn is_closet(house: &House<'_>, arm: &Arm) -> bool {
    house.word("water closet").is_some_and(|closet| house.called(arm.fixture) == closet)
}
