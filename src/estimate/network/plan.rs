//! Where things are: the points of every run whose way is known, from where it begins (rule D2 of drains). Pictures are
//! drawn from it; two ways to one point that part are told. It changes no count.

use std::collections::VecDeque;

use super::findings;
use super::{End, Network, Start};
use crate::estimate::{PlaceId, RunEnd, RunId};
use crate::ground::{Length, LengthUnit, Notice};
use crate::trade::{Attitude, Bearing, Job, Leg, Run};

/// A point of a house, in nanometres from where its plan begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Point {
    /// To the east.
    pub east: i64,
    /// To the north.
    pub north: i64,
    /// Up.
    pub up: i64,
}

/// Where a run is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Way {
    /// Which plan it is in: points of two plans have nothing to do with each other.
    pub(crate) plan: u32,
    /// Its points: the beginning, each change of direction, the end.
    pub(crate) points: Vec<Point>,
    /// How far along the run each of them is.
    pub(crate) at: Vec<Length>,
}

/// Where all things of a job are, as far as it is known.
#[derive(Debug, Clone, Default)]
pub(crate) struct Plan {
    /// For each run of the job.
    pub(crate) ways: Vec<Option<Way>>,
    /// For each place: its plan and its point.
    pub(crate) places: Vec<Option<(u32, Point)>>,
    /// Two ways to one point that part.
    pub(crate) notices: Vec<Notice>,
}

/// How far two ways to one point may part in height.
const CLOSING_UP: i64 = LengthUnit::Foot.nanometres();
/// How far they may part across, where the job does not say it.
const CLOSING: i64 = 3 * LengthUnit::Foot.nanometres();

/// How far two ways to one point may part across.
pub(crate) fn closing(job: &Job) -> i64 {
    job.settings.closing.map_or(CLOSING, Length::nanometres)
}

/// A distance between two points, to a tenth of the job's unit.
pub(super) fn shown(job: &Job, length: i64) -> String {
    let unit = job.settings.units;
    let tenths = crate::ground::money::round_half_away(Length::from_nanometres(length).in_units(unit), 1);
    format!("{} {}", tenths.normalize(), unit.abbreviation())
}

/// Places all runs whose way is known.
pub(crate) fn place(job: &Job, network: &Network) -> Plan {
    let mut placing = Placing {
        job,
        network,
        plan: Plan {
            ways: vec![None; job.runs.len()],
            places: vec![None; network.places.len()],
            notices: Vec::new(),
        },
        by: vec![Vec::new(); network.places.len()],
        waits: VecDeque::new(),
    };
    let mut plans = 0;
    for id in network.laid() {
        let begins_one = match network.meets(id).start {
            Start::Alone | Start::Root => true,
            Start::Place(place) => network.places[place.index()].always,
            Start::Run(_) => false,
        };
        if begins_one {
            placing.waits.push_back((id, plans, Point::default()));
            plans += 1;
            placing.go_on();
        }
    }
    placing.begin_elsewhere();
    placing.close_ends();
    placing.plan
}

impl Way {
    /// The way of a run that begins at a point; nothing where nobody knows how it goes.
    pub(in crate::estimate) fn of(run: &Run, plan: u32, begins: Point) -> Option<Self> {
        let mut way = Self { plan, points: vec![begins], at: vec![Length::ZERO] };
        let (mut here, mut at) = (begins, 0);
        for leg in legs(run) {
            let is_level = leg.bearing.attitude() == Attitude::Level;
            let rises = run.fall.filter(|_| is_level).map_or(Length::ZERO, |fall| fall.fall(leg.length));
            here = here.after(leg, rises);
            at += leg.length.nanometres();
            way.points.push(here);
            way.at.push(Length::from_nanometres(at));
        }
        (way.points.len() > 1).then_some(way)
    }

    /// The point at a distance along the run.
    pub(crate) fn point_at(&self, at: Length) -> Point {
        let behind =
            self.at.partition_point(|one| *one < at).clamp(1, self.at.len().saturating_sub(1).max(1));
        let (Some(from), Some(to)) = (self.points.get(behind - 1), self.points.get(behind)) else {
            return self.points.first().copied().unwrap_or_default();
        };
        let (before, after) = (self.at[behind - 1].nanometres(), self.at[behind].nanometres());
        let part = |from: i64, to: i64| {
            let way = i128::from(to - from) * i128::from(at.nanometres() - before);
            from + i64::try_from(way / i128::from((after - before).max(1))).unwrap_or(0)
        };
        Point { east: part(from.east, to.east), north: part(from.north, to.north), up: part(from.up, to.up) }
    }

    /// Its last point.
    pub(crate) fn end(&self) -> Point {
        self.points.last().copied().unwrap_or_default()
    }
}

impl Point {
    /// The point a leg farther on; level legs of drains rise by their fall up the stream.
    fn after(self, leg: Leg, rises: Length) -> Self {
        let length = leg.length.nanometres();
        // One over the root of two, to the billionth.
        let aslant = i64::try_from(i128::from(length) * 707_106_781 / 1_000_000_000).unwrap_or(0);
        let (east, north, up) = match leg.bearing {
            Bearing::North => (0, length, 0),
            Bearing::NorthEast => (aslant, aslant, 0),
            Bearing::East => (length, 0, 0),
            Bearing::SouthEast => (aslant, -aslant, 0),
            Bearing::South => (0, -length, 0),
            Bearing::SouthWest => (-aslant, -aslant, 0),
            Bearing::West => (-length, 0, 0),
            Bearing::NorthWest => (-aslant, aslant, 0),
            Bearing::Up => (0, 0, length),
            Bearing::Down => (0, 0, -length),
        };
        Self {
            east: self.east.saturating_add(east),
            north: self.north.saturating_add(north),
            up: self.up.saturating_add(up).saturating_add(rises.nanometres()),
        }
    }

    /// The point so much farther.
    pub(crate) fn plus(self, other: Self) -> Self {
        Self {
            east: self.east.saturating_add(other.east),
            north: self.north.saturating_add(other.north),
            up: self.up.saturating_add(other.up),
        }
    }

    /// What lies between two points.
    pub(crate) fn less(self, other: Self) -> Self {
        Self {
            east: self.east.saturating_sub(other.east),
            north: self.north.saturating_sub(other.north),
            up: self.up.saturating_sub(other.up),
        }
    }

    /// How far two points part across the plan, and in height.
    pub(crate) fn parts(self, other: Self) -> (i64, i64) {
        let square = |a: i64, b: i64| i128::from(a.abs_diff(b)).pow(2);
        let across = square(self.east, other.east).saturating_add(square(self.north, other.north));
        let across = u128::try_from(across).unwrap_or(u128::MAX).isqrt();
        (
            i64::try_from(across).unwrap_or(i64::MAX),
            i64::try_from(self.up.abs_diff(other.up)).unwrap_or(i64::MAX),
        )
    }
}

/// The legs of a run with its tail, which goes on in the bearing of the last; none where nobody knows its way.
fn legs(run: &Run) -> Vec<Leg> {
    let mut legs = match &run.path {
        Some(path) => path.legs().to_vec(),
        None => {
            let bearing = run.begins().bearing.filter(|bearing| bearing.attitude() == Attitude::Upright);
            bearing.map(|bearing| Leg { bearing, length: run.length }).into_iter().collect()
        }
    };
    if let (Some(last), Some(tail)) = (legs.last().copied(), run.tail) {
        legs.push(Leg { length: tail, ..last });
    }
    legs
}

struct Placing<'j> {
    job: &'j Job,
    network: &'j Network,
    plan: Plan,
    /// For each place: the runs that reached it so far.
    by: Vec<Vec<(RunId, RunEnd)>>,
    /// Runs whose beginning is known.
    waits: VecDeque<(RunId, u32, Point)>,
}

impl Placing<'_> {
    fn go_on(&mut self) {
        while let Some((id, plan, begins)) = self.waits.pop_front() {
            if self.plan.ways[id.index()].is_none() {
                self.place_run(id, plan, begins);
            }
        }
    }

    fn place_run(&mut self, id: RunId, plan: u32, begins: Point) {
        let run = &self.job.runs[id.index()];
        let meets = self.network.meets(id);
        if let Start::Place(place) = meets.start
            && !self.network.places[place.index()].always
        {
            self.by[place.index()].push((id, RunEnd::Start));
        }
        let Some(way) = Way::of(run, plan, begins) else { return };
        let here = way.end();
        for tap in &meets.taps {
            if tap.child.by == RunEnd::Start {
                self.waits.push_back((tap.child.run, plan, way.point_at(tap.at)));
            }
        }
        for child in meets.at_end.iter().filter(|child| child.by == RunEnd::Start) {
            self.waits.push_back((child.run, plan, here));
        }
        self.plan.ways[id.index()] = Some(way);
        if let End::Place(place) = meets.end
            && !self.network.places[place.index()].always
        {
            self.reach(place, id, (plan, here));
        }
    }

    /// A run ends at a place: what begins there begins at this point, and another run of its service must have come to it too.
    fn reach(&mut self, place: PlaceId, id: RunId, (plan, point): (u32, Point)) {
        let service = |id: RunId| self.job.runs[id.index()].service;
        let other = self.by[place.index()]
            .iter()
            .find(|(other, by)| *by == RunEnd::End && service(*other) == service(id));
        if let Some((other, _)) = other.copied()
            && let Some(way) = &self.plan.ways[other.index()]
            && way.plan == plan
        {
            let (from, name) = (way.end(), self.network.places[place.index()].name.to_string());
            self.judge(id, "to", other, "to", point, from, &name);
        }
        self.by[place.index()].push((id, RunEnd::End));
        self.plan.places[place.index()].get_or_insert((plan, point));
        // What begins here goes on from what comes here on its own side: a riser from the valve, not from the drain.
        let side = |id: RunId| service(id).side();
        let starts = self.network.places[place.index()].starts.iter();
        let same_side = starts.filter(|start| side(**start) == side(id));
        self.waits.extend(same_side.map(|start| (*start, plan, point)));
    }

    /// What begins at a place to which nothing of its own side comes.
    fn begin_elsewhere(&mut self) {
        for (place, at) in self.network.places.iter().zip(self.plan.places.clone()) {
            let Some((plan, point)) = at else { continue };
            self.waits.extend(place.starts.iter().map(|start| (*start, plan, point)));
        }
        self.go_on();
    }

    /// Vents and returns that end at runs must end where those are.
    fn close_ends(&mut self) {
        for id in self.network.laid() {
            let End::Run(parent) = self.network.meets(id).end else { continue };
            let (Some(own), Some(of)) = (&self.plan.ways[id.index()], &self.plan.ways[parent.index()]) else {
                continue;
            };
            if own.plan == of.plan {
                let run = &self.job.runs[id.index()];
                let length = self.job.runs[parent.index()].length;
                let (point, there) = (own.end(), of.point_at(run.to_at.unwrap_or(length)));
                let name = self.job.runs[parent.index()].name.to_string();
                self.judge(id, "to", parent, "run", point, there, &name);
            }
        }
    }

    #[allow(clippy::too_many_arguments)]
    fn judge(
        &mut self,
        id: RunId,
        heading: &str,
        other: RunId,
        of_other: &str,
        point: Point,
        there: Point,
        name: &str,
    ) {
        let (across, up) = point.parts(there);
        if across <= closing(self.job) && up <= CLOSING_UP {
            return;
        }
        let (across, up) = (shown(self.job, across), shown(self.job, up));
        let (run, of) = (self.job.runs[id.index()].row, self.job.runs[other.index()].row);
        let notice = findings::does_not_close(self.job, run, heading, of, of_other, name, &across, &up);
        self.plan.notices.push(notice);
    }
}
