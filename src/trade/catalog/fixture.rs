//! Fixtures: what a kind of place needs of water, by published tables.

use rust_decimal::Decimal;

use crate::ground::RowAt;
use crate::table::TableFile;
use crate::trade::lexicon::Word;
use crate::trade::reading::Reading;
use crate::trade::shape::shape;

shape! {
    /// The table `fixtures`.
    FIXTURES = "fixtures", Noticed, Column {
        Fixture = "fixture", required, Text, "the kind of place: lavatory, kitchen sink";
        Units = "units", optional, Number, "water supply fixture units, hot and cold together; not used yet";
        Flow = "flow", optional, Number, "flow in gallons a minute; not used yet";
        Heights = "heights", optional, Text, "heights over the floor; not used yet";
        Source = "source", optional, Text, "where the figures are published";
    }
}

/// A row of the table `fixtures`: what a kind of place needs of water.
#[derive(Debug, Clone)]
pub struct Fixture {
    /// Where it stands.
    pub row: RowAt,
    /// The kind: `lavatory`, `kitchen sink`.
    pub fixture: Word,
    /// Supply fixture units, all water.
    pub units: Option<Decimal>,
    /// Flow in gallons a minute.
    pub flow: Option<Decimal>,
    /// Heights over the floor, as written.
    pub heights: Box<str>,
    /// Where the figures are published.
    pub source: Box<str>,
}

/// Reads a table of fixtures; rows in error are left out with a notice.
pub(super) fn read(file: &TableFile, reading: &mut Reading) -> Vec<Fixture> {
    let mut list = Vec::new();
    reading.read(file, &FIXTURES, |row| {
        row.needed(Column::Fixture);
        let fixture = Fixture {
            row: row.at(),
            fixture: row.word(Column::Fixture),
            units: row.zero_or_more(Column::Units),
            flow: row.zero_or_more(Column::Flow),
            heights: row.text(Column::Heights).into(),
            source: row.text(Column::Source).into(),
        };
        if !row.in_error() {
            list.push(fixture);
        }
    });
    list
}
