//! Stock on hand: what is there already and is used first.

use std::collections::HashMap;

use rust_decimal::Decimal;

use super::catalog::Catalog;
use super::lexicon::Word;
use super::reading::Reading;
use super::shape::shape;
use crate::ground::{Length, RowAt};
use crate::table::TableFile;

shape! {
    /// The table `on hand`.
    ON_HAND = "on hand", Noticed, Column {
        Part = "part", required, Text, "what it is, by any name of the part";
        Size = "size", optional, Size, "its sizes in reading order; empty for what has none";
        Quantity = "quantity", required, Number, "how many pieces, or how much of a consumable in the unit of the table joints";
        Length = "length", optional, Length, "tube: the length of each piece";
        System = "system" ["systems"], optional, Text, "systems, tube families or fits it is for, parted by semicolons; empty: any";
        Variant = "variant", optional, Text, "its variant";
        Color = "color" ["colour"], optional, Text, "its color";
        Note = "note", optional, Text, "a note";
    }
}

/// A row of the table `on hand`.
#[derive(Debug, Clone)]
pub struct OnHand {
    /// Where it stands.
    pub row: RowAt,
    /// Whether a cell of the row was misread: it is not used.
    pub in_error: bool,
    /// What it is, by the words written.
    pub part: Word,
    /// Its sizes in reading order.
    pub sizes: Box<[Word]>,
    /// How many pieces, or how much of a consumable in the unit of its joints row.
    pub quantity: Decimal,
    /// Tube: the length of each piece.
    pub length: Option<Length>,
    /// Systems or tube families it is for; empty: any.
    pub systems: Box<[Word]>,
    /// Its variant; empty: any.
    pub variant: Word,
    /// Its color; empty: any.
    pub color: Word,
    /// A note, as written.
    pub note: Box<str>,
}

/// Reads a table of stock; rows in error stay in it.
pub(super) fn read(file: &TableFile, reading: &mut Reading, catalog: &Catalog) -> Vec<OnHand> {
    let mut list = Vec::new();
    let mut seen = HashMap::new();
    reading.read(file, &ON_HAND, |row| {
        row.doubt_if_once_more(&mut seen);
        row.needed(Column::Part);
        let part = row.word(Column::Part);
        row.needed(Column::Quantity);
        let quantity = row.zero_or_more(Column::Quantity).unwrap_or_default();
        let length = row.positive_length(Column::Length);
        if catalog.is_tube(part) {
            row.needed(Column::Length);
        }
        let mut stock = OnHand {
            row: row.at(),
            in_error: false,
            part,
            sizes: row.sizes(Column::Size),
            quantity,
            length,
            systems: row.words(Column::System),
            variant: row.word(Column::Variant),
            color: row.word(Column::Color),
            note: row.text(Column::Note).into(),
        };
        stock.in_error = row.in_error();
        list.push(stock);
    });
    list
}
