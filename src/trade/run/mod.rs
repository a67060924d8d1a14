//! The run list: one length of pipe or tube of one size and service between two points a row. Its columns are one table in
//! `columns`; what a row says against itself is told by `check`. Places, which runs meet or serve, stand beside it.

use rust_decimal::Decimal;

use super::lexicon::Word;
use super::reading::{Reading, Row, Text};
use super::scope::Scope;
use super::shape::{table, words};
use crate::ground::SourceId;
use crate::table::TableFile;

mod cells;
mod check;
mod columns;
mod course;
mod further;
mod own;
mod path;
mod slope;

pub(crate) use check::if_a_vent_is_meant;
pub(super) use check::tail_not_smaller;
pub(super) use columns::RUNS;
pub use columns::{COLUMNS, Cell, Run, RunColumn};
pub use course::{Course, Met, Turned};
pub(super) use further::RunColumns;
pub(super) use own::OwnRow;
pub use path::{Angle, Attitude, Bearing, Change, Leg, Path};
pub use slope::Slope;

/// The open air over the roof.
pub const ROOF: &str = "roof";
/// The places that are always there.
pub const ALWAYS_THERE: [&str; 4] = ["main", "sewer", "septic", ROOF];

words! {
    /// Which side of the house.
    pub enum Side {
        /// Water in.
        Water = "water",
        /// Waste out.
        Drain = "drain",
    }
}

words! {
    /// What flows.
    #[derive(Default)]
    pub enum Service {
        /// Cold water.
        #[default]
        Cold = "cold",
        /// Hot water.
        Hot = "hot",
        /// Water after a mixing valve.
        Mixed = "mixed",
        /// Hot recirculation on its way back.
        Return = "return",
        /// Waste on its way out.
        Drain = "drain",
        /// Air of the drains.
        Vent = "vent",
    }
}

impl Service {
    /// Its side of the house.
    pub const fn side(self) -> Side {
        if self.is_water() { Side::Water } else { Side::Drain }
    }

    /// Whether it is water on its way in; drains and vents are the other side of the house.
    pub const fn is_water(self) -> bool {
        match self {
            Self::Cold | Self::Hot | Self::Mixed | Self::Return => true,
            Self::Drain | Self::Vent => false,
        }
    }
}

words! {
    /// When a thing is installed.
    #[derive(Default)]
    pub enum Phase {
        /// Under the slab or in the ground.
        Underground = "underground",
        /// In the open framing.
        #[default]
        RoughIn = "rough-in",
        /// When the new piping is joined to the old.
        TieIn = "tie-in",
        /// When the fixtures are set.
        Trim = "trim",
    }
}

words! {
    /// What a run lies in.
    #[derive(Default)]
    pub enum Lie {
        /// Framing: it hangs in the open and asks for supports.
        #[default]
        Framing = "framing",
        /// Under or in a slab: no spacing of supports; underground unless a phase is named.
        Slab = "slab",
        /// In the ground: as a slab.
        Ground = "ground",
    }
}

/// How a run ties into its parent, where its row says it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Meeting {
    /// The parent is the branch of the tee at its end.
    Bull,
    /// A drain or vent by this part.
    By(Word),
    /// By this part, which is a wye: at 45 degrees where nobody knows its bearing.
    ByWye(Word),
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

    /// Whether it has a path that cannot be read: how it goes is not known, and nothing is said of it.
    pub(super) fn path_is_misread(&self) -> bool {
        self.path_is_written && self.path.is_none()
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

/// Reads a run list, row by row; rows in error stay in it, so that their names are known. Rows that say only what is their
/// own of a run that `like` brings are kept apart.
pub(super) fn read(
    file: &TableFile,
    own: &mut Vec<OwnRow>,
    reading: &mut Reading,
) -> (Option<SourceId>, Vec<Run>) {
    let mut runs = Vec::new();
    let counted = reading.lexicon.word("counted");
    let source = reading.read(file, &RUNS, |row| {
        let mut run = Run::read(row);
        if columns::is_own(row) {
            own.push(OwnRow::read(row, run));
            return;
        }
        run.fall = cells::fall(row, columns::Column::slope.into(), run.service);
        check::path(&mut run, &mut |column, finding| row.trouble(column, finding));
        check::row(row, &run, counted);
        run.in_error = row.in_error();
        runs.push(run);
    });
    (source, runs)
}

table! {
    /// The table `places`.
    PLACES = "places", Noticed, PlaceColumn;
    /// A row of the table `places`.
    PlaceRow(in_error) {
        name: Text = "place", required, Text, "the name of the place; runs and places share one name space";
            |row, at| row.needed_name(at);
        fixture: Word = "fixture", optional, Text, "the kind of place: lavatory, tank heater";
            |row, at| row.word(at);
        patterns: Box<[Word]> = "pattern" ["patterns"], optional, Text, "what is there: patterns whose parts per place count once, several with semicolons";
            |row, at| row.words(at);
        area: Word = "area" ["room"], optional, Text, "room or part of the house";
            |row, at| row.word(at);
        level: Word = "level", optional, Text, "floor of the house";
            |row, at| row.word(at);
        scope: Scope = "alternate", optional, Text, "optional work it belongs to; or without NAME: left out where NAME is taken";
            |row, at| Scope::read(row, at);
        like: Text = "like", optional, Text, "a place or a room (area) whose runs are there once more for this one, under names with its name";
            |row, at| row.name(at).unwrap_or_default();
    }
}

/// Reads a table of places; rows in error stay in it, so that their names are known.
pub(super) fn read_places(file: &TableFile, reading: &mut Reading) -> Vec<PlaceRow> {
    reading.rows(file, &PLACES, |row| Some(PlaceRow::read(row)))
}
