//! Systems: a tube family, a fitting fit and a joint. Their sizes, joints and supports have files of their own.

use crate::ground::notice::findings;
use crate::ground::{Length, LengthUnit};
use crate::table::TableFile;
use crate::trade::lexicon::Word;
use crate::trade::pack::SoldAs;
use crate::trade::reading::{Reading, Row, Text, parts};
use crate::trade::run::Side;
use crate::trade::shape::{Words, table, words};

/// The id of a system in the catalog.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SystemId(pub u32);

words! {
    /// What becomes of a turn.
    #[derive(Default)]
    pub enum TurnsAs {
        /// The tube bends.
        #[default]
        Bend = "bend",
        /// An elbow cuts it.
        Elbow = "elbow",
    }
}

words! {
    /// What stands where a piece of tube is split, or goes on across a seam.
    #[derive(Default)]
    pub enum Seam {
        /// A coupling with two joints.
        #[default]
        Coupling = "coupling",
        /// One joint and no part: the joint itself couples the two ends, or each length has its own hub.
        Joint = "joint",
    }
}

table! {
    /// The table `systems`.
    SYSTEMS = "systems", Noticed, Column;
    /// A tube family, a fitting fit and a joint.
    System {
        name: Word = "system", required, Text, "its name: pex-clamp, copper-solder";
            |row, at| { row.needed(at); row.word(at) };
        side: Side = "side", required, Text, "water or drain";
            |row, at| { row.needed(at); row.choice(at).unwrap_or(Side::Water) };
        tube: Word = "tube", required, Text, "its tube family, a tube of the table sizes: pex, copper";
            |row, at| { row.needed(at); row.word(at) };
        fit: Word = "fit", required, Text, "the fit of its fittings: barb, cup";
            |row, at| row.word(at);
        joint: Word = "joint", required, Text, "what its joints consume, a joint of the table joints: clamp, solder";
            |row, at| { row.needed(at); row.word(at) };
        seam: Seam = "seam", optional, Text, "coupling, or joint where two ends of tube are joined without a part (hubless iron, pipe with hubs); empty: coupling";
            |row, at| row.choice(at).unwrap_or_default();
        stock_length: Option<Length> = "stock length", optional, Length, "the longest piece it is handled in; empty: coils alone";
            |row, at| row.positive_length(at).filter(above_zero);
        least_piece: Length = "least piece", optional, Length, "the shortest piece between two fittings; empty: 2 in (common practice)";
            |row, at| row.positive_length(at).filter(above_zero).unwrap_or(LEAST_PIECE);
        turns: TurnsAs = "turns", optional, Text, "bend where the tube bends, elbow where a fitting turns it; empty: elbow";
            |row, at| row.choice(at).unwrap_or(TurnsAs::Elbow);
        colors: bool = "colors", optional, YesNo, "yes where tube is sold red for hot and blue for cold";
            |row, at| row.yes_no(at).unwrap_or(false);
        variant: Word = "variant", optional, Text, "the variant of its tube unless a run names one: type L";
            |row, at| row.word(at);
        sold_in: Box<[(SoldAs, Length)]> = "sold in", optional, Text, "coils and sticks that its tube is customarily sold in, for a request for quotes: coil 100 ft; stick 20 ft";
            sold_in;
        in_words: Box<str> = "in words", optional, Text, "what people call it, on papers for them: PEX tube with clamp rings; empty: its name";
            |row, at| row.text(at).into();
        note: Text = "note", optional, Text, "a note";
            |row, at| row.kept(at);
    }
}

/// The shortest piece between two fittings, where the table does not say it (common practice).
const LEAST_PIECE: Length = Length::whole(2, LengthUnit::Inch);

fn above_zero(length: &Length) -> bool {
    *length > Length::ZERO
}

/// Reads a table of systems.
pub(super) fn read(file: &TableFile, reading: &mut Reading) -> Vec<System> {
    reading.rows(file, &SYSTEMS, |row| Some(System::read(row)))
}

/// Coils and sticks, each with its length; the first that is not is noticed.
fn sold_in(row: &mut Row<'_, '_>, at: usize) -> Box<[(SoldAs, Length)]> {
    let (text, bare) = (row.text(at).to_owned(), row.bare);
    let mut list = Vec::new();
    for one in parts(&text) {
        let read = one.split_once(char::is_whitespace).and_then(|(sold, length)| {
            let sold = SoldAs::of_word(sold).filter(|sold| matches!(sold, SoldAs::Coil | SoldAs::Stick))?;
            let length = Length::read(length.trim(), bare).filter(|length| *length > Length::ZERO)?;
            Some((sold, length))
        });
        match read {
            Some(read) => list.push(read),
            None => row.trouble(at, unread_lengths(one)),
        }
    }
    list.into()
}

findings! {
    /// A coil or stick that tube is customarily sold in and cannot be read.
    fn unread_lengths(found: &str) = error("unread-lengths",
        "sold in has \"{found}\"",
        "coils and sticks with their lengths: coil 100 ft; stick 20 ft",
        "type coil or stick and the length, several parted by semicolons");
}
