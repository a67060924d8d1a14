//! Places: what runs meet or serve. The table `places` says what stands where.

use super::lexicon::Word;
use super::reading::{Reading, Row};
use super::scope::Scope;
use super::shape::table;
use crate::table::TableFile;

table! {
    /// The table `places`.
    PLACES = "places", Noticed;
    /// A row of the table `places`.
    PlaceRow(in_error) {
        name: Box<str> = "place", required, Text, "the name of the place; runs and places share one name space";
            |row, at| row.needed(at);
        fixture: Word = "fixture", optional, Text, "the kind of place: lavatory, tank heater";
            |row, at| row.word(at);
        patterns: Box<[Word]> = "pattern" ["patterns"], optional, Text, "what stands there: patterns whose parts per place count once, several with semicolons";
            |row, at| row.words(at);
        area: Word = "area" ["room"], optional, Text, "room or part of the house";
            |row, at| row.word(at);
        level: Word = "level", optional, Text, "floor of the house";
            |row, at| row.word(at);
        scope: Scope = "alternate", optional, Text, "optional work it belongs to; or without NAME: left out where NAME is taken";
            |row, at| Scope::read(row, at);
    }
}

/// Reads a table of places; rows in error stay in it, so that their names are known.
pub(super) fn read(file: &TableFile, reading: &mut Reading) -> Vec<PlaceRow> {
    reading.rows(file, &PLACES, |row| Some(PlaceRow::read(row)))
}
