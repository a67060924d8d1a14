//! Plans laid over each other: water begins at the main, drains at the sewer, and the places that both reach say how the
//! two lie. The middle of all their gaps counts, so that one wrong bearing moves its own run and not the house.

use std::collections::VecDeque;

use rustc_hash::FxHashMap;

use super::Place;
use super::plan::{Point, Way};
use crate::estimate::{RunEnd, RunId};
use crate::ground::Length;

/// How a plan lies over the others.
#[derive(Debug, Clone, Copy, Default)]
pub(in crate::estimate) struct Shift {
    /// Which of the parts of a house that have nothing to do with each other it is in.
    pub(in crate::estimate) part: u32,
    /// What is added to its points.
    pub(in crate::estimate) by: Point,
}

/// Lays plans over each other by the places that they reach; those that share none are parts of their own. The plan of most
/// runs stays where it is.
pub(in crate::estimate) fn lay_over(
    ways: &[Option<Way>],
    met: &[Vec<(RunId, RunEnd)>],
    places: &[Place],
) -> Vec<Shift> {
    let plans = ways.iter().flatten().map(|way| way.plan as usize + 1).max().unwrap_or(0);
    let mut sizes = vec![0_usize; plans];
    ways.iter().flatten().for_each(|way| sizes[way.plan as usize] += 1);
    // The places of each plan, and the points at which it reaches them.
    let mut reached: Vec<Vec<(usize, Point)>> = vec![Vec::new(); plans];
    let mut reaching: Vec<Vec<usize>> = vec![Vec::new(); met.len()];
    for (place, met) in met.iter().enumerate().filter(|(place, _)| !places[*place].always) {
        for (id, end) in met {
            let Some(way) = &ways[id.index()] else { continue };
            let point = match end {
                RunEnd::Start => way.point_at(Length::ZERO),
                RunEnd::End => way.end(),
            };
            reached[way.plan as usize].push((place, point));
            reaching[place].push(way.plan as usize);
        }
    }
    let mut order: Vec<usize> = (0..plans).collect();
    order.sort_by_key(|plan| (std::cmp::Reverse(sizes[*plan]), *plan));
    let mut shifts: Vec<Option<Shift>> = vec![None; plans];
    let mut part = 0;
    for first in order {
        if shifts[first].is_some() || sizes[first] == 0 {
            continue;
        }
        shifts[first] = Some(Shift { part, by: Point::default() });
        let mut there: FxHashMap<usize, Point> = FxHashMap::default();
        let mut waits = VecDeque::from([first]);
        while let Some(plan) = waits.pop_front() {
            let shift = shifts[plan].map(|shift| shift.by).unwrap_or_default();
            for (place, point) in &reached[plan] {
                there.entry(*place).or_insert_with(|| point.plus(shift));
            }
            for place in reached[plan].iter().map(|(place, _)| *place) {
                for other in std::mem::take(&mut reaching[place]) {
                    if shifts[other].is_none() {
                        let gaps = reached[other].iter();
                        let gaps = gaps.filter_map(|(place, point)| Some(there.get(place)?.less(*point)));
                        shifts[other] = Some(Shift { part, by: middle(gaps.collect()) });
                        waits.push_back(other);
                    }
                }
            }
        }
        part += 1;
    }
    shifts.into_iter().map(Option::unwrap_or_default).collect()
}

/// The middle of some gaps, each direction by itself.
fn middle(gaps: Vec<Point>) -> Point {
    let of = |side: fn(&Point) -> i64| {
        let mut all: Vec<i64> = gaps.iter().map(side).collect();
        all.sort_unstable();
        all.get(all.len().saturating_sub(1) / 2).copied().unwrap_or(0)
    };
    Point { east: of(|gap| gap.east), north: of(|gap| gap.north), up: of(|gap| gap.up) }
}
