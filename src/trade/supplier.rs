//! Suppliers: what they charge beside their goods.

use rust_decimal::Decimal;

use super::lexicon::Word;
use super::reading::{Reading, Row};
use super::shape::table;
use crate::table::TableFile;

table! {
    /// The table `suppliers`.
    SUPPLIERS = "suppliers", Noticed;
    /// A row of the table `suppliers`.
    Supplier(in_error) {
        supplier: Word = "supplier", required, Text, "who sells, as the price lists name them";
            |row, at| { row.needed(at); row.word(at) };
        delivery_fee: Decimal = "delivery fee" ["delivery"], optional, Number, "charged once an order";
            |row, at| row.sum_or_zero(at);
        least_order: Decimal = "least order", optional, Number, "the least sum of its goods: an order reaches it, with whole packs more if need be, or is not given";
            |row, at| row.sum_or_zero(at);
        note: Box<str> = "note", optional, Text, "a note";
            |row, at| row.text(at).into();
    }
}

/// Reads a table of suppliers; rows in error stay in it.
pub(super) fn read(file: &TableFile, reading: &mut Reading) -> Vec<Supplier> {
    reading.rows(file, &SUPPLIERS, |row| Some(Supplier::read(row)))
}
