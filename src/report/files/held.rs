//! `held.csv`: the choices of every alternative, as the table `held` takes them.

use std::collections::BTreeSet;

use crate::estimate::buying::Market;
use crate::estimate::item::ItemId;
use crate::report::facts::{Wording, rows};
use crate::report::form::{Column, OfItem, Value, csv, in_csv, of_item};

/// One choice. Each alternative buys for itself, and what two of them use may be bought otherwise in each.
pub(super) struct Row {
    alternative: usize,
    item: ItemId,
    offer: String,
    packs: Value,
    plan: &'static str,
}

impl OfItem for Row {
    fn of(&self) -> (usize, ItemId) {
        (self.alternative, self.item)
    }
}

pub(super) const COLUMNS: [Column<Row>; 10] = [
    of_item::alternative(),
    of_item::part(),
    of_item::size(),
    of_item::system(),
    in_csv("variant", "its variant", |w, row| w.word(w.item(row.item).variant).into()),
    in_csv("color", "its color", |w, row| w.item(row.item).color.word().into()),
    in_csv("offer", "the offer that is chosen, or what it is made up from", |_, row| (&row.offer).into()),
    in_csv("packs", "how many packs; empty where the number follows from the need", |_, row| {
        row.packs.clone()
    }),
    in_csv("plan", "cut plan, or at least: more than the need asks for", |_, row| row.plan.into()),
    of_item::estimate(),
];

/// The bytes of the file. A choice that several lines say stands in it once.
pub(super) fn write(words: &Wording<'_>) -> Vec<u8> {
    let mut written = BTreeSet::new();
    let market = Market::open(words.job);
    let of_line = |row: rows::OrderRow<'_>| {
        let built = words.estimate.alternatives[row.alternative].built.iter();
        let mut built = built.filter(|built| row.first && built.item == row.line.item);
        let (offer, packs, plan) = match (row.pick, built.next()) {
            (Some((pick, _)), _) => (
                market.kept_as(pick.offer),
                // Of loose tube in another unit the number is no whole one; it follows from the need in any case.
                Some(pick.packs).filter(rust_decimal::Decimal::is_integer).map(Value::Whole).into(),
                match (row.plan.is_some(), row.is_more_than_fewest(words)) {
                    (true, _) => "cut plan",
                    (false, true) => "at least",
                    (false, false) => "",
                },
            ),
            (None, Some(built)) => (market.made_up_as(&words.estimate.items, built), Value::Nothing, ""),
            (None, None) => return None,
        };
        Some(Row { alternative: row.alternative, item: row.line.item, offer, packs, plan })
    };
    let rows = rows::order(words).into_iter().filter_map(of_line);
    let is_new = |row: &Row| written.insert(COLUMNS.map(|column| (column.cell)(words, row)));
    csv::table(words, &COLUMNS, rows.filter(is_new))
}
