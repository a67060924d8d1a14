//! Where words and arrows may stand to a line.

use super::super::svg::Dot;
use crate::trade::{Run, Service};

/// Its legs, the longest first.
pub(super) fn longest_legs(dots: &[Dot]) -> Vec<(Dot, Dot)> {
    let mut legs: Vec<(Dot, Dot)> = dots.windows(2).map(|leg| (leg[0], leg[1])).collect();
    legs.sort_by_key(|(from, to)| std::cmp::Reverse(from.far_from(*to)));
    legs
}

/// Spots for words so wide and high beside the longest legs of a line so thick, on both sides of it.
pub(super) fn beside_legs(dots: &[Dot], (wide, high): (i64, i64), thick: i64) -> Vec<Dot> {
    let mut spots = Vec::new();
    for (from, to) in longest_legs(dots).into_iter().take(3) {
        let far = from.far_from(to).max(1);
        let aside =
            ((to.y - from.y).abs() * wide + (to.x - from.x).abs() * high) / (2 * far) + thick / 2 + 14;
        for part in [4, 2, 6, 3, 5, 1, 7] {
            let along = far * part / 8;
            // Above a line to the east, to the right of one that goes up.
            let first = if to.x >= from.x { -aside } else { aside };
            spots.extend([from.toward(to, along, first), from.toward(to, along, -first)]);
        }
    }
    spots
}

/// Spots for words so wide and high around a spot, nearer ones first.
pub(super) fn around(dot: Dot, (wide, high): (i64, i64), gaps: &[i64]) -> Vec<Dot> {
    let mut spots = Vec::new();
    for gap in gaps {
        let (right, down) = (wide / 2 + gap, high / 2 + gap);
        let aside = gap * 2 / 3;
        spots.extend(
            [
                (right, 0),
                (-right, 0),
                (0, -down),
                (0, down),
                (right - gap / 3, -aside - high / 2),
                (right - gap / 3, aside + high / 2),
                (gap / 3 - right, -aside - high / 2),
                (gap / 3 - right, aside + high / 2),
            ]
            .map(|(x, y)| dot.by(x, y)),
        );
    }
    spots
}

/// The arrow of a run in the middle of its longest leg: where water goes, where waste goes, where air goes.
pub(super) fn arrow(run: &Run, dots: &[Dot], width: i64) -> Option<[Dot; 3]> {
    let (from, to) = longest_legs(dots).first().copied()?;
    let (from, to) = if run.service == Service::Drain { (to, from) } else { (from, to) };
    let (far, half) = (from.far_from(to), width / 2 + 40);
    (far > 260).then(|| {
        let middle = far / 2;
        [
            from.toward(to, middle + half + 30, 0),
            from.toward(to, middle - half, half),
            from.toward(to, middle - half, -half),
        ]
    })
}
