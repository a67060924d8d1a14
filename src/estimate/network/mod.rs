//! The network: how runs meet each other and places (rules 1 to 7, 21, 22 of counting). It knows no system and is built
//! once; every alternative is laid over it.
//!
//! What leaves the count uncertain is left out with everything that joins it, and the network of the rest is judged
//! again until nothing more goes: a parent counts as if what was left out were not there.

pub(crate) mod apart;
mod cycles;
mod doubts;
pub(in crate::estimate) mod drains;
mod findings;
mod flow;
mod names;
pub(in crate::estimate) mod overlay;
pub(crate) mod plan;
pub(crate) mod units;

use super::{PlaceId, RunEnd, RunId};
use crate::ground::directory::Directory;
use crate::ground::name::in_a_row;
use crate::ground::{Length, Notice};
use crate::trade::{Job, Run, Service, if_a_vent_is_meant};
use names::{Link, Names};

/// What a run's beginning meets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Start {
    /// Nothing, and the run stands alone.
    Alone,
    /// Nothing: met on site, with a warning.
    Root,
    /// A run.
    Run(RunId),
    /// A place.
    Place(PlaceId),
}

/// What a run's end meets, apart from runs that join it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// Nothing.
    Free,
    /// The run that a return ties into.
    Run(RunId),
    /// A place.
    Place(PlaceId),
}

/// A run that meets another: by its beginning, or (a return) by its end.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Child {
    /// The run.
    pub run: RunId,
    /// Which of its ends.
    pub by: RunEnd,
}

/// A child between its parent's ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tap {
    /// How far from the parent's beginning.
    pub at: Length,
    /// The child.
    pub child: Child,
}

/// How one run meets others.
#[derive(Debug, Clone)]
pub struct Meets {
    /// Its beginning.
    pub start: Start,
    /// Its end.
    pub end: End,
    /// Children between its ends, by distance, then by name.
    pub taps: Vec<Tap>,
    /// Children at its end, by name.
    pub at_end: Vec<Child>,
}

/// What runs meet or serve.
#[derive(Debug, Clone)]
pub struct Place {
    /// Its name as first written.
    pub name: Box<str>,
    /// Whether it is `main`, `sewer`, `septic` or `roof`: always there, and it closes every end that touches it.
    pub always: bool,
    /// Whether it is the open air over the roof.
    pub is_roof: bool,
    /// Its row in the table `places` (index into `Job::places`), where it has a sound one.
    pub row: Option<usize>,
    /// Runs that begin here, by name.
    pub starts: Vec<RunId>,
    /// Runs that end here, by name.
    pub ends: Vec<RunId>,
    /// Runs that would begin or end here and are left out, by name: what they would fill is not empty.
    pub left_out: Vec<Child>,
}

/// Why a run is left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Out {
    /// It has an error of its own.
    Error,
    /// It joins a run that is left out.
    Joins(RunId),
}

/// How all runs of a job meet.
#[derive(Debug, Clone)]
pub struct Network {
    /// All runs by name, those left out among them.
    pub order: Vec<RunId>,
    /// For each run of the job; what a left-out run meets says nothing.
    pub meets: Vec<Meets>,
    /// For each run of the job: why it is left out.
    pub out: Vec<Option<Out>>,
    /// The places, by name.
    pub places: Vec<Place>,
    /// What is wrong or doubtful in how runs meet.
    pub notices: Vec<Notice>,
}

/// Connects the runs of a job. `barred` names runs that an alternative found in error: they are out of all.
pub(crate) fn connect(job: &Job, barred: &[RunId]) -> Network {
    let names = Names::of(job);
    let mut building = Building {
        job,
        notices: names.notices.clone(),
        out: vec![None; job.runs.len()],
        meets: Vec::new(),
        names: &names,
    };
    for (index, run) in job.runs.iter().enumerate() {
        if run.in_error || names.doubled[index] {
            building.out[index] = Some(Out::Error);
        }
    }
    for run in barred {
        building.out[run.index()] = Some(Out::Error);
    }
    building.judge_links();
    building.leave_out_joined();
    for ring in cycles::in_rings(job, &names, &building.out) {
        for run in &ring {
            building.cycle(*run, &ring);
        }
    }
    building.leave_out_joined();
    loop {
        building.meet();
        if !building.judge_counts() && !building.judge_meetings() {
            break;
        }
        building.leave_out_joined();
    }
    building.warn();
    let places = building.places();
    let Building { notices, out, meets, .. } = building;
    let mut network = Network { order: names.order, meets, out, places, notices };
    if job.runs.iter().any(|run| run.path.is_some()) {
        let plan = plan::place(job, &network);
        network.notices.extend(apart::told(job, &network, &plan));
        network.notices.extend(plan.notices);
    }
    let units = units::flow(job, &network);
    network.notices.extend(units.notices);
    network
}

impl Network {
    /// The runs that are taken off, by name.
    pub fn laid(&self) -> impl Iterator<Item = RunId> {
        self.order.iter().copied().filter(|run| self.out[run.index()].is_none())
    }

    /// How a run meets others.
    pub fn meets(&self, run: RunId) -> &Meets {
        &self.meets[run.index()]
    }
}

struct Building<'j> {
    job: &'j Job,
    names: &'j Names,
    notices: Vec<Notice>,
    out: Vec<Option<Out>>,
    meets: Vec<Meets>,
}

impl<'j> Building<'j> {
    fn run(&self, id: RunId) -> &'j Run {
        &self.job.runs[id.index()]
    }

    fn laid(&self) -> Vec<RunId> {
        self.names.order.iter().copied().filter(|run| self.out[run.index()].is_none()).collect()
    }

    fn error(&mut self, run: RunId, notice: Notice) {
        self.out[run.index()] = Some(Out::Error);
        self.notices.push(notice);
    }

    /// Rules 1 and 2: what `joins` and `to` name.
    fn judge_links(&mut self) {
        let (names, job) = (self.names, self.job);
        let mut directory: Option<Directory<'_>> = None;
        for id in self.laid() {
            let run = self.run(id);
            let row = run.row;
            match (self.names.joins(id), &run.joins) {
                (Link::Unknown, Some(name)) => {
                    let nearest = directory.get_or_insert_with(|| names.directory(job)).nearest(name);
                    self.error(id, findings::unknown_joins(self.job, row, name, nearest));
                }
                (Link::Place(_), Some(place)) if run.at.is_some() || run.at_leg.is_some() => {
                    self.error(id, findings::at_on_place(self.job, row, place));
                }
                _ => {}
            }
            match (self.names.to(id), &run.to) {
                (Link::Run(to), Some(name)) if !self.may_end_at(run, to) => {
                    self.error(
                        id,
                        findings::to_names_run(self.job, row, name, if_a_vent_is_meant(run.service)),
                    );
                }
                (Link::Run(to), _) if to == id => {
                    let names = run.name.to_string();
                    self.error(id, findings::cycle(self.job, row, Vec::new(), names, "to"));
                }
                (Link::Run(_), _) => {}
                _ if run.to_at.is_some() || run.to_at_leg.is_some() => {
                    self.error(id, findings::to_at_without_run(self.job, row));
                }
                _ => {}
            }
            self.judge_distance(id, self.names.joins(id), run.at, "at");
            self.judge_distance(id, self.names.to(id), run.to_at, "to at");
        }
    }

    /// Whether a run may end at another: a return at any, a vent at a vent (rule D3 of drains).
    fn may_end_at(&self, run: &Run, to: RunId) -> bool {
        match run.service {
            Service::Return => true,
            Service::Vent => self.run(to).service == Service::Vent,
            Service::Cold | Service::Hot | Service::Mixed | Service::Drain => false,
        }
    }

    /// Rule 1: a distance is inside the run that it is along; of a run that is left out nothing can be said.
    fn judge_distance(&mut self, id: RunId, link: Link, at: Option<Length>, heading: &'static str) {
        let (Link::Run(of), Some(at)) = (link, at) else { return };
        let (child, parent) = (self.run(id), self.run(of));
        if self.out[of.index()].is_none() && (at <= Length::ZERO || at > parent.length) {
            let notice = findings::at_outside(
                self.job,
                child.row,
                parent.row,
                at,
                &parent.name,
                parent.length,
                heading,
            );
            self.error(id, notice);
        }
    }

    /// A run is left out with everything that joins it.
    fn leave_out_joined(&mut self) {
        if self.out.iter().all(Option::is_none) {
            return;
        }
        let mut children: Vec<Vec<RunId>> = vec![Vec::new(); self.out.len()];
        for id in &self.names.order {
            for link in [self.names.joins(*id), self.names.to(*id)] {
                if let Link::Run(parent) = link {
                    children[parent.index()].push(*id);
                }
            }
        }
        let mut left: Vec<RunId> =
            self.names.order.iter().rev().copied().filter(|run| self.out[run.index()].is_some()).collect();
        while let Some(parent) = left.pop() {
            for child in &children[parent.index()] {
                if self.out[child.index()].is_none() {
                    self.out[child.index()] = Some(Out::Joins(parent));
                    left.push(*child);
                }
            }
        }
    }

    /// All runs of a ring are left out; what is wrong is said once, of the first by name.
    fn cycle(&mut self, run: RunId, ring: &[RunId]) {
        self.out[run.index()] = Some(Out::Error);
        if ring.first().is_some_and(|first| *first != run) {
            return;
        }
        let rows = ring.iter().skip(1).take(8).map(|r| self.run(*r).row).collect();
        let names = in_a_row(ring.iter().map(|r| &*self.run(*r).name));
        self.error(run, findings::cycle(self.job, self.run(run).row, rows, names, "joins"));
    }

    /// Who meets whom, among the runs that are not left out.
    fn meet(&mut self) {
        let nothing = Meets { start: Start::Root, end: End::Free, taps: Vec::new(), at_end: Vec::new() };
        self.meets = vec![nothing; self.out.len()];
        for id in self.laid() {
            let run = self.run(id);
            self.meets[id.index()].start = match self.names.joins(id) {
                Link::Run(parent) => {
                    self.attach(parent, Child { run: id, by: RunEnd::Start }, run.at);
                    Start::Run(parent)
                }
                Link::Place(place) => Start::Place(place),
                Link::None | Link::Unknown => Start::Root,
            };
            self.meets[id.index()].end = match self.names.to(id) {
                Link::Run(parent) => {
                    self.attach(parent, Child { run: id, by: RunEnd::End }, run.to_at);
                    End::Run(parent)
                }
                Link::Place(place) => End::Place(place),
                Link::None | Link::Unknown => End::Free,
            };
        }
        for meets in &mut self.meets {
            // Stable: at one point children stay in the order of their names.
            meets.taps.sort_by_key(|tap| tap.at);
        }
        for id in self.laid() {
            let meets = &self.meets[id.index()];
            if meets.start == Start::Root
                && meets.end == End::Free
                && meets.taps.is_empty()
                && meets.at_end.is_empty()
            {
                self.meets[id.index()].start = Start::Alone;
            }
        }
    }

    fn attach(&mut self, parent: RunId, child: Child, at: Option<Length>) {
        let length = self.run(parent).length;
        let meets = &mut self.meets[parent.index()];
        match at {
            Some(at) if at != length => meets.taps.push(Tap { at, child }),
            Some(_) | None => meets.at_end.push(child),
        }
    }

    /// Rules 21 and 24: counts, and runs counted by eye. Whether anything more is left out.
    fn judge_counts(&mut self) -> bool {
        let before = self.notices.len();
        let counted = self.job.lexicon.find("counted");
        // Who meets a place matters only where a run is counted more than once.
        let many = self.job.runs.iter().any(|run| run.copies() > 1);
        let met = if many { self.places() } else { Vec::new() };
        for id in self.laid() {
            let (run, meets) = (self.run(id), &self.meets[id.index()]);
            let joined = matches!(meets.start, Start::Run(_) | Start::Place(_))
                || matches!(meets.end, End::Run(_))
                || !meets.taps.is_empty()
                || !meets.at_end.is_empty();
            let alone = meets.start == Start::Alone;
            let place = match meets.end {
                End::Place(place) if run.copies() > 1 && !met[place.index()].always => Some(place),
                End::Place(_) | End::Free | End::Run(_) => None,
            };
            if run.copies() > 1 && joined {
                self.error(id, findings::count_joined(self.job, run.row, run.copies()));
            } else if run.copies() == 0 && !alone {
                self.error(id, findings::count_zero_joined(self.job, run.row));
            } else if counted.is_some_and(|word| run.patterns.contains(&word)) && joined {
                self.error(id, findings::counted_joined(self.job, run.row));
            } else if let Some(place) = place {
                let place = &met[place.index()];
                if let Some(other) = place.ends.iter().chain(&place.starts).find(|other| **other != id) {
                    let other = self.run(*other).row;
                    self.error(id, findings::counted_place_met(self.job, run.row, other, &place.name));
                }
            }
        }
        self.notices.len() > before
    }

    /// Rules 1, 3, 7, 11 and 22: errors of meetings leave out the child. Whether anything more is left out.
    fn judge_meetings(&mut self) -> bool {
        let before = self.notices.len();
        for id in self.laid() {
            let meets = &self.meets[id.index()];
            if meets.taps.is_empty() && meets.at_end.is_empty() {
                continue;
            }
            let (parent, meets) = (self.run(id), meets.clone());
            for tap in &meets.taps {
                self.judge_tap(parent, *tap);
            }
            if self.judge_sides(parent, &meets) {
                continue;
            }
            let at_end: Vec<Child> = meets.at_end.clone();
            let mut crowded = false;
            for child in &at_end {
                let (run, parent_name) = (self.run(child.run).row, &*parent.name);
                match (meets.end, &parent.to) {
                    (End::Place(_), Some(place)) => {
                        let parent = parent.row;
                        self.error(
                            child.run,
                            match child.by {
                                RunEnd::Start => {
                                    findings::child_of_a_place_end(self.job, run, parent, parent_name, place)
                                }
                                RunEnd::End => {
                                    findings::to_a_place_end(self.job, run, parent, parent_name, place)
                                }
                            },
                        );
                    }
                    // Rule 22: nothing joins the end of a return, wherever it ends.
                    (End::Run(_), _) | (End::Free, _)
                        if parent.service == Service::Return || matches!(meets.end, End::Run(_)) =>
                    {
                        self.error(
                            child.run,
                            findings::joins_a_returns_end(self.job, run, parent.row, parent_name),
                        );
                    }
                    _ if at_end.len() > 2 && parent.service.is_water() => {
                        self.out[child.run.index()] = Some(Out::Error);
                        crowded = true;
                    }
                    _ => {}
                }
            }
            if !parent.service.is_water() {
                self.judge_drains(parent, &meets);
            }
            if crowded {
                let runs: Vec<&Run> = at_end.iter().map(|child| self.run(child.run)).collect();
                let notice = findings::three_at_one_end(self.job, &runs, parent);
                self.notices.push(notice);
            }
        }
        self.notices.len() > before
    }

    fn judge_tap(&mut self, parent: &Run, tap: Tap) {
        if parent.no_joint {
            let (run, parent, parent_name) = (self.run(tap.child.run).row, parent.row, &*parent.name);
            self.error(tap.child.run, findings::tap_on_no_joint(self.job, run, parent, parent_name));
        }
    }

    /// The places with the runs that meet them.
    fn places(&self) -> Vec<Place> {
        let mut places = self.names.places.clone();
        for id in self.laid() {
            let meets = &self.meets[id.index()];
            if let Start::Place(place) = meets.start {
                places[place.index()].starts.push(id);
            }
            if let End::Place(place) = meets.end {
                places[place.index()].ends.push(id);
            }
        }
        for id in self.names.order.iter().copied().filter(|run| self.out[run.index()].is_some()) {
            for (link, by) in [(self.names.joins(id), RunEnd::Start), (self.names.to(id), RunEnd::End)] {
                if let Link::Place(place) = link {
                    places[place.index()].left_out.push(Child { run: id, by });
                }
            }
        }
        places
    }
}
