//! The CSV files that go to suppliers: `orders.csv`, what is ordered of whom for which phase, and
//! `request-for-quote.csv`, the whole need without prices, which is a price list once they are filled in. Called by
//! [`super::bytes`]; it touches no disk.

use super::csv_out::{Table, cents, text};
use super::rows;
use super::sent::{Asked, asked, fee_for_days, sent};
use super::wording::{Wording, plain, to_places};
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
    ]);
    let orders = rows::order(wording);
    let terms = &wording.job.terms;
    let job = match wording.tried() {
        Some(tried) => format!("{} ({tried})", terms.name),
        None => terms.name.to_string(),
    };
    for order in sent(wording, &orders) {
        let needed = terms.order.needed_for(order.phase).map(|day| day.to_string()).unwrap_or_default();
        for (_, row) in &order.rows {
            let Some((pick, offer)) = row.pick else { continue };
            let item = row.line.item;
            let (number, sold) = match row.is_loose() {
                true => (to_places(pick.buy, 4), wording.unit(item).to_owned()),
                false => (plain(pick.packs), wording.sold_as(offer)),
            };
            table.row([
                text(order.supplier),
                order.phase.word().to_owned(),
                text(&job),
                text(&terms.order.reference),
                text(&terms.order.ship_to),
                needed.clone(),
                text(&offer.code),
                text(&offer.description),
                text(wording.part_name(item)),
                text(wording.item_system(item)),
                text(&wording.sizes(item)),
                text(&wording.variant(item)),
                text(&sold),
                number,
                plain(pick.price),
                text(&wording.ordered_per(offer)),
                cents(pick.extended),
            ]);
        }
        if !order.fee.is_zero() {
            let [none, one] = [String::new(), "1".to_owned()];
            table.row([
                text(order.supplier),
                order.phase.word().to_owned(),
                text(&job),
                text(&terms.order.reference),
                text(&terms.order.ship_to),
                needed,
                none.clone(),
                fee_for_days(wording, order.supplier).unwrap_or_default(),
                DELIVERY.to_owned(),
                none.clone(),
                none.clone(),
                none,
                "order".to_owned(),
                one,
                plain(order.fee),
                "order".to_owned(),
                cents(order.fee),
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
    ]);
    let (orders, ranks) = (rows::order(wording), rows::ranks(wording));
    for one in asked(wording, &orders, &ranks) {
        let id = one.row.line.item;
        let item = wording.item(id);
        let size = as_text(&wording.sizes(id));
        for form in forms(wording, &one) {
            table.row([
                String::new(),
                text(wording.part_name(id)),
                text(&size),
                text(wording.item_system(id)),
                text(wording.word(item.variant)),
                item.color.word().to_owned(),
                form.need_in_all,
                form.quantity,
                form.unit,
                form.sold_as.to_owned(),
                form.pack,
                String::new(),
                form.per.to_owned(),
                String::new(),
                String::new(),
                String::new(),
                text(one.section),
            ]);
        }
    }
    table.text()
}

/// A size as a spreadsheet leaves it: `1/2` alone becomes a day there, `1/2"` does not, and reads the same.
fn as_text(size: &str) -> String {
    let fraction =
        size.contains('/') && size.bytes().all(|byte| byte.is_ascii_digit() || b"/-".contains(&byte));
    if fraction { format!("{size}\"") } else { size.to_owned() }
}

/// One way in which a line may be sold, as a supplier is asked.
struct Form {
    need_in_all: String,
    quantity: String,
    unit: String,
    sold_as: &'static str,
    pack: String,
    /// What a price is for where the supplier says nothing else.
    per: &'static str,
}

/// The ways in which a line may be sold: tube by each coil and stick, else one.
fn forms(wording: &Wording<'_>, one: &Asked<'_, '_>) -> Vec<Form> {
    let unit = wording.unit(one.row.line.item);
    let quantity = to_places(one.quantity, 4);
    let need_in_all = || match &one.not_taken_off {
        Some(words) => format!("{quantity} {unit}; {words}"),
        None => format!("{quantity} {unit}"),
    };
    let is_each = unit.eq_ignore_ascii_case("each");
    if !one.lengths.is_empty() {
        let of_length = |of: &(SoldAs, Length)| {
            let (sold_as, length) = (wording.length_sold(*of).1, of.1);
            Form {
                need_in_all: need_in_all(),
                quantity: plain(one.fewest(wording.length(length))),
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
