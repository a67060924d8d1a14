//! The picture of the house: every run whose way is known, to scale, with floors, places, tees, ends and marks.

mod spots;
mod words;

use std::collections::BTreeMap;

use super::floors::{self, Floor};
use super::labels::{Area, Labels};
use super::notes::{BADGE, Mark, Notes, RING, badges, ring};
use super::projection::{Projection, readable};
use super::style::{LONGEST_NAME, NAME, SMALL, Style, class, dash};
use super::svg::{Anchor, Dot, Span, Svg, cut, wide};
use super::symbol::{Part, symbol};
use crate::estimate::map::{Along, Begins, Ends, Map, MappedPlace, Point, Way, is_apart};
use crate::estimate::{RunEnd, RunId};
use crate::ground::LengthUnit;
use crate::trade::{Job, Run};
use spots::{arrow, longest_legs};

/// The most ends of one place that are told apart; ends at the main or the roof are each by itself.
const ENDS: usize = 40;

struct House<'a> {
    job: &'a Job,
    map: &'a Map,
    style: &'a Style<'a>,
    on_paper: Projection,
    labels: Labels,
    /// The spots of each run, where it is drawn.
    dots: Vec<Vec<Dot>>,
    svg: Svg,
    /// Runs for whose names there was no room.
    nameless: Vec<RunId>,
}

/// Draws the house; nothing where nobody knows the way of any run. Gives also the runs for whose names there was no room.
pub(super) fn draw(job: &Job, map: &Map, style: &Style<'_>, notes: &Notes<'_>) -> Option<(Part, Vec<RunId>)> {
    let floors = floors::of(job, map);
    let corners: Vec<(u32, Point)> =
        floors.iter().flat_map(|floor| floor.corners.map(|corner| (floor.part, corner))).collect();
    let on_paper = Projection::of(map, &corners)?;
    let (width, height) = (on_paper.width, on_paper.height);
    let labels = Labels::within(Area { left: 20, top: 20, right: width - 20, bottom: height - 20 });
    let dot = |way: &Way| way.points().map(|point| on_paper.dot(way.part, point)).collect();
    let dots = map.runs.iter().map(|run| run.way.as_ref().map(dot).unwrap_or_default()).collect();
    let mut house =
        House { job, map, style, on_paper, labels, dots, svg: Svg::default(), nameless: Vec::new() };
    house.floors(&floors);
    house.take_lines();
    let marked = house.take_marks(notes);
    house.rose();
    house.runs();
    house.tees();
    house.ties();
    house.places();
    house.ends();
    house.names();
    house.hanging();
    house.distances();
    for (at, badge, numbers) in marked {
        ring(&mut house.svg, at);
        badges(&mut house.svg, badge, &numbers);
    }
    Some((Part { svg: house.svg, width, height }, house.nameless))
}

impl House<'_> {
    fn run(&self, id: RunId) -> &Run {
        &self.job.runs[id.index()]
    }

    fn class(&self, id: RunId) -> &'static str {
        class(self.run(id).service, self.map.run(id).out.is_some())
    }

    fn drawn(&self) -> impl Iterator<Item = RunId> + use<'_> {
        self.map.order.iter().copied().filter(|id| !self.dots[id.index()].is_empty())
    }

    /// Floors as light frames, each named at its corner.
    fn floors(&mut self, floors: &[Floor]) {
        for floor in floors {
            let corners = floor.corners.map(|corner| self.on_paper.dot(floor.part, corner));
            self.svg.shape("floor", &corners);
        }
        for floor in floors.iter().filter(|floor| !floor.level.is_empty()) {
            let word = self.style.word(floor.level);
            let corners = floor.corners.map(|corner| self.on_paper.dot(floor.part, corner));
            let (across, half) = (wide(word, NAME), NAME / 2 + 10);
            let spots = [
                corners[0].by(across / 2 + 60, -half),
                corners[1].by(-across / 2 - 60, -half),
                corners[3].by(across / 2 + 160, half + 10),
                corners[0].by(-across / 2 - 40, 0),
                corners[2].by(across / 2 + 40, 0),
                corners[0].by(across / 2, half + 30),
            ];
            let boxes = spots.map(|spot| Area::around(spot, across + 20, NAME + 16));
            if let Some(at) = self.labels.best(&boxes, usize::MAX) {
                self.svg.words(spots[at].by(0, NAME / 3), Anchor::Middle, "level", &[("", word)]);
            }
        }
    }

    fn take_lines(&mut self) {
        for dots in &self.dots {
            dots.windows(2).for_each(|leg| self.labels.line(leg[0], leg[1]));
        }
    }

    /// The spot of a mark.
    fn marked(&self, mark: Mark) -> Option<Dot> {
        let dots = |id: RunId| Some(&self.dots[id.index()]).filter(|dots| !dots.is_empty());
        match mark {
            Mark::Begin(id) => dots(id)?.first().copied(),
            Mark::End(id) => dots(id)?.last().copied(),
            Mark::Middle(id) => longest(dots(id)?).map(|leg| leg.0.half_way(leg.1)),
            Mark::Place(id) => {
                let (run, end) = self.map.place(id).met.iter().find(|(run, _)| dots(*run).is_some())?;
                self.end_dot(*run, *end)
            }
        }
    }

    fn end_dot(&self, run: RunId, end: RunEnd) -> Option<Dot> {
        let dots = &self.dots[run.index()];
        match end {
            RunEnd::Start => dots.first().copied(),
            RunEnd::End => dots.last().copied(),
        }
    }

    /// Room for the numbers of marks, before any words take it.
    fn take_marks(&mut self, notes: &Notes<'_>) -> Vec<(Dot, Dot, Vec<usize>)> {
        let mut all: BTreeMap<Dot, Vec<usize>> = BTreeMap::new();
        for (mark, numbers) in &notes.marks {
            if let Some(at) = self.marked(*mark) {
                all.entry(at).or_default().extend(numbers);
            }
        }
        let mut marked = Vec::new();
        for (at, mut numbers) in all {
            numbers.sort_unstable();
            numbers.dedup();
            self.labels.take(Area::around(at, 2 * RING, 2 * RING));
            let more = i64::try_from(numbers.len()).unwrap_or(1) - 1;
            let across = 2 * BADGE + more * (2 * BADGE + 10);
            let out = RING + BADGE;
            let spots = [
                (out, -out),
                (-out - across, -out),
                (out, out),
                (-out - across, out),
                (out + 40, 0),
                (0, -out - BADGE),
                (0, out + BADGE),
            ];
            let spots = spots.map(|(right, down)| at.by(right, down));
            let boxes = spots.map(|spot| Area {
                left: spot.x - BADGE,
                top: spot.y - BADGE,
                right: spot.x - BADGE + across,
                bottom: spot.y + BADGE,
            });
            let best = self.labels.best(&boxes, usize::MAX).unwrap_or(0);
            marked.push((at, spots[best], numbers));
        }
        marked
    }

    /// Which way is north, and how long a foot is; in a corner.
    fn rose(&mut self) {
        let here = Dot::at(260, self.on_paper.height - 220);
        let area =
            Area { left: here.x - 200, top: here.y - 480, right: here.x + 1_500, bottom: here.y + 180 };
        self.labels.take(area);
        let ways = [("E", Dot::at(330, 0)), ("N", Dot::at(216, -162)), ("up", Dot::at(0, -330))];
        let svg = &mut self.svg;
        svg.group("", "east is to the right, north to the right and up, up is up", |svg| {
            for (word, way) in ways {
                let to = here.by(way.x, way.y);
                svg.line("edge", (14, ""), &[here, to]);
                svg.shape(
                    "place",
                    &[to.toward(here, -60, 0), to.toward(here, 30, 36), to.toward(here, 30, -36)],
                );
                let beside = to.toward(here, -130, 0);
                svg.words(beside.by(0, 30), Anchor::Middle, "bold", &[("", word)]);
            }
        });
        let unit = self.style.unit();
        let (count, long) = readable(unit, 500, |length| self.on_paper.drawn(length));
        let from = here.by(640, 60);
        let to = from.by(long.min(1_200), 0);
        self.svg.line("edge", (20, ""), &[from.by(0, -40), from.by(0, 20), to.by(0, 20), to.by(0, -40)]);
        let words = format!("{count} {} east or up", unit.abbreviation());
        self.svg.words(from.by(40, -20), Anchor::Start, "small", &[("", &words)]);
        self.svg.words(
            from.by(0, 120),
            Anchor::Start,
            "small gray",
            &[("", "north and south are drawn at 5/8")],
        );
    }

    /// Ends of one place that part, and ends of runs that part from what they end at.
    fn ties(&mut self) {
        for place in self.map.places.iter().filter(|place| !place.always) {
            let named = self.clusters(place);
            for pair in named.windows(2) {
                let (from, to) = (pair[0].1, pair[1].1);
                let apart = self.style.about(across(pair[0].0, pair[1].0));
                self.labels.line(from, to);
                let told = format!("{}: its ends are {apart} apart", place.name);
                self.svg.group("", &told, |svg| svg.line("part", (22, "70 50"), &[from, to]));
                let words = format!("one place, {apart} apart");
                self.beside((from, to), &[("bold", &words)], "over warn", NAME);
            }
        }
        for id in self.map.order.clone() {
            let Ends::Run(Along { run, at, .. }) = self.map.run(id).ends else { continue };
            let (Some(own), Some(of)) = (&self.map.run(id).way, &self.map.run(run).way) else { continue };
            let (end, there) = (own.ends(), of.point_at(at));
            if own.part == of.part && end != there {
                let is_far = across(end, there) > LengthUnit::Foot.nanometres();
                let dots = [self.on_paper.dot(own.part, end), self.on_paper.dot(of.part, there)];
                let told = format!("{} ties into {} here", self.run(id).name, self.run(run).name);
                self.svg.group("", &told, |svg| {
                    svg.line(if is_far { "part" } else { "edge" }, (0, "70 50"), &dots);
                });
            }
        }
    }

    /// The points of a place that lie apart, with their spots: most places have one.
    fn clusters(&self, place: &MappedPlace) -> Vec<(Point, Dot)> {
        let mut named: Vec<(Point, Dot, u32)> = Vec::new();
        for (id, end) in &place.met {
            let Some(way) = &self.map.run(*id).way else { continue };
            let point = match end {
                RunEnd::Start => way.begins(),
                RunEnd::End => way.ends(),
            };
            let is_near = |(other, _, part): &(Point, Dot, u32)| {
                *part == way.part && !is_apart(self.job, *other, point)
            };
            if place.always || named.len() < ENDS && !named.iter().any(is_near) {
                named.push((point, self.on_paper.dot(way.part, point), way.part));
            }
        }
        named.into_iter().map(|(point, dot, _)| (point, dot)).collect()
    }

    /// The runs, what lies behind first.
    fn runs(&mut self) {
        let depth = |id: &RunId| {
            let way = self.map.run(*id).way.as_ref();
            let (north, up) = way.map_or((0, 0), |way| {
                (way.begins().north.min(way.ends().north), way.begins().up.min(way.ends().up))
            });
            (std::cmp::Reverse(north), up)
        };
        let mut order: Vec<RunId> = self.drawn().collect();
        order.sort_by_key(depth);
        for id in order {
            let (run, mapped) = (&self.job.runs[id.index()], self.map.run(id));
            let (is_out, dots) = (mapped.out.is_some(), &self.dots[id.index()]);
            let class = format!("run {}", class(run.service, is_out));
            let width = self.style.width(run.size);
            let tail = run
                .reduce_to
                .filter(|_| run.tail.is_some() && dots.len() > 2)
                .map(|size| self.style.width(size));
            let thick = if tail.is_some() { &dots[..dots.len() - 1] } else { &dots[..] };
            let arrow = arrow(run, dots, width);
            self.svg.group("", &self.style.told(run, mapped), |svg| {
                svg.line("halo", (width + 30, ""), dots);
                svg.line(&class, (width, &dash(run.service, is_out, width)), thick);
                if let Some(width) = tail {
                    let thin = &dots[dots.len() - 2..];
                    svg.line(&class, (width, &dash(run.service, is_out, width)), thin);
                }
                if let Some(corners) = arrow {
                    svg.shape(&class.replace("run", "arrow"), &corners);
                }
            });
        }
    }

    /// Where a run ties in.
    fn tees(&mut self) {
        for id in self.map.order.clone() {
            let Begins::Run(Along { run: parent, at, is_end }) = self.map.run(id).begins else { continue };
            let Some(dot) = self.dots[id.index()].first().copied() else { continue };
            let told = match is_end {
                true => format!("{} goes on from the end of {}", self.run(id).name, self.run(parent).name),
                false => format!(
                    "{} ties into {} at {}",
                    self.run(id).name,
                    self.run(parent).name,
                    self.style.length(at)
                ),
            };
            let radius = self.style.width(self.run(parent).size) / 2 + if is_end { 6 } else { 16 };
            let class = format!("tee {}", self.class(parent));
            self.svg.group("", &told, |svg| svg.ring(&class, dot, radius));
        }
    }

    /// Places: a mark for each end that meets one, and its name where the ends lie together.
    fn places(&mut self) {
        for place in &self.map.places {
            let clusters = self.clusters(place);
            let dots = place.met.iter().filter_map(|(id, end)| self.end_dot(*id, *end));
            for dot in dots.collect::<Vec<_>>() {
                let nearest =
                    clusters.iter().map(|(_, there)| *there).min_by_key(|there| there.far_from(dot));
                self.svg.group("", &place.name, |svg| {
                    if let Some(there) = nearest.filter(|there| *there != dot) {
                        svg.line("edge", (0, "24 24"), &[dot, there]);
                    }
                    symbol(svg, place, dot);
                });
            }
            for (_, dot) in clusters {
                self.labels.take(Area::around(dot, 90, 90));
                let name = cut(&place.name, NAME, LONGEST_NAME);
                let name: [Span<'_>; 1] = [("bold", &name)];
                self.near(dot, &name, "over", NAME);
            }
        }
    }

    /// Ends that lead nowhere.
    fn ends(&mut self) {
        let goes_on = self.map.goes_on();
        for id in self.drawn().collect::<Vec<_>>() {
            let mapped = self.map.run(id);
            let dots = &self.dots[id.index()];
            if let (Ends::Free, false, Some(dot)) = (mapped.ends, goes_on[id.index()], dots.last()) {
                self.svg.group("", "an open end", |svg| svg.ring("open", *dot, 52));
            }
            if let (Begins::Nothing, Some(dot)) = (mapped.begins, dots.first().copied()) {
                self.svg.ring("open", dot, 52);
                let words = match self.run(id).joins.as_deref() {
                    Some(unknown) => format!("joins {}?", cut(unknown, SMALL, LONGEST_NAME)),
                    None => "begins here".to_owned(),
                };
                self.near(dot, &[("", &words)], "over warn", SMALL);
            }
        }
    }
}

/// How far two points part: across or in height, whichever is more.
fn across(one: Point, other: Point) -> i64 {
    let gap = one.less(other);
    let square = |side: i64| u128::from(side.unsigned_abs()).pow(2);
    let across = i64::try_from((square(gap.east) + square(gap.north)).isqrt()).unwrap_or(i64::MAX);
    across.max(gap.up.saturating_abs())
}

/// The longest leg of a line.
pub(super) fn longest(dots: &[Dot]) -> Option<(Dot, Dot)> {
    longest_legs(dots).first().copied()
}
