//! What the buying goes by beside price lists: what suppliers charge beside their goods, what is on hand and used first,
//! and held choices, so that an edited workbook can be met.

use rust_decimal::Decimal;

use super::catalog::Catalog;
use super::lexicon::Word;
use super::reading::{Reading, Row, Seen, Text};
use super::shape::table;
use crate::ground::Length;
use crate::table::TableFile;

table! {
    /// The table `suppliers`.
    SUPPLIERS = "suppliers", Noticed, SupplierColumn;
    /// A row of the table `suppliers`.
    Supplier(in_error) {
        supplier: Word = "supplier", required, Text, "who sells, as the price lists name them";
            |row, at| { row.needed(at); row.word(at) };
        delivery_fee: Decimal = "delivery fee" ["delivery"], optional, Number, "charged once an order";
            |row, at| row.sum_from_zero(at).unwrap_or_default();
        minimum_order: Decimal = "minimum order" ["least order", "least sum"], optional, Number,
            "the smallest sum of goods that it takes: an order reaches it, with whole packs more if need be, or is not placed";
            |row, at| row.sum_from_zero(at).unwrap_or_default();
        address: Text = "address", optional, Text, "its address, on orders; lines parted by semicolons";
            |row, at| row.kept(at);
        contact: Text = "contact", optional, Text, "whom to ask there: name, telephone, mail address; on orders";
            |row, at| row.kept(at);
        account: Text = "account" ["account number", "customer number"], optional, Text,
            "the number under which it knows the buyer; on orders";
            |row, at| row.kept(at);
        note: Text = "note", optional, Text, "a note";
            |row, at| row.kept(at);
    }
}

/// Reads a table of suppliers; rows in error stay in it.
pub(super) fn suppliers(file: &TableFile, reading: &mut Reading) -> Vec<Supplier> {
    reading.rows(file, &SUPPLIERS, |row| Some(Supplier::read(row)))
}

table! {
    /// The table `on hand`.
    ON_HAND = "on hand", Noticed, StockColumn;
    /// A row of the table `on hand`.
    OnHand(in_error) {
        part: Word = "part", required, Text, "what it is, by any name of the part";
            |row, at| { row.needed(at); row.word(at) };
        sizes: Box<[Word]> = "size", optional, Size, "its sizes in reading order; empty for what has none";
            |row, at| row.sizes(at);
        quantity: Decimal = "quantity", required, Number,
            "how many pieces, or how much of a consumable in the unit of the table joints";
            |row, at| { row.needed(at); row.zero_or_more(at).unwrap_or_default() };
        length: Option<Length> = "length", optional, Length, "tube: the length of each piece";
            |row, at| row.positive_length(at);
        systems: Box<[Word]> = "system" ["systems"], optional, Text,
            "systems, tube families or fits it is for, parted by semicolons; empty: any";
            |row, at| row.words(at);
        variant: Word = "variant", optional, Text, "its variant";
            |row, at| row.word(at);
        color: Word = "color" ["colour"], optional, Text, "its color";
            |row, at| row.word(at);
        note: Text = "note", optional, Text, "a note";
            |row, at| row.kept(at);
    }
}

/// Reads a table of stock over a catalog, which says what is tube; rows in error stay in it.
pub(super) fn on_hand(file: &TableFile, reading: &mut Reading, catalog: &Catalog) -> Vec<OnHand> {
    let mut seen = Seen::default();
    reading.rows(file, &ON_HAND, |row| {
        row.doubt_if_once_more(&mut seen);
        if catalog.is_tube(row.word(StockColumn::part)) {
            row.needed(StockColumn::length);
        }
        Some(OnHand::read(row))
    })
}

table! {
    /// The table `held`.
    HELD = "held", Noticed, HeldColumn;
    /// A row of the table `held`.
    Held(in_error) {
        alternative: Word = "alternative", optional, Text,
            "the alternative (its system) that keeps it; empty: all of them. A row that names one goes before those that name none";
            |row, at| row.word(at);
        part: Word = "part", required, Text, "the part that is bought";
            |row, at| { row.needed(at); row.word(at) };
        sizes: Box<[Word]> = "size", optional, Size, "its sizes";
            |row, at| row.sizes(at);
        system: Word = "system", optional, Text, "the system it is bought for";
            |row, at| row.word(at);
        variant: Word = "variant", optional, Text, "its variant";
            |row, at| row.word(at);
        color: Word = "color" ["colour"], optional, Text, "its color";
            |row, at| row.word(at);
        offer: Text = "offer", optional, Text,
            "the offer to keep, or what a fitting is made up from, as held.csv writes it";
            made_up;
        packs: Option<u32> = "packs", optional, Count, "how many of its packs";
            |row, at| row.count(at);
        plan: Box<str> = "plan", optional, Text,
            "cut plan: the number comes from a cut plan; at least: that many of the smallest packs or more, even where fewer would do";
            |row, at| row.text(at).into();
    } unread {
        estimate = "estimate", optional, Text, "of held.csv: whether the estimate was complete; changes nothing";
    }
}

/// The offer to keep, or what a fitting is made up from: "built from" says the same.
fn made_up(row: &mut Row<'_, '_>, at: usize) -> Text {
    match row.text(at).strip_prefix("built from ") {
        Some(parts) => format!("made up from {parts}").into(),
        None => row.kept(at),
    }
}

/// Reads a table of held choices.
pub(super) fn held(file: &TableFile, reading: &mut Reading) -> Vec<Held> {
    let mut seen = Seen::default();
    reading.rows(file, &HELD, |row| {
        row.doubt_if_once_more(&mut seen);
        Some(Held::read(row))
    })
}
