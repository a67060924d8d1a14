//! The CSV files that go to suppliers: `orders.csv`, what is ordered of whom for which phase, and
//! `request-for-quote.csv`, the whole need without prices, which is a price list once they are filled in. Called by
//! [`super::bytes`]; it touches no disk.

use rust_decimal::Decimal;

use super::csv_out::{Table, cents, text};
use super::rows;
use super::sent::{asked, sent};
use super::wording::{Wording, plain, to_places};
use crate::trade::{Class, SoldAs};

/// `orders.csv`: a row a pick, by supplier and phase, with what an order needs beside the goods.
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
                cents(pick.extended),
            ]);
        }
    }
    table.text()
}

/// `request-for-quote.csv`: the headings of the table `prices`, and how much is asked for.
pub(super) fn request(wording: &Wording<'_>) -> String {
    let mut table = Table::new(&[
        "supplier",
        "part",
        "size",
        "system",
        "variant",
        "color",
        "quantity",
        "unit",
        "price",
        "sold as",
        "pack",
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
        let unit = wording.unit(id);
        // What a price is for where the supplier says nothing else: a foot, a piece, one unit of an amount.
        let is_each = unit.eq_ignore_ascii_case("each");
        let (sold, pack, per) = match (item.class, is_each) {
            (Class::Tube, _) => (SoldAs::Each, String::new(), unit.to_owned()),
            (_, true) => (SoldAs::Each, String::new(), "each".to_owned()),
            (_, false) => (SoldAs::Bag, format!("1 {unit}"), "pack".to_owned()),
        };
        table.row([
            String::new(),
            text(wording.part_name(id)),
            text(&wording.sizes(id)),
            text(wording.item_system(id)),
            text(wording.word(item.variant)),
            item.color.word().to_owned(),
            to_places(one.quantity.max(Decimal::ZERO), 4),
            unit.to_owned(),
            String::new(),
            if sold == SoldAs::Bag { "bag" } else { "each" }.to_owned(),
            pack,
            per,
            String::new(),
            String::new(),
            String::new(),
            text(one.section),
        ]);
    }
    table.text()
}
