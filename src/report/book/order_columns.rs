//! The columns of the sheet Order: what is ordered first and printed, how it is worked out behind it, the integer ids
//! that formulas look up last. No cells are written here.

use super::Book;
use crate::report::form::{Kind, SheetColumn, column, columns};

columns! {
    pub(super) (suppliers: f64)
    SUPPLIER "supplier", suppliers, Text;
    CODE "code", 8.5, Text;
    PART "part", 19.0, Text;
    SYSTEM "system", 13.0, Text;
    SIZE "size", 21.0, Text;
    NEED "need", 9.0, Whole;
    UNIT "unit", 5.5, Text;
    ALLOW "allow", 6.5, Whole;
    ON_HAND "on hand", 7.0, Whole;
    SOLD_AS "sold as", 14.0, Text;
    PACKS "packs", 6.5, Whole;
    BUY "buy", 8.0, Whole;
    LEFT_OVER "left over", 8.0, Whole;
    PACK_PRICE "pack price", 9.0, Price;
    EXTENDED "extended", 10.0, Money;
    CHECK "check", 16.0, Text;
    ALTERNATIVE "alternative", 24.0, Text;
    PHASE "phase", 11.0, Text;
    GAP "", 2.0, Text;
    PERCENT "allow %", 8.0, Percent;
    SHELF "from the shelf", 8.0, Whole;
    TO_BUY "to buy", 9.0, Whole;
    PACK "pack", 8.0, Whole;
    CHOSEN "packs chosen", 8.0, Whole;
    PRICE "price", 9.0, Price;
}

/// The first column of discounts, of which there are as many as the price list has.
pub(super) const DISCOUNT: u16 = PRICE + 1;

/// The columns behind the discounts, each with its heading and width.
macro_rules! behind {
    ($($name:ident $heading:expr, $width:expr, $kind:ident;)+) => {
        /// The columns behind the discounts, whose number the price list decides.
        #[allow(dead_code, reason = "no formula names a gap")]
        #[derive(Clone, Copy)]
        pub(super) struct Behind {
            $(pub(super) $name: u16),+
        }

        impl Behind {
            /// For so many columns of discounts.
            pub(super) fn new(discounts: u16) -> Self {
                let mut places = DISCOUNT + discounts..;
                $(let $name = places.next().unwrap_or(u16::MAX);)+
                Self { $($name),+ }
            }

            fn columns() -> Vec<SheetColumn> {
                vec![$(column($heading, $width, Kind::$kind)),+]
            }
        }
    };
}

behind! {
    net "net", 9.0, Price;
    per "price for", 8.0, Percent;
    gap "", 2.0, Text;
    alternative_id "alternative id", 9.5, Percent;
    line_id "line id", 9.5, Percent;
    item_id "item id", 9.5, Percent;
    offer_id "offer id", 9.5, Percent;
    offer_row "row in Prices", 9.5, Percent;
    cost_line "cost line id", 9.5, Percent;
    supplier_id "supplier id", 9.5, Percent;
    row_id "row id", 9.5, Percent;
    not_priced "not priced", 9.5, Percent;
    chosen_amount "in packs chosen", 9.5, Percent;
    planned_for "planned for", 9.5, Percent;
    out_of_step "out of step", 9.5, Percent;
    tax "sales tax", 9.5, Percent;
    other "cheapest other offer", 9.5, Money;
    cheaper "is cheaper now", 9.5, Percent;
}

/// All columns with their headings and widths.
pub(super) fn all(book: &Book<'_>) -> Vec<SheetColumn> {
    let mut all = columns(book.supplier_width());
    all.extend((1..=book.prices.discounts).map(|n| column(&format!("off {n} %"), 7.0, Kind::Percent)));
    all.extend(Behind::columns());
    all
}
