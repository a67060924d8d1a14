//! Ids of what the run list names, low so that all stages may speak of runs without knowing the network.

use crate::trade::Per;

/// The id of a run: its index in `Job::runs`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RunId(pub u32);

/// The id of a place: its index in the places of the network.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PlaceId(pub u32);

impl RunId {
    /// The index in `Job::runs`.
    pub const fn index(self) -> usize {
        self.0 as usize
    }
}

impl PlaceId {
    /// The index in the places of the network.
    pub const fn index(self) -> usize {
        self.0 as usize
    }
}

/// Which end of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RunEnd {
    /// Its beginning.
    Start,
    /// Its end.
    End,
}

impl RunEnd {
    /// Whether a pattern row of that much stands at this end.
    pub const fn takes(self, per: Per) -> bool {
        match per {
            Per::Start => matches!(self, Self::Start),
            Per::End => matches!(self, Self::End),
            Per::Both => true,
            Per::Run
            | Per::Turn
            | Per::Bend
            | Per::Elbow
            | Per::Tap
            | Per::Place
            | Per::Length
            | Per::Column(_) => false,
        }
    }
}
