//! The names of one job: what each `joins` and `to` names (rule 2 of counting).

use super::findings;
use std::collections::hash_map::Entry;
use std::sync::Arc;

use rustc_hash::FxHashMap;

use super::Place;
use crate::estimate::{PlaceId, RunId};
use crate::ground::directory::Directory;
use crate::ground::name::{fold, natural, natural_key};
use crate::ground::{Notice, RowAt};
use crate::trade::Job;
use crate::trade::{ALWAYS_THERE, Lie, ROOF, Run, Service, Word};

/// What a name names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Link {
    /// Nothing was written.
    None,
    /// A run.
    Run(RunId),
    /// A place.
    Place(PlaceId),
    /// Nothing has this name.
    Unknown,
}

/// Every name of a job, resolved.
#[derive(Debug)]
pub(super) struct Names {
    /// The runs by name.
    pub(super) order: Vec<RunId>,
    /// The places by name.
    pub(super) places: Vec<Place>,
    /// Whether another row has the run's name.
    pub(super) doubled: Vec<bool>,
    /// Errors of names.
    pub(super) notices: Vec<Notice>,
    joins: Vec<Link>,
    to: Vec<Link>,
}

impl Names {
    /// What a run's `joins` names.
    pub(super) fn joins(&self, run: RunId) -> Link {
        self.joins[run.index()]
    }

    /// What a run's `to` names.
    pub(super) fn to(&self, run: RunId) -> Link {
        self.to[run.index()]
    }

    /// All names, in which those nearest to one that nothing has are looked up.
    pub(super) fn directory<'a>(&'a self, job: &'a Job) -> Directory<'a> {
        let runs = self.order.iter().map(|run| &*job.runs[run.index()].name);
        Directory::of(runs.chain(self.places.iter().map(|place| &*place.name)))
    }

    /// Reads all names of a job.
    pub(super) fn of(job: &Job) -> Self {
        let mut keyed: Vec<(Vec<u8>, RunId)> =
            (0_u32..).zip(&job.runs).map(|(i, run)| (natural_key(&run.name), RunId(i))).collect();
        keyed.sort_by(|a, b| {
            a.0.cmp(&b.0).then_with(|| by_name(&job.runs[a.1.index()], &job.runs[b.1.index()]))
        });
        let order: Vec<RunId> = keyed.into_iter().map(|(_, id)| id).collect();
        let mut gathering =
            Gathering { job, runs: FxHashMap::default(), places: Vec::new(), by_name: FxHashMap::default() };
        let mut doubled = vec![false; job.runs.len()];
        let mut notices = Vec::new();
        gathering.runs(&order, &mut doubled, &mut notices);
        for name in ALWAYS_THERE {
            gathering.place(name, true);
        }
        gathering.place_rows(&mut doubled, &mut notices);
        gathering.made_by_runs(&order);
        let sorted = gathering.sort_places();
        let link = |name: &Option<Arc<str>>| match name {
            None => Link::None,
            Some(name) => gathering.link(name, &sorted),
        };
        let joins = job.runs.iter().map(|run| link(&run.joins)).collect();
        let to = job.runs.iter().map(|run| link(&run.to)).collect();
        Self { order, places: gathering.places, doubled, notices, joins, to }
    }
}

struct Gathering<'j> {
    job: &'j Job,
    /// The first run of a folded name.
    runs: FxHashMap<String, RunId>,
    places: Vec<Place>,
    by_name: FxHashMap<String, PlaceId>,
}

impl Gathering<'_> {
    fn runs(&mut self, order: &[RunId], doubled: &mut [bool], notices: &mut Vec<Notice>) {
        let mut same: Vec<Vec<RunId>> = Vec::new();
        let mut same_of: FxHashMap<RunId, usize> = FxHashMap::default();
        self.runs.reserve(order.len());
        for id in order {
            let name = &self.job.runs[id.index()].name;
            if name.is_empty() {
                continue;
            }
            let folded = fold(name);
            if ALWAYS_THERE.contains(&folded.as_str()) {
                doubled[id.index()] = true;
                let run = self.job.runs[id.index()].row;
                notices.push(findings::named_main(self.job, run, name));
                continue;
            }
            match self.runs.entry(folded) {
                Entry::Vacant(free) => {
                    free.insert(*id);
                }
                Entry::Occupied(taken) => {
                    let first = *taken.get();
                    let index = *same_of.entry(first).or_insert_with(|| {
                        same.push(vec![first]);
                        same.len() - 1
                    });
                    same[index].push(*id);
                }
            }
        }
        for ids in same {
            let first = ids[0];
            let rows: Vec<RowAt> = ids.iter().map(|id| self.job.runs[id.index()].row).collect();
            for id in &ids {
                doubled[id.index()] = true;
            }
            let name = &self.job.runs[first.index()].name;
            notices.push(findings::same_name(self.job, &rows, name));
        }
    }

    fn place(&mut self, name: &str, always: bool) -> PlaceId {
        let folded = fold(name);
        if let Some(id) = self.by_name.get(&folded) {
            return *id;
        }
        let id = PlaceId(u32::try_from(self.places.len()).unwrap_or(u32::MAX));
        let shown = name.split_whitespace().collect::<Vec<_>>().join(" ");
        self.places.push(Place {
            name: shown.into_boxed_str(),
            always,
            is_roof: always && folded == ROOF,
            row: None,
            starts: Vec::new(),
            ends: Vec::new(),
            left_out: Vec::new(),
        });
        self.by_name.insert(folded, id);
        id
    }

    /// Rows of the table `places`: a name that a run or another row has is an error of every row of that name.
    fn place_rows(&mut self, doubled: &mut [bool], notices: &mut Vec<Notice>) {
        let mut by_name: FxHashMap<String, Vec<usize>> = FxHashMap::default();
        let mut names: Vec<String> = Vec::new();
        for (index, row) in self.job.places.iter().enumerate() {
            let folded = fold(&row.name);
            if folded.is_empty() {
                continue;
            }
            let list = by_name.entry(folded.clone()).or_default();
            if list.is_empty() {
                names.push(folded);
            }
            list.push(index);
        }
        for folded in names {
            let rows = &by_name[&folded];
            let name = &self.job.places[rows[0]].name;
            let run = self.runs.get(&folded).copied();
            let mut at: Vec<RowAt> = rows.iter().map(|i| self.job.places[*i].row).collect();
            if let Some(run) = run {
                doubled[run.index()] = true;
                at.push(self.job.runs[run.index()].row);
            } else {
                let id = self.place(name, false);
                let sound = rows.len() == 1 && !self.job.places[rows[0]].in_error;
                self.places[id.index()].row = sound.then_some(rows[0]);
            }
            if at.len() > 1 {
                notices.push(findings::same_name(self.job, &at, name));
            }
        }
    }

    /// Places that a `to` makes, or that a row joins and says in `fixture` what they are. In the order of run names,
    /// so that "as first written" does not hang on the order of rows.
    fn made_by_runs(&mut self, order: &[RunId]) {
        let job = self.job;
        for id in order {
            let run = &job.runs[id.index()];
            let made = match (&run.to, &run.joins) {
                (Some(to), _) => Some(to),
                (None, Some(joins)) if !run.fixture.is_empty() => Some(joins),
                (None, _) => None,
            };
            if let Some(name) = made
                && !self.runs.contains_key(&fold(name))
            {
                self.place(name, false);
            }
            // A return may end at a run and say in `fixture` nothing; what it joins is a place only if it says so.
            if let (Some(to), Some(joins)) = (&run.to, &run.joins)
                && run.service == Service::Return
                && self.runs.contains_key(&fold(to))
                && !run.fixture.is_empty()
                && !self.runs.contains_key(&fold(joins))
            {
                self.place(joins, false);
            }
        }
    }

    /// Puts the places in the order of their names; gives the new id of each old one.
    fn sort_places(&mut self) -> Vec<PlaceId> {
        let mut indices: Vec<usize> = (0..self.places.len()).collect();
        // Two names of one key differ in leading zeros: then the folded text decides.
        indices.sort_by_cached_key(|index| {
            let folded = fold(&self.places[*index].name);
            (natural_key(&folded), folded)
        });
        let mut new_ids = vec![PlaceId(0); indices.len()];
        for (new, old) in (0_u32..).zip(&indices) {
            new_ids[*old] = PlaceId(new);
        }
        self.places = indices.iter().map(|i| self.places[*i].clone()).collect();
        new_ids
    }

    fn link(&self, name: &str, sorted: &[PlaceId]) -> Link {
        let folded = fold(name);
        match (self.runs.get(&folded), self.by_name.get(&folded)) {
            (Some(run), _) => Link::Run(*run),
            (None, Some(place)) => Link::Place(sorted[place.index()]),
            (None, None) => Link::Unknown,
        }
    }
}

/// The order of runs: by the text of their names with numbers by value, then by all that was written, so that the
/// order of rows changes nothing.
fn by_name(a: &Run, b: &Run) -> std::cmp::Ordering {
    let rest = |r: &Run| {
        let lie = match r.lie {
            Lie::Framing => 0_u8,
            Lie::Slab => 1,
            Lie::Ground => 2,
        };
        (r.service, r.length, lie, r.area == Word::EMPTY)
    };
    natural(&a.name, &b.name).then_with(|| rest(a).cmp(&rest(b)))
}
