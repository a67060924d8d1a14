//! The line diagram of runs whose way nobody knows: a row a run, feet along to the right, each hung at the point where it joins.
//! It says nothing of where things are. No line crosses another: of what joins one run, the farthest along stands first.

use std::collections::BTreeMap;

use super::notes::{BADGE, Mark, Notes, RING, badges, ring};
use super::projection::readable;
use super::style::{LONGEST_NAME, NAME, SMALL, Style, class, dash, wide_spans};
use super::svg::{Anchor, Dot, Span, Svg, cut, wide};
use super::symbol::{Part, symbol};
use crate::estimate::map::{Along, Begins, Ends, Map, whole};
use crate::estimate::{PlaceId, RunId};
use crate::trade::{Job, Run};

/// From one row to the next.
const PITCH: i64 = 148;
/// Over the first row, for the feet along.
const OVER: i64 = 170;
/// How long the longest way is drawn, and the most that it is drawn so that short runs can be seen.
const LONG: i128 = 4_600;
const LONGEST: i128 = 9_000;
/// How long a run of middle length is drawn, where there is room.
const MIDDLE: i128 = 420;
/// The shortest that a run is drawn.
const SHORTEST: i64 = 24;

/// A run in its row.
struct Row {
    run: RunId,
    /// How far from the left its way begins, in nanometres of pipe.
    from: i128,
    /// The row of what it joins.
    parent: Option<usize>,
}

/// Draws the runs without a way; nothing where there is none.
pub(super) fn draw(job: &Job, map: &Map, style: &Style<'_>, notes: &Notes<'_>) -> Option<Part> {
    let rows = rows(job, map);
    if rows.is_empty() {
        return None;
    }
    let long = |id: RunId| i128::from(whole(&job.runs[id.index()]).nanometres().max(0));
    let most = rows.iter().map(|row| row.from + long(row.run)).max().unwrap_or(0).max(1);
    let mut all: Vec<i128> = rows.iter().map(|row| long(row.run)).collect();
    all.sort_unstable();
    let per = (most / LONG).min(all[all.len() / 2] / MIDDLE).max(most / LONGEST).max(1);
    let heads: Vec<(String, bool)> = rows.iter().map(|row| head(job, map, style, row)).collect();
    let left = heads.iter().map(|(words, _)| wide(words, NAME) + 230).max().unwrap_or(0).max(240);
    let drawn = |nanometres: i128| i64::try_from(nanometres / per).unwrap_or(0);
    let spots: Vec<[Dot; 2]> = (0..)
        .zip(&rows)
        .map(|(at, row)| {
            let from = Dot::at(left + drawn(row.from), OVER + at * PITCH);
            [from, from.by(drawn(long(row.run)).max(SHORTEST), 0)]
        })
        .collect();
    let mut diagram = Diagram { job, map, style, goes_on: map.goes_on(), svg: Svg::default(), width: left };
    let height = OVER + i64::try_from(rows.len()).unwrap_or(0) * PITCH;
    diagram.feet(left, height, drawn(most), |length| drawn(i128::from(length)));
    for ((row, spots), (words, is_doubtful)) in rows.iter().zip(&spots).zip(&heads) {
        if !words.is_empty() {
            let class = if *is_doubtful { "bold warn" } else { "bold" };
            diagram.svg.words(spots[0].by(-150, 30), Anchor::End, class, &[("", words)]);
        }
        if let Some(parent) = row.parent {
            let on = spots[0].by(0, spots_of(&rows, parent) - spots[0].y);
            let class = diagram.class(row.run);
            diagram.svg.line(&format!("run {class}"), (10, ""), &[on, spots[0]]);
        }
    }
    for (row, spots) in rows.iter().zip(&spots) {
        diagram.run(row, *spots, &rows, notes);
    }
    for (row, spots) in rows.iter().zip(&spots) {
        diagram.marks(row.run, *spots, notes);
    }
    let Diagram { svg, width, .. } = diagram;
    Some(Part { svg, width, height })
}

/// How far down a row is.
fn spots_of(rows: &[Row], row: usize) -> i64 {
    OVER + i64::try_from(row.min(rows.len())).unwrap_or(0) * PITCH
}

/// What stands before a row that hangs at no other; and whether it is a name that nothing has.
fn head(job: &Job, map: &Map, style: &Style<'_>, row: &Row) -> (String, bool) {
    if row.parent.is_some() {
        return (String::new(), false);
    }
    match map.run(row.run).begins {
        Begins::Place(place) => (cut(&map.place(place).name, NAME, LONGEST_NAME), false),
        Begins::Run(Along { run, at, .. }) => {
            let [name, _] = style.label(&job.runs[run.index()]);
            (format!("on {name} at {}", style.length(at)), false)
        }
        Begins::Nothing => match job.runs[row.run.index()].joins.as_deref() {
            Some(unknown) => (format!("joins {}?", cut(unknown, NAME, LONGEST_NAME)), true),
            None => ("begins here".to_owned(), false),
        },
    }
}

/// The rows from above: each run behind what it joins.
fn rows(job: &Job, map: &Map) -> Vec<Row> {
    let is_here = |id: RunId| map.run(id).way.is_none();
    let mut children: Vec<Vec<RunId>> = vec![Vec::new(); map.runs.len()];
    let mut at_place: BTreeMap<PlaceId, Vec<RunId>> = BTreeMap::new();
    let mut waits: Vec<RunId> = Vec::new();
    for id in map.order.iter().copied().filter(|id| is_here(*id)) {
        match map.run(id).begins {
            Begins::Run(Along { run, .. }) if is_here(run) => children[run.index()].push(id),
            Begins::Place(place) if !map.place(place).always => at_place.entry(place).or_default().push(id),
            Begins::Run(_) | Begins::Place(_) | Begins::Nothing => waits.push(id),
        }
    }
    let far = |id: RunId| match map.run(id).begins {
        Begins::Run(Along { at, .. }) => at,
        // What begins at the place at the end of a run hangs there.
        Begins::Place(_) | Begins::Nothing => crate::ground::Length::LONGEST,
    };
    let mut rows: Vec<Row> = Vec::new();
    let mut row_of: Vec<Option<usize>> = vec![None; map.runs.len()];
    let mut stack: Vec<(RunId, Option<RunId>)> = waits.into_iter().rev().map(|id| (id, None)).collect();
    loop {
        while let Some((id, on)) = stack.pop() {
            if row_of[id.index()].is_some() {
                continue;
            }
            let parent = on.and_then(|on| row_of[on.index()]);
            let from = match (parent.map(|row| &rows[row]), map.run(id).begins) {
                (Some(row), Begins::Run(Along { at, .. })) => row.from + i128::from(at.nanometres()),
                (Some(row), Begins::Place(_) | Begins::Nothing) => {
                    row.from + i128::from(whole(&job.runs[row.run.index()]).nanometres())
                }
                (None, _) => 0,
            };
            row_of[id.index()] = Some(rows.len());
            rows.push(Row { run: id, from, parent });
            let mut next = std::mem::take(&mut children[id.index()]);
            if let Ends::Place(place) = map.run(id).ends {
                next.extend(at_place.remove(&place).unwrap_or_default());
            }
            // Stable: at one point they stay in the order of their names. The stack turns them about.
            next.sort_by_key(|child| std::cmp::Reverse(far(*child)));
            stack.extend(next.into_iter().rev().map(|child| (child, Some(id))));
        }
        // What is joined in a ring, or begins at a place that no run here reaches.
        let left = at_place.pop_first().map(|(_, ids)| ids).or_else(|| {
            map.order.iter().find(|id| is_here(**id) && row_of[id.index()].is_none()).map(|id| vec![*id])
        });
        let Some(left) = left else { return rows };
        stack.extend(left.into_iter().rev().map(|id| (id, None)));
    }
}

struct Diagram<'a> {
    job: &'a Job,
    map: &'a Map,
    style: &'a Style<'a>,
    /// For each run whether another meets its end.
    goes_on: Vec<bool>,
    svg: Svg,
    width: i64,
}

impl Diagram<'_> {
    fn job_run(&self, id: RunId) -> &Run {
        &self.job.runs[id.index()]
    }

    fn class(&self, id: RunId) -> &'static str {
        class(self.job_run(id).service, self.map.run(id).out.is_some())
    }

    /// Light rules with how far along they are.
    fn feet(&mut self, left: i64, height: i64, most: i64, drawn: impl Fn(i64) -> i64) {
        let unit = self.style.unit();
        let (count, step) = readable(unit, 420, drawn);
        let mut at = 0;
        while at * step <= most {
            let x = left + at * step;
            self.svg.line("thin", (0, ""), &[Dot::at(x, OVER - 70), Dot::at(x, height - PITCH / 2)]);
            let words = format!("{} {}", at * count, unit.abbreviation());
            self.svg.words(Dot::at(x, OVER - 90), Anchor::Middle, "small gray", &[("", &words)]);
            at += 1;
        }
    }

    /// A run: its line, where it ties in, what it is, where it ends.
    fn run(&mut self, row: &Row, [from, to]: [Dot; 2], rows: &[Row], notes: &Notes<'_>) {
        let (job, map, style) = (self.job, self.map, self.style);
        let (run, mapped) = (&job.runs[row.run.index()], map.run(row.run));
        let (class, width) = (self.class(row.run), style.width(run.size));
        let is_out = mapped.out.is_some();
        // A tail is drawn thinner, in its part of the line.
        let parts = run.tail.map(|tail| (run.length.nanometres().max(1), tail.nanometres().max(1)));
        let parted = parts.map_or(to, |(length, tail)| {
            let long = i128::from(to.x - from.x) * i128::from(length) / i128::from(length + tail);
            Dot::at(from.x + i64::try_from(long).unwrap_or(0), from.y)
        });
        let tail = style.width(run.reduce_to.unwrap_or(run.size));
        let told = style.told(run, mapped);
        self.svg.group("", &told, |svg| {
            svg.line(&format!("run {class}"), (width, &dash(run.service, is_out, width)), &[from, parted]);
            if parted != to {
                svg.line(&format!("run {class}"), (tail, &dash(run.service, is_out, tail)), &[parted, to]);
            }
        });
        if let (Some(parent), Begins::Run(Along { run: of, .. })) = (row.parent, mapped.begins) {
            let on = Dot::at(from.x, spots_of(rows, parent));
            let (class, radius) = (self.class(of), style.width(self.job_run(of).size) / 2 + 14);
            self.svg.ring(&format!("tee {class}"), on, radius);
        }
        self.begins(row, from);
        let is_short = to.x - from.x < 2 * RING;
        let has_mark = notes.marks.contains_key(&Mark::End(row.run))
            || is_short && notes.marks.contains_key(&Mark::Middle(row.run));
        let end = self.ends(row.run, to);
        let mut at = to.by(if has_mark { 200 } else { 90 }, 30);
        let [name, mut rest] = style.label(run);
        if let (Begins::Run(Along { at, is_end: false, .. }), Some(_)) = (mapped.begins, row.parent) {
            rest.push_str(&format!("  at {}", style.length(at)));
        }
        let spans: [Span<'_>; 2] = [("bold", &name), ("", &rest)];
        self.svg.words(at, Anchor::Start, &format!("over {class}"), &spans);
        at = at.by(wide_spans(&spans, NAME) + 120, 0);
        let where_to = [run.area, run.level].map(|word| cut(style.word(word), NAME, LONGEST_NAME));
        let where_to: Vec<String> = where_to.into_iter().filter(|word| !word.is_empty()).collect();
        let why = mapped.out.as_ref().map(|why| format!("   left out: {why}")).unwrap_or_default();
        let spans: [Span<'_>; 3] =
            [("bold", &end), ("gray", &format!("   {}", where_to.join(", "))), ("warn", &why)];
        self.svg.words(at, Anchor::Start, "over", &spans);
        self.width = self.width.max(at.x + wide_spans(&spans, NAME) + 60);
    }

    /// What a run begins at, where it hangs at no other.
    fn begins(&mut self, row: &Row, from: Dot) {
        match (row.parent, self.map.run(row.run).begins) {
            (None, Begins::Place(place)) => symbol(&mut self.svg, self.map.place(place), from.by(-40, 0)),
            (None, Begins::Nothing) => self.svg.ring("open", from, 44),
            (None, Begins::Run(_)) | (Some(_), _) => {}
        }
    }

    /// What a run ends at, in words; its mark is drawn.
    fn ends(&mut self, id: RunId, to: Dot) -> String {
        let map = self.map;
        match map.run(id).ends {
            Ends::Place(place) => {
                symbol(&mut self.svg, map.place(place), to);
                format!("to {}", cut(&map.place(place).name, NAME, LONGEST_NAME))
            }
            Ends::Run(Along { run, at, .. }) => {
                let [name, _] = self.style.label(self.job_run(run));
                format!("into {name} at {}", self.style.length(at))
            }
            Ends::Free => {
                if !self.goes_on[id.index()] {
                    self.svg.ring("open", to, 44);
                }
                String::new()
            }
        }
    }

    fn marks(&mut self, id: RunId, [from, to]: [Dot; 2], notes: &Notes<'_>) {
        let place = match self.map.run(id).ends {
            Ends::Place(place) => Some((Mark::Place(place), to)),
            Ends::Run(_) | Ends::Free => None,
        };
        let spots = [(Mark::Begin(id), from), (Mark::Middle(id), from.half_way(to)), (Mark::End(id), to)];
        for (mark, at) in spots.into_iter().chain(place) {
            if let Some(numbers) = notes.marks.get(&mark) {
                ring(&mut self.svg, at);
                badges(&mut self.svg, at.by(-BADGE - 60, -SMALL), numbers);
            }
        }
    }
}
