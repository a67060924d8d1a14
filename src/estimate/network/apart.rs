//! Ends of one place that lie apart: water and drains come to a fixture by ways of their own, and where one of them has a
//! wrong bearing, a wrong length or joins the wrong run, all that hangs on it ends beside its places. It changes no count.

use std::collections::{BTreeMap, BTreeSet};

use super::plan::{self, Plan, Point};
use super::{Network, Start, findings, overlay};
use crate::estimate::{PlaceId, RunEnd, RunId};
use crate::ground::{LengthUnit, Notice};
use crate::trade::{Job, Service};

/// How far the ends of one place may part in height: a shower valve stands over its trap.
const APART_UP: i64 = 6 * LengthUnit::Foot.nanometres();
/// So many ends of one place are set against each other; no fixture has more.
const MOST_ENDS: usize = 40;
/// So many places are named in one notice.
const NAMED: usize = 6;

/// Whether two ends of one place lie apart.
pub(crate) fn is_apart(job: &Job, one: Point, other: Point) -> bool {
    let (across, up) = one.parts(other);
    across > plan::closing(job) || up > APART_UP
}

/// An end of a place that lies apart from others of it.
#[derive(Debug, Clone, Copy)]
struct Off {
    run: RunId,
    place: PlaceId,
    /// The nearest end that it should lie at.
    other: RunId,
    across: i64,
    up: i64,
}

/// Tells of each run on which something hangs that ends beside its places; the first wrong one on the way is named.
pub(super) fn told(job: &Job, network: &Network, plan: &Plan) -> Vec<Notice> {
    let met: Vec<Vec<(RunId, RunEnd)>> = network
        .places
        .iter()
        .map(|place| place.ends.iter().map(|run| (*run, RunEnd::End)).collect())
        .collect();
    let shifts = overlay::lay_over(&plan.ways, &met, &network.places);
    let mut judging = Judging::of(job, network, plan);
    // Where two ends part and no third says which is right, the one on which more is wrong is told.
    let mut doubted: Vec<Vec<Off>> = Vec::new();
    for (place, id) in network.places.iter().zip(0..).filter(|(place, _)| !place.always) {
        let ends: Vec<(RunId, u32, Point)> = place
            .ends
            .iter()
            .take(MOST_ENDS)
            .filter_map(|run| {
                let way = plan.ways[run.index()].as_ref()?;
                let shift = shifts[way.plan as usize];
                Some((*run, shift.part, shift.by.plus(way.end())))
            })
            .collect();
        if ends.len() > 1 {
            doubted.push(judging.judge(PlaceId(id), &ends));
        }
    }
    let causes = judging.causes();
    let on = |off: &Off| judging.off[causes[off.run.index()].index()];
    let mut by_cause: BTreeMap<RunId, Vec<Off>> = BTreeMap::new();
    for offs in doubted.iter().filter(|offs| !offs.is_empty()) {
        let most = offs.iter().map(on).max().unwrap_or(0);
        let mut told: BTreeSet<RunId> = BTreeSet::new();
        for off in offs.iter().filter(|off| on(off) == most) {
            // Of a pair, each of which is as likely, one notice names both.
            if told.contains(&off.other) {
                continue;
            }
            told.insert(off.run);
            by_cause.entry(causes[off.run.index()]).or_default().push(*off);
        }
    }
    by_cause.into_iter().map(|(cause, offs)| judging.notice(cause, &offs)).collect()
}

struct Judging<'j> {
    job: &'j Job,
    network: &'j Network,
    plan: &'j Plan,
    /// For each run: how many ends at places that others confirm or contradict hang on it, its own among them.
    ending: Vec<usize>,
    /// How many of those are off.
    off: Vec<usize>,
}

impl<'j> Judging<'j> {
    fn of(job: &'j Job, network: &'j Network, plan: &'j Plan) -> Self {
        let none = vec![0; job.runs.len()];
        Self { job, network, plan, ending: none.clone(), off: none }
    }

    /// The ends of a place that are off: those beside the most, or all where no side is the larger.
    fn judge(&mut self, place: PlaceId, ends: &[(RunId, u32, Point)]) -> Vec<Off> {
        let mut groups: Vec<Vec<(RunId, u32, Point)>> = Vec::new();
        for end in ends {
            let near = groups.iter_mut().find(|group| {
                group.iter().all(|(_, part, point)| *part == end.1 && !is_apart(self.job, *point, end.2))
            });
            match near {
                Some(group) => group.push(*end),
                None => groups.push(vec![*end]),
            }
        }
        // Parts of a house that nothing ties together say nothing of each other.
        let known = |group: &[(RunId, u32, Point)]| ends.iter().filter(|end| end.1 == group[0].1).count() > 1;
        let most = groups.iter().filter(|group| known(group)).map(Vec::len).max().unwrap_or(0);
        let is_alone = groups.iter().filter(|group| known(group) && group.len() == most).count() == 1;
        let mut offs = Vec::new();
        for group in groups.iter().filter(|group| known(group)) {
            let is_off = groups.len() > 1 && !(is_alone && group.len() == most);
            for (run, part, point) in group {
                let others = ends.iter().filter(|(other, of, there)| {
                    other != run
                        && of == part
                        && is_apart(self.job, *point, *there)
                        && !self.is_told(*run, *other)
                });
                let nearest = others.min_by_key(|(_, _, there)| point.parts(*there));
                let off = nearest.filter(|_| is_off).map(|(other, _, there)| {
                    let (across, up) = point.parts(*there);
                    Off { run: *run, place, other: *other, across, up }
                });
                self.ending[run.index()] += 1;
                self.off[run.index()] += usize::from(off.is_some());
                offs.extend(off);
            }
        }
        offs
    }

    /// Whether two ways are told where they were placed: those of one service in one plan.
    fn is_told(&self, one: RunId, other: RunId) -> bool {
        let plan = |run: RunId| self.plan.ways[run.index()].as_ref().map(|way| way.plan);
        let service = |run: RunId| self.job.runs[run.index()].service;
        service(one) == service(other) && plan(one) == plan(other)
    }

    /// For each run the first on the way to it on which nothing lies right; also adds up what hangs on each.
    fn causes(&mut self) -> Vec<RunId> {
        let ids = (0..).take(self.job.runs.len()).map(RunId);
        let before: Vec<Option<RunId>> = ids.map(|run| self.before(run)).collect();
        let mut children = vec![0_usize; before.len()];
        before.iter().flatten().for_each(|run| children[run.index()] += 1);
        // From the ends toward the beginning: a run is done when all that hangs on it is.
        let mut order: Vec<usize> = (0..before.len()).filter(|run| children[*run] == 0).collect();
        let mut next = 0;
        while let Some(run) = order.get(next).copied() {
            next += 1;
            if let Some(parent) = before[run].map(RunId::index) {
                self.ending[parent] += self.ending[run];
                self.off[parent] += self.off[run];
                children[parent] -= 1;
                if children[parent] == 0 {
                    order.push(parent);
                }
            }
        }
        let mut causes: Vec<RunId> = (0..).take(before.len()).map(RunId).collect();
        for run in order.into_iter().rev() {
            // What a plan begins with lies where it lies.
            let parent = before[run].filter(|parent| before[parent.index()].is_some());
            if let Some(parent) =
                parent.map(RunId::index).filter(|parent| self.off[*parent] == self.ending[*parent])
            {
                causes[run] = causes[parent];
            }
        }
        causes
    }

    /// What a run begins at, as far as its way is known.
    fn before(&self, run: RunId) -> Option<RunId> {
        let way = |run: RunId| self.plan.ways[run.index()].as_ref().map(|way| way.plan);
        way(run)?;
        match self.network.meets(run).start {
            Start::Run(parent) => Some(parent),
            Start::Place(place) => {
                let place = &self.network.places[place.index()];
                let mut ends = place.ends.iter().copied().filter(|_| !place.always);
                let comes_back = |end: RunId| self.job.runs[end.index()].service == Service::Return;
                ends.find(|end| way(*end) == way(run) && *end != run && !comes_back(*end))
            }
            Start::Alone | Start::Root => None,
        }
    }

    fn notice(&self, cause: RunId, offs: &[Off]) -> Notice {
        let run = &self.job.runs[cause.index()];
        let gap = |off: &Off| {
            let height = off.across <= plan::closing(self.job);
            let (far, how) = if height { (off.up, "apart in height") } else { (off.across, "apart") };
            format!("{} {how}", plan::shown(self.job, far))
        };
        let place = |off: &Off| &*self.network.places[off.place.index()].name;
        let of: Vec<String> =
            offs.iter().take(NAMED).map(|off| format!("{} {}", place(off), gap(off))).collect();
        let more = if offs.len() > NAMED { ", ..." } else { "" };
        let heading = if run.path.is_some() { "path" } else { "joins" };
        let others = offs.iter().take(NAMED).map(|off| self.job.runs[off.other.index()].row);
        match offs {
            [off] if off.run == cause => {
                let other = &self.job.runs[off.other.index()];
                findings::ends_apart(
                    self.job,
                    run.row,
                    heading,
                    other.row,
                    &run.name,
                    &other.name,
                    place(off),
                    &gap(off),
                )
            }
            _ => findings::all_apart(
                self.job,
                run.row,
                heading,
                others,
                &run.name,
                &format!("{}{more}", of.join(", ")),
            ),
        }
    }
}
