//! Places: what runs meet or serve. The table `places` says what stands where; `fixtures` what a kind of place needs.

use rust_decimal::Decimal;

use super::lexicon::Word;
use crate::ground::RowAt;

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
