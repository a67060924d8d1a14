//! `order.csv` and the order of `estimate.json`: what is bought, one row a pick. It decides nothing.

use rust_decimal::Decimal;

use crate::estimate::item::ItemId;
use crate::estimate::order::Pick;
use crate::report::facts::{OrderRow, Wording, rows};
use crate::report::form::{
    CENTS, Column, OfItem, PERCENT, PRICE, QUANTITY, TEXT, Value, csv, in_both, in_csv, in_json, of_item,
};

impl OfItem for OrderRow<'_> {
    fn of(&self) -> (usize, ItemId) {
        (self.alternative, self.line.item)
    }
}

/// What a pick says; nothing where nothing is bought.
fn of(row: &OrderRow<'_>, value: fn(&Pick) -> Value) -> Value {
    row.pick.map(|(pick, _)| value(pick)).into()
}

pub(super) fn columns<'a>() -> [Column<OrderRow<'a>>; 27] {
    [
        in_both(["supplier", "supplier"], TEXT.or_null(), "who sells it", |w, row| {
            row.offer().map(|o| w.supplier(o)).into()
        }),
        in_both(["code", "code"], TEXT.or_null(), "the supplier's own code", |_, row| {
            row.offer().map(|o| &*o.code).into()
        }),
        of_item::part(),
        of_item::system(),
        of_item::size(),
        of_item::variant(),
        of_item::id(),
        in_both(["phase", "phase"], TEXT, "the first phase that needs it", |_, row| {
            row.line.phase.word().into()
        }),
        of_item::unit(),
        in_both(["need", "need"], QUANTITY, "what is installed", |_, row| Value::Quantity(row.need())),
        in_json("allowance_percent", PERCENT, "the allowance", |_, row| Value::Percent(row.line.allowance)),
        in_both(["allow", "allow"], QUANTITY, "what the allowance adds", |_, row| {
            Value::Quantity(row.allow())
        }),
        in_both(
            ["on hand", "on_hand"],
            QUANTITY,
            "taken from the shelf, once a line, before anything is bought",
            |_, row| Value::Quantity(if row.first { row.line.on_hand } else { Decimal::ZERO }),
        ),
        in_json("status", TEXT, STATUS, status),
        in_json("sold_as", TEXT.or_null(), "how it is sold", |w, row| {
            row.offer().map(|o| w.sold_as(o)).into()
        }),
        in_csv("pack", "what one pack holds", |w, row| {
            row.offer().map(|o| Value::Quantity(w.pack(o))).into()
        }),
        in_both(["packs", "packs"], QUANTITY.or_null(), "how many packs, coils or sticks", |_, row| {
            of(row, |p| Value::Quantity(p.packs))
        }),
        in_both(["buy", "buy"], QUANTITY.or_null(), "what is in them", |_, row| {
            of(row, |p| Value::Quantity(p.buy))
        }),
        in_both(
            ["left over", "left_over"],
            QUANTITY.or_null(),
            "bought and neither needed nor allowed for",
            |_, row| of(row, |p| Value::Quantity(p.left_over)),
        ),
        in_json("net", PRICE.or_null(), "the net price as it is quoted", |_, row| {
            of(row, |p| Value::Price(p.net))
        }),
        in_both(
            ["price", "price"],
            PRICE.or_null(),
            "the net price of one pack, or of what is loose",
            |_, row| of(row, |p| Value::Price(p.price)),
        ),
        in_both(["per", "per"], TEXT.or_null(), "what the price is for", |w, row| {
            row.offer().map(|o| w.ordered_per(o)).into()
        }),
        in_both(["extended", "extended"], CENTS.or_null(), "what it comes to", |_, row| {
            row.pick.map(|(pick, _)| pick.extended).or(row.line.extended).map(Value::Cents).into()
        }),
        in_csv("status", STATUS, status),
        in_json("price_row", TEXT.or_null(), "the row of the price list", |w, row| {
            row.offer().map(|o| w.spot(o.row)).into()
        }),
        in_csv("prices", "as listed, or that they are changed for a trial", |w, _| w.prices().into()),
        of_item::estimate(),
    ]
}

const STATUS: &str =
    "bought, on hand, built (made up from others), spared by the cut plan, nothing to buy, or not priced";

fn status(words: &Wording<'_>, row: &OrderRow<'_>) -> Value {
    row.status(words).into()
}

/// The bytes of the file: what the chosen alternative buys.
pub(super) fn write(words: &Wording<'_>) -> Vec<u8> {
    let chosen = rows::order(words).into_iter().filter(|row| row.alternative == 0);
    csv::table(words, &columns(), chosen)
}
