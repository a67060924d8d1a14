//! Systems: a tube family, a fitting fit and a joint. Their sizes, joints and supports have files of their own.

use crate::ground::notice::{Finding, error};
use crate::ground::{Length, LengthUnit, RowAt};
use crate::table::TableFile;
use crate::trade::lexicon::Word;
use crate::trade::pack::SoldAs;
use crate::trade::reading::{Reading, Row, Words, parts};
use crate::trade::shape::{shape, words};

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
    /// What becomes of a turn.
    pub enum TurnsAs {
        /// The tube bends.
        Bend = "bend",
        /// An elbow cuts it.
        Elbow = "elbow",
    }
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
pub(super) fn read(file: &TableFile, reading: &mut Reading) -> Vec<System> {
    let mut list = Vec::new();
    let bare = reading.bare;
    reading.read(file, &SYSTEMS, |row| {
        for needed in [Column::Name, Column::Tube, Column::Joint, Column::Side] {
            row.needed(needed);
        }
        let above_zero = |length: &Length| *length > Length::ZERO;
        list.push(System {
            row: row.at(),
            name: row.word(Column::Name),
            side: row.choice(Column::Side).unwrap_or(Side::Water),
            tube: row.word(Column::Tube),
            fit: row.word(Column::Fit),
            joint: row.word(Column::Joint),
            stock_length: row.positive_length(Column::Stock).filter(above_zero),
            least_piece: row
                .positive_length(Column::Least)
                .filter(above_zero)
                .unwrap_or(Length::whole(2, LengthUnit::Inch)),
            turns: row.choice(Column::Turns).unwrap_or(TurnsAs::Elbow),
            colors: row.yes_no(Column::Colors).unwrap_or(false),
            variant: row.word(Column::Variant),
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
    let mut list = Vec::new();
    for one in parts(&text) {
        let read = one.split_once(char::is_whitespace).and_then(|(sold, length)| {
            let sold = SoldAs::of_word(sold).filter(|sold| matches!(sold, SoldAs::Coil | SoldAs::Stick))?;
            let length = Length::read(length.trim(), bare).filter(|length| *length > Length::ZERO)?;
            Some((sold, length))
        });
        match read {
            Some(read) => list.push(read),
            None => row.trouble(Column::SoldIn, unread_lengths(one)),
        }
    }
    list.into()
}

/// A coil or stick that tube is customarily sold in and cannot be read.
fn unread_lengths(found: &str) -> Finding {
    error(
        "unread-lengths",
        format!("sold in has \"{found}\""),
        "coils and sticks with their lengths: coil 100 ft; stick 20 ft",
        "type coil or stick and the length, several parted by semicolons",
    )
}
