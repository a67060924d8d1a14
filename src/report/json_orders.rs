//! The blocks of `estimate.json` that go to suppliers: orders by supplier and phase, the request for quotes, what may go
//! back. Called by [`super::json_out`] alone.

use rust_decimal::Decimal;
use serde::Serialize;

use super::rows::OrderRow;
use super::sent::{asked, back, sent};
use super::wording::Wording;
use crate::estimate::buying::Market;
use crate::ground::money::{cents, price, quantity};

/// The order of one phase to one supplier.
#[derive(Serialize)]
pub(super) struct SentOut<'a> {
    supplier: &'a str,
    phase: &'static str,
    job_reference: &'a str,
    ship_to: &'a str,
    needed: Option<String>,
    lines: Vec<SentLineOut<'a>>,
    goods: String,
    /// The delivery fee, with the first order of a supplier.
    delivery: String,
}

#[derive(Serialize)]
struct SentLineOut<'a> {
    code: &'a str,
    item: u32,
    sold_as: String,
    packs: String,
    price: String,
    per: String,
    extended: String,
}

/// What one line asks for.
#[derive(Serialize)]
pub(super) struct AskedOut<'a> {
    section: &'a str,
    item: u32,
    quantity: String,
    /// Of tube: the coils and sticks asked for.
    lengths: Vec<String>,
    priced: bool,
    nearest: Vec<String>,
}

/// Packs that may go back.
#[derive(Serialize)]
pub(super) struct BackOut<'a> {
    supplier: &'a str,
    code: &'a str,
    item: u32,
    sold_as: String,
    whole_packs_left: String,
    whole_packs_left_without_allowance: String,
}

/// The orders of the chosen alternative.
pub(super) fn orders<'a>(words: &Wording<'a>, orders: &[OrderRow<'a>]) -> Vec<SentOut<'a>> {
    let terms = &words.job.settings.order;
    let of_one = |order: super::sent::Sent<'_, 'a>| {
        let picks = || order.rows.iter().filter_map(|(_, row)| Some((row, row.pick?)));
        SentOut {
            supplier: order.supplier,
            phase: order.phase.word(),
            job_reference: &terms.reference,
            ship_to: &terms.ship_to,
            needed: terms.needed_for(order.phase).map(|day| day.to_string()),
            delivery: cents(order.fee),
            goods: cents(picks().map(|(_, (pick, _))| pick.extended).sum()),
            lines: picks()
                .map(|(row, (pick, offer))| SentLineOut {
                    code: &offer.code,
                    item: row.line.item.0,
                    sold_as: words.sold_as(offer),
                    packs: quantity(pick.packs),
                    price: price(pick.price),
                    per: words.ordered_per(offer),
                    extended: cents(pick.extended),
                })
                .collect(),
        }
    };
    sent(words, orders).into_iter().map(of_one).collect()
}

/// The whole need of the chosen alternative.
pub(super) fn request<'a>(words: &Wording<'a>, orders: &[OrderRow<'a>], ranks: &[u32]) -> Vec<AskedOut<'a>> {
    let market = Market::open(words.job);
    let of_one = |one: super::sent::Asked<'_, 'a>| AskedOut {
        section: one.section,
        item: one.row.line.item.0,
        quantity: quantity(one.quantity),
        lengths: one.lengths.iter().map(|length| words.length_sold(*length).0).collect(),
        priced: !one.row.is_not_priced(),
        nearest: one.nearest.iter().map(|id| market.offer_called(*id)).collect(),
    };
    asked(words, orders, ranks).into_iter().map(of_one).collect()
}

/// What may go back; lines of which nothing would be left whole are left out.
pub(super) fn returns<'a>(words: &Wording<'a>, orders: &[OrderRow<'a>]) -> Vec<BackOut<'a>> {
    let list = back(words, orders).into_iter().filter(|one| one.at_most > Decimal::ZERO);
    let of_one = |one: super::sent::Back<'_, 'a>| {
        let (_, offer) = one.row.pick?;
        Some(BackOut {
            supplier: words.supplier(offer),
            code: &offer.code,
            item: one.row.line.item.0,
            sold_as: words.sold_as(offer),
            whole_packs_left: quantity(one.surely),
            whole_packs_left_without_allowance: quantity(one.at_most),
        })
    };
    list.filter_map(of_one).collect()
}
