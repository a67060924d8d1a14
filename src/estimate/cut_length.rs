//! How a piece of tube is cut: what stands on each of its ends, and how much shorter than center to center that makes it.
//! Plain data; which row of the table `take-outs` speaks of an opening is the catalog's to say.

use super::item::Sizes;
use crate::ground::Length;
use crate::trade::{Catalog, PartId, SystemId, Way, Word};

/// An opening of a part that the end of a tube stands in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Opening {
    /// The part.
    pub part: PartId,
    /// The system whose opening it is.
    pub system: SystemId,
    /// Its size.
    pub size: Word,
    /// Which of the openings.
    pub way: Way,
    /// The sizes of all of them.
    pub fitting: Sizes,
}

/// What stands on an end of a piece of tube.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PieceEnd {
    /// A fitting that no row speaks of, or nothing that is known: several parts together, a fitting counted by eye.
    NotKnown(Option<Opening>),
    /// No fitting: the tube ends free, under a cap, against another tube, or is met on site. It takes out nothing.
    NoFitting,
    /// A fitting that a row of the table `take-outs` speaks of: its index in `Catalog::take_outs`.
    TakesOut(Opening, u32),
}

impl Default for PieceEnd {
    fn default() -> Self {
        Self::NotKnown(None)
    }
}

impl PieceEnd {
    /// What it takes out of the length center to center; nothing where that is not known.
    pub fn take_out(&self, catalog: &Catalog) -> Option<Length> {
        match self {
            Self::NotKnown(_) => None,
            Self::NoFitting => Some(Length::ZERO),
            Self::TakesOut(_, row) => catalog.take_outs.get(*row as usize).map(|row| row.take_out),
        }
    }

    /// The opening that the tube stands in.
    pub fn opening(&self) -> Option<&Opening> {
        match self {
            Self::NotKnown(opening) => opening.as_ref(),
            Self::TakesOut(opening, _) => Some(opening),
            Self::NoFitting => None,
        }
    }
}

/// How a piece of tube is cut. Of a piece that is parted at lengths on sale it speaks of the whole: its parts meet in the
/// middle of a coupling, which takes out nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct CutLength {
    /// Center to center less the take-outs of both ends; nothing where one of them is not known, or nothing would be left:
    /// then it is cut center to center.
    pub as_cut: Option<Length>,
    /// What stands on its ends: where its run begins, and the other.
    pub ends: [PieceEnd; 2],
    /// Whether nobody said where the fittings of its run stand (turns without a place, fittings counted by eye): lengths
    /// are right together, and each of them only by chance.
    pub is_unplaced: bool,
}

impl CutLength {
    /// What both ends take out; nothing where the piece is cut center to center.
    pub fn taken_out(&self, catalog: &Catalog) -> Option<Length> {
        self.as_cut?;
        let [one, two] = self.ends.map(|end| end.take_out(catalog));
        one?.checked_add(two?)
    }
}
