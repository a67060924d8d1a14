//! What is open to each other, and how high it is: the map of a job by sections. It knows no part and no rule.

use rust_decimal::Decimal;

use super::water::Standing;
use super::{Section, Top, Unknown};
use crate::estimate::map::{Along, Begins, Ends, Way};
use crate::estimate::takeoff::Subject;
use crate::estimate::{Estimate, Map, RunEnd, RunId};
use crate::ground::Length;
use crate::trade::{Attitude, Job, Phase, Service, Side};

/// The runs of a job that are taken off, and how they meet.
pub(super) struct House<'a> {
    job: &'a Job,
    map: &'a Map,
    /// The runs that are taken off, by name.
    laid: Vec<RunId>,
    /// For each run: those that join its end.
    at_end: Vec<Vec<RunId>>,
    /// For each run: those that join it anywhere.
    children: Vec<Vec<RunId>>,
    /// For each run: whether it is under test.
    tested: Vec<bool>,
}

impl<'a> House<'a> {
    pub(super) fn of(job: &'a Job, estimate: &Estimate, map: &'a Map) -> Self {
        let mut is_in: Vec<bool> = map.runs.iter().map(|run| run.out.is_none()).collect();
        for left in &estimate.left_out {
            is_in[left.run.index()] = false;
        }
        let laid: Vec<RunId> = map.order.iter().copied().filter(|run| is_in[run.index()]).collect();
        let empty = || vec![Vec::new(); map.runs.len()];
        let (mut at_end, mut children): (Vec<Vec<RunId>>, Vec<Vec<RunId>>) = (empty(), empty());
        for id in &laid {
            let run = map.run(*id);
            let met = [along_of_begin(run.begins), along_of_end(run.ends)].into_iter().flatten();
            for Along { run: parent, is_end, .. } in met {
                children[parent.index()].push(*id);
                if is_end {
                    at_end[parent.index()].push(*id);
                }
            }
        }
        let mut house = Self { job, map, laid, at_end, children, tested: vec![true; map.runs.len()] };
        house.leave_apart();
        house
    }

    /// Water lines that nothing joins to the main are in no test where others are: they end open over a receptor.
    fn leave_apart(&mut self) {
        let groups = self.groups(Side::Water, |_| true);
        let has_main = |group: &Vec<RunId>| group.iter().any(|run| self.begins_always(*run));
        let with_main = groups.iter().any(has_main);
        let apart: Vec<RunId> =
            groups.iter().filter(|group| with_main && !has_main(group)).flatten().copied().collect();
        for run in apart {
            self.tested[run.index()] = false;
        }
    }

    fn phase(&self, run: RunId) -> Phase {
        self.job.runs[run.index()].phase()
    }

    fn side(&self, run: RunId) -> Side {
        self.job.runs[run.index()].service.side()
    }

    /// Whether a phase has runs of a side.
    pub(super) fn has(&self, side: Side, phase: Phase) -> bool {
        self.laid.iter().any(|run| self.side(*run) == side && self.phase(*run) == phase)
    }

    /// Whether a row of the takeoff is of something that is tested.
    pub(super) fn is_tested(&self, subject: Subject) -> bool {
        match subject {
            Subject::Run(run) => self.tested[run.index()],
            Subject::Place(_) => true,
        }
    }

    /// Runs of a side up to a phase that are in no test.
    pub(super) fn apart(&self, (side, phase): (Side, Phase)) -> Vec<RunId> {
        let is_apart = |run: &&RunId| {
            !self.tested[run.index()] && self.side(**run) == side && self.phase(**run) <= phase
        };
        self.laid.iter().filter(is_apart).copied().collect()
    }

    /// What is tested when a phase is done: runs of it and of earlier ones, by what is open to each other.
    pub(super) fn sections(&self, (side, phase): (Side, Phase)) -> Vec<Section> {
        let is_in = |run: RunId| self.tested[run.index()] && self.phase(run) <= phase;
        let groups = self.groups(side, is_in).into_iter();
        groups.filter_map(|runs| self.section(runs)).collect()
    }

    fn section(&self, runs: Vec<RunId>) -> Option<Section> {
        let begins = |run: &&RunId| self.begins_always(**run);
        let nowhere = |run: &&RunId| self.map.run(**run).begins == Begins::Nothing;
        let root = runs.iter().find(begins).or_else(|| runs.iter().find(nowhere)).or_else(|| runs.first());
        let root = *root?;
        let reach: Vec<Option<(Length, Length)>> = runs.iter().map(|run| self.reach(root, *run)).collect();
        let known = || reach.iter().flatten();
        let highest = known().map(|(highest, _)| *highest).max();
        let lowest = known().map(|(_, lowest)| *lowest).min();
        let unmeasured = runs.iter().zip(&reach).filter(|(_, reach)| reach.is_none()).map(|(run, _)| *run);
        Some(Section {
            root,
            unmeasured: unmeasured.collect(),
            runs,
            top: Top::NotKnown(Unknown::Heights),
            reaches: highest.zip(lowest),
            most_psi: None,
            least_psi: None,
        })
    }

    /// Runs of a side that are open to each other: by meetings, and on the water side at places.
    fn groups(&self, side: Side, is_in: impl Fn(RunId) -> bool) -> Vec<Vec<RunId>> {
        let runs: Vec<RunId> =
            self.laid.iter().copied().filter(|run| self.side(*run) == side && is_in(*run)).collect();
        let mut joined = Joined::new(self.map.runs.len() + self.map.places.len());
        let mut is_there = vec![false; self.map.runs.len()];
        runs.iter().for_each(|run| is_there[run.index()] = true);
        for id in &runs {
            let run = self.map.run(*id);
            for along in [along_of_begin(run.begins), along_of_end(run.ends)].into_iter().flatten() {
                if is_there[along.run.index()] {
                    joined.join(id.index(), along.run.index());
                }
            }
            let places = [
                if let Begins::Place(place) = run.begins { Some(place) } else { None },
                if let Ends::Place(place) = run.ends { Some(place) } else { None },
            ];
            for place in places.into_iter().flatten() {
                if side == Side::Water && !self.map.place(place).always {
                    joined.join(id.index(), self.map.runs.len() + place.index());
                }
            }
        }
        let mut place_of: Vec<Option<usize>> = vec![None; self.map.runs.len() + self.map.places.len()];
        let mut groups: Vec<Vec<RunId>> = Vec::new();
        for id in runs {
            let of = joined.first(id.index());
            let at = *place_of[of].get_or_insert_with(|| {
                groups.push(Vec::new());
                groups.len() - 1
            });
            groups[at].push(id);
        }
        groups
    }

    fn begins_always(&self, run: RunId) -> bool {
        matches!(self.map.run(run).begins, Begins::Place(place) if self.map.place(place).always)
    }

    fn way(&self, run: RunId) -> Option<&Way> {
        self.map.run(run).way.as_ref()
    }

    /// How high an end of a run is over the beginning of another run.
    pub(super) fn height(&self, root: RunId, (run, end): (RunId, RunEnd)) -> Option<Length> {
        let way = self.way(run)?;
        let point = if end == RunEnd::Start { way.begins() } else { way.ends() };
        self.over(root, run, point.up)
    }

    fn over(&self, root: RunId, run: RunId, up: i64) -> Option<Length> {
        let (way, from) = (self.way(run)?, self.way(root)?);
        let height = up.checked_sub(from.begins().up)?;
        (way.part == from.part).then_some(Length::from_nanometres(height))
    }

    /// The highest and the lowest point of a run over the beginning of another.
    pub(super) fn reach(&self, root: RunId, run: RunId) -> Option<(Length, Length)> {
        let ups = || self.way(run).into_iter().flat_map(Way::points).map(|point| point.up);
        Some((self.over(root, run, ups().max()?)?, self.over(root, run, ups().min()?)?))
    }

    /// Whether a run ends in the open air over the roof.
    pub(super) fn ends_over_roof(&self, run: RunId) -> bool {
        matches!(self.map.run(run).ends, Ends::Place(place) if self.map.place(place).is_roof)
    }

    /// Whether a run begins at a level one, or at none.
    pub(super) fn out_of_level(&self, run: RunId) -> bool {
        match self.map.run(run).begins {
            Begins::Run(Along { run: parent, at, .. }) => {
                self.job.runs[parent.index()].course_at(at).attitude == Attitude::Level
            }
            Begins::Nothing | Begins::Place(_) => true,
        }
    }

    /// Whether a drain empties into a run.
    pub(super) fn carries_drains(&self, run: RunId) -> bool {
        let is_drain = |child: &RunId| self.job.runs[child.index()].service == Service::Drain;
        self.children[run.index()].iter().any(is_drain)
    }

    /// The runs that are taken off, by name.
    pub(super) fn laid(&self) -> &[RunId] {
        &self.laid
    }

    /// The map.
    pub(super) fn map(&self) -> &'a Map {
        self.map
    }

    /// The phase of the first run that meets an end after another phase; nothing where none does.
    pub(super) fn met_after(&self, (run, end): (RunId, RunEnd), after: Phase) -> Option<Phase> {
        self.meeting((run, end))
            .into_iter()
            .map(|other| self.phase(other))
            .filter(|phase| *phase > after)
            .min()
    }

    /// The runs that meet an end of a run.
    pub(super) fn meeting(&self, (run, end): (RunId, RunEnd)) -> Vec<RunId> {
        let of = self.map.run(run);
        match end {
            RunEnd::Start => along_of_begin(of.begins).map(|along| along.run).into_iter().collect(),
            RunEnd::End => {
                let tied = along_of_end(of.ends).map(|along| along.run);
                self.at_end[run.index()].iter().copied().chain(tied).collect()
            }
        }
    }
}

const fn along_of_begin(begins: Begins) -> Option<Along> {
    if let Begins::Run(along) = begins { Some(along) } else { None }
}

const fn along_of_end(ends: Ends) -> Option<Along> {
    if let Ends::Run(along) = ends { Some(along) } else { None }
}

/// A section with what stands over its points.
pub(super) struct Standpoint<'a> {
    pub(super) section: Section,
    pub(super) house: &'a House<'a>,
    pub(super) water: Option<Standing>,
}

impl Standpoint<'_> {
    /// The water over a height, where the section is filled to a height.
    pub(super) fn head(&self, height: Length) -> Option<Length> {
        match self.section.top {
            Top::Open { height: top, .. } | Top::Pipe { height: top, .. } => {
                Some(top.checked_sub(height)?.max(Length::ZERO))
            }
            Top::Held { .. } | Top::NotKnown(_) => None,
        }
    }

    /// The psi at a height.
    pub(super) fn psi(&self, height: Length) -> Option<Decimal> {
        let water = self.water?;
        match self.section.top {
            Top::Held { psi } => psi.checked_sub(water.psi(height)?),
            Top::Open { .. } | Top::Pipe { .. } | Top::NotKnown(_) => water.psi(self.head(height)?),
        }
    }
}

/// Things that are joined, each knowing one that stands for all.
struct Joined(Vec<usize>);

impl Joined {
    fn new(things: usize) -> Self {
        Self((0..things).collect())
    }

    fn first(&mut self, mut of: usize) -> usize {
        while self.0[of] != of {
            self.0[of] = self.0[self.0[of]];
            of = self.0[of];
        }
        of
    }

    fn join(&mut self, one: usize, other: usize) {
        let (one, other) = (self.first(one), self.first(other));
        let (low, high) = (one.min(other), one.max(other));
        self.0[high] = low;
    }
}
