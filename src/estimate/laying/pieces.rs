//! Pieces of tube: what of several runs is one piece, and what is too long for one stick (rules 8, 11 and 12).

use super::super::takeoff::{Because, PartOf, Piece};
use super::findings;
use super::sheet::{Owner, Sheet};
use crate::estimate::{CutLength, ItemId, Opening, PieceEnd, RunEnd, RunId};
use crate::ground::Length;
use crate::trade::{Seam, SystemId, UsedAs, Word};
use rustc_hash::FxHashMap;

/// A part of a piece, inside one run.
#[derive(Debug, Clone, Copy)]
pub(super) struct Segment {
    pub(super) item: ItemId,
    pub(super) length: Length,
    pub(super) run: RunId,
    pub(super) copies: u32,
    pub(super) no_joint: bool,
    pub(super) owner: Owner,
    /// Whether nobody said where the fittings of its run stand.
    pub(super) is_unplaced: bool,
}

/// One end of a segment: its number, and which end.
pub(super) type SegmentEnd = (u32, RunEnd);

/// What is known of an end of a segment.
#[derive(Debug, Clone, Copy, Default)]
struct OnEnd {
    stands: PieceEnd,
    /// The tube goes on there: it is no end of a piece.
    goes_on: bool,
    /// Parts stand on it that the meeting joins: what it stands in is not known.
    is_built_on: bool,
}

/// Segments, some of them joined across seams.
#[derive(Debug, Default)]
pub(super) struct Segments {
    list: Vec<Segment>,
    /// The segment whose run the piece belongs to; each leads to its head.
    head: Vec<u32>,
    /// What stands on the beginning and the end of each.
    ends: Vec<[OnEnd; 2]>,
}

impl Segments {
    /// Adds a segment and gives its number.
    pub(super) fn add(&mut self, segment: Segment) -> u32 {
        let number = u32::try_from(self.list.len()).unwrap_or(u32::MAX);
        self.list.push(segment);
        self.head.push(number);
        self.ends.push([OnEnd::default(); 2]);
        number
    }

    /// Takes down what an end of a segment stands in.
    pub(super) fn stand(&mut self, end: SegmentEnd, stands: PieceEnd) {
        if let Some(on) = self.on_end(end).filter(|on| !on.is_built_on) {
            on.stands = stands;
        }
    }

    /// Takes down that parts stand on an end which a run then meets: what it stands in stays unknown.
    pub(super) fn build_on(&mut self, end: SegmentEnd) {
        if let Some(on) = self.on_end(end) {
            *on = OnEnd { is_built_on: true, ..OnEnd::default() };
        }
    }

    /// Takes down that the tube goes on from one end to another: there is no end of a piece.
    pub(super) fn go_on(&mut self, ends: [SegmentEnd; 2]) {
        for end in ends {
            if let Some(on) = self.on_end(end) {
                on.goes_on = true;
            }
        }
    }

    fn on_end(&mut self, (number, end): SegmentEnd) -> Option<&mut OnEnd> {
        Some(&mut self.ends.get_mut(number as usize)?[usize::from(end == RunEnd::End)])
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
        let mut cuts = vec![CutLength::default(); self.list.len()];
        for number in 0..self.list.len() {
            let head = self.find(u32::try_from(number).unwrap_or(u32::MAX)) as usize;
            lengths[head] = lengths[head].checked_add(self.list[number].length).unwrap_or(Length::LONGEST);
            cuts[head].is_unplaced |= self.list[number].is_unplaced;
        }
        if !sheet.job.catalog.take_outs.is_empty() {
            self.take_out(sheet, &mut cuts);
        }
        for (number, segment) in self.list.iter().enumerate() {
            if self.head[number] as usize == number {
                let Segment { item, run, copies, no_joint, owner, .. } = *segment;
                let (length, part) = (lengths[number], PartOf::Itself);
                let cut = as_cut(sheet, run, length, cuts[number]);
                split(sheet, Piece { item, length, run, copies, no_joint, part, cut }, owner);
            }
        }
    }
}

impl Segments {
    /// What stands on both ends of every piece, with the rows that speak of it. An end of the head comes first: there the
    /// run of the piece begins.
    fn take_out(&self, sheet: &Sheet<'_, '_>, cuts: &mut [CutLength]) {
        let mut take_outs = TakeOuts::default();
        let mut found = vec![0_usize; self.list.len()];
        for of_head in [true, false] {
            for (number, ends) in self.ends.iter().enumerate() {
                let head = self.head[number] as usize;
                for on in ends.iter().filter(|on| !on.goes_on && (head == number) == of_head) {
                    if let Some(end) = cuts[head].ends.get_mut(found[head]) {
                        *end = take_outs.spoken_of(sheet, on.stands);
                        found[head] += 1;
                    }
                }
            }
        }
    }
}

/// Which rows of the table `take-outs` speak of openings, each asked for once.
#[derive(Default)]
struct TakeOuts {
    rows: FxHashMap<Opening, Option<u32>>,
}

impl TakeOuts {
    fn spoken_of(&mut self, sheet: &Sheet<'_, '_>, stands: PieceEnd) -> PieceEnd {
        let PieceEnd::NotKnown(Some(of)) = stands else { return stands };
        let row = self.rows.entry(of).or_insert_with(|| {
            sheet.job.catalog.take_out(of.part, (of.system, of.size), of.way, of.fitting.as_slice())
        });
        row.map_or(stands, |row| PieceEnd::TakesOut(of, row))
    }
}

/// The length of a piece as it is cut, where both ends say what they take out and something is left.
fn as_cut(sheet: &mut Sheet<'_, '_>, run: RunId, length: Length, cut: CutLength) -> CutLength {
    let [one, two] = cut.ends.map(|end| end.take_out(&sheet.job.catalog));
    let taken = one.zip(two).and_then(|(one, two)| one.checked_add(two));
    let left = taken.and_then(|taken| length.checked_sub(taken));
    if left.is_some_and(|left| left <= Length::ZERO) {
        let notice = findings::nothing_left(sheet.job, run, length, &cut.ends);
        sheet.warn(notice);
    }
    CutLength { as_cut: left.filter(|left| *left > Length::ZERO), ..cut }
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
