//! The columns of the run list, one entry each: how it is headed, what it holds, its help, how it is read, and what its cell
//! of a run holds, from which sheets show it, two revisions compare it and `only` of a pattern asks for it. A new column
//! is an entry here beside its field of [`Run`].

use rust_decimal::Decimal;

use super::{Lie, Phase, Run};
use crate::ground::name::{fold, fold_heading};
use crate::ground::{Length, LengthUnit};
use crate::table::Holds;
use crate::trade::lexicon::{Lexicon, Word};
use crate::trade::reading::Row;
use crate::trade::scope::Scope;
use crate::trade::shape::shape;

/// A column of the run list.
pub struct RunColumn {
    /// What stands over it.
    pub heading: &'static str,
    /// What its cells hold.
    pub holds: Holds,
    /// Whether `only` of a pattern may ask for it.
    is_asked: bool,
    /// Whether it says how a run is counted: a name and a note do not.
    pub counts: bool,
    pub(super) read: fn(&mut Run, &mut Row<'_, '_>, usize),
    /// Its cell of a run.
    pub cell: for<'a> fn(&'a Run) -> Cell<'a>,
}

/// Writes the shape of the run list and the list of its columns from one list of entries. The word behind what a column
/// holds says who goes by it: `named` (asked for, counts nothing), `asked` (asked for, and counts), `counts`, `said`.
macro_rules! run_columns {
    ($($column:ident = $heading:literal $([$($also:literal),+])?, $needed:ident, $holds:ident, $use:ident, $help:literal;
        $read:expr; $cell:expr;)+) => {
        shape! {
            /// The table `runs`.
            RUNS = "runs", Kept, Column {
                $($column = $heading $([$($also),+])?, $needed, $holds, $help;)+
            }
        }

        /// All columns of the run list, in the order of its table; a user's own come on top.
        pub const COLUMNS: [RunColumn; RUNS.columns.len()] = [$(RunColumn {
            heading: $heading,
            holds: Holds::$holds,
            is_asked: run_columns!(@asked $use),
            counts: run_columns!(@counts $use),
            read: $read,
            cell: $cell,
        }),+];
    };
    (@asked named) => { true };
    (@asked asked) => { true };
    (@asked counts) => { false };
    (@asked said) => { false };
    (@counts named) => { false };
    (@counts said) => { false };
    (@counts asked) => { true };
    (@counts counts) => { true };
}

run_columns! {
    Name = "run" ["name"], required, Text, named, "the name of the run; runs and places share one name space";
        |run, row, at| run.name = row.needed(at);
        |run| Cell::Text(&run.name);
    Service = "service", required, Text, asked, "what flows: cold, hot, mixed, return, drain or vent";
        |run, row, at| { row.needed(at); run.service = row.choice(at).unwrap_or_default(); };
        |run| Cell::choice(run.service.word(), Some(run.service.word()));
    Size = "size", required, Size, asked, "the size of the tube, a name of the table sizes: 1/2, 3/4, 1-1/4";
        |run, row, at| { row.needed(at); run.size = row.size(at).unwrap_or_default(); };
        |run| Cell::Word(run.size);
    Length = "length", required, Length, counts, "center to center along the run";
        |run, row, at| { row.needed(at); run.length = row.positive_length(at).unwrap_or_default(); };
        |run| Cell::Length(Some(run.length));
    Pattern = "pattern" ["patterns"], optional, Text, counts, "how it is built: names of the table patterns, several with semicolons";
        |run, row, at| run.patterns = row.words(at);
        |run| Cell::Words(&run.patterns);
    Joins = "joins" ["from"], optional, Text, counts, "the run or place it ties into, toward the main (drains: toward the sewer)";
        |run, row, at| run.joins = row.name(at);
        |run| Cell::name(&run.joins);
    At = "at", optional, Length, counts, "how far along the run it joins; empty: at its end";
        |run, row, at| run.at = row.length(at).value();
        |run| Cell::Length(run.at);
    Tee = "tee", optional, Text, counts, "bull where the parent is the branch of its tee";
        |run, row, at| run.bull = row.one_of(at, &[((), "bull")]).is_some();
        |run| Cell::Text(if run.bull { "bull" } else { "" });
    To = "to", optional, Text, counts, "the place it ends at; a return may name a run";
        |run, row, at| run.to = row.name(at);
        |run| Cell::name(&run.to);
    ToAt = "to at", optional, Length, counts, "a return: how far along the run in to; empty: at its end";
        |run, row, at| run.to_at = row.length(at).value();
        |run| Cell::Length(run.to_at);
    ReduceTo = "reduce to", optional, Size, asked, "the smaller size of its tail; needs tail";
        |run, row, at| run.reduce_to = row.size(at);
        |run| Cell::Word(run.reduce_to.unwrap_or_default());
    Tail = "tail", optional, Length, counts, "length of the tail in the smaller size, extra to length";
        |run, row, at| run.tail = row.positive_length(at);
        |run| Cell::Length(run.tail);
    Turns = "turns", optional, Count, asked, "90-degree changes between its ends, without its tee and its stub-out";
        |run, row, at| run.turns = row.count(at);
        |run| Cell::Count { written: run.turns, usual: 0 };
    TurnsWithElbow = "turns with elbow", optional, Count, asked, "how many turns take an elbow even in tube that bends";
        |run, row, at| run.turns_with_elbow = row.count(at).unwrap_or(0);
        |run| Cell::Number(run.turns_with_elbow);
    TurnsAt = "turns at", optional, Lengths, counts, "where the turns stand, from its beginning, parted by semicolons";
        |run, row, at| run.turns_at = row.lengths(at).into();
        |run| Cell::Lengths(&run.turns_at);
    Offsets = "offsets", optional, Count, asked, "pairs of 45-degree changes";
        |run, row, at| run.offsets = row.count(at).unwrap_or(0);
        |run| Cell::Number(run.offsets);
    Rise = "rise", optional, Length, counts, "how much of its length goes up, or with a minus down";
        |run, row, at| run.rise = row.length(at).value().unwrap_or_default();
        |run| Cell::Length(Some(run.rise).filter(|rise| *rise != Length::ZERO));
    Lie = "lie", optional, Text, asked, "framing (the same as empty), slab or ground";
        |run, row, at| { run.lie = row.choice(at).unwrap_or_default(); run.lie_is_written = !row.text(at).is_empty(); };
        |run| Cell::Choice { means: run.lie.word(), written: run.lie_is_written.then(|| run.lie.word()), usual: Lie::Framing.word() };
    Slope = "slope", optional, Text, asked, "fall of a drain; not used yet but by patterns that ask for it in only";
        |run, row, at| run.slope = row.text(at).into();
        |run| Cell::Text(&run.slope);
    Fixture = "fixture", optional, Text, asked, "the kind of the place in to, or without to in joins";
        |run, row, at| run.fixture = row.word(at);
        |run| Cell::Word(run.fixture);
    Level = "level", optional, Text, asked, "floor of the house";
        |run, row, at| run.level = row.word(at);
        |run| Cell::Word(run.level);
    Area = "area" ["room"], optional, Text, asked, "room or part of the house";
        |run, row, at| run.area = row.word(at);
        |run| Cell::Word(run.area);
    Count = "count", optional, Count, asked, "how many such runs that stand alone; empty: 1";
        |run, row, at| run.count = row.count(at);
        |run| Cell::Count { written: run.count, usual: 1 };
    System = "system", optional, Text, asked, "a system of its own, kept in every alternative";
        |run, row, at| run.system = row.word(at);
        |run| Cell::Word(run.system);
    Variant = "variant", optional, Text, asked, "a variant of its tube: type M";
        |run, row, at| run.variant = row.word(at);
        |run| Cell::Word(run.variant);
    Phase = "phase", optional, Text, asked, "underground, rough-in, tie-in or trim; empty: rough-in, in slab or ground underground";
        |run, row, at| run.phase = row.choice(at);
        |run| Cell::choice(run.phase().word(), run.phase.map(Phase::word));
    NoJoint = "no joint", optional, YesNo, asked, "yes where it must be one length without a joint";
        |run, row, at| run.no_joint = row.yes_no(at).unwrap_or(false);
        |run| Cell::Yes(run.no_joint);
    Alternate = "alternate", optional, Text, counts, "optional work it belongs to and is not in the base bid without; or without NAME: left out where NAME is taken (also w/o, excl, excluding, except, minus, less, not in)";
        |run, row, at| run.scope = Scope::read(row, at);
        |run| Cell::Scope(&run.scope);
    Note = "note" ["notes"], optional, Text, said, "a note";
        |run, row, at| run.note = row.text(at).into();
        |run| Cell::Text(&run.note);
}

impl RunColumn {
    /// The columns that `only` may ask for.
    pub(super) fn asked() -> impl Iterator<Item = &'static Self> {
        COLUMNS.iter().filter(|column| column.is_asked)
    }
}

/// What a cell of a run holds.
#[derive(Debug, Clone, Copy)]
pub enum Cell<'a> {
    /// A text as written.
    Text(&'a str),
    /// A word of the job.
    Word(Word),
    /// Several words.
    Words(&'a [Word]),
    /// One of a closed list: what it comes to, what is written, and what goes without saying.
    Choice {
        /// What it comes to, written or not.
        means: &'static str,
        /// What is written.
        written: Option<&'static str>,
        /// What is as good as an empty cell.
        usual: &'static str,
    },
    /// A length; nothing where the cell is empty.
    Length(Option<Length>),
    /// Several lengths.
    Lengths(&'a [Length]),
    /// A count, and what is as good as an empty cell.
    Count {
        /// What is written.
        written: Option<u32>,
        /// What is as good as an empty cell.
        usual: u32,
    },
    /// A count that is nothing where the cell is empty.
    Number(u32),
    /// A number of a further column.
    Decimal(Decimal),
    /// Yes, or nothing.
    Yes(bool),
    /// What it says of alternates.
    Scope(&'a Scope),
}

impl<'a> Cell<'a> {
    fn name(name: &'a Option<Box<str>>) -> Self {
        Self::Text(name.as_deref().unwrap_or_default())
    }

    /// One of a closed list of which nothing goes without saying.
    const fn choice(means: &'static str, written: Option<&'static str>) -> Self {
        Self::Choice { means, written, usual: "" }
    }

    /// Whether it holds a value that `only` asks for. An empty value asks for an empty cell; numbers compare by value.
    fn is(self, value: Word, lexicon: &Lexicon) -> bool {
        let text = lexicon.text(value);
        let number = |held: Decimal| Decimal::from_str_exact(text).is_ok_and(|asked| asked == held);
        match self {
            Self::Text(held) => fold(held) == fold(text),
            Self::Word(held) => held == value,
            Self::Words(held) => held.contains(&value),
            Self::Choice { means, written, .. } => {
                fold_heading(means) == fold_heading(text) || text.is_empty() && written.is_none()
            }
            Self::Count { written: None, .. } | Self::Length(None) => text.is_empty(),
            Self::Count { written: Some(held), .. } | Self::Number(held) => number(held.into()),
            Self::Decimal(held) => number(held),
            Self::Length(Some(held)) => Length::read(text, LengthUnit::Foot) == Some(held),
            Self::Yes(held) => matches!(text, "yes" | "y" | "x" | "true" | "1") == held,
            Self::Lengths(_) | Self::Scope(_) => self.text(lexicon, LengthUnit::Foot) == text,
        }
    }

    /// What it says, as two revisions compare it: what goes without saying is as good as an empty cell.
    pub fn text(self, lexicon: &Lexicon, unit: LengthUnit) -> String {
        let length = |length: Length| format!("{} {}", length.shown(unit).normalize(), unit.abbreviation());
        let unless = |count: u32, usual: u32| if count == usual { String::new() } else { count.to_string() };
        match self {
            Self::Text(text) => text.to_owned(),
            Self::Word(word) => lexicon.text(word).to_owned(),
            Self::Words(words) => words.iter().map(|word| lexicon.text(*word)).collect::<Vec<_>>().join("; "),
            Self::Choice { written, usual, .. } => {
                written.filter(|word| *word != usual).unwrap_or("").to_owned()
            }
            Self::Length(held) => held.map(length).unwrap_or_default(),
            Self::Lengths(held) => held.iter().map(|one| length(*one)).collect::<Vec<_>>().join("; "),
            Self::Count { written, usual } => unless(written.unwrap_or(usual), usual),
            Self::Number(held) => unless(held, 0),
            Self::Decimal(held) => held.normalize().to_string(),
            Self::Yes(held) => if held { "yes" } else { "" }.to_owned(),
            Self::Scope(scope) => scope.written(lexicon),
        }
    }
}

impl Run {
    /// Whether a column of the run holds a value.
    pub(in crate::trade) fn holds(&self, column: Word, value: Word, lexicon: &Lexicon) -> bool {
        let heading = lexicon.text(column);
        match RunColumn::asked().find(|known| known.heading == heading) {
            Some(known) => (known.cell)(self).is(value, lexicon),
            None => self.further(column).unwrap_or(Cell::Word(Word::EMPTY)).is(value, lexicon),
        }
    }

    /// Its cell of a further column; nothing where that is empty.
    pub fn further(&self, column: Word) -> Option<Cell<'_>> {
        let number =
            self.counts.iter().find(|(name, _)| *name == column).map(|(_, held)| Cell::Decimal(*held));
        let words = || self.words.iter().find(|(name, _)| *name == column).map(|(_, held)| Cell::Word(*held));
        number.or_else(words)
    }

    /// The further columns in which something stands, numbers before words.
    pub fn further_columns(&self) -> impl Iterator<Item = Word> {
        self.counts.iter().map(|(column, _)| *column).chain(self.words.iter().map(|(column, _)| *column))
    }
}
