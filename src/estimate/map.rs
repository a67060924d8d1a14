//! Where things are and how they meet, as plain facts for pictures: the network and its plan, what flows in the drains, and
//! what reading and connecting told. No alternative is laid and nothing is counted. Its verb is [`map`].
//!
//! Runs that are left out are here too, where their rows say where they would be. Plans that begin apart (water at the main,
//! drains at the sewer) are laid over each other by the places that both reach: the middle of all their gaps, so that one
//! wrong bearing moves its own run and not the house.

use std::collections::VecDeque;

use rust_decimal::Decimal;
use rustc_hash::FxHashMap;

pub(crate) use super::network::apart::is_apart;
use super::network::overlay::{self, Shift};
pub(crate) use super::network::plan::Point;
use super::network::plan::{self, Plan};
use super::network::{self, End, Network, Start, units};
use super::{PlaceId, RunEnd, RunId, accepted, why_out};
use crate::ground::name::fold;
use crate::ground::{Length, Notice, RowAt};
use crate::trade::{Job, Run, Word};

/// A point of a run that another meets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Along {
    /// The run.
    pub run: RunId,
    /// How far along it, its tail included.
    pub at: Length,
    /// Whether that is its end.
    pub is_end: bool,
}

/// What a run begins at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Begins {
    /// Nothing that is known.
    Nothing,
    /// A run.
    Run(Along),
    /// A place.
    Place(PlaceId),
}

/// What a run ends at, apart from runs that join it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ends {
    /// Nothing.
    Free,
    /// A run into which it ties.
    Run(Along),
    /// A place.
    Place(PlaceId),
}

/// A run on the map.
#[derive(Debug, Clone)]
pub struct Mapped {
    /// What it begins at.
    pub begins: Begins,
    /// What it ends at.
    pub ends: Ends,
    /// Where it is, where that is known.
    pub way: Option<Way>,
    /// Why it is left out, as a sentence without its full stop.
    pub out: Option<String>,
    /// The drainage units that leave it.
    pub units: Decimal,
}

/// Where a run is.
#[derive(Debug, Clone)]
pub struct Way {
    /// Which of the parts of the map that have nothing to do with each other.
    pub part: u32,
    shift: Point,
    way: plan::Way,
}

/// A place on the map.
#[derive(Debug, Clone)]
pub struct MappedPlace {
    /// Its name as first written.
    pub name: Box<str>,
    /// Whether it is `main`, `sewer`, `septic` or `roof`.
    pub always: bool,
    /// Whether it is the open air over the roof.
    pub is_roof: bool,
    /// Its row in the table `places`.
    pub row: Option<RowAt>,
    /// What kind of place it is; the empty word where nobody says it.
    pub fixture: Word,
    /// The ends of runs that meet it, by the names of the runs.
    pub met: Vec<(RunId, RunEnd)>,
}

/// Where all things of a job are, as far as it is known.
#[derive(Debug, Clone)]
pub struct Map {
    /// All runs by name.
    pub order: Vec<RunId>,
    /// For each run of the job.
    pub runs: Vec<Mapped>,
    /// The places by name.
    pub places: Vec<MappedPlace>,
    /// What reading and connecting told, in order; what the job accepts as a remark.
    pub told: Vec<Notice>,
}

impl Map {
    /// A run.
    pub fn run(&self, id: RunId) -> &Mapped {
        &self.runs[id.index()]
    }

    /// For each run whether another meets its end.
    pub fn goes_on(&self) -> Vec<bool> {
        let mut met = vec![false; self.runs.len()];
        for run in &self.runs {
            if let Begins::Run(Along { run, is_end: true, .. }) = run.begins {
                met[run.index()] = true;
            }
            if let Ends::Run(Along { run, is_end: true, .. }) = run.ends {
                met[run.index()] = true;
            }
        }
        met
    }

    /// A place.
    pub fn place(&self, id: PlaceId) -> &MappedPlace {
        &self.places[id.index()]
    }
}

impl Way {
    /// Its points: the beginning, each change of direction, the end; before a tail there is one too.
    pub fn points(&self) -> impl ExactSizeIterator<Item = Point> {
        self.way.points.iter().map(|point| self.shift.plus(*point))
    }

    /// The point at a distance along the run.
    pub fn point_at(&self, at: Length) -> Point {
        self.shift.plus(self.way.point_at(at))
    }

    /// Where it begins.
    pub fn begins(&self) -> Point {
        self.point_at(Length::ZERO)
    }

    /// Its last point.
    pub fn ends(&self) -> Point {
        self.shift.plus(self.way.end())
    }
}

/// How long a run is with its tail.
pub(crate) fn whole(run: &Run) -> Length {
    run.tail.and_then(|tail| run.length.checked_add(tail)).unwrap_or(run.length)
}

/// Says where all things of a job are.
pub fn map(job: &Job) -> Map {
    let network = network::connect(job, &[]);
    let plan = plan::place(job, &network);
    let units = units::flow(job, &network);
    let told = accepted::apply_to_part(job, job.notices.iter().chain(&network.notices).cloned().collect());
    let links = links(job, &network);
    let mut met: Vec<Vec<(RunId, RunEnd)>> = vec![Vec::new(); network.places.len()];
    for id in &network.order {
        let (begins, ends) = links[id.index()];
        if let Begins::Place(place) = begins {
            met[place.index()].push((*id, RunEnd::Start));
        }
        if let Ends::Place(place) = ends {
            met[place.index()].push((*id, RunEnd::End));
        }
    }
    let ways = with_left_out(job, &network, &links, plan);
    let shifts = overlay::lay_over(&ways, &met, &network.places);
    let over = |way: plan::Way| {
        let Shift { part, by } = shifts[way.plan as usize];
        Way { part, shift: by, way }
    };
    let ways = ways.into_iter().map(|way| way.map(over));
    let runs = links.iter().zip(ways).zip(network.out.iter().zip(&units.leaves));
    let mapped = runs.map(|(((begins, ends), way), (out, units))| Mapped {
        begins: *begins,
        ends: *ends,
        way,
        out: out.map(|out| why_out(job, out)),
        units: *units,
    });
    let runs = mapped.collect();
    let places = network.places.iter().zip(met).map(|(place, met)| MappedPlace {
        name: place.name.clone(),
        always: place.always,
        is_roof: place.is_roof,
        row: place.row.map(|row| job.places[row].row),
        fixture: units::fixture_of(job, place),
        met,
    });
    Map { runs, places: places.collect(), told, order: network.order }
}

type Link = (Begins, Ends);

/// What each run begins and ends at; of runs that are left out as far as their rows say it.
fn links(job: &Job, network: &Network) -> Vec<Link> {
    let names = Names::of(job, network);
    let joined = |run: RunId, at: Option<Length>| {
        let of = &job.runs[run.index()];
        let at = at.filter(|at| *at < of.length).map(|at| at.max(Length::ZERO));
        Along { run, at: at.unwrap_or_else(|| whole(of)), is_end: at.is_none() }
    };
    let of = |(run, index): (&Run, usize)| {
        let is_out = network.out[index].is_some();
        let begins = match (is_out, network.meets.get(index).map(|meets| meets.start)) {
            (false, Some(Start::Run(parent))) => Begins::Run(joined(parent, run.at)),
            (false, Some(Start::Place(place))) => Begins::Place(place),
            (false, Some(Start::Alone | Start::Root) | None) => Begins::Nothing,
            (true, _) => match (names.run(run.joins.as_deref()), names.place(run.joins.as_deref())) {
                (Some(parent), _) => Begins::Run(joined(parent, run.at)),
                (None, Some(place)) => Begins::Place(place),
                (None, None) => Begins::Nothing,
            },
        };
        let ends = match (is_out, network.meets.get(index).map(|meets| meets.end)) {
            (false, Some(End::Run(parent))) => Ends::Run(joined(parent, run.to_at)),
            (false, Some(End::Place(place))) => Ends::Place(place),
            (false, Some(End::Free) | None) => Ends::Free,
            (true, _) => match (names.run(run.to.as_deref()), names.place(run.to.as_deref())) {
                (Some(parent), _) => Ends::Run(joined(parent, run.to_at)),
                (None, Some(place)) => Ends::Place(place),
                (None, None) => Ends::Free,
            },
        };
        (begins, ends)
    };
    job.runs.iter().zip(0..).map(of).collect()
}

/// What names name, for runs that the network leaves out.
struct Names {
    runs: FxHashMap<String, RunId>,
    places: FxHashMap<String, PlaceId>,
}

impl Names {
    fn of(job: &Job, network: &Network) -> Self {
        if network.out.iter().all(Option::is_none) {
            return Self { runs: FxHashMap::default(), places: FxHashMap::default() };
        }
        let mut runs = FxHashMap::default();
        for id in &network.order {
            // Of a name that several rows have nobody knows which is meant: the first stands for all.
            runs.entry(fold(&job.runs[id.index()].name)).or_insert(*id);
        }
        let places = network.places.iter().zip(0..).map(|(place, id)| (fold(&place.name), PlaceId(id)));
        Self { runs, places: places.collect() }
    }

    fn run(&self, name: Option<&str>) -> Option<RunId> {
        self.runs.get(&fold(name?)).copied()
    }

    fn place(&self, name: Option<&str>) -> Option<PlaceId> {
        self.places.get(&fold(name?)).copied()
    }
}

/// The ways of all runs: those of the plan, and of runs that are left out where they would be.
fn with_left_out(job: &Job, network: &Network, links: &[Link], plan: Plan) -> Vec<Option<plan::Way>> {
    let Plan { mut ways, places, .. } = plan;
    let mut plans = ways.iter().flatten().map(|way| way.plan + 1).max().unwrap_or(0);
    let mut children: Vec<Vec<(RunId, Length)>> = vec![Vec::new(); ways.len()];
    let mut waits: VecDeque<(RunId, u32, plan::Point)> = VecDeque::new();
    for id in network.order.iter().copied().filter(|id| network.out[id.index()].is_some()) {
        match links[id.index()].0 {
            Begins::Run(Along { run, at, .. }) => match &ways[run.index()] {
                Some(way) => waits.push_back((id, way.plan, way.point_at(at))),
                None => children[run.index()].push((id, at)),
            },
            Begins::Place(place) if !network.places[place.index()].always => {
                if let Some((plan, point)) = places[place.index()] {
                    waits.push_back((id, plan, point));
                }
            }
            Begins::Place(_) | Begins::Nothing => {
                waits.push_back((id, plans, plan::Point::default()));
                plans += 1;
            }
        }
    }
    while let Some((id, plan, begins)) = waits.pop_front() {
        let Some(way) = plan::Way::of(&job.runs[id.index()], plan, begins) else { continue };
        waits.extend(children[id.index()].drain(..).map(|(child, at)| (child, plan, way.point_at(at))));
        ways[id.index()] = Some(way);
    }
    ways
}
