//! `request-for-quote.csv` and the request of `estimate.json`: the whole need without prices. The file has the headings of
//! the table `prices`, and is a price list once it is filled in. Tube is asked for by the coil and the stick, a row a
//! length, each with the fewest of it that hold the need; whoever sells none of a length leaves its price empty, and the
//! cut plan is made from those that are priced.

use std::collections::BTreeSet;

use rust_decimal::Decimal;

use crate::estimate::buying::Market;
use crate::estimate::item::ItemId;
use crate::ground::Length;
use crate::report::facts::{Asked, Wording, asked, rows};
use crate::report::form::{
    Column, OfItem, PLACE, QUANTITY, TEXT, Value, YES_NO, csv, fields, in_csv, of_item, whole,
};
use crate::trade::{Class, SoldAs};

/// One way in which a line may be sold, as a supplier is asked.
pub(super) struct Row<'r, 'a> {
    asked: &'r Asked<'a>,
    need_in_all: String,
    quantity: Decimal,
    unit: String,
    sold_as: &'static str,
    pack: String,
    /// What a price is for where the supplier says nothing else.
    per: &'static str,
}

impl OfItem for Row<'_, '_> {
    fn of(&self) -> (usize, ItemId) {
        (0, self.asked.item)
    }
}

/// A column that the supplier fills in.
const fn to_fill<'r, 'a>(heading: &'static str, help: &'static str) -> Column<Row<'r, 'a>> {
    in_csv(heading, help, |_, _| Value::Nothing)
}

pub(super) fn columns<'r, 'a>() -> [Column<Row<'r, 'a>>; 20] {
    [
        to_fill("supplier", "who sells it, to be filled in"),
        of_item::part(),
        of_item::size(),
        of_item::system(),
        in_csv("variant", "its variant", |w, row| w.word(w.item(row.of().1).variant).into()),
        in_csv("color", "its color", |w, row| w.item(row.of().1).color.word().into()),
        in_csv("need in all", "what is needed in all rows of it", |_, row| (&row.need_in_all).into()),
        in_csv("quantity", "how many are asked for", |_, row| Value::Quantity(row.quantity)),
        in_csv("unit", "what is counted", |_, row| (&row.unit).into()),
        in_csv("sold as", "how it is sold", |_, row| row.sold_as.into()),
        in_csv("pack", "what one of it holds", |_, row| (&row.pack).into()),
        to_fill("price", "the price before discounts, to be filled in"),
        in_csv("per", "what the price is for where the list says nothing else", |_, row| row.per.into()),
        to_fill("code", "the supplier's own code, to be filled in"),
        to_fill("description", "the supplier's own words, to be filled in"),
        to_fill("good until", "the last day of the price, to be filled in"),
        in_csv("section", "where a store keeps it", |_, row| row.asked.section.into()),
        in_csv("on hand", "tube on hand that only a cut plan can take off", |_, row| {
            row.asked.not_taken_off.as_deref().into()
        }),
        in_csv(
            "asked for",
            "bid; or a system that is compared, or an alternate, that alone needs it",
            |w, row| row.asked.with.word(w).into(),
        ),
        of_item::estimate(),
    ]
}

/// The bytes of the file.
pub(super) fn write(words: &Wording<'_>) -> Vec<u8> {
    let (orders, ranks) = (rows::order(words), rows::ranks(words));
    let mut asked = asked(words, &orders, &ranks);
    // Filled in, the file is a price list: nothing has two prices there.
    let mut known = BTreeSet::new();
    asked.retain(|one| known.insert(one.item));
    csv::table(words, &columns(), asked.iter().flat_map(|one| forms(words, one)))
}

/// The ways in which a line may be sold: tube by each coil and stick, else one.
fn forms<'r, 'a>(words: &Wording<'a>, asked: &'r Asked<'a>) -> Vec<Row<'r, 'a>> {
    let (unit, quantity) = (words.unit(asked.item), asked.quantity);
    let need_in_all = || format!("{} {unit}", crate::ground::money::quantity(quantity));
    if !asked.lengths.is_empty() {
        let of_length = |of: &(SoldAs, Length)| {
            let (sold_as, length) = (words.length_sold(*of).1, of.1);
            Row {
                asked,
                need_in_all: need_in_all(),
                quantity: asked.fewest(words.length(length)),
                unit: sold_as.to_owned(),
                sold_as,
                pack: words.length_words(length),
                per: "pack",
            }
        };
        return asked.lengths.iter().map(of_length).collect();
    }
    let is_each = unit.eq_ignore_ascii_case("each");
    let (need_in_all, sold_as, pack, per) = match (words.item(asked.item).class, is_each) {
        // Tube that nobody is known to sell by the length: the supplier says how.
        (Class::Tube, _) => (need_in_all(), "", String::new(), ""),
        (_, true) => (String::new(), "each", String::new(), "each"),
        (_, false) => (String::new(), "bag", format!("1 {unit}"), "pack"),
    };
    vec![Row { asked, need_in_all, quantity, unit: unit.to_owned(), sold_as, pack, per }]
}

fields! {
    /// What suppliers are asked for in `estimate.json`.
    pub(super) fn put / shape (out, words: &Wording<'_>, market: &Market<'_>, one: &Asked<'_>) {
        put "section": TEXT, "where a store keeps it" => one.section;
        put "item": PLACE, "the item" => whole(one.item.0);
        put "for": TEXT, "bid; or a system that is compared, or an alternate, that alone needs it" => one.with.word(words);
        put "quantity": QUANTITY, "how much is asked for" => Value::Quantity(one.quantity);
        list "lengths": TEXT, "of tube, the coils and sticks that a price is asked for" =>
            one.lengths.iter().map(|length| words.length_sold(*length).0);
        put "priced": YES_NO, "whether somebody sells it" => one.is_priced;
        list "nearest": TEXT, "the nearest offers of what nobody sells" =>
            one.nearest.iter().map(|id| market.offer_called(*id));
    }
}
