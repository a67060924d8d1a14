//! The run list: one length of pipe or tube of one size and service between two points a row.

use rust_decimal::Decimal;

use super::lexicon::Word;
use crate::ground::{Length, RowAt};

/// What flows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Service {
    /// Cold water.
    Cold,
    /// Hot water.
    Hot,
    /// Water after a mixing valve.
    Mixed,
    /// Hot recirculation on its way back.
    Return,
    /// Waste on its way out.
    Drain,
    /// Air of the drains.
    Vent,
}

impl Service {
    /// All of them in the order in which sheets list them.
    pub const ALL: [Self; 6] = [Self::Cold, Self::Hot, Self::Mixed, Self::Return, Self::Drain, Self::Vent];

    /// The word for it in every table.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Cold => "cold",
            Self::Hot => "hot",
            Self::Mixed => "mixed",
            Self::Return => "return",
            Self::Drain => "drain",
            Self::Vent => "vent",
        }
    }
}

/// When a thing is installed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Phase {
    /// Under the slab or in the ground.
    Underground,
    /// In the open framing.
    #[default]
    RoughIn,
    /// When the new piping is joined to the old.
    TieIn,
    /// When the fixtures are set.
    Trim,
}

impl Phase {
    /// All of them in the order in which they come.
    pub const ALL: [Self; 4] = [Self::Underground, Self::RoughIn, Self::TieIn, Self::Trim];

    /// The word for it in every table.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Underground => "underground",
            Self::RoughIn => "rough-in",
            Self::TieIn => "tie-in",
            Self::Trim => "trim",
        }
    }
}

/// What a run lies in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Lie {
    /// Framing: it hangs in the open and asks for supports.
    #[default]
    Framing,
    /// Under or in a slab: no spacing of supports; underground unless a phase is named.
    Slab,
    /// In the ground: as a slab.
    Ground,
}

/// A row of the run list.
#[derive(Debug, Clone)]
pub struct Run {
    /// Where it stands.
    pub row: RowAt,
    /// Its name as first written.
    pub name: Box<str>,
    /// Whether a cell of the row was misread or contradicts another: it is left out, and what joins it.
    pub in_error: bool,
    /// What flows in it.
    pub service: Service,
    /// Its size.
    pub size: Word,
    /// Its length, center to center.
    pub length: Length,
    /// The patterns it is built by, in the order written.
    pub patterns: Box<[Word]>,
    /// What it ties into, toward the main (a run or a place), as written.
    pub joins: Option<Box<str>>,
    /// How far along the parent it ties in; nothing is its end.
    pub at: Option<Length>,
    /// Whether its tee is a bull-head.
    pub bull: bool,
    /// The place it ends at (for a return: a place or a run), as written.
    pub to: Option<Box<str>>,
    /// How far along the run in `to` a return ties in; nothing is its end.
    pub to_at: Option<Length>,
    /// The smaller size of its tail; in a counted run the smaller size of its reducers.
    pub reduce_to: Option<Word>,
    /// The tail in that size, extra to `length`.
    pub tail: Option<Length>,
    /// 90-degree changes between its ends; nothing where the cell is empty.
    pub turns: Option<u32>,
    /// How many of them take an elbow even in a system that bends.
    pub turns_with_elbow: u32,
    /// Where they stand, if somebody said so: as many lengths as turns.
    pub turns_at: Box<[Length]>,
    /// Offsets: pairs of 45-degree changes.
    pub offsets: u32,
    /// How much of its length goes up (positive) or down.
    pub rise: Length,
    /// What it lies in.
    pub lie: Lie,
    /// Fall of a drain, as written.
    pub slope: Box<str>,
    /// The kind of the place it goes to or joins.
    pub fixture: Word,
    /// Floor of the house.
    pub level: Word,
    /// Room or part of the house.
    pub area: Word,
    /// How many such runs; nothing where the cell is empty.
    pub count: Option<u32>,
    /// A system of its own, kept in every alternative; the word as written.
    pub system: Word,
    /// A variant of its own (type M).
    pub variant: Word,
    /// The phase written; nothing where the cell is empty.
    pub phase: Option<Phase>,
    /// Whether it must be one length without a joint.
    pub no_joint: bool,
    /// A note, as written.
    pub note: Box<str>,
    /// Further columns that hold a number: heading and number.
    pub counts: Box<[(Word, Decimal)]>,
    /// All text cells that `only` may ask for beyond the fields above are found by [`Run::column`]: `lie` as written.
    pub lie_as_written: Word,
}

impl Run {
    /// When the run is installed: as written, else underground in slab or ground, else rough-in.
    pub fn phase(&self) -> Phase {
        match (self.phase, self.lie) {
            (Some(phase), _) => phase,
            (None, Lie::Slab | Lie::Ground) => Phase::Underground,
            (None, Lie::Framing) => Phase::RoughIn,
        }
    }

    /// How many such runs there are: an empty cell is one.
    pub fn copies(&self) -> u32 {
        self.count.unwrap_or(1)
    }

    /// The number of a further column, zero where it is empty.
    pub fn counted(&self, column: Word) -> Decimal {
        self.counts.iter().find(|(name, _)| *name == column).map_or(Decimal::ZERO, |(_, number)| *number)
    }
}
