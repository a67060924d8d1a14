//! The house as checks see it: what joins each run and where, what flows past each point, which parts stand in a run or at a
//! place. It is read from the map and from the takeoff of the chosen alternative.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::estimate::map::{self, Along, Begins, Ends, Map};
use crate::estimate::takeoff::{Line, Subject};
use crate::estimate::{Estimate, PlaceId, RunEnd, RunId};
use crate::ground::{Length, RowAt, Spot};
use crate::trade::{
    Attitude, Case, CheckOf, CodeRule, DrainUnits, Job, PartId, Run, Service, SystemId, Word,
};

/// A run that meets another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Kid {
    pub(super) run: RunId,
    /// Which of its ends.
    pub(super) by: RunEnd,
    /// How far along the other.
    pub(super) at: Length,
}

/// What lies up the stream of a point of a drain.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Above {
    /// The drainage units that pass the point.
    pub(super) units: Decimal,
    /// How many fixtures send them.
    pub(super) fixtures: usize,
    /// How many of these send nobody knows how much: no table has their kind.
    pub(super) unknown: usize,
    /// How many of these belong to no bathroom.
    pub(super) strangers: usize,
    /// The storey they are on.
    pub(super) storey: Storey,
    /// Whether a vent airs it.
    pub(super) is_aired: bool,
}

/// The storey that fixtures are on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Storey {
    /// Nobody says it.
    Unsaid,
    /// All on one.
    One(Word),
    /// On several.
    Several,
}

impl Storey {
    pub(super) fn and(self, other: Self) -> Self {
        match (self, other) {
            (Self::Unsaid, other) => other,
            (one, Self::Unsaid) => one,
            (Self::One(one), Self::One(other)) if one == other => self,
            _ => Self::Several,
        }
    }
}

/// A level or upright part of a run, with where it begins and ends along it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stretch {
    pub(super) attitude: Attitude,
    pub(super) from: Length,
    pub(super) to: Length,
}

/// The house of a job.
pub(super) struct House<'a> {
    pub(super) job: &'a Job,
    pub(super) estimate: &'a Estimate,
    pub(super) map: Map,
    pub(super) family: Word,
    /// For each run those that meet it, by distance, then by name.
    kids: Vec<Vec<Kid>>,
    /// For each run what lies up the stream of its beginning.
    above: Vec<Above>,
    is_out: Vec<bool>,
    lines: BTreeMap<Subject, Vec<usize>>,
    /// The index of a row of the table `places`.
    place_rows: BTreeMap<RowAt, u32>,
}

const NOTHING: Above = Above {
    units: Decimal::ZERO,
    fixtures: 0,
    unknown: 0,
    strangers: 0,
    storey: Storey::Unsaid,
    is_aired: false,
};

impl<'a> House<'a> {
    pub(super) fn of(job: &'a Job, estimate: &'a Estimate) -> Self {
        let map = map::map(job);
        let mut is_out: Vec<bool> = map.runs.iter().map(|run| run.out.is_some()).collect();
        for left in &estimate.left_out {
            is_out[left.run.index()] = true;
        }
        let mut kids: Vec<Vec<Kid>> = vec![Vec::new(); map.runs.len()];
        for id in map.order.iter().copied().filter(|id| !is_out[id.index()]) {
            let run = map.run(id);
            if let Begins::Run(Along { run, at, .. }) = run.begins {
                kids[run.index()].push(Kid { run: id, by: RunEnd::Start, at });
            }
            if let Ends::Run(Along { run, at, .. }) = run.ends {
                kids[run.index()].push(Kid { run: id, by: RunEnd::End, at });
            }
        }
        // Stable: at one point they stay in the order of their names.
        kids.iter_mut().for_each(|kids| kids.sort_by_key(|kid| kid.at));
        let mut lines: BTreeMap<Subject, Vec<usize>> = BTreeMap::new();
        let chosen = estimate.alternatives.first().into_iter().flat_map(|one| &one.takeoff.lines);
        for (index, line) in chosen.enumerate() {
            lines.entry(line.subject).or_default().push(index);
        }
        let place_rows = (0..).zip(&job.places).map(|(index, place)| (place.row, index)).collect();
        let above = vec![NOTHING; map.runs.len()];
        let family = job.code_family();
        let mut house = Self { job, estimate, map, family, kids, above, is_out, lines, place_rows };
        for id in house.upstream_first() {
            house.above[id.index()] = house.above(id, Length::ZERO);
        }
        house
    }

    /// The runs that are in the count, each after all that joins it.
    fn upstream_first(&self) -> Vec<RunId> {
        let begins = |id: &RunId| !matches!(self.map.run(*id).begins, Begins::Run(_));
        let mut order: Vec<RunId> = self.laid().filter(begins).collect();
        let mut next = 0;
        while let Some(id) = order.get(next).copied() {
            let starts = self.kids(id).iter().filter(|kid| kid.by == RunEnd::Start);
            order.extend(starts.map(|kid| kid.run));
            next += 1;
        }
        order.reverse();
        order
    }

    /// The runs that are in the count, by name.
    pub(super) fn laid(&self) -> impl Iterator<Item = RunId> {
        self.map.order.iter().copied().filter(|id| !self.is_out[id.index()])
    }

    /// Those of one service.
    pub(super) fn of_service(&self, service: Service) -> impl Iterator<Item = RunId> {
        self.laid().filter(move |id| self.run(*id).service == service)
    }

    /// Whether no run is left out: of what is left out nobody knows what it would do.
    pub(super) fn is_whole(&self) -> bool {
        self.is_out.iter().all(|is_out| !is_out)
    }

    pub(super) fn has_drains(&self) -> bool {
        self.laid().any(|id| !self.run(id).service.is_water())
    }

    pub(super) fn run(&self, id: RunId) -> &'a Run {
        &self.job.runs[id.index()]
    }

    pub(super) fn name(&self, id: RunId) -> &'a str {
        &self.run(id).name
    }

    pub(super) fn text(&self, word: Word) -> &'a str {
        self.job.lexicon.text(word)
    }

    /// A word of the trade as this job knows it; one that no table has is never met.
    pub(super) fn word(&self, text: &str) -> Option<Word> {
        self.job.lexicon.find(text)
    }

    /// The cell of a run under a heading.
    pub(super) fn cell(&self, id: RunId, heading: &str) -> Spot {
        self.job.sources.cell(self.run(id).row, heading)
    }

    /// The cell that says how a run goes: its path, or its length.
    pub(super) fn way_cell(&self, id: RunId) -> Spot {
        self.cell(id, if self.run(id).path.is_some() { "path" } else { "length" })
    }

    /// The runs that meet another, by distance.
    pub(super) fn kids(&self, id: RunId) -> &[Kid] {
        &self.kids[id.index()]
    }

    /// Those that meet it beyond a point.
    pub(super) fn kids_above(&self, id: RunId, from: Length) -> &[Kid] {
        let kids = self.kids(id);
        &kids[kids.partition_point(|kid| kid.at <= from)..]
    }

    /// Those that meet it at a point.
    pub(super) fn kids_at(&self, id: RunId, at: Length) -> &[Kid] {
        let kids = self.kids(id);
        &kids[kids.partition_point(|kid| kid.at < at)..kids.partition_point(|kid| kid.at <= at)]
    }

    /// The rule of the family that speaks of a case.
    pub(super) fn rule(&self, check: CheckOf, case: Case) -> Option<&'a CodeRule> {
        self.job.catalog.code_rule(self.family, check, case)
    }

    /// What a kind of fixture sends into the drains.
    pub(super) fn drain_units(&self, fixture: Word) -> Option<&'a DrainUnits> {
        self.job.catalog.drain_units(self.family, fixture)
    }

    /// A kind of fixture by the name that tables of drains have for it.
    pub(super) fn called(&self, fixture: Word) -> Word {
        self.drain_units(fixture).map_or(fixture, |units| units.fixture)
    }

    /// The place that a run ends at, its kind and whether it is one of the job's own.
    pub(super) fn end_place(&self, id: RunId) -> Option<PlaceId> {
        match self.map.run(id).ends {
            Ends::Place(place) => Some(place),
            Ends::Run(_) | Ends::Free => None,
        }
    }

    /// The fixture whose waste enters at the end of a drain: of several drains of one place the first by name.
    pub(super) fn fixture_at(&self, id: RunId) -> Option<Word> {
        let place = self.map.place(self.end_place(id)?);
        let mut drains = place.met.iter().filter(|(run, end)| {
            *end == RunEnd::End && self.run(*run).service == Service::Drain && !self.is_out[run.index()]
        });
        let is_first = drains.next().is_some_and(|(run, _)| *run == id);
        (is_first && !place.fixture.is_empty() && self.run(id).service == Service::Drain)
            .then_some(place.fixture)
    }

    /// What lies up the stream of a point of a run.
    pub(super) fn above(&self, id: RunId, from: Length) -> Above {
        let mut all = NOTHING;
        if let Some(fixture) = self.fixture_at(id) {
            let group = Case { of: self.called(fixture), ..Case::default() };
            all.units += self.drain_units(fixture).map_or(Decimal::ZERO, |row| row.units);
            all.fixtures += 1;
            all.unknown += usize::from(self.drain_units(fixture).is_none());
            all.strangers += usize::from(self.rule(CheckOf::BathroomGroup, group).is_none());
            all.storey = all.storey.and(self.storey(id));
        }
        for kid in self.kids_above(id, from) {
            if self.run(kid.run).service == Service::Vent {
                all.is_aired = true;
            } else if kid.by == RunEnd::Start {
                all = all.and(self.above[kid.run.index()]);
            }
        }
        all
    }

    /// What lies up the stream of the beginning of a run.
    pub(super) fn of_run(&self, id: RunId) -> Above {
        self.above[id.index()]
    }

    /// The storey that a run says it is on.
    pub(super) fn storey(&self, id: RunId) -> Storey {
        match self.run(id).level {
            level if level.is_empty() => Storey::Unsaid,
            level => Storey::One(level),
        }
    }

    /// The level and upright parts of a drain or vent, from its beginning.
    pub(super) fn stretches(&self, id: RunId) -> Vec<Stretch> {
        let run = self.run(id);
        let mut parts: Vec<Stretch> = Vec::new();
        let mut push = |attitude, from: Length, to: Length| match parts.last_mut() {
            Some(last) if last.attitude == attitude => last.to = to,
            _ => parts.push(Stretch { attitude, from, to }),
        };
        match &run.path {
            Some(path) => {
                let mut at = Length::ZERO;
                for leg in path.legs() {
                    let to = at.checked_add(leg.length).unwrap_or(at);
                    push(leg.bearing.attitude(), at, to);
                    at = to;
                }
            }
            None => push(run.begins().attitude, Length::ZERO, run.length),
        }
        parts
    }

    /// The lines of the takeoff that belong to a run.
    pub(super) fn lines_of(&self, id: RunId) -> impl Iterator<Item = &'a Line> {
        self.lines_at(Subject::Run(id))
    }

    fn lines_at(&self, subject: Subject) -> impl Iterator<Item = &'a Line> {
        let all = self.estimate.alternatives.first().map_or(&[][..], |one| &one.takeoff.lines);
        self.lines.get(&subject).into_iter().flatten().filter_map(move |index| all.get(*index))
    }

    /// Whether a part goes by a name.
    pub(super) fn is_called(&self, part: PartId, name: &str) -> bool {
        let part = self.job.catalog.part(part);
        self.word(name).is_some_and(|word| part.word == word || part.also.contains(&word))
    }

    fn has(&self, mut lines: impl Iterator<Item = &'a Line>, name: &str) -> bool {
        lines.any(|line| self.is_called(self.estimate.items.get(line.item).part, name))
    }

    /// Whether a part stands in a run or at its ends.
    pub(super) fn run_has(&self, id: RunId, name: &str) -> bool {
        self.has(self.lines_of(id), name)
    }

    /// Whether a run is built by a pattern.
    pub(super) fn is_of_pattern(&self, id: RunId, pattern: &str) -> bool {
        self.word(pattern).is_some_and(|word| self.run(id).patterns.contains(&word))
    }

    /// Whether a part stands at a place, whichever run or row brought it.
    pub(super) fn place_has(&self, id: PlaceId, name: &str) -> bool {
        let place = self.map.place(id);
        let row = place.row.and_then(|row| self.place_rows.get(&row));
        row.is_some_and(|row| self.has(self.lines_at(Subject::Place(*row)), name))
            || place.met.iter().any(|(run, _)| self.run_has(*run, name))
    }

    /// Whether parts of one class or name, as a question says it, stand in a run or at the place that it ends at.
    pub(super) fn end_has(&self, id: RunId, is_it: impl Fn(&crate::trade::Part) -> bool) -> bool {
        let row = self.end_place(id).and_then(|place| self.map.place(place).row);
        let row = row.and_then(|row| self.place_rows.get(&row));
        let at_place = row.into_iter().flat_map(|row| self.lines_at(Subject::Place(*row)));
        let mut parts = self.lines_of(id).chain(at_place).map(|line| self.estimate.items.get(line.item).part);
        let catalog = &self.job.catalog;
        parts.any(|part| is_it(catalog.part(part)))
    }

    /// Whether a part is anywhere in the house.
    pub(super) fn has_part(&self, name: &str) -> bool {
        let all = self.estimate.alternatives.first().map_or(&[][..], |one| &one.takeoff.lines);
        self.has(all.iter(), name)
    }

    /// The system that a run is built in.
    pub(super) fn system(&self, id: RunId) -> Option<SystemId> {
        let tube = |line: &&Line| self.estimate.items.get(line.item).is_length();
        self.lines_of(id).find(tube).and_then(|line| self.estimate.items.get(line.item).system)
    }

    /// A length as people of the job read it.
    pub(super) fn shown(&self, length: Length) -> String {
        length.as_typed(self.job.settings.units)
    }
}

impl Above {
    fn and(self, other: Self) -> Self {
        Self {
            units: self.units + other.units,
            fixtures: self.fixtures + other.fixtures,
            unknown: self.unknown + other.unknown,
            strangers: self.strangers + other.strangers,
            storey: self.storey.and(other.storey),
            is_aired: self.is_aired || other.is_aired,
        }
    }
}
