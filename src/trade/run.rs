//! The run list: one length of pipe or tube of one size and service between two points a row.

use rust_decimal::Decimal;

use super::alternate::Scope;
use super::lexicon::{Lexicon, Word};
use super::row::{Desk, Row};
use super::shape::shape;
use super::words::Trouble;
use crate::ground::{Length, RowAt, SourceId};
use crate::table::{Got, TableFile};

shape! {
    /// The table `runs`.
    RUNS = "runs", Kept, Column {
        Name = "run" ["name"], required, Text, "the name of the run; runs and places share one name space";
        Service = "service", required, Text, "what flows: cold, hot, mixed, return, drain or vent";
        Size = "size", required, Size, "the size of the tube, a name of the table sizes: 1/2, 3/4, 1-1/4";
        Length = "length", required, Length, "center to center along the run";
        Pattern = "pattern" ["patterns"], optional, Text, "how it is built: names of the table patterns, several with semicolons";
        Joins = "joins" ["from"], optional, Text, "the run or place it ties into, toward the main (drains: toward the sewer)";
        At = "at", optional, Length, "how far along the run it joins; empty: at its end";
        Tee = "tee", optional, Text, "bull where the parent is the branch of its tee";
        To = "to", optional, Text, "the place it ends at; a return may name a run";
        ToAt = "to at", optional, Length, "a return: how far along the run in to; empty: at its end";
        ReduceTo = "reduce to", optional, Size, "the smaller size of its tail; needs tail";
        Tail = "tail", optional, Length, "length of the tail in the smaller size, extra to length";
        Turns = "turns", optional, Count, "90-degree changes between its ends, without its tee and its stub-out";
        TurnsWithElbow = "turns with elbow", optional, Count, "how many turns take an elbow even in tube that bends";
        TurnsAt = "turns at", optional, Lengths, "where the turns stand, from its beginning, parted by semicolons";
        Offsets = "offsets", optional, Count, "pairs of 45-degree changes";
        Rise = "rise", optional, Length, "how much of its length goes up, or with a minus down";
        Lie = "lie", optional, Text, "framing (the same as empty), slab or ground";
        Slope = "slope", optional, Text, "fall of a drain; not used yet but by patterns that ask for it in only";
        Fixture = "fixture", optional, Text, "the kind of the place in to, or without to in joins";
        Level = "level", optional, Text, "floor of the house";
        Area = "area" ["room"], optional, Text, "room or part of the house";
        Count = "count", optional, Count, "how many such runs that stand alone; empty: 1";
        System = "system", optional, Text, "a system of its own, kept in every alternative";
        Variant = "variant", optional, Text, "a variant of its tube: type M";
        Phase = "phase", optional, Text, "underground, rough-in, tie-in or trim; empty: rough-in, in slab or ground underground";
        NoJoint = "no joint", optional, YesNo, "yes where it must be one length without a joint";
        Alternate = "alternate", optional, Text, "optional work it belongs to and is not in the base bid without; or without NAME: left out where NAME is taken (also w/o, excl, excluding, except, minus, less, not in)";
        Note = "note" ["notes"], optional, Text, "a note";
    }
}

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
    /// Further columns that hold words, which `only` may ask for: heading and words.
    pub words: Box<[(Word, Word)]>,
    /// What it says of alternates.
    pub scope: Scope,
    /// `lie` as written, for `only`.
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

pub(super) const SERVICES: [(Service, &str); 6] = [
    (Service::Cold, "cold"),
    (Service::Hot, "hot"),
    (Service::Mixed, "mixed"),
    (Service::Return, "return"),
    (Service::Drain, "drain"),
    (Service::Vent, "vent"),
];

pub(super) const PHASES: [(Phase, &str); 4] = [
    (Phase::Underground, "underground"),
    (Phase::RoughIn, "rough-in"),
    (Phase::TieIn, "tie-in"),
    (Phase::Trim, "trim"),
];

pub(super) const LIES: [(Lie, &str); 3] =
    [(Lie::Framing, "framing"), (Lie::Slab, "slab"), (Lie::Ground, "ground")];

/// Reads a run list, row by row; rows in error stay in it, so that their names are known.
pub(super) fn read(file: &TableFile, desk: &mut Desk) -> (Option<SourceId>, Vec<Run>) {
    let mut runs = Vec::new();
    let counted = desk.lexicon.word("counted");
    let source = desk.read(file, &RUNS, |row, lexicon| {
        let mut run = read_row(row, lexicon);
        check(row, lexicon, &run, counted);
        run.in_error = row.in_error();
        runs.push(run);
    });
    (source, runs)
}

fn read_row(row: &mut Row<'_, '_>, lexicon: &mut Lexicon) -> Run {
    let name = row.needed(Column::Name);
    let service = row.one_of(Column::Service, &SERVICES);
    if service == Got::Empty {
        row.empty(Column::Service);
    }
    let size = row.size(Column::Size, lexicon);
    if size.is_none() && row.text(Column::Size).is_empty() {
        row.empty(Column::Size);
    }
    let length = row.positive_length(Column::Length);
    if length.is_none() && row.text(Column::Length).is_empty() {
        row.empty(Column::Length);
    }
    Run {
        row: row.at(),
        name,
        in_error: false,
        service: service.value().unwrap_or(Service::Cold),
        size: size.unwrap_or_default(),
        length: length.unwrap_or_default(),
        patterns: row.words(Column::Pattern, lexicon),
        joins: row.name(Column::Joins),
        at: row.length(Column::At).value(),
        bull: row.one_of(Column::Tee, &[((), "bull")]).value().is_some(),
        to: row.name(Column::To),
        to_at: row.length(Column::ToAt).value(),
        reduce_to: row.size(Column::ReduceTo, lexicon),
        tail: row.positive_length(Column::Tail),
        turns: row.count(Column::Turns),
        turns_with_elbow: row.count(Column::TurnsWithElbow).unwrap_or(0),
        turns_at: row.lengths(Column::TurnsAt).into(),
        offsets: row.count(Column::Offsets).unwrap_or(0),
        rise: row.length(Column::Rise).value().unwrap_or_default(),
        lie: row.one_of(Column::Lie, &LIES).value().unwrap_or_default(),
        slope: row.text(Column::Slope).into(),
        fixture: row.word(Column::Fixture, lexicon),
        level: row.word(Column::Level, lexicon),
        area: row.word(Column::Area, lexicon),
        count: row.count(Column::Count),
        system: row.word(Column::System, lexicon),
        variant: row.word(Column::Variant, lexicon),
        phase: row.one_of(Column::Phase, &PHASES).value(),
        no_joint: row.yes_no(Column::NoJoint).unwrap_or(false),
        note: row.text(Column::Note).into(),
        counts: row.further(lexicon),
        words: row.further_words(lexicon),
        scope: Scope::read(row, Column::Alternate, lexicon),
        lie_as_written: row.word(Column::Lie, lexicon),
    }
}

/// What a row says against itself.
fn check(row: &mut Row<'_, '_>, lexicon: &Lexicon, run: &Run, counted: Word) {
    check_meeting(row, run);
    let length = || run.length.to_string();
    let known = run.length > Length::ZERO;
    if known && run.rise.abs() > run.length {
        row.trouble(
            Column::Rise,
            Trouble::RiseAboveLength { rise: &run.rise.to_string(), length: &length() },
        );
    }
    let counted = run.patterns.contains(&counted);
    check_tail(row, lexicon, run, counted);
    let turns = run.turns.unwrap_or(0);
    if run.turns_with_elbow > turns {
        row.trouble(
            Column::TurnsWithElbow,
            Trouble::ElbowsAboveTurns { elbows: run.turns_with_elbow, turns },
        );
    } else if run.no_joint && run.turns_with_elbow > 0 {
        row.trouble(Column::TurnsWithElbow, Trouble::ElbowOnNoJoint { elbows: run.turns_with_elbow });
    }
    let given = run.turns_at.len();
    if given > 0 && u32::try_from(given) != Ok(turns) {
        row.trouble(Column::TurnsAt, Trouble::TurnsAtCount { given, turns });
    }
    // Sorted, so that notices do not depend on the order written.
    let mut stands: Vec<Length> = run.turns_at.to_vec();
    stands.sort_unstable();
    for at in stands.iter().filter(|at| known && (**at <= Length::ZERO || **at >= run.length)) {
        row.trouble(
            Column::TurnsAt,
            Trouble::NotInside { heading: "turns at", found: &at.to_string(), length: &length() },
        );
    }
    for pair in stands.windows(2).filter(|pair| pair[0] == pair[1]) {
        row.trouble(Column::TurnsAt, Trouble::TurnTwice { found: &pair[0].to_string() });
    }
    if counted && run.turns.is_some() {
        row.trouble(Column::Turns, Trouble::CountedWith { heading: "turns" });
    }
    if counted && run.joins.is_some() {
        row.trouble(Column::Joins, Trouble::CountedWith { heading: "joins" });
    }
}

/// Distances along other runs, and counts of runs that meet others.
fn check_meeting(row: &mut Row<'_, '_>, run: &Run) {
    for (column, heading, at, needed, parent) in
        [(Column::At, "at", run.at, "joins", &run.joins), (Column::ToAt, "to at", run.to_at, "to", &run.to)]
    {
        let Some(at) = at else { continue };
        if parent.is_none() {
            row.trouble(column, Trouble::Without { heading, needed });
        } else if at <= Length::ZERO {
            row.trouble(column, Trouble::NotAhead { heading, found: &at.to_string() });
        }
    }
    if run.to_at.is_some() && run.to.is_some() && run.service != Service::Return {
        row.trouble(Column::ToAt, Trouble::ToAtOfSupply);
    }
    match run.count {
        Some(0) => {
            for (heading, parent) in [("joins", &run.joins), ("to", &run.to)] {
                if parent.is_some() {
                    row.trouble(Column::Count, Trouble::CountOfJoined { count: 0, heading });
                    break;
                }
            }
        }
        Some(count) if count > 1 && run.joins.is_some() => {
            row.trouble(Column::Count, Trouble::CountOfJoined { count, heading: "joins" });
        }
        Some(_) | None => {}
    }
}

/// `reduce to` and `tail` are both there or neither; a counted run names its reducers by `reduce to` alone.
fn check_tail(row: &mut Row<'_, '_>, lexicon: &Lexicon, run: &Run, counted: bool) {
    let sized = !row.text(Column::ReduceTo).is_empty();
    let long = !row.text(Column::Tail).is_empty();
    if counted {
        if long {
            row.trouble(Column::Tail, Trouble::CountedWith { heading: "tail" });
        }
    } else if sized && !long {
        row.trouble(Column::ReduceTo, Trouble::HalfTail { written: "reduce to", missing: "tail" });
    } else if long && !sized {
        row.trouble(Column::Tail, Trouble::HalfTail { written: "tail", missing: "reduce to" });
    }
    if let Some(tail) = run.reduce_to
        && tail == run.size
    {
        let (tail, size) = (lexicon.text(tail), lexicon.text(run.size));
        row.trouble(Column::ReduceTo, Trouble::TailNotSmaller { tail, size });
    }
}
