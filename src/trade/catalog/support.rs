//! Spacing of supports by tube and size.

use crate::ground::Length;
use crate::table::TableFile;
use crate::trade::lexicon::Word;
use crate::trade::reading::{Reading, Row};
use crate::trade::shape::table;

table! {
    /// The table `supports`.
    SUPPORTS = "supports", Noticed;
    /// A row of the table `supports`.
    SupportRule {
        tube: Word = "tube", required, Text, "the tube family";
            |row, at| { row.needed(at); row.word(at) };
        size: Word = "size", required, Size, "the size of the tube";
            |row, at| { row.needed(at); row.size(at).unwrap_or_default() };
        across: Option<Length> = "across", optional, Length, "the most between two supports of level tube";
            |row, at| row.positive_length(at);
        up: Option<Length> = "up", optional, Length, "the most between two supports of a riser";
            |row, at| row.positive_length(at);
        part: Word = "part", required, Text, "the part that supports it";
            |row, at| { row.needed(at); row.word(at) };
        source: Box<str> = "source", optional, Text, "where the figures are published";
            |row, at| row.text(at).into();
    }
}

/// Reads a table of supports; rows in error are left out with a notice.
pub(super) fn read(file: &TableFile, reading: &mut Reading) -> Vec<SupportRule> {
    reading.rows(file, &SUPPORTS, |row| Some(SupportRule::read(row)).filter(|_| !row.in_error()))
}
