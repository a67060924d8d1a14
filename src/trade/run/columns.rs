//! The columns of the run list, one entry each: how it is headed, what it holds, its help, how it is read, and what its cell
//! of a run holds, from which sheets show it, two revisions compare it and `only` of a pattern asks for it. A new column
//! is an entry here.

use rust_decimal::Decimal;

use super::path::{Leg, Path};
use super::slope::Slope;
use super::{Lie, Meeting, Phase, Service, cells};
use crate::ground::name::{fold, fold_heading};
use crate::ground::{Length, LengthUnit};
use crate::table::Holds;
use crate::trade::lexicon::{Lexicon, Word};
use crate::trade::reading::{Row, Text};
use crate::trade::scope::Scope;
use crate::trade::shape::table;

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
    /// Its cell of a run.
    pub cell: for<'a> fn(&'a Run) -> Cell<'a>,
}

/// Writes the table of the run list and the list of its columns from one list of entries, each as in `table!`. The word behind
/// what a column holds says who goes by it: `named` (asked for, counts nothing), `asked` (asked for, and counts),
/// `counts`, `said`.
macro_rules! run_columns {
    ($($field:ident: $type:ty = $heading:literal $([$($also:literal),+])?, $needed:ident, $holds:ident, $use:ident, $help:literal;
        $read:expr; $cell:expr;)+) => {
        table! {
            /// The table `runs`.
            RUNS = "runs", Kept, Column;
            /// A row of the run list.
            Run(in_error) {
                $($field: $type = $heading $([$($also),+])?, $needed, $holds, $help; $read;)+
            } beside {
                /// Whether `lie` is written.
                lie_is_written: bool; |row| !row.text(Column::lie).is_empty();
                /// Whether `rise` is written.
                rise_is_written: bool; |row| !row.is_blank(Column::rise);
                /// Whether `path` is written, be it so that nobody can read it.
                path_is_written: bool; |row| !row.is_blank(Column::path);
                /// The leg of its parent that `at` names, and how far into it.
                at_leg: Option<Leg>; |row| cells::leg(row, Column::at.into());
                /// The leg of the run in `to` that `to at` names, and how far into it.
                to_at_leg: Option<Leg>; |row| cells::leg(row, Column::to_at.into());
                /// Its changes of 45 degrees, from its beginning; those of 90 are its turns.
                eighths: Box<[Length]>; |_| Box::default();
                /// The fall of its level legs; nothing on the water side, or where none is meant.
                fall: Option<Slope>; |_| None;
                /// Further columns that hold a number: heading and number.
                counts: Box<[(Word, Decimal)]>; |row| row.further();
                /// Further columns that hold words, which `only` may ask for: heading and words.
                words: Box<[(Word, Word)]>; |row| row.further_words();
            }
        }

        /// All columns of the run list, in the order of its table; a user's own come on top.
        pub const COLUMNS: [RunColumn; RUNS.columns.len()] = [$(RunColumn {
            heading: $heading,
            holds: Holds::$holds,
            is_asked: run_columns!(@asked $use),
            counts: run_columns!(@counts $use),
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
    name: Text = "run" ["name"], required, Text, named, "the name of the run; runs and places share one name space";
        |row, at| row.needed_name(at);
        |run| Cell::Text(&run.name);
    service: Service = "service", required, Text, asked, "what flows: cold, hot, mixed, return, drain or vent";
        |row, at| { needed(row, at); row.choice(at).unwrap_or_default() };
        |run| Cell::choice(run.service.word(), Some(run.service.word()));
    size: Word = "size", required, Size, asked, "the size of the tube, a name of the table sizes: 1/2, 3/4, 1-1/4";
        |row, at| { needed(row, at); row.size(at).unwrap_or_default() };
        |run| Cell::Word(run.size);
    length: Length = "length", required_or_path, Length, counts, "center to center along the run; a path gives it too";
        |row, at| {
            if row.is_blank(Column::path) {
                needed(row, at);
            }
            row.positive_length(at).unwrap_or_default()
        };
        |run| Cell::Length(Some(run.length));
    path: Option<Path> = "path", optional, Lengths, counts, "how it goes, leg by leg, instead of length, rise and turns: E 12.5; up 3; N 2 (N NE E SE S SW W NW up down)";
        cells::path;
        |run| Cell::Path(run.path.as_ref());
    patterns: Box<[Word]> = "pattern" ["patterns"], optional, Text, counts, "how it is built: names of the table patterns, several with semicolons";
        |row, at| row.words(at);
        |run| Cell::Words(&run.patterns);
    joins: Option<Text> = "joins" ["from"], optional, Text, counts, "the run or place it ties into, toward the main (drains: toward the sewer)";
        |row, at| row.name(at);
        |run| Cell::name(&run.joins);
    at: Option<Length> = "at", optional, Length, counts, "how far along the run it joins; empty: at its end; on a run with a path also so far into a leg: up 1.5";
        cells::distance;
        |run| Cell::Length(run.at);
    tee: Option<Meeting> = "tee", optional, Text, counts, "bull where the parent is the branch of its tee; of drains and vents the fitting that it ties in by: wye, combination";
        |row, at| cells::meeting(row, at, service);
        |run| Cell::Meeting(run.tee);
    to: Option<Text> = "to", optional, Text, counts, "the place it ends at; a return may name a run";
        |row, at| row.name(at);
        |run| Cell::name(&run.to);
    to_at: Option<Length> = "to at", optional, Length, counts, "a return or a vent: how far along the run in to; empty: at its end";
        cells::distance;
        |run| Cell::Length(run.to_at);
    reduce_to: Option<Word> = "reduce to", optional, Size, asked, "the smaller size of its tail; needs tail";
        |row, at| row.size(at);
        |run| Cell::Word(run.reduce_to.unwrap_or_default());
    tail: Option<Length> = "tail", optional, Length, counts, "length of the tail in the smaller size, extra to length";
        |row, at| row.positive_length(at);
        |run| Cell::Length(run.tail);
    turns: Option<u32> = "turns", optional, Count, asked, "90-degree changes between its ends, without its tee and its stub-out";
        |row, at| row.count(at);
        |run| Cell::Count { written: run.turns, usual: 0 };
    turns_with_elbow: u32 = "turns with elbow", optional, Count, asked, "how many turns take an elbow even in tube that bends";
        |row, at| row.count(at).unwrap_or(0);
        |run| Cell::Number(run.turns_with_elbow);
    turns_at: Box<[Length]> = "turns at", optional, Lengths, counts, "where the turns are, from its beginning, parted by semicolons";
        |row, at| row.lengths(at).into();
        |run| Cell::Lengths(&run.turns_at);
    offsets: u32 = "offsets", optional, Count, asked, "pairs of 45-degree changes";
        |row, at| row.count(at).unwrap_or(0);
        |run| Cell::Number(run.offsets);
    rise: Length = "rise", optional, Length, counts, "how much of its length goes up, or with a minus down";
        |row, at| row.length(at).value().unwrap_or_default();
        |run| Cell::Length(Some(run.rise).filter(|rise| *rise != Length::ZERO));
    lie: Lie = "lie", optional, Text, asked, "framing (the same as empty), slab or ground";
        |row, at| row.choice(at).unwrap_or_default();
        |run| Cell::Choice { means: run.lie.word(), written: run.lie_is_written.then(|| run.lie.word()), usual: Lie::Framing.word() };
    slope: Box<str> = "slope", optional, Text, asked, "fall of a drain: 1/4 (inches a foot), 2 %; empty: that of the job, else 1/4";
        |row, at| row.text(at).into();
        |run| Cell::Text(&run.slope);
    fixture: Word = "fixture", optional, Text, asked, "the kind of the place in to, or without to in joins";
        |row, at| row.word(at);
        |run| Cell::Word(run.fixture);
    level: Word = "level", optional, Text, asked, "floor of the house";
        |row, at| row.word(at);
        |run| Cell::Word(run.level);
    area: Word = "area" ["room"], optional, Text, asked, "room or part of the house";
        |row, at| row.word(at);
        |run| Cell::Word(run.area);
    count: Option<u32> = "count", optional, Count, asked, "how many such runs, where it joins nothing; empty: 1";
        |row, at| row.count(at);
        |run| Cell::Count { written: run.count, usual: 1 };
    system: Word = "system", optional, Text, asked, "a system of its own, kept in every alternative";
        |row, at| row.word(at);
        |run| Cell::Word(run.system);
    variant: Word = "variant", optional, Text, asked, "a variant of its tube: type M";
        |row, at| row.word(at);
        |run| Cell::Word(run.variant);
    phase: Option<Phase> = "phase", optional, Text, asked, "underground, rough-in, tie-in or trim; empty: rough-in, in slab or ground underground";
        |row, at| row.choice(at);
        |run| Cell::choice(run.phase().word(), run.phase.map(Phase::word));
    no_joint: bool = "no joint", optional, YesNo, asked, "yes where it must be one length without a joint";
        |row, at| row.yes_no(at).unwrap_or(false);
        |run| Cell::Yes(run.no_joint);
    scope: Scope = "alternate", optional, Text, counts, "optional work it belongs to and is not in the base bid without; or without NAME: left out where NAME is taken (also w/o, excl, excluding, except, minus, less, not in)";
        |row, at| Scope::read(row, at);
        |run| Cell::Scope(&run.scope);
    note: Text = "note" ["notes"], optional, Text, said, "a note";
        |row, at| row.kept(at);
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
    /// The legs of its path.
    Path(Option<&'a Path>),
    /// How it ties in.
    Meeting(Option<Meeting>),
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
    fn name(name: &'a Option<Text>) -> Self {
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
            Self::Lengths(_) | Self::Path(_) | Self::Meeting(_) | Self::Scope(_) => {
                self.text(lexicon, LengthUnit::Foot) == text
            }
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
            Self::Path(path) => path.map(|path| path.as_typed(unit)).unwrap_or_default(),
            Self::Meeting(None) => String::new(),
            Self::Meeting(Some(Meeting::Bull)) => "bull".to_owned(),
            Self::Meeting(Some(Meeting::By(part) | Meeting::ByWye(part))) => lexicon.text(part).to_owned(),
            Self::Count { written, usual } => unless(written.unwrap_or(usual), usual),
            Self::Number(held) => unless(held, 0),
            Self::Decimal(held) => held.normalize().to_string(),
            Self::Yes(held) => if held { "yes" } else { "" }.to_owned(),
            Self::Scope(scope) => scope.written(lexicon),
        }
    }
}

/// Whether a row says only what is its own of a run that `like` brings: it has a name, and neither service nor size.
pub(super) fn is_own(row: &Row<'_, '_>) -> bool {
    !row.is_blank(Column::name) && row.is_blank(Column::service) && row.is_blank(Column::size)
}

/// Notices where nothing stands in a cell that every run must have.
fn needed(row: &mut Row<'_, '_>, at: usize) {
    if !is_own(row) {
        row.needed(at);
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
