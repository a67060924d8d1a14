//! The columns of the sheet Order: what is ordered first and printed, how it is worked out behind it, the integer ids
//! that formulas look up last. No cells are written here.

use super::Book;
use super::look::Kind;
use super::page::{Column, column};

// What is ordered: these columns are printed.
pub(super) const ALTERNATIVE: u16 = 0;
pub(super) const SUPPLIER: u16 = 1;
pub(super) const CODE: u16 = 2;
pub(super) const PART: u16 = 3;
pub(super) const SYSTEM: u16 = 4;
pub(super) const SIZE: u16 = 5;
pub(super) const PHASE: u16 = 6;
pub(super) const UNIT: u16 = 7;
pub(super) const NEED: u16 = 8;
pub(super) const ALLOW: u16 = 9;
pub(super) const ON_HAND: u16 = 10;
pub(super) const SOLD_AS: u16 = 11;
pub(super) const PACKS: u16 = 12;
pub(super) const BUY: u16 = 13;
pub(super) const LEFT_OVER: u16 = 14;
pub(super) const PACK_PRICE: u16 = 15;
pub(super) const EXTENDED: u16 = 16;
pub(super) const CHECK: u16 = 17;
// How it is worked out; one column is left empty before it.
pub(super) const PERCENT: u16 = 19;
pub(super) const SHELF: u16 = 20;
pub(super) const TO_BUY: u16 = 21;
pub(super) const PACK: u16 = 22;
pub(super) const CHOSEN: u16 = 23;
pub(super) const PRICE: u16 = 24;
pub(super) const DISCOUNT: u16 = 25;

/// The columns behind the discounts, whose number the price list decides.
#[derive(Clone, Copy)]
pub(super) struct Behind {
    pub(super) net: u16,
    pub(super) per: u16,
    pub(super) alternative_id: u16,
    pub(super) line_id: u16,
    pub(super) item_id: u16,
    pub(super) offer_id: u16,
    pub(super) offer_row: u16,
    pub(super) cost_line: u16,
    pub(super) supplier_id: u16,
    pub(super) row_id: u16,
    pub(super) not_priced: u16,
    pub(super) chosen_amount: u16,
    pub(super) planned_for: u16,
    pub(super) out_of_step: u16,
    pub(super) tax: u16,
}

impl Behind {
    /// For so many columns of discounts.
    pub(super) fn new(discounts: u16) -> Self {
        let at = |n: u16| DISCOUNT + discounts + n;
        Self {
            net: at(0),
            per: at(1),
            // One column is left empty before the keys.
            alternative_id: at(3),
            line_id: at(4),
            item_id: at(5),
            offer_id: at(6),
            offer_row: at(7),
            cost_line: at(8),
            supplier_id: at(9),
            row_id: at(10),
            not_priced: at(11),
            chosen_amount: at(12),
            planned_for: at(13),
            out_of_step: at(14),
            tax: at(15),
        }
    }
}

/// All columns with their headings and widths.
pub(super) fn columns(book: &Book<'_>, at: Behind) -> Vec<Column> {
    let mut columns = vec![
        column("alternative", 12.5, Kind::Text),
        column("supplier", book.supplier_width(), Kind::Text),
        column("code", 9.0, Kind::Text),
        column("part", 22.0, Kind::Text),
        column("system", 13.0, Kind::Text),
        column("size", 13.0, Kind::Text),
        column("phase", 10.0, Kind::Text),
        column("unit", 6.0, Kind::Text),
        column("need", 9.0, Kind::Whole),
        column("allow", 7.0, Kind::Whole),
        column("on hand", 8.0, Kind::Whole),
        column("sold as", 15.0, Kind::Text),
        column("packs", 7.0, Kind::Whole),
        column("buy", 9.0, Kind::Whole),
        column("left over", 9.0, Kind::Whole),
        column("pack price", 10.0, Kind::Price),
        column("extended", 11.0, Kind::Money),
        column("check", 13.0, Kind::Text),
        column("", 2.0, Kind::Text),
        column("allow %", 8.0, Kind::Percent),
        column("from the shelf", 8.0, Kind::Whole),
        column("to buy", 9.0, Kind::Whole),
        column("pack", 8.0, Kind::Whole),
        column("packs chosen", 8.0, Kind::Whole),
        column("price", 9.0, Kind::Price),
    ];
    for n in 1..=book.prices.discounts {
        columns.push(column(&format!("off {n} %"), 7.0, Kind::Percent));
    }
    columns.extend([
        column("net", 9.0, Kind::Price),
        column("price for", 8.0, Kind::Percent),
        column("", 2.0, Kind::Text),
    ]);
    for key in [
        "alternative id",
        "line id",
        "item id",
        "offer id",
        "row in Prices",
        "cost line id",
        "supplier id",
        "row id",
        "not priced",
        "in packs chosen",
        "planned for",
        "out of step",
        "sales tax",
    ] {
        columns.push(column(key, 9.5, Kind::Percent));
    }
    debug_assert_eq!(columns.len(), usize::from(at.tax) + 1);
    columns
}
