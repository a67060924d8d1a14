//! Who meets whom, by names alone, and the rows that cannot be connected: rules 1, 2, 5, 7 and 22 of counting, with the
//! errors that no system changes. It knows no tube and no alternative.

use std::collections::{BTreeMap, BTreeSet};

use coilstick::ground::Length;
use coilstick::ground::name::{fold, natural};
use coilstick::trade::Job;
use coilstick::trade::{Service, Side};

use crate::drains::{fault_of_row, is_drain_side};
use crate::judge::alternatives;
use crate::sheets::Sheets;
use crate::view::system_of;

/// Which end of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum RunEnd {
    Start,
    End,
}

/// Where on a parent a run ties in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Spot {
    Inside(Length),
    End,
}

/// What an end of a run meets. Places go by their folded name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Meets {
    Nothing,
    Place(String),
    Run { parent: usize, spot: Spot },
}

/// A place that is known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Place {
    /// Its sound row in the table `places`.
    pub(crate) row: Option<usize>,
    /// `main`, `sewer` (or `septic`) and `roof` close every end that touches them.
    pub(crate) closes: bool,
}

/// All meetings of a job, and its rows in error.
#[derive(Debug)]
pub(crate) struct Meetings {
    start: Vec<Meets>,
    end: Vec<Meets>,
    pub(crate) places: BTreeMap<String, Place>,
    /// All runs in the order of their names.
    pub(crate) by_name: Vec<usize>,
    /// Runs in error by themselves, with why.
    pub(crate) faults: BTreeMap<usize, &'static str>,
}

impl Meetings {
    pub(crate) fn of(&self, run: usize, end: RunEnd) -> &Meets {
        match end {
            RunEnd::Start => &self.start[run],
            RunEnd::End => &self.end[run],
        }
    }

    /// How many runs the job has.
    pub(crate) fn count(&self) -> usize {
        self.start.len()
    }

    /// The run that an end ties into.
    pub(crate) fn parent(&self, run: usize, end: RunEnd) -> Option<usize> {
        match self.of(run, end) {
            Meets::Run { parent, .. } => Some(*parent),
            Meets::Nothing | Meets::Place(_) => None,
        }
    }

    pub(crate) fn closes(&self, place: &str) -> bool {
        self.places.get(place).is_some_and(|place| place.closes)
    }
}

/// Connects the runs of a job by their names.
pub(crate) fn connect(job: &Job, sheets: &Sheets) -> Meetings {
    let mut faults: BTreeMap<usize, &'static str> = BTreeMap::new();
    for (run, (row, sheet)) in job.runs.iter().zip(&sheets.runs).enumerate() {
        if let Some(fault) = fault_of_row(row, sheet) {
            faults.insert(run, fault);
        }
    }
    for (run, _) in job.runs.iter().enumerate().filter(|(_, row)| row.in_error) {
        faults.entry(run).or_insert("a cell of the row is in error");
    }
    let runs = runs_by_name(job, &mut faults);
    let places = places_by_name(job, &runs, &mut faults);
    let mut by_name: Vec<(String, usize)> = job.runs.iter().map(|row| fold(&row.name)).zip(0..).collect();
    by_name.sort_by(|a, b| natural(&a.0, &b.0).then(a.1.cmp(&b.1)));
    let nothing = vec![Meets::Nothing; job.runs.len()];
    let by_name = by_name.into_iter().map(|(_, run)| run).collect();
    let mut meetings = Meetings { start: nothing.clone(), end: nothing, places, by_name, faults };
    for run in 0..job.runs.len() {
        connect_run(job, &runs, run, &mut meetings);
    }
    cycles(job, &mut meetings);
    systems(job, &mut meetings);
    meetings
}

/// The first run of each name; of a name that stands twice every row is in error.
fn runs_by_name(job: &Job, faults: &mut BTreeMap<usize, &'static str>) -> BTreeMap<String, usize> {
    let mut runs: BTreeMap<String, usize> = BTreeMap::new();
    for (run, row) in job.runs.iter().enumerate() {
        let name = fold(&row.name);
        if name.is_empty() {
            continue;
        }
        if let Some(first) = runs.get(&name) {
            faults.insert(*first, "another run has the same name");
            faults.insert(run, "another run has the same name");
        } else {
            runs.insert(name, run);
        }
    }
    runs
}

/// Every place that is known: by `to`, by the table, by a joining row's fixture, and the two that are always there.
fn places_by_name(
    job: &Job,
    runs: &BTreeMap<String, usize>,
    faults: &mut BTreeMap<usize, &'static str>,
) -> BTreeMap<String, Place> {
    let mut places = BTreeMap::new();
    for always in ["main", "sewer", "septic", "roof"] {
        places.insert(always.to_owned(), Place { row: None, closes: true });
    }
    for row in &job.runs {
        let made_by_to = row.to.as_deref().map(fold).filter(|to| !runs.contains_key(to));
        let said = row.to.is_none() && !row.fixture.is_empty();
        let made_by_fixture =
            row.joins.as_deref().map(fold).filter(|joins| said && !runs.contains_key(joins));
        for name in made_by_to.into_iter().chain(made_by_fixture) {
            places.entry(name).or_insert(Place { row: None, closes: false });
        }
    }
    let mut rows: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (index, row) in job.places.iter().enumerate() {
        rows.entry(fold(&row.name)).or_default().push(index);
    }
    for (name, indices) in rows.into_iter().filter(|(name, _)| !name.is_empty()) {
        let clash = runs.contains_key(&name);
        let sound = !clash && indices.len() == 1 && !job.places[indices[0]].in_error;
        let place = places.entry(name).or_insert(Place { row: None, closes: false });
        place.row = sound.then_some(indices[0]);
    }
    for (name, run) in runs.iter().filter(|(name, _)| places.contains_key(*name)) {
        faults.insert(*run, "a place has the same name");
        for (other, row) in job.runs.iter().enumerate() {
            if fold(&row.name) == *name {
                faults.insert(other, "a place has the same name");
            }
        }
    }
    places
}

fn connect_run(job: &Job, runs: &BTreeMap<String, usize>, run: usize, meetings: &mut Meetings) {
    let row = &job.runs[run];
    let to_at = row.to_at;
    let mut fault = None;
    if let Some(joins) = row.joins.as_deref().map(fold) {
        if let Some(parent) = runs.get(&joins) {
            match spot(job, *parent, row.at) {
                Some(spot) => meetings.start[run] = Meets::Run { parent: *parent, spot },
                None => fault = Some("at is not on the run that it joins"),
            }
        } else if meetings.places.contains_key(&joins) {
            meetings.start[run] = Meets::Place(joins);
            if row.at.is_some() {
                fault = Some("at is given on a place");
            }
        } else {
            fault = Some("joins names nothing that is known");
        }
    } else if row.at.is_some() {
        fault = Some("at is given without joins");
    }
    if let Some(to) = row.to.as_deref().map(fold) {
        if let Some(parent) = runs.get(&to) {
            // A vent may end in another vent, as a return does on a hot run (D3).
            let vents = row.service == Service::Vent && job.runs[*parent].service == Service::Vent;
            match spot(job, *parent, to_at) {
                _ if row.service != Service::Return && !vents => {
                    fault = Some("only a return may name a run in to");
                }
                _ if *parent == run => fault = Some("a return goes to itself"),
                Some(spot) => meetings.end[run] = Meets::Run { parent: *parent, spot },
                None => fault = Some("to at is not on the run in to"),
            }
        } else {
            meetings.end[run] = Meets::Place(to);
            if to_at.is_some() {
                fault = Some("to at is given on a place");
            }
        }
    } else if to_at.is_some() {
        fault = Some("to at is given without to");
    }
    if let Some(fault) = fault {
        meetings.faults.entry(run).or_insert(fault);
    }
}

/// Where on a parent a distance is: strictly inside, or its end (rule 1).
fn spot(job: &Job, parent: usize, at: Option<Length>) -> Option<Spot> {
    let length = job.runs[parent].length;
    match at {
        None => Some(Spot::End),
        Some(at) if at == length => Some(Spot::End),
        Some(at) if at > Length::ZERO && at < length => Some(Spot::Inside(at)),
        Some(_) => None,
    }
}

/// Cycles over `joins`, and through places over the runs whose `to` makes them; not over the `to` of returns (rule 2).
fn cycles(job: &Job, meetings: &mut Meetings) {
    let ahead = |run: usize| -> Vec<usize> {
        // A row that is in error by itself closes no circle.
        if meetings.faults.contains_key(&run) {
            return Vec::new();
        }
        match &meetings.start[run] {
            Meets::Nothing => Vec::new(),
            Meets::Run { parent, .. } => vec![*parent],
            Meets::Place(place) => (0..job.runs.len())
                .filter(|other| job.runs[*other].service != Service::Return)
                .filter(|other| meetings.end[*other] == Meets::Place(place.clone()))
                .collect(),
        }
    };
    let reaches_itself = |run: usize| {
        let mut seen: BTreeSet<usize> = BTreeSet::new();
        let mut walk = ahead(run);
        while let Some(next) = walk.pop() {
            if seen.insert(next) {
                walk.extend(ahead(next));
            }
        }
        seen.contains(&run)
    };
    let found: Vec<usize> = (0..job.runs.len()).filter(|run| reaches_itself(*run)).collect();
    for run in found {
        meetings.faults.entry(run).or_insert("the runs join each other in a circle");
    }
}

/// A run needs a system of its side of the house.
fn systems(job: &Job, meetings: &mut Meetings) {
    let catalog = &job.catalog;
    let chosen = alternatives(job).first().copied();
    for (run, row) in job.runs.iter().enumerate() {
        let side = if is_drain_side(row.service) { Side::Drain } else { Side::Water };
        let system = chosen.and_then(|chosen| system_of(job, row, chosen));
        if system.is_none_or(|system| catalog.system(system).side != side) {
            meetings.faults.entry(run).or_insert("no system of the run's side of the house");
        }
    }
}
