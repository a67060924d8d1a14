//! The CSV files that go to suppliers: `orders.csv`, what is ordered of whom for which phase, and
//! `request-for-quote.csv`, the whole need without prices, which is a price list once they are filled in. Called by
//! [`super::bytes`]; it touches no disk.

use rust_decimal::Decimal;

use super::csv_table::{Cell, Table};
use super::rows;
use super::sent::{Asked, asked, fee_for_days, sent};
use super::wording::{Wording, plain};
use super::{AS_LISTED, INCOMPLETE, marks};
use crate::ground::Length;
use crate::trade::{Class, SoldAs};

/// The row of a delivery fee, among parts.
const DELIVERY: &str = "delivery";

/// `orders.csv`: a row a pick, by supplier and phase, with what an order needs beside the goods. Of a
/// supplier that charges for delivery its first order has a row for the fee, so that its rows come to what it will bill.
pub(super) fn orders(wording: &Wording<'_>) -> String {
    let mut table = Table::new(&[
        "supplier",
        "phase",
        "job",
        "job reference",
        "ship to",
        "needed",
        "code",
        "description",
        "part",
        "system",
        "size",
        "variant",
        "sold as",
        "packs",
        "price",
        "per",
        "extended",
        "prices",
        "estimate",
    ]);
    let orders = rows::order(wording);
    let terms = &wording.job.settings;
    let prices = wording.tried().unwrap_or_else(|| AS_LISTED.to_owned());
    let mark = marks(wording).first().copied().unwrap_or(INCOMPLETE);
    let job = match wording.tried() {
        Some(tried) => format!("{} ({tried})", terms.name),
        None => terms.name.to_string(),
    };
    for order in sent(wording, &orders) {
        let needed = Cell::day(terms.order.needed_for(order.phase));
        for (_, row) in &order.rows {
            let Some((pick, offer)) = row.pick else { continue };
            let item = row.line.item;
            let (number, sold) = match row.is_loose() {
                true => (pick.buy, wording.unit(item).to_owned()),
                false => (pick.packs, wording.sold_as(offer)),
            };
            table.row([
                Cell::text(order.supplier),
                Cell::text(order.phase.word()),
                Cell::text(&job),
                Cell::text(&terms.order.reference),
                Cell::text(&terms.order.ship_to),
                needed.clone(),
                Cell::text(&offer.code),
                Cell::text(&offer.description),
                Cell::text(wording.part_name(item)),
                Cell::text(wording.item_system(item)),
                Cell::size(&wording.sizes(item)),
                Cell::text(&wording.variant(item)),
                Cell::text(&sold),
                Cell::quantity(number),
                Cell::price(pick.price),
                Cell::text(&wording.ordered_per(offer)),
                Cell::cents(pick.extended),
                Cell::text(&prices),
                Cell::text(mark),
            ]);
        }
        if !order.fee.is_zero() {
            table.row([
                Cell::text(order.supplier),
                Cell::text(order.phase.word()),
                Cell::text(&job),
                Cell::text(&terms.order.reference),
                Cell::text(&terms.order.ship_to),
                needed,
                Cell::empty(),
                Cell::text(&fee_for_days(wording, order.supplier).unwrap_or_default()),
                Cell::text(DELIVERY),
                Cell::empty(),
                Cell::empty(),
                Cell::empty(),
                Cell::text("order"),
                Cell::whole(1_u32),
                Cell::price(order.fee),
                Cell::text("order"),
                Cell::cents(order.fee),
                Cell::text(&prices),
                Cell::text(mark),
            ]);
        }
    }
    table.text()
}

/// `request-for-quote.csv`: the headings of the table `prices`, and how much is asked for. Tube is asked for by the coil
/// and the stick, a row a length, each with the fewest of it that hold the need; whoever sells none of a length leaves its
/// price empty, and the cut plan is made from those that are priced.
pub(super) fn request(wording: &Wording<'_>) -> String {
    let mut table = Table::new(&[
        "supplier",
        "part",
        "size",
        "system",
        "variant",
        "color",
        "need in all",
        "quantity",
        "unit",
        "sold as",
        "pack",
        "price",
        "per",
        "code",
        "description",
        "good until",
        "section",
        "on hand",
        "estimate",
    ]);
    let mark = marks(wording).first().copied().unwrap_or(INCOMPLETE);
    let (orders, ranks) = (rows::order(wording), rows::ranks(wording));
    for one in asked(wording, &orders, &ranks) {
        let id = one.row.line.item;
        let item = wording.item(id);
        for form in forms(wording, &one) {
            table.row([
                Cell::empty(),
                Cell::text(wording.part_name(id)),
                Cell::size(&wording.sizes(id)),
                Cell::text(wording.item_system(id)),
                Cell::text(wording.word(item.variant)),
                Cell::text(item.color.word()),
                Cell::text(&form.need_in_all),
                Cell::quantity(form.quantity),
                Cell::text(&form.unit),
                Cell::text(form.sold_as),
                Cell::text(&form.pack),
                Cell::empty(),
                Cell::text(form.per),
                Cell::empty(),
                Cell::empty(),
                Cell::empty(),
                Cell::text(one.section),
                Cell::text(one.not_taken_off.as_deref().unwrap_or("")),
                Cell::text(mark),
            ]);
        }
    }
    table.text()
}

/// One way in which a line may be sold, as a supplier is asked.
struct Form {
    need_in_all: String,
    quantity: Decimal,
    unit: String,
    sold_as: &'static str,
    pack: String,
    /// What a price is for where the supplier says nothing else.
    per: &'static str,
}

/// The ways in which a line may be sold: tube by each coil and stick, else one.
fn forms(wording: &Wording<'_>, one: &Asked<'_, '_>) -> Vec<Form> {
    let unit = wording.unit(one.row.line.item);
    let quantity = one.quantity;
    let need_in_all = || format!("{} {unit}", crate::ground::money::quantity(quantity));
    let is_each = unit.eq_ignore_ascii_case("each");
    if !one.lengths.is_empty() {
        let of_length = |of: &(SoldAs, Length)| {
            let (sold_as, length) = (wording.length_sold(*of).1, of.1);
            Form {
                need_in_all: need_in_all(),
                quantity: one.fewest(wording.length(length)),
                unit: sold_as.to_owned(),
                sold_as,
                pack: format!("{} {unit}", plain(wording.shown(length))),
                per: "pack",
            }
        };
        return one.lengths.iter().map(of_length).collect();
    }
    let (need_in_all, sold_as, pack, per) = match (wording.item(one.row.line.item).class, is_each) {
        // Tube that nobody is known to sell by the length: the supplier says how.
        (Class::Tube, _) => (need_in_all(), "", String::new(), ""),
        (_, true) => (String::new(), "each", String::new(), "each"),
        (_, false) => (String::new(), "bag", format!("1 {unit}"), "pack"),
    };
    vec![Form { need_in_all, quantity, unit: unit.to_owned(), sold_as, pack, per }]
}
