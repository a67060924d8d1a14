//! Systems: a tube family, a fitting fit and a joint. Their sizes, joints and supports have files of their own.

use super::lexicon::Word;
use super::price_list::SoldAs;
use super::row::{Desk, Row, parts, pick};
use super::shape::shape;
use super::words::Trouble;
use crate::ground::{Length, LengthUnit, RowAt};
use crate::table::{Got, TableFile};

shape! {
    /// The table `systems`.
    SYSTEMS = "systems", Noticed, Column {
        Name = "system", required, Text, "its name: pex-clamp, copper-solder";
        Side = "side", required, Text, "water or drain";
        Tube = "tube", required, Text, "its tube family, a tube of the table sizes: pex, copper";
        Fit = "fit", required, Text, "the fit of its fittings: barb, cup";
        Joint = "joint", required, Text, "what its joints consume, a joint of the table joints: clamp, solder";
        Stock = "stock length", optional, Length, "the longest piece it is handled in; empty: coils alone";
        Least = "least piece", optional, Length, "the shortest piece between two fittings; empty: 2 in (common practice)";
        Turns = "turns", optional, Text, "bend where the tube bends, elbow where a fitting turns it; empty: elbow";
        Colors = "colors", optional, YesNo, "yes where tube is sold red for hot and blue for cold";
        Variant = "variant", optional, Text, "the variant of its tube unless a run names one: type L";
        SoldIn = "sold in", optional, Text, "coils and sticks that its tube is customarily sold in, for a request for quotes: coil 100 ft; stick 20 ft";
        InWords = "in words", optional, Text, "what people call it, on papers for them: PEX tube with clamp rings; empty: its name";
        Note = "note", optional, Text, "a note";
    }
}

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
    /// Coils and sticks that its tube is customarily sold in.
    pub sold_in: Box<[(SoldAs, Length)]>,
    /// What people call it; empty: its name.
    pub in_words: Box<str>,
    /// A note, as written.
    pub note: Box<str>,
}

/// Reads a table of systems.
pub(super) fn read(file: &TableFile, desk: &mut Desk) -> Vec<System> {
    let mut list = Vec::new();
    let bare = desk.bare;
    desk.read(file, &SYSTEMS, |row, lexicon| {
        row.needed(Column::Name);
        row.needed(Column::Tube);
        row.needed(Column::Joint);
        let side = row.one_of(Column::Side, &[(Side::Water, "water"), (Side::Drain, "drain")]);
        if side == Got::Empty {
            row.empty(Column::Side);
        }
        let turns = row.one_of(Column::Turns, &TURNS);
        list.push(System {
            row: row.at(),
            name: row.word(Column::Name, lexicon),
            side: side.value().unwrap_or(Side::Water),
            tube: row.word(Column::Tube, lexicon),
            fit: row.word(Column::Fit, lexicon),
            joint: row.word(Column::Joint, lexicon),
            stock_length: row.positive_length(Column::Stock).filter(|length| *length > Length::ZERO),
            least_piece: row
                .positive_length(Column::Least)
                .filter(|length| *length > Length::ZERO)
                .unwrap_or(Length::whole(2, LengthUnit::Inch)),
            turns: turns.value().unwrap_or(TurnsAs::Elbow),
            colors: row.yes_no(Column::Colors).unwrap_or(false),
            variant: row.word(Column::Variant, lexicon),
            sold_in: sold_in(row, bare),
            in_words: row.text(Column::InWords).into(),
            note: row.text(Column::Note).into(),
        });
    });
    list
}

/// Coils and sticks, each with its length; the first that is not is noticed.
fn sold_in(row: &mut Row<'_, '_>, bare: LengthUnit) -> Box<[(SoldAs, Length)]> {
    let text = row.text(Column::SoldIn).to_owned();
    let known = [(SoldAs::Coil, "coil"), (SoldAs::Stick, "stick")];
    let mut list = Vec::new();
    for one in parts(&text) {
        let read = one.split_once(char::is_whitespace).and_then(|(sold, length)| {
            let length = Length::read(length.trim(), bare).filter(|length| *length > Length::ZERO)?;
            Some((pick(sold, &known)?, length))
        });
        match read {
            Some(read) => list.push(read),
            None => row.trouble(Column::SoldIn, Trouble::SoldIn { found: one }),
        }
    }
    list.into()
}

/// The words for what becomes of a turn.
pub(super) const TURNS: [(TurnsAs, &str); 2] = [(TurnsAs::Bend, "bend"), (TurnsAs::Elbow, "elbow")];
