//! Systems and what belongs to them: tube sizes, what joints consume, supports.

use rust_decimal::Decimal;

use super::lexicon::Word;
use crate::ground::{Length, RowAt};

/// The id of a system in the catalog.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SystemId(pub u32);

/// Which side of the house.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// Water in.
    Water,
    /// Waste out.
    Drain,
}

/// What becomes of a turn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TurnsAs {
    /// The tube bends.
    Bend,
    /// An elbow cuts it.
    Elbow,
}

/// A tube family, a fitting fit and a joint.
#[derive(Debug, Clone)]
pub struct System {
    /// Where it stands.
    pub row: RowAt,
    /// Its name as a word: `pex-clamp`.
    pub name: Word,
    /// Water or drain.
    pub side: Side,
    /// Its tube family: `pex`.
    pub tube: Word,
    /// The fit of its fittings: `barb`, `cup`.
    pub fit: Word,
    /// What its joints consume, a name in the joints table: `clamp`, `solder`.
    pub joint: Word,
    /// The longest piece it is handled in; nothing: coils.
    pub stock_length: Option<Length>,
    /// The shortest piece between two fittings.
    pub least_piece: Length,
    /// What becomes of a turn.
    pub turns: TurnsAs,
    /// Whether tube is sold by color: red for hot, blue for cold.
    pub colors: bool,
    /// The variant of its tube unless a run names one: `type L`.
    pub variant: Word,
    /// A note, as written.
    pub note: Box<str>,
}

/// A row of the table `sizes`.
#[derive(Debug, Clone)]
pub struct TubeSize {
    /// Where it stands.
    pub row: RowAt,
    /// The tube family.
    pub tube: Word,
    /// The size, a name.
    pub size: Word,
    /// Its place among the sizes of the tube: larger is larger.
    pub order: Decimal,
    /// The variant the figures are for.
    pub variant: Word,
    /// Outside diameter.
    pub outside: Option<Length>,
    /// Inside diameter.
    pub inside: Option<Length>,
    /// Where the figures are published.
    pub source: Box<str>,
}

/// A row of the table `joints`: what a joint consumes.
#[derive(Debug, Clone)]
pub struct Consumption {
    /// Where it stands.
    pub row: RowAt,
    /// The joint: `clamp`, `solder`, `thread`.
    pub joint: Word,
    /// The size it is for; the empty word: all.
    pub size: Word,
    /// The part consumed, by the words written.
    pub part: Word,
    /// So much of it...
    pub amount: Decimal,
    /// ...in this unit (`each`, `lb`, `oz`)...
    pub unit: Word,
    /// ...for so many joints.
    pub per: u32,
    /// Where the figure is published.
    pub source: Box<str>,
}

/// A row of the table `supports`.
#[derive(Debug, Clone)]
pub struct SupportRule {
    /// Where it stands.
    pub row: RowAt,
    /// The tube family.
    pub tube: Word,
    /// The size.
    pub size: Word,
    /// The most between two supports of level tube.
    pub across: Option<Length>,
    /// The most between two supports of a riser.
    pub up: Option<Length>,
    /// The part that supports it, by the words written.
    pub part: Word,
    /// Where the figures are published.
    pub source: Box<str>,
}
