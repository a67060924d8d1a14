//! Points along one run where its tube is cut: each stands as written, or takes the next free point onward by least
//! pieces, or back from the end (rule 4 of counting). No piece has length zero.

use crate::ground::Length;

/// The points of one run, sorted.
#[derive(Debug, Clone)]
pub(super) struct Points {
    taken: Vec<i64>,
    /// Points stand behind this one: the beginning, or the transition near it.
    after: i64,
    /// Points stand before this one: the end, or the transition near it.
    before: i64,
    least: i64,
}

impl Points {
    /// The points of a run, none yet.
    pub(super) fn new(length: Length, least: Length) -> Self {
        Self { taken: Vec::new(), after: 0, before: length.nanometres(), least: least.nanometres().max(1) }
    }

    /// A transition this far inside the beginning: what would stand before it goes behind it.
    pub(super) fn lead_in(&mut self, lead: Length) -> bool {
        let at = lead.nanometres();
        let room = at < self.before;
        (self.after, _) = (at, self.take(at));
        room
    }

    /// A transition this far inside the end.
    pub(super) fn lead_out(&mut self, lead: Length) -> bool {
        let at = self.before - lead.nanometres();
        let room = at > self.after;
        (self.before, _) = (at, self.take(at));
        room
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
        while at < self.before {
            if self.take(at) {
                return Some(Length::from_nanometres(at));
            }
            at += self.least;
        }
        at = self.before - self.least;
        while at > self.after {
            if self.take(at) {
                return Some(Length::from_nanometres(at));
            }
            at -= self.least;
        }
        None
    }

    /// The distance from a point to its nearest neighbour or end is below the least piece.
    pub(super) fn is_close(&self, at: Length, length: Length) -> bool {
        let at = at.nanometres();
        let index = self.taken.partition_point(|p| *p < at);
        let below = index.checked_sub(1).and_then(|i| self.taken.get(i)).copied().unwrap_or(0);
        let above = self.taken.get(index + 1).copied().unwrap_or(length.nanometres());
        at - below < self.least || above - at < self.least
    }

    /// All points in order.
    pub(super) fn all(&self) -> impl Iterator<Item = Length> {
        self.taken.iter().map(|at| Length::from_nanometres(*at))
    }

    fn is_inside(&self, at: i64) -> bool {
        self.after < at && at < self.before
    }

    fn take(&mut self, at: i64) -> bool {
        match self.taken.binary_search(&at) {
            Ok(_) => false,
            Err(index) => {
                self.taken.insert(index, at);
                true
            }
        }
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

    #[test]
    fn nothing_stands_before_a_transition() {
        let mut points = Points::new(inches(20), inches(2));
        assert!(points.lead_in(inches(2)));
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
