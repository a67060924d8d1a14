//! What stands for places, and a part of the page that is drawn.

use super::svg::{Dot, Svg};
use crate::estimate::map::MappedPlace;

/// A part of the page: what is drawn, and how wide and high.
pub(super) struct Part {
    pub(super) svg: Svg,
    pub(super) width: i64,
    pub(super) height: i64,
}

/// What stands for a place: a square; a diamond for the main, a point down for the sewer, a point up for the roof.
pub(super) fn symbol(svg: &mut Svg, place: &MappedPlace, at: Dot) {
    const HALF: i64 = 44;
    let corners: &[(i64, i64)] = match (place.is_roof, place.always, place.name.starts_with(['m', 'M'])) {
        (true, _, _) => &[(0, -90), (70, 30), (-70, 30)],
        (false, true, true) => &[(0, -80), (80, 0), (0, 80), (-80, 0)],
        (false, true, false) => &[(-80, -50), (80, -50), (0, 80)],
        (false, false, _) => &[(-HALF, -HALF), (HALF, -HALF), (HALF, HALF), (-HALF, HALF)],
    };
    let corners: Vec<Dot> = corners.iter().map(|(x, y)| at.by(*x, *y)).collect();
    svg.shape("place", &corners);
}
