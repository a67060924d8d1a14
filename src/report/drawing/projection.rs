//! From the house to the paper: east to the right, up upward, north to the right and up, five eighths of its length (a half of it
//! across and three eighths of it up). No two of the ten bearings lie in one direction, and all ratios are whole, so that every
//! machine draws the same.

use super::svg::Dot;
use crate::estimate::map::{Map, Point, Way};
use crate::ground::LengthUnit;

/// Nanometres to the right and down.
type Flat = (i128, i128);

/// Where a point lies on paper, in nanometres of the house.
fn flat(point: Point) -> Flat {
    let [east, north, up] = [point.east, point.north, point.up].map(i128::from);
    (east + north / 2, -up - north * 3 / 8)
}

/// So many tenths of a point a leg of middle length is drawn, where there is room.
const MIDDLE_LEG: i128 = 560;
/// The side of a picture of a small house, and that of the largest for forty runs; more runs have more room.
const SIDE: i128 = 6_800;
const MOST: i128 = 9_600;
const RUNS: u128 = 40;
/// No foot is drawn longer.
const MOST_A_FOOT: i128 = 420;
/// Around the house, for words.
const MARGIN: Dot = Dot { x: 900, y: 520 };

/// The projection of one map.
pub(super) struct Projection {
    /// Nanometres in a tenth of a point.
    per: i128,
    top: i128,
    /// How far each part of the map is moved to the right.
    parts: Vec<i128>,
    pub(super) width: i64,
    pub(super) height: i64,
}

impl Projection {
    /// The projection of a map and of further points of it; nothing where no run of it has a way.
    pub(super) fn of(map: &Map, further: &[(u32, Point)]) -> Option<Self> {
        let ways: Vec<&Way> = map.runs.iter().filter_map(|run| run.way.as_ref()).collect();
        let count = ways.iter().map(|way| way.part as usize + 1).max()?;
        let mut sides: Vec<Option<(i128, i128)>> = vec![None; count];
        let (mut top, mut bottom) = (i128::MAX, i128::MIN);
        let mut legs: Vec<i128> = Vec::new();
        let points = ways.iter().flat_map(|way| way.points().map(|point| (way.part, point)));
        for (part, point) in points.chain(further.iter().copied()) {
            let (x, y) = flat(point);
            let (left, right) = sides[part as usize].unwrap_or((x, x));
            sides[part as usize] = Some((left.min(x), right.max(x)));
            (top, bottom) = (top.min(y), bottom.max(y));
        }
        for way in &ways {
            let flats: Vec<Flat> = way.points().map(flat).collect();
            legs.extend(flats.windows(2).map(|leg| {
                let (right, down) = (leg[1].0 - leg[0].0, leg[1].1 - leg[0].1);
                right.abs().max(down.abs())
            }));
        }
        legs.sort_unstable();
        let middle = legs.get(legs.len() / 2).copied().unwrap_or(0);
        // Parts that have nothing to do with each other stand side by side.
        let gap = i128::from(8 * LengthUnit::Foot.nanometres());
        let mut at = 0;
        let mut parts = Vec::new();
        for (left, right) in sides.iter().map(|side| side.unwrap_or_default()) {
            parts.push(at - left);
            at += right - left + gap;
        }
        let (across, down) = ((at - gap).max(1), (bottom - top).max(1));
        let longest = across.max(down);
        let more = i128::try_from((ways.len() as u128 * 10_000 / RUNS).isqrt()).unwrap_or(100).max(100);
        let per = (middle / MIDDLE_LEG).min(longest / SIDE).max(longest * 100 / (MOST * more));
        let per = per.max(i128::from(LengthUnit::Foot.nanometres()) / MOST_A_FOOT).max(1);
        let [width, height] = [across, down].map(|side| i64::try_from(side / per).unwrap_or(i64::MAX / 4));
        Some(Self { per, top, parts, width: width + 2 * MARGIN.x, height: height + 2 * MARGIN.y })
    }

    /// Where a point of a part of the map is drawn.
    pub(super) fn dot(&self, part: u32, point: Point) -> Dot {
        let (x, y) = flat(point);
        let right = self.parts.get(part as usize).copied().unwrap_or(0);
        let on_paper = |nanometres: i128| i64::try_from(nanometres.div_euclid(self.per)).unwrap_or(0);
        Dot::at(MARGIN.x + on_paper(x + right), MARGIN.y + on_paper(y - self.top))
    }

    /// How long a length is drawn to the east or up.
    pub(super) fn drawn(&self, nanometres: i64) -> i64 {
        i64::try_from(i128::from(nanometres) / self.per).unwrap_or(0)
    }
}

/// A length that people read well, in a unit, of which so many tenths of a point hold one at the least; and how long it is
/// drawn.
pub(super) fn readable(unit: LengthUnit, least: i64, drawn: impl Fn(i64) -> i64) -> (i64, i64) {
    let steps = (0..10).map(|power| 10_i64.pow(power)).flat_map(|ten| [ten, 2 * ten, 5 * ten]);
    let all = steps.map(|count| (count, drawn(count.saturating_mul(unit.nanometres())).max(1)));
    let mut longest = (1, 1);
    for one in all {
        longest = one;
        if one.1 >= least {
            break;
        }
    }
    longest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_bearings_lie_in_one_direction_on_paper() {
        let foot = 100_000_000;
        let aslant = 70_710_678;
        let bearings = [
            (0, foot, 0),
            (aslant, aslant, 0),
            (foot, 0, 0),
            (aslant, -aslant, 0),
            (0, -foot, 0),
            (-aslant, -aslant, 0),
            (-foot, 0, 0),
            (-aslant, aslant, 0),
            (0, 0, foot),
            (0, 0, -foot),
        ];
        let drawn = bearings.map(|(east, north, up)| flat(Point { east, north, up }));
        for (at, one) in drawn.iter().enumerate() {
            for other in &drawn[..at] {
                let (cross, along) = (one.0 * other.1 - one.1 * other.0, one.0 * other.0 + one.1 * other.1);
                let lengths = (one.0.pow(2) + one.1.pow(2)) * (other.0.pow(2) + other.1.pow(2));
                // At least thirteen degrees apart: the square of the sine is a twentieth.
                assert!(along < 0 || cross.pow(2) * 20 > lengths, "{one:?} {other:?}");
            }
        }
    }
}
