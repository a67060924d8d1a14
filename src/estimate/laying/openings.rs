//! What the ends of tube stand in, for the lengths as they are cut: openings of the fittings that the others of this folder
//! count. Nothing is counted here.

use super::Laying;
use super::pieces::SegmentEnd;
use super::sheet::Sheet;
use crate::estimate::item::Sizes;
use crate::estimate::network::Child;
use crate::estimate::{Opening, PieceEnd, RunEnd, RunId};
use crate::trade::{Catalog, PartId, SystemId, UsedAs, Way, Word};

/// One opening of a part, by its place among those that are open, with the sizes of all of them.
pub(super) fn opening(
    catalog: &Catalog,
    (part, at): (PartId, usize),
    (system, size): (SystemId, Word),
    sizes: &[Word],
) -> PieceEnd {
    let is_meeting = catalog.part(part).is_meeting();
    let way = if is_meeting && at > 1 { Way::Branch } else { Way::Run };
    PieceEnd::NotKnown(Some(Opening { part, system, size, way, fitting: Sizes::of(sizes, is_meeting) }))
}

/// Both openings of a fitting in line, of one system: what the tube on each side stands in.
pub(super) fn both_sides(
    catalog: &Catalog,
    part: Option<PartId>,
    system: SystemId,
    sizes: [Word; 2],
) -> [PieceEnd; 2] {
    let side = |at: usize| part.map(|part| opening(catalog, (part, at), (system, sizes[at]), &sizes));
    [0, 1].map(|at| side(at).unwrap_or_default())
}

/// Both openings of the part that a system has for a use, the larger size first where sizes differ.
pub(super) fn of_used(
    sheet: &Sheet<'_, '_>,
    system: SystemId,
    used: UsedAs,
    sizes: [Word; 2],
) -> [PieceEnd; 2] {
    both_sides(&sheet.job.catalog, sheet.tables.used(system, used), system, sizes)
}

/// Both openings of the fitting where two systems meet: for the tube of the first, and of the other.
pub(super) fn of_transition(
    sheet: &Sheet<'_, '_>,
    from: SystemId,
    to: SystemId,
    size: Word,
) -> [PieceEnd; 2] {
    let Some(fitting) = sheet.tables.transition(from, to) else { return [PieceEnd::default(); 2] };
    let catalog = &sheet.job.catalog;
    let side = |at, system| opening(catalog, (fitting.part, at), (system, size), &[size; 2]);
    [side(0, fitting.near), side(1, fitting.far)]
}

impl Laying<'_, '_> {
    /// The end of tube with which a child meets; nothing of a run that is not laid.
    pub(super) fn end_of_child(&self, child: Child) -> Option<SegmentEnd> {
        let laid = self.laid[child.run.index()]?;
        Some(match child.by {
            RunEnd::Start => (laid.first, RunEnd::Start),
            RunEnd::End => (laid.last, RunEnd::End),
        })
    }

    /// The end of tube with which a run ends.
    pub(super) fn end_of_parent(&self, parent: RunId) -> Option<SegmentEnd> {
        Some((self.laid[parent.index()]?.last, RunEnd::End))
    }

    /// The two ends of tube of a run at the point where a child ties in.
    pub(super) fn ends_at_tap(&self, child: Child) -> [Option<SegmentEnd>; 2] {
        match self.tapped.get(&child) {
            Some((before, after)) => [Some((*before, RunEnd::End)), Some((*after, RunEnd::Start))],
            None => [None; 2],
        }
    }

    /// Takes down what ends of tube stand in.
    pub(super) fn stand<const N: usize>(&mut self, ends: [Option<SegmentEnd>; N], stands: [PieceEnd; N]) {
        for (end, stands) in ends.into_iter().zip(stands) {
            if let Some(end) = end {
                self.segments.stand(end, stands);
            }
        }
    }
}
