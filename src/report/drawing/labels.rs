//! Where words stand in a picture so that no two stand on each other and few lines run through them: each takes the best of its
//! candidates that is free. Looked up in a grid, so that thousands take no longer than their number.

use rustc_hash::FxHashMap;

use super::svg::Dot;

/// An upright box.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Area {
    pub(super) left: i64,
    pub(super) top: i64,
    pub(super) right: i64,
    pub(super) bottom: i64,
}

impl Area {
    /// The box of words so wide and high around a spot.
    pub(super) const fn around(at: Dot, wide: i64, high: i64) -> Self {
        Self { left: at.x - wide / 2, top: at.y - high / 2, right: at.x + wide / 2, bottom: at.y + high / 2 }
    }

    const fn meets(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    const fn is_inside(&self, other: &Self) -> bool {
        self.left >= other.left
            && self.right <= other.right
            && self.top >= other.top
            && self.bottom <= other.bottom
    }

    /// Whether a straight line runs through it.
    fn is_crossed(&self, (from, to): (Dot, Dot)) -> bool {
        let around = Self {
            left: from.x.min(to.x) - 1,
            top: from.y.min(to.y) - 1,
            right: from.x.max(to.x) + 1,
            bottom: from.y.max(to.y) + 1,
        };
        let side = |x: i64, y: i64| {
            i128::from(to.x - from.x) * i128::from(y - from.y)
                - i128::from(to.y - from.y) * i128::from(x - from.x)
        };
        let corners = [
            side(self.left, self.top),
            side(self.right, self.top),
            side(self.left, self.bottom),
            side(self.right, self.bottom),
        ];
        self.meets(&around) && !corners.iter().all(|one| *one > 0) && !corners.iter().all(|one| *one < 0)
    }
}

/// What is taken in a picture.
pub(super) struct Labels {
    within: Area,
    boxes: Vec<Area>,
    lines: Vec<(Dot, Dot)>,
    in_cell: FxHashMap<(i64, i64), Cell>,
}

#[derive(Default)]
struct Cell {
    boxes: Vec<u32>,
    lines: Vec<u32>,
}

/// The side of a cell of the grid.
const CELL: i64 = 400;

/// The most cells that one line is looked up in.
const STEPS: i64 = 300;

fn index(length: usize) -> u32 {
    u32::try_from(length).unwrap_or(u32::MAX)
}

impl Labels {
    /// Nothing is taken yet.
    pub(super) fn within(within: Area) -> Self {
        Self { within, boxes: Vec::new(), lines: Vec::new(), in_cell: FxHashMap::default() }
    }

    fn cells(of: &Area) -> impl Iterator<Item = (i64, i64)> + use<> {
        let (rows, columns) = (
            of.top.div_euclid(CELL)..=of.bottom.div_euclid(CELL),
            of.left.div_euclid(CELL)..=of.right.div_euclid(CELL),
        );
        rows.flat_map(move |row| columns.clone().map(move |column| (column, row)))
    }

    /// A straight line that words should not stand on.
    pub(super) fn line(&mut self, from: Dot, to: Dot) {
        let at = index(self.lines.len());
        self.lines.push((from, to));
        // The cells along it, step by step.
        let steps = (from.far_from(to) / (CELL / 2) + 1).min(STEPS);
        let mut before = None;
        for step in 0..=steps {
            let dot = from.part_of_way(to, step, steps);
            let cell = (dot.x.div_euclid(CELL), dot.y.div_euclid(CELL));
            if before != Some(cell) {
                self.in_cell.entry(cell).or_default().lines.push(at);
                before = Some(cell);
            }
        }
    }

    /// Takes a box, whatever stands there.
    pub(super) fn take(&mut self, area: Area) {
        let at = index(self.boxes.len());
        self.boxes.push(area);
        for cell in Self::cells(&area) {
            self.in_cell.entry(cell).or_default().boxes.push(at);
        }
    }

    /// Whether words may stand there, and how many lines would run through them.
    fn crossed(&self, area: &Area) -> Option<usize> {
        let mut lines: Vec<u32> = Vec::new();
        for cell in Self::cells(area).filter_map(|cell| self.in_cell.get(&cell)) {
            if cell.boxes.iter().any(|at| self.boxes[*at as usize].meets(area)) {
                return None;
            }
            lines.extend(cell.lines.iter().filter(|at| area.is_crossed(self.lines[**at as usize])));
        }
        lines.sort_unstable();
        lines.dedup();
        area.is_inside(&self.within).then_some(lines.len())
    }

    /// Takes the first of the boxes that fewest lines run through, at most so many; gives which. Nothing where none is free.
    pub(super) fn best(&mut self, boxes: &[Area], most: usize) -> Option<usize> {
        let mut best: Option<(usize, usize)> = None;
        for (at, area) in boxes.iter().enumerate() {
            let Some(crossed) = self.crossed(area).filter(|crossed| *crossed <= most) else { continue };
            if best.is_none_or(|(least, _)| crossed < least) {
                best = Some((crossed, at));
            }
            if crossed == 0 {
                break;
            }
        }
        let (_, at) = best?;
        self.take(boxes[at]);
        Some(at)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALL: Area = Area { left: 0, top: 0, right: 5_000, bottom: 5_000 };

    #[test]
    fn no_two_stand_on_each_other_and_few_on_a_line() {
        let mut labels = Labels::within(ALL);
        labels.line(Dot::at(0, 0), Dot::at(4_000, 4_000));
        let on_line = Area::around(Dot::at(1_000, 1_000), 400, 100);
        let beside = Area::around(Dot::at(1_500, 1_000), 400, 100);
        assert_eq!(labels.best(&[on_line, beside], 9), Some(1));
        assert_eq!(labels.best(&[beside, on_line], 9), Some(1), "the one beside is taken");
        assert_eq!(labels.best(&[beside, on_line], 9), None);
        let outside = Area::around(Dot::at(10, 3_000), 400, 100);
        assert_eq!(labels.best(&[outside], 9), None);
        let crossed = Area::around(Dot::at(3_000, 3_000), 400, 100);
        assert_eq!(labels.best(&[crossed], 0), None);
    }

    #[test]
    fn a_line_that_passes_a_corner_crosses_nothing() {
        let area = Area::around(Dot::at(500, 500), 100, 100);
        assert!(area.is_crossed((Dot::at(0, 500), Dot::at(1_000, 500))));
        assert!(area.is_crossed((Dot::at(500, 500), Dot::at(510, 510))));
        assert!(!area.is_crossed((Dot::at(0, 1_000), Dot::at(400, 500))));
        assert!(!area.is_crossed((Dot::at(430, 800), Dot::at(800, 430))));
    }
}
