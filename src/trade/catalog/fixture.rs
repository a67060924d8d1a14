//! Fixtures: what a kind of place needs of water, by published tables.

use rust_decimal::Decimal;

use crate::table::TableFile;
use crate::trade::lexicon::Word;
use crate::trade::reading::{Reading, Row};
use crate::trade::shape::table;

table! {
    /// The table `fixtures`.
    FIXTURES = "fixtures", Noticed;
    /// A row of the table `fixtures`: what a kind of place needs of water.
    Fixture {
        fixture: Word = "fixture", required, Text, "the kind of place: lavatory, kitchen sink";
            |row, at| { row.needed(at); row.word(at) };
        units: Option<Decimal> = "units", optional, Number, "water supply fixture units, hot and cold together; not used yet";
            |row, at| row.zero_or_more(at);
        flow: Option<Decimal> = "flow", optional, Number, "flow in gallons a minute; not used yet";
            |row, at| row.zero_or_more(at);
        heights: Box<str> = "heights", optional, Text, "heights over the floor; not used yet";
            |row, at| row.text(at).into();
        source: Box<str> = "source", optional, Text, "where the figures are published";
            |row, at| row.text(at).into();
    }
}

/// Reads a table of fixtures; rows in error are left out with a notice.
pub(super) fn read(file: &TableFile, reading: &mut Reading) -> Vec<Fixture> {
    reading.rows(file, &FIXTURES, |row| Some(Fixture::read(row)).filter(|_| !row.in_error()))
}
