//! The takeoff of one alternative: what is installed, line by line, each with its because.

use rust_decimal::Decimal;

use super::cut_length::CutLength;
use super::{ItemId, RunEnd, RunId};
use crate::ground::{Length, Notice, RowAt};
use crate::trade::{Phase, Service, Sides, SystemId, Word};

/// Whose row a line belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Subject {
    /// A run.
    Run(RunId),
    /// A row of the table `places`: its index in `Job::places`.
    Place(u32),
}

/// Why a line is there. Each kind leads to the row of a table where there is one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Because {
    /// The run's own length.
    Length,
    /// The tail of a run.
    Tail,
    /// The reducing coupling before a tail.
    TailReducer,
    /// A pattern row.
    Rule(RowAt),
    /// A tee where `child` ties into the subject.
    Tee(RunId),
    /// A reducing coupling where `child` goes on in another size.
    Reducer(RunId),
    /// The fitting of a change of direction where `child` goes on.
    Turning(RunId),
    /// A coupling at a seam that cannot be one piece.
    Seam(RunId),
    /// A transition where two systems meet; the run is the one that changes.
    Transition(RunId),
    /// A transition, reducer or short piece between an end and the part on it.
    Between,
    /// Elbows at turns.
    Turn,
    /// Elbows of offsets.
    Offset,
    /// A coupling where a piece is longer than the stock length.
    Split,
    /// An adapter that the engine adds where a tube faces a thread.
    Adapter,
    /// A cap or plug on an open end.
    OpenEnd,
    /// A test cap on an end of a drain that stands open at the test of a phase.
    TestCap,
    /// A plug in a port that the trade plugs.
    Plugged,
    /// Supports by the length of the run.
    Spacing,
    /// Supports of the tail.
    TailSpacing,
    /// Supports that a part asks for.
    PartSupport,
}

/// One line of the takeoff.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Line {
    /// What is installed.
    pub item: ItemId,
    /// How much: pieces; nanometres of tube; for what joints consume, the number of joints.
    pub count: i64,
    /// The row of the joints table, for what joints consume (index into `Catalog::joints`).
    pub joint: Option<u32>,
    /// Whose row it belongs to.
    pub subject: Subject,
    /// Why.
    pub because: Because,
    /// What flows; none for what stands at a place that no run brought.
    pub service: Option<Service>,
    /// When.
    pub phase: Phase,
    /// Where.
    pub area: Word,
}

/// A piece of tube between two joints or ends, center to center.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Piece {
    /// The tube.
    pub item: ItemId,
    /// Its length.
    pub length: Length,
    /// The first run it belongs to.
    pub run: RunId,
    /// How many such pieces.
    pub copies: u32,
    /// Whether it must be one length without a joint.
    pub no_joint: bool,
    /// Whether it is part of a longer piece, which a cut plan may part otherwise.
    pub part: PartOf,
    /// How it is cut; of a part, how the longer piece is.
    pub cut: CutLength,
}

impl Piece {
    /// The length that is cut: as its fittings leave it, where that is known, else center to center.
    pub(crate) fn to_cut(self) -> Length {
        self.cut.as_cut.unwrap_or(self.length)
    }
}

/// What a piece is of a piece that is longer than the stock length of its system.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum PartOf {
    /// It is a piece by itself.
    #[default]
    Itself,
    /// Stock lengths of a longer piece.
    Lengths,
    /// The rest of a longer piece, with the length of that.
    Rest(Length),
}

/// What becomes of an end that no part of the takeoff fills.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum EndMet {
    /// Met on site: a root, the main, the sewer.
    OnSite,
    /// Met elsewhere: a run that stands alone.
    Elsewhere,
    /// Open: capped at rough-in; on the drain side for the test of each phase.
    Capped,
    /// Open, and closed for the test by a plug that is a tool.
    Plugged,
}

/// An end that no part fills, as listed on the ends sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct EndLine {
    /// The run.
    pub run: RunId,
    /// Which end.
    pub end: RunEnd,
    /// What becomes of it.
    pub met: EndMet,
    /// Its size.
    pub size: Word,
    /// What flows.
    pub service: Service,
    /// The phase in which it is so.
    pub phase: Phase,
    /// How many.
    pub copies: u32,
}

/// The ends of tube of one system and size against what fills them: `male = filled + coupled + on_site + elsewhere`, where a cap
/// fills an end and an end that is joined again in a later phase is male once more for each such phase.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Balance {
    /// The system.
    pub system: SystemId,
    /// The size.
    pub size: Word,
    /// Tube ends and other male ends, once for each phase that joins them.
    pub male: i64,
    /// Sockets filled: the joints made.
    pub filled: i64,
    /// Ends of tube joined to another end of tube by one joint without a part: the second end of each.
    pub coupled: i64,
    /// Ends met on site.
    pub on_site: i64,
    /// Ends met elsewhere.
    pub elsewhere: i64,
    /// Joints of counted parts, declared and not met by an end of the network (on both sides of the balance).
    pub declared: i64,
}

/// What kind of joint is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum JointKind {
    /// A tube end in the socket of its system.
    Tube,
    /// A tube end in a compression nut; it comes with its part.
    Compression,
    /// A thread.
    Thread,
}

/// Joints that are made: all of one kind, system and size in one phase and area. Tube and compression joints together
/// are the sockets that [`Balance`] says are filled, and those that it says are declared; of one tube in two systems they
/// may be made by the joint of the other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct JointsMade {
    /// Which kind.
    pub kind: JointKind,
    /// The system whose joint it is: that of the tube, or of the fitting of another fit that it sits in.
    pub system: SystemId,
    /// The size.
    pub size: Word,
    /// When.
    pub phase: Phase,
    /// Where.
    pub area: Word,
    /// How many.
    pub count: i64,
}

/// A part that the network asks for and no table has in this system.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Missing {
    /// Whose row asks for it.
    pub subject: Subject,
    /// What is missing, in words: `tee 1 x 1 x 3/4`.
    pub what: String,
    /// The system.
    pub system: SystemId,
}

/// What is installed in one alternative.
#[derive(Debug, Clone)]
pub struct Takeoff {
    /// What the alternative is called.
    pub name: Word,
    /// The system given to every water run that names none.
    pub system: SystemId,
    /// The system given to every drain and vent that names none.
    pub drain: Option<SystemId>,
    /// The lines, by subject in name order.
    pub lines: Vec<Line>,
    /// The pieces of tube, whole (a piece across runs is one).
    pub pieces: Vec<Piece>,
    /// Ends that no part fills.
    pub ends: Vec<EndLine>,
    /// Ends against sockets.
    pub balance: Vec<Balance>,
    /// Parts that no table has: the alternative is incomplete.
    pub missing: Vec<Missing>,
    /// Turns taken as bends.
    pub bends: i64,
    /// Joints made, of tube (not of threads).
    pub joints: i64,
    /// Joints made, by kind, system, size, phase and area.
    pub made: Vec<JointsMade>,
    /// What is wrong or doubtful in this alternative.
    pub notices: Vec<Notice>,
}

impl From<RunId> for Subject {
    fn from(run: RunId) -> Self {
        Self::Run(run)
    }
}

impl Takeoff {
    /// The systems of its alternative.
    pub(super) fn sides(&self) -> Sides {
        Sides { name: self.name, water: self.system, drain: self.drain }
    }

    /// Nothing that is installed yet.
    pub(super) fn empty(sides: Sides) -> Self {
        Self {
            name: sides.name,
            system: sides.water,
            drain: sides.drain,
            lines: Vec::new(),
            pieces: Vec::new(),
            ends: Vec::new(),
            balance: Vec::new(),
            missing: Vec::new(),
            bends: 0,
            joints: 0,
            made: Vec::new(),
            notices: Vec::new(),
        }
    }

    /// Gives its items the ids of another list.
    pub(super) fn renumber(&mut self, ids: &[ItemId]) {
        for line in &mut self.lines {
            line.item = ids[line.item.0 as usize];
        }
        for piece in &mut self.pieces {
            piece.item = ids[piece.item.0 as usize];
        }
    }
}

/// So much of one item: what lines add up to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Need {
    /// The item.
    pub item: ItemId,
    /// Pieces, decimal feet or metres (exact), or the unit of the item; not rounded.
    pub quantity: Decimal,
    /// The first phase that needs it.
    pub phase: Phase,
}

/// A line of `takeoff.csv`: the lines of the takeoff added up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TakeoffRow {
    /// When.
    pub phase: Phase,
    /// What flows; none where no run brought it.
    pub service: Option<Service>,
    /// The item.
    pub item: ItemId,
    /// Where; only filled where rows are asked for by area.
    pub area: Word,
    /// How much, exact.
    pub need: Decimal,
}
