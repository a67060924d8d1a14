//! Sizes of tube: each a name with an order, and the published diameters.

use rust_decimal::Decimal;

use crate::ground::Length;
use crate::table::TableFile;
use crate::trade::lexicon::Word;
use crate::trade::reading::{Reading, Row};
use crate::trade::shape::table;

table! {
    /// The table `sizes`.
    SIZES = "sizes", Noticed;
    /// A row of the table `sizes`.
    TubeSize {
        tube: Word = "tube", required, Text, "the tube family";
            |row, at| { row.needed(at); row.word(at) };
        size: Word = "size", required, Size, "the size, a name: 3/4, 15 mm";
            |row, at| { row.needed(at); row.size(at).unwrap_or_default() };
        order: Decimal = "order", required, Number, "its place among the sizes of the tube: larger is larger";
            |row, at| { row.needed(at); row.number(at).value().unwrap_or_default() };
        variant: Word = "variant", optional, Text, "the variant the figures are for";
            |row, at| row.word(at);
        outside: Option<Length> = "outside", optional, Length, "outside diameter";
            |row, at| row.positive_length(at);
        inside: Option<Length> = "inside", optional, Length, "inside diameter";
            |row, at| row.positive_length(at);
        source: Box<str> = "source", optional, Text, "where the figures are published";
            |row, at| row.text(at).into();
    }
}

/// Reads a table of sizes; rows without tube, size or order are left out with a notice.
pub(super) fn read(file: &TableFile, reading: &mut Reading) -> Vec<TubeSize> {
    reading.rows(file, &SIZES, |row| Some(TubeSize::read(row)).filter(|_| !row.in_error()))
}
