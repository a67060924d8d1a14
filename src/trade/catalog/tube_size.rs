//! Sizes of tube: each a name with an order, and the published diameters.

use rust_decimal::Decimal;

use crate::ground::{Length, RowAt};
use crate::table::TableFile;
use crate::trade::lexicon::Word;
use crate::trade::reading::Reading;
use crate::trade::shape::shape;

shape! {
    /// The table `sizes`.
    SIZES = "sizes", Noticed, Column {
        Tube = "tube", required, Text, "the tube family";
        Size = "size", required, Size, "the size, a name: 3/4, 15 mm";
        Order = "order", required, Number, "its place among the sizes of the tube: larger is larger";
        Variant = "variant", optional, Text, "the variant the figures are for";
        Outside = "outside", optional, Length, "outside diameter";
        Inside = "inside", optional, Length, "inside diameter";
        Source = "source", optional, Text, "where the figures are published";
    }
}

/// A row of the table `sizes`.
#[derive(Debug, Clone)]
pub struct TubeSize {
    /// Where it stands.
    pub row: RowAt,
    /// The tube family.
    pub tube: Word,
    /// The size, a name.
    pub size: Word,
    /// Its place among the sizes of the tube: larger is larger.
    pub order: Decimal,
    /// The variant the figures are for.
    pub variant: Word,
    /// Outside diameter.
    pub outside: Option<Length>,
    /// Inside diameter.
    pub inside: Option<Length>,
    /// Where the figures are published.
    pub source: Box<str>,
}

/// Reads a table of sizes; rows without tube, size or order are left out with a notice.
pub(super) fn read(file: &TableFile, reading: &mut Reading) -> Vec<TubeSize> {
    let mut list = Vec::new();
    reading.read(file, &SIZES, |row| {
        for needed in [Column::Tube, Column::Size, Column::Order] {
            row.needed(needed);
        }
        let tube_size = TubeSize {
            row: row.at(),
            tube: row.word(Column::Tube),
            size: row.size(Column::Size).unwrap_or_default(),
            order: row.number(Column::Order).value().unwrap_or_default(),
            variant: row.word(Column::Variant),
            outside: row.positive_length(Column::Outside),
            inside: row.positive_length(Column::Inside),
            source: row.text(Column::Source).into(),
        };
        if !row.in_error() {
            list.push(tube_size);
        }
    });
    list
}
