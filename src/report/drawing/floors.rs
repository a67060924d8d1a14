//! The floors of a house as frames: the outline of all that is drawn, at the height at which most of what names a floor lies.

use std::collections::BTreeMap;

use crate::estimate::map::{Map, Point};
use crate::ground::LengthUnit;
use crate::trade::{Job, Word};

/// A frame.
pub(super) struct Floor {
    /// The part of the map that it is in.
    pub(super) part: u32,
    /// The floor as the runs name it; nothing under a house whose runs name none.
    pub(super) level: Word,
    /// From the south-west around by the east.
    pub(super) corners: [Point; 4],
}

/// What is known of one part of the map.
#[derive(Default)]
struct Seen {
    least: Option<Point>,
    most: Option<Point>,
    /// The heights of level legs by floor, each with how long it is; and of all points, which count nothing beside them.
    heights: BTreeMap<Word, Vec<(i64, i128)>>,
}

/// How far a frame reaches beyond what is in it.
const BEYOND: i64 = 2 * LengthUnit::Foot.nanometres();

/// The floors of all parts, the lowest first.
pub(super) fn of(job: &Job, map: &Map) -> Vec<Floor> {
    let mut parts: BTreeMap<u32, Seen> = BTreeMap::new();
    for id in &map.order {
        let Some(way) = &map.run(*id).way else { continue };
        let seen = parts.entry(way.part).or_default();
        let level = job.runs[id.index()].level;
        let points: Vec<Point> = way.points().collect();
        for point in &points {
            let least = seen.least.get_or_insert(*point);
            *least = each(*least, *point, i64::min);
            let most = seen.most.get_or_insert(*point);
            *most = each(*most, *point, i64::max);
            seen.heights.entry(level).or_default().push((point.up, 1));
        }
        for leg in points.windows(2) {
            let gap = leg[1].less(leg[0]);
            let level_part = i128::from(gap.east.saturating_abs()) + i128::from(gap.north.saturating_abs());
            let height = i64::midpoint(leg[0].up, leg[1].up);
            seen.heights.entry(level).or_default().push((height, level_part));
        }
    }
    let mut floors = Vec::new();
    for (part, seen) in parts {
        let (Some(least), Some(most)) = (seen.least, seen.most) else { continue };
        let named: Vec<(Word, i64)> = seen
            .heights
            .into_iter()
            .filter(|(level, _)| !level.is_empty())
            .map(|(level, heights)| (level, middle(heights)))
            .collect();
        let all = if named.is_empty() { vec![(Word::EMPTY, least.up)] } else { named };
        for (level, up) in all {
            let corner = |east: i64, north: i64| Point { east, north, up };
            let (west, east) = (least.east.saturating_sub(BEYOND), most.east.saturating_add(BEYOND));
            let (south, north) = (least.north.saturating_sub(BEYOND), most.north.saturating_add(BEYOND));
            let corners =
                [corner(west, south), corner(east, south), corner(east, north), corner(west, north)];
            floors.push(Floor { part, level, corners });
        }
    }
    floors.sort_by_key(|floor| (floor.corners[0].up, floor.part, job.lexicon.text(floor.level).to_owned()));
    floors
}

fn each(one: Point, other: Point, of: fn(i64, i64) -> i64) -> Point {
    Point { east: of(one.east, other.east), north: of(one.north, other.north), up: of(one.up, other.up) }
}

/// The height with as much length above it as below.
fn middle(mut heights: Vec<(i64, i128)>) -> i64 {
    heights.sort_unstable();
    let half: i128 = heights.iter().map(|(_, length)| length).sum::<i128>() / 2;
    let mut sum = 0;
    let found = heights.iter().find(|(_, length)| {
        sum += length;
        sum >= half
    });
    found.map_or(0, |(height, _)| *height)
}
