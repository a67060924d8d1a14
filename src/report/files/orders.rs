//! `orders.csv` and the orders of `estimate.json`: what is ordered of whom for which phase, with what an order needs
//! beside the goods. In the file the first order of a supplier that charges for delivery has a row for the fee, so that
//! its rows come to what it will bill.

use crate::estimate::item::ItemId;
use crate::estimate::order::Pick;
use crate::report::facts::{OrderRow, Sent, Wording, fee_for_days, rows, sent};
use crate::report::form::{
    CENTS, Column, DAY, PLACE, PRICE, QUANTITY, TEXT, Value, csv, fields, in_both, in_csv, in_json, whole,
};
use crate::trade::Offer;

/// A row of an order: a pick with its offer, or the fee for the delivery.
#[derive(Clone, Copy)]
pub(super) struct Row<'r, 'a> {
    order: &'r Sent<'r, 'a>,
    goods: Option<(&'r OrderRow<'a>, &'a Pick, &'a Offer)>,
}

impl<'r, 'a> Row<'r, 'a> {
    /// What goods say; `fee` is what stands there in the row of the fee.
    fn of(&self, goods: impl FnOnce(&OrderRow<'a>, &Pick, &Offer) -> Value, fee: impl Into<Value>) -> Value {
        self.goods.map_or_else(|| fee.into(), |(row, pick, offer)| goods(row, pick, offer))
    }

    /// The item; a fee is none.
    fn item(&self) -> Option<ItemId> {
        self.goods.map(|(row, _, _)| row.line.item)
    }
}

/// What stands in the row of a fee where goods have something else.
const ORDER: &str = "order";

pub(super) fn columns<'r, 'a>() -> [Column<Row<'r, 'a>>; 22] {
    [
        in_csv("supplier", "who is to deliver", |_, row| row.order.supplier.into()),
        in_csv("phase", "the phase that needs it", |_, row| row.order.phase.word().into()),
        in_csv("job", "the name of the job", |w, _| w.job_called().into()),
        in_csv("job reference", "your reference", |w, _| (&*w.job.settings.order.reference).into()),
        in_csv("ship to", "the address", |w, _| (&*w.job.settings.order.ship_to).into()),
        in_csv("needed", "the day on which the phase needs it", |w, row| {
            w.job.settings.order.needed_for(row.order.phase).into()
        }),
        in_both(["code", "code"], TEXT.or_null(), "the supplier's own code", |_, row| {
            row.of(|_, _, o| (&*o.code).into(), None::<&str>)
        }),
        in_csv("description", "the supplier's own words", |w, row| {
            row.of(|_, _, o| (&*o.description).into(), fee_for_days(w, row.order.supplier))
        }),
        in_json("item", PLACE.or_null(), "its place in the list of items", |_, row| {
            row.item().map(|id| whole(id.0)).into()
        }),
        in_csv("part", "what it is", |w, row| row.of(|r, _, _| w.part_name(r.line.item).into(), "delivery")),
        in_csv("system", "the system it is for", |w, row| row.item().map(|id| w.item_system(id)).into()),
        in_csv("size", "its sizes", |w, row| row.item().map(|id| Value::Size(w.sizes(id))).into()),
        in_csv("variant", "its variant and color", |w, row| row.item().map(|id| w.variant(id)).into()),
        in_csv("sold as", "how it is sold; of what is loose the unit", |w, row| {
            row.of(|r, _, o| r.ordered_as(w, o).into(), ORDER)
        }),
        in_csv("packs", "how many; of what is loose how much", |_, row| {
            row.of(|r, p, _| Value::Quantity(r.ordered(p)), whole(1))
        }),
        in_json("sold_as", TEXT, "how it is sold", |w, row| row.of(|_, _, o| w.sold_as(o).into(), ORDER)),
        in_json("packs", QUANTITY, "how many packs", |_, row| {
            row.of(|_, p, _| Value::Quantity(p.packs), whole(1))
        }),
        in_both(["price", "price"], PRICE, "the net price of one", |_, row| {
            row.of(|_, p, _| Value::Price(p.price), Value::Price(row.order.fee))
        }),
        in_both(["per", "per"], TEXT, "what the price is for", |w, row| {
            row.of(|_, _, o| w.ordered_per(o).into(), ORDER)
        }),
        in_both(["extended", "extended"], CENTS, "what it comes to", |_, row| {
            row.of(|_, p, _| Value::Cents(p.extended), Value::Cents(row.order.fee))
        }),
        in_csv("prices", "as listed, or that they are changed for a trial", |w, _| w.prices().into()),
        in_csv("estimate", "complete, or INCOMPLETE", |w, _| w.mark(0).into()),
    ]
}

fn goods<'r, 'a>(order: &'r Sent<'r, 'a>) -> impl Iterator<Item = Row<'r, 'a>> {
    let picks = order.rows.iter().filter_map(|(_, row)| row.pick.map(|(pick, offer)| (*row, pick, offer)));
    picks.map(move |goods| Row { order, goods: Some(goods) })
}

/// The bytes of the file.
pub(super) fn write(words: &Wording<'_>) -> Vec<u8> {
    let orders = rows::order(words);
    let sent = sent(words, &orders);
    let rows = sent.iter().flat_map(|order| {
        let fee = (!order.fee.is_zero()).then_some(Row { order, goods: None });
        goods(order).chain(fee)
    });
    csv::table(words, &columns(), rows)
}

fields! {
    /// An order of the chosen alternative in `estimate.json`.
    pub(super) fn put / shape (out, words: &Wording<'_>, order: &Sent<'_, '_>) with {
        let terms = &words.job.settings.order;
        let columns = columns();
    } {
        put "supplier": TEXT, "who is to deliver" => order.supplier;
        put "phase": TEXT, "the phase that needs it" => order.phase.word();
        put "job_reference": TEXT, "your reference" => &*terms.reference;
        put "ship_to": TEXT, "the address" => &*terms.ship_to;
        put "needed": DAY.or_null(), "the day on which the phase needs it" => terms.needed_for(order.phase);
        rows "lines": &self::columns(), "what is ordered" => words, &columns, goods(order);
        put "goods": CENTS, "what its lines come to" => Value::Cents(order.goods());
        put "delivery": CENTS, "the delivery fee, with the first order of a supplier" => Value::Cents(order.fee);
    }
}
