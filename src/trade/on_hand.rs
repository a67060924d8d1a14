//! Stock on hand: what is there already and is used first.

use std::collections::HashMap;

use rust_decimal::Decimal;

use super::catalog::Catalog;
use super::lexicon::Word;
use super::reading::{Reading, Row};
use super::shape::table;
use crate::ground::Length;
use crate::table::TableFile;

table! {
    /// The table `on hand`.
    ON_HAND = "on hand", Noticed;
    /// A row of the table `on hand`.
    OnHand(in_error) {
        part: Word = "part", required, Text, "what it is, by any name of the part";
            |row, at| { row.needed(at); row.word(at) };
        sizes: Box<[Word]> = "size", optional, Size, "its sizes in reading order; empty for what has none";
            |row, at| row.sizes(at);
        quantity: Decimal = "quantity", required, Number, "how many pieces, or how much of a consumable in the unit of the table joints";
            |row, at| { row.needed(at); row.zero_or_more(at).unwrap_or_default() };
        length: Option<Length> = "length", optional, Length, "tube: the length of each piece";
            |row, at| row.positive_length(at);
        systems: Box<[Word]> = "system" ["systems"], optional, Text, "systems, tube families or fits it is for, parted by semicolons; empty: any";
            |row, at| row.words(at);
        variant: Word = "variant", optional, Text, "its variant";
            |row, at| row.word(at);
        color: Word = "color" ["colour"], optional, Text, "its color";
            |row, at| row.word(at);
        note: Box<str> = "note", optional, Text, "a note";
            |row, at| row.text(at).into();
    }
}

/// Reads a table of stock over a catalog, which says what is tube; rows in error stay in it.
pub(super) fn read(file: &TableFile, reading: &mut Reading, catalog: &Catalog) -> Vec<OnHand> {
    let mut seen = HashMap::new();
    reading.rows(file, &ON_HAND, |row| {
        row.doubt_if_once_more(&mut seen);
        if catalog.is_tube(row.word(PART)) {
            row.needed(LENGTH);
        }
        Some(OnHand::read(row))
    })
}

/// The places of two columns.
const PART: usize = 0;
const LENGTH: usize = 3;
