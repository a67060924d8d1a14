//! Points along one run where its tube is cut: each stands as written, or takes the next free point onward by least
//! pieces, or back from the end (rule 4 of counting). No piece has length zero.

use std::collections::BTreeMap;

use super::super::network::Child;
use crate::estimate::PieceEnd;
use crate::ground::Length;

/// What stands at a point.
#[derive(Debug, Clone, Copy)]
pub(super) enum Stands {
    /// A fitting: what the piece before it ends in, and what the one behind it begins in.
    Fitting([PieceEnd; 2]),
    /// The fitting in which a child ties in; which one is known when all runs are laid.
    Tap(Child),
}

/// The points of one run.
#[derive(Debug, Clone)]
pub(super) struct Points {
    /// Each point that is taken, with one to look at instead: onward, and back. All between are taken too, so that
    /// thousands that are written at one point are not gone through again for each.
    taken: BTreeMap<i64, [i64; 2]>,
    /// Points stand behind this one: the beginning, or the transition near it.
    after: i64,
    /// Points stand before this one: the end, or the transition near it.
    before: i64,
    least: i64,
    /// What stands at them, as far as it is known.
    stands: BTreeMap<i64, Stands>,
    /// Whether some of them are spread evenly, because nobody said where they are.
    pub(super) is_unplaced: bool,
}

/// Which way a free point is looked for.
#[derive(Clone, Copy)]
enum Way {
    Onward,
    Back,
}

impl Points {
    /// The points of a run, none yet.
    pub(super) fn new(length: Length, least: Length) -> Self {
        let least = least.nanometres().max(1);
        let (taken, stands) = (BTreeMap::new(), BTreeMap::new());
        Self { taken, after: 0, before: length.nanometres(), least, stands, is_unplaced: false }
    }

    /// A transition this far inside the beginning: what would stand before it goes behind it. Where it stands, if there
    /// is room.
    pub(super) fn lead_in(&mut self, lead: Length) -> Option<Length> {
        let at = lead.nanometres();
        let room = at < self.before;
        (self.after, _) = (at, self.take(at));
        room.then_some(lead)
    }

    /// A transition this far inside the end.
    pub(super) fn lead_out(&mut self, lead: Length) -> Option<Length> {
        let at = self.before - lead.nanometres();
        let room = at > self.after;
        (self.before, _) = (at, self.take(at));
        room.then_some(Length::from_nanometres(at))
    }

    /// Takes down what stands at a point.
    pub(super) fn stand(&mut self, at: Length, what: Stands) {
        self.stands.insert(at.nanometres(), what);
    }

    /// A point that stands as written, if it stands inside and free.
    pub(super) fn place(&mut self, at: Length) -> bool {
        let at = at.nanometres();
        self.is_inside(at) && self.take(at)
    }

    /// The next free point from here on, or back from the end.
    pub(super) fn next_free(&mut self, from: Length) -> Option<Length> {
        let mut at = from.nanometres();
        if at <= self.after {
            at += ((self.after - at) / self.least + 1) * self.least;
        }
        at = self.free(at, Way::Onward);
        if at >= self.before {
            at = self.free(self.before - self.least, Way::Back);
        }
        (self.is_inside(at) && self.take(at)).then_some(Length::from_nanometres(at))
    }

    /// The first free point from one on.
    fn free(&mut self, mut at: i64, way: Way) -> i64 {
        let mut passed = Vec::new();
        while let Some(further) = self.taken.get(&at) {
            passed.push(at);
            at = further[way as usize];
        }
        for point in passed {
            if let Some(further) = self.taken.get_mut(&point) {
                further[way as usize] = at;
            }
        }
        at
    }

    /// The distance from a point to its nearest neighbour or end is below the least piece.
    pub(super) fn is_close(&self, at: Length, length: Length) -> bool {
        let at = at.nanometres();
        let below = self.taken.range(..at).next_back().map_or(0, |(point, _)| *point);
        let above = self.taken.range(at + 1..).next().map_or(length.nanometres(), |(point, _)| *point);
        at - below < self.least || above - at < self.least
    }

    /// All points in order, with what stands there.
    pub(super) fn all(&self) -> impl Iterator<Item = (Length, Stands)> {
        let nothing_known = Stands::Fitting([PieceEnd::default(); 2]);
        let stands = move |at| self.stands.get(at).copied().unwrap_or(nothing_known);
        self.taken.keys().map(move |at| (Length::from_nanometres(*at), stands(at)))
    }

    fn is_inside(&self, at: i64) -> bool {
        self.after < at && at < self.before
    }

    fn take(&mut self, at: i64) -> bool {
        let is_free = !self.taken.contains_key(&at);
        if is_free {
            self.taken.insert(at, [at + self.least, at - self.least]);
        }
        is_free
    }
}

/// Where the k-th of n things stands that part a run evenly: length x k / (n + 1), rounded down to the nanometre.
pub(super) fn evenly(length: Length, k: i64, n: i64) -> Length {
    let at = i128::from(length.nanometres()) * i128::from(k) / (i128::from(n) + 1);
    Length::from_nanometres(i64::try_from(at).unwrap_or(i64::MAX))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ground::LengthUnit::Inch;

    fn inches(n: i64) -> Length {
        Length::whole(n, Inch)
    }

    #[test]
    fn a_taken_point_gives_way_onward_and_then_back_from_the_end() {
        let mut points = Points::new(inches(10), inches(2));
        assert!(points.place(inches(6)));
        assert_eq!(points.next_free(inches(6)), Some(inches(8)));
        assert_eq!(points.next_free(inches(8)), Some(inches(4)));
        assert_eq!(points.next_free(inches(8)), Some(inches(2)));
        assert_eq!(points.next_free(inches(8)), None);
    }

    /// Gone through one by one again for each, they would not end within any test.
    #[test]
    fn a_hundred_thousand_taps_at_one_point_are_each_placed_at_once() {
        let many = 100_000;
        let mut points = Points::new(inches(many), inches(1));
        let placed = (0..2 * many).filter_map(|_| points.next_free(inches(50_000))).count();
        assert_eq!(placed, 99_999);
    }

    #[test]
    fn nothing_stands_before_a_transition() {
        let mut points = Points::new(inches(20), inches(2));
        assert_eq!(points.lead_in(inches(2)), Some(inches(2)));
        assert!(!points.place(inches(1)));
        assert_eq!(points.next_free(inches(1)), Some(inches(3)));
        assert_eq!(points.next_free(inches(2)), Some(inches(4)));
    }

    #[test]
    fn turns_part_a_run_evenly() {
        assert_eq!(evenly(inches(10), 1, 1), inches(5));
        assert_eq!(evenly(Length::from_nanometres(10), 1, 2).nanometres(), 3);
    }
}
