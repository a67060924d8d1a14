//! Patterns: named ways to build a run. Each assembly rule is a row of the table `patterns`.

use rust_decimal::Decimal;

use super::lexicon::Word;
use super::run::Phase;
use crate::ground::{Length, RowAt};

/// The id of a pattern in the catalog.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PatternId(pub u32);

/// A pattern: its rows in the order written.
#[derive(Debug, Clone)]
pub struct Pattern {
    /// Its name as first written.
    pub name: Box<str>,
    /// Its rows. A pattern may have none: it adds nothing.
    pub rows: Vec<PatternRow>,
}

/// What a row's quantity is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Per {
    /// Once a run.
    Run,
    /// Each 90-degree change.
    Turn,
    /// Each turn taken as a bend.
    Bend,
    /// Each turn that takes an elbow.
    Elbow,
    /// The run's beginning, where no run meets it.
    Start,
    /// The run's end, where no run meets it.
    End,
    /// Each of the two.
    Both,
    /// Each run that ties in between the ends.
    Tap,
    /// The place, once.
    Place,
    /// Each `every` of the run's length begun.
    Length,
    /// So many as a further column of the run list says.
    Column(Word),
}

/// Where a part stands in line of its run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Where {
    /// One least piece inside the beginning.
    Start,
    /// One least piece inside the end.
    End,
    /// At a distance from the beginning; negative from the end.
    At(Length),
}

/// What a pattern row adds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Adds {
    /// So many of a part, by the words written (name, other name, or what the engine uses it as).
    Part(Word, Decimal),
    /// A piece of tube of this length in an end's chain.
    Tube(Length),
    /// Nothing: the row only declares its pattern.
    Nothing,
}

/// One assembly rule.
#[derive(Debug, Clone)]
pub struct PatternRow {
    /// Where it stands.
    pub row: RowAt,
    /// Whether a cell of the row was misread.
    pub in_error: bool,
    /// What it adds.
    pub adds: Adds,
    /// What the quantity is for.
    pub per: Per,
    /// Sizes of its ports; empty: the size of the run where it stands.
    pub sizes: Box<[Word]>,
    /// Which variant of the part.
    pub variant: Word,
    /// Where it stands in line.
    pub stands: Option<Where>,
    /// The length that `per` length goes by.
    pub every: Option<Length>,
    /// Systems or tube families it is for; empty: all.
    pub systems: Box<[Word]>,
    /// Columns of the run and the value each must have, both folded words.
    pub only: Box<[(Word, Word)]>,
    /// The phase it is installed in; nothing: its run's.
    pub phase: Option<Phase>,
    /// A note, as written.
    pub note: Box<str>,
}
