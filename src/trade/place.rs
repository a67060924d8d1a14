//! Places: what runs meet or serve. The table `places` says what stands where.

use super::lexicon::Word;
use super::reading::Reading;
use super::scope::Scope;
use super::shape::shape;
use crate::ground::RowAt;
use crate::table::TableFile;

shape! {
    /// The table `places`.
    PLACES = "places", Noticed, Column {
        Name = "place", required, Text, "the name of the place; runs and places share one name space";
        Fixture = "fixture", optional, Text, "the kind of place: lavatory, tank heater";
        Pattern = "pattern" ["patterns"], optional, Text, "what stands there: patterns whose parts per place count once, several with semicolons";
        Area = "area" ["room"], optional, Text, "room or part of the house";
        Level = "level", optional, Text, "floor of the house";
        Alternate = "alternate", optional, Text, "optional work it belongs to; or without NAME: left out where NAME is taken";
    }
}

/// A row of the table `places`.
#[derive(Debug, Clone)]
pub struct PlaceRow {
    /// Where it stands.
    pub row: RowAt,
    /// Its name as first written.
    pub name: Box<str>,
    /// Whether a cell of the row was misread.
    pub in_error: bool,
    /// The kind of place.
    pub fixture: Word,
    /// What stands there: patterns whose `per place` rows count once.
    pub patterns: Box<[Word]>,
    /// Room or part of the house.
    pub area: Word,
    /// Floor of the house.
    pub level: Word,
    /// What it says of alternates.
    pub scope: Scope,
}

/// Reads a table of places; rows in error stay in it, so that their names are known.
pub(super) fn read(file: &TableFile, reading: &mut Reading) -> Vec<PlaceRow> {
    let mut list = Vec::new();
    reading.read(file, &PLACES, |row| {
        let mut place = PlaceRow {
            row: row.at(),
            name: row.needed(Column::Name),
            in_error: false,
            fixture: row.word(Column::Fixture),
            patterns: row.words(Column::Pattern),
            area: row.word(Column::Area),
            level: row.word(Column::Level),
            scope: Scope::read(row, Column::Alternate),
        };
        place.in_error = row.in_error();
        list.push(place);
    });
    list
}
