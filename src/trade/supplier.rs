//! Suppliers: what they charge beside their goods.

use rust_decimal::Decimal;

use super::lexicon::Word;
use super::reading::Reading;
use super::reading::findings::below_zero;
use super::shape::shape;
use crate::ground::RowAt;
use crate::table::TableFile;

shape! {
    /// The table `suppliers`.
    SUPPLIERS = "suppliers", Noticed, Column {
        Supplier = "supplier", required, Text, "who sells, as the price lists name them";
        Fee = "delivery fee" ["delivery"], optional, Number, "charged once an order";
        Least = "least order", optional, Number, "the least sum of its goods: an order reaches it, with whole packs more if need be, or is not given";
        Note = "note", optional, Text, "a note";
    }
}

/// A row of the table `suppliers`.
#[derive(Debug, Clone)]
pub struct Supplier {
    /// Where it stands.
    pub row: RowAt,
    /// Whether a cell of the row was misread.
    pub in_error: bool,
    /// Who sells.
    pub supplier: Word,
    /// Charged once an order.
    pub delivery_fee: Decimal,
    /// The least sum of an order.
    pub least_order: Decimal,
    /// A note, as written.
    pub note: Box<str>,
}

/// Reads a table of suppliers; rows in error stay in it.
pub(super) fn read(file: &TableFile, reading: &mut Reading) -> Vec<Supplier> {
    let mut list = Vec::new();
    reading.read(file, &SUPPLIERS, |row| {
        row.needed(Column::Supplier);
        let sums =
            [(Column::Fee, "delivery fee"), (Column::Least, "least order")].map(|(column, heading)| {
                let sum = row.sum(column).value().unwrap_or_default();
                if sum.is_sign_negative() {
                    row.trouble(column, below_zero(heading, sum));
                }
                sum
            });
        list.push(Supplier {
            row: row.at(),
            in_error: row.in_error(),
            supplier: row.word(Column::Supplier),
            delivery_fee: sums[0],
            least_order: sums[1],
            note: row.text(Column::Note).into(),
        });
    });
    list
}
