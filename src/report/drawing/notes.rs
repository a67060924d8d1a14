//! What is marked in a picture and told below it: the notices that speak of a run or a place, errors first, each with its number.

use std::collections::BTreeMap;

use super::svg::{Anchor, Dot, Svg};
use crate::estimate::map::Map;
use crate::estimate::{PlaceId, RunId};
use crate::ground::{Notice, Severity, Spot};
use crate::trade::Job;

/// What a mark stands at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Mark {
    /// Where a run begins.
    Begin(RunId),
    /// In the middle of a run.
    Middle(RunId),
    /// Where a run ends.
    End(RunId),
    /// A place.
    Place(PlaceId),
}

/// The most notices that are marked.
const MOST: usize = 24;
/// The most marks of one notice.
const MARKS: usize = 6;

/// What is marked.
pub(super) struct Notes<'a> {
    /// The notices in the order of their numbers, which begin at 1.
    pub(super) shown: Vec<&'a Notice>,
    /// The marks, each with the numbers of its notices.
    pub(super) marks: BTreeMap<Mark, Vec<usize>>,
    /// How many more there are.
    pub(super) more: usize,
}

impl<'a> Notes<'a> {
    /// What is marked of what was told.
    pub(super) fn of(job: &Job, map: &'a Map) -> Self {
        let mut runs: BTreeMap<Spot, RunId> = BTreeMap::new();
        for id in map.order.iter().rev() {
            runs.insert(job.sources.row(job.runs[id.index()].row), *id);
        }
        let rows = (0..).zip(&map.places).filter_map(|(id, place)| Some((place.row?, PlaceId(id))));
        let places: BTreeMap<Spot, PlaceId> = rows.map(|(row, id)| (job.sources.row(row), id)).collect();
        let mark = |spot: &Spot| {
            let row = Spot { column: 0, ..spot.clone() };
            match (runs.get(&row), places.get(&row)) {
                (Some(run), _) => {
                    let at = job.runs[run.index()].row;
                    let is = |heading: &&str| spot.column > 0 && job.sources.cell(at, heading) == *spot;
                    Some(match () {
                        () if ["joins", "at", "tee"].iter().any(is) => Mark::Begin(*run),
                        () if ["to", "to at", "fixture"].iter().any(is) => Mark::End(*run),
                        () => Mark::Middle(*run),
                    })
                }
                (None, place) => place.copied().map(Mark::Place),
            }
        };
        let is_open = |notice: &&Notice| notice.accepted.is_none();
        let marked = map.told.iter().filter(is_open).filter_map(|notice| {
            let marks: Vec<Mark> = notice.spots.iter().filter_map(mark).take(MARKS).collect();
            (!marks.is_empty()).then_some((notice, marks))
        });
        let mut marked: Vec<(&Notice, Vec<Mark>)> = marked.collect();
        // Stable: within one weight they stay in their order.
        marked.sort_by_key(|(notice, _)| match notice.severity {
            Severity::Error => 0,
            Severity::Warning => 1,
            Severity::Remark => 2,
        });
        let open = map.told.iter().filter(is_open).count();
        let mut notes = Self { shown: Vec::new(), marks: BTreeMap::new(), more: 0 };
        for (notice, marks) in marked.into_iter().take(MOST) {
            notes.shown.push(notice);
            for mark in marks {
                let numbers = notes.marks.entry(mark).or_default();
                if numbers.last() != Some(&notes.shown.len()) {
                    numbers.push(notes.shown.len());
                }
            }
        }
        notes.more = open - notes.shown.len();
        notes
    }
}

/// The ring of a mark, and the side of a badge.
pub(super) const RING: i64 = 120;
pub(super) const BADGE: i64 = 62;

/// Draws a ring around what is marked.
pub(super) fn ring(svg: &mut Svg, at: Dot) {
    svg.ring("halo", at, RING + 20);
    svg.ring("ring", at, RING);
}

/// Draws the numbers of a mark, side by side.
pub(super) fn badges(svg: &mut Svg, at: Dot, numbers: &[usize]) {
    for (number, step) in numbers.iter().zip(0..) {
        let at = at.by(step * (2 * BADGE + 10), 0);
        svg.ring("badge", at, BADGE);
        svg.words(at.by(0, 26), Anchor::Middle, "number", &[("", &number.to_string())]);
    }
}
