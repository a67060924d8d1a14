//! Pieces of tube: what of several runs is one piece, and what is too long for one stick (rules 8, 11 and 12).

use super::super::takeoff::{Because, PartOf, Piece};
use super::sheet::{Owner, Sheet};
use crate::estimate::{ItemId, RunId};
use crate::ground::Length;
use crate::trade::{Seam, SystemId, UsedAs, Word};

/// A part of a piece, inside one run.
#[derive(Debug, Clone, Copy)]
pub(super) struct Segment {
    pub(super) item: ItemId,
    pub(super) length: Length,
    pub(super) run: RunId,
    pub(super) copies: u32,
    pub(super) no_joint: bool,
    pub(super) owner: Owner,
}

/// Segments, some of them joined across seams.
#[derive(Debug, Default)]
pub(super) struct Segments {
    list: Vec<Segment>,
    /// The segment whose run the piece belongs to; each leads to its head.
    head: Vec<u32>,
}

impl Segments {
    /// Adds a segment and gives its number.
    pub(super) fn add(&mut self, segment: Segment) -> u32 {
        let number = u32::try_from(self.list.len()).unwrap_or(u32::MAX);
        self.list.push(segment);
        self.head.push(number);
        number
    }

    /// Makes a segment longer, or shorter while something is left of it, and gives its tube.
    pub(super) fn lengthen(&mut self, number: u32, more: Length) -> Option<ItemId> {
        let segment = self.list.get_mut(number as usize)?;
        segment.length = segment.length.checked_add(more).filter(|length| *length > Length::ZERO)?;
        Some(segment.item)
    }

    /// Joins two segments into one piece; it belongs to the first one's run.
    pub(super) fn join(&mut self, first: u32, second: u32) {
        let (a, b) = (self.find(first), self.find(second));
        if a != b {
            self.head[b as usize] = a;
        }
    }

    fn find(&mut self, from: u32) -> u32 {
        let mut top = from;
        while self.head[top as usize] != top {
            top = self.head[top as usize];
        }
        // Each visit shortens the way for the next: a chain of 20,000 runs is walked once.
        let mut at = from;
        while self.head[at as usize] != top {
            at = std::mem::replace(&mut self.head[at as usize], top);
        }
        top
    }

    /// Writes all pieces on the sheet, in the order of their heads.
    pub(super) fn write(mut self, sheet: &mut Sheet<'_, '_>) {
        let mut lengths = vec![Length::ZERO; self.list.len()];
        for number in 0..self.list.len() {
            let head = self.find(u32::try_from(number).unwrap_or(u32::MAX)) as usize;
            lengths[head] = lengths[head].checked_add(self.list[number].length).unwrap_or(Length::LONGEST);
        }
        for (number, segment) in self.list.iter().enumerate() {
            if self.head[number] as usize == number {
                let Segment { item, run, copies, no_joint, owner, .. } = *segment;
                split(
                    sheet,
                    Piece { item, length: lengths[number], run, copies, no_joint, part: PartOf::Itself },
                    owner,
                );
            }
        }
    }
}

/// Rule 11: a piece longer than the stock length is split into whole lengths and a rest, and coupled.
pub(super) fn split(sheet: &mut Sheet<'_, '_>, piece: Piece, owner: Owner) {
    let item = *sheet.item_of(piece.item);
    let (Some(system), [size]) = (item.system, item.sizes.as_slice()) else { return };
    let stock = sheet.job.catalog.system(system).stock_length.map(Length::nanometres);
    let whole = match stock {
        Some(stock) if stock > 0 && !piece.no_joint => (piece.length.nanometres() - 1).max(0) / stock,
        Some(_) | None => 0,
    };
    let rest = piece.length.nanometres() - whole * stock.unwrap_or(0);
    if whole > 0 {
        let length = Length::from_nanometres(stock.unwrap_or(0));
        let copies = u32::try_from(whole.saturating_mul(i64::from(piece.copies))).unwrap_or(u32::MAX);
        sheet.piece(Piece { length, copies, part: PartOf::Lengths, ..piece });
        couple(sheet, piece.run, owner, system, *size, whole, Because::Split);
    }
    let part = if whole > 0 { PartOf::Rest(piece.length) } else { PartOf::Itself };
    sheet.piece(Piece { length: Length::from_nanometres(rest), part, ..piece });
}

/// Couplings in a run, with their joints; in a system whose ends are joined without a part the joints alone.
pub(super) fn couple(
    sheet: &mut Sheet<'_, '_>,
    run: RunId,
    owner: Owner,
    system: SystemId,
    size: Word,
    n: i64,
    because: Because,
) {
    if sheet.job.catalog.system(system).seam == Seam::Joint {
        sheet.seams(owner, system, size, n, because);
    } else if let Some(part) = sheet.used(run, system, UsedAs::Coupling, "coupling") {
        sheet.part(owner, part, system, &[size, size], n, because);
        sheet.joints(owner, system, system, size, 2 * n, because);
    }
}
