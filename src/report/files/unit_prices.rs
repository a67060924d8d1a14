//! The unit prices of `estimate.json`: what one more of each part, and one more run like one of the job, is asked for in
//! the chosen alternative.

use crate::estimate::unit_prices::{RunPrice, UnitPrice, unit_prices};
use crate::report::column::{Column, Value, in_json, whole};
use crate::report::json::Object;
use crate::report::wording::Wording;

const PARTS: [Column<UnitPrice>; 12] = [
    in_json("item", "its place in the list of items", |_, one| whole(one.item.0)),
    in_json("paid", "the average price of the packs of the order", |_, one| Value::Price(one.paid)),
    in_json("allowance_percent", "the allowance of its class", |_, one| Value::Percent(one.allowance)),
    in_json("material", "with the allowance", |_, one| Value::Price(one.material)),
    in_json("joints", "what its joints consume", |_, one| Value::Price(one.joints)),
    in_json("hours", "of it and its joints", |_, one| Value::Places(one.hours, 4)),
    in_json("labor", "at the rate of the crew", |_, one| Value::Price(one.labor)),
    in_json("direct_cost", "material, joints, labor and small parts", |_, one| {
        Value::Price(one.asked.direct)
    }),
    in_json("price", "with markups", |_, one| Value::Cents(one.asked.price)),
    in_json("tax", "sales tax", |_, one| Value::Cents(one.asked.tax)),
    in_json("to_ask", "price and tax", |_, one| Value::Cents(one.asked.price.saturating_add(one.asked.tax))),
    in_json("whole", "whether everything is in it", |_, one| one.whole.into()),
];

const RUNS: [Column<RunPrice>; 5] = [
    in_json("run", "the place of the run", |_, one| whole(one.run.0)),
    in_json("direct_cost", "material, labor and small parts", |_, one| Value::Price(one.asked.direct)),
    in_json("price", "with markups", |_, one| Value::Cents(one.asked.price)),
    in_json("tax", "sales tax", |_, one| Value::Cents(one.asked.tax)),
    in_json("to_ask", "price and tax", |_, one| Value::Cents(one.asked.price.saturating_add(one.asked.tax))),
];

/// Prices for extras; nothing where nothing is taken off.
pub(super) fn put(out: &mut Object<'_>, words: &Wording<'_>) {
    out.maybe("unit_prices", words.estimate.alternatives.first(), |out, chosen| {
        let (parts, runs) = unit_prices(words.job, &words.estimate.items, chosen);
        out.table("parts", words, &PARTS, parts);
        out.table("runs", words, &RUNS, runs);
    });
}
